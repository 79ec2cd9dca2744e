//! A layer that is relied on for water and lets it through.

use super::edge::sheet;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::base::span::Span;
use crate::base::unit::INCH;
use crate::catalog::{Material, Seams};
use crate::graph::exposure;
use crate::model::layer::{Body, Fill, Layer, Members, Treatment};
use crate::model::surface::SidePlace;
use crate::rules::facts::section::fill;
use crate::rules::facts::{Look, Missing, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Control;

pub(super) const RULE: Rule = Rule {
    id: "water/leaky-water-layer",
    summary: "a layer relied on for water that lets it through",
    weight: Weight::Stop,
    page: include_str!("leaky_water_layer.md"),
    run: Run::Surface(run),
};

/// Level laps of sheets on a wall, IRC section R703.2 (read).
const LAP: Length = Length::new(2.0 * INCH);

/// Why siding is no water layer behind something else.
const SIDING: &str = "Siding sheds rain as the face of a building. Behind something else it is the second line, and what runs \
                      there gets in at its laps, glued or not (common practice, no source).";

/// A leaf of masonry is thinner than this, and a wall that holds its rain is thicker. Own choice.
const LEAF: Length = Length::new(6.0 * INCH);

/// Why one leaf of masonry is no water layer.
const VENEER: &str = "Rain goes through the joints of one leaf of brick, block or stone and runs down its back: what stands \
                      behind it keeps the water out (IRC sections R703.2 and R703.8, from memory; common practice).";

/// What is wrong with a water layer.
struct Fault {
    weight: Weight,
    span: Span,
    message: String,
    why: &'static str,
    help: &'static str,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    if exposure::weather_side(look.surface).is_none() {
        return;
    }
    let rained_on = matches!(look.surface.first.place, SidePlace::Outdoors);
    let claims = |l: &&Layer| l.relied_on.iter().any(|c| c.value == Control::Water);
    for (index, layer) in look.surface.layers.iter().enumerate().filter(|(_, l)| claims(l)) {
        let found = match of_material(look, index, layer) {
            Ok(None) if rained_on => of_seams(look, index, layer),
            found => found,
        };
        match found {
            Ok(Some(fault)) => sink.found(tell(look, layer, fault)),
            Ok(None) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// What no lap, tape or glue makes tight.
fn of_material(look: &Look<'_>, index: usize, layer: &Layer) -> Result<Option<Fault>, Missing> {
    Ok(lets_through(look, index, layer)?.map(|why| Fault {
        weight: Weight::Stop,
        span: layer.stuff_span,
        message: format!("`{}` is of what lets water through", label(layer)),
        why,
        help: "put in a sheet made for it, such as `wrap: housewrap, lapped 6 in`, and move `-> water` to that",
    }))
}

/// How water gets through a layer whatever is done to its seams: through all that it is made of.
fn lets_through(look: &Look<'_>, index: usize, layer: &Layer) -> Result<Option<&'static str>, Missing> {
    let unfilled = |m: &Members| matches!(m.fill, Fill::Unknown(_));
    if matches!(layer.body, Body::Hole) || matches!(&layer.body, Body::Members(m) if unfilled(m)) {
        return Err(Missing::new(layer.stuff_span, format!("layer `{}` could not be resolved", layer.label)));
    }
    let stuffs = fill(layer, &look.draw);
    if stuffs.is_empty() {
        return Ok(Some("Air stops no water, nor do members with nothing between them (by reasoning)."));
    }
    let Some(materials) = stuffs.iter().map(|s| s.material).collect::<Option<Vec<&Material>>>() else {
        let what = format!("whether what `{}` is made of keeps water out is not known", layer.label);
        return Err(Missing::new(layer.stuff_span, what));
    };
    let siding = |m: &Material| index > 0 && m.kind() == "cladding" && m.seams() == Seams::LappedCladding;
    let thin = stuffs.iter().all(|s| s.thickness.is_some_and(|t| t.at(&look.draw) < LEAF));
    // Of two leaves the outer one is the first line, and the cavity before the inner one the second.
    let stone = |l: &Layer| {
        fill(l, &look.draw).iter().any(|s| s.material.is_some_and(|m| matches!(m.kind(), "masonry" | "concrete")))
    };
    let one = !look.surface.layers.iter().skip(index + 1).any(stone);
    let leaf = |m: &Material| thin && one && m.seams() == Seams::Units && m.family() != "glass";
    let ways = materials
        .iter()
        .map(|m| class::rain_through(m).or_else(|| siding(m).then_some(SIDING)).or_else(|| leaf(m).then_some(VENEER)));
    let ways: Option<Vec<&str>> = ways.collect();
    Ok(ways.and_then(|w| w.first().copied()))
}

fn of_seams(look: &Look<'_>, index: usize, layer: &Layer) -> Result<Option<Fault>, Missing> {
    let Body::Sheet(choice) = &layer.body else { return Ok(None) };
    let Some(material) = choice.at(&look.draw).and_then(|s| s.material) else { return Ok(None) };
    let name = label(layer);
    let span = layer.seams.span.unwrap_or(layer.span);
    if layer.seams.reversed {
        return Ok(Some(Fault {
            weight: Weight::Stop,
            span,
            message: format!("the laps of `{name}` catch water"),
            why: "Water that runs down goes in at every lap: the upper course lies on the weather side (IRC 2015 section \
                  R703.2, read in a state's text).",
            help: "lay the courses from the bottom up, the upper one over the lower",
        }));
    }
    match layer.seams.treatment {
        Treatment::Unknown => {
            Err(Missing::new(span, format!("how the seams of `{}` are closed is not known", layer.label)))
        }
        Treatment::Partly => Ok(Some(Fault {
            weight: Weight::Fix,
            span,
            message: format!("the seams of `{name}` are closed in part only"),
            why: "Rain takes the seam that was left out (by reasoning).",
            help: "close every seam, and write it without `partly`",
        })),
        Treatment::Open => of_open(layer, material, &name),
        Treatment::Lapped if sheet(material) => {
            of_lap(look, layer, &name).map(|f| f.or_else(|| of_pins(index, material, layer)))
        }
        _ => Ok(of_pins(index, material, layer)),
    }
}

/// Boards butt: their seams are open until something closes them. A sheet's lap has to be said.
fn of_open(layer: &Layer, material: &Material, name: &str) -> Result<Option<Fault>, Missing> {
    match material.seams() {
        Seams::Boards if material.kind() != "cladding" => Ok(Some(Fault {
            weight: Weight::Stop,
            span: layer.seams.span.unwrap_or(layer.span),
            message: format!("the seams of `{name}` are open to rain"),
            why: "Boards butt, and water runs through a butted seam to what lies behind (common practice, no source).",
            help: "tape every seam and write `taped`, or put a lapped sheet behind the cladding",
        })),
        Seams::Sheet if sheet(material) => {
            Err(Missing::new(layer.span, format!("how far the courses of `{}` lap is not written", layer.label)))
        }
        _ => Ok(None),
    }
}

fn of_lap(look: &Look<'_>, layer: &Layer, name: &str) -> Result<Option<Fault>, Missing> {
    let Some(lap) = &layer.seams.lap else { return Ok(None) };
    let lap = lap.at(&look.draw);
    if lap.si() >= LAP.si() - 5e-4 {
        return Ok(None);
    }
    let show = Show { metric: look.job.metric };
    Ok(Some(Fault {
        weight: Weight::Stop,
        span: layer.seams.span.unwrap_or(layer.span),
        message: format!("`{name}` laps by {}, less than {}", show.length(lap), show.length(LAP)),
        why: "Wind pushes rain up past a short lap: level laps of sheets reach 2 in, 51 mm (IRC 2015 section R703.2, read in \
              a state's text).",
        help: "lap the courses by 6 in or 150 mm, which serves level and upright laps",
    }))
}

/// Sheets with pin holes pass water where it is held against them.
fn of_pins(index: usize, material: &Material, layer: &Layer) -> Option<Fault> {
    (material.key() == "housewrap-perforated" && index > 0).then(|| Fault {
        weight: Weight::Fix,
        span: layer.stuff_span,
        message: format!("`{}` is full of pin holes", label(layer)),
        why: "Water that cladding holds against a perforated sheet comes through its pin holes (common practice, no source).",
        help: "use a sheet without holes, such as `housewrap`",
    })
}

fn tell(look: &Look<'_>, layer: &Layer, fault: Fault) -> Finding {
    let stands = layer.words.existing || look.surface.facts.existing;
    let weight = if stands { Weight::Watch } else { fault.weight };
    Finding::new(RULE.id, weight, fault.span, fault.message)
        .label("relied on for water")
        .detail(fault.why)
        .help(fault.help)
}
