//! Siding, plaster or wood too close to soil.

use super::ground::{Clearance, outer_skin, over_soil};
use super::ties::{material, quoted, short};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::base::span::Span;
use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::model::surface::{SidePlace, Surface};
use crate::model::value::{Origin, Value};
use crate::rules::facts::{JointLook, Missing, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "water/cladding-near-ground",
    summary: "cladding or wood too close to soil",
    weight: Weight::Stop,
    page: include_str!("cladding_near_ground.md"),
    run: Run::Job(run),
};

/// Something over soil.
struct Near {
    /// In backticks.
    who: String,
    has: Length,
    needs: Clearance,
    span: Span,
    stands: bool,
}

fn run(job: &Job, sink: &mut Sink) {
    let show = Show { metric: job.metric };
    for surface in &job.surfaces {
        match of_surface(surface) {
            Ok(Some(near)) => sink.found(tell(show, &near).surface(surface.name.clone())),
            Ok(None) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
    for joint in &job.joints {
        of_joint(job, joint, sink);
    }
}

fn of_surface(surface: &Surface) -> Result<Option<Near>, Missing> {
    let Some(clears) = surface.facts.clears_grade.as_ref() else { return Ok(None) };
    let Some(layer) = outer_skin(surface).filter(|_| matches!(surface.first.place, SidePlace::Outdoors)) else {
        return Ok(None);
    };
    let treated = layer.words.treated || layer.words.copper_treated;
    let Some(needs) = material(layer).and_then(over_soil).filter(|_| !treated) else { return Ok(None) };
    let span = match clears.origin {
        Origin::Written(span) => span,
        _ => surface.span,
    };
    let has = known(clears, &format!("how far `{}` stays clear of grade", surface.name), span)?;
    let stands = surface.facts.existing || layer.words.existing;
    Ok(short(has, needs.least).then(|| Near { who: format!("`{}`", label(layer)), has, needs, span, stands }))
}

fn known(value: &Value<Length>, what: &str, span: Span) -> Result<Length, Missing> {
    if value.axis().is_some() && value.low() <= Length::ZERO {
        return Err(Missing::new(span, format!("{what} is not known")));
    }
    Ok(value.low())
}

fn of_joint(job: &Job, joint: &Joint, sink: &mut Sink) {
    let look = JointLook::new(job, joint);
    let grade = |l: &&Link| l.object.is_some_and(|o| o.thing == Thing::Grade);
    for link in joint.links.iter().filter(grade).filter(|l| !l.not_shown) {
        let who = link.subject.thing;
        let needs = super::ground::skin(&look, who).and_then(over_soil).filter(|_| !treated(&look, who));
        let Some(needs) = needs else { continue };
        let span = link.length_span.unwrap_or(link.span);
        let has = match (&link.length, link.verb) {
            (Some(length), Verb::Clears) => {
                look.least(length, &format!("how far {} stays clear", quoted(&look, who)), span)
            }
            (None, Verb::Clears) => {
                Err(Missing::new(span, format!("how far {} stays clear is not said", quoted(&look, who))))
            }
            (_, Verb::Touches | Verb::RunsTo | Verb::Butts)
                if super::ground::skin(&look, who).is_some_and(|m| class::cladding(m) || m.kind() == "trim") =>
            {
                Ok(Length::ZERO)
            }
            _ => continue,
        };
        match has {
            Ok(has) if short(has, needs.least) => {
                let near = Near { who: quoted(&look, who), has, needs, span, stands: super::ties::stands(&look, who) };
                let finding = tell(Show { metric: job.metric }, &near);
                sink.found(Finding { joint: Some(joint.name.clone()), ..finding });
            }
            Ok(_) => {}
            Err(missing) => sink.cannot(&missing),
        }
    }
}

fn treated(look: &JointLook<'_>, thing: Thing) -> bool {
    look.piece(thing).is_some_and(|p| p.shape.treated || p.shape.copper_treated)
        || look.layer(thing).is_some_and(|l| l.words.treated || l.words.copper_treated)
}

fn tell(show: Show, near: &Near) -> Finding {
    let (has, needs) = (show.length(near.has), show.length(near.needs.least));
    let touches = near.has <= Length::ZERO;
    let weight = match () {
        () if near.stands => Weight::Watch,
        () if touches => Weight::Stop,
        () => Weight::Fix,
    };
    let message = if touches {
        format!("{} touches the soil, {needs} clear is asked for", near.who)
    } else {
        format!("{} is {has} above the soil, {needs} is asked for", near.who)
    };
    Finding::new(RULE.id, weight, near.span, message)
        .detail(format!(
            "Rain splashes soil against it, plants and mulch keep it wet, it draws water up, and termites come in unseen. \
             {needs} at least ({}). Measure from the finished grade, mulch included.",
            near.needs.source
        ))
        .help(format!("lower the soil or raise the lower edge: write `clears grade {needs}`"))
        .number("clear", near.has.si(), "m")
        .number("wanted", near.needs.least.si(), "m")
}
