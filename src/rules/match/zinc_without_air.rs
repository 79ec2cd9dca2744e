//! Zinc sheet that lies tight on what holds water against its back.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::model::surface::SidePlace;
use crate::rules::facts::section::{touching, weigh};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/zinc-without-air",
    summary: "zinc sheet with no air at its back",
    weight: Weight::Fix,
    page: include_str!("zinc_without_air.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let Some(touch) = touching(look).first().copied() else { return };
    let skin = look.surface.layers.first().is_some_and(|first| std::ptr::eq(first, touch.outer));
    let zinc = touch.over.family() == "zinc" && matches!(touch.over.kind(), "roofing" | "cladding" | "metal");
    if !skin || !zinc || !matches!(look.surface.first.place, SidePlace::Outdoors) || breathes(touch.under) {
        return;
    }
    let detail = format!(
        "Zinc keeps its skin only where air gets at it. Water that gathers at a back which lies tight on {} turns it \
         to white powder and then to holes, first where it is cold. An air gap, a mat of loops or boards with gaps \
         let it dry. Common practice, no source.",
        touch.under.key()
    );
    sink.found(
        Finding::new(
            RULE.id,
            weigh(look.surface, &[touch.outer, touch.inner], Weight::Fix),
            touch.outer.stuff_span,
            format!("`{}` is zinc and lies tight on `{}`", label(touch.outer), label(touch.inner)),
        )
        .also(touch.inner.stuff_span, "holds water against its back")
        .detail(detail)
        .help("lay `drainage-mat 8 mm` under it, or battens with `air 40 mm`, open at eave and ridge"),
    );
}

/// Whether the back gets air all the same: a mat of loops, or boards and battens with gaps between.
fn breathes(m: &Material) -> bool {
    m.family() == "polyamide" || m.kind() == "lumber"
}
