//! More water at one time than the faces it lies on can hold, even though it dries again.

use super::lasting_condensate;
use super::wet::{self, Source, Wet};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{MoistureMass, ThermalResistance};
use crate::base::show::{Show, month_name};
use crate::catalog::Sensitivity;
use crate::physics::profile::MonthInput;
use crate::rules::facts::path::Part;
use crate::rules::facts::vent::aired_cladding;
use crate::rules::facts::{Look, PathYear, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/peak-condensate",
    summary: "more condensate at one time than the faces it lies on can hold",
    weight: Weight::Fix,
    page: include_str!("peak_condensate.md"),
    run: Run::Surface(run),
};

/// What the two faces at the water are, and what they may hold.
struct Limit {
    /// What they are.
    case: &'static str,
    /// The most water at one time, kg/m2.
    most: f64,
    /// Where the figure comes from.
    source: &'static str,
}

const RUNS_OFF: Limit =
    Limit { case: "neither face takes water up, so it runs off", most: 0.2, source: "ISO 13788:2012, from memory" };
const ONE_FACE: Limit =
    Limit { case: "one of the two faces takes no water up", most: 0.5, source: "DIN 4108-3, quoted in a trade page" };
const GENERAL: Limit =
    Limit { case: "both faces take water up", most: 1.0, source: "DIN 4108-3, quoted in a trade page" };
/// Share of their dry mass that wood and wood panels may take up.
const LUMBER_SHARE: f64 = 0.05;
const PANEL_SHARE: f64 = 0.03;
/// Less insulation than this outboard is none: a sheet or a thin board.
const BARE: ThermalResistance = ThermalResistance::new(0.2);
const WOOD_SOURCE: &str = "DIN 4108-3, quoted in a trade page";

/// Too much water at one time.
#[derive(Debug)]
pub(super) struct Peak {
    /// Where.
    pub wet: Wet,
    peak: MoistureMass,
    peak_month: u8,
    dry_month: Option<u8>,
    most: MoistureMass,
    case: String,
    path: &'static str,
    /// It lies where the air behind a vented cladding carries water off, which the sum knows nothing of.
    pub aired: bool,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let (months, years) = match (look.months(), look.years()) {
        (Ok(months), Ok(years)) => (months, years),
        (Err(missing), _) | (_, Err(missing)) => return sink.cannot(missing),
    };
    if let Err(missing) = wet::decidable(look) {
        return sink.cannot(&missing);
    }
    // Water that stays is told by the rule that says so.
    if years.iter().any(|of| lasting_condensate::find(look, months, of).is_some()) {
        return;
    }
    let worst = years.iter().filter_map(|of| find(look, months, of)).max_by(|a, b| a.over().total_cmp(&b.over()));
    if let Some(finding) = worst.and_then(|peak| tell(look, &peak)) {
        sink.found(finding);
    }
}

impl Peak {
    /// How many times the limit.
    pub(super) fn over(&self) -> f64 {
        self.peak / self.most
    }
}

/// The place of a path that is furthest over its limit.
pub(super) fn find(look: &Look<'_>, months: &[MonthInput; 12], of: &PathYear<'_>) -> Option<Peak> {
    let month = |at: usize| of.year.months.get(at).map(|m| m.month as u8 + 1);
    let judged = wet::places(look, months, of).into_iter().filter_map(|wet| {
        let (most, case) = limit(look, of, &wet);
        Some(Peak {
            peak: wet.zone.peak,
            peak_month: month(wet.zone.peak_at)?,
            dry_month: wet.zone.dry_at.and_then(month),
            most,
            case,
            path: of.path.kind.name(),
            aired: aired(look, of, &wet),
            wet,
        })
    });
    judged.filter(|p| p.peak > p.most).max_by(|a, b| a.over().total_cmp(&b.over()))
}

/// Winter water on what lies next to a vented gap, or behind a cladding that hangs open to air. Above the general limit no
/// cladding airs it away.
fn aired(look: &Look<'_>, of: &PathYear<'_>, wet: &Wet) -> bool {
    let outside = of.path.parts.iter().take(wet.part).map(|p| p.resistance).sum::<ThermalResistance>();
    let bare = outside < BARE;
    aired_cladding(look.surface, &look.draw) && wet.source == Source::Last && bare && wet.zone.peak.si() <= GENERAL.most
}

/// The least of the limits that hold at a place.
fn limit(look: &Look<'_>, of: &PathYear<'_>, wet: &Wet) -> (MoistureMass, String) {
    let faces = wet::faces(of, &wet.zone);
    let dry = faces.iter().filter(|p| !absorbs(p)).count();
    let face = match dry {
        0 => GENERAL,
        d if d == faces.len() => RUNS_OFF,
        _ => ONE_FACE,
    };
    let plain = (MoistureMass::new(face.most), format!("{} ({})", face.case, face.source));
    let wood = faces.iter().filter_map(|p| wood_limit(look, p));
    wood.fold(plain, |least, next| if next.0 < least.0 { next } else { least })
}

/// Draws water in. Wood and paper-faced board do, slowly, whatever their face.
fn absorbs(part: &Part<'_>) -> bool {
    let Some(material) = part.stuff().and_then(|s| s.material) else { return false };
    material.capillary() == Some(true) || matches!(material.sensitivity(), Sensitivity::Wood | Sensitivity::Paper)
}

fn wood_limit(look: &Look<'_>, part: &Part<'_>) -> Option<(MoistureMass, String)> {
    let stuff = part.stuff()?;
    let material = stuff.material.filter(|m| m.sensitivity() == Sensitivity::Wood)?;
    let (share, what) =
        if material.kind() == "lumber" { (LUMBER_SHARE, "wood") } else { (PANEL_SHARE, "a wood panel") };
    let density = stuff.density.map(|d| d.at(&look.draw)).or(material.density())?;
    let thickness = stuff.thickness.map(|t| t.at(&look.draw)).or(material.usual_thickness())?;
    let mass = density * thickness;
    Some((mass * share, format!("{what} may take up {:.0} % of its mass ({WOOD_SOURCE})", share * 100.0)))
}

fn tell(look: &Look<'_>, found: &Peak) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(found.wet.layer)?;
    let (peak, most) = show.waters_apart(found.peak, found.most);
    let message = format!("condensate at `{}` peaks at {peak}, {most} is the limit", label(layer));
    let dry = found.dry_month.map_or_else(String::new, |m| format!(" and is dry again in {}", month_name(m)));
    let (weight, caution) = if found.aired {
        (
            Weight::Watch,
            " Air behind the cladding carries some of it off, which this sum leaves out: look at it in spring.",
        )
    } else {
        (Weight::Fix, "")
    };
    let trust = wet::from_memory(look);
    Some(
        Finding::new(RULE.id, weight, layer.stuff_span, message)
            .label("water gathers here")
            .detail(format!(
                "{}, {} settles here ({}); it peaks in {}{dry}. The limit: {} (monthly means, diffusion only).{caution}{trust}",
                wet::capital(found.path),
                wet::vapor_of(look, found.wet.source),
                wet::spell(&found.wet.months),
                month_name(found.peak_month),
                found.case,
            ))
            .number("condensate_peak", found.peak.si(), "kg/m2")
            .number("condensate_limit", found.most.si(), "kg/m2"),
    )
}

#[cfg(test)]
mod tests {
    use super::super::testing::with_wall;
    use super::*;

    fn most(layers: &str) -> f64 {
        with_wall("duluth-mn-us", "70 F 45 %", layers, |look| {
            let months = look.months().unwrap();
            let of = &look.years().unwrap()[0];
            let wet = wet::places(look, months, of).remove(0);
            limit(look, of, &wet).0.si()
        })
    }

    #[test]
    fn each_pair_of_faces_has_its_limit() {
        let wall = |skin: &str, inside: &str| format!("  skin: {skin}\n  fill: {inside}\n  lining: drywall 1/2 in");
        assert!((most(&wall("sheet-steel 1 mm", "glass-batt 6 in")) - 0.2).abs() < 1e-9);
        assert!((most(&wall("solid-brick 8 in", "glass-batt 6 in")) - 0.5).abs() < 1e-9);
        // 3 % of 650 kg/m3 times 11 mm.
        let osb = most(&wall("osb 11 mm", "glass-batt 6 in"));
        assert!((osb - 0.03 * 650.0 * 0.011).abs() < 1e-9, "{osb}");
    }
}
