//! How a fault in the network is said.

use crate::diagnostics::{Diagnostic, Severity, Span};

/// The list that faults are put into, so that one run tells them all.
#[derive(Debug, Default)]
pub(crate) struct Faults {
    /// What was found.
    pub(crate) list: Vec<Diagnostic>,
}

impl Faults {
    /// An error.
    pub(crate) fn error(
        &mut self,
        (code, name): (&'static str, &'static str),
        at: &str,
        span: Option<Span>,
        message: String,
        help: &str,
    ) {
        self.push(Severity::Error, (code, name), at, span, message, help);
    }
    /// A warning.
    pub(crate) fn warning(
        &mut self,
        (code, name): (&'static str, &'static str),
        at: &str,
        span: Option<Span>,
        message: String,
        help: &str,
    ) {
        self.push(Severity::Warning, (code, name), at, span, message, help);
    }
    fn push(
        &mut self,
        severity: Severity,
        (code, name): (&'static str, &'static str),
        at: &str,
        span: Option<Span>,
        message: String,
        help: &str,
    ) {
        self.list.push(Diagnostic {
            at: at.to_owned(),
            span,
            help: (!help.is_empty()).then(|| help.to_owned()),
            ..Diagnostic::plain(code, name, severity, message)
        });
    }
}

/// A fixture or drain reaches no exit.
pub(crate) const NOT_DRAINED: (&str, &str) = ("N001", "reaches-no-exit");
/// Nothing says on which floor.
pub(crate) const FLOOR_MISSING: (&str, &str) = ("N002", "floor-missing");
/// Drains flow round in a circle.
pub(crate) const CIRCLE: (&str, &str) = ("N003", "flows-in-a-circle");
/// A station lies beyond the end of the run.
pub(crate) const BEYOND_END: (&str, &str) = ("N004", "station-beyond-end");
/// A length is negative or nought.
pub(crate) const BAD_LENGTH: (&str, &str) = ("N005", "length-not-positive");
/// A stack stands on a stack.
pub(crate) const STACK_ON_STACK: (&str, &str) = ("N006", "stack-into-stack");
/// Two drains go on in line from one end.
pub(crate) const TWO_IN_LINE: (&str, &str) = ("N007", "two-drains-in-line");
/// Two stacks stand in one place.
pub(crate) const TWO_STACKS: (&str, &str) = ("N008", "two-stacks-in-one-place");
/// A thing flows into something that cannot take it.
pub(crate) const WRONG_TARGET: (&str, &str) = ("N009", "cannot-flow-there");
/// A basin has nowhere to pump to.
pub(crate) const BASIN_LOST: (&str, &str) = ("N010", "basin-without-into");
/// Vents lead round in a circle.
pub(crate) const VENT_CIRCLE: (&str, &str) = ("N011", "vent-goes-nowhere");
/// A wet vent serves another floor.
pub(crate) const WET_OTHER_FLOOR: (&str, &str) = ("N012", "wet-vent-of-another-floor");
/// An indirect waste stands over nothing, or over another indirect waste.
pub(crate) const NO_RECEPTOR: (&str, &str) = ("N013", "no-receptor");
/// A vent serves no fixture.
pub(crate) const VENT_UNUSED: (&str, &str) = ("N014", "vent-serves-nothing");
/// A plan position and a station or run disagree.
pub(crate) const DISAGREE: (&str, &str) = ("N015", "position-disagrees");
/// An island vent has no drain to put its foot in.
pub(crate) const NO_FOOT: (&str, &str) = ("N016", "island-vent-without-foot");
/// A stated vent cannot get where it is to lead and joins another on its way.
pub(crate) const VENT_ELSEWHERE: (&str, &str) = ("N017", "vent-leads-elsewhere");
