//! Breaks prose at word ends, by the columns that characters take.
//!
//! Invariant: no line is wider than asked for; a word that is wider than a line is broken.

use super::clean::{clean, plain};
use super::look::Look;
use crate::base::unit;
use std::borrow::Cow;
use std::io::{Result, Write};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns of a text without escape sequences.
pub fn columns(text: &str) -> usize {
    // Nearly all text is plain, and then a column is a byte.
    if plain(text) { text.len() } else { text.width() }
}

/// The lines of a cleaned text, each at most `width` columns (at least 8 are taken). Line breaks of the text stay.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(8);
    let mut lines = Vec::new();
    for paragraph in clean(text).lines() {
        let mut line = Line::default();
        for word in pieces(paragraph) {
            let wide = columns(&word);
            if !line.text.is_empty() && line.columns + 1 + wide > width {
                lines.push(line.taken());
            }
            if !line.text.is_empty() {
                line.push(" ", 1);
            }
            push_word(&mut lines, &mut line, &word, wide, width);
        }
        lines.push(line.text);
    }
    lines
}

/// A line as it grows, and the columns it takes.
#[derive(Default)]
struct Line {
    text: String,
    columns: usize,
}

impl Line {
    fn push(&mut self, text: &str, columns: usize) {
        self.text.push_str(text);
        self.columns += columns;
    }

    fn taken(&mut self) -> String {
        std::mem::take(self).text
    }
}

/// The words of a paragraph; a figure and the unit after it count as one word.
fn pieces(paragraph: &str) -> Vec<Cow<'_, str>> {
    let mut out: Vec<Cow<'_, str>> = Vec::new();
    for word in paragraph.split_whitespace() {
        let bare = word.trim_end_matches([',', '.', ';', ':', ')']);
        let is_unit = || bare == "g/m2" || unit::find(bare).is_some();
        match out.last_mut() {
            Some(last) if last.ends_with(|c: char| c.is_ascii_digit()) && is_unit() => {
                let last = last.to_mut();
                last.push(' ');
                last.push_str(word);
            }
            _ => out.push(Cow::Borrowed(word)),
        }
    }
    out
}

/// Adds a word of so many columns to a line that it fits in, or breaks it where it is wider than a whole line.
fn push_word(lines: &mut Vec<String>, line: &mut Line, word: &str, wide: usize, width: usize) {
    if line.columns + wide <= width {
        line.push(word, wide);
        return;
    }
    for c in word.chars() {
        if columns(&line.text) + c.width().unwrap_or(0) > width {
            lines.push(line.taken());
        }
        line.text.push(c);
    }
    line.columns = columns(&line.text);
}

/// Writes prose with a word in front and the rest hanging below the first line's text.
///
/// `lead` is what stands in front (already painted), `indent` the columns it takes with its spaces.
pub fn hang(out: &mut dyn Write, look: &Look, lead: &str, indent: usize, text: &str) -> Result<()> {
    let mut lines = wrap(text, look.width.saturating_sub(indent)).into_iter();
    writeln!(out, "{lead}{}", lines.next().unwrap_or_default())?;
    for line in lines {
        writeln!(out, "{}", format!("{:indent$}{line}", "").trim_end())?;
    }
    Ok(())
}

/// Pads to `width` columns on the right.
pub fn pad(text: &str, width: usize) -> String {
    format!("{text}{:1$}", "", width.saturating_sub(columns(text)))
}

/// The text cut to `width` columns, with the look's sign at the end where something is gone.
pub fn cut(text: &str, width: usize, look: &Look) -> String {
    if columns(text) <= width {
        return text.to_owned();
    }
    let room = width.saturating_sub(columns(look.ellipsis()));
    let mut used = 0;
    let kept: String = text
        .chars()
        .take_while(|c| {
            used += c.width().unwrap_or(0);
            used <= room
        })
        .collect();
    format!("{}{}", kept.trim_end(), look.ellipsis())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_by_columns() {
        assert_eq!(wrap("aaa bbb ccc ddd", 8), ["aaa bbb", "ccc ddd"]);
        assert_eq!(wrap("", 8), Vec::<String>::new());
        assert_eq!(wrap("abcdefghij kl", 8), ["abcdefgh", "ij kl"]);
        assert_eq!(wrap("up to 46 F, so", 8), ["up to", "46 F, so"]);
        assert_eq!(wrap("壁壁壁壁壁", 8), ["壁壁壁壁", "壁"]);
        assert_eq!(cut("abcdefghij", 6, &Look::default()), "abcde…");
    }
}
