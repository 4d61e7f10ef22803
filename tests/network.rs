//! From a job file to a finished network: samples, shapes, faults, random jobs.

use stackfall::codebook::Book;
use stackfall::diagnostics::{Diagnostic, Severity};
use stackfall::job;
use stackfall::network::{self, Network};
use stackfall::proposals;

fn complete(text: &str) -> Result<(Network, Vec<Diagnostic>), Vec<Diagnostic>> {
    let job = job::read("test", "test.toml", text)?;
    let stated = network::build(&job)?;
    let id = job.code.as_ref().map_or("irc-2021", |c| c.value.as_str());
    let book = Book::builtin(id).expect("a built-in book");
    Ok(proposals::complete(&job, stated, &book))
}

fn sound(text: &str) -> Network {
    let (net, told) = complete(text).unwrap_or_else(|e| panic!("{e:#?}"));
    let errors: Vec<_> = told
        .iter()
        .filter(|d| d.severity == Severity::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let broken = network::check(&net);
    assert!(broken.is_empty(), "{broken:#?}\n{}", dump(&net));
    net
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
    for sample in [
        "garden-cottage",
        "mill-house",
        "alder-court",
        "quarry-flats",
    ] {
        let text = std::fs::read_to_string(format!("samples/{sample}/job.toml")).expect("a sample");
        let net = sound(&text);
        println!("== {sample}\n{}", dump(&net));
        for (t, trap) in net.traps.iter().enumerate() {
            println!("{t} {:?} {:?}", trap.vent, trap.group);
        }
        for c in &net.cleanouts {
            println!("{} at {} {:?}", c.id, net.graph[c.joint].id, c.kind);
        }
        for p in &net.proposals {
            println!("{}: {} | {}", p.id, p.what, p.reason);
        }
    }
}
