//! Sizes of soil and waste pipes, from the traps down to the exits.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::rc::Rc;
use std::sync::Arc;

use super::branch_vents::{Combinations, keep_circuits};
use super::check::{Check, Checked, Need};
use super::class::{Class, class, of_one_trap, under_slab};
use super::groups::Groups;
use super::intervals::Intervals;
use super::loads::Carried;
use super::model::{PieceSize, Serves, TrapSize, Working};
use super::unvented::Unvented;
use super::ways::Pieces;
use super::whole_stacks::{keep_stacks, past_offsets};
use super::working;
use crate::codebook::Book;
use crate::job::Job;
use crate::levels::falls::Falls;
use crate::network::{JointIx, JointKind, Network, PieceIx, RunIx, RunKind, State, Table, TrapIx};
use crate::units::{Demand, Flow, Load, PipeSize, Printer};

/// What the sizing of drains stands on.
pub struct Basis<'a> {
    /// The job.
    pub job: &'a Job,
    /// The network.
    pub net: &'a Network,
    /// The book.
    pub book: &'a Book,
    /// Falls so far.
    pub falls: &'a Falls,
    /// Loads and traps.
    pub traps: &'a Table<TrapIx, Arc<TrapSize>>,
    /// Group loads.
    pub groups: &'a Groups,
    /// Branch intervals.
    pub intervals: &'a BTreeMap<RunIx, Intervals>,
    /// Drains that are wet vents as well.
    pub wet: &'a Pieces,
    /// Of the wet vents, those that stand upright.
    pub upright_wet: &'a Pieces,
    /// Upright drains between two traps that share one vent at different levels.
    pub common: &'a Pieces,
    /// Branches that their stack vents.
    pub unvented: &'a Table<PieceIx, Unvented>,
    /// Combination drains and vents.
    pub combinations: &'a Combinations,
    /// What was checked so far.
    pub checked: &'a Checked,
}

/// What comes to a joint from upstream.
#[derive(Default)]
struct Arrived {
    carried: Carried,
    code: Option<PipeSize>,
    chosen: Option<PipeSize>,
    from: Vec<(Source, Load)>,
}

/// What brings a load.
enum Source {
    /// A trap.
    Joint(JointIx),
    /// A drain upstream.
    Piece(PieceIx),
    /// A pump, in words.
    Pump(String),
}

impl Source {
    fn words<'a>(&'a self, net: &'a Network) -> &'a str {
        match self {
            Source::Joint(j) => net.graph.node_weight(*j).map_or("", |j| j.id.as_str()),
            Source::Piece(p) => net.graph.edge_weight(*p).map_or("", |p| p.id.as_str()),
            Source::Pump(words) => words,
        }
    }
}

/// What flows through the lowest piece of each stack.
pub type Stacks = Table<PieceIx, Carried>;

/// Sizes of all waste pieces, what each serves, and what each stack carries at its base.
///
/// Goes once from the traps down, through all waste pieces in that order: loads add up, and neither the size that the code asks for nor
/// the size chosen ever gets smaller on the way, but for a closet bend or flange one size larger
/// than the least drain of a closet. A stated size is kept, whatever comes out.
pub fn waste(
    basis: &Basis<'_>,
    pieces: &[PieceIx],
) -> (Table<PieceIx, PieceSize>, Table<PieceIx, Serves>, Stacks) {
    let net = basis.net;
    let mut stacks = Stacks::new();
    let bases: Pieces = (net.runs.iter())
        .filter(|r| r.kind == RunKind::Stack)
        .filter_map(|r| r.pieces.first().copied())
        .collect();
    let mut sizes = Table::new();
    let mut serves = Table::new();
    let mut at: Table<JointIx, Arrived> = Table::new();
    let entering = entering_intervals(basis, pieces);
    let closet = basis.book.closet_least().value;
    for &piece in pieces {
        let Some((from, to)) = net.graph.edge_endpoints(piece) else {
            continue;
        };
        let mut arrived = at.remove(&from).unwrap_or_default();
        let joint = net.graph.node_weight(from).map(|j| j.kind);
        if let Some(JointKind::Trap(ix)) = joint
            && let Some(trap) = basis.traps.get(&ix)
        {
            arrived.carried.add_trap(basis.groups, ix, trap);
            arrived.code = arrived.code.max(Some(trap.code_size));
            arrived.chosen = arrived.chosen.max(Some(trap.size));
            arrived.from.push((Source::Joint(from), trap.load));
        }
        if joint == Some(JointKind::Basin) {
            pump(basis, piece, &mut arrived);
        }
        let size = one(basis, piece, &arrived, entering.get(&from).copied());
        serves.insert(piece, served(&arrived.carried));
        let next = at.or_default(to);
        let bend = (arrived.carried.closets > 0
            && class(net, piece) == Class::FixtureDrain
            && of_one_trap(net, piece))
        .then_some(closet);
        next.code = next.code.max(size.code_size.map(|s| past_bend(s, bend)));
        next.chosen = next.chosen.max(Some(past_bend(size.size, bend)));
        if let Some(JointKind::Trap(ix)) = joint {
            // Past its arm a fixture may need a drain larger than its trap.
            let drain = basis.traps.get(&ix).and_then(|t| t.drain);
            next.code = next.code.max(drain);
            next.chosen = next.chosen.max(drain);
        }
        next.from.push((Source::Piece(piece), size.load));
        if bases.contains(&piece) {
            stacks.insert(piece, arrived.carried.clone());
        }
        next.carried.merge(basis.groups, arrived.carried);
        sizes.insert(piece, size);
    }
    keep_stacks(basis, &mut sizes);
    past_offsets(basis, &mut sizes);
    keep_circuits(basis, &mut sizes);
    (sizes, serves, stacks)
}

/// The size that must not decrease below a pipe: a closet bend or flange one size over the least
/// closet drain counts as that drain.
pub fn past_bend(size: PipeSize, closet_least: Option<PipeSize>) -> PipeSize {
    match closet_least {
        Some(least) if least.next_up() == Some(size) => least,
        _ => size,
    }
}

fn served(carried: &Carried) -> Serves {
    Serves {
        fixtures: carried.fixtures,
        closets: carried.closets,
        washers: carried.washers,
        kitchens: carried.kitchens,
        unknown: carried.unknown,
    }
}

/// Load that enters each interval of a stack, told at each of its joints.
fn entering_intervals(basis: &Basis<'_>, pieces: &[PieceIx]) -> Table<JointIx, (u32, Load)> {
    let net = basis.net;
    // Loads alone first: what enters a stack, group loads and all.
    let mut at: Table<JointIx, Carried> = Table::new();
    let mut sums: BTreeMap<(RunIx, u32), Load> = BTreeMap::new();
    for piece in pieces {
        let Some((from, to)) = net.graph.edge_endpoints(*piece) else {
            continue;
        };
        let mut carried = at.remove(&from).unwrap_or_default();
        if let Some(JointKind::Trap(ix)) = net.graph.node_weight(from).map(|j| j.kind)
            && let Some(trap) = basis.traps.get(&ix)
        {
            carried.add_trap(basis.groups, ix, trap);
        }
        let run = net.graph.edge_weight(*piece).map(|p| p.run);
        let below = net.downstream(to).and_then(|p| net.graph.edge_weight(p));
        if let Some(stack) = below.map(|p| p.run).filter(|r| run != Some(*r))
            && let Some(interval) = basis.intervals.get(&stack).and_then(|i| i.of.get(&to))
        {
            *sums.entry((stack, *interval)).or_default() += carried.load();
        }
        at.or_default(to).merge(basis.groups, carried);
    }
    let mut told = Table::new();
    for (stack, intervals) in basis.intervals {
        for (joint, interval) in &intervals.of {
            if let Some(load) = sums.get(&(*stack, *interval)) {
                told.insert(*joint, (*interval, *load));
            }
        }
    }
    told
}

/// A basin's pump decides what leaves it.
fn pump(basis: &Basis<'_>, piece: PieceIx, arrived: &mut Arrived) {
    let run = basis
        .net
        .graph
        .edge_weight(piece)
        .and_then(|p| basis.net.runs.get(p.run.0));
    let Some(run) = run.filter(|r| r.kind == RunKind::Discharge) else {
        return;
    };
    let joint = basis
        .net
        .from(piece)
        .and_then(|j| basis.net.graph.node_weight(j));
    let basin = basis.job.basins.iter().find(|b| {
        b.name == run.id
            || joint.is_some_and(|j| j.id == b.name)
            || run
                .id
                .strip_prefix(b.name.as_str())
                .is_some_and(|r| r.starts_with('.'))
    });
    arrived.code = None;
    arrived.chosen = None;
    if let Some(flow) = basin.and_then(|b| b.pump) {
        let load = basis.book.flow_load(flow).map(|f| f.value);
        let steady = if load.is_none() {
            flow
        } else {
            Flow::default()
        };
        let load = load.unwrap_or_default();
        arrived.carried = arrived.carried.pumped(load, steady);
        let gpm = crate::units::number(flow.gpm(), 2, false);
        arrived.from = vec![(Source::Pump(format!("pump {gpm} gpm")), load)];
    }
}

fn one(
    basis: &Basis<'_>,
    piece: PieceIx,
    arrived: &Arrived,
    interval: Option<(u32, Load)>,
) -> PieceSize {
    let print = Printer {
        units: basis.job.units,
    };
    let class = class(basis.net, piece);
    let load = arrived.carried.load();
    let stated = basis
        .net
        .graph
        .edge_weight(piece)
        .and_then(|p| p.size.as_ref())
        .map(|s| s.value);
    let demand = arrived.carried.demand(basis.book);
    let mut steps = vec![load_step(
        (basis.net, print),
        (load, basis.book.unit()),
        &arrived.from,
        arrived.carried.groups,
    )];
    steps.extend(basis.book.demand_by(load, demand, print));
    if matches!(class, Class::Sewer | Class::Discharge) {
        return not_sized(class, (load, demand), stated, arrived, steps);
    }
    let need = Need {
        basis,
        piece,
        class,
        load,
        demand,
        closets: arrived.carried.closets,
        washers: arrived.carried.washers,
        fixtures: arrived.carried.fixtures,
        interval: interval.filter(|_| matches!(class, Class::Stack(_))),
        trap_floor: arrived.code,
    };
    let from = arrived.code.unwrap_or(PipeSize::SMALLEST);
    let mut tried = Tried {
        need: &need,
        checks: Vec::new(),
    };
    let code_size = PipeSize::all()
        .filter(|s| *s >= from)
        .find(|s| tried.at(*s).fails.is_none());
    // The last size but the one that will do.
    let no = tried
        .checks
        .len()
        .checked_sub(1 + usize::from(code_size.is_some()));
    let last_no = no.and_then(|n| tried.checks.get(n)).map(|c| &c.1);
    if let Some(no) = last_no.filter(|n| code_size.is_some() && n.beyond.is_none()) {
        steps.extend(no.fails.clone());
    }
    let none_will_do = match (code_size, last_no) {
        (None, Some(no)) => Some(tried.none_will_do(no)),
        _ => None,
    };
    if let Some(floor) = arrived.code.filter(|f| Some(*f) == code_size) {
        steps.push(format!(
            "not smaller than what it serves: {}",
            print.size(floor)
        ));
    }
    let size = match stated {
        Some(size) => size,
        None => proposed(basis, &mut tried, code_size, arrived, &mut steps, print),
    };
    let at_size = tried.at(size);
    let capacity = at_size.capacity.as_ref().map(|f| f.value);
    let mut working = match (&at_size.capacity, &at_size.beyond) {
        (Some(found), _) => working::of(found),
        (None, Some(beyond)) => working::of_beyond(beyond),
        (None, None) => Working::default(),
    };
    steps.extend(at_size.passes.clone());
    if let Some(size) = code_size {
        steps.push(format!("least by the code: {}", print.size(size)));
    }
    if stated.is_some() {
        steps.push(format!("{} as stated", print.size(size)));
    }
    let unknown = match code_size {
        None => none_will_do,
        Some(_) => unknown(basis, piece, arrived, stated),
    };
    working.steps = steps;
    PieceSize {
        load,
        demand,
        code_size,
        size,
        stated: stated.is_some(),
        capacity,
        working,
        unknown,
    }
}

fn load_step(
    (net, print): (&Network, Printer),
    (load, unit): (Load, &str),
    from: &[(Source, Load)],
    groups: u32,
) -> String {
    const NAMED: usize = 6;
    let mut text = format!("load {} {unit}", print.load(load));
    if from.len() > 1 || from.iter().any(|f| f.1 != load) {
        for (i, (source, load)) in from.iter().take(NAMED).enumerate() {
            text.push_str(if i == 0 { " from " } else { " + " });
            let _ = write!(text, "{} {}", source.words(net), print.load(*load));
        }
        if from.len() > NAMED {
            text.push_str(&format!(" and {} more", from.len() - NAMED));
        }
    } else if let Some((source, _)) = from.first() {
        text.push_str(" from ");
        text.push_str(source.words(net));
    }
    if groups > 0 {
        text.push_str(if groups == 1 {
            ", one group load in it"
        } else {
            ", group loads in it"
        });
    }
    text
}

/// A sewer and a pump's discharge are drawn at the size that is stated, else that of what enters.
fn not_sized(
    class: Class,
    (load, demand): (Load, Demand),
    stated: Option<PipeSize>,
    arrived: &Arrived,
    mut steps: Vec<String>,
) -> PieceSize {
    let unknown = stated.is_none().then(|| match class {
        Class::Discharge => "the pump decides the size of its discharge; state it".to_owned(),
        _ => "the sewer is not sized here; state its size".to_owned(),
    });
    steps.push("drawn, not sized".to_owned());
    PieceSize {
        load,
        demand,
        code_size: None,
        size: stated
            .or(arrived.chosen)
            .or(arrived.code)
            .unwrap_or(PipeSize::SMALLEST),
        stated: stated.is_some(),
        capacity: None,
        working: Working {
            steps,
            ..Working::default()
        },
        unknown,
    }
}

/// The sizes that were checked for one piece, each once.
struct Tried<'a> {
    need: &'a Need<'a>,
    checks: Vec<(PipeSize, Rc<Check>)>,
}

impl Tried<'_> {
    /// Why no size will do, by the last one that was tried: where the table ended before a size was
    /// large enough, what its largest carries.
    fn none_will_do(&self, last: &Check) -> String {
        let beyond = last.beyond.as_ref().map(|b| b.message.clone());
        let short = self.checks.iter().rev().map(|c| &c.1);
        let short = short
            .filter(|c| c.capacity.is_some())
            .find_map(|c| c.fails.clone());
        match (beyond, short) {
            (Some(ends), Some(short)) => format!("{short}; {ends}"),
            (Some(ends), None) => ends,
            (None, _) => last.fails.clone().unwrap_or_default(),
        }
    }

    fn at(&mut self, size: PipeSize) -> &Check {
        let found = self.checks.iter().position(|c| c.0 == size);
        let at = found.unwrap_or(self.checks.len());
        if found.is_none() {
            self.checks.push((size, self.need.checked(size)));
        }
        &self.checks[at].1
    }
}

/// The smallest stocked size that the code and the job's own leasts allow.
fn proposed(
    basis: &Basis<'_>,
    tried: &mut Tried<'_>,
    code_size: Option<PipeSize>,
    arrived: &Arrived,
    steps: &mut Vec<String>,
    print: Printer,
) -> PipeSize {
    let practice = &basis.job.practice;
    let mut floor = code_size.max(arrived.chosen);
    let mut own_least = |least: Option<PipeSize>, applies: bool, what: &str| {
        if let Some(least) = least.filter(|l| applies && Some(*l) > floor) {
            steps.push(format!("the job's own least {what}: {}", print.size(least)));
            floor = Some(least);
        }
    };
    own_least(
        practice.least_under_slab,
        practice.least_under_slab.is_some() && under_slab(basis.job, basis.net, tried.need.piece),
        "under a slab",
    );
    own_least(
        practice.least_kitchen,
        arrived.carried.kitchens > 0,
        "for a kitchen",
    );
    let floor = floor.unwrap_or(PipeSize::SMALLEST);
    let stocked = practice
        .stock
        .iter()
        .copied()
        .filter(|s| *s >= floor)
        .find(|s| code_size.is_none() || tried.at(*s).fails.is_none());
    match stocked {
        Some(size) => {
            if Some(size) != code_size {
                steps.push(format!(
                    "smallest stocked size that passes: {}",
                    print.size(size)
                ));
            }
            size
        }
        None => {
            let size = PipeSize::all()
                .filter(|s| *s >= floor)
                .find(|s| tried.at(*s).fails.is_none())
                .or(practice.stock.last().copied())
                .unwrap_or(floor)
                .max(floor);
            steps.push(format!("no stocked size passes: {}", print.size(size)));
            size
        }
    }
}

fn unknown(
    basis: &Basis<'_>,
    piece: PieceIx,
    arrived: &Arrived,
    stated: Option<PipeSize>,
) -> Option<String> {
    if arrived.carried.unknown > 0 && arrived.carried.fixtures <= 1 {
        return Some("the load of its fixture is not known".to_owned());
    }
    let existing = basis
        .net
        .graph
        .edge_weight(piece)
        .is_some_and(|p| p.state == State::Existing);
    (existing && stated.is_none())
        .then(|| "it is there already and its size is not stated; shown as if new".to_owned())
}
