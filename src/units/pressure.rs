use super::Length;

/// A gauge pressure.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Pressure(f64);

impl Pressure {
    /// From pounds per square inch.
    pub const fn from_psi(psi: f64) -> Self {
        Pressure(psi)
    }
    /// Of a column of water at rest: 0.433 psi for each foot, the figure of IPC Appendix E103.2.2.
    pub const fn of_water(head: Length) -> Self {
        Pressure(0.433 * head.feet())
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
