//! The two scales of a section.

use crate::placement::{Scale, scale};
use crate::units::{Length, UnitSystem};

/// The scales of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scales {
    /// Of lengths.
    pub across: Scale,
    /// Of heights: the same or larger.
    pub up: Scale,
}

/// Architects' and engineers' scales, largest first.
const FEET: [Scale; 14] = [
    scale(12.0, "1″ = 1′-0″"),
    scale(16.0, "¾″ = 1′-0″"),
    scale(24.0, "½″ = 1′-0″"),
    scale(32.0, "⅜″ = 1′-0″"),
    scale(48.0, "¼″ = 1′-0″"),
    scale(64.0, "3⁄16″ = 1′-0″"),
    scale(96.0, "⅛″ = 1′-0″"),
    scale(120.0, "1″ = 10′-0″"),
    scale(240.0, "1″ = 20′-0″"),
    scale(360.0, "1″ = 30′-0″"),
    scale(480.0, "1″ = 40′-0″"),
    scale(600.0, "1″ = 50′-0″"),
    scale(1200.0, "1″ = 100′-0″"),
    scale(2400.0, "1″ = 200′-0″"),
];
/// Scales of ISO 5455 and those between that a scale rule has, largest first.
const METRIC: [Scale; 10] = [
    scale(10.0, "1:10"),
    scale(20.0, "1:20"),
    scale(25.0, "1:25"),
    scale(50.0, "1:50"),
    scale(100.0, "1:100"),
    scale(200.0, "1:200"),
    scale(250.0, "1:250"),
    scale(500.0, "1:500"),
    scale(1000.0, "1:1000"),
    scale(2000.0, "1:2000"),
];

/// Lengths are drawn no larger than this, as one in so many: a section of a short drain is no detail.
const LARGEST: f64 = 24.0;
/// Heights are drawn no more than so many times as large as lengths.
const MOST: f64 = 10.0;

impl Scales {
    /// The largest at which so long and so high a section fits paper of so many mm; none if it fits
    /// at none.
    pub fn fitting(
        units: UnitSystem,
        (long, high): (Length, Length),
        (width, height): (f64, f64),
    ) -> Option<Scales> {
        let all: &[Scale] = match units {
            UnitSystem::Feet => &FEET,
            UnitSystem::Metric => &METRIC,
        };
        let fits = |s: &Scale, real: Length, paper: f64| real.mm() * s.ratio <= paper + 1e-6;
        let wide = |s: &&Scale| s.ratio <= 1.0 / LARGEST + 1e-12 && fits(s, long, width);
        // Where heights need a smaller scale than lengths, lengths take that too.
        all.iter().filter(wide).find_map(|across| {
            let up = all
                .iter()
                .find(|up| up.ratio <= across.ratio * MOST + 1e-12 && fits(up, high, height));
            let up = up.filter(|up| up.ratio >= across.ratio)?;
            Some(Scales {
                across: *across,
                up: *up,
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 97 ft of drain and sewer on 274 mm of paper: at 1 in to 10 ft they take 97 × 2.54 = 246 mm, at
    /// 1/8 in to the foot 97 × 3.175 = 308 mm. 12 ft of height on 110 mm: at 1/4 in to the foot
    /// 12 × 6.35 = 76 mm, at 3/8 in 12 × 9.525 = 114 mm.
    #[test]
    fn the_largest_that_fit() {
        let feet = Length::from_feet;
        let of = |long, high| {
            let scales =
                Scales::fitting(UnitSystem::Feet, (feet(long), feet(high)), (274.0, 110.0));
            scales.map(|s| (s.across.words, s.up.words))
        };
        assert_eq!(of(97.0, 12.0), Some(("1″ = 10′-0″", "¼″ = 1′-0″")));
        // A short drain is no detail, and heights are drawn 10 times as large at the most.
        assert_eq!(of(5.0, 2.0), Some(("½″ = 1′-0″", "1″ = 1′-0″")));
        assert_eq!(of(500.0, 1.0), Some(("1″ = 50′-0″", "3⁄16″ = 1′-0″")));
        // What is higher than it is long has one scale for both: 100 ft are 127 mm at 1 in to 20 ft,
        // 84.7 mm at 1 in to 30 ft.
        assert_eq!(of(10.0, 100.0), Some(("1″ = 30′-0″", "1″ = 30′-0″")));
        assert_eq!(of(1.0e6, 1.0), None);
    }
}
