//! What every rule looks at, and how it says what it found.

use std::collections::{BTreeMap, BTreeSet};

use crate::codebook::Book;
use crate::diagnostics::{Diagnostic, Severity, Span};
use crate::job::{Fixture, Floor, Job, Made};
use crate::network::{JointIx, Network, Piece, PieceIx, RunIx, RunKind, System, Table, TrapIx};
use crate::sizing::PieceSize;
use crate::sizing::traps::rim;
use crate::sizing::ways::wet_served;
use crate::solve::{Solution, Work};
use crate::units::{Length, PipeSize, Printer};

/// A rule's code, name and severity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meta {
    /// Stable code.
    pub code: &'static str,
    /// Name that states the defect.
    pub name: &'static str,
    /// How bad.
    pub severity: Severity,
    /// Whether it is about waivers, which no waiver answers.
    pub about_waivers: bool,
}

impl Meta {
    /// A rule about the job.
    pub const fn new(code: &'static str, name: &'static str, severity: Severity) -> Self {
        Meta {
            code,
            name,
            severity,
            about_waivers: false,
        }
    }
    /// A finding of this rule.
    pub fn finding(
        &self,
        at: impl Into<String>,
        span: Option<Span>,
        message: impl Into<String>,
    ) -> Diagnostic {
        Diagnostic {
            at: at.into(),
            span,
            ..Diagnostic::plain(self.code, self.name, self.severity, message.into())
        }
    }
}

/// Everything so far.
pub struct Context<'a> {
    /// The job.
    pub job: &'a Job,
    /// The network.
    pub net: &'a Network,
    /// The book.
    pub book: &'a Book,
    /// Sizes, levels, fittings.
    pub solution: &'a Solution,
    /// Prints quantities in the job's units.
    pub print: Printer,
    /// Joints at which cleanouts stand.
    pub cleanouts: BTreeSet<JointIx>,
    /// How many traps each trap's dry vent serves as a wet vent.
    pub wet_served: Table<TrapIx, usize>,
    /// The vents on branches that name each trap, in their order.
    pub branch_vents: Table<TrapIx, Vec<usize>>,
    /// The drain of the job that a run is.
    pub drains: Table<RunIx, usize>,
    /// The stack of the job that a run is.
    pub stacks: Table<RunIx, usize>,
    /// Waivers that answered a finding, by index; empty until the other rules ran.
    pub used_waivers: BTreeSet<usize>,
}

impl<'a> Context<'a> {
    /// The job worked through, for what other stages make of it.
    pub fn work(&self) -> Work<'a> {
        Work {
            job: self.job,
            net: self.net,
            book: self.book,
            solution: self.solution,
        }
    }

    /// Before any rule ran.
    pub fn new(job: &'a Job, net: &'a Network, book: &'a Book, solution: &'a Solution) -> Self {
        let mut branch_vents: Table<TrapIx, Vec<usize>> = Table::new();
        for (v, vent) in net.branch_vents.iter().enumerate() {
            for trap in &vent.traps {
                branch_vents.or_default(*trap).push(v);
            }
        }
        Context {
            branch_vents,
            drains: first_of(&net.draft.drains),
            stacks: first_of(&net.draft.stacks),
            job,
            net,
            book,
            solution,
            print: Printer { units: job.units },
            wet_served: wet_served(net),
            cleanouts: net.cleanouts.iter().map(|c| c.joint).collect(),
            used_waivers: BTreeSet::new(),
        }
    }

    /// Pieces of one system with their sizes, in the order of the network.
    pub fn sized(
        &self,
        system: System,
    ) -> impl Iterator<Item = (PieceIx, &'a Piece, &'a PieceSize)> {
        let (net, sizes) = (self.net, &self.solution.sizing.pieces);
        net.graph.edge_indices().filter_map(move |ix| {
            let piece = net.graph.edge_weight(ix)?;
            (piece.system == system).then_some(())?;
            Some((ix, piece, sizes.get(&ix)?))
        })
    }

    /// What kind of run a piece is of.
    pub fn kind(&self, piece: &Piece) -> Option<RunKind> {
        self.net.runs.get(piece.run.0).map(|r| r.kind)
    }

    /// Where the job states a piece's size, else where it states the piece.
    pub fn size_span(&self, piece: &Piece) -> Option<Span> {
        piece
            .size
            .as_ref()
            .map(|s| s.span.clone())
            .or_else(|| piece.span.clone())
    }

    /// The fixture of a trap.
    pub fn fixture(&self, trap: TrapIx) -> Option<&'a Fixture> {
        let trap = self.net.traps.get(trap.0)?;
        self.job.fixtures.get(trap.fixture)
    }

    /// The floor that a trap's fixture stands on: the network's, since a fixture may leave it to
    /// its drain.
    pub fn floor(&self, trap: TrapIx) -> Option<&'a Floor> {
        let fixture = self.net.traps.get(trap.0)?.fixture;
        let floor = self.net.draft.fixtures.get(fixture)?.floor?;
        self.job.floors.get(floor.0)
    }

    /// Flood level rim of a fixture above its floor: stated, else as its kind usually has it.
    pub fn rim(&self, fixture: &Fixture) -> Option<Length> {
        rim(fixture)
    }

    /// A length rounded up to what is printed, an eighth of an inch or a millimetre: so that what
    /// a finding asks for is enough, and what is not quite nothing does not print as nothing.
    pub fn rounded_up(&self, length: Length) -> Length {
        self.print.rounded_up(length)
    }

    /// A length rounded down to what is printed: so that a limit never prints as more than it is.
    pub fn rounded_down(&self, length: Length) -> Length {
        -self.rounded_up(-length)
    }

    /// The smallest stocked size from here up, else the size itself.
    pub fn stocked(&self, size: PipeSize) -> PipeSize {
        let stock = &self.job.practice.stock;
        stock.iter().copied().find(|s| *s >= size).unwrap_or(size)
    }
}

/// The first place in a list of each run.
fn first_of(runs: &[usize]) -> Table<RunIx, usize> {
    let mut first = Table::new();
    for (i, run) in runs.iter().enumerate() {
        first.or_insert_with(RunIx(*run), || i);
    }
    first
}

/// One finding for each place in the job file: of several pieces that the same words size, the
/// one that fails by most. Pieces without words of their own go by their run. Of words that stand
/// for several copies or stacks each has its own, so that a waiver answers the one that it names.
pub struct Worst<'a, K> {
    made: &'a Made,
    found: BTreeMap<(usize, usize, String), (K, Diagnostic)>,
}

impl<'a, K: PartialOrd> Worst<'a, K> {
    /// None yet.
    pub fn new(ctx: &Context<'a>) -> Self {
        Worst {
            made: &ctx.job.made,
            found: BTreeMap::new(),
        }
    }
    /// Adds a finding about a piece, with how bad it is.
    pub fn add(&mut self, piece: &Piece, badness: K, finding: Diagnostic) {
        let place = self.made.place(&piece.id).to_owned();
        let key = match &finding.span {
            Some(span) => (span.start, span.end, place),
            None => (usize::MAX, piece.run.0, place),
        };
        match self.found.get(&key) {
            Some((worst, _)) if *worst >= badness => {}
            _ => {
                self.found.insert(key, (badness, finding));
            }
        }
    }
    /// All of them.
    pub fn into_findings(self) -> Vec<Diagnostic> {
        self.found.into_values().map(|(_, d)| d).collect()
    }
}
