//! `profile --spread`: how sure the answers for a surface are.
//!
//! Invariant: how far it is goes to a terminal only, and is gone when the answer comes.

use super::args::ProfileArgs;
use super::streams::Streams;
use super::{Exit, profile, review, texts};
use crate::output::{json_spread, spread};
use crate::review::Ask;
use crate::review::spread::{Asked, Spread, spread as sample};
use std::io::{IsTerminal, Result, Write, stderr};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

/// Nothing is shown of what takes no longer than this, ms.
const SHORT: u64 = 500;
/// Columns of the bar.
const BAR: usize = 20;
/// From one line to the next, ms.
const PACE: u64 = 100;

/// Runs the command.
pub fn run(options: &ProfileArgs, samples: usize, streams: &mut Streams) -> Result<Exit> {
    let files: Vec<_> = options.file.iter().cloned().collect();
    let Some(texts) = review::gather(&files, None, streams)? else { return Ok(Exit::Failed) };
    let mut failed = !review::told(&texts, streams)?.is_empty();
    let asked = Asked { surface: options.surface.as_deref(), samples, seed: options.seed, width: 1.0 };
    let meter = Meter::new(stderr().is_terminal() && !streams.looks.err.plain);
    let of = |text: texts::Text| {
        let mut load = |from: &str, ask: Ask<'_>| texts::load(from, ask);
        sample(text.input, &mut load, &asked, &|done, total| meter.show(done, total))
    };
    let all: Vec<Spread> = texts.found.into_iter().map(of).collect();
    meter.clear();
    let names: Vec<&str> = all.iter().flat_map(|s| &s.names).map(String::as_str).collect();
    let mut sampled = all.iter().flat_map(|s| &s.surfaces).peekable();
    if sampled.peek().is_none() {
        if !failed {
            profile::no_such_surface(options.surface.as_deref(), &names, streams)?;
        }
        return Ok(Exit::Failed);
    }
    if !sampled.any(|s| s.answers.is_ok()) {
        streams.say("nothing could be sampled")?;
        failed = true;
    }
    if options.json {
        json_spread::write(&mut streams.out, &all)?;
    } else {
        let look = streams.looks.out;
        for (index, surface) in all.iter().flat_map(|s| &s.surfaces).enumerate() {
            if index > 0 {
                writeln!(streams.out)?;
            }
            spread::write(&mut streams.out, surface, &look)?;
        }
    }
    if all.iter().any(|s| s.incomplete) {
        streams.say("the text could not be read in full; `dewlap review` shows why")?;
        failed = true;
    }
    Ok(if failed { Exit::Failed } else { Exit::Clean })
}

/// How far it is, on one line that is written over.
struct Meter {
    terminal: bool,
    began: Instant,
    /// When the line was last written, ms; 0 for never.
    told: AtomicU64,
}

impl Meter {
    fn new(terminal: bool) -> Self {
        Self { terminal, began: Instant::now(), told: AtomicU64::new(0) }
    }

    fn show(&self, done: usize, total: usize) {
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
            let _ = write!(stderr(), "\r{bar} {done:>7} of {total} samples");
        }
    }

    fn clear(&self) {
        if self.told.load(Ordering::Relaxed) > 0 {
            let _ = write!(stderr(), "\r{:width$}\r", "", width = BAR + 32);
        }
    }
}
