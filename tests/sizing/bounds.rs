//! How high each end of each drain may lie, reckoned anew from what the job says: every outlet,
//! slab, deck and joist is carried down to the exit by itself, where the tool goes from joint to
//! joint and keeps the least.

use std::collections::BTreeMap;

use stackfall::catalogue;
use stackfall::job::{Floor, Join, Lies, Wye};
use stackfall::levels::Bores;
use stackfall::network::{JointKind, NetLeg, PieceIx, RunKind};
use stackfall::units::{Heading, Length, PipeSize};

use crate::common::Worked;

/// The two ends of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    Down,
    Up,
}

/// What there is of a worked job to look at.
pub struct Look<'a> {
    pub of: &'a Worked,
    bores: Bores<'a>,
}

/// Whether a leg has no fall of its own.
fn upright(leg: &NetLeg) -> bool {
    leg.rises_45 || leg.heading.is_some_and(Heading::is_vertical)
}

impl<'a> Look<'a> {
    pub fn at(of: &'a Worked) -> Look<'a> {
        let bores = Bores::new(&of.job, &of.net);
        Look { of, bores }
    }
    pub fn kind(&self, piece: PieceIx) -> RunKind {
        self.of.net.runs[self.of.net.graph[piece].run.0].kind
    }
    /// The waste pieces that lie by gravity and are no stack, with a size.
    pub fn pieces(&self) -> Vec<PieceIx> {
        let sized = |p: &PieceIx| self.of.solution.levels.pieces.get(p).is_some();
        let kinds = [RunKind::Stack, RunKind::Sewer, RunKind::Discharge];
        let all = self.of.net.graph.edge_indices().filter(sized);
        all.filter(|p| !kinds.contains(&self.kind(*p))).collect()
    }
    /// The piece that a piece flows into, if its level is bound to that.
    pub fn below(&self, piece: PieceIx) -> Option<PieceIx> {
        let net = &self.of.net;
        let below = net.downstream(net.to(piece)?)?;
        self.pieces_hold(below).then_some(below)
    }
    fn pieces_hold(&self, piece: PieceIx) -> bool {
        let kinds = [RunKind::Stack, RunKind::Sewer, RunKind::Discharge];
        !kinds.contains(&self.kind(piece))
    }
    fn size(&self, piece: PieceIx) -> PipeSize {
        self.of.solution.sizing.pieces[&piece].size
    }
    pub fn bore(&self, piece: PieceIx) -> Length {
        self.bores.of(piece, self.size(piece))
    }
    fn wall(&self, piece: PieceIx) -> Length {
        self.bores.wall(piece, self.size(piece))
    }

    /// How far a piece rises; a drop that nobody measured is as long as it has to be.
    pub fn rise(&self, piece: PieceIx) -> Option<Length> {
        let legs = &self.of.net.graph[piece].legs;
        if legs.iter().all(upright) && legs.iter().any(|l| l.length.is_none()) {
            return Some(Length::ZERO);
        }
        legs.iter().map(|leg| self.rise_of(piece, leg)).sum()
    }
    fn rise_of(&self, piece: PieceIx, leg: &NetLeg) -> Option<Length> {
        let fall = self.of.solution.levels.pieces[&piece].fall;
        match leg.heading {
            Some(Heading::Down) => Some(-leg.length?),
            _ if upright(leg) => leg.length,
            _ => Some(fall?.over(leg.length?)),
        }
    }
    /// What lies right over each level leg, and how high its ends are over the piece's lower end.
    fn within(&self, piece: PieceIx) -> Vec<(Length, Length)> {
        let mut all = Vec::new();
        let mut level = Some(Length::ZERO);
        for leg in &self.of.net.graph[piece].legs {
            let end = level.and_then(|l| Some(l + self.rise_of(piece, leg)?));
            if let Some(limit) = self.over_leg(piece, leg) {
                all.extend([level, end].into_iter().flatten().map(|at| (limit, at)));
            }
            level = end;
        }
        all
    }

    /// How far the invert of a piece lies above that of the one it flows into.
    fn step(&self, piece: PieceIx, below: PieceIx) -> Length {
        let net = &self.of.net;
        let (own, under) = (&net.graph[piece], &net.graph[below]);
        let (d, drain) = (self.bore(piece), self.bore(below));
        let first = own.legs.first().and_then(|l| l.heading);
        let wye = match own.run == under.run {
            true => Wye::Flat,
            false => net.runs[own.run.0].wye,
        };
        let step = match (first, wye, self.of.job.practice.join) {
            (Some(Heading::Up), _, _) | (_, Wye::Flat, Join::Centre) => (drain - d) / 2.0,
            (_, Wye::Flat, Join::Crown) => drain - d,
            (_, Wye::Flat, Join::Invert) => Length::ZERO,
            (_, Wye::OnBack, _) => drain,
            (_, Wye::Rolled, _) => (drain - d) / 2.0 + drain / 2.0 / 2f64.sqrt(),
        };
        // A larger bore than the one it flows into is laid on its invert.
        step.max(Length::ZERO)
    }

    /// Where a leg lies, and the floor over it.
    fn lies(&self, piece: PieceIx, leg: &NetLeg) -> Option<(Lies, &'a Floor)> {
        let job = &self.of.job;
        let run = &self.of.net.runs[self.of.net.graph[piece].run.0];
        let lies = leg.lies.or(match run.kind {
            RunKind::BuildingDrain | RunKind::BuildingBranch => Some(Lies::UnderSlab),
            RunKind::Branch => Some(Lies::BetweenJoists),
            RunKind::FixtureDrain => return self.beside(piece, leg),
            _ => None,
        })?;
        let has = |f: &Floor| match lies {
            Lies::UnderSlab => f.slab.is_some(),
            _ => f.joists.is_some(),
        };
        let floor = match run.floor {
            Some(floor) => Some(&job.floors[floor.0]),
            None => {
                let found = job.floors.iter().filter(|f| has(f));
                found.min_by(|a, b| a.level.total_cmp(&b.level))
            }
        };
        Some((lies, floor.filter(|f| has(f))?))
    }
    /// The first level legs of a fixture's drain lie where the drain that it joins does.
    fn beside(&self, piece: PieceIx, leg: &NetLeg) -> Option<(Lies, &'a Floor)> {
        let net = &self.of.net;
        let own = &net.graph[piece];
        let at = own.legs.iter().position(|l| l == leg)?;
        let flat = own.legs[..=at].iter().all(|l| !upright(l));
        let first = net.runs[own.run.0].pieces.first() == Some(&piece);
        let below = net.downstream(net.to(piece)?)?;
        let under = &net.graph[below];
        let drain = matches!(
            net.runs[under.run.0].kind,
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch
        );
        (first && flat && drain).then(|| self.lies(below, under.legs.last()?))?
    }
    fn leg(&self, piece: PieceIx, end: End) -> Option<&NetLeg> {
        let legs = &self.of.net.graph[piece].legs;
        match end {
            End::Down => legs.first(),
            End::Up => legs.last(),
        }
    }

    /// The highest invert that what lies right over an end allows.
    fn over(&self, piece: PieceIx, end: End) -> Option<Length> {
        self.over_leg(piece, self.leg(piece, end)?)
    }
    fn over_leg(&self, piece: PieceIx, leg: &NetLeg) -> Option<Length> {
        (!upright(leg)).then_some(())?;
        let (lies, floor) = self.lies(piece, leg)?;
        let deck = floor.level - floor.deck.unwrap_or_default();
        let above = match lies {
            // The outside of a pipe keeps 2 in below its slab (common practice).
            Lies::UnderSlab => floor.level - floor.slab? - Length::from_inches(2.0),
            Lies::BetweenJoists => deck,
            Lies::UnderJoists | Lies::CrawlSpace => deck - floor.joists?,
            Lies::Wall => return None,
        };
        Some(above - self.bore(piece) - self.wall(piece))
    }
    /// The lowest invert that the joists around an end allow.
    pub fn under(&self, piece: PieceIx, end: End) -> Option<Length> {
        let leg = self.leg(piece, end).filter(|l| !upright(l))?;
        let (lies, floor) = self.lies(piece, leg)?;
        let bottom = floor.level - floor.deck.unwrap_or_default() - floor.joists?;
        (lies == Lies::BetweenJoists).then(|| bottom + self.wall(piece))
    }
    /// The highest invert that a fixture allows at the upper end of its arm.
    fn outlet(&self, piece: PieceIx) -> Option<Length> {
        let net = &self.of.net;
        let JointKind::Trap(trap) = net.graph[net.from(piece)?].kind else {
            return None;
        };
        let i = net.traps[trap.0].fixture;
        let fixture = &self.of.job.fixtures[i];
        let usual = catalogue::kind(&fixture.kind.value).map(|k| k.default_outlet.height);
        let floor = net.draft.fixtures[i].floor?;
        Some(self.of.job.floors[floor.0].level + fixture.outlet.or(usual)?)
    }

    /// The highest at each end, and the pieces beyond which a length is not known.
    pub fn highest(&self) -> (BTreeMap<(PieceIx, End), Length>, Vec<PieceIx>) {
        let mut highest: BTreeMap<(PieceIx, End), Length> = BTreeMap::new();
        let mut open = Vec::new();
        for piece in self.pieces() {
            if self.rise(piece).is_none() {
                open.extend(std::iter::successors(Some(piece), |p| self.below(*p)));
            }
            let mut starts = vec![
                (End::Up, self.over(piece, End::Up)),
                (End::Up, self.outlet(piece)),
            ];
            let legs = &self.of.net.graph[piece].legs;
            let whole: Option<Length> = legs.iter().map(|l| self.rise_of(piece, l)).sum();
            for (limit, at) in self.within(piece) {
                starts.push((End::Down, Some(limit - at)));
                starts.extend(whole.map(|whole| (End::Up, Some(limit + (whole - at)))));
            }
            for (end, limit) in starts {
                if let Some(limit) = limit {
                    self.carry(&mut highest, (piece, end), limit);
                }
            }
        }
        (highest, open)
    }
    /// Carries one limit down as far as it goes.
    fn carry(
        &self,
        highest: &mut BTreeMap<(PieceIx, End), Length>,
        start: (PieceIx, End),
        limit: Length,
    ) {
        let (mut at, mut limit) = (start, limit);
        loop {
            let kept = highest.entry(at).or_insert(limit);
            *kept = kept.min(limit);
            let (piece, end) = at;
            let next = match end {
                End::Up => self.rise(piece).map(|rise| ((piece, End::Down), rise)),
                End::Down => self
                    .below(piece)
                    .map(|below| ((below, End::Up), self.step(piece, below))),
            };
            let Some((next, less)) = next else { return };
            (at, limit) = (next, limit - less);
        }
    }
}
