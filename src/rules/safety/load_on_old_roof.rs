//! New weight on a roof, deck, floor or ceiling whose structure stands already.

use crate::base::finding::{Finding, Weight};
use crate::base::show::{Show, fixed};
use crate::catalog::Seams;
use crate::model::layer::{Body, Layer};
use crate::rules::facts::section::{fill, sheet, stands};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "safety/load-on-old-roof",
    summary: "new weight on a roof or floor that stands already",
    weight: Weight::Watch,
    page: include_str!("load_on_old_roof.md"),
    run: Run::Surface(run),
};

/// A pound over a square foot, kg/m2.
const PSF: f64 = 4.882_43;
/// New weight up to which nobody has to compute, psf: a second layer of roof covering in the International Existing
/// Building Code (from memory).
const FREE: f64 = 3.0;

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let lies =
        matches!(surface.kind, SurfaceKind::Roof | SurfaceKind::Deck | SurfaceKind::Floor | SurfaceKind::Ceiling);
    let carries = |l: &&Layer| {
        let deck = sheet(l, &look.draw).and_then(|s| s.material);
        let plate = deck.is_some_and(|m| class::wood(m) || matches!(m.kind(), "concrete" | "metal"));
        stands(surface, l) && (plate || matches!(l.body, Body::Members(_)))
    };
    let Some(structure) = surface.layers.iter().find(carries).filter(|_| lies && surface.broken.is_none()) else {
        return;
    };
    let mut weights: Vec<(&Layer, f64)> =
        surface.layers.iter().filter(|l| !stands(surface, l)).map(|l| (l, weight(look, l))).collect();
    weights.sort_by(|a, b| b.1.total_cmp(&a.1));
    let total: f64 = weights.iter().map(|(_, w)| w).sum();
    let Some((heaviest, _)) = weights.first().filter(|_| total > FREE * PSF) else { return };
    let show = Show { metric: look.job.metric };
    let load =
        |kg: f64| if show.metric { format!("{} kg/m2", fixed(kg, 0)) } else { format!("{} psf", fixed(kg / PSF, 1)) };
    sink.found(
        Finding::new(
            RULE.id,
            Weight::Watch,
            heaviest.stuff_span,
            format!("new layers lay {} on `{}`, which stands already", load(total), label(structure)),
        )
        .label("the heaviest")
        .also(structure.stuff_span, "has to carry it")
        .detail(format!(
            "Rafters and joists were sized for what lay on them, snow included. More than {}, or a twentieth more \
             than before, has to be computed: International Existing Building Code (from memory). Weighed by the \
             catalog's densities; what is taken off first is not known here. An engineer and the code official \
             decide.",
            load(FREE * PSF)
        ))
        .help(format!(
            "have an engineer check `{}` for {} more, or take the old covering off and stay below",
            label(structure),
            load(total)
        ))
        .number("new_load", total, "kg/m2")
        .number("free", FREE * PSF, "kg/m2"),
    );
}

/// What a new layer weighs, kg/m2: all of its materials whose density and thickness are known. Roofing in courses lies
/// double. Members are not counted.
fn weight(look: &Look<'_>, layer: &Layer) -> f64 {
    let mass = |s: &crate::model::layer::Stuff| {
        let density = s.density.as_ref().map(|d| d.at(&look.draw)).or(s.material?.density())?;
        let written = s.thickness.as_ref().map(|t| t.at(&look.draw));
        let plies =
            if s.material.is_some_and(|m| class::roofing(m) && m.seams() == Seams::LappedCladding) { 2.0 } else { 1.0 };
        Some(density.si() * written.or(s.material?.usual_thickness())?.si() * plies)
    };
    fill(layer, &look.draw).into_iter().filter_map(mass).sum()
}
