//! What a pipe has to carry for the fixtures that drain through it, in the measure of the book.

use super::check::Checker;
use super::found::TableInfo;
use super::load_rules::{Figures, Raw};
use super::{Book, Found};
use crate::units::{Demand, Flow, Load, Printer, number};

/// How a book makes a flow of the units of its fixtures.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DesignFlow {
    pub frequency: Found<f64>,
    /// Not less than the largest single fixture brings.
    pub largest: bool,
}

pub(super) fn load(check: &mut Checker, raw: &Raw) -> (DesignFlow, TableInfo) {
    let mut f = Figures::new(check, "design_flow", raw);
    let design = DesignFlow {
        frequency: f.plain("frequency factor"),
        largest: f.yes("not less than the largest").value,
    };
    (design, f.done())
}

impl Book {
    /// What a drain has to carry.
    ///
    /// A book of fixture units: their sum. A book of flows:
    ///
    /// ```text
    /// Q = max(K · √ΣDU, largest DU) + Qc
    /// ```
    /// `Q` l/s; `ΣDU` sum of the discharge units, l/s; `K` the book's factor for how often the
    /// fixtures are used; `Qc` continuous and pumped flows, l/s, which are added undiminished.
    /// Example (EN 12056-2, K 0.5): 20 l/s of units, the largest 2.0: Q = 2.24 l/s.
    pub fn demand(&self, sum: Load, largest: Load, steady: Flow) -> Demand {
        let Some(design) = &self.design else {
            return Demand::Units(sum);
        };
        let by_use = design.frequency.value * sum.dfu().max(0.0).sqrt();
        let least = if design.largest { largest.dfu() } else { 0.0 };
        let flow = Flow::from_litres_per_second(by_use.max(least));
        Demand::Flow(flow + steady)
    }

    /// Where that comes from, in words; none where the units of a book are what its tables go by.
    pub fn demand_by(&self, sum: Load, demand: Demand, print: Printer) -> Option<String> {
        let design = self.design.as_ref()?;
        let k = &design.frequency;
        Some(format!(
            "{} from a sum of {} {}, K {} ({})",
            print.demand(demand),
            number(sum.dfu(), 2, false),
            self.unit(),
            number(k.value, 2, false),
            k.section
        ))
    }

    /// Whether the tables of pipes go by flows, not by units.
    pub fn by_flow(&self) -> bool {
        self.design.is_some()
    }

    /// The word for a fixture's unit (`dfu`, `DU`).
    pub fn unit(&self) -> &str {
        &self.fixtures.0.unit
    }

    /// A figure of a table of pipes, in the measure of the book.
    pub(super) fn figure(&self, figure: f64) -> Demand {
        match self.by_flow() {
            true => Demand::Flow(Flow::from_litres_per_second(figure)),
            false => Demand::Units(Load::from_dfu(figure)),
        }
    }
}
