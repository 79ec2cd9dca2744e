//! The formatter: one layout for every text, with its comments, blank lines and line ends kept.
//!
//! A text with problems is left alone. So is one that would say something else afterwards: each run reads its own
//! result again and compares the trees.
//! Invariant: tidying a tidied text changes nothing.

use super::blanks;
use super::columns::{Line, Row, columns};
use super::head;
use super::joint;
use super::lines::{self, Logical, Physical};
use super::problem::{LIMIT, UNREADABLE, limit};
use super::spell::{Meant, join, spell};
use super::token::Kind;
use super::words::{self, Lead, Opens, STANZAS};
use super::{Parsed, parse};
use crate::base::finding::{Finding, Weight};
use crate::base::span::{FileId, Span};

/// One line of the text on its way.
enum Item<'t> {
    Blank,
    /// A comment on a line of its own.
    Comment {
        text: &'t str,
        indented: bool,
    },
    /// A line of the notation; `one`: a stanza of one line.
    Line {
        line: Line<'t>,
        head: bool,
        one: bool,
    },
}

/// The text in its one layout.
///
/// # Errors
/// The problems of a text that cannot be read; it is to be left alone.
pub fn tidy(text: &str) -> Result<String, Vec<Finding>> {
    let file = FileId::default();
    let problems = parse(file, text).problems;
    if !problems.is_empty() {
        return Err(problems);
    }
    let out = match head::cut(text) {
        Some(head) => {
            let end = text.len() - head.body.len();
            format!("{}{}", text.get(..end).unwrap_or(""), render(head.body))
        }
        None => render(text),
    };
    let (before, after) = (meaning(text), meaning(&out));
    if after.problems.is_empty() && before.tree == after.tree {
        return Ok(out);
    }
    if after.problems.iter().any(|problem| problem.rule == LIMIT) {
        // Blank lines between stanzas and spaces before arrows make a text larger.
        let message = "tidied, this text would be larger than what is read";
        let help = "split it into files and `include` them";
        return Err(vec![*limit(Span::new(file, 0, 0), message, help)]);
    }
    let message = "tidying would change what this text says; it is left as it is";
    let help = "this is a fault of the program, not of the text";
    Err(vec![Finding::new(UNREADABLE, Weight::Stop, Span::new(file, 0, 0), message).help(help)])
}

/// What a text says, without where it says it.
fn meaning(text: &str) -> Parsed {
    blanks::parse(FileId::default(), text, &[], false)
}

fn render(text: &str) -> String {
    let physical: Vec<Physical> = lines::physical(text).collect();
    let mut items = Vec::with_capacity(physical.len());
    let mut next = 0;
    let mut in_joint = false;
    for (index, logical) in lines::logical(text).enumerate() {
        trivia(physical.get(next..logical.first).unwrap_or(&[]), &mut items);
        next = logical.first + logical.count;
        let parts = physical.get(logical.first..next).unwrap_or(&[]);
        let opens = if logical.indented { None } else { stanza_word(&logical) };
        if !logical.indented {
            in_joint = matches!(opens, Some(Opens::Joint(_)));
        }
        items.push(line(index, &logical, parts, opens, in_joint));
    }
    trivia(physical.get(next..).unwrap_or(&[]), &mut items);
    columns_by_stanza(&mut items);
    let lines = print(&items);
    let end = if crlf(text) { "\r\n" } else { "\n" };
    let mut out = String::with_capacity(text.len() + 64);
    if text.starts_with('\u{feff}') {
        out.push('\u{feff}');
    }
    for line in lines {
        out.push_str(line.trim_end());
        out.push_str(end);
    }
    out
}

/// Whether most line ends are CR LF.
fn crlf(text: &str) -> bool {
    2 * text.matches("\r\n").count() > text.matches('\n').count()
}

fn stanza_word(line: &Logical) -> Option<Opens> {
    words::find(STANZAS, lines::first_word(line.text))
}

/// Blank lines and comments between lines.
fn trivia<'t>(lines: &[Physical<'t>], items: &mut Vec<Item<'t>>) {
    let in_stanza = items.iter().any(|item| !matches!(item, Item::Blank | Item::Comment { .. }));
    for line in lines {
        items.push(if line.comment.is_empty() {
            Item::Blank
        } else {
            Item::Comment { text: line.comment, indented: line.indented && in_stanza }
        });
    }
}

fn line<'t>(
    index: usize,
    logical: &Logical<'t>,
    parts: &[Physical<'t>],
    opens: Option<Opens>,
    in_joint: bool,
) -> Item<'t> {
    let head = !logical.indented;
    let one = matches!(opens, Some(Opens::Material | Opens::Include | Opens::Accept))
        || head && opens.is_none() && index == 0;
    let first = lines::first_word(logical.text);
    let layer = first.ends_with(':');
    let meant = match words::statement(first) {
        _ if head && opens != Some(Opens::Material) => Meant::Names,
        _ if head => Meant::AmountsAfter(2),
        _ if layer => Meant::AmountsAfter(1),
        _ if in_joint => Meant::AmountsAfter(joint::names(logical.text)),
        Some((_, Lead::Temperature | Lead::Humidity, _)) => Meant::List,
        Some((
            _,
            Lead::Place | Lead::Code | Lead::Like | Lead::File | Lead::Zone | Lead::Shares | Lead::Clears | Lead::Faces,
            _,
        )) => Meant::AmountsAfter(2),
        _ => Meant::AmountsAfter(1),
    };
    let statement = !head && !layer && !in_joint && words::statement(first).is_some();
    let mut rows = Vec::with_capacity(parts.len());
    for (at, part) in parts.iter().enumerate() {
        let meant = match meant {
            Meant::AmountsAfter(_) if at > 0 => Meant::AmountsAfter(0),
            other => other,
        };
        rows.push(row(part, at == 0 && (layer || statement), meant));
    }
    Item::Line { line: Line { layer, statement, rows }, head, one }
}

/// One physical line in its spelling, cut into its columns.
fn row<'t>(part: &Physical<'t>, has_first: bool, meant: Meant) -> Row<'t> {
    let mut tokens = spell(part.content, meant);
    let mut first = if has_first && !tokens.is_empty() { tokens.remove(0).1 } else { String::new() };
    // `drains to` is one word to the eye.
    if first == "drains" && tokens.first().is_some_and(|t| t.1 == "to") {
        first.push_str(" to");
        tokens.remove(0);
    }
    let cut = tokens.iter().position(|(kind, _)| *kind == Kind::Arrow).unwrap_or(tokens.len());
    let tail = tokens.split_off(cut);
    Row { first, body: join(&tokens), tail: join(&tail), comment: part.comment }
}

/// Lays the lines of each stanza out together.
fn columns_by_stanza(items: &mut [Item]) {
    let mut start = 0;
    while start < items.len() {
        let rest = items.get(start + 1..).unwrap_or(&[]);
        let len = 1 + rest.iter().take_while(|item| !is_head(item)).count();
        let stanza = items.get_mut(start..start + len).unwrap_or(&mut []);
        let mut lines: Vec<&mut Line> = stanza
            .iter_mut()
            .filter_map(|item| match item {
                Item::Line { line, head: false, .. } => Some(line),
                _ => None,
            })
            .collect();
        columns(&mut lines);
        start += len;
    }
}

fn is_head(item: &Item) -> bool {
    matches!(item, Item::Line { head: true, .. })
}

fn is_one_line(item: &Item) -> bool {
    matches!(item, Item::Line { head: true, one: true, .. })
}

/// The printed lines: one blank line between stanzas, never two together, none at either end.
fn print(items: &[Item]) -> Vec<String> {
    let mut out: Vec<String> = Vec::with_capacity(items.len());
    let mut last_head_is_one = false;
    for (at, item) in items.iter().enumerate() {
        let rest = items.get(at..).unwrap_or(&[]);
        let blank_above = out.last().is_none_or(String::is_empty);
        if !blank_above && begins_stanza(items, at) {
            let one = rest.iter().find(|item| is_head(item)).is_some_and(is_one_line);
            if !(one && last_head_is_one) {
                out.push(String::new());
            }
        }
        if is_head(item) {
            last_head_is_one = is_one_line(item);
        } else if !matches!(item, Item::Blank | Item::Comment { .. }) {
            last_head_is_one = false;
        }
        match item {
            Item::Blank if out.last().is_none_or(String::is_empty) => {}
            Item::Blank => out.push(String::new()),
            Item::Comment { text, indented } => out.push(format!("{}{text}", if *indented { "  " } else { "" })),
            Item::Line { line, head, .. } => line.print(*head, &mut out),
        }
    }
    while out.last().is_some_and(String::is_empty) {
        out.pop();
    }
    out
}

/// Whether a stanza begins here: at its head, or at the first of the comments at the left edge right above it.
fn begins_stanza(items: &[Item], at: usize) -> bool {
    let comment = |item: &Item| matches!(item, Item::Comment { indented: false, .. });
    let before = at.checked_sub(1).and_then(|i| items.get(i));
    if before.is_some_and(comment) {
        return false;
    }
    items.get(at..).unwrap_or(&[]).iter().find(|item| !comment(item)).is_some_and(is_head)
}
