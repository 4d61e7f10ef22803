//! Any job that reads makes a network that keeps every promise, or tells its faults.

use super::*;
use crate::common::{Dice, jobs::anything};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_job_keeps_the_promises(rolls in prop::collection::vec(any::<u32>(), 8..64)) {
        let text = anything(&mut Dice(rolls, 0)).text();
        if let Ok(done) = complete(&text)
            && !done.is_faulty()
        {
            let broken = network::check(&done.net);
            prop_assert!(broken.is_empty(), "{broken:#?}\n{text}\n{}", dump(&done.net));
        }
    }
}

#[test]
fn most_random_jobs_are_networks() {
    let (mut made, mut methods) = (0, std::collections::BTreeSet::new());
    let mut why = std::collections::BTreeMap::<String, usize>::new();
    for seed in 0..400u32 {
        let rolls = (0..40)
            .map(|i| seed.wrapping_mul(97).wrapping_add(i * 7919))
            .collect();
        match complete(&anything(&mut Dice(rolls, 0)).text()) {
            Ok(done) => {
                made += usize::from(!done.is_faulty());
                methods.extend(done.net.traps.iter().filter_map(|t| t.vent.word()));
            }
            Err(e) => {
                for d in e {
                    *why.entry(format!("{} {}", d.code, d.name)).or_default() += 1;
                }
            }
        }
    }
    // Else the property above would be about nothing.
    assert!(made >= 80, "{made} of 400: {why:#?}");
    assert!(methods.len() >= 9, "{methods:?}");
}
