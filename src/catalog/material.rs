//! A material, and what its figures say for a thickness.
//!
//! Not here: what the author wrote instead (model), films and air spaces (physics). Invariant: a figure is handed out only
//! if the data have it; a missing one is `None`, never a guess.

use std::sync::OnceLock;

use super::figure::Given;
use super::schema::{Access, Bond, Citation, Cup, Passes, Reservoir, Row, Seams, Sensitivity};
use crate::base::curve::Curve;
use crate::base::quantity::{
    AirPermeance, Conductivity, Density, Duration, Fraction, Length, Permeance, STILL_AIR, SpecificHeat, Temperature,
    ThermalResistance, WaterAbsorption,
};

/// Air permeance at 75 Pa up to which a material counts as an air barrier, L/(s m2).
/// IECC 2021 section C402.5.1.3 and its test, ASTM E2178: 0.004 cfm/ft2.
pub const AIR_BARRIER_LIMIT: AirPermeance = AirPermeance::new(0.02);

/// One generic material.
#[derive(Debug)]
pub struct Material {
    pub(super) key: &'static str,
    pub(super) row: Row,
    pub(super) curves: Curves,
    /// The groups of the table of pairs that hold it, a bit each; told when it is first asked for.
    pub(super) groups: OnceLock<u64>,
}

/// Its figures that follow something.
#[derive(Debug, Default)]
pub(super) struct Curves {
    /// Permeance, kg/(s m2 Pa), over relative humidity.
    pub humidity: Option<Curve>,
    /// Conductivity over that at the temperature its figure is given for, over mean temperature in degC.
    pub temperature: Option<Curve>,
}

impl Curves {
    /// The curves of a row; none where its points are no curve or do not hold its own figure.
    pub fn of(row: &Row) -> Option<Self> {
        let mut curves = Self::default();
        if let Some(series) = row.vapor.as_ref().and_then(|v| v.curve.as_ref()) {
            curves.humidity = Some(Curve::through(series.points.iter().map(|(h, w)| (h.0.si(), w.0.si())))?);
        }
        if let Some(heat) = &row.heat
            && let Some(series) = &heat.by_temperature
        {
            let own = heat.conductivity?.0.si();
            let held = |(_, c): &(_, Given<Conductivity>)| (c.0.si() / own - 1.0).abs() < 0.01;
            series.points.iter().find(|p| held(p))?;
            curves.temperature = Some(Curve::through(series.points.iter().map(|(t, c)| (t.0.si(), c.0.si() / own)))?);
        }
        Some(curves)
    }
}

impl Material {
    /// Its name in the notation.
    pub fn key(&self) -> &'static str {
        self.key
    }

    /// Further names.
    pub fn aliases(&self) -> impl Iterator<Item = &str> {
        self.row.aliases.iter().map(String::as_str)
    }

    /// One line on what it is.
    pub fn what(&self) -> &str {
        &self.row.what
    }

    /// The broad word that `unknown KIND` takes.
    pub fn kind(&self) -> &str {
        &self.row.kind
    }

    /// Chemical family, for pairs of materials in contact.
    pub fn family(&self) -> &str {
        &self.row.family
    }

    /// The thickness taken when none is written.
    pub fn usual_thickness(&self) -> Option<Length> {
        self.row.thickness.map(|t| t.0)
    }

    /// What its seams are before anybody treats them.
    pub fn seams(&self) -> Seams {
        self.row.seams
    }

    /// How it holds to what it lies on.
    pub fn bond(&self) -> Bond {
        self.row.bond
    }

    /// Conductivity, W/(m K); where only a resistance at a thickness is known, that thickness over it. None for a thing
    /// whose resistance does not follow its thickness, and where nothing is known.
    pub fn conductivity(&self) -> Option<Conductivity> {
        let heat = self.row.heat.as_ref()?;
        if let Some(conductivity) = heat.conductivity {
            return Some(conductivity.0);
        }
        let (at, resistance) = (heat.at?.0, heat.resistance?.0);
        (resistance > ThermalResistance::ZERO).then(|| at / resistance)
    }

    /// Thermal resistance of a thickness, m2 K/W, without films. A fixed resistance (hollow-backed siding, a laid roof)
    /// is the same at every thickness.
    pub fn resistance(&self, thickness: Length) -> Option<ThermalResistance> {
        if let Some(conductivity) = self.conductivity() {
            return Some(thickness / conductivity);
        }
        self.row.heat.as_ref()?.resistance.map(|r| r.0)
    }

    /// Whether its resistance is that of the thing as built, whatever thickness is written.
    pub fn resistance_is_fixed(&self) -> bool {
        self.row.heat.as_ref().is_some_and(|h| h.resistance.is_some() && h.at.is_none())
    }

    /// Density, dry.
    pub fn density(&self) -> Option<Density> {
        self.row.heat.as_ref()?.density.map(|d| d.0)
    }

    /// Specific heat, dry.
    pub fn specific_heat(&self) -> Option<SpecificHeat> {
        self.row.heat.as_ref()?.specific_heat.map(|c| c.0)
    }

    /// Vapor permeance of a thickness in one of the cups, kg/(s m2 Pa); zero for what passes none. The still-air
    /// permeability of ISO 13788 turns mu and sd into it. None where nothing is known, and for a thickness that is not
    /// positive where the permeance follows it.
    pub fn permeance(&self, thickness: Length, cup: Cup) -> Option<Permeance> {
        let vapor = self.row.vapor.as_ref()?;
        let solid = thickness > Length::ZERO;
        if let Some(mu) = &vapor.mu {
            let mu = if cup == Cup::Dry { mu.dry.0 } else { mu.wet.0 };
            return solid.then(|| Permeance::new(STILL_AIR.si() / (mu.si() * thickness.si())));
        }
        if let Some(sd) = &vapor.sd {
            return Some(if cup == Cup::Dry { sd.dry.0 } else { sd.wet.0 }.permeance());
        }
        let (permeance, at) = match (&self.curves.humidity, &vapor.permeance) {
            (Some(curve), _) => (Permeance::new(curve.at(cup.humidity())), vapor.at),
            (None, Some(measured)) => (if cup == Cup::Dry { measured.dry.0 } else { measured.wet.0 }, measured.at),
            (None, None) => return None,
        };
        match at {
            Some(at) => solid.then(|| permeance * (at.0 / thickness)),
            None => Some(permeance),
        }
    }

    /// Whether its permeance is that of the thing as built, whatever thickness is written.
    pub fn permeance_is_fixed(&self) -> bool {
        let fixed = |v: &super::schema::Vapor| match &v.permeance {
            Some(measured) => measured.at.is_none(),
            None => v.sd.is_some() || v.curve.is_some() && v.at.is_none(),
        };
        self.row.vapor.as_ref().is_some_and(fixed)
    }

    /// Its permeance over relative humidity (0 to 1), in kg/(s m2 Pa) at the thickness of its series; for a layer it
    /// counts as a shape. None where only cups are known, or nothing.
    pub fn by_humidity(&self) -> Option<&Curve> {
        self.curves.humidity.as_ref()
    }

    /// How the points of its permeance over humidity were obtained.
    pub fn humidity_basis(&self) -> Option<&str> {
        Some(&self.row.vapor.as_ref()?.curve.as_ref()?.basis)
    }

    /// The thickness for which [`Material::by_humidity`] holds; none where it holds for any.
    pub fn humidity_thickness(&self) -> Option<Length> {
        self.row.vapor.as_ref()?.at.map(|at| at.0)
    }

    /// Its conductivity over the mean temperature of the layer in degC, as a multiple of [`Material::conductivity`]. None
    /// where it is not known to follow.
    pub fn by_temperature(&self) -> Option<&Curve> {
        self.curves.temperature.as_ref()
    }

    /// How the points of its conductivity over temperature were obtained.
    pub fn temperature_basis(&self) -> Option<&str> {
        Some(&self.row.heat.as_ref()?.by_temperature.as_ref()?.basis)
    }

    /// Air through the material without its joints, at 75 Pa. Zero where it is too little to measure; None where nothing
    /// is known or where air passes freely ([`Material::air_open`] tells them apart).
    pub fn air_permeance(&self) -> Option<AirPermeance> {
        let air = self.row.air.as_ref()?;
        match air.passes {
            Some(Passes::Nothing) => Some(AirPermeance::new(0.0)),
            Some(Passes::Freely) => None,
            None => air.permeance.map(|p| p.0),
        }
    }

    /// Whether the material alone meets [`AIR_BARRIER_LIMIT`]; its seams are another matter. None where nothing is known.
    pub fn air_tight(&self) -> Option<bool> {
        if self.air_open() {
            return Some(false);
        }
        self.air_permeance().map(|p| p <= AIR_BARRIER_LIMIT)
    }

    /// The thickness from which it is as tight as that; none where its thickness does not decide.
    pub fn air_tight_from(&self) -> Option<Length> {
        self.row.air.as_ref()?.from.map(|d| d.0)
    }

    /// Whether air passes freely.
    pub fn air_open(&self) -> bool {
        self.row.air.as_ref().is_some_and(|a| a.passes == Some(Passes::Freely))
    }

    /// What water does to it; not harmed where nothing is said.
    pub fn sensitivity(&self) -> Sensitivity {
        self.row.moisture.as_ref().map_or(Sensitivity::None, |m| m.sensitive)
    }

    /// How much water it stores; none where nothing is said.
    pub fn reservoir(&self) -> Reservoir {
        self.row.moisture.as_ref().map_or(Reservoir::No, |m| m.reservoir)
    }

    /// Whether it draws liquid water in. None where nothing is said.
    pub fn capillary(&self) -> Option<bool> {
        self.row.moisture.as_ref().map(|m| m.capillary)
    }

    /// Water absorption coefficient.
    pub fn absorption(&self) -> Option<WaterAbsorption> {
        self.row.moisture.as_ref()?.absorption.map(|a| a.0)
    }

    /// Water held at 80 % relative humidity, kg/m3.
    pub fn water_at_80(&self) -> Option<Density> {
        self.row.moisture.as_ref()?.w80.map(|w| w.0)
    }

    /// Coldest and hottest service temperature.
    pub fn service_temperatures(&self) -> (Option<Temperature>, Option<Temperature>) {
        self.row.limits.as_ref().map_or((None, None), |l| (l.coldest.map(|t| t.0), l.hottest.map(|t| t.0)))
    }

    /// How long it is usually left to daylight; a class habit, never a pass.
    pub fn daylight_limit(&self) -> Option<Duration> {
        self.row.limits.as_ref()?.daylight.map(|d| d.0)
    }

    /// Long-wave emittance of its face, clean.
    pub fn emittance(&self) -> Option<Fraction> {
        self.row.limits.as_ref()?.emittance.map(|e| e.0)
    }

    /// Whether it is a mat or dimpled sheet that keeps a gap of its own thickness, in which water runs and air may move.
    pub fn keeps_gap(&self) -> bool {
        matches!(self.key, "drainage-mat" | "dimple-sheet")
    }

    /// Whether, as a cladding, it is usually hung so that air moves behind or through it. None for what is no cladding.
    pub fn vented_cladding(&self) -> Option<bool> {
        self.row.cladding.as_ref().map(|c| c.vented)
    }

    /// Outward permeance that the cladding is worth when vented as usual.
    pub fn cladding_allowance(&self) -> Option<Permeance> {
        self.row.cladding.as_ref()?.allowance.map(|p| p.0)
    }

    /// Of a bought window or door: whether it usually has a nailing flange, and whether its frame has weeps.
    pub fn unit(&self) -> Option<(bool, bool)> {
        self.row.unit.as_ref().map(|u| (u.flanged, u.weeps))
    }

    /// Where its conductivity or resistance, density and specific heat come from.
    pub fn heat_source(&self) -> Option<Citation<'_>> {
        self.row.heat.as_ref().map(|g| cite(&g.source, g.access))
    }

    /// Where its permeance comes from.
    pub fn vapor_source(&self) -> Option<Citation<'_>> {
        self.row.vapor.as_ref().map(|g| cite(&g.source, g.access))
    }

    /// Where its air permeance comes from.
    pub fn air_source(&self) -> Option<Citation<'_>> {
        self.row.air.as_ref().map(|g| cite(&g.source, g.access))
    }

    /// Where its moisture figures and its sensitivity come from.
    pub fn moisture_source(&self) -> Option<Citation<'_>> {
        self.row.moisture.as_ref().map(|g| cite(&g.source, g.access))
    }

    /// Where its temperature, daylight and emittance figures come from.
    pub fn limits_source(&self) -> Option<Citation<'_>> {
        self.row.limits.as_ref().map(|g| cite(&g.source, g.access))
    }

    /// Where its cladding allowance comes from.
    pub fn cladding_source(&self) -> Option<Citation<'_>> {
        self.row.cladding.as_ref().map(|g| cite(&g.source, g.access))
    }

    /// Where what is said of a bought unit comes from.
    pub fn unit_source(&self) -> Option<Citation<'_>> {
        self.row.unit.as_ref().map(|g| cite(&g.source, g.access))
    }
}

fn cite(source: &str, access: Access) -> Citation<'_> {
    Citation { source, access }
}
