//! Reads single values, and lists of them, by their kind.

use toml::de::DeValue;

use super::keys::{Kind, Sign};
use super::model::{Leg, Said};
use super::problems::{
    MISSING_KEY, OUT_OF_RANGE, UNKNOWN_WORD, UNREADABLE_LEG, UNREADABLE_TEXT, Unread, any_of, shown,
};
use super::values::Value;
use super::walk::{Node, Walker};
use super::words::{self, LegWord};
use crate::units::{Heading, Length, Load};

/// Text, or a plain decimal number as it was written: `3` and `"3"` mean the same.
fn written<'n>(node: &'n Node<'_>) -> Option<&'n str> {
    match node.get_ref() {
        DeValue::String(text) => Some(text),
        DeValue::Integer(number) if number.radix() == 10 => Some(number.as_str()),
        DeValue::Float(number) => Some(number.as_str()),
        _ => None,
    }
}

fn expected(kind: Kind) -> &'static str {
    match kind {
        Kind::Flag => "`true` or `false`",
        Kind::Length(_) => "a length like `\"12' 4 1/2\"`, `\"3.2 m\"` or a number",
        Kind::Size => "a pipe size like `3` or `\"1 1/2\"`",
        Kind::Fall => "a fall like `\"1/4\"`, `\"2%\"` or `\"1:50\"`",
        Kind::Flow => "a flow like `\"9 gpm\"` or `\"0.6 L/s\"`",
        Kind::Gallons => "gallons per flush like `1.28`",
        Kind::Load => "a number of drainage fixture units",
        Kind::Count(_) | Kind::Choice(_) => "a whole number",
        Kind::Heading(_) => "a heading in quotes",
        Kind::Floor | Kind::FloorOrRoof => "the name of a floor, in quotes",
        Kind::Name(_) => "a name, in quotes",
        Kind::Date => "a date, like `2026-03-01`",
        _ => "words in quotes",
    }
}

/// Reads a single value; mistakes go to the walker.
pub fn scalar(
    w: &mut Walker<'_>,
    kind: Kind,
    at: &str,
    key: &str,
    node: &Node<'_>,
) -> Option<Value> {
    if let Kind::Date = kind
        && let DeValue::Datetime(date) = node.get_ref()
    {
        return Some(Value::Text(date.to_string()));
    }
    if let Kind::Flag = kind {
        if let DeValue::Boolean(flag) = node.get_ref() {
            return Some(Value::Flag(*flag));
        }
        w.wrong_type(at, key, node, expected(kind));
        return None;
    }
    let numeric = !matches!(
        kind,
        Kind::Text(_)
            | Kind::Date
            | Kind::Word(_)
            | Kind::Heading(_)
            | Kind::Go
            | Kind::Floor
            | Kind::FloorOrRoof
            | Kind::Name(_)
    );
    let text = match (written(node), node.get_ref()) {
        (Some(text), DeValue::String(_)) => text,
        (Some(text), _) if numeric => text,
        _ => {
            w.wrong_type(at, key, node, expected(kind));
            return None;
        }
    };
    let read = match kind {
        Kind::Text(most) => line(text, most).map(Value::Text),
        Kind::Date => line(text, 40).map(Value::Text),
        Kind::Word(words) => word(w, text, words).map(|v| Value::Text(v.to_owned())),
        Kind::Length(sign) => signed(text, sign, w).map(Value::Length),
        Kind::Size => words::size(text, w.units).map(Value::Size),
        Kind::Fall => words::fall(text, w.units).map(Value::Fall),
        Kind::Flow => words::flow(text, w.units).map(Value::Flow),
        Kind::Gallons => words::gallons(text).map(Value::Number),
        Kind::Load => load(text).map(Value::Load),
        Kind::Count(most) => count(text, most).map(Value::Count),
        Kind::Choice(choices) => choice(text, choices).map(Value::Count),
        Kind::Heading(headings) => heading(w, text, headings).map(Value::Heading),
        Kind::Go => words::go(text, w.units).map(|(heading, length)| Value::Go(heading, length)),
        _ => line(text, 64).map(Value::Text),
    };
    read.map_err(|unread| w.unread(at, node.span(), unread))
        .ok()
}

/// Words that can be lettered on one line.
fn line(text: &str, most: usize) -> Result<String, Unread> {
    let text = text.trim();
    if text.chars().any(char::is_control) {
        let message = "these words hold a line break or another control character";
        return Err(Unread::new(
            UNREADABLE_TEXT,
            message,
            "expected words on one line",
        ));
    }
    if text.is_empty() {
        return Err(Unread::new(
            UNREADABLE_TEXT,
            "nothing stands between the quotes",
            "leave the key out if it is not known",
        ));
    }
    let length = text.chars().count();
    if length > most {
        let message = format!("{length} characters do not fit here");
        return Err(Unread::new(
            UNREADABLE_TEXT,
            message,
            format!("expected at most {most}"),
        ));
    }
    Ok(text.to_owned())
}

fn unknown_word(w: &mut Walker<'_>, text: &str, words: Vec<&'static str>) -> Unread {
    let help = match w.problems.nearest(text, words.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("expected {}", any_of(words)),
    };
    Unread::new(
        UNKNOWN_WORD,
        format!("`{}` is not a word for this", shown(text)),
        help,
    )
}

fn word(w: &mut Walker<'_>, text: &str, words: &[&'static str]) -> Result<&'static str, Unread> {
    match words.iter().find(|known| **known == text.trim()) {
        Some(known) => Ok(known),
        None => Err(unknown_word(w, text, words.to_vec())),
    }
}

fn heading(w: &mut Walker<'_>, text: &str, headings: &[Heading]) -> Result<Heading, Unread> {
    match headings.iter().find(|known| known.word() == text.trim()) {
        Some(known) => Ok(*known),
        None => Err(unknown_word(
            w,
            text,
            headings.iter().map(|h| h.word()).collect(),
        )),
    }
}

fn signed(text: &str, sign: Sign, w: &Walker<'_>) -> Result<Length, Unread> {
    let value = words::length(text, w.units)?;
    let (fits, help) = match sign {
        Sign::Any => (true, ""),
        Sign::NotNegative => (value.mm() >= 0.0, "expected nil or more"),
        Sign::Positive => (value.mm() > 0.0, "expected more than nil"),
    };
    if fits {
        return Ok(value);
    }
    Err(Unread::new(
        OUT_OF_RANGE,
        format!("`{}` cannot be laid", shown(text)),
        help,
    ))
}

fn load(text: &str) -> Result<Load, Unread> {
    let plain = text.len() <= 12 && text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    match text.parse::<f64>() {
        Ok(value) if plain && value <= 100_000.0 => Ok(Load::from_dfu(value)),
        _ => {
            let message = format!("`{}` is no load of a fixture", shown(text));
            Err(Unread::new(
                OUT_OF_RANGE,
                message,
                "expected drainage fixture units, nil or more",
            ))
        }
    }
}

fn count(text: &str, most: u32) -> Result<u32, Unread> {
    match text.parse::<u32>() {
        Ok(value) if (1..=most).contains(&value) => Ok(value),
        _ => {
            let message = format!("`{}` is not a number of them", shown(text));
            Err(Unread::new(
                OUT_OF_RANGE,
                message,
                format!("expected a whole number from 1 to {most}"),
            ))
        }
    }
}

fn choice(text: &str, choices: &[u32]) -> Result<u32, Unread> {
    match text.parse::<u32>() {
        Ok(value) if choices.contains(&value) => Ok(value),
        _ => {
            let words: Vec<String> = choices.iter().map(u32::to_string).collect();
            let help = format!("expected {}", any_of(words.iter().map(String::as_str)));
            Err(Unread::new(
                OUT_OF_RANGE,
                format!("`{}` is not one of them", shown(text)),
                help,
            ))
        }
    }
}

/// A list; a single value stands for a list of one only where that is how people write it.
fn items<'n, 'i>(
    w: &mut Walker<'_>,
    at: &str,
    key: &str,
    node: &'n Node<'i>,
    expected: &str,
) -> Option<&'n [Node<'i>]> {
    if let DeValue::Array(list) = node.get_ref() {
        return Some(list);
    }
    w.wrong_type(at, key, node, expected);
    None
}

/// A list of words.
pub fn words(
    w: &mut Walker<'_>,
    at: &str,
    key: &str,
    allowed: &[&'static str],
    node: &Node<'_>,
) -> Option<Value> {
    let list = items(w, at, key, node, "a list of words: `[\"…\", \"…\"]`")?;
    let mut all: Vec<Said<String>> = Vec::new();
    for item in list {
        let DeValue::String(text) = item.get_ref() else {
            w.wrong_type(at, key, item, "words in quotes");
            continue;
        };
        match word(w, text, allowed) {
            Ok(word) if all.iter().any(|s| s.value == word) => {}
            Ok(word) => all.push(Said {
                value: word.to_owned(),
                span: item.span(),
            }),
            Err(unread) => w.unread(at, item.span(), unread),
        }
    }
    Some(Value::Texts(all))
}

/// A list of texts, each on one line and at most so many characters long.
pub fn texts(
    w: &mut Walker<'_>,
    at: &str,
    key: &str,
    most: usize,
    node: &Node<'_>,
) -> Option<Value> {
    let list = items(w, at, key, node, "a list of words: `[\"…\", \"…\"]`")?;
    let mut all: Vec<Said<String>> = Vec::new();
    for item in list {
        if let Some(Value::Text(value)) = scalar(w, Kind::Text(most), at, key, item) {
            let span = item.span();
            all.push(Said { value, span });
        }
    }
    Some(Value::Texts(all))
}

/// Names and ranges of names: one, or a list of them.
pub fn ranges(w: &mut Walker<'_>, at: &str, key: &str, node: &Node<'_>) -> Option<Value> {
    let one = std::slice::from_ref(node);
    let list = match node.get_ref() {
        DeValue::String(_) => one,
        _ => items(
            w,
            at,
            key,
            node,
            "a name, a range like `\"3..17\"`, or a list of them",
        )?,
    };
    let mut all: Vec<Said<String>> = Vec::new();
    for item in list {
        if let Some(Value::Text(value)) = scalar(w, Kind::Text(80), at, key, item) {
            let span = item.span();
            all.push(Said { value, span });
        }
    }
    if list.is_empty() {
        let message = format!("`{key}` lists nothing");
        let help = Some("expected one name at least".to_owned());
        w.problems.add(MISSING_KEY, at, node.span(), message, help);
    }
    Some(Value::Texts(all))
}

/// A list of pipe sizes, ascending.
pub fn sizes(w: &mut Walker<'_>, at: &str, key: &str, node: &Node<'_>) -> Option<Value> {
    let list = items(w, at, key, node, "a list of pipe sizes: `[1.5, 2, 3, 4]`")?;
    let mut all = Vec::new();
    for item in list {
        if let Some(Value::Size(size)) = scalar(w, Kind::Size, at, key, item) {
            all.push(size);
        }
    }
    if list.is_empty() {
        let help = Some("leave the key out for the usual sizes".to_owned());
        w.problems.add(
            MISSING_KEY,
            at,
            node.span(),
            format!("`{key}` lists no size"),
            help,
        );
        return None;
    }
    all.sort_unstable();
    all.dedup();
    Some(Value::Sizes(all))
}

/// A table of falls by size.
pub fn falls(w: &mut Walker<'_>, at: &str, key: &str, node: &Node<'_>) -> Option<Value> {
    let DeValue::Table(table) = node.get_ref() else {
        w.wrong_type(
            at,
            key,
            node,
            "falls by size: `{ \"3\" = \"1/4\", \"4\" = \"1/8\" }`",
        );
        return None;
    };
    let mut all = Vec::new();
    for (word, item) in table.iter() {
        let size = words::size(word.get_ref(), w.units);
        let fall = scalar(w, Kind::Fall, at, key, item);
        match (size, fall) {
            (Ok(size), Some(Value::Fall(value))) => all.push((
                size,
                Said {
                    value,
                    span: item.span(),
                },
            )),
            // `1.5 = …` without quotes is a table `1` that holds `5`.
            (Err(mut unread), _) => {
                unread.help = unread
                    .help
                    .map(|h| format!("{h}; a size with a point is quoted"));
                w.unread(at, word.span(), unread);
            }
            _ => {}
        }
    }
    all.sort_by_key(|(size, _)| *size);
    Some(Value::Falls(all))
}

/// East and north of plan zero.
pub fn at(w: &mut Walker<'_>, at: &str, key: &str, node: &Node<'_>) -> Option<Value> {
    const PAIR: &str = "east and north of plan zero: `[\"31'\", \"14' 6\"]`";
    let list = items(w, at, key, node, PAIR)?;
    let [east, north] = list else {
        w.wrong_type(at, key, node, PAIR);
        return None;
    };
    let east = scalar(w, Kind::Length(Sign::Any), at, key, east);
    let north = scalar(w, Kind::Length(Sign::Any), at, key, north);
    match (east, north) {
        (Some(Value::Length(east)), Some(Value::Length(north))) => Some(Value::At(east, north)),
        _ => None,
    }
}

/// The legs of a run.
pub fn run(w: &mut Walker<'_>, at: &str, key: &str, node: &Node<'_>) -> Option<Value> {
    let list = items(
        w,
        at,
        key,
        node,
        "a list of legs: `[\"north 32'\", \"east 11'\"]`",
    )?;
    let mut legs: Vec<Leg> = Vec::new();
    let (mut size, mut fall, mut lies) = (None, None, None);
    let mut dangling = None;
    for item in list {
        let DeValue::String(text) = item.get_ref() else {
            w.wrong_type(at, key, item, "a leg in quotes: `\"north 32'\"`");
            continue;
        };
        let span = item.span();
        match words::leg_word(text, w.units) {
            Ok(LegWord::Leg(heading, length)) => {
                legs.push(Leg {
                    heading,
                    length,
                    size: size.clone(),
                    fall: fall.clone(),
                    lies,
                    span,
                });
                dangling = None;
                continue;
            }
            Ok(LegWord::Size(value)) => {
                size = Some(Said {
                    value,
                    span: span.clone(),
                })
            }
            Ok(LegWord::Fall(value)) => {
                fall = Some(Said {
                    value,
                    span: span.clone(),
                })
            }
            Ok(LegWord::Lies(value)) => lies = Some(value),
            Err(unread) => {
                w.unread(at, span, unread);
                // What stood before a leg that did not read held for that leg.
                dangling = None;
                continue;
            }
        }
        dangling = Some((span, text.to_string()));
    }
    if let Some((span, text)) = dangling {
        let message = format!("nothing comes after `{}`", shown(&text));
        let help =
            Some("it holds from where it stands: put it before the legs it is for".to_owned());
        w.problems.add(UNREADABLE_LEG, at, span, message, help);
    }
    Some(Value::Run(legs))
}
