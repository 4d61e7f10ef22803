//! Nothing that stands in a file makes the reader panic, and what it gives out keeps its promises.

use proptest::prelude::*;
use stackfall::diagnostics::{render, to_json};
use stackfall::job::{FloorIx, Job, Source, Target, read};

use super::{SAMPLES, load, sample};

#[test]
fn a_large_hostile_file_ends_soon() {
    let mut text = String::from("[fixtures]\n");
    for i in 0..20_000 {
        text.push_str(&format!(
            "F{i} = {{ kind = \"sink\", into = \"nobody-{i}\", flor = 1 }}\n"
        ));
    }
    let start = std::time::Instant::now();
    let list = read("test", "", &text).expect_err("forty thousand mistakes");
    assert_eq!(list.len(), 40_000);
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
    let deep = format!("a = {}", "[".repeat(100_000));
    assert!(read("test", "", &deep).is_err());
}

/// What a few lines can ask for ends soon, with an error where it is too much.
#[test]
fn a_hostile_repeat_ends_soon() {
    let start = std::time::Instant::now();
    let group: String = (0..200)
        .map(|i| format!("F{i} = {{ kind = \"sink\", into = \"nobody\", vent = \"none\" }}\n"))
        .collect();
    let repeat = |stacks: &str, floors: &str| {
        format!(
            "[floors]\n\"1..1000\" = {{ from = \"0\", each = \"9'\" }}\n[stacks]\n\"S1..S1000\" = {{}}\n\
             [groups.g.fixtures]\n{group}[repeat]\nr = {{ group = \"g\", into = \"S1..{stacks}\", floors = \"{floors}\" }}\n"
        )
    };
    let list =
        read("test", "", &repeat("S1000", "1..1000")).expect_err("two hundred million things");
    assert!(list.iter().any(|d| d.name == "too-many-made"));
    // Each of the group's mistakes once, and not a thousand times.
    let list = read("test", "", &repeat("S400", "1")).expect_err("four hundred mistakes");
    assert_eq!(list.len(), 400, "{:#?}", list.last());
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
}

/// Reads anything, prints whatever comes of it, and checks what the stage promises.
fn survives(text: &str) {
    let source = Source {
        path: "x.toml".to_owned(),
        text: text.to_owned(),
    };
    match read("x", "x.toml", text) {
        Ok(job) => promises(&job),
        Err(list) => {
            assert!(!list.is_empty());
            for d in &list {
                let span = d.span.clone().expect("a place");
                assert!(span.start <= span.end && span.end <= text.len(), "{d:?}");
                assert!(
                    text.is_char_boundary(span.start) && text.is_char_boundary(span.end),
                    "{d:?}"
                );
            }
            let head = list.get(..list.len().min(20)).expect("its head");
            assert!(!render(head, &source, true).is_empty());
            assert_eq!(
                to_json(&list, &source).as_array().map(Vec::len),
                Some(list.len())
            );
        }
    }
}

fn promises(job: &Job) {
    assert!(!job.exits.is_empty() && !job.fixtures.is_empty());
    let floor = |f: Option<FloorIx>| assert!(f.is_none_or(|f| f.0 < job.floors.len()));
    let target = |t: &Target| match *t {
        Target::Exit(i) => assert!(i < job.exits.len()),
        Target::Drain(i) => assert!(i < job.drains.len()),
        Target::Stack(i) => assert!(i < job.stacks.len()),
        Target::Vent(i) => assert!(i < job.vents.len()),
        Target::Basin(i) => assert!(i < job.basins.len()),
        Target::Fixture(i) => assert!(i < job.fixtures.len()),
        Target::Roof => {}
    };
    assert!(job.floors.is_sorted_by(|a, b| a.level <= b.level));
    for f in &job.fixtures {
        floor(f.floor);
        assert!(job.floors.is_empty() || f.floor.is_some());
        f.into.iter().for_each(|t| target(&t.value));
        let others = [&f.vented_by, &f.primed_by, &f.over];
        assert!(
            others
                .into_iter()
                .flatten()
                .all(|i| i.value < job.fixtures.len())
        );
        assert!(f.vent.iter().all(|i| i.value < job.vents.len()));
        assert!(
            f.run
                .iter()
                .all(|l| l.length.mm() > 0.0 && l.length.mm().is_finite())
        );
    }
    for d in &job.drains {
        floor(d.floor);
        d.into.iter().for_each(|t| target(&t.value));
        assert!(d.station.iter().all(|s| s.value.mm() >= 0.0));
    }
    for (name, thing) in &job.made.things {
        assert!(name.len() <= 48 && name.matches('@').count() == 1);
        assert!(thing.group < job.made.groups.len() && thing.repeat < job.made.repeats.len());
        floor(Some(thing.floor));
        target(&thing.into);
    }
    for s in &job.stacks {
        floor(s.up_to);
        s.offsets.iter().for_each(|o| floor(Some(o.floor)));
        assert!(
            s.into
                .iter()
                .all(|t| matches!(t.value, Target::Drain(_) | Target::Exit(_)))
        );
    }
}

/// Bits of job files, and things that are not.
const BITS: [&str; 46] = [
    "[",
    "]",
    "{",
    "}",
    "=",
    ",",
    "\"",
    "'",
    "\n",
    ".",
    "#",
    "\\",
    "-",
    "\u{0}",
    "é",
    "\"\"\"",
    "[exit]\n",
    "[drains]\n",
    "[stacks]\n",
    "[floors]\n",
    "into = \"S1\"",
    "into = \"main\"",
    "station = -1",
    "1e999",
    "nan",
    "inf",
    "0x10",
    "99999999999999999999",
    "2026-01-01",
    "true",
    "run = [\"north 3'\"]",
    "\"roof\"",
    "\"exit\"",
    "level = \"0\"",
    "floor = \"first\"",
    "S1 = {}",
    "size = 3",
    "[[drains]]\n",
    "\"1/0\"",
    "-8' 10",
    "[groups.g.fixtures]\n",
    "[repeat]\n",
    "r = { group = \"g\", into = \"S1\", floors = \"1..9\" }\n",
    "\"1..9\"",
    "..",
    "@",
];

/// Words of a job file, for swapping one for another.
fn words(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut all = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
        match (c.is_alphanumeric() || c == '-' || c == '_', start) {
            (true, None) => start = Some(i),
            (false, Some(s)) => {
                all.push(s..i);
                start = None;
            }
            _ => {}
        }
    }
    all
}

fn cut(text: &str, at: usize) -> usize {
    let mut at = at % (text.len() + 1);
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn arbitrary_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        survives(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn bits_of_job_files_never_panic(bits in proptest::collection::vec(0..BITS.len(), 0..60)) {
        let text: String = bits.iter().map(|b| BITS[*b]).collect();
        survives(&text);
    }

    #[test]
    fn mutated_samples_never_panic(
        sample_index in 0..SAMPLES.len() + 1,
        edits in proptest::collection::vec((0..4usize, any::<usize>(), any::<usize>()), 1..12),
    ) {
        let (_, mut text) = match SAMPLES.get(sample_index) {
            Some(name) => sample(name),
            None => load("tests/job/every-key.toml"),
        };
        for (edit, a, b) in edits {
            match edit {
                0 => {
                    let from = cut(&text, a);
                    let to = cut(&text, from + b % 12).max(from);
                    text.replace_range(from..to, "");
                }
                1 => text.insert_str(cut(&text, a), BITS[b % BITS.len()]),
                // One word for another: stays TOML most of the time, and goes deep.
                2 | 3 => {
                    let all = words(&text);
                    if !all.is_empty() {
                        let word = text[all[b % all.len()].clone()].to_owned();
                        text.replace_range(all[a % all.len()].clone(), &word);
                    }
                }
                _ => {}
            }
        }
        survives(&text);
    }
}
