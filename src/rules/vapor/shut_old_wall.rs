//! An old solid wall that a new layer shuts.

use super::wall::{Retarder, retarders};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Permeance;
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::Seams;
use crate::model::layer::{Body, Layer};
use crate::model::surface::SidePlace;
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, Missing, class, label, material, whole};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "vapor/shut-old-wall",
    summary: "an old solid wall that new layers keep from drying",
    weight: Weight::Stop,
    page: include_str!("shut_old_wall.md"),
    run: Run::Surface(run),
};

/// A face with less than this on it no longer dries as it did. Common practice, no source.
const LEAST: Permeance = Permeance::new(PERM);

/// An old wall and what is new on it.
struct Shut<'a> {
    wall: &'a Layer,
    earth: bool,
    outer: Option<Retarder<'a>>,
    inner: Option<Retarder<'a>>,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(shut)) => {
            if let Some(finding) = tell(look, &shut) {
                sink.found(finding);
            }
        }
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Shut<'a>>, Missing> {
    let surface = look.surface;
    let sides = (&surface.first.place, &surface.last.place);
    let wet = matches!(sides, (SidePlace::Outdoors, SidePlace::Room(_)));
    if surface.kind != SurfaceKind::Wall || !wet || surface.facts.existing {
        return Ok(None);
    }
    // Solid: no vented gap parts its outer face from what the weather wets.
    let old = |l: &&Layer| {
        let m = material(l, &look.draw);
        l.words.existing && m.is_some_and(|m| class::masonry(m) && class::porous(m) && m.kind() == "masonry")
    };
    let first = surface.layers.iter().position(|l| old(&l));
    let last = surface.layers.iter().rposition(|l| old(&l));
    let (Some(first), Some(last)) = (first, last) else { return Ok(None) };
    let Some(wall) = surface.layers.get(last) else { return Ok(None) };
    whole(surface)?;
    // Behind a vented cladding its outer face dries to the gap, and no rain gets to it.
    let skip = left_out(surface, &look.draw);
    if skip > first {
        return Ok(None);
    }
    let outer = tightest(look, surface.layers.iter().take(first).skip(skip))?;
    let inner = tightest(look, surface.layers.iter().skip(last + 1))?;
    let earth = material(wall, &look.draw).is_some_and(|m| m.family() == "earth");
    Ok((outer.is_some() || (inner.is_some() && skip == 0)).then_some(Shut { wall, earth, outer, inner }))
}

/// The tightest new layer of less than [`LEAST`] that stays so when it gets humid.
fn tightest<'a>(look: &Look<'a>, layers: impl Iterator<Item = &'a Layer>) -> Result<Option<Retarder<'a>>, Missing> {
    let mut found: Option<Retarder<'a>> = None;
    for layer in layers.filter(|l| !l.words.existing) {
        // Through siding, and between boards with open seams and no tight faces, it still dries a little.
        let gaps = material(layer, &look.draw).is_some_and(|m| {
            let slits = class::insulation(m) && !m.permeance_is_fixed() && !layer.seams.treatment.closed();
            m.seams() == Seams::LappedCladding || slits
        });
        if matches!(layer.body, Body::Members(_)) || gaps {
            continue;
        }
        let shut = retarders(layer, &look.draw)?.into_iter().filter(|r| r.dry < LEAST && !r.opens());
        for r in shut {
            if found.as_ref().is_none_or(|f| r.dry < f.dry) {
                found = Some(r);
            }
        }
    }
    Ok(found)
}

fn tell(look: &Look<'_>, shut: &Shut<'_>) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let rain = look.surface.facts.rain.or(look.job.rain);
    let hard = matches!(rain, Some(Rain::Severe | Rain::VerySevere)) || shut.wall.words.catches_water;
    let loaded = hard && matches!(look.surface.first.place, SidePlace::Outdoors);
    let (weight, span, message) = match (&shut.outer, &shut.inner) {
        (Some(_), Some(inner)) => {
            (Weight::Stop, inner.span, format!("`{}` is shut in on both faces and can't dry", label(shut.wall)))
        }
        (outer, inner) => {
            let one = outer.as_ref().or(inner.as_ref())?;
            // Rain still gets into it where only the inside is new.
            let wet = shut.earth || (loaded && outer.is_none());
            let side = if outer.is_some() { "outward" } else { "inward" };
            let weight = if wet { Weight::Fix } else { Weight::Watch };
            (
                weight,
                one.span,
                format!("`{}` keeps the old `{}` from drying {side}", short(one.layer), short(shut.wall)),
            )
        }
    };
    let both = [&shut.outer, &shut.inner].into_iter().flatten();
    let passes: Vec<String> = both.map(|r| format!("`{}` passes {}", r.layer.label, show.permeance(r.dry))).collect();
    let finding = Finding::new(RULE.id, weight, span, message)
        .label(format!("under {}", show.permeance(LEAST)))
        .also(shut.wall.stuff_span, "takes up rain and ground water")
        .detail(format!(
            "Old solid walls take up water and give it off to both sides. {}, under {} (the limit: common practice, no \
             source; the cause: Building Science Corporation BSD-114 and its reports on joist ends, read). Water that gets \
             in, by rain, splash or from the ground, then stays: salts, frost and rotten beam ends follow.",
            passes.join(", "),
            show.permeance(LEAST)
        ))
        .help(format!(
            "use layers of {} or more, such as lime plaster on mineral wool or calcium silicate, and mend what wets the wall",
            show.permeance(LEAST)
        ))
        .number("permeance_least", LEAST.si(), "kg/(s.m2.Pa)");
    Some(finding)
}

/// Two labels have to fit into one message.
fn short(layer: &Layer) -> String {
    label(layer).chars().take(16).collect()
}
