//! The time that each stage takes, at growing sizes of a job. `cargo bench`.
//!
//! One bath group a floor and stack, repeated: 20, 200, 2,000 and 20,000 fixtures.

use std::path::Path;

use divan::{Bencher, black_box};
use stackfall::captions::{self, Captions};
use stackfall::codebook::Book;
use stackfall::findings;
use stackfall::job::{self, Job};
use stackfall::linework::{self, Style};
use stackfall::network::{self, Network};
use stackfall::pipeline::{self, Options, Run};
use stackfall::placement::{self, Figures};
use stackfall::proposals;
use stackfall::result;
use stackfall::sheets;
use stackfall::solve::{self, Solution, Work};
use stackfall::writers::{coverage, csv, pdf, png, svg};

mod alone;
mod jobs;

/// Sizes of a bench that has to place the drawing first, which takes seconds.
const FIXTURES: [usize; 3] = [20, 200, 2_000];
/// Sizes of every other stage's bench.
const MANY: [usize; 4] = [20, 200, 2_000, 20_000];
/// Sizes where a run takes seconds.
const FEW: [usize; 2] = [20, 200];

fn main() {
    divan::main();
}

/// What the stages up to the solution give.
struct Solved {
    job: Job,
    book: std::sync::Arc<Book>,
    net: Network,
    solution: Solution,
}

fn read(fixtures: usize) -> Job {
    job::read("bench", "bench.toml", &jobs::tower(fixtures)).expect("the job reads")
}

fn solved(fixtures: usize) -> Solved {
    let job = read(fixtures);
    let book = Book::open("ipc-2021", Path::new("."), &[]).expect("a built-in book");
    let stated = network::build(&job).expect("the network stands");
    let (net, _) = proposals::complete(&job, stated, &book);
    let solution = solve::solve(&job, &net, &book);
    Solved {
        job,
        book,
        net,
        solution,
    }
}

impl Solved {
    fn captions(&self) -> (Captions, Figures) {
        let captions = captions::permit(
            &captions::Subject {
                job: &self.job,
                net: &self.net,
                solution: &self.solution,
                typical: None,
            },
            2.5,
            &[],
        );
        (captions, Figures::of(&self.job, &self.net))
    }
}

fn run(fixtures: usize) -> Run {
    pipeline::run_text(
        "bench",
        "bench.toml",
        &jobs::tower(fixtures),
        &Options::default(),
    )
    .expect("it runs")
}

fn field() -> kurbo::Rect {
    sheets::layout(sheets::paper("arch-e").expect("a paper")).field
}

#[divan::bench(args = MANY)]
fn s01_job(b: Bencher<'_, '_>, fixtures: usize) {
    let text = jobs::tower(fixtures);
    b.bench_local(|| job::read("bench", "bench.toml", black_box(&text)));
}

#[divan::bench(args = MANY)]
fn s02_network(b: Bencher<'_, '_>, fixtures: usize) {
    let job = read(fixtures);
    b.bench_local(|| network::build(black_box(&job)));
}

#[divan::bench(args = MANY)]
fn s03_proposals(b: Bencher<'_, '_>, fixtures: usize) {
    let job = read(fixtures);
    let book = Book::open("ipc-2021", Path::new("."), &[]).expect("a built-in book");
    let stated = network::build(&job).expect("the network stands");
    b.with_inputs(|| stated.clone())
        .bench_local_values(|stated| proposals::complete(&job, stated, &book));
}

/// Stages 4 to 6 are one loop.
#[divan::bench(args = MANY)]
fn s04_solve(b: Bencher<'_, '_>, fixtures: usize) {
    let s = solved(fixtures);
    b.bench_local(|| solve::solve(&s.job, black_box(&s.net), &s.book));
}

#[divan::bench(args = MANY)]
fn s07_findings(b: Bencher<'_, '_>, fixtures: usize) {
    let s = solved(fixtures);
    b.bench_local(|| findings::run(&s.job, black_box(&s.net), &s.book, &s.solution));
}

#[divan::bench(args = MANY)]
fn s08_captions(b: Bencher<'_, '_>, fixtures: usize) {
    let s = solved(fixtures);
    b.bench_local(|| black_box(&s).captions());
}

#[divan::bench(args = FEW, max_time = 10)]
fn s09_placement(b: Bencher<'_, '_>, fixtures: usize) {
    let s = solved(fixtures);
    let (captions, figures) = s.captions();
    b.bench_local(|| placement::plan(&s.job, black_box(&s.net), &captions, &figures, field()));
}

#[divan::bench(args = FIXTURES, max_time = 10)]
fn s10_linework(b: Bencher<'_, '_>, fixtures: usize) {
    let s = solved(fixtures);
    let (captions, figures) = s.captions();
    let plan = placement::plan(&s.job, &s.net, &captions, &figures, field());
    let style = Style::default();
    b.bench_local(|| {
        linework::scene(
            &linework::Subject {
                job: &s.job,
                net: &s.net,
                solution: &s.solution,
                captions: &captions,
                figures: &figures,
            },
            black_box(&plan),
            field(),
            &style,
        )
    });
}

/// Composing the sheets, and the tables as data.
#[divan::bench(args = FIXTURES, max_time = 10)]
fn s11_sheets(b: Bencher<'_, '_>, fixtures: usize) {
    let s = solved(fixtures);
    let findings = findings::run(&s.job, &s.net, &s.book, &s.solution);
    let (captions, figures) = s.captions();
    let plan = placement::plan(&s.job, &s.net, &captions, &figures, field());
    let subject = linework::Subject {
        job: &s.job,
        net: &s.net,
        solution: &s.solution,
        captions: &captions,
        figures: &figures,
    };
    let scene = linework::scene(&subject, &plan, field(), &Style::default());
    let inputs = sheets::Inputs {
        job: &s.job,
        net: &s.net,
        book: &s.book,
        solution: &s.solution,
        findings: &findings,
        paper: sheets::paper("arch-e").expect("a paper"),
        marks: &[],
        shows: &[],
        scale: None,
        typical: None,
        standing: None,
    };
    b.with_inputs(|| vec![scene.clone()])
        .bench_local_values(|scenes| {
            let mut set = sheets::compose(&inputs, scenes);
            let open = coverage::settle(&mut set);
            (set, sheets::tables(&inputs), open)
        });
}

/// A whole book, from its text.
#[divan::bench(args = ["ipc-2021", "irc-2021", "upc-2021", "en-12056-2"])]
fn opening_a_book(b: Bencher<'_, '_>, id: &str) {
    // Built-in books are kept once they are read; one that goes by its path is read each time.
    let path = format!("src/codebook/books/{id}.toml");
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    b.bench_local(|| Book::open(black_box(&path), here, &[]).expect("a whole book"));
}

/// What `--format json` prints.
#[divan::bench(args = MANY)]
fn result_object(b: Bencher<'_, '_>, fixtures: usize) {
    let s = solved(fixtures);
    let sheets = jobs::sheet_of(fixtures);
    let work = Work {
        job: &s.job,
        net: &s.net,
        book: &s.book,
        solution: &s.solution,
    };
    b.bench_local(|| result::object(&work, &[], black_box(&sheets), None, None));
}

#[divan::bench(args = FIXTURES, max_time = 10)]
fn s12_svg(b: Bencher<'_, '_>, fixtures: usize) {
    let run = run(fixtures);
    b.bench_local(|| {
        run.sheets
            .sheets
            .iter()
            .map(|s| svg::svg("bench", s).len())
            .sum::<usize>()
    });
}

#[divan::bench(args = FEW, max_time = 10)]
fn s12_pdf(b: Bencher<'_, '_>, fixtures: usize) {
    let run = run(fixtures);
    b.bench_local(|| pdf::pdf(black_box(&run.sheets)));
}

#[divan::bench(args = FEW, max_time = 10)]
fn s12_png_150_dpi(b: Bencher<'_, '_>, fixtures: usize) {
    let run = run(fixtures);
    b.bench_local(|| {
        let mut out = Vec::new();
        for sheet in &run.sheets.sheets {
            png::png(sheet, 150, &mut out).expect("it paints");
        }
        out.len()
    });
}

#[divan::bench(args = FIXTURES, max_time = 10)]
fn s12_csv(b: Bencher<'_, '_>, fixtures: usize) {
    let run = run(fixtures);
    b.bench_local(|| {
        run.tables()
            .iter()
            .map(|t| csv::csv(t).len())
            .sum::<usize>()
    });
}

/// From the text to the SVG.
#[divan::bench(args = FEW, max_time = 10)]
fn whole_text_to_svg(b: Bencher<'_, '_>, fixtures: usize) {
    b.bench_local(|| {
        let run = run(fixtures);
        run.sheets
            .sheets
            .iter()
            .map(|s| svg::svg("bench", s).len())
            .sum::<usize>()
    });
}

/// The PNG and PDF writers beside what they cannot do without: the rasteriser with the encoder of
/// the picture, and the writer of the PDF, each fed with what is prepared. On one sheet of a house,
/// and on a sheet with the items of so many fixtures.
mod beside_the_library {
    use super::{Bencher, alone, jobs, pdf, png, run};
    use stackfall::sheets::SheetSet;

    const SHEETS: [usize; 3] = [0, 200, 2_000];
    const DPI: u32 = 150;

    fn sheet(fixtures: usize) -> SheetSet {
        match fixtures {
            0 => {
                let mut set = run(20).sheets;
                set.sheets.truncate(1);
                set
            }
            n => jobs::sheet_of(n),
        }
    }

    #[divan::bench(args = SHEETS, max_time = 5)]
    fn png_ours(b: Bencher<'_, '_>, fixtures: usize) {
        let set = sheet(fixtures);
        b.bench_local(|| {
            let mut out = Vec::new();
            png::png(&set.sheets[0], DPI, &mut out).expect("it paints");
            out.len()
        });
    }

    /// From the tree.
    #[divan::bench(args = SHEETS, max_time = 5)]
    fn png_rasteriser_alone(b: Bencher<'_, '_>, fixtures: usize) {
        let set = sheet(fixtures);
        let size = png::size(&set.sheets[0], DPI);
        let tree = alone::tree(&stackfall::writers::svg::svg("", &set.sheets[0]));
        b.bench_local(|| alone::png(&tree, size).len());
    }

    /// From the text of the SVG, which the rasteriser reads itself.
    #[divan::bench(args = SHEETS, max_time = 5)]
    fn png_rasteriser_from_svg(b: Bencher<'_, '_>, fixtures: usize) {
        let set = sheet(fixtures);
        let size = png::size(&set.sheets[0], DPI);
        let text = stackfall::writers::svg::svg("", &set.sheets[0]);
        b.bench_local(|| alone::png(&alone::tree(&text), size).len());
    }

    #[divan::bench(args = SHEETS, max_time = 5)]
    fn pdf_ours(b: Bencher<'_, '_>, fixtures: usize) {
        let set = sheet(fixtures);
        b.bench_local(|| pdf::pdf(&set).map(|p| p.len()));
    }

    /// From glyphs that are shaped and paths that are built.
    #[divan::bench(args = SHEETS, max_time = 5)]
    fn pdf_library_alone(b: Bencher<'_, '_>, fixtures: usize) {
        let set = sheet(fixtures);
        let prepared = alone::prepared(&set.sheets[0]);
        b.bench_local(|| alone::pdf(&set.sheets[0], &prepared).len());
    }
}

/// The writer alone, on a sheet with the items of so many fixtures: a pipe with its attributes,
/// a symbol, a label and a leader each.
mod writers_alone {
    use super::{Bencher, jobs, pdf, svg};

    #[divan::bench(args = [20, 200, 2_000, 20_000])]
    fn svg(b: Bencher<'_, '_>, fixtures: usize) {
        let set = jobs::sheet_of(fixtures);
        b.bench_local(|| svg::svg("bench", &set.sheets[0]).len());
    }

    #[divan::bench(args = [20, 200, 2_000])]
    fn pdf(b: Bencher<'_, '_>, fixtures: usize) {
        let set = jobs::sheet_of(fixtures);
        b.bench_local(|| pdf::pdf(&set).map(|p| p.len()));
    }
}

/// Measuring 800 labels of 4 to 18 letters.
#[divan::bench]
fn measuring(b: Bencher<'_, '_>) {
    use stackfall::sheets::Weight;
    let words = [
        "3″ @ ¼″/FT",
        "WC-1",
        "1½″ VENT",
        "IE -10′-8″ MAIN",
        "LAV-12 1½″",
        "BUILDING DRAIN",
    ];
    let labels: Vec<String> = (0..800)
        .map(|i| format!("{} {}", words[i % 6], i % 97))
        .collect();
    b.bench_local(|| {
        labels
            .iter()
            .map(|l| stackfall::assets::width(l, Weight::Regular))
            .sum::<f64>()
    });
}
