//! The words of the job file that carry a quantity: one file a quantity.

mod falls;
mod flows;
mod legs;
mod lengths;
mod numbers;
mod sizes;

pub use falls::fall;
pub use flows::{flow, gallons};
pub use legs::{LegWord, go, leg_word};
pub use lengths::length;
pub use sizes::size;
