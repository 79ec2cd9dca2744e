//! The author's own lines with what is underlined in them. The only file that knows miette.
//!
//! miette's stock text reader scans from the start of the file for every label, counts bytes as columns and loses
//! labels at the end; the window has the lines at hand and the columns right.
//! Invariant: what is given to miette is clean, inside the text and fits the width; links are never written.

use super::clean::clean_line;
use super::look::Look;
use super::window::Window;
use crate::base::finding::{Finding, Label, Weight};
use crate::base::source::Sources;
use crate::base::span::FileId;
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, SourceCode,
    SourceSpan, SpanContents,
};
use std::fmt;

/// The lines of a finding, the file of its primary place first; ends with a line break unless empty.
pub fn snippets(sources: &Sources, finding: &Finding, look: &Look) -> String {
    let all: Vec<(&Label, bool)> =
        std::iter::once((&finding.primary, true)).chain(finding.others.iter().map(|l| (l, false))).collect();
    let mut files: Vec<FileId> = Vec::new();
    for (label, _) in &all {
        if !files.contains(&label.span.file) {
            files.push(label.span.file);
        }
    }
    let mut text = String::new();
    for file in files {
        let Some(source) = sources.get(file) else { continue };
        let labels: Vec<(&Label, bool)> = all.iter().filter(|(l, _)| l.span.file == file).copied().collect();
        let window = Window::new(source, &labels, look);
        text.push_str(&drawn(&Lines { window, name: clean_line(source.name()).into_owned() }, finding.weight, look));
    }
    text
}

fn drawn(lines: &Lines, weight: Weight, look: &Look) -> String {
    let handler = GraphicalReportHandler::new_themed(theme(lines, weight, look))
        .with_links(false)
        .with_width(look.width)
        .with_context_lines(1)
        .without_syntax_highlighting();
    let mut text = String::new();
    // Writing to a string fails only where miette refuses a label; then there is nothing to draw.
    if handler.render_report(&mut text, lines).is_err() {
        return String::new();
    }
    // miette opens with the message; ours stands above the lines.
    text.split_once('\n').map_or_else(String::new, |(_, rest)| rest.to_owned())
}

fn theme(lines: &Lines, weight: Weight, look: &Look) -> GraphicalTheme {
    let mut theme = match (look.ascii, look.color) {
        (true, true) => GraphicalTheme::ascii(),
        (true, false) => GraphicalTheme::none(),
        (false, true) => GraphicalTheme::unicode(),
        (false, false) => GraphicalTheme::unicode_nocolor(),
    };
    let styles = &mut theme.styles;
    let own = match weight {
        Weight::Stop => styles.error,
        Weight::Fix => styles.warning,
        Weight::Watch => styles.advice,
    };
    // One style a label, in text order.
    let other = styles.link;
    styles.highlights = lines.window.marks.iter().map(|m| if m.primary { own } else { styles.linum }).collect();
    if styles.highlights.is_empty() {
        styles.highlights.push(other);
    }
    styles.link = styles.linum;
    theme
}

/// A window with the name of its text, as miette wants to see it.
#[derive(Debug)]
struct Lines {
    window: Window,
    name: String,
}

impl fmt::Display for Lines {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(())
    }
}

impl std::error::Error for Lines {}

impl Diagnostic for Lines {
    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(self)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.window.marks.iter().map(|mark| {
            let words = Some(mark.text.clone()).filter(|t| !t.is_empty());
            let span = (mark.range.start, mark.range.len());
            if mark.primary {
                LabeledSpan::new_primary_with_span(words, span)
            } else {
                LabeledSpan::new_with_span(words, span)
            }
        })))
    }
}

impl SourceCode for Lines {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let rows = &self.window.rows;
        let row_of = |at: usize| rows.partition_point(|r| r.start <= at).saturating_sub(1);
        let last_byte = span.offset() + span.len().saturating_sub(1);
        let (own, last) = (row_of(span.offset()), row_of(last_byte));
        let own_row = rows.get(own).ok_or(MietteError::OutOfBounds)?;
        let same = |i: &usize| rows.get(*i).is_some_and(|r| r.block == own_row.block);
        let first = (own.saturating_sub(before)..=own).find(same).unwrap_or(own);
        let last = (last..=last + after).rev().find(same).unwrap_or(last);
        let row = rows.get(first).ok_or(MietteError::OutOfBounds)?;
        let (start, column) = if before == 0 {
            let lead = own_row.start + own_row.lead;
            let shown = self.window.text.get(lead..span.offset()).unwrap_or("");
            (span.offset(), own_row.column + shown.chars().count())
        } else {
            (row.start, 0)
        };
        let end = rows.get(last + 1).map_or(self.window.text.len(), |r| r.start);
        let data = self.window.text.get(start..end).ok_or(MietteError::OutOfBounds)?;
        let covered = (start, end - start).into();
        let count = last + 1 - first;
        Ok(Box::new(MietteSpanContents::new_named(
            self.name.clone(),
            data.as_bytes(),
            covered,
            row.line,
            column,
            count,
        )))
    }
}
