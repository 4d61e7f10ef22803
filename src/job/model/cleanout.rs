//! Cleanouts.

use super::{Said, Target};
use crate::diagnostics::Span;
use crate::units::{Length, PipeSize};

/// The kinds of cleanout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CleanoutKind {
    /// Flush with a floor (FCO).
    Floor,
    /// Behind a wall plate (WCO).
    Wall,
    /// Brought up to grade outside (COTG).
    Grade,
    /// Two-way, near the exit.
    TwoWay,
    /// At a stack's base.
    Stack,
    /// In line at the end of a drain.
    End,
}

/// A cleanout.
#[derive(Clone, Debug, PartialEq)]
pub struct Cleanout {
    /// Its name.
    pub name: String,
    /// Where its name stands.
    pub span: Span,
    /// A drain or a stack.
    pub on: Said<Target>,
    /// Station on it; none: at its upstream end.
    pub station: Option<Said<Length>>,
    /// Its kind.
    pub kind: Option<CleanoutKind>,
    /// Stated size.
    pub size: Option<Said<PipeSize>>,
}
