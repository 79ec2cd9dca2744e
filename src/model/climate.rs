//! The outdoor air of a job: twelve months, and what the place is like.
//!
//! Invariant: figures are monthly means as their source gives them; nothing is repaired or capped here.

use crate::base::quantity::{Length, Pressure, RelativeHumidity, Temperature};
use crate::catalog::{Place, Record, Zone, ZoneRain, ZoneWeather, zone_from};
use crate::weather::Weather;

/// Outdoor moisture as the source gives it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Moisture {
    /// Mean vapor pressure.
    Vapor(Pressure),
    /// Mean relative humidity, over liquid water.
    Humidity(RelativeHumidity),
}

/// One month outdoors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutdoorMonth {
    /// Mean temperature.
    pub temperature: Temperature,
    /// Mean moisture.
    pub moisture: Moisture,
}

/// What sort of year the twelve months make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum YearKind {
    /// Means over many years.
    Mean,
    /// Real months, each picked as typical.
    Typical,
    /// The months of one year.
    Single,
    /// Written by the author, who does not say.
    Written,
    /// One that is met or exceeded once in ten years, as the author says.
    Design,
}

impl YearKind {
    /// Its word for machines.
    pub fn word(self) -> &'static str {
        match self {
            Self::Mean => "mean",
            Self::Typical => "typical",
            Self::Single => "single",
            Self::Written => "written",
            Self::Design => "design",
        }
    }
}

/// A job's climate.
#[derive(Clone, Debug)]
pub struct Climate {
    /// What people call the place.
    pub title: String,
    /// The catalog's name of the place; none for a climate of the author's own or of a weather file.
    pub key: Option<&'static str>,
    /// ISO 3166 code of the country of the catalog's place; none for a climate of the author's own or of a weather file.
    pub country: Option<&'static str>,
    /// January to December.
    pub months: [OutdoorMonth; 12],
    /// Rain in a year, where known.
    pub rainfall: Option<Length>,
    /// Height above the sea.
    pub elevation: Length,
    /// Climate zone, where known.
    pub zone: Option<Zone>,
    /// What sort of year the months make.
    pub year: YearKind,
    /// What the months are, in words: "mean year of 2003 to 2021".
    pub note: String,
    /// Whose data they are: the credit lines to show.
    pub credits: Vec<&'static str>,
    /// State of the United States, two letters, where the job stands at a place of the catalog.
    pub state: Option<&'static str>,
}

impl Climate {
    /// The climate of a catalog place.
    pub fn of(place: &'static Place) -> Self {
        let month = |i: usize| {
            let m = place.months.get(i);
            OutdoorMonth {
                temperature: m.map_or(Temperature::new(f64::NAN), |m| m.temperature),
                moisture: Moisture::Vapor(m.map_or(Pressure::new(f64::NAN), |m| m.vapor)),
            }
        };
        Self {
            title: place.title.to_string(),
            key: Some(place.key),
            country: Some(place.country),
            months: std::array::from_fn(month),
            rainfall: place.yearly_rain(),
            elevation: place.elevation,
            zone: Some(place.zone),
            year: match place.record {
                Record::Mean | Record::Table => YearKind::Mean,
                Record::TypicalYear => YearKind::Typical,
            },
            note: note_of(place),
            credits: place.credit.clone(),
            state: place.state(),
        }
    }

    /// The climate of a weather file. It has no rain to speak of, so the zone may want its letter.
    pub fn of_file(weather: &Weather, file: &str) -> Self {
        let months =
            weather.months.map(|m| OutdoorMonth { temperature: m.temperature, moisture: Moisture::Vapor(m.vapor) });
        let mut note = format!("{file}, {}", weather.record());
        if !weather.repairs.is_empty() {
            note = format!("{note}; repaired: {}", weather.repairs.join("; "));
        }
        Self {
            title: weather.station.title.clone(),
            key: None,
            country: None,
            months,
            rainfall: None,
            elevation: weather.station.elevation,
            zone: Some(zone_from(&zone_weather(weather))),
            year: if weather.single_year().is_some() { YearKind::Single } else { YearKind::Typical },
            note,
            credits: Vec::new(),
            state: None,
        }
    }
}

/// The weather that the zone of a file is worked out from.
pub fn zone_weather(weather: &Weather) -> ZoneWeather {
    ZoneWeather {
        temperatures: weather.months.map(|m| m.temperature),
        rain: ZoneRain::Unknown,
        degree_days: Some(weather.degree_days),
        southern: weather.station.latitude < 0.0,
    }
}

/// What the months of a place are.
fn note_of(place: &Place) -> String {
    match place.record {
        Record::Mean => format!("mean year of {}", place.period),
        Record::TypicalYear => format!("typical year, {}", place.period),
        Record::Table => format!("mean year by a published table, {}", place.period),
    }
}
