//! Insulation whose written R and thickness do not go together.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Conductivity, Length};
use crate::base::show::{Show, fixed};
use crate::catalog::{Material, Seams};
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff};
use crate::model::value::Origin;
use crate::rules::facts::section::stands;
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/unlikely-insulation",
    summary: "insulation with an R that its thickness can't have",
    weight: Weight::Watch,
    page: include_str!("unlikely_insulation.md"),
    run: Run::Surface(run),
};

/// A product that conducts less than this share of the generic figure, or more than this many times it, is not that
/// material. Twice the spread that `docs/sources.md` gives for insulation, and more: our own choice.
const BEST: f64 = 0.7;
const WORST: f64 = 1.6;

fn run(look: &Look<'_>, sink: &mut Sink) {
    for layer in &look.surface.layers {
        for (stuff, filled) in parts(look, layer) {
            let Some(material) = stuff.material.filter(|m| class::insulation(m) && m.seams() != Seams::Batts) else {
                continue;
            };
            if let Some((written, depth)) = written(look, stuff, filled)
                && let Some(generic) = material.conductivity()
                && !(BEST..=WORST).contains(&(written.si() / generic.si()))
            {
                sink.found(tell(look, layer, (stuff, material), (written, generic, depth)));
            }
        }
    }
}

/// What a layer holds, and whether its depth is that of the bays.
fn parts<'a>(look: &Look<'a>, layer: &'a Layer) -> Vec<(&'a Stuff, bool)> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(&look.draw).into_iter().map(|s| (s, false)).collect(),
        Body::Members(members) => match &members.fill {
            Fill::Parts(parts) => parts
                .iter()
                .filter_map(|p| if let BayPart::Stuff(stuff) = p { Some((stuff, true)) } else { None })
                .collect(),
            Fill::Unknown(_) => Vec::new(),
        },
        Body::Panel(parts) => parts.iter().map(|s| (s, false)).collect(),
        Body::Gap(_) | Body::Hole => Vec::new(),
    }
}

/// The conductivity that the written figures come to; none where it is the catalog's or a figure is open.
fn written(look: &Look<'_>, stuff: &Stuff, filled: bool) -> Option<(Conductivity, Length)> {
    let by_hand = |origin: Origin| matches!(origin, Origin::Written(_));
    let thickness = stuff.thickness.as_ref().filter(|t| t.axis().is_none())?;
    let depth = thickness.at(&look.draw);
    if let Some(conductivity) = stuff.conductivity.filter(|c| by_hand(c.origin) && c.axis().is_none()) {
        return Some((conductivity.at(&look.draw), depth));
    }
    let resistance = stuff.resistance.filter(|r| by_hand(r.origin) && r.axis().is_none())?.at(&look.draw);
    ((by_hand(thickness.origin) || filled) && resistance.si() > 0.0).then(|| (depth / resistance, depth))
}

fn tell(
    look: &Look<'_>,
    layer: &Layer,
    (stuff, material): (&Stuff, &Material),
    (written, generic, depth): (Conductivity, Conductivity, Length),
) -> Finding {
    let show = Show { metric: look.job.metric };
    let (has, usual) = (depth / written, depth / generic);
    let better = written < generic;
    let standing = if stands(look.surface, layer) { " as found" } else { "" };
    Finding::new(
        RULE.id,
        Weight::Watch,
        stuff.span,
        format!(
            "{} of `{}` is written as {}, usual is {}",
            show.length(depth),
            label(layer),
            show.resistance(has),
            show.resistance(usual)
        ),
    )
    .detail(format!(
        "As written{standing} it conducts {} W/(m.K); {} conducts {} ({}). That is {} than products of the kind \
         spread, so a figure or the name is wrong, or the R is that of more than this layer (by reasoning; the \
         bounds, {BEST} and {WORST} times, are our own choice).",
        fixed(written.si(), 3),
        material.key(),
        fixed(generic.si(), 3),
        material.heat_source().map_or("by the catalog", |c| c.access.words()),
        if better { "better" } else { "worse" }
    ))
    .help(format!("write {} for {}, or name the product's sheet in a note", show.resistance(usual), show.length(depth)))
    .number("conductivity_written", written.si(), "W/(m.K)")
    .number("conductivity_usual", generic.si(), "W/(m.K)")
}
