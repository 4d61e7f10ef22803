//! Fittings of soil and waste.

use super::at::{Meets, Place, eighths_between};
use super::model::{Does, Fitting};
use super::pick::pick;
use crate::codebook::Turn;
use crate::job::{CleanoutKind, Wye};
use crate::levels::falls::leg_is_vertical;
use crate::network::{JointIx, JointKind, NetCleanout, PieceIx, RunKind, System, TrapIx};
use crate::sizing::traps::kind_of;
use crate::units::PipeSize;

const COMBINATION: &str = "combination wye and eighth bend";
const FOR_VENT: &str = "rolled up for the vent";

/// The fitting at a joint of the drains; none where a pipe only goes on, and at joints of vents.
pub fn fitting(place: &Place<'_>, joint: JointIx) -> Option<Fitting> {
    let kind = place.net.graph.node_weight(joint)?.kind;
    let meets = place.meets(joint)?;
    let name = match kind {
        JointKind::Junction | JointKind::Change | JointKind::InLine | JointKind::End => {
            level(place, joint, kind, &meets)
        }
        JointKind::StackBase => base(place, &meets).map(joins),
        JointKind::StackJunction => Some(joins(on_stack(place, &meets))),
        JointKind::OffsetFoot(_) | JointKind::OffsetHead => offset(place, kind, &meets).map(joins),
        JointKind::VentFitting => vent_fitting(place, joint, &meets),
        _ => None,
    };
    if let JointKind::Trap(trap) = kind
        && let Some(fitting) = trap_fitting(place, trap, &meets)
    {
        return Some(fitting);
    }
    let tee = kind == JointKind::StackJunction
        || (kind == JointKind::VentFitting && !place.net.vents_from(joint).is_empty());
    let reducer = reducer(place, &meets).filter(|_| !tee || meets.in_line.is_some());
    let (does, name) = match (name, reducer) {
        (Some(named), _) => named,
        (None, Some(_)) => (Does::Reduces, "reducer".to_owned()),
        (None, None) => return None,
    };
    // What is rolled up for the vent has it as its branch.
    let to_vent = match does {
        Does::Joins if tee => vent_reducer(place, joint, &meets),
        _ => None,
    };
    let sizes = match does {
        Does::Vents => rolled_up(place, joint, &meets),
        Does::Opens => opened_sizes(place, joint, &meets),
        _ => sizes(place, &meets, tee),
    };
    let turn = match (does, meets.in_line.or(meets.branches.first().copied())) {
        (Does::Opens, Some(above)) => beside_opening(place, meets.below, above),
        _ => None,
    };
    Some(Fitting {
        does,
        name,
        sizes,
        reducer,
        to_vent,
        turn,
    })
}

/// A fitting's name, and what it does.
type Named = (Does, String);

/// The name of a fitting that only joins pipes.
fn joins(name: String) -> Named {
    (Does::Joins, name)
}

/// A fitting rolled up for the vent that leaves a level drain above its centreline.
fn for_vent() -> Named {
    (Does::Vents, format!("{COMBINATION}, {FOR_VENT}"))
}

fn size(place: &Place<'_>, piece: PieceIx) -> PipeSize {
    place.size(piece).unwrap_or(PipeSize::SMALLEST)
}

fn of_fixture(place: &Place<'_>, piece: PieceIx) -> bool {
    let kind = place
        .piece(piece)
        .and_then(|p| place.net.runs.get(p.run.0))
        .map(|r| r.kind);
    matches!(kind, Some(RunKind::Arm | RunKind::FixtureDrain))
}

/// A fixture's end: a closet's flange on its arm, or a trap in its own size; a larger arm is reduced
/// to it.
fn trap_fitting(place: &Place<'_>, trap: TrapIx, meets: &Meets) -> Option<Fitting> {
    let of = place.net.traps.get(trap.0)?;
    let fixture = place.job.fixtures.get(of.fixture)?;
    let arm = size(place, meets.below);
    if kind_of(fixture).is_some_and(|k| k.closet) {
        return Some(Fitting {
            does: Does::Joins,
            name: "closet bend and flange".to_owned(),
            sizes: vec![arm],
            reducer: None,
            to_vent: None,
            turn: None,
        });
    }
    let own = place.sizing.traps.get(&trap).map_or(arm, |t| t.size);
    Some(Fitting {
        does: Does::Joins,
        name: "P-trap".to_owned(),
        sizes: vec![own],
        reducer: (own != arm).then(|| (arm.max(own), arm.min(own))),
        to_vent: None,
        turn: None,
    })
}

/// On a level drain: what enters, else a turn, a cleanout or a valve.
fn level(place: &Place<'_>, joint: JointIx, kind: JointKind, meets: &Meets) -> Option<Named> {
    if meets.branches.is_empty() || (meets.in_line.is_none() && meets.branches.len() == 1) {
        let above = meets.in_line.or(meets.branches.first().copied());
        if meets.branches.is_empty() && above.is_some() && !place.net.vents_from(joint).is_empty() {
            // Only a vent leaves here, above the drain's centreline.
            return Some(for_vent());
        }
        let bend = above.and_then(|a| bend(place, meets.below, a));
        return in_line(place, joint, kind, above.is_none()).or(bend.map(joins));
    }
    Some(joins(wye(place, meets)))
}

/// The wye at which branches enter a level drain.
fn wye(place: &Place<'_>, meets: &Meets) -> String {
    let large = size(place, meets.below);
    let first = meets.branches.first().copied();
    let how = first
        .and_then(|b| place.piece(b))
        .and_then(|p| place.net.runs.get(p.run.0))
        .map_or(Wye::Flat, |r| r.wye);
    let fixture = first.is_some_and(|b| of_fixture(place, b));
    let upright = first.is_some_and(|b| place.comes_upright(b));
    let at_45 = first.and_then(|b| place.turn(meets.below, b)) == Some(1);
    let turn = if upright || how == Wye::OnBack {
        Turn::VerticalToHorizontal
    } else {
        Turn::HorizontalToHorizontal
    };
    let names: &[&str] = if at_45 {
        &["wye", COMBINATION]
    } else {
        &[COMBINATION, "wye"]
    };
    let mut name = pick(place.book, turn, large, fixture, names).to_owned();
    if meets.branches.len() > 1 {
        name = format!("double {name}");
    }
    if upright || how == Wye::OnBack {
        name.push_str(", on its back");
    } else if how == Wye::Rolled {
        name.push_str(", rolled 45°");
    }
    name
}

/// A turn without a branch.
fn bend(place: &Place<'_>, below: PieceIx, above: PieceIx) -> Option<String> {
    let upright = (place.leaves_upright(below), place.comes_upright(above));
    turned(place, below, upright, place.turn(below, above))
}

/// The fitting of a turn in a pipe, from what stands upright below and above it, and by how many
/// eighths it turns in plan; none where it goes straight on, or nobody said.
fn turned(
    place: &Place<'_>,
    below: PieceIx,
    upright: (bool, bool),
    eighths: Option<usize>,
) -> Option<String> {
    let large = size(place, below);
    let fixture = of_fixture(place, below);
    let quarter: &[&str] = &["quarter bend", "short sweep", "long sweep"];
    let (turn, names): (Turn, &[&str]) = match upright {
        (true, true) => return None,
        (true, false) => (Turn::HorizontalToVertical, quarter),
        (false, true) => (Turn::VerticalToHorizontal, &["long sweep", COMBINATION]),
        (false, false) => match eighths? {
            0 => return None,
            1 => (Turn::HorizontalToHorizontal, &["eighth bend"]),
            _ => (Turn::HorizontalToHorizontal, &["long sweep", COMBINATION]),
        },
    };
    Some(said(pick(place.book, turn, large, fixture, names)))
}

/// The bend beside a cleanout in line: the wye takes the drain round an eighth; what turns a quarter
/// in plan, or comes down upright, needs another.
fn beside_opening(place: &Place<'_>, below: PieceIx, above: PieceIx) -> Option<String> {
    let farther = place.comes_upright(above) || place.turn(below, above) == Some(2);
    farther.then(|| "eighth bend".to_owned())
}

/// The bends within a pipe of the drains, from its lower end up: where it turns between two of its
/// legs. A leg that rises at 45 degrees begins and ends with an eighth bend. None for a vent.
pub fn bends(place: &Place<'_>, piece: PieceIx) -> Option<Vec<String>> {
    let pipe = place.piece(piece).filter(|p| p.system == System::Waste)?;
    let between = pipe.legs.windows(2).filter_map(|pair| {
        let [below, above] = pair else { return None };
        let (below_45, above_45) = (below.rises_45, above.rises_45);
        if below_45 != above_45 {
            return Some("eighth bend".to_owned());
        }
        let upright = (leg_is_vertical(below), leg_is_vertical(above));
        turned(place, piece, upright, eighths_between(below, above))
    });
    Some(between.collect())
}

/// A sweep is a quarter bend; the trade says so in full.
fn said(name: &str) -> String {
    match name {
        "long sweep" | "short sweep" => format!("{name} quarter bend"),
        name => name.to_owned(),
    }
}

/// Cleanouts and valves in line, and the dead end of a drain.
fn in_line(place: &Place<'_>, joint: JointIx, kind: JointKind, dead: bool) -> Option<Named> {
    if let Some(valve) = place.openings.valves(joint).next() {
        return Some(joins(format!("{} valve", valve.kind)));
    }
    match place.openings.cleanouts(joint).next() {
        Some(cleanout) => Some((Does::Opens, opened(cleanout.kind, dead).to_owned())),
        None if dead && kind == JointKind::End => Some(joins("cap".to_owned())),
        None => None,
    }
}

/// What a cleanout stands in, in line or at a drain's dead end.
fn opened(kind: CleanoutKind, dead: bool) -> &'static str {
    match kind {
        CleanoutKind::TwoWay => "two-way cleanout tee",
        _ if dead => "cleanout adapter and plug",
        CleanoutKind::Stack => "cleanout tee",
        _ => "wye with cleanout",
    }
}

/// The fitting of a cleanout beside that of its joint: in the pipe that it stands on, run first.
pub fn beside(place: &Place<'_>, cleanout: &NetCleanout) -> Option<Fitting> {
    let pipe = place.stands_on(cleanout)?;
    let opening = place.cleanout(cleanout)?;
    Some(Fitting {
        does: Does::Opens,
        name: opened(cleanout.kind, false).to_owned(),
        sizes: vec![pipe, pipe, opening],
        reducer: None,
        to_vent: None,
        turn: None,
    })
}

/// Where a stack stands on its drain.
fn base(place: &Place<'_>, meets: &Meets) -> Option<String> {
    let large = size(place, meets.below);
    let turn = Turn::VerticalToHorizontal;
    if meets.in_line.is_some() || meets.branches.len() > 1 {
        let name = pick(place.book, turn, large, false, &[COMBINATION, "wye"]);
        let double = if meets.branches.len() > 1 {
            "double "
        } else {
            ""
        };
        return Some(format!("{double}{name}, on its back"));
    }
    if place.leaves_upright(meets.below) {
        return None;
    }
    let name = pick(place.book, turn, large, false, &["long sweep", COMBINATION]);
    Some(said(name))
}

/// Where something enters a stack.
fn on_stack(place: &Place<'_>, meets: &Meets) -> String {
    let large = size(place, meets.below);
    let turn = Turn::HorizontalToVertical;
    let tee = pick(
        place.book,
        turn,
        large,
        false,
        &["sanitary tee", COMBINATION],
    );
    taking(place, &meets.branches, tee, large)
}

/// A tee that takes so many: two opposite each other in a double one, what comes square to another in a
/// side inlet.
fn taking(place: &Place<'_>, branches: &[PieceIx], tee: &str, size: PipeSize) -> String {
    match branches {
        [] | [_] => tee.to_owned(),
        [a, b] => match place.turn_between(*a, *b) {
            Some(2) => format!("{tee} with side inlet"),
            _ => double(place, branches, tee, size),
        },
        _ => format!("{} with side inlet", double(place, branches, tee, size)),
    }
}

/// A double pattern: one fitting that takes two opposite each other. Two closets back to back, or
/// what is pumped, do not enter a double sanitary tee: the water of one shoots into the other.
fn double(place: &Place<'_>, branches: &[PieceIx], tee: &str, size: PipeSize) -> String {
    let limits = place
        .book
        .fitting(tee, Turn::HorizontalToVertical)
        .is_some_and(|f| f.value.double_limits);
    let serves = |p: &PieceIx| place.sizing.serves.get(p).map_or(0, |s| s.closets);
    let closets = branches.iter().filter(|p| serves(p) > 0).count();
    let pumped = branches.iter().any(|p| place.takes_pumped(*p));
    let name = if limits && (closets > 1 || pumped) {
        let turn = Turn::HorizontalToVertical;
        pick(place.book, turn, size, false, &[COMBINATION])
    } else {
        tee
    };
    let sizes = branches.iter().filter_map(|p| place.size(*p));
    let (least, most) = (sizes.clone().min(), sizes.max());
    if least == most {
        format!("double {name}")
    } else {
        // Opposed inlets are made of one size.
        format!("double {name}, its smaller side reduced")
    }
}

/// The bends of a stack's offset: of 45° both are eighth bends; of 90° the upper one turns from
/// upright to level and takes a long sweep.
fn offset(place: &Place<'_>, kind: JointKind, meets: &Meets) -> Option<String> {
    let across = match kind {
        JointKind::OffsetFoot(_) => meets.in_line?,
        _ => meets.below,
    };
    let rises = place.first_leg(across).is_some_and(|l| l.rises_45);
    let large = size(place, meets.below);
    let (turn, names): (Turn, &[&str]) = match (rises, kind) {
        (true, JointKind::OffsetFoot(_)) => (Turn::HorizontalToVertical, &["eighth bend"]),
        (true, _) => (Turn::VerticalToHorizontal, &["eighth bend"]),
        (false, JointKind::OffsetFoot(_)) => (Turn::HorizontalToVertical, &["quarter bend"]),
        (false, _) => (Turn::VerticalToHorizontal, &["long sweep", COMBINATION]),
    };
    Some(said(pick(place.book, turn, large, false, names)))
}

/// Where an arm meets its vent and its drop.
fn vent_fitting(place: &Place<'_>, joint: JointIx, meets: &Meets) -> Option<Named> {
    let arms = meets.branches.len() + usize::from(meets.in_line.is_some());
    let above: Vec<PieceIx> = meets
        .in_line
        .into_iter()
        .chain(meets.branches.clone())
        .collect();
    let large = size(place, meets.below);
    if place.net.vents_from(joint).is_empty() {
        let bend = above.first().and_then(|a| bend(place, meets.below, *a));
        return bend.map(joins);
    }
    if place.leaves_upright(meets.below) {
        let turn = Turn::HorizontalToVertical;
        let tee = pick(
            place.book,
            turn,
            large,
            true,
            &["sanitary tee", COMBINATION],
        );
        return Some(joins(match arms > 1 {
            true => taking(place, &above, tee, large),
            false => tee.to_owned(),
        }));
    }
    Some(for_vent())
}

/// A reducer in line: the larger and the smaller size.
fn reducer(place: &Place<'_>, meets: &Meets) -> Option<(PipeSize, PipeSize)> {
    let above = meets.in_line.or(match meets.branches.as_slice() {
        [one] => Some(*one),
        _ => None,
    })?;
    let (a, b) = (place.size(meets.below)?, place.size(above)?);
    (a != b).then_some((a.max(b), a.min(b)))
}

/// A reducer from a tee to the vent that goes on from it: the larger and the smaller size.
fn vent_reducer(place: &Place<'_>, joint: JointIx, meets: &Meets) -> Option<(PipeSize, PipeSize)> {
    let [vent] = place.net.vents_from(joint)[..] else {
        return None;
    };
    let (tee, vent) = (place.size(meets.below)?, place.size(vent)?);
    (vent < tee).then_some((tee, vent))
}

/// Sizes of what holds a cleanout: its run, and the opening; at a dead end the opening alone. Where
/// the drain changes its size the fitting is of the larger, and a reducer takes it to the other.
fn opened_sizes(place: &Place<'_>, joint: JointIx, meets: &Meets) -> Vec<PipeSize> {
    let cleanout = place.openings.cleanouts(joint).next();
    let opening = cleanout.and_then(|c| place.cleanout(c));
    let above = meets.in_line.or(meets.branches.first().copied());
    let Some(above) = above.and_then(|a| place.size(a)) else {
        return opening.into_iter().collect();
    };
    let run = place.size(meets.below).map_or(above, |b| b.max(above));
    [run, run].into_iter().chain(opening).collect()
}

/// Sizes where only a vent leaves a level drain: the run, then the vent.
fn rolled_up(place: &Place<'_>, joint: JointIx, meets: &Meets) -> Vec<PipeSize> {
    let run = size(place, meets.below);
    let vents = place.net.vents_from(joint);
    let vents = vents.iter().filter_map(|v| place.size(*v));
    [run, run].into_iter().chain(vents).collect()
}

/// Sizes, run first. Where a branch enters the run of the fitting is as large as the drain below;
/// so is the upper end of a tee from which only the vent goes on.
fn sizes(place: &Place<'_>, meets: &Meets, tee: bool) -> Vec<PipeSize> {
    let below = place.size(meets.below);
    let run = match (meets.in_line, meets.branches.is_empty()) {
        (Some(above), true) => place.size(above),
        (Some(_), false) => below,
        (None, false) if tee || meets.branches.len() > 1 => below,
        _ => None,
    };
    let branches = meets.branches.iter().filter_map(|b| place.size(*b));
    below.into_iter().chain(run).chain(branches).collect()
}
