//! The least size of a vent by the book: half the drain it serves, or the table of stack vents.

use std::collections::HashMap;
use std::sync::Arc;

use super::model::Working;
use super::working;
use crate::codebook::Book;
use crate::units::{Demand, Length, Load, PipeSize, Printer};

/// What a vent has to do.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// The load it vents.
    pub load: Load,
    /// Required size of the largest drain that it serves.
    pub drain: Option<PipeSize>,
    /// Required size of the largest stack whose stack vent it is or takes.
    pub stack: Option<PipeSize>,
    /// Whether it vents a water closet.
    pub closet: bool,
    /// Whether it gathers several vents.
    pub header: bool,
    /// Developed length from the farthest drain to the open air, if known.
    pub length: Option<Length>,
    /// What is known of that length, where not all of it is.
    pub known: Length,
    /// What is known of the next, where not all of it is.
    pub known_from_stack: Length,
    /// Developed length of a stack's vent from the stack to the open air, if known: the table of
    /// stack vents goes by it, whatever joins on the way.
    pub from_stack: Option<Length>,
}

/// The least size, and how it came about.
#[derive(Clone, Debug, Default)]
pub struct Least {
    /// The size; none if a look-up went beyond the book.
    pub size: Option<PipeSize>,
    /// Section and table.
    pub working: Working,
    /// The reasoning.
    pub steps: Vec<String>,
    /// Why there is none.
    pub unknown: Option<String>,
}

/// The smallest size of the list that is at least half as large as a drain, and not less than
/// the book's least vent.
pub fn half(book: &Book, drain: PipeSize) -> PipeSize {
    let rule = book.vent_rule();
    PipeSize::all()
        .find(|s| s.inches() + 1e-9 >= drain.inches() * rule.half_of_required.value)
        .unwrap_or(drain)
        .max(rule.least.value)
}

/// What was worked out so far: most vents of a building are asked for the same.
#[derive(Default)]
pub struct Leasts {
    /// Looked up only, never gone through.
    known: HashMap<Key, Arc<Least>>,
}

/// All of an [`Asked`], lengths and loads by their bits.
type Key = (
    (u64, Option<PipeSize>, Option<PipeSize>),
    (bool, bool),
    (Option<u64>, Option<u64>),
    (u64, u64),
);

impl Leasts {
    /// [`Asked::least`], looked up where a vent was asked for the same before.
    pub fn of(&mut self, asked: &Asked, book: &Book, print: Printer) -> Arc<Least> {
        let bits = |l: Length| l.mm().to_bits();
        let key = (
            (asked.load.dfu().to_bits(), asked.drain, asked.stack),
            (asked.closet, asked.header),
            (asked.length.map(bits), asked.from_stack.map(bits)),
            (bits(asked.known), bits(asked.known_from_stack)),
        );
        let least = (self.known.entry(key)).or_insert_with(|| Arc::new(asked.least(book, print)));
        Arc::clone(least)
    }
}

impl Asked {
    /// The least size by the book.
    pub fn least(&self, book: &Book, print: Printer) -> Least {
        let mut least = self.by_half(book, print);
        if let Some(stack) = self.stack
            && book.has_stack_vent_table()
        {
            self.by_table(book, print, stack, &mut least);
        }
        least
    }

    fn by_half(&self, book: &Book, print: Printer) -> Least {
        let rule = book.vent_rule();
        let mut least = Least {
            working: Working {
                section: rule.section.clone(),
                ..Working::default()
            },
            ..Least::default()
        };
        let mut drain = self.drain.max(self.stack);
        if self.header && !book.has_vent_table() {
            // What gathers several vents serves a drain that could carry them all.
            let all = PipeSize::all().find(|s| {
                book.branch(*s)
                    .is_ok_and(|c| c.value.covers(Demand::Units(self.load)))
            });
            if all > drain {
                drain = all;
                least.steps.push(format!(
                    "gathers {} {}, which need a {} branch",
                    print.load(self.load),
                    book.unit(),
                    all.map(|s| print.size(s)).unwrap_or_default()
                ));
            }
        }
        let Some(drain) = drain else {
            least.unknown = Some("it serves no drain whose size is known".to_owned());
            return least;
        };
        let mut size = half(book, drain);
        least.steps.push(format!(
            "half of the {} drain that it serves, at least {}: {} ({})",
            print.size(drain),
            print.size(rule.least.value),
            print.size(size),
            rule.section
        ));
        if let Some(least_closet) = rule.least_closet.as_ref().filter(|_| self.closet)
            && least_closet.value > size
        {
            size = least_closet.value;
            least.steps.push(format!(
                "it vents a water closet: {} at least ({})",
                print.size(size),
                least_closet.section
            ));
        }
        if book.has_vent_table() {
            self.by_load_and_length(book, print, size, &mut least);
            return least;
        }
        let over = rule.over.as_ref().map_or(Length::ZERO, |f| f.value);
        match self.length {
            Some(length) if length > over && !length.same(over) => {
                size = rule.size(drain, Some(length)).unwrap_or(size);
                least.steps.push(format!(
                    "{} long, more than {}: larger for its whole length, {}",
                    print.length(length),
                    print.length(over),
                    print.size(size)
                ));
            }
            Some(length) => least.steps.push(format!("{} long", print.length(length))),
            None if self.known > over => {
                size = rule.size(drain, Some(self.known)).unwrap_or(size);
                least.steps.push(self.at_least(print, over, size));
            }
            None => least.steps.push(format!(
                "length not known, sized for up to {}",
                print.length(over)
            )),
        }
        least.size = Some(size);
        least
    }

    /// That what is known of a length is too long already.
    fn at_least(&self, print: Printer, most: Length, size: PipeSize) -> String {
        format!(
            "{} long and more, more than {}: larger for its whole length, {}",
            print.length(self.known),
            print.length(most),
            print.size(size)
        )
    }

    /// The table of all vents: from a size that will do for the drain, the smallest that has the
    /// load; one that is longer than its size may be goes up, and then has no limit of length.
    fn by_load_and_length(&self, book: &Book, print: Printer, from: PipeSize, least: &mut Least) {
        let carries = |s: PipeSize| book.vent_load(s)?.ok().filter(|f| f.value >= self.load);
        let Some((mut size, found)) = PipeSize::all()
            .filter(|s| *s >= from)
            .find_map(|s| Some((s, carries(s)?)))
        else {
            let last = PipeSize::all().rev().find_map(|s| book.vent_load(s));
            least.unknown = Some(match last {
                Some(Err(beyond)) => beyond.message,
                _ => format!(
                    "no vent of the table takes {} {}",
                    print.load(self.load),
                    book.unit()
                ),
            });
            return;
        };
        least.working = working::of(&found);
        least.steps.push(format!(
            "{} takes {} {} ({})",
            print.size(size),
            print.load(found.value),
            book.unit(),
            found.place()
        ));
        let most = book.vent_length(size).and_then(Result::ok).map(|f| f.value);
        match (self.length, most) {
            (Some(length), Some(most)) if length > most && !length.same(most) => {
                for _ in 0..book.vent_rule().sizes_up.value {
                    size = size.next_up().unwrap_or(size);
                }
                least.steps.push(format!(
                    "{} long, more than {}: larger for its whole length, {}",
                    print.length(length),
                    print.length(most),
                    print.size(size)
                ));
            }
            (Some(length), _) => least.steps.push(format!("{} long", print.length(length))),
            (None, Some(most)) if self.known > most => {
                for _ in 0..book.vent_rule().sizes_up.value {
                    size = size.next_up().unwrap_or(size);
                }
                least.steps.push(self.at_least(print, most, size));
            }
            (None, Some(most)) => least.steps.push(format!(
                "length not known, sized for up to {}",
                print.length(most)
            )),
            (None, None) => {}
        }
        least.size = Some(size);
    }

    /// The table of stack vents: the smallest vent, not under half the stack, that may be as long
    /// as this one is.
    fn by_table(&self, book: &Book, print: Printer, stack: PipeSize, least: &mut Least) {
        let rule = book.vent_rule();
        let over = rule.over.as_ref().map_or(Length::ZERO, |f| f.value);
        let length = self.from_stack.unwrap_or(over.max(self.known_from_stack));
        let from = half(book, self.drain.max(self.stack).unwrap_or(stack));
        let mut last = None;
        // Where the rows of its own size end before the load or the length, those of the next
        // larger stack go on, with less for each vent.
        let stacks = PipeSize::all().filter(|s| *s >= stack);
        let vents = |of: PipeSize| PipeSize::all().filter(|s| *s >= from).map(move |s| (of, s));
        for (of, size) in stacks.flat_map(vents) {
            match book.stack_vent(of, self.load, size) {
                Ok(found) if found.value >= length || found.value.same(length) => {
                    least.working = working::of(&found);
                    least.steps = vec![
                        format!(
                            "half of the {} stack: {}",
                            print.size(stack),
                            print.size(from)
                        ),
                        format!(
                            "{} may be {} long ({})",
                            print.size(size),
                            print.length(found.value),
                            found.place()
                        ),
                        match self.from_stack {
                            Some(length) => format!("{} long", print.length(length)),
                            None => {
                                format!(
                                    "length not known, sized for up to {}",
                                    print.length(length)
                                )
                            }
                        },
                    ];
                    least.size = Some(size);
                    least.unknown = None;
                    return;
                }
                Ok(_) => {}
                Err(beyond) => {
                    last.get_or_insert(beyond);
                }
            }
        }
        least.size = None;
        least.unknown = Some(last.map_or_else(
            || "no size of the table may be that long".to_owned(),
            |b| b.message,
        ));
    }
}
