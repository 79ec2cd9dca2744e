//! Code tables, by edition: which vapor retarder a frame wall may have inside, how much insulation must lie outboard, how
//! much a house may leak, how much heat a surface may let through.
//!
//! Only figures; what they mean for a wall is for the rules. Invariant: a zone that an edition's table does not name has no
//! row, never a neighbor's row; every row carries its source. The adopted edition and local amendments govern.

use std::sync::OnceLock;

use serde::Deserialize;

use super::entries::{self, Entry};
use super::figure::Given;
use super::name::{self, Lookup};
use super::schema::{Access, Citation};
use super::zone::Zone;
use crate::base::quantity::{Fraction, Length, ThermalResistance, Transmittance};

static TABLES: &str = include_str!("data/codes.yaml");

/// Deepest member that counts as a 2x4: 3-1/2 in, and a little for metric sizes.
const TWO_BY_FOUR: Length = Length::new(0.095);

/// Vapor retarder classes by dry-cup permeance, US perm: I up to 0.1, II up to 1.0, III up to 10 (IRC section R202).
pub const CLASS_LIMITS: [f64; 3] = [0.1, 1.0, 10.0];

/// What an edition says of a class of vapor retarder on the inner side of frame walls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Permission {
    /// May be used.
    Allowed,
    /// Only under the conditions of the class III table.
    Conditional,
    /// May not be used.
    Barred,
}

/// What may lie under vented cladding to allow class III without outboard insulation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sheathing {
    /// Wood structural panel.
    WoodPanel,
    /// Fiberboard.
    Fiberboard,
    /// Gypsum sheathing.
    Gypsum,
}

/// Vapor retarders on the inner side of frame walls in one zone.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RetarderRule {
    zones: String,
    /// Class I.
    pub one: Permission,
    /// Class II.
    pub two: Permission,
    /// Class III.
    pub three: Permission,
    /// Whether one of them is needed at all.
    pub needed: bool,
    source: String,
    access: Access,
}

/// When class III is enough.
#[derive(Clone, Copy, Debug)]
pub struct ClassThree {
    /// Continuous insulation outboard.
    pub outboard: ThermalResistance,
    /// The same as a share of all insulation, with the cavity figure the table has in mind (R-13 in 2x4, R-20 in 2x6): for
    /// deeper framing or better fill hold the share, not the figure. Worked out here.
    pub share: Fraction,
    /// Sheathings over which vented cladding serves instead.
    pub vented_over: &'static [Sheathing],
    /// Where the row comes from.
    pub citation: Citation<'static>,
}

/// A least resistance with its source.
#[derive(Clone, Copy, Debug)]
pub struct Minimum {
    /// The least resistance.
    pub resistance: ThermalResistance,
    /// Where the row comes from.
    pub citation: Citation<'static>,
}

/// Which row of the table of transmittances a surface belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// A wall of wood framing.
    FrameWall,
    /// A wall of masonry, concrete or solid timber.
    MassWall,
    /// A ceiling under an attic.
    Ceiling,
    /// A roof without an attic.
    Roof,
    /// A floor over air that is not kept.
    Floor,
}

/// The most that a surface may transmit.
#[derive(Clone, Copy, Debug)]
pub struct MostTransmittance {
    /// U.
    pub u: Transmittance,
    /// Where the row comes from.
    pub citation: Citation<'static>,
}

/// The most that a house may leak.
#[derive(Clone, Copy, Debug)]
pub struct LeakageLimit {
    /// Air changes an hour at 50 Pa.
    pub ach50: f64,
    /// Where the row comes from.
    pub citation: Citation<'static>,
}

/// 2024: when no vapor retarder is needed.
#[derive(Clone, Copy, Debug)]
pub struct NoneNeeded {
    /// Least continuous insulation outboard.
    pub outboard: ThermalResistance,
    /// Most resistance of all that lies inboard of it.
    pub inboard_at_most: ThermalResistance,
    /// Where the row comes from.
    pub citation: Citation<'static>,
}

impl RetarderRule {
    /// Where the row comes from.
    pub fn citation(&self) -> Citation<'_> {
        Citation { source: &self.source, access: self.access }
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct DepthRow {
    zones: String,
    #[serde(default, rename = "vented-over")]
    vented_over: Vec<Sheathing>,
    #[serde(rename = "two-by-four")]
    two_by_four: Given<ThermalResistance>,
    #[serde(rename = "two-by-six")]
    two_by_six: Given<ThermalResistance>,
    source: String,
    access: Access,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RoofRow {
    zones: String,
    tight: Given<ThermalResistance>,
    source: String,
    access: Access,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct LeakageRow {
    zones: String,
    ach50: f64,
    source: String,
    access: Access,
}

/// Transmittances in Btu/(h ft2 F), as the codes print them.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct EnergyRow {
    zones: String,
    frame_wall: f64,
    mass_wall: f64,
    ceiling: f64,
    roof: f64,
    floor: f64,
    source: String,
    access: Access,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct NoneRow {
    zones: String,
    outboard: Given<ThermalResistance>,
    inboard: Given<ThermalResistance>,
    source: String,
    access: Access,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Tables {
    title: String,
    #[serde(rename = "aliases")]
    _aliases: Vec<String>,
    retarders: Vec<RetarderRule>,
    class_three: Vec<DepthRow>,
    #[serde(default)]
    class_two_with_foam: Vec<DepthRow>,
    #[serde(default)]
    none_needed: Vec<NoneRow>,
    unvented_roof: Vec<RoofRow>,
    leakage: Vec<LeakageRow>,
    energy: Vec<EnergyRow>,
}

/// One edition of a code.
#[derive(Debug)]
pub struct Edition {
    entry: Entry,
    read: OnceLock<Result<Tables, String>>,
}

fn store() -> &'static [Edition] {
    static STORE: OnceLock<Vec<Edition>> = OnceLock::new();
    STORE.get_or_init(|| {
        entries::split(TABLES).into_iter().map(|entry| Edition { entry, read: OnceLock::new() }).collect()
    })
}

/// All editions, oldest first.
pub fn editions() -> impl Iterator<Item = &'static Edition> {
    store().iter()
}

/// The edition of a name such as `irc-2021`.
pub fn edition(name: &str) -> Lookup<&'static Edition> {
    let name = name::normal(name);
    let names = |e: &Edition| e.entry.key == name || e.entry.is_alias(&name);
    if let Some(found) = store().iter().find(|e| names(e)) {
        return Lookup::Found(found);
    }
    let known: Vec<(&'static str, &'static str)> = store().iter().map(|e| (e.entry.key, e.entry.key)).collect();
    Lookup::Unknown { near: name::near_keys(&name, &known) }
}

impl Edition {
    /// Its name in the notation.
    pub fn key(&self) -> &'static str {
        self.entry.key
    }

    /// Its name for people.
    pub fn title(&'static self) -> &'static str {
        self.tables().map_or(self.entry.key, |t| t.title.as_str())
    }

    /// Its year, from its name.
    pub fn year(&self) -> u16 {
        self.entry.key.rsplit('-').next().and_then(|year| year.parse().ok()).unwrap_or_default()
    }

    /// What is wrong with its rows, if anything.
    pub fn fault(&'static self) -> Option<&'static str> {
        self.cell().as_ref().err().map(String::as_str)
    }

    fn cell(&'static self) -> &'static Result<Tables, String> {
        self.read.get_or_init(|| serde_yaml::from_str(self.entry.body).map_err(|e| e.to_string()))
    }

    fn tables(&'static self) -> Option<&'static Tables> {
        self.cell().as_ref().ok()
    }

    /// Which vapor retarders a frame wall may have on its inner side.
    pub fn retarder_rule(&'static self, zone: Zone) -> Option<&'static RetarderRule> {
        self.tables()?.retarders.iter().find(|row| names(&row.zones, zone))
    }

    /// When class III is enough on the inner side, for framing of this depth. None where the zone sets no condition.
    pub fn class_three_minimum(&'static self, zone: Zone, framing: Length) -> Option<ClassThree> {
        let row = self.tables()?.class_three.iter().find(|row| names(&row.zones, zone))?;
        let minimum = row.minimum(framing);
        let cavity = crate::base::unit::R_VALUE * if framing > TWO_BY_FOUR { 20.0 } else { 13.0 };
        let outboard = minimum.resistance;
        Some(ClassThree {
            outboard,
            share: Fraction::new(outboard.si() / (outboard.si() + cavity)),
            vented_over: &row.vented_over,
            citation: minimum.citation,
        })
    }

    /// Least foam outboard of a class II retarder, for framing of this depth. None where the edition or zone sets none.
    pub fn class_two_minimum(&'static self, zone: Zone, framing: Length) -> Option<Minimum> {
        let row = self.tables()?.class_two_with_foam.iter().find(|row| names(&row.zones, zone))?;
        Some(row.minimum(framing))
    }

    /// When no vapor retarder is needed because nearly all insulation lies outboard. None before 2024 and in zones 0 to 3.
    pub fn none_needed(&'static self, zone: Zone) -> Option<NoneNeeded> {
        let row = self.tables()?.none_needed.iter().find(|row| names(&row.zones, zone))?;
        Some(NoneNeeded {
            outboard: row.outboard.0,
            inboard_at_most: row.inboard.0,
            citation: Citation { source: &row.source, access: row.access },
        })
    }

    /// Least air-impermeable insulation against the deck of an unvented roof.
    pub fn unvented_roof_minimum(&'static self, zone: Zone) -> Option<Minimum> {
        let row = self.tables()?.unvented_roof.iter().find(|row| names(&row.zones, zone))?;
        Some(Minimum { resistance: row.tight.0, citation: Citation { source: &row.source, access: row.access } })
    }

    /// The most that a house may leak, tested with a fan.
    pub fn leakage_limit(&'static self, zone: Zone) -> Option<LeakageLimit> {
        let row = self.tables()?.leakage.iter().find(|row| names(&row.zones, zone))?;
        Some(LeakageLimit { ach50: row.ach50, citation: Citation { source: &row.source, access: row.access } })
    }

    /// The most that a surface may transmit where it is judged by itself.
    pub fn most_transmittance(&'static self, zone: Zone, part: Part) -> Option<MostTransmittance> {
        let row = self.tables()?.energy.iter().find(|row| names(&row.zones, zone))?;
        let printed = match part {
            Part::FrameWall => row.frame_wall,
            Part::MassWall => row.mass_wall,
            Part::Ceiling => row.ceiling,
            Part::Roof => row.roof,
            Part::Floor => row.floor,
        };
        let citation = Citation { source: &row.source, access: row.access };
        Some(MostTransmittance { u: Transmittance::new(printed / crate::base::unit::R_VALUE), citation })
    }
}

impl DepthRow {
    fn minimum(&'static self, framing: Length) -> Minimum {
        let given = if framing > TWO_BY_FOUR { self.two_by_six } else { self.two_by_four };
        Minimum { resistance: given.0, citation: Citation { source: &self.source, access: self.access } }
    }
}

/// Whether a row names a zone. Marine 4 is named by `4C` alone.
fn names(zones: &str, zone: Zone) -> bool {
    let number = zone.number.to_string();
    let wanted = if zone.is_marine_four() { "4C" } else { number.as_str() };
    zones.split(',').any(|z| z.trim() == wanted)
}
