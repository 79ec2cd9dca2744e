//! The lines of `joint`, `opening` and `penetration`: heads, edges that meet, and which line is a piece or a sentence.
//!
//! Invariant: the first word decides, with a look at its colon; one mistake costs the line it stands in and no other.

use super::amount::amount;
use super::ast::{Amount, EndRef, Joint, JointKind, JointLine, Name, Way};
use super::item::end;
use super::joint_near;
use super::joint_words::begins_verb;
use super::limits;
use super::lines::{first_word, is_sentence};
use super::number;
use super::piece::piece;
use super::problem::{Read, incomplete, limit, quote, unreadable};
use super::reader::Reader;
use super::sentence::sentence;
use super::stanza;
use super::token::Kind;
use crate::base::finding::Finding;
use crate::base::span::{Span, Spanned};
use crate::base::unit::Dimension;

/// Room made at first for the lines of a joint.
const USUAL_LINES: usize = 8;

/// The head after its first word.
pub(super) fn head(reader: &mut Reader, kind: Spanned<JointKind>, word: &str, problems: &mut Vec<Finding>) -> Joint {
    let head = reader.origin.span(reader.line());
    let lines = Vec::with_capacity(USUAL_LINES);
    let mut joint = Joint { kind, name: None, note: None, head, host: None, lines };
    let named = match stanza::head_name(reader, word) {
        Ok(name) => name,
        Err(problem) => {
            problems.push(*problem);
            return joint;
        }
    };
    joint.name = Some(named);
    let rest = host(reader, kind.value, &mut joint.host)
        .and_then(|()| stanza::end_of_head(reader, joint.host.as_ref().or(joint.name.as_ref())));
    match rest {
        Ok(note) => joint.note = note,
        Err(problem) => {
            problems.push(*problem);
            joint.lines.push(JointLine::Hole(head));
        }
    }
    joint
}

/// `in SURFACE`, `through SURFACE`.
fn host(reader: &mut Reader, kind: JointKind, host: &mut Option<Name>) -> Read<()> {
    let (word, form) = match kind {
        JointKind::Joint => return joint_near::no_host(reader),
        JointKind::Opening => ("in", "`opening NAME in SURFACE`"),
        JointKind::Penetration => ("through", "`penetration NAME through SURFACE`"),
    };
    let other = if word == "in" { "through" } else { "in" };
    if reader.is(other) {
        let message = format!("`{other}` does not fit here");
        return Err(unreadable(reader.here(), message, format!("write {form}")));
    }
    if !reader.take(word) {
        let missing = matches!(reader.kind(), Kind::End | Kind::Note);
        return Err(if missing {
            incomplete(reader.before(), "the surface it is in is missing", format!("write {form}"))
        } else {
            reader.expected(form)
        });
    }
    *host = Some(reader.name("a surface")?);
    Ok(())
}

/// One line of the body.
pub(super) fn line(reader: &mut Reader, joint: &mut Joint, problems: &mut Vec<Finding>) {
    let span = reader.origin.span(reader.line());
    if joint.lines.len() >= limits::JOINT_LINES {
        // Told once, at the line that is one too many; the hole keeps what is missing from being judged.
        if joint.lines.len() == limits::JOINT_LINES {
            let message = format!("this stanza has more than {} lines", limits::JOINT_LINES);
            problems.push(*limit(span, message, "split it into joints of their own"));
            joint.lines.push(JointLine::Hole(span));
        }
        return;
    }
    let before = problems.len();
    match one(reader, joint, span, problems) {
        Ok(line) => {
            // Pieces and sentences have taken their notes; here only the end can be.
            if problems.len() == before
                && let Err(problem) = reader.finish("the end of the line")
            {
                problems.push(*problem);
            }
            let edges = matches!(line, JointLine::Joins(..));
            joint.lines.push(line);
            if edges && problems.len() > before {
                joint.lines.push(JointLine::Hole(span));
            }
        }
        Err(problem) => {
            problems.push(*problem);
            joint.lines.push(JointLine::Hole(span));
        }
    }
}

/// What a joint lacks once all its lines are read.
pub(super) fn whole(joint: &Joint) -> Option<Box<Finding>> {
    let told = joint.lines.iter().any(|line| matches!(line, JointLine::Joins(..) | JointLine::Hole(_)));
    if joint.kind.value != JointKind::Joint || told {
        return None;
    }
    let span = joint.name.as_ref()?.span;
    let help = "name them on the first line below: `joins house top, flat high`; one free edge: `joins house top`";
    Some(incomplete(span, "this joint does not say which edges meet", help))
}

/// Whether a line at the left edge looks like one of a joint.
pub(super) fn belongs(line: &str) -> bool {
    let alone = ["fRsi", "moves"].iter().any(|word| word.eq_ignore_ascii_case(first_word(line)));
    alone || is_sentence(line)
}

/// How many words of a line can be no amounts.
pub(super) fn names(line: &str) -> usize {
    let first = first_word(line);
    if ["fRsi", "moves"].iter().any(|word| word.eq_ignore_ascii_case(first)) {
        return 1;
    }
    if first.eq_ignore_ascii_case("joins") { usize::MAX } else { super::sentence::names(line) }
}

fn one(reader: &mut Reader, joint: &Joint, span: Span, problems: &mut Vec<Finding>) -> Read<JointLine> {
    let Some(word) = reader.word() else {
        return Err(reader.expected("a piece (`NAME: MATERIAL`) or a sentence (`cap laps over frame 1 in`)"));
    };
    if let Some(label) = word.strip_suffix(':') {
        let label = joint_near::piece_label(reader, label)?;
        return Ok(JointLine::Piece(Box::new(piece(reader, label, problems))));
    }
    let mut ahead = *reader;
    ahead.bump();
    if ahead.word().is_some_and(begins_verb) {
        // `joins laps over x` would be a piece with an odd name: the verb decides.
    } else if reader.take("joins") || reader.take("join") {
        return joins(reader, joint, problems).map(|ends| JointLine::Joins(ends, span));
    } else if reader.take("frsi") {
        return factor(reader).map(JointLine::Factor);
    } else if reader.take("moves") {
        return moves(reader).map(|(by, way)| JointLine::Moves { by, way, span });
    } else if reader.is("not") && ahead.take("shown") {
        *reader = ahead;
        return Ok(JointLine::NotShown(span));
    }
    joint_near::no_line(reader)?;
    Ok(sentence(reader, problems).map_or(JointLine::Hole(span), |sentence| JointLine::Sentence(Box::new(sentence))))
}

/// `new left, old face`.
fn joins(reader: &mut Reader, joint: &Joint, problems: &mut Vec<Finding>) -> Read<Vec<EndRef>> {
    joint_near::joins_belongs(reader, joint)?;
    let mut ends = Vec::with_capacity(2);
    loop {
        let read = end(reader).and_then(|end| joint_near::end_ends(reader).map(|()| end));
        match read {
            Ok(end) => ends.push(end),
            Err(problem) => {
                problems.push(*problem);
                reader.skip_to(&[Kind::Comma, Kind::Note, Kind::OpenNote]);
            }
        }
        if !reader.take_kind(Kind::Comma) {
            break;
        }
    }
    Ok(ends)
}

fn factor(reader: &mut Reader) -> Read<Spanned<f64>> {
    const EXPECTED: &str = "a surface temperature factor from 0 to 1: `fRsi 0.82`";
    let Some(word) = reader.word() else { return Err(reader.expected(EXPECTED)) };
    match number::number(word) {
        Ok(("", figure)) if (0.0..=1.0).contains(&figure.value) => {
            reader.bump();
            Ok(Spanned::new(figure.value, reader.before()))
        }
        Ok(("", _)) => {
            let help = "write it as worked out, from 0 to 1: `fRsi 0.82`";
            Err(unreadable(reader.here(), format!("{} is no surface temperature factor", quote(word)), help))
        }
        _ => Err(reader.expected(EXPECTED)),
    }
}

fn moves(reader: &mut Reader) -> Read<(Amount, Spanned<Way>)> {
    let by = amount(reader, &[Dimension::Length])?;
    for (word, way) in [("across", Way::Across), ("along", Way::Along)] {
        if reader.take(word) {
            return Ok((by, Spanned::new(way, reader.before())));
        }
    }
    Err(reader.expected("`across` (apart and together) or `along` (past each other)"))
}
