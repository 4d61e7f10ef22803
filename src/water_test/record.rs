//! The form that is filled in on site.

use super::model::{Tested, WaterTest};
use crate::sheets::{BLANK, Say, Table};

/// Two lines for each part and lift: who tests it and who witnesses it. What the plan knows of it,
/// and what was tested already, stands there.
pub(super) fn record(test: &WaterTest, say: &Say) -> Table {
    let mut rows = Vec::new();
    // Data files hold what is worked out.
    if !say.data() {
        let parts = test.sections.iter();
        let parts = parts.filter(|s| s.phase.is_some() || test.lifts.len() < 2);
        for part in parts {
            let at = match part.phase {
                Some(_) if part.standpipes.is_empty() => String::new(),
                Some(_) => {
                    let on = part.standpipes.iter().map(|p| p.on.as_str());
                    format!("standpipe on {}", on.collect::<Vec<_>>().join(", "))
                }
                None => match &test.fill {
                    Some(fill) => format!("terminal of {}", fill.vent),
                    None => String::new(),
                },
            };
            rows.extend(lines(part.what.to_owned(), at, part.tested.as_ref()));
        }
        if test.lifts.len() > 1 {
            let lifts = (1..=test.lifts.len()).map(|i| format!("lift {i}"));
            rows.extend(lifts.flat_map(|lift| lines(lift, String::new(), None)));
        }
        rows.extend(test.valves.iter().map(|v| put_back(v)));
    }
    let head = [
        "Part",
        "Filled at",
        "Started: time, level",
        "Finished: time, level",
        "Held / not held",
        "By",
        "Name in print",
        "Licence",
        "Date",
        "Signature",
    ];
    Table {
        name: "record",
        title: "Record of the test".into(),
        head: head.map(str::to_owned).to_vec(),
        rows,
        prose: vec![0],
        ..Table::default()
    }
}

/// Room to write in.
fn blank(times: usize) -> String {
    BLANK.repeat(times)
}

/// Name, licence, date and signature, as far as they are known.
fn signed(by: Option<&str>, date: Option<&str>) -> [String; 4] {
    let known = |words: Option<&str>, times| words.map_or_else(|| blank(times), str::to_owned);
    [known(by, 3), blank(2), known(date, 2), blank(4)]
}

fn lines(part: String, at: String, tested: Option<&Tested>) -> [Vec<String>; 2] {
    let at = if at.is_empty() { blank(2) } else { at };
    let by = tested.and_then(|t| t.by.as_ref());
    let by = by.map(|by| format!("{by}, as the job says"));
    let date = tested.and_then(|t| t.date.as_deref());
    let mut first = vec![
        part,
        at,
        blank(2),
        blank(2),
        blank(2),
        "tested by".to_owned(),
    ];
    first.extend(signed(by.as_deref(), date));
    let mut second = vec![String::new(); 5];
    second.push("witnessed by".to_owned());
    second.extend(signed(None, None));
    [first, second]
}

/// Who forgets the flap leaves a valve that holds nothing back.
fn put_back(valve: &str) -> Vec<String> {
    let mut row = vec![format!("flap of {valve} put back")];
    row.extend(vec![String::new(); 4]);
    row.push("done by".to_owned());
    row.extend(signed(None, None));
    row
}
