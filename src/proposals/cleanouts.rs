//! Cleanouts where the book asks for them and the job states none.

use std::collections::{HashMap, HashSet};

use super::notes::Notes;
use crate::codebook::CleanoutRules;
use crate::job::{CleanoutKind, Job, Lies};
use crate::network::draft::{
    CleanoutAt, Draft, DraftCleanout, DraftLeg, DraftRun, Entrant, Root, Who, spots,
};
use crate::network::{RunKind, State};
use crate::units::{Heading, Length};

/// The cleanouts that are there so far, and at which ends of which runs.
#[derive(Default)]
struct There {
    /// Looked up only, never gone through.
    ids: HashSet<String>,
    /// By run: whether one stands at its foot, and at its head.
    ends: HashMap<usize, [bool; 2]>,
}

impl There {
    fn of(draft: &Draft) -> There {
        let mut there = There::default();
        for c in &draft.cleanouts {
            there.add(c);
        }
        there
    }
    fn add(&mut self, cleanout: &DraftCleanout) {
        self.ids.insert(cleanout.id.clone());
        let [foot, head] = self.ends.entry(cleanout.run).or_default();
        match cleanout.at {
            CleanoutAt::Foot => *foot = true,
            CleanoutAt::Head => *head = true,
        }
    }
    /// Whether one stands at this end of a run.
    fn at(&self, run: usize, at: CleanoutAt) -> bool {
        let [foot, head] = self.ends.get(&run).copied().unwrap_or_default();
        match at {
            CleanoutAt::Foot => foot,
            CleanoutAt::Head => head,
        }
    }
}

/// Adds cleanouts to the draft: near each exit, at turns, at the greatest spacing, at stack bases.
pub(crate) fn propose(job: &Job, draft: &mut Draft, notes: &mut Notes<'_>) {
    let rules = notes.book.cleanouts().clone();
    let mut there = There::of(draft);
    let there = &mut there;
    for run in 0..draft.runs.len() {
        let own = &draft.runs[run];
        match own.kind {
            // What is there already stays as it is.
            _ if own.state == State::Existing => continue,
            RunKind::Stack => {
                let has = there.ends.contains_key(&run);
                if rules.base_of_stack.value && !has {
                    let reason = format!(
                        "at the base of each stack ({})",
                        rules.base_of_stack.section
                    );
                    notes.add(&co_id(draft, there, run), "a cleanout", reason);
                    at_end(draft, there, run, CleanoutAt::Foot, CleanoutKind::Stack);
                }
                continue;
            }
            _ if matches!(own.root, Some(Root::Exit(_))) => {
                junction(draft, there, run, &rules, notes)
            }
            _ => {}
        }
        upper_end(job, draft, there, run, &rules, notes);
        along(job, draft, there, run, &rules, notes);
    }
    for run in 0..draft.runs.len() {
        at_last_turn(job, draft, there, run, &rules, notes);
    }
}

fn co_id(draft: &Draft, there: &There, run: usize) -> String {
    let id = &draft.runs[run].id;
    let taken = |name: &str| {
        let last = name.strip_prefix(id.as_str());
        let last = last.and_then(|l| l.strip_prefix('.'));
        there.ids.contains(name)
            || (draft.runs[run].entrants.iter())
                .any(|e| matches!(e.who, Who::Proposed(_)) && Some(e.name.as_str()) == last)
    };
    let mut name = format!("{id}.co");
    let mut n = 2;
    while taken(&name) {
        name = format!("{id}.co-{n}");
        n += 1;
    }
    name
}

fn at_end(draft: &mut Draft, there: &mut There, run: usize, at: CleanoutAt, kind: CleanoutKind) {
    let id = co_id(draft, there, run);
    let cleanout = DraftCleanout {
        id,
        job: None,
        run,
        at,
        kind,
    };
    there.add(&cleanout);
    draft.cleanouts.push(cleanout);
}

/// One where the building drain meets the sewer, if none stands near enough.
fn junction(
    draft: &mut Draft,
    there: &mut There,
    run: usize,
    rules: &CleanoutRules,
    notes: &mut Notes<'_>,
) {
    let within = rules.junction_within.value;
    let near = draft.runs[run]
        .entrants
        .iter()
        .any(|e| matches!(e.who, Who::Cleanout(_)) && e.station.is_some_and(|s| s <= within));
    // One at the end of a drain so short counts as well.
    let short =
        total(&draft.runs[run]).is_some_and(|t| t <= within) && there.at(run, CleanoutAt::Head);
    if near || short {
        return;
    }
    let id = co_id(draft, there, run);
    let reason = format!(
        "within {} of where the building drain meets the sewer ({})",
        notes.far(within),
        rules.junction_within.section
    );
    notes.add(&id, "a two-way cleanout", reason);
    at_end(draft, there, run, CleanoutAt::Foot, CleanoutKind::TwoWay);
}

/// At the upper end of a building drain or a branch of one, unless another drain goes on there or
/// it is known to be too short for that.
fn upper_end(
    job: &Job,
    draft: &mut Draft,
    there: &mut There,
    run: usize,
    rules: &CleanoutRules,
    notes: &mut Notes<'_>,
) {
    let Some(rule) = &rules.upper_end else { return };
    let own = &draft.runs[run];
    let total = total(own);
    let building = matches!(own.kind, RunKind::BuildingDrain | RunKind::BuildingBranch);
    let near = Length::from_mm(1.0);
    if !building || goes_on(draft, run).is_some() || total.is_some_and(|t| t + near < rule.value) {
        return;
    }
    let stands = own.entrants.iter().any(|e| {
        matches!(e.who, Who::Cleanout(_))
            && (e.station.zip(total)).is_some_and(|(s, total)| s + near >= total)
    });
    if stands || there.at(run, CleanoutAt::Head) {
        return;
    }
    let reason = format!("at the upper end of the drain ({})", rule.section);
    self::at_head(job, draft, there, run, reason, notes);
}

/// Along one run whose legs are known: turns, and the greatest spacing.
fn along(
    job: &Job,
    draft: &mut Draft,
    there: &mut There,
    run: usize,
    rules: &CleanoutRules,
    notes: &mut Notes<'_>,
) {
    let Some(total) = total(&draft.runs[run]) else {
        return;
    };
    let own = &draft.runs[run];
    let mut known: Vec<Length> = (own.entrants.iter())
        .filter(|e| matches!(e.who, Who::Cleanout(_)))
        .filter_map(|e| e.station)
        .collect();
    let ends = [(CleanoutAt::Foot, Length::ZERO), (CleanoutAt::Head, total)];
    let ends = ends.into_iter().filter(|(end, _)| there.at(run, *end));
    known.extend(ends.map(|(_, at)| at));
    // A rod goes downstream, so a cleanout serves the turns below it.
    let reach = rules.turn_reach.value;
    let near = Length::from_mm(1.0);
    if rules.turns_added {
        for turn in added_up(&turns(own, 0.0), rules.turn_degrees.value, &known) {
            let reason = turn_reason(rules, notes);
            known.push(place(job, draft, there, run, (turn, total), reason, notes));
        }
    }
    let own = &draft.runs[run];
    let turns: Vec<Length> = match rules.turns_added {
        true => Vec::new(),
        false => (turns(own, rules.turn_degrees.value).into_iter())
            .map(|t| t.0)
            .collect(),
    };
    for &turn in turns.iter().rev() {
        let served = known.iter().any(|&c| c + near >= turn && c - turn <= reach);
        if served {
            continue;
        }
        // The drain's end is the easiest to rod from, unless another drain goes straight on there.
        let from_end = total - turn <= reach && !goes_straight_on(draft, run);
        let at = if from_end { total } else { turn };
        known.push(place(
            job,
            draft,
            there,
            run,
            (at, total),
            turn_reason(rules, notes),
            notes,
        ));
    }
    let spacing = rules.spacing.value;
    if spacing <= Length::ZERO {
        return;
    }
    known.sort_by(Length::total_cmp);
    let mut at = Length::ZERO;
    let mut left = 1000;
    while total - at > spacing && left > 0 {
        left -= 1;
        let next = known
            .iter()
            .rev()
            .find(|&&c| c > at + near && c - at <= spacing);
        at = match next {
            Some(&next) => next,
            None => {
                let reason = format!(
                    "no more than {} apart ({})",
                    notes.far(spacing),
                    rules.spacing.section
                );
                place(job, draft, there, run, (at + spacing, total), reason, notes)
            }
        };
    }
}

/// Stations, from the lower end up, of the turns with which those since the last cleanout add up
/// to more than so many degrees.
fn added_up(turns: &[(Length, f64)], most: f64, there: &[Length]) -> Vec<Length> {
    let near = Length::from_mm(1.0);
    let (mut sum, mut from) = (0.0, Length::ZERO);
    let mut found = Vec::new();
    for &(turn, degrees) in turns {
        if there.iter().any(|&c| c + near > from && c <= turn + near) {
            sum = 0.0;
        }
        let at_it = there.iter().any(|&c| (c - turn).mm().abs() <= 1.0);
        sum = if at_it { 0.0 } else { sum + degrees };
        if sum > most + 1e-9 {
            found.push(turn);
            sum = 0.0;
        }
        from = turn;
    }
    found
}

fn turn_reason(rules: &CleanoutRules, notes: &Notes<'_>) -> String {
    if rules.turns_added {
        return format!(
            "turns that add up to over {} degrees ({})",
            crate::units::number(rules.turn_degrees.value, 0, false),
            rules.turn_degrees.section
        );
    }
    format!(
        "a turn over {} degrees; one serves all within {} ({})",
        crate::units::number(rules.turn_degrees.value, 0, false),
        notes.far(rules.turn_reach.value),
        rules.turn_degrees.section
    )
}

/// Sets a cleanout at a station of a run, or at its end; gives where it stands.
fn place(
    job: &Job,
    draft: &mut Draft,
    there: &mut There,
    run: usize,
    (station, total): (Length, Length),
    reason: String,
    notes: &mut Notes<'_>,
) -> Length {
    if station + Length::from_mm(1.0) >= total {
        at_head(job, draft, there, run, reason, notes);
        return total;
    }
    let id = co_id(draft, there, run);
    let name = id.rsplit('.').next().unwrap_or("co").to_owned();
    let (kind, what) = kind_at(job, &draft.runs[run], station);
    notes.add(&id, what, reason);
    draft.runs[run].entrants.push(Entrant {
        station: Some(station),
        ..Entrant::new(Who::Proposed(kind), name)
    });
    station
}

/// Sets a cleanout at the upstream end of a run.
fn at_head(
    job: &Job,
    draft: &mut Draft,
    there: &mut There,
    run: usize,
    reason: String,
    notes: &mut Notes<'_>,
) {
    let own = &draft.runs[run];
    let (kind, what) = kind_at(job, own, total(own).unwrap_or_default());
    notes.add(&co_id(draft, there, run), what, reason);
    at_end(draft, there, run, CleanoutAt::Head, kind);
}

/// Under a slab a cleanout is brought up to the floor; elsewhere it is reached in the drain's line.
fn kind_at(job: &Job, run: &DraftRun, station: Length) -> (CleanoutKind, &'static str) {
    match under_slab(job, run, station) {
        true => (CleanoutKind::Floor, "a floor cleanout"),
        false => (CleanoutKind::End, "a cleanout"),
    }
}

/// Whether a drain lies under a slab at a station: as the job says of it, else as its floor has it.
fn under_slab(job: &Job, run: &DraftRun, station: Length) -> bool {
    let mut at = Length::ZERO;
    let leg = run.legs.iter().find(|l| {
        at += l.length.unwrap_or_default();
        at + Length::from_mm(1.0) >= station
    });
    match leg.and_then(|l| l.lies) {
        Some(lies) => lies == Lies::UnderSlab,
        None => {
            let floor = run.floor.and_then(|f| job.floors.get(f.0));
            floor
                .or(job.floors.first())
                .is_some_and(|f| f.slab.is_some())
        }
    }
}

/// The drain that goes on from the end of a run, if one does and nothing else enters there.
fn goes_on(draft: &Draft, run: usize) -> Option<(usize, bool)> {
    let own = draft.runs.get(run)?;
    let spots = spots(own);
    let last = spots.iter().rev().find(|s| !s.is_mark(own))?;
    let at_end = last.in_line
        || last.station.is_none()
        || total(own).is_some_and(|t| last.station.is_some_and(|s| (t - s).mm() < 1.0));
    let mut found = None;
    for e in last.entrants.iter().filter_map(|&e| own.entrants.get(e)) {
        match e.who {
            _ if e.is_mark() => {}
            Who::Run(r) if draft.runs.get(r)?.kind != RunKind::Stack => {
                if found.is_some() {
                    return None;
                }
                found = Some((r, e.in_line));
            }
            _ => return None,
        }
    }
    found.filter(|_| at_end)
}

/// By how many degrees the drain that goes on from the end of a run turns there. Where nobody
/// gave a heading, one that goes on in line goes straight on, any other off to a side.
fn last_turn(draft: &Draft, run: usize) -> Option<(usize, f64)> {
    let (above, in_line) = goes_on(draft, run)?;
    let plan = |l: Option<&DraftLeg>| l.and_then(|l| l.heading);
    let below = plan(draft.runs[run].legs.last());
    let first = plan(draft.runs.get(above)?.legs.first());
    let turn = match (
        below.and_then(Heading::eighth),
        first.and_then(Heading::eighth),
    ) {
        (Some(a), Some(b)) => {
            let apart = a.abs_diff(b);
            apart.min(8 - apart) as f64 * 45.0
        }
        _ if in_line || below.is_some_and(Heading::is_vertical) => 0.0,
        _ if first.is_some_and(Heading::is_vertical) => 0.0,
        _ => 90.0,
    };
    Some((above, turn))
}

fn goes_straight_on(draft: &Draft, run: usize) -> bool {
    last_turn(draft, run).is_some_and(|(_, turn)| turn < 1.0)
}

/// Where a drain goes on from the end of another with a turn: a cleanout in the line of the lower
/// one, if none upstream reaches the turn. Lengths that nobody gave count as within its reach.
fn at_last_turn(
    job: &Job,
    draft: &mut Draft,
    there: &mut There,
    run: usize,
    rules: &CleanoutRules,
    notes: &mut Notes<'_>,
) {
    let own = &draft.runs[run];
    if own.kind == RunKind::Stack || own.state == State::Existing {
        return;
    }
    let Some((above, turn)) = last_turn(draft, run) else {
        return;
    };
    if turn <= rules.turn_degrees.value + 1e-9 {
        return;
    }
    let reach = rules.turn_reach.value;
    let head = total(own);
    let near = Length::from_mm(1.0);
    let at_own_head = own.entrants.iter().any(|e| {
        matches!(e.who, Who::Cleanout(_) | Who::Proposed(_))
            && (e.station.zip(head)).is_some_and(|(s, head)| s + near >= head)
    });
    let on = |r: usize, at: CleanoutAt| there.at(r, at);
    let up = &draft.runs[above];
    let served = at_own_head
        || on(run, CleanoutAt::Head)
        || (on(above, CleanoutAt::Head) && total(up).is_none_or(|t| t <= reach))
        || up.entrants.iter().any(|e| {
            matches!(e.who, Who::Cleanout(_) | Who::Proposed(_))
                && e.station.is_none_or(|s| s <= reach)
        });
    if served {
        return;
    }
    at_head(job, draft, there, run, turn_reason(rules, notes), notes);
}

fn total(run: &DraftRun) -> Option<Length> {
    if run.legs.is_empty() {
        return None;
    }
    run.legs.iter().map(|l| l.length).sum()
}

/// Stations of the level turns over so many degrees within a run, with their degrees.
fn turns(run: &DraftRun, degrees: f64) -> Vec<(Length, f64)> {
    let mut at = Length::ZERO;
    let mut found = Vec::new();
    for pair in run.legs.windows(2) {
        let [before, after] = pair else { continue };
        at += before.length.unwrap_or_default();
        let turn = match (
            before.heading.and_then(Heading::eighth),
            after.heading.and_then(Heading::eighth),
        ) {
            (Some(a), Some(b)) => {
                let apart = a.abs_diff(b);
                apart.min(8 - apart) as f64 * 45.0
            }
            _ => 0.0,
        };
        if turn > degrees + 1e-9 {
            found.push((at, turn));
        }
    }
    found
}
