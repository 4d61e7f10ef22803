//! What a crew's sheet is called and what it lists.

use std::collections::{BTreeMap, BTreeSet};

use super::Pass;
use crate::captions::Trade;
use crate::crew::{self, Alike, CrewSheet, Datum, Last, Shown};
use crate::network::{JointIx, Network, PieceIx, System};
use crate::placement::{Bands, Division, Plan, Root};
use crate::sheets::{self, Paper, Scene};
use crate::solve::Work;
use crate::takeoff::Phase;

impl Pass<'_> {
    /// What is said on a sheet.
    pub(super) fn sheet(&self, i: usize, plan: &Plan, ground: &Ground<'_>) -> CrewSheet {
        let Ground {
            bands,
            division,
            datums,
            numbers,
            cut,
        } = ground;
        let (band, underground) = bands.get(i).copied().unwrap_or_default();
        let mut pieces: Vec<PieceIx> = plan.placement.pipes.iter().map(|p| p.piece).collect();
        pieces.sort_unstable();
        pieces.dedup();
        let floor = band
            .checked_sub(1)
            .and_then(|b| division.bands.bounds().get(b))
            .and_then(|f| self.work.job.floors.get(f.0));
        let alike = self.alike(&pieces, cut);
        let floors = floor.map(|f| match alike.floors.map(|(_, high)| high.0) {
            Some(high) if self.typical.is_some() => {
                let high = self.work.job.floors.get(high);
                let high = high.filter(|h| h.level > f.level);
                match high {
                    Some(high) => format!("{} to {}", f.name, high.name),
                    None => f.name.clone(),
                }
            }
            _ => f.name.clone(),
        });
        let title = match (self.trade, floors) {
            (Trade::Drains, Some(floors)) => format!("Drains, {floors}"),
            (Trade::Vents, Some(floors)) => format!("Vents, {floors}"),
            (Trade::Drains, None) if underground => "Underground".to_owned(),
            (Trade::Drains, None) => "Building drain".to_owned(),
            (Trade::Vents, None) => "Vents".to_owned(),
        };
        let datum = datums.get(band).cloned();
        let datum = datum.unwrap_or_else(|| Datum::of_underground(self.work.job));
        // What hangs on the same floors follows what is covered before.
        let own = (band, underground);
        let last = match bands.iter().rposition(|b| *b == own) == Some(i) {
            true if i + 1 == bands.len() => Last::OfAll,
            true => Last::OfFloor,
            false => Last::No,
        };
        let ground = crew::Ground {
            trade: self.trade,
            shown: Shown {
                datum: &datum,
                numbers,
                pieces: &pieces,
                cut,
                whole: self.whole,
                framing: self.framing,
            },
            last,
            typical: self.typical,
        };
        let mut parts = crew::parts(&self.work, &ground);
        if let Some(part) = parts.last_mut() {
            part.steps.extend(alike.steps);
        }
        CrewSheet {
            number: sheets::crew_number(self.before.sheets.len() + i),
            title,
            trade: self.trade,
            serves: alike.serves,
            parts,
            pieces,
            cut: cut.clone(),
        }
    }

    /// What may stand on one sheet, in the order of the sheets: what is on one band of floors, below
    /// the ground first, and serves the same floors. What shows nothing of the trade is in no group.
    pub(super) fn groups(
        &self,
        division: &Division,
        pieces: &[BTreeSet<PieceIx>],
    ) -> Vec<Option<usize>> {
        let own = match self.trade {
            Trade::Drains => System::Waste,
            Trade::Vents => System::Vent,
        };
        let net = self.work.net;
        let is_own = |p: &PieceIx| net.graph.edge_weight(*p).is_some_and(|p| p.system == own);
        let below = |p: &PieceIx| Phase::of(&self.work, *p) == Phase::Underground;
        let key = |(i, pieces): (usize, &BTreeSet<PieceIx>)| {
            let band = band(division, net, i);
            let floor = band
                .checked_sub(1)
                .and_then(|b| division.bands.bounds().get(b));
            let root = division.sheets.get(i).and_then(|s| s.first());
            let stack = self.typical.and_then(|t| match root?.root {
                Root::Cut(piece) => t.stands(net.from(piece)?).map(|s| s.0),
                Root::Vents { stack, .. } => Some(stack),
                Root::Exit(_) => None,
            });
            let like = self.typical.and_then(|t| t.like_floor(stack?, *floor?));
            let above = !pieces.iter().any(below);
            let shown = pieces.iter().any(is_own);
            shown.then_some((band, above, like.map(|r| r.last)))
        };
        let keys: Vec<_> = pieces.iter().enumerate().map(key).collect();
        let all: BTreeSet<_> = keys.iter().flatten().collect();
        let place = |key: &_| all.iter().position(|k| *k == key);
        keys.iter().map(|k| place(k.as_ref()?)).collect()
    }

    /// What a sheet serves besides what it shows.
    fn alike(&self, pieces: &[PieceIx], cut: &BTreeSet<PieceIx>) -> Alike {
        let whole = Work {
            net: self.whole,
            ..self.work
        };
        let alike = |typical| crew::alike(&whole, typical, (self.trade, pieces), cut);
        self.typical.map(alike).unwrap_or_default()
    }
}

/// Counts the sheets of one title.
pub(super) fn count_titles(sheets: &mut [(CrewSheet, Scene, Paper)]) {
    let titles: Vec<String> = sheets.iter().map(|s| s.0.title.clone()).collect();
    for (i, (sheet, ..)) in sheets.iter_mut().enumerate() {
        let of = titles.iter().filter(|t| **t == sheet.title).count();
        if of > 1 {
            let before = titles.iter().take(i).filter(|t| **t == sheet.title).count();
            sheet.title.push_str(&format!(", {} of {of}", before + 1));
        }
    }
}

/// What all sheets of a pass have in common, and what is cut on one of them.
pub(super) struct Ground<'a> {
    /// Of each sheet the band of floors that it shows, and whether some of it lies below ground.
    pub bands: &'a [(usize, bool)],
    pub division: &'a Division,
    pub datums: &'a [Datum],
    pub numbers: &'a BTreeMap<JointIx, usize>,
    pub cut: BTreeSet<PieceIx>,
}

/// What the levels of each band are measured down from.
pub(super) fn datums(work: &Work<'_>, bands: &Bands) -> Vec<Datum> {
    let floors = bands.bounds().iter().map(|f| Datum::of_floor(work.job, *f));
    std::iter::once(Datum::of_underground(work.job))
        .chain(floors)
        .collect()
}

/// The band of floors that a sheet shows.
pub(super) fn band(division: &Division, net: &Network, sheet: usize) -> usize {
    let shares = division.sheets.get(sheet);
    let root = shares.and_then(|s| s.first()).map(|s| s.root);
    match root {
        Some(Root::Cut(piece)) => net.from(piece).map_or(0, |j| division.bands.of_joint(j)),
        Some(Root::Vents { band, .. }) => band,
        Some(Root::Exit(_)) | None => 0,
    }
}
