//! Screws or ties through insulation that take a share worth telling.

use super::{TOLD, parted, thin_sheet, total, unbroken};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Conductivity, Length, ThermalResistance, Transmittance};
use crate::base::show::{Show, fixed};
use crate::model::layer::{Body, Layer};
use crate::model::value::Value;
use crate::physics::heat::{Fasteners, fastener_correction};
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/fastener-bridge",
    summary: "screws or ties that carry much heat through insulation",
    weight: Weight::Watch,
    page: include_str!("fastener_bridge.md"),
    run: Run::Surface(run),
};

/// Steel, and stainless steel (ISO 10456, from memory).
const STEEL: Conductivity = Conductivity::new(50.0);
const STAINLESS: Conductivity = Conductivity::new(17.0);
/// Section of a screw or tie 3/16 in thick (4.8 mm), m2. Common practice, no source: the notation has no thickness.
const SECTION: f64 = 18.0e-6;

/// Fasteners and what they go through.
struct Pierced<'a> {
    by: &'static str,
    layer: &'a Layer,
    through: &'a Layer,
    number: f64,
    depth: Length,
    resistance: ThermalResistance,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers = look.surface.layers.iter().enumerate();
    for pierced in layers.flat_map(|(at, layer)| find(look, at, layer)) {
        sink.take(judge(look, &pierced));
    }
}

fn find<'a>(look: &Look<'a>, at: usize, layer: &'a Layer) -> Vec<Pierced<'a>> {
    let of = |by, both: Option<&(Value<Length>, Value<Length>)>| {
        let (across, along) = both?;
        let number = 1.0 / (across.at(&look.draw).si() * along.at(&look.draw).si());
        pierced(look, at, layer, by, number)
    };
    let (screws, ties) = (layer.words.screws.as_deref(), layer.words.ties.as_deref());
    of("screws", screws).into_iter().chain(of("ties", ties)).collect()
}

/// From the layer that has them inward to the first thing that holds them.
fn pierced<'a>(look: &Look<'a>, at: usize, layer: &'a Layer, by: &'static str, number: f64) -> Option<Pierced<'a>> {
    let own = unbroken(layer, &look.draw).is_some();
    let start = if own { at } else { at + 1 };
    let counts = left_out(look.surface, &look.draw);
    let mut found: Option<Pierced<'a>> = None;
    for (index, next) in look.surface.layers.iter().enumerate().skip(start) {
        match unbroken(next, &look.draw) {
            // Outside of a vented gap nothing is lost that was there.
            Some(_) if index < counts => {}
            Some(stuff) => {
                let depth = stuff.thickness.as_ref()?.at(&look.draw);
                let resistance = stuff.resistance_at(&look.draw)?;
                let so_far = found.get_or_insert(Pierced {
                    by,
                    layer,
                    through: next,
                    number,
                    depth: Length::ZERO,
                    resistance: ThermalResistance::ZERO,
                });
                so_far.depth += depth;
                so_far.resistance += resistance;
            }
            None if matches!(next.body, Body::Gap(_)) || thin_sheet(next, &look.draw) => {}
            None => break,
        }
    }
    found
}

fn judge(look: &Look<'_>, pierced: &Pierced<'_>) -> Result<Option<Finding>, Missing> {
    if !parted(look)? {
        return Ok(None);
    }
    let whole = total(look)?;
    let more = |conductivity| -> Result<Transmittance, Missing> {
        let each = Fasteners { conductivity, section: SECTION, number: pierced.number };
        fastener_correction(each, pierced.depth, pierced.resistance, whole)
            .map_err(|e| Missing::new(pierced.layer.stuff_span, e.to_string()))
    };
    let (steel, stainless) = (more(STEEL)?, more(STAINLESS)?);
    let u = whole.transmittance();
    Ok((steel > u * TOLD).then(|| tell(look, pierced, u, steel, stainless)))
}

fn tell(
    look: &Look<'_>,
    pierced: &Pierced<'_>,
    u: Transmittance,
    steel: Transmittance,
    stainless: Transmittance,
) -> Finding {
    let show = Show { metric: look.job.metric };
    let percent = |more: Transmittance| fixed(more / u * 100.0, 0);
    let message =
        format!("{} through `{}` raise its heat loss by {} %", pierced.by, label(pierced.through), percent(steel));
    // What more of the same resistance brings the sum back to where it was reckoned.
    let lost = u.resistance() - (u + steel).resistance();
    Finding::new(RULE.id, Weight::Watch, pierced.layer.stuff_span, message)
        .label("metal through the insulation")
        .detail(format!(
            "ISO 6946 Annex F (from memory) for {} fasteners a square meter through {}: 0.8 x 50 W/(m.K) x 18 mm2 each \
             (3/16 in thick: common practice, no source). {} becomes {}. U-values here are computed without fasteners.",
            fixed(pierced.number, 1),
            show.length(pierced.depth),
            show.transmittance(u),
            show.transmittance(u + steel),
        ))
        .help(format!(
            "use stainless steel ({} %), or add {} of insulation to make up for it",
            percent(stainless),
            show.resistance(lost)
        ))
        .number("transmittance", u.si(), "W/(m2.K)")
        .number("transmittance_added", steel.si(), "W/(m2.K)")
}
