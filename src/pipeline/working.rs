//! The working papers: made from the same result as the permit sheets, so that no figure can
//! differ between them.

use super::Solved;
use crate::crew::{self, CrewSheet};
use crate::diagnostics::{Diagnostic, Severity};
use crate::drops;
use crate::inspection::{self, Verdict};
use crate::profile;
use crate::sheets::{self, CrewPage, Document, Form, Paper, Purpose, Say, Scene, SheetSet, Table};
use crate::takeoff;
use crate::units::{Printer, UnitSystem};
use crate::water_test;

/// The tables of the permit sheets that an inspector has beside the list.
const BESIDE: [&str; 6] = [
    "changes",
    "standing",
    "fixtures",
    "findings",
    "waivers",
    "proposals",
];
/// The one that says how the work stands: it stands on the papers that the work is built from.
const STANDING: [&str; 1] = ["standing"];

/// A working paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Working {
    /// The list of material.
    Takeoff,
    /// The plan of the rough-in test.
    Test,
    /// The inspector's list.
    Inspector,
    /// The crew's sheets.
    Crew,
    /// The holes to lay out.
    Drops,
    /// The building drains as long sections.
    Profile,
}

impl Working {
    /// Its word: the folder below the job's that it is written into.
    pub fn word(self) -> &'static str {
        self.purpose().word()
    }

    fn purpose(self) -> Purpose {
        match self {
            Working::Takeoff => Purpose::Takeoff,
            Working::Test => Purpose::Test,
            Working::Inspector => Purpose::Inspector,
            Working::Crew => Purpose::Crew,
            Working::Drops => Purpose::Drops,
            Working::Profile => Purpose::Profile,
        }
    }
}

/// A working paper, made.
pub struct WorkingPaper {
    /// Its sheets.
    pub set: SheetSet,
    /// Its tables as data.
    pub tables: Vec<Table>,
    /// Its tables as a terminal shows them.
    pub shown: Vec<Table>,
    /// What is to be said about it.
    pub said: Vec<Diagnostic>,
}

impl Solved {
    /// Makes a working paper; on tabloid or A3 if no paper is named.
    ///
    /// None where the job's book says nothing of what it is about.
    pub fn working(&self, what: Working, paper: Option<Paper>) -> Option<WorkingPaper> {
        // What of the crew's drawing cannot be cut may take a larger one.
        let usual = match self.job.units {
            UnitSystem::Feet => ["ansi-b", "ansi-c", "arch-d", "arch-e"],
            UnitSystem::Metric => ["a3", "a2", "a1", "a0"],
        };
        let papers: Vec<Paper> = match paper {
            Some(paper) => vec![paper],
            None => usual.iter().filter_map(|p| sheets::paper(p)).collect(),
        };
        let paper = papers.first().copied().unwrap_or(self.paper);
        let say = |form| Say {
            print: Printer {
                units: self.job.units,
            },
            form,
        };
        let (sheet, data, terminal) = (say(Form::Sheet), say(Form::Data), say(Form::Terminal));
        let inputs = sheets::Inputs {
            paper,
            ..self.inputs()
        };
        let mut drawings = Vec::new();
        let (title, tables, notes, as_data, shown) = match what {
            Working::Crew => return Some(self.crew(&papers, &data, &terminal)),
            Working::Takeoff => {
                let list = takeoff::takeoff(&self.work());
                (
                    "LIST OF MATERIAL",
                    takeoff::tables(&list, &sheet),
                    self.with_errors(takeoff::notes(&list, &sheet)),
                    takeoff::tables(&list, &data),
                    takeoff::tables(&list, &terminal),
                )
            }
            Working::Drops => {
                let list = drops::drops(&self.work());
                let (plans, mut rest) = drops::drawings(&inputs, &list, &sheet);
                drawings = plans;
                rest.extend(self.of_permit(Form::Sheet, &STANDING));
                (
                    "DROPS",
                    rest,
                    self.with_errors(self.with_changes(drops::notes(&list, &sheet))),
                    drops::tables(&list, &data),
                    drops::tables(&list, &terminal),
                )
            }
            Working::Inspector => {
                let list = inspection::inspection(&self.work(), &self.found);
                let whole = |say: &Say| {
                    // What was found, and the signature, go before what is looked at.
                    let (found, rest): (Vec<Table>, Vec<Table>) =
                        (self.beside(say.form).into_iter()).partition(|t| t.name == "findings");
                    let mut tables = vec![inspection::verdict(&list)];
                    tables.extend(inspection::sign_off(say));
                    tables.extend(found);
                    tables.extend(inspection::tables(&list, say));
                    tables.extend(rest);
                    // Who walks the site needs them last.
                    tables.push(inspection::rules(&list));
                    tables
                };
                (
                    "INSPECTION LIST",
                    whole(&sheet),
                    self.with_errors(inspection::notes(&list)),
                    whole(&data),
                    whole(&terminal),
                )
            }
            Working::Profile => {
                let all = profile::profiles(&self.work());
                let mut undrawn = Vec::new();
                for one in &all {
                    let drawn = profile::drawings(&inputs, one);
                    if drawn.is_empty() || one.missing.is_some() {
                        undrawn.push(one.clone());
                    }
                    drawings.extend(drawn);
                }
                // The figures of what is drawn whole stand below it.
                let tables = match undrawn.is_empty() {
                    true => Vec::new(),
                    false => profile::tables(&undrawn, &sheet),
                };
                let mut notes = profile::notes(&all, &self.job, &sheet);
                notes.extend(self.standing_in_words());
                (
                    "LEVELS PROFILE",
                    tables,
                    self.with_errors(self.with_changes(notes)),
                    profile::tables(&all, &data),
                    profile::tables(&all, &terminal),
                )
            }
            Working::Test => {
                let test = water_test::water_test(&self.work())?;
                (
                    "ROUGH-IN TEST",
                    water_test::tables(&test, &sheet),
                    self.with_errors(water_test::notes(&test, &sheet)),
                    water_test::tables(&test, &data),
                    water_test::tables(&test, &terminal),
                )
            }
        };
        let document = Document {
            purpose: what.purpose(),
            title,
            drawings,
            tables,
            notes,
        };
        Some(WorkingPaper {
            set: sheets::document(&inputs, document),
            tables: as_data,
            shown,
            said: Vec::new(),
        })
    }

    /// The crew's sheets, on the first of some papers that holds them.
    fn crew(&self, papers: &[Paper], data: &Say, terminal: &Say) -> WorkingPaper {
        let work = self.work();
        let drawn = super::crew::drawn(&work, papers);
        let sheets: Vec<CrewSheet> = drawn.sheets.iter().map(|s| s.0.clone()).collect();
        let errors = self.errors().map(|(count, codes)| {
            let stand = if count == 1 {
                "error stands"
            } else {
                "errors stand"
            };
            let at = self
                .errors_at()
                .map_or_else(String::new, |at| format!(" at {at}"));
            format!("Do not build yet: {count} {stand} ({codes}{at}), see the inspector's list")
        });
        let page = |(sheet, scene, paper): (CrewSheet, Scene, Paper)| {
            let datum = sheet.parts.first().map(|p| &p.datum);
            let tie = datum.and_then(|d| crew::tie(&work, d));
            let list = crew::list(&sheet, terminal);
            let letters = crew::letters(&scene, &list);
            let ticked = crew::ticked(&work, &list);
            CrewPage {
                paper,
                warning: errors.clone(),
                notes: (sheet.serves.iter().cloned())
                    .chain(tie)
                    .chain(crew::slab(&work, &sheet))
                    .chain([crew::lengths(&work, &sheet)])
                    .chain(crew::sold_as(&work, &sheet))
                    .chain(crew::no_tops(&sheet))
                    .chain(crew::sides(&work, &sheet))
                    .chain(letters)
                    .chain(ticked)
                    .collect(),
                caution: crew::caution(&work, &sheet),
                datum: crew::measured(&sheet),
                list,
                title: sheet.title,
                scene,
            }
        };
        let pages = drawn.sheets.into_iter().map(page).collect();
        let inputs = sheets::Inputs {
            paper: papers.first().copied().unwrap_or(self.paper),
            ..self.inputs()
        };
        WorkingPaper {
            set: sheets::crew_set(&inputs, pages),
            tables: crew::tables(&sheets, data),
            shown: crew::tables(&sheets, terminal),
            said: drawn.said,
        }
    }

    /// The tables of the permit sheets that an inspector has beside the list.
    fn beside(&self, form: Form) -> Vec<Table> {
        let seen = |mut table: Table| {
            // A box to tick, as in the tables of the list itself.
            if table.name == "fixtures" && form != Form::Data {
                table.head.push("Seen".to_owned());
                table
                    .rows
                    .iter_mut()
                    .for_each(|r| r.push(sheets::TICK.to_owned()));
            }
            table
        };
        let all = self.of_permit(form, &BESIDE).into_iter();
        all.map(seen).collect()
    }

    /// Notes, before them how many errors of the job stand: who builds or buys by this paper alone
    /// would not know of them.
    fn with_errors(&self, notes: Vec<String>) -> Vec<String> {
        let said = self.errors().map(|(count, codes)| {
            let (errors, them) = match count {
                1 => ("1 error".to_owned(), "it"),
                n => (format!("{n} errors"), "them"),
            };
            format!(
                "The job has {errors} that nobody waived ({codes}): cure {them} before you build or buy \
                 by this sheet."
            )
        });
        said.into_iter().chain(notes).collect()
    }

    /// How many errors stand that nobody waived, and their codes; none where none does.
    fn errors(&self) -> Option<(usize, String)> {
        let verdict = Verdict::of(&self.found);
        (verdict.errors > 0).then(|| (verdict.errors, verdict.codes.join(", ")))
    }

    /// Where the errors stand that nobody waived, by name, if they are few.
    fn errors_at(&self) -> Option<String> {
        /// More would fill the sheet.
        const FEW: usize = 3;
        let errors = self.found.open.iter();
        let errors = errors.filter(|d| d.severity == Severity::Error);
        let at: Vec<&str> = errors.map(|d| d.at.as_str()).collect();
        ((1..=FEW).contains(&at.len())).then(|| at.join(", "))
    }

    /// How the work stands, in a note: what is alike together, in the order of the job. What was changed
    /// is a note of its own.
    fn standing_in_words(&self) -> Option<String> {
        let standing = self.inputs().standing?;
        type When<'a> = (&'a str, Option<&'a str>);
        let mut groups: Vec<(When<'_>, Vec<&str>)> = Vec::new();
        let laid = standing.marks.iter();
        for mark in laid.filter(|m| m.is != crate::job::Standing::Changed) {
            let key = (mark.is.words(), mark.date.as_deref());
            match groups.iter_mut().find(|g| g.0 == key) {
                Some(group) => group.1.push(&mark.part),
                None => groups.push((key, vec![&mark.part])),
            }
        }
        let words = groups.iter().map(|((is, date), parts)| {
            let date = date.map(|d| format!(" {d}")).unwrap_or_default();
            format!("{} {is}{date}", parts.join(", "))
        });
        let words: Vec<String> = words.collect();
        (!words.is_empty()).then(|| format!("Standing of the work: {}.", words.join("; ")))
    }

    /// Notes, before them what was changed on site: the paper shows the work as it is built.
    fn with_changes(&self, notes: Vec<String>) -> Vec<String> {
        let standing = self.inputs().standing;
        let marks = standing.into_iter().flat_map(|s| &s.marks);
        let changed = marks.filter(|m| m.is == crate::job::Standing::Changed);
        let said = changed.map(|m| {
            let why = m
                .why
                .as_ref()
                .map(|w| format!(" ({w})"))
                .unwrap_or_default();
            format!(
                "Changed on site: {}{why}. This paper shows it as built; what differs from the \
                 approved job stands on the permit sheets.",
                m.part
            )
        });
        said.chain(notes).collect()
    }

    /// Tables of the permit sheets, by name; empty ones are left out.
    fn of_permit(&self, form: Form, named: &[&str]) -> Vec<Table> {
        let all = sheets::tables_as(&self.inputs(), form);
        let wanted = |t: &Table| named.contains(&t.name) && !t.rows.is_empty();
        all.into_iter().filter(wanted).collect()
    }
}
