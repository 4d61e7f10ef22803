//! Look-ups in the tables of a book.

use stackfall::codebook::{Beyond, FixtureQuery, Found, GroupKind};
use stackfall::units::{Demand, Flow, Length, Load, PipeSize};

use super::case::{Answer, Case, beyond};

type Given = Result<Answer, String>;

fn number<T>(looked: Result<Found<T>, Beyond>, read: impl Fn(T) -> f64) -> Answer {
    match looked {
        Ok(found) => Answer::Number(read(found.value)),
        Err(Beyond {
            message, section, ..
        }) if !message.is_empty() && !section.is_empty() => beyond(),
        Err(silent) => Answer::Word(format!("a silent {silent:?}")),
    }
}

fn listed<T>(found: Option<Found<T>>, read: impl Fn(T) -> f64) -> Answer {
    match found {
        Some(found) => Answer::Number(read(found.value)),
        None => Answer::Word("not listed".to_owned()),
    }
}

/// The answer to a case, if it is of a kind of this file.
pub fn answer(kind: &str, case: &mut Case) -> Option<Given> {
    Some(match kind {
        "fixture load" | "fixture trap" | "fixture drain" => fixture(kind, case),
        "unlisted" => by_size(case, |b, s| number(b.unlisted(s), Load::dfu)),
        "flow" => flow(case),
        "receptor" => receptor(case),
        "group" => group(case),
        "baths" => baths(case),
        "least fall" => by_size(case, |b, s| {
            number(b.least_fall(s), |f| f.inches_per_foot())
        }),
        "building drain" => building_drain(case),
        "sewer, most" => sewer(case, true),
        "sewer, least" => sewer(case, false),
        "branch" => by_size(case, |b, s| number(b.branch(s), Demand::number)),
        "stack" => stack(case),
        "interval" => interval(case),
        "smallest" => smallest(case),
        "demand" => demand(case),
        "upright drain" => by_size(case, |b, s| match b.upright(s) {
            Some(looked) => number(looked, Demand::number),
            None => Answer::Word("not listed".to_owned()),
        }),
        "vent load" => by_size(case, |b, s| match b.vent_load(s) {
            Some(looked) => number(looked, Load::dfu),
            None => Answer::Word("not listed".to_owned()),
        }),
        "vent length" => by_size(case, |b, s| match b.vent_length(s) {
            Some(looked) => number(looked, Length::feet),
            None => Answer::Word("not listed".to_owned()),
        }),
        "closets, level" | "closets, upright" => {
            let upright = kind.ends_with("upright");
            by_size(case, |b, s| listed(b.closets_most(s, upright), f64::from))
        }
        "closet" => by_size(case, |b, s| Answer::Yes(b.closets_allowed(s).value)),
        "arm length" => by_size(case, |b, s| number(b.trap_arm(s), |a| a.length.feet())),
        "arm length, m" => by_size(case, |b, s| {
            number(b.trap_arm(s), |a| a.length.mm() / 1000.0)
        }),
        "arm fall, %" => by_size(case, |b, s| number(b.trap_arm(s), |a| a.fall.percent())),
        "least fall, %" => by_size(case, |b, s| number(b.least_fall(s), |f| f.percent())),
        "arm fall" => by_size(case, |b, s| {
            number(b.trap_arm(s), |a| a.fall.inches_per_foot())
        }),
        "stack vent" => stack_vent(case),
        "vent size" => vent_size(case),
        "common vent" => by_size(case, |b, s| number(b.common_vent(s), Load::dfu)),
        "wet vent" => by_size(case, |b, s| number(b.wet_vent(s), Load::dfu)),
        _ => return None,
    })
}

fn by_size(
    case: &mut Case,
    look: impl Fn(&stackfall::codebook::Book, PipeSize) -> Answer,
) -> Given {
    let (book, size) = (case.book()?, case.size("size")?);
    Ok(look(&book, size))
}

fn fixture(kind: &str, case: &mut Case) -> Given {
    let book = case.book()?;
    let word = case.text("fixture")?;
    let with: Vec<String> = case.may_text("with")?.into_iter().collect();
    let q = FixtureQuery {
        kind: &word,
        gpf: case.may_number("gpf")?,
        flow: case.may_number("gpm")?.map(Flow::from_gpm),
        with: &with,
        public: case.yes("public")?,
        emergency: case.yes("emergency")?,
        heads: case.may_number("heads")?.map(|n| n as u32),
        trap: case.may_size("trap")?,
    };
    if book.fixture_beyond(&q).is_some() {
        return Ok(beyond());
    }
    let found = book.fixture(&q);
    if kind == "fixture load" {
        return Ok(listed(found, |row| row.load.dfu()));
    }
    if kind == "fixture drain" {
        let drain = found.and_then(|f| f.value.drain);
        return Ok(drain.map_or_else(
            || Answer::Word("as its trap".to_owned()),
            |d| Answer::Number(d.inches()),
        ));
    }
    Ok(match found {
        None => Answer::Word("not listed".to_owned()),
        Some(found) => match found.value.trap {
            Some(trap) => Answer::Number(trap.inches()),
            None => Answer::Word("outlet".to_owned()),
        },
    })
}

fn flow(case: &mut Case) -> Given {
    let book = case.book()?;
    let found = book.flow_load(Flow::from_gpm(case.number("gpm")?));
    Ok(listed(found, Load::dfu))
}

fn receptor(case: &mut Case) -> Given {
    let book = case.book()?;
    if case.yes("clear_water")? {
        return Ok(listed(book.clear_water_receptor(), Load::dfu));
    }
    let own = Load::from_dfu(case.number("own")?);
    let drained = Load::from_dfu(case.number("drained")?);
    Ok(Answer::Number(book.receptor(own, drained).value.dfu()))
}

fn group(case: &mut Case) -> Given {
    let book = case.book()?;
    let over_1_6_gpf = case.yes("over_1_6_gpf")?;
    let word = case.text("group")?;
    let group = match word.as_str() {
        "full bath" => GroupKind::FullBath { over_1_6_gpf },
        "half bath" => GroupKind::HalfBath { over_1_6_gpf },
        "kitchen" => GroupKind::Kitchen,
        "laundry" => GroupKind::Laundry,
        other => return Err(format!("no group `{other}`")),
    };
    Ok(listed(book.group(group), Load::dfu))
}

fn baths(case: &mut Case) -> Given {
    let book = case.book()?;
    let halves = case.number("baths")? * 2.0;
    Ok(listed(book.baths(halves as u32), Load::dfu))
}

fn building_drain(case: &mut Case) -> Given {
    let (book, size, fall) = (case.book()?, case.size("size")?, case.fall()?);
    Ok(number(book.building_drain(size, fall), Demand::number))
}

/// Most or least load of a building sewer.
fn sewer(case: &mut Case, most: bool) -> Given {
    let (book, size, fall) = (case.book()?, case.size("size")?, case.fall()?);
    if !most {
        return Ok(listed(book.sewer_least(size, fall), Demand::number));
    }
    Ok(match book.sewer_most(size, fall) {
        Some(looked) => number(looked, Demand::number),
        None => Answer::Word("not listed".to_owned()),
    })
}

fn intervals(case: &mut Case) -> Result<u32, String> {
    Ok(case.number("intervals")? as u32)
}

fn stack(case: &mut Case) -> Given {
    let (book, size, intervals) = (case.book()?, case.size("size")?, intervals(case)?);
    Ok(number(book.stack(size, intervals), Demand::number))
}

fn interval(case: &mut Case) -> Given {
    let (book, size, intervals) = (case.book()?, case.size("size")?, intervals(case)?);
    Ok(match book.stack_interval(size, intervals) {
        Some(looked) => number(looked, Demand::number),
        None => Answer::Word("not listed".to_owned()),
    })
}

/// What a drain has to carry for a sum of units, the largest of them, and continuous flows; in the
/// measure of the book.
fn demand(case: &mut Case) -> Given {
    let book = case.book()?;
    let sum = Load::from_dfu(case.number("units")?);
    let largest = Load::from_dfu(case.may_number("largest")?.unwrap_or_default());
    let steady = case.may_number("steady")?.unwrap_or_default();
    let steady = Flow::from_litres_per_second(steady);
    Ok(Answer::Number(book.demand(sum, largest, steady).number()))
}

/// The smallest size of a table that carries a load: at a boundary the same size, just beyond it
/// the next.
fn smallest(case: &mut Case) -> Given {
    let book = case.book()?;
    let table = case.text("table")?;
    let asked = match book.by_flow() {
        true => Demand::Flow(Flow::from_litres_per_second(case.number("flow")?)),
        false => Demand::Units(Load::from_dfu(case.number("dfu")?)),
    };
    let fall = match table.as_str() {
        "building drain" => Some(case.fall()?),
        _ => None,
    };
    let intervals = match table.as_str() {
        "stack" | "interval" => intervals(case)?,
        _ => 0,
    };
    let units = |looked: Result<Found<Load>, Beyond>| looked.map(|f| f.map(Demand::Units));
    let carries = |size: PipeSize| -> Option<Demand> {
        let looked = match (table.as_str(), fall) {
            ("building drain", Some(fall)) => book.building_drain(size, fall),
            ("branch", _) => book.branch(size),
            ("stack", _) => book.stack(size, intervals),
            ("interval", _) => book.stack_interval(size, intervals)?,
            ("upright drain", _) => book.upright(size)?,
            ("vent", _) => units(book.vent_load(size)?),
            ("common vent", _) => units(book.common_vent(size)),
            ("wet vent", _) => units(book.wet_vent(size)),
            _ => return None,
        };
        looked.ok().map(|f| f.value)
    };
    let found = PipeSize::all().find(|&size| carries(size).is_some_and(|most| most.covers(asked)));
    Ok(found.map_or_else(beyond, |size| {
        Answer::Number(match book.by_flow() {
            true => f64::from(size.dn()),
            false => size.inches(),
        })
    }))
}

fn stack_vent(case: &mut Case) -> Given {
    let book = case.book()?;
    let (stack, vent) = (case.size("stack")?, case.size("vent")?);
    let load = Load::from_dfu(case.number("dfu")?);
    Ok(number(book.stack_vent(stack, load, vent), Length::feet))
}

fn vent_size(case: &mut Case) -> Given {
    let (book, drain) = (case.book()?, case.size("drain")?);
    let length = case.may_number("feet")?.map(Length::from_feet);
    let size = book.vent_rule().size(drain, length);
    Ok(size.map_or_else(beyond, |s| Answer::Number(s.inches())))
}
