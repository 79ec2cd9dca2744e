//! Too little room behind a cladding for water to run down in.

use super::cavity::{Cavity, cavity, laid, material};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::catalog::Bond;
use crate::model::layer::Layer;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "water/thin-cavity",
    summary: "a gap behind cladding that is too thin, bridged or left out",
    weight: Weight::Fix,
    page: include_str!("thin_cavity.md"),
    run: Run::Surface(run),
};

/// Behind laid brick and stone: 25 mm (IRC 2018 R703.8.4, quoted).
const LAID: Length = Length::new(0.025);
/// Behind other cladding on a gap: 10 mm (NBC of Canada 9.27.2.2, from a page on Ontario's code, read).
const OTHER: Length = Length::new(0.010);
/// Behind plaster: 3/16 in (IRC 2021 R703.7.3.2, from memory).
const PLASTER: Length = Length::new(0.004_7);

/// What is wrong with the gap.
enum Fault<'a> {
    Thin(&'a Cavity<'a>, Length, Length),
    Bridged(&'a Cavity<'a>),
    /// None at all behind laid brick or stone.
    None(&'a Layer),
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let Some(leaf) = surface.layers.first().filter(|_| weather_wall(surface)) else { return };
    let Some(m) = material(leaf) else { return };
    let gap = cavity(surface);
    let fault = match &gap {
        Some(cavity) if cavity.bridged => Some(Fault::Bridged(cavity)),
        Some(cavity) => {
            let wanted = match () {
                () if laid(m) => LAID,
                () if class::plaster(m) || m.bond() == Bond::Liquid => PLASTER,
                () => OTHER,
            };
            let depth = cavity.depth.map(|d| d.at(&look.draw));
            depth.filter(|d| *d < wanted).map(|d| Fault::Thin(cavity, d, wanted))
        }
        // A facing of brick or stone in front of something else; a wall of brick through and through has no gap.
        None if m.kind() == "cladding" && laid(m) => Some(Fault::None(leaf)),
        None => None,
    };
    if let Some(fault) = fault {
        sink.found(tell(look, leaf, &fault));
    }
}

fn weather_wall(surface: &Surface) -> bool {
    surface.kind == SurfaceKind::Wall
        && matches!(surface.first.place, SidePlace::Outdoors)
        && !matches!(surface.last.place, SidePlace::Outdoors)
}

fn tell(look: &Look<'_>, leaf: &Layer, fault: &Fault<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let outer = label(leaf);
    let (span, message) = match fault {
        Fault::Thin(c, depth, _) => {
            (c.layer.stuff_span, format!("{} behind `{outer}` is too thin to drain", show.length(*depth)))
        }
        Fault::Bridged(c) => (c.layer.stuff_span, format!("the gap behind `{outer}` is bridged and does not drain")),
        Fault::None(l) => (l.stuff_span, format!("there is no gap behind `{outer}` to drain it")),
    };
    let wanted = if let Fault::Thin(_, _, wanted) = fault { *wanted } else { LAID };
    // Behind boards and panels a thin gap still lets most of the water run down.
    let boards = matches!(fault, Fault::Thin(_, _, wanted) if *wanted == OTHER);
    let full = matches!(fault, Fault::None(_)) && full_fill(look);
    let weight = if look.surface.facts.existing || boards || full { Weight::Watch } else { Weight::Fix };
    let finding = Finding::new(RULE.id, weight, span, message)
        .label("does not drain")
        .detail(format!(
            "Rain gets through every leaf; across a thin or bridged gap it gets to the wall behind. Least gap: {} behind brick \
             and stone (IRC 2018 R703.8.4, quoted), {} behind plaster (IRC 2021 R703.7.3.2, from memory), {} behind other \
             cladding (NBC of Canada, read in a page on Ontario's code). NHBC 6.2.10 (read) asks for 50, 25 and 15 mm.",
            show.length(LAID),
            show.length(PLASTER),
            show.length(OTHER)
        ))
        .help(help(look, fault, wanted));
    match fault {
        Fault::Thin(_, depth, _) => finding.number("gap", depth.si(), "m").number("least", wanted.si(), "m"),
        Fault::Bridged(_) | Fault::None(_) => finding,
    }
}

/// Whether wool or foam that draws no water fills a cavity of two masonry leaves, where rain is not hard and no US code
/// holds. Common practice in Britain, no source.
fn full_fill(look: &Look<'_>) -> bool {
    let surface = look.surface;
    let [_, fill, inner, ..] = surface.layers.as_slice() else { return false };
    let mild = !matches!(surface.facts.rain.or(look.job.rain), Some(Rain::Severe | Rain::VerySevere));
    let dry = material(fill).is_some_and(|m| class::insulation(m) && m.capillary() != Some(true));
    mild && dry && look.job.code.is_none() && material(inner).is_some_and(class::masonry)
}

fn help(look: &Look<'_>, fault: &Fault<'_>, wanted: Length) -> String {
    let show = Show { metric: look.job.metric };
    let better = match (wanted == LAID, show.metric) {
        (true, true) => "50 mm",
        (true, false) => "2 in",
        (false, true) => "20 mm",
        (false, false) => "3/4 in",
    };
    match fault {
        Fault::Thin(c, ..) => format!("write `{}: air {better}` or more", label(c.layer)),
        Fault::Bridged(c) => {
            format!("clean the gap, or hang a drainage mat in `{}`, and take `bridged` out", label(c.layer))
        }
        Fault::None(_) => format!("add a line `gap: air {better}, open top and bottom` behind it"),
    }
}
