//! The job file's reader, from outside.

use stackfall::diagnostics::render;
use stackfall::job::{Job, Source, name_of, read};

fn sample(name: &str) -> (String, String) {
    let path = format!("{}/samples/{name}/job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect(&path);
    (path, text)
}

fn good(name: &str) -> Job {
    let (path, text) = sample(name);
    match read(&name_of(path.as_ref()), &path, &text) {
        Ok(job) => job,
        Err(list) => panic!("{}", render(&list, &Source { path, text }, false)),
    }
}

const SAMPLES: [&str; 4] = [
    "alder-court",
    "garden-cottage",
    "mill-house",
    "quarry-flats",
];

#[test]
fn every_sample_reads() {
    for name in SAMPLES {
        let job = good(name);
        assert_eq!(job.name, name);
        assert_eq!(job.exits.len(), 1);
        assert!(job.fixtures.iter().all(|f| f.floor.is_some()));
    }
}
