//! Stage 3 of 12. In: the stated [`Network`](crate::network::Network) and the code book. Out: the
//! same network, complete and frozen. Promises: every fixture reaches an exit, every trap has a
//! vent by a method that book and job allow; each proposed part is marked and has its reason.

mod arm_vents;
mod backwater;
mod branch_vents;
mod branches;
mod cleanouts;
mod feet;
mod groups;
mod methods;
mod notes;
mod routes;
mod sites;
mod vent_stacks;
mod vents;

use std::collections::BTreeSet;

use crate::catalogue;
use crate::codebook::{Book, FixtureRow};
use crate::diagnostics::Diagnostic;
use crate::job::{Fixture, Job};
use crate::network::draft::{Draft, settle};
use crate::network::faults::{self, Faults};
use crate::network::tree::Tree;
use crate::network::{JointIx, Network, PieceIx, RunKind, State, VentMethod, cut, place};
use crate::pins;
use crate::sizing::traps::query;
use crate::units::{Length, Load, PipeSize};

/// Completes a stated network: branches, building drain, vents and cleanouts that the job does
/// not state.
///
/// What is stated stays as it is. The network keeps the draft it was cut from, with the proposals
/// in it.
pub fn complete(job: &Job, stated: Network, book: &Book) -> (Network, Vec<Diagnostic>) {
    let mut faults = Faults::default();
    let mut notes = notes::Notes {
        book,
        units: job.units,
        list: Vec::new(),
    };
    let mut draft = stated.draft;
    routes::propose(job, &mut draft, &mut notes);
    settle(&mut draft);
    place(job, &mut draft, None);
    branches::propose(job, &mut draft, &mut notes);
    feet::propose(job, &mut draft, &mut notes);
    pins::order(job, &mut draft);
    arm_limits(job, &mut draft, book);
    settle(&mut draft);
    place(job, &mut draft, Some(&mut faults));
    branch_vents::propose(job, &mut draft, book);
    cleanouts::propose(job, &mut draft, &mut notes);
    pins::order(job, &mut draft);
    let mut whole = settled(job, &draft, book);
    let found = (whole.sites.as_slice(), whole.dry.as_slice());
    let arms = arm_vents::propose((job, &whole.net), &mut draft, found, &mut notes);
    let stacks = vent_stacks::propose((job, &whole.net), &mut draft, book);
    if arms || stacks {
        whole = settled(job, &draft, book);
    }
    let Settled {
        mut net,
        tree,
        sites,
        dry,
    } = whole;
    net.draft = draft;
    vents::propose(
        job,
        &mut net,
        (&tree, &sites),
        &dry,
        &mut notes,
        &mut faults,
    );
    undrained(job, &net, &mut faults);
    way_notes(job, &net, &mut notes);
    methods::notes(job, &net, &mut notes);
    net.proposals = notes.list;
    (net, faults.list)
}

/// A network cut from its draft, with the method of every trap settled.
struct Settled {
    net: Network,
    tree: Tree,
    sites: Vec<Option<sites::Site>>,
    /// The joint of each trap's dry vent, if it has one of its own.
    dry: Vec<Option<JointIx>>,
}

fn settled(job: &Job, draft: &Draft, book: &Book) -> Settled {
    let mut net = cut(job, draft);
    let tree = Tree::of(&net);
    let sites = sites::sites(&net, draft, &tree);
    let groups = groups::counted(
        job,
        |f| sites.get(f).copied().flatten().map(|s| s.floor),
        |f| {
            sites
                .get(f)
                .copied()
                .flatten()
                .and_then(|s| s.top)
                .unwrap_or(usize::MAX)
        },
        |f| {
            let site = sites.get(f).copied().flatten();
            site.map_or(usize::MAX, |s| tree.depth(s.place))
        },
    );
    for (trap, group) in net.traps.iter_mut().zip(groups) {
        trap.group = group.filter(|_| trap.joint.is_some());
    }
    let dry = methods::settle((job, draft, book), &mut net, &sites);
    Settled {
        net,
        tree,
        sites,
        dry,
    }
}

/// The longest arm that the book lets each fixture have whose arm the job does not state.
fn arm_limits(job: &Job, draft: &mut Draft, book: &Book) {
    for (f, way) in job.fixtures.iter().zip(&mut draft.fixtures) {
        let trap = trap_size(f, book);
        let most: Option<Length> = trap
            .and_then(|t| book.trap_arm(t).ok())
            .map(|r| r.value.length);
        let closet = catalogue::kind(&f.kind.value).is_some_and(|k| k.closet);
        let own = book.arm_rules().closet_arm.as_ref().filter(|_| closet);
        way.arm_limit = own.map(|o| o.value).or(most);
    }
}

/// The trap of a fixture: as stated, else as the book has it.
fn trap_size(f: &Fixture, book: &Book) -> Option<PipeSize> {
    let stated = f.trap.as_ref().or(f.size.as_ref()).map(|s| s.value);
    stated.or_else(|| book_row(f, book)?.trap)
}

/// The load of a fixture by itself: as stated, else as the book has it; none where neither is.
fn fixture_load(f: &Fixture, book: &Book) -> Load {
    let stated = f.load.as_ref().map(|l| l.value);
    let load = stated.or_else(|| book_row(f, book).map(|row| row.load));
    load.unwrap_or_default()
}

fn book_row(f: &Fixture, book: &Book) -> Option<FixtureRow> {
    Some(book.fixture(&query(f))?.value)
}

/// Fixtures that still reach no exit.
fn undrained(job: &Job, net: &Network, faults: &mut Faults) {
    for (f, trap) in job.fixtures.iter().zip(&net.traps) {
        if trap.joint.is_none() && trap.vent != VentMethod::Indirect {
            let message = format!("`{}` reaches no exit", f.name);
            let help = "name the drain, the stack or the basin that it flows into";
            faults.error(
                faults::NOT_DRAINED,
                &f.name,
                Some(f.span.clone()),
                message,
                help,
            );
        }
    }
}

/// The way from drain to trap where the job states none of it: what is marked as proposed on the
/// drawing stands in the list of proposals.
fn way_notes(job: &Job, net: &Network, notes: &mut notes::Notes<'_>) {
    let listed: BTreeSet<String> = notes.list.iter().map(|p| p.id.clone()).collect();
    let is_proposed = |p: Option<PieceIx>| {
        p.and_then(|p| net.graph.edge_weight(p))
            .is_some_and(|p| p.state == State::Proposed)
    };
    for (f, trap) in job.fixtures.iter().zip(&net.traps) {
        let drop = trap.vent_fitting.and_then(|j| net.downstream(j));
        let drop = drop.filter(|p| {
            let of = net
                .graph
                .edge_weight(*p)
                .and_then(|p| net.runs.get(p.run.0));
            of.is_some_and(|r| r.kind == RunKind::FixtureDrain)
        });
        // A drop that several share is the first one's.
        let own = drop.filter(|d| {
            let id = net.graph.edge_weight(*d).map(|d| d.id.as_str());
            id.and_then(|id| id.rsplit_once('.')).map(|(of, _)| of) == Some(f.name.as_str())
        });
        let what = match (is_proposed(own), is_proposed(trap.arm)) {
            (true, true) => "its drop and trap arm",
            (true, false) if listed.contains(&f.name) => continue,
            (true, false) => "its drop",
            (false, true) => "its trap arm",
            (false, false) => continue,
        };
        notes.add(&f.name, what, "the job does not state it");
    }
}
