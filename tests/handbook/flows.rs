//! What drains and stacks carry by hydraulics.

use stackfall::sizing::hydraulics::{full_flow, manning, stack_flow, terminal_velocity};
use stackfall::units::Length;

use super::case::{Answer, Case};

type Given = Result<Answer, String>;

/// The answer to a case, if it is of a kind of this file.
pub fn answer(kind: &str, case: &mut Case) -> Option<Given> {
    Some(match kind {
        "drain flow, gpm" => drain_flow(case),
        "drain velocity, ft/s" => drain_velocity(case),
        "stack flow, gpm" => stack(case).map(|(bore, part)| stack_flow(bore, part).gpm().into()),
        "stack velocity, ft/s" => stack(case).map(|(bore, part)| {
            let v = terminal_velocity(stack_flow(bore, part), bore);
            v.feet_per_second().into()
        }),
        _ => return None,
    })
}

fn bore(case: &mut Case) -> Result<Length, String> {
    Ok(Length::from_inches(case.number("bore")?))
}

fn drain_flow(case: &mut Case) -> Given {
    let (bore, fall, n) = (bore(case)?, case.fall()?, case.number("n")?);
    let full = full_flow(bore, manning(bore, fall, n)).gpm();
    match case.text("depth")?.as_str() {
        "full" => Ok(full.into()),
        "half" => Ok((full / 2.0).into()),
        other => Err(format!("no depth `{other}`")),
    }
}

fn drain_velocity(case: &mut Case) -> Given {
    let (bore, fall, n) = (bore(case)?, case.fall()?, case.number("n")?);
    Ok(manning(bore, fall, n).feet_per_second().into())
}

fn stack(case: &mut Case) -> Result<(Length, f64), String> {
    Ok((bore(case)?, part(&case.text("part")?)?))
}

/// A part written as a fraction.
pub fn part(text: &str) -> Result<f64, String> {
    let (a, b) = text.split_once('/').ok_or("a part is a fraction")?;
    let number = |t: &str| t.parse::<f64>().map_err(|e| format!("{t}: {e}"));
    Ok(number(a)? / number(b)?)
}
