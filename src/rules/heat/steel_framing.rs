//! Metal members through the insulation, with too little insulation across them.

use super::{LITTLE, between_metal, girts, parted};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, ThermalResistance};
use crate::base::show::Show;
use crate::base::unit::R_VALUE;
use crate::model::layer::{Layer, Members};
use crate::rules::facts::path::{Path, PathKind, members_of};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "heat/steel-framing",
    summary: "insulation between metal members with too little across them",
    weight: Weight::Fix,
    page: include_str!("steel_framing.md"),
    run: Run::Surface(run),
};

/// What batts between steel studs are worth, R-values: as labeled, at 16 in, at 24 in.
///
/// ASHRAE 90.1-2010 Table A9.2B. R-19 at 16 in is quoted in a trade article; the other figures are from memory.
const WORTH: [(f64, f64, f64); 7] = [
    (0.0, 0.0, 0.0),
    (11.0, 5.5, 6.6),
    (13.0, 6.0, 7.2),
    (15.0, 6.4, 7.8),
    (19.0, 7.1, 8.6),
    (21.0, 7.4, 9.0),
    (25.0, 7.8, 9.6),
];
const STUD_SOURCE: &str = "ASHRAE 90.1-2010 Table A9.2B; R-19 quoted in a trade article, the rest from memory";
/// Roofs and floors have no such table at hand: half. Common practice, no source.
const HALF: f64 = 0.5;
const HALF_SOURCE: &str = "half of it, common practice, no source";
/// From here on the column for 24 in holds.
const WIDE: Length = Length::new(0.508);
/// Of what lies between girts at most half counts as lying across (`heat/metal-girts`).
const GIRTS: f64 = 0.5;

/// Metal across insulation.
#[derive(Debug)]
struct Crossed {
    layer: usize,
    /// In the bays, as written.
    bays: ThermalResistance,
    /// What it is worth between metal.
    worth: ThermalResistance,
    source: &'static str,
    /// Insulation across the members.
    across: ThermalResistance,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match (parted(look), look.paths()) {
        (Ok(false), _) => {}
        (Ok(true), Ok(paths)) => {
            let bay = paths.iter().find(|p| p.kind == PathKind::Bay);
            if let Some(finding) = bay.and_then(|p| find(look, p)).and_then(|c| tell(look, &c)) {
                sink.found(finding);
            }
        }
        (Err(missing), _) => sink.cannot(&missing),
        (_, Err(missing)) => sink.cannot(missing),
    }
}

fn find(look: &Look<'_>, bay: &Path<'_>) -> Option<Crossed> {
    let metal = |at: usize| look.surface.layers.get(at).and_then(members_of).filter(|m| m.metal);
    let of = |at: usize| bay.parts.iter().filter(|p| p.layer == at).map(|p| p.resistance).sum::<ThermalResistance>();
    let (layer, members) = (bay.left_out..look.surface.layers.len())
        .filter_map(|at| metal(at).filter(|_| !girts(look, at)).map(|m| (at, m)))
        .max_by(|a, b| of(a.0).si().total_cmp(&of(b.0).si()))?;
    let bays = of(layer);
    if bays < LITTLE {
        return None;
    }
    let (worth, source) = worth(look, members, bays);
    let across = across(look, bay);
    // Enough across makes up for what the metal takes. Our own choice; R-13 at 16 in asks R-7, and codes ask.
    (across < bays - worth).then_some(Crossed { layer, bays, worth, source, across })
}

/// Insulation on either side that no member crosses.
fn across(look: &Look<'_>, bay: &Path<'_>) -> ThermalResistance {
    let whole = |at: usize| look.surface.layers.get(at).is_some_and(|l| members_of(l).is_none());
    let insulates = |p: &&crate::rules::facts::path::Part<'_>| {
        p.stuff().and_then(|s| s.material).is_some_and(|m| m.conductivity().is_some_and(|c| c.si() < 0.07))
            || p.stuff().is_some_and(|s| s.resistance.is_some())
    };
    let straight: ThermalResistance =
        bay.parts.iter().filter(|p| whole(p.layer)).filter(insulates).map(|p| p.resistance).sum();
    let crossed = (bay.left_out..look.surface.layers.len()).filter(|at| girts(look, *at));
    straight + crossed.filter_map(|at| between_metal(look, at)).sum::<ThermalResistance>() * GIRTS
}

fn worth(look: &Look<'_>, members: &Members, bays: ThermalResistance) -> (ThermalResistance, &'static str) {
    if look.surface.kind != SurfaceKind::Wall {
        return (bays * HALF, HALF_SOURCE);
    }
    let wide = members.spacing.at(&look.draw) >= WIDE;
    (ThermalResistance::new(between_studs(bays.si() / R_VALUE, wide) * R_VALUE), STUD_SOURCE)
}

/// The table, straight between its rows; its last row beyond.
fn between_studs(label: f64, wide: bool) -> f64 {
    let column = |row: &(f64, f64, f64)| if wide { row.2 } else { row.1 };
    let mut value = 0.0;
    for (a, b) in WORTH.iter().zip(WORTH.iter().skip(1)) {
        if label >= a.0 {
            let share = ((label - a.0) / (b.0 - a.0)).min(1.0);
            value = column(a) + (column(b) - column(a)) * share;
        }
    }
    value
}

fn tell(look: &Look<'_>, found: &Crossed) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer: &Layer = look.surface.layers.get(found.layer)?;
    let (bays, worth) = (show.resistance(found.bays), show.resistance(found.worth));
    let message = format!("{bays} between the metal of `{}` is worth {worth}", label(layer));
    let across = if found.across > ThermalResistance::ZERO {
        format!("{} across it does not make up for that", show.resistance(found.across))
    } else {
        "nothing lies across it".to_string()
    };
    let step = if look.job.metric { 0.1 } else { R_VALUE / 2.0 };
    let lost = found.bays - found.worth;
    let needed = ThermalResistance::new((lost.si() / step).ceil() * step);
    Some(
        Finding::new(RULE.id, Weight::Fix, layer.stuff_span, message)
            .label("metal through the insulation")
            .detail(format!(
                "Metal carries heat past what lies between it ({}), and {across}. The U-value is not told: the method \
                 for wood does not hold for metal (ISO 6946, from memory). Screws and clips through a layer across take \
                 some of it too.",
                found.source
            ))
            .help(format!("run at least {} of insulation across the metal, unbroken", show.resistance(needed)))
            .number("resistance_written", found.bays.si(), "m2.K/W")
            .number("resistance_worth", found.worth.si(), "m2.K/W"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ASHRAE 90.1-2010 Table A9.2B, R-19 at 16 in, as quoted in a trade article.
    #[test]
    fn r_19_between_studs_is_worth_r_7() {
        assert!((between_studs(19.0, false) - 7.1).abs() < 1e-9);
    }

    #[test]
    fn more_in_the_bays_never_is_worth_less_and_wider_spacing_is_better() {
        let figures = |wide| (0..60).map(|r| between_studs(f64::from(r), wide)).collect::<Vec<_>>();
        let (close, wide) = (figures(false), figures(true));
        assert!(close.windows(2).all(|w| w[0] <= w[1]));
        assert!(close.iter().zip(&wide).all(|(c, w)| c <= w));
        assert!(close.iter().enumerate().all(|(r, c)| *c <= r as f64));
    }
}
