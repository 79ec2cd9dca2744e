//! A bead of sealant that is too deep, too thin or too wide.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::rules::facts::JointLook;
use crate::rules::facts::class;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/bead-shape",
    summary: "a sealant bead too deep or too thin",
    weight: Weight::Fix,
    page: include_str!("bead_shape.md"),
    run: Run::Joint(run),
};

/// Depth of a bead at most, and at least: a text on architectural detailing and a handbook of sealants (both read).
const DEEPEST: Length = Length::new(0.0135);
const THINNEST: Length = Length::new(0.006);
/// Wider seams want another system than a bead (same text).
const WIDEST: Length = Length::new(0.051);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let show = Show { metric: look.job.metric };
    for link in &look.joint.links {
        let bead = link.with.as_ref().and_then(|s| s.material).is_some_and(class::sealant);
        let (Some(wide), true) = (&link.bead.wide, bead && !link.not_shown) else { continue };
        let wide = match look.least(wide, "the width of the bead", link.span) {
            Ok(wide) => wide,
            Err(missing) => {
                sink.cannot(&missing);
                continue;
            }
        };
        let foam = link.with.as_ref().and_then(|s| s.material).is_some_and(|m| m.key() == "gun-foam");
        let what = match &link.bead.deep {
            _ if foam => None,
            _ if wide > WIDEST => Some(format!("{} is too wide for a bead", show.length(wide))),
            Some(deep) if deep.high() > DEEPEST || deep.high() > wide => {
                Some(format!("a bead {} deep in a seam of {} tears", show.length(deep.high()), show.length(wide)))
            }
            Some(deep) if deep.high() < THINNEST => {
                Some(format!("a bead {} deep is too thin", show.length(deep.high())))
            }
            _ => None,
        };
        let Some(message) = what else { continue };
        let half = Length::new((wide.si() / 2.0).clamp(THINNEST.si(), 0.013));
        let detail = format!(
            "A deep bead is strained far more than a shallow one when its sides move apart; a thin one tears from its edge. \
             Half as deep as wide is right, {} to {}; up to 13 mm (1/2 in) it may be square. Source: a handbook of \
             sealants and a text on architectural detailing (both read).",
            show.length(THINNEST),
            show.length(Length::new(0.013))
        );
        sink.found(
            Finding::new(RULE.id, Weight::Fix, link.bead_span(), message)
                .detail(detail)
                .help(format!("set a backer rod so that the bead is {} deep", show.length(half))),
        );
    }
}
