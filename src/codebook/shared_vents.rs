//! Vents that serve several traps through a stack or a branch: waste stacks, circuit vents,
//! combination drains and vents.

use super::check::{Checker, Looked};
use super::found::TableInfo;
use super::grid::Role;
use super::load_rules::{Figures, Raw};
use super::{Book, Found};
use crate::units::{Demand, Fall, Length, Load, PipeSize};

/// What an upright wet vent keeps to, where that differs from a level one.
#[derive(Clone, Debug, PartialEq)]
pub struct UprightWetRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Most load of each fixture on it.
    pub most_load: Found<Load>,
    /// Most fixtures that it vents.
    pub fixtures: Found<u32>,
    /// By how many sizes it is larger than another drain.
    pub larger_by: Found<u32>,
    /// Its least size.
    pub least: Found<PipeSize>,
}

/// What a waste stack keeps to.
#[derive(Clone, Debug, PartialEq)]
pub struct WasteStackRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Whether it may step aside between its lowest and its highest connection.
    pub offsets: Found<bool>,
    /// Whether the stack is of one size throughout, if the book says.
    pub one_size: Option<Found<bool>>,
    /// Whether the stack vent is as large as the stack, if the book says.
    pub full_vent: Option<Found<bool>>,
}

/// What a circuit vent keeps to.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Most fixtures on one.
    pub fixtures: Found<u32>,
    /// Most fall of the vented part.
    pub most_fall: Option<Found<Fall>>,
    /// So many water closets, or more, need a relief vent where their stack takes waste from
    /// above; none: no such rule.
    pub relief_from: Option<Found<u32>>,
    /// Most load of a vented fixture drain that serves as the relief vent.
    pub relief_drain: Option<Found<Load>>,
}

/// What a combination drain and vent keeps to.
#[derive(Clone, Debug, PartialEq)]
pub struct CombinationRules {
    /// Head of the rules.
    pub info: TableInfo,
    /// Most fall.
    pub most_fall: Option<Found<Fall>>,
    /// Most drop of a fixture into it.
    pub most_drop: Option<Found<Length>>,
    /// By how many sizes traps and pipes are larger than elsewhere.
    pub larger_by: Option<Found<u32>>,
    /// Longer branches of it have a vent of their own.
    pub vented_over: Option<Found<Length>>,
    /// Least part of the drain's cross section that its vent has.
    pub vent_part: Option<Found<f64>>,
}

impl Book {
    /// What an upright wet vent keeps to; none where the book treats it as a level one.
    pub fn upright_wet_rules(&self) -> Option<&UprightWetRules> {
        self.upright_wet.as_ref()
    }
    /// Most load of a whole waste stack; none where the book has no table of them.
    pub fn waste_stack(&self, size: PipeSize) -> Option<Looked<Demand>> {
        let grid = self.waste_stack.as_ref()?;
        let column = grid.column(|r| matches!(r, Role::Stack(None)))?;
        Some(grid.at(size, column).map(|f| f.map(|n| self.figure(n))))
    }
    /// Most load of one branch interval of a waste stack; none where it is not limited by itself.
    pub fn waste_stack_interval(&self, size: PipeSize) -> Option<Found<Demand>> {
        let grid = self.waste_stack.as_ref()?;
        let column = grid.column(|r| *r == Role::Interval)?;
        Some(grid.at(size, column).ok()?.map(|n| self.figure(n)))
    }
    /// What a waste stack keeps to; none where the book has no such rules.
    pub fn waste_stack_rules(&self) -> Option<&WasteStackRules> {
        self.waste_stack_rules.as_ref()
    }
    /// What a circuit vent keeps to; none where the book has no such rules.
    pub fn circuit_rules(&self) -> Option<&CircuitRules> {
        self.circuit_rules.as_ref()
    }
    /// Most load of a combination drain and vent that joins a building drain or a branch of it,
    /// or another drain; none where the book has no table of them.
    pub fn combination(&self, size: PipeSize, building: bool) -> Option<Looked<Load>> {
        let grid = self.combination.as_ref()?;
        let found = grid.at(size, usize::from(building));
        Some(found.map(|f| f.map(Load::from_dfu)))
    }
    /// What a combination drain and vent keeps to; none where the book has no such rules.
    pub fn combination_rules(&self) -> Option<&CombinationRules> {
        self.combination_rules.as_ref()
    }
}

pub(super) fn upright_wet(check: &mut Checker, raw: &Raw) -> (Option<UprightWetRules>, TableInfo) {
    let mut f = Figures::new(check, "upright_wet_vent_rules", raw);
    let most_load = f.plain("most load of a fixture").map(Load::from_dfu);
    let fixtures = f.count("fixtures");
    let larger_by = f.count("larger by");
    let least = f.size("least");
    let info = f.done();
    let rules = least.map(|least| UprightWetRules {
        info: info.clone(),
        most_load,
        fixtures,
        larger_by,
        least,
    });
    (rules, info)
}

pub(super) fn waste_stack(check: &mut Checker, raw: &Raw) -> (WasteStackRules, TableInfo) {
    let mut f = Figures::new(check, "waste_stack_rules", raw);
    let offsets = f.yes("steps aside between its drains");
    let one_size = f.may_yes("stack in one size");
    let full_vent = f.may_yes("stack vent as large as the stack");
    let info = f.done();
    let rules = WasteStackRules {
        info: info.clone(),
        offsets,
        one_size,
        full_vent,
    };
    (rules, info)
}

pub(super) fn circuit(check: &mut Checker, raw: &Raw) -> (CircuitRules, TableInfo) {
    let mut f = Figures::new(check, "circuit_rules", raw);
    let fixtures = f.count("fixtures");
    let most_fall = f.may_fall("most fall");
    let relief_from = f.may_count("relief from closets");
    let relief_drain = f.may_plain("relief by a drain of");
    let info = f.done();
    let rules = CircuitRules {
        info: info.clone(),
        fixtures,
        most_fall,
        relief_from,
        relief_drain: relief_drain.map(|f| f.map(Load::from_dfu)),
    };
    (rules, info)
}

pub(super) fn combination(check: &mut Checker, raw: &Raw) -> (CombinationRules, TableInfo) {
    let mut f = Figures::new(check, "combination_rules", raw);
    let most_fall = f.may_fall("most fall");
    let most_drop = f.may_length("most drop");
    let larger_by = f.may_count("larger by");
    let vented_over = f.may_length("vented of its own over");
    let vent_part = f.may_plain("vent, part of the cross section");
    let info = f.done();
    let rules = CombinationRules {
        info: info.clone(),
        most_fall,
        most_drop,
        larger_by,
        vented_over,
        vent_part,
    };
    (rules, info)
}
