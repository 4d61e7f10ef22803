//! The list of a crew's sheet in words: places, the pipes up to them, levels, steps.

use super::{CrewSheet, End, Height, SetOut};
use crate::captions::called;
use crate::job::Lies;
use crate::sheets::{CrewLine, CrewPlace, Say};
use crate::units::Length;

/// The list of a sheet: of each part what is set out, then its steps.
pub fn list(sheet: &CrewSheet, say: &Say) -> Vec<CrewLine> {
    let mut lines = Vec::new();
    for (i, part) in sheet.parts.iter().enumerate() {
        if i > 0 {
            let words = format!("Later, above the floor. Levels from: {}", part.datum.words);
            lines.push(CrewLine::Heading(words));
        }
        let first = part.first.iter();
        lines.extend(first.map(|s| CrewLine::Step(s.words.clone(), s.done)));
        // Where nobody gave anything it is said once.
        let unknown = part.set_out.len() > 1 && part.set_out.iter().all(nothing_known);
        if unknown {
            let words = "Levels, and lengths not given here, are not known: measure".to_owned();
            lines.push(CrewLine::Note(words));
        }
        let mut places = places(&part.set_out, (i > 0, say));
        if unknown {
            places.iter_mut().for_each(|p| p.levels.clear());
        }
        lines.extend(places.into_iter().map(CrewLine::Place));
        let steps = part.steps.iter();
        lines.extend(steps.map(|s| CrewLine::Step(s.words.clone(), s.done)));
    }
    lines
}

/// Places as their sheet letters them: rows of one place together. Every level says which way it is
/// measured if `both` ways are; else only what lies up.
fn places(rows: &[SetOut], (both, say): (bool, &Say)) -> Vec<CrewPlace> {
    let mut places: Vec<CrewPlace> = Vec::new();
    let mut before: Option<&SetOut> = None;
    for row in rows {
        let same = before.is_some_and(|b| b.joint == row.joint && row.from.is_some());
        match places.last_mut().filter(|_| same) {
            Some(place) => {
                place.pipes.push(pipe(row, say));
                place.done &= row.done;
            }
            None => places.push(CrewPlace {
                key: row.key.clone(),
                fitting: row.fitting.clone(),
                pipes: vec![pipe(row, say)],
                levels: levels(row, (both, say)),
                done: row.done,
            }),
        }
        before = Some(row);
    }
    places
}

/// The pipe up to a place: its size, its length, what it drops.
fn pipe(row: &SetOut, say: &Say) -> String {
    let length = match (row.pipe, row.length) {
        // It is cut where it ends, and its length stands there.
        _ if row.goes_on => None,
        (_, Some(length)) => Some(say.print.length(length)),
        (Some(_), None) if row.past.is_some() => None,
        (Some(_), None) if !lacks_both(row) => Some("length not known".to_owned()),
        (_, None) => None,
    };
    // By the inverts as they are printed, so that who takes one from the other finds the same.
    let printed = row.low.invert.zip(row.high.invert);
    let printed = printed.map(|(low, high)| say.print.nearest(low) - say.print.nearest(high));
    let drop = row
        .drop
        .map(|d| format!("drop {}", say.print.short(printed.unwrap_or(d))));
    let past = row.past.as_ref().map(|p| format!("past {p}"));
    // What rises from below ground was cut at the floor.
    let stub = row.stub.map(|s| match row.length {
        Some(_) => format!("of it stub {}", say.print.length(s)),
        None => format!("stub {}", say.print.length(s)),
    });
    let words = [Some(say.size(row.size)), length, stub, past, drop];
    let mut words: Vec<String> = words.into_iter().flatten().collect();
    let flatter = "laid flatter than preferred, to fit";
    words.extend(row.is_flatter.then(|| flatter.to_owned()));
    words.extend(lying(row));
    words.extend(row.bends.iter().map(|b| called(b)));
    words.extend(match row.holes.as_slice() {
        [] => None,
        [one] => Some(format!("hole {one}")),
        more => Some(format!("holes {}", more.join(", "))),
    });
    let from = row.from.as_ref().map(|f| format!("from {f}: "));
    format!("{}{}", from.unwrap_or_default(), words.join(" · "))
}

/// How a drain lies, and how to the joists there.
fn lying(row: &SetOut) -> Option<String> {
    if let Some(joists) = row.joists {
        return Some(joists.words().to_owned());
    }
    row.lies.map(|lies| match lies {
        Lies::CrawlSpace | Lies::Wall => format!("in the {}", lies.words()),
        lies => lies.words().to_owned(),
    })
}

/// Whether neither length nor level of a place is known: of a drain, or of the exit.
fn nothing_known(row: &SetOut) -> bool {
    row.height.is_none() && row.length.is_none() && row.high.invert.is_none()
}

/// Whether neither a drain's length nor its level is known.
fn lacks_both(row: &SetOut) -> bool {
    row.height.is_none() && row.pipe.is_some() && row.length.is_none() && row.high.invert.is_none()
}

/// How far down, or up, a place lies, and the lower end of the pipe up to it.
fn levels(row: &SetOut, (both, say): (bool, &Say)) -> Vec<String> {
    let below = |l: Length| match l < Length::ZERO {
        true => format!("up {}", say.print.length(-l)),
        false if both => format!("down {}", say.print.length(l)),
        false => say.print.length(l),
    };
    match row.height {
        _ if row.goes_on => return Vec::new(),
        Some(Height::AtLeast(up)) => {
            let over = row.over.as_ref().map(|d| format!(" over {}", d.words));
            let over = over.unwrap_or_default();
            return vec![format!("{}{over} or higher", below(-up))];
        }
        Some(Height::Said(words)) => return vec![words.to_owned()],
        None => {}
    }
    let Some(invert) = row.high.invert else {
        return vec![match lacks_both(row) {
            true => "length and level not known".to_owned(),
            false => "level not known".to_owned(),
        }];
    };
    // A pipe's top stands over its invert as printed: both fall alike.
    let top = |end: End| {
        let (invert, top) = end.invert.zip(end.top)?;
        Some(say.print.nearest(invert) + (top - invert))
    };
    let (low_top, top) = (top(row.low), top(row.high));
    let both = |low: Option<Length>, high: Length| match low {
        Some(low) => format!("{} to {}", below(low), below(high)),
        None => below(high),
    };
    match (row.low.invert, top) {
        (None, None) => vec![format!("inv {}", below(invert))],
        (None, Some(top)) => vec![format!("inv {} · top {}", below(invert), below(top))],
        (low, top) => {
            let top = top.map(|top| format!("top {}", both(low_top, top)));
            let inv = format!("inv {}", both(low, invert));
            std::iter::once(inv).chain(top).collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::Form;
    use crate::units::{Printer, UnitSystem};

    /// A pipe's top and its invert fall by the same printed eighths, wherever between two eighths they lie.
    #[test]
    fn tops_fall_as_inverts_do() {
        let say = Say {
            print: Printer {
                units: UnitSystem::Feet,
            },
            form: Form::Sheet,
        };
        let inches = |i: f64| Some(Length::from_inches(i));
        for sixteenths in 0..64 {
            let end = |i: f64| End {
                invert: inches(i),
                top: inches(i - 3.284),
            };
            let invert = 20.0 + f64::from(sixteenths) / 16.0 + 0.01;
            let row = SetOut {
                low: end(invert),
                high: end(invert - 0.375),
                ..SetOut::default()
            };
            let words = levels(&row, (true, &say));
            let [inv, top] = words.as_slice() else {
                panic!("{words:?}");
            };
            let ends = |line: &str, begins: &str| {
                let line = line.strip_prefix(begins).expect("a line").to_owned();
                let (low, high) = line.split_once(" to ").expect("two ends");
                [low, high].map(|l| read(l.strip_prefix("down ").expect("down")))
            };
            let [inv, top] = [ends(inv, "inv "), ends(top, "top ")].map(|[a, b]| a - b);
            assert!((inv - top).abs() < 1e-9, "{words:?}");
        }
    }

    /// Inches of a printed length.
    fn read(printed: &str) -> f64 {
        let (feet, inches) = printed.split_once("′-").expect("feet");
        let inches = inches.trim_end_matches('″');
        let (whole, part) = match inches.find(|c: char| !c.is_ascii_digit()) {
            Some(at) => inches.split_at(at),
            None => (inches, ""),
        };
        let parts = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
        let eighths = parts.iter().position(|p| *p == part).expect("a fraction");
        let whole: f64 = whole.parse().expect("inches");
        feet.parse::<f64>().expect("feet") * 12.0 + whole + eighths as f64 / 8.0
    }
}
