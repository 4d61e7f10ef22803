//! The heights of the drawing: floors, vents above the rims, the roof. Common to all stacks, so
//! that levels read straight across; raised until every block has the room that it asks for.

use std::collections::BTreeMap;

use super::block::Want;
use crate::job::FloorIx;

/// Heights in mm of paper above the exit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Heights {
    branch: BTreeMap<FloorIx, f64>,
    mark: BTreeMap<FloorIx, f64>,
    /// Where branches that come in above a floor need more than the least rise over its mark.
    above: BTreeMap<FloorIx, f64>,
    rim: BTreeMap<FloorIx, f64>,
    roof: f64,
    /// A relief vent below the lowest floor.
    low_relief: f64,
    step: Step,
    /// Whether a floor that goes up leaves those above it where they are, as far as there is room.
    alone: bool,
}

/// Least rise from a floor's branches to its vents above the rim, mm.
const LEAST_RIM: f64 = 30.0;
/// Least rise from one floor's branches to the next floor's, mm.
const LEAST_STOREY: f64 = 46.0;
/// Least rise from the highest vents to the roof, mm.
const LEAST_ROOF: f64 = 22.0;
/// Rise from a floor's vents to a relief vent that passes above them, mm.
const RELIEF_OVER_RIM: f64 = 4.0;
/// Least rise from a floor's branches to the marks of the floor itself, mm.
pub const MARK_RISE: f64 = 5.0;
/// Least rise from a floor's mark to the branches that come in above the floor, mm.
const ABOVE_MARK: f64 = 5.0;
/// Steps in which heights go up, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step(f64);

impl Step {
    /// The step of so many mm, if it is one of these.
    pub fn of(mm: f64) -> Option<Step> {
        [Step::COARSE, Step::FINE].into_iter().find(|s| s.0 == mm)
    }
    /// In mm.
    pub fn mm(self) -> f64 {
        self.0
    }
    /// So large that a small edit seldom moves a floor.
    pub const COARSE: Step = Step(10.0);
    /// For what would not fit its paper otherwise.
    pub const FINE: Step = Step(2.0);
}

impl Default for Step {
    fn default() -> Self {
        Step::COARSE
    }
}

impl Heights {
    /// The least heights of these floors, from the lowest up; `true_rise` gives the least rise
    /// in mm of paper from one floor to the next where levels are drawn in proportion.
    pub fn least(
        floors: &[FloorIx],
        (base, step): (f64, Step),
        true_rise: impl Fn(FloorIx, FloorIx) -> f64,
    ) -> Self {
        let mut h = Heights {
            low_relief: base / 2.0,
            roof: base + LEAST_RIM,
            step,
            ..Heights::default()
        };
        let mut z = base;
        for (i, &f) in floors.iter().enumerate() {
            if i > 0 {
                z += LEAST_STOREY.max(true_rise(floors[i - 1], f));
            }
            h.branch.insert(f, z);
            h.mark.insert(f, z + MARK_RISE);
            h.rim.insert(f, z + LEAST_RIM);
            h.roof = z + LEAST_RIM + LEAST_ROOF;
        }
        h
    }
    /// Raises these heights to those of another set, floor by floor.
    pub fn at_least(&mut self, other: &Heights) {
        let mut wants: Vec<(Want, f64)> = Vec::new();
        wants.extend(other.branch.iter().map(|(f, z)| (Want::Branch(*f), *z)));
        wants.extend(other.mark.iter().map(|(f, z)| (Want::Mark(*f), *z)));
        wants.extend(other.above.iter().map(|(f, z)| (Want::Above(*f), *z)));
        wants.extend(other.rim.iter().map(|(f, z)| (Want::Rim(*f), *z)));
        wants.push((Want::Roof, other.roof));
        wants.push((Want::LowRelief, other.low_relief));
        self.raise(&wants);
    }
    /// The height of each floor's branches, mark and vents, lowest floor first.
    pub fn each(&self) -> impl Iterator<Item = (FloorIx, [f64; 3])> + '_ {
        self.floors()
            .map(|f| (f, [self.branch(f), self.mark(f), self.rim(f)]))
    }
    /// Height of a relief vent below the lowest floor.
    pub fn low(&self) -> f64 {
        self.low_relief
    }
    /// The same heights, of floors counted from another one.
    pub fn renamed(&self, name: impl Fn(FloorIx) -> FloorIx) -> Heights {
        let all = |of: &BTreeMap<FloorIx, f64>| of.iter().map(|(f, z)| (name(*f), *z)).collect();
        Heights {
            branch: all(&self.branch),
            mark: all(&self.mark),
            above: all(&self.above),
            rim: all(&self.rim),
            ..*self
        }
    }
    /// Raises these heights to those that were, to the hair: branches, mark and vents of floors,
    /// the roof, a relief vent below the lowest floor. From then on a floor that goes up leaves
    /// those above it where they are, if there is room.
    pub fn hold(&mut self, were: &BTreeMap<FloorIx, [f64; 3]>, roof: f64, low: f64) {
        for (&f, &[branch, mark, rim]) in were {
            let own = self.branch(f);
            if branch > own {
                self.lift_from(f, branch - own);
            }
            for (heights, was) in [(&mut self.mark, mark), (&mut self.rim, rim)] {
                if let Some(z) = heights.get_mut(&f) {
                    *z = z.max(was);
                }
            }
        }
        self.roof = self.roof.max(roof);
        self.low_relief = self.low_relief.max(low);
        self.alone = true;
    }
    /// Height of the branches that hang beneath a floor.
    pub fn branch(&self, f: FloorIx) -> f64 {
        self.branch.get(&f).copied().unwrap_or(0.0)
    }
    /// Height of the marks of a floor itself, above all that hangs beneath it.
    pub fn mark(&self, f: FloorIx) -> f64 {
        let least = || self.branch(f) + MARK_RISE;
        self.mark.get(&f).copied().unwrap_or_else(least)
    }
    /// Height of the branches of a floor that come in above it.
    pub fn above(&self, f: FloorIx) -> f64 {
        let least = self.mark(f) + ABOVE_MARK;
        self.above.get(&f).map_or(least, |z| z.max(least))
    }
    /// Height of the vents above the rims of a floor.
    pub fn rim(&self, f: FloorIx) -> f64 {
        self.rim.get(&f).copied().unwrap_or(self.roof - LEAST_ROOF)
    }
    /// Height at which a relief vent leaves a stack below the branches of a floor: just above the
    /// vents of the floor below, so that what it asks for raises only what lies above it.
    pub fn relief(&self, f: FloorIx) -> f64 {
        let below = self.below(f);
        below.map_or(self.low_relief, |g| self.rim(g) + RELIEF_OVER_RIM)
    }
    /// What is asked for where such a relief vent finds room only at a height.
    pub fn relief_want(&self, f: FloorIx, z: f64) -> Option<(Want, f64)> {
        Some(match self.below(f) {
            Some(below) => (Want::Rim(below), z - RELIEF_OVER_RIM),
            None => (Want::LowRelief, z),
        })
    }
    fn below(&self, f: FloorIx) -> Option<FloorIx> {
        self.floors().rev().find(|g| *g < f)
    }
    /// Height of the roof.
    pub fn roof(&self) -> f64 {
        self.roof
    }
    /// The floors, lowest first.
    pub fn floors(&self) -> impl DoubleEndedIterator<Item = FloorIx> + '_ {
        self.branch.keys().copied()
    }
    /// Raises what the blocks ask for, and everything above it likewise. Says whether it changed.
    pub fn raise(&mut self, wants: &[(Want, f64)]) -> bool {
        let before = self.clone();
        for (want, z) in wants {
            let z = match want {
                Want::Mark(_) => *z,
                _ => (z / self.step.0 - 1e-6).ceil() * self.step.0,
            };
            match want {
                Want::Branch(f) => {
                    let own = self.branch(*f);
                    if z > own {
                        self.lift_from(*f, z - own);
                    }
                }
                Want::Mark(f) => {
                    if let Some(mark) = self.mark.get_mut(f) {
                        *mark = mark.max(z);
                    }
                }
                Want::Above(f) => {
                    if z > self.above(*f) {
                        self.above.insert(*f, z);
                    }
                }
                Want::Rim(f) => {
                    if let Some(rim) = self.rim.get_mut(f) {
                        *rim = rim.max(z);
                    }
                }
                Want::Roof => self.roof = self.roof.max(z),
                Want::LowRelief => self.low_relief = self.low_relief.max(z),
            }
        }
        // A floor's vents lie below the next floor's branches; the roof above all.
        let floors: Vec<FloorIx> = self.floors().collect();
        for pair in floors.windows(2) {
            let need = self.rim(pair[0]) + 8.0;
            let own = self.branch(pair[1]);
            if need > own {
                self.lift_from(pair[1], need - own);
            }
        }
        if let Some(top) = floors.last() {
            self.roof = self.roof.max(self.rim(*top) + LEAST_ROOF);
        }
        *self != before
    }
    fn lift_from(&mut self, floor: FloorIx, by: f64) {
        for heights in [
            &mut self.branch,
            &mut self.mark,
            &mut self.above,
            &mut self.rim,
        ] {
            for (f, z) in heights {
                if *f == floor || (*f > floor && !self.alone) {
                    *z += by;
                }
            }
        }
        if !self.alone {
            self.roof += by;
        }
    }
}
