use std::sync::OnceLock;

use serde::Deserialize;

use super::Dimension;
use crate::units::{Fall, Length, UnitSystem, Velocity};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    steepest: Steepest,
    fall_step: FallStep,
    agreement: Measure,
    under_slab: Measure,
    platform: Measure,
    widest_spacing: Measure,
    hole_clearance: InBoth,
    bit: InBoth,
    sawn_thickness: Measure,
    stock_length: StockLength,
    studs: Studs,
    hydraulics: RawHydraulics,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawHydraulics {
    roughness: f64,
    stack_part: String,
    scour_feet_per_second: f64,
    source: String,
}

/// Figures of hydraulics.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hydraulics {
    /// Manning's roughness of drains.
    pub roughness: f64,
    /// The part of a stack's bore that water may fill.
    pub stack_part: f64,
    /// That part, as it is written.
    pub stack_words: &'static str,
    /// The velocity from which on a drain cleans itself.
    pub scour: Velocity,
    /// Where they come from.
    pub source: &'static str,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Steepest {
    inches_per_foot: f64,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FallStep {
    inches_per_foot: f64,
    percent: f64,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StockLength {
    feet: f64,
    metres: f64,
    source: String,
}

/// A length that is another in each unit system.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct InBoth {
    inches: f64,
    mm: f64,
    source: String,
}

impl InBoth {
    fn in_units(&'static self, units: UnitSystem) -> Dimension {
        let value = match units {
            UnitSystem::Feet => Length::from_inches(self.inches),
            UnitSystem::Metric => Length::from_mm(self.mm),
        };
        Dimension {
            value,
            source: &self.source,
        }
    }
}

/// A length and its source.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Measure {
    inches: f64,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Studs {
    source: String,
    rows: Vec<Stud>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stud {
    wall: String,
    depth: f64,
}

/// The file, parsed once. It is part of the program and a test reads it, so the nothing of an
/// unreadable one is never met.
fn file() -> Option<&'static File> {
    static PARSED: OnceLock<Option<File>> = OnceLock::new();
    PARSED
        .get_or_init(|| toml::from_str(include_str!("practice.toml")).ok())
        .as_ref()
}

/// A wall of studs.
#[derive(Clone, Debug, PartialEq)]
pub struct StudWall {
    /// What it is called (`2x6`).
    pub name: &'static str,
    /// Depth of its studs, which is the room for a pipe.
    pub depth: Dimension,
}

/// Steepest fall of a drain where the job sets none, with its source.
pub fn steepest() -> Option<(Fall, &'static str)> {
    let s = &file()?.steepest;
    Some((Fall::from_inches_per_foot(s.inches_per_foot), &s.source))
}

/// The steps in which falls are set on site, in jobs of this unit system, with their source.
pub fn fall_step(units: UnitSystem) -> Option<(Fall, &'static str)> {
    let s = &file()?.fall_step;
    let step = match units {
        UnitSystem::Feet => Fall::from_inches_per_foot(s.inches_per_foot),
        UnitSystem::Metric => Fall::from_percent(s.percent),
    };
    Some((step, &s.source))
}

/// The length that pipe is bought in, in jobs of this unit system, with its source.
pub fn stock_length(units: UnitSystem) -> Option<Dimension> {
    let s = &file()?.stock_length;
    let value = match units {
        UnitSystem::Feet => Length::from_feet(s.feet),
        UnitSystem::Metric => Length::from_m(s.metres),
    };
    Some(Dimension {
        value,
        source: &s.source,
    })
}

/// How much larger a hole is than the outside of its pipe, before it is rounded up to a bit.
pub fn hole_clearance(units: UnitSystem) -> Option<Dimension> {
    Some(file()?.hole_clearance.in_units(units))
}

/// The steps that bits are made in.
pub fn bit_step(units: UnitSystem) -> Option<Dimension> {
    Some(file()?.bit.in_units(units))
}

/// Thickness of sawn joists.
pub fn sawn_thickness() -> Option<Dimension> {
    let s = &file()?.sawn_thickness;
    Some(Dimension {
        value: Length::from_inches(s.inches),
        source: &s.source,
    })
}

/// By how much two statements of one place or level may differ and still agree.
pub fn agreement() -> Option<Dimension> {
    let a = &file()?.agreement;
    Some(Dimension {
        value: Length::from_inches(a.inches),
        source: &a.source,
    })
}

/// Finer than anyone sets a pipe: room may lack so much and still be said to be there. See [`agreement`].
pub fn fine() -> Length {
    agreement().map_or(Length::ZERO, |a| a.value)
}

/// A pipe under a slab keeps its outside so far below it.
pub fn under_slab() -> Option<Dimension> {
    let s = &file()?.under_slab;
    Some(Dimension {
        value: Length::from_inches(s.inches),
        source: &s.source,
    })
}

/// Figures of hydraulics, with their source.
pub fn hydraulics() -> Option<Hydraulics> {
    let h = &file()?.hydraulics;
    let (over, under) = h.stack_part.split_once('/')?;
    let part = over.trim().parse::<f64>().ok()? / under.trim().parse::<f64>().ok()?;
    Some(Hydraulics {
        roughness: h.roughness,
        stack_part: part,
        stack_words: &h.stack_part,
        scour: Velocity::from_feet_per_second(h.scour_feet_per_second),
        source: &h.source,
    })
}

/// The highest platform that a fixture is stood on.
pub fn platform() -> Option<Dimension> {
    let p = &file()?.platform;
    Some(Dimension {
        value: Length::from_inches(p.inches),
        source: &p.source,
    })
}

/// How far apart joists stand at most where the job does not say.
pub fn widest_spacing() -> Option<Dimension> {
    let s = &file()?.widest_spacing;
    Some(Dimension {
        value: Length::from_inches(s.inches),
        source: &s.source,
    })
}

/// What joists of this depth are called (`2x10`), if they are of a sawn size; none: they are made
/// by some other way, and what may be bored is for their maker to say.
pub fn sawn_joist(depth: Length) -> Option<&'static str> {
    // A metric job states the same size to a millimetre or two.
    let near = Length::from_inches(0.0625);
    let mut sizes = stud_walls();
    sizes
        .find(|w| (w.depth.value - depth).abs() <= near)
        .map(|w| w.name)
}

/// The walls that the catalogue knows, shallowest first.
pub fn stud_walls() -> impl Iterator<Item = StudWall> {
    let studs = file().map(|f| &f.studs);
    studs.into_iter().flat_map(|studs| {
        studs.rows.iter().map(|row| StudWall {
            name: &row.wall,
            depth: Dimension {
                value: Length::from_inches(row.depth),
                source: &studs.source,
            },
        })
    })
}

/// The wall that these words name (`2x6`, `2 × 6 wall`); none: the catalogue does not know it.
pub fn stud_wall(words: &str) -> Option<StudWall> {
    let words = words.to_lowercase().replace('×', "x");
    let plain: String = words.chars().filter(|c| !c.is_whitespace()).collect();
    let plain = ["studwall", "wall", "studs", "stud"]
        .iter()
        .find_map(|end| plain.strip_suffix(end))
        .unwrap_or(&plain);
    stud_walls().find(|w| w.name == plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_reads_and_walls_go_up_in_depth() {
        assert!(steepest().is_some_and(|(f, source)| f.ratio() > 0.0 && !source.is_empty()));
        assert!(hydraulics().is_some_and(|h| h.stack_part > 0.25 && h.stack_part < 0.34));
        assert!(agreement().is_some_and(|a| a.value > Length::ZERO && !a.source.is_empty()));
        let depths: Vec<f64> = stud_walls().map(|w| w.depth.value.inches()).collect();
        assert!(depths.len() > 3 && depths.windows(2).all(|d| d[0] < d[1]));
    }

    #[test]
    fn sawn_joists_are_known_by_their_depth() {
        let name = |inches| sawn_joist(Length::from_inches(inches));
        assert_eq!(name(9.25), Some("2x10"));
        assert_eq!(sawn_joist(Length::from_mm(235.0)), Some("2x10"));
        // The depths that engineered joists are made in.
        for made in [9.5, 11.875, 14.0, 16.0] {
            assert_eq!(name(made), None, "{made}");
        }
    }

    #[test]
    fn walls_are_known_by_the_words_on_a_plan() {
        for words in ["2x6", "2 X 6", "2×6 wall", "2x6 stud wall"] {
            assert_eq!(stud_wall(words).map(|w| w.name), Some("2x6"), "{words}");
        }
        assert!(stud_wall("8in block").is_none());
        // Two rows of studs: nobody says how far apart.
        assert!(stud_wall("double 2x4").is_none());
    }
}
