//! The load and trap of each fixture.

use std::sync::Arc;

use super::branch_vents::{combination_larger, larger_by};
use super::class::is_buried;
use super::model::{TrapSize, Working};
use super::working;
use crate::catalogue::{self, Kind, Outlet};
use crate::codebook::{Book, FixtureQuery};
use crate::job::{Fixture, Job};
use crate::network::{Network, Table, Trap, TrapIx, VentMethod};
use crate::units::{Demand, Flow, Length, Load, PipeSize, Printer};

/// What the catalogue knows of a fixture's kind.
pub fn kind_of(fixture: &Fixture) -> Option<&'static Kind> {
    catalogue::kind(&fixture.kind.value)
}

/// Flood level rim of a fixture above its floor: stated, else as its kind usually has it.
pub fn rim(fixture: &Fixture) -> Option<Length> {
    let usual = || kind_of(fixture).map(|k| k.default_rim.height);
    fixture.rim.or_else(usual)
}

/// What is asked of the book's table for a fixture.
pub fn query(fixture: &Fixture) -> FixtureQuery<'_> {
    FixtureQuery {
        kind: kind_of(fixture).map_or(fixture.kind.value.as_str(), |k| k.word),
        gpf: fixture.gpf,
        flow: fixture.flow,
        with: &fixture.with,
        public: fixture.public,
        emergency: fixture.emergency,
        heads: fixture.heads,
        trap: fixture.trap.as_ref().map(|t| t.value),
    }
}

/// Loads and traps of all fixtures.
///
/// A stated load or trap goes first. Otherwise the book's row for the kind; a kind that the book
/// does not list is rated by its trap size, if stated, or by its flow. A receptor carries what
/// drains into it over an air gap, but never less than its own row.
pub fn traps(job: &Job, net: &Network, book: &Book) -> Table<TrapIx, Arc<TrapSize>> {
    let mut table: Table<TrapIx, Arc<TrapSize>> = Table::new();
    let mut known = Known::default();
    for (i, trap) in net.traps.iter().enumerate() {
        if let Some(fixture) = job.fixtures.get(trap.fixture) {
            let mut size = known.of(job, book, fixture);
            if trap.vent == VentMethod::Combination {
                enlarge(job, book, fixture, Arc::make_mut(&mut size));
            }
            if let Some(least) = least_below(job, net, trap, &size) {
                bury(job, least, Arc::make_mut(&mut size));
            }
            table.insert(TrapIx(i), size);
        }
    }
    receptors(job, net, book, &mut table);
    table
}

/// What was worked out so far: a building has few sorts of fixtures, and many of each.
#[derive(Default)]
struct Known<'a> {
    sorts: Vec<(&'a Fixture, Arc<TrapSize>)>,
}

impl<'a> Known<'a> {
    /// More sorts than this are not kept, so that looking for one stays short.
    const MOST: usize = 32;

    fn of(&mut self, job: &Job, book: &Book, fixture: &'a Fixture) -> Arc<TrapSize> {
        if let Some((_, size)) = self.sorts.iter().find(|(f, _)| alike(f, fixture)) {
            return Arc::clone(size);
        }
        let size = Arc::new(one(job, book, fixture));
        if self.sorts.len() < Self::MOST {
            self.sorts.push((fixture, Arc::clone(&size)));
        }
        size
    }
}

/// Whether all is the same that the load and the trap of two fixtures follow from.
fn alike(a: &Fixture, b: &Fixture) -> bool {
    let said = |f: &Fixture| {
        (
            f.trap.as_ref().map(|s| s.value),
            f.size.as_ref().map(|s| s.value),
            f.load.as_ref().map(|s| s.value),
            f.over.is_some(),
        )
    };
    a.kind.value == b.kind.value && said(a) == said(b) && query(a) == query(b)
}

/// A trap on a combination drain and vent may have to be larger than another.
fn enlarge(job: &Job, book: &Book, fixture: &Fixture, size: &mut TrapSize) {
    let print = Printer { units: job.units };
    let by = combination_larger(book);
    let section = book.combination_rules().and_then(|r| r.larger_by.as_ref());
    let Some(section) = section.filter(|_| by > 0) else {
        return;
    };
    size.code_size = larger_by(size.code_size, by);
    if fixture.trap.is_none() {
        size.size = chosen(job, fixture, size.code_size);
    }
    size.working.steps.push(format!(
        "on a combination drain and vent {by} sizes larger: {} ({})",
        print.size(size.code_size),
        section.section
    ));
}

/// The job's own least under a slab, where a trap lies there and neither its size nor that of its arm
/// is stated. A closet's trap is part of the fixture.
fn least_below(job: &Job, net: &Network, trap: &Trap, own: &TrapSize) -> Option<PipeSize> {
    let least = job.practice.least_under_slab.filter(|l| *l > own.size)?;
    let fixture = job.fixtures.get(trap.fixture)?;
    let open = fixture.trap.is_none()
        && fixture.size.is_none()
        && !kind_of(fixture).is_some_and(|k| k.closet);
    (open && is_buried(job, net, trap.arm?)).then_some(least)
}

fn bury(job: &Job, least: PipeSize, size: &mut TrapSize) {
    let print = Printer { units: job.units };
    size.size = least;
    size.working.steps.push(format!(
        "the job's own least under a slab: {}",
        print.size(least)
    ));
}

fn one(job: &Job, book: &Book, fixture: &Fixture) -> TrapSize {
    let print = Printer { units: job.units };
    let kind = kind_of(fixture);
    let word = kind.map_or(fixture.kind.value.as_str(), |k| k.word);
    let query = query(fixture);
    let mut working = Working::default();
    let mut unknown = None;
    let mut steady = Flow::default();
    let unit = book.unit();
    let stated_trap = fixture.trap.as_ref().map(|s| s.value);
    let row = book.fixture(&query);
    let indirect = kind.is_some_and(|k| k.outlet == Outlet::Indirect) || fixture.over.is_some();

    let load = if let Some(said) = &fixture.load {
        working.steps.push(format!(
            "the job states {} {unit} for this fixture",
            print.load(said.value)
        ));
        said.value
    } else if let Some(found) = &row {
        working = working::of(found);
        working.steps.push(format!(
            "{word}: {} {unit} ({})",
            print.load(found.value.load),
            found.place()
        ));
        found.value.load
    } else if let Some(beyond) = book.fixture_beyond(&query) {
        working.section = beyond.section.clone();
        working.table = beyond.table.clone();
        unknown = Some(beyond.message);
        Load::ZERO
    } else if let Some(flow) = fixture.flow {
        match book.flow_load(flow) {
            Some(found) => {
                working = working::of(&found);
                working.steps.push(format!(
                    "{} gpm of flow counts {} {unit}",
                    crate::units::number(flow.gpm(), 2, false),
                    print.load(found.value)
                ));
                found.value
            }
            None => {
                steady = flow;
                let said = format!("{} of flow, added as it is", print.flow(flow));
                working.steps.push(said);
                Load::ZERO
            }
        }
    } else if let Some(size) = stated_trap {
        match book.unlisted(size) {
            Ok(found) => {
                working = working::of(&found);
                working.steps.push(format!(
                    "{word} is not listed: rated by its {} trap, {} {unit}",
                    print.size(size),
                    print.load(found.value)
                ));
                found.value
            }
            Err(beyond) => {
                working.section = beyond.section.clone();
                unknown = Some(beyond.message);
                Load::ZERO
            }
        }
    } else if indirect {
        working.steps.push(format!(
            "{word}: drains over an air gap; the book gives it no load and the job states none"
        ));
        Load::ZERO
    } else {
        unknown = Some(format!(
            "the book has no row for \"{}\", and neither its load nor its trap is stated",
            fixture.kind.value
        ));
        Load::ZERO
    };

    // A load that the job states is that of one appliance.
    let rated = row.as_ref().filter(|_| fixture.load.is_none());
    let largest = rated.map_or(load, |f| f.value.largest);
    let of_row = row.as_ref().and_then(|f| f.value.trap);
    let code_size = match (of_row, stated_trap) {
        (Some(size), _) => size,
        (None, Some(size)) if row.is_none() => size,
        _ => {
            let demand = book.demand(load, largest, steady);
            by_outlet(book, kind, demand, &mut working)
        }
    };
    let size = stated_trap.unwrap_or_else(|| chosen(job, fixture, code_size));
    working.steps.push(match stated_trap {
        Some(_) => format!("trap {} as stated", print.size(size)),
        None => format!(
            "trap at least {}, {} used",
            print.size(code_size),
            print.size(size)
        ),
    });
    TrapSize {
        load,
        largest,
        steady,
        code_size,
        size,
        drain: row.and_then(|f| f.value.drain),
        working,
        unknown,
    }
}

/// The trap of a fixture whose row says that it follows the outlet: a closet takes the least pipe
/// that closets may drain into, another fixture the smallest branch that carries its load.
fn by_outlet(book: &Book, kind: Option<&Kind>, demand: Demand, working: &mut Working) -> PipeSize {
    if kind.is_some_and(|k| k.closet) {
        working
            .steps
            .push("the trap is part of the fixture; its outlet takes the closet's least".into());
        return book.closet_least().value;
    }
    working
        .steps
        .push("the trap follows the fixture's outlet; state `trap` if it differs".into());
    let carries = |s: &PipeSize| book.branch(*s).is_ok_and(|cap| cap.value.covers(demand));
    PipeSize::all().find(carries).unwrap_or(PipeSize::SMALLEST)
}

/// The smallest stocked trap that is large enough; a drain stated smaller than that keeps its own
/// size, for a trap is never larger than its drain.
fn chosen(job: &Job, fixture: &Fixture, code_size: PipeSize) -> PipeSize {
    let stocked = job
        .practice
        .stock
        .iter()
        .copied()
        .find(|s| *s >= code_size)
        .unwrap_or(code_size);
    match &fixture.size {
        Some(said) if said.value >= code_size => stocked.min(said.value),
        Some(_) => code_size,
        None => stocked,
    }
}

fn receptors(job: &Job, net: &Network, book: &Book, table: &mut Table<TrapIx, Arc<TrapSize>>) {
    let print = Printer { units: job.units };
    let mut into: Table<TrapIx, (Load, Vec<String>)> = Table::new();
    for (i, trap) in net.traps.iter().enumerate() {
        let (Some(over), Some(own)) = (trap.over, table.get(&TrapIx(i))) else {
            continue;
        };
        let entry = into.or_default(over);
        entry.0 += own.load;
        if let Some(fixture) = job.fixtures.get(trap.fixture) {
            entry.1.push(fixture.name.clone());
        }
    }
    for (receptor, (sum, names)) in &into {
        let Some(own) = table.get_mut(receptor).map(Arc::make_mut) else {
            continue;
        };
        let found = book.receptor(own.load, *sum);
        own.working.steps.push(format!(
            "receptor of {} ({} {unit}): the greater of that and its own {} {unit}, {} {unit} ({})",
            names.join(", "),
            print.load(*sum),
            print.load(own.load),
            print.load(found.value),
            found.section,
            unit = book.unit()
        ));
        own.load = found.value;
    }
}
