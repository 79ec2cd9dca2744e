//! A bead of sealant too narrow for how far its two sides move.

use super::movement;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::{Show, fixed};
use crate::model::joint::EndOf;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Way;

pub(super) const RULE: Rule = Rule {
    id: "match/narrow-bead",
    summary: "a sealant bead too narrow for the movement",
    weight: Weight::Stop,
    page: include_str!("narrow_bead.md"),
    run: Run::Joint(run),
};

/// No bead narrower than this: a text on architectural detailing (read).
const LEAST: Length = Length::new(0.006);
/// How far a light addition settles past an old wall when nobody says. Common practice, no source.
const SETTLES: Length = Length::new(0.006);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let show = Show { metric: look.job.metric };
    for link in &look.joint.links {
        let Some(wide) = &link.bead.wide else { continue };
        let Some(capability) = link.with.as_ref().and_then(|s| s.material).and_then(movement::capability) else {
            continue;
        };
        let width = match look.least(wide, "the width of the bead", link.span) {
            Ok(width) => width,
            Err(missing) => {
                sink.cannot(&missing);
                continue;
            }
        };
        let (across, along, said) = moves(look);
        let needs = movement::width(across, along, capability);
        let needs = if needs < LEAST { LEAST } else { needs };
        // Figures in inches come in sixteenths: a hair is no fault.
        if width + Length::new(0.0003) >= needs {
            continue;
        }
        let message = format!("a bead {} wide cannot follow the movement", show.length(width));
        let detail = format!(
            "{said} A sealant that stretches {} % of its width needs {} for that, and never less than {}. Source: the idea of \
             ASTM C1472 (not read; the formula is geometry, see the page); capability by family: common practice, no source.",
            fixed(capability * 100.0, 0),
            show.length(needs),
            show.length(LEAST)
        );
        let span = link.bead_span();
        sink.found(
            Finding::new(RULE.id, Weight::Stop, span, message)
                .detail(detail)
                .help(format!(
                    "make the bead {} wide, backed; or cover the seam with metal that slides",
                    show.length(needs)
                ))
                .number("width_needed", needs.si(), "m"),
        );
    }
}

/// Movement across and along the seam, and how it is known.
fn moves(look: &JointLook<'_>) -> (Length, Length, String) {
    let show = Show { metric: look.job.metric };
    let of = |way: Way| {
        look.joint
            .moves
            .iter()
            .filter(|m| m.way == way)
            .map(|m| m.by.high())
            .fold(Length::ZERO, |a, b| if b > a { b } else { a })
    };
    if !look.joint.moves.is_empty() {
        let (across, along) = (of(Way::Across), of(Way::Along));
        return (
            across,
            along,
            format!("It opens {} and slides {}, as written.", show.length(across), show.length(along)),
        );
    }
    let stands = |end: &crate::model::joint::End| match end.of {
        EndOf::Surface(index) => look.job.surfaces.get(index).map(|s| s.facts.existing),
        EndOf::Opening(_) | EndOf::Hole => None,
    };
    let (old, new) = (
        look.joint.ends.iter().any(|e| stands(e) == Some(true)),
        look.joint.ends.iter().any(|e| stands(e) == Some(false)),
    );
    if old && new {
        let words = format!(
            "New work settles past old: {} are taken where no `moves` line says more (practice).",
            show.length(SETTLES)
        );
        return (Length::ZERO, SETTLES, words);
    }
    (Length::ZERO, Length::ZERO, "No movement is written.".to_string())
}
