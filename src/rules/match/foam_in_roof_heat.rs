//! Polystyrene right under a roof skin that gets hotter than it stands.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Temperature;
use crate::base::show::Show;
use crate::catalog::{Bond, Material};
use crate::model::surface::SidePlace;
use crate::rules::facts::section::{touching, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/foam-in-roof-heat",
    summary: "foam under a roof skin hotter than it stands",
    weight: Weight::Watch,
    page: include_str!("foam_in_roof_heat.md"),
    run: Run::Surface(run),
};

/// A dark skin with insulation right under it, in full sun, degC. From memory; a pale one stays 15 to 25 K cooler.
const DARK_SKIN: Temperature = Temperature::new(85.0);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let roof = look.surface.kind == SurfaceKind::Roof && matches!(look.surface.first.place, SidePlace::Outdoors);
    // Only the skin itself: gravel, soil or pavers over it keep the sun off.
    let Some(touch) = touching(look).first().copied().filter(|_| roof) else { return };
    let outermost = look.surface.layers.first().is_some_and(|first| std::ptr::eq(first, touch.outer));
    let Some(stands) = touch.under.service_temperatures().1.filter(|_| outermost && dark(touch.over)) else { return };
    if !class::foam_plastic(touch.under) || stands >= DARK_SKIN {
        return;
    }
    let show = Show { metric: look.job.metric };
    sink.found(
        Finding::new(
            RULE.id,
            weigh(look.surface, &[touch.outer, touch.inner], Weight::Watch),
            touch.inner.stuff_span,
            format!("`{}` softens under `{}` in the sun", label(touch.inner), label(touch.outer)),
        )
        .also(touch.outer.stuff_span, "lies in full sun")
        .detail(format!(
            "{} stands {} (service limit in the scope of ASTM C578: read); a dark skin with insulation under it gets \
             to {} and more (from memory). The foam shrinks, and the seams over it are pulled open.",
            touch.under.key(),
            show.temperature(stands),
            show.temperature(DARK_SKIN)
        ))
        .help("lay `gypsum-sheathing 1/2 in` as a cover board between them, or ballast over the skin")
        .number("service_limit", stands.si(), "degC")
        .number("skin", DARK_SKIN.si(), "degC"),
    );
}

/// Skins that are dark as they come: black rubber, metal. Hot bitumen on polystyrene is told as a pair.
fn dark(m: &Material) -> bool {
    (m.family() == "epdm" && m.bond() == Bond::Loose) || (class::metal(m) && class::roofing(m))
}
