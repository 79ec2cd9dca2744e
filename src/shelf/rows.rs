//! The lines of a block of YAML, each with all that goes on below it: quotes, brackets, block and plain texts.
//!
//! Not here: what a row says. Invariant: rows are slices of their text, in its order, and never overlap; any text comes apart.

/// A line with its indentation, and what goes on below it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row<'t> {
    /// From its first letter to the end of its last line.
    pub text: &'t str,
    /// Where that letter stands in its line, from 0.
    pub column: usize,
    /// Whether it begins with a dash: an item of a list.
    pub dash: bool,
    /// Where the colon after its key stands in `text`.
    pub colon: Option<usize>,
}

/// The rows of a text whose first letter stands at this column of its line.
pub(super) fn rows(text: &str, column: usize) -> Vec<Row<'_>> {
    let mut out = Vec::new();
    let mut start = column;
    let mut rest = text;
    while !rest.is_empty() {
        let lead = spaces(rest);
        let here = rest.get(lead..).unwrap_or("");
        let taken = if bare(first_line(here)).is_empty() {
            line_end(here)
        } else {
            let (row, taken) = row(here, start + lead);
            out.push(row);
            taken
        };
        rest = here.get(taken..).unwrap_or("");
        start = 0;
    }
    out
}

/// The row at the start of a text, and how much of it that is.
fn row(text: &str, column: usize) -> (Row<'_>, usize) {
    let after = |at: usize| text.get(at..).unwrap_or("");
    let (mut at, mut parent) = (0, column);
    while is_dash(after(at)) {
        parent = column + at;
        at += 1 + blanks(after(at + 1));
    }
    let dash = at > 0;
    let colon = colon(after(at)).map(|colon| at + colon);
    if let Some(colon) = colon {
        parent = column + at;
        at = colon + 1 + blanks(after(colon + 1));
    }
    at += value(after(at), parent);
    let row = Row { text: text.get(..at).unwrap_or(text), column, dash, colon: colon.filter(|_| !dash) };
    (row, at)
}

/// How long the value at the start of a text is, to the end of its last line. `parent` is the column of its key.
fn value(text: &str, parent: usize) -> usize {
    let after = |at: usize| text.get(at..).unwrap_or("");
    match text.chars().next() {
        Some('"' | '\'') => {
            let quoted = quoted(text);
            quoted + line_end(after(quoted))
        }
        Some('[' | '{') => {
            let flow = flow(text).length;
            flow + line_end(after(flow))
        }
        Some('|' | '>') => {
            let mut at = line_end(text);
            while !after(at).is_empty() && (first_line(after(at)).trim().is_empty() || spaces(after(at)) > parent) {
                at += line_end(after(at));
            }
            at
        }
        None | Some('\r' | '\n' | '#') => line_end(text),
        Some(_) => plain(text, parent),
    }
}

/// How long a text without quotes is: it goes on in deeper lines, up to a comment.
fn plain(text: &str, parent: usize) -> usize {
    let mut end = line_end(text);
    let mut at = end;
    let mut last = first_line(text);
    while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
        let line = first_line(rest);
        at += line_end(rest);
        if line.trim().is_empty() {
            continue;
        }
        if has_comment(last) || spaces(rest) <= parent || line.trim_start().starts_with('#') {
            break;
        }
        (end, last) = (at, line);
    }
    end
}

/// What stands between brackets.
pub(super) struct Flow<'t> {
    /// What commas part, as written.
    pub items: Vec<&'t str>,
    /// Whether brackets stand within brackets.
    pub nested: bool,
    /// From the first bracket to the last.
    pub length: usize,
}

/// Takes apart the brackets that a text begins with; open ones end with the text.
pub(super) fn flow(text: &str) -> Flow<'_> {
    let mut out = Flow { items: Vec::new(), nested: false, length: text.len() };
    let (mut depth, mut start, mut at, mut fresh) = (0_usize, 1, 0, true);
    while let Some(c) = text.get(at..).and_then(|rest| rest.chars().next()) {
        let rest = text.get(at..).unwrap_or("");
        let length = match c {
            '"' | '\'' if fresh => quoted(rest),
            '#' if fresh || text.get(..at).is_some_and(|t| t.ends_with([' ', '\t'])) => first_line(rest).len(),
            c => c.len_utf8(),
        };
        let ends_item = depth == 1 && matches!(c, ',' | ']' | '}');
        if ends_item {
            out.items.push(text.get(start..at).unwrap_or(""));
            start = at + 1;
        }
        match c {
            '[' | '{' => depth += 1,
            ']' | '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        out.nested |= depth > 1;
        fresh = matches!(c, '[' | '{' | ',' | ':' | '\n') || fresh && c.is_whitespace();
        at += length;
        if depth == 0 {
            out.length = at;
            break;
        }
    }
    out
}

/// How long the quoted text at the start is, its quotes included; an open one ends with the text.
pub(super) fn quoted(text: &str) -> usize {
    let mut chars = text.char_indices();
    let quote = chars.next().map_or('"', |(_, c)| c);
    let mut chars = chars.peekable();
    while let Some((at, c)) = chars.next() {
        if c == '\\' && quote == '"' {
            chars.next();
        } else if c == quote {
            if quote == '\'' && chars.peek().is_some_and(|(_, next)| *next == '\'') {
                chars.next();
                continue;
            }
            return at + 1;
        }
    }
    text.len()
}

/// Where the colon after the key at the start of a line stands.
pub(super) fn colon(text: &str) -> Option<usize> {
    let ends = |at: usize| text.get(at..).is_some_and(|t| t.is_empty() || t.starts_with([' ', '\t', '\r', '\n']));
    match text.chars().next()? {
        '"' | '\'' => {
            let end = quoted(text);
            let colon = end + blanks(text.get(end..)?);
            (text.get(colon..)?.starts_with(':') && ends(colon + 1)).then_some(colon)
        }
        '[' | '{' | '|' | '>' => None,
        _ => {
            let line = bare(first_line(text));
            line.match_indices(':').map(|(at, _)| at).find(|at| ends(at + 1))
        }
    }
}

/// A line of plain text without its comment and the spaces round it.
pub(super) fn bare(line: &str) -> &str {
    let text = line.trim();
    if text.starts_with('#') {
        return "";
    }
    let hash = text.match_indices('#').map(|(at, _)| at);
    let mut comments = hash.filter(|at| text.get(..*at).is_some_and(|before| before.ends_with([' ', '\t'])));
    comments.next().and_then(|at| text.get(..at)).unwrap_or(text).trim_end()
}

fn has_comment(line: &str) -> bool {
    bare(line).len() != line.trim().len()
}

/// Whether a text begins with the dash of a list.
pub(super) fn is_dash(text: &str) -> bool {
    text.strip_prefix('-').is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t', '\r', '\n']))
}

/// The first line of a text, without its end.
pub(super) fn first_line(text: &str) -> &str {
    // An empty text has a place too, so the slice is its own.
    text.lines().next().unwrap_or(text)
}

/// How far it is to the next line.
pub(super) fn line_end(text: &str) -> usize {
    text.find('\n').map_or(text.len(), |at| at + 1)
}

/// How many spaces a text begins with.
fn spaces(text: &str) -> usize {
    text.len() - text.trim_start_matches(' ').len()
}

/// How many spaces and tabs a text begins with.
fn blanks(text: &str) -> usize {
    text.len() - text.trim_start_matches([' ', '\t']).len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(text: &str) -> Vec<(usize, &str)> {
        rows(text, 0).into_iter().map(|r| (r.column, r.text.trim_end())).collect()
    }

    #[test]
    fn a_row_goes_on_where_its_value_does() {
        assert_eq!(all("a: \"x # y\n# z\"\nb: c"), [(0, "a: \"x # y\n# z\""), (0, "b: c")]);
        assert_eq!(all("a: [b,\nc: d]\ne: f"), [(0, "a: [b,\nc: d]"), (0, "e: f")]);
        assert_eq!(all("a: |\n  b: c\n\n  - d\ne: f"), [(0, "a: |\n  b: c\n\n  - d"), (0, "e: f")]);
        assert_eq!(all("a: said\n  \"b\ne: f"), [(0, "a: said\n  \"b"), (0, "e: f")]);
        assert_eq!(all("- a: b\n   c\n  d: e"), [(0, "- a: b\n   c"), (2, "d: e")]);
    }

    #[test]
    fn keys_end_at_a_colon_that_is_one() {
        assert_eq!(colon("a: b"), Some(1));
        assert_eq!((colon("a:b"), colon("a:b: c"), colon("a # b: c")), (None, Some(3), None));
        assert_eq!((colon("\"a: b\": c"), colon("'it''s' :\r\n"), colon("\"a: b\"")), (Some(6), Some(8), None));
    }

    #[test]
    fn brackets_come_apart_at_their_commas() {
        let items = |text| flow(text).items.into_iter().map(str::trim).collect::<Vec<_>>();
        assert_eq!(items("[a, 'b, c', \"d\\\", e\", it's]"), ["a", "'b, c'", "\"d\\\", e\"", "it's"]);
        assert_eq!(items("[a, # b, ]\n c]"), ["a", "# b, ]\n c"]);
        assert!(flow("[a, [b]]").nested && !flow("[a]").nested);
        assert_eq!(flow("[a] # b").length, 3);
    }
}
