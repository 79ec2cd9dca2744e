//! A wall or roof in which nothing keeps out the rain that gets past its cladding.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::catalog::{Material, Seams};
use crate::model::layer::{Body, Layer};
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{Look, Missing, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Control, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "water/no-water-layer",
    summary: "nothing behind the cladding keeps rain out",
    weight: Weight::Stop,
    page: include_str!("no_water_layer.md"),
    run: Run::Surface(run),
};

/// From here a masonry wall takes rain up and gives it back instead of passing it on. Common practice, no source.
const MASS: Length = Length::new(0.19);
/// Boards whose face and tongues shed water as they come.
const SHEDDING: [&str; 1] = ["wood-fiber-sheathing"];

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some((cladding, harmed))) => sink.found(tell(look, cladding, harmed)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// The leaky cladding and the first layer that its water harms.
fn find<'a>(look: &Look<'a>) -> Result<Option<(&'a Layer, &'a Layer)>, Missing> {
    let surface = look.surface;
    if !in_rain(surface) || surface.layers.iter().any(|l| l.relied_on.iter().any(|c| c.value == Control::Water)) {
        return Ok(None);
    }
    let Some((cladding, rest)) = surface.layers.split_first() else { return Ok(None) };
    if !material(look, cladding).is_some_and(leaky) {
        return Ok(None);
    }
    let Some(harmed) = rest.iter().find(|l| harms(look, l)) else { return Ok(None) };
    // What keeps water out stands before the members: a film on the room side keeps it in.
    let frame = rest.iter().position(|l| matches!(l.body, Body::Members(_))).unwrap_or(rest.len());
    if rest.iter().take(frame).any(|l| stops(look, l)) || rest.iter().any(|l| mass(look, l)) {
        return Ok(None);
    }
    if let Some(broken) = &surface.broken {
        return Err(Missing::new(broken.span, broken.why.clone()));
    }
    let open =
        |l: &&Layer| matches!(l.body, Body::Hole) || (matches!(l.body, Body::Sheet(_)) && material(look, l).is_none());
    match surface.layers.iter().find(open) {
        Some(hole) => Err(Missing::new(hole.stuff_span, format!("what `{}` is made of is not known", hole.label))),
        None => Ok(Some((cladding, harmed))),
    }
}

fn in_rain(surface: &Surface) -> bool {
    matches!(surface.kind, SurfaceKind::Wall | SurfaceKind::Roof)
        && matches!(surface.first.place, SidePlace::Outdoors)
        && matches!(surface.last.place, SidePlace::Room(_))
}

fn material(look: &Look<'_>, layer: &Layer) -> Option<&'static Material> {
    match &layer.body {
        Body::Sheet(choice) => choice.at(&look.draw)?.material,
        Body::Panel(parts) => parts.first()?.material,
        Body::Members(members) => members.member.material,
        Body::Gap(_) | Body::Hole => None,
    }
}

/// Cladding, render and roofing in courses let some rain by; metal roofing does not.
fn leaky(m: &Material) -> bool {
    class::cladding(m)
        || class::plaster(m)
        || (class::roofing(m) && m.seams() == Seams::LappedCladding && !class::metal(m))
}

fn harms(look: &Look<'_>, layer: &Layer) -> bool {
    material(look, layer).is_some_and(|m| class::sensitive(m) || m.kind() == "gypsum-board")
}

/// A sheet, a coating, boards with closed seams.
fn stops(look: &Look<'_>, layer: &Layer) -> bool {
    let closed = layer.seams.treatment.closed() || layer.seams.adhered;
    matches!(layer.body, Body::Panel(_))
        || material(look, layer).filter(|m| class::rain_through(m).is_none()).is_some_and(|m| {
            class::membrane(m)
                || matches!(m.kind(), "panel" | "metal" | "foil" | "roofing")
                || SHEDDING.contains(&m.key())
                || (closed && !class::plaster(m))
        })
}

fn mass(look: &Look<'_>, layer: &Layer) -> bool {
    let Body::Sheet(choice) = &layer.body else { return false };
    let Some(stuff) = choice.at(&look.draw) else { return false };
    let thick =
        stuff.thickness.as_ref().map(|t| t.at(&look.draw)).or(stuff.material.and_then(Material::usual_thickness));
    stuff.material.is_some_and(|m| matches!(m.kind(), "masonry" | "concrete")) && thick.is_some_and(|t| t >= MASS)
}

fn tell(look: &Look<'_>, cladding: &Layer, harmed: &Layer) -> Finding {
    let stands = look.surface.facts.existing;
    let weight = if stands { Weight::Watch } else { Weight::Stop };
    Finding::new(
        RULE.id,
        weight,
        cladding.span,
        format!("rain gets past `{}`, and nothing behind it keeps it out", label(cladding)),
    )
    .label("lets some rain by")
    .also(harmed.span, "wetted")
    .detail(format!(
        "Every cladding leaks somewhere. What gets past `{}` reaches `{}`: behind a veneer a sheet has to keep it out and \
         lead it down (IRC 2018 section R703.1.1, read; roofs: the underlayment of chapter 9, from memory).",
        cladding.label, harmed.label
    ))
    .help("put a sheet behind it, such as `wrap: housewrap, lapped 6 in -> water`, and join it at every edge and opening")
}
