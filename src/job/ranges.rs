//! Ranges of names: `3..17`, `S1..S8`. The names of a range have one beginning and count up.

use super::problems::{TOO_MANY_MADE, UNREADABLE_RANGE, Unread, shown};

/// The most names of one range: no building has more floors, and no drawing more stacks.
const MOST: u32 = 1000;

/// Whether this means a range, well written or not.
pub fn is_range(text: &str) -> bool {
    text.contains("..")
}

/// The two ends of a range.
///
/// # Errors
/// Where one is missing.
pub fn ends(text: &str) -> Result<(&str, &str), Unread> {
    let (first, last) = text.split_once("..").unwrap_or((text, ""));
    let (first, last) = (first.trim(), last.trim());
    if first.is_empty() || last.is_empty() {
        let message = format!("`{}` has not two ends", shown(text));
        return Err(unread(message));
    }
    Ok((first, last))
}

/// All names of a range that counts up, from the first to the last.
///
/// # Errors
/// Where an end is missing or has no figure behind, the two have not one beginning, it is upside
/// down, or stands for more than a thousand names.
pub fn names(text: &str) -> Result<Vec<String>, Unread> {
    let (first, last) = ends(text)?;
    let (Some((head, from)), Some((other, to))) = (counted(first), counted(last)) else {
        let message = format!(
            "`{}` does not count from one figure to another",
            shown(text)
        );
        return Err(unread(message));
    };
    if head != other {
        let message = format!(
            "`{}` and `{}` do not begin alike",
            shown(first),
            shown(last)
        );
        return Err(unread(message));
    }
    // `03` asks for names of one length: `03..17` is 03, 04 and so on.
    let padded = [from, to].iter().any(|f| f.len() > 1 && f.starts_with('0'));
    if padded && from.len() != to.len() {
        let message = format!(
            "`{}` and `{}` are not written alike",
            shown(first),
            shown(last)
        );
        return Err(unread(message));
    }
    let width = if padded { from.len() } else { 0 };
    let (Ok(a), Ok(b)) = (from.parse::<u32>(), to.parse::<u32>()) else {
        let message = format!("`{}` counts too far", shown(text));
        return Err(unread(message));
    };
    if a > b {
        let message = format!("`{}` is upside down", shown(text));
        let help = format!(
            "write the lower figure first: `{}..{}`",
            shown(last),
            shown(first)
        );
        return Err(Unread::new(UNREADABLE_RANGE, message, help));
    }
    if b - a >= MOST {
        let message = format!(
            "`{}` stands for {} names",
            shown(text),
            u64::from(b - a) + 1
        );
        let help = format!("expected at most {MOST}");
        return Err(Unread::new(TOO_MANY_MADE, message, help));
    }
    Ok((a..=b).map(|i| format!("{head}{i:0width$}")).collect())
}

/// Whether this can be the name of a thing, or a range of such names.
///
/// # Errors
/// What is wrong with it, by the grammar of one name where that is what is wrong.
pub fn check(text: &str, one: impl Fn(&str) -> Result<(), Unread>) -> Result<(), Unread> {
    if !is_range(text) {
        return one(text);
    }
    let (first, last) = ends(text)?;
    one(first)?;
    one(last)?;
    names(text).map(|_| ())
}

fn unread(message: String) -> Unread {
    let help = "expected a range like `3..17` or `S1..S8`";
    Unread::new(UNREADABLE_RANGE, message, help)
}

/// A name parted before the figures at its end.
fn counted(name: &str) -> Option<(&str, &str)> {
    let head = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let figures = name.get(head.len()..)?;
    (!figures.is_empty()).then_some((head, figures))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_count_up() {
        let all = |text| names(text).map_err(|e| e.message);
        assert_eq!(all("3..5"), Ok(vec!["3".into(), "4".into(), "5".into()]));
        assert_eq!(all("S9..S10"), Ok(vec!["S9".into(), "S10".into()]));
        assert_eq!(all("L09 .. L10"), Ok(vec!["L09".into(), "L10".into()]));
        assert_eq!(all("7..7"), Ok(vec!["7".into()]));
        assert_eq!(all("level 1..level 2").map(|n| n.len()), Ok(2));
        assert_eq!(all("1..1000").map(|n| n.len()), Ok(1000));
    }

    #[test]
    fn what_is_no_range_says_why() {
        let why = |text| names(text).expect_err(text);
        for (text, mistake, said) in [
            ("3..", UNREADABLE_RANGE, "has not two ends"),
            ("..", UNREADABLE_RANGE, "has not two ends"),
            ("a..b", UNREADABLE_RANGE, "from one figure to another"),
            ("S1..T8", UNREADABLE_RANGE, "do not begin alike"),
            ("3..5..7", UNREADABLE_RANGE, "do not begin alike"),
            ("09..100", UNREADABLE_RANGE, "are not written alike"),
            ("17..3", UNREADABLE_RANGE, "is upside down"),
            ("1..99999999999", UNREADABLE_RANGE, "counts too far"),
            ("0..1000", TOO_MANY_MADE, "stands for 1001 names"),
            ("0..4294967295", TOO_MANY_MADE, "4294967296 names"),
        ] {
            let unread = why(text);
            assert_eq!(unread.mistake, mistake, "{text}");
            assert!(unread.message.contains(said), "{text}: {}", unread.message);
        }
    }
}
