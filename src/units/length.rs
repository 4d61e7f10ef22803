use std::cmp::Ordering;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

const MM_PER_INCH: f64 = 25.4;
const INCHES_PER_FOOT: f64 = 12.0;

/// A length or a level in the building, in millimetres; levels are above the job's zero.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Length(f64);

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0.0);

    /// From millimetres.
    pub const fn from_mm(mm: f64) -> Self {
        Length(mm)
    }
    /// From metres.
    pub const fn from_m(m: f64) -> Self {
        Self::from_mm(m * 1000.0)
    }
    /// From inches (25.4 mm each).
    pub const fn from_inches(inches: f64) -> Self {
        Length(inches * MM_PER_INCH)
    }
    /// From feet (12 in each).
    pub const fn from_feet(feet: f64) -> Self {
        Length(feet * INCHES_PER_FOOT * MM_PER_INCH)
    }
    /// In millimetres.
    pub const fn mm(self) -> f64 {
        self.0
    }
    /// In inches.
    pub const fn inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }
    /// In feet.
    pub const fn feet(self) -> f64 {
        self.0 / (INCHES_PER_FOOT * MM_PER_INCH)
    }
    /// The same length without its sign.
    pub const fn abs(self) -> Self {
        Length(self.0.abs())
    }
    /// The larger of two.
    pub const fn max(self, other: Self) -> Self {
        Length(self.0.max(other.0))
    }
    /// The smaller of two.
    pub const fn min(self, other: Self) -> Self {
        Length(self.0.min(other.0))
    }
    /// Equal to within a hundredth of a millimetre, finer than any tape.
    pub fn same(self, other: Self) -> bool {
        (self.0 - other.0).abs() < 0.01
    }
    /// A total order, for sorting.
    pub fn total_cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl PartialOrd for Length {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        self.0.partial_cmp(&other.0)
    }
}
impl Add for Length {
    type Output = Length;
    fn add(self, o: Length) -> Length {
        Length(self.0 + o.0)
    }
}
impl Sub for Length {
    type Output = Length;
    fn sub(self, o: Length) -> Length {
        Length(self.0 - o.0)
    }
}
impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(-self.0)
    }
}
impl Mul<f64> for Length {
    type Output = Length;
    fn mul(self, k: f64) -> Length {
        Length(self.0 * k)
    }
}
impl Div<f64> for Length {
    type Output = Length;
    fn div(self, k: f64) -> Length {
        Length(self.0 / k)
    }
}
impl Div for Length {
    type Output = f64;
    fn div(self, o: Length) -> f64 {
        self.0 / o.0
    }
}
impl AddAssign for Length {
    fn add_assign(&mut self, o: Length) {
        self.0 += o.0;
    }
}
impl SubAssign for Length {
    fn sub_assign(&mut self, o: Length) {
        self.0 -= o.0;
    }
}
impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(iter: I) -> Length {
        iter.fold(Length::ZERO, Add::add)
    }
}
