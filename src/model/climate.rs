//! The outdoor air of a job: twelve months, and what the place is like.
//!
//! Invariant: figures are monthly means as their source gives them; nothing is repaired or capped here.

use crate::base::quantity::{Length, Pressure, RelativeHumidity, Temperature};
use crate::catalog::{Place, Record, Zone, ZoneWeather, zone_from};
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

/// A job's climate.
#[derive(Clone, Debug)]
pub struct Climate {
    /// What people call the place.
    pub title: String,
    /// The country of a catalog place, two letters (ISO 3166); none where it is not known.
    pub country: Option<&'static str>,
    /// January to December.
    pub months: [OutdoorMonth; 12],
    /// Rain in a year, where known.
    pub rainfall: Option<Length>,
    /// Height above the sea.
    pub elevation: Length,
    /// Climate zone, where known.
    pub zone: Option<Zone>,
    /// What the months are.
    pub note: String,
    /// Whose data they are: the credit lines to show.
    pub credits: Vec<&'static str>,
}

impl Climate {
    /// The climate of a catalog place.
    pub fn of(place: &Place) -> Self {
        let month = |i: usize| {
            let m = place.months.get(i);
            OutdoorMonth {
                temperature: m.map_or(Temperature::new(f64::NAN), |m| m.temperature),
                moisture: Moisture::Vapor(m.map_or(Pressure::new(f64::NAN), |m| m.vapor)),
            }
        };
        Self {
            title: place.title.to_string(),
            country: Some(place.country),
            months: std::array::from_fn(month),
            rainfall: place.yearly_rain(),
            elevation: place.elevation,
            zone: Some(place.zone),
            note: note_of(place),
            credits: place.credit.clone(),
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
            country: None,
            months,
            rainfall: None,
            elevation: weather.station.elevation,
            zone: Some(zone_from(&zone_weather(weather))),
            note,
            credits: Vec::new(),
        }
    }
}

/// The weather that the zone of a file is worked out from.
pub fn zone_weather(weather: &Weather) -> ZoneWeather {
    ZoneWeather {
        temperatures: weather.months.map(|m| m.temperature),
        rain: None,
        degree_days: Some(weather.degree_days),
        southern: weather.station.latitude < 0.0,
    }
}

/// What the months of a place are.
fn note_of(place: &Place) -> String {
    match place.record {
        Record::Mean => format!("mean of {}", place.period),
        Record::TypicalYear => format!("typical year, {}", place.period),
        Record::Table => format!("published monthly table, {}", place.period),
    }
}
