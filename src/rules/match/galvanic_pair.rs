//! Two metals that touch in the wet and lie too far apart in the anodic index.

use super::contact::{self, Contact, Site};
use super::{about, metals};
use crate::base::finding::Weight;
use crate::catalog::Material;
use crate::graph::place::{Air, air, place};
use crate::model::Job;
use crate::model::joint::Thing;
use crate::model::layer::Layer;
use crate::model::room::{RoomAir, RoomHumidity};
use crate::model::surface::{Side, SidePlace, Surface};
use crate::model::value::Draw;
use crate::rules::facts::class;
use crate::rules::facts::section::fill;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::Verb;

pub(super) const RULE: Rule = Rule {
    id: "match/galvanic-pair",
    summary: "two metals too far apart that touch in the wet",
    weight: Weight::Stop,
    page: include_str!("galvanic_pair.md"),
    run: Run::Job(run),
};

/// Difference in volt up to which metals live together outdoors, and in ordinary rooms: a published anodic index (read).
const OUTDOORS: f64 = 0.15;
const ORDINARY: f64 = 0.25;
/// The same between rooms that are kept dry (same index, read).
const DRY: f64 = 0.50;
/// Below this relative humidity no film of water forms that carries a current. From memory.
const FILM: f64 = 0.65;

fn run(job: &Job, sink: &mut Sink) {
    for contact in contact::all(job) {
        let (Some(a), Some(b)) = (metals::index(contact.a.material), metals::index(contact.b.material)) else {
            continue;
        };
        let apart = (b - a).abs();
        let Some(weight) = weight(&contact, apart).filter(|_| apart > DRY || !dry(job, &contact)) else { continue };
        if bedded(&contact) {
            continue;
        }
        let (noble, base) = if a < b { (&contact.a, &contact.b) } else { (&contact.b, &contact.a) };
        let message = format!("`{}` eats `{}` where they touch in the wet", contact.name(noble), contact.name(base));
        let detail = format!(
            "{} and {} lie {apart:.2} V apart; {OUTDOORS} V is the most outdoors, {ORDINARY} V in ordinary rooms, \
                 {DRY} V \
             between rooms that are kept dry. The baser one corrodes, the faster the smaller it is beside the other. \
             Source: a published anodic index (to lead read, \
             baser metals from memory); area rule MIL-STD-1250A 5.6 (read).",
            noble.material.key(),
            base.material.key()
        );
        let help = format!(
            "make both of one metal, or part them with a sheet or gasket that stays; fasteners no baser than `{}`",
            contact.name(noble)
        );
        sink.found(about(&contact, &RULE, weight, message).detail(detail).help(help));
    }
}

/// Whether a sheet or tape of the joint lies between the two: the one laps over it, and it over the other.
fn bedded(contact: &Contact<'_>) -> bool {
    let (Site::Joint(joint), Some(a), Some(b)) = (contact.site, contact.a.thing(), contact.b.thing()) else {
        return false;
    };
    let laps = |over: Thing, under: Thing| {
        joint.links.iter().any(|l| {
            matches!(l.verb, Verb::LapsOver | Verb::SealsTo | Verb::Touches)
                && l.subject.thing == over
                && l.object.is_some_and(|o| o.thing == under)
        })
    };
    (0..joint.pieces.len()).map(Thing::Piece).filter(|p| *p != a && *p != b).any(|bed| {
        let skin = joint.piece(contact.job(), bed).and_then(|p| p.stuff.as_ref()?.material);
        let skin = skin.is_some_and(|m| class::membrane(m) || m.kind() == "sealant");
        let between = |over, under| laps(over, bed) && laps(bed, under);
        skin && (between(a, b) || between(b, a))
    })
}

/// How much the pair weighs; none where practice has shown that it lasts.
fn weight(contact: &Contact<'_>, apart: f64) -> Option<Weight> {
    let (a, b) = (contact.a.material, contact.b.material);
    let either =
        |test: fn(&Material) -> bool, other: fn(&Material) -> bool| (test(a) && other(b)) || (test(b) && other(a));
    // A small noble fastener in a large base sheet does little harm (MIL-STD-1250A 5.6, read).
    let fastener = contact.link.is_some_and(|l| matches!(l.verb, Verb::FastensTo | Verb::FastensThrough));
    let noble_screw = contact.a.thing().is_none() && metals::index(a) < metals::index(b);
    if apart <= OUTDOORS || (fastener && noble_screw) {
        return None;
    }
    let attacks = |m: &Material| metals::coppery(m) || m.family() == "lead";
    if either(attacks, metals::light) || (fastener && contact.a.thing().is_none()) {
        return Some(Weight::Stop);
    }
    // Zinc beside aluminum is common and lasts; so does lead beside copper (common practice, no source).
    (apart > ORDINARY && !(metals::light(a) && metals::light(b)) && !(attacks(a) && attacks(b))).then_some(Weight::Fix)
}

/// Whether a contact stays dry: rooms that are heated or cooled lie on both sides of all that meets, or it lies on the warm
/// side of all insulation; and no room there is humid or splashed.
fn dry(job: &Job, contact: &Contact<'_>) -> bool {
    let inside = |surface: &Surface| [&surface.first, &surface.last].into_iter().all(|side| dry_side(job, side));
    match contact.site {
        Site::Surface(surface) => inside(surface) || (warm(surface, contact) && dry_side(job, &surface.last)),
        Site::Joint(joint) => (0..joint.ends.len()).all(|end| joint.surface(job, end).is_some_and(inside)),
    }
}

/// Whether all insulation of a section lies outside of a contact, and there is some.
fn warm(surface: &Surface, contact: &Contact<'_>) -> bool {
    let inner = contact.b.layer().and_then(|b| surface.layers.iter().position(|l| std::ptr::eq(l, b)));
    let insulates = |l: &Layer| {
        fill(l, &Draw::middle())
            .into_iter()
            .any(|s| s.material.is_some_and(|m| class::insulation(m) || m.kind() == "panel"))
    };
    let Some((outside, within)) = inner.and_then(|at| surface.layers.split_at_checked(at)) else { return false };
    outside.iter().any(insulates) && !within.iter().any(insulates)
}

fn dry_side(job: &Job, side: &Side) -> bool {
    let SidePlace::Room(id) = side.place else { return false };
    let damp = |humidity: RoomHumidity| match humidity {
        RoomHumidity::Relative(value) => value.high().si() > FILM,
        // Classes 4 and 5 of ISO 13788 are wet rooms.
        RoomHumidity::Class(class) => class > 3,
    };
    let humid = match job.room(id).map(|r| &r.air) {
        Some(RoomAir::Kept { heated, cooled }) => [heated, cooled].into_iter().flatten().any(|s| damp(s.humidity)),
        Some(RoomAir::Always(setting)) => damp(setting.humidity),
        Some(RoomAir::Monthly { humidity, .. }) => humidity.iter().any(|h| h.si() > FILM),
        // Nothing is said of it: not taken for dry.
        Some(RoomAir::Unsaid | RoomAir::Unheated(_) | RoomAir::Open { .. } | RoomAir::Shares { .. }) | None => true,
    };
    !side.splashed && !humid && air(job, place(side)) == Air::Kept
}
