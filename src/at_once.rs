//! Work on several things at once. What comes out is the same on any number of threads.

use std::collections::BTreeMap;
use std::num::NonZero;
use std::ops::Range;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

/// How many threads work at the same time.
fn hands() -> usize {
    // The machine is asked once: the answer is read from files.
    static HANDS: OnceLock<usize> = OnceLock::new();
    *HANDS.get_or_init(|| thread::available_parallelism().map_or(1, NonZero::get))
}

/// Does something with each of some items; gives the results in the order of the items.
pub fn each<I: Sync, T: Send>(items: &[I], work: impl Fn(&I) -> T + Sync) -> Vec<T> {
    let hands = hands().min(items.len());
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

/// As [`each`], where at least [`A_BUILDING`] of the pieces of a network stand behind the items:
/// what a house has is done before another thread has begun.
pub fn each_of<I: Sync, T: Send>(
    pieces: usize,
    items: &[I],
    work: impl Fn(&I) -> T + Sync,
) -> Vec<T> {
    match pieces < A_BUILDING {
        true => items.iter().map(work).collect(),
        false => each(items, work),
    }
}

/// A network with so many pieces is more than a house.
pub const A_BUILDING: usize = 256;

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

/// Makes so many things, no more than `most` at once, and takes them in their order on this
/// thread, which makes some too while none is ready. Few wait to be taken: each takes memory.
///
/// # Errors
/// The first that `take` gives; the others are not taken.
pub fn in_order<T: Send, E>(
    count: usize,
    most: usize,
    make: impl Fn(usize) -> T + Sync,
    mut take: impl FnMut(T) -> Result<(), E>,
) -> Result<(), E> {
    let hands = hands().min(count).min(most);
    if hands < 2 {
        return (0..count).try_for_each(|i| take(make(i)));
    }
    let next = AtomicUsize::new(0);
    let begin = || Some(next.fetch_add(1, Ordering::Relaxed)).filter(|i| *i < count);
    thread::scope(|scope| {
        let (sender, made) = mpsc::sync_channel(1);
        for _ in 1..hands {
            let sender = sender.clone();
            scope.spawn({
                let (begin, make) = (&begin, &make);
                move || {
                    // Nobody receives any more once one could not be taken.
                    while let Some(i) = begin()
                        && sender.send((i, make(i))).is_ok()
                    {}
                }
            });
        }
        drop(sender);
        let mut waiting = BTreeMap::new();
        for i in 0..count {
            let one = loop {
                if let Some(one) = waiting.remove(&i) {
                    break one;
                }
                let ready = made.try_recv().ok();
                let own = || {
                    let i = (waiting.len() < hands).then(&begin).flatten()?;
                    Some((i, make(i)))
                };
                match ready.or_else(own).or_else(|| made.recv().ok()) {
                    Some((i, one)) => waiting.insert(i, one),
                    // Only a panic of another thread leaves one out, and it goes on from here.
                    None => return Ok(()),
                };
            };
            take(one)?;
        }
        Ok(())
    })
}

#[cfg(test)]
mod tests {
    /// Things are taken in their order, each once, and none after one that could not be.
    #[test]
    fn taken_in_order() {
        for most in [1, 2, 7] {
            for count in [0, 1, 2, 50] {
                let mut taken = Vec::new();
                let all = super::in_order(
                    count,
                    most,
                    |i| i * i,
                    |n| {
                        taken.push(n);
                        Ok::<(), ()>(())
                    },
                );
                assert_eq!(all, Ok(()));
                assert_eq!(taken, (0..count).map(|n| n * n).collect::<Vec<_>>());
            }
            let mut taken = 0;
            let stopped = super::in_order(
                50,
                most,
                |i| i,
                |n| {
                    taken += 1;
                    if n == 5 { Err("full") } else { Ok(()) }
                },
            );
            assert_eq!((stopped, taken), (Err("full"), 6));
        }
    }

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
