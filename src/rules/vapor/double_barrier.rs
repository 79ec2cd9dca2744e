//! Something that water harms stands between two layers that pass next to no vapor.

use super::skin::{between, harmed, resistance, stands, stays_tight};
use super::wall;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Permeance, ThermalResistance};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::Bond;
use crate::catalog::codes::CLASS_LIMITS;
use crate::model::layer::{Body, Layer};
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::path::{Part, Path};
use crate::rules::facts::{Look, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "vapor/double-barrier",
    summary: "something moisture-sensitive between two vapor barriers",
    weight: Weight::Stop,
    page: include_str!("double_barrier.md"),
    run: Run::Surface(run),
};

/// With less than this between a bonded sheet and a sheet of class I nothing insulates there. Our own choice.
const UNINSULATED: ThermalResistance = ThermalResistance::new(0.3);

/// So much under a board makes it one that lies on the insulation. Our own choice.
const ON_INSULATION: ThermalResistance = ThermalResistance::new(1.0);

/// Two barriers with something between.
struct Pair<'a> {
    outer: (&'a Layer, &'a str, Permeance),
    inner: (&'a Layer, &'a str, Permeance),
    between: &'a Layer,
    /// What of it water harms.
    what: &'static str,
    /// It is a board on the insulation of a compact roof.
    board: bool,
}

impl<'a> Pair<'a> {
    /// The bonded coat of a splashed side, where it is one of the two for that alone.
    fn splashed(&self) -> Option<&'a Layer> {
        [self.outer, self.inner].into_iter().find(|(_, _, p)| wall::class(*p) != Some(1)).map(|(layer, ..)| layer)
    }
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(pair)) => sink.found(tell(look, &pair)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether this rule tells of the section.
pub(super) fn speaks(look: &Look<'_>) -> bool {
    find(look).is_ok_and(|pair| pair.is_some())
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Pair<'a>>, Missing> {
    if !matches!(
        (&look.surface.first.place, &look.surface.last.place),
        (SidePlace::Room(_), _) | (_, SidePlace::Room(_))
    ) {
        return Ok(None);
    }
    let Some(path) = between(look)? else { return Ok(None) };
    let surface: &'a Surface = look.surface;
    let tight = |p: &Part<'_>| is_barrier(p) || is_splashed(surface, p);
    let barriers: Vec<(usize, &Part<'a>)> = path.parts.iter().enumerate().filter(|(_, p)| tight(p)).collect();
    for pair in barriers.windows(2) {
        let [(first, outer), (last, inner)] = pair else { continue };
        if !is_trap(surface, path, *first, *last) {
            continue;
        }
        let parts = || path.parts.iter().take(*last).skip(first + 1);
        let layer_of = |p: &Part<'_>| surface.layers.get(p.layer);
        // A board on the insulation of a compact roof counts last: what is worse is told before it.
        let mut hurt: Vec<(&Layer, &str, bool)> = parts()
            .enumerate()
            .filter_map(|(at, p)| {
                let layer = layer_of(p)?;
                Some((layer, harmed(layer, p)?, compact(surface, layer, resistance(parts().skip(at + 1)))))
            })
            .collect();
        hurt.sort_by_key(|(.., board)| *board);
        let hurt = hurt.first().copied();
        // Behind the bonded coat of a splashed side whatever lies there stays wet, be it harmed or not.
        let wet = || parts().filter_map(|p| layer_of(p).map(|l| (l, "stays wet", false))).next();
        let both = is_barrier(outer) && is_barrier(inner);
        let hurt = hurt.or_else(|| wet().filter(|_| !both));
        let of = |part: &Part<'a>| {
            Some((surface.layers.get(part.layer)?, part.stuff()?.name.as_str(), part.vapor.0.permeance()))
        };
        if let (Some((between, what, board)), Some(outer), Some(inner)) = (hurt, of(outer), of(inner)) {
            return Ok(Some(Pair { outer, inner, between, what, board }));
        }
    }
    Ok(None)
}

/// Class I, and it stays so when humid.
fn is_barrier(part: &Part<'_>) -> bool {
    part.stuff().is_some() && wall::class(part.vapor.0.permeance()) == Some(1) && stays_tight(part)
}

/// A sheet or coat bonded to what liquid water reaches: it need not be of class I to keep what is behind it from drying.
fn is_splashed(surface: &Surface, part: &Part<'_>) -> bool {
    let Some(m) = part.stuff().and_then(|s| s.material) else { return false };
    let bonded = m.bond() != Bond::Loose || surface.layers.get(part.layer).is_some_and(|l| l.seams.adhered);
    (surface.first.splashed || surface.last.splashed) && class::membrane(m) && bonded && stays_tight(part)
}

/// Whether a layer is a board over the insulation of a roof: the room's vapor does not reach it, and no member stands in it.
fn compact(surface: &Surface, layer: &Layer, inboard: ThermalResistance) -> bool {
    surface.kind == SurfaceKind::Roof && matches!(layer.body, Body::Sheet(_)) && inboard >= ON_INSULATION
}

/// Two of class I; or one of class I right behind the bonded sheet of a splashed side.
fn is_trap(surface: &Surface, path: &Path<'_>, first: usize, last: usize) -> bool {
    let (Some(outer), Some(inner)) = (path.parts.get(first), path.parts.get(last)) else { return false };
    let close = resistance(path.parts.iter().take(last).skip(first + 1)) < UNINSULATED;
    match (is_barrier(outer), is_barrier(inner)) {
        (true, true) => true,
        (true, false) => close && surface.last.splashed,
        (false, true) => close && surface.first.splashed,
        (false, false) => false,
    }
}

fn tell(look: &Look<'_>, pair: &Pair<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let limit = show.permeance(Permeance::new(CLASS_LIMITS.first().copied().unwrap_or_default() * PERM));
    let ((outer, outer_name, outer_dry), (inner, inner_name, inner_dry)) = (pair.outer, pair.inner);
    let least = show.permeance(Permeance::new(PERM));
    let both = stands(look, outer) && stands(look, inner);
    let weight = if both || pair.board { Weight::Watch } else { Weight::Stop };
    // The inner one is the easier to change, unless it is the one that stands or that keeps splashed water out.
    let splashed = pair.splashed();
    let keep_inner = splashed.map_or(stands(look, inner), |s| std::ptr::eq(s, inner));
    let (change, other, side) = if keep_inner { (outer, inner, "outside") } else { (inner, outer, "inside") };
    let note = splashed.map_or(String::new(), |s| {
        format!(
            " `{}` is bonded on the splashed side, and what it lets through wets `{}`.",
            s.label, pair.between.label
        )
    });
    let note = if pair.board {
        " On the insulation of a roof such a board is usual, and lasts if it is laid dry and covered before rain (common \
         practice, no source)."
            .to_string()
    } else {
        note
    };
    let help = if both {
        format!("open `{}` at one place, and measure its moisture before it is covered again", pair.between.label)
    } else if pair.board {
        format!("measure `{}` before it is covered, and cover it the same day", pair.between.label)
    } else if let Some(coat) = splashed.filter(|_| !stands(look, change)) {
        format!("leave `{}` out there: `{}` keeps vapor out by itself", change.label, coat.label)
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
             approved design with class I on both sides (IRC R702.7, from memory).{note}",
        show.permeance(outer_dry),
        show.permeance(inner_dry),
        pair.between.label,
        pair.what
    ))
    .help(help)
    .number("permeance_outer", outer_dry.si(), "kg/(s.m2.Pa)")
    .number("permeance_inner", inner_dry.si(), "kg/(s.m2.Pa)")
}
