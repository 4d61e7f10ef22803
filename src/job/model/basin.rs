//! Ejector basins.

use super::{FloorIx, Said, Target};
use crate::diagnostics::Span;
use crate::units::{Flow, Length, PipeSize};

/// An ejector basin.
#[derive(Clone, Debug, PartialEq)]
pub struct Basin {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// Floor it stands in.
    pub floor: Option<FloorIx>,
    /// Pump flow.
    pub pump: Option<Flow>,
    /// What it discharges into.
    pub into: Option<Said<Target>>,
    /// Station on that drain.
    pub station: Option<Said<Length>>,
    /// Discharge size.
    pub size: Option<Said<PipeSize>>,
    /// Invert of its inlet, from its floor.
    pub inlet: Option<Said<Length>>,
    /// Its vent, by index.
    pub vent: Option<Said<usize>>,
}
