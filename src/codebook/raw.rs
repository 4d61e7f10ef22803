//! A book file as serde reads it; nothing is believed until `check` and `load` have seen it.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use super::number::{Cell, Number, Size};

/// The whole file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawBook {
    pub book: RawHead,
    pub fixtures: Spanned<RawTable<RawFixture>>,
    pub traps: Spanned<RawTable<RawNothing>>,
    pub groups: Spanned<RawTable<RawGroup>>,
    pub baths: Option<Spanned<RawTable<RawBaths>>>,
    pub unlisted: Spanned<RawTable<RawRow>>,
    pub flow: Option<Spanned<RawTable<RawValue>>>,
    pub design_flow: Option<Spanned<RawTable<RawValue>>>,
    pub receptors: Spanned<RawTable<RawValue>>,
    pub slope: Spanned<RawTable<RawFall>>,
    pub fittings: Spanned<RawTable<RawFitting>>,
    pub cleanouts: Spanned<RawTable<RawValue>>,
    pub building_drain: Spanned<RawTable<RawRow>>,
    pub sewers: Option<Spanned<RawTable<RawValue>>>,
    pub sewer: Option<Spanned<RawTable<RawRow>>>,
    pub sewer_least: Option<Spanned<RawTable<RawRow>>>,
    pub branches_and_stacks: Spanned<RawTable<RawRow>>,
    pub closets: Spanned<RawTable<RawValue>>,
    pub closet_counts: Option<Spanned<RawTable<RawRow>>>,
    pub stack: Spanned<RawTable<RawValue>>,
    pub washer: Option<Spanned<RawTable<RawValue>>>,
    pub ejector: Option<Spanned<RawTable<RawRow>>>,
    pub vents: Spanned<RawTable<RawValue>>,
    pub vent_lengths: Option<Spanned<RawTable<RawRow>>>,
    pub stack_vents: Option<Spanned<RawTable<RawRow>>>,
    pub terminals: Spanned<RawTable<RawValue>>,
    pub trap_arms: Spanned<RawTable<RawRow>>,
    pub arm_rules: Spanned<RawTable<RawValue>>,
    pub common_vent: Option<Spanned<RawTable<RawRow>>>,
    pub wet_vent: Option<Spanned<RawTable<RawRow>>>,
    pub wet_vent_rules: Option<Spanned<RawTable<RawValue>>>,
    pub trap_rules: Spanned<RawTable<RawValue>>,
    pub backwater: Option<Spanned<RawTable<RawValue>>>,
    pub test: Option<Spanned<RawTable<RawValue>>>,
    pub foundations: Option<Spanned<RawTable<RawValue>>>,
    pub joists: Option<Spanned<RawTable<RawValue>>>,
    pub studs: Option<Spanned<RawTable<RawValue>>>,
    pub plates: Option<Spanned<RawTable<RawValue>>>,
    pub shields: Option<Spanned<RawTable<RawValue>>>,
    pub supports: Option<Spanned<RawTable<RawSupport>>>,
    pub upright_wet_vent_rules: Option<Spanned<RawTable<RawValue>>>,
    pub waste_stack: Option<Spanned<RawTable<RawRow>>>,
    pub waste_stack_rules: Option<Spanned<RawTable<RawValue>>>,
    pub circuit_rules: Option<Spanned<RawTable<RawValue>>>,
    pub combination: Option<Spanned<RawTable<RawRow>>>,
    pub combination_rules: Option<Spanned<RawTable<RawValue>>>,
    pub single_stack: Option<Spanned<RawTable<RawRow>>>,
    pub single_stack_rules: Option<Spanned<RawTable<RawValue>>>,
    pub unvented_branches: Option<Spanned<RawTable<RawRow>>>,
    pub methods: Spanned<RawTable<RawMethod>>,
    /// Other sections that a sheet or a finding cites, by topic.
    pub sections: BTreeMap<String, String>,
}

/// `[book]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawHead {
    pub id: String,
    pub title: String,
    pub edition: String,
    pub authority: String,
    /// What a job chooses between, group by group; the first of each is taken if it says nothing.
    #[serde(default)]
    pub options: Vec<Vec<String>>,
    /// Whether pipes are named by DN.
    #[serde(default)]
    pub dn: bool,
}

/// A table: its head and its rows.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawTable<R> {
    pub title: String,
    pub table: Option<String>,
    pub section: String,
    pub unit: String,
    pub provenance: Spanned<String>,
    #[serde(default)]
    pub notes: Vec<String>,
    /// What a town cites for what it changed here; only where a book was amended.
    pub amended_by: Option<String>,
    #[serde(default)]
    pub columns: Vec<Spanned<RawColumn>>,
    #[serde(default = "Vec::new")]
    pub rows: Vec<Spanned<R>>,
    /// Footnotes of the fittings table.
    #[serde(default)]
    pub limits: BTreeMap<String, RawLimit>,
}

/// A table that is only a head: the rows stand elsewhere.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawNothing {}

/// A column of a grid.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawColumn {
    pub name: Option<String>,
    /// `branch`, `interval`, `stack`, or `vertical` for any upright drain; `height` for a stack
    /// of a height; `length`, `drop`, `bends`, `closets`, `load`, `fall` for a limit.
    #[serde(rename = "for")]
    pub role: Option<String>,
    pub intervals_to: Option<u32>,
    /// Feet: the column holds below this height.
    pub under: Option<Number>,
    /// Inches per foot.
    pub fall: Option<Number>,
    /// Percent.
    pub percent: Option<Number>,
    /// Vent size.
    pub vent: Option<Size>,
    /// `%` for falls in percent, `m` for metres; else inches per foot and feet.
    pub unit: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// A row of a grid.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawRow {
    /// Pipe size.
    pub size: Size,
    /// Most load of this row, for a table with loads down its side.
    pub dfu: Option<Number>,
    /// Vent size of the first cell, where the cells before it are empty.
    pub first: Option<Size>,
    pub is: Vec<Cell>,
    /// Most fixtures on such a pipe, where the table counts them.
    pub fixtures: Option<u32>,
    /// Most water closets on such a pipe, where the table counts them.
    pub closets: Option<u32>,
    pub provenance: Option<String>,
    /// Columns, by name, whose cell has another provenance than the row.
    #[serde(default)]
    pub cells: BTreeMap<String, Vec<String>>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// A row of the fixture table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawFixture {
    pub name: String,
    pub kinds: Vec<String>,
    pub dfu: Option<Number>,
    /// The largest load of one appliance, where the row is of several on one trap.
    pub largest: Option<Number>,
    /// The load follows the trap's size, by the table of unlisted fixtures.
    #[serde(default)]
    pub by_trap: bool,
    pub trap: Option<Size>,
    /// Least drain past the trap arm, where that is larger than the trap.
    pub drain: Option<Size>,
    pub public: Option<bool>,
    pub emergency: Option<bool>,
    pub with: Option<String>,
    pub gpf_over: Option<Number>,
    pub gpf_to: Option<Number>,
    pub flow_over: Option<Number>,
    pub flow_to: Option<Number>,
    /// Number of shower heads.
    pub heads_over: Option<Number>,
    pub heads_to: Option<Number>,
    /// The row that holds where the job states no flush or flow.
    #[serde(default)]
    pub unstated: bool,
    pub provenance: Option<String>,
    pub trap_provenance: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// A group load.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawGroup {
    pub name: String,
    pub stands_for: Vec<String>,
    /// Whether the closet flushes more than the table's limit; none: no closet in the group.
    pub large_flush: Option<bool>,
    pub dfu: Number,
    pub provenance: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// A multiple-bath row.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawBaths {
    pub baths: Option<Number>,
    /// Instead of `baths`: what each further full bath adds.
    #[serde(default)]
    pub each_further: bool,
    pub dfu: Number,
    pub provenance: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// A row of the least falls.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawFall {
    /// Up to this size; the last row has none.
    pub to: Option<Size>,
    /// Inches per foot.
    pub fall: Option<Number>,
    /// The percentage that the book's text gives as the same fall, if it gives one; without a fall
    /// in inches per foot, the fall.
    pub percent: Option<Number>,
    pub provenance: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// A row of the table of supports.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawSupport {
    /// The material, as the catalogue of pipes names it.
    pub material: String,
    /// Up to this size; the last row of a material has none.
    pub to: Option<Size>,
    /// Feet between supports of level pipe.
    pub level: Number,
    /// Feet between supports of upright pipe.
    pub upright: Number,
    pub provenance: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// A row of the fittings table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawFitting {
    pub name: String,
    /// What it is called where the book is in force, if otherwise.
    pub called: Option<String>,
    /// What is bought for it, where that is several things.
    #[serde(default)]
    pub bought: Vec<String>,
    pub horizontal_to_vertical: String,
    pub vertical_to_horizontal: String,
    pub horizontal_to_horizontal: String,
    pub provenance: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// What a footnote of the fittings table says.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawLimit {
    pub fixture_drain_to: Option<Size>,
    pub sizes_from: Option<Size>,
    #[serde(default)]
    pub double_limits: bool,
}

/// One figure of a rule: exactly one of the units.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawValue {
    pub rule: String,
    pub dfu: Option<Number>,
    pub size: Option<Size>,
    pub feet: Option<Number>,
    pub inches: Option<Number>,
    pub metres: Option<Number>,
    pub mm: Option<Number>,
    pub degrees: Option<Number>,
    /// Inches per foot.
    pub fall: Option<Number>,
    pub diameters: Option<Number>,
    pub sizes: Option<Number>,
    pub count: Option<Number>,
    pub part: Option<Number>,
    pub minutes: Option<Number>,
    pub psi: Option<Number>,
    pub yes: Option<bool>,
    /// Section of this figure, if not the table's.
    pub section: Option<String>,
    pub provenance: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}

/// A venting method.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawMethod {
    pub word: String,
    pub section: String,
    /// Whether it may be proposed without the job allowing it.
    pub usual: bool,
    /// Whether the authority approves it first, job by job.
    #[serde(default)]
    pub approval: bool,
    /// The only kinds of fixture that it takes; none: any.
    pub takes: Option<Vec<String>>,
    /// Kinds of fixture that it does not take.
    #[serde(default)]
    pub bars: Vec<String>,
    /// What a fixture that it takes may not have (`disposer`).
    #[serde(default)]
    pub without: Vec<String>,
    pub provenance: Option<String>,
    /// Options that it holds under.
    #[serde(default)]
    pub when: Vec<String>,
}
