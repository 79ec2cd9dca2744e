//! An adhesive sheet or tape on masonry, concrete or plaster without primer.

use super::{about, contact};
use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::Job;
use crate::rules::facts::class;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "match/unprimed-face",
    summary: "an adhesive sheet on a porous face without primer",
    weight: Weight::Stop,
    page: include_str!("unprimed_face.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for contact in contact::all(job) {
        let Some(link) = contact.link.filter(|l| matches!(l.verb, Verb::LapsOver | Verb::TurnsUp | Verb::SealsTo))
        else {
            continue;
        };
        let (sheet, face) = (contact.a.material, contact.b.material);
        if !class::self_adhered(sheet) || !mineral(face) || link.tested_pair || link.unread {
            continue;
        }
        if link.face.primed {
            if !link.face.rolled {
                sink.found(unrolled(&contact));
            }
            continue;
        }
        let bitumen = sheet.family() == "bitumen";
        let weight = if bitumen { Weight::Stop } else { Weight::Fix };
        let basis = if bitumen {
            "a trade journal on bonding rubberized asphalt to cold masonry (read)"
        } else {
            "common practice, no source"
        };
        let message =
            format!("`{}` is stuck to `{}` without primer", contact.name(&contact.a), contact.name(&contact.b));
        let detail = format!(
            "Dust and pores keep the adhesive from wetting {}; below 10 C (50 F) the bond drops sharply. The strip peels \
             from its edge, and takes the water and the air seal with it. Source: {basis}.",
            face.key()
        );
        let help = "grind to sound clean face, add `primed, rolled` to this line, and do it";
        sink.found(about(&contact, &RULE, weight, message).detail(detail).help(help));
    }
}

/// Primed, but nobody presses it on.
fn unrolled(contact: &contact::Contact<'_>) -> Finding {
    let (sheet, face) = (contact.name(&contact.a), contact.name(&contact.b));
    about(contact, &RULE, Weight::Watch, format!("`{sheet}` on `{face}` is not rolled"))
        .detail(
            "An adhesive that answers to pressure bridges the pits of a rough face until it is rolled into them; what it \
             does not touch it does not hold. Source: common practice, no source.",
        )
        .help("press it on with a roller, edges twice, and add `rolled` to this line")
}

/// A face with pores and dust.
fn mineral(m: &Material) -> bool {
    class::masonry(m) || class::plaster(m)
}
