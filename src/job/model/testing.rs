//! How the rough-in is tested.

use crate::units::Length;

/// How the rough-in is tested (`[test]`): all optional.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Testing {
    /// Head of water that the test plugs bear.
    pub plug_rating: Option<Length>,
}
