//! The head of a detail: lines of YAML before the notation begins, between two lines of three dashes.
//!
//! Not here: what the head says. Invariant: head and body together are the text, and the body begins at a line.

use super::lines::first_word;
use super::words::{self, STANZAS};

/// The line above and below a head.
const FENCE: &str = "---";

/// A text with a head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head<'t> {
    /// The line above the head.
    pub opening: &'t str,
    /// The YAML, without its two fences.
    pub yaml: &'t str,
    /// The notation.
    pub body: &'t str,
    /// Whether the lower fence is there. Where it is not, the head ends at the first stanza.
    pub closed: bool,
}

/// Cuts the head off a text; none where the text does not begin with one.
pub fn cut(text: &str) -> Option<Head<'_>> {
    let start = text.strip_prefix('\u{feff}').unwrap_or(text);
    let opening = start.split_inclusive('\n').next().filter(|line| line.trim_end() == FENCE)?;
    let rest = start.get(opening.len()..)?;
    let mut stanza = None;
    let mut at = 0;
    for line in rest.split_inclusive('\n') {
        if line.trim_end() == FENCE {
            return parts(opening.trim_end(), rest, at, at + line.len(), true);
        }
        let opens = !line.starts_with(char::is_whitespace) && words::find(STANZAS, first_word(line)).is_some();
        stanza = stanza.or(opens.then_some(at));
        at += line.len();
    }
    let end = stanza.unwrap_or(rest.len());
    parts(opening.trim_end(), rest, end, end, false)
}

fn parts<'t>(opening: &'t str, rest: &'t str, end: usize, body: usize, closed: bool) -> Option<Head<'t>> {
    Some(Head { opening, yaml: rest.get(..end)?, body: rest.get(body..)?, closed })
}

/// The text without its head.
pub(super) fn body(text: &str) -> &str {
    cut(text).map_or(text, |h| h.body)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_ends_at_its_fence_or_at_the_first_stanza() {
        let whole = cut("---\r\ntitle: a\r\n---\r\njob x\r\n").unwrap();
        assert_eq!((whole.yaml, whole.body, whole.closed), ("title: a\r\n", "job x\r\n", true));
        let open = cut("---\ntitle: a\njob x\n  place y\n").unwrap();
        assert_eq!((open.yaml, open.body, open.closed), ("title: a\n", "job x\n  place y\n", false));
        assert_eq!(cut("---").unwrap().body, "");
        assert!(cut("job x\n---\n").is_none() && cut("").is_none() && cut("----\n").is_none());
    }
}
