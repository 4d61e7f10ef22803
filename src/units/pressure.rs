use super::Length;

/// A gauge pressure.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Pressure(f64);

impl Pressure {
    /// From pounds per square inch.
    pub const fn from_psi(psi: f64) -> Self {
        Pressure(psi)
    }
    /// Of a column of water at rest.
    ///
    /// ```text
    /// p = ρ · g · h
    /// ```
    ///
    /// `ρ` 1000 kg/m³, water as common practice has it; `g` the standard 9.806 65 m/s². That is
    /// 0.4335 psi for each foot, the 0.433 of IPC Appendix E103.2.2 before it is rounded.
    pub const fn of_water(head: Length) -> Self {
        let kpa = 9.806_65 * head.mm() / 1000.0;
        Pressure(kpa / KPA_OF_PSI)
    }
    /// Pounds per square inch.
    pub const fn psi(self) -> f64 {
        self.0
    }
    /// Kilopascals.
    pub const fn kpa(self) -> f64 {
        self.0 * KPA_OF_PSI
    }
}

/// One pound-force of 4.448 221 615 260 5 N on a square inch of 25.4 mm.
const KPA_OF_PSI: f64 = 4.448_221_615_260_5 / (25.4 * 25.4) * 1000.0;

#[cfg(test)]
mod tests {
    use super::*;

    /// 5.119 m × 9.80665 kPa/m = 50.2003 kPa; 10 ft = 3.048 m: 29.8907 kPa / 6.894757 = 4.3353 psi.
    #[test]
    fn of_water() {
        let kpa = Pressure::of_water(Length::from_m(5.119)).kpa();
        assert!((kpa - 50.2003).abs() < 1e-4, "{kpa}");
        let psi = Pressure::of_water(Length::from_feet(10.0)).psi();
        assert!((psi - 4.3353).abs() < 1e-4, "{psi}");
    }
}
