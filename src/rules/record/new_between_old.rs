//! A new layer drawn between two that stand already.

use crate::base::finding::{Finding, Weight};
use crate::model::layer::{Body, Layer};
use crate::rules::facts::section::sheet;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/new-between-old",
    summary: "a new layer between two that stand already",
    weight: Weight::Fix,
    page: include_str!("new_between_old.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    if surface.facts.existing || surface.broken.is_some() {
        return;
    }
    let old = |l: &Layer| l.words.existing;
    let (Some(first), Some(last)) = (surface.layers.iter().position(old), surface.layers.iter().rposition(old)) else {
        return;
    };
    let inside = surface.layers.iter().enumerate().take(last).skip(first + 1);
    let Some((at, new)) = inside.into_iter().find(|(_, l)| !old(l) && placed(look, l)) else { return };
    let before = surface.layers.iter().take(at).rev().find(|l| old(l));
    let after = surface.layers.iter().skip(at).find(|l| old(l));
    let (Some(before), Some(after)) = (before, after) else { return };
    sink.found(
        Finding::new(
            RULE.id,
            Weight::Fix,
            new.span,
            format!("new `{}` can't get there: both its sides are old", label(new)),
        )
        .also(before.span, "stands already")
        .also(after.span, "stands already")
        .detail(
            "A board or a sheet goes on from one side, and on each side of this one something stands already: one of \
             them has to come off and is then not old work any more, with what that costs and uncovers (by \
             reasoning). What is blown or sprayed in through holes may lie between.",
        )
        .help(format!(
            "leave `existing` out at `{}` or `{}`, whichever is taken off and put back",
            label(before),
            label(after)
        )),
    );
}

/// Whether it has to be laid by hand: all but air, holes and what is blown, poured or sprayed through holes.
fn placed(look: &Look<'_>, layer: &Layer) -> bool {
    match &layer.body {
        Body::Gap(_) | Body::Hole => false,
        Body::Members(_) | Body::Panel(_) => true,
        Body::Sheet(_) => {
            let material = sheet(layer, &look.draw).and_then(|s| s.material);
            material.is_some_and(|m| !matches!(m.kind(), "loose-fill" | "spray-foam" | "paint"))
        }
    }
}
