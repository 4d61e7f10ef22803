//! Things that lead into each other in a circle. Each thing leads into at most one other, so a
//! circle is found by walking on until a thing comes round again.

use crate::diagnostics::Span;
use crate::job::model::{Job, Said, Target};
use crate::job::problems::{GOES_IN_A_CIRCLE, Problems};

/// One thing: its name, and what it leads into: an index of the list, and where that is said.
struct Node<'j> {
    name: &'j str,
    next: Option<(usize, Span)>,
}

/// Reports every circle once, at the thing of it that stands first in the file.
pub(super) fn check(job: &Job, problems: &mut Problems) {
    report(&drainage(job), "drains into", problems);
    report(&vents(job), "vents into", problems);
    let by = |key: fn(&crate::job::Fixture) -> &Option<Said<usize>>| -> Vec<Node<'_>> {
        let next = |f| key(f).as_ref().map(|s| (s.value, s.span.clone()));
        job.fixtures
            .iter()
            .map(|f| Node {
                name: &f.name,
                next: next(f),
            })
            .collect()
    };
    report(&by(|f| &f.vented_by), "is vented by", problems);
    report(&by(|f| &f.over), "stands over", problems);
}

fn drainage(job: &Job) -> Vec<Node<'_>> {
    let stacks = job.drains.len();
    let fixtures = stacks + job.stacks.len();
    let basins = fixtures + job.fixtures.len();
    let next = |into: &Option<Said<Target>>| {
        let said = into.as_ref()?;
        let index = match said.value {
            Target::Drain(i) => i,
            Target::Stack(i) => stacks + i,
            Target::Fixture(i) => fixtures + i,
            Target::Basin(i) => basins + i,
            Target::Exit(_) | Target::Vent(_) | Target::Roof => return None,
        };
        Some((index, said.span.clone()))
    };
    let drains = job.drains.iter().map(|t| (&t.name, &t.into));
    let stacks = job.stacks.iter().map(|t| (&t.name, &t.into));
    let fixtures = job.fixtures.iter().map(|t| (&t.name, &t.into));
    let basins = job.basins.iter().map(|t| (&t.name, &t.into));
    let all = drains.chain(stacks).chain(fixtures).chain(basins);
    all.map(|(name, into)| Node {
        name,
        next: next(into),
    })
    .collect()
}

fn vents(job: &Job) -> Vec<Node<'_>> {
    let next = |into: &Option<Said<Target>>| match into {
        Some(Said {
            value: Target::Vent(i),
            span,
        }) => Some((*i, span.clone())),
        _ => None,
    };
    job.vents
        .iter()
        .map(|v| Node {
            name: &v.name,
            next: next(&v.into),
        })
        .collect()
}

fn report(nodes: &[Node<'_>], leads: &str, problems: &mut Problems) {
    // 0: not walked yet; else the number of the walk that came by.
    let mut walked = vec![0usize; nodes.len()];
    for start in 0..nodes.len() {
        let walk = start + 1;
        let mut at = start;
        while let (Some(node), Some(mark)) = (nodes.get(at), walked.get_mut(at)) {
            if *mark == walk {
                circle(nodes, at, leads, problems);
            }
            if *mark != 0 {
                break;
            }
            *mark = walk;
            match &node.next {
                Some((next, _)) => at = *next,
                None => break,
            }
        }
    }
}

fn circle(nodes: &[Node<'_>], from: usize, leads: &str, problems: &mut Problems) {
    const SHOWN: usize = 8;
    let mut members: Vec<(&str, Span)> = Vec::new();
    let mut at = from;
    while let Some(Node {
        name,
        next: Some((next, span)),
    }) = nodes.get(at)
    {
        members.push((name, span.clone()));
        at = *next;
        if at == from {
            break;
        }
    }
    // Start where the file starts.
    let first = members
        .iter()
        .enumerate()
        .min_by_key(|(_, (_, s))| s.start)
        .map_or(0, |(i, _)| i);
    members.rotate_left(first);
    let Some((name, span)) = members.first().cloned() else {
        return;
    };
    // A thing that leads into itself has been reported as such.
    if members.len() < 2 {
        return;
    }
    let mut text = format!("`{name}`");
    for (other, _) in members.iter().skip(1).take(SHOWN) {
        text.push_str(&format!(" {leads} `{other}`, which"));
    }
    if members.len() > SHOWN + 1 {
        text.push_str(&format!(" (through {} more)", members.len() - SHOWN - 1));
    }
    text.push_str(&format!(" {leads} `{name}` again"));
    let help = Some("one of them must lead somewhere else".to_owned());
    problems.add(GOES_IN_A_CIRCLE, name, span, text, help);
}
