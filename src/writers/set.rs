//! Which files a set is, and their names.

use std::time::{Duration, Instant};

use super::{Folder, Written, csv, pdf, png, svg};
use crate::diagnostics::{Diagnostic, Severity};
use crate::sheets::{Sheet, SheetSet, Table};

/// A file format.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// One SVG a sheet.
    Svg,
    /// One PNG a sheet.
    Png,
    /// One PDF with all sheets.
    Pdf,
    /// One CSV a table.
    Csv,
}

impl Format {
    /// All of them, in the order they are written.
    pub const ALL: [Format; 4] = [Format::Svg, Format::Pdf, Format::Png, Format::Csv];

    /// Its file name extension.
    pub fn extension(self) -> &'static str {
        match self {
            Format::Svg => "svg",
            Format::Png => "png",
            Format::Pdf => "pdf",
            Format::Csv => "csv",
        }
    }
}

/// So many sheets are drawn between two words of progress.
const TOGETHER: usize = 16;

/// Time spent on each format.
pub type Timings = Vec<(&'static str, Duration)>;

/// Writes a set into a folder in the formats asked for.
///
/// # Arguments
/// - `tables`: makes the tables, if they are asked for.
/// - `dpi`: resolution of PNGs.
/// - `progress`: told the name of a file before it is drawn, every few files.
///
/// # Errors
/// When a sheet cannot be drawn, or a file not written; see [`Folder::finish`].
pub fn write(
    mut folder: Folder,
    set: &SheetSet,
    tables: &dyn Fn() -> Vec<Table>,
    formats: &[Format],
    dpi: u32,
    progress: &mut dyn FnMut(&str),
) -> Result<(Written, Timings), Vec<Diagnostic>> {
    let mut timings = Vec::new();
    for format in Format::ALL.into_iter().filter(|f| formats.contains(f)) {
        let start = Instant::now();
        one_format(&mut folder, set, tables, format, dpi, progress)?;
        timings.push((format.extension(), start.elapsed()));
    }
    // What another format shows may be out of date, but nobody asked to have it removed.
    let drawn = |name: &str| {
        formats.iter().any(|f| {
            name.rsplit_once('.')
                .is_some_and(|(_, e)| e == f.extension())
        })
    };
    let written = folder.finish(drawn)?;
    Ok((written, timings))
}

fn one_format(
    folder: &mut Folder,
    set: &SheetSet,
    tables: &dyn Fn() -> Vec<Table>,
    format: Format,
    dpi: u32,
    progress: &mut dyn FnMut(&str),
) -> Result<(), Vec<Diagnostic>> {
    let base = file_word(&set.name);
    let extension = format.extension();
    match format {
        Format::Svg | Format::Png => {
            let name = |sheet: &Sheet| format!("{base}-{}.{extension}", file_word(&sheet.number));
            for some in set.sheets.chunks(TOGETHER) {
                let names: Vec<String> = some.iter().map(name).collect();
                names.iter().take(1).for_each(|n| progress(n));
                folder.add_all(&names, |i, out| match (some.get(i), format) {
                    (Some(sheet), Format::Png) => png::png(sheet, dpi, out),
                    (Some(sheet), _) => out.write_all(svg::svg(&set.name, sheet).as_bytes()),
                    (None, _) => Ok(()),
                })?;
            }
        }
        Format::Pdf => {
            let name = format!("{base}.{extension}");
            progress(&name);
            let bytes = pdf::pdf(set).map_err(|words| vec![cannot_draw(&name, words)])?;
            folder.add(&name, |out| out.write_all(&bytes))?;
        }
        Format::Csv => {
            for table in &tables() {
                let name = format!("{base}-{}.{extension}", file_word(table.name));
                progress(&name);
                let words = csv::csv(table);
                folder.add(&name, |out| out.write_all(words.as_bytes()))?;
            }
        }
    }
    Ok(())
}

/// A word as part of a file name on any system.
fn file_word(word: &str) -> String {
    word.chars()
        .map(|c| match c {
            '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|' => '-',
            c if c.is_control() => '-',
            c => c,
        })
        .collect()
}

fn cannot_draw(name: &str, message: String) -> Diagnostic {
    Diagnostic {
        at: name.to_owned(),
        ..Diagnostic::plain("O005", "cannot-draw", Severity::Error, message)
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn file_names_stay_in_their_folder() {
        assert_eq!(super::file_word("../P-901"), "..-P-901");
        assert_eq!(super::file_word("alder-court"), "alder-court");
        assert_eq!(super::file_word("a\u{0}b:c"), "a-b-c");
    }
}
