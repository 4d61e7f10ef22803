//! Fixtures: the drop from the run to the vent fitting, and the arm from there to the trap.

use super::{Cut, Cutter, up};
use crate::job::{Said, Wye};
use crate::network::draft::{DraftFixture, DraftLeg, Root, state_of};
use crate::network::model::{JointIx, JointKind, NetLeg, RunKind, State, Trap, TrapIx, VentMethod};
use crate::units::{Heading, Length};

/// A drop that later fixtures at the same place may share.
struct Drop {
    place: JointIx,
    floor: Option<crate::job::FloorIx>,
    legs: Vec<NetLeg>,
    fitting: JointIx,
}

impl Cutter<'_> {
    /// Every fixture of the job, in its order.
    pub(super) fn traps(&mut self) {
        let mut drops: Vec<Drop> = Vec::new();
        let mut by_place: std::collections::BTreeMap<JointIx, Vec<usize>> = Default::default();
        for (i, f) in self.job.fixtures.iter().enumerate() {
            let way = &self.draft.fixtures[i];
            let state = state_of(f.existing, f.future);
            let place = self.fixtures.get(i).copied().flatten();
            let place = place.filter(|_| !way.indirect);
            let (arm, mut drop) = split(way);
            if matches!(way.home, Some(Root::Basin(_))) && way.drop.is_empty() {
                // A basin is entered from the side.
                drop.insert(0, NetLeg::default());
            }
            let mut fitting = place;
            if let (Some(place), true) = (place, way.has_drop) {
                let shared = by_place.get(&place).into_iter().flatten().copied();
                let shared = shared.filter_map(|d| drops.get(d)).find(|d| {
                    d.floor == way.floor && (d.legs == drop || upright(&d.legs) && upright(&drop))
                });
                fitting = Some(match shared {
                    Some(drop) => drop.fitting,
                    None => {
                        let fitting = self.drop(i, place, drop.clone(), way, state);
                        by_place.entry(place).or_default().push(drops.len());
                        drops.push(Drop {
                            place,
                            floor: way.floor,
                            legs: drop,
                            fitting,
                        });
                        fitting
                    }
                });
            }
            let (joint, piece) = match fitting {
                Some(fitting) => {
                    let (joint, piece) = self.arm(i, fitting, arm, way, state);
                    (Some(joint), Some(piece))
                }
                None => (None, None),
            };
            self.net.traps.push(Trap {
                fixture: i,
                joint,
                arm: piece,
                vent_fitting: fitting,
                vent: if way.indirect {
                    VentMethod::Indirect
                } else {
                    VentMethod::None
                },
                vent_piece: None,
                vent_state: State::Proposed,
                group: None,
                over: f.over.as_ref().map(|o| TrapIx(o.value)),
                primed_by: f.primed_by.as_ref().map(|p| p.value),
                state,
            });
        }
        debug_assert!(drops.iter().all(|d| d.place != d.fitting));
    }

    fn drop(
        &mut self,
        i: usize,
        place: JointIx,
        legs: Vec<NetLeg>,
        way: &DraftFixture,
        state: State,
    ) -> JointIx {
        let f = &self.job.fixtures[i];
        let state = proposed_unless(state, !f.run.is_empty());
        let id = self.ids.take(format!("{}.drop", f.name));
        let joint = self.joint(id.clone(), JointKind::VentFitting);
        let kind = RunKind::FixtureDrain;
        let run = self.run(&id, kind, state, Some(f.span.clone()), way.floor);
        // A drop that starts upright stands on the back of its fitting.
        if legs.first().and_then(|l| l.heading) == Some(Heading::Up) {
            self.net.runs[run.0].wye = Wye::OnBack;
        }
        let fall = way.drop.iter().find_map(|l| l.fall.clone());
        let size = way.drop.iter().find_map(|l| l.size.clone());
        let cut = Cut {
            id,
            run,
            state,
            span: Some(f.span.clone()),
            legs,
            size: size.or_else(|| f.size.clone()),
            fall,
        };
        self.piece(joint, place, cut);
        joint
    }

    fn arm(
        &mut self,
        i: usize,
        fitting: JointIx,
        leg: NetLeg,
        way: &DraftFixture,
        state: State,
    ) -> (JointIx, crate::network::model::PieceIx) {
        let f = &self.job.fixtures[i];
        let stated = f.arm.is_some() || f.size.is_some() || f.fall.is_some();
        let state = proposed_unless(state, stated);
        let id = self.ids.take(format!("{}.arm", f.name));
        let trap = self.ids.take(f.name.clone());
        let joint = self.joint(trap, JointKind::Trap(TrapIx(i)));
        let run = self.run(&id, RunKind::Arm, state, Some(f.span.clone()), way.floor);
        let span = f.arm.as_ref().map(|a: &Said<Length>| a.span.clone());
        let cut = Cut {
            id,
            run,
            state,
            span: span.or(Some(f.span.clone())),
            legs: vec![leg],
            size: f.size.clone(),
            fall: f.fall.clone(),
        };
        let piece = self.piece(joint, fitting, cut);
        (joint, piece)
    }
}

/// Whether a drop only goes straight up: two such at one place are one pipe.
fn upright(legs: &[NetLeg]) -> bool {
    legs.iter().all(|l| l.heading == Some(Heading::Up))
}

fn proposed_unless(state: State, stated: bool) -> State {
    match state {
        State::Stated if !stated => State::Proposed,
        other => other,
    }
}

/// The arm's leg and the drop's legs of a fixture.
///
/// Where plan positions give the way square off the run, the arm takes of it what is stated or
/// what the book allows, and the drop the rest.
fn split(way: &DraftFixture) -> (NetLeg, Vec<NetLeg>) {
    let mut arm = NetLeg {
        heading: way.side,
        length: way.arm,
        ..NetLeg::default()
    };
    let mut drop: Vec<NetLeg> = way.drop.iter().map(net_leg).collect();
    if drop.is_empty() {
        if let Some((heading, length)) = way.offset {
            arm.heading = Some(heading);
            let most = way.arm.or(way.arm_limit).unwrap_or(length);
            if !way.has_drop {
                // The trap stands where the fixture does; the arm is the whole way there.
                arm.length = way.arm.or(Some(length));
            } else if most < length {
                arm.length = Some(most);
                drop.push(NetLeg {
                    heading: Some(heading),
                    length: Some(length - most),
                    ..NetLeg::default()
                });
            } else {
                arm.length = way.arm.or(Some(length));
            }
        }
        drop.push(up());
    }
    (arm, drop)
}

fn net_leg(leg: &DraftLeg) -> NetLeg {
    NetLeg {
        heading: leg.heading,
        length: leg.length,
        rises_45: false,
        lies: leg.lies,
    }
}
