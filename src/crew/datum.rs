//! What a crew measures levels down from.

use crate::job::{FloorIx, Job};
use crate::units::Length;

/// What the levels of a sheet are measured down from.
#[derive(Clone, Debug, PartialEq)]
pub struct Datum {
    /// Its level above zero.
    pub level: Length,
    /// What it is.
    pub words: String,
    /// Whether it is a benchmark, and not a floor itself.
    pub is_benchmark: bool,
}

impl Datum {
    /// The benchmark that the job names; where it names none, or does not say how high it is, the
    /// lowest finished floor, else zero.
    pub fn of_underground(job: &Job) -> Datum {
        let zero = job.zero.as_ref();
        let stated = zero.and_then(|z| Some((z.benchmark.clone()?, z.level?)));
        if let Some((words, level)) = stated {
            return Datum {
                level,
                words,
                is_benchmark: true,
            };
        }
        let floors = job.floors.iter().enumerate();
        let lowest = floors.min_by(|a, b| a.1.level.mm().total_cmp(&b.1.level.mm()));
        match lowest {
            Some((i, _)) => Datum::of_floor(job, FloorIx(i)),
            None => Datum {
                level: Length::ZERO,
                words: "level zero".to_owned(),
                is_benchmark: false,
            },
        }
    }

    /// A finished floor.
    pub fn of_floor(job: &Job, floor: FloorIx) -> Datum {
        match job.floors.get(floor.0) {
            Some(f) => Datum {
                level: f.level,
                words: format!("finished floor, {}", f.name),
                is_benchmark: false,
            },
            None => Datum::of_underground(job),
        }
    }
}
