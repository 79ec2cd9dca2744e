//! Weeps too far apart, or none where mortar closes the way out.

use super::cavity;
use super::part::{bears, crosses, does, either, name, pieces, show, under_coping, wet};
use super::seam;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::model::joint::{Link, Piece, Thing, Weeps};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/far-weeps",
    summary: "weeps too far apart, or none over a tray that carries brick",
    weight: Weight::Fix,
    page: include_str!("far_weeps.md"),
    run: Run::Joint(run),
};

/// Most that the code allows: 33 in (IRC 2018 R703.8.6, quoted).
const MOST: Length = Length::new(0.838_2);
/// Most where meters are used and no US code is named: an open joint every 1.20 m (NHBC 6.2.10, read).
const MOST_METRIC: Length = Length::new(1.2);
/// What the brick industry asks for, open head joints: 24 in (BIA Technical Note 7B, quoted).
const USUAL: Length = Length::new(0.609_6);
/// Metric figures are rounded to whole courses.
const ROUNDING: Length = Length::new(0.001);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) {
        return;
    }
    for (thing, piece) in pieces(look).filter(|(t, p)| closed_by_brick(look, *t, p)) {
        match look.whole() {
            Ok(()) => sink.found(none(look, thing, piece)),
            Err(missing) => sink.cannot(&missing),
        }
    }
    for link in &look.joint.links {
        let Some(weeps) = &link.weeps else { continue };
        let Some(spacing) = &weeps.spacing else { continue };
        match look.least(spacing, "how far apart the weeps are", weeps.span) {
            Ok(_) if spacing.high() > usual(look) + ROUNDING => sink.found(tell(look, link, weeps, spacing.high())),
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// What is asked for where the job stands.
fn usual(look: &JointLook<'_>) -> Length {
    if seam::british(look) && look.job.code.is_none() { MOST_METRIC } else { USUAL }
}

/// Whether brick or stone laid in mortar stands on a tray, so that its edge past the face lets nothing out, and no weeps
/// are written.
fn closed_by_brick(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> bool {
    let Some((end, cavity)) = crosses(look, thing) else { return false };
    let leaf = look.joint.surface(look.job, end).and_then(|s| s.layers.first()).and_then(cavity::material);
    let laid = leaf.is_some_and(cavity::laid) && cavity.gap > 0;
    let own = || look.joint.links.iter().filter(|l| l.subject.thing == thing);
    // A counterflashing let into the brick hangs below the tray.
    let let_in = own().any(|l| l.verb == Verb::TucksInto);
    // The metal edge under a sheet: the sheet is what lets water out.
    let edge = look.joint.links.iter().any(|l| {
        let over = l.verb == Verb::LapsOver && l.object.is_some_and(|o| o.thing == thing);
        over && does(look, l.subject.thing, Verb::DrainsTo)
    });
    let unsure = piece.shape.unread || own().any(|l| l.not_shown || l.unread);
    // Under the sill of a unit no course stands on it.
    let under_unit = look.joint.kind == JointKind::Opening && piece.places == [Spot::Sill];
    laid && !under_unit
        && !seam::upright(look)
        && !under_coping(look, thing)
        && !let_in
        && !edge
        && !unsure
        && !piece.shape.existing
        && !bears(look, thing)
        && !own().any(|l| l.weeps.is_some() || elsewhere(l))
}

/// Whether a sentence leads water to a gutter, a pipe or the like, which needs no opening in the courses.
fn elsewhere(link: &Link) -> bool {
    link.verb == Verb::DrainsTo && link.object.is_none_or(|o| o.thing != Thing::Outdoors)
}

fn none(look: &JointLook<'_>, thing: Thing, piece: &Piece) -> Finding {
    let called = name(look, thing);
    Finding::new(RULE.id, Weight::Fix, piece.span, format!("no weeps are written over `{called}`"))
        .label("mortar closes its edge")
        .detail(format!(
            "The courses above stand in mortar on it: what it catches leaves only through open head joints or other weeps, \
             at most {} apart (IRC 2018 R703.8.6, quoted).",
            show(look).length(MOST)
        ))
        .help(format!("write `{called} drains to outdoors, weeps at {}`", either(look, "600 mm oc", "24 in oc")))
}

fn tell(look: &JointLook<'_>, link: &Link, weeps: &Weeps, spacing: Length) -> Finding {
    let show = show(look);
    let most = if show.metric && look.job.code.is_none() { MOST_METRIC } else { MOST };
    let weight = if spacing > most + ROUNDING { Weight::Fix } else { Weight::Watch };
    Finding::new(RULE.id, weight, weeps.span, format!("weeps {} apart are too far", show.length(spacing)))
        .label("too far apart")
        .also(link.subject.span, "drains here")
        .detail(format!(
            "Water runs along `{}` until it meets a weep, and finds every fault on its way. At most {} (IRC 2018 R703.8.6, \
             quoted); {} for open head joints, {} for wicks (BIA Technical Note 7B, quoted). NHBC 6.2.10 (read) allows an \
             open joint every {}.",
            name(look, link.subject.thing),
            show.length(MOST),
            show.length(USUAL),
            show.length(Length::new(0.406_4)),
            show.length(MOST_METRIC),
        ))
        .help(format!("write `weeps at {}`", either(look, "600 mm oc", "24 in oc")))
        .number("spacing", spacing.si(), "m")
        .number("most", most.si(), "m")
}
