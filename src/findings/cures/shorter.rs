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
    // Something has to be left to join the fittings with.
    if by + s.coarse() > level {
        return None;
    }
    let (from, to) = stations(s, piece)?;
    let (leg, left) = leg(drain, (from, to), by)?;
    let (job, print) = (s.ctx.job, s.ctx.print);
    let item = *leg_items(&job.source.text, &["drains", &drain.name, "run"])?.get(leg)?;
    let heading = drain.run.get(leg)?.heading.word();
    let words = |l: Length| length_words(l, job.units);
    let mut edits = vec![Edit::item(
        &["drains", &drain.name, "run"],
        item,
        format!("\"{heading} {}\"", words(left)),
    )];
    for (section, name, station) in entrants(s, drain) {
        if station > from + Length::from_mm(0.5) {
            let value = format!("\"{}\"", words(station - by));
            edits.push(Edit::write(&[section, name, "station"], value));
        }
    }
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

/// The level leg that lies longest between two stations, if it can give up so much there, and what
/// is left of it.
fn leg(drain: &Drain, (from, to): (Length, Length), by: Length) -> Option<(usize, Length)> {
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
    (within >= by && left > Length::ZERO).then_some((i, left))
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
