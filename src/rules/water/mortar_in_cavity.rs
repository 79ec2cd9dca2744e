//! A narrow brick cavity over a tray, with nothing to keep mortar off it.

use super::cavity::{laid, mat, material};
use super::part::{crosses, cut, ends, name, pieces, show, wet};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::model::joint::{Piece, Thing};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{JointKind, Spot};

pub(super) const RULE: Rule = Rule {
    id: "water/mortar-in-cavity",
    summary: "a narrow brick cavity with nothing to keep mortar off its tray",
    weight: Weight::Watch,
    page: include_str!("mortar_in_cavity.md"),
    run: Run::Joint(run),
};

/// A cavity this wide can be kept clean (an institute detail asks for 2 in clear, read; the cut-off: common practice).
const CLEAR: Length = Length::new(0.050);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !wet(look) || look.joint.links.iter().any(|l| look.material(l.subject.thing).is_some_and(mat)) {
        return;
    }
    for (thing, piece) in pieces(look) {
        // Over a sill stands the unit, no brick.
        if look.joint.kind == JointKind::Opening && piece.places == [Spot::Sill] {
            continue;
        }
        let Some((end, cavity)) = crosses(look, thing) else { continue };
        let brick = ends(look)
            .find(|(e, ..)| *e == end)
            .and_then(|(_, _, s)| s.layers.first())
            .filter(|l| material(l).is_some_and(laid));
        let Some(depth) = cavity.depth.filter(|_| brick.is_some()) else { continue };
        if depth.sure().is_none_or(|d| d >= CLEAR) {
            continue;
        }
        match look.whole() {
            Ok(()) => {
                let found = tell(look, thing, piece, depth.low());
                sink.found(found.also(cavity.layer.span, format!("`{}`", cut(&cavity.layer.label))));
            }
            Err(missing) => sink.cannot(&missing),
        }
    }
}

fn tell(look: &JointLook<'_>, thing: Thing, piece: &Piece, depth: Length) -> Finding {
    let (show, called) = (show(look), name(look, thing));
    Finding::new(RULE.id, Weight::Watch, piece.span, format!("nothing keeps mortar off `{called}` in the cavity"))
        .label("mortar lands here")
        .detail(format!(
            "Mortar squeezed out of the bed joints falls on the tray and shuts the weeps. The cavity is {} wide; below {} it \
             cannot be kept clean by hand (an institute detail with {} clear, read; the cut-off is common practice).",
            show.length(depth),
            show.length(CLEAR),
            show.length(CLEAR)
        ))
        .help(format!("add `mesh: drainage-mat` and `mesh touches {called}`, and look with a mirror before it is closed"))
        .number("gap", depth.si(), "m")
        .number("clear", CLEAR.si(), "m")
}
