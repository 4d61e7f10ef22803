use std::collections::BTreeMap;

use super::Found;
use super::amend::Change;
use super::design::DesignFlow;
use super::drains::SlopeRow;
use super::fittings::FittingRow;
use super::fixtures::{BathRow, FixtureLine, GroupRow};
use super::found::TableInfo;
use super::framing::{PlateRules, ShieldRules, StudRules};
use super::grid::Grid;
use super::methods::Methods;
use super::options::Options;
use super::rules::{
    ArmRules, CleanoutRules, FlowRules, JoistRules, StackRules, TerminalRules, TestRules,
    TrapRules, VentRule, WetVentRules,
};
use super::sewers::Sewers;
use super::shared_vents::{CircuitRules, CombinationRules, UprightWetRules, WasteStackRules};
use super::single_stack::SingleStackRules;
use super::supports::SupportRow;
use crate::units::{Length, PipeSize};

/// A code book, checked: every table has its section, its unit and its provenance.
#[derive(Clone, Debug)]
pub struct Book {
    pub(super) id: String,
    /// Its whole text.
    pub(super) text: String,
    /// The book that it amends, and what it changes.
    pub(super) amends: Option<(String, Vec<Change>)>,
    pub(super) title: String,
    pub(super) edition: String,
    pub(super) authority: String,
    pub(super) options: Options,
    /// The heads of all tables, in the order of this struct.
    pub(super) tables: Vec<TableInfo>,
    pub(super) fixtures: (TableInfo, Vec<FixtureLine>),
    pub(super) traps: TableInfo,
    pub(super) groups: (TableInfo, Vec<GroupRow>),
    pub(super) baths: Option<(TableInfo, Vec<BathRow>)>,
    pub(super) unlisted: Grid,
    pub(super) flow: FlowRules,
    pub(super) design: Option<DesignFlow>,
    pub(super) slope: (TableInfo, Vec<SlopeRow>),
    pub(super) fittings: (TableInfo, Vec<FittingRow>),
    pub(super) cleanouts: CleanoutRules,
    pub(super) building_drain: Grid,
    pub(super) sewers: Option<Sewers>,
    pub(super) branches_and_stacks: Grid,
    pub(super) closet_least: Found<PipeSize>,
    pub(super) closet_row: Option<Found<u32>>,
    pub(super) closet_counts: Option<Grid>,
    pub(super) stack: StackRules,
    pub(super) washer: Option<Found<PipeSize>>,
    pub(super) ejector: Option<Grid>,
    pub(super) vents: VentRule,
    pub(super) tie_in: Found<Length>,
    pub(super) vent_lengths: Option<Grid>,
    pub(super) stack_vents: Option<Grid>,
    pub(super) terminals: TerminalRules,
    pub(super) trap_arms: Grid,
    pub(super) arm_rules: ArmRules,
    pub(super) common_vent: Option<Grid>,
    pub(super) wet_vent: Option<(Grid, WetVentRules)>,
    pub(super) trap_rules: TrapRules,
    pub(super) backwater: Option<Found<bool>>,
    pub(super) test: Option<TestRules>,
    pub(super) sleeve: Option<Found<u32>>,
    pub(super) joists: Option<JoistRules>,
    pub(super) studs: Option<StudRules>,
    pub(super) plates: Option<PlateRules>,
    pub(super) shields: Option<ShieldRules>,
    pub(super) supports: Option<(TableInfo, Vec<SupportRow>)>,
    pub(super) upright_wet: Option<UprightWetRules>,
    pub(super) waste_stack: Option<Grid>,
    pub(super) waste_stack_rules: Option<WasteStackRules>,
    pub(super) circuit_rules: Option<CircuitRules>,
    pub(super) combination: Option<Grid>,
    pub(super) combination_rules: Option<CombinationRules>,
    pub(super) single_stack: Option<Grid>,
    pub(super) single_stack_rules: Option<SingleStackRules>,
    pub(super) unvented_branches: Option<Grid>,
    pub(super) methods: Methods,
    pub(super) sections: BTreeMap<String, String>,
}

impl Book {
    /// The id that a job names it by (`irc-2021`).
    pub fn id(&self) -> &str {
        &self.id
    }
    /// The book that it amends, and what it changes there; none: it stands by itself.
    pub fn amends(&self) -> Option<(&str, &[Change])> {
        self.amends
            .as_ref()
            .map(|(id, all)| (id.as_str(), all.as_slice()))
    }
    /// What is chosen of its options.
    pub fn options(&self) -> &Options {
        &self.options
    }
    /// Its title.
    pub fn title(&self) -> &str {
        &self.title
    }
    /// Its edition.
    pub fn edition(&self) -> &str {
        &self.edition
    }
    /// Whose word counts, for the sheet.
    pub fn authority(&self) -> &str {
        &self.authority
    }
    /// The heads of its tables, each with section, unit, provenance and notes.
    pub fn tables(&self) -> &[TableInfo] {
        &self.tables
    }
    /// What the book notes beside a table, by the table's key.
    pub fn notes_of(&self, key: &str) -> &[String] {
        let table = self.tables.iter().find(|t| t.key == key);
        table.map_or(&[], |t| &t.notes)
    }
    /// The section for a topic that has no look-up of its own (`size-decrease`, `test`).
    pub fn section(&self, topic: &str) -> Option<&str> {
        self.sections.get(topic).map(String::as_str)
    }
}
