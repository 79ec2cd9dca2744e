//! A blanket pinched between steel members and what is screwed to them.

use super::{board, thin_sheet};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, ThermalResistance};
use crate::base::show::{Show, fixed};
use crate::model::layer::{Layer, Members};
use crate::physics::heat::{Outside, Purpose, inner_film, outer_film};
use crate::rules::facts::path::{flow, members_of};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/pinched-at-steel",
    summary: "a blanket pinched over steel members with no block between",
    weight: Weight::Fix,
    page: include_str!("pinched_at_steel.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    for at in 0..look.surface.layers.len() {
        let bare = steel(look, at).filter(|_| !blocked(look, at));
        if let Some(finding) = bare.and_then(|members| tell(look, at, members)) {
            sink.found(finding);
        }
    }
}

/// The steel members that a pinched blanket lies right against.
pub(super) fn steel<'a>(look: &Look<'a>, at: usize) -> Option<&'a Members> {
    beside(look, at).into_iter().filter_map(members_of).find(|m| m.metal)
}

/// Whether blocks of foam lie on a face of a pinched blanket.
pub(super) fn blocked(look: &Look<'_>, at: usize) -> bool {
    beside(look, at).into_iter().any(|l| board(l, &look.draw).is_some())
}

/// What lies on either face of a pinched blanket, sheets looked through.
fn beside<'a>(look: &Look<'a>, at: usize) -> Vec<&'a Layer> {
    let layers = &look.surface.layers;
    if layers.get(at).is_none_or(|l| l.words.pinched.is_none()) {
        return Vec::new();
    }
    let thick = |l: &&Layer| !thin_sheet(l, &look.draw);
    let outer = layers.iter().take(at).rev().find(thick);
    let inner = layers.iter().skip(at + 1).find(thick);
    outer.into_iter().chain(inner).collect()
}

/// What a blanket is worth on the whole.
struct Worth {
    full: ThermalResistance,
    pinched: ThermalResistance,
    mean: ThermalResistance,
    /// Of the area, and of the heat.
    share: (f64, f64),
}

fn worth(look: &Look<'_>, at: usize, members: &Members) -> Option<Worth> {
    let layer = look.surface.layers.get(at)?;
    let stuff = super::unbroken(layer, &look.draw)?;
    let full = stuff.resistance_at(&look.draw)?;
    let depth = stuff.thickness.as_ref()?.at(&look.draw);
    let left = layer.words.pinched.as_ref()?.at(&look.draw);
    let pinched = full * (left / depth).min(1.0);
    let way = flow(look.surface.kind);
    let films = inner_film(way, Purpose::UValue) + outer_film(Outside::Air, way);
    let spacing = members.spacing.at(&look.draw);
    let area = (members.width.at(&look.draw) / spacing).min(1.0);
    let (there, between) = ((pinched + films).transmittance() * area, (full + films).transmittance() * (1.0 - area));
    let mean = (there + between).resistance() - films;
    (left > Length::ZERO && left < depth).then_some(Worth {
        full,
        pinched,
        mean,
        share: (area, there / (there + between)),
    })
}

fn tell(look: &Look<'_>, at: usize, members: &Members) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(at)?;
    let worth = worth(look, at, members)?;
    let percent = |x: f64| fixed(x * 100.0, 0);
    let weight = if layer.words.existing || look.surface.facts.existing { Weight::Watch } else { Weight::Fix };
    let message = format!("`{}` is pinched on steel to {}", label(layer), show.resistance(worth.pinched));
    Some(
        Finding::new(RULE.id, weight, layer.stuff_span, message)
            .label("no block between")
            .detail(format!(
                "The flanges take {} % of the area and pass {} % of the heat: {} is worth {} at most on the whole. The taper \
                 beside each flange and the screws take more (side by side, no flow sideways: ISO 6946 6.7.2.3, from \
                 memory).",
                percent(worth.share.0),
                percent(worth.share.1),
                show.resistance(worth.full),
                show.resistance(worth.mean)
            ))
            .help(
                "lay strips of foam board on the members before the skin goes on and write them between: `blocks: xps 1 in`",
            )
            .number("resistance_written", worth.full.si(), "m2.K/W")
            .number("resistance_worth", worth.mean.si(), "m2.K/W")
            .number("share_of_heat", worth.share.1, "1"),
    )
}
