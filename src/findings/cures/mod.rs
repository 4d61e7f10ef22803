//! The second half of stage 7: what puts a finding of depth right. Each change is made in the text
//! of the job, and the job worked through again; only what removes the finding and brings no other
//! is offered.

mod ejector;
mod flatter;
mod larger;
mod lower_exit;
mod nearer;
mod own_invert;
mod raise_fixture;
mod shorter;
mod subject;
mod trial;

pub(super) use subject::Subject;

use super::context::Context;
use super::{below_the_exit, no_room};
use crate::diagnostics::{Cure, Diagnostic};
use trial::Trials;

/// More findings than this are not worked through: the first ones mended, the rest look different.
const MOST: usize = 8;

/// What could be done, in the order in which a plumber would think of it.
const KINDS: [fn(&Subject<'_>) -> Vec<Cure>; 7] = [
    flatter::cures,
    own_invert::cures,
    lower_exit::cures,
    shorter::cures,
    nearer::cures,
    larger::cures,
    raise_fixture::cures,
];

/// Adds the cures that work to the findings of depth.
pub fn attach(ctx: &Context<'_>, findings: &mut [Diagnostic]) {
    let of_depth = [no_room::META.code, below_the_exit::META.code];
    if !findings.iter().any(|d| of_depth.contains(&d.code)) {
        return;
    }
    let mut trials = Trials::new(ctx);
    room(ctx, &mut trials, findings);
    below(ctx, &mut trials, findings);
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
        for kind in KINDS {
            // Of one kind the first that works is enough.
            let all = kind(&subject).into_iter();
            let works = all.into_iter().find(|c| trials.gives_room(c, &subject));
            finding.cures.extend(works);
        }
        if finding.cures.is_empty() {
            finding.cures.extend(both(&subject, trials));
        }
        finding.help = Some(help(&subject, &finding.cures));
    }
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
    pairs.find(|pair| trials.gives_room(pair, subject))
}

/// L108: what lies below the exit. One basin serves all of a floor.
fn below(ctx: &Context<'_>, trials: &mut Trials<'_>, findings: &mut [Diagnostic]) {
    let code = below_the_exit::META.code;
    let mut known: Vec<Cure> = Vec::new();
    for finding in findings.iter_mut().filter(|d| d.code == code) {
        let Some(cure) = ejector::cure(ctx, &finding.at) else {
            continue;
        };
        if !known.contains(&cure) {
            if !trials.removes(&cure, code, &finding.at) {
                continue;
            }
            known.push(cure.clone());
        }
        finding.help = Some(cure.words.clone());
        finding.cures = vec![cure];
    }
}

fn help(subject: &Subject<'_>, cures: &[Cure]) -> String {
    let words: Vec<&str> = cures.iter().map(|c| c.words.as_str()).collect();
    let limit = lower_exit::limit(subject);
    let (mut text, limit) = match words.as_slice() {
        [] => (
            "no single change was found that makes it fit: change the route".to_owned(),
            limit,
        ),
        [one] => ((*one).to_owned(), limit),
        _ => (format!("any one of these: {}", words.join("; ")), limit),
    };
    if let Some(limit) = limit {
        text = format!("{text}; {limit}");
    }
    text
}
