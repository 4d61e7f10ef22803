//! Stacks: cut at what enters them and at their offsets, from the base up.

use super::{Cut, Cutter, up};
use crate::job::{FloorIx, Job};
use crate::network::draft::{Entrant, StackSpot, Who, stack_spots};
use crate::network::model::{JointIx, JointKind, NetLeg, RunIx};
use crate::units::{Heading, Length};

/// Where the last joint up a stack stands: its floor, and its invert from that floor.
type Height = (Option<FloorIx>, Option<Length>);

/// So far below the branches of its floor a relief vent leaves its stack, where no invert is stated:
/// that the lengths of the stack add up, no code's figure.
const RELIEF_BELOW: Length = Length::from_feet(1.0);

impl Cutter<'_> {
    /// Cuts a stack from its base up. Gives what enters it and where.
    pub(super) fn stack(&mut self, run: usize, base: JointIx) -> Vec<(Entrant, JointIx)> {
        let own = &self.draft.runs[run];
        let mut below = base;
        let mut height: Option<Height> = None;
        let mut entered = Vec::new();
        let mut top_is_joint = false;
        let mut relief_at: Option<Height> = None;
        for spot in stack_spots(self.job, self.draft, run) {
            match spot {
                StackSpot::Enters(spot, invert) => {
                    let floor = spot.entrants.first().and_then(|&e| own.entrants[e].floor);
                    let here = (floor, invert);
                    let mut leg = rise(self.job, height, here);
                    let relief = spot
                        .entrants
                        .iter()
                        .any(|&e| own.entrants[e].who == Who::StackRelief);
                    let kind = match floor.filter(|_| relief) {
                        Some(floor) => JointKind::Relief(floor),
                        None => JointKind::StackJunction,
                    };
                    if relief && invert.is_none() {
                        leg.length = leg.length.map(|l| (l - RELIEF_BELOW).max(Length::ZERO));
                    } else if relief_at.is_some_and(|f| f == here) {
                        leg.length = leg.length.or(Some(RELIEF_BELOW));
                    }
                    relief_at = relief.then_some(here);
                    let joint = self.up_to(run, below, spot.name, kind, leg);
                    for e in spot.entrants {
                        entered.extend(own.entrants.get(e).map(|e| (e.clone(), joint)));
                    }
                    (below, height, top_is_joint) = (joint, Some(here), true);
                }
                StackSpot::Offset(i) => {
                    let Some(offset) = own.offsets.get(i) else {
                        continue;
                    };
                    let floor = self.job.floors.get(offset.floor.0);
                    let place = floor.map_or(String::new(), |f| f.name.replace(' ', "-"));
                    let here = (Some(offset.floor), offset.invert.as_ref().map(|i| i.value));
                    let leg = rise(self.job, height, here);
                    let foot = JointKind::OffsetFoot(offset.floor);
                    let foot = self.up_to(run, below, format!("foot-{place}"), foot, leg);
                    let across = NetLeg {
                        heading: Some(offset.heading),
                        length: offset.length,
                        rises_45: offset.by_degrees == 45,
                        lies: None,
                    };
                    let head = JointKind::OffsetHead;
                    let head = self.up_to(run, foot, format!("head-{place}"), head, across);
                    // A 45° leg climbs as far as it goes across; its top is that much higher.
                    let climb = match (offset.by_degrees, offset.length) {
                        (45, Some(length)) => Some(length),
                        (45, None) => None,
                        _ => Some(Length::ZERO),
                    };
                    let top = here.1.zip(climb).map(|(invert, climb)| invert + climb);
                    (below, height, top_is_joint) = (head, Some((here.0, top)), false);
                }
            }
        }
        if !top_is_joint {
            below = self.up_to(run, below, "end".to_owned(), JointKind::End, up());
        }
        self.heads[run] = Some(below);
        entered
    }

    fn up_to(
        &mut self,
        run: usize,
        below: JointIx,
        name: String,
        kind: JointKind,
        leg: NetLeg,
    ) -> JointIx {
        let own = &self.draft.runs[run];
        let id = self.ids.take(format!("{}.{name}", own.id));
        let joint = self.joint(id.clone(), kind);
        let cut = Cut {
            id,
            run: RunIx(run),
            state: own.state,
            span: own.span.clone(),
            legs: vec![leg],
            size: own.size.clone(),
            fall: None,
        };
        self.piece(joint, below, cut);
        joint
    }
}

/// The leg up from one joint of a stack to the next: its length where both inverts are stated,
/// or neither and the floors differ (both then hang as far beneath their floors).
fn rise(job: &Job, from: Option<Height>, to: Height) -> NetLeg {
    let level = |floor: Option<FloorIx>| Some(job.floors.get(floor?.0)?.level);
    let length = from.and_then(|from| {
        let floors = level(to.0)? - level(from.0)?;
        match (from.1, to.1) {
            (Some(a), Some(b)) => Some(floors + b - a),
            (None, None) if floors > Length::ZERO => Some(floors),
            _ => None,
        }
    });
    NetLeg {
        heading: Some(Heading::Up),
        length: length.filter(|l| *l > Length::ZERO),
        ..NetLeg::default()
    }
}
