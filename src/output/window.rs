//! A small copy of the author's lines round the labels of one finding: what is drawn, and nothing else.
//!
//! Each row is one line of the text, cleaned, cut to the width round its labels, and ended by a line break; rows of a
//! block follow each other without a gap. Labels are clamped into their line, cut to its first line, merged where
//! they cover the same text and shortened where they overlap.
//! Invariant: every mark lies inside one row, on character boundaries, before the row's line break.

use super::clean::{clean_line, one_line, stand_in};
use super::look::Look;
use super::wrap::{columns, wrap};
use crate::base::finding::Label;
use crate::base::source::Source;
use std::ops::Range;
use unicode_width::UnicodeWidthChar;

/// Columns that the words of a label get where they can: a line is cut on its left to make room for them.
const NARROW: usize = 14;
/// Least columns that they are broken to, below a label that fills the line.
const TIGHT: usize = 10;
/// Columns of the hook that leads from the underline to the words.
const HOOK: usize = 4;

/// A place in the window that is underlined.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Bytes of the window's text.
    pub range: Range<usize>,
    /// Words at it; may have several lines, may be empty.
    pub text: String,
    /// The finding's own place.
    pub primary: bool,
}

/// One line of the window.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Where it starts in the window's text.
    pub start: usize,
    /// Line of the author's text, from 0.
    pub line: usize,
    /// Column of the author's text, from 0, of its first author's character.
    pub column: usize,
    /// Bytes at its start that are not the author's (the sign that something was cut).
    pub lead: usize,
    /// Which block of neighboring lines it belongs to.
    pub block: usize,
}

/// The copy.
#[derive(Clone, Debug, Default)]
pub struct Window {
    /// All rows, each with its line break.
    pub text: String,
    /// Where each begins.
    pub rows: Vec<Row>,
    /// What is underlined, in text order.
    pub marks: Vec<Mark>,
}

/// A label inside one line of the text.
#[derive(Clone, Debug)]
struct Place {
    line: usize,
    range: Range<usize>,
    text: String,
    primary: bool,
}

impl Window {
    /// The lines of `source` round the labels; the flag says which label is the finding's own place.
    pub fn new(source: &Source, labels: &[(&Label, bool)], look: &Look) -> Self {
        let mut places: Vec<Place> = labels.iter().map(|(label, primary)| place(source, label, *primary)).collect();
        places.sort_by_key(|p| (p.range.start, p.range.end, !p.primary));
        let places = apart(merged(places));
        let mut window = Self::default();
        let blocks = blocks(source, &places);
        let last = blocks.last().map_or(0, |b| b.end);
        // miette's margin: two spaces, the line number, a space, a bar, a space.
        let room = look.width.saturating_sub(last.to_string().len() + 4).max(20);
        for (block, lines) in blocks.into_iter().enumerate() {
            for line in lines {
                let own: Vec<&Place> = places.iter().filter(|p| p.line == line).collect();
                window.push_row(source, line, block, &own, room, look);
            }
        }
        window
    }

    fn push_row(&mut self, source: &Source, line: usize, block: usize, own: &[&Place], room: usize, look: &Look) {
        let range = skip_mark(source, line);
        let shown = shown_range(source, &range, own, room, look);
        let lead = if shown.start > range.start { look.ellipsis() } else { "" };
        let column = source.slice(range.start..shown.start).chars().count();
        let start = self.text.len();
        self.text.push_str(lead);
        for place in own {
            let within = |at: usize| at.clamp(shown.start, shown.end);
            let offset = |at: usize| cleaned_len(source.slice(shown.start..within(at)));
            let base = start + lead.len();
            let at = base + offset(place.range.start)..base + offset(place.range.end);
            let before = columns(lead) + columns(&clean_line(source.slice(shown.start..within(place.range.start))));
            let drawn = within(place.range.start)..within(place.range.end);
            let middle = before + columns(source.slice(drawn)) / 2;
            let words = wrap(&place.text, room.saturating_sub(middle + HOOK).max(TIGHT)).join("\n");
            self.marks.push(Mark { range: at, text: words, primary: place.primary });
        }
        self.text.push_str(&clean_line(source.slice(shown.clone())));
        if shown.end < range.end {
            self.text.push_str(look.ellipsis());
        }
        self.text.push('\n');
        self.rows.push(Row { start, line, column, lead: lead.len(), block });
    }
}

/// Byte range of a line without a byte order mark and without its line break.
fn skip_mark(source: &Source, line: usize) -> Range<usize> {
    let range = source.line_range(line);
    let mark = if line == 0 && source.text().starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    (range.start + mark).min(range.end)..range.end
}

fn cleaned_len(text: &str) -> usize {
    text.chars().map(|c| stand_in(c).unwrap_or(c).len_utf8()).sum()
}

/// Brings a label into one line: its first line, never the line break, never empty where there is a character.
fn place(source: &Source, label: &Label, primary: bool) -> Place {
    let text = source.text();
    let inside = text.trim_end().len();
    let wanted = label.span.range();
    let start = text.floor_char_boundary(wanted.start.min(text.len()));
    // Past the last written character, "the end" is that character.
    let start = if start >= inside { text.floor_char_boundary(inside.saturating_sub(1)) } else { start };
    let line = source.line_of(start);
    let range = skip_mark(source, line);
    let start = start.clamp(range.start, range.end);
    let end = text.ceil_char_boundary(wanted.end.min(text.len())).clamp(start, range.end);
    let trimmed = start + source.slice(start..end).trim_end().len();
    let end = if trimmed > start { trimmed } else { end };
    let next = |at: usize| source.slice(at..range.end).chars().next().map_or(at, |c| at + c.len_utf8());
    let (start, end) = if end > start {
        (start, end)
    } else if start < range.end {
        (start, next(start))
    } else {
        let last = source.slice(range.clone()).chars().next_back().map_or(0, char::len_utf8);
        (range.end - last, range.end)
    };
    Place { line, range: start..end, text: one_line(&label.text), primary }
}

/// Labels on the same text become one.
fn merged(places: Vec<Place>) -> Vec<Place> {
    let mut out: Vec<Place> = Vec::with_capacity(places.len());
    for place in places {
        match out.last_mut() {
            Some(last) if last.range == place.range => {
                last.primary |= place.primary;
                if last.text.is_empty() {
                    last.text = place.text;
                } else if !place.text.is_empty() && last.text != place.text {
                    last.text = format!("{}; {}", last.text, place.text);
                }
            }
            _ => out.push(place),
        }
    }
    out
}

/// Shortens labels so that none covers another: an earlier one ends where the next begins; of two that begin at the
/// same place, the longer begins where the shorter ends.
fn apart(mut places: Vec<Place>) -> Vec<Place> {
    let mut out: Vec<Place> = Vec::with_capacity(places.len());
    for mut place in places.drain(..) {
        if let Some(last) = out.last_mut()
            && last.range.end > place.range.start
        {
            if last.range.start < place.range.start {
                last.range.end = place.range.start;
            } else {
                place.range.start = last.range.end.min(place.range.end);
            }
        }
        out.push(place);
    }
    out
}

/// Ranges of lines to show: each label's line with its written neighbors; blocks one line apart are joined.
fn blocks(source: &Source, places: &[Place]) -> Vec<Range<usize>> {
    let written = |line: usize| !source.slice(source.line_range(line)).trim().is_empty();
    let mut out: Vec<Range<usize>> = Vec::new();
    for place in places {
        let first = place.line.checked_sub(1).filter(|l| written(*l)).unwrap_or(place.line);
        let after = Some(place.line + 1).filter(|l| *l < source.line_count() && written(*l)).unwrap_or(place.line);
        match out.last_mut() {
            Some(last) if first <= last.end + 1 => last.end = last.end.max(after + 1),
            _ => out.push(first..after + 1),
        }
    }
    out
}

/// The part of a line that is shown: from its start where the labels fit, else as much as fits round
/// them.
fn shown_range(source: &Source, range: &Range<usize>, own: &[&Place], room: usize, look: &Look) -> Range<usize> {
    let line = source.slice(range.clone());
    // Room that the words below the last label take beyond its end, at least.
    let words = own.last().map_or(0, |p| {
        let half = columns(source.slice(p.range.clone())).div_ceil(2);
        (columns(&p.text).min(NARROW) + HOOK).saturating_sub(half)
    });
    let upto = own.last().map_or(0, |p| columns(source.slice(range.start..p.range.end)));
    if columns(line).max(upto + words) <= room {
        return range.clone();
    }
    let first = own.first().map_or(range.start, |p| p.range.start);
    let need = own.last().map_or(range.start, |p| p.range.end);
    let sign = columns(look.ellipsis());
    let start = if upto + sign.max(words) <= room {
        range.start
    } else {
        // As much before the labels as fits, with a little left for what comes after them.
        let after = columns(source.slice(need..range.end)).min(room / 5).max(words);
        let mut left = room.saturating_sub(columns(source.slice(first..need)) + after + 2 * sign);
        let before = source.slice(range.start..first).chars().rev();
        let fits = before.take_while(|c| {
            let width = c.width().unwrap_or(1);
            let fits = width <= left;
            left = left.saturating_sub(width);
            fits
        });
        first - fits.map(char::len_utf8).sum::<usize>()
    };
    let mut left = room.saturating_sub(if start > range.start { 2 * sign } else { sign });
    let mut end = start;
    for c in source.slice(start..range.end).chars() {
        let width = c.width().unwrap_or(1);
        if width > left {
            break;
        }
        left -= width;
        end += c.len_utf8();
    }
    start..end
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::span::{FileId, Span};

    fn window(text: &str, spans: &[(usize, usize)], width: usize) -> Window {
        let source = Source::new("a.dew", text);
        let labels: Vec<Label> = spans.iter().map(|(a, b)| Label::new(Span::new(FileId(0), *a, *b), "here")).collect();
        let labels: Vec<(&Label, bool)> = labels.iter().enumerate().map(|(i, l)| (l, i == 0)).collect();
        Window::new(&source, &labels, &Look { width, ..Look::default() })
    }

    fn marked(w: &Window) -> Vec<&str> {
        w.marks.iter().map(|m| &w.text[m.range.clone()]).collect()
    }

    #[test]
    fn marks_stay_inside_the_text() {
        assert_eq!(marked(&window("wall a\n\n", &[(8, 8)], 60)), ["a"]);
        assert_eq!(marked(&window("wall a\n", &[(900, 950)], 60)), ["a"]);
        assert_eq!(marked(&window("wall a\r\n  x\r\n", &[(5, 11)], 60)), ["a"]);
        assert_eq!(marked(&window("", &[(0, 1)], 60)), [""]);
        assert_eq!(marked(&window("5″ a", &[(2, 3)], 60)), ["″"]);
        assert_eq!(marked(&window("\u{feff}wall", &[(0, 7)], 60)), ["wall"]);
    }

    #[test]
    fn same_text_merges_and_overlaps_part() {
        let w = window("aaaa bbbb", &[(0, 4), (0, 4)], 60);
        assert_eq!(w.marks.len(), 1);
        assert_eq!(marked(&window("aaaa bbbb", &[(0, 9), (5, 9)], 60)), ["aaaa ", "bbbb"]);
        assert_eq!(marked(&window("aaaa bbbb", &[(0, 4), (0, 9)], 60)), ["aaaa", " bbbb"]);
    }

    #[test]
    fn long_lines_are_cut_round_the_label() {
        let text = format!("{} target {}", "x".repeat(900), "y".repeat(900));
        let w = window(&text, &[(901, 907)], 60);
        assert_eq!(marked(&w), ["target"]);
        assert!(w.text.trim_end().chars().count() <= 56, "{}", w.text);
        assert_eq!(w.rows[0].column + w.text[w.rows[0].lead..w.marks[0].range.start].chars().count(), 901);
    }

    #[test]
    fn far_labels_make_two_blocks() {
        let text = "a\nb\nc\nd\ne\nf\ng\nh\n";
        let w = window(text, &[(0, 1), (14, 15)], 60);
        assert_eq!(w.rows.iter().map(|r| (r.line, r.block)).collect::<Vec<_>>(), [(0, 0), (1, 0), (6, 1), (7, 1)]);
    }
}
