//! Run-off from copper that falls on zinc, galvanized steel or aluminum.

use super::metals;
use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::graph::gravity::Lap;
use crate::model::joint::Thing;
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "match/copper-run-off",
    summary: "run-off from copper on zinc or aluminum",
    weight: Weight::Stop,
    page: include_str!("copper_run_off.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in &look.joint.links {
        let runs = match link.verb {
            Verb::DrainsTo => true,
            Verb::LapsOver => look.lap(link) == Lap::Sheds,
            _ => false,
        };
        let Some(object) = link.object.filter(|_| runs) else { continue };
        let (Some(upper), Some(lower)) = (skin(look, link.subject.thing), skin(look, object.thing)) else { continue };
        if !metals::coppery(upper) || !metals::light(lower) {
            continue;
        }
        let (above, below) = (look.name(link.subject.thing), look.name(object.thing));
        let detail = format!(
            "Rain takes copper into solution and sets it free on {}, which is eaten through in a few years, whether the \
             two touch or not. The other way round does no harm. Source: a bulletin on flashing for aluminum-zinc coated \
             steel and one of the metal construction trade (both read).",
            lower.key()
        );
        sink.found(
            Finding::new(RULE.id, Weight::Stop, object.span, format!("run-off from `{above}` eats `{below}`"))
                .also(link.subject.span, "copper")
                .detail(detail)
                .help(format!("make `{below}` of copper or stainless steel, or lead the water elsewhere")),
        );
    }
}

/// The metal that rain meets first on a thing: of a whole surface its outermost layer.
fn skin(look: &JointLook<'_>, thing: Thing) -> Option<&'static Material> {
    match thing {
        Thing::Surface { end, half } => {
            look.surface(thing)?;
            look.material(Thing::Layer { end, layer: 0, half, part: None })
        }
        _ => look.material(thing),
    }
}
