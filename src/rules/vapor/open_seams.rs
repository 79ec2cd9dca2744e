//! A vapor layer with open seams, edges or holes in a room that is humid in winter.

use super::skin::{self, perms, stands};
use super::wall;
use super::winter::{HUMID, MOIST, Winter, season, winter};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::RelativeHumidity;
use crate::base::show::Show;
use crate::catalog::{Cup, Seams};
use crate::model::layer::{Body, Layer, Treatment};
use crate::model::surface::SidePlace;
use crate::rules::facts::section::{Opening, openings};
use crate::rules::facts::{Look, Missing, capital, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Control, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "vapor/open-seams",
    summary: "a vapor layer with open seams in a room that is humid in winter",
    weight: Weight::Fix,
    page: include_str!("open_seams.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some((layer, open, air))) => sink.found(tell(look, layer, &open, &air)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

type Found<'a> = (&'a Layer, Vec<Opening>, Winter);

fn find<'a>(look: &Look<'a>) -> Result<Option<Found<'a>>, Missing> {
    if !matches!(look.surface.kind, SurfaceKind::Wall | SurfaceKind::Roof | SurfaceKind::Ceiling) {
        return Ok(None);
    }
    let Some(layer) = relied(look)? else { return Ok(None) };
    let open = openings(layer, "lapped only");
    let unknown = layer.seams.treatment == Treatment::Unknown;
    if open.is_empty() && !unknown {
        return Ok(None);
    }
    let Some(air) = winter(look)?.filter(Winter::humid) else { return Ok(None) };
    if open.is_empty() {
        let why = format!("how the seams of `{}` are closed is not known", layer.label);
        return Err(Missing::new(layer.seams.span.unwrap_or(layer.stuff_span), why));
    }
    Ok(Some((layer, open, air)))
}

/// The layer that is to keep room vapor out of the insulation: the one claimed, else the only sheet or panel inside that
/// could. None where a layer that stops air at the room side, by its own rules, covers the seams.
fn relied<'a>(look: &Look<'a>) -> Result<Option<&'a Layer>, Missing> {
    let claims = |l: &Layer, control| l.relied_on.iter().any(|c| c.value == control);
    let sheet = |l: &Layer| matches!(l.body, Body::Sheet(_) | Body::Panel(_));
    let surface = look.surface;
    let claimed = surface.layers.iter().rposition(|l| claims(l, Control::Vapor));
    let at = match claimed {
        Some(at) => Some(at),
        None => match panel(look)? {
            Some(at) => Some(at),
            None => only_one(look)?,
        },
    };
    let Some((at, layer)) = at.and_then(|at| Some((at, surface.layers.get(at)?))).filter(|(_, l)| sheet(l)) else {
        return Ok(None);
    };
    // A layer that is also to stop air is judged for that, and more strictly.
    let stops_air = |l: &Layer| claims(l, Control::Air);
    let inside = surface.layers.iter().skip(at.saturating_sub(1));
    Ok((!inside.into_iter().any(stops_air)).then_some(layer))
}

/// The factory panel of a wall or roof, where nothing inside of it is tight: between its seams its own skins and core are all
/// that slows vapor.
fn panel(look: &Look<'_>) -> Result<Option<usize>, Missing> {
    let surface = look.surface;
    let room = matches!(surface.last.place, SidePlace::Room(_)) && matches!(surface.first.place, SidePlace::Outdoors);
    let Some(at) = surface.layers.iter().rposition(|l| matches!(l.body, Body::Panel(_))).filter(|_| room) else {
        return Ok(None);
    };
    let Some(path) = skin::between(look)? else { return Ok(None) };
    let inner = path.parts.iter().filter(|p| p.layer > at && p.stuff().is_some());
    Ok(inner.map(|p| perms(p, Cup::Wet)).all(|p| p > 1.0).then_some(at))
}

/// Inside of loose insulation the only layer that stays tight.
fn only_one(look: &Look<'_>) -> Result<Option<usize>, Missing> {
    if !wall::outside_wall(look) {
        return Ok(None);
    }
    let Some(path) = skin::between(look)? else { return Ok(None) };
    let Some(loose) = skin::loose_insulation(path) else { return Ok(None) };
    let inner = path.parts.iter().skip(loose + 1).filter(|p| p.stuff().is_some());
    let tight: Vec<usize> = inner.filter(|p| perms(p, Cup::Wet) <= 1.0 + 1e-9).map(|p| p.layer).collect();
    Ok(match tight.as_slice() {
        [one] => Some(*one),
        _ => None,
    })
}

fn tell(look: &Look<'_>, layer: &Layer, open: &[Opening], air: &Winter) -> Finding {
    let show = Show { metric: look.job.metric };
    let names: Vec<&str> = open.iter().map(|o| o.what).collect();
    let each: Vec<String> = open.iter().map(|o| format!("{}: {}", o.what, o.how)).collect();
    let stands = stands(look, layer);
    let boards = match &layer.body {
        Body::Sheet(choice) => {
            let material = choice.at(&look.draw).and_then(|s| s.material);
            material.is_some_and(|m| matches!(m.seams(), Seams::Boards | Seams::Tongued))
        }
        _ => true,
    };
    let word = if boards { "tape its seams" } else { "lap and tape its seams" };
    let help = if stands {
        format!("find the open places of `{}` with smoke on a cold day, and close them", layer.label)
    } else {
        format!(
            "{word}, and write `{}taped, edges sealed, holes sealed` on `{}`",
            if boards { "" } else { "lapped 6 in, " },
            layer.label
        )
    };
    let held = if air.held { ", and it is held so" } else { "" };
    let span = open.first().map_or(layer.stuff_span, |o| o.span);
    let weight = if stands { Weight::Watch } else { Weight::Fix };
    let message = format!("`{}` is open in a humid room: {}", label(layer), names.join(" and "));
    let finding = Finding::new(RULE.id, weight, span, message)
        .label("open")
        .detail(format!(
            "{} the room has {} on average, a dew point of {}{held}. {}. Through an open lap \
             moist air passes, and carries far more than the sheet lets through by itself. Over {} or a dew point of {} \
             the seams count: common practice, no source.",
            capital(&season(show)),
            show.humidity(air.humidity),
            show.temperature(air.dew_point),
            capital(&each.join("; ")),
            show.humidity(RelativeHumidity::new(HUMID)),
            show.temperature(MOIST),
        ))
        .help(help)
        .number("room_humidity", air.humidity.si(), "1")
        .number("dew_point", air.dew_point.si(), "degC");
    open.iter().skip(1).fold(finding, |f, o| f.also(o.span, o.what))
}
