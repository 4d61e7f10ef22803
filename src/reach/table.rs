//! Reaches in words.

use super::{Laid, Push, Reach, Stop, Work, of_drain, reach};
use crate::levels::bounds;
use crate::sheets::Table;
use crate::units::{Length, Printer, UnitSystem};

/// The reach of every drain.
pub fn all(work: &Work<'_>) -> Table {
    table(work, reach(work))
}

/// The reach of one drain of the job at each legal size and fall; none where the job has no such
/// drain.
pub fn one(work: &Work<'_>, drain: &str) -> Option<Table> {
    super::has_end(work.net, work.net.run_by_id(drain)?).then_some(())?;
    Some(table(work, of_drain(work, drain)))
}

fn table(work: &Work<'_>, all: Vec<Reach>) -> Table {
    let head = ["Drain", "Laid", "Size", "Fall", "Farther", "Stopped by"];
    Table {
        name: "reach",
        title: "Reach".to_owned(),
        head: head.map(str::to_owned).to_vec(),
        rows: all.iter().map(|r| row(work, r)).collect(),
        foot: vec![
            "Farther: how much longer the drain could be at its end, with what stands on it, before \
             the first thing stops it. A drain that gains nothing by laying all at the least falls \
             has one line."
                .to_owned(),
        ],
        ..Table::default()
    }
}

fn row(work: &Work<'_>, r: &Reach) -> Vec<String> {
    let print = Printer {
        units: work.job.units,
    };
    let words = |bound| bounds::words(work.job, work.net, bound);
    let (farther, stopped) = match &r.push {
        Push::By(by, Stop::Depth(bound)) => (whole(&print, *by), words(*bound)),
        Push::By(by, Stop::Cleanout(depth)) => {
            let spacing = work.book.cleanouts().spacing.clone();
            let most = print.length(spacing.value);
            let mut why = format!("cleanouts, {most} apart at most ({})", spacing.cite());
            if let Some((by, bound)) = depth {
                let beyond = (whole(&print, *by), words(*bound));
                why += &format!("; with a further one {}, {}", beyond.0, beyond.1);
            }
            (whole(&print, *by), why)
        }
        Push::By(by, Stop::Joist(floor)) => {
            let floor = work
                .job
                .floors
                .get(floor.0)
                .map_or("?", |f| f.name.as_str());
            let why = format!("the next joist of {floor}, which it would go through");
            (whole(&print, *by), why)
        }
        Push::By(by, Stop::Footing(name)) => (whole(&print, *by), format!("footing {name}")),
        Push::Short(by, bound) => (
            "none".to_owned(),
            format!(
                "{}: short by {} already",
                words(*bound),
                print.short(print.rounded_up(*by))
            ),
        ),
        Push::Unknown(why) => ("—".to_owned(), (*why).to_owned()),
    };
    let laid = match r.laid {
        Laid::AsItIs => "as it is",
        Laid::AllAtLeast => "all at the least falls",
        Laid::Again => "at this size and fall",
    };
    vec![
        r.run.clone(),
        laid.to_owned(),
        r.size.map_or(String::new(), |s| print.size_plain(s)),
        r.fall.map_or(String::new(), |f| print.fall_plain(f)),
        farther,
        stopped,
    ]
}

/// A length that is there to be used: never more than it is, to the inch or the centimetre.
fn whole(print: &Printer, length: Length) -> String {
    let step = match print.units {
        UnitSystem::Feet => Length::from_inches(1.0),
        UnitSystem::Metric => Length::from_mm(10.0),
    };
    print.length(step * (length / step + 1e-6).floor())
}
