//! Repetition: what the file writes once and means many times is written out, before names are
//! resolved, so that nothing after this knows of it. Ranges of floors and stacks become floors and
//! stacks; groups become copies of their things. Everything made keeps the place of the line that
//! it comes from.

mod copies;
mod groups;
mod lines;
mod plan;

pub use plan::Plan;

use super::build;
use super::keys::{BASIN, CLEANOUT, DRAIN, FIXTURE, Record, VALVE, VENT};
use super::problems::Problems;
use super::values::{Value, Values};

/// The most things that a file makes: a tower of a hundred storeys has a fifth of that.
const MOST: usize = 100_000;

/// The sections that a group may hold, with the record of what stands in them by hand.
static SECTIONS: [(&str, &Record); 6] = [
    ("drains", &DRAIN),
    ("fixtures", &FIXTURE),
    ("vents", &VENT),
    ("cleanouts", &CLEANOUT),
    ("basins", &BASIN),
    ("valves", &VALVE),
];

/// Writes out all repetition of a file.
///
/// # Arguments
/// - `file`: what the file says; its sections hold what was made afterwards, behind what was
///   written by hand.
/// - `text`: the file's text, for messages.
///
/// # Returns
/// What was made, by name; its indices are known once the job is built.
pub fn write_out(file: &mut Values, text: &str, problems: &mut Problems) -> Plan {
    let mut plan = Plan {
        typical: lines::floors(file, text, problems),
        banks: lines::stacks(file, problems),
        ..Plan::default()
    };
    if file.get("groups").is_none() && file.get("repeat").is_none() {
        return plan;
    }
    let names = build::names(file, text, &mut Problems::default());
    let groups = groups::read(file, &names, text, problems);
    let made = copies::make(file, &groups, &names, &mut plan, problems);
    for ((section, _), more) in SECTIONS.iter().zip(made) {
        if !more.is_empty() {
            append(file, section, more);
        }
    }
    plan
}

/// Puts things behind those that a section has.
fn append(file: &mut Values, section: &'static str, more: Vec<Values>) {
    let span = match file.get(section) {
        Some(said) => said.span.clone(),
        None => file.get("repeat").map_or(0..0, |r| r.span.clone()),
    };
    let mut all = file.many(section).to_vec();
    all.extend(more);
    file.put(section, Value::Named(all), span);
}
