//! Whether one size will do for one piece of drain.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::branch_vents::{combination_larger, smaller_by};
use super::class::{Class, is_arm, too_many};
use super::unvented::refused;
use super::waste::Basis;
use super::whole_stacks::capacity;
use crate::codebook::{Beyond, Found, UprightWetRules};
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

/// All that the check of a common drain follows from. Many drains of a building are alike.
#[derive(PartialEq, Eq, Hash)]
struct Alike {
    size: PipeSize,
    /// A stack with so many branch intervals; none: no stack.
    stack: Option<u32>,
    fixture_drain: bool,
    arm: bool,
    upright: bool,
    wet: bool,
    load: u64,
    demand: (bool, u64),
    closets: u32,
    washers: u32,
    fixtures: u32,
    entering: Option<u64>,
    trap_floor: Option<PipeSize>,
}

/// What was checked so far.
#[derive(Default)]
pub struct Checked {
    /// Looked up only, never gone through.
    known: RefCell<HashMap<Alike, Rc<Check>>>,
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
    /// [`Need::check`], looked up where a drain alike was checked before.
    pub fn checked(&self, size: PipeSize) -> Rc<Check> {
        let Some(alike) = self.alike(size) else {
            return Rc::new(self.check(size));
        };
        if let Some(known) = self.basis.checked.known.borrow().get(&alike) {
            return Rc::clone(known);
        }
        let check = Rc::new(self.check(size));
        let mut known = self.basis.checked.known.borrow_mut();
        known.insert(alike, Rc::clone(&check));
        check
    }

    /// None for a drain that has rules or a fall of its own.
    fn alike(&self, size: PipeSize) -> Option<Alike> {
        let basis = self.basis;
        let stack = match self.class {
            Class::Stack(run) if basis.net.own_vents.contains_key(&run) => return None,
            Class::Stack(run) => Some(basis_intervals(basis, run)),
            Class::Branch | Class::FixtureDrain => None,
            Class::BuildingDrain | Class::Sewer | Class::Discharge => return None,
        };
        let wet = basis.wet.contains(&self.piece);
        let apart = basis.unvented.contains_key(&self.piece)
            || basis.combinations.contains(self.piece)
            || (wet && basis.upright_wet.contains(&self.piece))
            || (wet && basis.common.contains(&self.piece));
        if apart {
            return None;
        }
        Some(Alike {
            size,
            stack,
            fixture_drain: self.class == Class::FixtureDrain,
            arm: is_arm(basis.net, self.piece),
            upright: is_vertical(basis.net, self.piece),
            wet,
            load: self.load.dfu().to_bits(),
            demand: match self.demand {
                Demand::Units(load) => (true, load.dfu().to_bits()),
                Demand::Flow(flow) => (false, flow.litres_per_second().to_bits()),
            },
            closets: self.closets,
            washers: self.washers,
            fixtures: self.fixtures,
            entering: self.interval.map(|(_, load)| load.dfu().to_bits()),
            trap_floor: self.trap_floor,
        })
    }

    /// Checks one size: what may drain into it at all, then the load.
    pub fn check(&self, size: PipeSize) -> Check {
        let mut check = self.enlarged(size);
        if check.fails.is_none()
            && let Some(&building) = self.basis.combinations.branches.get(&self.piece)
            && let Some(found) = self.basis.book.combination(size, building)
        {
            check = self.by_table("as a combination drain and vent", size, found);
        }
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

    /// By the load; a combination drain and vent may have to be larger than another drain.
    fn enlarged(&self, size: PipeSize) -> Check {
        let by = match self.basis.combinations.contains(self.piece) {
            true => combination_larger(self.basis.book),
            false => 0,
        };
        if by == 0 {
            return self.by_load(size);
        }
        let print = self.print();
        let Some(smaller) = smaller_by(size, by) else {
            return Check {
                fails: Some(format!(
                    "a combination drain and vent is {by} sizes larger than another: {} is not",
                    print.size(size)
                )),
                ..Check::default()
            };
        };
        let mut check = self.by_load(smaller);
        let words = |w: String| format!("{w}; as a combination drain and vent {by} sizes larger");
        check.passes = check.passes.map(words);
        check.fails = check.fails.map(words);
        check
    }

    fn by_table(&self, how: &str, size: PipeSize, found: Result<Found<Load>, Beyond>) -> Check {
        let asked = Demand::Units(self.load);
        self.answered(
            size,
            &format!("{how} "),
            asked,
            found.map(|f| f.map(Demand::Units)),
        )
    }

    /// Whether what a table lets a size carry is enough.
    fn answered(
        &self,
        size: PipeSize,
        how: &str,
        asked: Demand,
        found: Result<Found<Demand>, Beyond>,
    ) -> Check {
        let found = match found {
            Ok(found) => found,
            Err(beyond) => {
                return Check {
                    fails: Some(beyond.message.clone()),
                    beyond: Some(beyond),
                    ..Check::default()
                };
            }
        };
        let words = format!("{how}{}", self.carries(size, &found));
        let enough = found.value.covers(asked);
        Check {
            passes: enough.then(|| words.clone()),
            fails: (!enough).then(|| format!("{words}: too few")),
            capacity: Some(found),
            ..Check::default()
        }
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
                if let Some(no) = self.by_waste_interval(run, size) {
                    return no;
                }
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
            // A size below the branch table's first row is a single fixture's own drain.
            Err(_) if self.class == Class::FixtureDrain && self.is_own_drain(size) => Check {
                passes: Some(format!(
                    "{}: the drain of one fixture, of its trap's size",
                    self.print().size(size)
                )),
                ..Check::default()
            },
            found => self.answered(size, "", self.demand, found),
        }
    }

    /// A wet vent carries less than a drain of its size, so that air finds its way past the water.
    /// A size past the last row carries no less than the last row.
    fn as_wet_vent(&self, size: PipeSize) -> Check {
        let book = self.basis.book;
        let rules = book.upright_wet_rules();
        if let Some(rules) = rules.filter(|_| self.basis.upright_wet.contains(&self.piece)) {
            return self.as_upright(size, rules);
        }
        if self.basis.common.contains(&self.piece) && book.has_common_vent_table() {
            let found = last_row(size, |s| book.common_vent(s));
            return self.by_table("under the upper of two on one vent", size, found);
        }
        let found = last_row(size, |s| book.wet_vent(s));
        self.by_table("as a wet vent", size, found)
    }

    /// An upright wet vent may have to be larger than what drains through it asks for.
    fn as_upright(&self, size: PipeSize, rules: &UprightWetRules) -> Check {
        let print = self.print();
        let by = rules.larger_by.value;
        let no = |words: String| Check {
            fails: Some(format!("{words} ({})", rules.info.section)),
            ..Check::default()
        };
        if size < rules.least.value {
            return no(format!(
                "an upright wet vent is {} at least",
                print.size(rules.least.value)
            ));
        }
        let smaller = smaller_by(size, by).filter(|s| self.trap_floor.is_none_or(|f| *s >= f));
        let Some(smaller) = smaller else {
            return no(format!(
                "an upright wet vent is {by} size larger than its upper fixtures ask for: {} is not",
                print.size(size)
            ));
        };
        let mut check = self.by_load(smaller);
        let words = |w: String| format!("{w}; as an upright wet vent {by} size larger");
        check.passes = check.passes.map(words);
        check.fails = check.fails.map(words);
        check
    }

    /// Whether the stack's own vent serves its traps, and the book has a table for such stacks.
    fn own_table(&self, run: RunIx, size: PipeSize) -> bool {
        let own = self.basis.net.own_vents.get(&run);
        own.is_some_and(|own| match own.method {
            StackMethod::Single => self.basis.book.single_stack(size, own.height).is_some(),
            StackMethod::Waste => self.basis.book.waste_stack(size).is_some(),
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

    /// One branch interval of a waste stack may take less than the whole.
    fn by_waste_interval(&self, run: RunIx, size: PipeSize) -> Option<Check> {
        let own = self.basis.net.own_vents.get(&run);
        own.filter(|own| own.method == StackMethod::Waste)?;
        let (_, entering) = self.interval?;
        let found = self.basis.book.waste_stack_interval(size)?;
        (!found.value.covers(Demand::Units(entering))).then(|| Check {
            fails: Some(format!(
                "{} dfu enter in one branch interval: {}: too few",
                self.print().load(entering),
                self.carries(size, &found)
            )),
            capacity: Some(found),
            ..Check::default()
        })
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

/// The figure for a size; past the last row that of the last row.
fn last_row(
    size: PipeSize,
    look: impl Fn(PipeSize) -> Result<Found<Load>, Beyond>,
) -> Result<Found<Load>, Beyond> {
    let mut smaller = PipeSize::all().rev().filter(|s| *s <= size);
    smaller
        .find_map(|s| look(s).ok())
        .map_or_else(|| look(size), Ok)
}

fn basis_intervals(basis: &Basis<'_>, run: RunIx) -> u32 {
    basis.intervals.get(&run).map_or(1, |i| i.count)
}
