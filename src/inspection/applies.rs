//! Whether a rule had anything to look at: where nothing in the job is of its kind it found nothing
//! because there was nothing.

use std::collections::BTreeSet;

use crate::catalogue::Kind;
use crate::findings::{Context, below_outlets, judged, since_cleanouts, tall_stacks};
use crate::levels::Bound;
use crate::network::{PieceIx, RunKind, System, TrapIx, VentMethod};
use crate::sizing::traps::kind_of;

/// Why a rule did not look at anything, in few words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Idle {
    /// Nothing in the job is of its kind.
    NotApplicable(&'static str),
    /// What it looks at is there, but not how it lies, or not of all of it.
    NotKnown(String),
}

/// Why a rule had nothing to look at, by its code; none where it had something.
pub(super) fn idle(ctx: &Context<'_>, code: &str) -> Option<Idle> {
    let no = |there: bool, why: &'static str| (!there).then_some(Idle::NotApplicable(why));
    let unknown = |known: bool, why: &'static str| (!known).then(|| Idle::NotKnown(why.to_owned()));
    let job = ctx.job;
    let method = |wanted: &[VentMethod]| ctx.net.traps.iter().any(|t| wanted.contains(&t.vent));
    let run = |wanted: &[RunKind]| ctx.net.runs.iter().any(|r| wanted.contains(&r.kind));
    let book = |has: bool| no(has, "the book has no such rule");
    match code {
        "A101" => no(arms(ctx), "no trap arm with a limit").or_else(|| arm_lengths(ctx)),
        "A102" => book(ctx.book.arm_rules().fall_diameters.is_some())
            .or_else(|| no(arms(ctx), "no trap arm with a limit"))
            .or_else(|| arm_lengths(ctx)),
        "A104" => no(
            run(&[RunKind::FixtureVent, RunKind::IslandVent]),
            "no vent of a fixture",
        ),
        "B101" => book(ctx.book.backwater_by_floor().is_some())
            .or_else(|| no(!job.valves.is_empty(), "no backwater valve"))
            .or_else(|| no(manhole(ctx), "no manhole stated")),
        "B102" => book(ctx.book.backwater_by_floor().is_some())
            .or_else(|| unknown(manhole(ctx), "no manhole stated")),
        "C102" => unknown(
            since_cleanouts(ctx, None).iter().any(|w| w.known),
            "no length of a level drain",
        ),
        "D103" => no(fixture(ctx, |k| k.closet), "no water closet"),
        "D106" => book(ctx.book.washer_branch().is_some())
            .or_else(|| no(fixture(ctx, |k| k.washer), "no clothes washer")),
        "D110" => book(ctx.book.heel_distance().is_some())
            .or_else(|| no(run(&[RunKind::Stack]), "no stack")),
        "D112" => {
            let stated = job.exits.iter().filter_map(|e| e.sewer.as_ref());
            no(
                stated.clone().any(|s| s.size.is_some()),
                "no size of the sewer",
            )
            .or_else(|| sewer_falls(ctx))
        }
        "E101" => no(!job.basins.is_empty(), "no pump")
            .or_else(|| book(ctx.book.discharge_distance().is_some())),
        "K101" => no(!job.progress.is_empty(), "nothing marked on site"),
        "K102" => no(job.is_changed(), "nothing changed on site"),
        "L102" => {
            let placed = job.fixtures.iter().any(|f| f.at.is_some())
                || job.stacks.iter().any(|s| s.at.is_some());
            no(placed, "no place stated in plan")
        }
        "L103" => no(
            job.fixtures.iter().any(|f| f.outlet.is_some()),
            "no outlet stated",
        ),
        "L104" => unknown(rooms(ctx), "no level of a drain"),
        "L105" => no(footings(ctx), "no footing stated"),
        "L106" => no(job.practice.spare.is_some(), "no room to keep stated")
            .or_else(|| unknown(rooms(ctx), "no level of a drain")),
        "L107" => no(!job.practice.falls.is_empty(), "no fall preferred"),
        "L108" => unknown(
            job.exits.iter().any(|e| e.invert.is_some()),
            "no invert at the exit",
        ),
        "M101" => no(!job.practice.forbid.is_empty(), "no method forbidden"),
        "M103" => no(method(&[VentMethod::SingleStack]), "no single stack"),
        "M104" => no(
            method(&[VentMethod::Circuit]) || wet(ctx),
            "no circuit vent and no wet vent",
        ),
        "M105" => no(
            method(&[VentMethod::Circuit, VentMethod::Combination]),
            "no circuit vent, no combination",
        ),
        "M106" => no(
            method(&[VentMethod::Combination]),
            "no combination drain and vent",
        ),
        "M107" => no(method(&[VentMethod::WasteStack]), "no waste stack vent"),
        "P103" => no(!job.pins.is_empty(), "nothing pinned"),
        "R101" => no(!job.made.groups.is_empty(), "no group"),
        "S101" => no(
            job.stacks.iter().any(|s| s.wall.is_some() && !s.existing),
            "no wall of a stack stated",
        ),
        "S102" | "S103" => no(joists(ctx), "no drain through joists").or_else(|| {
            let mut floors = job.floors.iter().filter(|f| f.joists.is_some());
            unknown(
                floors.all(|f| f.joists_run.is_some()),
                "which way the joists of every floor run",
            )
        }),
        "S104" => no(crate::drops::joists_laid_out(job), "no joists laid out"),
        "T101" => no(
            fixture(ctx, |k| k.needs_primer),
            "no trap that is seldom used",
        ),
        "T102" => weirs(ctx),
        "V103" => no(run(&[RunKind::BuildingDrain]), "no building drain"),
        "V101" => {
            no(ctx.sized(System::Vent).next().is_some(), "no vent").or_else(|| vent_lengths(ctx))
        }
        "V104" | "V105" => no(!job.vents.is_empty(), "no vent stated"),
        "V107" | "V108" => book(ctx.book.vent_stack_rule().is_some())
            .or_else(|| {
                let relief = ctx.book.vent_stack_rule().and_then(|r| r.relief.as_ref());
                book(code == "V107" || relief.is_some())
            })
            .or_else(|| no(!tall_stacks(ctx).is_empty(), "no stack so tall")),
        "V109" => {
            let rule = ctx.book.vent_stack_rule().and_then(|r| r.offset.as_ref());
            let aside = job.stacks.iter().any(|s| !s.offsets.is_empty());
            book(rule.is_some())
                .or_else(|| no(aside, "no offset of a stack"))
                .or_else(|| no(!tall_stacks(ctx).is_empty(), "no stack so tall"))
        }
        "W101" | "W102" => no(!job.waivers.is_empty(), "no waiver"),
        _ => None,
    }
}

fn fixture(ctx: &Context<'_>, is: impl Fn(&Kind) -> bool) -> bool {
    let mut kinds = ctx.job.fixtures.iter().filter_map(kind_of);
    kinds.any(is)
}

/// Whether any trap has an arm with the usual limits.
fn arms(ctx: &Context<'_>) -> bool {
    (0..ctx.net.traps.len()).any(|t| super::arms::limited(ctx, TrapIx(t)).is_some())
}

/// The trap arms of which no length is given.
fn arm_lengths(ctx: &Context<'_>) -> Option<Idle> {
    let levels = &ctx.solution.levels.pieces;
    let arms = (0..ctx.net.traps.len()).map(TrapIx);
    let arms = arms.filter_map(|t| Some((t, super::arms::limited(ctx, t)?)));
    let known = |arm| levels.get(&arm).is_some_and(|l| l.length.is_some());
    let (known, unknown): (Vec<_>, Vec<_>) = arms.partition(|(_, arm)| known(*arm));
    match known.is_empty() {
        true => Some(Idle::NotKnown("no length of a trap arm".to_owned())),
        false => partly(
            "no length is given of the trap arms of",
            fixtures(ctx, unknown.into_iter().map(|u| u.0)),
        ),
    }
}

/// The traps whose weir's level is not known.
fn weirs(ctx: &Context<'_>) -> Option<Idle> {
    let known: BTreeSet<TrapIx> = below_outlets(ctx).into_iter().map(|b| b.0).collect();
    let judged = |t: &TrapIx| {
        let kind = ctx.fixture(*t).and_then(kind_of);
        let arm = ctx.net.traps.get(t.0).and_then(|t| t.arm);
        arm.is_some() && kind.is_some_and(|k| !k.closet && !k.washer)
    };
    let traps = (0..ctx.net.traps.len()).map(TrapIx).filter(judged);
    let unknown: Vec<TrapIx> = traps.filter(|t| !known.contains(t)).collect();
    match known.is_empty() && !unknown.is_empty() {
        true => Some(Idle::NotKnown("no level of a trap".to_owned())),
        false => partly(
            "the level of the trap is not known of",
            fixtures(ctx, unknown.into_iter()),
        ),
    }
}

/// The sewers whose fall is not known: they are judged as if they lay at the book's least.
fn sewer_falls(ctx: &Context<'_>) -> Option<Idle> {
    let sewers = ctx.net.runs.iter().filter(|r| r.kind == RunKind::Sewer);
    let fall = |p: &PieceIx| ctx.solution.levels.pieces.get(p)?.fall;
    let known = |p: &PieceIx| fall(p).is_some_and(|f| f.ratio() > 0.0);
    let mut pieces = sewers.flat_map(|r| &r.pieces);
    pieces.any(|p| !known(p)).then(|| {
        let words = "its fall is not stated; nothing found at the book's least";
        Idle::NotKnown(words.to_owned())
    })
}

/// The vents of which some length is not given: they are checked as if they were short.
fn vent_lengths(ctx: &Context<'_>) -> Option<Idle> {
    let known = &ctx.solution.levels.vents;
    let short = ctx
        .sized(System::Vent)
        .filter(|(ix, ..)| !known.contains_key(ix));
    let runs = short.filter_map(|(_, piece, _)| Some(ctx.net.runs.get(piece.run.0)?.id.as_str()));
    partly("not all lengths are given of", runs.collect())
}

/// The names of the fixtures of some traps.
fn fixtures<'a>(ctx: &Context<'a>, traps: impl Iterator<Item = TrapIx>) -> Vec<&'a str> {
    let fixtures = traps.filter_map(|t| ctx.fixture(t));
    fixtures.map(|f| f.name.as_str()).collect()
}

/// That a rule did not look at all of its kind, with the names of those that it passed over.
fn partly(what: &str, mut passed: Vec<&str>) -> Option<Idle> {
    /// How many are named before the rest is counted.
    const NAMED: usize = 40;
    let mut seen = BTreeSet::new();
    passed.retain(|id| seen.insert(*id));
    let more = match passed.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    let named: Vec<&str> = passed.iter().take(NAMED).copied().collect();
    (!passed.is_empty()).then(|| {
        let all = named.join(", ");
        Idle::NotKnown(format!(
            "{what} {all}{more}; nothing found of what is known"
        ))
    })
}

fn manhole(ctx: &Context<'_>) -> bool {
    let sewers = ctx.job.exits.iter().filter_map(|e| e.sewer.as_ref());
    sewers.clone().any(|s| s.manhole_rim.is_some())
}

fn rooms(ctx: &Context<'_>) -> bool {
    let rooms = &ctx.solution.levels.rooms;
    rooms.keys().any(|p| !judged(ctx, *p).is_empty())
}

fn footings(ctx: &Context<'_>) -> bool {
    let mut exits = ctx.job.exits.iter();
    !ctx.job.footings.is_empty()
        || exits.any(|e| e.footing_top.is_some() || e.footing_bottom.is_some())
}

fn wet(ctx: &Context<'_>) -> bool {
    let mut traps = ctx.net.traps.iter();
    traps.any(|t| matches!(t.vent, VentMethod::Wet(_)))
}

/// Whether a drain goes between joists, by its level or as it is meant to.
fn joists(ctx: &Context<'_>) -> bool {
    let rooms = ctx.solution.levels.rooms.values();
    let bounds = rooms.flat_map(|r| [r.down, r.up, r.below]).flatten();
    let in_joists = |b: Bound| {
        matches!(
            b,
            Bound::Deck(_) | Bound::JoistBottom(_) | Bound::OverHole(_) | Bound::UnderHole(_)
        )
    };
    let mut bounds = bounds.map(|r| r.bound);
    bounds.any(in_joists) || !crate::levels::across(ctx.job, ctx.net).is_empty()
}
