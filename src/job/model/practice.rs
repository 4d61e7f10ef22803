//! The job's own practice.

use super::Said;
use crate::units::{Fall, Length, PipeSize};

/// How bores meet at wyes and reducers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Join {
    /// Centres matched.
    #[default]
    Centre,
    /// Crowns (tops of the bore) matched.
    Crown,
    /// Inverts matched.
    Invert,
}

/// A face of a wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Faces {
    /// Of its studs.
    Stud,
    /// Of its finish.
    Finish,
}

impl Faces {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Faces::Stud => "stud face",
            Faces::Finish => "finished face",
        }
    }
}

/// The job's own practice (`fall`, `steepest`, `stock`, `least`, `join`, `spare`, `material`, `terminal`, `methods`).
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// Preferred fall by size; sizes not listed use the book's least.
    pub falls: Vec<(PipeSize, Said<Fall>)>,
    /// Steepest fall of a drain that is not upright; none stated: as is common practice.
    pub steepest: Option<Said<Fall>>,
    /// Sizes on the truck, ascending. Default 1 1/2, 2, 3, 4, 6 (and 1 1/4 for arms is not stocked).
    pub stock: Vec<PipeSize>,
    /// Least size under a slab.
    pub least_under_slab: Option<PipeSize>,
    /// Least size of a kitchen drain.
    pub least_kitchen: Option<PipeSize>,
    /// Least size of a vent.
    pub least_vent: Option<PipeSize>,
    /// Whether a vent riser keeps one size all the way up.
    pub whole_risers: bool,
    /// How bores meet.
    pub join: Join,
    /// The face of a wall to which lengths and positions are measured, if stated.
    pub faces: Option<Faces>,
    /// Room to keep.
    pub spare: Option<Length>,
    /// Pipe material below ground, in words.
    pub material_below: String,
    /// Pipe material above ground, in words.
    pub material_above: String,
    /// Vent material, in words.
    pub material_vents: String,
    /// Vent terminal above the roof.
    pub above_roof: Option<Length>,
    /// Least terminal size for frost.
    pub frost: Option<PipeSize>,
    /// Venting methods to prefer, in the trade's words.
    pub prefer: Vec<Said<String>>,
    /// Venting methods allowed beyond the default, in the trade's words.
    pub allow: Vec<Said<String>>,
    /// Venting methods that the job does not have, in the trade's words.
    pub forbid: Vec<Said<String>>,
}

impl Default for Practice {
    fn default() -> Self {
        let pvc = || "PVC DWV".to_owned();
        Practice {
            falls: Vec::new(),
            steepest: None,
            stock: [1.5, 2.0, 3.0, 4.0, 6.0]
                .into_iter()
                .filter_map(PipeSize::from_inches)
                .collect(),
            least_under_slab: None,
            least_kitchen: None,
            least_vent: None,
            whole_risers: false,
            join: Join::Centre,
            faces: None,
            spare: None,
            material_below: pvc(),
            material_above: pvc(),
            material_vents: pvc(),
            above_roof: None,
            frost: None,
            prefer: Vec::new(),
            allow: Vec::new(),
            forbid: Vec::new(),
        }
    }
}
