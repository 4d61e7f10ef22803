//! Stage 7 of 12. In: everything so far. Out: [`Findings`], one rule a file. Promises: every rule
//! ran; waivers are applied; an unused waiver is a finding.
//!
//! A rule is a file: its doc comment says what it checks, why that matters, an example, what to
//! do and the section; `META` is its code, name and severity; `check` gives its findings. To add
//! one, write the file and put it into [`RULES`].

pub mod arm_falls_too_far;
pub mod arm_too_long;
pub mod arm_turns_down;
pub mod below_the_exit;
pub mod beyond_the_table;
pub mod branch_near_stack_base;
pub mod changed_after_its_test;
pub mod cleanout_missing;
mod cleanout_ways;
pub mod cleanouts_too_far_apart;
pub mod closet_on_less_than_3_in;
mod context;
mod cures;
pub mod discharge_near_stack_base;
pub mod drain_runs_uphill;
pub mod drain_too_small;
pub mod drops_too_far;
pub mod fall_flattened;
pub mod fixture_not_for_its_method;
pub mod fixture_not_in_book;
pub mod floor_drain_without_primer;
pub mod footing_conflict;
pub mod group_never_used;
pub mod heavily_loaded;
pub mod hole_meets_joist;
pub mod joist_bored_too_large;
pub mod joist_holes_by_the_maker;
pub mod lengths_missing;
mod likewise;
pub mod method_forbidden;
pub mod method_not_in_book;
mod methods_said;
pub mod needless_backwater;
pub mod no_room;
pub mod no_vent_outdoors;
pub mod offset_without_vent;
pub mod outlet_disagrees;
pub mod pin_not_kept;
pub mod position_disagrees;
pub mod relief_vent_missing;
pub mod room_below_spare;
pub mod sewer_out_of_its_loads;
mod short_of_room;
pub mod size_shrinks_downstream;
pub mod slab_not_stated;
pub mod slope_below_minimum;
pub mod slope_too_steep;
pub mod stack_too_fat;
pub mod stack_without_vent_stack;
pub mod standing_contradicted;
pub mod too_far_from_its_stack;
pub mod too_many_on_one_vent;
pub mod too_steep_for_its_vent;
pub mod trap_too_far_below;
pub mod trap_too_small;
pub mod trap_without_vent;
pub mod unprotected_from_backflow;
pub mod unused_waiver;
pub mod vent_flat_below_rim;
pub mod vent_joins_below_waste;
pub mod vent_near_trap;
pub mod vent_too_small;
mod waive;
pub mod waiver_without_reason;
pub mod washer_on_small_branch;
pub mod waste_stack_not_kept;

pub use branch_near_stack_base::{below_bases, joining_name};
pub use cleanouts_too_far_apart::{Since, since_cleanouts};
pub use context::{Context, Meta};
pub use drops_too_far::drops_into_vents;
pub use footing_conflict::footing_called;
pub use likewise::likewise;
pub use methods_said::measured;
pub use short_of_room::{binding, judged};
pub use stack_without_vent_stack::tall_stacks;
pub use too_far_from_its_stack::reaches;
pub use too_many_on_one_vent::on_circuits;
pub use too_steep_for_its_vent::falls_of_vents;
pub use trap_too_far_below::below_outlets;
pub use unprotected_from_backflow::open_to_the_sewer;

use std::collections::BTreeMap;

use crate::at_once;
use crate::codebook::Book;
use crate::diagnostics::{Diagnostic, Severity};
use crate::job::{Job, Made};
use crate::network::Network;
use crate::solve::Solution;

/// A rule: what it is called, what it does, and its own file, whose doc comment explains it.
#[derive(Clone, Copy)]
pub struct Rule {
    /// Code, name, severity.
    pub meta: &'static Meta,
    /// Its findings.
    pub check: fn(&Context<'_>) -> Vec<Diagnostic>,
    source: &'static str,
}

impl Rule {
    /// The explanation: the doc comment at the head of the rule's file.
    pub fn explanation(&self) -> String {
        self.source
            .lines()
            .map_while(|l| l.strip_prefix("//!"))
            .map(|l| l.strip_prefix(' ').unwrap_or(l))
            .collect::<Vec<_>>()
            .join("\n")
    }
}

macro_rules! rule {
    ($file:ident) => {
        Rule {
            meta: &$file::META,
            check: $file::check,
            source: include_str!(concat!(stringify!($file), ".rs")),
        }
    };
}

/// Every rule, in the order of its code. The two of waivers come last: they look at the rest.
pub const RULES: &[Rule] = &[
    rule!(arm_too_long),
    rule!(arm_falls_too_far),
    rule!(arm_turns_down),
    rule!(vent_near_trap),
    rule!(unprotected_from_backflow),
    rule!(needless_backwater),
    rule!(cleanout_missing),
    rule!(cleanouts_too_far_apart),
    rule!(drain_too_small),
    rule!(trap_too_small),
    rule!(closet_on_less_than_3_in),
    rule!(size_shrinks_downstream),
    rule!(slope_below_minimum),
    rule!(washer_on_small_branch),
    rule!(beyond_the_table),
    rule!(heavily_loaded),
    rule!(slope_too_steep),
    rule!(branch_near_stack_base),
    rule!(drain_runs_uphill),
    rule!(discharge_near_stack_base),
    rule!(sewer_out_of_its_loads),
    rule!(group_never_used),
    rule!(fixture_not_in_book),
    rule!(standing_contradicted),
    rule!(changed_after_its_test),
    rule!(lengths_missing),
    rule!(position_disagrees),
    rule!(outlet_disagrees),
    rule!(no_room),
    rule!(fall_flattened),
    rule!(below_the_exit),
    rule!(slab_not_stated),
    rule!(footing_conflict),
    rule!(room_below_spare),
    rule!(stack_too_fat),
    rule!(joist_bored_too_large),
    rule!(joist_holes_by_the_maker),
    rule!(hole_meets_joist),
    rule!(method_forbidden),
    rule!(fixture_not_for_its_method),
    rule!(too_far_from_its_stack),
    rule!(too_many_on_one_vent),
    rule!(too_steep_for_its_vent),
    rule!(drops_too_far),
    rule!(waste_stack_not_kept),
    rule!(pin_not_kept),
    rule!(floor_drain_without_primer),
    rule!(trap_too_far_below),
    rule!(vent_too_small),
    rule!(trap_without_vent),
    rule!(no_vent_outdoors),
    rule!(vent_flat_below_rim),
    rule!(vent_joins_below_waste),
    rule!(method_not_in_book),
    rule!(stack_without_vent_stack),
    rule!(relief_vent_missing),
    rule!(offset_without_vent),
    rule!(unused_waiver),
    rule!(waiver_without_reason),
];

/// Networks of fewer pieces than this are looked through by one rule after the other.
const FEW: usize = 2_000;

/// The findings of depth: the ones that have cures.
pub const OF_DEPTH: [&str; 3] = [
    no_room::META.code,
    below_the_exit::META.code,
    footing_conflict::META.code,
];

/// What was found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Findings {
    /// What stands, in the order of the job file.
    pub open: Vec<Diagnostic>,
    /// What a waiver of the job answers, with the index of the waiver.
    pub waived: Vec<(Diagnostic, usize)>,
}

/// Runs every rule and applies the job's waivers.
pub fn run(job: &Job, net: &Network, book: &Book, solution: &Solution) -> Findings {
    let mut context = Context::new(job, net, book, solution);
    let (of_waivers, of_job): (Vec<&Rule>, Vec<&Rule>) =
        RULES.iter().partition(|r| r.meta.about_waivers);
    let check = |r: &&Rule| (r.check)(&context);
    // A small network is looked through sooner than a thread is started.
    let found: Vec<Vec<Diagnostic>> = match net.graph.edge_count() < FEW {
        true => of_job.iter().map(check).collect(),
        false => at_once::each(&of_job, check),
    };
    let found = found.into_iter().flatten().collect();
    let mut findings = waive::waive(job, found);
    context.used_waivers = findings.waived.iter().map(|(_, w)| *w).collect();
    let about: Vec<Diagnostic> = of_waivers
        .iter()
        .flat_map(|r| (r.check)(&context))
        .collect();
    findings.open.extend(about);
    cures::attach(&context, &mut findings.open);
    findings.open.sort_by(|a, b| place(a).cmp(&place(b)));
    findings
}

impl Findings {
    /// The same with what is found alike of many copies told once, see [`likewise`].
    pub fn told_once(self, made: &Made) -> Findings {
        let mut waived: Vec<(Diagnostic, usize)> = Vec::new();
        let mut by_waiver: BTreeMap<usize, Vec<Diagnostic>> = BTreeMap::new();
        for (finding, waiver) in self.waived {
            by_waiver.entry(waiver).or_default().push(finding);
        }
        for (waiver, list) in by_waiver {
            waived.extend(likewise(made, list).into_iter().map(|d| (d, waiver)));
        }
        Findings {
            open: likewise(made, self.open),
            waived,
        }
    }
}

/// Errors of a job, waived or not, by code and place: to compare two states of one job by.
pub fn errors(
    job: &Job,
    net: &Network,
    book: &Book,
    solution: &Solution,
) -> Vec<(&'static str, String)> {
    let context = Context::new(job, net, book, solution);
    let rules = RULES.iter().filter(|r| !r.meta.about_waivers);
    let rules = rules.filter(|r| r.meta.severity == Severity::Error);
    let found = rules.flat_map(|r| (r.check)(&context));
    found.map(|d| (d.code, d.at)).collect()
}

/// Where a finding stands in the report: by its place in the job file, then by code and id.
fn place(d: &Diagnostic) -> (usize, &'static str, &str) {
    let start = d.span.as_ref().map_or(usize::MAX, |s| s.start);
    (start, d.code, &d.at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_and_names_are_used_once_and_every_rule_explains_itself() {
        let mut codes: Vec<&str> = RULES.iter().map(|r| r.meta.code).collect();
        let mut names: Vec<&str> = RULES.iter().map(|r| r.meta.name).collect();
        for list in [&mut codes, &mut names] {
            list.sort_unstable();
            list.dedup();
            assert_eq!(list.len(), RULES.len());
        }
        for rule in RULES {
            let text = rule.explanation();
            for part in ["Checks", "Why", "Example", "To do", "Section"] {
                assert!(text.contains(part), "{}: no {part}", rule.meta.code);
            }
        }
    }
}
