//! How material is counted.

use crate::units::Length;

/// How material is counted (`[takeoff]`): all optional.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counting {
    /// Percent added to lengths of pipe for waste.
    pub waste: Option<u32>,
    /// Length that pipe is bought in.
    pub stock_length: Option<Length>,
}
