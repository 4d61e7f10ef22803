//! Whether one size will do for one piece of drain.

use super::class::{Class, is_arm, too_many};
use super::unvented::refused;
use super::waste::{Basis, capacity};
use crate::codebook::{Beyond, Found};
use crate::levels::falls::is_vertical;
use crate::network::{PieceIx, RunIx, StackMethod};
use crate::units::{Demand, Load, PipeSize, Printer};

/// What a piece of drain has to do.
pub struct Need<'a> {
    /// What it all stands on.
    pub basis: &'a Basis<'a>,
    /// The piece.
    pub piece: PieceIx,
    /// Its class.
    pub class: Class,
    /// Its load.
    pub load: Load,
    /// What it has to carry for it.
    pub demand: Demand,
    /// Water closets that drain through it.
    pub closets: u32,
    /// Clothes washers that drain through it.
    pub washers: u32,
    /// Fixtures that drain through it.
    pub fixtures: u32,
    /// Branch interval at its upper end, from the top, and the load that enters there.
    pub interval: Option<(u32, Load)>,
    /// Largest size that must not get smaller here.
    pub trap_floor: Option<PipeSize>,
}

/// What came out for one size.
#[derive(Default)]
pub struct Check {
    /// What that size may carry, if the table says.
    pub capacity: Option<Found<Demand>>,
    /// The look-up that went beyond the table.
    pub beyond: Option<Beyond>,
    /// Why it will not do, in words; none: it will.
    pub fails: Option<String>,
    /// Why it will do, in words.
    pub passes: Option<String>,
}

impl Need<'_> {
    /// Checks one size: what may drain into it at all, then the load.
    pub fn check(&self, size: PipeSize) -> Check {
        let mut check = self.by_load(size);
        if check.fails.is_none() && self.basis.wet.contains(&self.piece) {
            check = self.as_wet_vent(size);
        }
        if let Some(no) = self.by_kind(size) {
            check.fails = Some(no);
            check.passes = None;
        }
        check
    }

    fn print(&self) -> Printer {
        Printer {
            units: self.basis.job.units,
        }
    }

    /// A water closet and a clothes washer ask for a least size, whatever the load.
    fn by_kind(&self, size: PipeSize) -> Option<String> {
        let print = self.print();
        if self.closets > 0 {
            let allowed = self.basis.book.closets_allowed(size);
            if !allowed.value {
                return Some(format!(
                    "{} may not take a water closet ({})",
                    print.size(size),
                    allowed.section
                ));
            }
        }
        let on = (self.basis.net, self.basis.book, print);
        if let Some((words, section)) =
            too_many(on, self.piece, size, (self.closets, self.fixtures))
        {
            return Some(format!("{words} ({section})"));
        }
        if let Some(is) = self.basis.unvented.get(&self.piece)
            && let Some(words) = refused(
                (self.basis.book, print),
                size,
                *is,
                (self.closets, self.demand),
            )
        {
            return Some(words);
        }
        if self.washers > 0
            && self.class != Class::FixtureDrain
            && let Some(least) = self.basis.book.washer_branch()
            && size < least.value
        {
            return Some(format!(
                "a clothes washer discharges into {} or larger ({})",
                print.size(least.value),
                least.section
            ));
        }
        None
    }

    fn by_load(&self, size: PipeSize) -> Check {
        let book = self.basis.book;
        let found = match self.class {
            Class::BuildingDrain => {
                let basis = self.basis;
                basis
                    .falls
                    .at(basis.job, basis.net, book, self.piece, size)
                    .and_then(|(fall, _)| book.building_drain(size, fall))
            }
            // Its own table holds for the whole of it.
            Class::Stack(run) if self.own_table(run, size) => {
                let own = self.basis.net.own_vents.get(&run);
                let found = own.map(|own| capacity(book, own, size, 1));
                found.unwrap_or_else(|| book.stack(size, 1))
            }
            Class::Stack(run) => {
                let count = basis_intervals(self.basis, run);
                if let Some(no) = self.by_interval(size, count) {
                    return no;
                }
                book.stack(size, count)
            }
            Class::FixtureDrain if self.rated_by_trap() => {
                book.unlisted(size).map(|f| f.map(Demand::Units))
            }
            _ => match book.upright(size) {
                Some(found) if is_vertical(self.basis.net, self.piece) => found,
                _ => book.branch(size),
            },
        };
        match found {
            Ok(found) if found.value.covers(self.demand) => Check {
                passes: Some(self.carries(size, &found)),
                capacity: Some(found),
                ..Check::default()
            },
            Ok(found) => Check {
                fails: Some(format!("{}: too few", self.carries(size, &found))),
                capacity: Some(found),
                ..Check::default()
            },
            // A size below the branch table's first row is a single fixture's own drain.
            Err(_) if self.class == Class::FixtureDrain && self.is_own_drain(size) => Check {
                passes: Some(format!(
                    "{}: the drain of one fixture, of its trap's size",
                    self.print().size(size)
                )),
                ..Check::default()
            },
            Err(beyond) => Check {
                fails: Some(beyond.message.clone()),
                beyond: Some(beyond),
                ..Check::default()
            },
        }
    }

    /// A wet vent carries less than a drain of its size, so that air finds its way past the water.
    /// A size past the last row carries no less than the last row.
    fn as_wet_vent(&self, size: PipeSize) -> Check {
        let listed = PipeSize::all()
            .rev()
            .filter(|s| *s <= size)
            .find_map(|s| self.basis.book.wet_vent(s).ok())
            .map(|found| found.map(Demand::Units));
        match listed {
            Some(found) if found.value.covers(Demand::Units(self.load)) => Check {
                passes: Some(format!("as a wet vent {}", self.carries(size, &found))),
                capacity: Some(found),
                ..Check::default()
            },
            Some(found) => Check {
                fails: Some(format!(
                    "as a wet vent {}: too few",
                    self.carries(size, &found)
                )),
                capacity: Some(found),
                ..Check::default()
            },
            None => match self.basis.book.wet_vent(size) {
                Err(beyond) => Check {
                    fails: Some(beyond.message.clone()),
                    beyond: Some(beyond),
                    ..Check::default()
                },
                Ok(_) => Check::default(),
            },
        }
    }

    /// Whether the stack's own vent serves its traps, and the book has a table for such stacks.
    fn own_table(&self, run: RunIx, size: PipeSize) -> bool {
        let own = self.basis.net.own_vents.get(&run);
        own.is_some_and(|own| match own.method {
            StackMethod::Single => self.basis.book.single_stack(size, own.height).is_some(),
            StackMethod::Waste => false,
        })
    }

    /// Whether it is an arm, and the book rates arms as the traps they belong to.
    fn rated_by_trap(&self) -> bool {
        let rule = self.basis.book.arm_rules().rated_by_trap.as_ref();
        rule.is_some_and(|f| f.value) && is_arm(self.basis.net, self.piece)
    }

    fn is_own_drain(&self, size: PipeSize) -> bool {
        self.fixtures <= 1 && self.trap_floor == Some(size)
    }

    fn carries(&self, size: PipeSize, found: &Found<Demand>) -> String {
        let print = self.print();
        format!(
            "{} carries {} ({})",
            print.size(size),
            print.demand(found.value),
            found.place()
        )
    }

    fn by_interval(&self, size: PipeSize, count: u32) -> Option<Check> {
        let (_, entering) = self.interval?;
        let found = self.basis.book.stack_interval(size, count)?;
        match found {
            Ok(found) if found.value.covers(Demand::Units(entering)) => None,
            Ok(found) => Some(Check {
                fails: Some(format!(
                    "{} dfu enter in one branch interval: {}: too few",
                    self.print().load(entering),
                    self.carries(size, &found)
                )),
                capacity: Some(found),
                ..Check::default()
            }),
            Err(beyond) => Some(Check {
                fails: Some(beyond.message.clone()),
                beyond: Some(beyond),
                ..Check::default()
            }),
        }
    }
}

fn basis_intervals(basis: &Basis<'_>, run: RunIx) -> u32 {
    basis.intervals.get(&run).map_or(1, |i| i.count)
}
