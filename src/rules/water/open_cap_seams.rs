//! A coping, cap, sill or cavity tray whose seams let rain into what it covers.

use super::edge::{flashing, same};
use super::part::{crosses, either};
use super::{name, seam, weigh};
use crate::base::finding::{Finding, Weight};
use crate::catalog::Seams;
use crate::model::joint::{Piece, PieceSeam, Thing};
use crate::rules::facts::{JointLook, class};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Edge, JointKind, Spot, Verb};

pub(super) const RULE: Rule = Rule {
    id: "water/open-cap-seams",
    summary: "a coping, sill or tray with open seams and nothing under them",
    weight: Weight::Stop,
    page: include_str!("open_cap_seams.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    if !seam::wet(look) {
        return;
    }
    for (index, piece) in look.joint.pieces.iter().enumerate() {
        if caps(look, index, piece) && leaky(piece) && !backed(look, index) {
            match look.whole() {
                Ok(()) => sink.found(tell(look, piece)),
                Err(missing) => sink.cannot(&missing),
            }
        }
    }
}

/// Whether a piece lies flat in the weather: on the top of a wall or at a sill, with nothing over it.
fn caps(look: &JointLook<'_>, index: usize, piece: &Piece) -> bool {
    let joint = look.joint;
    let tops = joint.kind == JointKind::Joint
        && joint.ends.iter().any(|e| e.edge == Some(Edge::Top))
        && !joint.ends.iter().any(|e| seam::upper(e.edge));
    let sill = joint.kind == JointKind::Opening && index > 0 && piece.places.contains(&Spot::Sill);
    let thing = Thing::Piece(index);
    let over = joint.links.iter().any(|l| l.verb == Verb::LapsOver && l.object.is_some_and(|o| same(o.thing, thing)));
    let tray = crosses(look, thing).is_some();
    ((tops || sill) && !over) || tray
}

/// Butted seams, or seams between units or boards that a bead alone closes.
fn leaky(piece: &Piece) -> bool {
    let Some(seams) = &piece.shape.seams else { return false };
    let units = piece.stuff.as_ref().and_then(|s| s.material).is_some_and(|m| {
        class::masonry(m)
            || class::wood(m)
            || matches!(m.seams(), Seams::Units | Seams::Boards | Seams::Tongued)
            || m.kind() == "trim"
    });
    !piece.shape.one_piece
        && !piece.shape.unread
        && (seams.how == PieceSeam::Open || (seams.how == PieceSeam::Closed && units))
}

/// Whether a sheet or metal lies under it: another flashing here whose own seams are not open.
fn backed(look: &JointLook<'_>, cap: usize) -> bool {
    look.joint.pieces.iter().enumerate().any(|(index, p)| {
        let closed = p.shape.seams.as_ref().is_none_or(|s| s.how != PieceSeam::Open);
        let tied = look.joint.links.iter().any(|l| {
            let over = l.verb == Verb::LapsOver && l.subject.thing == Thing::Piece(index);
            (l.ties(Thing::Piece(cap), Thing::Piece(index)) && !over)
                || (l.not_shown && l.subject.thing == Thing::Piece(cap))
        });
        index != cap && tied && closed && p.stuff.as_ref().is_none_or(|s| s.material.is_none_or(flashing))
    })
}

fn tell(look: &JointLook<'_>, piece: &Piece) -> Finding {
    let (span, how) = match &piece.shape.seams {
        Some(s) if s.how == PieceSeam::Open => (s.span, "open"),
        Some(s) => (s.span, "closed by a bead alone"),
        None => (piece.span, "open"),
    };
    let index = look.joint.pieces.iter().position(|p| p.span == piece.span).unwrap_or(0);
    Finding::new(
        RULE.id,
        weigh(look, Weight::Stop),
        span,
        format!("the seams of `{}` are {how}, and nothing lies under it", name(look, Thing::Piece(index))),
    )
    .label("rain goes through")
    .also(piece.span, "water lands on it")
    .detail(
        "What lies flat in the weather, or across a cavity, takes water on every seam, and hands it to the wall under it. Copings and sills are \
         flashed beneath and at their ends (IRC section R703.4, item 3, quoted; that a bead alone is no seam there: common \
         practice, no source).",
    )
    .help(if crosses(look, Thing::Piece(index)).is_some() {
        format!("close them: `{}: …, seams lapped {}` or `seams sealed`", piece.name, either(look, "100 mm", "4 in"))
    } else {
        format!("put a membrane or metal flashing under it: `{} laps over` that piece", piece.name)
    })
}
