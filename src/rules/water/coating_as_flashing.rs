//! A coat of paint or repellent where a joint in masonry wants a flashing.

use super::edge::{flashing, porous};
use super::{name, seam, weigh};
use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::joint::{Link, Thing};
use crate::rules::facts::{JointLook, Missing};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/coating-as-flashing",
    summary: "a coat of paint where masonry wants a flashing",
    weight: Weight::Fix,
    page: include_str!("coating_as_flashing.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some((link, on))) => sink.found(tell(look, link, on)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn find<'a>(look: &JointLook<'a>) -> Result<Option<(&'a Link, Thing)>, Missing> {
    if !seam::wet(look) {
        return Ok(None);
    }
    let coats = |l: &&'a Link| {
        matches!(l.verb, Verb::LapsOver | Verb::SealsTo | Verb::Fills)
            && look.material(l.subject.thing).is_some_and(coat)
    };
    let found = look.joint.links.iter().filter(coats).find_map(|l| {
        let on = l.object?.thing;
        (on == Thing::Seam || look.material(on).is_some_and(porous)).then_some((l, on))
    });
    let Some((link, on)) = found else { return Ok(None) };
    // A coat over a flashing is a finish.
    if look
        .joint
        .pieces
        .iter()
        .any(|p| p.stuff.as_ref().and_then(|s| s.material).is_some_and(|m| flashing(m) && !coat(m)))
    {
        return Ok(None);
    }
    look.whole()?;
    Ok(Some((link, on)))
}

/// Paint, repellent, or a coat that is made for faces that no rain runs down.
fn coat(m: &Material) -> bool {
    m.kind() == "paint" || m.key() == "damp-proofing"
}

fn tell(look: &JointLook<'_>, link: &Link, on: Thing) -> Finding {
    Finding::new(
        RULE.id,
        weigh(look, Weight::Fix),
        link.span,
        format!("`{}` is a coat, and no flashing", name(look, link.subject.thing)),
    )
    .label("the only rain control here")
    .detail(format!(
        "A coat follows the face it is on: it cracks where `{}` cracks and spans no seam, and it keeps in the water that \
         gets behind it (a digest on old masonry, read; that it counts as no line of defense: common practice, no source).",
        look.name(on)
    ))
    .help("mend the face, flash the joint with metal or a bonded strip, and coat it last if at all")
}
