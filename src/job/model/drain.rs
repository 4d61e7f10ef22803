//! Horizontal drains.

use super::{FloorIx, Leg, Said, Target};
use crate::diagnostics::Span;
use crate::units::{Fall, Length, PipeSize};

/// How a branch joins a drain.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Wye {
    /// The branch lies level with the drain.
    #[default]
    Flat,
    /// Rolled up 45°.
    Rolled,
    /// Standing on its back: the branch drops in vertically.
    OnBack,
}

/// A horizontal drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Drain {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// What it drains into; none: the tool decides.
    pub into: Option<Said<Target>>,
    /// The floor it hangs beneath.
    pub floor: Option<FloorIx>,
    /// Developed length up the drain it joins, from that drain's downstream end.
    pub station: Option<Said<Length>>,
    /// How it joins.
    pub wye: Option<Wye>,
    /// Its legs, walking upstream. Empty: not known.
    pub run: Vec<Leg>,
    /// Stated size of the whole drain.
    pub size: Option<Said<PipeSize>>,
    /// Stated fall of the whole drain.
    pub fall: Option<Said<Fall>>,
    /// Invert where a branch meets its stack, from the finished floor of `floor`.
    pub invert: Option<Said<Length>>,
    /// How one vent serves the fixtures on it that state no vent, in the book's word.
    pub method: Option<Said<String>>,
    /// Already there.
    pub existing: bool,
    /// Roughed in for later.
    pub future: bool,
}
