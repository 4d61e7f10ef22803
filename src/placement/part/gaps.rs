//! Floors that a sheet does not show one by one: storeys built like one that is drawn, and floors
//! that everything on the sheet passes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::captions::Caption;
use crate::job::{FloorIx, Job};
use crate::placement::view::Left;

use crate::assets;
use crate::network::RunIx;

/// Floors that one mark stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The lowest, which has the mark.
    pub first: FloorIx,
    /// The highest.
    pub last: FloorIx,
    /// The floor that they are built like; none where nothing stands on them.
    pub like: Option<FloorIx>,
}

impl Gap {
    /// The words of its mark, lettered as another's are.
    pub(super) fn caption(&self, job: &Job, as_this: &Caption) -> Arc<Caption> {
        let name = |f: FloorIx| job.floors.get(f.0).map_or("", |f| f.name.as_str());
        let second = match self.like {
            Some(like) => format!("AS FLOOR {}", name(like)),
            None => "NO BRANCH".to_owned(),
        };
        let lines = vec![
            format!("{} TO {}", name(self.first), name(self.last)),
            second,
        ];
        let lines = lines.into_iter().map(|l| l.to_uppercase()).collect();
        let cap = as_this.em * assets::CAP;
        Arc::new(Caption::new("", lines, as_this.weight, cap))
    }
}

/// The floors that a sheet shows one by one, and those between them; `all` are its floors from the
/// lowest up, `shown` those on which something stands that is drawn.
pub(super) fn gaps(
    all: Vec<FloorIx>,
    shown: &BTreeSet<FloorIx>,
    stacks: &BTreeSet<RunIx>,
    left: &Left,
) -> (Vec<FloorIx>, BTreeMap<FloorIx, Gap>) {
    let mut floors = Vec::new();
    let mut gaps: BTreeMap<FloorIx, Gap> = BTreeMap::new();
    let like = |f: FloorIx| {
        let ranges = stacks.iter().filter_map(|s| left.storeys.get(s)).flatten();
        let mut ranges = ranges.filter(|r| (r.first..=r.last).contains(&f));
        ranges.next().map(|r| r.drawn)
    };
    let mut open: Option<Gap> = None;
    for f in all {
        if shown.contains(&f) {
            open = None;
            floors.push(f);
            continue;
        }
        let like = like(f);
        match &mut open {
            Some(gap) if gap.like == like => {
                gap.last = f;
                gaps.insert(gap.first, *gap);
            }
            _ => {
                open = Some(Gap {
                    first: f,
                    last: f,
                    like,
                });
                floors.push(f);
            }
        }
    }
    (floors, gaps)
}
