//! Which pipes are filled, how far, and what they hold.

use super::model::{Filling, Section, Uncounted};
use crate::codebook::TestRules;
use crate::job::Lies;
use crate::levels::vents::Heights;
use crate::levels::{Bores, Stub, lies, stub};
use crate::network::{JointIx, JointKind, Network, PieceIx, RunKind, System, VentLevel};
use crate::solve::Work;
use crate::takeoff::Phase;
use crate::units::{Length, Volume};

/// A pipe under test.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pipe {
    pub piece: PieceIx,
    /// Its name.
    pub id: String,
    pub system: System,
    pub phase: Phase,
    /// Levels of its invert at its two ends, lower first, if known.
    pub ends: Option<(Length, Length)>,
    /// The name of its lower end.
    pub low_at: String,
    /// Its true bore, or the nominal size.
    pub bore: Length,
    pub length: Option<Length>,
    /// What of it is stubbed up from below ground, if known: that is filled whatever the rest is.
    pub stub: Option<Length>,
}

impl Pipe {
    /// What of it lies between two levels holds.
    ///
    /// ```text
    /// V = π/4 · d² · L · o,   o = the part of its rise that lies between them
    /// ```
    ///
    /// `d` the bore, `L` the developed length. A pipe without rise is in where its invert is.
    fn volume(&self, from: Length, to: Length) -> Option<Volume> {
        let (length, (low, high)) = self.length.zip(self.ends)?;
        let whole = Volume::of_cylinder(self.bore, length);
        let rise = high - low;
        if rise.mm() < 1e-6 {
            let within = low >= from && low < to;
            return Some(whole * if within { 1.0 } else { 0.0 });
        }
        let part = (high.min(to) - low.max(from)).max(Length::ZERO);
        Some(whole * (part / rise))
    }
}

/// Every pipe that is tested: drains and vents of the building, but no sewer outside it.
pub(super) fn pipes(work: &Work<'_>) -> Vec<Pipe> {
    let net = work.net;
    let bores = Bores::new(work.job, net);
    let heights = Heights::of(work.job, work.book);
    let tested = |p: &PieceIx| {
        let run = net
            .graph
            .edge_weight(*p)
            .and_then(|p| net.runs.get(p.run.0));
        run.is_some_and(|r| !matches!(r.kind, RunKind::Sewer | RunKind::Discharge))
    };
    let pipe = |piece: PieceIx| {
        let p = net.graph.edge_weight(piece)?;
        let size = work.size(piece)?;
        let levels = &work.solution.levels;
        let (ends, length, low_at) = match p.system {
            System::Waste => {
                let l = levels.pieces.get(&piece)?;
                let to = net.to(piece);
                (l.invert_down.zip(l.invert_up), l.length, name(net, to))
            }
            System::Vent => {
                let (from, to) = net.graph.edge_endpoints(piece)?;
                let at = |joint| heights.at(net, &levels.pieces, joint);
                let length = levels.vents.get(&piece).copied();
                (at(from).zip(at(to)), length, name(net, Some(from)))
            }
        };
        Some(Pipe {
            piece,
            id: p.id.clone(),
            system: p.system,
            phase: Phase::of(work, piece),
            ends: ends.map(|(a, b)| (a.min(b), a.max(b))),
            low_at,
            bore: bores.of(piece, size),
            length,
            stub: stub(work, piece).map(Stub::whole),
        })
    };
    net.graph
        .edge_indices()
        .filter(tested)
        .filter_map(pipe)
        .collect()
}

fn name(net: &Network, joint: Option<JointIx>) -> String {
    let joint = joint.and_then(|j| net.graph.node_weight(j));
    joint.map_or_else(String::new, |j| j.id.clone())
}

/// Where the whole overflows: the lowest terminal, the first of several.
pub(super) fn level(work: &Work<'_>) -> Option<Filling> {
    let heights = Heights::of(work.job, work.book);
    let levels = &work.solution.levels.pieces;
    let terminals = work.net.graph.node_indices().filter(|j| {
        let kind = work.net.graph.node_weight(*j).map(|j| j.kind);
        matches!(kind, Some(JointKind::Terminal(at)) if at.level == VentLevel::Roof)
    });
    let known = terminals.filter_map(|j| Some((heights.at(work.net, levels, j)?, j)));
    let (level, joint) = known.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))?;
    // By the vent that ends there, as the sheets have it.
    let vent = work.net.vents_into(joint).first().copied();
    let vent = vent.and_then(|p| work.net.runs.get(work.net.graph[p].run.0));
    Some(Filling {
        vent: vent.map_or_else(|| name(work.net, Some(joint)), |run| run.id.clone()),
        level,
    })
}

/// What pipes hold between two levels, and which of them are not counted but for their stubs.
pub(super) fn volume<'a>(
    pipes: impl Iterator<Item = &'a Pipe>,
    (from, to): (Length, Length),
) -> (Volume, Vec<Uncounted>) {
    let mut sum = (Volume::default(), Vec::new());
    for pipe in pipes {
        match pipe.volume(from, to) {
            Some(volume) => sum.0 += volume,
            None => {
                let stub = pipe.stub.unwrap_or_default();
                sum.0 += Volume::of_cylinder(pipe.bore, stub);
                sum.1.push(Uncounted {
                    pipe: pipe.id.clone(),
                    level_only: pipe.length.is_some(),
                });
            }
        }
    }
    sum
}

/// Water that covers the inside of pipes of some bores and lengths so deep.
///
/// ```text
/// V = π · d · L · t = π/4 · d² · L · 4 t / d
/// ```
fn over_inside(pipes: impl Iterator<Item = (Length, Length)>, depth: Length) -> Volume {
    let each = pipes.map(|(bore, length)| Volume::of_cylinder(bore, length) * (depth * 4.0 / bore));
    each.fold(Volume::default(), |mut sum, v| {
        sum += v;
        sum
    })
}

/// The lowest joint of some pipes. Where the drain at an exit has no level nothing that is known of
/// others is the lowest of all.
pub(super) fn lowest<'a>(
    work: &Work<'_>,
    pipes: impl Iterator<Item = &'a Pipe> + Clone,
) -> Option<(&'a Pipe, Length)> {
    let drains = pipes.filter(|p| p.system == System::Waste);
    let at_exit = |p: &Pipe| {
        let to = work.net.to(p.piece);
        to.is_some_and(|to| work.net.exits.contains(&to))
    };
    if drains.clone().any(|p| at_exit(p) && p.ends.is_none()) {
        return None;
    }
    let known = drains.filter_map(|p| Some((p, p.ends?.0)));
    known.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// The level of the floor that some pipes lie under, the highest of several: what ends at it is capped
/// or plugged there.
fn floor_over<'a>(work: &Work<'_>, pipes: impl Iterator<Item = &'a Pipe>) -> Option<Length> {
    let over = |p: &Pipe| match lies(work.job, work.net, p.piece, 0)? {
        (Lies::UnderSlab, floor) => Some(work.job.floors.get(floor.0)?.level),
        _ => None,
    };
    pipes.filter_map(over).reduce(Length::max)
}

/// Below and above everything.
pub(super) const DEEP: Length = Length::from_m(-10_000.0);
pub(super) const HIGH: Length = Length::from_m(10_000.0);

/// The drains below ground by themselves, before they are covered, and then the whole.
pub(super) fn sections(
    work: &Work<'_>,
    rules: &TestRules,
    pipes: &[Pipe],
    fill: Option<&Filling>,
) -> Vec<Section> {
    let section = |what, phase: Option<Phase>| {
        let mine = || {
            pipes
                .iter()
                .filter(move |p| phase.is_none_or(|phase| p.phase == phase))
        };
        let known = || mine().filter_map(|p| Some((p, p.ends?)));
        let lowest = lowest(work, mine());
        let highest = known()
            .map(|(p, (_, high))| high + p.bore)
            .reduce(Length::max);
        // Its caps and plugs stand at the floor that it lies under, above its pipes.
        let highest = match phase {
            Some(_) => [highest, floor_over(work, mine())]
                .into_iter()
                .flatten()
                .reduce(Length::max),
            None => highest,
        };
        let head = rules.water.head.value;
        // A part by itself stands under the head to its highest opening; the whole is filled to its
        // highest point, and its uppermost part needs none.
        let water = match phase {
            Some(_) => highest.map(|h| h + head),
            None => fill.map(|f| f.level),
        };
        // What lies below ground is filled with the stubs that rise from it.
        let own = mine().filter_map(|p| Some((p.bore, p.length?)));
        let stubs = pipes
            .iter()
            .filter(|p| phase.is_some() && phase != Some(p.phase));
        let stubs = stubs.filter_map(|p| Some((p.bore, p.stub?)));
        let added = rules.water.added.as_ref();
        let added = added.map(|a| over_inside(own.chain(stubs), a.value));
        let (volume, uncounted) = volume(mine(), (DEEP, water.unwrap_or(HIGH)));
        Section {
            what,
            phase,
            lowest: lowest.map(|(p, low)| (p.low_at.clone(), low)),
            highest,
            water,
            standpipe: phase.and(water.zip(highest)).map(|(w, h)| w - h),
            standpipes: Vec::new(),
            volume,
            added,
            uncounted,
            tested: None,
        }
    };
    let below = pipes.iter().any(|p| p.phase == Phase::Underground);
    let below = below.then(|| {
        section(
            "drains below ground, before they are covered",
            Some(Phase::Underground),
        )
    });
    let whole = rules.water.fills_whole() && !work.net.exits.is_empty();
    let whole = whole.then(|| section("the whole, filled to overflow", None));
    below.into_iter().chain(whole).collect()
}
