//! What the plan of holes says of pipes: which holes they take, and how they lie to joists.

use std::collections::BTreeMap;

use crate::drops::{self, Hole, Level, Member, Verdict};
use crate::job::Job;
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

    /// The names of the holes that some pipes take, each once with the floors that it passes; of one whose
    /// place nobody knows that as well.
    pub fn names(&self, job: &Job, pieces: &[PieceIx]) -> Vec<String> {
        /// Of more floors the lowest and the highest are named.
        const MANY: usize = 4;
        let mut names: Vec<(&str, bool, Vec<&str>)> = Vec::new();
        for hole in self.holes.iter().filter(|h| pieces.contains(&h.piece)) {
            let passes = match hole.level {
                Level::Floor(floor) => job.floors.get(floor.0).map(|f| f.name.as_str()),
                Level::Roof => Some("roof"),
            };
            let placed = hole.at.is_ok();
            let at = names.iter().position(|n| n.0 == hole.tag && n.1 == placed);
            let at = at.unwrap_or_else(|| {
                names.push((&hole.tag, placed, Vec::new()));
                names.len() - 1
            });
            names[at].2.extend(passes);
        }
        let words = names.into_iter().map(|(tag, placed, floors)| {
            let floors = match floors.as_slice() {
                [low, .., high] if floors.len() > MANY => format!("{low} to {high}"),
                _ => floors.join(", "),
            };
            match placed {
                true => format!("{tag} ({floors})"),
                false => format!("{tag} ({floors}): choose its place"),
            }
        });
        words.collect()
    }
}
