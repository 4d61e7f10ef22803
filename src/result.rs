//! The whole result as one JSON object: what `--format json` prints.
//!
//! Lengths and levels are in millimetres above the job's zero, loads in drainage fixture units,
//! sizes as printed. Ids are those of the drawing. What was chosen for the drawing, for `--like`,
//! is told under `drawing` (see [`crate::earlier`]).

use petgraph::visit::EdgeRef;
use serde_json::{Map, Value, json};

use crate::captions::lettered_run;
use crate::codebook::Provenance;
use crate::diagnostics::{self, Diagnostic};
use crate::job::{FloorIx, Job};
use crate::levels::{FootingAt, Passes, Room, bounds};
use crate::network::{JointIx, Network, PieceIx, RunIx, TrapIx, VentMethod};
use crate::sheets::SheetSet;
use crate::solve::{Solution, Work};
use crate::standing::{self, Standing};
use crate::typical::Typical;
use crate::units::{Demand, Length, Printer, UnitSystem};

/// Builds the object.
pub fn object(
    work: &Work<'_>,
    findings: &[Diagnostic],
    sheets: &SheetSet,
    typical: Option<&Typical>,
    standing: Option<&Standing>,
) -> Value {
    let Work {
        job,
        net,
        book,
        solution,
    } = *work;
    let print = Printer { units: job.units };
    let out = typical.map(Typical::out);
    let r = Result {
        job,
        net,
        solution,
        print,
    };
    json!({
        "job": { "name": job.name, "title": job.title.title, "code": book.id(), "edition": book.edition() },
        "units": {
            "system": match job.units { UnitSystem::Feet => "feet", UnitSystem::Metric => "metric" },
            "length": "mm", "level": "mm above zero", "load": book.unit(),
            "capacity": if book.by_flow() { "L/s" } else { book.unit() },
            "size": match job.units { UnitSystem::Feet => "nominal in", UnitSystem::Metric => "DN mm" },
            "fall": match job.units { UnitSystem::Feet => "in per ft", UnitSystem::Metric => "percent" },
        },
        "pipes": r.pipes(|p| !out.is_some_and(|o| o.pieces.contains(p))),
        "fixtures": r.fixtures(|t| !out.is_some_and(|o| o.traps.contains(t))),
        "built_like": built_like(&r, typical),
        "stacks": r.stacks(),
        "exit": r.exits(),
        "footings": r.footings(),
        "load_method": solution.sizing.load_method,
        "missing_lengths": solution.levels.missing,
        "proposals": net.proposals.iter().map(|p| json!({
            "id": p.id, "what": p.what, "reason": p.reason
        })).collect::<Vec<_>>(),
        "progress": standing.map_or(Value::Null, |s| standing::json(s, print)),
        "findings": diagnostics::to_json(findings, &job.source),
        "sheets": sheets.sheets.iter().map(|s| json!({
            "number": s.number, "title": s.title, "paper": s.paper.name
        })).collect::<Vec<_>>(),
    })
}

/// What is built like something drawn, and is on no sheet itself; null where all is drawn.
fn built_like(r: &Result<'_>, typical: Option<&Typical>) -> Value {
    let Some(typical) = typical else {
        return Value::Null;
    };
    let stack = |s: &RunIx| r.net.runs.get(s.0).map(|r| r.id.as_str());
    let floor = |f: FloorIx| r.job.floors.get(f.0).map(|f| f.name.as_str());
    let ranges = typical
        .ranges
        .iter()
        .flat_map(|(s, all)| all.iter().map(move |r| (s, r)));
    let storeys = ranges.map(|(s, range)| {
        json!({
            "stack": stack(s), "first": floor(range.first), "last": floor(range.last),
            "as": floor(range.drawn),
        })
    });
    let stacks = typical.like.iter().map(|(drawn, others)| {
        json!({ "as": stack(drawn), "stacks": others.iter().map(stack).collect::<Vec<_>>() })
    });
    let out = typical.out();
    json!({
        "storeys": storeys.collect::<Vec<_>>(),
        "stacks": stacks.collect::<Vec<_>>(),
        "pipes": r.pipes(|p| out.pieces.contains(p)),
        "fixtures": r.fixtures(|t| out.traps.contains(t)),
    })
}

struct Result<'a> {
    job: &'a Job,
    net: &'a Network,
    solution: &'a Solution,
    print: Printer,
}

/// Millimetres to a hundredth.
fn mm(l: Length) -> Value {
    json!((l.mm() * 100.0).round() / 100.0)
}

fn or_null(l: Option<Length>) -> Value {
    l.map_or(Value::Null, mm)
}

impl Result<'_> {
    fn id(&self, joint: Option<JointIx>) -> Value {
        joint.map_or(Value::Null, |j| json!(self.net.graph[j].id))
    }

    /// Room to spare at an end of a pipe, and what bounds it.
    fn room(&self, room: Option<Room>) -> Value {
        room.map_or(
            Value::Null,
            |r| json!({ "room": mm(r.spare), "bound": bounds::words(self.job, self.net, r.bound) }),
        )
    }

    fn pipes(&self, which: impl Fn(&PieceIx) -> bool) -> Vec<Value> {
        let all = self.net.graph.edge_indices();
        all.filter(which).map(|p| self.pipe(p)).collect()
    }

    fn pipe(&self, piece: PieceIx) -> Value {
        let p = &self.net.graph[piece];
        // As many keys as a drain has, so that the map never grows.
        let mut o = Map::with_capacity(22);
        let mut put = |k: &str, v: Value| {
            o.insert(k.to_owned(), v);
        };
        put("id", json!(p.id));
        put("run", json!(lettered_run(self.net, piece)));
        put("system", json!(p.system.word()));
        put("from", self.id(self.net.from(piece)));
        put("to", self.id(self.net.to(piece)));
        put("state", json!(p.state.word()));
        if let Some(s) = self.solution.sizing.pieces.get(&piece) {
            put("size", json!(self.print.size_plain(s.size)));
            put("size_stated", json!(s.stated));
            put(
                "code_size",
                s.code_size
                    .map_or(Value::Null, |c| json!(self.print.size_plain(c))),
            );
            put("load", json!(s.load.dfu()));
            if let Demand::Flow(q) = s.demand {
                put("flow", json!(q.litres_per_second()));
            }
            put(
                "capacity",
                s.capacity.map_or(Value::Null, |c| json!(c.number())),
            );
            put("table", json!(s.working.table));
            put("section", json!(s.working.section));
            put("row", json!(s.working.row));
            put(
                "provenance",
                json!(s.working.provenance.map(Provenance::words)),
            );
            put("working", json!(s.working.steps));
        }
        if let Some(bends) = self.solution.fittings.bends.get(&piece) {
            put("bends", json!(bends));
        }
        if let Some(l) = self.solution.levels.pieces.get(&piece) {
            put(
                "fall",
                l.fall
                    .map_or(Value::Null, |f| json!(self.print.fall_plain(f))),
            );
            put("length", or_null(l.length));
            put("invert_down", or_null(l.invert_down));
            put("invert_up", or_null(l.invert_up));
            let rooms = self.solution.levels.rooms.get(&piece);
            put("room_down", self.room(rooms.and_then(|r| r.down)));
            put("room_up", self.room(rooms.and_then(|r| r.up)));
        } else if let Some(l) = self.solution.levels.vents.get(&piece) {
            put("length", mm(*l));
        }
        Value::Object(o)
    }

    fn fixtures(&self, which: impl Fn(&TrapIx) -> bool) -> Vec<Value> {
        let sizing = &self.solution.sizing;
        self.net
            .traps
            .iter()
            .enumerate()
            .filter(|(i, _)| which(&TrapIx(*i)))
            .filter_map(|(i, t)| {
                let f = self.job.fixtures.get(t.fixture)?;
                let size = sizing.traps.get(&TrapIx(i));
                Some(json!({
                    "id": f.name,
                    "kind": f.kind.value,
                    "room": f.room,
                    "floor": f.floor.and_then(|x| self.job.floors.get(x.0)).map(|x| x.name.clone()),
                    "state": t.state.word(),
                    "load": size.map(|s| s.load.dfu()),
                    "trap": size.map(|s| self.print.size_plain(s.size)),
                    "arm": t.arm.map(|a| self.net.graph[a].id.clone()),
                    "vented": vent_words(&t.vent),
                    "vent": t.vent_piece.map(|v| self.net.graph[v].id.clone()),
                }))
            })
            .collect()
    }

    fn stacks(&self) -> Vec<Value> {
        let totals = &self.solution.sizing.totals;
        totals
            .iter()
            .filter(|t| !self.net.exits.contains(&t.joint))
            .map(|t| {
                let base = self.net.downstream(t.joint);
                let invert = base
                    .and_then(|p| self.solution.levels.pieces.get(&p))
                    .and_then(|l| l.invert_up);
                let size = self
                    .net
                    .graph
                    .edges_directed(t.joint, petgraph::Direction::Incoming)
                    .filter(|e| self.net.is_stack(e.weight().run))
                    .filter_map(|e| self.solution.sizing.pieces.get(&e.id()))
                    .map(|s| self.print.size_plain(s.size))
                    .next();
                json!({
                    "id": t.name, "load": t.load.dfu(), "size": size,
                    "branch_intervals": t.intervals, "base_invert": or_null(invert),
                })
            })
            .collect()
    }

    fn exits(&self) -> Vec<Value> {
        self.net
            .exits
            .iter()
            .enumerate()
            .map(|(i, &joint)| {
                let total = self
                    .solution
                    .sizing
                    .totals
                    .iter()
                    .find(|t| t.joint == joint);
                let exit = self.job.exits.get(i);
                json!({
                    "id": self.net.graph[joint].id,
                    "to": exit.and_then(|e| e.to.clone()),
                    "invert": or_null(exit.and_then(|e| e.invert.as_ref()).map(|v| v.value)),
                    "load": total.map(|t| t.load.dfu()),
                })
            })
            .collect()
    }

    /// How the drains pass the footings: levels of the footing and of the pipe's outside, and what is
    /// clear between them.
    fn footings(&self) -> Vec<Value> {
        let passes = self.solution.levels.footings.iter();
        passes
            .map(|f| {
                let (at, id) = match f.at {
                    FootingAt::Exit(i) => ("exit", self.job.exits.get(i).map(|e| &e.name)),
                    FootingAt::Footing(i) => ("footing", self.job.footings.get(i).map(|f| &f.name)),
                };
                let mut o = Map::new();
                let mut put = |k: &str, v: Value| {
                    o.insert(k.to_owned(), v);
                };
                put("id", json!(id));
                put("at", json!(at));
                put("pipe", json!(f.piece.map(|p| &self.net.graph[p].id)));
                put("top", or_null(f.top));
                put("bottom", or_null(f.bottom));
                put("pipe_bottom", or_null(f.pipe.map(|p| p.low)));
                put("pipe_top", or_null(f.pipe.map(|p| p.high)));
                put("passes", json!(f.passes.word()));
                match f.passes {
                    Passes::Under { clear } | Passes::Over { clear } => put("clear", mm(clear)),
                    Passes::Through {
                        above_bottom,
                        below_top,
                    } => {
                        put("above_bottom", mm(above_bottom));
                        put("below_top", mm(below_top));
                    }
                    Passes::CutsBottom { above_bottom } => put("above_bottom", mm(above_bottom)),
                    Passes::CutsTop { below_top } => put("below_top", mm(below_top)),
                    Passes::Unknown(why) => put("why", json!(why.words())),
                }
                Value::Object(o)
            })
            .collect()
    }
}

/// The venting method in the trade's words.
pub fn vent_words(method: &VentMethod) -> &'static str {
    match method {
        VentMethod::Individual => "individual vent",
        VentMethod::Common(_) => "common vent",
        VentMethod::Wet(_) => "wet vent",
        VentMethod::Island => "island vent",
        VentMethod::StackVent => "stack vent",
        VentMethod::SingleStack => "single stack",
        VentMethod::WasteStack => "waste stack vent",
        VentMethod::AirAdmittance => "air admittance valve",
        VentMethod::Circuit => "circuit vent",
        VentMethod::Combination => "combination drain and vent",
        VentMethod::Indirect => "indirect",
        VentMethod::None => "not vented",
    }
}
