//! Figures of the venting methods, out of a book or off a small job.

use stackfall::codebook::{Beyond, Found};
use stackfall::units::{Demand, Length};

use super::case::{Answer, Case, beyond};

type Given = Result<Answer, String>;

fn not_listed() -> Answer {
    Answer::Word("not listed".to_owned())
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
        _ => return None,
    })
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
