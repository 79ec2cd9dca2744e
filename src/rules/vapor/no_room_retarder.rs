//! Winter water in a wall that is there only because nothing on its room side slows vapor enough.

use super::skin::{self, stands};
use super::winter::{season, winter};
use super::{class_three_unearned, cold_side_tight, responsive_in_humid_room, wall};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::ThermalResistance;
use crate::base::quantity::{MoistureMass, Permeance, VaporThickness};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::model::layer::Layer;
use crate::rules::dew::criteria::{self, Met};
use crate::rules::facts::path::{Follows, Part, PartKind, PathKind};
use crate::rules::facts::vent::aired_cladding;
use crate::rules::facts::{Look, Missing, PathYear, capital};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/no-room-retarder",
    summary: "winter water that a vapor retarder on the room side would stop",
    weight: Weight::Fix,
    page: include_str!("no_room_retarder.md"),
    run: Run::Surface(run),
};

/// Looser than class II, perm: no retarder to speak of in a humid room.
const LOOSE: f64 = 1.0;
/// What is tried on the room face, perm: class I.
const TRIED: f64 = 0.1;
/// Less than this after a year the rule on condensate calls little, kg/m2.
const LITTLE: f64 = 0.010;

/// What passes the room side and gathers.
struct Bare<'a> {
    /// The tightest layer of the room side, at the humidity it has.
    tightest: Option<(&'a Layer, Permeance)>,
    last: &'a Layer,
    met: Met,
    /// Air behind the cladding carries some of it off.
    aired: bool,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(bare)) => match tell(look, &bare) {
            Ok(finding) => sink.found(finding),
            Err(missing) => sink.cannot(&missing),
        },
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether this rule tells of the wall.
pub(super) fn speaks(look: &Look<'_>) -> bool {
    find(look).is_ok_and(|bare| bare.is_some())
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Bare<'a>>, Missing> {
    if !wall::outside_wall(look) {
        return Ok(None);
    }
    let surface: &'a crate::model::surface::Surface = look.surface;
    let months = look.months().map_err(Clone::clone)?;
    let years = look.years().map_err(Clone::clone)?;
    let Some(of) = years.iter().find(|y| matches!(y.path.kind, PathKind::Bay | PathKind::Whole)) else {
        return Ok(None);
    };
    let met = criteria::met(look, months, of);
    // Where it hangs on a layer nobody knows, the rule that counts the water says so.
    if !gathers(&met) || !of.path.parts.iter().all(skin::known) {
        return Ok(None);
    }
    let Some(loose) = skin::loose_insulation(&of.path) else { return Ok(None) };
    let tightest = tightest(of, loose);
    if tightest.is_some_and(|(_, p)| p.si() / PERM <= LOOSE) {
        return Ok(None);
    }
    // These name the same water, and say more of its cause.
    let named = class_three_unearned::speaks(look) || responsive_in_humid_room::speaks(look);
    if named || cold_side_tight::find(look)?.is_some() {
        return Ok(None);
    }
    let mended = look.year_of(coated(of), months)?;
    if gathers(&criteria::met(look, months, &mended)) {
        return Ok(None);
    }
    let Some(last) = surface.layers.last() else { return Ok(None) };
    let tightest = tightest.and_then(|(index, p)| Some((surface.layers.get(index)?, p)));
    Ok(Some(Bare { tightest, last, met, aired: aired_cladding(look.surface, &look.draw) && met.lasting.is_none() }))
}

/// Condensate that stays or is too much; humid layers alone are told as they are.
fn gathers(met: &Met) -> bool {
    met.lasting.is_some_and(|left| left >= LITTLE) || met.peak.is_some()
}

/// The layer of the tightest part inside of the loose insulation, at its own mean humidity.
fn tightest(of: &PathYear<'_>, loose: usize) -> Option<(usize, Permeance)> {
    let parts = of.path.parts.iter().enumerate().skip(loose + 1).filter(|(_, p)| p.stuff().is_some());
    let passes = parts.map(|(at, p)| (p.layer, p.permeance(of.mean_humidity(at))));
    passes.min_by(|a, b| a.1.si().total_cmp(&b.1.si()))
}

/// The same path with a coat of class I on the room face.
fn coated<'a>(of: &PathYear<'a>) -> crate::rules::facts::path::Path<'a> {
    let mut path = of.path.clone();
    let tight: VaporThickness = Permeance::new(TRIED * PERM).vapor_thickness();
    let layer = path.parts.last().map_or(0, |p| p.layer);
    path.parts.push(Part {
        layer,
        kind: PartKind::Tried,
        resistance: ThermalResistance::ZERO,
        vapor: (tight, tight),
        follows: Follows::default(),
    });
    path
}

fn tell(look: &Look<'_>, bare: &Bare<'_>) -> Result<Finding, Missing> {
    let show = Show { metric: look.job.metric };
    let stands = stands(look, bare.last);
    let weight = if stands || bare.aired { Weight::Watch } else { Weight::Fix };
    let (span, has) = match bare.tightest {
        Some((layer, p)) => {
            let passes = show.permeance(p);
            (
                layer.stuff_span,
                format!("the tightest layer there, `{}`, passes {passes} at the humidity it has", layer.label),
            )
        }
        None => (bare.last.stuff_span, "nothing lies inside of the insulation".to_string()),
    };
    let water = match bare.met {
        Met { lasting: Some(left), .. } => {
            format!("{} of condensate is left after a year", show.water(MoistureMass::new(left)))
        }
        Met { peak, .. } => format!("condensate peaks at {:.1} times what its place may hold", peak.unwrap_or(1.0)),
    };
    let air = match winter(look)? {
        Some(w) => format!(" The room has {} on average {}.", show.humidity(w.humidity), season(show)),
        None => String::new(),
    };
    let least = show.permeance(Permeance::new(TRIED * PERM));
    let finding = Finding::new(RULE.id, weight, span, "too little on the room side slows vapor for a room this humid")
        .label("vapor passes here")
        .detail(format!(
            "Inside of the insulation {has}. {}: with {least} on the room face it would not come about (both computed over \
             the year; monthly means, diffusion only).{air}",
            capital(&water)
        ))
        .help(if stands {
            format!("open the wall at `{}` in late winter, and look; then ask for a retarder paint", bare.last.label)
        } else {
            "put a class II layer inside of the studs: `retarder: smart-film, lapped 6 in, taped -> vapor`".to_string()
        });
    let finding = bare.met.lasting.into_iter().fold(finding, |f, left| f.number("condensate_left", left, "kg/m2"));
    Ok(bare.tightest.into_iter().fold(finding, |f, (_, p)| f.number("permeance_room_side", p.si(), "kg/(s.m2.Pa)")))
}
