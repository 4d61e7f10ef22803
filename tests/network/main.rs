//! From a job file to a finished network: samples, shapes, faults, random jobs.

mod backwater;
#[path = "../common/mod.rs"]
mod common;
mod faults;
mod random;
mod shapes;

use common::{Completed, SAMPLES};
use stackfall::diagnostics::Diagnostic;
use stackfall::network::{self, Network};

fn complete(text: &str) -> Result<Completed, Vec<Diagnostic>> {
    common::complete("test.toml", text)
}

fn sound(text: &str) -> Network {
    let done = complete(text).unwrap_or_else(|e| panic!("{e:#?}"));
    assert!(!done.is_faulty(), "{:#?}", done.told);
    let broken = network::check(&done.net);
    assert!(broken.is_empty(), "{broken:#?}\n{}", dump(&done.net));
    done.net
}

/// A line a piece: id, ends, run kind, legs.
fn dump(net: &Network) -> String {
    let mut lines = Vec::new();
    for run in &net.runs {
        for &p in &run.pieces {
            let piece = &net.graph[p];
            let (from, to) = net.graph.edge_endpoints(p).expect("ends");
            let legs: Vec<String> = (piece.legs.iter())
                .map(|l| {
                    format!(
                        "{} {}",
                        l.heading.map_or("?", |h| h.word()),
                        l.length
                            .map_or("?".to_owned(), |l| format!("{:.2}'", l.feet()))
                    )
                })
                .collect();
            let end = |j: network::JointIx| match net.graph[j].kind {
                network::JointKind::VentJoint(at) | network::JointKind::Terminal(at) => {
                    let column = match at.column {
                        network::Column::Over(j) => format!("over {}", net.graph[j].id),
                        network::Column::Beside(j) => format!("beside {}", net.graph[j].id),
                        network::Column::Riser(r) => format!("riser {}", net.runs[r.0].id),
                    };
                    format!("{} <{column}, {:?}>", net.graph[j].id, at.level)
                }
                _ => net.graph[j].id.clone(),
            };
            lines.push(format!(
                "{:<28} {:<14} {:<9} {} -> {}  [{}]",
                piece.id,
                format!("{:?}", run.kind),
                piece.state.word(),
                end(from),
                end(to),
                legs.join(", ")
            ));
        }
    }
    lines.join("\n")
}

#[test]
fn samples_are_sound() {
    for sample in SAMPLES {
        let net = sound(&common::sample_text(sample));
        let vented = |t: &network::Trap| t.vent != network::VentMethod::None;
        assert!(net.traps.iter().all(vented), "{}", dump(&net));
        assert!(!net.cleanouts.is_empty(), "{sample}");
        assert!(
            net.proposals.iter().all(|p| !p.reason.is_empty()),
            "{sample}"
        );
    }
}

const HEAD: &str = r#"
[job]
title = "Test"
code = "irc-2021"
[floors]
basement = { level = "-8'", slab = "4in" }
first = { level = "0" }
second = { level = "10'" }
roof = { level = "20'" }
[exit]
invert = "-12'"
heading = "south"
"#;

fn job_of(rest: &str) -> Network {
    sound(&format!("{HEAD}{rest}"))
}

fn ids(net: &Network, run: &str) -> Vec<String> {
    let run = net
        .run_by_id(run)
        .unwrap_or_else(|| panic!("no run {run}\n{}", dump(net)));
    net.runs[run.0]
        .pieces
        .iter()
        .map(|&p| net.graph[p].id.clone())
        .collect()
}

fn ends(net: &Network, piece: &str) -> (String, String) {
    let p = net
        .piece_by_id(piece)
        .unwrap_or_else(|| panic!("no piece {piece}\n{}", dump(net)));
    let (a, b) = net.graph.edge_endpoints(p).expect("ends");
    (net.graph[a].id.clone(), net.graph[b].id.clone())
}

fn method(net: &Network, name: &str) -> network::VentMethod {
    let trap = net
        .traps
        .iter()
        .find(|t| t.joint.is_some_and(|j| net.graph[j].id == name));
    trap.unwrap_or_else(|| panic!("no trap {name}"))
        .vent
        .clone()
}
