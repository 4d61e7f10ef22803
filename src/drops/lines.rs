//! What holes are measured from.

use crate::solve::Work;
use crate::units::{Heading, Length};

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
    let exit = work.job.exits.first();
    // Which of the two lines through the exit lies on the face of the wall its heading says.
    let along = match (
        exit.map(|e| e.at.is_some()),
        exit.and_then(|e| e.heading.as_ref()).map(|h| h.value),
    ) {
        // An exit with a place of its own leaves plan zero to the job.
        (Some(true), _) => None,
        (_, Some(Heading::North | Heading::South)) => Some(Axis::North),
        (_, Some(Heading::East | Heading::West)) => Some(Axis::East),
        _ => None,
    };
    let zero = |axis: Axis| match (exit.is_some_and(|e| e.at.is_some()), along) {
        (true, _) => "line through plan zero of the job".to_owned(),
        (_, Some(face)) if face == axis => "outside face of the wall at the exit".to_owned(),
        (_, Some(_)) => "line through the exit, square to the wall there".to_owned(),
        _ => {
            let way = match axis {
                Axis::East => "north and south",
                Axis::North => "east and west",
            };
            format!("line through the exit that runs {way}")
        }
    };
    let mut first = Vec::new();
    for (axis, name) in [(Axis::East, "E0"), (Axis::North, "N0")] {
        let found = all.iter().position(|l| l.axis == axis);
        first.push(match found {
            Some(i) => all.remove(i),
            None => RefLine {
                name: name.to_owned(),
                is: zero(axis),
                axis,
                at: Length::ZERO,
                stated: false,
            },
        });
    }
    first.extend(all);
    first
}
