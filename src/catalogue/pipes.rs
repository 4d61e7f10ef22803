use std::collections::BTreeSet;
use std::sync::OnceLock;

use serde::Deserialize;

use crate::units::{Length, PipeSize};

/// A dimension of a pipe, with its source.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// The dimension.
    pub value: Length,
    /// The standard, and whether it was read there.
    pub source: &'static str,
}

/// How pipe of a material is joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Joined {
    /// Solvent cement, a joint at each hub.
    #[serde(rename = "cement")]
    Cement,
    /// Shielded couplings, one at each joint of hubless pipe.
    #[serde(rename = "coupling")]
    Coupling,
    /// Solder.
    #[serde(rename = "solder")]
    Solder,
    /// Push-fit, with a ring seal in each socket.
    #[serde(rename = "ring seal")]
    RingSeal,
    /// The catalogue has no table of the material.
    #[serde(skip)]
    Unknown,
}

impl Joined {
    /// A joint, in words.
    pub fn words(self) -> &'static str {
        match self {
            Joined::Cement => "solvent cement joint",
            Joined::Coupling => "shielded coupling",
            Joined::Solder => "soldered joint",
            Joined::RingSeal => "push-fit joint, ring seal",
            Joined::Unknown => "joint, by the material's maker",
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    material: Vec<Material>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Material {
    name: String,
    joined: Joined,
    plastic: bool,
    #[serde(default)]
    iron: bool,
    words: Vec<String>,
    source: String,
    /// Whether its figures are in mm, and it is sold by its outside diameter.
    #[serde(default)]
    metric: bool,
    rows: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    size: f64,
    outside: f64,
    bore: f64,
    source: Option<String>,
}

/// The tables, parsed once. The file is part of the program and a test reads it, so the empty
/// list of an unreadable one is never met.
fn tables() -> &'static [Material] {
    static PARSED: OnceLock<Vec<Material>> = OnceLock::new();
    PARSED.get_or_init(|| {
        toml::from_str::<File>(include_str!("pipes.toml"))
            .map_or_else(|_| Vec::new(), |f| f.material)
    })
}

fn table(word: &str) -> Option<&'static Material> {
    let word = word.trim().to_lowercase();
    let word = word.split_whitespace().collect::<Vec<_>>().join(" ");
    tables()
        .iter()
        .find(|m| m.name.to_lowercase() == word || m.words.contains(&word))
}

/// A dimension of a pipe, as its row has it.
fn dimension(word: &str, size: PipeSize, of: impl Fn(&Row) -> f64) -> Option<Dimension> {
    let table = table(word)?;
    let row = table
        .rows
        .iter()
        .find(|r| PipeSize::from_inches(r.size) == Some(size))?;
    Some(Dimension {
        value: match table.metric {
            true => Length::from_mm(of(row)),
            false => Length::from_inches(of(row)),
        },
        source: row.source.as_deref().unwrap_or(&table.source),
    })
}

/// The catalogue's name of a material, from any usual word for it (`no-hub`).
pub fn material(word: &str) -> Option<&'static str> {
    table(word).map(|m| m.name.as_str())
}

/// Whether a material is a plastic; none: the catalogue has no table of it, and its words do not
/// say so.
pub fn is_plastic(word: &str) -> Option<bool> {
    /// Plastics that drains are made of, by their short names (ISO 1043).
    const PLASTICS: [&str; 7] = ["PVC", "PVC-U", "ABS", "PP", "PE", "PE-HD", "HDPE"];
    let named = |w: &str| PLASTICS.iter().any(|p| p.eq_ignore_ascii_case(w));
    let said = word
        .split(|c: char| !c.is_alphanumeric() && c != '-')
        .any(named);
    table(word).map(|m| m.plastic).or(said.then_some(true))
}

/// How pipe of a material is joined: as its table says, or where there is none, as its own words do.
pub fn joined(word: &str) -> Joined {
    let said = || match word.to_lowercase().contains("ring seal") {
        true => Joined::RingSeal,
        false => Joined::Unknown,
    };
    table(word).map_or_else(said, |m| m.joined)
}

/// Whether a material is iron or steel, by its table or by its own words.
pub fn is_iron(word: &str) -> bool {
    let words = word.to_lowercase();
    let said = ["cast iron", "galvanized", "no-hub"];
    table(word).is_some_and(|m| m.iron) || said.iter().any(|w| words.contains(w))
}

/// Whether pipe of a material is sold by its outside diameter in mm: as its table says, or where there
/// is none, if it is a plastic.
pub fn sold_by_outside(word: &str) -> bool {
    match table(word) {
        Some(table) => table.metric,
        None => is_plastic(word).unwrap_or_default(),
    }
}

/// What pipe of some materials and sizes has on it, where that is not its nominal size.
pub fn sold_as<'a>(pipes: impl Iterator<Item = (&'a str, PipeSize)>) -> Option<String> {
    let sizes = pipes.filter(|(made_of, _)| sold_by_outside(made_of));
    let sizes: BTreeSet<PipeSize> = sizes.map(|(_, size)| size).collect();
    let pairs = sizes.into_iter().filter_map(|s| {
        let outside = s.sold_outside()?;
        Some(format!("DN {} is {outside} mm", s.dn()))
    });
    let pairs: Vec<String> = pairs.collect();
    (!pairs.is_empty()).then(|| pairs.join(", "))
}

/// Names of the materials with tables.
pub fn materials() -> impl Iterator<Item = &'static str> {
    tables().iter().map(|m| m.name.as_str())
}

/// Inside diameter of a pipe; none: the material is not in the catalogue or not made in the size.
pub fn bore(material: &str, size: PipeSize) -> Option<Dimension> {
    dimension(material, size, |row| row.bore)
}

/// Outside diameter of a pipe's barrel; none: as for [`bore`].
pub fn outside(material: &str, size: PipeSize) -> Option<Dimension> {
    dimension(material, size, |row| row.outside)
}

/// Outside diameter of a joint, where one pipe enters another's hub or a fitting.
///
/// ```text
/// H = D + 2·t = 2·D − d,   t = (D − d) / 2
/// ```
///
/// `D` the outside diameter and `d` the bore of the pipe, `t` its wall, all in one length unit: a
/// hub has a wall of its own, at least as thick as the pipe's. Geometry; no standard is its
/// source, and the couplings of hubless pipe are a little larger. None: as for [`bore`].
pub fn at_hubs(material: &str, size: PipeSize) -> Option<Dimension> {
    dimension(material, size, |row| 2.0 * row.outside - row.bore)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_reads_and_holds_together() {
        let file: File = toml::from_str(include_str!("pipes.toml")).expect("pipes.toml");
        assert_eq!(file.material.len(), 5);
        for m in &file.material {
            assert!(!m.source.is_empty());
            assert!(m.words.iter().all(|w| *w == w.to_lowercase()));
            let mut last = 0.0;
            for r in &m.rows {
                assert!(PipeSize::from_inches(r.size).is_some());
                let inches = |v: f64| if m.metric { v / 25.4 } else { v };
                let (outside, bore) = (inches(r.outside), inches(r.bore));
                assert!(r.size > last && outside > bore && bore > r.size * 0.88);
                last = r.size;
            }
        }
    }

    #[test]
    fn looks_up_by_usual_words_and_ends_with_the_table() {
        let three = PipeSize::from_inches(3.0).expect("a size");
        let fifteen = PipeSize::from_inches(15.0).expect("a size");
        assert_eq!(material("No-Hub"), Some("cast iron no-hub"));
        assert!(outside("pvc", three).is_some_and(|d| d.value.same(Length::from_inches(3.5))));
        assert!(bore("PVC DWV", fifteen).is_none());
        assert!(bore("clay", three).is_none());
    }
}
