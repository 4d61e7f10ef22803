//! What a crew's sheet says beside its drawing.

use std::collections::BTreeSet;

use super::Datum;
use crate::captions::Trade;
use crate::network::PieceIx;
use crate::units::{Length, PipeSize};

/// A sheet of the crew, but for its drawing.
#[derive(Clone, Debug)]
pub struct CrewSheet {
    /// Its number.
    pub number: String,
    /// Its title.
    pub title: String,
    /// What it is for.
    pub trade: Trade,
    /// What its levels are measured down from.
    pub datum: Datum,
    /// The pipes on it, in the order of the network.
    pub pieces: Vec<PieceIx>,
    /// Those whose upper end stands on another sheet.
    pub cut: BTreeSet<PieceIx>,
    /// What is set out on it, in the order of the work.
    pub set_out: Vec<SetOut>,
    /// The steps that follow.
    pub steps: Vec<Step>,
}

/// A place that pipe is laid up to, and the pipe that leads up to it.
#[derive(Clone, Debug, PartialEq)]
pub struct SetOut {
    /// The joint's number as the drawing has it, or the name of what stands there.
    pub key: String,
    /// The fitting there, with its sizes.
    pub fitting: String,
    /// The pipe up to it; none at the exit. Vents that meet are a row each, with the same key.
    pub pipe: Option<PieceIx>,
    /// Where that pipe comes from, of a vent: its key there.
    pub from: Option<String>,
    /// Its size.
    pub size: Option<PipeSize>,
    /// Its length from centre to centre.
    pub length: Option<Length>,
    /// What it drops over that length, if it lies with a fall.
    pub drop: Option<Length>,
    /// The invert there, down from the datum.
    pub invert: Option<Length>,
    /// The top of the pipe there, down from the datum.
    pub top: Option<Length>,
    /// How high a vent stands there.
    pub height: Option<Height>,
    /// Whether it is done already.
    pub done: bool,
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
