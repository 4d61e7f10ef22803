//! The words of a crew's sheets: what a pipe is cut to and set to, in place of what it carries.

use super::words::{Words, lettered_run, marked};
use crate::levels::{developed, is_of_storey};
use crate::network::{JointIx, JointKind, Network, PieceIx, RunKind, System, TrapIx};
use crate::units::Length;

/// What a sheet of a crew is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trade {
    /// Drains alone.
    Drains,
    /// Vents, on the drains that they rise from.
    Vents,
}

/// How a crew's sheets are lettered.
#[derive(Clone, Copy)]
pub struct CrewWords<'a> {
    /// What they are for.
    pub trade: Trade,
    /// The network with all its pipes: a sheet's own may be without those of another trade.
    pub whole: &'a Network,
    /// Whether a pipe that is cut says its size and fall on both sides.
    pub cuts: bool,
    /// What levels underground are measured down from, above zero.
    pub datum: Length,
    /// What that is, where lists of the building drain measure from something else.
    pub from: Option<&'a str>,
    /// The number of a joint in the list of what is set out.
    pub number: &'a (dyn Fn(JointIx) -> Option<usize> + Sync),
    /// What a joint stands on, in words: its floor, or underground.
    pub place: &'a (dyn Fn(JointIx) -> Option<String> + Sync),
}

impl Words<'_> {
    /// The lines along a pipe: its size and fall where these are said `first` on their stretch, and its
    /// length from centre to centre.
    pub(super) fn crew_piece(&self, crew: CrewWords<'_>, piece: PieceIx, first: bool) -> String {
        let p = &self.net.graph[piece];
        let run = &self.net.runs[p.run.0];
        let levels = &self.solution.levels;
        let length = match (p.system, crew.trade) {
            (System::Vent, _) => levels.vents.get(&piece).copied(),
            (System::Waste, Trade::Drains) => levels.pieces.get(&piece).and_then(|l| l.length),
            (System::Waste, Trade::Vents) => None,
        };
        let named = matches!(
            run.kind,
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch
        );
        let named = named && run.pieces.first() == Some(&piece);
        // What passes floors that are not drawn is cut floor by floor.
        let length = length.filter(|_| self.past(piece).is_none());
        let length = length.filter(|_| !is_of_storey(crew.whole, piece));
        let changed = self.says_changed(piece);
        // Drawn, it might be taken for a riser.
        let at_45 = p.legs.iter().find(|l| super::words::is_45(l));
        let at_45 = at_45.map(|l| match l.heading.filter(|_| !l.rises_45) {
            Some(heading) => format!("45° {} ON PLAN", heading.letters()),
            None => "45°".to_owned(),
        });
        let second: Vec<String> = [
            named.then(|| run.id.clone()),
            length.map(|l| self.legs(piece).unwrap_or_else(|| self.print.length(l))),
            at_45,
        ]
        .into_iter()
        .flatten()
        .collect();
        let size = (first || length.is_none()).then(|| marked(&self.size_fall(piece), p.state));
        let second = (!second.is_empty()).then(|| second.join(" · "));
        let lines: Vec<String> = size.into_iter().chain(second).collect();
        super::on_site(lines.join("\n"), changed)
    }

    /// The lengths of the legs of a pipe that turns, if all are known.
    fn legs(&self, piece: PieceIx) -> Option<String> {
        let legs = &self.net.graph[piece].legs;
        let legs: Vec<String> = legs
            .iter()
            .map(|l| Some(self.print.length(developed(l)?)))
            .collect::<Option<_>>()?;
        (legs.len() > 1).then(|| legs.join(" + "))
    }

    /// What a stack's mark says of what comes from above: the floors that are built as the sheet shows
    /// it, and from which floor it comes.
    pub(super) fn crew_from(&self, crew: CrewWords<'_>, piece: PieceIx) -> Vec<String> {
        let place = self.net.from(piece).and_then(|j| (crew.place)(j));
        let above = place.map(|p| format!("FROM {}", p.to_uppercase()));
        let past = self
            .past(piece)
            .map(|p| format!("{} AS HERE", p.to_uppercase()));
        past.into_iter().chain(above).collect()
    }

    /// The floors that a pipe passes and that are not drawn, by their names.
    fn past(&self, piece: PieceIx) -> Option<String> {
        Some(self.typical?.past.get(&piece)?.named(self.job))
    }

    /// Tag of a fixture, size and fall of its arm, size of its riser.
    pub(super) fn crew_trap(&self, trap: TrapIx, tag: String) -> Vec<String> {
        let arm = self.net.traps[trap.0].arm;
        let words = |arm| [Some(self.size_fall(arm)), self.riser(trap, arm)];
        let own = arm.into_iter().flat_map(words).flatten();
        [tag].into_iter().chain(own).collect()
    }

    /// What stands beside a joint of the drains: a stack's name, and its number in the list.
    pub(super) fn crew_joint(
        &self,
        crew: CrewWords<'_>,
        joint: JointIx,
    ) -> Option<(String, Vec<String>)> {
        let net = self.net;
        let Some(down) = net.downstream(joint) else {
            // Where vents meet or turn: it stands by a pipe that comes up to it.
            let vent = net.vents_into(joint).first().copied()?;
            let number = (crew.number)(joint)?;
            return Some((net.graph[vent].id.clone(), vec![numbered(number)]));
        };
        let mut names = net.graph[down].id.clone();
        let mut lines = Vec::new();
        // Cleanouts and valves have it with their own tag.
        let tagged = self.openings.cleanouts(joint).next().is_some()
            || self.openings.valves(joint).next().is_some();
        let number = (crew.number)(joint).filter(|_| !tagged);
        if let (Some(number), Trade::Vents, true) = (number, crew.trade, self.is_of_fixture(down)) {
            // Its arm stands on another sheet: what the vent rises from says whose it is.
            let run = lettered_run(net, down);
            let own = [format!("{} {run}", numbered(number)), self.size_fall(down)];
            return Some((run, own.to_vec()));
        }
        lines.extend(number.map(numbered));
        if net.graph[joint].kind == JointKind::StackBase {
            let stack = net.upstream(joint).into_iter();
            let stack = stack.map(|p| net.graph[p].run).find(|r| net.is_stack(*r))?;
            let run = &net.runs[stack.0];
            names.clone_from(&run.id);
            lines.push(super::words::stack_name(run));
        }
        (!lines.is_empty()).then_some((names, lines))
    }
}

impl Words<'_> {
    /// Whether a pipe is the arm or the drop of one fixture.
    fn is_of_fixture(&self, piece: PieceIx) -> bool {
        let run = self.net.graph.edge_weight(piece).map(|p| p.run.0);
        let run = run.and_then(|r| self.net.runs.get(r));
        run.is_some_and(|r| matches!(r.kind, RunKind::Arm | RunKind::FixtureDrain))
    }
}

/// A joint's number, as drawing and list have it.
pub fn numbered(number: usize) -> String {
    format!("({number})")
}

/// The short name of a fitting, where the trade has one.
pub fn called(name: &str) -> String {
    name.replace("combination wye and eighth bend", "combo wye")
        .replace("sanitary tee", "san tee")
        .replace(" and flange", " + flange")
}
