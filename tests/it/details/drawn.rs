//! A detail as it is drawn, for those who read it as a plain text.
//!
//! Invariant: what is written stays where it is, but for the blanks and the parameters.

use dewlap::base::span::FileId;
use dewlap::syntax::ast::{Detail, Stanza};
use dewlap::syntax::parse;

/// The `detail` line of a text.
pub fn line(text: &str) -> Option<Detail> {
    let stanzas = parse(FileId(0), text).tree.stanzas;
    stanzas.into_iter().find_map(|s| if let Stanza::Detail(detail) = s { Some(detail) } else { None })
}

/// The text of a detail as it is drawn: its blanks filled with what they are by themselves, and no parameters left.
pub fn as_drawn(text: &str) -> String {
    let Some(line) = line(text) else { return text.to_owned() };
    let blanks = line.parameters.iter().filter_map(|p| Some((&p.name.text, &p.default.as_ref()?.text)));
    let plain = text.replacen(&text[line.span.range()], &format!("detail {}", line.name.text), 1);
    blanks.fold(plain, |text, (name, value)| text.replace(&format!("<{name}>"), value))
}
