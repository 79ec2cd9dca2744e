//! A bright foil that is there for heat and has no still air before it.

use super::parted;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::ThermalResistance;
use crate::base::show::Show;
use crate::model::layer::{BayPart, Body, Fill, Layer, Openings, Stuff};
use crate::model::value::Origin;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/foil-without-air",
    summary: "a bright foil with no still air before it",
    weight: Weight::Fix,
    page: include_str!("foil_without_air.md"),
    run: Run::Surface(run),
};

/// What lies before a face of a foil.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Before {
    /// A solid.
    Solid,
    /// Air that moves and lays dust.
    Moving,
    /// Air that stays.
    Still,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers = &look.surface.layers;
    for (at, layer) in layers.iter().enumerate() {
        let Some(foil) = foil(look, layer) else { continue };
        let outer = at.checked_sub(1).and_then(|i| layers.get(i)).map(|l| before(l, true));
        let inner = layers.get(at + 1).map(|l| before(l, false));
        // At an end of the section a foil faces the air of a side.
        let (Some(outer), Some(inner)) = (outer, inner) else { continue };
        if outer.max(inner) == Before::Still {
            continue;
        }
        match parted(look) {
            Ok(true) => sink.found(tell(look, layer, foil, outer.max(inner))),
            Ok(false) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// A foil that nobody relies on for anything else.
fn foil<'a>(look: &Look<'a>, layer: &'a Layer) -> Option<&'a Stuff> {
    let Body::Sheet(choice) = &layer.body else { return None };
    let bright = |s: &&Stuff| s.material.is_some_and(|m| m.kind() == "foil" && m.emittance().is_some());
    choice.at(&look.draw).filter(bright).filter(|s| layer.relied_on.is_empty() || written(look, s).is_some())
}

/// A resistance that the author wrote.
fn written(look: &Look<'_>, foil: &Stuff) -> Option<ThermalResistance> {
    foil.resistance.as_ref().filter(|r| matches!(r.origin, Origin::Written(_))).map(|r| r.at(&look.draw))
}

/// What the neighbor of a foil shows it; `outer`: it lies outside of the foil.
fn before(layer: &Layer, outer: bool) -> Before {
    let of = |openings: &Openings| if matches!(openings, Openings::At { .. }) { Before::Moving } else { Before::Still };
    match &layer.body {
        Body::Gap(gap) => of(&gap.openings),
        Body::Members(members) => match &members.fill {
            Fill::Parts(parts) => match if outer { parts.last() } else { parts.first() } {
                Some(BayPart::Air(_)) => of(&members.openings),
                _ => Before::Solid,
            },
            // Nobody knows what fills them.
            Fill::Unknown(_) => Before::Still,
        },
        Body::Hole => Before::Still,
        Body::Sheet(_) | Body::Panel(_) => Before::Solid,
    }
}

fn tell(look: &Look<'_>, layer: &Layer, foil: &Stuff, faces: Before) -> Finding {
    let show = Show { metric: look.job.metric };
    let counted = written(look, foil);
    let own = foil.material.and_then(|m| m.resistance(foil.thickness.as_ref()?.at(&look.draw)));
    let more = counted.filter(|r| *r > own.unwrap_or(ThermalResistance::ZERO) * 1.5);
    let stands = layer.words.existing || look.surface.facts.existing;
    let weight = if more.is_some() && !stands { Weight::Fix } else { Weight::Watch };
    let place = if faces == Before::Moving { "air that moves" } else { "solids on both sides" };
    let message = match more {
        Some(r) => format!("`{}` can't be worth {}: it faces {place}", label(layer), show.resistance(r)),
        None => format!("`{}` keeps no heat here: it faces {place}", label(layer)),
    };
    let finding = Finding::new(RULE.id, weight, foil.span, message)
        .label("no still air before it")
        .detail(
            "A bright face hinders radiation across still air and nothing else: pressed against a solid it conducts as any \
             sheet, and air from outdoors dulls it with dust (ISO 6946 Annex D asks for a clean face in an air layer, from \
             memory). A gap of 1/2 in gains some 0.3 m2 K/W by it (0.446 for 0.147, a published table of air spaces).",
        )
        .help(format!("leave a closed gap on one side of `{}`: `gap: air 3/4 in, closed`; or leave it out", layer.label));
    match counted {
        Some(r) => finding.number("resistance_written", r.si(), "m2.K/W"),
        None => finding,
    }
}
