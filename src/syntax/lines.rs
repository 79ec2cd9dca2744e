//! Physical lines, and the lines of the notation that they make: one goes on in the next when it ends in `,` or `+`.
//!
//! Knows line ends, comments, indentation, characters that cannot be seen, and the bounds on lines. Reads no words but
//! the first of a line.
//! Invariant: every line of the text is in exactly one logical line, or is blank or a comment.

use super::joint_words::is_verb;
use super::limits;
use super::token::{Kind, comment, token, trivia};
use super::words::{self, Opens};

/// One line of the text without its line break.
#[derive(Clone, Copy, Debug)]
pub(super) struct Physical<'t> {
    /// All of it.
    pub text: &'t str,
    /// Without indentation, comment and trailing spaces.
    pub content: &'t str,
    /// The comment with its `#`; empty when there is none.
    pub comment: &'t str,
    /// Whether it begins with a space.
    pub indented: bool,
    /// Whether it holds characters that cannot be seen.
    pub hidden: bool,
}

/// A line of the notation.
#[derive(Clone, Copy, Debug)]
pub(super) struct Logical<'t> {
    /// From its first to its last letter, line breaks and comments between included.
    pub text: &'t str,
    /// Whether its first line is indented.
    pub indented: bool,
    /// Index of its first physical line.
    pub first: usize,
    /// How many physical lines it takes.
    pub count: usize,
    /// What keeps it from being read.
    pub trouble: Option<Trouble<'t>>,
}

/// What keeps a line from being read.
#[derive(Clone, Copy, Debug)]
pub(super) enum Trouble<'t> {
    /// A character that cannot be seen.
    Hidden(&'t str),
    /// Too many characters.
    Long(&'t str),
    /// Joined from too many lines.
    Joined(&'t str),
}

/// The physical lines of a text. A line break at the end begins no further line.
pub(super) fn physical(text: &str) -> impl Iterator<Item = Physical<'_>> {
    let mut rest = text.strip_prefix('\u{feff}').unwrap_or(text);
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let (line, tail) = rest.split_once('\n').unwrap_or((rest, ""));
        rest = tail;
        Some(split(line.strip_suffix('\r').unwrap_or(line)))
    })
}

const PLAIN: u8 = 0;
const MARKED: u8 = 1;
const ODD: u8 = 2;

/// What each byte asks for: nothing, a look for comments and notes, a look for characters that cannot be seen.
static CLASS: [u8; 256] = {
    let mut table = [PLAIN; 256];
    let mut byte = 0;
    while byte < 256 {
        #[allow(clippy::indexing_slicing, reason = "the index runs over the table's own length")]
        {
            table[byte] = match byte as u8 {
                b'#' | b'"' => MARKED,
                b'\t' => PLAIN,
                0..=0x1f | 0x7f => ODD,
                0x80..=0xff => ODD | MARKED,
                _ => PLAIN,
            };
        }
        byte += 1;
    }
    table
};

/// One line without its line break.
pub(super) fn split(text: &str) -> Physical<'_> {
    let class = text.bytes().fold(PLAIN, |all, b| all | CLASS.get(usize::from(b)).copied().unwrap_or(PLAIN));
    let indented = text.starts_with(char::is_whitespace);
    let hidden = class & ODD != 0 && text.chars().any(is_hidden);
    let (content, comment) =
        if class & MARKED != 0 && text.len() <= 4 * limits::LINE_CHARS { cut(text) } else { (text, "") };
    Physical { text, content: content.trim(), comment: comment.trim_end(), indented, hidden }
}

/// The text before a comment, and the comment.
fn cut(text: &str) -> (&str, &str) {
    let mut rest = text;
    loop {
        rest = rest.trim_start();
        if comment(rest).is_ok() {
            return text.split_at_checked(text.len() - rest.len()).unwrap_or((text, ""));
        }
        match token(rest) {
            Ok((tail, _)) => rest = tail,
            Err(_) => return (text, ""),
        }
    }
}

/// Characters that change what is seen without being seen: controls, text direction, no width.
pub fn is_hidden(c: char) -> bool {
    match c {
        '\t' => false,
        c if c.is_control() => true,
        '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' => true,
        '\u{feff}' | '\u{fff9}'..='\u{fffb}' => true,
        _ => false,
    }
}

/// The logical lines of a text; blank lines and comments are passed over.
pub(super) fn logical(text: &str) -> Logicals<'_, impl Iterator<Item = Physical<'_>>> {
    Logicals { text, lines: physical(text), ahead: None, index: 0, in_joint: false }
}

/// See [`logical`].
pub(super) struct Logicals<'t, I> {
    text: &'t str,
    lines: I,
    ahead: Option<Physical<'t>>,
    index: usize,
    in_joint: bool,
}

impl<'t, I: Iterator<Item = Physical<'t>>> Logicals<'t, I> {
    fn next_physical(&mut self) -> Option<Physical<'t>> {
        let line = self.ahead.take().or_else(|| self.lines.next())?;
        self.index += 1;
        Some(line)
    }

    fn put_back(&mut self, line: Physical<'t>) {
        self.ahead = Some(line);
        self.index -= 1;
    }

    /// From the start of one slice of the text to the end of another.
    fn between(&self, first: &str, last: &str) -> &'t str {
        let base = self.text.as_ptr() as usize;
        let start = (first.as_ptr() as usize).saturating_sub(base);
        let end = (last.as_ptr() as usize).saturating_sub(base) + last.len();
        self.text.get(start..end).unwrap_or("")
    }
}

impl<'t, I: Iterator<Item = Physical<'t>>> Iterator for Logicals<'t, I> {
    type Item = Logical<'t>;

    fn next(&mut self) -> Option<Logical<'t>> {
        let head = loop {
            let line = self.next_physical()?;
            if !line.content.is_empty() || line.hidden {
                break line;
            }
        };
        let first = self.index - 1;
        if !head.indented {
            self.in_joint = matches!(words::find(words::STANZAS, first_word(head.content)), Some(Opens::Joint(_)));
        }
        let mut out = Logical { text: head.content, indented: head.indented, first, count: 1, trouble: trouble(&head) };
        let mut last = head;
        let mut parts = 1;
        while last.content.ends_with([',', '+']) && out.trouble.is_none() {
            let Some(next) = self.next_physical() else { break };
            if next.content.is_empty() && !next.comment.is_empty() && !next.hidden {
                continue;
            }
            if next.content.is_empty() || begins_anew(&next, last.content.ends_with('+'), self.in_joint) {
                self.put_back(next);
                break;
            }
            parts += 1;
            out.text = self.between(head.content, next.content);
            out.count = self.index - first;
            out.trouble = trouble(&next).or((parts > limits::JOINED).then_some(Trouble::Joined(next.content)));
            last = next;
        }
        Some(out)
    }
}

fn trouble<'t>(line: &Physical<'t>) -> Option<Trouble<'t>> {
    let too_long = line.text.len() > limits::LINE_CHARS && line.text.chars().nth(limits::LINE_CHARS).is_some();
    if too_long {
        return Some(Trouble::Long(line.text));
    }
    if !line.hidden {
        return None;
    }
    let (at, c) = line.text.char_indices().find(|(_, c)| is_hidden(*c))?;
    line.text.get(at..at + c.len_utf8()).map(Trouble::Hidden)
}

/// Whether a line after a trailing sign is no continuation: a stanza, a layer, a place, a statement.
fn begins_anew(line: &Physical, after_plus: bool, in_joint: bool) -> bool {
    let first = first_word(line.content);
    if first.len() > 1 && first.ends_with(':') {
        return true;
    }
    if !line.indented && words::find(words::STANZAS, first).is_some() {
        return true;
    }
    if in_joint {
        return is_sentence(line.content);
    }
    if after_plus {
        return false;
    }
    let statement = words::statement(first).is_some() && words::find(words::LAYER_WORDS, first).is_none();
    words::is_place(first) || statement
}

/// Whether a line begins as one of a joint without a colon does: `joins`, or a subject, a verb and more.
pub(super) fn is_sentence(line: &str) -> bool {
    let words = line.split_whitespace();
    let joins = words.clone().next().is_some_and(|word| word.eq_ignore_ascii_case("joins"));
    // A subject has one to three words: `upper membrane`, `house inside face`.
    joins || (1..=3).any(|at| is_verb(words.clone().skip(at)))
}

/// The word that a line begins with; empty when it begins with a sign or a note.
pub(super) fn first_word(line: &str) -> &str {
    token(line).ok().filter(|(_, token)| token.kind == Kind::Word).map_or("", |(_, token)| token.text)
}

/// Whether a line has more tokens than are read.
pub(super) fn too_many_words(text: &str) -> bool {
    // A token and what parts it from the next takes at least one byte.
    if text.len() <= limits::WORDS {
        return false;
    }
    let mut rest = text;
    for _ in 0..=limits::WORDS {
        rest = trivia(rest).map_or(rest, |(tail, _)| tail);
        match token(rest) {
            Ok((tail, found)) if found.kind != Kind::End => rest = tail,
            _ => return false,
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str) -> Vec<&str> {
        logical(text).map(|l| l.text).collect()
    }

    #[test]
    fn commas_and_plus_signs_go_on() {
        assert_eq!(texts("a b,\n  c # x\n\nd\n"), ["a b,\n  c", "d"]);
        assert_eq!(texts("a +\r\n# between\r\n b\r\nc"), ["a +\r\n# between\r\n b", "c"]);
    }

    #[test]
    fn a_dangling_comma_does_not_swallow_the_next_layer() {
        assert_eq!(texts("  a: b,\n  gap: air\n"), ["a: b,", "gap: air"]);
        assert_eq!(texts("  a: b,\n  indoors\n"), ["a: b,", "indoors"]);
        assert_eq!(texts("  a: b,\n\n  c\n"), ["a: b,", "c"]);
        assert_eq!(texts("  a: b,\nwall x\n"), ["a: b,", "wall x"]);
    }

    #[test]
    fn comments_end_lines_but_not_notes() {
        let lines: Vec<Physical> = physical("\u{feff} a \"# no\" # yes\r\n#15 b\r\n").collect();
        assert_eq!((lines[0].content, lines[0].comment), ("a \"# no\"", "# yes"));
        assert_eq!((lines[1].content, lines[1].comment), ("#15 b", ""));
        assert!(lines[0].indented && !lines[1].indented && lines.len() == 2);
    }

    #[test]
    fn the_indices_count_physical_lines() {
        let all: Vec<(usize, usize)> = logical("\n# c\na,\n b\n\nc").map(|l| (l.first, l.count)).collect();
        assert_eq!(all, [(2, 2), (5, 1)]);
    }
}
