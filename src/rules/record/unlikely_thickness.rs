//! A thickness that no product of the kind is made in: a slip of the unit as a rule.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::catalog::{Material, Seams};
use crate::model::layer::{Layer, Stuff};
use crate::model::value::Origin;
use crate::rules::facts::section::fill;
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "record/unlikely-thickness",
    summary: "a thickness that nothing of the kind is made in",
    weight: Weight::Watch,
    page: include_str!("unlikely_thickness.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    for layer in &look.surface.layers {
        for stuff in fill(layer, &look.draw) {
            let Some((material, thickness)) = written(look, stuff) else { continue };
            let Some((thinnest, thickest)) = made(material) else { continue };
            // Several sheets or boards may lie on one another.
            let most = thickest * f64::from(layer.words.staggered.max(1));
            if thickness < thinnest || thickness > most {
                sink.found(tell(look, layer, (stuff, material), thickness, (thinnest, thickest)));
            }
        }
    }
}

fn written<'a>(look: &Look<'_>, stuff: &'a Stuff) -> Option<(&'a Material, Length)> {
    let thickness = stuff.thickness.as_ref()?;
    let known = matches!(thickness.origin, Origin::Written(_)) && thickness.axis().is_none();
    Some((stuff.material.filter(|_| known)?, thickness.at(&look.draw)))
}

/// Thinnest and thickest that boards, sheets and coats of a kind are made or laid in, m. Common practice, no source; wide
/// on purpose, so that only a wrong unit or a slipped figure falls outside.
fn made(m: &Material) -> Option<(Length, Length)> {
    let (thinnest, thickest) = match (m.kind(), m.seams()) {
        ("gypsum-board", _) => (0.006, 0.08),
        ("wood-panel", Seams::Tongued) => (0.01, 0.3),
        ("wood-panel", _) => (0.0025, 0.08),
        ("membrane", Seams::Sheet) if m.family() != "polyamide" => (0.000_04, 0.03),
        ("paper" | "foil", _) => (0.000_005, 0.012),
        ("coating", _) => (0.000_05, 0.03),
        ("plaster", _) => (0.001, 0.15),
        ("metal", Seams::Sheet) => (0.000_1, 0.04),
        ("masonry", Seams::Units) => (0.01, 3.0),
        ("concrete", _) => (0.01, 3.0),
        ("batt", _) => (0.02, 0.9),
        ("board-insulation", Seams::Boards) => (0.003, 0.7),
        _ => return None,
    };
    Some((Length::new(thinnest), Length::new(thickest)))
}

fn tell(
    look: &Look<'_>,
    layer: &Layer,
    (stuff, material): (&Stuff, &Material),
    thickness: Length,
    (thinnest, thickest): (Length, Length),
) -> Finding {
    let show = Show { metric: look.job.metric };
    let usual = material.usual_thickness().map_or(String::new(), |t| format!("; {} is usual", show.length(t)));
    Finding::new(
        RULE.id,
        Weight::Watch,
        stuff.span,
        format!("`{}` is {} thick, which is not made", label(layer), show.length(thickness)),
    )
    .detail(format!(
        "Of its kind {} to {} is made or laid{usual} (common practice, no source). A unit may have slipped: \
         everything computed of this section goes by what is written.",
        show.length(thinnest),
        show.length(thickest)
    ))
    .help(format!("write the thickness of `{}` with its right unit, or leave it out", label(layer)))
    .number("thickness", thickness.si(), "m")
}
