//! What a crew's sheet shows and says.

use crate::sheets::{Paper, Scene};

/// A place that is set out, as it is lettered.
pub struct CrewPlace {
    /// Its number or name.
    pub key: String,
    /// Its fitting.
    pub fitting: String,
    /// The pipes up to it.
    pub pipes: Vec<String>,
    /// How far down the pipe's inverts and its top lie, or how high it stands.
    pub levels: Vec<String>,
    /// Whether it is done.
    pub done: bool,
}

/// What a list holds.
pub enum CrewLine {
    /// What follows is measured from another place.
    Heading(String),
    /// What holds for all that follows.
    Note(String),
    /// A place that is set out.
    Place(CrewPlace),
    /// A step, and whether it is done.
    Step(String, bool),
}

/// What a crew's sheet shows and says.
pub struct CrewPage {
    /// Its paper.
    pub paper: Paper,
    /// Its title.
    pub title: String,
    /// What its levels are measured from, in words.
    pub datum: String,
    /// What must be known before anything is built.
    pub warning: Option<String>,
    /// Its drawing.
    pub scene: Scene,
    /// What is set out on it and its steps, in order.
    pub list: Vec<CrewLine>,
    /// What is to be known before: how the benchmark lies, what lengths are measured between.
    pub notes: Vec<String>,
    /// The cautions of its work.
    pub caution: String,
}

impl CrewPage {
    /// All words that are lettered down the side.
    pub(super) fn texts(&mut self) -> impl Iterator<Item = &mut String> {
        let list = self.list.iter_mut().flat_map(|line| match line {
            CrewLine::Heading(words) | CrewLine::Note(words) | CrewLine::Step(words, _) => {
                vec![words]
            }
            CrewLine::Place(p) => [&mut p.key, &mut p.fitting]
                .into_iter()
                .chain(&mut p.pipes)
                .chain(&mut p.levels)
                .collect(),
        });
        let notes = self.scene.notes.iter_mut().map(|(_, words)| words);
        let head = [&mut self.datum, &mut self.caution];
        head.into_iter()
            .chain(&mut self.warning)
            .chain(&mut self.notes)
            .chain(list)
            .chain(notes)
    }
}
