//! A strip bonded tight over a seam whose sides move past each other.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::catalog::Bond;
use crate::model::joint::{EndOf, Thing};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "match/no-slack",
    summary: "a strip stretched tight over a seam that moves",
    weight: Weight::Watch,
    page: include_str!("no_slack.md"),
    run: Run::Joint(run),
};

/// Slack over expected movement. Common practice, no source.
const FACTOR: f64 = 1.5;
/// How far a light addition settles past an old wall when nobody says. Common practice, no source.
const SETTLES: Length = Length::new(0.006);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let show = Show { metric: look.job.metric };
    let moves = look.joint.moves.iter().map(|m| m.by.high()).fold(Length::ZERO, |a, b| if b > a { b } else { a });
    let written = !look.joint.moves.is_empty();
    for (index, piece) in look.joint.pieces.iter().enumerate() {
        let stuck = piece
            .stuff
            .as_ref()
            .and_then(|s| s.material)
            .is_some_and(|m| matches!(m.bond(), Bond::SelfAdhered | Bond::Tape));
        let ages = ends(look, Thing::Piece(index));
        let old_to_new = ages.contains(&true) && ages.contains(&false);
        if !stuck || ages.len() < 2 || piece.shape.unread || !(old_to_new || written) {
            continue;
        }
        let needs = Length::new(FACTOR * if written { moves.si() } else { SETTLES.si() });
        let slack = piece.shape.slack.as_ref().map_or(Length::ZERO, |s| s.low());
        if slack + Length::new(0.0003) >= needs {
            continue;
        }
        let why = if written { "as written" } else { "taken where no `moves` line says more (practice)" };
        let weight = if written { Weight::Fix } else { Weight::Watch };
        let detail = format!(
            "The two sides move {} past each other ({why}). A strip bonded right up to the seam is stretched over almost \
             nothing and tears; {} times the movement left loose or folded lets it follow. Source: common practice, no source.",
            show.length(if written { moves } else { SETTLES }),
            FACTOR
        );
        sink.found(
            Finding::new(RULE.id, weight, piece.span, format!("`{}` has too little slack over the seam", piece.name))
                .detail(detail)
                .help(format!(
                    "leave {} unbonded over the seam and write `slack {}`",
                    show.length(needs),
                    show.length(needs)
                )),
        );
    }
}

/// Of the surfaces that a piece is stuck to: whether each stands already.
fn ends(look: &JointLook<'_>, piece: Thing) -> Vec<bool> {
    let mut found: Vec<(usize, bool)> = Vec::new();
    for link in look.joint.links_of(piece).filter(|l| l.verb == Verb::LapsOver && l.subject.thing == piece) {
        let Some(Thing::Layer { end, .. }) = link.object.map(|o| o.thing) else { continue };
        let Some(EndOf::Surface(surface)) = look.joint.ends.get(end).map(|e| e.of) else { continue };
        if let Some(surface) = look.job.surfaces.get(surface)
            && !found.iter().any(|(e, _)| *e == end)
        {
            found.push((end, surface.facts.existing));
        }
    }
    found.into_iter().map(|(_, existing)| existing).collect()
}
