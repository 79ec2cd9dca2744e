//! A layer line: `LABEL: MATERIAL QUANTITIES, WORDS -> CONTROLS "note"`.
//!
//! A part that cannot be read leaves a hole and reading goes on at the next comma, arrow or note.
//! Invariant: one mistake is one report; the label stays whatever follows it.

use super::amount;
use super::ast::{Build, Control, LayerLine, MaterialRef, Name, Stuff, Word};
use super::item::spot_here;
use super::phrase;
use super::problem::{Read, did_you_mean, quote, unreadable};
use super::reader::Reader;
use super::section;
use super::token::Kind;
use super::words::{self, CONTROLS, LAYER_WORDS};
use crate::base::finding::Finding;
use crate::base::span::Spanned;
use crate::base::unit::Dimension;

/// What a figure of a layer may measure.
pub(super) const FIGURES: &[Dimension] = &[
    Dimension::Length,
    Dimension::ThermalResistance,
    Dimension::Permeance,
    Dimension::VaporThickness,
    Dimension::Gauge,
    Dimension::VaporFactor,
    Dimension::Density,
    Dimension::Conductivity,
    Dimension::AirPermeance,
];

/// Where reading goes on after a part that could not be read.
const PART_ENDS: &[Kind] = &[Kind::Comma, Kind::Arrow, Kind::Note, Kind::OpenNote];

/// The line after its label. `panel`: parts joined by `+` are allowed.
pub(super) fn layer(reader: &mut Reader, label: Name, panel: bool, problems: &mut Vec<Finding>) -> LayerLine {
    let span = reader.origin.span(reader.line());
    let mut line =
        LayerLine { label, stuff: Stuff::Hole(span), words: Vec::new(), controls: Vec::new(), note: None, span };
    let first = reader.text();
    let mut failed = false;
    match stuff(reader, panel) {
        Ok(stuff) => line.stuff = stuff,
        Err(problem) => {
            problems.push(*problem);
            failed = true;
            reader.skip_to(PART_ENDS);
            line.stuff = Stuff::Hole(reader.since(first));
        }
    }
    line.words.reserve_exact(usize::from(reader.kind() == Kind::Comma));
    while reader.take_kind(Kind::Comma) {
        let first = reader.text();
        let figure = amount::begins(reader) && !reader.is("unknown");
        let read = if figure {
            more_figures(reader, &mut line.stuff).map(|()| None)
        } else {
            phrase::phrase(reader).map(Some)
        };
        match read.and_then(|word| ends(reader).map(|()| word)) {
            Ok(None) => {}
            Ok(Some(word)) => {
                failed = false;
                line.words.push(Spanned::new(word, reader.since(first)));
            }
            Err(problem) => {
                // After a part that failed, a figure is most likely its other half.
                if !(failed && figure) {
                    problems.push(*problem);
                }
                failed = true;
                reader.skip_to(PART_ENDS);
                let span = reader.since(first);
                line.words.push(Spanned::new(Word::Hole(span), span));
            }
        }
    }
    if let Err(problem) = controls(reader, &mut line.controls) {
        problems.push(*problem);
        reader.skip_to(&[Kind::Note, Kind::OpenNote]);
    }
    match reader.finish("the end of the line") {
        Ok(note) => line.note = note,
        Err(problem) => problems.push(*problem),
    }
    line
}

/// Figures after a comma, `larch 7/8 in, 12 perm`: they belong to the one material of the line.
fn more_figures(reader: &mut Reader, stuff: &mut Stuff) -> Read<()> {
    let several = matches!(stuff, Stuff::Choices(_) | Stuff::Parts(_));
    if several {
        let help = "write it after the material it belongs to, before `or` or `+`";
        return Err(unreadable(reader.here(), "a figure for one of several materials", help));
    }
    while amount::begins(reader) {
        let figure = amount::amount(reader, FIGURES)?;
        if let Stuff::One(build) = stuff {
            build.amounts.push(figure);
        }
    }
    Ok(())
}

/// Nothing but a comma, an arrow or a note may follow a part.
fn ends(reader: &Reader) -> Read<()> {
    match reader.kind() {
        Kind::Comma | Kind::Arrow | Kind::Note | Kind::OpenNote | Kind::End => Ok(()),
        Kind::Plus => Err(unreadable(
            reader.here(),
            "`+` joins parts of bays or of a panel",
            "separate the words of a layer by commas",
        )),
        Kind::Word => Err(stray(reader)),
    }
}

/// A word that has no business where it stands.
pub(super) fn stray(reader: &Reader) -> Box<Finding> {
    let word = reader.text();
    if ["inf", "infinity", "nan"].iter().any(|no| no.eq_ignore_ascii_case(word)) {
        let help = "write a figure with its unit, or `unknown`";
        return unreadable(reader.here(), format!("{} is no figure", quote(word)), help);
    }
    let message = format!("{} is not understood here", quote(word));
    let help = if words::find(LAYER_WORDS, word).is_some() {
        format!("put a comma before {}", quote(word))
    } else if words::find(CONTROLS, word).is_some() {
        format!("write `->` before {}", quote(word))
    } else {
        let known = words::list(LAYER_WORDS).chain(words::list(CONTROLS));
        did_you_mean(word, known)
            .unwrap_or_else(|| "a name is one word (`glass-batt`); a remark goes in quotes".to_owned())
    };
    unreadable(reader.here(), message, help)
}

fn stuff(reader: &mut Reader, panel: bool) -> Read<Stuff> {
    let first = build(reader)?;
    if reader.kind() == Kind::Plus {
        if !panel {
            let help = "write `material NAME: A + B` above and use NAME here; cavities say `bays A + B`";
            return Err(unreadable(reader.here(), "parts joined by `+` belong in a `material` line", help));
        }
        let mut parts = vec![first];
        while reader.take_kind(Kind::Plus) {
            parts.push(build(reader)?);
        }
        ends(reader)?;
        return Ok(Stuff::Parts(parts));
    }
    if reader.is("or") {
        let mut choices = vec![first];
        while reader.take("or") {
            choices.push(build(reader)?);
        }
        ends(reader)?;
        return Ok(Stuff::Choices(choices));
    }
    ends(reader)?;
    Ok(Stuff::One(first))
}

/// A material with its figures and spacing.
pub(super) fn build(reader: &mut Reader) -> Read<Build> {
    let first = reader.text();
    let material = material(reader)?;
    // Room for one: a vector that is left to grow makes room for four, and most materials have one figure.
    let mut amounts = Vec::with_capacity(usize::from(amount::begins(reader)));
    let mut spacing = None;
    loop {
        if amount::begins(reader) {
            amounts.push(amount::amount(reader, FIGURES)?);
        } else if spacing.is_none() && reader.is("at") && !at_a_spot(reader) {
            reader.bump();
            spacing = Some(amount::amount(reader, &[Dimension::Length])?);
            // `16 in oc` is how it is said; nothing else could be meant.
            let _ = reader.take("oc") || reader.take("o.c.");
        } else {
            break;
        }
    }
    Ok(Build { material, amounts, spacing, span: reader.since(first) })
}

/// Whether a place along a joint stands after `at`.
fn at_a_spot(reader: &Reader) -> bool {
    let mut ahead = *reader;
    ahead.bump();
    spot_here(&mut ahead).is_some()
}

/// The name or section of a material.
pub(super) fn material(reader: &mut Reader) -> Read<MaterialRef> {
    if let Some(read) = section::section(reader) {
        let (width, depth, span) = read?;
        return Ok(MaterialRef::Section { species: None, width, depth, span });
    }
    let Some(first) = reader.word() else {
        return Err(reader.expected("a material, such as `plywood 1/2 in`, or `unknown`"));
    };
    if words::find(LAYER_WORDS, first).is_some() {
        let help = if reader.before_is("bays") && first.eq_ignore_ascii_case("open") {
            "say what is in them: `bays air, open front and back`"
        } else {
            "the material comes first: `LABEL: MATERIAL, WORDS`"
        };
        return Err(unreadable(reader.here(), format!("{} stands where a material belongs", quote(first)), help));
    }
    if first.eq_ignore_ascii_case("unknown") {
        reader.bump();
        return unknown(reader, first);
    }
    if amount::begins(reader) {
        let help = "the material comes first: `plywood 1/2 in`; nobody knows: `unknown 1/2 in`";
        return Err(unreadable(reader.here(), format!("{} stands where a material belongs", quote(first)), help));
    }
    let mut name = reader.name("a material, such as `plywood 1/2 in`, or `unknown`")?;
    // `#15 felt` is how it is said: a weight before the name.
    if name.text.starts_with('#') && reader.word().is_some() {
        let rest = reader.name("a material")?;
        name = Name { text: format!("{} {}", name.text, rest.text), span: name.span.to(rest.span) };
    }
    match section::section(reader) {
        Some(read) => {
            let (width, depth, _) = read?;
            Ok(MaterialRef::Section { species: Some(name), width, depth, span: reader.since(first) })
        }
        None => Ok(MaterialRef::Named(name)),
    }
}

/// After `unknown`: a kind, a section of unknown species, or nothing.
fn unknown(reader: &mut Reader, first: &str) -> Read<MaterialRef> {
    if let Some(read) = section::section(reader) {
        let (width, depth, _) = read?;
        let species = Some(reader.make_name(first));
        return Ok(MaterialRef::Section { species, width, depth, span: reader.since(first) });
    }
    let kind = match reader.word() {
        Some(word)
            if !amount::begins(reader)
                && !reader.is("at")
                && !reader.is("or")
                && words::find(LAYER_WORDS, word).is_none() =>
        {
            Some(reader.name("a kind of material")?)
        }
        _ => None,
    };
    Ok(MaterialRef::Unknown { kind, span: reader.since(first) })
}

fn controls(reader: &mut Reader, out: &mut Vec<Spanned<Control>>) -> Read<()> {
    if !reader.take_kind(Kind::Arrow) {
        return Ok(());
    }
    while let Some(word) = reader.word() {
        let Some(control) = words::find(CONTROLS, word) else { return Err(no_control(reader, word)) };
        if out.iter().any(|known| known.value == control) {
            return Err(unreadable(reader.here(), format!("{} is said twice", quote(word)), "leave one out"));
        }
        out.push(Spanned::new(control, reader.here()));
        reader.bump();
    }
    if reader.kind() == Kind::Comma {
        let help = "only spaces between them: `-> water air`; words of the layer go before `->`";
        return Err(unreadable(reader.here(), "no comma after `->`", help));
    }
    if out.is_empty() {
        return Err(reader.expected("`water`, `air` or `vapor`"));
    }
    Ok(())
}

fn no_control(reader: &Reader, word: &str) -> Box<Finding> {
    if ["heat", "thermal", "insulation"].iter().any(|heat| heat.eq_ignore_ascii_case(word)) {
        let help = "leave it out: all insulation counts, wherever it lies";
        return unreadable(reader.here(), format!("{} is never written as a control", quote(word)), help);
    }
    let help = words::find(words::RENAMED, word)
        .map(|instead| format!("write `{instead}`"))
        .or_else(|| did_you_mean(word, words::list(CONTROLS)))
        .unwrap_or_else(|| "controls are `water`, `air` and `vapor`; words of the layer go before `->`".to_owned());
    unreadable(reader.here(), format!("{} is not a control", quote(word)), help)
}
