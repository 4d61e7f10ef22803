//! What a job file says, read and resolved, nothing added. One file a record.

mod basin;
mod cleanout;
mod counting;
mod drain;
mod drawing;
mod exit;
mod fixture;
mod floor;
mod footing;
mod leg;
mod line;
mod made;
mod pin;
mod practice;
mod progress;
mod said;
mod stack;
mod target;
mod testing;
mod title;
mod valve;
mod vent;
mod waiver;

use std::sync::Arc;

use crate::units::{Length, UnitSystem};

pub use basin::Basin;
pub use cleanout::{Cleanout, CleanoutKind};
pub use counting::Counting;
pub use drain::{Drain, Wye};
pub use drawing::Drawing;
pub use exit::{Exit, Sewer};
pub use fixture::Fixture;
pub use floor::{Floor, FloorIx};
pub use footing::Footing;
pub use leg::{Leg, Lies};
pub use line::Line;
pub use made::{Bank, Group, Made, MadeThing, Repeat, Typical};
pub use pin::{PaperSide, Pin};
pub use practice::{Faces, Join, Practice};
pub use progress::{Laid, Progress, Standing};
pub use said::{Said, Source};
pub use stack::{Offset, Stack};
pub use target::Target;
pub use testing::Testing;
pub use title::{Title, Zero};
pub use valve::Valve;
pub use vent::Vent;
pub use waiver::Waiver;

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
    /// What is chosen of the book's options (`system II`).
    pub code_options: Vec<Said<String>>,
    /// Unit system of bare numbers and of all printing.
    pub units: UnitSystem,
    /// Survey tie and benchmark.
    pub zero: Option<Zero>,
    /// The job's own practice, above the book.
    pub practice: Practice,
    /// How to draw; all optional.
    pub drawing: Drawing,
    /// How material is counted; all optional.
    pub takeoff: Counting,
    /// How the rough-in is tested; all optional.
    pub test: Testing,
    /// How much larger a hole is than its pipe, if stated.
    pub hole_clearance: Option<Length>,
    /// Reference lines that holes are measured from.
    pub lines: Vec<Line>,
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
    /// What of all that came by repetition, from groups and ranges.
    pub made: Made,
    /// How far the work is on site.
    pub progress: Vec<Progress>,
    /// What is pinned of the drawing.
    pub pins: Vec<Pin>,
    /// Waivers.
    pub waivers: Vec<Waiver>,
}
