//! The same building twice: by groups, ranges and typical floors, and with every thing on a line of
//! its own. All that stages 2 to 7 make of it is the same, but for the sign in the names.

use std::fmt::Write;

use stackfall::units::{Length, Printer};

use crate::common::{Worked, worked};

/// The things of a flat: section, name, what it says, with `{}` where names of the group stand.
const FLAT: [(&str, &str, &str); 11] = [
    (
        "drains",
        "bath",
        "{ into = INTO, FLOOR run = [\"west 9'\"], invert = \"-14in\", size = 4, fall = \"1/4\" }",
    ),
    (
        "drains",
        "wash",
        "{ into = \"bath~\", FLOOR station = \"6'\", run = [\"north 3'\"], size = 2 }",
    ),
    (
        "fixtures",
        "WC-1",
        "{ kind = \"water closet\", FLOOR into = \"bath~\", station = \"3'\", side = \"north\", arm = \"2'\", gpf = 1.28 }",
    ),
    (
        "fixtures",
        "LAV-1",
        "{ kind = \"lavatory\", FLOOR into = \"bath~\", station = \"9'\", run = [\"up 2'\"], arm = \"2'\", vent = \"V~\" }",
    ),
    (
        "fixtures",
        "SH-1",
        "{ kind = \"shower\", FLOOR into = \"wash~\", vented_by = \"LAV-1~\" }",
    ),
    (
        "fixtures",
        "FD-1",
        "{ kind = \"floor drain\", FLOOR into = \"wash~\", station = \"3'\", primed_by = \"LAV-1~\" }",
    ),
    (
        "fixtures",
        "KS-1",
        "{ kind = \"kitchen sink\", into = INTO, FLOOR with = [\"dishwasher\"] }",
    ),
    (
        "fixtures",
        "CD-1",
        "{ kind = \"condensate\", FLOOR over = \"FD-1~\", gap = \"1in\" }",
    ),
    ("vents", "V", "{ size = 2 }"),
    (
        "cleanouts",
        "CO",
        "{ on = \"bath~\", station = \"8'\", kind = \"wall\" }",
    ),
    (
        "valves",
        "BV",
        "{ on = \"wash~\", station = \"1'\", kind = \"backwater\" }",
    ),
];

const HEAD: &str = "[job]\ntitle = \"T\"\ncode = \"ipc-2021\"\nstock = [1.5, 2, 3, 4, 5, 6, 8]\n\
    [exit]\ninvert = \"-9'\"\nheading = \"south\"\n";
const MAIN: &str =
    "main = { into = \"exit\", run = [\"lies under slab\", \"north 60'\"], size = 6 }\n";
const SINK: &str =
    "SS-1 = { kind = \"service sink\", floor = \"4\", into = \"S2\", primed_by = PRIMED }\n";

fn by_groups() -> String {
    let mut text = format!(
        "{HEAD}[floors]\n1 = {{ level = \"0\", slab = \"5in\" }}\n\
         \"2..8\" = {{ from = \"14'\", each = \"10' 4\", deck = \"1 1/2in\", joists = \"24in\" }}\nroof = {{ level = \"90'\" }}\n\
         [drains]\n{MAIN}[stacks]\n\"S1..S3\" = {{ into = \"main\", station = \"20'\", each = \"12'\" }}\n\
         [fixtures]\n{}",
        SINK.replace("PRIMED", "\"LAV-1@S2-4\"")
    );
    for (section, name, says) in FLAT {
        let says = says
            .replace("into = INTO, ", "")
            .replace("FLOOR ", "")
            .replace('~', "");
        let _ = writeln!(text, "[groups.flat.{section}.{name}]");
        let inner = says.trim_start_matches("{ ").trim_end_matches(" }");
        text += &lines(inner);
    }
    text + "[groups.shop.fixtures]\nLAV-9 = { kind = \"lavatory\", station = \"12'\", public = true }\n\
        [repeat]\nflats = { group = \"flat\", into = [\"S1..S2\", \"S3\"], floors = [\"2\", \"4..8\"] }\n\
        shops = { group = \"shop\", into = \"main\", floors = \"1\" }\n"
}

/// The keys of an inline table on lines of their own, so that groups are written both ways.
fn lines(inner: &str) -> String {
    let mut out = String::new();
    let mut deep = 0;
    for part in inner.split(", ") {
        out += part;
        deep += part.matches('[').count();
        deep -= part.matches(']').count();
        out += if deep == 0 { "\n" } else { ", " };
    }
    out
}

fn by_hand() -> String {
    let mut text = format!("{HEAD}[floors]\n1 = {{ level = \"0\", slab = \"5in\" }}\n");
    for i in 0..7 {
        let inches = 14 * 12 + i * 124;
        let _ = writeln!(
            text,
            "{} = {{ level = \"{}' {}\", deck = \"1 1/2in\", joists = \"24in\" }}",
            i + 2,
            inches / 12,
            inches % 12
        );
    }
    text += "roof = { level = \"90'\" }\n[stacks]\n";
    for (i, station) in [20, 32, 44].into_iter().enumerate() {
        let _ = writeln!(
            text,
            "S{} = {{ into = \"main\", station = \"{station}'\" }}",
            i + 1
        );
    }
    for section in ["drains", "fixtures", "vents", "cleanouts", "valves"] {
        let _ = writeln!(text, "[{section}]");
        match section {
            "drains" => text += MAIN,
            "fixtures" => text += &SINK.replace("PRIMED", "\"LAV-1_S2-4\""),
            _ => {}
        }
        for stack in ["S1", "S2", "S3"] {
            for floor in [2, 4, 5, 6, 7, 8] {
                let tag = format!("_{stack}-{floor}");
                for (_, name, says) in FLAT.iter().filter(|f| f.0 == section) {
                    let says = says
                        .replace("INTO", &format!("\"{stack}\""))
                        .replace("FLOOR", &format!("floor = \"{floor}\","))
                        .replace('~', &tag);
                    let _ = writeln!(text, "{name}{tag} = {says}");
                }
            }
        }
        if section == "fixtures" {
            text += "LAV-9_main-1 = { kind = \"lavatory\", floor = \"1\", into = \"main\", station = \"12'\", public = true }\n";
        }
    }
    text
}

/// All that the stages made, as lines: pieces with size, load, fall, length and inverts, joints,
/// traps, proposals, fittings, findings.
fn dump(of: &Worked) -> Vec<String> {
    let (net, print) = (
        &of.net,
        Printer {
            units: of.job.units,
        },
    );
    let mut out = Vec::new();
    for p in net.runs.iter().flat_map(|r| r.pieces.clone()) {
        let (piece, run) = (&net.graph[p], &net.runs[net.graph[p].run.0]);
        let (from, to) = net.graph.edge_endpoints(p).expect("two ends");
        let size = of.solution.sizing.pieces.get(&p);
        let size = size.map(|s| {
            format!(
                "{} {} {:?}",
                print.size(s.size),
                print.demand(s.demand),
                s.working
            )
        });
        let level = of.solution.levels.pieces.get(&p);
        let level = level.map(|l| {
            // A sum of storeys may differ from the same level by hand in the last digit of a double.
            let mm = |x: Option<Length>| x.map(|x| format!("{:.4}", x.mm()));
            let ends = (mm(l.invert_down), mm(l.invert_up));
            format!("{:?} {:?} {ends:?}", l.fall, mm(l.length))
        });
        let ends = (&net.graph[from].id, &net.graph[to].id);
        out.push(format!(
            "{} {:?} {:?} {ends:?} {:?} {size:?} {level:?}",
            piece.id, run.id, run.kind, piece.state
        ));
    }
    let joints = net.graph.node_indices();
    out.extend(joints.map(|j| {
        let joint = &net.graph[j];
        let fitting = of.solution.fittings.joints.get(&j);
        format!("{} {:?} {fitting:?}", joint.id, joint.kind)
    }));
    out.extend(net.traps.iter().map(|t| format!("{t:?}")));
    out.extend(
        net.proposals
            .iter()
            .map(|p| format!("{} {} {}", p.id, p.what, p.reason)),
    );
    let mut found: Vec<String> = of
        .findings
        .open
        .iter()
        .map(|d| {
            format!(
                "{} {:?} {} {} {:?}",
                d.code, d.severity, d.at, d.message, d.help
            )
        })
        .collect();
    // They stand in the order of the file, which is another one.
    found.sort();
    out.extend(found);
    out.extend(of.solution.sizing.totals.iter().map(|t| format!("{t:?}")));
    out.push(format!("{:?}", of.solution.fittings.cleanouts));
    out
}

#[test]
fn a_job_by_groups_is_the_job_by_hand() {
    let groups = worked("by groups", &by_groups());
    let hand = worked("by hand", &by_hand());
    assert_eq!(groups.job.fixtures.len(), 3 * 6 * 6 + 2);
    let plain: Vec<String> = dump(&groups)
        .into_iter()
        .map(|l| l.replace('@', "_"))
        .collect();
    let hand = dump(&hand);
    for (a, b) in plain.iter().zip(&hand) {
        assert_eq!(a, b);
    }
    assert_eq!(plain.len(), hand.len());
    // They are not the same because there is nothing in them.
    assert!(plain.len() > 1_000, "{}", plain.len());
}
