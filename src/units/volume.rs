use std::ops::{Add, AddAssign, Mul};

use super::{LITRES_PER_GALLON, Length};

/// What a pipe holds.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Volume(f64);

impl Volume {
    /// From litres.
    pub const fn from_litres(litres: f64) -> Self {
        Volume(litres)
    }
    /// Of a round bore over a length: π/4 · d² · L. Geometry; no standard is its source.
    pub fn of_cylinder(bore: Length, length: Length) -> Self {
        let (d, l) = (bore.mm(), length.mm());
        Volume(std::f64::consts::FRAC_PI_4 * d * d * l / 1e6)
    }
    /// In litres.
    pub const fn litres(self) -> f64 {
        self.0
    }
    /// In US gallons.
    pub const fn gallons(self) -> f64 {
        self.0 / LITRES_PER_GALLON
    }
}

impl Add for Volume {
    type Output = Volume;
    fn add(self, other: Volume) -> Volume {
        Volume(self.0 + other.0)
    }
}

impl AddAssign for Volume {
    fn add_assign(&mut self, other: Volume) {
        self.0 += other.0;
    }
}

impl Mul<f64> for Volume {
    type Output = Volume;
    fn mul(self, by: f64) -> Volume {
        Volume(self.0 * by)
    }
}
