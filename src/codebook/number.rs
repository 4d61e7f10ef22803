//! Numbers as a book writes them: `3`, `0.25`, `"1/4"`, `"1 1/4"`, and `"-"` for an empty cell.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, Visitor};

/// A number, written plainly or as a fraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Number(pub f64);

/// A cell of a table: a number, or none where the table has a dash.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell(pub Option<f64>);

/// A pipe size as a book writes it: in inches, or `"DN 100"`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Size {
    /// Nominal inches.
    Inches(f64),
    /// Nominal diameter in millimetres.
    Dn(u16),
}

/// Reads the number of `DN 100`.
pub fn parse_dn(text: &str) -> Option<u16> {
    let number = text.trim().strip_prefix("DN")?.trim();
    let digits = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
    digits.then(|| number.parse().ok()).flatten()
}

/// Reads `3`, `1/4` and `1 1/4`.
pub fn parse(text: &str) -> Option<f64> {
    let one = |t: &str| -> Option<f64> {
        let plain = |t: &str| {
            let digits = !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit() || b == b'.');
            digits.then(|| t.parse::<f64>().ok()).flatten()
        };
        match t.split_once('/') {
            Some((a, b)) => {
                let (a, b) = (plain(a)?, plain(b)?);
                (b > 0.0).then(|| a / b)
            }
            None => plain(t),
        }
    };
    match text.trim().split_once(' ') {
        Some((whole, part)) if part.contains('/') => Some(one(whole)? + one(part.trim())?),
        Some(_) => None,
        None => one(text.trim()),
    }
}

struct Reads;

impl Visitor<'_> for Reads {
    type Value = Option<f64>;
    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a number, a fraction such as \"1/4\", or \"-\"")
    }
    fn visit_i64<E: Error>(self, v: i64) -> Result<Self::Value, E> {
        Ok(Some(v as f64))
    }
    fn visit_f64<E: Error>(self, v: f64) -> Result<Self::Value, E> {
        if v.is_finite() {
            Ok(Some(v))
        } else {
            Err(E::custom("a number must be finite"))
        }
    }
    fn visit_str<E: Error>(self, v: &str) -> Result<Self::Value, E> {
        if v == "-" {
            return Ok(None);
        }
        parse(v)
            .map(Some)
            .ok_or_else(|| E::custom(format!("`{v}` is not a number or a fraction")))
    }
}

struct ReadsSize;

impl Visitor<'_> for ReadsSize {
    type Value = Size;
    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a pipe size: inches, a fraction such as \"1 1/4\", or \"DN 100\"")
    }
    fn visit_i64<E: Error>(self, v: i64) -> Result<Self::Value, E> {
        Ok(Size::Inches(v as f64))
    }
    fn visit_f64<E: Error>(self, v: f64) -> Result<Self::Value, E> {
        Ok(Size::Inches(v))
    }
    fn visit_str<E: Error>(self, v: &str) -> Result<Self::Value, E> {
        (parse_dn(v).map(Size::Dn))
            .or_else(|| parse(v).map(Size::Inches))
            .ok_or_else(|| E::custom(format!("`{v}` is not a pipe size")))
    }
}

impl<'de> Deserialize<'de> for Size {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(ReadsSize)
    }
}

impl<'de> Deserialize<'de> for Cell {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(Reads).map(Cell)
    }
}

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(Reads)?
            .map(Number)
            .ok_or_else(|| D::Error::custom("a number is wanted here, not a dash"))
    }
}

#[cfg(test)]
mod tests {
    use super::{parse, parse_dn};

    #[test]
    fn reads_numbers_and_fractions() {
        assert_eq!(parse("1 1/4"), Some(1.25));
        assert_eq!(parse("1/16"), Some(0.0625));
        assert_eq!(parse("3"), Some(3.0));
        for bad in ["", "1/0", "one", "1 2", "-1", "1e9", "nan", "1//2"] {
            assert_eq!(parse(bad), None, "{bad}");
        }
    }

    #[test]
    fn reads_nominal_diameters() {
        assert_eq!(parse_dn("DN 100"), Some(100));
        assert_eq!(parse_dn("DN50"), Some(50));
        for bad in ["100", "DN", "DN -5", "DN 1.5", "DN 99999999"] {
            assert_eq!(parse_dn(bad), None, "{bad}");
        }
    }
}
