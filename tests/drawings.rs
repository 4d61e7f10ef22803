//! Drawings as they were last looked at, in `tests/golden/drawings`: for each case its job, a dump of
//! what the placement gives, and the SVG of each sheet of the drawing (without the font, which is the
//! same in all).
//!
//! - `stable`: small jobs that each show one thing. They have nothing that touches what it must not.
//! - `regression`: one for each fault of a drawing that was mended; likewise clean.
//! - `todo`: what is known to be wrong; the job's first line says what. One that has become clean
//!   fails the test, so that it moves to `regression`. `# clumsy: …` in place of `# todo: …` is for
//!   what no check finds and only an eye sees.
//!
//! `BLESS=1` writes the references anew, and then fails if any changed, so that it cannot pass for a
//! green run. `REPORT=DIR` writes `DIR/report.html`: each changed sheet before and after, and the
//! difference.

mod common;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::{env, fs};

use common::dump::dump;
use common::pictures::{Changed, page};
use common::touching::touching;
use stackfall::pipeline::{self, Options};
use stackfall::sheets::DrawingKind;
use stackfall::writers::svg;

const KINDS: [&str; 3] = ["stable", "regression", "todo"];
/// The file of the dump.
const DUMP: &str = "placement.txt";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/drawings")
}

/// Names of what stands in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let list = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = list
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// A case, drawn.
struct Case {
    kind: &'static str,
    name: String,
    folder: PathBuf,
    /// Files as they are now: the dump first.
    files: Vec<(String, String)>,
    /// What touches what it must not, and what the tool says does not fit.
    wrong: Vec<String>,
    /// The line that says what is known to be wrong.
    known: Option<String>,
}

fn case(kind: &'static str, name: &str) -> Case {
    let folder = root().join(kind).join(name);
    let path = folder.join("job.toml");
    let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let shown = format!("{kind}/{name}/job.toml");
    let options = Options::default();
    let placed = pipeline::placed_text(name, &shown, &text, &options)
        .unwrap_or_else(|f| panic!("{shown}: {:?}", f.problems));
    let run = pipeline::run_text(name, &shown, &text, &options)
        .unwrap_or_else(|f| panic!("{shown}: {:?}", f.problems));
    let mut files = vec![(DUMP.to_owned(), dump(&placed))];
    let mut wrong = Vec::new();
    let sheets = run.sheets.sheets.iter();
    for sheet in sheets.filter(|s| s.drawing == DrawingKind::Isometric) {
        let number = &sheet.number;
        files.push((
            format!("{number}.svg"),
            without_font(&svg::svg(name, sheet)),
        ));
        let found = touching(sheet).into_iter();
        wrong.extend(found.map(|w| format!("{number}, {w}")));
    }
    let spills = run.findings.iter().filter(|d| d.code == "P102");
    wrong.extend(spills.map(|d| format!("{}: {}", d.code, d.message)));
    let first = text.lines().next().unwrap_or_default();
    let known = ["# todo: ", "# clumsy: "];
    Case {
        kind,
        name: name.to_owned(),
        folder,
        files,
        wrong,
        known: known
            .iter()
            .any(|k| first.starts_with(k))
            .then(|| first.to_owned()),
    }
}

fn without_font(svg: &str) -> String {
    let (Some(from), Some(to)) = (svg.find("<style>"), svg.find("</style>")) else {
        return svg.to_owned();
    };
    format!("{}{}", &svg[..from], &svg[to + "</style>".len()..])
}

fn cases() -> Vec<Case> {
    let all = KINDS.map(|kind| {
        names(&root().join(kind))
            .into_iter()
            .map(move |n| (kind, n))
    });
    all.into_iter()
        .flatten()
        .map(|(k, n)| case(k, &n))
        .collect()
}

/// Lines of one text that the other lacks, each after its sign.
fn changed_lines(before: &str, after: &str) -> Vec<String> {
    let (b, a): (BTreeSet<&str>, BTreeSet<&str>) =
        (before.lines().collect(), after.lines().collect());
    let gone = before.lines().filter(|l| !a.contains(l));
    let new = after.lines().filter(|l| !b.contains(l));
    let mut lines: Vec<String> = gone.map(|l| format!("- {l}")).collect();
    lines.extend(new.map(|l| format!("+ {l}")));
    // What a pipe or a label was and what it is stand one above the other.
    lines.sort_by(|x, y| {
        let key = |l: &str| l[2..].split(':').next().unwrap_or("").to_owned();
        key(x).cmp(&key(y)).then(y.cmp(x))
    });
    lines
}

#[test]
fn drawings_are_as_they_were_looked_at() {
    let bless = env::var_os("BLESS").is_some();
    let mut wrong = Vec::new();
    let mut changed: Vec<Changed> = Vec::new();
    for case in &cases() {
        let own = format!("{}/{}", case.kind, case.name);
        let kept = |file: &str| fs::read_to_string(case.folder.join(file)).ok();
        let was = kept(DUMP).unwrap_or_default();
        let lines = changed_lines(&was, &case.files[0].1);
        let now: Vec<&str> = case.files.iter().map(|f| f.0.as_str()).collect();
        for file in names(&case.folder) {
            if file == "job.toml" || now.contains(&file.as_str()) {
                continue;
            }
            wrong.push(format!("{own}/{file} is drawn no more"));
            changed.push(Changed {
                name: format!("{own}/{file}"),
                before: kept(&file),
                after: None,
                lines: lines.clone(),
                said: case.wrong.join("; "),
            });
            if bless {
                let _ = fs::remove_file(case.folder.join(&file));
            }
        }
        let mut told = false;
        for (file, text) in &case.files {
            let before = kept(file);
            if before.as_ref() == Some(text) {
                continue;
            }
            let count = lines.len();
            wrong.push(format!("{own}/{file} changed; {count} lines of the dump"));
            if file != DUMP {
                let lines = if told { Vec::new() } else { lines.clone() };
                told = true;
                changed.push(Changed {
                    name: format!("{own}/{file}"),
                    before,
                    after: Some(text.clone()),
                    lines,
                    said: case.wrong.join("; "),
                });
            }
            if bless {
                fs::write(case.folder.join(file), text).expect("a reference is written");
            }
        }
    }
    if let Some(folder) = env::var_os("REPORT").map(PathBuf::from) {
        fs::create_dir_all(&folder).expect("a folder for the report");
        fs::write(folder.join("report.html"), page(&changed)).expect("the report is written");
    }
    let told = wrong.join("\n");
    assert!(
        wrong.is_empty(),
        "BLESS=1 renews these, REPORT=DIR shows them:\n{told}"
    );
}

/// What is known to be wrong stays in `todo` only as long as it is.
#[test]
fn only_what_is_to_do_touches_anything() {
    let mut faults = Vec::new();
    for case in cases() {
        let own = format!("{}/{}", case.kind, case.name);
        let clumsy = case
            .known
            .as_ref()
            .is_some_and(|k| k.starts_with("# clumsy: "));
        match (case.kind, &case.known) {
            ("todo", None) => faults.push(format!(
                "{own}: its first line says what is wrong, after `# todo: `"
            )),
            ("todo", Some(_)) if case.wrong.is_empty() && !clumsy => {
                faults.push(format!("{own} is clean: move it to regression"));
            }
            ("todo", Some(known)) => println!("{own}: {known}: {}", case.wrong.join("; ")),
            _ if !case.wrong.is_empty() => faults.push(format!("{own}: {}", case.wrong.join("; "))),
            _ => {}
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// The whole of the references is small enough to live in the repository.
#[test]
fn the_references_stay_small() {
    const MOST: u64 = 6 << 20;
    let size = |p: PathBuf| fs::metadata(p).map_or(0, |m| m.len());
    let mut total = 0;
    let mut stable = 0;
    for kind in KINDS {
        for name in names(&root().join(kind)) {
            let folder = root().join(kind).join(&name);
            total += names(&folder)
                .into_iter()
                .map(|f| size(folder.join(f)))
                .sum::<u64>();
            stable += usize::from(kind == "stable");
        }
    }
    assert!(total < MOST, "{total} bytes");
    assert!(stable >= 15, "{stable} cases");
}
