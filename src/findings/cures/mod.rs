//! The second half of stage 7: what puts a finding of depth right. Each change is made in the text
//! of the job, and the job worked through again; only what removes the finding and brings no other
//! is offered.

mod ejector;
mod flatter;
mod larger;
mod lower_exit;
mod nearer;
mod own_invert;
mod past_footing;
mod raise_fixture;
mod rise;
mod shorter;
mod subject;
mod trial;

pub(super) use subject::Subject;

use super::context::Context;
use super::{OF_DEPTH, below_the_exit, footing_conflict, no_room};
use crate::diagnostics::{Cure, Diagnostic};
use crate::job::edit::Edit;
use crate::job::{FloorIx, Target};
use crate::levels::{Bound, Room};
use crate::network::TrapIx;
use crate::units::Length;
use trial::{Outcome, Trials};

/// More findings than this are not worked through: the first ones mended, the rest look different.
const MOST: usize = 8;

/// What could be done, in the order in which a plumber would think of it.
const KINDS: [fn(&Subject<'_>) -> Vec<Cure>; 8] = [
    flatter::cures,
    own_invert::cures,
    rise::cures,
    lower_exit::cures,
    shorter::cures,
    nearer::cures,
    larger::cures,
    raise_fixture::cures,
];

/// Adds the cures that work to the findings of depth.
pub fn attach(ctx: &Context<'_>, findings: &mut [Diagnostic]) {
    if !findings.iter().any(|d| OF_DEPTH.contains(&d.code)) {
        return;
    }
    let mut trials = Trials::new(ctx);
    room(ctx, &mut trials, findings);
    below(ctx, &mut trials, findings);
    footings(ctx, &mut trials, findings);
    // What is of a copy is changed where it is written, in its group.
    for cure in findings.iter_mut().flat_map(|f| &mut f.cures) {
        for edit in &mut cure.edits {
            *edit = edit.where_written(&ctx.job.made);
        }
    }
}

/// L105: drains that meet a footing.
fn footings(ctx: &Context<'_>, trials: &mut Trials<'_>, findings: &mut [Diagnostic]) {
    let code = footing_conflict::META.code;
    let met = ctx.solution.levels.footings.iter();
    for pass in met.filter(|p| past_footing::meets(p)) {
        let Some(name) = past_footing::name(ctx, pass.at) else {
            continue;
        };
        let stands = |d: &&mut Diagnostic| d.code == code && d.at == name;
        let Some(finding) = findings.iter_mut().find(stands) else {
            continue;
        };
        let all = past_footing::cures(ctx, pass).into_iter();
        // Both ways out stay in its help, whether the exit can be moved or not.
        for cure in all {
            match trials.removes(&cure, code, name) {
                Outcome::Works => finding.cures.push(cure),
                Outcome::Brings(errors) => {
                    let brings = told(&cure, &errors);
                    finding.note = finding.note.take().or(brings);
                }
                Outcome::Fails => {
                    let why = format!("to {} takes the room of other drains", cure.words);
                    finding.note = finding.note.take().or(Some(why));
                }
            }
        }
        let limit = past_footing::limit(ctx, pass);
        finding.note = limit.or(finding.note.take());
    }
}

/// L104: places without room.
fn room(ctx: &Context<'_>, trials: &mut Trials<'_>, findings: &mut [Diagnostic]) {
    let mut short = no_room::shortages(ctx);
    // The worst first: there is an end to what is worked through.
    short.sort_by(|a, b| a.0.spare.total_cmp(&b.0.spare));
    for (room, piece) in short.into_iter().take(MOST) {
        let said = no_room::said(ctx, room, piece);
        let stands = |d: &&mut Diagnostic| d.code == said.code && d.message == said.message;
        let Some(finding) = findings.iter_mut().find(stands) else {
            continue;
        };
        let subject = Subject::new(ctx, room, piece);
        let mut brings: Option<String> = None;
        for kind in KINDS {
            // Of one kind the first that works is enough.
            for cure in kind(&subject) {
                match trials.gives_room(&cure, &subject) {
                    Outcome::Works => {
                        finding.cures.push(cure);
                        break;
                    }
                    Outcome::Brings(errors) => brings = brings.or_else(|| told(&cure, &errors)),
                    Outcome::Fails => {}
                }
            }
        }
        if finding.cures.is_empty() {
            finding.cures.extend(both(&subject, trials));
        }
        let pit = pit(ctx, room.bound).and_then(|floor| ejector::of_pit(ctx, floor));
        let lifts = pit.filter(|c| trials.gives_room(c, &subject) == Outcome::Works);
        finding.cures.extend(lifts);
        finding.help = Some(help(&finding.cures));
        finding.note = lower_exit::limit(&subject).or(brings);
    }
}

/// The floor that leaves too little room, as a slab or by a fixture on it.
fn pit(ctx: &Context<'_>, bound: Bound) -> Option<FloorIx> {
    match bound {
        Bound::Slab(floor) => Some(floor),
        Bound::Outlet(trap) => {
            let at = ctx.net.traps.get(trap.0)?.fixture;
            ctx.net.draft.fixtures.get(at)?.floor
        }
        _ => None,
    }
}

/// Whether a cure leads this fixture, or the drain it is on, elsewhere.
fn serves(ctx: &Context<'_>, cure: &Cure, name: &str) -> bool {
    let fixture = ctx.job.fixtures.iter().find(|f| f.name == name);
    let drain = match fixture.and_then(|f| f.into.as_ref()).map(|t| &t.value) {
        Some(Target::Drain(i)) => ctx.job.drains.get(*i).map(|d| d.name.as_str()),
        _ => None,
    };
    let own = Edit::write(&["fixtures", name, "into"], "").path;
    let its = drain.map(|d| Edit::write(&["drains", d, "into"], "").path);
    let mut edits = cure.edits.iter();
    edits.any(|e| e.path == own || Some(&e.path) == its.as_ref())
}

/// What a change would bring that gives the room.
fn told(cure: &Cure, errors: &[(&'static str, String)]) -> Option<String> {
    let (code, at) = errors.first()?;
    let rule = super::RULES.iter().find(|r| r.meta.code == *code)?;
    let name = rule.meta.name.replace('-', " ");
    Some(format!(
        "to {} would bring {code} at {at}: {name}",
        cure.words
    ))
}

/// Where the sewer lets the exit down by a part of what is wanting, that and another change for the
/// rest.
fn both(subject: &Subject<'_>, trials: &mut Trials<'_>) -> Option<Cure> {
    let (first, given) = lower_exit::to_the_limit(subject)?;
    let rest = Subject {
        short: subject.short - given,
        way: subject.way.clone(),
        ..*subject
    };
    let second = KINDS.iter().flat_map(|kind| kind(&rest));
    let mut pairs = second.map(|second| Cure {
        words: format!("{}, and {}", first.words, second.words),
        edits: [first.edits.clone(), second.edits].concat(),
    });
    pairs.find(|pair| trials.gives_room(pair, subject) == Outcome::Works)
}

/// L108: what lies below the exit. One basin serves all of a floor.
fn below(ctx: &Context<'_>, trials: &mut Trials<'_>, findings: &mut [Diagnostic]) {
    let code = below_the_exit::META.code;
    let mut known: Vec<Cure> = Vec::new();
    for finding in findings.iter_mut().filter(|d| d.code == code) {
        finding.cures = lowered(ctx, trials, &finding.at).into_iter().collect();
        // What one basin takes of a floor stays the same for its other fixtures.
        let same = known.iter().find(|k| serves(ctx, k, &finding.at)).cloned();
        let lifted = same.or_else(|| {
            let cure = ejector::cure(ctx, &finding.at, known.len())?;
            (trials.removes(&cure, code, &finding.at) == Outcome::Works).then_some(cure)
        });
        if let Some(cure) = lifted {
            if !known.contains(&cure) {
                known.push(cure.clone());
            }
            finding.cures.push(cure);
        }
        if !finding.cures.is_empty() {
            finding.help = Some(help(&finding.cures));
        }
    }
}

/// The exit as low as a fixture below it needs it, with all that leads there.
fn lowered(ctx: &Context<'_>, trials: &mut Trials<'_>, name: &str) -> Option<Cure> {
    /// What is lowered more than this is another sewer.
    const MOST: Length = Length::from_mm(600.0);
    let mut traps = (0..ctx.net.traps.len()).map(TrapIx);
    let trap = traps.find(|t| ctx.fixture(*t).is_some_and(|f| f.name == name))?;
    let below = below_the_exit::below(ctx, trap)?;
    let arm = ctx.net.traps.get(trap.0)?.arm?;
    let room = Room {
        spare: -below,
        bound: Bound::Outlet(trap),
    };
    let subject = Subject::new(ctx, room, arm);
    let mut by = below + subject.fine();
    // What leads there lies higher by its own falls, which only show when it is worked through.
    for _ in 0..4 {
        if by > MOST {
            return None;
        }
        let cure = lower_exit::by(&subject, by)?;
        if trials.removes(&cure, below_the_exit::META.code, name) == Outcome::Works {
            return Some(cure);
        }
        let more = trials.lacks(&cure).filter(|more| *more > Length::ZERO)?;
        by += more;
    }
    None
}

fn help(cures: &[Cure]) -> String {
    let words: Vec<&str> = cures.iter().map(|c| c.words.as_str()).collect();
    match words.as_slice() {
        [] => "no single change was found that makes it fit: change the route".to_owned(),
        [one] => (*one).to_owned(),
        _ => format!("any one of these: {}", words.join("; ")),
    }
}
