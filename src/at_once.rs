//! Work on several things at once. What comes out is the same on any number of threads.

use std::num::NonZero;
use std::ops::Range;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Does something with each of some items; gives the results in the order of the items.
pub fn each<I: Sync, T: Send>(items: &[I], work: impl Fn(&I) -> T + Sync) -> Vec<T> {
    // The machine is asked once: the answer is read from files.
    static HANDS: OnceLock<usize> = OnceLock::new();
    let hands = *HANDS.get_or_init(|| thread::available_parallelism().map_or(1, NonZero::get));
    let hands = hands.min(items.len());
    if hands < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let hand = || {
        let mut done = Vec::new();
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(i) else {
                return done;
            };
            done.push((i, work(item)));
        }
    };
    let mut all: Vec<(usize, T)> = thread::scope(|scope| {
        let others: Vec<_> = (1..hands).map(|_| scope.spawn(hand)).collect();
        let mut all = hand();
        for other in others {
            match other.join() {
                Ok(done) => all.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    });
    all.sort_by_key(|(i, _)| *i);
    all.into_iter().map(|(_, t)| t).collect()
}

/// So many small things are worth a further thread.
const HANDFUL: usize = 128;

/// Does something with each of so many small things, a handful at a time; gives the results in
/// their order.
pub fn many<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let handfuls: Vec<Range<usize>> = (0..count)
        .step_by(HANDFUL)
        .map(|from| from..count.min(from + HANDFUL))
        .collect();
    let done = each(&handfuls, |some| {
        some.clone().map(&work).collect::<Vec<T>>()
    });
    let mut all = Vec::with_capacity(count);
    for some in done {
        all.extend(some);
    }
    all
}

#[cfg(test)]
mod tests {
    /// Results come in the order of the items, each item done once.
    #[test]
    fn in_order() {
        let items: Vec<u64> = (0..100).collect();
        let squares = super::each(&items, |n| n * n);
        assert_eq!(squares, items.iter().map(|n| n * n).collect::<Vec<_>>());
        assert!(super::each(&[] as &[u8], |b| *b).is_empty());
        for count in [0, 1, 127, 128, 129, 5000] {
            assert_eq!(super::many(count, |n| n), (0..count).collect::<Vec<_>>());
        }
    }
}
