//! What a job file says, read and resolved, nothing added.

use std::sync::Arc;

use crate::diagnostics::Span;
use crate::units::{Fall, Flow, Heading, Length, Load, PipeSize, UnitSystem};

/// A value the job file states, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Said<T> {
    /// The value.
    pub value: T,
    /// The words that state it.
    pub span: Span,
}

/// The text of a job file and the name it is known by.
#[derive(Debug, Default, PartialEq)]
pub struct Source {
    /// Path as given by the user, for messages.
    pub path: String,
    /// The whole text.
    pub text: String,
}

/// A job: everything the file says, in the order of the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// Short name for files: the file's stem, or its folder's name for `job.toml`.
    pub name: String,
    /// The text it was read from.
    pub source: Arc<Source>,
    /// Title-block words.
    pub title: Title,
    /// The code book's id (`irc-2021`) or path.
    pub code: Option<Said<String>>,
    /// Unit system of bare numbers and of all printing.
    pub units: UnitSystem,
    /// Survey tie and benchmark.
    pub zero: Option<Zero>,
    /// The job's own practice, above the book.
    pub practice: Practice,
    /// How to draw; all optional.
    pub drawing: Drawing,
    /// Floors, lowest level first as sorted by level.
    pub floors: Vec<Floor>,
    /// Level of the roof, if stated (`[floors] roof`).
    pub roof: Option<Said<Length>>,
    /// Exits; at least one.
    pub exits: Vec<Exit>,
    /// Horizontal drains.
    pub drains: Vec<Drain>,
    /// Stacks.
    pub stacks: Vec<Stack>,
    /// Fixtures.
    pub fixtures: Vec<Fixture>,
    /// Vents.
    pub vents: Vec<Vent>,
    /// Cleanouts.
    pub cleanouts: Vec<Cleanout>,
    /// Ejector basins.
    pub basins: Vec<Basin>,
    /// Valves.
    pub valves: Vec<Valve>,
    /// Footings that a drain passes.
    pub footings: Vec<Footing>,
    /// Waivers.
    pub waivers: Vec<Waiver>,
}

/// Words for the title block (`[job]`).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Title {
    /// `title`
    pub title: String,
    /// `number`
    pub number: Option<String>,
    /// `address`
    pub address: Option<String>,
    /// `client`
    pub client: Option<String>,
    /// `drawn_by`
    pub drawn_by: Option<String>,
    /// `license`
    pub license: Option<String>,
    /// `permit`
    pub permit: Option<String>,
    /// `scope`
    pub scope: Option<String>,
    /// `date`, as written; never today's date.
    pub date: Option<String>,
    /// `revision`
    pub revision: Option<String>,
    /// `checked_by`
    pub checked_by: Option<String>,
}

/// `zero` of `[job]`: what level 0 is, and how it ties to the survey.
#[derive(Clone, Debug, PartialEq)]
pub struct Zero {
    /// What level 0 is, in words (`first floor`).
    pub is: Option<String>,
    /// Survey elevation of level 0, in the job's units.
    pub survey: Option<Length>,
    /// The benchmark, in words.
    pub benchmark: Option<String>,
    /// The benchmark's level above zero.
    pub level: Option<Length>,
}

/// How bores meet at wyes and reducers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Join {
    /// Centres matched.
    #[default]
    Centre,
    /// Crowns (tops of the bore) matched.
    Crown,
    /// Inverts matched.
    Invert,
}

/// The job's own practice (`fall`, `stock`, `least`, `join`, `spare`, `material`, `terminal`, `methods`).
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// Preferred fall by size; sizes not listed use the book's least.
    pub falls: Vec<(PipeSize, Said<Fall>)>,
    /// Sizes on the truck, ascending. Default 1 1/2, 2, 3, 4, 6 (and 1 1/4 for arms is not stocked).
    pub stock: Vec<PipeSize>,
    /// Least size under a slab.
    pub least_under_slab: Option<PipeSize>,
    /// Least size of a kitchen drain.
    pub least_kitchen: Option<PipeSize>,
    /// Least size of a vent.
    pub least_vent: Option<PipeSize>,
    /// How bores meet.
    pub join: Join,
    /// Room to keep.
    pub spare: Option<Length>,
    /// Pipe material below ground, in words.
    pub material_below: String,
    /// Pipe material above ground, in words.
    pub material_above: String,
    /// Vent material, in words.
    pub material_vents: String,
    /// Vent terminal above the roof.
    pub above_roof: Option<Length>,
    /// Least terminal size for frost.
    pub frost: Option<PipeSize>,
    /// Venting methods to prefer, in the trade's words.
    pub prefer: Vec<Said<String>>,
    /// Venting methods allowed beyond the default, in the trade's words.
    pub allow: Vec<Said<String>>,
}

impl Default for Practice {
    fn default() -> Self {
        let pvc = || "PVC DWV".to_owned();
        Practice {
            falls: Vec::new(),
            stock: [1.5, 2.0, 3.0, 4.0, 6.0]
                .into_iter()
                .filter_map(PipeSize::from_inches)
                .collect(),
            least_under_slab: None,
            least_kitchen: None,
            least_vent: None,
            join: Join::Centre,
            spare: None,
            material_below: pvc(),
            material_above: pvc(),
            material_vents: pvc(),
            above_roof: None,
            frost: None,
            prefer: Vec::new(),
            allow: Vec::new(),
        }
    }
}

/// How to draw (`[drawing]`): all optional.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Corner to look from: the plan heading the viewer stands at (`southwest` …), if stated.
    pub from: Option<Said<Heading>>,
    /// Paper, if stated (`arch-d`).
    pub sheet: Option<Said<String>>,
    /// Whether lengths are drawn to scale.
    pub to_scale: bool,
}

/// Index of a floor in [`Job::floors`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FloorIx(pub usize);

/// A finished floor.
#[derive(Clone, Debug, PartialEq)]
pub struct Floor {
    /// Its name.
    pub name: String,
    /// Where it is stated.
    pub span: Span,
    /// Level of the finished floor above zero.
    pub level: Length,
    /// Slab thickness, if it is a slab.
    pub slab: Option<Length>,
    /// Deck thickness above the joists.
    pub deck: Option<Length>,
    /// Joist depth.
    pub joists: Option<Length>,
    /// Which way joists run.
    pub joists_run: Option<Heading>,
    /// Joist spacing.
    pub spacing: Option<Length>,
    /// First joist from plan zero.
    pub first_joist: Option<Length>,
    /// Ceiling thickness below the joists.
    pub ceiling: Option<Length>,
    /// Level of the ground outside.
    pub grade: Option<Length>,
    /// The floor that this pit is part of.
    pub part_of: Option<FloorIx>,
}

/// Where a building drain leaves.
#[derive(Clone, Debug, PartialEq)]
pub struct Exit {
    /// `exit`, or the name under `[exits]`.
    pub name: String,
    /// Where it is stated.
    pub span: Span,
    /// What it goes to (`public sewer`, `septic tank`).
    pub to: Option<String>,
    /// Invert at the outside face of the wall.
    pub invert: Option<Said<Length>>,
    /// The way the water leaves.
    pub heading: Option<Said<Heading>>,
    /// Plan position, east and north of plan zero.
    pub at: Option<(Length, Length)>,
    /// Top of the footing there.
    pub footing_top: Option<Length>,
    /// Bottom of the footing there.
    pub footing_bottom: Option<Length>,
    /// The sewer beyond the wall.
    pub sewer: Option<Sewer>,
}

/// The sewer beyond the wall.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sewer {
    /// Its length.
    pub length: Option<Length>,
    /// Its size.
    pub size: Option<PipeSize>,
    /// Whether it is there already.
    pub existing: bool,
    /// Invert at the tap.
    pub tap: Option<Length>,
    /// Rim of the next upstream manhole.
    pub manhole_rim: Option<Length>,
    /// Ground level over it.
    pub grade: Option<Length>,
}

/// What a thing drains or vents into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// An exit, by index.
    Exit(usize),
    /// A drain, by index.
    Drain(usize),
    /// A stack, by index.
    Stack(usize),
    /// A vent, by index.
    Vent(usize),
    /// An ejector basin, by index.
    Basin(usize),
    /// Another fixture's drain, by index.
    Fixture(usize),
    /// The open air above the roof.
    Roof,
}

/// Where a horizontal pipe lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// Under the slab.
    UnderSlab,
    /// Between the joists, along them.
    BetweenJoists,
    /// Below the joists.
    UnderJoists,
    /// In a crawl space.
    CrawlSpace,
    /// In a wall.
    Wall,
}

impl Lies {
    /// The words of the job file.
    pub fn words(self) -> &'static str {
        match self {
            Lies::UnderSlab => "under slab",
            Lies::BetweenJoists => "between joists",
            Lies::UnderJoists => "under joists",
            Lies::CrawlSpace => "crawl space",
            Lies::Wall => "wall",
        }
    }
}

/// One leg of a `run`, walking upstream, with what holds over it.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// Which way it goes, walking upstream.
    pub heading: Heading,
    /// Centre-line length.
    pub length: Length,
    /// `size` that holds here, if the run states one.
    pub size: Option<Said<PipeSize>>,
    /// `fall` that holds here, if the run states one.
    pub fall: Option<Said<Fall>>,
    /// `lies` that holds here, if the run states one.
    pub lies: Option<Lies>,
    /// The words of this leg.
    pub span: Span,
}

/// How a branch joins a drain.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Wye {
    /// The branch lies level with the drain.
    #[default]
    Flat,
    /// Rolled up 45°.
    Rolled,
    /// Standing on its back: the branch drops in vertically.
    OnBack,
}

/// A horizontal drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Drain {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// What it drains into; none: the tool decides.
    pub into: Option<Said<Target>>,
    /// The floor it hangs beneath.
    pub floor: Option<FloorIx>,
    /// Developed length up the drain it joins, from that drain's downstream end.
    pub station: Option<Said<Length>>,
    /// How it joins.
    pub wye: Option<Wye>,
    /// Its legs, walking upstream. Empty: not known.
    pub run: Vec<Leg>,
    /// Stated size of the whole drain.
    pub size: Option<Said<PipeSize>>,
    /// Stated fall of the whole drain.
    pub fall: Option<Said<Fall>>,
    /// Invert where a branch meets its stack, from the finished floor of `floor`.
    pub invert: Option<Said<Length>>,
    /// Already there.
    pub existing: bool,
    /// Roughed in for later.
    pub future: bool,
}

/// A stack offset.
#[derive(Clone, Debug, PartialEq)]
pub struct Offset {
    /// The floor beneath which it lies.
    pub floor: FloorIx,
    /// Invert from that finished floor.
    pub invert: Option<Said<Length>>,
    /// Which way it goes, walking upstream (from the lower stack to the upper).
    pub heading: Heading,
    /// How far.
    pub length: Option<Length>,
    /// By which bend, 45 or 90 degrees from the vertical.
    pub by_degrees: u32,
    /// Where it is stated.
    pub span: Span,
}

/// A stack.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// A drain or an exit; none: the building drain.
    pub into: Option<Said<Target>>,
    /// Station on that drain.
    pub station: Option<Said<Length>>,
    /// Plan position.
    pub at: Option<(Length, Length)>,
    /// Legs from the drain to the stack's base, walking upstream.
    pub run: Vec<Leg>,
    /// Stated size.
    pub size: Option<Said<PipeSize>>,
    /// The wall it stands in (`2x6`), as written.
    pub wall: Option<String>,
    /// Whether it goes through the roof (`up_to = "roof"`, the default) or which floor it ends at.
    pub up_to: Option<FloorIx>,
    /// Offsets, lowest first.
    pub offsets: Vec<Offset>,
    /// Already there.
    pub existing: bool,
    /// Roughed in for later.
    pub future: bool,
}

/// A fixture.
#[derive(Clone, Debug, PartialEq)]
pub struct Fixture {
    /// Its name, used as its tag.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// Its kind, in the trade's words; a kind of the book or not.
    pub kind: Said<String>,
    /// Room it stands in.
    pub room: Option<String>,
    /// Floor it stands on.
    pub floor: Option<FloorIx>,
    /// What it drains into.
    pub into: Option<Said<Target>>,
    /// Station on that drain.
    pub station: Option<Said<Length>>,
    /// Side of the drain it stands on.
    pub side: Option<Said<Heading>>,
    /// Plan position.
    pub at: Option<(Length, Length)>,
    /// Legs from the drain to the vent fitting, walking upstream.
    pub run: Vec<Leg>,
    /// Developed length of the trap arm, vent fitting to trap weir.
    pub arm: Option<Said<Length>>,
    /// Stated size of the trap arm and fixture drain.
    pub size: Option<Said<PipeSize>>,
    /// Stated fall of the arm.
    pub fall: Option<Said<Fall>>,
    /// Arm's invert at the trap above the finished floor.
    pub outlet: Option<Length>,
    /// Flood level rim above the finished floor.
    pub rim: Option<Length>,
    /// Gallons per flush, of a water closet or urinal.
    pub gpf: Option<f64>,
    /// Flow into it (all heads together).
    pub flow: Option<Flow>,
    /// Number of shower heads.
    pub heads: Option<u32>,
    /// What drains with it (`disposer`, `dishwasher`).
    pub with: Vec<String>,
    /// Vent it uses, by index into [`Job::vents`].
    pub vent: Option<Said<usize>>,
    /// Fixture whose vent serves this one as a wet vent, by index.
    pub vented_by: Option<Said<usize>>,
    /// Fixture whose use feeds this trap's primer, by index.
    pub primed_by: Option<Said<usize>>,
    /// Receptor that this indirect waste stands over, by index.
    pub over: Option<Said<usize>>,
    /// Air gap above the receptor.
    pub gap: Option<Length>,
    /// Stated load, for a fixture the book does not know.
    pub load: Option<Said<Load>>,
    /// Stated trap size, for a fixture the book does not know.
    pub trap: Option<Said<PipeSize>>,
    /// Public use.
    pub public: bool,
    /// Emergency floor drain.
    pub emergency: bool,
    /// Already there.
    pub existing: bool,
    /// Roughed in for later.
    pub future: bool,
}

/// A vent.
#[derive(Clone, Debug, PartialEq)]
pub struct Vent {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// `island`, `air admittance valve`, or none for a plain dry vent.
    pub kind: Option<Said<String>>,
    /// A stack, another vent or the roof.
    pub into: Option<Said<Target>>,
    /// Legs from the drain upward.
    pub run: Vec<Leg>,
    /// Stated size.
    pub size: Option<Said<PipeSize>>,
    /// Drain and station of an island vent's foot.
    pub foot: Option<(Said<Target>, Option<Length>)>,
    /// Already there.
    pub existing: bool,
    /// Roughed in for later.
    pub future: bool,
}

/// The kinds of cleanout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CleanoutKind {
    /// Flush with a floor (FCO).
    Floor,
    /// Behind a wall plate (WCO).
    Wall,
    /// Brought up to grade outside (COTG).
    Grade,
    /// Two-way, near the exit.
    TwoWay,
    /// At a stack's base.
    Stack,
    /// In line at the end of a drain.
    End,
}

/// A cleanout.
#[derive(Clone, Debug, PartialEq)]
pub struct Cleanout {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// A drain or a stack.
    pub on: Said<Target>,
    /// Station on it; none: at its upstream end.
    pub station: Option<Said<Length>>,
    /// Its kind.
    pub kind: Option<CleanoutKind>,
    /// Stated size.
    pub size: Option<Said<PipeSize>>,
}

/// An ejector basin.
#[derive(Clone, Debug, PartialEq)]
pub struct Basin {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// Floor it stands in.
    pub floor: Option<FloorIx>,
    /// Pump flow.
    pub pump: Option<Flow>,
    /// What it discharges into.
    pub into: Option<Said<Target>>,
    /// Station on that drain.
    pub station: Option<Said<Length>>,
    /// Discharge size.
    pub size: Option<Said<PipeSize>>,
    /// Its vent, by index.
    pub vent: Option<Said<usize>>,
}

/// A valve in a drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Valve {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// Its kind; `backwater`.
    pub kind: Said<String>,
    /// The drain it stands in.
    pub on: Said<Target>,
    /// Station on it.
    pub station: Option<Said<Length>>,
}

/// A footing that a drain passes.
#[derive(Clone, Debug, PartialEq)]
pub struct Footing {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// The drain.
    pub on: Said<Target>,
    /// Station on it.
    pub station: Option<Said<Length>>,
    /// Top of the footing above zero.
    pub top: Option<Length>,
    /// Bottom of the footing above zero.
    pub bottom: Option<Length>,
}

/// A waiver of a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Waiver {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// Code of the finding waived.
    pub code: Said<String>,
    /// The thing it is waived on, by name or id.
    pub on: Option<Said<String>>,
    /// Why.
    pub reason: Option<String>,
    /// Who approved.
    pub by: Option<String>,
}
