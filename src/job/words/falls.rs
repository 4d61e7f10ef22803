//! Falls: `1/4` and `1/4 in/ft` (inches per foot), `2%`, `1:50`.

use super::numbers::number;
use crate::job::problems::{OUT_OF_RANGE, UNREADABLE_FALL, Unread, shown};
use crate::units::{Fall, UnitSystem};

/// Reads a fall. A bare decimal is inches per foot in a feet job, percent in a metric one; a
/// fraction is always inches per foot, as nobody writes percent that way.
pub fn fall(text: &str, units: UnitSystem) -> Result<Fall, Unread> {
    let value = read(text, units).ok_or_else(|| {
        let message = format!("`{}` does not read as a fall", shown(text));
        Unread::new(
            UNREADABLE_FALL,
            message,
            "expected a fall like `1/4` (inch per foot), `2%` or `1:50`",
        )
    })?;
    // Steeper than 45° a pipe is no drain with a fall but a drop.
    if value.ratio() > 0.0 && value.ratio() <= 1.0 {
        return Ok(value);
    }
    let message = format!("`{}` is no fall of a drain", shown(text));
    Err(Unread::new(
        OUT_OF_RANGE,
        message,
        "expected more than nil and at most 1:1",
    ))
}

fn read(text: &str, units: UnitSystem) -> Option<Fall> {
    let text = text.trim();
    if let Some(body) = text.strip_suffix('%') {
        return number(body).map(Fall::from_percent);
    }
    if let Some((drop, run)) = text.split_once(':') {
        let (drop, run) = (number(drop)?, number(run)?);
        return (run > 0.0).then(|| Fall::from_ratio(drop / run));
    }
    const PER_FOOT: [&str; 6] = [
        "in/ft",
        "in per ft",
        "in per foot",
        "inch per foot",
        "\"/ft",
        "″/ft",
    ];
    if let Some(body) = PER_FOOT.iter().find_map(|mark| text.strip_suffix(mark)) {
        return number(body).map(Fall::from_inches_per_foot);
    }
    let value = number(text)?;
    let decimal = !text.contains('/') && text.is_ascii();
    Some(match units {
        UnitSystem::Metric if decimal => Fall::from_percent(value),
        _ => Fall::from_inches_per_foot(value),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling() {
        let quarter = Fall::from_inches_per_foot(0.25);
        for text in ["1/4", "1/4 in/ft", "¼", "0.25", "1/4\"/ft", "1:48"] {
            assert!(
                fall(text, UnitSystem::Feet).expect(text).same(quarter),
                "{text}"
            );
        }
        let two = Fall::from_percent(2.0);
        for text in ["2%", "2 %", "1:50", "2"] {
            assert!(
                fall(text, UnitSystem::Metric).expect(text).same(two),
                "{text}"
            );
        }
        assert!(
            fall("1/4", UnitSystem::Metric)
                .expect("a fraction")
                .same(quarter)
        );
    }

    #[test]
    fn what_does_not_read() {
        for text in ["", "%", "1:0", "steep", "-1/4", "1:", ":50", "1/4 per yard"] {
            assert!(fall(text, UnitSystem::Feet).is_err(), "{text}");
        }
        assert!(fall("0", UnitSystem::Feet).is_err());
        assert!(fall("300%", UnitSystem::Feet).is_err());
    }
}
