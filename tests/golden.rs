//! What stages 3 to 5 make of each sample, as plain text beside this file.
//!
//! `BLESS=1 cargo test --test golden` writes the files anew, and then fails if any of them
//! changed, so that it cannot pass for a green run. Read what it wrote before committing it.

mod common;

use common::{SAMPLES, Worked, sample_text, worked};
use stackfall::network::{Network, PieceIx, RunKind, System};
use stackfall::units::Printer;

/// Columns padded to one width each, a line a row.
fn columns(rows: Vec<Vec<String>>) -> String {
    let count = rows.first().map_or(0, Vec::len);
    let wide = |c: usize| {
        let cells = rows.iter().filter_map(|r| r.get(c));
        cells.map(|t| t.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..count).map(wide).collect();
    let mut text = String::new();
    for row in rows {
        let cells = row.iter().zip(&widths);
        let line: String = cells.map(|(t, &w)| format!("{t:<w$}  ")).collect();
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

fn head(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// Pieces run by run, each from the run's lower end up.
fn pieces(net: &Network) -> Vec<PieceIx> {
    net.runs.iter().flat_map(|r| r.pieces.clone()).collect()
}

fn kind(kind: RunKind) -> &'static str {
    match kind {
        RunKind::BuildingDrain => "building drain",
        RunKind::BuildingBranch => "branch of the building drain",
        RunKind::Sewer => "sewer",
        RunKind::Branch => "branch of a stack",
        RunKind::Stack => "stack",
        RunKind::FixtureDrain => "fixture drain",
        RunKind::Arm => "trap arm",
        RunKind::FixtureVent => "fixture vent",
        RunKind::Header => "vent header",
        RunKind::Riser => "vent riser",
        RunKind::StackVent => "stack vent",
        RunKind::VentStack => "vent stack",
        RunKind::IslandVent => "island vent",
        RunKind::Discharge => "pumped discharge",
    }
}

/// Every piece, where it comes from and goes to, and what was proposed beyond pieces.
fn proposals(of: &Worked) -> String {
    let net = &of.net;
    let mut rows = vec![head(&["piece", "run", "from", "to", "kind", "state"])];
    for p in pieces(net) {
        let (piece, run) = (&net.graph[p], &net.runs[net.graph[p].run.0]);
        let (from, to) = net.graph.edge_endpoints(p).expect("a piece has two ends");
        let id = |j: stackfall::network::JointIx| net.graph[j].id.clone();
        let state = piece.state.word().to_owned();
        let what = kind(run.kind).to_owned();
        rows.push(vec![
            piece.id.clone(),
            run.id.clone(),
            id(from),
            id(to),
            what,
            state,
        ]);
    }
    let mut said = vec![head(&["for", "proposed", "because"])];
    for p in &net.proposals {
        said.push(vec![p.id.clone(), p.what.clone(), p.reason.clone()]);
    }
    format!("{}\n{}", columns(rows), columns(said))
}

/// Every piece with its size, its load, and the table and section that give it.
fn sizing(of: &Worked) -> String {
    let print = Printer {
        units: of.job.units,
    };
    let mut rows = vec![head(&["piece", "size", "load", "table", "section"])];
    for p in pieces(&of.net) {
        let id = of.net.graph[p].id.clone();
        let Some(size) = of.solution.sizing.pieces.get(&p) else {
            rows.push(vec![id, "not sized".to_owned()]);
            continue;
        };
        let or_dash = |t: &str| if t.is_empty() { "-" } else { t }.to_owned();
        rows.push(vec![
            id,
            print.size(size.size),
            print.demand(size.demand),
            or_dash(size.working.table.as_deref().unwrap_or_default()),
            or_dash(&size.working.section),
        ]);
    }
    columns(rows)
}

/// Every drain with its fall, its length and the inverts at its ends.
fn levels(of: &Worked) -> String {
    let print = Printer {
        units: of.job.units,
    };
    let mut rows = vec![head(&[
        "drain",
        "fall",
        "length",
        "invert down",
        "invert up",
    ])];
    let or = |t: Option<String>| t.unwrap_or_else(|| "-".to_owned());
    for p in pieces(&of.net) {
        if of.net.graph[p].system != System::Waste {
            continue;
        }
        let id = of.net.graph[p].id.clone();
        let Some(level) = of.solution.levels.pieces.get(&p) else {
            rows.push(vec![id, "no level".to_owned()]);
            continue;
        };
        rows.push(vec![
            id,
            or(level.fall.map(|f| print.fall(f))),
            or(level.length.map(|l| print.length(l))),
            or(level.invert_down.map(|l| print.level(l))),
            or(level.invert_up.map(|l| print.level(l))),
        ]);
    }
    columns(rows)
}

#[test]
fn stages_give_what_they_gave() {
    let bless = std::env::var_os("BLESS").is_some();
    let mut wrong = Vec::new();
    for sample in SAMPLES {
        let of = worked(sample, &sample_text(sample));
        for (stage, text) in [
            ("proposals", proposals(&of)),
            ("sizing", sizing(&of)),
            ("levels", levels(&of)),
        ] {
            let name = format!("tests/golden/{sample}.{stage}.txt");
            let path = format!("{}/{name}", env!("CARGO_MANIFEST_DIR"));
            let kept = std::fs::read_to_string(&path).unwrap_or_default();
            if kept == text {
                continue;
            }
            let differs = kept.lines().zip(text.lines()).position(|(a, b)| a != b);
            let at = differs.unwrap_or(kept.lines().count().min(text.lines().count()));
            let line = |t: &str| t.lines().nth(at).unwrap_or("(ends)").to_owned();
            wrong.push(format!(
                "{name}, line {}:\n  was {}\n  is  {}",
                at + 1,
                line(&kept),
                line(&text)
            ));
            if bless {
                std::fs::write(&path, text).unwrap_or_else(|e| panic!("{path}: {e}"));
            }
        }
    }
    let told = wrong.join("\n");
    assert!(wrong.is_empty(), "BLESS=1 renews these files:\n{told}");
}
