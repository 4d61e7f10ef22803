//! Rules that are single figures rather than tables, each with its section.

use super::found::TableInfo;
use super::{Book, Found};
use crate::units::{Length, Load, PipeSize, Pressure};

/// Rules for trap arms that hold for every size.
#[derive(Clone, Debug, PartialEq)]
pub struct ArmRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Whether the arms of water closets have no limit of length and fall.
    pub closet_exempt: Found<bool>,
    /// Most fall of the whole arm, in diameters of the arm; none: no such rule.
    pub fall_diameters: Option<Found<f64>>,
    /// Least distance from trap weir to vent, in diameters of the arm.
    pub crown_diameters: Found<f64>,
    /// Most length of a water closet's arm, from its flange; none: as `closet_exempt` says.
    pub closet_arm: Option<Found<Length>>,
    /// Whether an arm carries what the table of unlisted fixtures rates its size at, and not only
    /// what a branch of its size does.
    pub rated_by_trap: Option<Found<bool>>,
    /// The section of the fall.
    pub section: String,
}

/// The vent that a whole building drain needs.
#[derive(Clone, Debug, PartialEq)]
pub struct BuildingVent {
    /// Part of the building drain's required size that one vent has at least; where all vents
    /// count together, part of its cross section.
    pub part: Found<f64>,
    /// Whether the cross sections of all vents that lead outdoors are added up.
    pub together: bool,
    /// The section.
    pub section: String,
}

/// Sizes of vents that follow the drain they serve.
#[derive(Clone, Debug, PartialEq)]
pub struct VentRule {
    /// Head of the rules.
    pub info: TableInfo,
    /// Part of the required drain's size that the vent has at least: a half.
    pub half_of_required: Found<f64>,
    /// No vent is smaller.
    pub least: Found<PipeSize>,
    /// The least vent that a water closet is vented by; none: as any other.
    pub least_closet: Option<Found<PipeSize>>,
    /// Longer vents go up in size, over their whole length; none: a table has the lengths.
    pub over: Option<Found<Length>>,
    /// By so many sizes.
    pub sizes_up: Found<u32>,
    /// The section.
    pub section: String,
    /// The vent that the whole building drain needs.
    pub building_vent: BuildingVent,
    /// Which stacks need a vent stack; none: no rule.
    pub vent_stack: Option<VentStackRule>,
}

/// When a stack needs a vent stack beside it, and how the two are joined.
#[derive(Clone, Debug, PartialEq)]
pub struct VentStackRule {
    /// Whether storeys are counted, else branch intervals.
    pub by_storeys: bool,
    /// Stacks with so many of them, or more.
    pub from: Found<u32>,
    /// Whether stacks whose own vent serves what drains into them have one too; none: they do.
    pub of_own_vents: Option<Found<bool>>,
    /// Within so many diameters downstream of the stack's base it leaves the building drain; none:
    /// the book says nothing of that.
    pub within: Option<Found<f64>>,
    /// Relief vents between the two; none: no rule.
    pub relief: Option<ReliefRule>,
    /// Vents of level offsets; none: no rule.
    pub offset: Option<OffsetRule>,
}

/// Vents of the level offsets of tall stacks.
#[derive(Clone, Debug, PartialEq)]
pub struct OffsetRule {
    /// Offsets with so many branch intervals above them, or more, are vented.
    pub from: Found<u32>,
    /// Unless stack and offset are so many sizes larger than a building drain of that load.
    pub larger_by: Found<u32>,
}

/// Relief (yoke) vents between a stack and its vent stack.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefRule {
    /// Stacks with more than so many branch intervals or storeys have them.
    pub over: Found<u32>,
    /// At each so-many-eth of them, counted from the top.
    pub each: Found<u32>,
    /// So far above its floor it joins the vent stack, or higher.
    pub head: Found<Length>,
}

impl VentRule {
    /// Least size of a vent.
    ///
    /// ```text
    /// V = the smallest nominal size ≥ max(D · half, least), one size up when L > over
    /// ```
    ///
    /// `D` the drain's size that the load requires (not the installed one), nominal inches;
    /// `L` the vent's developed length, none while it is not known (then taken as short). Holds
    /// for every size of the list; the largest has no size above it and gives none when it
    /// would need one. Source: the book's section for vents other than stack vents.
    pub fn size(&self, required: PipeSize, length: Option<Length>) -> Option<PipeSize> {
        let least = self.least.value;
        let half = required.inches() * self.half_of_required.value;
        let mut size = PipeSize::all().find(|s| *s >= least && s.inches() >= half - 1e-9)?;
        let over = self.over.as_ref().map(|f| f.value);
        if (length.zip(over)).is_some_and(|(l, over)| l > over && !l.same(over)) {
            for _ in 0..self.sizes_up.value {
                size = size.next_up()?;
            }
        }
        Some(size)
    }
}

/// What a wet vent must keep to.
#[derive(Clone, Debug, PartialEq)]
pub struct WetVentRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Most bathroom groups on one wet vent.
    pub groups: Found<u32>,
    /// All on one floor.
    pub same_floor: Found<bool>,
    /// Only fixtures of a bathroom group.
    pub bath_group_only: Found<bool>,
    /// Most wet-vented drains upstream of the dry vent, on a horizontal one.
    pub upstream_of_dry_vent: Found<u32>,
    /// Whether a closet's drain that carries the dry vent must join level.
    pub closet_joins_level: Found<bool>,
    /// Whether an emergency floor drain may carry the dry vent.
    pub emergency_drain_may_carry: Found<bool>,
    /// Whether a closet may stand upstream of other wet-vented fixtures.
    pub closet_anywhere: Found<bool>,
    /// The section.
    pub section: String,
}

/// How drains and vents are tested.
#[derive(Clone, Debug, PartialEq)]
pub struct TestRules {
    /// With water, as rough work.
    pub water: WaterTest,
    /// With air instead.
    pub air: AirTest,
    /// With smoke, as finished work, where the authority asks for it; none: the book has none.
    pub smoke: Option<SmokeTest>,
}

/// A test with water.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterTest {
    /// Least head.
    pub head: Found<Length>,
    /// Whether it is measured from the highest fitting of the part under test; else every part
    /// but the uppermost stands under it.
    pub over_fittings: Found<bool>,
    /// How long full pipe stands before, so that it takes up what it will, minutes; none: not at all.
    pub stands: Option<Found<u32>>,
    /// How long it is held, minutes.
    pub held: Found<u32>,
    /// How much may be added meanwhile, as a depth over the inside of the pipes: 1 mm is 1 L/m²; none:
    /// nothing.
    pub added: Option<Found<Length>>,
    /// Whether the whole system is filled in the end: so where the book does not say otherwise.
    pub whole: Option<Found<bool>>,
}

impl WaterTest {
    /// Whether the whole system is filled, after the drains below the ground by themselves.
    pub fn fills_whole(&self) -> bool {
        self.whole.as_ref().is_none_or(|w| w.value)
    }
}

/// A test with air.
#[derive(Clone, Debug, PartialEq)]
pub struct AirTest {
    /// Gauge pressure.
    pub pressure: Found<Pressure>,
    /// How long the air settles at that pressure before the time runs, minutes; none: at once.
    pub settles: Option<Found<u32>>,
    /// How far the pressure may fall while it is held; none: not at all.
    pub drop: Option<Found<Pressure>>,
    /// How long it is held without more air, minutes.
    pub held: Found<u32>,
    /// Whether plastic pipe may be tested so.
    pub on_plastic: Found<bool>,
}

/// A test with smoke.
#[derive(Clone, Debug, PartialEq)]
pub struct SmokeTest {
    /// Pressure, as a column of water.
    pub column: Found<Length>,
    /// How long it is held, minutes.
    pub held: Found<u32>,
}

/// Where cleanouts are needed, and their size and clearance.
#[derive(Clone, Debug, PartialEq)]
pub struct CleanoutRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Most distance along a horizontal drain from one to the next.
    pub spacing: Found<Length>,
    /// Most distance upstream of the junction of building drain and sewer.
    pub junction_within: Found<Length>,
    /// Changes of horizontal direction over this need one.
    pub turn_degrees: Found<f64>,
    /// Whether the changes are added up from one cleanout to the next.
    pub turns_added: bool,
    /// One serves all such changes within this developed length.
    pub turn_reach: Found<Length>,
    /// Up to this pipe size a cleanout is of the pipe's size.
    pub full_size_to: Found<PipeSize>,
    /// Least size on a larger pipe.
    pub least_on_larger: Found<PipeSize>,
    /// Largest pipe of the smaller clearance.
    pub near_to: Found<PipeSize>,
    /// Clearance in front, up to and with that size.
    pub clearance: Found<Length>,
    /// Clearance in front of a larger one.
    pub clearance_larger: Found<Length>,
    /// By how many sizes a stack's cleanout may be smaller than the stack.
    pub stack_sizes_less: Found<u32>,
    /// How many sizes larger the pipe may be that a removable trap serves as cleanout.
    pub trap_serves_sizes_more: Found<u32>,
    /// Building drains and branches of them from this length up need one at their upper end;
    /// none: the book has no such rule.
    pub upper_end: Option<Found<Length>>,
    /// Whether each stack needs one near its base.
    pub base_of_stack: Found<bool>,
    /// Whether the vent of an island fixture needs one, if the book says.
    pub island_vent: Option<Found<bool>>,
}

impl CleanoutRules {
    /// Whether the vent of an island fixture needs one.
    pub fn asks_in_island_vents(&self) -> bool {
        self.island_vent.as_ref().is_some_and(|r| r.value)
    }
    /// Size of a cleanout on a pipe.
    pub fn size(&self, pipe: PipeSize) -> Found<PipeSize> {
        if pipe <= self.full_size_to.value {
            self.full_size_to.clone().map(|_| pipe)
        } else {
            self.least_on_larger.clone()
        }
    }
    /// Clearance in front of a cleanout on a pipe.
    pub fn clearance(&self, pipe: PipeSize) -> &Found<Length> {
        if pipe <= self.near_to.value {
            &self.clearance
        } else {
            &self.clearance_larger
        }
    }
}

/// Where vents end in the open air.
#[derive(Clone, Debug, PartialEq)]
pub struct TerminalRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Above the roof.
    pub above_roof: Found<Length>,
    /// Above the roof where frost or snow closes vents; none: as elsewhere.
    pub above_roof_frost: Option<Found<Length>>,
    /// Whether that is also above the expected snow.
    pub above_snow: Found<bool>,
    /// Above a roof that people walk on.
    pub above_walked_roof: Found<Length>,
    /// Least size where frost closes vents.
    pub frost: Found<PipeSize>,
    /// Least size anywhere, through the roof; none: the book has no such rule.
    pub least: Option<Found<PipeSize>>,
    /// How far inside the warm part of the building the increase lies.
    pub frost_inside: Found<Length>,
    /// Level distance from a door, window or intake, unless far enough above or below it.
    pub from_openings: Found<Length>,
    /// Far enough above the opening.
    pub above_openings: Found<Length>,
    /// Far enough below the opening; none: the book has no such rule.
    pub below_openings: Option<Found<Length>>,
    /// From the lot line, for a terminal through a wall.
    pub wall_lot_line: Option<Found<Length>>,
    /// Above grade, for a terminal through a wall.
    pub wall_above_grade: Option<Found<Length>>,
}

impl TerminalRules {
    /// Least height above the roof, where frost or snow closes vents or elsewhere.
    pub fn above(&self, frost: bool) -> &Found<Length> {
        match &self.above_roof_frost {
            Some(higher) if frost => higher,
            _ => &self.above_roof,
        }
    }
}

/// What a trap must keep to.
#[derive(Clone, Debug, PartialEq)]
pub struct TrapRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Least seal.
    pub seal_least: Found<Length>,
    /// Most seal.
    pub seal_most: Found<Length>,
    /// Most height of the fixture's outlet above the trap weir.
    pub outlet_to_weir: Found<Length>,
    /// Most level distance from the fixture's outlet to the trap inlet; none: no such rule.
    pub outlet_to_trap: Option<Found<Length>>,
    /// Least height of a washer's standpipe above the weir.
    pub standpipe_least: Found<Length>,
    /// Most height of a washer's standpipe above the weir.
    pub standpipe_most: Found<Length>,
    /// Whether a floor drain that may dry out needs its seal kept.
    pub primer: Found<bool>,
}

/// What may be bored through sawn joists.
#[derive(Clone, Debug, PartialEq)]
pub struct JoistRules {
    /// Diameter of a hole, at most, as a part of the joist's depth.
    pub hole: Found<f64>,
    /// Wood that stays between a hole and the top or the bottom.
    pub edge: Found<Length>,
    /// Wood that stays between a hole and another hole or a notch.
    pub apart: Found<Length>,
}

/// Loads of flows and receptors.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FlowRules {
    pub per_gpm: Option<Found<f64>>,
    pub receptor: Found<bool>,
    pub clear_water: Option<Found<Load>>,
}

/// Figures of stacks that are not in the stack table.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct StackRules {
    pub interval: Found<Length>,
    pub heel: Option<Found<f64>>,
    pub discharge: Option<Found<Length>>,
    pub leave_part: Option<Found<f64>>,
}

impl Book {
    /// Rules of trap arms.
    pub fn arm_rules(&self) -> &ArmRules {
        &self.arm_rules
    }
    /// Sizes of vents by the drain they serve.
    pub fn vent_rule(&self) -> &VentRule {
        &self.vents
    }
    /// Rules of vent stacks, where the book has any.
    pub fn vent_stack_rule(&self) -> Option<&VentStackRule> {
        self.vents.vent_stack.as_ref()
    }
    /// Rules of wet vents; none where the book has none.
    pub fn wet_vent_rules(&self) -> Option<&WetVentRules> {
        self.wet_vent.as_ref().map(|w| &w.1)
    }
    /// Rules of cleanouts.
    pub fn cleanouts(&self) -> &CleanoutRules {
        &self.cleanouts
    }
    /// Least height of a vent's connection above the flood level rim it serves.
    pub fn tie_in(&self) -> Found<Length> {
        self.tie_in.clone()
    }
    /// Rules of vent terminals.
    pub fn terminal(&self) -> &TerminalRules {
        &self.terminals
    }
    /// How drains and vents are tested; none where the book has no such table.
    pub fn test(&self) -> Option<&TestRules> {
        self.test.as_ref()
    }
    /// Rules of traps.
    pub fn trap_rules(&self) -> &TrapRules {
        &self.trap_rules
    }
    /// Whether fixtures are kept off a backwater valve by the floor that they stand on, not by
    /// their flood level rim, where these lie above the next upstream manhole's rim; none where
    /// the book has no such rule.
    pub fn backwater_by_floor(&self) -> Option<Found<bool>> {
        self.backwater.clone()
    }
    /// What may be bored through sawn joists; none where the book has no such table.
    pub fn joists(&self) -> Option<&JoistRules> {
        self.joists.as_ref()
    }
    /// The sleeve that a pipe goes through a foundation wall in; none where the book has no such
    /// rule, or the list of sizes ends.
    pub fn sleeve(&self, pipe: PipeSize) -> Option<Found<PipeSize>> {
        let larger = self.sleeve.clone()?;
        let mut size = pipe;
        for _ in 0..larger.value {
            size = size.next_up()?;
        }
        Some(larger.map(|_| size))
    }
    /// Least branch or stack that a clothes washer's standpipe joins, if the book has the rule.
    pub fn washer_branch(&self) -> Option<Found<PipeSize>> {
        self.washer.clone()
    }
    /// Least height of a branch interval.
    pub fn branch_interval_height(&self) -> Found<Length> {
        self.stack.interval.clone()
    }
    /// Least distance downstream of a stack's base at which a branch joins, in diameters; none
    /// where the book has no such rule.
    pub fn heel_distance(&self) -> Option<Found<f64>> {
        self.stack.heel.clone()
    }
    /// Least distance from a stack's base at which a pumped discharge joins a drain; none where
    /// the book has no such rule.
    pub fn discharge_distance(&self) -> Option<Found<Length>> {
        self.stack.discharge.clone()
    }
    /// Part of its largest required size that a stack keeps as its load falls going up; none
    /// where the book has no such rule.
    pub fn stack_least_part(&self) -> Option<Found<f64>> {
        self.stack.leave_part.clone()
    }
}
