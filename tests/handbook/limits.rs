//! What the findings measure by: figures of a book or of practice, turned into a length on site.

use stackfall::catalogue;
use stackfall::units::{Length, PipeSize};

use super::case::{Answer, Case};

type Given = Result<Answer, String>;

/// The answer to a case, if it is of a kind of this file.
pub fn answer(kind: &str, case: &mut Case) -> Option<Given> {
    Some(match kind {
        "clear of a stack base, in" => clear_of_base(case),
        "vent from weir, in" => vent_from_weir(case),
        "building vent, in" => building_vent(case),
        "vent turns at, in" => vent_turns(case),
        "lowest weir, in" => lowest_weir(case),
        "judged by the floor" => judged_by_floor(case),
        "steepest fall" => steepest(case),
        "agreement, in" => agreement(),
        "stud, in" => stud(case),
        "at hubs, in" => at_hubs(case),
        "fits its wall" => fits(case),
        "sleeve, in" => sleeve(case),
        "sawn joist" => sawn_joist(case),
        "largest hole, in" => largest_hole(case),
        "wood at a hole, in" => wood(case),
        _ => return None,
    })
}

/// So far below the base of a stack of this size nothing joins.
fn clear_of_base(case: &mut Case) -> Given {
    let (book, stack) = (case.book()?, case.size("stack")?);
    let heel = book.heel_distance().ok_or("no such rule")?;
    Ok(Answer::Number(stack.inches() * heel.value))
}

/// No vent stands nearer to the weir of a trap with an arm of this size.
fn vent_from_weir(case: &mut Case) -> Given {
    let (book, arm) = (case.book()?, case.size("arm")?);
    let diameters = book.arm_rules().crown_diameters.value;
    Ok(Answer::Number(arm.inches() * diameters))
}

/// The smallest size of the list that vents a building drain of this size.
fn building_vent(case: &mut Case) -> Given {
    let (book, drain) = (case.book()?, case.size("drain")?);
    let rule = book.vent_rule();
    let half = drain.inches() * rule.building_vent.part.value;
    let least = PipeSize::all().find(|s| s.inches() + 1e-9 >= half);
    let least = least.ok_or("no size is large enough")?;
    Ok(Answer::Number(least.max(rule.least.value).inches()))
}

/// Where above the floor a dry vent of a fixture with this rim may turn level.
fn vent_turns(case: &mut Case) -> Given {
    let (book, rim) = (case.book()?, case.number("rim")?);
    Ok(Answer::Number(rim + book.tie_in().value.inches()))
}

/// How low above the floor the weir of a bowl with this rim may lie, if it is the deepest of its
/// kind.
fn lowest_weir(case: &mut Case) -> Given {
    let (book, rim) = (case.book()?, case.number("rim")?);
    let word = case.text("fixture")?;
    let kind = catalogue::kind(&word).ok_or_else(|| format!("no kind `{word}`"))?;
    let bowl = kind.deepest_bowl.map_or(Length::ZERO, |b| b.height);
    let most = book.trap_rules().outlet_to_weir.value;
    Ok(Answer::Number(rim + (bowl - most).inches()))
}

fn judged_by_floor(case: &mut Case) -> Given {
    let by_floor = case.book()?.backwater_by_floor().ok_or("no such rule")?;
    Ok(Answer::Yes(by_floor.value))
}

/// Whether a drain may fall so by common practice.
fn steepest(case: &mut Case) -> Given {
    let (fall, limit) = (case.fall()?, catalogue::steepest().ok_or("no limit")?.0);
    Ok(Answer::Yes(
        fall.ratio() <= limit.ratio() || fall.same(limit),
    ))
}

fn agreement() -> Given {
    let found = catalogue::agreement().ok_or("no figure")?;
    Ok(Answer::Number(found.value.inches()))
}

fn stud(case: &mut Case) -> Given {
    let found = catalogue::stud_wall(&case.text("wall")?);
    Ok(found.map_or_else(
        || Answer::Word("not listed".to_owned()),
        |w| Answer::Number(w.depth.value.inches()),
    ))
}

fn at_hubs(case: &mut Case) -> Given {
    let found = catalogue::at_hubs(&case.text("material")?, case.size("size")?);
    Ok(found.map_or_else(
        || Answer::Word("not listed".to_owned()),
        |d| Answer::Number(d.value.inches()),
    ))
}

fn fits(case: &mut Case) -> Given {
    let hubs = catalogue::at_hubs(&case.text("material")?, case.size("size")?);
    let wall = catalogue::stud_wall(&case.text("wall")?);
    let (hubs, wall) = hubs.zip(wall).ok_or("not in the catalogue")?;
    Ok(Answer::Yes(hubs.value <= wall.depth.value))
}

/// The sleeve in which a pipe of this size goes through a foundation wall.
fn sleeve(case: &mut Case) -> Given {
    let (book, pipe) = (case.book()?, case.size("pipe")?);
    let found = book.sleeve(pipe).ok_or("no such rule")?;
    Ok(Answer::Number(found.value.inches()))
}

/// What joists of this depth are called.
fn sawn_joist(case: &mut Case) -> Given {
    let depth = Length::from_inches(case.number("depth")?);
    let name = catalogue::sawn_joist(depth).unwrap_or("not listed");
    Ok(Answer::Word(name.to_owned()))
}

/// The largest hole that joists of this depth take.
fn largest_hole(case: &mut Case) -> Given {
    let (book, depth) = (case.book()?, case.number("depth")?);
    let rules = book.joists().ok_or("no such rule")?;
    Ok(Answer::Number(depth * rules.hole.value))
}

/// What stays between a hole and what is beside it.
fn wood(case: &mut Case) -> Given {
    let (book, beside) = (case.book()?, case.text("beside")?);
    let rules = book.joists().ok_or("no such rule")?;
    let found = match beside.as_str() {
        "edge" => &rules.edge,
        "hole" => &rules.apart,
        other => return Err(format!("unknown neighbour `{other}`")),
    };
    Ok(Answer::Number(found.value.inches()))
}
