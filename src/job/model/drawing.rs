//! How to draw.

use super::Said;
use crate::units::Heading;

/// How to draw (`[drawing]`): all optional.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Corner to look from: the plan heading the viewer stands at (`southwest` …), if stated.
    pub from: Option<Said<Heading>>,
    /// Paper, if stated (`arch-d`).
    pub sheet: Option<Said<String>>,
    /// Whether lengths are drawn to scale.
    pub to_scale: bool,
    /// Whether storeys and stacks that are built alike are drawn one by one, on however many sheets.
    pub in_full: bool,
    /// Whether each fixture is a trap with its tag, without a drawing of it.
    pub plain_tags: bool,
}
