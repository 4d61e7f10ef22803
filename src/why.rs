//! The whole working of one pipe: what drains through it, its load, the table and the row, what the
//! sizes next to it would do, its fall and its levels.

use serde_json::{Value, json};

use crate::catalogue;
use crate::codebook::Provenance;
use crate::job::nearest;
use crate::levels::bore;
use crate::levels::bounds;
use crate::network::{Network, PieceIx, System};
use crate::sheets::{Form, Say};
use crate::sizing::class::{Class, class};
use crate::sizing::hydraulics::{full_flow, manning, stack_flow, terminal_velocity};
use crate::sizing::ways::way_down;
use crate::sizing::{Alternative, Sizer};
use crate::solve::Work;
use crate::units::{Demand, Flow, Length, Printer, number};

/// The working of one pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct Why {
    /// Its id.
    pub id: String,
    /// Each point, with what is to be said of it; of some several.
    pub points: Vec<(&'static str, Vec<String>)>,
}

impl Why {
    /// As data.
    pub fn to_json(&self) -> Value {
        let points = self.points.iter().map(|(k, v)| ((*k).to_owned(), json!(v)));
        json!({ "id": self.id, "why": points.collect::<serde_json::Map<_, _>>() })
    }

    /// For people: the points in a column, what is said of them beside.
    pub fn text(&self) -> String {
        let mut out = format!("{}\n", self.id);
        for (point, said) in &self.points {
            for (i, words) in said.iter().enumerate() {
                let point = if i == 0 { point } else { "" };
                out += &format!("  {point:<9} {words}\n");
            }
        }
        out
    }
}

/// Every pipe of this name: a pipe by its id, or all of a drain, stack or vent by its own.
pub fn why(work: &Work<'_>, name: &str) -> Vec<Why> {
    if let Some(piece) = work.net.piece_by_id(name) {
        return vec![one(work, piece)];
    }
    let run = work
        .net
        .run_by_id(name)
        .and_then(|r| work.net.runs.get(r.0));
    let pieces = run.map_or(&[][..], |r| &r.pieces);
    pieces.iter().map(|p| one(work, *p)).collect()
}

/// The name that is nearest to one that nothing has.
pub fn like<'a>(net: &'a Network, name: &str) -> Option<&'a str> {
    let pieces = net.graph.edge_weights().map(|p| p.id.as_str());
    nearest(name, pieces.chain(net.runs.iter().map(|r| r.id.as_str())))
}

fn one(work: &Work<'_>, piece: PieceIx) -> Why {
    let (job, net) = (work.job, work.net);
    let print = Printer { units: job.units };
    let p = &net.graph[piece];
    let sizing = &work.solution.sizing;
    let mut points: Vec<(&'static str, Vec<String>)> = Vec::new();
    let serves = serves(work, piece);
    if !serves.is_empty() {
        points.push(("serves", vec![serves.join(", ")]));
    }
    if let Some(s) = sizing.pieces.get(&piece) {
        let stated = if s.stated { ", stated" } else { "" };
        let code = match s.code_size {
            Some(code) => format!("{} at least by the code", print.size(code)),
            None => s.unknown.clone().unwrap_or_default(),
        };
        points.push((
            "size",
            vec![format!("{}{stated}; {code}", print.size(s.size))],
        ));
        let most = s.capacity.map(|c| match c {
            Demand::Units(load) => format!(" of {} allowed", print.load(load)),
            Demand::Flow(_) => format!(" of {} allowed", print.demand(c)),
        });
        let load = print.demand(s.demand) + &most.unwrap_or_default();
        points.push(("load", vec![load]));
        let w = &s.working;
        let from = w.provenance.map(Provenance::words);
        let read = [w.table.as_deref(), w.row.as_deref(), from];
        let read: Vec<&str> = read.into_iter().flatten().collect();
        let section = match read.is_empty() {
            true => w.section.clone(),
            false => format!("{} ({})", read.join(", "), w.section),
        };
        points.push(("by", vec![section]));
        points.push(("working", w.steps.clone()));
    }
    if p.system == System::Waste {
        let sizer = Sizer::of(job, net, work.book);
        let all = sizer.alternatives(sizing, piece);
        let words = |a: &Alternative| {
            let does = if a.does { "would do" } else { "would not do" };
            format!("{} {does}: {}", print.size(a.size), a.because)
        };
        points.push(("instead", all.iter().map(words).collect()));
    }
    if let Some(bends) = work.solution.fittings.bends.get(&piece) {
        points.push(("bends", vec![bends.join(", ")]));
    }
    points.extend(flows(work, piece, &print));
    points.extend(levels(work, piece, &print));
    points.retain(|(_, said)| said.iter().any(|w| !w.is_empty()));
    Why {
        id: p.id.clone(),
        points,
    }
}

/// The fixtures that drain through a pipe, or whose vent it is.
fn serves(work: &Work<'_>, piece: PieceIx) -> Vec<String> {
    let net = work.net;
    let vent = net.graph[piece].system == System::Vent;
    let traps = net.traps.iter().filter(|t| match vent {
        true => t.vent_piece == Some(piece),
        false => {
            let way = t.joint.into_iter().flat_map(|j| way_down(net, j));
            way.into_iter().any(|(_, p)| p == piece)
        }
    });
    let names = traps.filter_map(|t| work.job.fixtures.get(t.fixture));
    names.map(|f| f.name.clone()).collect()
}

/// What it carries by hydraulics: a second opinion, by which nothing is sized.
fn flows(work: &Work<'_>, piece: PieceIx, print: &Printer) -> Option<(&'static str, Vec<String>)> {
    let h = catalogue::hydraulics()?;
    let size = work.solution.sizing.pieces.get(&piece)?.size;
    let bore = bore(work.job, work.net, piece, size);
    match class(work.net, piece) {
        Class::Stack(_) => {
            let flow = stack_flow(bore, h.stack_part);
            let falls = print.velocity(terminal_velocity(flow, bore));
            let flow = print.flow(flow);
            let part = h.stack_words;
            Some((
                "carries",
                vec![format!(
                    "{flow} at {part} full, its fall reckoned at {falls}"
                )],
            ))
        }
        Class::BuildingDrain | Class::Branch | Class::FixtureDrain => {
            let fall = work.solution.levels.pieces.get(&piece)?.fall?;
            let v = manning(bore, fall, h.roughness);
            let flow = full_flow(bore, v);
            let half = Flow::from_gpm(flow.gpm() / 2.0);
            let scours = match v >= h.scour {
                true => "it cleans itself",
                false => "too slow to clean itself",
            };
            Some((
                "carries",
                vec![format!(
                    "{} half full, {} full, at {} (Manning, n = {}): {scours}",
                    print.flow(half),
                    print.flow(flow),
                    print.velocity(v),
                    number(h.roughness, 3, false)
                )],
            ))
        }
        Class::Sewer | Class::Discharge => None,
    }
}

/// Fall, length, inverts and room.
fn levels(work: &Work<'_>, piece: PieceIx, print: &Printer) -> Vec<(&'static str, Vec<String>)> {
    let levels = &work.solution.levels;
    let Some(l) = levels.pieces.get(&piece) else {
        let vent = levels.vents.get(&piece);
        let length = vent.map(|v| ("length", vec![print.length(*v)]));
        return length.into_iter().collect();
    };
    let mut points = Vec::new();
    if let Some(fall) = l.fall {
        points.push(("fall", vec![print.fall(fall)]));
    }
    points.extend(l.length.map(|v| ("length", vec![print.length(v)])));
    if let (Some(down), Some(up)) = (l.invert_down, l.invert_up) {
        let words = format!("{} to {}", print.level(down), print.level(up));
        points.push(("inverts", vec![words]));
    }
    let rooms = levels.rooms.get(&piece);
    if let Some(room) = rooms.and_then(|r| r.up.or(r.down)) {
        let bound = bounds::words(work.job, work.net, room.bound);
        let say = Say {
            print: *print,
            form: Form::Terminal,
        };
        let fine = match room.spare < Length::ZERO && -room.spare <= catalogue::fine() {
            true => ", within setting tolerance",
            false => "",
        };
        let words = format!("{} to {bound}{fine}", say.room(Some(room.spare)));
        points.push(("room", vec![words]));
    }
    points
}
