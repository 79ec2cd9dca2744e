//! The two ways out: results to standard output, all else to standard error.
//!
//! Invariant: a reader that went away ends the writing, not the program, and does not change the exit code.

use crate::base::finding::Finding;
use crate::base::source::{Source, Sources};
use crate::output::look::{Ink, Look};
use crate::output::terminal;
use crate::output::wrap::hang;
use crate::review::Input;
use std::io::{self, BufWriter, ErrorKind, Result, Write};

/// How each stream may look.
#[derive(Clone, Copy, Debug)]
pub struct Looks {
    /// Standard output.
    pub out: Look,
    /// Standard error.
    pub err: Look,
    /// Standard output is a terminal.
    pub terminal: bool,
}

/// Both streams and their looks.
pub struct Streams {
    /// Results.
    pub out: Quiet<BufWriter<io::StdoutLock<'static>>>,
    /// All else; unbuffered.
    pub err: Quiet<io::Stderr>,
    /// How they may look.
    pub looks: Looks,
}

impl Streams {
    /// The process's own streams.
    pub fn new(looks: Looks) -> Self {
        let out = BufWriter::with_capacity(1 << 16, io::stdout().lock());
        Self { out: Quiet::new(out), err: Quiet::new(io::stderr()), looks }
    }

    /// A remark on standard error, after what was written so far.
    pub fn say(&mut self, text: &str) -> Result<()> {
        self.out.flush()?;
        hang(&mut self.err, &self.looks.err, "", 0, text)
    }

    /// What went wrong, and a way out (may be empty).
    pub fn trouble(&mut self, what: &str, way_out: &str) -> Result<()> {
        self.out.flush()?;
        let look = self.looks.err;
        hang(&mut self.err, &look, &look.paint(Ink::Head, "dewlap: "), 8, what)?;
        if way_out.is_empty() { Ok(()) } else { hang(&mut self.err, &look, "        ", 8, way_out) }
    }

    /// The problems of one text, on standard error.
    pub fn problems(&mut self, input: Input, problems: &[Finding]) -> Result<()> {
        let mut sources = Sources::default();
        sources.add(Source::new(input.name, input.text));
        self.out.flush()?;
        let look = self.looks.err;
        terminal::findings(&mut self.err, &sources, problems, &look)
    }

    /// Writes what is held back.
    pub fn finish(&mut self) -> Result<()> {
        self.out.flush()?;
        self.err.flush()
    }
}

/// A writer that falls silent when nobody reads any more.
pub struct Quiet<W> {
    inner: W,
    closed: bool,
}

impl<W: Write> Quiet<W> {
    /// Wraps a writer.
    pub fn new(inner: W) -> Self {
        Self { inner, closed: false }
    }

    fn pass<T>(&mut self, result: Result<T>, instead: T) -> Result<T> {
        match result {
            Err(e) if e.kind() == ErrorKind::BrokenPipe => {
                self.closed = true;
                Ok(instead)
            }
            other => other,
        }
    }
}

impl<W: Write> Write for Quiet<W> {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        if self.closed {
            return Ok(bytes.len());
        }
        let result = self.inner.write(bytes);
        self.pass(result, bytes.len())
    }

    fn flush(&mut self) -> Result<()> {
        if self.closed {
            return Ok(());
        }
        let result = self.inner.flush();
        self.pass(result, ())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Gone;

    impl Write for Gone {
        fn write(&mut self, _: &[u8]) -> Result<usize> {
            Err(ErrorKind::BrokenPipe.into())
        }
        fn flush(&mut self) -> Result<()> {
            Err(ErrorKind::Other.into())
        }
    }

    #[test]
    fn a_closed_pipe_is_silence_and_other_errors_are_not() {
        assert!(Quiet::new(Gone).flush().is_err());
        let mut quiet = Quiet::new(Gone);
        quiet.write_all(b"x").unwrap();
        quiet.flush().unwrap();
    }
}
