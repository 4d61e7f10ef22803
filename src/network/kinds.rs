//! What a fixture's kind means for the way its water takes.

use crate::catalogue::{self, Outlet};

/// What matters of a kind for drafting and venting.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Ways {
    /// Its arm comes out of the wall, above a drop.
    pub(crate) wall: bool,
    /// It drains over a receptor.
    pub(crate) indirect: bool,
    /// A water closet.
    pub(crate) closet: bool,
    /// Part of a bathroom group.
    pub(crate) bath: bool,
    /// A lavatory.
    pub(crate) lavatory: bool,
    /// A tub or shower.
    pub(crate) bathing: bool,
}

/// What the word for a kind means here. An unknown kind has its outlet in the wall, as most have.
pub(crate) fn ways(word: &str) -> Ways {
    let Some(kind) = catalogue::kind(word) else {
        return Ways {
            wall: true,
            ..Ways::default()
        };
    };
    Ways {
        wall: kind.outlet == Outlet::Wall,
        indirect: kind.outlet == Outlet::Indirect,
        closet: kind.closet,
        bath: kind.bath_group,
        lavatory: kind.word == "lavatory",
        bathing: matches!(kind.word, "bathtub" | "shower"),
    }
}
