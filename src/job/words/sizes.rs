//! Pipe sizes: `3`, `1.5`, `1 1/2`, `3in`; `110`, `DN 100` in metric jobs. The nominal inches
//! end where the millimetres begin, so either name is understood in every job.

use super::numbers::number;
use crate::job::problems::{UNREADABLE_SIZE, Unread, shown};
use crate::units::{PipeSize, UnitSystem};

/// Reads a pipe size.
pub fn size(text: &str, units: UnitSystem) -> Result<PipeSize, Unread> {
    read(text).ok_or_else(|| {
        let all: Vec<String> = PipeSize::all()
            .map(|s| match units {
                UnitSystem::Feet => s.trade_name().to_owned(),
                UnitSystem::Metric => s.dn().to_string(),
            })
            .collect();
        let message = format!("`{}` is not a pipe size of the trade", shown(text));
        Unread::new(
            UNREADABLE_SIZE,
            message,
            format!("expected one of {}", all.join(", ")),
        )
    })
}

fn read(text: &str) -> Option<PipeSize> {
    let text = text.trim();
    let dn = text.strip_prefix("DN").or_else(|| text.strip_prefix("dn"));
    if let Some(body) = dn.or_else(|| text.strip_suffix("mm")) {
        return millimetres(number(body)?);
    }
    let body = ["inch", "in", "\"", "″"]
        .iter()
        .find_map(|mark| text.strip_suffix(mark));
    match body {
        Some(body) => PipeSize::from_inches(number(body)?),
        None => {
            let value = number(text)?;
            PipeSize::from_inches(value).or_else(|| millimetres(value))
        }
    }
}

fn millimetres(value: f64) -> Option<PipeSize> {
    let whole = value.fract() == 0.0 && (1.0..=2000.0).contains(&value);
    if whole {
        PipeSize::from_dn(value as u16)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_names_of_a_size() {
        for (text, inches) in [
            ("3", 3.0),
            ("1.5", 1.5),
            ("1 1/2", 1.5),
            ("1½\"", 1.5),
            ("4in", 4.0),
            ("110", 4.0),
            ("DN 100", 4.0),
            ("100 mm", 4.0),
            ("32", 1.25),
        ] {
            let got = size(text, UnitSystem::Feet).expect(text);
            assert_eq!(got.inches(), inches, "{text}");
        }
        for text in ["", "3.5", "7", "0", "-3", "99", "four", "1e3", "99999999"] {
            assert!(size(text, UnitSystem::Metric).is_err(), "{text}");
        }
    }
}
