//! Sizes of vents, from the drains up to the open air.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::building_vent;
use super::groups::Groups;
use super::loads::Carried;
use super::model::{PieceSize, TrapSize, Working};
use super::vent_rules::{Asked, Least, Leasts};
use super::vented::{Vented, vented};
use super::waste::Stacks;
use crate::codebook::{Book, Found};
use crate::job::Job;
use crate::levels::Falls;
use crate::network::{
    BranchMethod, BranchVent, JointIx, JointKind, Network, PieceIx, RunKind, StackMethod, Table,
    TrapIx,
};
use crate::units::{Demand, Length, Load, PipeSize, Printer};

/// What a vent piece gets from the vents that join below it.
#[derive(Clone, Default)]
struct Air {
    /// What the traps bring that are vented, counted as the drains count it.
    carried: Carried,
    /// Of that, what no stack vent further on counts as its own.
    rest: Carried,
    /// The largest load of the vents that join.
    load: Load,
    drain: Option<PipeSize>,
    stack: Option<PipeSize>,
    code: Option<PipeSize>,
    chosen: Option<PipeSize>,
    /// Longest developed length from a drain to here; none if one is not known.
    length: Option<Length>,
    /// What is known of that length, whether all of it is or not.
    known: Length,
    /// Longest way from a stack whose own vent this is, or that joins; none if not known.
    from_stack: Option<Length>,
    /// What is known of that way.
    known_from_stack: Length,
    joined: u32,
}

/// Sizes all vent pieces and adds them to the table.
///
/// A vent takes the least of the code for what it vents: the traps of all that joins it, whole
/// groups by the book's figure as in the drains. Neither its load nor its size is ever smaller
/// than that of a vent that joins it: so it never shrinks toward the open air.
pub fn vents(
    job: &Job,
    net: &Network,
    book: &Book,
    (traps, groups, stacks): (&Table<TrapIx, Arc<TrapSize>>, &Groups, &Stacks),
    (ordered, lengths): (&[PieceIx], &Table<PieceIx, Length>),
    falls: &Falls,
    pieces: &mut Table<PieceIx, PieceSize>,
) {
    let beyond = lengths_beyond(net, lengths, ordered);
    let known_beyond = known_beyond(net, lengths, ordered);
    let bases = vented(net, (traps, groups, stacks), pieces, ordered);
    let on = On {
        job,
        net,
        book,
        groups,
        ordered,
        lengths,
        beyond: &beyond,
        known_beyond: &known_beyond,
        bases: &bases,
    };
    let required = |exit: &JointIx| {
        let drains = net.upstream(*exit).into_iter();
        let sizes = drains.filter_map(|p| {
            let own = pieces.get(&p)?;
            let fall = falls.at(job, net, book, p, own.size).ok();
            building_vent::required(book, own, fall.map(|f| f.0))
        });
        Some((*exit, sizes.max()?))
    };
    let drains: BTreeMap<JointIx, PipeSize> = net.exits.iter().filter_map(required).collect();
    let building = building_vent::floors(net, book, (ordered, &bases), &drains);
    all(&on, &building, pieces);
    // Only now it is known what all vents that lead outdoors have together.
    let building = building_vent::together(net, book, pieces, (ordered, &bases), &drains);
    if let Some(building) = building {
        all(&on, &building, pieces);
    }
    if job.practice.whole_risers {
        whole_risers(net, pieces);
    }
}

/// Gives every vent riser one size from its lowest branch to its top: the largest that any part of
/// it needs. What the job states stays.
fn whole_risers(net: &Network, pieces: &mut Table<PieceIx, PieceSize>) {
    for run in net.runs.iter().filter(|r| r.kind == RunKind::Riser) {
        let sizes = run.pieces.iter().filter_map(|p| pieces.get(p));
        let Some(largest) = sizes.map(|s| s.size).max() else {
            continue;
        };
        for piece in &run.pieces {
            if let Some(size) = pieces.get_mut(piece)
                && !size.stated
                && size.size < largest
            {
                size.size = largest;
                let step = "as large as the rest of its riser, as the job prefers";
                size.working.steps.push(step.to_owned());
            }
        }
    }
}

/// What the sizing of vents stands on.
struct On<'a> {
    job: &'a Job,
    net: &'a Network,
    book: &'a Book,
    groups: &'a Groups,
    ordered: &'a [PieceIx],
    lengths: &'a Table<PieceIx, Length>,
    beyond: &'a Table<PieceIx, Option<Length>>,
    known_beyond: &'a Table<PieceIx, Length>,
    bases: &'a Table<PieceIx, Vented>,
}

/// Once from the drains up, with the floors of the building drain's vent.
fn all(on: &On<'_>, building: &Table<PieceIx, Least>, pieces: &mut Table<PieceIx, PieceSize>) {
    let On {
        job,
        net,
        book,
        groups,
        ordered,
        lengths,
        beyond,
        known_beyond,
        bases,
    } = *on;
    let mut at: Table<JointIx, Air> = Table::new();
    let mut leasts = Leasts::default();
    for &piece in ordered {
        let Some((from, to)) = net.graph.edge_endpoints(piece) else {
            continue;
        };
        let mut air = at.remove(&from).unwrap_or(Air {
            length: Some(Length::ZERO),
            ..Air::default()
        });
        if let Some(base) = bases.get(&piece) {
            if base.stack.is_some() && air.stack.is_none() {
                air.from_stack = Some(Length::ZERO);
                air.known_from_stack = Length::ZERO;
            }
            enter(&mut air, groups, base);
        }
        if is_stack_vent(net, piece) {
            // Vents of the stack's own fixtures are in its load.
            air.carried = air.rest.clone();
        }
        // A group's one figure may be less than a part of its fixtures bring; air does not shrink.
        air.load = larger(air.load, air.carried.load());
        let own = lengths.get(&piece).copied();
        air.length = add(air.length, own);
        air.from_stack = add(air.from_stack, own);
        air.known += own.unwrap_or_default();
        air.known_from_stack += own.unwrap_or_default();
        if let Some(base) = bases
            .get(&piece)
            .filter(|b| own.is_none() && b.stack.is_some())
        {
            air.known += base.beside;
            air.known_from_stack += base.beside;
        }
        let rest = beyond.get(&piece).copied().flatten();
        let known = known_beyond.get(&piece).copied().unwrap_or_default();
        let total = (add(air.length, rest), add(air.from_stack, rest));
        let known = (air.known + known, air.known_from_stack + known);
        let lengths = (total, known);
        let building = building.get(&piece);
        let mut size = one(
            (job, net, book),
            &mut leasts,
            piece,
            &air,
            lengths,
            building,
        );
        if let Some(base) = bases.get(&piece) {
            as_large(job, book, base, &mut size);
            by_section((job, net, book), piece, base, &mut size);
        }
        let next = at.or_insert_with(to, || Air {
            length: Some(Length::ZERO),
            ..Air::default()
        });
        next.load = larger(next.load, air.load);
        next.drain = next.drain.max(air.drain);
        next.from_stack = match (next.stack, air.stack) {
            (None, Some(_)) => air.from_stack,
            (Some(_), Some(_)) => (next.from_stack.zip(air.from_stack)).map(|(a, b)| a.max(b)),
            _ => next.from_stack,
        };
        next.stack = next.stack.max(air.stack);
        next.code = next.code.max(size.code_size);
        next.chosen = next.chosen.max(Some(size.size));
        next.length = match (next.length, air.length) {
            (Some(a), Some(b)) => Some(a.max(b)),
            _ => None,
        };
        next.known = next.known.max(air.known);
        if air.stack.is_some() {
            next.known_from_stack = next.known_from_stack.max(air.known_from_stack);
        }
        next.joined += air.joined;
        next.carried.merge(groups, air.carried);
        next.rest.merge(groups, air.rest);
        pieces.insert(piece, size);
    }
    reliefs(net, pieces);
}

/// Relief vents are as large as the vent stack that they join.
fn reliefs(net: &Network, pieces: &mut Table<PieceIx, PieceSize>) {
    for run in net.runs.iter().filter(|r| r.kind == RunKind::VentStack) {
        let own = run.pieces.iter().copied();
        let from = |p: PieceIx| net.from(p).and_then(|j| net.graph.node_weight(j));
        let relief = |p: &PieceIx| from(*p).is_some_and(|j| matches!(j.kind, JointKind::Relief(_)));
        let Some(stack) = run.pieces.first().and_then(|p| pieces.get(p)).cloned() else {
            continue;
        };
        for piece in own.filter(relief) {
            let mut size = stack.clone();
            size.working
                .steps
                .insert(0, "as large as the vent stack that it joins".to_owned());
            pieces.insert(piece, size);
        }
    }
}

fn larger(a: Load, b: Load) -> Load {
    if b > a { b } else { a }
}

fn is_stack_vent(net: &Network, piece: PieceIx) -> bool {
    net.graph
        .edge_weight(piece)
        .and_then(|p| net.runs.get(p.run.0))
        .is_some_and(|r| r.kind == RunKind::StackVent)
}

fn enter(air: &mut Air, groups: &Groups, base: &Vented) {
    air.carried.merge(groups, base.carried.clone());
    air.rest.merge(groups, base.rest.clone());
    air.drain = air.drain.max(base.drain);
    air.stack = air.stack.max(base.stack);
    air.joined += 1;
}

fn add(a: Option<Length>, b: Option<Length>) -> Option<Length> {
    Some(a? + b?)
}

/// Developed length from the upper end of each vent piece to the open air, if known.
fn lengths_beyond(
    net: &Network,
    lengths: &Table<PieceIx, Length>,
    ordered: &[PieceIx],
) -> Table<PieceIx, Option<Length>> {
    let mut from_joint: Table<JointIx, Option<Length>> = Table::new();
    let mut beyond = Table::new();
    for piece in ordered.iter().rev() {
        let Some((from, to)) = net.graph.edge_endpoints(*piece) else {
            continue;
        };
        let open = matches!(
            net.graph.node_weight(to).map(|j| j.kind),
            Some(JointKind::Terminal(_) | JointKind::Valve(_))
        );
        let rest = match from_joint.get(&to) {
            Some(rest) => *rest,
            None => open.then_some(Length::ZERO),
        };
        beyond.insert(*piece, rest);
        let own = lengths.get(piece).copied();
        from_joint.insert(from, add(rest, own));
    }
    beyond
}

/// What is known of the same lengths, all that is not known left out.
fn known_beyond(
    net: &Network,
    lengths: &Table<PieceIx, Length>,
    ordered: &[PieceIx],
) -> Table<PieceIx, Length> {
    let mut from_joint: Table<JointIx, Length> = Table::new();
    let mut beyond = Table::new();
    for piece in ordered.iter().rev() {
        let Some((from, to)) = net.graph.edge_endpoints(*piece) else {
            continue;
        };
        let rest = from_joint.get(&to).copied().unwrap_or_default();
        beyond.insert(*piece, rest);
        let own = lengths.get(piece).copied().unwrap_or_default();
        from_joint.insert(from, rest + own);
    }
    beyond
}

fn one(
    (job, net, book): (&Job, &Network, &Book),
    leasts: &mut Leasts,
    piece: PieceIx,
    air: &Air,
    ((length, from_stack), (known, known_from_stack)): (
        (Option<Length>, Option<Length>),
        (Length, Length),
    ),
    building: Option<&Least>,
) -> PieceSize {
    let print = Printer { units: job.units };
    let asked = Asked {
        load: air.load,
        drain: air.drain,
        stack: air.stack,
        closet: air.carried.closets > 0,
        header: air.joined > 1,
        length,
        known,
        known_from_stack,
        from_stack,
    };
    let least = leasts.of(&asked, book, print);
    let mut steps = vec![format!("vents {} {}", print.load(air.load), book.unit())];
    steps.extend(least.steps.iter().cloned());
    let mut working = least.working.clone();
    let mut code = least.size;
    if let (Some(floor), Some(size)) = (air.code, code)
        && floor > size
    {
        steps.push(format!(
            "not smaller than the vents that join: {}",
            print.size(floor)
        ));
        code = Some(floor);
    }
    if let Some(building) = building
        && building.size > code
    {
        steps.extend(building.steps.iter().cloned());
        code = building.size;
        working = building.working.clone();
    }
    let to = net.to(piece).and_then(|j| net.graph.node_weight(j));
    let at_roof = to.is_some_and(|j| matches!(j.kind, JointKind::Terminal(_)));
    let through = book.terminal().least.as_ref().filter(|_| at_roof);
    if let Some(through) = through.filter(|l| code.is_some_and(|c| l.value > c)) {
        steps.push(format!("through the roof: {}", print.size(through.value)));
        code = Some(through.value);
        working = Working {
            section: through.section.clone(),
            table: through.table.clone(),
            provenance: Some(through.provenance),
            ..Working::default()
        };
    }
    let weight = net.graph.edge_weight(piece);
    let stated = weight.and_then(|p| p.size.as_ref()).map(|s| s.value);
    if let Some(size) = code {
        steps.push(format!("least by the code: {}", print.size(size)));
    }
    let size = match stated {
        Some(size) => {
            steps.push(format!("{} as stated", print.size(size)));
            size
        }
        None => proposed((job, net), piece, code, air.chosen, &mut steps, print),
    };
    PieceSize {
        load: air.load,
        demand: Demand::Units(air.load),
        code_size: code,
        size,
        stated: stated.is_some(),
        capacity: None,
        working: Working { steps, ..working },
        unknown: least.unknown.clone(),
    }
}

/// A stack's vent that serves traps by itself is as large as its stack, where the book says so.
fn as_large(job: &Job, book: &Book, base: &Vented, size: &mut PieceSize) {
    let rule = base.whole.and_then(|(own, _)| match own.method {
        StackMethod::Single => book.single_stack_rules()?.full_vent.as_ref(),
        StackMethod::Waste => book.waste_stack_rules()?.full_vent.as_ref(),
    });
    let rule = rule.filter(|r| r.value);
    let stack = base
        .whole
        .map(|w| w.1)
        .filter(|s| Some(*s) > size.code_size);
    let (Some(rule), Some(stack)) = (rule, stack) else {
        return;
    };
    let print = Printer { units: job.units };
    let why = format!(
        "as large as the stack that it serves: {}",
        print.size(stack)
    );
    raise(job, size, stack, rule, &why);
    size.unknown = None;
}

/// Makes a vent's least size larger by a rule of the book; where the job states no size, the size too.
fn raise<T>(job: &Job, size: &mut PieceSize, least: PipeSize, rule: &Found<T>, why: &str) {
    let print = Printer { units: job.units };
    size.working.section.clone_from(&rule.section);
    size.working.table.clone_from(&rule.table);
    size.working.row = None;
    size.working.provenance = Some(rule.provenance);
    size.working.steps.extend([
        format!("{why} ({})", rule.section),
        format!("least by the code: {}", print.size(least)),
    ]);
    size.code_size = Some(least);
    if !size.stated && size.size < least {
        let stock = &job.practice.stock;
        size.size = stock.iter().copied().find(|s| *s >= least).unwrap_or(least);
    }
}

/// The vent of a combination drain and vent has a part of the drain's cross section, where the book
/// says so.
fn by_section(
    (job, net, book): (&Job, &Network, &Book),
    piece: PieceIx,
    base: &Vented,
    size: &mut PieceSize,
) {
    let rules = book.combination_rules();
    let part = rules.and_then(|r| r.vent_part.as_ref());
    let from = net.from(piece);
    let is_one = |v: &BranchVent| v.method == BranchMethod::Combination && v.vent == from;
    let (Some(part), Some(drain)) = (part, base.drain) else {
        return;
    };
    if !net.branch_vents.iter().any(is_one) {
        return;
    }
    let area = |s: PipeSize| s.inches() * s.inches();
    let least = PipeSize::all().find(|s| area(*s) + 1e-9 >= area(drain) * part.value);
    let Some(least) = least.filter(|l| Some(*l) > size.code_size) else {
        return;
    };
    let print = Printer { units: job.units };
    let why = format!(
        "its part of the cross section of the {} drain: {}",
        print.size(drain),
        print.size(least)
    );
    raise(job, size, least, part, &why);
}

fn proposed(
    (job, net): (&Job, &Network),
    piece: PieceIx,
    code: Option<PipeSize>,
    joined: Option<PipeSize>,
    steps: &mut Vec<String>,
    print: Printer,
) -> PipeSize {
    let practice = &job.practice;
    let mut floor = code.max(joined).unwrap_or(PipeSize::SMALLEST);
    if let Some(least) = practice.least_vent.filter(|l| *l > floor) {
        steps.push(format!(
            "the job's own least for a vent: {}",
            print.size(least)
        ));
        floor = least;
    }
    let at_roof = net
        .to(piece)
        .and_then(|j| net.graph.node_weight(j))
        .is_some_and(|j| matches!(j.kind, JointKind::Terminal(_)));
    if let Some(frost) = practice.frost.filter(|f| at_roof && *f > floor) {
        steps.push(format!("terminal against frost: {}", print.size(frost)));
        floor = frost;
    }
    match practice.stock.iter().copied().find(|s| *s >= floor) {
        Some(size) => {
            if Some(size) != code {
                steps.push(format!("smallest stocked size: {}", print.size(size)));
            }
            size
        }
        None => {
            steps.push(format!("not in stock: {}", print.size(floor)));
            floor
        }
    }
}
