//! Breaks prose at word ends, by the columns that characters take.
//!
//! Invariant: no line is wider than asked for; a word that is wider than a line is broken.

use super::clean::clean;
use super::look::Look;
use crate::base::unit;
use std::io::{Result, Write};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns of a text without escape sequences.
pub fn columns(text: &str) -> usize {
    text.width()
}

/// The lines of a cleaned text, each at most `width` columns (at least 8 are taken). Line breaks of the text stay.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(8);
    let mut lines = Vec::new();
    for paragraph in clean(text).lines() {
        let mut line = String::new();
        for word in pieces(paragraph) {
            if !line.is_empty() && columns(&line) + 1 + columns(&word) > width {
                lines.push(std::mem::take(&mut line));
            }
            if !line.is_empty() {
                line.push(' ');
            }
            push_word(&mut lines, &mut line, &word, width);
        }
        lines.push(line);
    }
    lines
}

/// The words of a paragraph; a figure and the unit after it count as one word.
fn pieces(paragraph: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for word in paragraph.split_whitespace() {
        let bare = word.trim_end_matches([',', '.', ';', ':', ')']);
        let is_unit = bare == "g/m2" || unit::find(bare).is_some();
        match out.last_mut() {
            Some(last) if is_unit && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => out.push(word.to_owned()),
        }
    }
    out
}

/// Adds a word to a line that it fits in, or breaks it where it is wider than a whole line.
fn push_word(lines: &mut Vec<String>, line: &mut String, word: &str, width: usize) {
    if columns(line) + columns(word) <= width {
        line.push_str(word);
        return;
    }
    for c in word.chars() {
        if columns(line) + c.width().unwrap_or(0) > width {
            lines.push(std::mem::take(line));
        }
        line.push(c);
    }
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
