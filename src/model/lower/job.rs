//! The job stanza.
//!
//! Invariant: a text without a job stanza still lowers; what needs one is not run and says so.

use super::amount::Wanted;
use super::climate::short;
use super::context::Context;
use crate::base::quantity::{Fraction, Length};
use crate::base::span::Spanned;
use crate::base::unit::Dimension;
use crate::catalog::{Lookup, codes};
use crate::model::room::{Room, RoomAir};
use crate::syntax::ast::{Block, Fact, Name};

impl<'a> Context<'a> {
    /// Lowers the job stanza; a second one is reported.
    pub fn lower_job(&mut self, mut blocks: impl Iterator<Item = &'a Block>) {
        let first = blocks.next();
        for extra in blocks {
            let span = extra.name.as_ref().map_or(extra.head, |n| n.span);
            let help = "keep one `job` stanza; put the other job in a file of its own";
            self.contradiction(span, "there is a job already", first.map(|b| b.head), help);
        }
        let span = first.map(|b| b.head).unwrap_or_default();
        let indoors = Room { name: "indoors".to_string(), span, air: RoomAir::Unsaid, dehumidified: None };
        self.job.rooms.push(indoors);
        self.rooms.insert("indoors", 0);
        let Some(block) = first else { return };
        self.job.head = Some(block.head);
        self.job.name = block.name.as_ref().map(|n| Spanned::new(n.text.clone(), n.span));
        self.job.title = block.note.as_ref().map(|n| n.text.clone());
        self.job_facts(block);
        if !block
            .statements
            .iter()
            .any(|s| matches!(s.fact, Fact::Place(_) | Fact::Hole { word: Some("place") | None }))
        {
            let span = block.name.as_ref().map_or(block.head, |n| n.span);
            self.incomplete(
                span,
                "the job does not say where it is",
                "add a line `place NAME`; `dewlap places WORD` finds names",
            );
        }
        let said = self.room_air(&block.statements);
        if let Some(room) = self.job.rooms.first_mut() {
            room.air = said.0;
            room.dehumidified = said.1;
        }
    }

    fn job_facts(&mut self, block: &'a Block) {
        let mut units = None;
        for statement in &block.statements {
            match &statement.fact {
                Fact::Place(name) => {
                    self.job.place_span = Some(name.span);
                    if let Some((climate, metric)) = self.climate_of(name) {
                        self.job.climate = Some(climate);
                        self.job.metric = metric;
                    }
                }
                Fact::Code(name) => self.code(name),
                Fact::Units { metric } => units = Some(*metric),
                Fact::DesignYear => self.job.design_year = Some(statement.span),
                Fact::Rain(rain) => self.job.rain = Some(*rain),
                Fact::Airtight(amount) => {
                    if let Some(figure) = self.figure(amount, Dimension::AirChange, "air leakage") {
                        self.job.airtight = Some(Spanned::new(figure, amount.span()));
                    }
                }
                Fact::Ventilated(amount) => {
                    if let Some(figure) = self.figure(amount, Dimension::AirFlow, "fresh air") {
                        self.job.ventilated = Some(Spanned::new(figure, amount.span()));
                    }
                }
                Fact::Height(amount) => {
                    if let Some(figure) = self.figure(amount, Dimension::Length, "height") {
                        self.job.height = Some(Spanned::new(Length::new(figure), amount.span()));
                    }
                }
                Fact::WoodAtCover(amount) => {
                    let wanted = Wanted {
                        dimension: Dimension::Ratio,
                        make: Fraction::new,
                        ends: Some((0.12, 0.28)),
                        by_factor: false,
                    };
                    self.job.wood_at_cover =
                        self.value(amount, &wanted, || "moisture content of wood at cover".to_string());
                }
                _ => {}
            }
        }
        if let Some(metric) = units {
            self.job.metric = metric;
        }
    }

    fn code(&mut self, name: &Name) {
        match codes::edition(&name.text) {
            Lookup::Found(edition) => self.job.code = Some(Spanned::new(edition, name.span)),
            Lookup::Ambiguous { choices, .. } => {
                self.unknown(name.span, format!("`{}` names several code editions", short(&name.text)), &choices, "");
            }
            Lookup::Unknown { near } => {
                let known = codes::editions().map(|e| e.key()).collect::<Vec<_>>().join(", ");
                self.unknown(
                    name.span,
                    format!("no tables are kept for code `{}`", short(&name.text)),
                    &near,
                    &format!("known are {known}; leave the line out for physics only"),
                );
            }
        }
    }
}
