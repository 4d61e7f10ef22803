//! Footings, and how the drains pass them.

use super::Say;
use crate::catalogue;
use crate::network::{JointIx, PieceIx, RunKind};
use crate::sheets::lettering::kept;
use crate::units::Length;

/// Each footing with its levels, and whether the drain passes under, over or through it.
pub(super) fn footings(say: &Say<'_>) -> Option<String> {
    let (job, net) = (say.set.job, say.set.net);
    let mut words: Vec<String> = Vec::new();
    for (i, e) in job.exits.iter().enumerate() {
        let joint = net.exits.get(i).copied();
        let place = format!("At {}", super::code_name(&e.name));
        let pipe = joint.and_then(|j| pipe(say, j, e.invert.as_ref().map(|v| v.value)));
        words.extend(one(say, &place, (e.footing_top, e.footing_bottom), pipe));
    }
    for f in &job.footings {
        let mut joints = net.graph.node_indices();
        let joint = joints.find(|j| net.graph[*j].id == f.name);
        let pipe = joint.and_then(|j| pipe(say, j, None));
        words.extend(one(say, &kept(&f.name), (f.top, f.bottom), pipe));
    }
    if words.is_empty() {
        return None;
    }
    Some(format!("Footings: {}.", words.join(". ")))
}

/// Bottom and top of a pipe's outside.
type Outside = (Length, Length);

fn one(
    say: &Say<'_>,
    place: &str,
    footing: (Option<Length>, Option<Length>),
    pipe: Option<Outside>,
) -> Option<String> {
    let levels = match footing {
        (Some(t), Some(b)) => format!("top {}, bottom {}", say.level(t), say.level(b)),
        (Some(t), None) => format!("top {}", say.level(t)),
        (None, Some(b)) => format!("bottom {}", say.level(b)),
        (None, None) => return None,
    };
    let passes = pipe.map_or_else(
        || "how the drain passes is not known, for want of its invert or size".to_owned(),
        |pipe| passes(say, footing, pipe),
    );
    Some(format!("{place}, {levels}: {passes}"))
}

fn passes(
    say: &Say<'_>,
    (top, bottom): (Option<Length>, Option<Length>),
    (low, high): Outside,
) -> String {
    if let Some(b) = bottom.filter(|b| high <= *b) {
        let clear = say.short(b - high);
        return format!("the drain passes under it, {clear} clear of the pipe's outside");
    }
    if let Some(t) = top.filter(|t| low >= *t) {
        let clear = say.short(low - t);
        return format!("the drain passes over it, {clear} clear of the pipe's outside");
    }
    let sleeve = "which needs a sleeve and the engineer's consent";
    match (top, bottom) {
        (Some(t), Some(b)) if low >= b && high <= t => format!(
            "the drain passes through it, {} above its bottom and {} below its top, {sleeve}",
            say.short(low - b),
            say.short(t - high)
        ),
        (_, Some(b)) if low < b => format!("the drain cuts into its bottom, {sleeve}"),
        (Some(t), _) if high > t => format!("the drain cuts into its top, {sleeve}"),
        _ => "the drain does not pass clear of the side that is stated".to_owned(),
    }
}

/// The outside of the drain at a joint.
fn pipe(say: &Say<'_>, joint: JointIx, stated: Option<Length>) -> Option<Outside> {
    let set = say.set;
    let invert = stated.or_else(|| {
        let stations = &set.solution.levels.stations;
        stations.iter().find(|s| s.joint == joint)?.invert
    })?;
    let inside = |p: &PieceIx| {
        let run = set.net.graph.edge_weight(*p).map(|p| p.run.0);
        let run = run.and_then(|r| set.net.runs.get(r));
        run.is_some_and(|r| r.kind != RunKind::Sewer)
    };
    let piece = set.net.upstream(joint).into_iter().find(inside)?;
    let size = set.solution.sizing.pieces.get(&piece)?.size;
    let material = &set.job.practice.material_below;
    let outside = catalogue::outside(material, size)?.value;
    let bore = catalogue::bore(material, size)?.value;
    let wall = Length::from_inches((outside.inches() - bore.inches()) / 2.0);
    let low = invert - wall;
    Some((low, low + outside))
}
