//! Whether a detail stands by itself: it needs no other text, and there is something to review and somewhere to review it.
//!
//! Not here: whether its lines can be read (syntax), what its head says (head). Invariant: told from the tree alone, each
//! lack once and at its place; a line that could not be read may be what is lacking, so then nothing is told as missing.

use crate::base::finding::{Finding, Weight};
use crate::base::span::{FileId, Span};
use crate::syntax::ast::{Stanza, Tree};
use crate::syntax::{self, INCOMPLETE, UNREADABLE};

/// What keeps the text of a detail, whose tree this is, from standing by itself.
pub fn lacks(file: FileId, text: &str, tree: &Tree) -> Vec<Finding> {
    let mut out: Vec<Finding> = tree.stanzas.iter().filter_map(foreign).collect();
    let has = |wanted: fn(&Stanza) -> bool| tree.stanzas.iter().any(wanted);
    if !out.is_empty() || has(|s| matches!(s, Stanza::Hole(_))) {
        return out;
    }
    let opening = syntax::head::cut(text).map_or("", |cut| cut.opening);
    let start = text.find(opening).unwrap_or(0);
    let at = Span::new(file, start, start + opening.len());
    let mut missing = |message, help| out.push(Finding::new(INCOMPLETE, Weight::Stop, at, message).help(help));
    if !has(|s| matches!(s, Stanza::Job(_))) {
        missing("no job stands below this head", "write one to review it in: `job NAME`, `place PLACE`");
    }
    if !has(|s| matches!(s, Stanza::Surface(_) | Stanza::Joint(_))) {
        let help = "draw what meets: `wall NAME`, `roof NAME`, `joint NAME` ...";
        missing("nothing is drawn below this head", help);
    }
    out
}

/// A stanza that asks for another text.
fn foreign(stanza: &Stanza) -> Option<Finding> {
    let (span, message) = match stanza {
        Stanza::Use(uses) => (uses.span, "a detail on a shelf uses no other detail"),
        Stanza::Include(path) => (path.span, "a detail on a shelf includes no file"),
        _ => return None,
    };
    let help = "a detail stands by itself: write what it needs into it, or keep this one as a job";
    Some(Finding::new(UNREADABLE, Weight::Stop, span, message).help(help))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(body: &str) -> Vec<String> {
        let text = format!("---\ntitle: x\n---\n{body}");
        let parsed = syntax::parse(FileId::default(), &text);
        lacks(FileId::default(), &text, &parsed.tree).into_iter().map(|lack| lack.message).collect()
    }

    #[test]
    fn each_lack_is_told() {
        let (job, drawn) = ("no job stands below this head", "nothing is drawn below this head");
        assert_eq!(told(""), [job, drawn]);
        assert_eq!(told("job press\nmaterial a: osb\n"), [drawn]);
        assert_eq!(told("wall a\n"), [job]);
        assert!(told("job press\npenetration pipe through a\n").is_empty());
        assert!(told("jb press\nwall a\n").is_empty(), "a line that can't be read may be the job");
        let foreign = told("use chimney as b\ninclude \"walls.dew\"\n");
        assert!(foreign.len() == 2 && foreign[0].contains("uses no other") && foreign[1].contains("includes no file"));
    }
}
