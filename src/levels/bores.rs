//! The true bore of a pipe, by its material and size.

use crate::catalogue;
use crate::job::{Job, Lies};
use crate::network::{Network, PieceIx, RunKind, System};
use crate::units::{Length, PipeSize};

/// The bore of a piece at this size.
///
/// Building drains and their branches are of the material below ground, unless the job says that
/// they lie elsewhere; all else is of the material above. Where the catalogue has no figure for
/// that material and size the nominal size stands for the bore.
pub fn bore(job: &Job, net: &Network, piece: PieceIx, size: PipeSize) -> Length {
    let practice = &job.practice;
    let material = match net.graph.edge_weight(piece) {
        Some(p) if p.system == System::Vent => &practice.material_vents,
        Some(p) => {
            let below = match p.legs.iter().find_map(|l| l.lies) {
                Some(lies) => lies == Lies::UnderSlab,
                None => matches!(
                    net.runs.get(p.run.0).map(|r| r.kind),
                    Some(RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Sewer)
                ),
            };
            if below {
                &practice.material_below
            } else {
                &practice.material_above
            }
        }
        None => &practice.material_above,
    };
    catalogue::bore(material, size).map_or(Length::from_inches(size.inches()), |d| d.value)
}
