//! The schedules, one file a table; each in two forms: as lettered on a sheet, and as data for
//! CSV, with plain fractions and decimal lengths.

mod cleanouts;
mod findings;
mod fixtures;
mod floors;
mod levels;
mod loads;
mod pipes;
mod proposals;

use crate::job::{FloorIx, Job};
use crate::network::State;
use crate::units::{Fall, Length, PipeSize, Printer, UnitSystem, number};

use super::{Inputs, Table};

/// Every table as data, in the order of the set.
pub fn tables(set: &Inputs<'_>) -> Vec<Table> {
    all(set, Form::Data)
}

/// Every table as it is lettered on a sheet; empty ones are left out.
pub(super) fn lettered(set: &Inputs<'_>) -> Vec<Table> {
    all(set, Form::Sheet)
        .into_iter()
        .filter(|t| !t.rows.is_empty())
        .collect()
}

fn all(set: &Inputs<'_>, form: Form) -> Vec<Table> {
    let say = Say {
        print: Printer {
            units: set.job.units,
        },
        form,
    };
    vec![
        loads::loads(set, &say),
        fixtures::fixtures(set, &say),
        levels::levels(set, &say),
        cleanouts::cleanouts(set, &say),
        floors::floors(set, &say),
        findings::open(set, &say),
        findings::waived(set, &say),
        proposals::proposals(set, &say),
        pipes::pipes(set, &say),
    ]
}

/// For whom a table is.
#[derive(Clone, Copy, PartialEq)]
enum Form {
    Sheet,
    Data,
}

/// How a table says its figures.
struct Say {
    print: Printer,
    form: Form,
}

/// What stands where nothing is known.
const UNKNOWN: &str = "—";

impl Say {
    fn data(&self) -> bool {
        self.form == Form::Data
    }
    fn size(&self, s: Option<PipeSize>) -> String {
        let say = |s| {
            if self.data() {
                self.print.size_plain(s)
            } else {
                self.print.size(s)
            }
        };
        s.map_or_else(|| self.nothing(), say)
    }
    fn fall(&self, f: Option<Fall>) -> String {
        let say = |f| {
            if self.data() {
                self.print.fall_plain(f)
            } else {
                self.print.fall(f)
            }
        };
        f.map_or_else(|| self.nothing(), say)
    }
    fn length(&self, l: Option<Length>) -> String {
        let say = |l| {
            if self.data() {
                self.decimal(l)
            } else {
                self.print.length(l)
            }
        };
        l.map_or_else(|| self.nothing(), say)
    }
    fn level(&self, l: Option<Length>) -> String {
        let say = |l| {
            if self.data() {
                self.decimal(l)
            } else {
                self.print.level(l)
            }
        };
        l.map_or_else(|| self.nothing(), say)
    }
    /// A survey elevation: decimal feet or metres, as surveyors write it.
    fn elevation(&self, l: Option<Length>) -> String {
        l.map_or_else(
            || self.nothing(),
            |l| match self.print.units {
                UnitSystem::Feet => number(l.feet(), 2, true),
                UnitSystem::Metric => number(l.mm() / 1000.0, 3, true),
            },
        )
    }
    fn decimal(&self, l: Length) -> String {
        match self.print.units {
            UnitSystem::Feet => number(l.feet(), 3, true),
            UnitSystem::Metric => number(l.mm() / 1000.0, 3, true),
        }
    }
    /// The head of a column of lengths: data need their unit.
    fn in_unit(&self, head: &str) -> String {
        match (self.form, self.print.units) {
            (Form::Sheet, _) => head.to_owned(),
            (Form::Data, UnitSystem::Feet) => format!("{head} (ft)"),
            (Form::Data, UnitSystem::Metric) => format!("{head} (m)"),
        }
    }
    fn nothing(&self) -> String {
        if self.data() {
            String::new()
        } else {
            UNKNOWN.to_owned()
        }
    }
    /// A name with the mark of its state.
    fn marked(&self, name: &str, state: State) -> String {
        if self.data() {
            name.to_owned()
        } else {
            crate::captions::marked(name, state)
        }
    }
}

fn floor_name(job: &Job, floor: Option<FloorIx>) -> String {
    floor
        .and_then(|f| job.floors.get(f.0))
        .map(|f| f.name.clone())
        .unwrap_or_default()
}

/// Survey elevation of a level, where the job ties its zero to the survey.
fn surveyed(job: &Job, level: Option<Length>) -> Option<Length> {
    let zero = job.zero.as_ref()?.survey?;
    level.map(|l| zero + l)
}

fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}
