//! Cleanouts where the book asks for them and the job states none.

use super::notes::Notes;
use crate::codebook::CleanoutRules;
use crate::job::{CleanoutKind, Job};
use crate::network::RunKind;
use crate::network::draft::{CleanoutAt, Draft, DraftCleanout, DraftRun, Entrant, Root, Who};
use crate::units::{Heading, Length};

/// Adds cleanouts to the draft: near each exit, at turns, at the greatest spacing, at stack bases.
pub(crate) fn propose(_job: &Job, draft: &mut Draft, notes: &mut Notes<'_>) {
    let rules = notes.book.cleanouts().clone();
    for run in 0..draft.runs.len() {
        let own = &draft.runs[run];
        match own.kind {
            RunKind::Stack => {
                let has = draft.cleanouts.iter().any(|c| c.run == run);
                if rules.base_of_stack.value && !has {
                    at_end(draft, run, CleanoutAt::Foot, CleanoutKind::Stack);
                    let reason = format!(
                        "at the base of each stack ({})",
                        rules.base_of_stack.section
                    );
                    notes.add(&co_id(draft, run), "a cleanout", reason);
                }
                continue;
            }
            _ if matches!(own.root, Some(Root::Exit(_))) => junction(draft, run, &rules, notes),
            _ => {}
        }
        along(draft, run, &rules, notes);
    }
}

fn co_id(draft: &Draft, run: usize) -> String {
    let id = &draft.runs[run].id;
    let taken = |name: &str| {
        draft.cleanouts.iter().any(|c| c.id == name)
            || (draft.runs[run].entrants.iter())
                .any(|e| matches!(e.who, Who::Proposed(_)) && format!("{id}.{}", e.name) == name)
    };
    let mut name = format!("{id}.co");
    let mut n = 2;
    while taken(&name) {
        name = format!("{id}.co-{n}");
        n += 1;
    }
    name
}

fn at_end(draft: &mut Draft, run: usize, at: CleanoutAt, kind: CleanoutKind) {
    let id = co_id(draft, run);
    draft.cleanouts.push(DraftCleanout {
        id,
        job: None,
        run,
        at,
        kind,
    });
}

/// One where the building drain meets the sewer, if none stands near enough.
fn junction(draft: &mut Draft, run: usize, rules: &CleanoutRules, notes: &mut Notes<'_>) {
    let within = rules.junction_within.value;
    let near = draft.runs[run]
        .entrants
        .iter()
        .any(|e| matches!(e.who, Who::Cleanout(_)) && e.station.is_some_and(|s| s <= within));
    // One at the end of a drain so short counts as well.
    let short = total(&draft.runs[run]).is_some_and(|t| t <= within)
        && draft
            .cleanouts
            .iter()
            .any(|c| c.run == run && c.at == CleanoutAt::Head);
    if near || short {
        return;
    }
    let id = co_id(draft, run);
    let reason = format!(
        "within {} ft of where the building drain meets the sewer ({})",
        crate::units::number(within.feet(), 1, false),
        rules.junction_within.section
    );
    notes.add(&id, "a two-way cleanout", reason);
    at_end(draft, run, CleanoutAt::Foot, CleanoutKind::TwoWay);
}

/// Along one run whose legs are known: turns, and the greatest spacing.
fn along(draft: &mut Draft, run: usize, rules: &CleanoutRules, notes: &mut Notes<'_>) {
    let Some(total) = total(&draft.runs[run]) else {
        return;
    };
    let own = &draft.runs[run];
    let mut there: Vec<Length> = (own.entrants.iter())
        .filter(|e| matches!(e.who, Who::Cleanout(_)))
        .filter_map(|e| e.station)
        .collect();
    for c in draft.cleanouts.iter().filter(|c| c.run == run) {
        there.push(match c.at {
            CleanoutAt::Foot => Length::ZERO,
            CleanoutAt::Head => total,
        });
    }
    // A rod goes downstream, so a cleanout serves the turns below it.
    let (turns, reach) = (turns(own, rules.turn_degrees.value), rules.turn_reach.value);
    let near = Length::from_mm(1.0);
    for &turn in turns.iter().rev() {
        let served = there.iter().any(|&c| c + near >= turn && c - turn <= reach);
        if served {
            continue;
        }
        let at_head = total - turn <= reach;
        let reason = format!(
            "a turn over {} degrees; one serves all within {} ft ({})",
            crate::units::number(rules.turn_degrees.value, 0, false),
            crate::units::number(reach.feet(), 0, false),
            rules.turn_degrees.section
        );
        notes.add(&co_id(draft, run), "a cleanout", reason);
        there.push(place(draft, run, if at_head { total } else { turn }, total));
    }
    let spacing = rules.spacing.value;
    if spacing <= Length::ZERO {
        return;
    }
    there.sort_by(Length::total_cmp);
    let mut at = Length::ZERO;
    let mut left = 1000;
    while total - at > spacing && left > 0 {
        left -= 1;
        let next = there
            .iter()
            .rev()
            .find(|&&c| c > at + near && c - at <= spacing);
        at = match next {
            Some(&next) => next,
            None => {
                let reason = format!(
                    "no more than {} ft apart ({})",
                    crate::units::number(spacing.feet(), 0, false),
                    rules.spacing.section
                );
                notes.add(&co_id(draft, run), "a cleanout", reason);
                place(draft, run, at + spacing, total)
            }
        };
    }
}

fn place(draft: &mut Draft, run: usize, station: Length, total: Length) -> Length {
    if station + Length::from_mm(1.0) >= total {
        at_end(draft, run, CleanoutAt::Head, CleanoutKind::End);
        return total;
    }
    let id = co_id(draft, run);
    let name = id.rsplit('.').next().unwrap_or("co").to_owned();
    let kind = CleanoutKind::Floor;
    draft.runs[run].entrants.push(Entrant {
        station: Some(station),
        ..Entrant::new(Who::Proposed(kind), name)
    });
    station
}

fn total(run: &DraftRun) -> Option<Length> {
    if run.legs.is_empty() {
        return None;
    }
    run.legs.iter().map(|l| l.length).sum()
}

/// Stations of the level turns over so many degrees within a run.
fn turns(run: &DraftRun, degrees: f64) -> Vec<Length> {
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
            found.push(at);
        }
    }
    found
}
