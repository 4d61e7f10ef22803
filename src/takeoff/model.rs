//! What a list of material says.

use super::{Never, Phase};
use crate::catalogue::Joined;
use crate::codebook::Found;
use crate::network::System;
use crate::units::{Length, PipeSize};

/// The list of material of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Takeoff {
    /// The length that pipe is bought in.
    pub stock: Stock,
    /// Percent added to lengths for waste; none: the job states none.
    pub waste: Option<u32>,
    /// Pipe, by phase of work, system, material and size.
    pub pipes: Vec<PipeLine>,
    /// Fittings and what else ends or joins pipe, by phase of work.
    pub fittings: Vec<FittingLine>,
    /// The same of all phases together.
    pub all_fittings: Vec<FittingTotal>,
    /// Hangers and supports.
    pub supports: Vec<SupportLine>,
    /// What the book notes of hangers beside their distances.
    pub hanging: Vec<String>,
    /// What is never counted, of what the job has.
    pub never: Vec<Never>,
    /// Joints to be made.
    pub joining: Vec<JoiningLine>,
    /// Pipes whose length nobody gave.
    pub uncounted: Vec<Uncounted>,
    /// Holes through floors and the roof.
    pub penetrations: Vec<PenetrationLine>,
    /// How near to a face a hole is shielded, and the section that says so; none: the book says
    /// nothing of it.
    pub shielded: Option<(Length, String)>,
    /// The section on what closes holes, if the book names one.
    pub closed_by: Option<String>,
}

/// The length that pipe is bought in.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// The length.
    pub length: Length,
    /// Where it comes from; none: the job states it.
    pub source: Option<&'static str>,
}

/// Pipe of one kind in one phase of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct PipeLine {
    /// The phase; none: all of them together.
    pub phase: Option<Phase>,
    /// The system; none: all of them together.
    pub system: Option<System>,
    /// The material, as the job calls it.
    pub material: String,
    /// The nominal size.
    pub size: PipeSize,
    /// How many pieces, from joint to joint.
    pub pieces: usize,
    /// Length from centre to centre.
    pub net: Length,
    /// Length with what is added for waste.
    pub gross: Length,
    /// So many lengths as pipe is bought in, for what is not in place yet.
    pub lengths: u64,
    /// What of its length is in place already, as the job says.
    pub in_place: Length,
    /// How many more pieces are not counted: nobody gave their length.
    pub unknown: usize,
}

/// Fittings of one kind in one phase of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct FittingLine {
    /// The phase.
    pub phase: Phase,
    /// What it is, in the trade's words.
    pub name: String,
    /// Its sizes, run first.
    pub sizes: Vec<PipeSize>,
    /// How many.
    pub count: usize,
    /// How many of them are in place already, as the job says.
    pub in_place: usize,
}

/// Fittings of one kind in all phases together.
#[derive(Clone, Debug, PartialEq)]
pub struct FittingTotal {
    /// What it is, in the trade's words.
    pub name: String,
    /// Its sizes, run first.
    pub sizes: Vec<PipeSize>,
    /// How many.
    pub count: usize,
    /// How many of them are in place already, as the job says.
    pub in_place: usize,
}

/// Hangers of pipe of one material and size.
#[derive(Clone, Debug, PartialEq)]
pub struct SupportLine {
    /// The material, as the job calls it.
    pub material: String,
    /// The nominal size.
    pub size: PipeSize,
    /// Level pipe, and its hangers.
    pub level: Rest,
    /// Upright pipe, and its hangers.
    pub upright: Rest,
}

/// Pipe that is held at a spacing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rest {
    /// Its length.
    pub length: Length,
    /// The most that its hangers may stand apart; none: the book says nothing of this material.
    pub apart: Option<Found<Length>>,
    /// How many it takes.
    pub count: u64,
    /// How many of them hold pipe that is in place already, as the job says.
    pub in_place: u64,
    /// How many more pieces are not counted: nobody gave their length.
    pub unknown: usize,
}

/// Joints of pipe of one material and size.
#[derive(Clone, Debug, PartialEq)]
pub struct JoiningLine {
    /// The material, as the job calls it.
    pub material: String,
    /// The nominal size.
    pub size: PipeSize,
    /// How they are made.
    pub by: Joined,
    /// At fittings.
    pub at_fittings: usize,
    /// How many of those are of pipe that is in place already, as the job says.
    pub fitted: usize,
    /// Between two lengths of pipe, each with a coupling of its own.
    pub between: u64,
    /// How many of those are of pipe that is in place already.
    pub coupled: u64,
    /// How many pieces take couplings that are not counted: nobody gave their length.
    pub unknown: usize,
}

/// Holes for pipe of one material and size.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PenetrationLine {
    /// The material, as the job calls it.
    pub material: String,
    /// The nominal size, if known.
    pub size: Option<PipeSize>,
    /// Through floors that are not slabs: each is closed round its pipe.
    pub floors: usize,
    /// Through the top plates of a wall alone, the floor over it apart: closed too.
    pub plates: usize,
    /// Through slabs.
    pub slabs: usize,
    /// Through the roof.
    pub roofs: usize,
    /// Shield plates, where that is known.
    pub shields: usize,
    /// Holes in walls of which it is not known whether they are shielded.
    pub unshielded: usize,
}

/// A pipe whose length nobody gave.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncounted {
    /// Its name.
    pub pipe: String,
    /// The phase.
    pub phase: Phase,
    /// The material, as the job calls it.
    pub material: String,
    /// Its size, if known.
    pub size: Option<PipeSize>,
}
