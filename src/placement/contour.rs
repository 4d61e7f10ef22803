//! The contour of a block along a way: for each strip of paper beside the way, how far back and
//! how far forward the block reaches. Pushing one block past another is one pass over the strips
//! that both have.

use kurbo::Vec2;

use super::outline::Outline;
use super::trunk::MODULE;
use crate::projection::COS30;

/// Width of a strip, mm: a quarter of the module's step aside, so that a block moved by whole
/// modules along another axis of the drawing covers whole strips again.
const STRIP: f64 = MODULE * COS30 / 4.0;

/// Reach of a set of outlines along one way, by strips of the coordinate square to it.
#[derive(Clone, Debug, Default)]
pub struct Contour {
    first: i32,
    reach: Vec<(f32, f32)>,
}

impl Contour {
    /// The contour of some outlines along the paper unit vector `u`.
    #[cfg(test)]
    pub fn of<'a>(outlines: impl IntoIterator<Item = &'a Outline>, u: Vec2) -> Self {
        let mut contour = Contour::default();
        for o in outlines {
            contour.add(o, u, Vec2::ZERO);
        }
        contour
    }
    /// Adds an outline, moved by `by`.
    pub fn add(&mut self, outline: &Outline, u: Vec2, by: Vec2) {
        let n = Vec2::new(u.y, -u.x);
        // Room for all of it at once; a strip that nothing reaches says nothing.
        let (low, high) = outline.range(n);
        let aside = by.dot(n);
        self.grow(strip(low + aside), strip(high + aside));
        let next = outline.corners().cycle().skip(1);
        for (a, b) in outline.corners().zip(next) {
            let (a, b) = (a.to_vec2() + by, b.to_vec2() + by);
            let (mut q0, mut p0) = (a.dot(n), a.dot(u));
            let (mut q1, mut p1) = (b.dot(n), b.dot(u));
            if q0 > q1 {
                (q0, q1, p0, p1) = (q1, q0, p1, p0);
            }
            let (s0, s1) = (strip(q0), strip(q1));
            self.grow(s0, s1);
            let strips = &mut self.reach[(s0 - self.first) as usize..=(s1 - self.first) as usize];
            // From border to border of the strips between; the last goes to the line's own end.
            let slope = if s1 > s0 { (p1 - p0) / (q1 - q0) } else { 0.0 };
            let mut from = p0;
            for (k, r) in strips.iter_mut().enumerate() {
                let border = f64::from(s0 + 1 + k as i32) * STRIP;
                let to = if s0 + (k as i32) < s1 {
                    p0 + (border - q0) * slope
                } else {
                    p1
                };
                let (low, high) = if from < to { (from, to) } else { (to, from) };
                r.0 = r.0.min(low as f32);
                r.1 = r.1.max(high as f32);
                from = to;
            }
        }
    }
    /// How far `other` must be moved along the way to stand clear of this one; negative infinity
    /// if they share no strip.
    pub fn push(&self, other: &Contour) -> f64 {
        let from = self.first.max(other.first);
        let to = (self.first + self.reach.len() as i32).min(other.first + other.reach.len() as i32);
        (from..to).fold(f64::NEG_INFINITY, |most, s| {
            let front = self.reach[(s - self.first) as usize].1;
            let rear = other.reach[(s - other.first) as usize].0;
            most.max(f64::from(front - rear))
        })
    }
    /// Adds all of `other`, `shift` further along the way.
    pub fn merge(&mut self, other: &Contour, shift: f64) {
        self.merge_aside(other, shift, 0);
    }
    /// Adds all of `other`, `shift` further along the way and so many strips aside.
    pub fn merge_aside(&mut self, other: &Contour, shift: f64, strips: i32) {
        if other.reach.is_empty() {
            return;
        }
        let first = other.first + strips;
        self.grow(first, first + other.reach.len() as i32 - 1);
        let own = &mut self.reach[(first - self.first) as usize..];
        for (own, r) in own.iter_mut().zip(&other.reach) {
            own.0 = own.0.min(r.0 + shift as f32);
            own.1 = own.1.max(r.1 + shift as f32);
        }
    }
    /// How many strips aside a step leads, if they are whole.
    pub fn strips_aside(by: Vec2, u: Vec2) -> Option<i32> {
        let strips = by.dot(Vec2::new(u.y, -u.x)) / STRIP;
        let whole = strips.round();
        ((strips - whole).abs() < 1e-6).then_some(whole as i32)
    }
    fn grow(&mut self, s0: i32, s1: i32) {
        const EMPTY: (f32, f32) = (f32::INFINITY, f32::NEG_INFINITY);
        if self.reach.is_empty() {
            self.first = s0;
            self.reach = vec![EMPTY; (s1 - s0 + 1) as usize];
            return;
        }
        if s0 < self.first {
            let more = (self.first - s0) as usize;
            self.reach.splice(0..0, std::iter::repeat_n(EMPTY, more));
            self.first = s0;
        }
        let need = (s1 - self.first + 1) as usize;
        if need > self.reach.len() {
            self.reach.resize(need, EMPTY);
        }
    }
}

/// The strip that a coordinate lies in. What plain processors have no instruction for, a call of
/// `floor`, took longer than all else here.
fn strip(q: f64) -> i32 {
    let strips = q / STRIP;
    let whole = strips as i32;
    whole - i32::from(f64::from(whole) > strips)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Rect;

    /// A block pushed past another touches it no more.
    #[test]
    fn pushing_clears() {
        let u = crate::projection::Way::X.paper();
        let a = Outline::rect(Rect::new(0.0, 0.0, 10.0, 4.0));
        let b = Outline::rect(Rect::new(-3.0, 1.0, 2.0, 9.0));
        let s = Contour::of([&a], u).push(&Contour::of([&b], u));
        assert!(!a.meets(&b.moved(u * s)));
        assert!(a.meets(&b.moved(u * (s - 2.0))));
    }
}
