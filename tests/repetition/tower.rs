//! The sample tower. It stands outside of the list of samples as long as its sheets take too long.

use stackfall::diagnostics::Severity;
use stackfall::network::RunKind;
use stackfall::units::PipeSize;

use crate::common::{Worked, complete, sample_text};

fn tower() -> Worked {
    let done = complete("foundry-tower", &sample_text("foundry-tower"));
    let done = done.unwrap_or_else(|d| panic!("{d:#?}"));
    assert!(!done.is_faulty(), "{:#?}", done.told);
    done.worked()
}

/// Forty storeys and about five thousand fixtures in less than 150 lines, and no error in them.
#[test]
fn the_tower_is_short_and_stands() {
    let text = sample_text("foundry-tower");
    assert!(text.lines().count() < 150, "{}", text.lines().count());
    let tower = tower();
    let job = &tower.job;
    let storeys = job.floors.iter().filter(|f| !f.name.starts_with('B'));
    assert_eq!(storeys.count(), 40);
    let fixtures = job.fixtures.len();
    assert!((4_500..5_500).contains(&fixtures), "{fixtures}");
    let open = &tower.findings.open;
    let errors = open.iter().filter(|d| d.severity == Severity::Error);
    let errors: Vec<_> = errors.map(|d| (d.code, &d.at, &d.message)).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    // Told once a line, the findings can be read.
    let all = open.len();
    let told = tower.findings.clone().told_once(&job.made).open.len();
    assert!(told < 20 && all > 10 * told, "{told} of {all}");
}

/// Stacks as the book's column for more than three branch intervals has them, each of five or more
/// with its vent stack.
#[test]
fn the_towers_stacks_are_tall_stacks() {
    let tower = tower();
    let net = &tower.net;
    // The largest piece of a stack, in the sizes of the book read by hand from Table 710.1(2):
    // 72 dfu on 3 in, 500 on 4 in.
    for (stack, dfu, inches) in [("A1", 170.0, 4.0), ("A20", 170.0, 4.0), ("H16", 80.0, 4.0)] {
        let run = net.run_by_id(stack).and_then(|r| net.runs.get(r.0));
        let pieces = &run.expect(stack).pieces;
        // From the lower end up: the whole load is on the first.
        let first = pieces.first().expect(stack);
        let base = tower.solution.sizing.pieces.get(first).expect(stack);
        assert_eq!(Some(base.size), PipeSize::from_inches(inches), "{stack}");
        let load = base
            .working
            .steps
            .iter()
            .any(|s| s.contains(&format!("load {dfu} dfu")));
        assert!(load, "{stack}: {:?}", base.working);
    }
    let of = |kind: RunKind| net.runs.iter().filter(|r| r.kind == kind).count();
    // All 60 of the four banks, K and A of 17 storeys, H of 8, T of 12; the lounge's has two.
    assert_eq!(of(RunKind::VentStack), 60);
    assert_eq!(of(RunKind::Stack), 61);
}
