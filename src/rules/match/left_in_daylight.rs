//! A layer that daylight breaks down, with nothing over it for good.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Duration;
use crate::catalog::Material;
use crate::model::layer::Layer;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::section::{sheet, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/left-in-daylight",
    summary: "a layer that daylight breaks down, with nothing over it",
    weight: Weight::Fix,
    page: include_str!("left_in_daylight.md"),
    run: Run::Surface(run),
};

/// Seconds of a day.
const DAY: f64 = 86_400.0;

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let Some(outermost) = surface.layers.first().filter(|_| surface.broken.is_none()) else { return };
    let Some(material) = sheet(outermost, &look.draw).and_then(|s| s.material) else { return };
    let Some(limit) = material.daylight_limit().filter(|_| in_light(surface)) else { return };
    if outermost.words.primed && class::coatable_wood(material) {
        return;
    }
    sink.found(tell(look, outermost, material, limit));
}

/// Whether light falls on the first layer. A wall in the ground is drawn for the part below grade: what covers it above
/// can't be told.
fn in_light(surface: &Surface) -> bool {
    matches!(surface.first.place, SidePlace::Outdoors)
        && matches!(surface.kind, SurfaceKind::Wall | SurfaceKind::Roof | SurfaceKind::Deck)
}

fn tell(look: &Look<'_>, layer: &Layer, m: &Material, limit: Duration) -> Finding {
    let days = limit.si() / DAY;
    let basis = m.limits_source().map_or(String::new(), |c| format!(" ({}; {})", c.source, c.access.words()));
    Finding::new(
        RULE.id,
        weigh(look.surface, &[layer], Weight::Fix),
        layer.stuff_span,
        format!("`{}` lies in daylight for good", label(layer)),
    )
    .detail(format!(
        "Daylight makes {} brittle, dusty or leaky; it is left open for some {days:.0} days at most{basis}. The data \
         sheet of the product on site is the limit. That what is not made for light must not stay in it: common \
         practice, no source.",
        m.key()
    ))
    .help(format!("put what may stay in daylight over `{}`: cladding, roofing, or a coat made for it", label(layer)))
    .number("daylight_limit", limit.si(), "s")
}
