/// A velocity of flow.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Velocity(f64);

impl Velocity {
    /// From feet per second.
    pub const fn from_feet_per_second(v: f64) -> Self {
        Velocity(v)
    }
    /// In feet per second.
    pub const fn feet_per_second(self) -> f64 {
        self.0
    }
    /// In metres per second.
    pub const fn metres_per_second(self) -> f64 {
        self.0 * 0.3048
    }
}
