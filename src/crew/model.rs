//! What a crew's sheet says beside its drawing.

use std::collections::{BTreeMap, BTreeSet};

use super::{Datum, Framing, ToJoists};
use crate::captions::Trade;
use crate::job::Lies;
use crate::network::{JointIx, Network, PieceIx};
use crate::units::{Length, PipeSize};

/// What stands on a sheet, and what its list goes by.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// What its levels are measured down from.
    pub datum: &'a Datum,
    /// The numbers of the joints.
    pub numbers: &'a BTreeMap<JointIx, usize>,
    /// Its pipes.
    pub pieces: &'a [PieceIx],
    /// Those of which the upper end stands on another sheet.
    pub cut: &'a BTreeSet<PieceIx>,
    /// All pipes of the job, the vents that rise from these among them.
    pub whole: &'a Network,
    /// The holes of the job, and how drains lie to joists.
    pub framing: &'a Framing,
}

impl<'a> Shown<'a> {
    /// Some of its pipes, measured from a datum.
    pub fn from(self, datum: &'a Datum, pieces: &'a [PieceIx]) -> Shown<'a> {
        Shown {
            datum,
            pieces,
            ..self
        }
    }
}

/// A sheet of the crew, but for its drawing.
#[derive(Clone, Debug)]
pub struct CrewSheet {
    /// Its number.
    pub number: String,
    /// Its title.
    pub title: String,
    /// What it is for.
    pub trade: Trade,
    /// What is built like something on it, in words.
    pub serves: Vec<String>,
    /// The pipes on it, in the order of the network.
    pub pieces: Vec<PieceIx>,
    /// Those whose upper end stands on another sheet.
    pub cut: BTreeSet<PieceIx>,
    /// Its work, one part after the other; at least one.
    pub parts: Vec<CrewPart>,
}

/// Work of a sheet that is measured from one place and done in one go.
#[derive(Clone, Debug)]
pub struct CrewPart {
    /// What its levels are measured down from.
    pub datum: Datum,
    /// What is done first.
    pub first: Vec<Step>,
    /// What is set out, in the order of the work.
    pub set_out: Vec<SetOut>,
    /// The steps that follow.
    pub steps: Vec<Step>,
}

/// A place that pipe is laid up to, and the pipe that leads up to it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetOut {
    /// The joint.
    pub joint: JointIx,
    /// The joint's number as the drawing has it, or the name of what stands there.
    pub key: String,
    /// The fitting there, with its sizes.
    pub fitting: String,
    /// The pipe up to it; none at the exit. Vents that meet are a row each.
    pub pipe: Option<PieceIx>,
    /// Where that pipe comes from, of a vent: its key there.
    pub from: Option<String>,
    /// Its size.
    pub size: Option<PipeSize>,
    /// Its length from centre to centre.
    pub length: Option<Length>,
    /// How it lies, said where its run begins, unless it lies under the slab.
    pub lies: Option<Lies>,
    /// How it lies to joists, if that is not said by where it lies.
    pub joists: Option<ToJoists>,
    /// Whether it lies flatter than the job would have it, so that it fits.
    pub is_flatter: bool,
    /// What of it was stubbed up from below ground already.
    pub stub: Option<Length>,
    /// The names of the holes that it takes, of a vent.
    pub holes: Vec<String>,
    /// Whether it only begins here, a vent whose upper end stands on another sheet.
    pub goes_on: bool,
    /// Bends within it.
    pub bends: Vec<String>,
    /// The floors that it passes on its way which are not drawn, because they are built as one that
    /// is: by their names.
    pub past: Option<String>,
    /// What it drops over that length, if it lies with a fall.
    pub drop: Option<Length>,
    /// Its lower end, down from the datum; unknown of an upright pipe and of a vent.
    pub low: End,
    /// Its end at the joint, down from the datum. Of an upright pipe into which another runs there,
    /// the invert of that one.
    pub high: End,
    /// How high a vent stands there.
    pub height: Option<Height>,
    /// What that height is measured from, if it is not what the sheet measures from: the floor that the
    /// place stands over, or the roof.
    pub over: Option<Datum>,
    /// Whether it is done already.
    pub done: bool,
}

/// One end of a pipe, down from a datum.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct End {
    /// Its invert.
    pub invert: Option<Length>,
    /// The top of its outside.
    pub top: Option<Length>,
}

/// How high a joint of vents stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Height {
    /// No lower than this above the datum.
    AtLeast(Length),
    /// In words: no figure is prescribed.
    Said(&'static str),
}

/// A step that is no place of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// What is done.
    pub words: String,
    /// Whether it is done already.
    pub done: bool,
}
