//! How far a long run is.
//!
//! Invariant: it goes to a terminal only, and is gone when the answer comes.

use super::streams::Streams;
use std::io::{IsTerminal, Write, stderr};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

/// Nothing is shown of what takes no longer than this, ms.
const SHORT: u64 = 500;
/// Columns of the bar.
const BAR: usize = 20;
/// From one line to the next, ms.
const PACE: u64 = 100;

/// How far it is, on one line that is written over.
pub struct Meter {
    terminal: bool,
    /// What is counted.
    what: &'static str,
    began: Instant,
    /// When the line was last written, ms; 0 for never.
    told: AtomicU64,
}

impl Meter {
    /// A count of `what`, from now on.
    pub fn new(what: &'static str, streams: &Streams) -> Self {
        let terminal = stderr().is_terminal() && !streams.looks.err.plain;
        Self { terminal, what, began: Instant::now(), told: AtomicU64::new(0) }
    }

    /// So many are done. Any thread may say so.
    pub fn show(&self, done: usize, total: usize) {
        if !self.terminal {
            return;
        }
        let now = u64::try_from(self.began.elapsed().as_millis()).unwrap_or(u64::MAX);
        let told = self.told.load(Ordering::Relaxed);
        let due = now >= SHORT && now >= told + PACE;
        if due && self.told.compare_exchange(told, now, Ordering::Relaxed, Ordering::Relaxed).is_ok() {
            // A line that cannot be written is no reason to stop.
            let filled = (done * BAR).checked_div(total).unwrap_or(BAR).min(BAR);
            let bar = format!("{}{}", "#".repeat(filled), ".".repeat(BAR - filled));
            let _ = write!(stderr(), "\r{bar} {done:>7} of {total} {}", self.what);
        }
    }

    /// Takes the line away.
    pub fn clear(&self) {
        if self.told.load(Ordering::Relaxed) > 0 {
            let _ = write!(stderr(), "\r{:width$}\r", "", width = BAR + 40);
        }
    }
}
