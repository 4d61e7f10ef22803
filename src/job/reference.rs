//! The reference of the job file in Markdown, from the same list of keys that the reader walks.

use std::fmt::Write;

use super::keys::{BANK, FILE, FLOOR, Kind, ROOF, Record, STACK, Sign, TYPICAL, What};
use super::problems::MISTAKES;

/// Every section, every key, and every mistake that the reader reports.
pub fn reference() -> String {
    let mut out = String::from("# The job file, key by key\n\n");
    out.push_str("Keys in **bold** may not be left out; all others may.\n");
    for key in FILE.keys {
        match key.kind {
            Kind::One(record) => section(&mut out, &format!("[{}]", key.name), key.doc, record),
            Kind::Named(record) => {
                let head = format!("[{}] NAME = {{ … }}", key.name);
                section(&mut out, &head, key.doc, record);
            }
            Kind::Floors => {
                let head = format!("[{}] NAME = {{ … }}", key.name);
                section(&mut out, &head, key.doc, &FLOOR);
                section(
                    &mut out,
                    &format!("[{}] \"A..B\" = {{ … }}", key.name),
                    TYPICAL.doc,
                    &TYPICAL,
                );
                section(
                    &mut out,
                    &format!("[{}] roof = {{ … }}", key.name),
                    ROOF.doc,
                    &ROOF,
                );
            }
            Kind::Stacks => {
                let head = format!("[{}] NAME = {{ … }}", key.name);
                section(&mut out, &head, key.doc, &STACK);
                let head = format!("[{}] \"A..B\" = {{ … }}", key.name);
                section(&mut out, &head, BANK.doc, &BANK);
            }
            _ => {}
        }
    }
    out.push_str("\n## Mistakes\n\n| code | name | what it is |\n|---|---|---|\n");
    for m in MISTAKES {
        // Writing to a string cannot fail.
        let _ = writeln!(out, "| {} | `{}` | {} |", m.code, m.name, m.doc);
    }
    out
}

fn section(out: &mut String, head: &str, doc: &str, record: &'static Record) {
    let _ = write!(out, "\n## `{head}`\n\n{doc}\n\n");
    table(out, "", record);
}

/// A record's keys; those of an inner table come right after it, under its name.
fn table(out: &mut String, under: &str, record: &'static Record) {
    if under.is_empty() {
        out.push_str("| key | value | what it says |\n|---|---|---|\n");
    }
    for key in record.keys {
        let name = format!("{under}{}", key.name);
        let shown = if key.required {
            format!("**`{name}`**")
        } else {
            format!("`{name}`")
        };
        let _ = writeln!(out, "| {shown} | {} | {} |", value(key.kind), key.doc);
        if let Kind::One(inner) | Kind::Many(inner) = key.kind {
            table(out, &format!("{name}."), inner);
        }
    }
}

fn value(kind: Kind) -> String {
    let list = |words: &[&str]| {
        let words: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
        words.join(", ")
    };
    match kind {
        Kind::Text(_) => "text".to_owned(),
        Kind::Date => "date".to_owned(),
        Kind::Word(words) => list(words),
        Kind::Words(words) => format!("list of {}", list(words)),
        Kind::Texts(_) => "list of texts".to_owned(),
        Kind::Flag => "`true`, `false`".to_owned(),
        Kind::Length(Sign::Any) => "length, either sign".to_owned(),
        Kind::Length(Sign::NotNegative) => "length, not negative".to_owned(),
        Kind::Length(Sign::Positive) => "length above nil".to_owned(),
        Kind::Size => "pipe size".to_owned(),
        Kind::Sizes => "list of pipe sizes".to_owned(),
        Kind::Fall => "fall".to_owned(),
        Kind::Falls => "table of falls by size".to_owned(),
        Kind::Flow => "flow".to_owned(),
        Kind::Gallons => "gallons, or litres with their unit".to_owned(),
        Kind::Load => "number".to_owned(),
        Kind::Count(most) => format!("whole number, 1 to {most}"),
        Kind::Choice(choices) => {
            let words: Vec<String> = choices.iter().map(|c| format!("`{c}`")).collect();
            words.join(", ")
        }
        Kind::Heading(headings) => list(&headings.iter().map(|h| h.word()).collect::<Vec<_>>()),
        Kind::Go => "plan heading and length".to_owned(),
        Kind::Run => "list of legs".to_owned(),
        Kind::At => "`[east, north]`".to_owned(),
        Kind::Floor => "floor".to_owned(),
        Kind::FloorOrRoof => "floor, or `roof`".to_owned(),
        Kind::Name(kinds) => {
            let words: Vec<&str> = kinds.iter().map(|k: &What| k.called()).collect();
            format!("name of {}", words.join(", "))
        }
        Kind::One(_) => "table".to_owned(),
        Kind::Many(_) => "list of tables".to_owned(),
        Kind::Now => "table of keys of what `on` names".to_owned(),
        Kind::Ranges => "name, range `a..b`, or a list of them".to_owned(),
        Kind::Named(_) | Kind::Floors | Kind::Stacks => "named tables".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tells_of_every_key() {
        fn walk(text: &str, record: &'static Record, under: &str) {
            for key in record.keys {
                let name = format!("`{under}{}`", key.name);
                assert!(text.contains(&name), "{name}");
                assert!(text.contains(key.doc), "{name}");
                if let Kind::One(inner) | Kind::Many(inner) = key.kind {
                    walk(text, inner, &format!("{under}{}.", key.name));
                }
            }
        }
        let text = reference();
        for key in FILE.keys {
            assert!(text.contains(&format!("[{}]", key.name)));
            if let Kind::One(record) | Kind::Named(record) = key.kind {
                walk(&text, record, "");
            }
        }
        for record in [&FLOOR, &TYPICAL, &STACK, &BANK] {
            walk(&text, record, "");
        }
    }
}
