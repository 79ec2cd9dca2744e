//! A layer is relied on against vapor, and vapor passes it.

use super::skin::stands;
use super::{class_three_unearned, wall};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Permeance, VaporThickness};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::codes::CLASS_LIMITS;
use crate::catalog::{Cup, Material};
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff};
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Control;

pub(super) const RULE: Rule = Rule {
    id: "vapor/loose-vapor-layer",
    summary: "a layer relied on against vapor that vapor passes",
    weight: Weight::Fix,
    page: include_str!("loose_vapor_layer.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    let claimed = |l: &&Layer| l.relied_on.iter().any(|c| c.value == Control::Vapor);
    for layer in look.surface.layers.iter().filter(claimed) {
        sink.take(judge(look, layer));
    }
}

fn judge(look: &Look<'_>, layer: &Layer) -> Result<Option<Finding>, Missing> {
    let passes = passes(look, layer)?;
    Ok(match wall::class(passes) {
        Some(1 | 2) => None,
        // Whether class III will do is for the code to say, and for the rule of its table.
        Some(_) if look.job.code.is_some() || class_three_unearned::speaks(look) => None,
        class => Some(tell(look, layer, passes, class)),
    })
}

/// What a layer passes in the dry cup: all its materials and its paint, one after the other.
fn passes(look: &Look<'_>, layer: &Layer) -> Result<Permeance, Missing> {
    let of = |stuff: &Stuff| {
        let unknown = || Missing::new(stuff.span, format!("the permeance of `{}` is not known", stuff.name));
        stuff.vapor_at(&look.draw, Cup::Dry).ok_or_else(unknown)
    };
    let mut all: Vec<&Stuff> = match &layer.body {
        Body::Hole => {
            return Err(Missing::new(layer.stuff_span, format!("layer `{}` could not be resolved", layer.label)));
        }
        Body::Sheet(choice) => choice.at(&look.draw).into_iter().collect(),
        Body::Panel(parts) => parts.iter().collect(),
        Body::Gap(_) => Vec::new(),
        Body::Members(members) => match &members.fill {
            Fill::Unknown(span) => return Err(Missing::new(*span, "what fills the bays is not known")),
            Fill::Parts(parts) => {
                parts.iter().filter_map(|p| if let BayPart::Stuff(s) = p { Some(s) } else { None }).collect()
            }
        },
    };
    all.extend(layer.words.paint.as_deref());
    let mut thickness = VaporThickness::ZERO;
    for stuff in all {
        thickness += of(stuff)?;
    }
    Ok(thickness.permeance())
}

fn tell(look: &Look<'_>, layer: &Layer, passes: Permeance, class: Option<u8>) -> Finding {
    let show = Show { metric: look.job.metric };
    let limit = |at: usize| show.permeance(Permeance::new(CLASS_LIMITS.get(at).copied().unwrap_or(1.0) * PERM));
    let open = !passes.is_finite();
    let figure = if open { "vapor freely".to_string() } else { format!("{} in the dry cup", show.permeance(passes)) };
    // Class III is a retarder by name; whether it is enough depends on the room and the wall.
    let weight = if stands(look, layer) || class.is_some() { Weight::Watch } else { Weight::Fix };
    let what = match class {
        Some(class) => format!("{}, which slows vapor a little", wall::roman(class)),
        None => format!("more than class III, which ends at {}", limit(2)),
    };
    let source = material(look, layer).and_then(Material::vapor_source);
    let source = source.map_or(String::new(), |c| format!(" ({}; {})", c.source, c.access.words()));
    let does = if class.is_some() { "only slows it" } else { "lets it through" };
    let finding = Finding::new(
        RULE.id,
        weight,
        layer.stuff_span,
        format!("`{}` is relied on against vapor and {does}", label(layer)),
    )
    .label("relied on against vapor")
    .detail(format!(
        "It passes {figure}{source}: {what}. A layer that keeps vapor out passes {} (class I) or at least no more than {} \
         (class II; IRC section R202, from memory).",
        limit(0),
        limit(1)
    ))
    .help(format!(
        "move `-> vapor` to a layer of at most {}, or take it off where the wall needs none",
        limit(1)
    ));
    // What passes freely has no figure.
    if open { finding } else { finding.number("permeance_dry", passes.si(), "kg/(s.m2.Pa)") }
}

/// What decides: the paint where there is one.
fn material(look: &Look<'_>, layer: &Layer) -> Option<&'static Material> {
    if let Some(paint) = &layer.words.paint {
        return paint.material;
    }
    match &layer.body {
        Body::Sheet(choice) => choice.at(&look.draw).filter(|s| s.permeance.is_none())?.material,
        _ => None,
    }
}
