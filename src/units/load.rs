use std::iter::Sum;
use std::ops::{Add, AddAssign};

/// A drainage load in the units of a book's fixtures: drainage fixture units (dfu), or discharge
/// units (l/s) in a book that makes flows of them.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Load(f64);

impl Load {
    /// No load.
    pub const ZERO: Load = Load(0.0);
    /// From drainage fixture units.
    pub const fn from_dfu(dfu: f64) -> Self {
        Load(dfu)
    }
    /// In drainage fixture units.
    pub const fn dfu(self) -> f64 {
        self.0
    }
}
impl Add for Load {
    type Output = Load;
    fn add(self, o: Load) -> Load {
        Load(self.0 + o.0)
    }
}
impl AddAssign for Load {
    fn add_assign(&mut self, o: Load) {
        self.0 += o.0;
    }
}
impl Sum for Load {
    fn sum<I: Iterator<Item = Load>>(iter: I) -> Load {
        iter.fold(Load::ZERO, Add::add)
    }
}

impl Load {
    /// The larger of two.
    pub const fn max(self, other: Load) -> Load {
        Load(self.0.max(other.0))
    }
}

/// By definition of the US gallon.
pub const LITRES_PER_GALLON: f64 = 3.785_411_784;

/// A flow in US gallons per minute.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Flow(f64);

impl Flow {
    /// From US gallons per minute.
    pub const fn from_gpm(gpm: f64) -> Self {
        Flow(gpm)
    }
    /// From litres per second.
    pub const fn from_litres_per_second(l: f64) -> Self {
        Flow(l * 60.0 / LITRES_PER_GALLON)
    }
    /// In litres per second.
    pub const fn litres_per_second(self) -> f64 {
        self.0 * LITRES_PER_GALLON / 60.0
    }
    /// In US gallons per minute.
    pub const fn gpm(self) -> f64 {
        self.0
    }
}
impl Add for Flow {
    type Output = Flow;
    fn add(self, o: Flow) -> Flow {
        Flow(self.0 + o.0)
    }
}
impl AddAssign for Flow {
    fn add_assign(&mut self, o: Flow) {
        self.0 += o.0;
    }
}
