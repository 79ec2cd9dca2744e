//! A sentence of a joint: `SUBJECT verb OBJECT [LENGTH] [with MATERIAL][, ATTRIBUTE]...`.
//!
//! Invariant: a sentence whose subject, verb or object cannot be read is a hole; an attribute that cannot be read is a
//! hole of its own, and the sentence stays.

use super::amount::{self, amount};
use super::ast::{Amount, Attribute, Build, Hollow, Item, Sentence, Verb};
use super::item::{item, spot_here, spots};
use super::joint_near;
use super::joint_words::{ATTRIBUTES, AttributeLead, HOLLOWS, VERBS};
use super::layer::{FIGURES, material};
use super::problem::{Read, unreadable};
use super::reader::{Origin, Reader};
use super::sentence_near;
use super::token::Kind;
use super::words;
use crate::base::finding::Finding;
use crate::base::span::Spanned;
use crate::base::unit::Dimension;

const LENGTH: &[Dimension] = &[Dimension::Length];

/// A line that is no piece; none when it could not be read.
pub(super) fn sentence(reader: &mut Reader, problems: &mut Vec<Finding>) -> Option<Sentence> {
    let mut sentence = match core(reader) {
        Ok(sentence) => sentence,
        Err(problem) => {
            problems.push(*problem);
            return None;
        }
    };
    // `at 16 in oc` may follow without a comma.
    if reader.is("at") {
        attribute_into(reader, &mut sentence, problems);
    } else if let Err(problem) = sentence_near::sentence_part_ends(reader, &sentence) {
        problems.push(*problem);
        let first = reader.text();
        reader.skip_to(&[Kind::Comma, Kind::Note, Kind::OpenNote]);
        sentence.attributes.push(Spanned::new(Attribute::Hole, reader.since(first)));
    }
    while reader.take_kind(Kind::Comma) {
        attribute_into(reader, &mut sentence, problems);
    }
    match reader.finish("the end of the line") {
        Ok(note) => sentence.note = note,
        Err(problem) => problems.push(*problem),
    }
    Some(sentence)
}

fn attribute_into(reader: &mut Reader, sentence: &mut Sentence, problems: &mut Vec<Finding>) {
    let first = reader.text();
    let read = attribute(reader, sentence);
    match read.and_then(|read| sentence_near::sentence_part_ends(reader, sentence).map(|()| read)) {
        Ok(attribute) => {
            let span = reader.since(first);
            if let Some(problem) = joint_near::twice(&sentence.attributes, &attribute, span) {
                problems.push(*problem);
            }
            sentence.attributes.push(Spanned::new(attribute, span));
        }
        Err(problem) => {
            problems.push(*problem);
            reader.skip_to(&[Kind::Comma, Kind::Note, Kind::OpenNote]);
            sentence.attributes.push(Spanned::new(Attribute::Hole, reader.since(first)));
        }
    }
}

/// Up to the first attribute.
fn core(reader: &mut Reader) -> Read<Sentence> {
    let span = reader.origin.span(reader.line());
    let subject = item(reader, "a piece or a layer, then a verb: `cap laps over frame 1 in`")?;
    let Some(verb) = verb(reader) else { return Err(sentence_near::no_verb(reader, &subject)) };
    let mut sentence = Sentence {
        subject,
        verb,
        object: None,
        hollow: None,
        length: None,
        above: None,
        with: None,
        attributes: Vec::new(),
        note: None,
        span,
    };
    let turns_up = verb.value == Verb::TurnsUp;
    if reader.kind() != Kind::Word || amount::begins_figure(reader) {
        if !turns_up {
            return Err(sentence_near::no_object(reader, verb.value));
        }
    } else {
        sentence.object = Some(object(reader, verb.value)?);
    }
    if verb.value == Verb::Fills {
        sentence.hollow = hollow(reader);
    }
    if amount::begins_figure(reader) {
        sentence.length = Some(amount(reader, LENGTH)?);
    }
    if let (Verb::Clears, Some(Amount::Known(by))) = (verb.value, &sentence.length)
        && by.si <= 0.0
    {
        return Err(unreadable(by.span, "what clears by 0 touches", "write `touches`, or how far it stays away"));
    }
    if turns_up && reader.take("above") {
        sentence.above = Some(item(reader, "what it is measured from: `turns up 3 in above membrane`")?);
    }
    if reader.take("with") {
        sentence.with = Some(with(reader, "what lies between: `seals to studs with gun-foam`")?);
    }
    Ok(sentence)
}

/// How many words stand before the first that can be an amount: subject, verb and object.
pub(super) fn names(line: &str) -> usize {
    let start = Reader::new(Origin::nowhere(), line);
    let mut end = start;
    let mut read = || -> Read<()> {
        item(&mut end, "")?;
        if verb(&mut end).is_some() && !amount::begins_figure(&end) {
            item(&mut end, "")?;
        }
        Ok(())
    };
    // What cannot be read ends the count.
    let _ = read();
    let mut reader = start;
    let mut count = 0;
    while reader.kind() != Kind::End && reader.text().as_ptr() != end.text().as_ptr() {
        reader.bump();
        count += 1;
    }
    count
}

fn object(reader: &mut Reader, verb: Verb) -> Read<Item> {
    if ["with", "at", "above"].iter().any(|word| reader.is(word)) {
        return Err(sentence_near::no_object(reader, verb));
    }
    item(reader, "a piece or a layer after the verb")
}

/// The verb, if one stands here whole.
fn verb(reader: &mut Reader) -> Option<Spanned<Verb>> {
    let first = reader.word()?;
    for form in VERBS.iter().filter(|form| form.begins(first)) {
        let mut ahead = *reader;
        ahead.bump();
        if form.rest.iter().all(|word| ahead.take(word)) {
            *reader = ahead;
            return Some(Spanned::new(form.verb, reader.since(first)));
        }
    }
    None
}

fn hollow(reader: &mut Reader) -> Option<Spanned<Hollow>> {
    let hollow = words::find(HOLLOWS, reader.word()?)?;
    let span = reader.here();
    reader.bump();
    Some(Spanned::new(hollow, span))
}

/// A material between two things: no spacing, since `at` says where or how often.
fn with(reader: &mut Reader, what: &str) -> Read<Build> {
    let first = reader.text();
    if reader.kind() != Kind::Word {
        return Err(reader.expected(what));
    }
    let material = material(reader)?;
    let mut amounts = Vec::new();
    while amount::begins(reader) {
        amounts.push(amount(reader, FIGURES)?);
    }
    Ok(Build { material, amounts, spacing: None, span: reader.since(first) })
}

fn attribute(reader: &mut Reader, sentence: &Sentence) -> Read<Attribute> {
    if amount::begins_figure(reader) {
        return measure(reader, sentence);
    }
    let Some(lead) = joint_near::take(reader, ATTRIBUTES) else {
        return Err(sentence_near::no_attribute(reader));
    };
    Ok(match lead {
        AttributeLead::Alone(attribute) => attribute(),
        AttributeLead::Sealed => Attribute::Sealed(held_with(reader, "a sealant: `sealed with urethane`")?),
        AttributeLead::Taped => Attribute::Taped(held_with(reader, "a tape: `taped with butyl-tape`")?),
        AttributeLead::EdgeUnder => Attribute::EdgeUnder(item(reader, "a piece: `edge under bar`")?),
        AttributeLead::At => at(reader)?,
        AttributeLead::Weeps => {
            let at = reader.take("at");
            let spacing = if at { Some(amount(reader, LENGTH)?) } else { None };
            on_center(reader, at);
            Attribute::Weeps(spacing)
        }
    })
}

fn held_with(reader: &mut Reader, what: &str) -> Read<Option<Build>> {
    if reader.take("with") { with(reader, what).map(Some) } else { Ok(None) }
}

/// `16 in oc` is how it is said; nothing else could be meant.
fn on_center(reader: &mut Reader, spaced: bool) {
    let _ = spaced && (reader.take("oc") || reader.take("o.c."));
}

/// After `at`: a length is a spacing, a temperature the day's, a word a place.
fn at(reader: &mut Reader) -> Read<Attribute> {
    if !amount::begins_figure(reader) {
        if spot_here(&mut { *reader }).is_none() && reader.kind() != Kind::Word {
            return Err(reader.expected("a place, a spacing or a temperature: `at sill`, `at 16 in oc`, `at 2 C`"));
        }
        return spots(reader).map(Attribute::At);
    }
    let figure = amount(reader, &[Dimension::Length, Dimension::Temperature])?;
    if figure.dimension() == Some(Dimension::Temperature) {
        return Ok(Attribute::Temperature(figure));
    }
    on_center(reader, true);
    Ok(Attribute::Spacing(figure))
}

/// `3/8 in wide`, `1/4 in deep`.
fn measure(reader: &mut Reader, sentence: &Sentence) -> Read<Attribute> {
    let figure = amount(reader, LENGTH)?;
    if reader.take("wide") {
        return Ok(Attribute::Wide(figure));
    }
    if reader.take("deep") {
        return Ok(Attribute::Deep(figure));
    }
    if reader.is("high") {
        let help = "height is a shape: it stands on the piece's own line";
        return Err(unreadable(reader.here(), "`high` does not belong on a sentence", help));
    }
    Err(sentence_near::bare_length(reader, &figure, sentence))
}
