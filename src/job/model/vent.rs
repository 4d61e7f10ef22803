//! Vents.

use super::{Leg, Said, Target};
use crate::diagnostics::Span;
use crate::units::{Length, PipeSize};

/// A vent.
#[derive(Clone, Debug, PartialEq)]
pub struct Vent {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// `island`, `air admittance valve`, or none for a plain dry vent.
    pub kind: Option<Said<String>>,
    /// A stack, another vent or the roof.
    pub into: Option<Said<Target>>,
    /// Legs from the drain upward.
    pub run: Vec<Leg>,
    /// Stated size.
    pub size: Option<Said<PipeSize>>,
    /// Drain and station of an island vent's foot.
    pub foot: Option<(Said<Target>, Option<Length>)>,
    /// Already there.
    pub existing: bool,
    /// Roughed in for later.
    pub future: bool,
}
