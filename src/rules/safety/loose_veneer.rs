//! Brick veneer held by ties that are too far apart, or that reach through much foam to a frame.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Length;
use crate::base::show::Show;
use crate::base::unit::INCH;
use crate::catalog::Seams;
use crate::model::layer::{Body, Layer};
use crate::rules::facts::section::{sheet, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "safety/loose-veneer",
    summary: "brick veneer on ties too far apart or too long",
    weight: Weight::Fix,
    page: include_str!("loose_veneer.md"),
    run: Run::Surface(run),
};

/// Most area a tie may hold, m2 (2.67 ft2), and most distance between two: IRC R703.8.4.1 (from memory). A hair more, so
/// that 16 by 24 in and its metric round figures pass.
const AREA: f64 = 0.2485;
const APART: Length = Length::new(32.01 * INCH);
/// The same of a cavity wall of two masonry leaves, where no US code is stated: 2.5 ties a m2, 900 by 450 mm (British
/// practice, from memory).
const LEAVES: (f64, Length) = (0.4051, Length::new(0.901));
/// Most foam that ties reach through into a 7/16 in panel without design: a public note on Ohio's code (quoted).
const FOAM: Length = Length::new(2.01 * INCH);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    if surface.kind != SurfaceKind::Wall || surface.broken.is_some() {
        return;
    }
    let veneer = |l: &&Layer| {
        let material = sheet(l, &look.draw).and_then(|s| s.material);
        material.is_some_and(|m| m.kind() == "cladding" && m.seams() == Seams::Units && class::porous(m))
    };
    let Some(at) = surface.layers.iter().position(|l| veneer(&l)) else { return };
    let Some(brick) = surface.layers.get(at) else { return };
    // Stuck veneer has no ties and no gap.
    if !surface.layers.get(at + 1).is_some_and(|l| matches!(l.body, Body::Gap(_))) {
        return;
    }
    far_apart(look, brick, sink);
    through_foam(look, at, brick, sink);
}

fn far_apart(look: &Look<'_>, brick: &Layer, sink: &mut Sink) {
    let Some((across, along)) = brick.words.ties.as_deref() else { return };
    let (across, along) = (across.at(&look.draw), along.at(&look.draw));
    let area = across.si() * along.si();
    let leaves = look.job.code.is_none() && look.surface.layers.iter().filter(|l| mineral(look, l)).count() > 1;
    let (most, apart) = if leaves { LEAVES } else { (AREA, APART) };
    if area <= most && across <= apart && along <= apart {
        return;
    }
    let show = Show { metric: look.job.metric };
    sink.found(
        Finding::new(
            RULE.id,
            weigh(look.surface, &[brick], Weight::Fix),
            brick.stuff_span,
            format!("ties {} by {} apart hold `{}` too little", show.length(across), show.length(along), label(brick)),
        )
        .detail(format!(
            "Wind pulls a veneer off as hard as it pushes. A tie holds {} of wall at most, and the next is no more \
             than {} away; around openings and in strong wind or earthquakes less. Source: {} (from memory). Local code \
             decides.",
            match (leaves, show.metric) {
                (true, _) => "0.405 m2",
                (false, true) => "0.25 m2",
                (false, false) => "2.67 ft2",
            },
            show.length(apart),
            if leaves { "British practice" } else { "International Residential Code R703.8.4.1 of 2021" }
        ))
        .help("write `ties 16x24 in` (400x600 mm) or closer")
        .number("area_per_tie", area, "m2")
        .number("most", most, "m2"),
    );
}

/// A leaf of masonry or concrete.
fn mineral(look: &Look<'_>, layer: &Layer) -> bool {
    sheet(layer, &look.draw).and_then(|s| s.material).is_some_and(class::masonry)
}

fn through_foam(look: &Look<'_>, at: usize, brick: &Layer, sink: &mut Sink) {
    let behind = look.surface.layers.iter().skip(at + 1);
    let mut foam = Length::ZERO;
    let mut board = None;
    for layer in behind {
        let Some(stuff) = sheet(layer, &look.draw) else {
            // Gaps are reckoned in the tie; a frame ends what lies outboard.
            if matches!(layer.body, Body::Gap(_)) {
                continue;
            }
            break;
        };
        let Some(material) = stuff.material else { return };
        // Ties that end in masonry or concrete are made for it, at any depth.
        if class::masonry(material) {
            return;
        }
        if class::insulation(material) {
            let Some(thickness) = stuff.thickness.as_ref() else { return };
            foam += thickness.at(&look.draw);
            board = board.or(Some(layer));
        }
    }
    let framed = look.surface.layers.iter().any(|l| matches!(l.body, Body::Members(_)));
    let Some(board) = board.filter(|_| framed && foam > FOAM) else { return };
    let show = Show { metric: look.job.metric };
    sink.found(
        Finding::new(
            RULE.id,
            Weight::Watch,
            board.stuff_span,
            format!("the ties of `{}` reach through {} of insulation", label(brick), show.length(foam)),
        )
        .also(brick.stuff_span, "hangs on them")
        .detail(format!(
            "A tie that stands free in insulation bends and buckles under the wind. Up to {} into a 7/16 in panel no \
             design is asked for: a public note on Ohio's code (quoted). An engineer and local code decide on longer \
             ones.",
            show.length(Length::new(2.0 * INCH))
        ))
        .help(
            "use ties with a barrel or plate made for this depth, screwed to the studs, by their maker's table or \
               an engineer",
        )
        .number("insulation", foam.si(), "m")
        .number("free", 2.0 * INCH, "m"),
    );
}
