//! Figures of the venting methods, out of a book or off a small job.

use stackfall::codebook::{Beyond, Book, Found};
use stackfall::units::{Demand, Length, Load, PipeSize};

use super::case::{Answer, Case, beyond};

type Given = Result<Answer, String>;

fn not_listed() -> Answer {
    Answer::Word("not listed".to_owned())
}

fn units(looked: Option<Result<Found<Load>, Beyond>>) -> Option<Result<Found<Demand>, Beyond>> {
    looked.map(|l| l.map(|f| f.map(Demand::Units)))
}

fn load(looked: Option<Result<Found<Demand>, Beyond>>) -> Answer {
    match looked {
        Some(Ok(found)) => found.value.number().into(),
        Some(Err(_)) => beyond(),
        None => not_listed(),
    }
}

/// The answer to a case, if it is of a kind of this file.
pub fn answer(kind: &str, case: &mut Case) -> Option<Given> {
    Some(match kind {
        "single stack" => single_stack(case),
        "closets on a single stack" => closets_on_single(case),
        "from a single stack, ft" => from_single(case),
        "waste stack" => by_size(case, |b, s| load(b.waste_stack(s))),
        "waste stack, interval" => by_size(case, |b, s| load(b.waste_stack_interval(s).map(Ok))),
        "combination" => {
            let building = case.yes("building");
            building.and_then(|b| by_size(case, |book, s| load(units(book.combination(s, b)))))
        }
        "circuit vent" => circuit(case),
        "combination rule" => combination(case),
        "upright wet vent" => upright(case),
        "takes" => takes(case),
        "by approval" => approval(case),
        _ => return None,
    })
}

fn by_size(case: &mut Case, look: impl Fn(&Book, PipeSize) -> Answer) -> Given {
    let (book, size) = (case.book()?, case.size("size")?);
    Ok(look(&book, size))
}

fn circuit(case: &mut Case) -> Given {
    let book = case.book()?;
    let what = case.text("what")?;
    let Some(rules) = book.circuit_rules() else {
        return Ok(not_listed());
    };
    let found = match what.as_str() {
        "fixtures" => Some(f64::from(rules.fixtures.value)),
        "most fall, in per ft" => rules.most_fall.as_ref().map(|f| f.value.inches_per_foot()),
        "relief from closets" => rules.relief_from.as_ref().map(|f| f64::from(f.value)),
        "relief by a drain of" => rules.relief_drain.as_ref().map(|f| f.value.dfu()),
        other => return Err(format!("no `{other}` of circuits")),
    };
    Ok(found.map_or_else(not_listed, Answer::Number))
}

fn combination(case: &mut Case) -> Given {
    let book = case.book()?;
    let what = case.text("what")?;
    let Some(rules) = book.combination_rules() else {
        return Ok(not_listed());
    };
    let found = match what.as_str() {
        "most fall, in per ft" => rules.most_fall.as_ref().map(|f| f.value.inches_per_foot()),
        "most drop, ft" => rules.most_drop.as_ref().map(|f| f.value.feet()),
        "larger by" => rules.larger_by.as_ref().map(|f| f64::from(f.value)),
        "vented over, ft" => rules.vented_over.as_ref().map(|f| f.value.feet()),
        "vent, part" => rules.vent_part.as_ref().map(|f| f.value),
        other => return Err(format!("no `{other}` of combinations")),
    };
    Ok(found.map_or_else(not_listed, Answer::Number))
}

fn upright(case: &mut Case) -> Given {
    let book = case.book()?;
    let what = case.text("what")?;
    let Some(rules) = book.upright_wet_rules() else {
        return Ok(not_listed());
    };
    Ok(Answer::Number(match what.as_str() {
        "most load" => rules.most_load.value.dfu(),
        "fixtures" => f64::from(rules.fixtures.value),
        "larger by" => f64::from(rules.larger_by.value),
        "least" => rules.least.value.inches(),
        other => return Err(format!("no `{other}` of upright wet vents")),
    }))
}

/// Whether a method of the book takes a fixture.
fn takes(case: &mut Case) -> Given {
    let book = case.book()?;
    let (method, kind) = (case.text("method")?, case.text("fixture")?);
    let with: Vec<String> = case.may_text("with")?.into_iter().collect();
    let found = book.methods().get(&method);
    let found = found.map(|m| Answer::Yes(m.refuses(&kind, &with).is_none()));
    Ok(found.unwrap_or_else(not_listed))
}

fn approval(case: &mut Case) -> Given {
    let book = case.book()?;
    let method = case.text("method")?;
    let found = book.methods().get(&method).map(|m| Answer::Yes(m.approval));
    Ok(found.unwrap_or_else(not_listed))
}

fn single_stack(case: &mut Case) -> Given {
    let (book, size) = (case.book()?, case.size("size")?);
    let height = case.may_number("high")?.map(Length::from_feet);
    Ok(load(book.single_stack(size, height)))
}

fn closets_on_single(case: &mut Case) -> Given {
    let (book, size) = (case.book()?, case.size("size")?);
    let most = book.single_stack_closets(size);
    Ok(most.map_or_else(not_listed, |m| f64::from(m.value).into()))
}

fn from_single(case: &mut Case) -> Given {
    let book = case.book()?;
    let (closet, by_tee) = (case.yes("closet")?, case.yes("by_tee")?);
    let most = book.single_stack_rules();
    let most = most.and_then(|r| r.distance(closet, by_tee));
    Ok(most.map_or_else(not_listed, |m| m.value.feet().into()))
}
