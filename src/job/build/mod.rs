//! Builds the job from what its tables said: first the floors and all names, then each section.

mod fixtures;
mod floors;
mod head;
mod pipes;
mod progress;
mod things;

use std::collections::BTreeMap;
use std::sync::Arc;

use super::keys::What;
use super::laid::Marked;
use super::model::{Exit, Job, Source, Target};
use super::names::Names;
use super::problems::{MISSING_KEY, NAME_USED_TWICE, NOTHING_TO_DRAIN, Problems};
use super::repeat::Plan;
use super::resolve::Resolver;
use super::rules;
use super::values::Values;
use crate::diagnostics::line_column;
use crate::units::UnitSystem;

/// Builds the job; what is wrong goes to the problems, and then the job is not to be used.
pub fn job(
    name: &str,
    source: Arc<Source>,
    file: &Values,
    (plan, marked): (Plan, Vec<Marked>),
    units: UnitSystem,
    problems: &mut Problems,
) -> Job {
    let exits = exit_tables(file, &source.text, problems);
    let names = all_names(file, &exits, &source.text, problems);
    // Of a group that could not be placed, the reason has been told.
    if plan.repeats.len() == file.many("repeat").len() {
        no_fixtures(file, problems);
    }
    let mut job = Job {
        name: name.to_owned(),
        source,
        units,
        ..Job::default()
    };
    head::fill(&mut job, file);
    let floors = floors::fill(&mut job, file, problems);
    let floor_order: Vec<String> = job.floors.iter().map(|f| f.name.clone()).collect();
    job.exits = exits.iter().map(|v| head::exit(v)).collect();
    if job.exits.is_empty() {
        job.exits.push(unstated_exit(file));
    }
    let exit_names: Vec<String> = job.exits.iter().map(|e| e.name.clone()).collect();
    let mut r = Resolver {
        names: &names,
        floors: &floors,
        floor_order: &floor_order,
        exits: &exit_names,
        problems,
    };
    floors::parts(&mut job, file, &mut r);
    job.drains = file
        .many("drains")
        .iter()
        .map(|v| pipes::drain(v, &mut r))
        .collect();
    job.stacks = file
        .many("stacks")
        .iter()
        .map(|v| pipes::stack(v, &mut r))
        .collect();
    for stack in &mut job.stacks {
        floors::lowest_first(&job.floors, &mut stack.offsets);
    }
    job.vents = file
        .many("vents")
        .iter()
        .map(|v| pipes::vent(v, &mut r))
        .collect();
    job.fixtures = file
        .many("fixtures")
        .iter()
        .map(|v| fixtures::fixture(v, &mut r))
        .collect();
    things::fill(&mut job, file, &mut r);
    job.progress = progress::progress(file, marked, &mut r);
    job.made = plan.made(&job, &names, &floors);
    for mark in &job.progress {
        for laid in &mark.laid {
            let keys = job.made.now.entry(laid.on.clone()).or_default();
            keys.insert(laid.key, mark.name.clone());
        }
    }
    rules::check(&job, problems);
    job
}

/// A job without fixtures, of its own or of a group that is placed.
fn no_fixtures(file: &Values, problems: &mut Problems) {
    let section = file.get("fixtures").or(file.get("repeat"));
    if let Some(section) = section.filter(|_| file.many("fixtures").is_empty()) {
        let help = Some("expected at least one, like `LAV-1 = { kind = \"lavatory\" }`".to_owned());
        let message = "the job has no fixture";
        problems.add(
            NOTHING_TO_DRAIN,
            "fixtures",
            section.span.clone(),
            message,
            help,
        );
    } else if section.is_none() && file.lacks("fixtures") {
        let message = "a job file has no `fixtures`";
        let help = Some("fixtures by name; the name is the tag on the sheet".to_owned());
        problems.add(MISSING_KEY, "", 0..0, message, help);
    }
}

/// All names that the file uses, and what each stands for.
pub fn names(file: &Values, text: &str, problems: &mut Problems) -> Names {
    let exits = exit_tables(file, text, problems);
    all_names(file, &exits, text, problems)
}

/// `[exit]` and the tables of `[exits]`, in that order.
fn exit_tables<'v>(file: &'v Values, text: &str, problems: &mut Problems) -> Vec<&'v Values> {
    let mut all: Vec<&Values> = file.one("exit").into_iter().collect();
    let named = file.many("exits");
    if let (Some(one), Some(other)) = (all.first(), named.first()) {
        let (line, _) = line_column(text, one.span.start);
        let message = format!("there is an `[exit]` already (line {line})");
        let help = Some("write all exits of a job under `[exits]`, each with its name".to_owned());
        problems.add(
            NAME_USED_TWICE,
            &other.name,
            other.span.clone(),
            message,
            help,
        );
    }
    all.extend(named);
    all
}

/// Every building drain leaves somewhere: an exit that is not stated is one about which nothing
/// is known. It is shown at the head of the job.
fn unstated_exit(file: &Values) -> Exit {
    let span = file.get("job").map(|j| j.span.clone()).unwrap_or_default();
    Exit {
        name: "exit".to_owned(),
        span,
        to: None,
        invert: None,
        heading: None,
        at: None,
        footing_top: None,
        footing_bottom: None,
        sewer: None,
    }
}

fn all_names(file: &Values, exits: &[&Values], text: &str, problems: &mut Problems) -> Names {
    type Make = fn(usize) -> Option<Target>;
    const SECTIONS: [(&str, What, Make); 14] = [
        ("drains", What::Drain, |i| Some(Target::Drain(i))),
        ("stacks", What::Stack, |i| Some(Target::Stack(i))),
        ("fixtures", What::Fixture, |i| Some(Target::Fixture(i))),
        ("vents", What::Vent, |i| Some(Target::Vent(i))),
        ("basins", What::Basin, |i| Some(Target::Basin(i))),
        ("lines", What::Other, |_| None),
        ("cleanouts", What::Cleanout, |_| None),
        ("valves", What::Valve, |_| None),
        ("footings", What::Footing, |_| None),
        ("progress", What::Other, |_| None),
        ("pins", What::Other, |_| None),
        ("waivers", What::Other, |_| None),
        ("groups", What::Group, |_| None),
        ("repeat", What::Other, |_| None),
    ];
    let mut found: Vec<(&Values, What, Option<Target>, usize)> = Vec::new();
    // The reserved `exit` is not in the table: it is looked up by rule.
    for (i, exit) in exits.iter().enumerate().filter(|(_, e)| e.name != "exit") {
        found.push((exit, What::Exit, Some(Target::Exit(i)), i));
    }
    for (section, what, make) in SECTIONS {
        for (i, thing) in file.many(section).iter().enumerate() {
            found.push((thing, what, make(i), i));
        }
    }
    // The first in the file is the one that keeps the name, whatever the section.
    found.sort_by_key(|(thing, ..)| thing.span.start);
    let mut names = Names::default();
    for (thing, what, target, index) in found {
        names.add(
            problems,
            text,
            &thing.name,
            (what, target, index),
            &thing.span,
        );
    }
    names
}

/// Floors by name.
type FloorNames = BTreeMap<String, super::model::FloorIx>;
