//! A sill pan that can spill into the room.

use super::part::{name, pan, pieces, show, weigh, wet};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::model::joint::{Dam, Piece, Thing, Toward};
use crate::rules::facts::{JointLook, Missing};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "water/open-pan-back",
    summary: "a sill pan with neither a back dam nor a fall outward",
    weight: Weight::Stop,
    page: include_str!("open_pan_back.md"),
    run: Run::Joint(run),
};

/// Lowest back dam: 6 mm, more with the wind (handbook figure, from memory).
const LEAST: Length = Length::new(0.006);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) {
        return;
    }
    for (thing, piece) in pieces(look).filter(|(t, p)| pan(look, *t, p)) {
        sink.take(judge(look, thing, piece));
    }
}

fn judge(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> Result<Option<Finding>, Missing> {
    let falls = piece.shape.slope.as_ref().is_some_and(|f| f.toward != Toward::Inward && f.slope.high().si() > 0.0);
    match &piece.shape.back_dam {
        _ if falls => Ok(None),
        Some(dam) => low(look, thing, dam),
        None if piece.shape.unread => Err(Missing::new(piece.line, "a word of its shape could not be read")),
        None => {
            look.whole()?;
            Ok(Some(absent(look, thing, piece)))
        }
    }
}

fn absent(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> Finding {
    let called = name(look, thing);
    let words =
        if show(look).metric { "slope 1:12 outward, back dam 20 mm" } else { "slope 1:12 outward, back dam 3/4 in" };
    Finding::new(
        RULE.id,
        weigh(piece.shape.existing, Weight::Stop),
        piece.span,
        format!("`{called}` has no back dam and no fall outward"),
    )
    .label("spills inward")
    .detail(
        "A pan catches what leaks through the unit; wind then pushes it over an open back into the room. A pan has a dam at \
         its back or falls outward (an information sheet on pan flashing, read; a fall of 1/8 in over its depth in a public \
         guide, quoted); both are better.",
    )
    .help(format!("add `{words}` to `{called}`"))
}

fn low(look: &JointLook<'_>, thing: Thing, dam: &Dam) -> Result<Option<Finding>, Missing> {
    let Some(high) = &dam.high else { return Ok(None) };
    let high = look.least(high, "how high its back is turned up", dam.span)?;
    if high >= LEAST {
        return Ok(None);
    }
    let (show, called) = (show(look), name(look, thing));
    Ok(Some(
        Finding::new(
            RULE.id,
            Weight::Fix,
            dam.span,
            format!("the back dam of `{called}` is only {} high, and it has no fall", show.length(high)),
        )
        .label("low")
        .detail(format!(
            "Wind pushes water up a level pan: a back dam is at least {} high, more where the wind is strong (handbook \
             figure, from memory).",
            show.length(LEAST)
        ))
        .help(format!(
            "turn the back of `{called}` up {}, or slope it outward",
            if show.metric { "20 mm" } else { "3/4 in" }
        ))
        .number("back_dam", high.si(), "m")
        .number("least", LEAST.si(), "m"),
    ))
}
