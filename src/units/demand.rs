use super::{Flow, Load};

/// What a pipe has to carry, or may carry, in the measure that the tables of a book go by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Demand {
    /// Fixture units, as they add up.
    Units(Load),
    /// The flow that is to be expected.
    Flow(Flow),
}

impl Demand {
    /// Whether as much is enough for what is asked; never across measures.
    pub fn covers(self, asked: Demand) -> bool {
        self.parts_of(asked)
            .is_some_and(|(own, asked)| own >= asked)
    }
    /// What part of the other it is; none of nothing, and none across measures.
    pub fn part_of(self, whole: Demand) -> Option<f64> {
        let (own, whole) = self.parts_of(whole)?;
        (whole > 0.0).then(|| own / whole)
    }
    /// Nothing, in this measure.
    pub fn is_zero(self) -> bool {
        self.number() <= 0.0
    }
    /// The bare number, for a sheet's column that names the measure: units, or litres per second.
    pub fn number(self) -> f64 {
        match self {
            Demand::Units(load) => load.dfu(),
            Demand::Flow(flow) => flow.litres_per_second(),
        }
    }
    fn parts_of(self, other: Demand) -> Option<(f64, f64)> {
        match (self, other) {
            (Demand::Units(a), Demand::Units(b)) => Some((a.dfu(), b.dfu())),
            (Demand::Flow(a), Demand::Flow(b)) => {
                // What came through a unit and back is not told from what did not.
                const SAME: f64 = 1e-9;
                Some((a.gpm() + SAME, b.gpm()))
            }
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measures_are_not_mixed() {
        let units = |n| Demand::Units(Load::from_dfu(n));
        let flow = |n| Demand::Flow(Flow::from_litres_per_second(n));
        assert!(units(20.0).covers(units(20.0)) && !units(20.0).covers(units(20.5)));
        assert!(flow(2.5).covers(flow(2.5)) && !flow(2.5).covers(flow(2.51)));
        assert!(!units(20.0).covers(flow(1.0)) && !flow(20.0).covers(units(1.0)));
        assert_eq!(units(5.0).part_of(units(20.0)), Some(0.25));
        assert_eq!(units(5.0).part_of(units(0.0)), None);
        assert_eq!(units(5.0).part_of(flow(20.0)), None);
    }
}
