//! Foam plastic that faces a room with nothing over it.

use crate::base::finding::{Finding, Weight};
use crate::model::layer::{BayPart, Body, Fill, Layer};
use crate::model::surface::SidePlace;
use crate::rules::facts::space::{Use, use_of};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/bare-foam",
    summary: "foam that faces a room",
    weight: Weight::Stop,
    page: include_str!("bare_foam.md"),
    run: Run::Surface(run),
};

/// A face counts as bright below this emittance.
const BRIGHT: f64 = 0.3;

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let SidePlace::Room(room) = surface.last.place else { return };
    if surface.broken.is_some() {
        return;
    }
    let Some(last) = surface.layers.last() else { return };
    let stuff = match &last.body {
        Body::Sheet(choice) => choice.at(&look.draw),
        Body::Members(members) => match &members.fill {
            Fill::Parts(parts) => match parts.last() {
                Some(BayPart::Stuff(stuff)) => Some(stuff),
                _ => None,
            },
            Fill::Unknown(_) => None,
        },
        Body::Panel(parts) => parts.last(),
        Body::Gap(_) | Body::Hole => None,
    };
    let Some(material) = stuff.and_then(|s| s.material) else { return };
    if class::foam_plastic(material) {
        let service = use_of(look.job, room) == Use::Service;
        // A bright face is a metal foil; it keeps a small flame off, and some boards are tested with no more than that.
        let foil = material.emittance().is_some_and(|e| e.si() < BRIGHT);
        sink.found(tell(last, service, foil));
    }
}

fn tell(last: &Layer, service: bool, foil: bool) -> Finding {
    let (weight, detail, help) = if service {
        (
            if foil { Weight::Watch } else { Weight::Fix },
            "Foam lights fast and burns with black smoke. In a crawlspace or attic that is entered for service only it \
             needs a cover against a small flame, or a test of the board as it stands. Source: International \
             Residential Code R316.5.3 and R316.5.4 (list of covers quoted). Local code decides.",
            "cover it with `plywood 1/4 in` or `mineral-wool-board 1-1/2 in`, or show the report of its test",
        )
    } else {
        (
            Weight::Stop,
            "Foam lights fast and burns with black smoke; a room needs 1/2 in (13 mm) of gypsum board or 23/32 in of \
             wood panel over it. Attics and crawlspaces that are entered for service only have a shorter list. Source: \
             International Residential Code R316.4 and R316.5 (R316.4 from memory, R316.5 read). Local code decides.",
            "cover it with `drywall 1/2 in`",
        )
    };
    let faces = if service { "a service space" } else { "a room" };
    Finding::new(RULE.id, weight, last.stuff_span, format!("`{}` is foam and faces {faces}", label(last)))
        .detail(detail)
        .help(help)
}
