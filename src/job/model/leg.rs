//! Legs of a run, and where pipes lie.

use super::Said;
use crate::diagnostics::Span;
use crate::units::{Fall, Heading, Length, PipeSize};

/// Where a horizontal pipe lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// Under the slab.
    UnderSlab,
    /// Between the joists, along them.
    BetweenJoists,
    /// Below the joists.
    UnderJoists,
    /// In a crawl space.
    CrawlSpace,
    /// In a wall.
    Wall,
}

impl Lies {
    /// The words of the job file.
    pub fn words(self) -> &'static str {
        match self {
            Lies::UnderSlab => "under slab",
            Lies::BetweenJoists => "between joists",
            Lies::UnderJoists => "under joists",
            Lies::CrawlSpace => "crawl space",
            Lies::Wall => "wall",
        }
    }
}

/// One leg of a `run`, walking upstream, with what holds over it.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// Which way it goes, walking upstream.
    pub heading: Heading,
    /// Centre-line length.
    pub length: Length,
    /// `size` that holds here, if the run states one.
    pub size: Option<Said<PipeSize>>,
    /// `fall` that holds here, if the run states one.
    pub fall: Option<Said<Fall>>,
    /// `lies` that holds here, if the run states one.
    pub lies: Option<Lies>,
    /// The words of this leg.
    pub span: Span,
}
