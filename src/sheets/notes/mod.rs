//! The notes that a riser carries. Every figure comes from the job or from the code book, with
//! its section; a note that nothing in the job calls for is left out.

mod code;
mod drains;
mod footings;
mod methods;
mod site;
mod typical;
mod vents;

use super::Inputs;
use super::lettering::kept;
use crate::units::{Fall, Length, PipeSize, Printer};

pub(super) use code::amendments;

/// The general notes, numbered.
pub(super) fn general(set: &Inputs<'_>) -> Vec<(String, String)> {
    let say = Say {
        set,
        print: Printer {
            units: set.job.units,
        },
    };
    let mut notes = Vec::new();
    code::notes(&say, &mut notes);
    drains::notes(&say, &mut notes);
    vents::notes(&say, &mut notes);
    methods::notes(&say, &mut notes);
    typical::notes(&say, &mut notes);
    site::notes(&say, &mut notes);
    notes
        .into_iter()
        .enumerate()
        .map(|(i, words)| ((i + 1).to_string(), words))
        .collect()
}

struct Say<'a> {
    set: &'a Inputs<'a>,
    print: Printer,
}

impl Say<'_> {
    /// The section of a topic in brackets, if the book has it.
    fn section(&self, topic: &str) -> String {
        self.set
            .book
            .section(topic)
            .map(|s| format!(" ({s})"))
            .unwrap_or_default()
    }
    /// Sizes that the drains have, smallest first.
    fn drain_sizes(&self) -> Vec<PipeSize> {
        let (net, sizing) = (self.set.net, &self.set.solution.sizing);
        let falls = &self.set.solution.levels.pieces;
        let mut sizes: Vec<PipeSize> = sizing
            .pieces
            .iter()
            .filter(|(p, _)| falls.get(p).is_some_and(|l| l.fall.is_some()))
            .filter(|(p, _)| net.graph.edge_weight(**p).is_some())
            .map(|(_, s)| s.size)
            .collect();
        sizes.sort_unstable();
        sizes.dedup();
        sizes
    }
    /// A name, lettered as it is.
    fn name(&self, name: &str) -> String {
        kept(name)
    }
    fn short(&self, l: Length) -> String {
        kept(&self.print.short(l))
    }
    fn length(&self, l: Length) -> String {
        kept(&self.print.length(l))
    }
    fn level(&self, l: Length) -> String {
        kept(&self.print.level(l))
    }
    fn fall(&self, f: Fall) -> String {
        kept(&self.print.fall(f))
    }
}

/// Words joined by commas, the last by "and".
fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// Sizes with one figure each; those with the same figure together, in their order.
fn grouped(rows: Vec<(String, String)>) -> String {
    let mut groups: Vec<(Vec<String>, String)> = Vec::new();
    for (size, figure) in rows {
        match groups.last_mut() {
            Some(g) if g.1 == figure => g.0.push(size),
            _ => groups.push((vec![size], figure)),
        }
    }
    let each: Vec<String> = groups
        .iter()
        .map(|(s, f)| format!("{}: {f}", list(s)))
        .collect();
    each.join("; ")
}

/// An exit as a note names it.
fn code_name(name: &str) -> String {
    if name == "exit" {
        "the exit".to_owned()
    } else {
        format!("exit {}", kept(name))
    }
}
