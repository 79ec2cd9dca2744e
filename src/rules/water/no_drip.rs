//! An edge in the weather that lets water run back along its underside.

use super::part::{does, either, flashing, ledge, name, pieces, show, weigh, wet};
use super::seam;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::model::joint::{Link, Piece, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/no-drip",
    summary: "an edge in the weather without a drip",
    weight: Weight::Fix,
    page: include_str!("no_drip.md"),
    run: Run::Joint(run),
};

/// A drip that stands out less does not throw water clear (NBC of Canada 9.27.3.8, from memory).
const LEAST: Length = Length::new(0.005);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    // Along an upright seam nothing drips, and a flange on a roof lies flat.
    if !wet(look) || look.joint.kind == JointKind::Penetration || seam::upright(look) {
        return;
    }
    for (thing, piece) in pieces(look).filter(|(t, _)| stiff(look, *t)) {
        let past = look.joint.links.iter().find(|l| l.verb == Verb::RunsPast && l.subject.thing == thing);
        // A beam or a board that runs on is no edge in the weather unless it is a coping or a sill.
        let past = past.filter(|_| bent(look, thing) || ledge(look, thing, piece));
        let drips = piece.shape.drip || piece.shape.hemmed;
        match past {
            Some(link) if drips => match measured(look, link) {
                Ok(length) if length < LEAST => sink.found(small(look, thing, piece, link, length)),
                Ok(_) => {}
                Err(missing) => sink.cannot(&missing),
            },
            Some(link) => told(look, sink, thing, piece, Some(link)),
            None if !drips && ledge(look, thing, piece) && !ends_elsewhere(look, thing) => {
                told(look, sink, thing, piece, None);
            }
            None => {}
        }
    }
}

/// What can have a drip: metal, stone, wood; a sheet cannot.
fn stiff(look: &JointLook<'_>, thing: Thing) -> bool {
    let solid = |m: &crate::catalog::Material| {
        matches!(m.kind(), "metal" | "flashing" | "trim" | "lumber" | "masonry" | "concrete" | "cladding")
    };
    look.material(thing).is_some_and(solid)
        && !(flashing(look, thing) && look.material(thing).is_some_and(class::membrane))
}

/// Bent or formed to lead water.
fn bent(look: &JointLook<'_>, thing: Thing) -> bool {
    look.material(thing).is_some_and(|m| matches!(m.kind(), "metal" | "flashing" | "trim"))
}

/// Its edge is spoken of: it drains, lies flush or falls short, which other rules look at.
fn ends_elsewhere(look: &JointLook<'_>, thing: Thing) -> bool {
    [Verb::DrainsTo, Verb::RunsTo, Verb::StopsShort].into_iter().any(|v| does(look, thing, v))
}

fn measured(look: &JointLook<'_>, link: &Link) -> Result<Length, Missing> {
    let unsaid = || Missing::new(link.verb_span, "how far it runs past is not said");
    look.least(link.length.as_ref().ok_or_else(unsaid)?, "how far it runs past", link.length_span.unwrap_or(link.span))
}

fn told(look: &JointLook<'_>, sink: &mut Sink, thing: Thing, piece: &Piece, past: Option<&Link>) {
    let whole = if piece.shape.unread {
        Err(Missing::new(piece.line, "a word of its shape could not be read"))
    } else {
        look.whole()
    };
    match whole {
        Ok(()) => sink.found(tell(look, thing, piece, past)),
        Err(missing) => sink.cannot(&missing),
    }
}

fn tell(look: &JointLook<'_>, thing: Thing, piece: &Piece, past: Option<&Link>) -> Finding {
    let called = name(look, thing);
    // An edge that stands out wets the face for sure; where nothing is said of the edge it is looked at on site.
    let (weight, message) = match past {
        Some(_) => (Weight::Fix, format!("`{called}` runs past the face without a drip")),
        None => (Weight::Watch, format!("`{called}` lies in the weather, and no drip is written")),
    };
    let (clear, usual) = (either(look, "5 mm", "3/16 in"), either(look, "6 to 13 mm", "1/4 to 1/2 in"));
    let finding = Finding::new(RULE.id, weigh(piece.shape.existing, weight), piece.span, message)
        .label("no drip")
        .detail(format!(
            "Water clings to a plain edge and runs back along its underside into the joint below. A drip stands out at \
             least {clear} (NBC of Canada 9.27.3.8, from memory), {usual} as a rule (common practice, no source)."
        ))
        .help(format!("add `drip` to `{called}`, and let it run past the face by {usual}"));
    match past {
        Some(link) => finding.also(link.verb_span, "stands out here"),
        None => finding,
    }
}

fn small(look: &JointLook<'_>, thing: Thing, piece: &Piece, link: &Link, length: Length) -> Finding {
    let show = show(look);
    let called = name(look, thing);
    Finding::new(
        RULE.id,
        Weight::Watch,
        link.length_span.unwrap_or(link.verb_span),
        format!("the drip of `{called}` stands out only {}", show.length(length)),
    )
    .label("too little")
    .also(piece.span, "its drip")
    .detail(format!(
        "Water bridges so narrow a step. A drip stands out at least {} (NBC of Canada 9.27.3.8, from memory).",
        show.length(LEAST)
    ))
    .help(format!("let `{called}` run past the face by {} or more", either(look, "10 mm", "3/8 in")))
    .number("stands_out", length.si(), "m")
    .number("least", LEAST.si(), "m")
}
