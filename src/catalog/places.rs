//! Places with a year of monthly weather, for which a job can be set.
//!
//! Vapor pressure is over liquid water, as weather services report it; in a cold month it can exceed the saturation
//! pressure over ice. Invariant: relative humidity is never stored; a row is read when it is asked for, once.

use std::sync::OnceLock;

use super::name::{self, Lookup};
use super::zone::{Zone, ZoneBasis, ZoneRain, ZoneWeather, zone_from};
use crate::base::quantity::{Length, Pressure, Temperature};

/// One row a place; columns named in the first line, fields parted by semicolons.
static TABLE: &str = include_str!("data/places.csv");

/// Weather of one month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaceMonth {
    /// Mean air temperature.
    pub temperature: Temperature,
    /// Mean vapor pressure, over water.
    pub vapor: Pressure,
    /// Rain and snow, as water.
    pub rain: Option<Length>,
    /// Sun on a level surface, kWh/m2.
    pub sun: Option<f64>,
}

/// What the months of a place are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Record {
    /// Means over the years of the period.
    Mean,
    /// Twelve real months, each picked as typical: single months can be off by 2 K and a fifth in vapor pressure.
    TypicalYear,
    /// From a published table of monthly figures; vapor pressure good to 3 %.
    Table,
}

/// A place with its weather.
#[derive(Clone, Debug)]
pub struct Place {
    /// Its name in the notation.
    pub key: &'static str,
    /// Its name for people.
    pub title: &'static str,
    /// Country, two letters (ISO 3166).
    pub country: &'static str,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Height of the station above the sea.
    pub elevation: Length,
    /// January first.
    pub months: [PlaceMonth; 12],
    /// K d below 18.33 C in a year.
    pub heating_degree_days: Option<f64>,
    /// K d above 10 C in a year.
    pub cooling_degree_days: Option<f64>,
    /// Climate zone: of the county where a list gives one, else computed.
    pub zone: Zone,
    /// Years of the record.
    pub period: &'static str,
    /// What the months are.
    pub record: Record,
    /// The credit lines its data ask for.
    pub credit: Vec<&'static str>,
}

impl Place {
    /// State of the United States, two letters in lower case: the end of its name but the country.
    pub fn state(&self) -> Option<&'static str> {
        let state = self.key.strip_suffix("-us")?.rsplit('-').next()?;
        (state.len() == 2).then_some(state)
    }

    /// The weather its zone is worked out from.
    pub fn zone_weather(&self) -> ZoneWeather {
        let rains = self.months.map(|m| m.rain);
        let known = rains.iter().all(Option::is_some);
        ZoneWeather {
            temperatures: self.months.map(|m| m.temperature),
            rain: if known { ZoneRain::Months(rains.map(Option::unwrap_or_default)) } else { ZoneRain::Unknown },
            degree_days: self.heating_degree_days.zip(self.cooling_degree_days),
            southern: self.latitude < 0.0,
        }
    }

    /// Rain and snow of a year, where every month is known.
    pub fn yearly_rain(&self) -> Option<Length> {
        self.months.iter().map(|m| m.rain).sum()
    }
}

struct Slot {
    key: &'static str,
    row: &'static str,
    read: OnceLock<Option<Place>>,
}

impl Slot {
    fn place(&self) -> Option<&Place> {
        self.read.get_or_init(|| parse(self.row)).as_ref()
    }

    /// The title alone, without reading the row.
    fn title(&self) -> &'static str {
        self.row.split(';').nth(1).unwrap_or("")
    }
}

/// All rows. The file is sorted by key; a test holds that.
fn slots() -> &'static [Slot] {
    static SLOTS: OnceLock<Vec<Slot>> = OnceLock::new();
    SLOTS.get_or_init(|| {
        let rows = TABLE.split('\n').skip(1);
        rows.filter_map(|row| Some(Slot { key: row.split_once(';')?.0, row, read: OnceLock::new() })).collect()
    })
}

fn parse(row: &'static str) -> Option<Place> {
    let mut fields = row.split(';');
    let (key, title, country) = (fields.next()?, fields.next()?, fields.next()?);
    let mut number = || fields.next()?.parse::<f64>().ok();
    let (latitude, longitude, elevation) = (number()?, number()?, Length::new(number()?));
    let period = fields.next()?;
    let record = match fields.next()? {
        "mean" => Record::Mean,
        "typical-year" => Record::TypicalYear,
        "table" => Record::Table,
        _ => return None,
    };
    let temperatures = year(&mut fields)?;
    let pressures = year(&mut fields)?;
    let rains = year(&mut fields)?;
    let suns = year(&mut fields)?;
    let mut months =
        [PlaceMonth { temperature: Temperature::new(0.0), vapor: Pressure::ZERO, rain: None, sun: None }; 12];
    for ((month, t), (p, (rain, sun))) in
        months.iter_mut().zip(temperatures).zip(pressures.into_iter().zip(rains.into_iter().zip(suns)))
    {
        let rain = rain.map(|mm| Length::new(mm / 1000.0));
        *month = PlaceMonth { temperature: Temperature::new(t?), vapor: Pressure::new(p?), rain, sun };
    }
    let (heating_degree_days, cooling_degree_days) = (fields.next()?.parse().ok(), fields.next()?.parse().ok());
    let county = Zone::read(fields.next()?, ZoneBasis::County);
    let credit = fields.next()?.split('+').filter_map(credit_line).collect();
    let unset = Zone { number: 0, letter: None, basis: ZoneBasis::Computed };
    let mut place = Place {
        key,
        title,
        country,
        latitude,
        longitude,
        elevation,
        months,
        heating_degree_days,
        cooling_degree_days,
        zone: unset,
        period,
        record,
        credit,
    };
    place.zone = county.unwrap_or_else(|| zone_from(&place.zone_weather()));
    Some(place)
}

/// Twelve fields; an empty one is a month not known. None when the row ends too early.
fn year<'a>(fields: &mut impl Iterator<Item = &'a str>) -> Option<[Option<f64>; 12]> {
    let mut months = [None; 12];
    for month in &mut months {
        *month = fields.next()?.parse().ok();
    }
    Some(months)
}

/// The credit that a source of weather asks for.
fn credit_line(source: &str) -> Option<&'static str> {
    match source {
        "climat" => Some("Contains data of Deutscher Wetterdienst (CLIMAT), CC BY 4.0, averaged"),
        "tmy3" => Some("NREL TMY3"),
        "eccc" => Some("Environment and Climate Change Canada, Open Government Licence - Canada"),
        _ => None,
    }
}

/// The place of a key. Case, and spaces for hyphens, make no difference.
pub fn place(name: &str) -> Lookup<&'static Place> {
    let name = name::normal(name);
    let slots = slots();
    let found = slots.binary_search_by(|s| s.key.cmp(name.as_str())).ok().and_then(|at| slots.get(at));
    if let Some(place) = found.and_then(Slot::place) {
        return Lookup::Found(place);
    }
    let known: Vec<(&'static str, &'static str)> = slots.iter().map(|s| (s.key, s.key)).collect();
    Lookup::Unknown { near: name::near_keys(&name, &known) }
}

/// All places, sorted by key. Reads every row.
pub fn places() -> impl Iterator<Item = &'static Place> {
    slots().iter().filter_map(Slot::place)
}

/// Places whose key or title holds all of some words; those whose key begins with the first word come first.
pub fn search_places(words: &str) -> Vec<&'static Place> {
    let words: Vec<String> = words.split_whitespace().map(name::normal).collect();
    let holds = |slot: &&Slot| {
        let title = name::normal(slot.title());
        words.iter().all(|word| slot.key.contains(word.as_str()) || title.contains(word.as_str()))
    };
    let mut hits: Vec<&Slot> = slots().iter().filter(holds).collect();
    hits.sort_by_key(|s| (words.first().is_some_and(|word| !s.key.starts_with(word.as_str())), s.key));
    hits.into_iter().filter_map(Slot::place).collect()
}
