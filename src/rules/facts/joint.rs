//! One joint as a rule sees it: its things by name and material, its graph.
//!
//! Invariant: computed at most once; every answer is a value or a [`Missing`].

use std::cell::OnceCell;

use super::Missing;
use crate::base::quantity::Length;
use crate::base::span::Span;
use crate::catalog::Material;
use crate::graph::defense::{self, Defense};
use crate::graph::gravity::{self, Height, Lap};
use crate::graph::net::{Leak, Net};
use crate::graph::plane::Agent;
use crate::graph::station::{self, Station};
use crate::graph::words;
use crate::model::Job;
use crate::model::joint::{Joint, Link, Piece, Thing};
use crate::model::layer::{Body, Layer, Stuff};
use crate::model::surface::Surface;
use crate::model::value::{Draw, Value};

/// A joint and what is asked of it.
pub struct JointLook<'a> {
    /// The job.
    pub job: &'a Job,
    /// The joint.
    pub joint: &'a Joint,
    stations: OnceCell<Vec<Station>>,
    net: OnceCell<Net<'a>>,
    defenses: OnceCell<Vec<Defense>>,
    leaks: [OnceCell<Vec<Leak>>; 4],
}

impl<'a> JointLook<'a> {
    /// Looks at a joint.
    pub fn new(job: &'a Job, joint: &'a Joint) -> Self {
        Self {
            job,
            joint,
            stations: OnceCell::new(),
            net: OnceCell::new(),
            defenses: OnceCell::new(),
            leaks: Default::default(),
        }
    }

    /// Its stations.
    pub fn stations(&self) -> &[Station] {
        self.stations.get_or_init(|| station::stations(self.job, self.joint))
    }

    /// Its graph.
    pub fn net(&self) -> &Net<'a> {
        self.net.get_or_init(|| Net::new(self.job, self.joint))
    }

    /// The ways that nothing closes.
    pub fn leaks(&self, agent: Agent) -> &[Leak] {
        self.leaks.get(agent as usize).map_or(&[], |cell| cell.get_or_init(|| self.net().leaks(agent)))
    }

    /// Its defense against rain.
    pub fn defenses(&self) -> &[Defense] {
        self.defenses.get_or_init(|| defense::with(&self.net().falls))
    }

    /// Where a thing lies.
    pub fn height(&self, thing: Thing, station: Station) -> Height {
        gravity::height(self.job, self.joint, thing, station)
    }

    /// What a lap does.
    pub fn lap(&self, link: &Link) -> Lap {
        self.net().falls.lap(link)
    }

    /// The piece that a thing is.
    pub fn piece(&self, thing: Thing) -> Option<&'a Piece> {
        self.joint.piece(self.job, thing)
    }

    /// The layer that a thing is.
    pub fn layer(&self, thing: Thing) -> Option<&'a Layer> {
        self.joint.layer(self.job, thing)
    }

    /// The surface that a thing belongs to.
    pub fn surface(&self, thing: Thing) -> Option<&'a Surface> {
        match thing {
            Thing::Layer { end, .. } | Thing::Surface { end, .. } => self.joint.surface(self.job, end),
            _ => None,
        }
    }

    /// What a thing is made of; of members the member itself; none for a hole, air, a surface or a place.
    pub fn stuff(&self, thing: Thing) -> Option<&'a Stuff> {
        if let Some(piece) = self.piece(thing) {
            return piece.stuff.as_ref();
        }
        let Thing::Layer { part, .. } = thing else { return None };
        match &self.layer(thing)?.body {
            Body::Sheet(choice) => choice.at(&Draw::middle()),
            Body::Panel(parts) => parts.get(part.unwrap_or(0)),
            Body::Members(members) => Some(&members.member),
            Body::Gap(_) | Body::Hole => None,
        }
    }

    /// The catalog's row of a thing.
    pub fn material(&self, thing: Thing) -> Option<&'static Material> {
        self.stuff(thing)?.material
    }

    /// A thing as the author calls it, without quotes.
    pub fn name(&self, thing: Thing) -> String {
        words::name(self.job, self.joint, thing)
    }

    /// Refuses to judge what is not written where what is not written may be there.
    ///
    /// # Errors
    /// When the joint says `not shown`, or a line of it could not be read.
    pub fn whole(&self) -> Result<(), Missing> {
        match (self.joint.not_shown, self.joint.holes.first()) {
            (Some(span), _) => Err(Missing::new(span, "the joint says that not all of it is shown")),
            (None, Some(span)) => Err(Missing::new(*span, "a line of the joint could not be read")),
            (None, None) => Ok(()),
        }
    }

    /// A written length, the shorter end of a range.
    ///
    /// # Errors
    /// When nobody knows it.
    pub fn least(&self, length: &Value<Length>, what: &str, span: Span) -> Result<Length, Missing> {
        // Lowering opens an unknown length from nothing upward; a written range begins above it.
        if length.axis().is_some() && length.low() <= Length::ZERO {
            return Err(Missing::new(span, format!("{what} is not known")));
        }
        Ok(length.low())
    }
}
