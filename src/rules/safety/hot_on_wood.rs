//! A roof sheet that goes on hot, straight on what burns.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Bond;
use crate::rules::facts::section::{stands, touching};
use crate::rules::facts::{Look, class, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/hot-on-wood",
    summary: "a sheet that goes on hot, straight on what burns",
    weight: Weight::Watch,
    page: include_str!("hot_on_wood.md"),
    run: Run::Surface(run),
};

fn run(look: &Look<'_>, sink: &mut Sink) {
    for touch in touching(look) {
        // Bonded all over: a sheet that is nailed, or whose seams alone are welded, sees no flame at the deck.
        let hot = touch.outer.seams.adhered && touch.over.bond() == Bond::Welded && touch.over.family() == "bitumen";
        // Polystyrene melts, which is told as a pair; other foams with a face of glass char and are sold for it.
        // Perlite board is what hot sheets are laid on.
        let lights = class::sensitive(touch.under) && touch.under.family() != "mineral";
        if !hot || !lights || stands(look.surface, touch.outer) {
            continue;
        }
        sink.found(
            Finding::new(
                RULE.id,
                Weight::Watch,
                touch.outer.stuff_span,
                format!("`{}` goes on hot over `{}`, which burns", label(touch.outer), label(touch.inner)),
            )
            .also(touch.inner.stuff_span, "lights")
            .detail(
                "A flame runs into the seams of a deck and smolders there for hours. Roofers torch on to a base \
                 sheet that was nailed first, never on to wood or paper (common practice, no source). Hot work needs \
                 a permit, 35 ft (11 m) cleared or shielded, and a watch after it: 30 min in the 2009 text (quoted), \
                 60 min in newer ones (from memory). Source: NFPA 51B. Ask the fire authority.",
            )
            .help(format!(
                "lay a nailed `bitumen-base-sheet` or `gypsum-sheathing 1/2 in` over `{}` first",
                label(touch.inner)
            )),
        );
    }
}
