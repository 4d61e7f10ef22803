//! Rules that are single figures, fittings, sections and pipe dimensions.

use stackfall::catalogue;
use stackfall::codebook::{Book, Turn};

use super::case::{Answer, Case};

type Given = Result<Answer, String>;

/// The answer to a case, if it is of a kind of this file.
pub fn answer(kind: &str, case: &mut Case) -> Option<Given> {
    Some(match kind {
        "rule" => rule(case),
        "cleanout size" => cleanout(case, |b, s| b.cleanouts().size(s).value.inches()),
        "cleanout clearance" => cleanout(case, |b, s| b.cleanouts().clearance(s).value.inches()),
        "fitting" => fitting(case),
        "method" => method(case),
        "section" => section(case),
        "bore" | "outside" => pipe(kind, case),
        "kind" => fixture_kind(case),
        _ => return None,
    })
}

fn rule(case: &mut Case) -> Given {
    let book = case.book()?;
    let name = case.text("rule")?;
    let (cleanouts, terminal) = (book.cleanouts(), book.terminal());
    let (traps, arms, wet) = (book.trap_rules(), book.arm_rules(), book.wet_vent_rules());
    let not_listed = || Answer::Word("not listed".to_owned());
    let test = || book.test().ok_or_else(|| "no tests in the book".to_owned());
    let inches = |l: stackfall::units::Length| Answer::Number(l.inches());
    Ok(match name.as_str() {
        "test: head, ft" => Answer::Number(test()?.water.head.value.feet()),
        "test: head over the highest fitting" => Answer::Yes(test()?.water.over_fittings.value),
        "test: water held, minutes" => Answer::Number(f64::from(test()?.water.held.value)),
        "test: air, psi" => Answer::Number(test()?.air.pressure.value.psi()),
        "test: air held, minutes" => Answer::Number(f64::from(test()?.air.held.value)),
        "test: air on plastic pipe" => Answer::Yes(test()?.air.on_plastic.value),
        "test: smoke, in of water" => {
            (test()?.smoke.as_ref()).map_or_else(not_listed, |s| inches(s.column.value))
        }
        "test: smoke held, minutes" => (test()?.smoke.as_ref())
            .map_or_else(not_listed, |s| Answer::Number(f64::from(s.held.value))),
        "cleanout spacing, ft" => Answer::Number(cleanouts.spacing.value.feet()),
        "cleanout at junction within, ft" => Answer::Number(cleanouts.junction_within.value.feet()),
        "cleanout at turns over, degrees" => Answer::Number(cleanouts.turn_degrees.value),
        "cleanout for turns within, ft" => Answer::Number(cleanouts.turn_reach.value.feet()),
        "cleanout at the base of each stack" => Answer::Yes(cleanouts.base_of_stack.value),
        "tie-in above rim, in" => inches(book.tie_in().value),
        "terminal above roof, in" => inches(terminal.above_roof.value),
        "terminal above roof against frost, in" => inches(terminal.above(true).value),
        "cleanout at upper ends from, ft" => (cleanouts.upper_end.as_ref())
            .map_or_else(not_listed, |f| Answer::Number(f.value.feet())),
        "cleanout turns added up" => Answer::Yes(cleanouts.turns_added),
        "closet vent, in" => (book.vent_rule().least_closet.as_ref())
            .map_or_else(not_listed, |f| Answer::Number(f.value.inches())),
        "closet arm, ft" => {
            (arms.closet_arm.as_ref()).map_or_else(not_listed, |f| Answer::Number(f.value.feet()))
        }
        "vents outdoors added up" => Answer::Yes(book.vent_rule().building_vent.together),
        "wet vent, drains upstream of the dry vent" => wet.map_or_else(not_listed, |w| {
            Answer::Number(f64::from(w.upstream_of_dry_vent.value))
        }),
        "terminal above walked roof, ft" => Answer::Number(terminal.above_walked_roof.value.feet()),
        "frost size, in" => Answer::Number(terminal.frost.value.inches()),
        "terminal from openings, ft" => Answer::Number(terminal.from_openings.value.feet()),
        "terminal above openings, ft" => Answer::Number(terminal.above_openings.value.feet()),
        "terminal below openings, ft" => terminal
            .below_openings
            .as_ref()
            .map_or_else(not_listed, |f| Answer::Number(f.value.feet())),
        "seal, least, in" => inches(traps.seal_least.value),
        "seal, most, in" => inches(traps.seal_most.value),
        "outlet to weir, in" => inches(traps.outlet_to_weir.value),
        "outlet to trap, in" => {
            (traps.outlet_to_trap.as_ref()).map_or_else(not_listed, |f| inches(f.value))
        }
        "standpipe, least, in" => inches(traps.standpipe_least.value),
        "standpipe, most, in" => inches(traps.standpipe_most.value),
        "floor drain seal kept" => Answer::Yes(traps.primer.value),
        "arm fall, diameters" => {
            (arms.fall_diameters.as_ref()).map_or_else(not_listed, |f| Answer::Number(f.value))
        }
        "vent from weir, diameters" => Answer::Number(arms.crown_diameters.value),
        "closet arms exempt" => Answer::Yes(arms.closet_exempt.value),
        "wet vent, bathroom groups" => {
            wet.map_or_else(not_listed, |w| Answer::Number(f64::from(w.groups.value)))
        }
        "wet vent, closet need not be last" => {
            wet.map_or_else(not_listed, |w| Answer::Yes(w.closet_anywhere.value))
        }
        "washer branch, in" => book
            .washer_branch()
            .map_or_else(not_listed, |f| Answer::Number(f.value.inches())),
        "branch interval, ft" => Answer::Number(book.branch_interval_height().value.feet()),
        "branch below stack base, diameters" => book
            .heel_distance()
            .map_or_else(not_listed, |f| Answer::Number(f.value)),
        "discharge from stack base, ft" => book
            .discharge_distance()
            .map_or_else(not_listed, |f| Answer::Number(f.value.feet())),
        "stack vent table" => Answer::Yes(book.has_stack_vent_table()),
        "fixtures on a 1 1/2 in building drain" => {
            let size = stackfall::units::PipeSize::from_inches(1.5).ok_or("no size")?;
            book.building_drain_fixtures(size)
                .map_or_else(not_listed, |f| Answer::Number(f64::from(f.value)))
        }
        "vent stack from branch intervals" => book
            .vent_stack_rule()
            .filter(|r| !r.by_storeys)
            .map_or_else(not_listed, |r| Answer::Number(f64::from(r.from.value))),
        "vent stack from storeys" => book
            .vent_stack_rule()
            .filter(|r| r.by_storeys)
            .map_or_else(not_listed, |r| Answer::Number(f64::from(r.from.value))),
        "vent stack from the base within, diameters" => book
            .vent_stack_rule()
            .and_then(|r| r.within.as_ref())
            .map_or_else(not_listed, |f| Answer::Number(f.value)),
        "offset vent from branch intervals" => book
            .vent_stack_rule()
            .and_then(|r| r.offset.as_ref())
            .map_or_else(not_listed, |r| Answer::Number(f64::from(r.from.value))),
        "relief vent each" => relief(&book, |r| f64::from(r.each.value)),
        "relief vents over" => relief(&book, |r| f64::from(r.over.value)),
        "relief vent above its floor, in" => relief(&book, |r| r.head.value.inches()),
        other => return Err(format!("unknown rule `{other}`")),
    })
}

fn relief(book: &Book, read: impl Fn(&stackfall::codebook::ReliefRule) -> f64) -> Answer {
    let rule = book.vent_stack_rule().and_then(|r| r.relief.as_ref());
    let not_listed = || Answer::Word("not listed".to_owned());
    rule.map_or_else(not_listed, |r| Answer::Number(read(r)))
}

fn cleanout(case: &mut Case, read: impl Fn(&Book, stackfall::units::PipeSize) -> f64) -> Given {
    let (book, size) = (case.book()?, case.size("pipe")?);
    Ok(Answer::Number(read(&book, size)))
}

/// `yes`, `no`, or what limits it.
fn fitting(case: &mut Case) -> Given {
    let (book, name) = (case.book()?, case.text("fitting")?);
    let turn = match case.text("turn")?.as_str() {
        "horizontal to vertical" => Turn::HorizontalToVertical,
        "vertical to horizontal" => Turn::VerticalToHorizontal,
        "horizontal to horizontal" => Turn::HorizontalToHorizontal,
        other => return Err(format!("unknown turn `{other}`")),
    };
    let Some(found) = book.fitting(&name, turn) else {
        return Ok(Answer::Word("not listed".to_owned()));
    };
    let told = found.value;
    let size =
        |s: Option<stackfall::units::PipeSize>| s.map(stackfall::units::PipeSize::trade_name);
    Ok(Answer::Word(match told {
        t if !t.allowed => "no".to_owned(),
        t => match (
            size(t.fixture_drain_to),
            size(t.sizes_from),
            t.double_limits,
        ) {
            (None, None, false) => "yes".to_owned(),
            (None, None, true) => "double limits".to_owned(),
            (Some(to), None, _) => format!("fixture drain to {to}"),
            (Some(to), Some(from), _) => format!("fixture drain to {to}, or {from} and larger"),
            (None, Some(from), _) => format!("{from} and larger"),
        },
    }))
}

fn method(case: &mut Case) -> Given {
    let (book, word) = (case.book()?, case.text("method")?);
    let found = book.methods().get(&word);
    Ok(found.map_or_else(
        || Answer::Word("not listed".to_owned()),
        |m| Answer::Yes(m.usual),
    ))
}

fn section(case: &mut Case) -> Given {
    let (book, topic) = (case.book()?, case.text("topic")?);
    let found = book.section(&topic).unwrap_or("not listed");
    Ok(Answer::Word(found.to_owned()))
}

fn pipe(kind: &str, case: &mut Case) -> Given {
    let (material, size) = (case.text("material")?, case.size("size")?);
    let found = match kind {
        "bore" => catalogue::bore(&material, size),
        _ => catalogue::outside(&material, size),
    };
    Ok(found.map_or_else(
        || Answer::Word("not listed".to_owned()),
        |d| Answer::Number(d.value.inches()),
    ))
}

fn fixture_kind(case: &mut Case) -> Given {
    let (word, asked) = (case.text("word")?, case.text("asked")?);
    let kind = catalogue::kind(&word).ok_or_else(|| format!("no kind `{word}`"))?;
    Ok(Answer::Yes(match asked.as_str() {
        "needs primer" => kind.needs_primer,
        "self-siphoning" => kind.self_siphoning,
        "bathroom group" => kind.bath_group,
        other => return Err(format!("unknown question `{other}`")),
    }))
}
