//! Rooms.
//!
//! Invariant: `indoors` is room 0 and is described by the job stanza alone.

use super::amount::Wanted;
use super::context::Context;
use crate::base::near;
use crate::base::quantity::{Fraction, RelativeHumidity, Temperature};
use crate::base::span::Span;
use crate::base::unit::Dimension;
use crate::model::room::{Room, RoomAir, RoomHumidity, RoomId, Setting};
use crate::model::value::{Reach, Value};
use crate::syntax::ast::{Amount, Block, Fact, Humidity, Name, Season, Statement};

/// Between what an unknown indoor temperature is judged, degC. Common practice, no source.
const UNKNOWN_TEMPERATURE: (f64, f64) = (18.0, 24.0);
/// Between what an unknown indoor humidity is judged. Common practice, no source: a dry house to a damp one.
const UNKNOWN_HUMIDITY: (f64, f64) = (0.25, 0.65);

/// A way to describe a room's air.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    Heated,
    Cooled,
    Always,
    Temperatures,
    Humidities,
    Anothers,
}

impl Way {
    /// Whether two statements make one description.
    fn goes_with(self, other: Self) -> bool {
        matches!(
            (self, other),
            (Self::Heated, Self::Cooled)
                | (Self::Cooled, Self::Heated)
                | (Self::Temperatures, Self::Humidities)
                | (Self::Humidities, Self::Temperatures)
        )
    }
}

fn way_of(fact: &Fact) -> Option<Way> {
    match fact {
        Fact::Air { season: Season::Heated, .. } => Some(Way::Heated),
        Fact::Air { season: Season::Cooled, .. } => Some(Way::Cooled),
        Fact::Air { season: Season::Always, .. } => Some(Way::Always),
        Fact::Temperatures(_) => Some(Way::Temperatures),
        Fact::Humidities(_) => Some(Way::Humidities),
        Fact::Unheated | Fact::OpenRoom { .. } | Fact::Shares { .. } => Some(Way::Anothers),
        _ => None,
    }
}

impl<'a> Context<'a> {
    /// Lowers the room stanzas. Names first, so that rooms may share one another's air in any order.
    pub fn lower_rooms(&mut self, blocks: impl Iterator<Item = &'a Block>) {
        let mut named: Vec<(&'a Block, RoomId)> = Vec::new();
        for block in blocks {
            let Some(name) = &block.name else { continue };
            if let Some(first) =
                self.rooms.get(name.text.as_str()).and_then(|id| self.job.rooms.get(*id)).map(|r| r.span)
            {
                self.name_taken("room", name, first);
                continue;
            }
            let id = self.job.rooms.len();
            self.job.rooms.push(Room {
                name: name.text.clone(),
                span: name.span,
                air: RoomAir::Unsaid,
                dehumidified: None,
            });
            self.rooms.insert(&name.text, id);
            named.push((block, id));
        }
        for (block, id) in named {
            let before = self.problems.len();
            let (air, cap) = self.room_air(&block.statements);
            let reported =
                self.problems.len() > before || block.statements.iter().any(|s| matches!(s.fact, Fact::Hole { .. }));
            if matches!(air, RoomAir::Unsaid) && !reported {
                let span = block.name.as_ref().map_or(block.head, |n| n.span);
                self.incomplete(
                    span,
                    "nothing is said of this room's air",
                    "add `heated T H`, `always T H`, `unheated`, `open WHERE` or `shares indoors`",
                );
            }
            if let Some(room) = self.job.rooms.get_mut(id) {
                room.air = air;
                room.dehumidified = cap;
            }
        }
        self.cut_shared_circles();
    }

    /// What a list of statements says of a room's air, and the cap of a dehumidifier.
    pub fn room_air(&mut self, statements: &'a [Statement]) -> (RoomAir, Option<Value<RelativeHumidity>>) {
        let (mut heated, mut cooled, mut always) = (None, None, None);
        let (mut other, mut cap, mut months) = (None, None, (None, None));
        self.one_description(statements);
        for statement in statements {
            match &statement.fact {
                Fact::Air { season, temperature, humidity, held } => {
                    let setting = self.setting(temperature, humidity, *held, statement.span);
                    match season {
                        Season::Heated => heated = setting,
                        Season::Cooled => cooled = setting,
                        Season::Always => always = setting,
                    }
                }
                Fact::Dehumidified(amount) => cap = self.humidity_value(amount),
                Fact::Temperatures(figures) => months.0 = Some(figures.map(Temperature::new)),
                Fact::Humidities(figures) => months.1 = Some(figures.map(RelativeHumidity::new)),
                Fact::Unheated => {
                    let reach = Reach::Between { low: 0.0, high: 1.0, by_factor: false, dimension: None };
                    let what = "air of the unheated room between outdoors and indoors".to_string();
                    other = Some(RoomAir::Unheated(self.axis(statement.span, what, reach)));
                }
                Fact::OpenRoom { at, ratio } => {
                    let wanted =
                        Wanted { dimension: Dimension::Ratio, make: Fraction::new, ends: None, by_factor: true };
                    let ratio = ratio.as_ref().and_then(|r| self.value(r, &wanted, || "free area".to_string()));
                    other = Some(RoomAir::Open { at: at.iter().map(|a| a.value).collect(), ratio });
                }
                Fact::Shares { room, supplied, .. } => {
                    other = self.room_named(room).map(|room| RoomAir::Shares { room, supplied: supplied.is_some() });
                }
                _ => {}
            }
        }
        self.cooled_above_heated(heated.as_ref(), cooled.as_ref());
        let air = match (other, always, months) {
            (Some(air), _, _) => air,
            (None, Some(setting), _) => RoomAir::Always(setting),
            (None, None, (Some(temperature), Some(humidity))) => RoomAir::Monthly { temperature, humidity },
            _ if heated.is_some() || cooled.is_some() => RoomAir::Kept { heated, cooled },
            _ => RoomAir::Unsaid,
        };
        (air, cap)
    }

    /// Reports air that is described in two ways, or in half of one.
    fn one_description(&mut self, statements: &[Statement]) {
        let mut first: Option<(Way, Span)> = None;
        for statement in statements {
            let Some(way) = way_of(&statement.fact) else { continue };
            match first {
                None => first = Some((way, statement.span)),
                Some((before, span)) if !way.goes_with(before) => {
                    let help = "a room keeps air of its own, or takes another's: keep one of the two";
                    self.contradiction(statement.span, "this room's air is described twice", Some(span), help);
                    return;
                }
                Some(_) => {}
            }
        }
        let months = |want: fn(&Fact) -> bool| statements.iter().find(|s| want(&s.fact)).map(|s| s.span);
        let temperatures = months(|f| matches!(f, Fact::Temperatures(_)));
        let humidities = months(|f| matches!(f, Fact::Humidities(_)));
        let unread = statements.iter().any(|s| matches!(s.fact, Fact::Hole { .. }));
        if let (Some(span), None) | (None, Some(span)) = (temperatures, humidities)
            && !unread
        {
            let help = "write `temperature` and `humidity`, each with twelve figures";
            self.incomplete(span, "these months are half of a room's air", help);
        }
    }

    /// A room that is heated to more than it is cooled to has no air that is both.
    fn cooled_above_heated(&mut self, heated: Option<&Setting>, cooled: Option<&Setting>) {
        if let (Some(heated), Some(cooled)) = (heated, cooled)
            && heated.temperature.low() > cooled.temperature.high()
        {
            let help = "heat to the lower figure and cool to the higher";
            self.contradiction(cooled.span, "this room is cooled below what it is heated to", Some(heated.span), help);
        }
    }

    fn setting(&mut self, temperature: &Amount, humidity: &Humidity, held: bool, span: Span) -> Option<Setting> {
        let wanted = Wanted {
            dimension: Dimension::Temperature,
            make: Temperature::new,
            ends: Some(UNKNOWN_TEMPERATURE),
            by_factor: false,
        };
        let temperature = self.value(temperature, &wanted, || "indoor temperature".to_string())?;
        let humidity = match humidity {
            Humidity::Amount(amount) => RoomHumidity::Relative(self.humidity_value(amount)?),
            Humidity::Class { class, standard } => {
                if standard.text != "iso-13788" {
                    let message = format!("humidity classes of `{}` are not known", standard.text);
                    self.unknown(standard.span, message, &["iso-13788"], "");
                    return None;
                }
                RoomHumidity::Class(*class)
            }
        };
        Some(Setting { temperature, humidity, held, span })
    }

    fn humidity_value(&mut self, amount: &Amount) -> Option<Value<RelativeHumidity>> {
        let wanted = Wanted {
            dimension: Dimension::Ratio,
            make: RelativeHumidity::new,
            ends: Some(UNKNOWN_HUMIDITY),
            by_factor: false,
        };
        let value = self.value(amount, &wanted, || "indoor humidity".to_string())?;
        if value.high().si() > 1.0 || value.low().si() <= 0.0 {
            let help = "relative humidity lies above 0 % and reaches 100 % at most";
            self.contradiction(amount.span(), "no air has this humidity", None, help);
            return None;
        }
        Some(value)
    }

    /// The room of a name, or one problem.
    pub fn room_named(&mut self, name: &Name) -> Option<RoomId> {
        if let Some(id) = self.rooms.get(name.text.as_str()) {
            return Some(*id);
        }
        let known = self.job.rooms.iter().take(near::AMONG).map(|r| r.name.as_str());
        let near = near::nearest(&name.text, known.chain(["outdoors", "ground", "water"]));
        let near: Vec<String> = near.into_iter().map(str::to_string).collect();
        let near: Vec<&str> = near.iter().map(String::as_str).collect();
        self.unknown(
            name.span,
            format!("there is no room or place `{}`", super::climate::short(&name.text)),
            &near,
            "write `outdoors`, `indoors`, `ground`, `water`, or add a `room` stanza of this name",
        );
        None
    }

    /// A room that in the end shares its own air is cut free and reported once.
    fn cut_shared_circles(&mut self) {
        for id in 0..self.job.rooms.len() {
            let mut at = id;
            for _ in 0..self.job.rooms.len() {
                match self.job.rooms.get(at).map(|r| &r.air) {
                    Some(RoomAir::Shares { room, .. }) => at = *room,
                    _ => break,
                }
                if at == id {
                    let span = self.job.rooms.get(id).map(|r| r.span).unwrap_or_default();
                    self.contradiction(span, "this room shares its own air", None, "say whose air it is");
                    if let Some(room) = self.job.rooms.get_mut(id) {
                        room.air = RoomAir::Unsaid;
                    }
                    break;
                }
            }
        }
    }
}
