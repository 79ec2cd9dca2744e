//! Foam board outside of a frame wall with a class II retarder inside, thinner than the code's table asks.

use super::wall::{self, FrameWall, Retarder};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Permeance, ThermalResistance};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::Zone;
use crate::catalog::codes::{Edition, Minimum};
use crate::model::layer::{Body, Layer};
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/thin-foam-behind-kraft",
    summary: "foam outside too thin for the class II retarder inside",
    weight: Weight::Fix,
    page: include_str!("thin_foam_behind_kraft.md"),
    run: Run::Surface(run),
};

/// A wall that the table is about.
struct Thin<'a> {
    foam: &'a Layer,
    inside: Retarder<'a>,
    have: ThermalResistance,
    least: Minimum,
    edition: &'static Edition,
    zone: Zone,
    depth: crate::base::quantity::Length,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(thin)) => sink.found(tell(look, &thin)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether this rule tells of the wall.
pub(super) fn speaks(look: &Look<'_>) -> bool {
    find(look).is_ok_and(|thin| thin.is_some())
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Thin<'a>>, Missing> {
    let Some(frame) = wall::frame(look)? else { return Ok(None) };
    let Some(foam) = foam(&frame, look) else { return Ok(None) };
    let inside = frame.inside(&look.draw)?;
    let tightest = inside.into_iter().min_by(|a, b| a.dry.si().total_cmp(&b.dry.si()));
    let Some(inside) = tightest.filter(|r| r.class() == Some(2)) else { return Ok(None) };
    let (edition, zone, _) = wall::table(look.job)?;
    let Some(least) = edition.class_two_minimum(zone, frame.depth) else { return Ok(None) };
    let have = frame.outboard(&look.draw);
    // A board sold as R-5 may come out a hair below it from its thickness.
    let short = have.si() < least.resistance.si() * 0.998;
    Ok((short || !inside.opens()).then_some(Thin { foam, inside, have, least, edition, zone, depth: frame.depth }))
}

/// The foam plastic board outside of the studs and inside of a vented gap.
fn foam<'a>(frame: &FrameWall<'a>, look: &Look<'_>) -> Option<&'a Layer> {
    let plastic = |layer: &&Layer| match &layer.body {
        Body::Sheet(choice) => choice.at(&look.draw).and_then(|s| s.material).is_some_and(|m| {
            m.kind() == "board-insulation"
                && matches!(m.family(), "polystyrene" | "polyiso" | "polyurethane" | "phenolic")
        }),
        _ => false,
    };
    let outer = frame.surface.layers.iter().take(frame.studs).skip(left_out(frame.surface, &look.draw));
    outer.rev().find(plastic)
}

fn tell(look: &Look<'_>, thin: &Thin<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let short = ThermalResistance::new((thin.least.resistance.si() - thin.have.si()).max(0.0));
    let thick = thin.have.si() >= thin.least.resistance.si() * 0.998;
    let stands = look.surface.facts.existing || (thin.foam.words.existing && thin.inside.layer.words.existing);
    let weight = if stands { Weight::Watch } else { Weight::Fix };
    let opens = show.permeance(Permeance::new(PERM));
    let (span, message, help) = if thick {
        let message = format!("`{}` does not open, and foam lies outside", label(thin.inside.layer));
        let help =
            format!("put in place of `{}` a class II layer that passes over {opens} in the wet cup", thin.inside.name);
        (thin.inside.span, message, help)
    } else {
        let message = format!("the foam is too thin for the class II layer inside in zone {}", thin.zone);
        let help = format!("add {} of insulation outside of the studs", show.resistance(short));
        (thin.foam.stuff_span, message, help)
    };
    let help = if stands { "open one bay in late winter, and look for damp sheathing".to_string() } else { help };
    let cited = thin.least.citation;
    Finding::new(RULE.id, weight, span, message)
        .label(if thick { format!("{} wet", show.permeance(thin.inside.wet)) } else { show.resistance(thin.have) })
        .detail(format!(
            "With foam plastic outside and class II inside of {} studs {} asks for {} or more outside in zone {} ({}; {}), \
             and for a retarder that passes over {opens} in the wet cup. Outside are {}; `{}` passes {} dry and {} wet. \
             {}.",
            show.length(thin.depth),
            thin.edition.title(),
            show.resistance(thin.least.resistance),
            thin.zone,
            cited.source,
            cited.access.words(),
            show.resistance(thin.have),
            thin.inside.name,
            show.permeance(thin.inside.dry),
            show.permeance(thin.inside.wet),
            if thick {
                "Behind foam a wall dries inward, and this layer does not let it"
            } else {
                "Foam that is too thin leaves the sheathing cold and does not let it dry outward"
            }
        ))
        .help(help)
        .also(if thick { thin.foam.stuff_span } else { thin.inside.span }, if thick { "foam" } else { "class II" })
        .number("outboard_resistance", thin.have.si(), "m2.K/W")
        .number("outboard_resistance_least", thin.least.resistance.si(), "m2.K/W")
        .number("permeance_wet", thin.inside.wet.si(), "kg/(s.m2.Pa)")
}
