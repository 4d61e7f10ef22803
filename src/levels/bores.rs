//! The true bore of a pipe, by its material and size.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::model::Outside;
use crate::catalogue;
use crate::job::{Job, Lies};
use crate::network::{Network, PieceIx, RunKind, System};
use crate::units::{Length, PipeSize, UnitSystem};

/// The parts of a job that have materials of their own, by where a pipe lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Drains below ground.
    Below,
    /// Drains above ground.
    Above,
    /// Vents.
    Vents,
}

/// Bores of one job's materials, each looked up once.
pub struct Bores<'a> {
    job: &'a Job,
    net: &'a Network,
    known: RefCell<BTreeMap<(Part, PipeSize), Length>>,
}

impl<'a> Bores<'a> {
    /// None looked up yet.
    pub fn new(job: &'a Job, net: &'a Network) -> Self {
        Bores {
            job,
            net,
            known: RefCell::default(),
        }
    }

    /// The bore of a piece at this size.
    ///
    /// Building drains and their branches are of the material below ground, unless the job says
    /// that they lie elsewhere; all else is of the material above. Where the catalogue has no
    /// figure for that material and size the nominal size stands for the bore: the inch size, in a
    /// metric job the DN.
    pub fn of(&self, piece: PieceIx, size: PipeSize) -> Length {
        let part = part(self.net, piece);
        if let Some(known) = self.known.borrow().get(&(part, size)) {
            return *known;
        }
        let nominal = match self.job.units {
            UnitSystem::Feet => Length::from_inches(size.inches()),
            UnitSystem::Metric => Length::from_mm(f64::from(size.dn())),
        };
        let bore =
            catalogue::bore(material(self.job, self.net, piece), size).map_or(nominal, |d| d.value);
        self.known.borrow_mut().insert((part, size), bore);
        bore
    }

    /// The outside diameter of a piece's pipe at this size; none where the catalogue has no figure.
    pub fn outside(&self, piece: PieceIx, size: PipeSize) -> Option<Length> {
        catalogue::outside(material(self.job, self.net, piece), size).map(|d| d.value)
    }

    /// The outside of a piece where its invert lies so high; none where the catalogue has none.
    pub fn around(&self, piece: PieceIx, size: PipeSize, invert: Length) -> Option<Outside> {
        let whole = self.outside(piece, size)?;
        let low = invert - self.wall(piece, size);
        Some(Outside {
            low,
            high: low + whole,
        })
    }

    /// From a piece's invert to the top of its outside; none where the catalogue has no outside.
    pub fn top(&self, piece: PieceIx, size: PipeSize) -> Option<Length> {
        self.outside(piece, size)?;
        Some(self.of(piece, size) + self.wall(piece, size))
    }

    /// The thickness of a piece's wall at this size, as its outside diameter has it; nothing where the
    /// catalogue has no figure.
    pub fn wall(&self, piece: PieceIx, size: PipeSize) -> Length {
        let bore = self.of(piece, size);
        self.outside(piece, size)
            .map_or(Length::ZERO, |o| (o - bore) / 2.0)
    }
}

/// The material of a piece, as the job calls it.
pub fn material<'a>(job: &'a Job, net: &Network, piece: PieceIx) -> &'a str {
    let practice = &job.practice;
    match part(net, piece) {
        Part::Below => &practice.material_below,
        Part::Above => &practice.material_above,
        Part::Vents => &practice.material_vents,
    }
}

/// The part of a job whose material a piece is of, by what the job says of it: sizes and levels are
/// made with it. Where the pipe lies once they are known [`super::ground`] says.
pub fn part(net: &Network, piece: PieceIx) -> Part {
    let Some(p) = net.graph.edge_weight(piece) else {
        return Part::Above;
    };
    if p.system == System::Vent {
        return Part::Vents;
    }
    let below = match p.legs.iter().find_map(|l| l.lies) {
        Some(lies) => lies == Lies::UnderSlab,
        None => matches!(
            net.runs.get(p.run.0).map(|r| r.kind),
            Some(RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Sewer)
        ),
    };
    if below { Part::Below } else { Part::Above }
}

/// The bore of one piece at this size; see [`Bores::of`].
pub fn bore(job: &Job, net: &Network, piece: PieceIx, size: PipeSize) -> Length {
    Bores::new(job, net).of(piece, size)
}
