//! Flows (`9 gpm`, `0.6 L/s`) and flushes (`1.28`, `4.8 L`).

use super::numbers::number;
use crate::job::problems::{OUT_OF_RANGE, UNREADABLE_FLOW, Unread, shown};
use crate::units::{Flow, LITRES_PER_GALLON, UnitSystem};

/// No fixture and no pump of this trade gives more, in US gallons per minute.
const MOST_GPM: f64 = 100_000.0;
/// No closet or urinal flushes with more, in US gallons.
const MOST_GALLONS: f64 = 10.0;

/// Reads a flow. A bare number is US gallons per minute in a feet job, litres per second in a
/// metric one.
pub fn flow(text: &str, units: UnitSystem) -> Result<Flow, Unread> {
    let help = "expected a flow like `9 gpm` or `0.6 L/s`";
    let value = read_flow(text.trim(), units).ok_or_else(|| {
        let message = format!("`{}` does not read as a flow", shown(text));
        Unread::new(UNREADABLE_FLOW, message, help)
    })?;
    if value.gpm() > 0.0 && value.gpm() <= MOST_GPM {
        return Ok(value);
    }
    let message = format!("`{}` is no flow of a fixture or a pump", shown(text));
    Err(Unread::new(OUT_OF_RANGE, message, help))
}

fn read_flow(text: &str, units: UnitSystem) -> Option<Flow> {
    if let Some(body) = text.strip_suffix("gpm") {
        return number(body).map(Flow::from_gpm);
    }
    if let Some(body) = text
        .strip_suffix("L/s")
        .or_else(|| text.strip_suffix("l/s"))
    {
        return number(body).map(Flow::from_litres_per_second);
    }
    number(text).map(match units {
        UnitSystem::Feet => Flow::from_gpm,
        UnitSystem::Metric => Flow::from_litres_per_second,
    })
}

/// Reads the water of one flush, in US gallons; litres carry their unit.
pub fn gallons(text: &str) -> Result<f64, Unread> {
    let trimmed = text.trim();
    let litres = ["L", "l", "lpf"]
        .iter()
        .find_map(|mark| trimmed.strip_suffix(mark));
    let value = match litres {
        Some(body) => number(body).map(|l| l / LITRES_PER_GALLON),
        None => number(trimmed.strip_suffix("gpf").unwrap_or(trimmed)),
    };
    match value {
        Some(v) if v > 0.0 && v <= MOST_GALLONS => Ok(v),
        _ => {
            let message = format!("`{}` is no flush of a closet or a urinal", shown(text));
            let help = "expected US gallons like `1.28`, or litres like `\"4.8 L\"`";
            Err(Unread::new(UNREADABLE_FLOW, message, help))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flows() {
        let gpm = |t: &str, u| flow(t, u).map(Flow::gpm).ok();
        assert_eq!(gpm("9 gpm", UnitSystem::Metric), Some(9.0));
        assert_eq!(gpm("9", UnitSystem::Feet), Some(9.0));
        let litres = gpm("0.6 L/s", UnitSystem::Feet).expect("litres per second");
        assert!((litres - 9.510_193_9).abs() < 1e-6);
        assert_eq!(gpm("0.6", UnitSystem::Metric), Some(litres));
        for text in ["", "gpm", "0 gpm", "-9 gpm", "9 gph", "9999999 gpm"] {
            assert_eq!(gpm(text, UnitSystem::Feet), None, "{text}");
        }
    }

    #[test]
    fn flushes() {
        assert_eq!(gallons("1.28").ok(), Some(1.28));
        assert_eq!(gallons("1.6 gpf").ok(), Some(1.6));
        let litres = gallons("4.8 L").expect("litres");
        assert!((litres - 1.268).abs() < 1e-3);
        assert!(gallons("0").is_err());
        assert!(gallons("60").is_err());
    }
}
