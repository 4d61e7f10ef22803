//! A type for each quantity of the trade, and the one formatter that prints them.
//!
//! No bare `f64` crosses a stage: a length is a [`Length`], a fall a [`Fall`], a pipe size a
//! [`PipeSize`], a load a [`Load`]. Paper geometry is in millimetres of paper and uses
//! [`kurbo::Point`], so it can never be mixed up with a length in the building.

mod demand;
mod fall;
mod heading;
mod length;
mod load;
mod pressure;
mod print;
mod size;
mod velocity;
mod volume;

pub use demand::Demand;
pub use fall::Fall;
pub use heading::Heading;
pub use length::Length;
pub use load::{Flow, LITRES_PER_GALLON, Load};
pub use pressure::Pressure;
pub use print::{Printer, number};
pub use size::PipeSize;
pub use velocity::Velocity;
pub use volume::Volume;

/// The unit system a job is written and printed in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum UnitSystem {
    /// Feet and inches; pipe sizes by their nominal inch.
    #[default]
    Feet,
    /// Metres and millimetres; pipe sizes by DN.
    Metric,
}
