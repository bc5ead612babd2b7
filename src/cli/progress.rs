//! How far long work has come, on a terminal only.

use std::io::{self, IsTerminal, Write};
use std::sync::atomic::{AtomicBool, AtomicU64, AtomicUsize, Ordering};
use std::time::Instant;

/// Work shorter than this shows nothing.
const QUIET_MS: u64 = 700;
/// Between two signs of life.
const PAUSE_MS: u64 = 100;

/// A count of plans that are done.
pub struct Progress {
    total: usize,
    done: AtomicUsize,
    start: Instant,
    next_ms: AtomicU64,
    is_shown: AtomicBool,
    is_terminal: bool,
}

impl Progress {
    /// For so many plans.
    pub fn new(total: usize) -> Progress {
        Progress {
            total,
            done: AtomicUsize::new(0),
            start: Instant::now(),
            next_ms: AtomicU64::new(QUIET_MS),
            is_shown: AtomicBool::new(false),
            is_terminal: total > 1 && io::stderr().is_terminal(),
        }
    }

    /// One more is done.
    pub fn step(&self) {
        let done = self.done.fetch_add(1, Ordering::Relaxed).saturating_add(1);
        let now = u64::try_from(self.start.elapsed().as_millis()).unwrap_or(u64::MAX);
        let next = self.next_ms.load(Ordering::Relaxed);
        let is_due = self.is_terminal && now >= next;
        let later = now.saturating_add(PAUSE_MS);
        if is_due && self.next_ms.compare_exchange(next, later, Ordering::Relaxed, Ordering::Relaxed).is_ok() {
            self.is_shown.store(true, Ordering::Relaxed);
            // Nobody looks where this can't be written.
            let _ = write!(io::stderr().lock(), "\r{done} of {} plans ", self.total);
        }
    }

    /// Takes the line away again.
    pub fn finish(&self) {
        if self.is_shown.load(Ordering::Relaxed) {
            // As above.
            let _ = write!(io::stderr().lock(), "\r\x1b[K");
        }
    }
}
