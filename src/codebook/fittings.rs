use super::check::Checker;
use super::found::TableInfo;
use super::raw::{RawFitting, RawTable};
use super::{Book, Found, Provenance};
use crate::units::PipeSize;

/// A change of direction, downstream.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// From a level pipe into a standing one.
    HorizontalToVertical,
    /// From a standing pipe into a level one.
    VerticalToHorizontal,
    /// Between level pipes.
    HorizontalToHorizontal,
}

/// Whether and how a fitting may make a turn.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FittingUse {
    /// Whether it may at all.
    pub allowed: bool,
    /// Only for a fixture drain, up to this size.
    pub fixture_drain_to: Option<PipeSize>,
    /// Also for any drain from this size up.
    pub sizes_from: Option<PipeSize>,
    /// Double patterns have limits of their own.
    pub double_limits: bool,
}

/// A row of the fittings table, checked.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FittingRow {
    name: String,
    called: Option<String>,
    bought: Vec<String>,
    /// In the order of [`Turn`].
    uses: [FittingUse; 3],
    provenance: Provenance,
}

impl Book {
    /// The words of a fitting (`double sanitary tee`) with what the book calls it, where that is
    /// otherwise than by its trade name.
    pub fn fitting_called(&self, words: &str) -> String {
        let named = self.fittings.1.iter().filter_map(|r| {
            let called = r.called.as_deref()?;
            // A sweep is said in full: `long sweep quarter bend`.
            let full = format!("{} quarter bend", r.name);
            let full =
                Some(full).filter(|f| r.name.ends_with("sweep") && words.contains(f.as_str()));
            let name = full.unwrap_or_else(|| r.name.clone());
            words.contains(name.as_str()).then_some((name, called))
        });
        // The longest name that stands in the words: `combination wye and …` has `wye` in it.
        match named.max_by_key(|(name, _)| name.len()) {
            Some((name, called)) => words.replacen(name.as_str(), called, 1),
            None => words.to_owned(),
        }
    }

    /// What is bought for a fitting that the book calls so, where that is several things.
    pub fn bought_for(&self, called: &str) -> &[String] {
        let mut rows = self.fittings.1.iter();
        let row = rows.find(|r| r.called.as_deref() == Some(called));
        row.map_or(&[], |r| &r.bought)
    }

    /// Whether a fitting, by its trade name (`sanitary tee`), may make this turn. None: the book
    /// does not list the fitting.
    pub fn fitting(&self, name: &str, turn: Turn) -> Option<Found<FittingUse>> {
        let (info, rows) = &self.fittings;
        let row = rows.iter().find(|r| r.name == name)?;
        let (at, column) = match turn {
            Turn::HorizontalToVertical => (0, "horizontal to vertical"),
            Turn::VerticalToHorizontal => (1, "vertical to horizontal"),
            Turn::HorizontalToHorizontal => (2, "horizontal to horizontal"),
        };
        let value = *row.uses.get(at)?;
        Some(info.found(value, row.name.clone(), column, row.provenance))
    }
}

pub(super) fn load_fittings(
    check: &mut Checker,
    info: &TableInfo,
    raw: &toml::Spanned<RawTable<RawFitting>>,
) -> Vec<FittingRow> {
    let limits = &raw.get_ref().limits;
    let mut rows = Vec::new();
    for raw in &raw.get_ref().rows {
        let (span, r) = (raw.span(), raw.get_ref());
        let mut read = |words: &str| -> FittingUse {
            let mut told = FittingUse {
                allowed: words != "no",
                ..FittingUse::default()
            };
            if matches!(words, "yes" | "no") {
                return told;
            }
            for mark in words.split(',').map(str::trim) {
                let Some(limit) = limits.get(mark) else {
                    let message = format!("`{}`: there is no limit `{mark}`", r.name);
                    check.says("B013", "book-limit-unknown", span.clone(), message);
                    continue;
                };
                let mut size =
                    |n: Option<super::number::Size>| n.and_then(|n| check.size(n, span.clone()));
                told.fixture_drain_to = size(limit.fixture_drain_to).or(told.fixture_drain_to);
                told.sizes_from = size(limit.sizes_from).or(told.sizes_from);
                told.double_limits |= limit.double_limits;
            }
            told
        };
        let uses = [
            read(&r.horizontal_to_vertical),
            read(&r.vertical_to_horizontal),
            read(&r.horizontal_to_horizontal),
        ];
        rows.push(FittingRow {
            name: r.name.clone(),
            called: r.called.clone(),
            bought: r.bought.clone(),
            uses,
            provenance: check.provenance(r.provenance.as_deref(), info.provenance, span),
        });
    }
    rows
}
