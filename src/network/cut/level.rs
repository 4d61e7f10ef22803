//! Horizontal runs: cut at stations, and where stated size or fall changes.

use super::legs::{Walk, changes, total};
use super::{Cut, Cutter};
use crate::job::Said;
use crate::network::draft::{DraftRun, Entrant, Spot, Who, spots};
use crate::network::model::{JointIx, JointKind, NetLeg, RunIx, RunKind};
use crate::units::{Length, PipeSize};

/// A place to cut, on its nominal station.
struct At {
    spot: Option<Spot>,
    name: String,
    nominal: Length,
    loose: bool,
}

impl Cutter<'_> {
    /// Cuts a horizontal run from its foot up. Gives what enters it and where.
    pub(super) fn level(&mut self, run: usize, foot: JointIx) -> Vec<(Entrant, JointIx)> {
        let own = &self.draft.runs[run];
        let all = spots(own);
        match total(own) {
            Some(total) => self.known(run, own, foot, all, total),
            None => self.unknown(run, own, foot, all),
        }
    }

    fn known(
        &mut self,
        run: usize,
        own: &DraftRun,
        foot: JointIx,
        all: Vec<Spot>,
        total: Length,
    ) -> Vec<(Entrant, JointIx)> {
        let mut cuts = nominal(own, all, total);
        let tiny = Length::from_mm(1.0);
        for (at, name) in changes(own, self.job.units) {
            if !cuts
                .iter()
                .any(|c| !c.loose && (c.nominal - at).abs() < tiny)
            {
                let spot = None;
                let loose = false;
                cuts.push(At {
                    spot,
                    name,
                    nominal: at,
                    loose,
                });
            }
        }
        cuts.sort_by(|a, b| a.nominal.total_cmp(&b.nominal));
        if cuts.last().is_none_or(|c| c.nominal + tiny < total) {
            cuts.push(At {
                spot: None,
                name: "end".to_owned(),
                nominal: total,
                loose: false,
            });
        }
        let mut walk = Walk::new(&own.legs);
        let mut below = foot;
        let mut entered = Vec::new();
        let last = cuts.len().saturating_sub(1);
        for (i, at) in cuts.into_iter().enumerate() {
            let (size, fall) = walk.holds();
            let end = i == last && (at.nominal - total).abs() < tiny;
            let legs = walk.to(at.nominal, at.loose && !end);
            let kind = match &at.spot {
                Some(spot) => kind_of(self.draft, own, spot),
                None if at.name == "end" => JointKind::End,
                None => JointKind::Change,
            };
            let joint = self.cut_at(run, own, below, (at.name, kind), legs, (size, fall));
            enter(own, at.spot.as_ref(), joint, &mut entered);
            below = joint;
        }
        self.heads[run] = Some(below);
        entered
    }

    fn unknown(
        &mut self,
        run: usize,
        own: &DraftRun,
        foot: JointIx,
        all: Vec<Spot>,
    ) -> Vec<(Entrant, JointIx)> {
        let hint = own.legs.first().cloned().unwrap_or_default();
        let ends = all.last().is_none_or(|s| s.is_mark(own));
        let mut below = foot;
        let mut before = Some(Length::ZERO);
        let mut entered = Vec::new();
        let places = (all.into_iter().map(Some)).chain(ends.then_some(None));
        for spot in places {
            let station = spot.as_ref().and_then(|s| s.station);
            let length = match (before, station) {
                (Some(a), Some(b)) => Some(b - a),
                _ => None,
            };
            let leg = NetLeg {
                heading: hint.heading,
                length,
                rises_45: false,
                lies: hint.lies,
            };
            let (name, kind) = match &spot {
                Some(spot) => (spot.name.clone(), kind_of(self.draft, own, spot)),
                None => ("end".to_owned(), JointKind::End),
            };
            let holds = (hint.size.clone(), hint.fall.clone());
            let joint = self.cut_at(run, own, below, (name, kind), vec![leg], holds);
            enter(own, spot.as_ref(), joint, &mut entered);
            below = joint;
            before = station;
        }
        self.heads[run] = Some(below);
        entered
    }

    fn cut_at(
        &mut self,
        run: usize,
        own: &DraftRun,
        below: JointIx,
        (name, kind): (String, JointKind),
        legs: Vec<NetLeg>,
        (size, fall): (Option<Said<PipeSize>>, Option<Said<crate::units::Fall>>),
    ) -> JointIx {
        let id = self.ids.take(format!("{}.{name}", own.id));
        let joint = self.joint(id.clone(), kind);
        let cut = Cut {
            id,
            run: RunIx(run),
            state: own.state,
            span: own.span.clone(),
            legs,
            size: size.or_else(|| own.size.clone()),
            fall: fall.or_else(|| own.fall.clone()),
        };
        self.piece(joint, below, cut);
        joint
    }
}

fn enter(
    own: &DraftRun,
    spot: Option<&Spot>,
    joint: JointIx,
    entered: &mut Vec<(Entrant, JointIx)>,
) {
    for &e in spot.map_or(&[][..], |s| &s.entrants) {
        entered.extend(own.entrants.get(e).map(|e| (e.clone(), joint)));
    }
}

fn kind_of(draft: &crate::network::draft::Draft, own: &DraftRun, spot: &Spot) -> JointKind {
    let stack = spot.entrants.iter().any(|&e| {
        matches!(own.entrants[e].who, Who::Run(r)
            if draft.runs.get(r).is_some_and(|r| r.kind == RunKind::Stack))
    });
    match (stack, spot.is_mark(own)) {
        (true, _) => JointKind::StackBase,
        (_, true) => JointKind::InLine,
        _ => JointKind::Junction,
    }
}

/// Gives every place a nominal station: the stated one; the end, for the last place if it states
/// none; else evenly between its neighbours.
fn nominal(own: &DraftRun, all: Vec<Spot>, total: Length) -> Vec<At> {
    let count = all.len();
    let mut known: Vec<Option<Length>> = all.iter().map(|s| s.station).collect();
    if let (Some(last), Some(spot)) = (known.last_mut(), all.last())
        && last.is_none()
        && !spot.is_mark(own)
    {
        *last = Some(total);
    }
    let mut stations: Vec<Length> = Vec::with_capacity(count);
    let (mut below, mut i) = (Length::ZERO, 0);
    while i < count {
        let next = (i..count).find_map(|j| known[j].map(|k| (j, k)));
        let (j, above) = next.unwrap_or((count, total));
        let between = (j - i + 1) as f64;
        for k in i..j {
            stations.push(below + (above - below) * ((k - i + 1) as f64 / between));
        }
        if j < count {
            stations.push(above);
        }
        below = above;
        i = j + 1;
    }
    (all.into_iter().zip(stations).zip(known))
        .map(|((spot, nominal), known)| At {
            name: spot.name.clone(),
            spot: Some(spot),
            nominal,
            loose: known.is_none(),
        })
        .collect()
}
