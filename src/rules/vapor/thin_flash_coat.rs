//! A coat of spray foam on the inside of the sheathing that is too thin for what is to be earned with it.

use super::class_three_unearned::{self, Short};
use super::wall::{self, SPRAYED};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, Permeance, ThermalResistance};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::Cup;
use crate::model::layer::Stuff;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/thin-flash-coat",
    summary: "a flash coat of foam too thin to stand for insulation outside",
    weight: Weight::Fix,
    page: include_str!("thin_flash_coat.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    match class_three_unearned::find(look) {
        Ok(Some(short)) => {
            if let Some(coat) = coat(&short) {
                sink.found(tell(look, &short, coat));
            }
        }
        Ok(None) => {}
        Err(missing) => {
            // Only a wall with such a coat need be told of.
            if wall::frame(look).is_ok_and(|f| f.is_some_and(|f| f.coat().is_some())) {
                sink.cannot(&missing);
            }
        }
    }
}

/// The coat with which the table's figure outboard was to be met.
pub(super) fn coat<'a>(short: &Short<'a>) -> Option<&'a Stuff> {
    let unmet = short.condition.as_ref().is_some_and(|c| !c.met);
    short.frame.coat().filter(|_| unmet && short.inside.is_some())
}

fn tell(look: &Look<'_>, short: &Short<'_>, coat: &Stuff) -> Finding {
    let show = Show { metric: look.job.metric };
    let passes = coat.permeance_at(&look.draw, Cup::Dry).unwrap_or(Permeance::new(0.0));
    let has = coat.resistance_at(&look.draw).unwrap_or(ThermalResistance::ZERO);
    let thickness = coat.thickness.as_ref().map_or(Length::ZERO, |t| t.at(&look.draw));
    let most = Permeance::new(SPRAYED * PERM);
    let open = passes.si() > most.si();
    let (least, have) = short.condition.as_ref().map_or((has, has), |c| (c.least, c.have));
    // What counts already lies outboard of the coat, or is the coat itself.
    let board = ThermalResistance::new(if open { have.si() } else { have.si() - has.si() });
    let wanted = thickness.si() * (least.si() - board.si()) / has.si().max(1e-9);
    let for_vapor = thickness.si() * passes.si() / most.si();
    let enough = Length::new(wanted.max(for_vapor));
    let layer = short.frame.surface.layers.get(short.frame.studs);
    let stands = look.surface.facts.existing || layer.is_some_and(|l| l.words.existing);
    let weight = if stands { Weight::Watch } else { Weight::Fix };
    let message = match layer {
        Some(l) => format!("the foam in `{}` is too thin to stand for insulation outside", label(l)),
        None => "the foam is too thin to stand for insulation outside".to_string(),
    };
    let cited = short
        .condition
        .as_ref()
        .map_or(String::new(), |c| format!(" ({}; {})", c.row.citation.source, c.row.citation.access.words()));
    Finding::new(RULE.id, weight, coat.span, message)
        .label(format!("{}, {}", show.resistance(has), show.permeance(passes)))
        .detail(format!(
            "{} lets class III do in zone {} with {} outside of {} studs{cited}. Foam on the inner face of the sheathing \
             counts as that where it passes {} or less (IRC R702.7, from memory). This coat has {} and passes {}; with \
             what lies outside {} count.",
            short.edition.title(),
            short.zone,
            show.resistance(least),
            show.length(short.frame.depth),
            show.permeance(most),
            show.resistance(has),
            show.permeance(passes),
            show.resistance(have)
        ))
        .help(if stands {
            "open one bay in late winter, and look for damp at the foam's face".to_string()
        } else {
            format!("spray {} of it in place of {}, and measure cores", show.length(enough), show.length(thickness))
        })
        .number("thickness", thickness.si(), "m")
        .number("thickness_least", enough.si(), "m")
        .number("permeance_dry", passes.si(), "kg/(s.m2.Pa)")
        .number("outboard_resistance_least", least.si(), "m2.K/W")
}
