//! What the plan of a test says.

use crate::codebook::{AirTest, Found, TestRules};
use crate::takeoff::Phase;
use crate::units::{Length, PipeSize, Volume};

/// The plan of a rough-in test.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterTest {
    /// What the book asks for.
    pub rules: TestRules,
    /// Where the whole is filled; none: the roof's level is not stated.
    pub fill: Option<Filling>,
    /// The head that the job's plugs bear, if it states one.
    pub rating: Option<Length>,
    /// The least head that plugs must bear for the whole to be tested in lifts, if known.
    pub least_rating: Option<Length>,
    /// The parts that are tested, first the drains below ground by themselves.
    pub sections: Vec<Section>,
    /// The lifts in which the whole is filled: one, unless the plugs bear less.
    pub lifts: Vec<Lift>,
    /// What is closed for the drains below ground by themselves.
    pub below: Vec<Closure>,
    /// What is closed for the whole.
    pub closures: Vec<Closure>,
    /// What was tested already, as the job says, in words.
    pub tested: Vec<String>,
    /// Backwater valves in what is filled: their flaps shut against water that comes from below.
    pub valves: Vec<String>,
    /// Pipes whose water is that of their nominal size, by material: the catalogue has no bore of
    /// them.
    pub nominal: Vec<(String, Vec<PipeSize>)>,
    /// What the book notes of its test, in its own words.
    pub noted: Vec<String>,
    /// The test with air.
    pub air: Air,
}

/// Where the whole system is filled.
#[derive(Clone, Debug, PartialEq)]
pub struct Filling {
    /// The vent with the lowest terminal, at which the water overflows.
    pub vent: String,
    /// Its level above zero.
    pub level: Length,
}

/// A part that is tested by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// What it is.
    pub what: &'static str,
    /// Its phase of the work; none: the whole.
    pub phase: Option<Phase>,
    /// Its lowest joint and the level of the invert there.
    pub lowest: Option<(String, Length)>,
    /// Level of the highest point of its pipes, and of the floor that openings below ground end at.
    pub highest: Option<Length>,
    /// Level that the water must reach.
    pub water: Option<Length>,
    /// How far a standpipe rises over that to reach it; none: none needed.
    pub standpipe: Option<Length>,
    /// Its standpipes, one for each part that hangs together by itself.
    pub standpipes: Vec<Standpipe>,
    /// What it holds, with its stubs and standpipes as far as they are known.
    pub volume: Volume,
    /// What may be added while it is held, over the inside of what is counted; none: nothing.
    pub added: Option<Volume>,
    /// The pipes that are not counted in it.
    pub uncounted: Vec<Uncounted>,
    /// When all of it was tested already, if the job says so.
    pub tested: Option<Tested>,
}

/// A pipe that is set on an opening for the test alone, to fill what lies below.
#[derive(Clone, Debug, PartialEq)]
pub struct Standpipe {
    /// What carries it: a stub or a cleanout, by name.
    pub on: String,
    /// The size of that opening.
    pub size: PipeSize,
    /// How high the water stands in it, from its own invert where it joins the drain; a stub that
    /// stands there already is the first of it.
    pub rises: Option<Length>,
    /// What it holds over that.
    pub holds: Option<Volume>,
}

/// A pipe whose water is not counted.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncounted {
    /// Its name.
    pub pipe: String,
    /// Whether its length is known, and only its level is not.
    pub level_only: bool,
}

/// A test that was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Tested {
    /// When, as the job writes it.
    pub date: Option<String>,
    /// By whom.
    pub by: Option<String>,
}

impl Section {
    /// Head over its lowest joint.
    pub fn head(&self) -> Option<Length> {
        let (_, low) = self.lowest.as_ref()?;
        Some(self.water? - *low)
    }
}

/// A part of the height that is filled at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Lift {
    /// Where its lower plug stands.
    pub plug_at: String,
    /// Level of that plug.
    pub bottom: Length,
    /// Level of the water.
    pub top: Length,
    /// What it holds.
    pub volume: Volume,
    /// How many pipes are not counted in it.
    pub uncounted: usize,
}

impl Lift {
    /// Head over its lower plug.
    pub fn head(&self) -> Length {
        self.top - self.bottom
    }
}

/// What closes an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Closing {
    /// A plug in the building drain at an exit.
    ExitPlug,
    /// The standpipe that fills the drains below ground: open at its top.
    Standpipe,
    /// A plug in a drain below ground that ends above what carries it on.
    EndPlug,
    /// A cap on the stub of a stack, where the drains below ground are tested by themselves.
    StackStub,
    /// A cap on the stub of what else rises from them.
    Stub,
    /// A cap on the stub of a vent that rises from them.
    VentStub,
    /// A plug through a test tee of a stack.
    TestTee,
    /// A cap on a closet's flange or bend.
    ClosetCap,
    /// A plug in the body of a drain in the floor.
    DrainPlug,
    /// A cap on the end of a trap arm.
    ArmCap,
    /// A cleanout's own plug.
    Cleanout,
    /// A cap in place of an air admittance valve.
    ValveCap,
}

impl Closing {
    /// What a standpipe may stand on, the best first.
    pub(super) const MOUTHS: [Closing; 4] = [
        Closing::StackStub,
        Closing::Stub,
        Closing::Cleanout,
        Closing::VentStub,
    ];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Closing::ExitPlug => "test plug at the exit",
            Closing::Standpipe => "standpipe, open at its top",
            Closing::EndPlug => "test plug at its lower end",
            Closing::StackStub => "test cap on the stack's stub",
            Closing::Stub => "test cap on the stub-up",
            Closing::VentStub => "test cap on the vent's stub",
            Closing::TestTee => "test plug through a test tee",
            Closing::ClosetCap => "closet test cap",
            Closing::DrainPlug => "test plug in the drain's body",
            Closing::ArmCap => "cap on the trap arm",
            Closing::Cleanout => "cleanout's own plug",
            Closing::ValveCap => "cap in place of the air admittance valve",
        }
    }
}

/// Openings of one size on one floor that are closed alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Closure {
    /// With what.
    pub with: Closing,
    /// The pipe's size.
    pub size: PipeSize,
    /// The floor, by name; empty below all of them.
    pub floor: String,
    /// What they belong to.
    pub of: Vec<String>,
    /// Level of the lowest, if known.
    pub lowest: Option<Length>,
    /// Most head on one, if known.
    pub head: Option<Length>,
}

/// The test with air.
#[derive(Clone, Debug, PartialEq)]
pub enum Air {
    /// Not allowed on the job's plastic pipe.
    Refused {
        /// The materials.
        plastic: Vec<String>,
        /// The rule.
        rule: Found<bool>,
    },
    /// Allowed.
    Allowed {
        /// As the book has it.
        test: Box<AirTest>,
        /// Materials that the catalogue does not know: their makers say whether it is allowed.
        unknown: Vec<String>,
    },
}
