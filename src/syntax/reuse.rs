//! The lines `detail NAME(…)` and `use DETAIL as NAME with …`.
//!
//! Not here: whether there is such a detail, and what its parameters take. Invariant: a blank has a default, so that a
//! detail can be read by itself; a surface or a room has none: its default is the one that is drawn.

use super::ast::{Argument, Detail, Name, Parameter, Sort, Stanza, Tree, Use};
use super::ast_reuse::SORTS;
use super::problem::{Read, did_you_mean, incomplete, quote, unreadable};
use super::reader::Reader;
use super::token::Kind;
use super::words;
use crate::base::finding::Finding;
use crate::base::span::Spanned;

/// Most parameters of a detail, and arguments of a use.
const MOST: usize = 40;

/// `detail NAME(TYPE NAME = DEFAULT, …) "title"`, from after the first word.
pub(super) fn detail(reader: &mut Reader, problems: &mut Vec<Finding>) -> Read<Detail> {
    const FORM: &str = "`detail NAME`, or `detail NAME(wall tall, length lap = 4 in)`";
    let span = reader.origin.span(reader.line());
    let Some((open, close)) = brackets(*reader) else {
        let name = reader.plain_name(FORM)?;
        let note = reader.finish("`(` and the parameters, or a title in quotes")?;
        return Ok(Detail { name, parameters: Vec::new(), whole: true, note, span });
    };
    let line = reader.line();
    let written = line.get(..open).unwrap_or("");
    let mut head = Reader::new(reader.origin, written);
    head.bump();
    let name = head.plain_name(FORM)?;
    head.finish("`(` after the name")?;
    let (Some(inside), Some(after)) =
        (close.and_then(|c| line.get(open + 1..c)), close.and_then(|c| line.get(c + 1..)))
    else {
        let rest = line.get(open..).unwrap_or(line);
        return Err(unreadable(reader.origin.span(rest), "the parameters are not closed", "write `)` after the last"));
    };
    let note = Reader::new(reader.origin, after).finish("a title in quotes")?;
    let before = problems.len();
    let parameters = parameters(&mut Reader::new(reader.origin, inside), problems);
    Ok(Detail { name, parameters, whole: problems.len() == before, note, span })
}

/// Where the first bracket of a line stands, and the one that closes it, notes and comments left out. Units have brackets of
/// their own: `57 ng/(s.m2.Pa)`.
fn brackets(mut reader: Reader<'_>) -> Option<(usize, Option<usize>)> {
    let line = reader.line();
    let (mut open, mut depth) = (None, 0);
    while reader.kind() != Kind::End {
        let token = reader.bump();
        if token.kind != Kind::Word {
            continue;
        }
        let at = (token.text.as_ptr() as usize).saturating_sub(line.as_ptr() as usize);
        for (offset, c) in token.text.char_indices() {
            match (c, open) {
                ('(', None) => open = Some(at + offset),
                ('(', Some(_)) => depth += 1,
                (')', Some(first)) if depth == 0 => return Some((first, Some(at + offset))),
                (')', Some(_)) => depth -= 1,
                _ => {}
            }
        }
    }
    open.map(|first| (first, None))
}

/// Each that can be read; the others are told, each by itself.
fn parameters(reader: &mut Reader, problems: &mut Vec<Finding>) -> Vec<Parameter> {
    let mut all: Vec<Parameter> = Vec::new();
    while reader.kind() != Kind::End {
        let read = parameter(reader).and_then(|next| match all.iter().find(|p| p.name.text == next.name.text) {
            Some(first) => {
                let message = format!("there is a parameter {} already", quote(&next.name.text));
                let told = unreadable(next.name.span, message, "give one of the two another name");
                Err(Box::new(told.also(first.name.span, "and here")))
            }
            None => Ok(next),
        });
        match read {
            Ok(next) if all.len() < MOST => all.push(next),
            Ok(next) => {
                let message = format!("more than {MOST} parameters");
                problems.push(*unreadable(next.name.span, message, "draw two details of it"));
                return all;
            }
            Err(problem) => problems.push(*problem),
        }
        if reader.kind() != Kind::Comma && reader.kind() != Kind::End {
            if problems.is_empty() {
                problems.push(*reader.expected("`,` and the next parameter, or `)`"));
            }
            reader.skip_to(&[Kind::Comma]);
        }
        reader.take_kind(Kind::Comma);
    }
    all
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
        (Some(default), true) if !fits(sort, &default.text) => {
            let help = match sort {
                Sort::Figure(_) => format!("write a figure with its unit: `{} {} = …`", sort.word(), name.text),
                _ => "name one material; its thickness is a parameter of its own".to_owned(),
            };
            Err(unreadable(default.span, format!("{} is no {}", quote(&default.text), sort.word()), help))
        }
        _ => Ok(Parameter { sort, name, default }),
    }
}

/// Tells of names in a `detail` line that nothing drawn has, and of a second such line.
pub(super) fn drawn(tree: &Tree, problems: &mut Vec<Finding>) {
    let mut details = tree.stanzas.iter().filter_map(|s| if let Stanza::Detail(d) = s { Some(d) } else { None });
    let Some(detail) = details.next() else { return };
    for second in details {
        let told = unreadable(second.name.span, "a text is one detail", "put the other into a file of its own");
        problems.push(told.also(detail.name.span, "the first"));
    }
    let lost = tree.stanzas.iter().any(|s| matches!(s, Stanza::Hole(_)));
    for parameter in detail.parameters.iter().filter(|p| !p.sort.is_blank() && !lost) {
        let name = |n: &Option<Name>| n.as_ref().is_some_and(|n| n.text == parameter.name.text);
        let here = tree.stanzas.iter().any(|s| match (s, parameter.sort) {
            (Stanza::Surface(s), Sort::Surface(kind)) => s.kind.value == kind && name(&s.name),
            (Stanza::Room(room), Sort::Room) => name(&room.name),
            _ => false,
        });
        if !here {
            let word = parameter.sort.word();
            let message = format!("no {word} {} is drawn here", quote(&parameter.name.text));
            let help = format!("a `{word}` parameter names a {word} of the detail; a job's own takes its place");
            problems.push(*unreadable(parameter.name.span, message, help));
        }
    }
}

/// Whether what a blank is filled with is of its type, as far as the reader can tell.
fn fits(sort: Sort, text: &str) -> bool {
    match sort {
        Sort::Figure(dimension) => super::amount_fault(text, dimension).is_none(),
        Sort::Material => !text.contains(char::is_whitespace),
        Sort::Surface(_) | Sort::Room => true,
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
    let name = reader.plain_name(FORM)?;
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
