//! A floor slab of a kept room with too little between its concrete and the soil.

use super::slab::{self, OnGround};
use super::wall::Retarder;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, Permeance};
use crate::base::show::Show;
use crate::base::span::Span;
use crate::base::unit::{INCH, PERM};
use crate::catalog::codes::CLASS_LIMITS;
use crate::graph::place::{self, Air};
use crate::model::layer::{Layer, Treatment};
use crate::rules::facts::space::walkable;
use crate::rules::facts::{Look, Missing, class, label, material};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/open-slab",
    summary: "a floor slab with too little against soil vapor",
    weight: Weight::Stop,
    page: include_str!("open_slab.md"),
    run: Run::Surface(run),
};

/// From this edition on the sheet is 10 mil and of class A; before it is 6 mil (IRC section R506.2.3, from memory).
const CLASS_A: u16 = 2021;
const SIX_MIL: Length = Length::new(0.006 * INCH);
const TEN_MIL: Length = Length::new(0.010 * INCH);
/// Metric sheets of 0.15 mm and 0.25 mm are sold as these.
const SOLD_AS: f64 = 0.98;
const LAP: Length = Length::new(6.0 * INCH);
const SECTION: &str = "IRC section R506.2.3, from memory";

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(found) => found.into_iter().for_each(|f| sink.found(f)),
        Err(missing) => sink.cannot(&missing),
    }
}

fn find(look: &Look<'_>) -> Result<Vec<Finding>, Missing> {
    let kept = place::air(look.job, place::place(&look.surface.first)) == Air::Kept;
    if !kept || !walkable(look.surface) {
        return Ok(Vec::new());
    }
    let Some(floor) = slab::on_ground(look)? else { return Ok(Vec::new()) };
    if floor.sheets.is_empty() {
        // Of a floor that damp harms another rule tells the same, and more.
        return Ok(if floor.finish(look).is_none() { vec![bare(look, &floor)] } else { Vec::new() });
    }
    let mut found: Vec<Finding> = blotter(look, &floor).into_iter().collect();
    let loose = floor.sheets.iter().all(|(_, r)| r.material.is_some_and(is_film));
    if let (Some(code), Some((_, sheet)), true) = (&look.job.code, floor.sheets.first(), loose) {
        found.extend(thin(look, sheet, code.value.year()));
        found.extend(short(look, sheet.layer)?);
    }
    Ok(found)
}

/// A loose film, of which the code asks a thickness and a lap.
fn is_film(m: &crate::catalog::Material) -> bool {
    m.kind() == "membrane" && m.family() == "polyethylene" && m.bond() == crate::catalog::Bond::Loose
}

fn finding(look: &Look<'_>, weight: Weight, stands: bool, span: Span, message: String) -> Finding {
    let weight = if stands || look.surface.facts.existing { Weight::Watch } else { weight };
    Finding::new(RULE.id, weight, span, message)
}

fn bare(look: &Look<'_>, floor: &OnGround<'_>) -> Finding {
    let concrete = floor.concrete.and_then(|i| look.surface.layers.get(i));
    let stands = concrete.is_some_and(|l| l.words.existing);
    // Boards without gaps hold back much of it.
    let board = |l: &Layer| material(l, &look.draw).is_some_and(class::foam_plastic) && l.seams.treatment.closed();
    let weight =
        if look.job.code.is_none() || look.surface.layers.iter().any(board) { Weight::Fix } else { Weight::Stop };
    let span = concrete.map_or(look.surface.span, |l| l.stuff_span);
    let sheet = sheet_words(look);
    let help = if stands || look.surface.facts.existing {
        "coat the slab with a membrane like `liquid-membrane-tight` before a new floor goes on".to_string()
    } else {
        format!("put `sheet: {sheet}` under the concrete, and seal it to the walls")
    };
    finding(look, weight, stands, span, "nothing keeps soil vapor out of this floor".to_string())
        .label("open to the soil")
        .detail(format!(
            "Soil is humid all year, and concrete lets its vapor and water through. Under the slab of a heated or cooled \
             room goes a sheet of at most {} perm ({SECTION}; 10 mil of class A from the {CLASS_A} edition on, 6 mil \
             before, lapped 6 in; the limit: ASTM E1745 as first written, from memory).",
            slab::SHEET
        ))
        .help(help)
        .number("permeance_most", slab::SHEET * PERM, "kg/(s.m2.Pa)")
}

fn sheet_words(look: &Look<'_>) -> &'static str {
    let old = look.job.code.as_ref().is_some_and(|c| c.value.year() < CLASS_A);
    match (old, look.job.metric) {
        (true, false) => "poly 6 mil, lapped 6 in, taped",
        (true, true) => "poly 0.15 mm, lapped 150 mm, taped",
        (false, false) => "poly-10-mil, lapped 6 in, taped",
        (false, true) => "poly-10-mil, lapped 150 mm, taped",
    }
}

/// A film thinner, or looser, than the edition asks for.
fn thin(look: &Look<'_>, sheet: &Retarder<'_>, year: u16) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let crate::model::layer::Body::Sheet(choice) = &sheet.layer.body else { return None };
    let has = choice.at(&look.draw)?.thickness.as_ref()?.at(&look.draw);
    let least = if year >= CLASS_A { TEN_MIL } else { SIX_MIL };
    let class_a = Permeance::new(CLASS_LIMITS.first().copied()? * PERM);
    let loose = year >= CLASS_A && sheet.dry.si() > class_a.si() * 1.001;
    if has.si() >= least.si() * SOLD_AS && !loose {
        return None;
    }
    let mils = |l: Length| {
        if show.metric { format!("{:.2} mm", l.si() * 1e3) } else { format!("{:.0} mil", l.si() / INCH * 1e3) }
    };
    let message = format!("`{}` under the slab is {}, {} is asked for", label(sheet.layer), mils(has), mils(least));
    let found = finding(look, Weight::Fix, sheet.layer.words.existing, sheet.span, message)
        .label(format!("{} dry", show.permeance(sheet.dry)))
        .detail(format!(
            "The {year} edition asks for {}{} under slabs ({SECTION}). A thinner sheet is torn while steel is laid and \
             concrete placed on it.",
            mils(least),
            if year >= CLASS_A { format!(" of class A, {} or less", show.permeance(class_a)) } else { String::new() }
        ))
        .help(format!("write `{}: {}`", sheet.layer.label, sheet_words(look)))
        .number("thickness", has.si(), "m")
        .number("thickness_least", least.si(), "m");
    Some(found)
}

/// A film whose laps are too short and not closed.
fn short(look: &Look<'_>, layer: &Layer) -> Result<Option<Finding>, Missing> {
    let show = Show { metric: look.job.metric };
    if layer.seams.treatment.closed() {
        return Ok(None);
    }
    let unsaid = matches!(layer.seams.treatment, Treatment::Unknown);
    let lap = layer.seams.lap.as_ref().map(|l| l.at(&look.draw));
    let Some(has) = lap.filter(|_| !unsaid) else {
        return Err(Missing::new(layer.stuff_span, format!("how far `{}` laps is not known", layer.label)));
    };
    if has.si() >= LAP.si() * SOLD_AS {
        return Ok(None);
    }
    let message = format!("`{}` laps by {}, {} is asked for", label(layer), show.length(has), show.length(LAP));
    Ok(Some(
        finding(look, Weight::Fix, layer.words.existing, layer.seams.span.unwrap_or(layer.stuff_span), message)
            .label("open lap")
            .detail(format!(
                "Loose laps open when concrete is placed on them; {} is asked for ({SECTION}).",
                show.length(LAP)
            ))
            .help(format!("lap `{}` by {} and tape it", layer.label, show.length(LAP)))
            .number("lap", has.si(), "m")
            .number("lap_least", LAP.si(), "m"),
    ))
}

/// Sand or stone between the concrete and its sheet, under a floor that damp harms.
fn blotter(look: &Look<'_>, floor: &OnGround<'_>) -> Option<Finding> {
    let (_, finish, _) = floor.finish(look)?;
    let concrete = floor.concrete?;
    let (sheet, _) = floor.sheets.iter().find(|(i, _)| *i > concrete)?;
    let above = floor.sheets.iter().any(|(i, _)| *i < concrete);
    let between = look.surface.layers.iter().take(*sheet).skip(concrete + 1);
    let fill = between.filter(|l| material(l, &look.draw).is_some_and(|m| m.kind() == "ground")).last()?;
    (!above).then(|| {
        let message = format!("`{}` between slab and sheet stays wet under `{}`", label(fill), label(finish));
        finding(look, Weight::Fix, fill.words.existing, fill.stuff_span, message)
            .label("holds water")
            .detail(
                "Rain and curing water that get into a fill over the sheet stay there and feed the floor from below for \
                 years. Under a floor that damp harms the concrete goes straight onto the sheet (ACI 302.1R, from \
                 memory).",
            )
            .help(format!("put `{}` under the sheet, and cast the concrete on the sheet itself", fill.label))
    })
}
