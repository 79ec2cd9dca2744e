//! Foam under the deck of an unvented roof that lets too much vapor through, in a cold zone, with nothing over it.

use super::{roof, wall};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Permeance, VaporThickness};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::Zone;
use crate::rules::facts::path::{Part, PartKind};
use crate::rules::facts::{Look, Missing, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/bare-open-foam",
    summary: "vapor-open foam under a roof deck in a cold zone, uncoated",
    weight: Weight::Stop,
    page: include_str!("bare_open_foam.md"),
    run: Run::Surface(run),
};

/// The first zone that asks, and the limit of class II (IRC section R806.5, quoted).
const COLD: u8 = 5;
const LIMIT: Permeance = Permeance::new(PERM);

/// The permeance of a generic foam is not known closer than this, and more: 2 in of closed cells are sold as class II.
const SPREAD: f64 = 1.05;

fn run(look: &Look<'_>, sink: &mut Sink) {
    sink.take(find(look));
}

fn find(look: &Look<'_>) -> Result<Option<Finding>, Missing> {
    let Some(roof) = roof::unvented(look)? else { return Ok(None) };
    let parts = roof.insulated(look);
    let is_foam = |p: &&&Part<'_>| p.material().is_some_and(class::foam_plastic);
    let foam: Vec<&Part<'_>> = parts.iter().take_while(is_foam).copied().collect();
    let Some(first) = foam.first() else { return Ok(None) };
    let thick: VaporThickness = foam.iter().map(|p| p.vapor.0).sum();
    let dry = thick.permeance();
    // A covering touches the foam: nothing that holds air lies between.
    let holds_air = |p: &&&Part<'_>| !matches!(p.kind, PartKind::Air) && !p.material().is_some_and(class::airy);
    let mut touching = parts.iter().skip(foam.len()).take_while(holds_air);
    let tight = |w: Permeance| w.si() <= LIMIT.si() * SPREAD;
    if tight(dry) || touching.any(|p| tight(p.vapor.0.permeance())) {
        return Ok(None);
    }
    let (code, zone) = wall::edition(look.job)?;
    Ok(if zone.number >= COLD { tell(look, first, dry, zone, code.value.title()) } else { None })
}

fn tell(look: &Look<'_>, foam: &Part<'_>, dry: Permeance, zone: Zone, title: &str) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(foam.layer)?;
    let stuff = foam.stuff()?;
    let stands = layer.words.existing || look.surface.facts.existing;
    let weight = if stands { Weight::Watch } else { Weight::Stop };
    let message = format!("the foam of `{}` passes {} and has no coat", label(layer), show.permeance(dry));
    Some(
        Finding::new(RULE.id, weight, stuff.span, message)
            .label(format!("over {}", show.permeance(LIMIT)))
            .detail(format!(
                "In zones {COLD} to 8 foam under the deck of an unvented roof is class II itself, {} or less in the dry \
                 cup, or has a coat or a cover of that class in contact with its inner face ({title} section R806.5, \
                 quoted in a training article on the 2015 edition). This is zone {zone}: in winter room vapor passes \
                 open cells and wets the deck.",
                show.permeance(LIMIT)
            ))
            .help(if stands {
                "measure the deck's moisture in late winter through a cored hole, and fill the hole again".to_string()
            } else {
                format!("coat the foam to {}, or spray closed cells thick enough to pass no more", show.permeance(LIMIT))
            })
            .number("permeance_dry", dry.si(), "kg/(s.m2.Pa)")
            .number("permeance_most", LIMIT.si(), "kg/(s.m2.Pa)"),
    )
}
