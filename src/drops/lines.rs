//! What holes are measured from.

use crate::solve::Work;
use crate::units::Length;

/// The way in which a line is measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// Eastward: the line runs north and south.
    East,
    /// Northward: the line runs east and west.
    North,
}

/// A line that holes are measured from.
#[derive(Clone, Debug, PartialEq)]
pub struct RefLine {
    /// Its name.
    pub name: String,
    /// What it is.
    pub is: String,
    /// Which way it is measured from.
    pub axis: Axis,
    /// How far east, or north, of plan zero it stands.
    pub at: Length,
    /// Whether the job states it.
    pub stated: bool,
}

/// The first line of each way, then the others; where the job states none, plan zero.
pub(super) fn lines(work: &Work<'_>) -> Vec<RefLine> {
    let of = |l: &crate::job::Line| {
        let (axis, at) = match (l.east, l.north) {
            (Some(east), _) => (Axis::East, east),
            (_, north) => (Axis::North, north.unwrap_or_default()),
        };
        RefLine {
            name: l.name.clone(),
            is: l.is.clone(),
            axis,
            at,
            stated: true,
        }
    };
    let mut all: Vec<RefLine> = work.job.lines.iter().map(of).collect();
    let zero = match work.job.exits.first().and_then(|e| e.at) {
        // An exit with a place of its own leaves plan zero to the job.
        Some(_) => "plan zero of the job",
        None => "plan zero: the exit, at the outside face of the wall",
    };
    let mut first = Vec::new();
    for (axis, name) in [(Axis::East, "E0"), (Axis::North, "N0")] {
        let found = all.iter().position(|l| l.axis == axis);
        first.push(match found {
            Some(i) => all.remove(i),
            None => RefLine {
                name: name.to_owned(),
                is: zero.to_owned(),
                axis,
                at: Length::ZERO,
                stated: false,
            },
        });
    }
    first.extend(all);
    first
}
