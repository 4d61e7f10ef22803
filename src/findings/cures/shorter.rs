//! A drain on the way is made shorter, and all that lies beyond comes nearer.

use super::Subject;
use super::subject::up;
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, leg_items, length_words};
use crate::job::{Drain, Said, Target};
use crate::network::PieceIx;
use crate::units::Length;

/// How many places are tried.
const TRIED: usize = 3;
/// The most of a piece that is given up.
const MOST: f64 = 0.4;

/// Takes out what is wanting, where the way is longest.
pub(super) fn cures(s: &Subject<'_>) -> Vec<Cure> {
    let mut pieces: Vec<(Length, PieceIx)> = s
        .way
        .iter()
        .filter_map(|p| Some((s.fall(*p)?.1, *p)))
        .collect();
    pieces.sort_by(|a, b| b.0.total_cmp(&a.0));
    let all = pieces.into_iter().filter_map(|(_, p)| cure(s, p));
    all.take(TRIED).collect()
}

fn cure(s: &Subject<'_>, piece: PieceIx) -> Option<Cure> {
    let (fall, level) = s.fall(piece)?;
    let drain = s.drain(piece)?;
    let by = up(s.short / fall.ratio(), s.coarse());
    // A house is not moved for it: a part of the way can be saved, not most of it.
    if by > level * MOST {
        return None;
    }
    let (from, to) = stations(s, piece)?;
    let leg = leg(drain, (from, to), by)?;
    let edits = cut(s, drain, &Cut { leg, from, by })?;
    let print = s.ctx.print;
    Some(Cure {
        words: format!(
            "shorten {} by {} between its stations {} and {}",
            drain.name,
            print.length(by),
            print.length(from),
            print.length(to)
        ),
        edits,
    })
}

/// So much is taken out of a leg of a drain.
pub(super) struct Cut {
    /// The leg, by its place among the legs.
    pub leg: usize,
    /// The station from which on all comes nearer.
    pub from: Length,
    /// How much.
    pub by: Length,
}

/// The edits that make a leg shorter and bring all that lies beyond nearer.
pub(super) fn cut(s: &Subject<'_>, drain: &Drain, cut: &Cut) -> Option<Vec<Edit>> {
    let job = s.ctx.job;
    let keys = ["drains", drain.name.as_str(), "run"];
    let item = *leg_items(&job.source.text, &job.made.way(&keys))?.get(cut.leg)?;
    let leg = drain.run.get(cut.leg)?;
    let words = |l: Length| length_words(l, job.units);
    let mut edits = vec![Edit::item(
        &keys,
        item,
        format!("\"{} {}\"", leg.heading.word(), words(leg.length - cut.by)),
    )];
    for (section, name, station) in entrants(s, drain) {
        if station > cut.from + Length::from_mm(0.5) {
            let value = format!("\"{}\"", words(station - cut.by));
            edits.push(Edit::write(&[section, name, "station"], value));
        }
    }
    Some(edits)
}

/// Stations of a piece's two ends on its run.
fn stations(s: &Subject<'_>, piece: PieceIx) -> Option<(Length, Length)> {
    let (net, levels) = (s.ctx.net, &s.ctx.solution.levels.pieces);
    let run = net.runs.get(net.graph.edge_weight(piece)?.run.0)?;
    let mut station = Length::ZERO;
    for p in &run.pieces {
        let length = levels.get(p)?.length?;
        if *p == piece {
            return Some((station, station + length));
        }
        station += length;
    }
    None
}

/// The level leg that lies longest between two stations, if it can give up so much there.
fn leg(drain: &Drain, (from, to): (Length, Length), by: Length) -> Option<usize> {
    let mut begins = Length::ZERO;
    let mut best: Option<(Length, usize, Length)> = None;
    for (i, leg) in drain.run.iter().enumerate() {
        let ends = begins + leg.length;
        let within = ends.min(to) - begins.max(from);
        if !leg.heading.is_vertical() && best.is_none_or(|b| within > b.0) {
            best = Some((within, i, leg.length - by));
        }
        begins = ends;
    }
    let (within, i, left) = best?;
    (within >= by && left > Length::ZERO).then_some(i)
}

/// All that states a station on this drain: section, name, station.
fn entrants<'a>(s: &Subject<'a>, drain: &Drain) -> Vec<(&'static str, &'a str, Length)> {
    let job = s.ctx.job;
    let mut all: Vec<(&'static str, &'a str, Length)> = Vec::new();
    let mut add =
        |section, name: &'a str, into: Option<&Target>, station: Option<&Said<Length>>| {
            if let (Some(into), Some(station)) = (into, station)
                && s.flows_into(drain, into)
            {
                all.push((section, name, station.value));
            }
        };
    for f in &job.fixtures {
        let into = f.into.as_ref().map(|t| &t.value);
        add("fixtures", &f.name, into, f.station.as_ref());
    }
    for d in &job.drains {
        let into = d.into.as_ref().map(|t| &t.value);
        add("drains", &d.name, into, d.station.as_ref());
    }
    for x in &job.stacks {
        let into = x.into.as_ref().map(|t| &t.value);
        add("stacks", &x.name, into, x.station.as_ref());
    }
    for b in &job.basins {
        let into = b.into.as_ref().map(|t| &t.value);
        add("basins", &b.name, into, b.station.as_ref());
    }
    for c in &job.cleanouts {
        add("cleanouts", &c.name, Some(&c.on.value), c.station.as_ref());
    }
    for v in &job.valves {
        add("valves", &v.name, Some(&v.on.value), v.station.as_ref());
    }
    for f in &job.footings {
        add("footings", &f.name, Some(&f.on.value), f.station.as_ref());
    }
    all
}
