//! How far apart pipe is hung.

use super::check::Checker;
use super::found::TableInfo;
use super::raw::{RawSupport, RawTable};
use super::{Book, Found, Provenance};
use crate::units::{Length, PipeSize};

/// A row of the table of supports, checked.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SupportRow {
    /// The material, as the catalogue names it.
    material: String,
    /// None: any larger size.
    to: Option<PipeSize>,
    level: Length,
    upright: Length,
    provenance: Provenance,
}

/// How far apart the supports of a pipe may stand, at most.
#[derive(Clone, Debug, PartialEq)]
pub struct Spacing {
    /// Along a pipe that lies level or with a fall.
    pub level: Found<Length>,
    /// Up a pipe that stands upright.
    pub upright: Found<Length>,
}

impl Book {
    /// How far apart pipe of a material (by the catalogue's name) and size is hung; none where the
    /// book says nothing of it.
    pub fn supports(&self, material: &str, size: PipeSize) -> Option<Spacing> {
        let (info, rows) = self.supports.as_ref()?;
        let is =
            |r: &&SupportRow| r.material == material && r.to.is_none_or(|largest| size <= largest);
        let row = rows.iter().find(is)?;
        let label = match row.to {
            Some(to) => format!("{material} to {}", info.size(to)),
            None => material.to_owned(),
        };
        let found = |value, column: &str| info.found(value, label.clone(), column, row.provenance);
        Some(Spacing {
            level: found(row.level, "level"),
            upright: found(row.upright, "upright"),
        })
    }
}

pub(super) fn load(
    check: &mut Checker,
    raw: &toml::Spanned<RawTable<RawSupport>>,
) -> (TableInfo, Vec<SupportRow>) {
    let info = check.head("supports", raw);
    let mut rows: Vec<SupportRow> = Vec::new();
    for raw in &raw.get_ref().rows {
        let (span, r) = (raw.span(), raw.get_ref());
        if crate::catalogue::material(&r.material) != Some(r.material.as_str()) {
            let message = format!(
                "[supports]: no table of pipes is called `{}`; there are {}",
                r.material,
                crate::catalogue::materials().collect::<Vec<_>>().join(", ")
            );
            check.says("B012", "book-row-incomplete", span.clone(), message);
        }
        let to = r.to.and_then(|size| check.size(size, span.clone()));
        let before = rows.iter().rev().find(|b| b.material == r.material);
        if before.is_some_and(|b| b.to.is_none_or(|b| to.is_some_and(|to| to <= b))) {
            let message = "[supports]: the sizes do not ascend".to_owned();
            check.says("B003", "book-rows-not-ascending", span.clone(), message);
        }
        let mut apart = |n: super::number::Number| {
            Length::from_feet(check.positive(n.0, "a distance", span.clone()))
        };
        let (level, upright) = (apart(r.level), apart(r.upright));
        rows.push(SupportRow {
            material: r.material.clone(),
            to,
            level,
            upright,
            provenance: check.provenance(r.provenance.as_deref(), info.provenance, span),
        });
    }
    if rows.is_empty() {
        let message = "[supports] has no rows".to_owned();
        check.says("B008", "book-table-empty", raw.span(), message);
    }
    (info, rows)
}
