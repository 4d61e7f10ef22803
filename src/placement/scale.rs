//! Drawing to scale, where the job asks for it: the scales that a reader has a rule for, and which
//! pipes are drawn longer than they are, because what stands on them takes more room.

use super::assemble::Placement;
use crate::network::{Network, RunKind, System};
use crate::units::{Length, UnitSystem};

/// A scale of the drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Millimetres of paper per millimetre of building.
    pub ratio: f64,
    /// As a title block says it.
    pub words: &'static str,
}

/// One to so many, as a title block says it.
pub(crate) const fn scale(real: f64, words: &'static str) -> Scale {
    Scale {
        ratio: 1.0 / real,
        words,
    }
}

/// Architects' scales, largest first.
const FEET: [Scale; 8] = [
    scale(12.0, "1″ = 1′-0″"),
    scale(16.0, "¾″ = 1′-0″"),
    scale(24.0, "½″ = 1′-0″"),
    scale(32.0, "⅜″ = 1′-0″"),
    scale(48.0, "¼″ = 1′-0″"),
    scale(64.0, "3⁄16″ = 1′-0″"),
    scale(96.0, "⅛″ = 1′-0″"),
    scale(192.0, "1⁄16″ = 1′-0″"),
];
/// Scales of ISO 5455, largest first.
const METRIC: [Scale; 7] = [
    scale(10.0, "1:10"),
    scale(20.0, "1:20"),
    scale(25.0, "1:25"),
    scale(50.0, "1:50"),
    scale(75.0, "1:75"),
    scale(100.0, "1:100"),
    scale(200.0, "1:200"),
];

/// Scales of plans between those: on paper only plans are short of one there.
const FEET_BETWEEN: [Scale; 1] = [scale(128.0, "3⁄32″ = 1′-0″")];
/// Scales of plans of what is too large for the others: architects' and engineers', largest first.
const FEET_SMALL: [Scale; 4] = [
    scale(384.0, "1⁄32″ = 1′-0″"),
    scale(720.0, "1″ = 60′-0″"),
    scale(1200.0, "1″ = 100′-0″"),
    scale(2400.0, "1″ = 200′-0″"),
];
/// The same by ISO 5455.
const METRIC_SMALL: [Scale; 3] = [
    scale(500.0, "1:500"),
    scale(1000.0, "1:1000"),
    scale(2000.0, "1:2000"),
];

impl Scale {
    /// The scales at which a plan or section that is so wide and so high in the building fits paper
    /// of so many mm each way, largest first; none if it is larger than a town.
    pub fn fitting(
        units: UnitSystem,
        (wide, high): (Length, Length),
        (width, height): (f64, f64),
    ) -> impl Iterator<Item = Scale> {
        let (between, small): (&[Scale], &[Scale]) = match units {
            UnitSystem::Feet => (&FEET_BETWEEN, &FEET_SMALL),
            UnitSystem::Metric => (&[], &METRIC_SMALL),
        };
        let all = Scale::all(units).iter().chain(between).chain(small);
        let mut all: Vec<Scale> = all.copied().collect();
        all.sort_by(|a, b| b.ratio.total_cmp(&a.ratio));
        all.into_iter().filter(move |s| {
            wide.mm() * s.ratio <= width + 1e-6 && high.mm() * s.ratio <= height + 1e-6
        })
    }
    /// The scales to choose from, largest first.
    pub fn all(units: UnitSystem) -> &'static [Scale] {
        match units {
            UnitSystem::Feet => &FEET,
            UnitSystem::Metric => &METRIC,
        }
    }
    /// Ids of the drains whose length is known and that are not drawn at this scale.
    pub fn missed(self, placement: &Placement, net: &Network) -> Vec<String> {
        let mut missed = Vec::new();
        for p in &placement.pipes {
            let piece = &net.graph[p.piece];
            // A stub that goes on on another sheet, or out to the sewer, shows no length.
            let ends = [net.from(p.piece), net.to(p.piece)];
            let cut = ends.iter().flatten().any(|j| !placement.joints.contains(j));
            let sewer = net.runs[piece.run.0].kind == RunKind::Sewer;
            if piece.system != System::Waste || cut || sewer {
                continue;
            }
            let run = |l: &crate::network::NetLeg| {
                // A leg that rises at 45° climbs as far as it goes across.
                let slant = if l.rises_45 {
                    std::f64::consts::SQRT_2
                } else {
                    1.0
                };
                l.length.map(|l| l.mm() * slant)
            };
            let Some(real) = piece.legs.iter().map(run).sum::<Option<f64>>() else {
                continue;
            };
            let drawn: f64 = p.path.windows(2).map(|w| (w[1] - w[0]).length()).sum();
            if (drawn - real * self.ratio).abs() > WITHIN {
                missed.push(piece.id.clone());
            }
        }
        missed
    }
}

/// A length is to scale if it is within this, mm of paper: what a scale rule shows.
const WITHIN: f64 = 0.5;
