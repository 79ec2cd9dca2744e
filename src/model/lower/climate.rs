//! Climates: a place of the catalog, or the author's own: alike to one, of a weather file, or of twelve months written.
//!
//! Invariant: a climate has twelve months or is none at all.

use super::context::Context;
use crate::base::quantity::{Length, RelativeHumidity, Temperature};
use crate::base::unit::Dimension;
use crate::catalog::{self, Lookup, Zone, ZoneBasis, ZoneRain, ZoneWeather};
use crate::model::climate::{Climate, Moisture, OutdoorMonth, YearKind, zone_weather};
use crate::syntax::ast::{Amount, Block, Fact, Name, Statement};
use crate::weather::Weather;

/// What months are that the author wrote, all of them.
const WRITTEN: &str = "months as written by the author";

impl<'a> Context<'a> {
    /// Registers the author's own climates.
    pub fn lower_climates(&mut self, blocks: impl Iterator<Item = &'a Block>) {
        for block in blocks {
            let Some(name) = &block.name else { continue };
            if let Some(first) = self.climates.get(name.text.as_str()).and_then(|b| b.name.as_ref()).map(|n| n.span) {
                self.name_taken("climate", name, first);
                continue;
            }
            self.climates.insert(&name.text, block);
        }
    }

    /// Climates that the job does not name are read too: a mistake in one is told now, not when it is first used.
    pub fn idle_climates(&mut self, blocks: impl Iterator<Item = &'a Block>) {
        for block in blocks {
            let Some(name) = &block.name else { continue };
            if self.used.insert(&name.text) {
                drop(self.own_climate(block));
            }
        }
    }

    /// The climate a job names, and whether its country writes metric.
    pub fn climate_of(&mut self, name: &Name) -> Option<(Climate, bool)> {
        if let Some((key, block)) = self.climates.get_key_value(name.text.as_str()).map(|(k, b)| (*k, *b)) {
            self.used.insert(key);
            return self.own_climate(block);
        }
        match catalog::place(&name.text) {
            Lookup::Found(place) => Some((Climate::of(place), place.country != "US")),
            Lookup::Ambiguous { choices, .. } => {
                self.unknown(name.span, format!("`{}` is the name of several places", name.text), &choices, "");
                None
            }
            Lookup::Unknown { near } => {
                self.unknown(
                    name.span,
                    format!("there is no place `{}`", short(&name.text)),
                    &near,
                    "`dewlap places WORD` lists what there is; a `climate` stanza makes one `like` another, or of a weather `file`",
                );
                None
            }
        }
    }

    fn own_climate(&mut self, block: &Block) -> Option<(Climate, bool)> {
        let like = block.statements.iter().find_map(|s| if let Fact::Like(name) = &s.fact { Some(name) } else { None });
        let file = block.statements.iter().find_map(|s| if let Fact::File(path) = &s.fact { Some(path) } else { None });
        let (mut climate, metric) = match (file, like) {
            (Some(path), _) => self.climate_of_file(block, path)?,
            (None, Some(name)) => self.climate_like(name)?,
            (None, None) => (self.climate_from_months(block)?, true),
        };
        if let Some(name) = &block.name {
            climate.title = match (file, like) {
                (Some(_), _) => format!("{} ({})", name.text, climate.title),
                (None, Some(_)) => format!("{} (like {})", name.text, climate.title),
                (None, None) => name.text.clone(),
            };
        }
        for statement in &block.statements {
            self.climate_fact(&mut climate, statement);
        }
        self.what_year(&mut climate, block, like.is_some());
        self.zone_of(&mut climate, block, like.is_some());
        Some((climate, metric))
    }

    /// What sort of year the months are of which some are the author's own.
    fn what_year(&mut self, climate: &mut Climate, block: &Block, like: bool) {
        let has = |want: fn(&Fact) -> bool| block.statements.iter().find(|s| want(&s.fact)).map(|s| s.span);
        let own = [has(|f| matches!(f, Fact::Temperatures(_))), has(|f| matches!(f, Fact::Humidities(_)))];
        match (like, own) {
            (true, [Some(_), Some(_)]) => WRITTEN.clone_into(&mut climate.note),
            (true, [Some(_), None]) => climate.note.push_str(", temperatures as written"),
            (true, [None, Some(_)]) => climate.note.push_str(", humidities as written"),
            _ => {}
        }
        if own.iter().any(Option::is_some) {
            climate.year = YearKind::Written;
        }
        let Some(span) = has(|f| matches!(f, Fact::DesignYear)) else { return };
        if like && own.iter().any(Option::is_none) {
            let help = "here it says what the written months are; in the `job` it asks for a design year of any place";
            let place = has(|f| matches!(f, Fact::Like(_)));
            return self.contradiction(span, "the months of a place make no design year", place, help);
        }
        climate.year = YearKind::Design;
        climate.note = format!("design year as the author says; {}", climate.note);
    }

    /// The zone that weather and a year's rain make, where none is written. A place keeps that of its list.
    fn zone_of(&mut self, climate: &mut Climate, block: &Block, like: bool) {
        if like || block.statements.iter().any(|s| matches!(s.fact, Fact::Zone(_) | Fact::Hole { .. })) {
            return;
        }
        let weather = match self.file_of(block) {
            Some(weather) => zone_weather(weather),
            None => ZoneWeather {
                temperatures: climate.months.map(|m| m.temperature),
                rain: ZoneRain::Unknown,
                degree_days: None,
                southern: false,
            },
        };
        let rain = climate.rainfall.map_or(ZoneRain::Unknown, ZoneRain::Year);
        climate.zone = Some(catalog::zone_from(&ZoneWeather { rain, ..weather }));
    }

    fn file_of(&self, block: &Block) -> Option<&'a Weather> {
        let path =
            block.statements.iter().find_map(|s| if let Fact::File(p) = &s.fact { Some(p.span) } else { None })?;
        self.weather?.get(&path)
    }

    /// A climate may be like a place of the catalog only: one step, so that no circle can be drawn.
    fn climate_like(&mut self, name: &Name) -> Option<(Climate, bool)> {
        let near = match catalog::place(&name.text) {
            Lookup::Found(place) => {
                // Like a place is not in it: country and state are the author's own.
                let climate = Climate { key: None, country: None, state: None, ..Climate::of(place) };
                return Some((climate, place.country != "US"));
            }
            Lookup::Unknown { near } => near,
            Lookup::Ambiguous { .. } => Vec::new(),
        };
        let otherwise = "`dewlap places WORD` lists the places a climate can be like";
        self.unknown(name.span, format!("there is no place `{}`", short(&name.text)), &near, otherwise);
        None
    }

    /// The months of a weather file; what else gives months contradicts it. None when the file could not be read.
    fn climate_of_file(&mut self, block: &Block, path: &Name) -> Option<(Climate, bool)> {
        for statement in &block.statements {
            let word = match &statement.fact {
                Fact::Like(_) => "like",
                Fact::Temperatures(_) => "temperature",
                Fact::Humidities(_) => "humidity",
                Fact::File(other) if other.span != path.span => "file",
                _ => continue,
            };
            let message = match word {
                "file" => "a climate is of one weather file".to_string(),
                _ => format!("`{word}` and `file` both give the months"),
            };
            self.contradiction(statement.span, message, Some(path.span), "keep one of the two");
        }
        let weather = self.weather.and_then(|files| files.get(&path.span))?;
        let file = path.text.rsplit(['/', '\\']).next().unwrap_or(&path.text);
        Some((Climate::of_file(weather, &short(file)), !matches!(weather.station.country.as_str(), "USA" | "US")))
    }

    fn climate_from_months(&mut self, block: &Block) -> Option<Climate> {
        let has = |want: fn(&Fact) -> bool| block.statements.iter().any(|s| want(&s.fact));
        if has(|f| matches!(f, Fact::Hole { .. })) {
            return None;
        }
        let complete = has(|f| matches!(f, Fact::Temperatures(_))) && has(|f| matches!(f, Fact::Humidities(_)));
        if !complete {
            let span = block.name.as_ref().map_or(block.head, |n| n.span);
            self.incomplete(
                span,
                "this climate has no months of its own and is like no place",
                "add `like PLACE`, `file FILE`, or `temperature` and `humidity` with twelve figures each",
            );
            return None;
        }
        let blank = OutdoorMonth {
            temperature: Temperature::new(0.0),
            moisture: Moisture::Humidity(RelativeHumidity::new(0.0)),
        };
        Some(Climate {
            title: String::new(),
            key: None,
            country: None,
            months: [blank; 12],
            rainfall: None,
            elevation: Length::ZERO,
            zone: None,
            year: YearKind::Written,
            note: WRITTEN.to_string(),
            credits: Vec::new(),
            state: None,
        })
    }

    fn climate_fact(&mut self, climate: &mut Climate, statement: &Statement) {
        match &statement.fact {
            Fact::Zone(name) => match Zone::read(&name.text, ZoneBasis::Written) {
                Some(zone) => climate.zone = Some(zone),
                None => self.unknown(
                    name.span,
                    format!("`{}` is no climate zone", short(&name.text)),
                    &[],
                    "zones are written 0A to 6B, 3C, 4C, 5C, 7 and 8",
                ),
            },
            Fact::Temperatures(figures) => {
                for (month, t) in climate.months.iter_mut().zip(figures.iter()) {
                    month.temperature = Temperature::new(*t);
                }
            }
            Fact::Humidities(figures) => {
                for (month, h) in climate.months.iter_mut().zip(figures.iter()) {
                    month.moisture = Moisture::Humidity(RelativeHumidity::new(*h));
                }
            }
            Fact::Rainfall(amount) => {
                if let Some(rain) = self.figure(amount, Dimension::Length, "rainfall") {
                    climate.rainfall = Some(Length::new(rain));
                }
            }
            Fact::Elevation(amount) => {
                if let Some(height) = self.figure(amount, Dimension::Length, "elevation") {
                    climate.elevation = Length::new(height);
                }
            }
            _ => {}
        }
    }

    /// One figure that can't be left open.
    pub fn figure(&mut self, amount: &Amount, dimension: Dimension, what: &str) -> Option<f64> {
        match amount {
            Amount::Known(q) if q.dimension == dimension => Some(q.si),
            _ => {
                self.incomplete(
                    amount.span(),
                    format!("the {what} must be one figure"),
                    format!("write it like {}", dimension.examples()),
                );
                None
            }
        }
    }
}

/// A name cut for a message.
pub(super) fn short(name: &str) -> String {
    if name.chars().count() <= 40 { name.to_string() } else { name.chars().take(39).chain(['…']).collect() }
}
