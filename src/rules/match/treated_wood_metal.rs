//! Copper-treated wood that touches aluminum or plain steel.

use super::contact::{self, Contact, Side};
use super::{about, metals};
use crate::base::finding::Weight;
use crate::model::Job;
use crate::model::joint::Joint;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/treated-wood-metal",
    summary: "copper-treated wood on aluminum or plain steel",
    weight: Weight::Stop,
    page: include_str!("treated_wood_metal.md"),
    run: Run::Job(run),
};

/// How the wood is treated.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Treated {
    Copper,
    NotSaid,
}

fn run(job: &Job, sink: &mut Sink) {
    for contact in contact::all(job) {
        let joint = if let contact::Site::Joint(joint) = contact.site { Some(joint) } else { None };
        for (wood, metal) in [(&contact.a, &contact.b), (&contact.b, &contact.a)] {
            let Some(treated) = treated(job, joint, wood) else { continue };
            let bare = metals::index(metal.material).is_some();
            if !bare || !matches!(metal.material.family(), "aluminum" | "steel" | "cast-iron") {
                continue;
            }
            sink.found(tell(&contact, wood, metal, treated));
        }
    }
}

fn treated(job: &Job, joint: Option<&Joint>, side: &Side) -> Option<Treated> {
    if side.material.family() == "copper-treated-wood" {
        return Some(Treated::Copper);
    }
    if let Some(layer) = side.layer() {
        let words = &layer.words;
        return if words.copper_treated { Some(Treated::Copper) } else { words.treated.then_some(Treated::NotSaid) };
    }
    let (joint, thing) = (joint?, side.thing()?);
    let (copper, plain) = match (joint.piece(job, thing), joint.layer(job, thing)) {
        (Some(piece), _) => (piece.shape.copper_treated, piece.shape.treated),
        (None, Some(layer)) => (layer.words.copper_treated, layer.words.treated),
        (None, None) => (false, false),
    };
    if copper { Some(Treated::Copper) } else { plain.then_some(Treated::NotSaid) }
}

fn tell(contact: &Contact<'_>, wood: &Side, metal: &Side, treated: Treated) -> crate::base::finding::Finding {
    let (weight, which) = match treated {
        Treated::Copper => (Weight::Stop, "The copper preservative"),
        Treated::NotSaid => (Weight::Fix, "The preservative is not named; most are of copper, which"),
    };
    let message = format!("`{}` is eaten by the treated `{}`", contact.name(metal), contact.name(wood));
    let detail = format!(
        "{which} plates out on {} in the damp and eats it. Hot-dip galvanized (A153, connectors G185) or stainless \
             steel \
         lasts. Source: galvanizers' and metal construction associations on treated wood (both read).",
        metal.material.key()
    );
    let help = format!("put a membrane strip between them, or make `{}` of stainless steel", contact.name(metal));
    about(contact, &RULE, weight, message).detail(detail).help(help)
}
