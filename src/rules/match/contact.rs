//! What touches what: neighboring layers of a section, and the two sides of a sentence with what lies between.
//!
//! Invariant: a gasket, rod or foil named after `with` parts the two; a gap, a hole and `not shown` touch nothing.

use crate::base::span::Span;
use crate::catalog::{Bond, Material};
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::model::layer::{Layer, Stuff};
use crate::model::surface::Surface;
use crate::model::value::Draw;
use crate::rules::facts::{JointLook, label, section, short};
use crate::syntax::ast::Verb;

/// Where a contact is.
#[derive(Clone, Copy, Debug)]
pub enum Site<'a> {
    /// At a joint.
    Joint(&'a Joint),
    /// In a surface.
    Surface(&'a Surface),
}

/// What one side of a contact is.
#[derive(Clone, Copy, Debug)]
enum Who<'a> {
    Thing(Thing),
    Between(&'a Stuff),
    Layer(&'a Layer),
}

/// One side of a contact.
#[derive(Clone, Copy, Debug)]
pub struct Side<'a> {
    who: Who<'a>,
    /// What it is made of.
    pub material: &'static Material,
}

impl Side<'_> {
    /// The thing of the joint; none for what lies between or for a layer of a section.
    pub fn thing(&self) -> Option<Thing> {
        if let Who::Thing(thing) = self.who { Some(thing) } else { None }
    }

    /// The layer of a section.
    pub fn layer(&self) -> Option<&Layer> {
        if let Who::Layer(layer) = self.who { Some(layer) } else { None }
    }
}

/// Two materials that touch.
pub struct Contact<'a> {
    job: &'a Job,
    /// Where.
    pub site: Site<'a>,
    /// The one that is put on.
    pub a: Side<'a>,
    /// What it is put on.
    pub b: Side<'a>,
    /// The words that make the contact.
    pub span: Span,
    /// The sentence; none in a section.
    pub link: Option<&'a Link>,
}

impl Contact<'_> {
    /// The job it is in.
    pub fn job(&self) -> &Job {
        self.job
    }

    /// A side as the author calls it, cut where it would burst a message.
    pub fn name(&self, side: &Side<'_>) -> String {
        match (side.who, self.site) {
            (Who::Thing(thing), Site::Joint(joint)) => short(&JointLook::new(self.job, joint).name(thing)),
            (Who::Thing(_), Site::Surface(surface)) => short(&surface.name),
            (Who::Between(stuff), _) => short(&stuff.name),
            (Who::Layer(layer), _) => label(layer),
        }
    }
}

/// Every contact of a job: sections first, in the order written.
pub fn all(job: &Job) -> impl Iterator<Item = Contact<'_>> {
    let sections = job.surfaces.iter().flat_map(move |surface| {
        surface.layers.windows(2).filter_map(move |pair| {
            let [outer, inner] = pair else { return None };
            let shows = |layer, inward| section::face(layer, inward, &Draw::middle());
            let side = |layer, inward| Some(Side { who: Who::Layer(layer), material: shows(layer, inward)?.material? });
            Some(Contact {
                job,
                site: Site::Surface(surface),
                a: side(outer, true)?,
                b: side(inner, false)?,
                span: outer.stuff_span,
                link: None,
            })
        })
    });
    sections.chain(job.joints.iter().flat_map(move |joint| at_joint(job, joint)))
}

/// The contacts of one joint.
fn at_joint<'a>(job: &'a Job, joint: &'a Joint) -> Vec<Contact<'a>> {
    let look = JointLook::new(job, joint);
    let mut out = Vec::new();
    for link in joint.links.iter().filter(|l| touches(l) && !l.not_shown) {
        let side = |thing: Thing| Some(Side { who: Who::Thing(thing), material: look.material(thing)? });
        let between =
            link.with.as_ref().and_then(|stuff| Some(Side { who: Who::Between(stuff), material: stuff.material? }));
        let (a, b) = (side(link.subject.thing), link.object.and_then(|o| side(o.thing)));
        let mut push = |a: Option<Side<'a>>, b: Option<Side<'a>>| {
            if let (Some(a), Some(b)) = (a, b) {
                out.push(Contact { job, site: Site::Joint(joint), a, b, span: link.verb_span, link: Some(link) });
            }
        };
        if between.is_some() {
            push(between, a);
            push(between, b);
        }
        if !parts(between.map(|s| s.material)) {
            push(a, b);
        }
        if let Some(edge) = link.hold.edge_under {
            push(side(edge.thing), a);
        }
    }
    out
}

fn touches(link: &Link) -> bool {
    matches!(
        link.verb,
        Verb::LapsOver
            | Verb::SealsTo
            | Verb::TucksInto
            | Verb::TurnsUp
            | Verb::Butts
            | Verb::Fills
            | Verb::Touches
            | Verb::FastensThrough
            | Verb::FastensTo
            | Verb::RunsTo
    )
}

/// Whether what lies between keeps the two apart: all but a film of adhesive would do so; tapes, sheets and the beads of a
/// joint stand off the two sides.
fn parts(between: Option<&Material>) -> bool {
    between.is_some_and(|m| matches!(m.bond(), Bond::Loose | Bond::Sealant | Bond::Tape | Bond::SelfAdhered))
}
