//! A plan of a floor's holes, before and at its scale.

use kurbo::{Point, Rect};

use super::ink::{CAP, JOG, PITCH, width};
use super::tables::{at, off_in};
use super::view::View;
use super::{Axis, Drops, Hole, Joists, Level, Member};
use crate::job::Floor;
use crate::placement::Scale;
use crate::sheets::{Anchor, Inputs, Item, Role, Slant, Weight, layout, lettered};
use crate::units::{Length, Printer};

/// Room beside the plan on the left and above it: names of lines, numbers of joists; mm.
const BEFORE: f64 = 17.0;
/// Clear paper round the outermost holes, mm.
pub(super) const ROUND: f64 = 9.0;
/// No plan is drawn larger: half an inch to the foot, or 1:20.
const LARGEST: f64 = 1.0 / 20.0;
/// For its table's sake a plan is drawn smaller by no more than this.
const SMALLER: f64 = 1.5;
/// The lines under a plan are at least so long, mm: a narrow plan has no narrow ones.
const LINE: f64 = 118.0;

/// A plan before its scale is chosen.
pub(super) struct Plan<'a> {
    pub drops: &'a Drops,
    pub holes: Vec<&'a Hole>,
    pub joists: Option<&'a Joists>,
    pub print: Printer,
    pub field: Rect,
    /// What it shows: least east and north, most east and north.
    pub from: (Length, Length),
    pub to: (Length, Length),
    /// Room for the figures of the ordinates to the right and below, mm.
    pub figures: (f64, f64),
    /// Whether it stands for several floors, so that names leave theirs out.
    pub several: bool,
    /// What is said under it.
    under: Vec<String>,
}

impl<'a> Plan<'a> {
    pub fn of(
        set: &Inputs<'_>,
        drops: &'a Drops,
        holes: &[&'a Hole],
        (level, several): (Level, bool),
    ) -> Option<Plan<'a>> {
        let points: Vec<(Length, Length)> = holes
            .iter()
            .filter_map(|h| h.at.as_ref().ok().copied())
            .collect();
        let &first = points.first()?;
        let line = |axis: Axis| {
            let lines = drops.lines.iter().filter(move |l| l.axis == axis);
            lines.map(|l| l.at)
        };
        let east = || points.iter().map(|p| p.0).chain(line(Axis::East));
        let north = || points.iter().map(|p| p.1).chain(line(Axis::North));
        let from = (
            east().fold(first.0, Length::min),
            north().fold(first.1, Length::min),
        );
        let to = (
            east().fold(first.0, Length::max),
            north().fold(first.1, Length::max),
        );
        let print = Printer {
            units: set.job.units,
        };
        let wide = |l: Length, a: Axis| width(&off_in(l, a, print), Weight::Regular) + JOG + 2.0;
        let offsets = holes.iter().filter_map(|h| drops.from_lines(h));
        let figures = offsets.fold((0.0f64, 0.0f64), |f, o| {
            (
                f.0.max(wide(o.1, Axis::North)),
                f.1.max(wide(o.0, Axis::East)),
            )
        });
        Some(Plan {
            drops,
            holes: holes.to_vec(),
            joists: holes.iter().find_map(|h| h.joists.as_ref()),
            print,
            field: layout(set.paper).field,
            from,
            to,
            figures,
            several,
            under: under(set, drops, level, print),
        })
    }

    /// The lines under the plan, each no longer than this, mm.
    fn lines(&self, most: f64) -> Vec<String> {
        let words = self.under.iter().map(|w| lettered(w));
        words.flat_map(|w| wrapped(&w, most)).collect()
    }

    /// Room for them, and for where the table is.
    fn below(&self, most: f64) -> f64 {
        2.0 + PITCH * (self.lines(most).len() + 1) as f64
    }

    /// How long they may be at a scale.
    fn longest(&self, scale: Scale) -> f64 {
        let wide =
            BEFORE + 2.0 * ROUND + self.figures.0 + (self.to.0 - self.from.0).mm() * scale.ratio;
        wide.max(LINE).min(self.field.width() - 2.0)
    }

    /// Where their first baseline begins.
    fn foot(&self, scale: Scale) -> Point {
        let plot = self.view(scale).plot;
        Point::new(
            self.field.x0 + 2.0,
            plot.y1 + self.figures.1.max(JOG) + 2.0 + CAP,
        )
    }

    /// That its table stands on another sheet.
    pub fn away(&self, scale: Scale) -> Vec<Item> {
        let lines = self.lines(self.longest(scale)).len();
        let at = self.foot(scale) + kurbo::Vec2::new(0.0, PITCH * lines as f64);
        let words = "THE TABLE OF THESE HOLES IS ON SHEET {}";
        let mut item = super::ink::mark("note");
        item.texts.push(super::ink::text(
            words,
            at,
            Anchor::Start,
            Slant::Level,
            Weight::Bold,
        ));
        vec![item]
    }

    /// The scales at which it fits its field, largest first.
    pub fn scales(&self) -> impl Iterator<Item = Scale> + use<> {
        let size = (self.to.0 - self.from.0, self.to.1 - self.from.1);
        let room = (
            self.field.width() - BEFORE - 2.0 * ROUND - self.figures.0,
            self.field.height() - BEFORE - 2.0 * ROUND - self.figures.1.max(JOG) - self.below(LINE),
        );
        let units = self.print.units;
        let fitting = Scale::fitting(units, size, room).filter(|s| s.ratio <= LARGEST + 1e-9);
        // Rather than a small plan beside its table, a large one, and the table on a sheet of its own.
        let mut largest = None;
        fitting.take_while(move |s| {
            let most = *largest.get_or_insert(s.ratio);
            s.ratio >= most / SMALLER - 1e-9
        })
    }

    /// How many holes have no room for their tag at a scale, and how many run together with others.
    pub fn lost(&self, scale: Scale) -> (usize, usize) {
        let is = |i: &&Item| i.role == Role::Mark && i.id.starts_with("hole.");
        let view = self.view(scale);
        let untagged = view.items().iter().filter(is).count();
        (untagged, self.holes.len() - view.groups().len())
    }

    pub fn items(&self, scale: Scale) -> Vec<Item> {
        let mut items = self.view(scale).items();
        let foot = self.foot(scale);
        let mut note = super::ink::mark("note");
        let lines = self.lines(self.longest(scale));
        note.texts
            .extend(lines.iter().enumerate().map(|(i, words)| {
                let at = Point::new(foot.x, foot.y + PITCH * i as f64);
                super::ink::text(words, at, Anchor::Start, Slant::Level, Weight::Regular)
            }));
        items.push(note);
        items
    }

    fn view(&self, scale: Scale) -> View<'_> {
        let origin = Point::new(
            self.field.x0 + BEFORE + ROUND,
            self.field.y0 + BEFORE + ROUND,
        );
        let high = (self.to.1 - self.from.1).mm() * scale.ratio;
        let wide = (self.to.0 - self.from.0).mm() * scale.ratio;
        View {
            plan: self,
            scale,
            origin,
            plot: Rect::new(
                origin.x - ROUND,
                origin.y - ROUND,
                origin.x + wide + ROUND,
                origin.y + high + ROUND,
            ),
        }
    }
}

/// What every plan says: where its joists stand, and what comes before any boring.
fn under(set: &Inputs<'_>, drops: &Drops, level: Level, print: Printer) -> Vec<String> {
    let floor = match level {
        Level::Floor(f) => set.job.floors.get(f.0),
        Level::Roof => None,
    };
    let named = drops.lines.iter().map(|l| format!("{}: {}.", l.name, l.is));
    let mut under = vec![named.collect::<Vec<String>>().join(" ")];
    under.extend(floor.and_then(|f| joists(f, drops, print)));
    let here = at(drops, level);
    let absent = here.iter().filter(|h| h.at.is_err());
    let absent: Vec<&str> = absent.map(|h| h.tag.as_str()).collect();
    if !absent.is_empty() {
        let absent = absent.join(", ");
        under.push(format!("Not drawn, their place is not known: {absent}."));
    }
    let slab = |h: &&Hole| matches!(h.member, Member::Slab { .. });
    under.extend(match here.iter().all(slab) {
        true => super::notes::CAUTION_SLAB.map(str::to_owned).to_vec(),
        false => super::notes::CAUTION.map(str::to_owned).to_vec(),
    });
    under
}

/// How the joists of a floor stand, as far as that is stated.
fn joists(floor: &Floor, drops: &Drops, print: Printer) -> Option<String> {
    let east = floor.joists_run_east()?;
    let way = if east {
        "east and west"
    } else {
        "north and south"
    };
    let apart = floor
        .spacing
        .map(|s| format!(", {} from middle to middle", print.short(s)));
    let apart = apart.unwrap_or_default();
    let Some(laid) = Joists::of(floor) else {
        return Some(format!(
            "Joists run {way}{apart}. Where the first stands is not stated, so they are not drawn: \
             look first."
        ));
    };
    let (line, axis, from) = match east {
        true => (drops.lines.get(1)?, Axis::North, "north"),
        false => (drops.lines.first()?, Axis::East, "east"),
    };
    let first = laid.first - line.at;
    let from = match (axis, first < Length::ZERO) {
        (Axis::North, true) => "south",
        (Axis::East, true) => "west",
        _ => from,
    };
    Some(format!(
        "Joists run {way}{apart}; the middle of the first is {} {from} of {}.",
        print.length(first.abs()),
        line.name
    ))
}

/// Words in lines of no more than a width, mm.
fn wrapped(words: &str, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        let longer = lines.last().map(|l| format!("{l} {word}"));
        match longer.filter(|l| width(l, Weight::Regular) <= most) {
            Some(longer) => {
                lines.pop();
                lines.push(longer);
            }
            None => lines.push(word.to_owned()),
        }
    }
    lines
}
