//! The rough-in test: what is plugged, where it is filled, how high the water stands over each
//! joint, and how much it takes.
//!
//! In: a job worked through. Out: [`WaterTest`], plain data. Promises: a head is the water's level
//! less the level of a joint whose level is known; a volume is that of true bores over known
//! lengths; what is not known is counted and named, not guessed; without the level of the roof
//! nothing is said of the whole system.

mod air;
mod below;
mod closures;
mod filling;
mod gather;
mod lifts;
mod model;
mod nominal;
mod record;
mod tables;
mod tested;
mod valves;

pub use model::{
    Air, Closing, Closure, Filling, Lift, Section, Standpipe, Tested, Uncounted, WaterTest,
};
pub use tables::{notes, tables};
pub use tested::tested;

use crate::solve::Work;
use crate::takeoff::Phase;

/// Plans the test of a job; none where its book says nothing of one.
pub fn water_test(work: &Work<'_>) -> Option<WaterTest> {
    let rules = work.book.test()?.clone();
    let pipes = filling::pipes(work);
    let whole = rules.water.fills_whole();
    let fill = filling::level(work).filter(|_| whole);
    let lifts = lifts::lifts(work, &rules, &pipes, fill.as_ref());
    let mut sections = filling::sections(work, &rules, &pipes, fill.as_ref());
    let mut below = below::Below::default();
    for section in &mut sections {
        section.tested = tested(work, section.phase);
        if section.phase.is_some() {
            below = below::below(work, &pipes, section.water);
            let held = below.standpipes.iter().filter_map(|s| s.holds);
            held.for_each(|v| section.volume += v);
            section.volume += below.stubs;
            section.uncounted.append(&mut below.uncounted);
            section.standpipes.clone_from(&below.standpipes);
        }
    }
    // Where the whole is not filled, what lies above the ground is no part of the test.
    let filled = |p: &&filling::Pipe| whole || p.phase == Phase::Underground;
    let filled: Vec<&filling::Pipe> = pipes.iter().filter(filled).collect();
    Some(WaterTest {
        valves: valves::valves(work, &filled),
        nominal: nominal::nominal(work, &filled),
        noted: work.book.notes_of("test").to_vec(),
        sections,
        below: below.closures,
        tested: tested::marks(work),
        closures: match whole {
            true => closures::closures(work, &lifts),
            false => Vec::new(),
        },
        air: air::air(work, &rules),
        rating: work.job.test.plug_rating,
        least_rating: lifts::least_rating(work, &rules, &pipes, fill.as_ref()),
        rules,
        fill,
        lifts,
    })
}
