//! Arms that would fall by more than their diameter.

use super::Round;
use crate::levels::falls::Falls;
use crate::levels::model::{FallFrom, Flattened};
use crate::network::TrapIx;
use crate::sizing::traps::kind_of;
use crate::units::Length;

/// True if any was flattened.
///
/// A trap arm may not fall by more than its diameter on its whole length (but a closet's may):
/// where the preferred fall would, the arm takes the book's least.
pub(super) fn flatten(round: &Round<'_>, falls: &mut Falls) -> bool {
    let Round {
        job,
        net,
        book,
        sizing,
        levels,
    } = *round;
    let rules = book.arm_rules();
    let Some(diameters) = rules.fall_diameters.as_ref() else {
        return false;
    };
    let mut any = false;
    for (i, trap) in net.traps.iter().enumerate() {
        let closet = job
            .fixtures
            .get(trap.fixture)
            .and_then(kind_of)
            .is_some_and(|k| k.closet);
        if closet && rules.closet_exempt.value {
            continue;
        }
        let Some(arm) = trap.arm else { continue };
        let (Some(size), Some(level)) = (sizing.pieces.get(&arm), levels.pieces.get(&arm)) else {
            continue;
        };
        let (Some(fall), Some(run)) = (level.fall, level.horizontal) else {
            continue;
        };
        let Some(trap) = sizing.traps.get(&TrapIx(i)) else {
            continue;
        };
        let most =
            Length::from_inches(trap.size.inches().max(size.size.inches())) * diameters.value;
        if level.fall_from == FallFrom::Preferred
            && fall.over(run).mm() > most.mm() + 0.01
            && let Ok(least) = book.least_fall(size.size)
        {
            any |= falls.flatten(arm, least.value, Flattened::Arm);
        }
    }
    any
}
