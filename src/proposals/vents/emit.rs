//! Turns what was laid out into joints and pieces.

use super::paths::level_way;
use super::{End, Vents};
use crate::network::{
    Column, Joint, JointIx, JointKind, NetLeg, Piece, PieceIx, RunIx, State, System, VentAt,
    VentLevel,
};
use crate::units::Heading;

/// A piece of vent to be.
pub(super) struct Bit {
    pub(super) run: RunIx,
    pub(super) id: String,
    /// From the drain up; none known: one leg of which nothing is.
    pub(super) legs: Vec<NetLeg>,
    pub(super) state: State,
}

impl Vents<'_, '_> {
    /// The vent joint at a place, made if it is not there.
    pub(super) fn place(&mut self, column: Column, level: VentLevel) -> JointIx {
        let key = (column_key(column), level);
        if let Some(&joint) = self.places.get(&key) {
            return joint;
        }
        let kind = JointKind::VentJoint(VentAt { column, level });
        let id = String::new();
        let joint = self.net.graph.add_node(Joint { id, kind });
        self.places.insert(key, joint);
        joint
    }

    /// A piece of vent; a vent joint at its lower end takes its id.
    pub(super) fn bit(&mut self, from: JointIx, to: JointIx, bit: Bit) -> PieceIx {
        // A run of one piece shares its id with it.
        let id = match bit.id == self.net.runs[bit.run.0].id {
            true => bit.id,
            false => self.ids.take(bit.id),
        };
        if matches!(self.net.graph[from].kind, JointKind::VentJoint(_)) {
            self.net.graph[from].id.clone_from(&id);
        }
        let span = self.net.runs[bit.run.0].span.clone();
        let piece = Piece {
            id,
            run: bit.run,
            system: System::Vent,
            state: bit.state,
            span,
            legs: match bit.legs.is_empty() {
                true => vec![NetLeg::default()],
                false => bit.legs,
            },
            size: self.sizes.get(&bit.run).cloned(),
            fall: None,
        };
        let piece = self.net.graph.add_edge(from, to, piece);
        self.net.runs[bit.run.0].pieces.push(piece);
        piece
    }

    /// Emits all verticals, then all level lines.
    pub(super) fn emit(&mut self) {
        self.vent_sizes();
        for v in std::mem::take(&mut self.verticals) {
            let own = self.net.runs[v.run.0].id.clone();
            let mut at = v.base;
            let mut first = v.first;
            let mut rise = None;
            let mut stops: Vec<(VentLevel, Option<JointIx>)> =
                v.levels.iter().map(|&l| (l, None)).collect();
            match v.end {
                End::Meets => {}
                End::Roof(id) => {
                    let level = VentLevel::Roof;
                    let kind = JointKind::Terminal(VentAt {
                        column: v.column,
                        level,
                    });
                    stops.push((level, Some(self.net.graph.add_node(Joint { id, kind }))));
                }
                End::Valve(level, id) => {
                    let kind = JointKind::Valve(VentAt {
                        column: v.column,
                        level,
                    });
                    stops.push((level, Some(self.net.graph.add_node(Joint { id, kind }))));
                }
            }
            for (level, end) in stops {
                let here = end.unwrap_or_else(|| self.place(v.column, level));
                let Some(from) = at.replace(here) else {
                    continue;
                };
                if from == here {
                    continue;
                }
                let id = first
                    .take()
                    .unwrap_or_else(|| format!("{own}.{}", self.called(level)));
                let bit = Bit {
                    run: v.run,
                    id,
                    legs: vec![heading(Heading::Up)],
                    state: v.state,
                };
                let piece = self.bit(from, here, bit);
                rise.get_or_insert(piece);
            }
            if let Some(d) = v.dry {
                self.rises[d] = rise;
            }
        }
        for line in std::mem::take(&mut self.levels) {
            let (from, to) = (
                self.place(line.from, line.level),
                self.place(line.to, line.level),
            );
            let own = self.net.runs[line.run.0].id.clone();
            let id = match line.name.as_str() {
                "" => own,
                name => format!("{own}.{name}"),
            };
            let legs = match (line.from, line.to) {
                (Column::Over(a), Column::Over(b)) => level_way(self.net, self.tree, a, b),
                _ => Vec::new(),
            };
            let bit = Bit {
                run: line.run,
                id,
                legs,
                state: line.state,
            };
            self.bit(from, to, bit);
        }
        self.emit_reliefs();
        self.stated_lengths();
    }

    /// How a level is called at the end of an id.
    fn called(&self, level: VentLevel) -> String {
        match level {
            VentLevel::UnderFloor(f) | VentLevel::UnderCounter(f) | VentLevel::AboveRim(f) => {
                super::super::branches::floor_name(self.job, Some(f))
            }
            VentLevel::Relief(f) => {
                format!(
                    "past-{}",
                    super::super::branches::floor_name(self.job, Some(f))
                )
            }
            VentLevel::Roof => "roof".to_owned(),
            VentLevel::Foot => "foot".to_owned(),
        }
    }

    /// Stated sizes of stated vents, by their runs.
    fn vent_sizes(&mut self) {
        for (&vent, &run) in &self.stated {
            if let Some(size) = self.job.vents.get(vent).and_then(|v| v.size.clone()) {
                self.sizes.insert(run, size);
            }
        }
    }

    /// Stated legs of a vent: the upright ones at its start are the length of its rise, the rest
    /// that of its only level line.
    fn stated_lengths(&mut self) {
        for (&vent, &run) in &self.stated {
            let Some(said) = self.job.vents.get(vent).filter(|v| !v.run.is_empty()) else {
                continue;
            };
            let upright = said
                .run
                .iter()
                .take_while(|l| l.heading.is_vertical())
                .count();
            let legs = |legs: &[crate::job::Leg]| -> Vec<NetLeg> {
                (legs.iter())
                    .map(|l| NetLeg {
                        heading: Some(l.heading),
                        length: Some(l.length),
                        rises_45: false,
                        lies: l.lies,
                    })
                    .collect()
            };
            let (up, across) = said.run.split_at(upright);
            let pieces = self.net.runs[run.0].pieces.clone();
            let stands = |p: &&PieceIx| {
                self.net.graph[**p]
                    .legs
                    .iter()
                    .all(|l| l.heading == Some(Heading::Up))
            };
            let standing: Vec<PieceIx> = pieces.iter().filter(stands).copied().collect();
            let level: Vec<PieceIx> = pieces.iter().filter(|p| !stands(p)).copied().collect();
            if let ([one], false) = (standing.as_slice(), up.is_empty()) {
                self.net.graph[*one].legs = legs(up);
            }
            if let ([one], false) = (level.as_slice(), across.is_empty()) {
                self.net.graph[*one].legs = legs(across);
            }
        }
    }
}

/// A leg that leads one way, of a length that nobody gave.
pub(super) fn heading(way: Heading) -> NetLeg {
    NetLeg {
        heading: Some(way),
        ..NetLeg::default()
    }
}

/// A column as a key that sorts.
pub(super) fn column_key(column: Column) -> (u8, usize) {
    match column {
        Column::Over(j) => (0, j.index()),
        Column::Beside(j) => (1, j.index()),
        Column::Riser(r) => (2, r.0),
    }
}
