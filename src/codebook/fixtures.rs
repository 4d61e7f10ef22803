use super::check::{Checker, Looked};
use super::found::TableInfo;
use super::raw::{RawBaths, RawFixture, RawGroup, RawTable};
use super::{Beyond, Book, Found, Provenance};
use crate::units::{Flow, Load, PipeSize};

/// What is asked of the fixture table.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FixtureQuery<'a> {
    /// The canonical word of the catalogue (`water closet`).
    pub kind: &'a str,
    /// Gallons per flush, if stated.
    pub gpf: Option<f64>,
    /// Flow of all its outlets together, if stated.
    pub flow: Option<Flow>,
    /// What drains with it.
    pub with: &'a [String],
    /// Public use.
    pub public: bool,
    /// An emergency floor drain.
    pub emergency: bool,
    /// How many shower heads it has, if stated.
    pub heads: Option<u32>,
    /// Its outlet, if stated: some loads go by it.
    pub trap: Option<PipeSize>,
}

/// What the book says of a fixture.
#[derive(Clone, Debug, PartialEq)]
pub struct FixtureRow {
    /// Its load, in drainage fixture units.
    pub load: Load,
    /// The largest load of one appliance on its trap: its own, unless several share it.
    pub largest: Load,
    /// Its least trap; none: the trap follows the fixture's own outlet.
    pub trap: Option<PipeSize>,
    /// The least drain past its trap arm, where that is larger than the trap.
    pub drain: Option<PipeSize>,
    /// Section of the trap's size, which in some books is not that of the load.
    pub trap_section: String,
    /// Whether the trap's size was read in a source.
    pub trap_provenance: Provenance,
}

/// A group of fixtures that the book rates as one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GroupKind {
    /// A closet, a lavatory and a tub or shower.
    FullBath {
        /// Whether the closet flushes more than 1.6 gal.
        over_1_6_gpf: bool,
    },
    /// A closet and a lavatory.
    HalfBath {
        /// Whether the closet flushes more than 1.6 gal.
        over_1_6_gpf: bool,
    },
    /// A sink and a dishwasher.
    Kitchen,
    /// A washer's standpipe and a laundry tub.
    Laundry,
}

impl GroupKind {
    fn word(self) -> &'static str {
        match self {
            GroupKind::FullBath { .. } => "full bath",
            GroupKind::HalfBath { .. } => "half bath",
            GroupKind::Kitchen => "kitchen",
            GroupKind::Laundry => "laundry",
        }
    }
    fn large_flush(self) -> Option<bool> {
        match self {
            GroupKind::FullBath { over_1_6_gpf } | GroupKind::HalfBath { over_1_6_gpf } => {
                Some(over_1_6_gpf)
            }
            GroupKind::Kitchen | GroupKind::Laundry => None,
        }
    }
}

/// Over the first, up to and with the second.
type Range = (Option<f64>, Option<f64>);

#[derive(Clone, Debug, PartialEq)]
pub(super) enum LineLoad {
    Dfu(Load),
    ByTrap,
}

/// A row of the fixture table, checked.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FixtureLine {
    name: String,
    kinds: Vec<String>,
    load: LineLoad,
    largest: Option<Load>,
    trap: Option<PipeSize>,
    drain: Option<PipeSize>,
    public: Option<bool>,
    emergency: Option<bool>,
    with: Option<String>,
    gpf: Range,
    flow: Range,
    heads: Range,
    unstated: bool,
    provenance: Provenance,
    trap_provenance: Provenance,
}

/// A row of the group loads, checked.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct GroupRow {
    name: String,
    stands_for: Vec<String>,
    large_flush: Option<bool>,
    load: Load,
    provenance: Provenance,
}

/// A row of the multiple-bath loads, checked.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BathRow {
    /// None: what each further full bath adds.
    halves: Option<u32>,
    load: Load,
    provenance: Provenance,
}

/// Whether a value lies in a range; an unstated value does so in a row that says it may.
fn within(value: Option<f64>, (over, to): Range, unstated: bool) -> bool {
    match value {
        None => (over.is_none() && to.is_none()) || unstated,
        Some(v) => over.is_none_or(|o| v > o) && to.is_none_or(|t| v <= t),
    }
}

impl FixtureLine {
    /// Whether the row is about this fixture, whatever its flush and flow.
    fn is_about(&self, q: &FixtureQuery<'_>) -> bool {
        self.kinds.iter().any(|k| k == q.kind)
            && self.public.is_none_or(|p| p == q.public)
            && self.emergency.is_none_or(|e| e == q.emergency)
            && self
                .with
                .as_ref()
                .is_none_or(|w| q.with.iter().any(|said| said == w))
    }
    fn holds(&self, q: &FixtureQuery<'_>) -> bool {
        within(q.gpf, self.gpf, self.unstated)
            && within(q.flow.map(Flow::gpm), self.flow, self.unstated)
            && within(q.heads.map(f64::from), self.heads, self.unstated)
    }
}

impl Book {
    /// Load and least trap of a fixture: the first row that holds for it. None: not in the book,
    /// or beyond its rows (then [`Book::fixture_beyond`] says so).
    pub fn fixture(&self, q: &FixtureQuery<'_>) -> Option<Found<FixtureRow>> {
        let (info, lines) = &self.fixtures;
        let line = lines.iter().find(|l| l.is_about(q) && l.holds(q))?;
        let (load, provenance) = match line.load {
            LineLoad::Dfu(load) => (load, line.provenance),
            LineLoad::ByTrap => {
                // A larger outlet that the job states counts by its own size.
                let found = self.unlisted(q.trap.max(line.trap)?).ok()?;
                (found.value, line.provenance.weaker(found.provenance))
            }
        };
        let row = FixtureRow {
            load,
            largest: line.largest.unwrap_or(load),
            trap: line.trap,
            drain: line.drain,
            trap_section: match (&info.amended_by, line.trap_provenance) {
                (Some(town), Provenance::Amended) => town.clone(),
                _ => self.traps.section.clone(),
            },
            trap_provenance: line.trap_provenance,
        };
        Some(info.found(row, line.name.clone(), info.unit.clone(), provenance))
    }

    /// Says where the table ends for a fixture whose kind it knows but whose flush or flow it
    /// does not reach.
    pub fn fixture_beyond(&self, q: &FixtureQuery<'_>) -> Option<Beyond> {
        let (info, lines) = &self.fixtures;
        let about: Vec<_> = lines.iter().filter(|l| l.is_about(q)).collect();
        if about.is_empty() || about.iter().any(|l| l.holds(q)) {
            return None;
        }
        let most = |of: fn(&FixtureLine) -> Range| {
            about
                .iter()
                .filter_map(|l| of(l).1)
                .fold(None, |a: Option<f64>, b| Some(a.map_or(b, |a| a.max(b))))
        };
        let said = match (q.flow, most(|l| l.flow), q.gpf, most(|l| l.gpf)) {
            (Some(flow), Some(to), _, _) if flow.gpm() > to => {
                format!(
                    "a {} of {} gpm; the rows end at {to} gpm",
                    q.kind,
                    flow.gpm()
                )
            }
            (_, _, Some(gpf), Some(to)) if gpf > to => {
                format!("a {} of {gpf} gal a flush; the rows end at {to}", q.kind)
            }
            _ => format!("this {}", q.kind),
        };
        Some(info.beyond(format!("{} has no row for {said}", info.cite())))
    }

    /// Load of a fixture that is not listed, by the size of its trap.
    pub fn unlisted(&self, trap: PipeSize) -> Looked<Load> {
        // "Or less" in the first row: no smaller trap exists in the list of sizes.
        self.unlisted.at(trap, 0).map(|f| f.map(Load::from_dfu))
    }

    /// Load of a continuous or known flow.
    ///
    /// ```text
    /// L = k · q
    /// ```
    /// `L` load in dfu, `q` flow in US gal/min, `k` dfu per gal/min of the book. Holds for
    /// any flow of zero or more; a flow below zero counts as none. None where the book's tables
    /// go by flows: there it is added as it is.
    pub fn flow_load(&self, flow: Flow) -> Option<Found<Load>> {
        let per_gpm = self.flow.per_gpm.clone()?;
        Some(per_gpm.map(|k| Load::from_dfu(k * flow.gpm().max(0.0))))
    }

    /// Load of a receptor of indirect waste: what drains into it, never less than its own.
    pub fn receptor(&self, own: Load, drained: Load) -> Found<Load> {
        let more = if drained > own { drained } else { own };
        self.flow.receptor.clone().map(|_| more)
    }

    /// Load of a receptor that takes only clear water from ice bins, coolers and their like.
    pub fn clear_water_receptor(&self) -> Option<Found<Load>> {
        self.flow.clear_water.clone()
    }

    /// Whether the book rates any fixtures as a group.
    pub fn has_groups(&self) -> bool {
        !self.groups.1.is_empty()
    }

    /// Load of a group, if the book rates it as one.
    pub fn group(&self, g: GroupKind) -> Option<Found<Load>> {
        let (info, rows) = &self.groups;
        let row = rows.iter().find(|r| {
            r.stands_for.iter().any(|s| s == g.word()) && r.large_flush == g.large_flush()
        })?;
        Some(info.found(
            row.load,
            row.name.clone(),
            info.unit.clone(),
            row.provenance,
        ))
    }

    /// Load of several bathrooms together, counted in half baths (2 1/2 baths: 5), if the book
    /// has such rows. Past the last row the table's own note is used (each further full bath).
    pub fn baths(&self, baths_in_halves: u32) -> Option<Found<Load>> {
        let (info, rows) = self.baths.as_ref()?;
        let listed = |halves: u32| rows.iter().find(|r| r.halves == Some(halves));
        let (mut load, mut worth, from) = match listed(baths_in_halves) {
            Some(row) => (row.load, row.provenance, baths_in_halves),
            None => {
                let last = rows.iter().filter_map(|r| r.halves).max()?;
                if baths_in_halves <= last {
                    return None;
                }
                // Down by whole baths to the one of the last two rows with the same half.
                let from = last - (baths_in_halves - last) % 2;
                let row = listed(from)?;
                (row.load, row.provenance, from)
            }
        };
        let further = (baths_in_halves - from) / 2;
        if further > 0 {
            let each = rows.iter().find(|r| r.halves.is_none())?;
            load += Load::from_dfu(each.load.dfu() * f64::from(further));
            worth = worth.weaker(each.provenance);
        }
        let row = format!("{} baths", f64::from(baths_in_halves) / 2.0);
        Some(info.found(load, row, info.unit.clone(), worth))
    }
}

pub(super) fn load_lines(
    check: &mut Checker,
    info: &TableInfo,
    traps: &TableInfo,
    raw: &toml::Spanned<RawTable<RawFixture>>,
) -> Vec<FixtureLine> {
    let mut lines = Vec::new();
    for raw in &raw.get_ref().rows {
        let (span, r) = (raw.span(), raw.get_ref());
        for kind in &r.kinds {
            if crate::catalogue::kind(kind).is_none_or(|k| k.word != kind) {
                let message = format!("`{kind}` is not a fixture kind of the catalogue");
                check.says("B011", "book-fixture-unknown", span.clone(), message);
            }
        }
        let trap = r.trap.and_then(|t| check.size(t, span.clone()));
        let drain = r.drain.and_then(|t| check.size(t, span.clone()));
        let load = match (r.dfu, r.by_trap, trap) {
            (Some(dfu), false, _) => LineLoad::Dfu(Load::from_dfu(check.positive(
                dfu.0,
                "a load",
                span.clone(),
            ))),
            (None, true, Some(_)) => LineLoad::ByTrap,
            _ => {
                let message = format!("`{}` needs dfu, or by_trap and a trap", r.name);
                check.says("B012", "book-row-incomplete", span, message);
                continue;
            }
        };
        let largest = r
            .largest
            .map(|n| Load::from_dfu(check.positive(n.0, "a load", span.clone())));
        let mut range = |over: Option<super::number::Number>, to: Option<super::number::Number>| {
            let over = over.map(|n| check.positive(n.0, "a limit", span.clone()));
            let to = to.map(|n| check.positive(n.0, "a limit", span.clone()));
            if let (Some(a), Some(b)) = (over, to)
                && a >= b
            {
                let message = format!("`{}`: over {a} to {b} holds nothing", r.name);
                check.says("B003", "book-rows-not-ascending", span.clone(), message);
            }
            (over, to)
        };
        let gpf = range(r.gpf_over, r.gpf_to);
        let flow = range(r.flow_over, r.flow_to);
        let heads = range(r.heads_over, r.heads_to);
        lines.push(FixtureLine {
            name: r.name.clone(),
            kinds: r.kinds.clone(),
            load,
            largest,
            trap,
            drain,
            public: r.public,
            emergency: r.emergency,
            with: r.with.clone(),
            gpf,
            flow,
            heads,
            unstated: r.unstated,
            provenance: check.provenance(r.provenance.as_deref(), info.provenance, span.clone()),
            trap_provenance: check.provenance(r.trap_provenance.as_deref(), traps.provenance, span),
        });
    }
    lines
}

pub(super) fn load_groups(
    check: &mut Checker,
    info: &TableInfo,
    raw: &toml::Spanned<RawTable<RawGroup>>,
) -> Vec<GroupRow> {
    let mut rows = Vec::new();
    for raw in &raw.get_ref().rows {
        let (span, r) = (raw.span(), raw.get_ref());
        rows.push(GroupRow {
            name: r.name.clone(),
            stands_for: r.stands_for.clone(),
            large_flush: r.large_flush,
            load: Load::from_dfu(check.positive(r.dfu.0, "a load", span.clone())),
            provenance: check.provenance(r.provenance.as_deref(), info.provenance, span),
        });
    }
    rows
}

pub(super) fn load_baths(
    check: &mut Checker,
    info: &TableInfo,
    raw: &toml::Spanned<RawTable<RawBaths>>,
) -> Vec<BathRow> {
    let mut rows: Vec<BathRow> = Vec::new();
    for raw in &raw.get_ref().rows {
        let (span, r) = (raw.span(), raw.get_ref());
        let halves = match (r.baths, r.each_further) {
            (Some(n), false) if (n.0 * 2.0).fract() == 0.0 && (0.5..=100.0).contains(&n.0) => {
                Some((n.0 * 2.0) as u32)
            }
            (None, true) => None,
            _ => {
                let message = "a row of baths has `baths` in halves, or `each_further`".to_owned();
                check.says("B012", "book-row-incomplete", span, message);
                continue;
            }
        };
        let last = rows.iter().filter_map(|row| row.halves).max();
        if let (Some(halves), Some(last)) = (halves, last)
            && halves <= last
        {
            let message = "baths do not ascend".to_owned();
            check.says("B003", "book-rows-not-ascending", span.clone(), message);
        }
        rows.push(BathRow {
            halves,
            load: Load::from_dfu(check.positive(r.dfu.0, "a load", span.clone())),
            provenance: check.provenance(r.provenance.as_deref(), info.provenance, span),
        });
    }
    rows
}
