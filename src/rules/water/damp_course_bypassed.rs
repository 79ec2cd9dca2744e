//! A damp-proof course with a way round it.

use super::ties::{joined, material, quoted, said, same, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::base::span::Span;
use crate::model::joint::Thing;
use crate::model::layer::Layer;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/damp-course-bypassed",
    summary: "a damp-proof course that damp gets round",
    weight: Weight::Fix,
    page: include_str!("damp_course_bypassed.md"),
    run: Run::Joint(run),
};

/// How it is got round.
enum Way {
    /// The sheet of the floor does not come up to it: (sheet).
    Floor(Thing),
    /// Plaster, screed or mortar reaches past it: (which, where).
    Bridge(Thing, Span),
}

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let courses = courses(look);
    let Some(course) = courses.first().copied() else { return };
    for bridge in courses.iter().flat_map(|course| bridges(look, *course)) {
        sink.found(tell(look, course, &bridge));
    }
    let Some(sheet) = floor_sheet(look) else { return };
    // A tray higher up may be of the same stuff: one that is lapped is enough.
    if courses.iter().any(|course| joined(look, *course).contains(&sheet)) {
        return;
    }
    match look.whole() {
        Ok(()) => sink.found(tell(look, course, &Way::Floor(sheet))),
        Err(missing) => sink.cannot(&missing),
    }
}

/// Sheets that are made for it, and any sheet let into masonry.
fn courses(look: &JointLook<'_>) -> Vec<Thing> {
    let masonry = |t: Thing| look.material(t).is_some_and(|m| class::masonry(m) && class::porous(m));
    let course = |piece: &Thing| {
        let made = look.material(*piece).is_some_and(|m| matches!(m.key(), "plastic-dpc" | "bitumen-base-sheet"));
        let sheet = look.material(*piece).is_some_and(|m| class::membrane(m) && !class::self_adhered(m));
        made || (sheet && said(look, Verb::TucksInto).any(|(_, s, o)| same(s, *piece) && masonry(o)))
    };
    (0..look.joint.pieces.len()).map(Thing::Piece).filter(course).collect()
}

/// The sheet under or in a floor on the ground that ends at this joint.
fn floor_sheet(look: &JointLook<'_>) -> Option<Thing> {
    let on_soil = |s: &Surface| s.kind == SurfaceKind::Slab && matches!(s.last.place, SidePlace::Ground { .. });
    let sheet = |l: &Layer| material(l).is_some_and(|m| class::membrane(m) && !m.air_open());
    surfaces(look).filter(|(_, s)| on_soil(s)).find_map(|(end, s)| {
        let layer = s.layers.iter().position(sheet)?;
        Some(Thing::Layer { end, layer, half: None, part: None })
    })
}

fn bridges(look: &JointLook<'_>, course: Thing) -> Vec<Way> {
    let carries = |t: Thing| {
        look.material(t)
            .is_some_and(|m| class::porous(m) && (class::plaster(m) || m.kind() == "concrete" || m.key() == "mortar"))
    };
    let past = said(look, Verb::RunsPast).chain(said(look, Verb::LapsOver));
    let past = past.filter(|(_, s, o)| carries(*s) && same(*o, course)).map(|(l, s, _)| (s, l.span));
    let masonry =
        |t: Thing| t == Thing::Grade || look.material(t).is_some_and(|m| class::masonry(m) && class::porous(m));
    let down = said(look, Verb::Touches)
        .filter(|(_, s, o)| {
            look.material(*s).is_some_and(|m| class::plaster(m) && class::porous(m)) && masonry(*o) && other_end(*s, *o)
        })
        .map(|(l, s, _)| (s, l.span));
    past.chain(down).map(|(who, span)| Way::Bridge(who, span)).collect()
}

/// Plaster on its own wall is where it belongs; on a floor, a screed or soil it bridges.
fn other_end(a: Thing, b: Thing) -> bool {
    match (a, b) {
        (Thing::Layer { end: a, .. }, Thing::Layer { end: b, .. }) => a != b,
        _ => true,
    }
}

fn tell(look: &JointLook<'_>, course: Thing, way: &Way) -> Finding {
    let name = quoted(look, course);
    let span = look.piece(course).map_or(look.joint.span, |p| p.span);
    let (at, message, help) = match way {
        Way::Floor(sheet) => (
            span,
            format!("{name} and the floor's {} are not lapped", quoted(look, *sheet)),
            format!("let `{}` lap over `{}` 4 in, sealed", look.name(*sheet), look.name(course)),
        ),
        Way::Bridge(who, at) => (
            *at,
            format!("{} carries damp past {name}", quoted(look, *who)),
            format!("stop `{}` short of it 1/2 in, and close the gap with a bead or a base strip", look.name(*who)),
        ),
    };
    let finding = Finding::new(RULE.id, Weight::Fix, at, message).detail(
        "A damp-proof course is worth what the way round it is worth. Soil water rises in masonry, mortar and plaster, and \
         goes round an edge through the first porous thing that touches on both sides. The course in the wall and the \
         sheet of the floor are lapped, and nothing that draws water crosses them (common practice, no source).",
    );
    if at == span { finding.help(help) } else { finding.also(span, "the damp-proof course").help(help) }
}
