//! Water that is built in: wood closed in wet, concrete covered young; and how long it takes to leave.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Density, Duration, Length, MoistureMass};
use crate::base::show::{Show, fixed, month_name};
use crate::base::span::Span;
use crate::model::layer::{BayPart, Body, Fill, Layer, Stuff, Wet};
use crate::model::surface::{Side, SidePlace};
use crate::model::value::Origin;
use crate::physics::profile::{Air, MonthResult, Start, Water, Year};
use crate::rules::facts::path::{PathKind, members_of};
use crate::rules::facts::{Look, Missing, PathYear, air, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "dew/wet-when-covered",
    summary: "wood or concrete that is closed in with more water than it can lose in time",
    weight: Weight::Stop,
    page: include_str!("wet_when_covered.md"),
    run: Run::Surface(run),
};

/// Wood may be closed in up to this: 19 % (common practice, no source; NHBC Standards 6.2.12 says below 20 %, read).
const MOST: f64 = 0.19;
/// Wood at this is as dry as the service it goes to lets it be. Above it spray foam is not put on (common practice, no source).
const SERVICE: f64 = 0.16;
/// Water that concrete of a month's age still has to lose (from memory: some 60 to 90 for ordinary mixes).
const TO_LOSE: Density = Density::new(70.0);
/// It loses it from one face an inch, 25 mm, deep in a month, begun at 28 days (common practice, no source).
const CURED: Duration = Duration::new(28.0 * 86_400.0);
const A_MONTH: Duration = Duration::new(30.0 * 86_400.0);
const A_MONTHS_DEPTH: Length = Length::new(0.025);
/// Years that are tried.
const YEARS: usize = 3;
/// As good as dry: a hundredth of what was there.
const DRY: f64 = 0.01;
/// Wood and paper that lie against water for longer mold. Our own choice.
const LONG: usize = 6;

/// Water built into a layer.
struct Built {
    layer: usize,
    /// Which path it is on.
    path: usize,
    mass: MoistureMass,
    /// The interfaces it is put at, in equal parts.
    at: Vec<usize>,
    /// Moisture content of wood.
    content: Option<f64>,
    /// Where it is written.
    said: Span,
    /// Said of all lumber of the job.
    lumber: bool,
    foam: bool,
}

/// How it fares.
struct Fate {
    /// Months until it is gone; none within the years tried.
    months: Option<usize>,
    /// Share of it that is left at the end.
    left: f64,
    /// A layer of wood or paper that it wets.
    harms: Option<usize>,
    start: u8,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    let layers: Vec<usize> = (0..look.surface.layers.len()).filter(|at| wet_layer(look, *at).is_some()).collect();
    if layers.is_empty() {
        return;
    }
    for at in layers {
        match built(look, at).and_then(|b| b.map_or(Ok(None), |b| judge(look, &b))) {
            Ok(found) => sink.findings.extend(found),
            Err(missing) => sink.cannot(&missing),
        }
    }
}

/// What is said of a layer's water: of the layer itself, else of the job's lumber.
fn wet_layer(look: &Look<'_>, at: usize) -> Option<(Wet, bool)> {
    let layer = look.surface.layers.get(at)?;
    if layer.words.existing || look.surface.facts.existing {
        return None;
    }
    if let Some(wet) = layer.words.wet {
        return Some((wet, false));
    }
    let content = look.job.wood_at_cover.as_ref()?;
    let members = members_of(layer).filter(|m| !m.metal)?;
    members.member.material.filter(|m| class::wood(m))?;
    let span = if let Origin::Written(span) = content.origin { span } else { layer.stuff_span };
    Some((Wet::Content(content.at(&look.draw).si(), span), true))
}

fn built(look: &Look<'_>, at: usize) -> Result<Option<Built>, Missing> {
    let (Some((wet, lumber)), Some(layer)) = (wet_layer(look, at), look.surface.layers.get(at)) else {
        return Ok(None);
    };
    let years = look.years().map_err(Clone::clone)?;
    let Some((path, of)) = years.iter().enumerate().find(|(_, y)| y.path.kind != PathKind::Port) else {
        return Ok(None);
    };
    let (first, last) =
        match (of.path.parts.iter().position(|p| p.layer == at), of.path.parts.iter().rposition(|p| p.layer == at)) {
            (Some(first), Some(last)) => (first, last),
            // Outside of a vented gap it dries by itself.
            _ => return Ok(None),
        };
    let bare = |side: &Side| matches!(side.place, SidePlace::Outdoors | SidePlace::Room(_));
    let surface = look.surface;
    let aired = first == 0 && bare(&surface.first) || last + 1 == of.path.parts.len() && bare(&surface.last);
    let inner = |face: &usize| *face > 0 && *face < of.path.parts.len() && !aired;
    let members = members_of(layer);
    let faces: Vec<usize> =
        [first, last + 1].into_iter().filter(inner).take(if members.is_some() { 1 } else { 2 }).collect();
    let (content, said, mass) = match wet {
        Wet::Content(content, said) => (Some(content), said, of_wood(look, layer, of, content)?),
        Wet::Days(days, said) => (None, said, of_concrete(look, layer, days)?),
    };
    let foam = members.is_some_and(|m| {
        matches!(&m.fill, Fill::Parts(parts)
        if parts.iter().any(|p| matches!(p, BayPart::Stuff(s) if s.material.is_some_and(|m| m.kind() == "spray-foam"))))
    });
    Ok(Some(Built { layer: at, path, mass, at: faces, content, said, lumber, foam }))
}

/// What wood has to lose to come to 16 %. Of members it counts by their share of the area, in the bay.
fn of_wood(look: &Look<'_>, layer: &Layer, of: &PathYear<'_>, content: f64) -> Result<MoistureMass, Missing> {
    let unknown = || Missing::new(layer.stuff_span, format!("how much wood `{}` is is not known", layer.label));
    let (stuff, depth, share) = match &layer.body {
        Body::Sheet(choice) => {
            let stuff = choice.at(&look.draw).ok_or_else(unknown)?;
            (stuff, thickness(look, stuff).ok_or_else(unknown)?, 1.0)
        }
        Body::Members(m) => (&m.member, m.depth.at(&look.draw), 1.0 - of.path.share.si()),
        Body::Panel(_) | Body::Gap(_) | Body::Hole => return Err(unknown()),
    };
    if !stuff.material.is_some_and(class::wood) {
        let why = format!("what `{}` has to lose at that moisture is not known", layer.label);
        return Err(Missing::new(layer.stuff_span, why));
    }
    let density = stuff.density.as_ref().map(|d| d.at(&look.draw)).or(stuff.material.and_then(|m| m.density()));
    Ok(density.ok_or_else(unknown)? * depth * (share * (content - SERVICE).max(0.0)))
}

fn of_concrete(look: &Look<'_>, layer: &Layer, days: f64) -> Result<MoistureMass, Missing> {
    let stuff = if let Body::Sheet(choice) = &layer.body { choice.at(&look.draw) } else { None };
    let poured = stuff.filter(|s| s.material.is_some_and(|m| matches!(m.kind(), "concrete" | "plaster")));
    let depth = poured.and_then(|s| thickness(look, s));
    let depth = depth.ok_or_else(|| {
        Missing::new(layer.stuff_span, format!("what `{}` has to lose after so many days is not known", layer.label))
    })?;
    let dried = Duration::new((days * 86_400.0 - CURED.si()).max(0.0)) / A_MONTH * A_MONTHS_DEPTH.si();
    Ok(TO_LOSE * Length::new((depth.si() - dried).max(0.0)))
}

fn thickness(look: &Look<'_>, stuff: &Stuff) -> Option<Length> {
    stuff.thickness.as_ref().map(|t| t.at(&look.draw)).or(stuff.material.and_then(|m| m.usual_thickness()))
}

fn judge(look: &Look<'_>, built: &Built) -> Result<Option<Finding>, Missing> {
    let fate = if built.mass > MoistureMass::ZERO && !built.at.is_empty() { Some(fate(look, built)?) } else { None };
    let over = built.content.is_some_and(|c| c > MOST + 1e-9);
    let never = fate.as_ref().is_some_and(|f| f.months.is_none());
    let long = fate.as_ref().is_some_and(|f| f.months.is_none_or(|m| m > LONG) && f.harms.is_some());
    let weight = match built.content {
        Some(_) if over && never => Weight::Stop,
        Some(_) if over || never => Weight::Fix,
        Some(content) if built.foam && content > SERVICE + 1e-9 => Weight::Watch,
        Some(_) => return Ok(None),
        None if never && long => Weight::Stop,
        None if long => Weight::Fix,
        None => return Ok(None),
    };
    // What is said of all lumber is told once; a surface that keeps the water tells it for itself.
    if built.lumber && !never && !first_with_lumber(look) {
        return Ok(None);
    }
    Ok(tell(look, built, fate.as_ref(), weight))
}

fn first_with_lumber(look: &Look<'_>) -> bool {
    let lumber = |l: &Layer| members_of(l).is_some_and(|m| !m.metal && m.member.material.is_some_and(class::wood));
    let first = look.job.surfaces.iter().find(|s| !s.facts.existing && s.layers.iter().any(lumber));
    first.is_some_and(|s| s.name == look.surface.name)
}

/// Three years from autumn, with the water and without it.
fn fate(look: &Look<'_>, built: &Built) -> Result<Fate, Missing> {
    let refuse = |e: crate::physics::Error| Missing::new(look.surface.span, e.to_string());
    let months = look.months().map_err(Clone::clone)?;
    let years = look.years().map_err(Clone::clone)?;
    let of = years.get(built.path).ok_or_else(|| Missing::new(look.surface.span, "there is no path"))?;
    let outdoors = air::outdoors(look.job, look.surface.span)?;
    let warm = |(_, a): &(usize, &Air)| a.temperature.si();
    let warmest = outdoors.iter().enumerate().max_by(|a, b| warm(a).total_cmp(&warm(b))).map_or(6, |(i, _)| i);
    let start = (warmest + 3) % 12;
    let part = built.mass / built.at.len().max(1) as f64;
    let water: Vec<Water> = built.at.iter().map(|i| Water { interface: *i, mass: part }).collect();
    let mut solver = look.solver()?;
    let wet = solver.years(&of.path.build(), months, &Start { month: Some(start), water }, YEARS).map_err(refuse)?;
    let none = Start { month: Some(start), water: Vec::new() };
    let dry = solver.years(&of.path.build(), months, &none, YEARS).map_err(refuse)?;
    let pairs: Vec<(&MonthResult, &MonthResult)> = all(&wet).zip(all(&dry)).collect();
    let extra = |p: &(&MonthResult, &MonthResult)| (p.0.total() - p.1.total()) / built.mass;
    Ok(Fate {
        months: pairs.iter().position(|p| extra(p) <= DRY).map(|m| m + 1),
        left: pairs.last().map_or(0.0, extra),
        harms: harmed(of, built, &pairs),
        start: start as u8 + 1,
    })
}

fn all(years: &[Year]) -> impl Iterator<Item = &MonthResult> {
    years.iter().flat_map(|y| &y.months)
}

/// A layer of wood or paper, other than the wet one, that more water lies against for longer than [`LONG`].
fn harmed(of: &PathYear<'_>, built: &Built, pairs: &[(&MonthResult, &MonthResult)]) -> Option<usize> {
    let sensitive = |part: usize| {
        let found = of.path.parts.get(part)?;
        let harmed = found.layer != built.layer && found.stuff()?.material.is_some_and(class::sensitive);
        harmed.then_some(found.layer)
    };
    of.year.nodes.iter().enumerate().find_map(|(node, n)| {
        let face = n.interface?;
        let more = |p: &&(&MonthResult, &MonthResult)| {
            p.0.mass.get(node).zip(p.1.mass.get(node)).is_some_and(|(a, b)| *a - *b > built.mass * DRY)
        };
        let touched = face.checked_sub(1).and_then(sensitive).or_else(|| sensitive(face));
        touched.filter(|_| pairs.iter().filter(more).count() > LONG)
    })
}

fn tell(look: &Look<'_>, built: &Built, fate: Option<&Fate>, weight: Weight) -> Option<Finding> {
    let show = Show { metric: look.job.metric };
    let layer = look.surface.layers.get(built.layer)?;
    let name = label(layer);
    let percent = |x: f64| fixed(x * 100.0, 0);
    let message = match (built.content, fate) {
        (Some(c), _) if c > MOST + 1e-9 => {
            format!("`{name}` is closed in at {} % moisture, 19 % is the most", percent(c))
        }
        (Some(c), Some(Fate { months: None, .. })) => {
            format!("`{name}`, closed in at {} %, does not dry in {YEARS} years", percent(c))
        }
        (Some(c), _) => format!("`{name}` meets spray foam at {} % moisture", percent(c)),
        (None, Some(Fate { months: Some(m), .. })) => format!("`{name}` gives off its building water for {m} months"),
        (None, _) => format!("`{name}` does not lose its building water in {YEARS} years"),
    };
    let basis = match built.content {
        Some(_) => {
            "wood to come to 16 % by mass; 19 % at cover is common practice, below 20 % in NHBC Standards 6.2.12, read"
        }
        None => "70 kg/m3 to lose at 28 days, from memory, an inch deeper dry each month, common practice, no source",
    };
    let course = fate.map_or_else(String::new, |f| {
        let gone = match f.months {
            Some(m) => format!("it is gone after {m} months"),
            None => format!("{} % of it is left after {YEARS} years", percent(f.left)),
        };
        format!(" Begun in {}, {gone} (ISO 13788:2012 clause 6 with that water, from memory).", month_name(f.start))
    });
    let harmed = fate.and_then(|f| look.surface.layers.get(f.harms?));
    let lies =
        harmed.map_or_else(String::new, |l| format!(" `{}` lies against it for more than {LONG} months.", l.label));
    let finding = Finding::new(RULE.id, weight, if built.lumber { layer.stuff_span } else { built.said }, message)
        .label("closed in wet")
        .detail(format!("It has to lose {} ({basis}).{course}{lies}", show.water(built.mass)))
        .help(order(built))
        .number("water", built.mass.si(), "kg/m2")
        .number("months", fate.and_then(|f| f.months).map_or(f64::from(YEARS as u8 * 12), |m| m as f64), "1");
    Some(if built.lumber { finding.also(built.said, "said of all lumber") } else { finding })
}

fn order(built: &Built) -> String {
    match built.content {
        Some(c) if c > MOST + 1e-9 => {
            "dry it with heat and fans to 19 % or less, three readings a bay, before it is covered: `at 19 %`".to_string()
        }
        Some(_) => "let it dry to `at 16 %` before it is covered, or open one side to vapor".to_string(),
        None => "cover it later, or open it to vapor on one side; a sheet of 0.1 perm between it and wood keeps the wood dry"
            .to_string(),
    }
}
