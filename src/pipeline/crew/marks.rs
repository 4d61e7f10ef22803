//! Where the crew's drawings go on from sheet to sheet.

use super::Pass;
use crate::captions::MatchMark;
use crate::crew::CrewSheet;
use crate::network::JointIx;
use crate::pipeline::drawn::as_other;
use crate::placement::Division;
use crate::sheets::{self, Paper, Scene};

impl Pass<'_> {
    /// The marks of the first `count` sheets. What goes on on a sheet that is left out is marked with
    /// the sheet of drains that shows it.
    pub(super) fn marks(&self, division: &Division, count: usize) -> Vec<MatchMark> {
        let (net, drawn) = (self.work.net, self.before);
        let first = drawn.sheets.len();
        let number = |i: usize| (i < count).then(|| sheets::crew_number(first + i));
        let on_drains = |joint: Option<JointIx>| {
            let shows = |s: &&(CrewSheet, Scene, Paper)| {
                let ends = s.0.pieces.iter().filter(|p| !s.0.cut.contains(p));
                joint.is_some() && ends.clone().any(|p| net.from(*p) == joint)
            };
            Some(drawn.sheets.iter().find(shows)?.0.number.clone())
        };
        let mut marks: Vec<MatchMark> = Vec::new();
        let mut letters = self.letters;
        for cut in &division.cuts {
            let (down, up) = (number(cut.down), number(cut.up));
            let whole = down.is_some() && up.is_some();
            let up_here = up.is_some();
            let (Some(down), Some(up)) = (match (down, up) {
                (None, None) => continue,
                (down, up) => (
                    down.or_else(|| on_drains(net.to(cut.piece))),
                    up.or_else(|| on_drains(net.from(cut.piece))),
                ),
            }) else {
                continue;
            };
            let run = net
                .graph
                .edge_weight(cut.piece)
                .and_then(|p| net.runs.get(p.run.0));
            // Where the other sheet is not cut it has no letter, but the joint's number.
            let joint = if up_here {
                net.to(cut.piece)
            } else {
                net.from(cut.piece)
            };
            let number = joint.and_then(|j| drawn.numbers.get(&j));
            let number = number.filter(|_| !whole);
            let name = match number {
                Some(number) => number.to_string(),
                None => {
                    letters += 1;
                    MatchMark::name_of(letters - 1)
                }
            };
            marks.push(MatchMark {
                piece: cut.piece,
                name,
                is_joint: number.is_some(),
                down,
                up,
                like: run.filter(|_| !whole).map(|r| r.id.clone()),
            });
        }
        // What goes on as another does, has the letter of the other's mark.
        let as_others: Vec<MatchMark> = (division.left.iter())
            .filter_map(|left| as_other(net, left, &marks, number(left.foot)?))
            .collect();
        marks.extend(as_others);
        marks
    }
}
