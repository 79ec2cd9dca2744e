//! Reading and tidying of the notation. All texts are of our own invention.

mod documents;
mod joints;
mod properties;
mod reading;
mod tidying;

use dewlap::base::finding::Finding;
use dewlap::base::span::FileId;
use dewlap::syntax::parse;

/// What a text is told for.
fn problems(text: &str) -> Vec<Finding> {
    parse(FileId(0), text).problems
}

/// The words each report points at, and its message.
fn told(text: &str) -> Vec<(&str, String)> {
    problems(text).into_iter().map(|p| (&text[p.primary.span.range()], p.message)).collect()
}

/// The one report of a wall with this layer line: the words it points at, message and help.
fn layer(line: &str) -> (String, String, String) {
    let text = format!("wall porch\n  outdoors\n  {line}\n  indoors\n");
    let all = problems(&text);
    assert_eq!(all.len(), 1, "{line}: {all:?}");
    let words = |one: &Finding| (text[one.primary.span.range()].to_owned(), one.message.clone(), one.help.clone());
    all.first().map(words).unwrap_or_default()
}
