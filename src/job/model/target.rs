//! What things drain or vent into.

/// What a thing drains or vents into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// An exit, by index.
    Exit(usize),
    /// A drain, by index.
    Drain(usize),
    /// A stack, by index.
    Stack(usize),
    /// A vent, by index.
    Vent(usize),
    /// An ejector basin, by index.
    Basin(usize),
    /// Another fixture's drain, by index.
    Fixture(usize),
    /// The open air above the roof.
    Roof,
}
