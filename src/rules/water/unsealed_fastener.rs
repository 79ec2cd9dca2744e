//! A fastener through something on which water stands or runs, and nothing seals its hole.

use super::roofs::low_slope;
use super::seam;
use super::ties::{held, quoted, said};
use crate::base::finding::{Finding, Weight};
use crate::model::joint::{Link, Piece, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/unsealed-fastener",
    summary: "an open fastener hole where water stands or runs",
    weight: Weight::Fix,
    page: include_str!("unsealed_fastener.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) {
        return;
    }
    for (link, _, under) in said(look, Verb::FastensThrough).filter(|(_, _, under)| runs(look, *under)) {
        let open = !held(&link.hold) && link.with.is_none() && !link.not_shown && !link.unread;
        if open {
            sink.found(tell(look, link, under));
        }
    }
}

/// A pan, tray, coping or sill by its shape, or the sheet of a low slope.
fn runs(look: &JointLook<'_>, thing: Thing) -> bool {
    if let Some(piece) = look.piece(thing) {
        let m = piece.stuff.as_ref().and_then(|s| s.material);
        return m.is_some_and(|m| class::metal(m) || class::membrane(m) || m.kind() == "flashing")
            && holds(look, piece);
    }
    let roof = look.surface(thing).is_some_and(low_slope);
    roof && look.layer(thing).is_some() && look.material(thing).is_some_and(class::membrane)
}

fn holds(look: &JointLook<'_>, piece: &Piece) -> bool {
    let shape = &piece.shape;
    let drains =
        said(look, Verb::DrainsTo).any(|(l, _, _)| look.piece(l.subject.thing).is_some_and(|p| p.span == piece.span));
    shape.slope.is_some() || shape.level.is_some() || shape.end_dams.is_some() || shape.back_dam.is_some() || drains
}

fn tell(look: &JointLook<'_>, link: &Link, under: Thing) -> Finding {
    let (who, what) = (quoted(look, link.subject.thing), quoted(look, under));
    let other = match under {
        Thing::Piece(_) | Thing::Other { .. } => look.piece(under).map(|p| p.span),
        _ => look.layer(under).map(|l| l.span),
    };
    let finding = Finding::new(RULE.id, Weight::Fix, link.span, format!("{who} is fastened through {what}, unsealed"))
        .label("an open hole")
        .detail(
            "What lies flat or carries water is under water at every hole, if only for a moment in each rain; a screw \
             leads it straight into the wood below (common practice, no source). On a slope that sheds, or behind an \
             upright face, it would matter less.",
        )
        .help("move the fasteners to an upright leg, or write `sealed`: through a self-adhered strip or with washers");
    match other {
        Some(span) => finding.also(span, "water runs on this"),
        None => finding,
    }
}
