//! Tells what was chosen for a drawing.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value, json};

use super::FORM;
use crate::job::{FloorIx, Job};
use crate::network::{Network, PieceIx, RunIx, System};
use crate::placement::{Lengths, Plan};
use crate::projection::{Corner, Space};

/// What is to be told of a drawing; its sheets apart.
#[derive(Clone, Debug)]
pub struct Told {
    /// The corner that it is seen from.
    pub corner: Corner,
    /// The name of its paper.
    pub paper: &'static str,
    /// Capital height of its lettering, mm.
    pub lettering: f64,
    /// Steps in which its heights go up, mm.
    pub step: f64,
    /// Whether several sheets share it out.
    pub divided: bool,
    /// The lowest floor of each band but the first.
    pub bands: Vec<FloorIx>,
    /// The lengths of each of its sheets.
    pub sheets: Vec<Sheet>,
}

/// The lengths of one sheet, kept small: most runs only draw.
#[derive(Clone, Debug)]
pub struct Sheet {
    lengths: Lengths,
    origin: kurbo::Vec2,
    /// Where each pipe begins and its legs end, from where its run begins.
    pipes: Vec<(PieceIx, Vec<Space>)>,
    /// Where runs begin.
    begins: BTreeMap<RunIx, Space>,
    /// Runs that begin at a match mark.
    cuts: BTreeMap<RunIx, PieceIx>,
}

impl Sheet {
    /// The lengths of a plan.
    pub fn of(net: &Network, plan: &Plan) -> Sheet {
        let placement = &plan.placement;
        let placed: BTreeMap<PieceIx, &[Space]> = placement
            .pipes
            .iter()
            .filter(|p| net.graph[p.piece].system == System::Waste)
            .map(|p| (p.piece, p.path.as_slice()))
            .collect();
        let runs: BTreeSet<RunIx> = placed.keys().map(|p| net.graph[*p].run).collect();
        let mut sheet = Sheet {
            lengths: placement.lengths.clone(),
            origin: plan.origin,
            pipes: Vec::new(),
            begins: BTreeMap::new(),
            cuts: BTreeMap::new(),
        };
        for run in runs {
            sheet.run(net, plan, &placed, run);
        }
        sheet
    }

    fn run(
        &mut self,
        net: &Network,
        plan: &Plan,
        placed: &BTreeMap<PieceIx, &[Space]>,
        run: RunIx,
    ) {
        let all = net.runs.get(run.0).map_or(&[][..], |r| &r.pieces);
        let upright = |p: &PieceIx| {
            let legs = &net.graph[*p].legs;
            legs.iter()
                .all(|l| l.heading.is_none_or(|h| h.is_vertical()))
        };
        // Upright stacks go by the heights of floors.
        if net.is_stack(run) && all.iter().all(upright) {
            return;
        }
        let stands = |j| plan.placement.joints.contains(&j);
        let mut origin: Option<Space> = None;
        for piece in all {
            let Some(path) = placed.get(piece) else {
                continue;
            };
            let legs = net.graph[*piece].legs.len();
            // From its upstream joint down; what lies before its legs leads to a lane.
            let Some(begins) = path.get(legs).copied() else {
                continue;
            };
            if origin.is_none() && !net.to(*piece).is_some_and(stands) {
                self.cuts.insert(run, *piece);
            }
            let from = *origin.get_or_insert(begins);
            self.begins.insert(run, from);
            // A stub that goes on on another sheet has no length of its own.
            if net.from(*piece).is_some_and(stands) {
                let ends = path[..=legs].iter().rev().map(|p| *p - from);
                self.pipes.push((*piece, ends.collect()));
            }
        }
    }

    fn told(&self, job: &Job, net: &Network, number: &str) -> Value {
        /// The pipe at whose mark a run begins, where, and its pipes.
        type Run<'a> = (Option<&'a str>, Space, Map<String, Value>);
        let mut runs: BTreeMap<&str, Run<'_>> = BTreeMap::new();
        for (piece, ends) in &self.pipes {
            let (Some(piece), ends) = (net.graph.edge_weight(*piece), ends.iter()) else {
                continue;
            };
            let cut = self.cuts.get(&piece.run);
            let cut = cut.and_then(|c| net.graph.edge_weight(*c));
            let Some(run) = net.runs.get(piece.run.0) else {
                continue;
            };
            let own = runs.entry(run.id.as_str()).or_default();
            own.0 = cut.map(|c| c.id.as_str());
            own.1 = self.begins.get(&piece.run).copied().unwrap_or_default();
            let ends: Vec<[f64; 3]> = ends.map(|e| place(*e)).collect();
            own.2.insert(piece.id.clone(), json!(ends));
        }
        let runs: Map<String, Value> = runs
            .into_iter()
            .map(|(id, (cut, at, pipes))| {
                let at = place(at);
                let told = match cut {
                    Some(cut) => json!({ "cut": cut, "at": at, "pipes": pipes }),
                    None => json!({ "at": at, "pipes": pipes }),
                };
                (id.to_owned(), told)
            })
            .collect();
        let heights = &self.lengths.heights;
        let floors: Map<String, Value> = heights
            .each()
            .filter_map(|(f, [branches, mark, vents])| {
                let name = job.floors.get(f.0)?.name.clone();
                let told = json!({
                    "branches": exact(branches), "mark": exact(mark), "vents": exact(vents),
                });
                Some((name, told))
            })
            .collect();
        json!({
            "number": number,
            "origin": [self.origin.x, self.origin.y],
            "scale": self.lengths.scale,
            "heights": {
                "floors": floors, "roof": exact(heights.roof()), "low": exact(heights.low()),
            },
            "runs": runs,
        })
    }
}

fn place(at: Space) -> [f64; 3] {
    [at.x, at.y, at.z].map(exact)
}

/// Millimetres to a ten-thousandth.
fn exact(mm: f64) -> f64 {
    (mm * 10_000.0).round() / 10_000.0
}

/// The object; `numbers` are those of its sheets.
pub fn drawing(
    told: &Told,
    job: &Job,
    net: &Network,
    typical: bool,
    number: impl Fn(usize) -> String,
) -> Value {
    let floor = |f: &FloorIx| job.floors.get(f.0).map(|f| f.name.as_str());
    let sheets = told.sheets.iter().enumerate();
    json!({
        "form": FORM,
        "from": told.corner.words().to_lowercase(),
        "paper": told.paper,
        "lettering": told.lettering,
        "step": told.step,
        "divided": told.divided,
        "typical": typical,
        "bands": told.bands.iter().filter_map(floor).collect::<Vec<_>>(),
        "sheets": sheets.map(|(i, s)| s.told(job, net, &number(i))).collect::<Vec<_>>(),
    })
}
