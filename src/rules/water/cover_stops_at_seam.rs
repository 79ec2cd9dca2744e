//! Cladding that ends on the line of the seam it should cover.

use super::edge::same;
use super::{falls_short, name, seam, show, weigh};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::unit::INCH;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/cover-stops-at-seam",
    summary: "cladding that ends on the seam it should cover",
    weight: Weight::Fix,
    page: include_str!("cover_stops_at_seam.md"),
    run: Run::Joint(run),
};

/// How far a cover passes the seam. Common practice, no source.
const LEAST: Length = Length::new(2.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &JointLook<'_>) -> Result<Option<Finding>, Missing> {
    let Some((cladding, face)) = tie_in(look) else { return Ok(None) };
    let covers: Vec<&Link> = look.joint.links.iter().filter(|l| covers(look, l, cladding, face)).collect();
    if covers.is_empty() {
        look.whole()?;
        return Ok(Some(nothing(look, cladding, face)));
    }
    let mut widest: Option<(Length, &Link)> = None;
    for link in covers {
        // A cover without a figure passes the seam; how far nobody has said.
        let Some(length) = &link.length else { return Ok(None) };
        let reach = look.least(length, "how far the cover passes the seam", link.span)?;
        widest = widest.filter(|(w, _)| *w >= reach).or(Some((reach, link)));
    }
    Ok(widest.filter(|(reach, _)| falls_short(*reach, LEAST)).map(|(reach, link)| short(look, link, reach)))
}

/// A clad wall that ends at the face of another, of another sort: its cladding, and that face.
fn tie_in(look: &JointLook<'_>) -> Option<(Thing, Thing)> {
    if !seam::wet(look) || !seam::upright(look) || seam::unlike(look).is_none() {
        return None;
    }
    let end = |wanted: fn(Option<Edge>) -> bool| look.joint.ends.iter().position(|e| wanted(e.edge));
    let (side, face) = (end(|e| matches!(e, Some(Edge::Left | Edge::Right)))?, end(|e| e == Some(Edge::Face))?);
    let (cladding, material, _) = seam::outer(look, side)?;
    let (face, _, _) = seam::outer(look, face)?;
    let clad = class::cladding(material) || matches!(material.kind(), "lumber" | "trim" | "wood-panel");
    clad.then_some((cladding, face))
}

/// Whether something laps over the seam: by name, or from the cladding or a trim on to the face.
fn covers(look: &JointLook<'_>, link: &Link, cladding: Thing, face: Thing) -> bool {
    let Some(object) = link.object.map(|o| o.thing) else { return false };
    let past = match link.verb {
        Verb::LapsOver => object == Thing::Seam || same(object, face),
        Verb::RunsPast => object == Thing::Seam,
        _ => false,
    };
    // Metal let into the face crosses the seam to what it laps.
    let let_in = |l: &Link| {
        let into = l.verb == Verb::TucksInto && same(l.subject.thing, link.subject.thing);
        into && l.object.is_some_and(|o| same(o.thing, face))
    };
    if link.verb == Verb::LapsOver && same(object, cladding) && look.joint.links.iter().any(let_in) {
        return true;
    }
    // What is glued under the cladding is the seal, not its cover.
    let subject = link.subject.thing;
    past && (object == Thing::Seam || same(subject, cladding) || look.material(subject).is_some_and(outboard))
}

/// What stands in the weather.
pub(super) fn outboard(m: &crate::catalog::Material) -> bool {
    class::cladding(m) || class::metal(m) || matches!(m.kind(), "trim" | "lumber")
}

fn nothing(look: &JointLook<'_>, cladding: Thing, face: Thing) -> Finding {
    let needs = show(look, LEAST);
    let finding = Finding::new(
        RULE.id,
        weigh(look, Weight::Fix),
        look.joint.span,
        format!("`{}` ends on the seam to `{}`", name(look, cladding), name(look, face)),
    )
    .label("nothing laps over the seam")
    .detail(format!(
        "Where a cover stops on the line of the seam, rain and sun get at the seal behind it. A cover passes the seam by \
         {needs} or more, better by 3 to 4 in or 75 to 100 mm (common practice, no source)."
    ))
    .help(format!("add a return or trim as a piece, and `return laps over seam {needs}`"));
    let line = look.layer(cladding).map(|l| l.span);
    line.into_iter().fold(finding, |f, span| f.also(span, "stops here"))
}

fn short(look: &JointLook<'_>, link: &Link, reach: Length) -> Finding {
    let (has, needs) = (show(look, reach), show(look, LEAST));
    Finding::new(
        RULE.id,
        weigh(look, Weight::Fix),
        link.length_span.unwrap_or(link.verb_span),
        format!("`{}` passes the seam by {has} only", name(look, link.subject.thing)),
    )
    .label(format!("needs {needs}"))
    .detail(format!(
        "Driven rain reaches in past {has}; a cover passes the seam by {needs} (common practice, no source)."
    ))
    .help(format!("write `{} laps over seam {needs}`", look.name(link.subject.thing)))
    .number("cover", reach.si(), "m")
    .number("least_cover", LEAST.si(), "m")
}
