//! The sample tower. It stands outside of the list of samples as long as its sheets take too long.

use stackfall::diagnostics::Severity;
use stackfall::units::Printer;

use crate::common::{Worked, complete, sample_text};

fn tower() -> Worked {
    let done = complete("foundry-tower", &sample_text("foundry-tower"));
    let done = done.unwrap_or_else(|d| panic!("{d:#?}"));
    assert!(!done.is_faulty(), "{:#?}", done.told);
    done.worked()
}

/// Forty storeys and about five thousand fixtures in less than 150 lines, and nothing against them.
#[test]
fn the_tower_is_short_and_stands() {
    let text = sample_text("foundry-tower");
    assert!(text.lines().count() < 150, "{}", text.lines().count());
    let tower = tower();
    let job = &tower.job;
    let storeys = job.floors.iter().filter(|f| !f.name.starts_with('B'));
    assert_eq!(storeys.count(), 40);
    assert!(
        (4_500..5_500).contains(&job.fixtures.len()),
        "{}",
        job.fixtures.len()
    );
    let print = Printer { units: job.units };
    if std::env::var_os("STACKFALL_TOWER").is_some() {
        for d in &tower.findings.clone().told_once(&job.made).open {
            println!(
                "{} {} {}: {} | {:?} | {:?}",
                d.severity.word(),
                d.code,
                d.at,
                d.message,
                d.help,
                d.note
            );
        }
        for run in &tower.net.runs {
            let sizes = run
                .pieces
                .iter()
                .filter_map(|p| tower.solution.sizing.pieces.get(p));
            let mut words: Vec<String> = sizes
                .map(|s| format!("{}:{}", print.size(s.size), print.demand(s.demand)))
                .collect();
            words.dedup();
            let shown = !run.id.contains('@')
                || run.id.ends_with("-23")
                || run.id.contains("T1-2.")
                || run.id.contains("T1-2");
            if shown {
                println!("{:?} {} {}", run.kind, run.id, words.join(" "));
            }
        }
    }
    let errors = tower
        .findings
        .open
        .iter()
        .filter(|d| d.severity == Severity::Error);
    let errors: Vec<_> = errors
        .map(|d| (d.code, &d.at, &d.message))
        .take(20)
        .collect();
    assert!(errors.is_empty(), "{errors:#?}");
}
