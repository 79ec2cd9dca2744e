//! More loose fill on a gypsum ceiling than the board carries between its supports.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, ThermalResistance};
use crate::base::show::{Show, fixed};
use crate::base::unit::INCH;
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff};
use crate::rules::facts::section::{sheet, weigh};
use crate::rules::facts::{Look, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/sagging-ceiling",
    summary: "more loose fill than a gypsum ceiling carries",
    weight: Weight::Watch,
    page: include_str!("sagging_ceiling.md"),
    run: Run::Surface(run),
};

/// A pound over a square foot, kg/m2.
const PSF: f64 = 4.882_43;
/// Boards from here on count as 5/8 in; less, as 1/2 in. A little under for metric sizes.
const THICK: Length = Length::new(0.015);
/// Supports from here on count as 24 in apart; less, as 16 in.
const WIDE: Length = Length::new(20.0 * INCH);
/// What a 1/2 in board carries on supports 24 in apart, and what it carries at 16 in or a 5/8 in board at 24 in, psf.
/// ASTM C840 and the gypsum trade's application guide (from memory).
const LIGHT: f64 = 1.3;
const HEAVY: f64 = 2.2;
/// Settled cellulose as it is blown on ceilings today, kg/m3: 1.6 lb/ft3 (from memory). Handbooks give the denser fill of
/// walls and of old; the lighter one counts, so that no sound ceiling is told.
const CELLULOSE: f64 = 25.6;
/// Told from this many times the limit on: a generic density is no better than that. Our own choice.
const OVER: f64 = 1.1;

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    let layers = &surface.layers;
    let flat = matches!(surface.kind, SurfaceKind::Ceiling | SurfaceKind::Roof);
    let Some((joists, members)) = layers.iter().enumerate().rev().find_map(|(i, l)| match &l.body {
        Body::Members(members) => Some((i, members)),
        _ => None,
    }) else {
        return;
    };
    // Boards under the members; a sheet between does not carry.
    let boards = layers.iter().skip(joists + 1).filter_map(|l| {
        let stuff = sheet(l, &look.draw)?;
        (stuff.material?.kind() == "gypsum-board").then_some((l, stuff.thickness.as_ref()?.at(&look.draw)))
    });
    let boards: Vec<(&Layer, Length)> = boards.collect();
    let Some((board, _)) = boards.first().filter(|_| flat && surface.broken.is_none()) else { return };
    let thickness: Length = boards.iter().map(|(_, t)| *t).sum();
    let weight: f64 = load(look, layers.iter().take(joists), &members.fill);
    let spacing = members.spacing.at(&look.draw);
    let most = PSF * if thickness < THICK && spacing >= WIDE { LIGHT } else { HEAVY };
    if weight > most * OVER {
        sink.found(tell(look, board, spacing, weight, most));
    }
}

/// Loose fill between and above the members, kg/m2.
fn load<'a>(look: &Look<'_>, above: impl Iterator<Item = &'a Layer>, fill: &Fill) -> f64 {
    let parts: &[BayPart] = if let Fill::Parts(parts) = fill { parts } else { &[] };
    let bays = parts.iter().filter_map(|p| if let BayPart::Stuff(stuff) = p { Some(stuff) } else { None });
    let over = above.filter_map(|l| sheet(l, &look.draw));
    bays.chain(over).filter_map(|s| mass(look, s)).sum()
}

/// Mass of loose fill; its depth is what its R needs where no depth is written.
fn mass(look: &Look<'_>, stuff: &Stuff) -> Option<f64> {
    let material = stuff.material.filter(|m| m.kind() == "loose-fill")?;
    let generic = match material.family() {
        "cellulose" => material.density()?.si().min(CELLULOSE),
        _ => material.density()?.si(),
    };
    let density = stuff.density.as_ref().map_or(generic, |d| d.at(&look.draw).si());
    let by_label = |r: ThermalResistance| material.conductivity().map(|c| c * r);
    let depth = match (&stuff.resistance, &stuff.thickness) {
        (Some(r), _) => by_label(r.at(&look.draw))?,
        (None, Some(thickness)) => thickness.at(&look.draw),
        (None, None) => return None,
    };
    Some(density * depth.si())
}

fn tell(look: &Look<'_>, board: &Layer, spacing: Length, weight: f64, most: f64) -> Finding {
    let show = Show { metric: look.job.metric };
    let load =
        |kg: f64| if show.metric { format!("{} kg/m2", fixed(kg, 1)) } else { format!("{} psf", fixed(kg / PSF, 1)) };
    Finding::new(
        RULE.id,
        weigh(look.surface, &[board], Weight::Watch),
        board.stuff_span,
        format!("`{}` sags under {} of fill: it carries {}", label(board), load(weight), load(most)),
    )
    .detail(format!(
        "Gypsum board creeps under a load that lies on it for good, the more in damp air, and its joints open. On \
         supports {} apart {} is the most: ASTM C840 and the gypsum trade's guide (from memory). The fill is weighed \
         by a usual density.",
        show.length(spacing),
        load(most)
    ))
    .help(format!(
        "write `drywall 5/8 in`, or strapping at 16 in (400 mm) under the joists, or less than {} of fill",
        load(most)
    ))
    .number("load", weight, "kg/m2")
    .number("most", most, "kg/m2")
}
