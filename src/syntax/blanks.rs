//! The blanks of a detail: `<NAME>` stands for what a parameter is, and is filled in before the lines are read.
//!
//! Invariant: a place in the filled text leads back to the place in the written one; the head of a text has no blanks.

use super::ast::Detail;
use super::lines;
use super::problem::{did_you_mean, incomplete, quote, unreadable};
use super::reader::{Origin, Reader};
use super::words::{self, Home, Opens, STANZAS};
use super::{Parsed, head, reuse, stanza};
use crate::base::finding::{Finding, Weight};
use crate::base::span::{FileId, Span};
use std::borrow::Cow;

/// Most blanks that are filled in one text.
const MOST: usize = 10_000;

/// A blank that was filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    /// Where what it was filled with begins and ends.
    filled: (usize, usize),
    /// Where the blank begins and ends in the written text.
    blank: (usize, usize),
}

/// The place in the written text of a place in the filled one; a place within a blank is its beginning, or its end.
pub(super) fn written(pieces: &[Piece], at: usize, end: bool) -> usize {
    let before = pieces.partition_point(|p| p.filled.0 < at || (p.filled.0 == at && !end));
    let Some(piece) = before.checked_sub(1).and_then(|i| pieces.get(i)) else { return at };
    match (at < piece.filled.1 || (end && at == piece.filled.1), end) {
        (true, false) => piece.blank.0,
        (true, true) => piece.blank.1,
        (false, _) => at - piece.filled.1 + piece.blank.1,
    }
}

/// Reads a text with its blanks filled: with what `with` says of a parameter, else with its default. Blanks mean nothing
/// in a text without a `detail` line.
pub(super) fn parse(file: FileId, text: &str, with: &[(&str, &str)], placed: bool) -> Parsed {
    let plain = || if placed { Origin::new(file, text) } else { Origin::nowhere() };
    let Some(detail) = detail(file, text) else { return stanza::parse(file, text, plain()) };
    let mut filling = Filling::of(file, text, detail.as_ref(), with);
    filling.idle(detail.as_ref());
    let origin = if placed { Origin::filled(file, &filling.text, &filling.pieces) } else { Origin::nowhere() };
    let parsed = stanza::parse(file, &filling.text, origin);
    let mut problems = filling.problems;
    // A blank that nothing is known of is told once, where it is told at all.
    let strange =
        |p: &Finding| filling.strange.iter().any(|s| s.start <= p.primary.span.start && p.primary.span.end <= s.end);
    problems.extend(parsed.problems.into_iter().filter(|p| !strange(p)));
    reuse::drawn(&parsed.tree, &mut problems);
    problems.sort_by_key(|p| p.primary.span.start);
    Parsed { tree: parsed.tree, problems }
}

/// The text with its blanks filled.
pub(super) fn filled<'t>(text: &'t str, with: &[(&str, &str)]) -> Cow<'t, str> {
    let file = FileId::default();
    let detail = detail(file, text).filter(|_| text.contains('<'));
    detail.map_or(Cow::Borrowed(text), |detail| Cow::Owned(Filling::of(file, text, detail.as_ref(), with).text))
}

/// The first `detail` line of a text; none in it where it can't be read.
fn detail(file: FileId, text: &str) -> Option<Option<Detail>> {
    // Most texts have none and need not be looked through.
    text.find("detail")?;
    let opens = |line: &lines::Logical| !line.indented && opens(line.text) == Some(Opens::Detail);
    let line = lines::logical(head::body(text)).find(opens)?;
    let mut reader = Reader::new(Origin::new(file, text), line.text);
    reader.bump();
    Some(reuse::detail(&mut reader, &mut Vec::new()).ok())
}

fn opens(line: &str) -> Option<Opens> {
    words::find(STANZAS, lines::first_word(line))
}

/// A text as its blanks are filled.
#[derive(Default)]
struct Filling<'t> {
    text: String,
    pieces: Vec<Piece>,
    problems: Vec<Finding>,
    /// Blanks that nothing is known of.
    strange: Vec<Span>,
    /// The names of those that were filled, and whether in what is drawn: the job of a detail stays where it is.
    filled: Vec<(&'t str, bool)>,
}

impl<'t> Filling<'t> {
    fn of(file: FileId, text: &'t str, detail: Option<&Detail>, with: &[(&str, &str)]) -> Self {
        let origin = Origin::new(file, text);
        let body = head::body(text);
        let head = text.get(..text.len() - body.len()).unwrap_or("").to_owned();
        let mut filling = Self { text: head, ..Self::default() };
        let mut drawn = true;
        for line in body.split_inclusive('\n') {
            let physical = lines::split(line.trim_end_matches(['\n', '\r']));
            if let Some(opens) = Some(physical.content).filter(|_| !physical.indented).and_then(opens) {
                drawn = !matches!(opens, Opens::Block(Home::Job | Home::Climate));
            }
            let comment = if physical.comment.is_empty() { line.len() } else { offset(line, physical.comment) };
            let mut rest = line.get(..comment).unwrap_or(line);
            while let Some((at, name)) = next(rest).filter(|_| filling.pieces.len() < MOST) {
                let blank = rest.get(at..at + name.len() + 2).unwrap_or("");
                filling.text.push_str(rest.get(..at).unwrap_or(""));
                rest = rest.get(at + blank.len()..).unwrap_or("");
                filling.blank(origin, text, blank, name, detail, with, drawn);
            }
            filling.text.push_str(rest);
            filling.text.push_str(line.get(comment..).unwrap_or(""));
        }
        filling
    }

    #[allow(clippy::too_many_arguments, reason = "one blank of the loop above, which holds all of these")]
    fn blank(
        &mut self,
        origin: Origin<'_>,
        text: &str,
        blank: &'t str,
        name: &'t str,
        detail: Option<&Detail>,
        with: &[(&str, &str)],
        drawn: bool,
    ) {
        let start = offset(text, blank);
        if let Some(value) = detail.and_then(|detail| filling(detail, with, name)) {
            let from = self.text.len();
            self.filled.push((name, drawn));
            self.text.push_str(value);
            self.pieces.push(Piece { filled: (from, self.text.len()), blank: (start, start + blank.len()) });
            return;
        }
        self.text.push_str(blank);
        self.strange.push(origin.span(blank));
        // Where a parameter could not be read, this may be the one.
        if let Some(detail) = detail.filter(|d| d.whole) {
            let known = detail.parameters.iter().filter(|p| p.sort.is_blank()).map(|p| p.name.text.as_str());
            let help = did_you_mean(name, known).unwrap_or_else(|| "name it in the `detail` line".to_owned());
            let message = format!("{} is no parameter of this detail", quote(name));
            self.problems.push(*unreadable(origin.span(blank), message, help));
        }
    }

    /// Tells of parameters that nothing drawn asks for.
    fn idle(&mut self, detail: Option<&Detail>) {
        for idle in detail.iter().flat_map(|d| &d.parameters).filter(|p| p.sort.is_blank()) {
            let name = &idle.name.text;
            let blanks = || self.filled.iter().filter(|(filled, _)| filled == name);
            if blanks().any(|(_, drawn)| *drawn) {
                continue;
            }
            let (message, help) = if blanks().next().is_some() {
                let help = "write the figure into the job: it is where the detail is reviewed, and stays there";
                (format!("only the job asks for {}, and no other job takes it over", quote(name)), help.to_owned())
            } else {
                let help = format!("write `<{name}>` where it stands, or take the parameter out");
                (format!("nothing in the detail asks for {}", quote(name)), help)
            };
            // It does nothing, and so no harm: what can be read is read.
            let told = *incomplete(idle.name.span, message, help);
            self.problems.push(Finding { weight: Weight::Watch, ..told });
        }
    }
}

/// Where a slice of a text begins in it.
fn offset(text: &str, slice: &str) -> usize {
    (slice.as_ptr() as usize).saturating_sub(text.as_ptr() as usize)
}

/// What a blank of this name is filled with.
fn filling<'v>(detail: &'v Detail, with: &[(&str, &'v str)], name: &str) -> Option<&'v str> {
    let parameter = detail.parameters.iter().find(|p| p.sort.is_blank() && p.name.text == name)?;
    let said = with.iter().find(|(of, _)| *of == name).map(|(_, value)| *value);
    said.or_else(|| parameter.default.as_ref().map(|d| d.text.as_str()))
}

/// The next blank of a line: where it begins, and its name.
fn next(text: &str) -> Option<(usize, &str)> {
    let mut from = 0;
    loop {
        let at = from + text.get(from..)?.find('<')?;
        let inside = text.get(at + 1..)?;
        let letters = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
        let end = inside.find(|c| !letters(c)).unwrap_or(inside.len());
        if end > 0 && inside.get(end..)?.starts_with('>') {
            return Some((at, inside.get(..end)?));
        }
        from = at + 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "detail creamery-wall(length depth = 4 in, material board = xps)\nwall north\n  outdoors\n  \
                        outboard: <board> <depth>, taped\n  indoors\n";

    #[test]
    fn blanks_are_filled_and_lead_back() {
        let parsed = parse(FileId(0), TEXT, &[("depth", "100 mm")], true);
        assert!(parsed.problems.is_empty(), "{:?}", parsed.problems);
        let tree = format!("{:?}", parsed.tree);
        assert!(tree.contains("xps") && tree.contains("si: 0.1"), "{tree}");
        let broken = TEXT.replace("taped", "tapd");
        let told = parse(FileId(0), &broken, &[], true).problems;
        let span = told[0].primary.span;
        assert_eq!(&broken[span.range()], "tapd");
        let wrong = parse(FileId(0), TEXT, &[("depth", "4 s")], true).problems;
        assert_eq!(&TEXT[wrong[0].primary.span.range()], "<depth>");
    }

    #[test]
    fn a_comment_has_no_blanks_and_a_note_has() {
        let text = TEXT.replace("<depth>, taped", "<depth>, taped \"# <depth>\" # <depth> <other>");
        let parsed = parse(FileId(0), &text, &[], true);
        assert!(parsed.problems.is_empty(), "{:?}", parsed.problems);
        assert!(format!("{:?}", parsed.tree).contains("# 4 in"));
    }

    #[test]
    fn a_blank_without_a_parameter_and_one_without_a_blank_are_told() {
        let text = TEXT.replace("<depth>", "<dept>");
        let told: Vec<String> = parse(FileId(0), &text, &[], true).problems.into_iter().map(|p| p.message).collect();
        assert!(told.iter().any(|m| m == "`dept` is no parameter of this detail"), "{told:?}");
        assert!(told.iter().any(|m| m == "nothing in the detail asks for `depth`"), "{told:?}");
    }
}
