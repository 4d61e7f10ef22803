/// A gauge pressure.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Pressure(f64);

impl Pressure {
    /// From pounds per square inch.
    pub const fn from_psi(psi: f64) -> Self {
        Pressure(psi)
    }
    /// Pounds per square inch.
    pub const fn psi(self) -> f64 {
        self.0
    }
    /// Kilopascals: one pound-force of 4.448 221 615 260 5 N on a square inch of 25.4 mm.
    pub const fn kpa(self) -> f64 {
        self.0 * 4.448_221_615_260_5 / (25.4 * 25.4) * 1000.0
    }
}
