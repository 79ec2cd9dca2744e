//! An eave in ice country without a sheet that seals round nails.

use super::roofs::{coursed, covering, rained_on};
use super::ties::{cut, edge, material, quoted, same, short, show, surfaces};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, Temperature};
use crate::base::unit::INCH;
use crate::model::Job;
use crate::model::joint::{Link, Piece, Thing};
use crate::model::layer::Layer;
use crate::model::room::{RoomAir, RoomId};
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::{JointLook, Missing, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, SurfaceKind, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/no-ice-barrier",
    summary: "an eave in ice country with no sealed sheet far enough up the slope",
    weight: Weight::Fix,
    page: include_str!("no_ice_barrier.md"),
    run: Run::Joint(run),
};

/// Colder than this in January ice dams form: 25 F, IRC 2021 section R905.1.2, from memory.
const COLD: Temperature = Temperature::new(-4.0);
/// Up the slope past the wall line: 24 in, same section, from memory.
const INSIDE: Length = Length::new(24.0 * INCH);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let january = look.job.climate.as_ref().and_then(|c| c.months.first()).map(|m| m.temperature);
    let (Some(_), Some(january)) = (&look.job.code, january.filter(|t| *t < COLD)) else { return };
    let eave = surfaces(look).find(|(end, s)| edge(look, *end) == Some(Edge::Eave) && over_kept_air(look, s));
    let Some((end, surface)) = eave else { return };
    if surface.facts.existing || !covering(surface).is_some_and(|(_, _, m)| coursed(m)) {
        return;
    }
    // A sealed sheet over the whole deck is more than is asked for.
    if surface.layers.iter().filter_map(material).any(class::self_adhered) {
        return;
    }
    sink.take(find(look, end, surface, january));
}

fn over_kept_air(look: &JointLook<'_>, surface: &Surface) -> bool {
    let SidePlace::Room(loft) = surface.last.place else { return false };
    rained_on(surface) && (kept(look.job, loft) || look.job.surfaces.iter().any(|s| lid(look.job, s, loft)))
}

fn kept(job: &Job, room: RoomId) -> bool {
    let kept = |air: &RoomAir| matches!(air, RoomAir::Kept { .. } | RoomAir::Always(_) | RoomAir::Monthly { .. });
    job.room(room).is_some_and(|r| kept(&r.air))
}

/// Whether a ceiling parts a loft from a heated room under it: what heat gets through melts the snow above all the same.
fn lid(job: &Job, ceiling: &Surface, loft: RoomId) -> bool {
    let under = |place: &SidePlace| matches!(place, SidePlace::Room(room) if kept(job, *room));
    ceiling.kind == SurfaceKind::Ceiling
        && matches!(ceiling.first.place, SidePlace::Room(room) if room == loft)
        && under(&ceiling.last.place)
}

fn find(look: &JointLook<'_>, end: usize, surface: &Surface, january: Temperature) -> Result<Option<Finding>, Missing> {
    let deck = bed(surface);
    // What is stuck below the deck is another sheet, whichever is written first.
    let on_roof = |thing: Thing| match thing {
        Thing::Layer { end: e, layer, .. } => e == end && layer <= deck,
        Thing::Surface { end: e, .. } => e == end,
        _ => false,
    };
    let ties = |l: &Link, piece: Thing| {
        let laid = same(l.subject.thing, piece) && l.object.is_some_and(|o| on_roof(o.thing));
        let under = l.verb == Verb::LapsOver && l.object.is_some_and(|o| same(o.thing, piece));
        laid || (under && on_roof(l.subject.thing))
    };
    let belts = look.joint.pieces.iter().enumerate().filter(|(index, p)| {
        let sticks = p.stuff.as_ref().and_then(|s| s.material).is_some_and(class::self_adhered);
        sticks && look.joint.links.iter().any(|l| ties(l, Thing::Piece(*index)))
    });
    let mut found: Option<(&Piece, Length)> = None;
    let mut missing = None;
    for (index, piece) in belts {
        match reach(look, index, piece, &on_roof) {
            Ok(reach) if found.is_none_or(|(_, best)| reach > best) => found = Some((piece, reach)),
            Ok(_) => {}
            Err(unknown) => missing = Some(unknown),
        }
    }
    let (piece, reach) = match (found, missing) {
        (Some(found), None) => found,
        (_, Some(missing)) => return Err(missing),
        (None, None) => {
            look.whole()?;
            return Ok(Some(tell(look, end, january, None)));
        }
    };
    let overhang = match &surface.facts.overhang {
        Some(value) => look.least(value, "the overhang", surface.span)?,
        None => Length::ZERO,
    };
    let wanted = overhang + INSIDE;
    Ok(short(reach, wanted).then(|| tell(look, end, january, Some((piece, reach, wanted)))))
}

/// The layer that an ice barrier lies on at the deepest: the boards under the covering, else the covering itself.
fn bed(surface: &Surface) -> usize {
    let top = covering(surface).map_or(0, |(index, ..)| index);
    let board = |l: &Layer| material(l).is_some_and(|m| class::decking(m) || class::insulation(m));
    surface.layers.iter().skip(top + 1).position(board).map_or(top, |below| top + 1 + below)
}

/// How far up the slope it goes: its lap on the deck, else its width.
fn reach(
    look: &JointLook<'_>,
    index: usize,
    piece: &Piece,
    on_roof: &dyn Fn(Thing) -> bool,
) -> Result<Length, Missing> {
    let laps = |l: &&Link| l.subject.thing == Thing::Piece(index) && l.verb == Verb::LapsOver;
    let lap = look.joint.links.iter().filter(laps).find(|l| l.object.is_some_and(|o| on_roof(o.thing)));
    let what = format!("how far up `{}` goes", piece.name);
    match (lap.and_then(|l| l.length.as_ref()), &piece.shape.wide) {
        (Some(length), _) | (None, Some(length)) => look.least(length, &what, piece.span),
        (None, None) => Err(Missing::new(piece.span, format!("{what} is not said"))),
    }
}

/// What the sheet is laid on: the first boards under the covering.
fn deck(look: &JointLook<'_>, end: usize) -> String {
    let surface = look.joint.surface(look.job, end);
    let board = |l: &&Layer| material(l).is_some_and(class::wood);
    surface.and_then(|s| s.layers.iter().find(board)).map_or_else(|| "deck".to_string(), |l| cut(&l.label))
}

fn tell(look: &JointLook<'_>, end: usize, january: Temperature, belt: Option<(&Piece, Length, Length)>) -> Finding {
    let show = show(look);
    let roof = quoted(look, Thing::Surface { end, half: None });
    let cold = show.temperature(january);
    let edge = look.joint.ends.get(end).map_or(look.joint.span, |e| e.span);
    let (span, message, help) = match belt {
        None => (
            edge,
            format!("the eave of {roof} has no ice barrier, January is {cold}"),
            format!(
                "add `ice: ice-barrier` and write `ice laps over {} {}, rolled`, longer by what stands out past the wall",
                deck(look, end),
                show.length(INSIDE)
            ),
        ),
        Some((piece, reach, wanted)) => (
            piece.span,
            format!(
                "ice barrier `{}` goes {} up, {} is asked for",
                cut(&piece.name),
                show.length(reach),
                show.length(wanted)
            ),
            format!("let it lap over the deck {}: a second roll", show.length(wanted)),
        ),
    };
    let finding = Finding::new(RULE.id, Weight::Fix, span, message)
        .detail(format!(
            "Snow melts over the warm room and freezes at the cold edge; water stands behind the ice and goes up under \
             the laps. Where January is colder than {} on average a sealed sheet goes from the edge to {} inside the \
             wall line (IRC 2021 section R905.1.2, from memory). Less heat lost into the roof is the better cure.",
            show.temperature(COLD),
            show.length(INSIDE)
        ))
        .help(help)
        .number("january", january.si(), "degC");
    match belt {
        Some((_, reach, wanted)) => finding.number("reach", reach.si(), "m").number("wanted", wanted.si(), "m"),
        None => finding,
    }
}
