//! The legs of a run, taken off piece by piece at stations.

use crate::job::Said;
use crate::network::draft::{DraftLeg, DraftRun};
use crate::network::model::NetLeg;
use crate::units::{Fall, Heading, Length, PipeSize, Printer, UnitSystem};

/// How far along its legs a run has been cut.
pub(super) struct Walk<'a> {
    legs: &'a [DraftLeg],
    leg: usize,
    /// How much of the present leg is already cut off.
    used: Length,
    /// Whether the present place is only nominal, its true station unknown.
    loose: bool,
    total: Length,
}

/// The whole length of a run, when all of its legs are known.
pub(super) fn total(run: &DraftRun) -> Option<Length> {
    if run.legs.is_empty() {
        return None;
    }
    run.legs.iter().map(|l| l.length).sum::<Option<Length>>()
}

/// Stations at which stated size or fall changes within a run, or at which it starts or ends to
/// rise, with a name for each: a rise is a pipe of its own, with its own words, length and inverts.
pub(super) fn changes(run: &DraftRun, units: UnitSystem) -> Vec<(Length, String)> {
    let print = Printer { units };
    let mut at = Length::ZERO;
    let mut found = Vec::new();
    for pair in run.legs.windows(2) {
        let [before, after] = pair else { continue };
        at += before.length.unwrap_or_default();
        let size = |l: &DraftLeg| l.size.as_ref().map(|s| s.value);
        let fall = |l: &DraftLeg| l.fall.as_ref().map(|f| f.value);
        let same_fall = match (fall(before), fall(after)) {
            (Some(a), Some(b)) => a.same(b),
            (a, b) => a.is_none() && b.is_none(),
        };
        let upright = |l: &DraftLeg| l.heading.is_some_and(Heading::is_vertical);
        if upright(before) != upright(after) {
            let name = if upright(after) { "foot" } else { "head" };
            found.push((at, name.to_owned()));
        } else if size(before) != size(after) {
            let name = size(after).map_or("to-free".to_owned(), |s| {
                format!("to-{}", print.size_plain(s).replace([' ', '/'], "-"))
            });
            found.push((at, name));
        } else if !same_fall {
            found.push((at, "to-fall".to_owned()));
        }
    }
    found
}

impl<'a> Walk<'a> {
    /// At the downstream end of a run whose legs are all known.
    pub(super) fn new(legs: &'a [DraftLeg]) -> Self {
        Walk {
            legs,
            leg: 0,
            used: Length::ZERO,
            loose: false,
            total: Length::ZERO,
        }
    }

    /// Size and fall that hold from here on.
    pub(super) fn holds(&self) -> (Option<Said<PipeSize>>, Option<Said<Fall>>) {
        let leg = self.legs.get(self.leg).or(self.legs.last());
        leg.map_or((None, None), |l| (l.size.clone(), l.fall.clone()))
    }

    /// Takes off all up to a station; `loose` says that its place is only nominal.
    pub(super) fn to(&mut self, station: Length, loose: bool) -> Vec<NetLeg> {
        let mut cut = Vec::new();
        let tiny = Length::from_mm(0.5);
        while let Some(leg) = self.legs.get(self.leg) {
            let whole = leg.length.unwrap_or_default();
            let rest = whole - self.used;
            let wanted = station - self.total;
            let all = wanted + tiny >= rest;
            let part = if all { rest } else { wanted };
            if part > tiny {
                cut.push(NetLeg {
                    heading: leg.heading,
                    length: (!self.loose && (all || !loose)).then_some(part),
                    rises_45: false,
                    lies: leg.lies,
                });
            }
            self.total += part;
            if !all {
                self.used += part;
                self.loose = loose;
                break;
            }
            self.leg += 1;
            self.used = Length::ZERO;
            self.loose = false;
            if self.total + tiny >= station {
                // A loose place at the very end of a leg leaves both sides uncertain.
                if loose {
                    self.loose = true;
                    if let Some(last) = cut.last_mut() {
                        last.length = None;
                    }
                }
                break;
            }
        }
        if cut.is_empty() {
            let leg = self.legs.get(self.leg).or(self.legs.last());
            cut.push(NetLeg {
                heading: leg.and_then(|l| l.heading),
                length: (!loose).then_some(Length::ZERO),
                rises_45: false,
                lies: leg.and_then(|l| l.lies),
            });
        }
        cut
    }
}
