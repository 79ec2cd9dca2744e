//! One finding a line, for editors and grep: `file:line:column: weight: rule: message`.
//!
//! Invariant: no color, no wrapping, no line that is not a finding.

use super::clean::{clean_line, one_line};
use crate::base::source::Sources;
use crate::review::report::Report;
use std::io::{Result, Write};

/// Writes the findings of a report.
pub fn write(out: &mut dyn Write, sources: &Sources, report: &Report) -> Result<()> {
    for finding in &report.findings {
        let (file, at) = sources.place(finding.primary.span);
        let message = one_line(&finding.message);
        let weight = finding.weight.word();
        writeln!(out, "{}:{}:{}: {weight}: {}: {message}", clean_line(file), at.line, at.column, finding.rule)?;
    }
    Ok(())
}
