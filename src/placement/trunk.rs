//! A trunk: one straight line of pipe and all that hangs on it. Each thing is pushed along the
//! trunk until it stands clear of everything before it; lengths are free, so there is always room.

use std::rc::Rc;

use kurbo::Vec2;

use super::block::{Block, Part};
use super::contour::Contour;
use super::outline::{Cover, Outline};
use crate::projection::Way;

/// Stations are rounded up to this, mm, so that a small edit moves little.
pub const MODULE: f64 = 2.0;
/// In a drawing to scale they stand where they are, to this, mm.
pub const TRUE: f64 = 0.02;

/// What hangs at one place of a trunk, in each form that it can take.
#[derive(Debug)]
pub struct Forms {
    /// What all its forms have in common.
    pub base: Part,
    /// What each form has besides, with a cost in mm.
    pub each: Vec<(Part, f64)>,
    /// How far joints of the trunk itself reach above its place, mm (branches of one floor).
    pub lift: f64,
}

impl Forms {
    /// Forms with nothing in common.
    pub fn loose(each: Vec<(Block, f64)>) -> Rc<Self> {
        let each = each.into_iter().map(|(b, cost)| (b.finish(), cost));
        Rc::new(Forms {
            base: Block::default().finish(),
            each: each.collect(),
            lift: 0.0,
        })
    }
}

/// Something that hangs on a trunk.
pub struct Element {
    /// Its forms.
    pub forms: Rc<Forms>,
    /// Least distance from the joint before it, mm.
    pub gap: f64,
    /// Least station, mm.
    pub at_least: f64,
    /// Whether that is the height of a floor or of the roof, on which it stands to the hair, rather
    /// than on the next module, as long as nothing pushes it farther.
    pub level: bool,
    /// Whether it fixes a joint of the trunk; a label only takes room.
    pub is_joint: bool,
    /// Length of the trunk that it takes from its station on (a label).
    pub takes: f64,
    /// Least distances from earlier elements, by index, mm.
    pub after: Vec<(usize, f64)>,
}

/// The line that a trunk hangs on.
#[derive(Clone, Copy, Debug)]
pub struct Parent {
    /// Its way.
    pub way: Way,
    /// Whether it ends where the trunk begins: nothing of it lies ahead.
    pub ends: bool,
}

/// What a trunk must stay clear of.
pub struct Clear {
    /// The line that the trunk hangs on, if any.
    pub parent: Option<Parent>,
    /// How far its parts stand off that line, mm.
    pub corridor: f64,
    /// Stations are rounded up to this, mm.
    pub module: f64,
}

/// Where an element came to stand.
pub struct Stood {
    /// Its station, mm.
    pub station: f64,
    /// Which of its forms was taken.
    pub variant: usize,
}

/// Finds the station of every element. `taken` is what already stands round the trunk's origin.
pub fn stand(way: Way, clear: &Clear, taken: &Block, elements: &[Element]) -> Vec<Stood> {
    let u = way.paper();
    let mut front = taken.contour(way);
    let mut joint = 0.0f64;
    let mut least = 0.0f64;
    let mut stood = Vec::with_capacity(elements.len());
    for e in elements {
        let after = |(i, d): &(usize, f64)| stood.get(*i).map_or(0.0, |s: &Stood| s.station + d);
        let follows = e.after.iter().map(after).fold(0.0, f64::max);
        let base = e.forms.base.contour(way);
        let least_of_all = (joint + e.gap)
            .max(least)
            .max(e.at_least)
            .max(follows)
            .max(front.push(&base))
            .max(off_parent(e.forms.base.block(), u, clear));
        let mut best: Option<(f64, f64, usize, Rc<Contour>)> = None;
        for (i, (form, cost)) in e.forms.each.iter().enumerate() {
            if best.as_ref().is_some_and(|b| least_of_all + cost >= b.1) {
                continue;
            }
            let own = form.contour(way);
            let s = least_of_all
                .max(front.push(&own))
                .max(off_parent(form.block(), u, clear));
            let s = match e.level && s <= e.at_least {
                true => s,
                false => rounded(s, clear.module),
            };
            if best.as_ref().is_none_or(|b| s + cost < b.1) {
                best = Some((s, s + cost, i, own));
            }
        }
        let Some((s, _, variant, own)) = best else {
            stood.push(Stood {
                station: joint,
                variant: 0,
            });
            continue;
        };
        front.merge(&base, s);
        front.merge(&own, s);
        if e.is_joint {
            joint = s;
        } else {
            least = least.max(s + e.takes + 1.0);
        }
        stood.push(Stood {
            station: s,
            variant,
        });
    }
    stood
}

/// Where one joint by itself comes to stand, no nearer than `least`, mm: `each` are its forms.
pub fn stand_alone(
    way: Way,
    clear: &Clear,
    taken: &Block,
    (each, least): (Vec<(Part, f64)>, f64),
) -> f64 {
    let element = Element {
        forms: Rc::new(Forms {
            base: Block::default().finish(),
            each,
            lift: 0.0,
        }),
        gap: 0.0,
        at_least: least,
        level: false,
        is_joint: true,
        takes: 0.0,
        after: Vec::new(),
    };
    let stood = stand(way, clear, taken, &[element]);
    stood.first().map_or(least, |s| s.station)
}

/// Rounds a station up to a module.
pub fn rounded(station: f64, module: f64) -> f64 {
    (station / module - 1e-6).ceil() * module
}

/// How far along the trunk a block must stand to be clear of the line that the trunk hangs on.
fn off_parent(block: &Block, u: Vec2, clear: &Clear) -> f64 {
    let Some(parent) = clear.parent else {
        return 0.0;
    };
    let p = parent.way.paper();
    let n = Vec2::new(p.y, -p.x);
    let rate = n.dot(u);
    if rate.abs() < 1e-9 {
        return 0.0;
    }
    let n = if rate > 0.0 { n } else { -n };
    let advance = p.dot(u);
    let covers = [Cover::Solid, Cover::Header];
    block.most_of(&covers, Vec2::ZERO, &mut |o: &Outline, by: Vec2| {
        let aside = (clear.corridor - o.range(n).0 - by.dot(n)) / rate.abs();
        // Where the line ends, what lies wholly ahead of its end is clear of it too.
        if parent.ends && advance > 1e-9 {
            aside.min((clear.corridor - o.range(p).0 - by.dot(p)) / advance)
        } else {
            aside
        }
    })
}
