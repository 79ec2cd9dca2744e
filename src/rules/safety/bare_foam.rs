//! Foam plastic that faces a room with nothing over it.

use crate::base::finding::{Finding, Weight};
use crate::model::layer::{BayPart, Body, Fill};
use crate::model::surface::SidePlace;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/bare-foam",
    summary: "foam that faces a room",
    weight: Weight::Stop,
    page: include_str!("bare_foam.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    if !matches!(surface.last.place, SidePlace::Room(_)) || surface.broken.is_some() {
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
    let foam = matches!(material.kind(), "board-insulation" | "spray-foam")
        && matches!(material.family(), "polystyrene" | "polyurethane" | "polyiso" | "phenolic");
    if !foam {
        return;
    }
    let detail = "Foam lights fast and burns with black smoke; a room needs 1/2 in (13 mm) of gypsum board or 23/32 in of wood \
                  panel over it. Attics and crawlspaces that are entered for service only have a shorter list. Source: \
                  International Residential Code R316.4 and R316.5 (R316.4 from memory, R316.5 read). Local code decides.";
    sink.found(
        Finding::new(RULE.id, Weight::Stop, last.stuff_span, format!("`{}` is foam and faces a room", label(last)))
            .detail(detail)
            .help("cover it with `drywall 1/2 in`"),
    );
}
