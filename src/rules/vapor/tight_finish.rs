//! A finish that works as a vapor retarder on the cooled side of an outside wall, or of a floor over outdoor air.

use super::class_not_allowed::barred;
use super::wall::{self, Retarder, retarders};
use super::wet_cladding_drive;
use crate::base::finding::{Finding, Weight};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::model::layer::{Body, Layer};
use crate::model::room::RoomAir;
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{Look, Missing, class, material, whole};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "vapor/tight-finish",
    summary: "a tight finish on an outside wall or open floor of a cooled room",
    weight: Weight::Fix,
    page: include_str!("tight_finish.md"),
    run: Run::Surface(run),
};

/// Finishes below this trap vapor. Read for zone 1 in a government guide on hot-humid walls; for zones 0, 2 and 3 common
/// practice, no source.
const LEAST: f64 = 1.0;
/// The last zone in which the rule speaks.
const LAST_ZONE: u8 = 3;

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some((retarder, zone))) => sink.found(tell(look, &retarder, &zone)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether this rule tells of the wall.
pub(super) fn speaks(look: &Look<'_>) -> bool {
    find(look).is_ok_and(|finish| finish.is_some())
}

fn find<'a>(look: &Look<'a>) -> Result<Option<(Retarder<'a>, String)>, Missing> {
    let Some(face) = room_face(look).filter(|face| is_finish(look, face)) else { return Ok(None) };
    let Some(zone) = look.job.climate.as_ref().and_then(|c| c.zone) else {
        return Err(Missing::new(
            look.job.place_span.unwrap_or_default(),
            "the climate zone of the place is not known",
        ));
    };
    // Dry air outside drives no vapor in that would count.
    if zone.number > LAST_ZONE || zone.letter == Some('B') {
        return Ok(None);
    }
    whole(look.surface)?;
    let tight = |r: &Retarder<'_>| r.dry.si() / PERM < LEAST && !r.opens();
    let finish = retarders(face, &look.draw)?.into_iter().rev().find(tight);
    // Where the code bars it, that is said once, by the rule of the code.
    let told =
        wall::frame(look)?.is_some() && wall::table(look.job).is_ok_and(|t| finish.is_some_and(|f| barred(&f, t.2)));
    // A cladding that holds rain behind the same finish says more.
    let told = told || finish.is_some_and(|f| wet_cladding_drive::speaks_of(look, f.layer));
    Ok(finish.filter(|_| !told).map(|f| (f, zone.to_string())))
}

/// The layer on the room face of an outside wall of a cooled room, or of its floor over outdoor air.
fn room_face<'a>(look: &Look<'a>) -> Option<&'a Layer> {
    let surface: &'a Surface = look.surface;
    let open = match surface.last.place {
        SidePlace::Outdoors => true,
        SidePlace::Room(id) => look.job.room(id).is_some_and(|r| matches!(r.air, RoomAir::Open { .. })),
        _ => false,
    };
    if surface.kind == SurfaceKind::Floor && open && wall::cooled_side(look, &surface.first) {
        return surface.layers.first();
    }
    let wall = wall::outside_wall(look) && wall::cooled(look);
    surface.layers.last().filter(|_| wall)
}

/// Whether a layer lies on something that molds or rots: what is the whole of the section, or masonry, is no finish on it.
fn is_finish(look: &Look<'_>, face: &Layer) -> bool {
    let whole = matches!(face.body, Body::Panel(_));
    let cast = material(face, &look.draw).is_some_and(|m| matches!(m.kind(), "masonry" | "concrete"));
    let hurt = |l: &Layer| match &l.body {
        Body::Members(_) => true,
        _ => material(l, &look.draw).is_some_and(class::sensitive),
    };
    // Paste and dust behind a covering mold by themselves.
    let covering = material(face, &look.draw).is_some_and(|m| m.kind() == "finish");
    !whole && !cast && (covering || look.surface.layers.iter().any(hurt))
}

fn tell(look: &Look<'_>, finish: &Retarder<'_>, zone: &str) -> Finding {
    let show = Show { metric: look.job.metric };
    let least = show.permeance(crate::base::quantity::Permeance::new(LEAST * PERM));
    let stands = finish.layer.words.existing || look.surface.facts.existing;
    let weight = if stands { Weight::Watch } else { Weight::Fix };
    Finding::new(
        RULE.id,
        weight,
        finish.span,
        format!("this finish holds summer vapor inside the {}", look.surface.kind_word()),
    )
    .label(format!("{} dry", show.permeance(finish.dry)))
    .detail(format!(
        "`{}` passes {}{}, under {least}. In zone {zone} outdoor vapor is driven in while the room is cooled, and \
             gathers behind it (read for zone 1; zones 0, 2 and 3: common practice, no source).",
        finish.name,
        show.permeance(finish.dry),
        finish.source()
    ))
    .help(if stands {
        "lift a corner of the finish in late summer, and look for mold behind it".to_string()
    } else {
        format!("use a finish that passes {least} or more, such as latex paint")
    })
    .number("permeance_dry", finish.dry.si(), "kg/(s.m2.Pa)")
    .number("least_permeance", LEAST * PERM, "kg/(s.m2.Pa)")
}
