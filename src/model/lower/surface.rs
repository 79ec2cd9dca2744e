//! One surface: its statements, its section, and the places it lies between.
//!
//! Invariant: layers keep their order and number; a line that could not be read marks the surface broken.

use super::amount::Wanted;
use super::climate::short;
use super::context::Context;
use super::edges;
use super::stuff::Resolved;
use crate::base::quantity::{Fraction, Length, Slope, Temperature};
use crate::base::span::Span;
use crate::base::unit::Dimension;
use crate::model::layer::{Body, Layer};
use crate::model::room::RoomAir;
use crate::model::surface::{Broken, Drains, Port, Side, SidePlace, Surface, SurfaceFacts};
use crate::model::value::{AxisId, Draw, Origin, Value};
use crate::syntax::ast::{self, Amount, Fact, PlaceLine, PlaceWord, Row, Statement, SurfaceKind};
use crate::syntax::words;

/// Between what the depth of a wall in the ground is judged where it is not known, m: a stem wall to a cellar (common
/// practice, no source).
const DEPTH: (f64, f64) = (0.3, 2.4);

impl<'a> Context<'a> {
    /// Lowers a surface.
    pub fn lower_surface(&mut self, surface: &'a ast::Surface) {
        let first_axis = self.job.axes.len();
        self.surface = Some(self.job.surfaces.len());
        let name = match &surface.name {
            Some(name) => {
                let first = self.surfaces.get(name.text.as_str()).and_then(|i| self.job.surfaces.get(*i));
                match first.map(|s| s.span) {
                    Some(first) => self.name_taken("surface", name, first),
                    None => drop(self.surfaces.insert(&name.text, self.job.surfaces.len())),
                }
                name.text.clone()
            }
            None => String::new(),
        };
        let facts = self.surface_facts(&surface.statements);
        self.fact_edges(surface, &facts);
        let sloped = surface.statements.iter().any(|s| matches!(s.fact, Fact::Slope { .. } | Fact::Hole { .. }));
        if matches!(surface.kind.value, SurfaceKind::Roof | SurfaceKind::Deck) && !sloped {
            let span = surface.name.as_ref().map_or(surface.head, |n| n.span);
            self.incomplete(span, "its slope is not said", "add `slope 3:12`, `slope 2 %` or `slope unknown`");
        }
        let (first, last, mut broken) = self.sides(surface);
        let layers = self.layers(&surface.rows, &mut broken);
        if surface.kind.value == SurfaceKind::Wall && matches!(first.place, SidePlace::Outdoors) {
            self.soil_in_air(&first, &layers, &mut broken);
        }
        if layers.is_empty() && broken.is_none() {
            let span = surface.name.as_ref().map_or(surface.head, |n| n.span);
            self.incomplete(
                span,
                "this surface has no layers",
                "write its layers between the two places it lies between",
            );
            broken = Some(Broken { span, why: "it has no layers".to_string() });
        }
        let mut axes: Vec<AxisId> = (first_axis..self.job.axes.len()).collect();
        for side in [&first, &last] {
            if let SidePlace::Room(id) = side.place {
                self.room_axes(id, &mut axes);
            }
        }
        // A room on both sides, or one that lies between two others, brings the same axis twice.
        axes.sort_unstable();
        axes.dedup();
        if let Some(port) = facts.port.as_ref().filter(|_| broken.is_none())
            && !layers.iter().any(|l| matches!(l.body, Body::Members(_)))
        {
            let help = "a port is cut above bays: write the rafters and what lies between them, or take it out";
            self.contradiction(port.span, "there are no bays below this port", None, help);
        }
        self.job.surfaces.push(Surface {
            name,
            span: surface.name.as_ref().map_or(surface.head, |n| n.span),
            head: surface.head,
            title: surface.note.as_ref().map(|n| n.text.clone()),
            kind: surface.kind.value,
            facts,
            first,
            last,
            layers,
            broken,
            axes,
        });
        self.surface = None;
    }

    fn room_axes(&self, id: usize, axes: &mut Vec<AxisId>) {
        let Some(room) = self.job.rooms.get(id) else { return };
        let mut add = |axis: Option<AxisId>| axes.extend(axis);
        add(room.dehumidified.and_then(|d| d.axis()));
        let settings = match &room.air {
            RoomAir::Kept { heated, cooled } => [*heated, *cooled],
            RoomAir::Always(setting) => [Some(*setting), None],
            RoomAir::Unheated(axis) => {
                add(Some(*axis));
                // It lies between outdoors and the job's own air, which may be open itself.
                if id != 0 {
                    self.room_axes(0, axes);
                }
                return;
            }
            RoomAir::Shares { room, .. } => return self.room_axes(*room, axes),
            RoomAir::Unsaid | RoomAir::Monthly { .. } | RoomAir::Open { .. } => return,
        };
        for setting in settings.into_iter().flatten() {
            add(setting.temperature.axis());
            if let crate::model::room::RoomHumidity::Relative(h) = setting.humidity {
                add(h.axis());
            }
        }
    }

    fn layers(&mut self, rows: &'a [Row], broken: &mut Option<Broken>) -> Vec<Layer> {
        let mut layers: Vec<Layer> = Vec::with_capacity(rows.len());
        for row in rows {
            match row {
                Row::Place(_) => {}
                Row::NotShown(span) => {
                    broken.get_or_insert_with(|| Broken { span: *span, why: "layers are not shown".to_string() });
                }
                Row::Hole(span) => {
                    broken.get_or_insert_with(|| Broken { span: *span, why: "a line could not be read".to_string() });
                }
                Row::Layer(line) => {
                    if let Some(first) = layers.iter().find(|l| l.label == line.label.text).map(|l| l.span) {
                        self.name_taken("layer", &line.label, first);
                    }
                    let layer = self.lower_layer(line);
                    if matches!(layer.body, Body::Hole) {
                        let why = format!("layer `{}` could not be resolved", short(&layer.label));
                        broken.get_or_insert_with(|| Broken { span: layer.stuff_span, why });
                    }
                    layers.push(layer);
                }
            }
        }
        layers
    }

    /// Soil in a wall would be judged in outdoor air, which is dry and swings where soil is wet and steady.
    fn soil_in_air(&mut self, outdoors: &Side, layers: &[Layer], broken: &mut Option<Broken>) {
        let soil = |layer: &&Layer| {
            let stuff = if let Body::Sheet(choice) = &layer.body { choice.at(&Draw::middle()) } else { None };
            stuff.and_then(|s| s.material).is_some_and(|m| m.family() == "soil")
        };
        let Some(layer) = layers.iter().find(soil) else { return };
        let help = "soil is a place: begin the wall with `ground` and its depth in place of `outdoors` and this line";
        let message = format!("layer `{}` is soil that lies in outdoor air", short(&layer.label));
        self.contradiction(layer.stuff_span, message, Some(outdoors.span), help);
        broken.get_or_insert_with(|| Broken { span: layer.stuff_span, why: "soil lies in outdoor air".to_string() });
    }

    fn sides(&mut self, surface: &'a ast::Surface) -> (Side, Side, Option<Broken>) {
        let rows = &surface.rows;
        let place = |row: Option<&'a Row>| if let Some(Row::Place(p)) = row { Some(p) } else { None };
        let head = surface.name.as_ref().map_or(surface.head, |n| n.span);
        let places: Vec<&PlaceLine> = rows.iter().filter_map(|r| place(Some(r))).collect();
        for middle in rows.iter().take(rows.len().saturating_sub(1)).skip(1).filter_map(|r| place(Some(r))) {
            // A third place inside the section: its two halves are two surfaces.
            if places.len() > 2 {
                let help = "a section lies between two places: write two surfaces";
                self.contradiction(middle.span, "a place stands in the middle of the section", None, help);
                break;
            }
        }
        let wall = surface.kind.value == SurfaceKind::Wall;
        let first = self.side(place(rows.first()), head, wall);
        let last = self.side(place(rows.last()).filter(|_| rows.len() > 1), head, wall);
        let mut broken = None;
        let hole = |side: &Side| matches!(side.place, SidePlace::Hole);
        if hole(&first) || hole(&last) {
            broken = Some(Broken { span: head, why: "what it lies between is not known".to_string() });
        }
        let holes = rows.iter().any(|r| matches!(r, Row::Hole(_)));
        if !holes
            && (place(rows.first()).is_none() || place(rows.last()).is_none() || places.len() < 2)
            && places.len() <= 2
        {
            let help = format!("start it with a line {} and end it with one", expected_places(surface.kind.value));
            self.incomplete(head, "the section must begin and end with a place", help);
        } else {
            self.check_order(surface, &first, &last);
        }
        if surface.kind.value == SurfaceKind::Slab && matches!(last.place, SidePlace::Outdoors) {
            let help = "end it with `ground`; what hangs in the air is a `floor`, or a `deck`";
            self.contradiction(last.span, "a slab lies on soil, not in outdoor air", None, help);
            broken = Some(Broken { span: last.span, why: "a slab lies on soil, not in outdoor air".to_string() });
        }
        (first, last, broken)
    }

    /// Walls are written from outdoors in, everything flat or sloped from the top down.
    fn check_order(&mut self, surface: &ast::Surface, first: &Side, last: &Side) {
        use SidePlace::{Ground, Outdoors, Room, Water};
        let turned = match surface.kind.value {
            SurfaceKind::Wall => {
                matches!((&first.place, &last.place), (Room(_), Outdoors | Ground { .. } | Water { .. }))
            }
            SurfaceKind::Roof => matches!((&first.place, &last.place), (Room(_), Outdoors)),
            SurfaceKind::Slab => matches!((&first.place, &last.place), (Ground { .. }, _)),
            SurfaceKind::Floor => matches!((&first.place, &last.place), (Outdoors | Ground { .. }, Room(_))),
            SurfaceKind::Ceiling | SurfaceKind::Deck => false,
        };
        if turned {
            let way = match surface.kind.value {
                SurfaceKind::Wall => "a wall is written from outdoors to indoors",
                _ => "it is written from the top down",
            };
            self.contradiction(
                first.span,
                "this section is upside down or inside out",
                Some(last.span),
                format!("{way}: turn the lines round"),
            );
        }
    }

    /// What a place line says. Soil beside a wall has to say how deep it is; else its depth is open.
    fn side(&mut self, line: Option<&'a PlaceLine>, head: Span, wall: bool) -> Side {
        let Some(line) = line else { return Side { span: head, place: SidePlace::Hole, splashed: false } };
        let (place, splashed) = match &line.place {
            PlaceWord::Outdoors => (SidePlace::Outdoors, false),
            PlaceWord::Indoors { splashed } => (SidePlace::Room(0), *splashed),
            PlaceWord::Room { name, splashed } => {
                (self.room_named(name).map_or(SidePlace::Hole, SidePlace::Room), *splashed)
            }
            PlaceWord::Ground { depth, above_grade, drained } => {
                if depth.is_none() && wall {
                    self.assume(line.span, "the depth is not known");
                }
                let open = Amount::Unknown(line.span);
                let depth = depth.as_ref().or(wall.then_some(&open));
                let mut length = |a: Option<&Amount>, what: &str| {
                    let wanted =
                        Wanted { dimension: Dimension::Length, make: Length::new, ends: Some(DEPTH), by_factor: false };
                    self.value(a?, &wanted, || what.to_string())
                };
                let depth = length(depth, "depth below grade");
                let above_grade = length(above_grade.as_ref(), "height above grade");
                if drained.is_none() {
                    self.assume(line.span, "the ground is wet");
                }
                (SidePlace::Ground { depth, above_grade, drained: drained.unwrap_or(false) }, false)
            }
            PlaceWord::Water { winter, summer } => {
                let wanted = Wanted {
                    dimension: Dimension::Temperature,
                    make: Temperature::new,
                    ends: Some((4.0, 27.0)),
                    by_factor: false,
                };
                let low = self.value(winter, &wanted, || "water temperature in winter".to_string());
                let high = match summer {
                    Some(summer) => self.value(summer, &wanted, || "water temperature in summer".to_string()),
                    None => low,
                };
                (low.zip(high).map_or(SidePlace::Hole, |(winter, summer)| SidePlace::Water { winter, summer }), false)
            }
        };
        Side { span: line.span, place, splashed }
    }

    fn surface_facts(&mut self, statements: &'a [Statement]) -> SurfaceFacts {
        let mut facts = SurfaceFacts::default();
        for statement in statements {
            match &statement.fact {
                Fact::Slope { by, to } => {
                    facts.slope = self.slope(by);
                    facts.slope_to = to.map(|edge| edge.value);
                }
                Fact::Drains { to, overflow } => {
                    facts.drains = Some(Drains { to: to.text.clone(), overflow: *overflow, span: statement.span });
                }
                Fact::Continues(edges) => facts.continues.extend(edges),
                Fact::Unjoined(edges) => {
                    facts.unjoined.extend(edges);
                    if statement.note.is_none() {
                        let help = "say why behind it, like `unjoined bottom \"open to the crawlspace\"`";
                        self.incomplete(statement.span, "why is this left open?", help);
                    }
                }
                Fact::Faces(name) => facts.faces = words::compass(&name.text),
                Fact::Overhang(amount) => facts.overhang = self.plain_length(amount, "overhang"),
                Fact::Clears { what, by } if what.text == "grade" => {
                    facts.clears_grade = self.plain_length(by, "clearance to grade");
                }
                Fact::Rain(rain) => facts.rain = Some(*rain),
                Fact::Existing => facts.existing = true,
                Fact::Framing(amount) => {
                    let wanted = Wanted {
                        dimension: Dimension::Ratio,
                        make: Fraction::new,
                        ends: Some((0.1, 0.3)),
                        by_factor: false,
                    };
                    facts.framing = self.value(amount, &wanted, || "share of framing".to_string());
                    if facts.framing.is_some_and(|f| f.high().si() >= 1.0) {
                        let help = "the share of the area that is wood, like `framing 25 %`";
                        self.contradiction(amount.span(), "a surface can't be all framing", None, help);
                        facts.framing = None;
                    }
                }
                Fact::Port { width, cover, .. } => {
                    let width = self.plain_length(width, "width of the port");
                    let cover = self.resolve(cover, "port");
                    if let (Some(width), Some(Resolved::Stuff(cover))) = (width, cover) {
                        facts.port = Some(Port { width, cover, span: statement.span });
                    }
                }
                _ => {}
            }
        }
        facts
    }

    /// Edges named above the section must be edges of such a surface.
    fn fact_edges(&mut self, surface: &ast::Surface, facts: &SurfaceFacts) {
        let kind = surface.kind.value;
        let has = edges::of_kind(kind, facts.slope.is_none_or(|s| s.high() > Slope::new(0.0)));
        for statement in &surface.statements {
            match &statement.fact {
                Fact::Slope { to: Some(edge), .. } => drop(self.has_edge(kind, has, *edge)),
                Fact::Continues(named) | Fact::Unjoined(named) => {
                    for edge in named {
                        self.has_edge(kind, has, *edge);
                    }
                }
                _ => {}
            }
        }
        for edge in &facts.unjoined {
            if let Some(first) = facts.continues.iter().find(|e| e.value == edge.value) {
                let help = "keep the one that is so";
                self.contradiction(edge.span, "this edge carries on and is left open", Some(first.span), help);
            }
        }
    }

    fn plain_length(&mut self, amount: &Amount, what: &'static str) -> Option<Value<Length>> {
        let wanted = Wanted { dimension: Dimension::Length, make: Length::new, ends: None, by_factor: false };
        self.value(amount, &wanted, || what.to_string())
    }

    /// A slope is kept as rise over run; an angle is turned into one.
    pub fn slope(&mut self, amount: &Amount) -> Option<Value<Slope>> {
        let of = |q: &ast::Quantity| match q.dimension {
            Dimension::Angle if q.si < 90.0 => Some(crate::base::math::tan(q.si.to_radians())),
            Dimension::Slope | Dimension::Ratio => Some(q.si),
            _ => None,
        };
        match amount {
            Amount::Unknown(_) => None,
            Amount::Known(q) => match of(q) {
                Some(slope) => Some(Value::known(Slope::new(slope), Origin::Written(q.span))),
                None => {
                    self.incomplete(
                        q.span,
                        "this is no slope",
                        format!("write it like {}", Dimension::Slope.examples()),
                    );
                    None
                }
            },
            Amount::Range(low, _) => {
                // The flatter end is the one that drains worse.
                of(low).map(|slope| Value::known(Slope::new(slope), Origin::Written(amount.span())))
            }
        }
    }
}

fn expected_places(kind: SurfaceKind) -> &'static str {
    match kind {
        SurfaceKind::Wall => "`outdoors` (or `ground`)",
        SurfaceKind::Roof => "`outdoors`",
        SurfaceKind::Ceiling => "naming the attic",
        SurfaceKind::Floor | SurfaceKind::Slab => "`indoors` (or a room)",
        SurfaceKind::Deck => "`outdoors`",
    }
}
