//! A frame wall in Britain whose inside is not so much tighter than its outside as is asked there.

use super::skin::{self, series};
use super::{class_three_unearned, cold_side_tight, no_room_retarder, responsive_in_humid_room, wall};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::VaporThickness;
use crate::base::show::Show;
use crate::catalog::Cup;
use crate::model::layer::Layer;
use crate::rules::facts::path::Part;
use crate::rules::facts::{Look, Missing, class};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/uneven-openness",
    summary: "a frame wall not enough tighter inside than outside (Britain)",
    weight: Weight::Watch,
    page: include_str!("uneven_openness.md"),
    run: Run::Surface(run),
};

/// Frame walls in Britain: inside at least so many times as tight as outside (BS 5250, from memory).
const BRITAIN: f64 = 5.0;
/// With more than this share of all insulation outside the sheathing is kept warm. Our own choice.
const WARM: f64 = 0.25;

/// A wall and what its country asks of it.
struct Uneven<'a> {
    inner: &'a Layer,
    outside: VaporThickness,
    inside: VaporThickness,
    /// What inside would do.
    least: VaporThickness,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(uneven)) => sink.found(tell(look, &uneven)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Uneven<'a>>, Missing> {
    let country = look.job.climate.as_ref().and_then(|c| c.country);
    if look.job.code.is_some() || country != Some("GB") {
        return Ok(None);
    }
    let Some(frame) = wall::frame(look)? else { return Ok(None) };
    let Some(path) = skin::between(look)? else { return Ok(None) };
    let Some(loose) = skin::loose_insulation(path) else { return Ok(None) };
    // Masonry behind a frame, and a frame kept warm by boards outside, are other walls than the rule has in mind.
    let masonry = |p: &Part<'_>| p.stuff().and_then(|s| s.material).is_some_and(class::masonry);
    let warm = skin::resistance(path.parts.iter().take(loose)).si() / skin::resistance(path.parts.iter()).si();
    if path.parts.iter().any(masonry) || warm > WARM {
        return Ok(None);
    }
    let outside = thickness(path.parts.iter().take(loose));
    let inside = thickness(path.parts.iter().skip(loose + 1));
    let least = outside * BRITAIN;
    // A hair of room for what meets the figure exactly.
    if inside.si() >= least.si() * 0.999 || told(look)? {
        return Ok(None);
    }
    let surface: &'a crate::model::surface::Surface = frame.surface;
    Ok(surface.layers.last().map(|inner| Uneven { inner, outside, inside, least }))
}

fn thickness<'p, 'a: 'p>(parts: impl Iterator<Item = &'p Part<'a>>) -> VaporThickness {
    series(parts.filter(|p| p.stuff().is_some()), Cup::Dry).vapor_thickness()
}

/// Rules that name the same looseness with figures of this room.
fn told(look: &Look<'_>) -> Result<bool, Missing> {
    Ok(class_three_unearned::speaks(look)
        || responsive_in_humid_room::speaks(look)
        || no_room_retarder::speaks(look)
        || cold_side_tight::find(look)?.is_some())
}

fn tell(look: &Look<'_>, uneven: &Uneven<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let figure = |t: VaporThickness| format!("sd {:.2} m ({})", t.si(), show.permeance(t.permeance()));
    let more = VaporThickness::new((uneven.least.si() - uneven.inside.si()).max(0.0)).permeance();
    let help = if look.surface.facts.existing {
        format!("open the wall at `{}` in late winter, and look", uneven.inner.label)
    } else {
        format!("put in a layer of at most {} inside of the studs, or open the outside", show.permeance(more))
    };
    Finding::new(
        RULE.id,
        Weight::Watch,
        uneven.inner.stuff_span,
        "the inside is hardly tighter than the outside of this frame",
    )
    .label(figure(uneven.inside))
    .detail(format!(
        "Outside of the loose insulation lie {}, inside {}. In Britain the inside of a frame is at least {BRITAIN:.0} times as \
         tight as the outside (BS 5250, from memory): here {}. The sum over the year outranks the ratio, for the air written \
         in the job.",
        figure(uneven.outside),
        figure(uneven.inside),
        figure(uneven.least)
    ))
    .help(help)
    .number("vapor_thickness_outside", uneven.outside.si(), "m")
    .number("vapor_thickness_inside", uneven.inside.si(), "m")
}
