//! A closed timber part that could dry by little more in a summer than what a winter leaves in it.

use super::wet::{self, Source};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{MoistureMass, Pressure, Temperature, ThermalResistance, VaporThickness};
use crate::base::show::Show;
use crate::model::room::RoomAir;
use crate::model::surface::SidePlace;
use crate::physics::profile::{Air, MonthInput, Solver};
use crate::physics::reserve;
use crate::rules::facts::path::{Part, PathKind, members_of};
use crate::rules::facts::{Look, Missing, PathYear, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "dew/thin-drying-reserve",
    summary: "a closed timber part with little drying in hand",
    weight: Weight::Watch,
    page: include_str!("thin_drying_reserve.md"),
    run: Run::Surface(run),
};

/// What is asked of roofs, and of walls and ceilings (DIN 68800-2, from memory; 250 g/m2 read).
const ROOF: MoistureMass = MoistureMass::new(0.250);
const WALL: MoistureMass = MoistureMass::new(0.100);
/// Winter of 90 days: outdoors and the room (DIN 4108-3:2014, read in a digest of a textbook).
const OUTDOORS: Air = Air { temperature: Temperature::new(-5.0), vapor: Pressure::new(321.0) };
const ROOM: Air = Air { temperature: Temperature::new(20.0), vapor: Pressure::new(1168.0) };
/// A side that is more open than this is not closed: what settles there is the affair of the yearly sum. Our own choice.
const CLOSED: VaporThickness = VaporThickness::new(0.5);
/// Less insulation than this is none. Our own choice.
const LITTLE: ThermalResistance = ThermalResistance::new(0.5);
/// Where these rules are the trade's.
const COUNTRIES: [&str; 3] = ["AT", "CH", "DE"];

/// A plane with its reserve.
struct Reserve {
    layer: usize,
    condensed: MoistureMass,
    dries: MoistureMass,
    least: MoistureMass,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    if !asked(look) {
        return;
    }
    match find(look) {
        Ok(Some(thin)) => sink.findings.extend(tell(look, &thin)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// A wall, roof or ceiling of a heated room that nobody cools or keeps damp, outdoors on the other side, in these countries.
fn asked(look: &Look<'_>) -> bool {
    let here = look.job.climate.as_ref().and_then(|c| c.country).is_some_and(|c| COUNTRIES.contains(&c));
    let SidePlace::Room(room) = look.surface.last.place else { return false };
    let heated = matches!(look.job.room(room).map(|r| &r.air),
        Some(RoomAir::Kept { heated: Some(h), cooled: None }) if !h.held);
    let kind = matches!(look.surface.kind, SurfaceKind::Wall | SurfaceKind::Roof);
    here && heated && kind && matches!(look.surface.first.place, SidePlace::Outdoors) && !look.surface.facts.existing
}

fn find(look: &Look<'_>) -> Result<Option<Reserve>, Missing> {
    let years = look.years().map_err(Clone::clone)?;
    let wood =
        |of: &PathYear<'_>| of.path.parts.iter().any(|p| p.stuff().and_then(|s| s.material).is_some_and(class::wood));
    let any = years.iter().any(wood);
    let bay = years.iter().find(|y| matches!(y.path.kind, PathKind::Bay | PathKind::Whole));
    let Some(of) = bay.filter(|of| any && of.path.parts.iter().any(|p| p.resistance >= LITTLE)) else {
        return Ok(None);
    };
    let refuse = |e: crate::physics::Error| Missing::new(look.surface.span, e.to_string());
    let spell = MonthInput { outdoor: OUTDOORS, indoor: ROOM, duration: reserve::PERIOD };
    let winter = Solver::default().sequence(&of.path.build(), &[spell], &[]).map_err(refuse)?;
    let Some(month) = winter.months.first() else { return Ok(None) };
    let node = month.mass.iter().enumerate().max_by(|a, b| a.1.si().total_cmp(&b.1.si()));
    let node = node.filter(|(_, m)| **m > MoistureMass::ZERO).and_then(|(at, _)| winter.nodes.get(at));
    let (part, depth) = node.map_or_else(|| (timber(look, years, of), 0.0), |n| (n.layer, n.depth.si()));
    // Each layer at the humidity that it has over the year.
    let vapor = |(at, p): (usize, &Part<'_>)| p.permeance(of.mean_humidity(at)).vapor_thickness();
    let layers: Vec<VaporThickness> = of.path.parts.iter().enumerate().map(vapor).collect();
    let Some((before, rest)) = layers.split_at_checked(part) else { return Ok(None) };
    let within = rest.first().map_or(VaporThickness::ZERO, |l| *l * depth);
    let sd = |parts: &[VaporThickness]| parts.iter().copied().sum::<VaporThickness>();
    let (outside, inside) = (sd(before) + within, sd(rest) - within);
    if outside < CLOSED || inside < CLOSED {
        return Ok(None);
    }
    let roof = look.surface.kind == SurfaceKind::Roof;
    let dries = reserve::drying(outside, inside, roof).map_err(|e| Missing::new(look.surface.span, e.to_string()))?;
    let layer = of.path.parts.get(part).map_or(0, |p| p.layer);
    let least = if roof { ROOF } else { WALL };
    let thin = Reserve { layer, condensed: month.total(), dries, least };
    Ok((dries - thin.condensed < least && wet::room_side(look) == Source::Last).then_some(thin))
}

/// The part behind the cold face of the outermost timber: of members the bay, of a board what lies inside of it.
fn timber(look: &Look<'_>, years: &[PathYear<'_>], of: &PathYear<'_>) -> usize {
    let wood = |p: &Part<'_>| p.stuff().and_then(|s| s.material).is_some_and(class::wood);
    let all = years.iter().flat_map(|y| &y.path.parts);
    let Some(layer) = all.filter(|p| wood(p)).map(|p| p.layer).min() else { return 0 };
    let members = look.surface.layers.get(layer).is_some_and(|l| members_of(l).is_some());
    let at = of.path.parts.iter().position(|p| p.layer == layer).unwrap_or(0);
    if members { at } else { at + 1 }
}

fn tell(look: &Look<'_>, thin: &Reserve) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(thin.layer)?;
    let left = thin.dries - thin.condensed;
    Some(
        Finding::new(
            RULE.id,
            Weight::Watch,
            layer.stuff_span,
            format!("`{}` has {} of drying in hand a year, {} is asked", label(layer), show.water(left), show.water(thin.least)),
        )
        .label("dries slowly")
        .detail(format!(
            "In 90 days of winter at -5 and 20 C, 50 %, {} settle there; 90 days of summer take {} away to both sides \
             (DIN 4108-3:2014, in a digest of a textbook). Timber closed in wants the difference in hand for leaks and what \
             rain brings: 250 g/m2 in roofs, 100 g/m2 in walls (DIN 68800-2, from memory; an article on it, read).",
            show.water(thin.condensed),
            show.water(thin.dries),
        ))
        .help(
            "use a sheet that opens when it is humid in place of a tight one inside, such as `smart-membrane`, or open the \
             outside to vapor",
        )
        .number("drying_reserve", left.si(), "kg/m2")
        .number("drying_reserve_least", thin.least.si(), "kg/m2"),
    )
}
