//! Thin render on insulation on a frame, with nothing behind it that keeps water out and lets it run off.

use super::cavity::{cavity, material, outdoors, over_room, plastered, rain, sheet};
use crate::base::finding::{Finding, Weight};
use crate::model::layer::{Body, Layer};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Control, Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "water/undrained-render",
    summary: "render on insulation on a frame, with no sheet and no way out behind it",
    weight: Weight::Stop,
    page: include_str!("undrained_render.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let wall = surface.kind == SurfaceKind::Wall && outdoors(surface) && over_room(surface);
    // Stucco that soaks up rain is judged by the number of its sheets.
    let soaking = plastered(surface).is_some();
    if !wall || soaking || cavity(surface).is_some() || rain(look.job, surface) == Rain::Sheltered {
        return;
    }
    let Some((render, rest)) = surface.layers.split_first() else { return };
    let rendered = material(render).is_some_and(class::plaster);
    let frame = rest.iter().position(|l| matches!(l.body, Body::Members(_)));
    let Some(outer) = frame.and_then(|at| rest.get(..at)).filter(|_| rendered) else { return };
    let on_board = outer.first().and_then(material).is_some_and(class::insulation);
    let line = |l: &Layer| {
        l.relied_on.iter().any(|c| c.value == Control::Water)
            || material(l).is_some_and(|m| sheet(m) || class::masonry(m))
            || matches!(l.body, Body::Gap(_) | Body::Hole)
    };
    if on_board && !outer.iter().any(line) {
        sink.found(tell(look, render, outer.iter().find(harmed).or(outer.last())));
    }
}

fn harmed(layer: &&Layer) -> bool {
    material(layer).is_some_and(|m| class::sensitive(m) || m.kind() == "gypsum-board")
}

fn tell(look: &Look<'_>, render: &Layer, behind: Option<&Layer>) -> Finding {
    let weight = if look.surface.facts.existing { Weight::Watch } else { Weight::Stop };
    let mut finding = Finding::new(
        RULE.id,
        weight,
        render.stuff_span,
        format!("`{}` is the only line, and what gets behind it stays", label(render)),
    )
    .label("no way out behind it")
    .detail(
        "Water comes in at windows, edges and cracks, and insulation glued to its board holds it there. A frame wall has a \
         sheet or coating between such render and its sheathing (IRC 2018 section R703.9, read), with ribs or a gap that \
         drain to the foot (common practice, no source).",
    )
    .help(
        "coat the sheathing and keep a way open: `coat: liquid-membrane-open 40 mil -> water` and \
         `drain: air 1/8 in, open bottom` behind the insulation",
    );
    if let Some(layer) = behind {
        finding = finding.also(layer.span, "wetted");
    }
    finding
}
