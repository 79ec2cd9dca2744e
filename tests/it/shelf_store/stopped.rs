//! Many writers at once, and writers that are stopped anywhere.

use super::{LOOK, RAKE, Yard, head, program};
use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

/// How many writers are stopped.
const STOPPED: u32 = 500;
/// How many stops one text sees: what a head may hold has an end.
const ROUND: u32 = 50;

#[test]
fn two_that_write_at_once_lose_nothing() {
    let yard = Yard::with_rake();
    let tool = program();
    thread::scope(|scope| {
        for who in ["mason", "roofer"] {
            let (yard, tool) = (&yard, &tool);
            scope.spawn(move || {
                for count in 0..40 {
                    let note = format!("{who} {count}");
                    let mut command = yard.command(tool, &[LOOK, &["--note", &note]].concat());
                    let done = command.output().unwrap();
                    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
                }
            });
        }
    });
    let mut notes: Vec<String> =
        head(&yard.read("details/rake.dew")).evidence.into_iter().map(|e| e.note.unwrap()).collect();
    assert_eq!(notes.len(), 80);
    notes.sort();
    notes.dedup();
    assert_eq!(notes.len(), 80);
}

#[test]
fn tidying_takes_no_entry_away() {
    let yard = Yard::with_rake();
    let tool = program();
    thread::scope(|scope| {
        let (yard, tool) = (&yard, &tool);
        let writer = scope.spawn(move || {
            for _ in 0..30 {
                assert!(yard.command(tool, LOOK).output().unwrap().status.success());
            }
        });
        while !writer.is_finished() {
            // A hand that leaves the text untidy, and goes the same way as the program.
            let mut options = std::fs::File::options();
            let lock = options.write(true).create(true).truncate(false).open(yard.at("details/.lock")).unwrap();
            lock.lock().unwrap();
            let loose = yard.read("details/rake.dew").replace("  board: osb", "  board:    osb");
            yard.write("details/rake.dew", &loose);
            drop(lock);
            assert!(yard.command(tool, &["tidy", "details"]).output().unwrap().status.success());
        }
    });
    assert_eq!(head(&yard.read("details/rake.dew")).evidence.len(), 30);
}

/// How long one writer lives, about.
fn life(yard: &Yard) -> Duration {
    let mut all: Vec<Duration> = (0..9)
        .map(|_| {
            let start = Instant::now();
            assert_eq!(yard.log(&[]).code, 0);
            start.elapsed()
        })
        .collect();
    all.sort();
    all[4]
}

/// Starts the program, stops it after a while; whether it had come to its end.
fn stop(yard: &Yard, tool: &std::path::Path, arguments: &[&str], after: Duration) -> bool {
    let mut command = yard.command(tool, arguments);
    let mut child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    thread::sleep(after);
    child.kill().unwrap();
    child.wait().unwrap().success()
}

/// Times spread over the life of a process and a little more, in an order that is the same in every run.
fn spread(life: Duration, count: u32) -> impl Iterator<Item = Duration> {
    (0..count).map(move |n| life.mul_f64(1.2 * f64::from(n * 211 % count) / f64::from(count)))
}

#[test]
fn a_writer_that_is_stopped_leaves_a_whole_text() {
    let start = Instant::now();
    let yard = Yard::with_rake();
    let tool = program();
    let life = life(&yard);
    let (mut before, mut during, mut after, mut ended) = (0, 0, 0, 0);
    for (count, wait) in (0..).zip(spread(life, STOPPED)) {
        if count % ROUND == 0 {
            yard.write("details/rake.dew", RAKE);
        }
        let old = head(&yard.read("details/rake.dew")).evidence.len();
        let finished = stop(&yard, &tool, LOOK, wait);
        let texts = yard.texts();
        assert_eq!(texts.len(), 1);
        let new = head(&texts[0].1).evidence.len();
        assert!((old..=old + 1).contains(&new), "{old} {new}");
        assert!(!finished || new > old, "what is told as written is not there");
        match (finished, new > old, yard.litter("details").is_empty()) {
            (true, ..) => ended += 1,
            (_, true, _) => after += 1,
            (_, _, false) => during += 1,
            (_, _, true) => before += 1,
        }
        if count % 10 == 0 {
            assert_eq!(yard.log(&[]).code, 0);
            assert!(yard.litter("details").is_empty());
            assert_eq!(head(&yard.read("details/rake.dew")).evidence.len(), new + 1);
        }
    }
    assert_eq!(yard.log(&[]).code, 0);
    assert!(yard.litter("details").is_empty());
    eprintln!(
        "of {STOPPED} writers (a life of {life:?}): {before} stopped before they wrote, {during} between that and the \
         rename, {after} after it, {ended} had ended; {:?}",
        start.elapsed()
    );
    assert!(before > 0 && after + ended > 0, "no writer was stopped where it matters");
}

#[test]
fn a_raise_that_is_stopped_loses_no_revision() {
    let raised = RAKE.replace("revision: 1", "revision: 2").replace("7/16", "1/2");
    let yard = Yard::with_rake();
    yard.write("rake.dew", &raised);
    let tool = program();
    let life = life(&yard).mul_f64(1.5);
    for wait in spread(life, 100) {
        yard.write("details/rake.dew", RAKE);
        stop(&yard, &tool, &["shelf", "add", "rake.dew"], wait);
        let now = yard.read("details/rake.dew");
        let kept = yard.at("details/past/rake.r1.dew");
        assert!(now == RAKE || now == raised);
        assert!(now == RAKE || kept.is_file(), "the earlier revision is gone");
        assert!(!kept.is_file() || yard.read("details/past/rake.r1.dew") == RAKE);
        let _ = std::fs::remove_file(kept);
    }
    yard.write("details/rake.dew", RAKE);
    assert_eq!(yard.run(&["shelf", "add", "rake.dew"]).code, 0);
    assert!(yard.litter("details").is_empty() && yard.litter("details/past").is_empty());
}
