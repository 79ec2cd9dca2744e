//! A sill, coping, cap, pan or tray with too little fall.

use super::part::{cut, does, flashing, ledge, name, pan, pieces, soft, uncovered, weigh, wet};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Slope;
use crate::base::show::fixed;
use crate::base::span::Span;
use crate::model::joint::{Piece, Thing, Toward};
use crate::rules::facts::{JointLook, Missing};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/level-ledge",
    summary: "a sill, coping, cap, pan or tray with too little fall",
    weight: Weight::Fix,
    page: include_str!("level_ledge.md"),
    run: Run::Joint(run),
};

/// Less is level in practice: the trade's usual tolerance (common practice, no source).
const LEVEL: Slope = Slope::new(0.02);
/// What a flashing should keep after the frame has shrunk (NBC of Canada 9.27.3.8, from memory).
const WANTED: Slope = Slope::new(0.06);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    // Behind a thing that stands through a roof water is led round it: a fall one way would not help.
    if !wet(look) || look.joint.kind == JointKind::Penetration {
        return;
    }
    for (thing, piece) in pieces(look) {
        let ledge = ledge(look, thing, piece) || shelf(look, thing);
        if !flashing(look, thing) && !ledge {
            continue;
        }
        // A ledge is judged by the trade's figure; what water runs on behind a cladding keeps more.
        let least = if ledge { LEVEL } else { WANTED };
        match fall(piece) {
            Ok(Some((slope, span))) if slope < least => sink.found(tell(look, thing, piece, slope, span)),
            Ok(None) if stands_out(look, thing, piece) => match look.whole() {
                Ok(()) => sink.found(tell_unsaid(look, thing, piece)),
                Err(missing) => sink.cannot(&missing),
            },
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// A trim board, or something stiff that stands out past a face, with nothing over it: a belt course, a head casing.
fn shelf(look: &JointLook<'_>, thing: Thing) -> bool {
    let kind = look.material(thing).map_or("", |m| m.kind());
    let stone = matches!(kind, "masonry" | "concrete" | "cladding" | "lumber");
    uncovered(look, thing) && (kind == "trim" || (stone && does(look, thing, Verb::RunsPast)))
}

/// The fall that is written, and where; none where nothing is said or it falls the wrong way.
fn fall(piece: &Piece) -> Result<Option<(Slope, Span)>, Missing> {
    if let Some(span) = piece.shape.level {
        return Ok(Some((Slope::new(0.0), span)));
    }
    match &piece.shape.slope {
        Some(fall) if fall.toward == Toward::Inward => Ok(None),
        Some(fall) if fall.slope.axis().is_some() && fall.slope.low().si() <= 0.0 => {
            Err(Missing::new(fall.span, format!("the fall of `{}` is not known", cut(&piece.name))))
        }
        Some(fall) => Ok(Some((fall.slope.low(), fall.span))),
        None => Ok(None),
    }
}

/// Whether a stiff piece lies across the way of water by all that is written, only its fall is not: a coping, or a cap or
/// tray with dams whose edge stands out or drains.
fn stands_out(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    let said = piece.shape.slope.is_some() || piece.shape.unread || piece.shape.existing;
    let out = does(look, thing, Verb::RunsPast) || does(look, thing, Verb::DrainsTo);
    let dammed = piece.shape.end_dams.is_some() && out;
    let pan = pan(look, thing, piece);
    !said && !pan && !soft(look, thing) && (dammed || ledge(look, thing, piece))
}

fn tell_unsaid(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> Finding {
    let called = name(look, thing);
    Finding::new(RULE.id, Weight::Watch, piece.span, format!("no fall is written for `{called}`"))
        .label("level, by what is written")
        .detail(format!(
            "Water stands on what lies level and finds its seams. {} has to be left when the frame has shrunk (NBC of Canada \
             9.27.3.8, from memory).",
            format_args!("{} %", fixed(WANTED.si() * 100.0, 1))
        ))
        .help(format!("write `slope 1:12 outward` for `{called}`, or to the side that drains"))
}

fn tell(look: &JointLook<'_>, thing: Thing, piece: &Piece, slope: Slope, span: Span) -> Finding {
    let called = name(look, thing);
    // A dam at the back of a pan keeps in what the fall does not lead out.
    let kept = pan(look, thing, piece) && piece.shape.back_dam.is_some();
    let weight = if slope < LEVEL && !kept { Weight::Fix } else { Weight::Watch };
    let percent = |s: Slope| format!("{} %", fixed(s.si() * 100.0, 1));
    let message = if slope.si() <= 0.0 {
        format!("`{called}` lies level")
    } else {
        format!("`{called}` falls only {}", percent(slope))
    };
    Finding::new(RULE.id, weigh(piece.shape.existing, weight), span, message)
        .label("too little fall")
        .also(piece.span, "stands in the wet")
        .detail(format!(
            "Below {} water stands on it (common practice, no source); {} has to be left when the frame has \
             shrunk (NBC of Canada 9.27.3.8, from memory).",
            percent(LEVEL),
            percent(WANTED)
        ))
        .help(format!("give `{called}` a `slope 1:12 outward`, or to the side that drains"))
        .number("slope", slope.si(), "1")
        .number("least", WANTED.si(), "1")
}
