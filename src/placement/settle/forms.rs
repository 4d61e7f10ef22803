//! Places for a label: along what it names, beside it, then out on a leader.

use kurbo::{Point, Vec2};

use super::cells::{Cells, Owner, line};
use super::covers;
use super::named::{Named, World};
use crate::captions::{Caption, lettered_run};
use crate::network::PieceIx;
use crate::placement::assemble::Placement;
use crate::placement::block::{Flush, PlacedLabel};
use crate::placement::lettering;
use crate::placement::outline::Outline;
use crate::projection::{Space, Way};
use crate::sheets::Slant;

/// So many free forms are enough to choose from.
const ENOUGH: usize = 16;
/// A label with fewer places along and beside what it names may also stand on a leader.
const FEW: usize = 4;

/// A label in one form: where it starts, its slant, what each of its lines covers, its leader.
pub(super) struct Form {
    pub(super) at: Point,
    pub(super) slant: Slant,
    pub(super) flush: Flush,
    pub(super) covers: Vec<Outline>,
    pub(super) leader: Option<(Point, Point)>,
}

impl Form {
    /// The label in this form.
    pub(super) fn label(&self, caption: usize) -> PlacedLabel {
        PlacedLabel {
            caption,
            at: self.at,
            slant: self.slant,
            flush: self.flush,
            leader: self.leader,
        }
    }
}

impl World<'_> {
    /// Free forms of a label as these words, those nearest to where it stands first, then those on
    /// a leader no longer than `reach`.
    pub(super) fn places(
        &self,
        placement: &Placement,
        cells: &Cells,
        caption: &Caption,
        label: &PlacedLabel,
        reach: f64,
    ) -> Vec<Form> {
        let named = self.named(placement, label);
        let mut forms = Vec::new();
        if caption.lines.len() == 1 {
            for (a, b) in &named.stretches {
                self.along(caption, *a, *b, &mut forms);
            }
        }
        let lines: Vec<(Point, Point)> = named
            .stretches
            .iter()
            .map(|(a, b)| (a.point(), b.point()))
            .collect();
        for (a, b) in split(&lines) {
            let host = lettering::Host {
                lines: &[(a, b)],
                hull: &[],
            };
            for (at, flush, _, _) in lettering::beside(caption, &host, |_, _| {}, 24) {
                forms.push(Form {
                    at,
                    slant: Slant::Level,
                    flush,
                    covers: Vec::new(),
                    leader: None,
                });
            }
        }
        if !named.hull.is_empty() {
            let host = lettering::Host {
                lines: &[],
                hull: &named.hull,
            };
            for (at, flush, _, _) in lettering::beside(caption, &host, |_, _| {}, 40) {
                forms.push(Form {
                    at,
                    slant: Slant::Level,
                    flush,
                    covers: Vec::new(),
                    leader: None,
                });
            }
        }
        // Nearest to where it stood first.
        forms.sort_by(|x, y| {
            (x.at - label.at)
                .hypot()
                .total_cmp(&(y.at - label.at).hypot())
        });
        // Beside a gap it would stand too far from the pipe on either side of it.
        // The words of a crew's pipe, not those of its foot.
        let of_pipe = self.captions.numbers_joints && self.pieces.contains_key(&label.caption);
        let under = |f: &Form| of_pipe && named.is_under(caption, f.at, f.slant, f.flush);
        let near = |f: &Form| named.is_near(caption, f.at, f.slant, f.flush) && !under(f);
        // What each covers is asked only of those that are looked at.
        let whole = |f: Form| Form {
            covers: covers(caption, f.at, f.slant, f.flush),
            ..f
        };
        let free = |f: &Form| f.covers.iter().all(|o| cells.free(o, |_| false));
        let forms = forms.into_iter().filter(near).map(whole);
        let mut found: Vec<Form> = forms.filter(free).take(ENOUGH).collect();
        if found.len() < FEW {
            self.on_leader(caption, &named, cells, reach, &mut found);
        }
        found
    }

    /// Forms along one stretch, both sides, in steps.
    pub(super) fn along(&self, caption: &Caption, a: Space, b: Space, forms: &mut Vec<Form>) {
        let (pa, pb) = (a.point(), b.point());
        let length = (pb - pa).hypot();
        let Some(way) = way_between(a, b) else { return };
        let room = length - caption.width();
        if room < -2.0 {
            return;
        }
        let steps = (room.max(0.0) / 2.0).floor() as usize;
        for k in 0..=steps {
            for left in [true, false] {
                let (start, slant, _) = lettering::along(caption, way, left);
                let at = start
                    + (pa.to_vec2() + way.paper() * (k as f64 * 2.0 + room.clamp(0.0, 1.0) * 0.5));
                forms.push(Form {
                    at,
                    slant,
                    flush: Flush::Left,
                    covers: covers(caption, at, slant, Flush::Left),
                    leader: None,
                });
            }
        }
    }

    /// Level labels at the end of a leader, the shortest first.
    fn on_leader(
        &self,
        caption: &Caption,
        named: &Named,
        cells: &Cells,
        reach: f64,
        found: &mut Vec<Form>,
    ) {
        let mut ends: Vec<Point> = Vec::new();
        let parts: &[f64] = match &named.joint {
            // All that meets at a joint leads away from it, and so does a leader: it crosses none.
            Some(_) => &[],
            None => &[0.5, 0.25, 0.75, 0.1, 0.9, 0.4, 0.6],
        };
        ends.extend(named.joint.as_ref().map(|j| j.at));
        for (a, b) in &named.stretches {
            ends.extend(parts.iter().map(|t| a.point().lerp(b.point(), *t)));
        }
        if !named.hull.is_empty() {
            ends.extend(named.hull.iter().copied());
        }
        let (w, h) = (caption.width(), caption.height());
        let mut radius = 6.0;
        while radius <= reach {
            for end in &ends {
                for d in COMPASS {
                    let elbow = *end + Vec2::new(d.0, d.1) * radius;
                    // The label hangs on the leader's far end by the side that faces it.
                    let x0 = if d.0 < 0.0 {
                        elbow.x - w - 0.8
                    } else {
                        elbow.x + 0.8
                    };
                    let y0 = elbow.y - h / 2.0;
                    let at = Point::new(x0, y0 + caption.rise());
                    let flush = if d.0 < 0.0 { Flush::Right } else { Flush::Left };
                    let own = covers(caption, at, Slant::Level, flush);
                    // A leader to a symbol begins at its edge, and not across a pipe that passes.
                    let from = match named.hull.is_empty() {
                        true => end.lerp(elbow, 0.8 / radius),
                        false => *end,
                    };
                    let tip = match &named.joint {
                        Some(joint) => joint.tip(elbow),
                        None => *end,
                    };
                    let leader = line(elbow, from, 0.12);
                    let names = |o: Owner| match o {
                        Owner::Pipe(p) => named_pipe(self, caption, p),
                        Owner::Symbol(s) => {
                            !named.hull.is_empty() || named.joint.as_ref().is_some_and(|j| j.has(s))
                        }
                        _ => false,
                    };
                    if own.iter().all(|o| cells.free(o, |_| false)) && cells.free(&leader, names) {
                        found.push(Form {
                            at,
                            slant: Slant::Level,
                            flush,
                            covers: own,
                            leader: Some((elbow, tip)),
                        });
                        if found.len() >= ENOUGH {
                            return;
                        }
                    }
                }
            }
            radius += 3.0;
        }
    }
}

fn named_pipe(world: &World<'_>, caption: &Caption, piece: PieceIx) -> bool {
    lettered_run(world.net, piece) == caption.names || world.net.graph[piece].id == caption.names
}

/// Directions of leaders: those that read best first, then those between.
const COMPASS: [(f64, f64); 24] = [
    (0.866, -0.5),
    (-0.866, -0.5),
    (0.866, 0.5),
    (-0.866, 0.5),
    (0.5, -0.866),
    (-0.5, -0.866),
    (0.5, 0.866),
    (-0.5, 0.866),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.02, -1.0),
    (0.02, 1.0),
    (0.966, -0.259),
    (-0.966, -0.259),
    (0.966, 0.259),
    (-0.966, 0.259),
    (0.707, -0.707),
    (-0.707, -0.707),
    (0.707, 0.707),
    (-0.707, 0.707),
    (0.259, -0.966),
    (-0.259, -0.966),
    (0.259, 0.966),
    (-0.259, 0.966),
];

/// Long stretches in parts, so that places are tried all along them.
fn split(lines: &[(Point, Point)]) -> Vec<(Point, Point)> {
    let mut out = Vec::new();
    for (a, b) in lines {
        let n = (((*b - *a).hypot() / 12.0).ceil().max(1.0) as usize).min(12);
        for i in 0..n {
            out.push((
                a.lerp(*b, i as f64 / n as f64),
                a.lerp(*b, (i + 1) as f64 / n as f64),
            ));
        }
    }
    out
}

/// The way from one place to another, if pipes can run so.
fn way_between(a: Space, b: Space) -> Option<Way> {
    let d = b - a;
    let sign = |v: f64| {
        if v > 1e-6 {
            1
        } else if v < -1e-6 {
            -1
        } else {
            0
        }
    };
    Way::of_signs(sign(d.x), sign(d.y), sign(d.z))
}
