//! The lines `detail NAME(…)` and `use DETAIL as NAME with …`.
//!
//! Not here: whether there is such a detail, and what its parameters take. Invariant: a blank has a default, so that a
//! detail can be read by itself; a surface or a room has none: its default is the one that is drawn.

use super::ast::{Argument, Detail, Name, Parameter, Use};
use super::ast_reuse::SORTS;
use super::problem::{Read, did_you_mean, incomplete, quote, unreadable};
use super::reader::Reader;
use super::token::Kind;
use super::words;
use crate::base::span::Spanned;

/// Most parameters of a detail, and arguments of a use.
const MOST: usize = 40;

/// `detail NAME(TYPE NAME = DEFAULT, …) "title"`, from after the first word.
pub(super) fn detail(reader: &mut Reader) -> Read<Detail> {
    const FORM: &str = "`detail NAME`, or `detail NAME(wall tall, length lap = 4 in)`";
    let span = reader.origin.span(reader.line());
    let line = reader.line();
    let Some((before, rest)) = line.split_once('(') else {
        let name = reader.name(FORM)?;
        let note = reader.finish("`(` and the parameters, or a title in quotes")?;
        return Ok(Detail { name, parameters: Vec::new(), note, span });
    };
    let written = before.trim_start().split_once(char::is_whitespace).map_or("", |(_, name)| name.trim());
    let mut head = Reader::new(reader.origin, written);
    let name = head.name(FORM)?;
    head.finish("`(` after the name")?;
    let Some((inside, after)) = closed(rest) else {
        return Err(unreadable(reader.origin.span(rest), "the parameters are not closed", "write `)` after the last"));
    };
    let note = Reader::new(reader.origin, after).finish("a title in quotes")?;
    Ok(Detail { name, parameters: parameters(&mut Reader::new(reader.origin, inside))?, note, span })
}

/// What stands before the bracket that closes, and after it. Units have brackets of their own: `57 ng/(s.m2.Pa)`.
fn closed(rest: &str) -> Option<(&str, &str)> {
    let mut depth = 0;
    let at = rest.char_indices().find(|(_, c)| {
        match c {
            '(' => depth += 1,
            ')' if depth == 0 => return true,
            ')' => depth -= 1,
            _ => {}
        }
        false
    })?;
    Some((rest.get(..at.0)?, rest.get(at.0 + 1..)?))
}

fn parameters(reader: &mut Reader) -> Read<Vec<Parameter>> {
    let mut all: Vec<Parameter> = Vec::new();
    while reader.kind() != Kind::End {
        let next = parameter(reader)?;
        if let Some(first) = all.iter().find(|p| p.name.text == next.name.text) {
            let message = format!("there is a parameter {} already", quote(&next.name.text));
            let told = unreadable(next.name.span, message, "give one of the two another name");
            return Err(Box::new(told.also(first.name.span, "and here")));
        }
        all.push(next);
        if !reader.take_kind(Kind::Comma) {
            break;
        }
    }
    if reader.kind() != Kind::End || all.len() > MOST {
        return Err(reader.expected(&format!("`,` and the next parameter (at most {MOST}), or `)`")));
    }
    Ok(all)
}

fn parameter(reader: &mut Reader) -> Read<Parameter> {
    let known = || format!("its type: {}", crate::base::near::one_of(&words::list(SORTS).collect::<Vec<_>>()));
    let Some(word) = reader.word() else { return Err(reader.expected(&known())) };
    let Some(sort) = words::find(SORTS, word) else {
        let help = did_you_mean(word, words::list(SORTS)).unwrap_or_else(known);
        return Err(unreadable(reader.here(), format!("{} is no type of a parameter", quote(word)), help));
    };
    reader.bump();
    let name = reader.name("the name of the parameter")?;
    let default = if reader.take("=") { Some(value(reader)?) } else { None };
    match (&default, sort.is_blank()) {
        (None, true) => {
            let help = format!("say what it is unless a job says otherwise: `{} {} = …`", sort.word(), name.text);
            Err(incomplete(name.span, "this parameter has no default", help))
        }
        (Some(default), false) => {
            let help = "leave it out: the one that is drawn here stands unless a job names its own";
            Err(unreadable(default.span, format!("a {} has no default of its own", sort.word()), help))
        }
        _ => Ok(Parameter { sort, name, default }),
    }
}

/// What stands after `=`: all up to the next comma, or a note.
fn value<'t>(reader: &mut Reader<'t>) -> Read<Name> {
    let first = reader.text();
    let mut last = first;
    while matches!(reader.kind(), Kind::Word | Kind::Plus) {
        last = reader.bump().text;
    }
    let line = reader.line();
    let at = |slice: &str| (slice.as_ptr() as usize).saturating_sub(line.as_ptr() as usize);
    match line.get(at(first)..at(last) + last.len()).filter(|_| !last.is_empty()) {
        Some(text) if reader.kind() != Kind::Arrow && !text.is_empty() && at(last) >= at(first) && text != "," => {
            Ok(Name { text: text.to_owned(), span: reader.origin.span(text) })
        }
        _ => Err(reader.expected("what it is: a name, or a figure with its unit")),
    }
}

/// `use DETAIL revision N as NAME with NAME = VALUE, …`, from after the first word.
pub(super) fn uses(reader: &mut Reader) -> Read<Use> {
    const FORM: &str = "`use DETAIL revision 1 as NAME with NAME = VALUE`";
    let span = reader.origin.span(reader.line());
    let detail = reader.name(FORM)?;
    let revision = if reader.take("revision") { Some(revision(reader)?) } else { None };
    if !reader.take("as") {
        return Err(match reader.kind() {
            Kind::End => incomplete(reader.before(), "this detail has no name in the job", format!("write {FORM}")),
            _ => reader.expected(FORM),
        });
    }
    let name = reader.name(FORM)?;
    let mut with: Vec<Argument> = Vec::new();
    if reader.take("with") {
        loop {
            let next = argument(reader)?;
            if let Some(first) = with.iter().find(|a| a.name.text == next.name.text) {
                let told = unreadable(next.name.span, format!("{} is said twice", quote(&next.name.text)), "keep one");
                return Err(Box::new(told.also(first.name.span, "and here")));
            }
            with.push(next);
            if !reader.take_kind(Kind::Comma) || with.len() >= MOST {
                break;
            }
        }
    }
    reader.finish("`with NAME = VALUE`, or a note in quotes")?;
    Ok(Use { detail, revision, name, with, span })
}

fn revision(reader: &mut Reader) -> Read<Spanned<u32>> {
    let number = reader.word().and_then(|word| word.parse().ok()).filter(|n| *n > 0);
    let Some(number) = number else { return Err(reader.expected("the number of a revision: `revision 2`")) };
    reader.bump();
    Ok(Spanned::new(number, reader.before()))
}

fn argument(reader: &mut Reader) -> Read<Argument> {
    let glued = reader.word().is_some_and(|word| word.contains('=') && word != "=");
    if glued {
        return Err(unreadable(reader.here(), "`=` stands between spaces", "write `NAME = VALUE`"));
    }
    let name = reader.name("the name of a parameter")?;
    if !reader.take("=") {
        return Err(reader.expected("`=` and what stands there in this job"));
    }
    Ok(Argument { name, value: value(reader)? })
}
