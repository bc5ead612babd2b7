//! One thing done with many values, on as many threads as the machine has.

use std::cell::Cell;
use std::hint::black_box;
use std::num::NonZero;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;

/// `work` of every item, in the order of the items. Threads take the next item that is left, so
/// that a slow one holds up no other.
pub fn map<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let threads = thread::available_parallelism().map_or(1, NonZero::get).min(items.len());
    if threads <= 1 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let take = || {
        alone(|| {
            let mut done = Vec::new();
            loop {
                let index = next.fetch_add(1, Ordering::Relaxed);
                let Some(item) = items.get(index) else { return done };
                done.push((index, work(item)));
            }
        })
    };
    // This thread takes its part: one fewer has to begin, and its memory need not be asked for.
    let mut all: Vec<(usize, R)> = thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(|| with_room(take))).collect();
        let mut all = take();
        let join = |t: thread::ScopedJoinHandle<'_, _>| t.join().unwrap_or_else(|p| std::panic::resume_unwind(p));
        all.extend(others.into_iter().flat_map(join));
        all
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, result)| result).collect()
}

/// A thread's `work`, with room for what it keeps. The allocator of the C library on Linux lets the memory of a
/// thread grow by one page at a time, each time by a call to the system that holds up the others' memory too:
/// four hundred of them in the check of a small shop. What was asked for in blocks and given back is taken first.
fn with_room<R>(work: impl FnOnce() -> R) -> R {
    // Blocks of this size come from the thread's own memory; larger ones would not.
    let blocks: Vec<Vec<u8>> = (0..ROOM).map(|_| Vec::with_capacity(120 << 10)).collect();
    // While something lies behind them their room is not given back to the system.
    let behind = black_box(Box::new(0_u8));
    drop(black_box(blocks));
    let out = work();
    drop(behind);
    out
}

/// So many blocks are a megabyte; what isn't used of them is never touched.
const ROOM: usize = 8;

/// Fewer short works than this are done before a second thread has begun.
const MANY: usize = 2048;

/// The same for short works: other threads help only where there are many.
pub fn map_short<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    if items.len() < MANY { items.iter().map(work).collect() } else { map(items, work) }
}

/// Fewer items of a plan than this are judged before a second thread has begun.
const SOME: usize = 64;

thread_local! {
    /// Whether this thread works beside others of [`map`], so that every core has work already.
    static IS_ONE_OF_MANY: Cell<bool> = const { Cell::new(false) };
}

/// `work` of plans of usual size on this thread alone, to be held against what several threads do.
pub fn alone<R>(work: impl FnOnce() -> R) -> R {
    let before = IS_ONE_OF_MANY.replace(true);
    let out = work();
    IS_ONE_OF_MANY.set(before);
    out
}

/// `work` here, and meanwhile the `others` that come to their turn on another core, if there is one. They are
/// what would be done later, when it is needed: those left over are not waited for.
pub fn beside<R>(work: impl FnOnce() -> R, others: impl Iterator<Item = ()> + Send) -> R {
    if IS_ONE_OF_MANY.get() || thread::available_parallelism().map_or(1, NonZero::get) < 2 {
        return work();
    }
    let is_done = AtomicBool::new(false);
    thread::scope(|scope| {
        scope.spawn(|| with_room(|| others.take_while(|()| !is_done.load(Ordering::Relaxed)).for_each(drop)));
        let done = work();
        is_done.store(true, Ordering::Relaxed);
        done
    })
}

/// In how many parts to judge a plan of so many items.
pub fn parts(items: usize) -> usize {
    let least = if IS_ONE_OF_MANY.get() { MANY } else { SOME };
    if items < least { 1 } else { thread::available_parallelism().map_or(1, NonZero::get) }
}

#[cfg(test)]
mod tests {
    #[test]
    fn keeps_the_order() {
        let items: Vec<u64> = (0..1000).collect();
        assert_eq!(super::map(&items, |i| i * i), items.iter().map(|i| i * i).collect::<Vec<_>>());
        assert_eq!(super::map(&[], |i: &u64| *i), Vec::<u64>::new());
    }
}
