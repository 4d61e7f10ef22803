//! What a long section shows.

use crate::network::State;
use crate::units::{Fall, Length, PipeSize};

/// The long section of a building drain. Distances go along the drain in plan, from the exit up;
/// levels are above the job's zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// The exit, by name.
    pub exit: String,
    /// The drain, by name.
    pub run: String,
    /// The pipes whose lengths and inverts are known: the sewer first, where it is stated, then the
    /// drain from the exit up.
    pub pipes: Vec<Pipe>,
    /// The places along it, from the lowest up.
    pub places: Vec<Place>,
    /// What lies over it.
    pub over: Vec<Over>,
    /// Levels of the ground, where they are stated.
    pub grounds: Vec<Ground>,
    /// The footings that it passes.
    pub footings: Vec<Footing>,
    /// Why it is not drawn farther up, if so.
    pub missing: Option<String>,
    /// Why the sewer beyond the exit is not drawn, where there is one that is stated.
    pub beyond: Option<String>,
    /// Level of the rim of the next manhole upstream on the sewer.
    pub rim: Option<Length>,
    /// The drain, in words.
    pub called: String,
    /// That it does not fit, where and why.
    pub unfit: Option<String>,
    /// Survey elevation of level 0, if stated.
    pub survey: Option<Length>,
    /// Level of the benchmark, if stated.
    pub benchmark: Option<Length>,
}

/// A point along the bottom of the bore.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// From the exit, less than nil beyond it.
    pub distance: Length,
    /// Invert there.
    pub invert: Length,
}

/// A pipe of the section, from joint to joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Pipe {
    /// Its id.
    pub id: String,
    /// The run that it is of.
    pub run: String,
    /// Ids of the joints at its upper and its lower end.
    pub joints: [String; 2],
    /// Stated, proposed, existing or future.
    pub state: State,
    /// Its size.
    pub size: PipeSize,
    /// Its fall; none where it stands upright.
    pub fall: Option<Fall>,
    /// Its developed length.
    pub length: Option<Length>,
    /// From its invert to the top of its outside; of its bore where the catalogue has no outside.
    pub high: Length,
    /// Whether the catalogue has its outside.
    pub outside: bool,
    /// From the bottom of its outside to its invert.
    pub wall: Length,
    /// The ends of its legs, from its lower end up.
    pub points: Vec<Point>,
}

/// A place along the section.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// What it is, and what joins there.
    pub what: String,
    /// Developed length up the drain from the exit, as the level table has it; none beyond the exit.
    pub station: Option<Length>,
    /// Where it stands in the section; none where that is not known.
    pub distance: Option<Length>,
    /// Invert; where another pipe comes in, of the one that leaves downstream.
    pub invert: Option<Length>,
    /// Invert of the pipe that comes in, where it stands at another level.
    pub invert_in: Option<Length>,
    /// Top of the outside of that pipe; none where the catalogue has none.
    pub top: Option<Length>,
    /// From the underside of the slab over it, at the exit and beyond from the ground, down to its
    /// top.
    pub cover: Option<Length>,
    /// Room to spare, as the level table has it.
    pub room: Option<Length>,
    /// What leaves no more room, in words.
    pub held: Option<String>,
    /// Size of the pipe that leaves it downstream.
    pub size: Option<PipeSize>,
    /// Its fall.
    pub fall: Option<Fall>,
    /// Why its invert is not known.
    pub missing: Option<String>,
}

/// A floor over the drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Over {
    /// The floor.
    pub floor: String,
    /// From here to there along the drain.
    pub from: Length,
    /// To here.
    pub to: Length,
    /// The finished floor.
    pub top: Length,
    /// The underside of its slab, or of its joists.
    pub under: Length,
    /// Whether it is a slab; else joists with the deck on them.
    pub slab: bool,
}

/// A level of the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Where.
    pub distance: Length,
    /// How high.
    pub level: Length,
}

/// A footing.
#[derive(Clone, Debug, PartialEq)]
pub struct Footing {
    /// Its name; of the one at the exit `footing`.
    pub name: String,
    /// Where it stands.
    pub distance: Length,
    /// Its top, if stated.
    pub top: Option<Length>,
    /// Its bottom, if stated.
    pub bottom: Option<Length>,
    /// How the drain passes it, in a word.
    pub passes: &'static str,
}
