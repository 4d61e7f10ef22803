//! The labeller on the standard point-feature problem, beside the published figures.
//! `cargo bench --bench labeller`
//!
//! The points are random, so our maps are not the published ones, only drawn the same way.

use std::time::{Duration, Instant};

use stackfall::placement::labeller::{Conflicts, Labels, choose, choose_all};

mod points;

/// Numbers of points.
const POINTS: [usize; 8] = [50, 100, 250, 500, 750, 1000, 1250, 1500];
/// Maps for each number of points.
const MAPS: u64 = 25;
/// Moves of the search for each label.
const EFFORT: usize = 400;

/// A way of choosing.
type Way = fn(&Labels, &Conflicts) -> Vec<Option<usize>>;

/// Published shares, %, at 100, 250, 500, 750 and 1000 points. Every label is placed. All from
/// memory; independent code reproduced the rows marked * within 1.3.
const PUBLISHED: [(&str, [f64; 5]); 11] = [
    ("greedy, depth first", [95.12, 88.82, 75.15, 58.57, 43.41]),
    ("gradient descent *", [98.64, 95.47, 86.46, 72.40, 58.29]),
    ("2-opt descent", [100.0, 99.36, 95.62, 85.60, 73.37]),
    ("3-opt descent", [100.0, 99.76, 97.34, 89.44, 77.83]),
    ("Hirsch", [100.0, 99.58, 95.70, 82.04, 60.24]),
    ("Zoraster", [100.0, 99.79, 96.21, 79.78, 53.06]),
    ("annealing *", [100.0, 99.90, 98.30, 92.30, 82.09]),
    ("genetic, masking", [100.0, 99.98, 98.79, 95.99, 88.96]),
    ("tabu search", [100.0, 100.0, 99.30, 96.80, 90.00]),
    ("constructive genetic", [100.0, 100.0, 99.6, 97.1, 90.7]),
    ("best later", [100.0, 100.0, 99.67, 97.7, 92.5]),
];

fn main() {
    println!("Random points on 792 x 612, labels 30 x 7, four places each.");
    println!(
        "Clean labels, %, and milliseconds a map; {} maps each.\n",
        MAPS
    );
    row("ours", POINTS.map(|n| n.to_string()));
    let ways: [(&str, Way); 3] = [
        ("may be left out, no search", |l, c| choose(l, c, 0)),
        ("may be left out, searched", |l, c| choose(l, c, EFFORT)),
        ("all placed, searched", |l, c| choose_all(l, c, EFFORT)),
    ];
    let mut found = [Duration::ZERO; POINTS.len()];
    let maps: Vec<Vec<_>> = (POINTS.iter().zip(&mut found))
        .map(|(n, took)| {
            let start = Instant::now();
            let maps = (0..MAPS).map(|m| points::map(*n, m)).collect();
            *took = start.elapsed();
            maps
        })
        .collect();
    row("  conflicts found, ms", found.map(ms));
    for (name, way) in ways {
        let mut shares = POINTS.map(|_| String::new());
        let mut times = shares.clone();
        for (i, maps) in maps.iter().enumerate() {
            let (mut clean, mut took) = (0, Duration::ZERO);
            for (labels, conflicts) in maps {
                let start = Instant::now();
                let chosen = way(labels, conflicts);
                took += start.elapsed();
                clean += points::clean(labels, conflicts, &chosen);
            }
            let all = POINTS[i] as f64 * MAPS as f64;
            shares[i] = format!("{:.2}", clean as f64 * 100.0 / all);
            times[i] = ms(took);
        }
        row(name, shares);
        row("  ms", times);
    }
    println!();
    row("published (from memory)", POINTS.map(|n| n.to_string()));
    for (name, [a, b, c, d, e]) in PUBLISHED {
        let f = |v: f64| format!("{v:.2}");
        let none = String::new;
        row(name, [none(), f(a), f(b), f(c), f(d), f(e), none(), none()]);
    }
    println!(
        "\nThe page, the labels and their places: seen. 25 maps and the numbers of points: memory."
    );
}

fn ms(took: Duration) -> String {
    format!("{:.2}", took.as_secs_f64() * 1000.0 / MAPS as f64)
}

fn row(name: &str, cells: [String; POINTS.len()]) {
    let cells = cells.map(|c| format!("{c:>8}"));
    println!("{name:<28}{}", cells.concat());
}
