//! What a job chooses of a book: where a code gives several systems, or figures by use, their rows
//! and columns say under which options they hold (`when`), and only those are read.

use super::check::Checker;
use super::raw::{
    RawBaths, RawBook, RawFall, RawFitting, RawFixture, RawGroup, RawMethod, RawNothing, RawRow,
    RawSupport, RawTable, RawValue,
};

/// The options of a book, group by group, and what is chosen of each.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Options {
    groups: Vec<Group>,
}

/// Options of which one holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// All of them; the first holds where nothing is said.
    pub all: Vec<String>,
    /// The one that holds.
    pub chosen: String,
    /// Whether the job says so.
    pub stated: bool,
}

impl Options {
    /// Chooses. A word of the job that no group has, or a second one of a group, comes back.
    pub(super) fn choose(groups: &[Vec<String>], said: &[String]) -> (Options, Vec<String>) {
        let mut options = Options::default();
        for all in groups {
            let Some(first) = all.first() else { continue };
            options.groups.push(Group {
                all: all.clone(),
                chosen: first.clone(),
                stated: false,
            });
        }
        let mut wrong = Vec::new();
        for word in said {
            let mut groups = options.groups.iter_mut();
            match groups.find(|g| g.all.contains(word) && !g.stated) {
                Some(group) => (group.chosen, group.stated) = (word.clone(), true),
                None => wrong.push(word.clone()),
            }
        }
        (options, wrong)
    }

    /// The groups.
    pub fn groups(&self) -> &[Group] {
        &self.groups
    }

    /// Whether what asks for these options holds: of each group that it names, one is chosen.
    fn hold(&self, when: &[String]) -> bool {
        self.groups.iter().all(|g| {
            let named = |w: &&String| g.all.contains(w);
            when.iter().find(named).is_none() || when.contains(&g.chosen)
        })
    }

    fn known(&self, word: &str) -> bool {
        self.groups.iter().any(|g| g.all.iter().any(|w| w == word))
    }
}

/// A row that may hold under some options only.
trait Conditional {
    fn when(&self) -> &[String];
}

macro_rules! conditional {
    ($($row:ty),*) => {
        $(impl Conditional for $row {
            fn when(&self) -> &[String] {
                &self.when
            }
        })*
    };
}
conditional!(
    RawRow, RawFixture, RawGroup, RawBaths, RawFall, RawFitting, RawValue, RawMethod, RawSupport
);

impl Conditional for RawNothing {
    fn when(&self) -> &[String] {
        &[]
    }
}

type Raw<R> = toml::Spanned<RawTable<R>>;

/// Keeps the rows of a table that hold.
fn rows<R: Conditional>(check: &mut Checker, raw: &mut Raw<R>) {
    let options = check.options.clone();
    for row in &raw.get_ref().rows {
        for word in row.get_ref().when() {
            if !options.known(word) {
                let message = format!("`{word}` is not an option of this book");
                check.says("B018", "book-option-unknown", row.span(), message);
            }
        }
    }
    let table = raw.get_mut();
    table.rows.retain(|r| options.hold(r.get_ref().when()));
}

/// Keeps the columns that hold, with their cells, and then the rows.
fn grid(check: &mut Checker, raw: &mut Raw<RawRow>) {
    let options = check.options.clone();
    let table = raw.get_mut();
    let mut keep: Vec<bool> = Vec::new();
    for column in &table.columns {
        let when = &column.get_ref().when;
        for word in when.iter().filter(|w| !options.known(w)) {
            let message = format!("`{word}` is not an option of this book");
            check.says("B018", "book-option-unknown", column.span(), message);
        }
        keep.push(options.hold(when));
    }
    if keep.contains(&false) {
        let kept = |i: usize| keep.get(i).copied().unwrap_or(true);
        let mut at = 0..;
        let mut gone: Vec<String> = Vec::new();
        table.columns.retain(|column| {
            let keep = at.next().is_some_and(kept);
            gone.extend(column.get_ref().name.clone().filter(|_| !keep));
            keep
        });
        for row in table.rows.iter_mut().map(toml::Spanned::get_mut) {
            let mut at = 0..;
            row.is.retain(|_| at.next().is_some_and(kept));
            for names in row.cells.values_mut() {
                names.retain(|n| !gone.contains(n));
            }
        }
    }
    rows(check, raw);
}

impl RawBook {
    /// Only what holds under the options chosen.
    pub(super) fn under(&mut self, check: &mut Checker) {
        if check.options.groups.is_empty() {
            return;
        }
        let may = |check: &mut Checker, raw: &mut Option<Raw<RawRow>>| {
            raw.iter_mut().for_each(|raw| grid(check, raw));
        };
        rows(check, &mut self.fixtures);
        rows(check, &mut self.groups);
        self.baths.iter_mut().for_each(|raw| rows(check, raw));
        rows(check, &mut self.slope);
        self.supports.iter_mut().for_each(|raw| rows(check, raw));
        rows(check, &mut self.fittings);
        rows(check, &mut self.methods);
        for raw in [
            &mut self.unlisted,
            &mut self.building_drain,
            &mut self.branches_and_stacks,
            &mut self.trap_arms,
        ] {
            grid(check, raw);
        }
        for raw in [
            &mut self.sewer,
            &mut self.sewer_least,
            &mut self.closet_counts,
            &mut self.ejector,
            &mut self.vent_lengths,
            &mut self.stack_vents,
            &mut self.common_vent,
            &mut self.wet_vent,
            &mut self.waste_stack,
            &mut self.combination,
            &mut self.single_stack,
            &mut self.unvented_branches,
        ] {
            may(check, raw);
        }
        for raw in [
            &mut self.receptors,
            &mut self.cleanouts,
            &mut self.closets,
            &mut self.stack,
            &mut self.vents,
            &mut self.terminals,
            &mut self.arm_rules,
            &mut self.trap_rules,
        ] {
            rows(check, raw);
        }
        for raw in [
            &mut self.flow,
            &mut self.design_flow,
            &mut self.sewers,
            &mut self.washer,
            &mut self.wet_vent_rules,
            &mut self.upright_wet_vent_rules,
            &mut self.waste_stack_rules,
            &mut self.circuit_rules,
            &mut self.combination_rules,
            &mut self.single_stack_rules,
            &mut self.backwater,
            &mut self.test,
            &mut self.foundations,
            &mut self.joists,
            &mut self.studs,
            &mut self.plates,
            &mut self.shields,
        ] {
            raw.iter_mut().for_each(|raw| rows(check, raw));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(all: &[&str]) -> Vec<String> {
        all.iter().map(|w| (*w).to_owned()).collect()
    }

    /// A row that names options of two groups needs both; of one group any of those named.
    #[test]
    fn a_row_holds_under_what_it_names() {
        let groups = [words(&["one", "two"]), words(&["low", "high"])];
        let (options, wrong) = Options::choose(&groups, &words(&["two"]));
        assert!(wrong.is_empty());
        for (when, holds) in [
            (&[][..], true),
            (&["two"][..], true),
            (&["one"][..], false),
            (&["one", "two"][..], true),
            (&["two", "high"][..], false),
            (&["two", "low"][..], true),
        ] {
            assert_eq!(options.hold(&words(when)), holds, "{when:?}");
        }
        let (_, wrong) = Options::choose(&groups, &words(&["two", "one", "three"]));
        assert_eq!(wrong, words(&["one", "three"]));
    }
}
