//! What a list of holes says.

use super::{Bore, Joists, Limit, Meets, Member, RefLine};
use crate::job::FloorIx;
use crate::network::{PieceIx, TrapIx};
use crate::units::{Length, PipeSize};

/// The holes of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Drops {
    /// How much larger a hole is than its pipe before it is rounded up, and the source of that;
    /// none: the job states it.
    pub clearance: (Length, Option<&'static str>),
    /// What holes are measured from: the first of the lines that run north and south, the first of
    /// those that run east and west, then the others.
    pub lines: Vec<RefLine>,
    /// The holes, by floor from the lowest up, the roof last.
    pub holes: Vec<Hole>,
    /// Pipes that go up or down, of which it is not known what they pass.
    pub unknown: Vec<Unknown>,
    /// Drains that are bored across joists.
    pub bores: Vec<Bore>,
    /// Drains between joists of which nobody says which way they run.
    pub may_cross: Vec<Unknown>,
    /// What may be bored in the members that the job states.
    pub limits: Vec<Limit>,
    /// Names of the floors, by index.
    pub floors: Vec<String>,
}

/// What a hole goes through, by its level.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// A floor.
    Floor(FloorIx),
    /// The roof.
    Roof,
}

/// What passes a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// A pipe on its way.
    Pipe,
    /// What a fixture lets its water out by, where it stands.
    Outlet(TrapIx),
    /// The riser of a cleanout.
    Cleanout,
}

/// A hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// The name of what passes; once a floor.
    pub tag: String,
    /// Where.
    pub level: Level,
    /// What passes.
    pub of: Of,
    /// What it is for, in words.
    pub what: String,
    /// The pipe.
    pub piece: PieceIx,
    /// Its nominal size, if known.
    pub size: Option<PipeSize>,
    /// Outside diameter of the pipe, if the catalogue has it.
    pub outside: Option<Length>,
    /// Diameter of the hole: the outside with the clearance, rounded up to a bit.
    pub bored: Option<Length>,
    /// Where its middle is, east and north of plan zero, or what is missing.
    pub at: Result<(Length, Length), String>,
    /// What it goes through.
    pub member: Member,
    /// The joists that stand there, where all is stated that says it.
    pub joists: Option<Joists>,
    /// How it stands to them; none where its place or theirs is not known.
    pub meets: Option<Meets>,
}

/// A pipe of which it is not known which floors it passes.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// Its name.
    pub pipe: String,
    /// What is missing.
    pub why: String,
}

impl Hole {
    /// What it is for, with its name.
    pub fn named(&self) -> String {
        match self.what.contains(" of ") {
            true => self.what.clone(),
            false => format!("{} {}", self.what, self.tag),
        }
    }
}

impl Drops {
    /// How far east and north of the first two lines a hole is; none where its place is not known.
    pub fn from_lines(&self, hole: &Hole) -> Option<(Length, Length)> {
        let (east, north) = *hole.at.as_ref().ok()?;
        Some((east - self.lines.first()?.at, north - self.lines.get(1)?.at))
    }
    /// What a level is called.
    pub fn called(&self, level: Level) -> &str {
        match level {
            Level::Floor(f) => self.floors.get(f.0).map_or("", String::as_str),
            Level::Roof => "roof",
        }
    }
    /// The levels at which there are holes, from the lowest up.
    pub fn levels(&self) -> Vec<Level> {
        let mut levels: Vec<Level> = self.holes.iter().map(|h| h.level).collect();
        levels.dedup();
        levels
    }
}
