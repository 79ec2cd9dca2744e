//! The record of a detail, its evidence and its failures: carried over into a later text of the detail, and set apart.
//!
//! Not here: files, what the record bears out (model). Invariant: an entry of the old text that the new one lacks is in what
//! comes out, whatever form it speaks of; all other bytes of the new text stay as they are.

use super::log::{Refused, with_evidence, with_failure};
use super::yaml::Part;
use crate::base::span::FileId;
use crate::model::detail::{Evidence, Failure, Head};
use crate::syntax;

/// The keys of a head that make the record.
const KEYS: [&str; 2] = ["evidence", "failures"];

/// A text with what was carried over into it.
#[derive(Clone, Debug, Default)]
pub struct Carried {
    /// The text.
    pub text: String,
    /// How many entries of evidence.
    pub evidence: usize,
    /// How many failures.
    pub failures: usize,
}

/// Works the entries of an old head that the new one lacks into the new head's text.
///
/// # Errors
/// Where the new text can't take one.
pub fn carried(old: &Head, new: &Head, text: &str) -> Result<Carried, Refused> {
    let (evidence, failures) = missing(old, new);
    let mut out = Carried { text: text.to_owned(), evidence: evidence.len(), failures: failures.len() };
    for entry in evidence {
        out.text = with_evidence(&out.text, entry)?;
    }
    for entry in failures {
        out.text = with_failure(&out.text, entry)?;
    }
    Ok(out)
}

/// The entries of one head that another lacks, in their order.
pub fn missing<'h>(of: &'h Head, from: &Head) -> (Vec<&'h Evidence>, Vec<&'h Failure>) {
    (
        unmatched(&of.evidence, &from.evidence, &[&seen, &looked]),
        unmatched(&of.failures, &from.failures, &[&told, &broke]),
    )
}

/// The text without its record; none where its head can't be taken apart.
pub fn apart(text: &str) -> Option<String> {
    let cut = syntax::head::cut(text)?;
    let top = Part::whole(FileId::default(), text, cut.yaml).ok()?;
    let mut out = String::with_capacity(text.len());
    let mut from = 0;
    for entry in top.entries(&mut Vec::new()).iter().filter(|entry| KEYS.contains(&entry.key.text())) {
        let key = text.get(..entry.key.span().range().start)?;
        out.push_str(text.get(from..key.rfind('\n').map_or(0, |at| at + 1))?);
        from = entry.value.end();
    }
    out.push_str(text.get(from..)?);
    Some(out)
}

/// What an entry says, as far as two are compared.
type Said<'e> = Vec<&'e str>;

/// The entries that no entry of `others` stands for. One stands for one: first those that say the same throughout, then
/// those that agree in what is looked at first.
fn unmatched<'e, T>(all: &'e [T], others: &[T], looks: &[&dyn Fn(&T) -> Said<'_>]) -> Vec<&'e T> {
    let mut left: Vec<&T> = all.iter().collect();
    let mut free: Vec<&T> = others.iter().collect();
    for look in looks {
        left.retain(|entry| {
            let own = look(entry);
            let twin = free.iter().position(|other| look(other) == own);
            twin.map(|at| free.remove(at)).is_none()
        });
    }
    left
}

fn words(said: &Option<String>) -> &str {
    said.as_deref().unwrap_or_default()
}

fn looked(e: &Evidence) -> Said<'_> {
    vec![&e.date, e.kind.words(), &e.by, words(&e.form)]
}

fn seen(e: &Evidence) -> Said<'_> {
    let more = [e.result.word(), words(&e.season), words(&e.reading), words(&e.note), words(&e.photo)];
    looked(e).into_iter().chain(more).collect()
}

fn broke(f: &Failure) -> Said<'_> {
    vec![&f.date, &f.what, words(&f.form)]
}

fn told(f: &Failure) -> Said<'_> {
    broke(f).into_iter().chain([f.cause.as_str(), words(&f.cure)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shelf::read;

    const HEAD: &str = "---\ntitle: A cider press on rubble\nmeets: press\nstatus: drawn\nrevision: 2\nsource: own\n";

    fn seen(form: &str, note: &str) -> String {
        format!(
            "- date: 2026-04-02\n  kind: built\n  result: passed\n  by: the mason\n  form: {form}\n  note: {note}\n"
        )
    }

    fn head(text: &str) -> Head {
        let reading = read(FileId::default(), text).unwrap();
        assert!(reading.problems.is_empty(), "{text}{:?}", reading.problems);
        reading.head.unwrap()
    }

    fn text(record: &str) -> String {
        format!("{HEAD}{record}---\nwall a\n")
    }

    #[test]
    fn what_the_new_text_lacks_is_carried_over() {
        let (one, other) = (seen("0123456789ab", "x"), seen("ba9876543210", "\"a: b\""));
        let example = seen("0123456789ab", "y") + "  example: true\n";
        let failure = "failures:\n- date: 2025-01-02\n  what: a leak\n  cause: dust\n  form: 0123456789ab\n";
        let old = head(&text(&format!("evidence:\n{one}{one}{other}{example}{failure}")));
        let new = text(&format!("evidence:\n{one}"));
        let done = carried(&old, &head(&new), &new).unwrap();
        // Two that say the same are two; what the new text says in other words of the same look stands for it.
        assert_eq!((done.evidence, done.failures), (3, 1));
        let after = head(&done.text);
        let notes: Vec<_> = after.evidence.iter().map(|e| (e.note.as_deref().unwrap(), e.example)).collect();
        assert_eq!(notes, [("x", false), ("x", false), ("a: b", false), ("y", true)]);
        assert_eq!((after.failures[0].what.as_str(), words(&after.failures[0].form)), ("a leak", "0123456789ab"));
        assert_eq!(apart(&done.text).unwrap(), apart(&new).unwrap());
        let again = carried(&old, &after, &done.text).unwrap();
        assert_eq!((again.evidence, again.failures, again.text), (0, 0, done.text));
        let mended = text(&format!("evidence:\n{}", seen("ba9876543210", "mended")));
        let old = head(&text(&format!("evidence:\n{other}")));
        assert_eq!(carried(&old, &head(&mended), &mended).unwrap().text, mended);
    }

    #[test]
    fn a_text_without_its_record_is_as_before_it_was_logged() {
        let failure = "date: 2025-01-02\n    what: a leak\n    cause: dust\n";
        for (plain, record) in [
            (text(""), text(&format!("evidence:\n{}failures:\n  - {failure}", seen("0123456789ab", "x")))),
            (text("mind: so\n# end\n"), text(&format!("failures:\n  - {failure}mind: so\n# end\n"))),
            (text(""), text("'evidence': []\n")),
        ] {
            assert_eq!(apart(&record).unwrap(), plain);
        }
        assert!(apart("wall a\n").is_none());
    }
}
