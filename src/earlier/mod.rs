//! What was chosen for a drawing: the object `drawing` of the JSON result, and the same read again
//! with `--like`, so that an edited job is drawn as it was where that still serves.
//!
//! The object holds, all lengths in mm of paper:
//! - `form`: 1, the form of this object;
//! - `from`: the corner that it is seen from, as `[drawing] from` says it;
//! - `paper`, `lettering` (capital height), `step` (heights of floors go up in steps of this);
//! - `divided`: whether several sheets share the building out, `typical`: whether like storeys and
//!   stacks are drawn once, `bands`: the floors above whose branches no sheet goes down;
//! - `sheets`: each with its `number`, where its `origin` (the exit, or where its first pipe is cut)
//!   stands on the sheet, right and down, its `scale` (mm of paper per mm of building; 0 where all
//!   lengths are the least), its `heights` above the exit (of each floor the branches, the floor's
//!   mark and the vents above the rims; the `roof`; `low`, a relief vent below all floors), and its
//!   `runs`: where each run begins (`at`), along the drawing's three axes from the origin, and of
//!   each of its pipes where it begins and where each leg ends, walking upstream, from there. Where
//!   a run begins at a match mark, `cut` names the pipe.

mod read;
mod write;

use std::collections::BTreeMap;
use std::path::Path;

use crate::diagnostics::{Diagnostic, Outcome, Severity};
use crate::projection::Corner;

pub use write::{Sheet, Told, drawing};

/// The form of the object that is written and read.
const FORM: u64 = 1;
/// A file larger than this is no result, in bytes.
const LARGEST: u64 = 1 << 30;

/// What was chosen for a drawing before.
#[derive(Clone, Debug, PartialEq)]
pub struct Earlier {
    /// The corner that it is seen from.
    pub corner: Corner,
    /// The name of its paper.
    pub paper: String,
    /// Capital height of its lettering, mm.
    pub lettering: f64,
    /// Steps in which its heights go up, mm.
    pub step: f64,
    /// Whether several sheets share it out.
    pub divided: bool,
    /// Whether what is alike is drawn once.
    pub typical: bool,
    /// The lowest floor of each band but the first, by name.
    pub bands: Vec<String>,
    /// Its sheets.
    pub sheets: Vec<EarlierSheet>,
}

/// The lengths of one sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EarlierSheet {
    /// Where its origin stands, mm from the sheet's upper left corner.
    pub origin: [f64; 2],
    /// Millimetres of paper per millimetre of building; 0 for the least drawing.
    pub scale: f64,
    /// Heights of each floor by name, mm: branches, mark, vents above the rims.
    pub floors: BTreeMap<String, [f64; 3]>,
    /// Height of the roof, mm.
    pub roof: f64,
    /// Height of a relief vent below the lowest floor, mm.
    pub low: f64,
    /// Where the pipes of each run end.
    pub runs: BTreeMap<String, EarlierRun>,
}

/// The pipes of a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EarlierRun {
    /// The pipe at whose match mark it begins; none where it begins as it does in the building.
    pub cut: Option<String>,
    /// Where it begins, mm along the axes from the origin.
    pub at: [f64; 3],
    /// Of each pipe, where it begins and the upstream end of each leg from where the run begins,
    /// mm along the axes.
    pub pipes: BTreeMap<String, Vec<[f64; 3]>>,
}

impl Earlier {
    /// Reads the text of a JSON result.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(text: &str) -> Result<Earlier, String> {
        let value: serde_json::Value =
            serde_json::from_str(text).map_err(|e| format!("it is not JSON: {e}"))?;
        read::earlier(&value)
    }

    /// Reads a file.
    ///
    /// # Errors
    /// When the file does not read, or is no result.
    pub fn open(path: &Path) -> Outcome<Earlier> {
        let read = text_of(path).and_then(|text| Earlier::read(&text));
        read.map_err(|why| {
            let message = format!("cannot draw like {}: {why}", path.display());
            vec![problem(message)]
        })
    }
}

fn text_of(path: &Path) -> Result<String, String> {
    let size = std::fs::metadata(path).map_err(|e| e.to_string())?;
    if size.is_dir() {
        return Err("it is a folder".to_owned());
    }
    if size.len() > LARGEST {
        return Err(format!("{} bytes are too many for a result", size.len()));
    }
    let bytes = std::fs::read(path).map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|_| "it is not UTF-8 text".to_owned())
}

fn problem(message: String) -> Diagnostic {
    Diagnostic {
        help: Some(
            "give what `stackfall draw JOB --format json` printed; draw the job without --like \
             to have it anew"
                .to_owned(),
        ),
        ..Diagnostic::plain("P005", "no-earlier-result", Severity::Error, message)
    }
}

#[cfg(test)]
mod tests {
    use super::Earlier;

    /// What is no result says so in words, whatever it holds.
    #[test]
    fn what_is_no_result_is_refused() {
        let why = |text: &str| Earlier::read(text).expect_err("no result");
        assert!(why("").contains("not JSON"));
        assert!(why("{\"drawing\": ").contains("not JSON"));
        assert!(why("[1, 2]").contains("no `drawing`"));
        assert!(why("{}").contains("no `drawing`"));
        assert!(why("{\"drawing\": null}").contains("no `drawing`"));
        assert!(why("{\"drawing\": {\"form\": 9}}").contains("form 9"));
        assert!(why("{\"drawing\": {\"form\": 1}}").contains("drawing.from"));
        let deep = "[".repeat(100_000);
        assert!(why(&deep).contains("not JSON"));
        let huge = "{\"drawing\": {\"form\": 1, \"from\": \"southwest\", \"paper\": \"a1\", \
                    \"lettering\": 1e300}}";
        assert!(why(huge).contains("drawing.lettering"), "{}", why(huge));
    }
}
