//! Tile stuck straight on boards or panels that swell.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::rules::facts::section::{touching, weigh};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/tile-on-boards",
    summary: "tile straight on boards that swell and shrink",
    weight: Weight::Fix,
    page: include_str!("tile_on_boards.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    for touch in touching(look) {
        for (tile, ceramic, boards, wood) in touch.both_ways() {
            if ceramic.family() != "ceramic" || !moves(wood) {
                continue;
            }
            let detail = format!(
                "Across its grain wood changes by a percent for every four points of moisture (quoted from the Wood \
                 Handbook's figures); {} swells for good. Tile and its adhesive do neither, so the grout cracks, \
                 then the tile. A layer of cement board, an uncoupling sheet or exterior plywood goes between \
                 (common practice, no source).",
                wood.key()
            );
            sink.found(
                Finding::new(
                    RULE.id,
                    weigh(look.surface, &[tile, boards], Weight::Fix),
                    tile.stuff_span,
                    format!("`{}` is stuck on `{}`, which swells and shrinks", label(tile), label(boards)),
                )
                .also(boards.stuff_span, "moves")
                .detail(detail)
                .help(format!(
                    "lay `cement-board 1/2 in` between `{}` and `{}`",
                    label(tile),
                    label(boards)
                )),
            );
        }
    }
}

/// Boards of solid wood, and panels of chips and fibers for indoors. Plywood and strand board are another matter of stiffness.
fn moves(m: &Material) -> bool {
    let solid = m.kind() == "lumber" && !matches!(m.key(), "clt" | "glulam" | "lvl");
    class::wood(m) && (solid || matches!(m.key(), "particleboard" | "mdf" | "hardboard" | "sound-board"))
}
