//! Something that water harms stands between two layers that pass next to no vapor.

use super::wall::class;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Permeance;
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::codes::CLASS_LIMITS;
use crate::catalog::{Material, Sensitivity};
use crate::model::layer::Layer;
use crate::model::surface::SidePlace;
use crate::rules::facts::path::{Part, PathKind, members_of};
use crate::rules::facts::{Look, Missing};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/double-barrier",
    summary: "something moisture-sensitive between two vapor barriers",
    weight: Weight::Stop,
    page: include_str!("double_barrier.md"),
    run: Run::Surface(run),
};

/// Two barriers with something between.
struct Pair<'a> {
    outer: (&'a Layer, &'a str, Permeance),
    inner: (&'a Layer, &'a str, Permeance),
    between: &'a Layer,
    /// What of it water harms.
    what: &'static str,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(pair)) => sink.found(tell(look, &pair)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Pair<'a>>, Missing> {
    if !matches!(
        (&look.surface.first.place, &look.surface.last.place),
        (SidePlace::Room(_), _) | (_, SidePlace::Room(_))
    ) {
        return Ok(None);
    }
    let paths = look.paths().map_err(Clone::clone)?;
    let Some(path) = paths.iter().find(|p| matches!(p.kind, PathKind::Bay | PathKind::Whole)) else { return Ok(None) };
    let surface: &'a crate::model::surface::Surface = look.surface;
    let barriers: Vec<(usize, &Part<'a>)> = path.parts.iter().enumerate().filter(|(_, p)| is_barrier(p)).collect();
    for pair in barriers.windows(2) {
        let [(first, outer), (last, inner)] = pair else { continue };
        let between = path.parts.iter().take(*last).skip(first + 1);
        let harmed = between.filter_map(|p| sensitive(surface.layers.get(p.layer)?, p)).next();
        let of = |part: &Part<'a>| {
            Some((surface.layers.get(part.layer)?, part.stuff()?.name.as_str(), part.vapor.0.permeance()))
        };
        if let (Some((between, what)), Some(outer), Some(inner)) = (harmed, of(outer), of(inner)) {
            return Ok(Some(Pair { outer, inner, between, what }));
        }
    }
    Ok(None)
}

/// Class I, and it stays so when humid.
fn is_barrier(part: &Part<'_>) -> bool {
    part.stuff().is_some() && class(part.vapor.0.permeance()) == Some(1) && part.vapor.1.permeance().si() / PERM <= 1.0
}

/// The layer and what of it water harms: the part itself, or the members beside it.
fn sensitive<'a>(layer: &'a Layer, part: &Part<'a>) -> Option<(&'a Layer, &'static str)> {
    let own = part.stuff().and_then(|s| s.material);
    let members = members_of(layer).and_then(|m| m.member.material);
    let harm = |m: &'static Material| match m.sensitivity() {
        Sensitivity::Wood => Some("rots and molds as wood does"),
        Sensitivity::Paper => Some("molds as paper does"),
        Sensitivity::Steel => Some("corrodes"),
        Sensitivity::None => None,
    };
    own.and_then(harm).or_else(|| members.and_then(harm)).map(|what| (layer, what))
}

fn tell(look: &Look<'_>, pair: &Pair<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let limit = show.permeance(Permeance::new(CLASS_LIMITS.first().copied().unwrap_or_default() * PERM));
    let stands = |layer: &Layer| layer.words.existing || look.surface.facts.existing;
    let ((outer, outer_name, outer_dry), (inner, inner_name, inner_dry)) = (pair.outer, pair.inner);
    let least = show.permeance(Permeance::new(PERM));
    let both = stands(outer) && stands(inner);
    let weight = if both { Weight::Watch } else { Weight::Stop };
    // The inner one is the easier to change, unless it is the one that stands.
    let (change, other, side) = if stands(inner) { (outer, inner, "outside") } else { (inner, outer, "inside") };
    let help = if both {
        format!("open `{}` at one place, and measure its moisture before it is covered again", pair.between.label)
    } else {
        format!(
            "swap `{}` for a layer that passes {least} or more in the wet cup, so that it dries {side}",
            change.label
        )
    };
    Finding::new(
        RULE.id,
        weight,
        change.stuff_span,
        format!("`{}` is shut in between two vapor barriers", pair.between.label),
    )
    .label("one barrier")
    .also(other.stuff_span, "the other")
    .also(pair.between.stuff_span, pair.what)
    .detail(format!(
        "`{outer_name}` outside passes {}, `{inner_name}` inside {}; class I is {limit} or less in the dry cup (IRC \
             section R202). `{}` {} and can dry to neither side: built-in water and leaks stay. The codes ask for an \
             approved design here (IRC R702.7, from memory).",
        show.permeance(outer_dry),
        show.permeance(inner_dry),
        pair.between.label,
        pair.what
    ))
    .help(help)
    .number("permeance_outer", outer_dry.si(), "kg/(s.m2.Pa)")
    .number("permeance_inner", inner_dry.si(), "kg/(s.m2.Pa)")
}
