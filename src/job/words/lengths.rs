//! Lengths: `12' 4 1/2`, `12'-4 1/2"`, `9 1/2in`, `3.2 m`, `110 mm`; a bare number is feet in a
//! feet job and metres in a metric one. A sign covers the whole.

use super::numbers::number;
use crate::job::problems::{OUT_OF_RANGE, UNREADABLE_LENGTH, Unread, shown};
use crate::units::{Length, UnitSystem};

/// No building and no sewer is longer than 10 km, and no survey point higher.
const LONGEST: Length = Length::from_mm(10_000_000.0);

/// Reads a length with its unit.
pub fn length(text: &str, units: UnitSystem) -> Result<Length, Unread> {
    let value = read(text, units).ok_or_else(|| {
        let help = match units {
            UnitSystem::Feet => {
                "expected a length like `12' 4 1/2`, `9 1/2in`, `-8' 10` or `3.2 m`"
            }
            UnitSystem::Metric => {
                "expected a length like `3.2 m`, `110 mm`, `-0.6 m` or `12' 4 1/2`"
            }
        };
        Unread::new(
            UNREADABLE_LENGTH,
            format!("`{}` does not read as a length", shown(text)),
            help,
        )
    })?;
    within(value, text)
}

/// A length that can be built, or why not.
pub fn within(value: Length, text: &str) -> Result<Length, Unread> {
    if value.mm().is_finite() && value.abs() <= LONGEST {
        return Ok(value);
    }
    let message = format!("`{}` is longer than any building", shown(text));
    Err(Unread::new(
        OUT_OF_RANGE,
        message,
        "expected at most 10 km, about 32,800 ft",
    ))
}

fn read(text: &str, units: UnitSystem) -> Option<Length> {
    let text = text.trim();
    let (negative, rest) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let value = unsigned(rest.trim_start(), units)?;
    Some(if negative { -value } else { value })
}

/// The marks of each unit; the longer before those that they end in.
const FEET: [&str; 6] = ["feet", "foot", "ft.", "ft", "'", "′"];
const INCHES: [&str; 7] = ["inches", "inch", "in", "\"", "″", "''", "′′"];

fn unsigned(text: &str, units: UnitSystem) -> Option<Length> {
    if let Some(head) = text.strip_suffix("mm") {
        return number(head).map(Length::from_mm);
    }
    if let Some(head) = text.strip_suffix("cm") {
        return number(head).map(|cm| Length::from_mm(cm * 10.0));
    }
    if let Some(head) = text.strip_suffix('m') {
        return number(head).map(|m| Length::from_mm(m * 1000.0));
    }
    let inches = INCHES.iter().find_map(|mark| text.strip_suffix(mark));
    let body = inches.unwrap_or(text);
    if let Some((feet, rest)) = FEET.iter().find_map(|mark| body.split_once(mark)) {
        let feet = Length::from_feet(number(feet)?);
        let rest = rest.trim_start();
        let rest = rest.strip_prefix('-').unwrap_or(rest).trim();
        return match (rest.is_empty(), inches.is_some()) {
            (true, false) => Some(feet),
            (true, true) => None,
            // The inches of a length in feet are less than a foot.
            _ => number(rest)
                .filter(|i| *i < 12.0)
                .map(|i| feet + Length::from_inches(i)),
        };
    }
    match (inches, units) {
        (Some(body), _) => number(body).map(Length::from_inches),
        (None, UnitSystem::Feet) => number(text).map(Length::from_feet),
        (None, UnitSystem::Metric) => number(text).map(|m| Length::from_mm(m * 1000.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(text: &str) -> f64 {
        length(text, UnitSystem::Feet).expect(text).inches()
    }
    fn mm(text: &str) -> f64 {
        length(text, UnitSystem::Metric).expect(text).mm()
    }
    fn same(a: f64, b: f64) {
        assert!((a - b).abs() < 1e-9, "{a} {b}");
    }

    #[test]
    fn feet_and_inches_in_every_spelling() {
        for text in [
            "12' 4 1/2",
            "12'-4 1/2\"",
            "12′-4½″",
            "12 ft 4.5 in",
            "12ft 4 1/2in",
            "12'4½''",
            "148.5in",
            "12.375",
            "+12' 4 1/2",
        ] {
            same(inches(text), 148.5);
        }
        same(inches("-8' 10"), -106.0);
        same(inches("- 8' 10\""), -106.0);
        same(inches("−8′-10″"), -106.0);
        same(inches("9 1/2in"), 9.5);
        same(inches("5/8in"), 0.625);
        same(inches("0"), 0.0);
        same(inches("-13'"), -156.0);
        same(inches("254 mm"), 10.0);
    }

    #[test]
    fn metres() {
        same(mm("3.2 m"), 3200.0);
        same(mm("3.2"), 3200.0);
        same(mm("110 mm"), 110.0);
        same(mm("12.5cm"), 125.0);
        same(mm("-0.6 m"), -600.0);
        same(mm("1'"), 304.8);
    }

    #[test]
    fn what_does_not_read_says_so() {
        for text in [
            "",
            "-",
            "12 feet long",
            "12' 14",
            "12' \"",
            "about 3'",
            "--3'",
            "3' 4' 5",
            "1/0in",
            "m",
            "3 yd",
            "'",
            "\"",
            "1e3 m",
        ] {
            let got = length(text, UnitSystem::Feet);
            assert_eq!(
                got.map_err(|e| e.mistake.name),
                Err("unreadable-length"),
                "{text}"
            );
        }
        let far = length("99999999 m", UnitSystem::Metric);
        assert_eq!(far.map_err(|e| e.mistake.name), Err("out-of-range"));
    }
}
