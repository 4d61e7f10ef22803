use super::Length;

/// The fall of a drain: drop over horizontal length, a pure ratio (1/4 in per ft = 1/48).
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Fall(f64);

impl Fall {
    /// From inches of drop per foot of run.
    pub const fn from_inches_per_foot(inches: f64) -> Self {
        Fall(inches / 12.0)
    }
    /// From percent.
    pub const fn from_percent(percent: f64) -> Self {
        Fall(percent / 100.0)
    }
    /// From a ratio of drop over run.
    pub const fn from_ratio(ratio: f64) -> Self {
        Fall(ratio)
    }
    /// Drop over run.
    pub const fn ratio(self) -> f64 {
        self.0
    }
    /// Inches of drop per foot of run.
    pub const fn inches_per_foot(self) -> f64 {
        self.0 * 12.0
    }
    /// Percent.
    pub const fn percent(self) -> f64 {
        self.0 * 100.0
    }
    /// The drop over a horizontal length.
    pub fn over(self, run: Length) -> Length {
        run * self.0
    }
    /// The flatter of two falls.
    pub const fn min(self, other: Self) -> Self {
        Fall(self.0.min(other.0))
    }
    /// The steeper of two falls.
    pub const fn max(self, other: Self) -> Self {
        Fall(self.0.max(other.0))
    }
    /// Equal to within a thousandth of an inch per foot.
    pub fn same(self, other: Self) -> bool {
        (self.0 - other.0).abs() < 1e-4
    }
}
