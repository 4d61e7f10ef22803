//! Fixtures.

use super::{FloorIx, Leg, Said, Target};
use crate::diagnostics::Span;
use crate::units::{Fall, Flow, Heading, Length, Load, PipeSize};

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
