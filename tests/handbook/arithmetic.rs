//! Falls, offsets and trap arms as arithmetic on the types of the units.

use stackfall::units::{Demand, Fall, Length, Load};

use super::case::{Answer, Case};

type Given = Result<Answer, String>;

/// The answer to a case, if it is of a kind of this file.
pub fn answer(kind: &str, case: &mut Case) -> Option<Given> {
    Some(match kind {
        "drop, in" => drop_over(case).map(|l| Answer::Number(l.inches())),
        "drop, ft" => drop_over(case).map(|l| Answer::Number(l.feet())),
        "drop, mm" => drop_over(case).map(|l| Answer::Number(l.mm())),
        "fall in inches per foot" => case.fall().map(|f| Answer::Number(f.inches_per_foot())),
        "fall in percent" => case.fall().map(|f| Answer::Number(f.percent())),
        "offset travel, in" => offset(case, |o| o.travel),
        "offset advance, in" => offset(case, |o| o.advance),
        "offset set from travel, in" => set_from_travel(case),
        "rolling offset, in" => rolling(case, 1.0),
        "rolling travel, in" => rolling(case, 2f64.sqrt()),
        "arm fall over its full length, in" => arm_over_full_length(case),
        "arm fall within one diameter" => arm_property(case),
        "groups that fit a branch" => groups_on_branch(case),
        "practice fall meets the book" => practice_fall(case),
        _ => return None,
    })
}

fn drop_over(case: &mut Case) -> Result<Length, String> {
    let fall = case.fall()?;
    Ok(fall.over(case.length()?))
}

struct Offset {
    travel: Length,
    advance: Length,
}

/// `T = S / sin a`, `A = S / tan a` for the bends of the trade; sines by square roots only, as
/// the tool's own geometry has them.
fn offset(case: &mut Case, read: impl Fn(Offset) -> Length) -> Given {
    let set = Length::from_inches(case.number("set")?);
    let degrees = case.number("degrees")?;
    let (travel, advance) = if degrees == 60.0 {
        (2.0 / 3f64.sqrt(), 1.0 / 3f64.sqrt())
    } else if degrees == 45.0 {
        (2f64.sqrt(), 1.0)
    } else if degrees == 22.5 {
        ((4.0 + 2.0 * 2f64.sqrt()).sqrt(), 1.0 + 2f64.sqrt())
    } else {
        return Err(format!("no bend of {degrees} degrees"));
    };
    let offset = Offset {
        travel: set * travel,
        advance: set * advance,
    };
    Ok(Answer::Number(read(offset).inches()))
}

fn set_from_travel(case: &mut Case) -> Given {
    let travel = Length::from_inches(case.number("travel")?);
    Ok(Answer::Number((travel / 2f64.sqrt()).inches()))
}

/// The true offset of a rise and a roll, times the travel's factor.
fn rolling(case: &mut Case, factor: f64) -> Given {
    let (rise, roll) = (case.number("rise")?, case.number("roll")?);
    let (rise, roll) = (Length::from_inches(rise), Length::from_inches(roll));
    let square =
        (rise / Length::from_inches(1.0)).powi(2) + (roll / Length::from_inches(1.0)).powi(2);
    Ok(Answer::Number(
        (Length::from_inches(square.sqrt()) * factor).inches(),
    ))
}

fn arm_over_full_length(case: &mut Case) -> Given {
    let (book, size, fall) = (case.book()?, case.size("size")?, case.fall()?);
    let arm = book.trap_arm(size).map_err(|b| b.message)?.value;
    Ok(Answer::Number(fall.over(arm.length).inches()))
}

/// At the given fall, over the table's whole length, an arm of every listed size falls no more
/// than the book's part of its diameter.
fn arm_property(case: &mut Case) -> Given {
    let (book, fall) = (case.book()?, case.fall()?);
    let most = (book.arm_rules().fall_diameters.as_ref())
        .ok_or("no such rule")?
        .value;
    let mut looked_at = 0;
    let mut all = true;
    for size in stackfall::units::PipeSize::all() {
        let Ok(arm) = book.trap_arm(size) else {
            continue;
        };
        looked_at += 1;
        let diameters = fall.over(arm.value.length).inches() / size.inches();
        all &= diameters <= most + 1e-9;
    }
    if looked_at != 5 {
        return Err(format!("{looked_at} sizes in the table"));
    }
    Ok(Answer::Yes(all))
}

/// How many bathroom groups of a load one branch carries.
fn groups_on_branch(case: &mut Case) -> Given {
    let (book, size) = (case.book()?, case.size("size")?);
    let group = Load::from_dfu(case.number("dfu")?);
    let most = book.branch(size).map_err(|b| b.message)?.value;
    let mut sum = Load::ZERO;
    let mut count = 0;
    while most.covers(Demand::Units(sum + group)) && count < 1000 {
        sum += group;
        count += 1;
    }
    Ok(Answer::Number(f64::from(count)))
}

fn practice_fall(case: &mut Case) -> Given {
    let (book, size, fall): (_, _, Fall) = (case.book()?, case.size("size")?, case.fall()?);
    let least = book.least_fall(size).map_err(|b| b.message)?.value;
    Ok(Answer::Yes(book.meets(fall, least)))
}
