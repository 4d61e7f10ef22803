//! Works a changed job through, and tells whether the change did what it should.

use std::collections::{BTreeMap, BTreeSet};

use super::super::context::Context;
use super::super::{errors, no_room};
use super::Subject;
use crate::codebook::Book;
use crate::diagnostics::{Cure, Severity};
use crate::job::{
    self,
    edit::{Edit, edited},
};
use crate::levels::bounds;
use crate::network;
use crate::proposals;
use crate::solve::solve;
use crate::units::Length;

/// No more trials than this in one run: each works the whole job through.
const MOST: usize = 64;
/// Nor more pieces than this, worked through again, in all.
const PIECES: usize = 200_000;

/// What stands against a job.
struct State {
    /// Errors but those of room: code and place.
    errors: BTreeSet<(&'static str, String)>,
    /// The findings of room: the drain and what bounds it.
    short: BTreeSet<(String, String)>,
    /// By how much each drain lacks room.
    lacking: BTreeMap<String, Length>,
}

/// How a change turned out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// It does what it should.
    Works,
    /// It would, but brings these errors: code and place.
    Brings(Vec<(&'static str, String)>),
    /// It does not.
    Fails,
}

/// Trials of one job.
pub struct Trials<'a> {
    ctx: &'a Context<'a>,
    before: Option<State>,
    left: usize,
}

impl<'a> Trials<'a> {
    /// None made yet.
    pub fn new(ctx: &'a Context<'a>) -> Self {
        let pieces = ctx.net.graph.edge_count().max(1);
        Trials {
            ctx,
            before: worked(ctx, &ctx.job.source.text),
            left: MOST.min(PIECES / pieces),
        }
    }

    /// The text of the job with a change made.
    fn text(&self, cure: &Cure) -> Option<String> {
        let job = self.ctx.job;
        let edits: Vec<Edit> = cure
            .edits
            .iter()
            .map(|e| e.where_written(&job.made))
            .collect();
        edited(&job.source.text, &edits)
    }

    /// Whether a change removes a shortage of room.
    pub fn gives_room(&mut self, cure: &Cure, subject: &Subject<'_>) -> Outcome {
        let key = subject.key();
        self.works(cure, |after| !after.short.contains(&key))
    }

    /// Whether a change removes an error at a place.
    pub fn removes(&mut self, cure: &Cure, code: &'static str, at: &str) -> Outcome {
        self.works(cure, |after| !after.errors.contains(&(code, at.to_owned())))
    }

    /// How much room the drain that lacks most would lack after a change, of those that have enough
    /// now; none where the job would not read.
    pub fn lacks(&mut self, cure: &Cure) -> Option<Length> {
        let before = self.before.as_ref().filter(|_| self.left > 0)?;
        self.left -= 1;
        let after = worked(self.ctx, &self.text(cure)?)?;
        let new = after.lacking.iter();
        let new = new.filter(|(id, _)| !before.lacking.contains_key(*id));
        Some(new.map(|(_, l)| *l).fold(Length::ZERO, Length::max))
    }

    /// Whether a change does what it should, brings no error, and leaves no other place with less
    /// room than it had.
    fn works(&mut self, cure: &Cure, does: impl Fn(&State) -> bool) -> Outcome {
        let Some(before) = self.before.as_ref().filter(|_| self.left > 0) else {
            return Outcome::Fails;
        };
        self.left -= 1;
        let text = self.text(cure);
        let Some(after) = text.and_then(|text| worked(self.ctx, &text)) else {
            return Outcome::Fails;
        };
        let no_worse = after.lacking.iter().all(|(id, short)| {
            let known = before.lacking.get(id);
            known.is_some_and(|k| *short <= *k + Length::from_mm(0.1))
        });
        if !does(&after) || !no_worse || !after.short.is_subset(&before.short) {
            return Outcome::Fails;
        }
        let brings: Vec<_> = after.errors.difference(&before.errors).cloned().collect();
        match brings.is_empty() {
            true => Outcome::Works,
            false => Outcome::Brings(brings),
        }
    }
}

/// What stands against the job of this text; none where it does not read.
fn worked(ctx: &Context<'_>, text: &str) -> Option<State> {
    let job = job::read(&ctx.job.name, &ctx.job.source.path, text).ok()?;
    let stated = network::build(&job).ok()?;
    let book: &Book = ctx.book;
    let (net, told) = proposals::complete(&job, stated, book);
    let solution = solve(&job, &net, book);
    let after = Context::new(&job, &net, book, &solution);
    let found = errors(&job, &net, book, &solution).into_iter();
    // What is short of room is compared by its amount.
    let found = found.filter(|(code, _)| *code != no_room::META.code);
    let told = told.into_iter().filter(|d| d.severity == Severity::Error);
    let id = |p: crate::network::PieceIx| net.graph[p].id.clone();
    let short = no_room::shortages(&after).into_iter();
    let lacking = no_room::lacking(&after).into_iter();
    Some(State {
        errors: found.chain(told.map(|d| (d.code, d.at))).collect(),
        short: short
            .map(|(room, p)| (id(p), bounds::words(&job, &net, room.bound)))
            .collect(),
        lacking: lacking.map(|(p, short)| (id(p), short)).collect(),
    })
}
