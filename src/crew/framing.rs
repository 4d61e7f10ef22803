//! What the plan of holes says of pipes: which holes they take, and how they lie to joists.

use std::collections::BTreeMap;

use crate::drops::{self, Hole, Member, Verdict};
use crate::levels;
use crate::network::PieceIx;
use crate::solve::Work;

/// How a drain lies to the joists that it is laid among.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ToJoists {
    /// It goes across them, through bores.
    Across,
    /// It goes across joists that only their maker lets anyone bore.
    AcrossMakers,
    /// It lies between them, if they run its way: nobody says.
    Unsaid,
}

impl ToJoists {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            ToJoists::Across => "across joists, bored as the plan of holes has it",
            ToJoists::AcrossMakers => "across joists, only with their maker's leave",
            ToJoists::Unsaid => "between joists, if these run its way",
        }
    }
}

/// The holes of a job and its drains among joists, by their pipes.
#[derive(Clone, Debug, Default)]
pub struct Framing {
    holes: Vec<Hole>,
    joists: BTreeMap<PieceIx, ToJoists>,
}

impl Framing {
    /// Of a job, all its pipes.
    pub fn of(work: &Work<'_>) -> Framing {
        let list = drops::drops(work);
        let unsaid = levels::may_cross(work.job, work.net).into_keys();
        let mut joists: BTreeMap<PieceIx, ToJoists> =
            unsaid.map(|p| (p, ToJoists::Unsaid)).collect();
        joists.extend(list.bores.iter().map(|b| match b.verdict {
            Verdict::Maker => (b.piece, ToJoists::AcrossMakers),
            _ => (b.piece, ToJoists::Across),
        }));
        Framing {
            holes: list.holes,
            joists,
        }
    }

    /// How a drain lies to joists, if that is not said by where it lies.
    pub fn to_joists(&self, piece: PieceIx) -> Option<ToJoists> {
        self.joists.get(&piece).copied()
    }

    /// What goes up through a slab of some pipes or from them, by its name.
    pub fn through_slabs(&self, is_of: impl Fn(PieceIx) -> bool) -> impl Iterator<Item = &Hole> {
        let slabs = self.holes.iter();
        let slabs = slabs.filter(|h| matches!(h.member, Member::Slab { .. }));
        slabs.filter(move |h| is_of(h.piece))
    }

    /// The names of the holes that some pipes take, each once; of one whose place nobody knows that as
    /// well.
    pub fn names(&self, pieces: &[PieceIx]) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for hole in self.holes.iter().filter(|h| pieces.contains(&h.piece)) {
            let name = match hole.at {
                Ok(_) => hole.tag.clone(),
                Err(_) => format!("{}: choose its place", hole.tag),
            };
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }
}
