//! Legs of a `run`, and what holds from there on: `north 32'`, `up 7' 8`, `size 3`, `fall 1/4`,
//! `lies under slab`.

use super::{fall, length, size};
use crate::job::model::Lies;
use crate::job::nearest::nearest;
use crate::job::problems::{OUT_OF_RANGE, UNREADABLE_LEG, Unread, any_of, shown};
use crate::units::{Fall, Heading, Length, PipeSize, UnitSystem};

/// One word of a run.
#[derive(Clone, Debug, PartialEq)]
pub enum LegWord {
    /// A leg: a heading and a length.
    Leg(Heading, Length),
    /// A size that holds from here on.
    Size(PipeSize),
    /// A fall that holds from here on.
    Fall(Fall),
    /// Where it lies from here on.
    Lies(Lies),
}

const LIES: [Lies; 5] = [
    Lies::UnderSlab,
    Lies::BetweenJoists,
    Lies::UnderJoists,
    Lies::CrawlSpace,
    Lies::Wall,
];
const OPENERS: [&str; 13] = [
    "north",
    "northeast",
    "east",
    "southeast",
    "south",
    "southwest",
    "west",
    "northwest",
    "up",
    "down",
    "size",
    "fall",
    "lies",
];

/// Reads one word of a run.
pub fn leg_word(text: &str, units: UnitSystem) -> Result<LegWord, Unread> {
    let text = text.trim();
    let (opener, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    let rest = rest.trim();
    match opener {
        "size" => size(rest, units).map(LegWord::Size),
        "fall" => fall(rest, units).map(LegWord::Fall),
        "lies" => lies(rest).map(LegWord::Lies),
        _ => match Heading::from_word(opener) {
            Some(heading) if rest.is_empty() => {
                let message = format!("`{}` has no length", shown(text));
                Err(Unread::new(
                    UNREADABLE_LEG,
                    message,
                    format!("expected a leg like `{} 12' 6`", heading.word()),
                ))
            }
            Some(heading) => leg_length(rest, units).map(|l| LegWord::Leg(heading, l)),
            None => Err(unknown(text, opener)),
        },
    }
}

/// Reads the way of an offset: a plan heading, and how far if known.
pub fn go(text: &str, units: UnitSystem) -> Result<(Heading, Option<Length>), Unread> {
    let text = text.trim();
    let (opener, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    match Heading::from_word(opener) {
        Some(heading) if !heading.is_vertical() => match rest.trim() {
            "" => Ok((heading, None)),
            rest => leg_length(rest, units).map(|l| (heading, Some(l))),
        },
        _ => {
            let message = format!("`{}` does not say which way the offset goes", shown(text));
            Err(Unread::new(
                UNREADABLE_LEG,
                message,
                "expected a plan heading and a length, like `east 4' 6`",
            ))
        }
    }
}

fn leg_length(text: &str, units: UnitSystem) -> Result<Length, Unread> {
    let value = length(text, units)?;
    if value.mm() > 0.0 {
        return Ok(value);
    }
    let message = format!("a leg of `{}` has no length to lay", shown(text));
    Err(Unread::new(
        OUT_OF_RANGE,
        message,
        "expected a length above nil; turn the heading round instead of the sign",
    ))
}

fn lies(text: &str) -> Result<Lies, Unread> {
    LIES.into_iter().find(|l| l.words() == text).ok_or_else(|| {
        let words = || LIES.iter().map(|l| l.words());
        let message = format!("a drain cannot lie `{}`", shown(text));
        let help = match nearest(text, words()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("expected {}", any_of(words())),
        };
        Unread::new(UNREADABLE_LEG, message, help)
    })
}

fn unknown(text: &str, opener: &str) -> Unread {
    let message = format!("`{}` does not read as a leg", shown(text));
    let help = match nearest(opener, OPENERS) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "expected a heading and a length like `north 32'` or `up 7' 8`, or `size 3`, `fall 1/4`, `lies under slab`".to_owned(),
    };
    Unread::new(UNREADABLE_LEG, message, help)
}

#[cfg(test)]
mod tests {
    use super::*;
    const FEET: UnitSystem = UnitSystem::Feet;

    #[test]
    fn legs_and_what_holds() {
        assert_eq!(
            leg_word("north 32'", FEET),
            Ok(LegWord::Leg(Heading::North, Length::from_feet(32.0)))
        );
        assert_eq!(
            leg_word("up 7' 8", FEET),
            Ok(LegWord::Leg(Heading::Up, Length::from_inches(92.0)))
        );
        assert_eq!(
            leg_word("lies under slab", FEET),
            Ok(LegWord::Lies(Lies::UnderSlab))
        );
        assert!(matches!(leg_word("size 3", FEET), Ok(LegWord::Size(_))));
        assert!(matches!(leg_word("fall 1/4", FEET), Ok(LegWord::Fall(_))));
        assert_eq!(
            go("east 4' 6", FEET),
            Ok((Heading::East, Some(Length::from_inches(54.0))))
        );
        assert_eq!(go("east", FEET), Ok((Heading::East, None)));
    }

    #[test]
    fn mistakes_get_the_nearest_word() {
        let help = |t: &str| {
            leg_word(t, FEET)
                .err()
                .and_then(|e| e.help)
                .unwrap_or_default()
        };
        assert_eq!(help("nroth 3'"), "did you mean `north`?");
        assert_eq!(help("lies under slap"), "did you mean `under slab`?");
        for text in [
            "",
            "north",
            "north -3'",
            "north 0",
            "size 7",
            "fall",
            "lies",
            "12'",
            "upwards and away",
        ] {
            assert!(leg_word(text, FEET).is_err(), "{text}");
        }
        assert!(go("up 3'", FEET).is_err());
    }
}
