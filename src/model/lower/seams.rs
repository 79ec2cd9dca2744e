//! The words of a layer line: how its seams are closed, and the rest of what is said of it.
//!
//! Invariant: a treatment that is `partly` done counts as open; what is not written is not there.

use super::amount::Wanted;
use super::climate::short;
use super::context::Context;
use crate::base::quantity::Length;
use crate::base::span::{Span, Spanned};
use crate::base::unit::Dimension;
use crate::catalog::{self, Bond, Lookup, Material, Seams as SeamNature};
use crate::model::layer::{LayerWords, Openings, Seams, Stuff, Treatment, Wet};
use crate::model::value::Value;
use crate::syntax::ast::{Amount, Name, Word};

/// Seams and words of one layer line, and where its ends are open.
pub(super) struct Said {
    pub seams: Seams,
    pub words: LayerWords,
    pub openings: Option<(Openings, Span)>,
    pub bridged: bool,
}

impl Context<'_> {
    /// Reads the words of a layer of a material. The label's span is where defaults are noted.
    pub fn words(&mut self, words: &[&Spanned<Word>], material: Option<&'static Material>, label: &Name) -> Said {
        let mut said = Said {
            seams: Seams { treatment: Treatment::Unknown, span: None, lap: None, reversed: false, adhered: false },
            words: LayerWords::default(),
            openings: None,
            bridged: false,
        };
        for word in words {
            self.word(&mut said, word, label);
        }
        if let (Some(level), Some(_)) = (said.words.level, &said.words.slope) {
            let fall = words.iter().find(|w| matches!(w.value, Word::Slope(_))).map_or(level, |w| w.span);
            let message = format!("`{}` is both level and sloped", short(&label.text));
            self.contradiction(fall, message, Some(level), "keep the one that will be built");
        }
        // What is bonded all over has its own laps bonded too.
        if said.seams.adhered && said.seams.treatment == Treatment::Lapped {
            said.seams.treatment = Treatment::Closed;
        }
        if said.seams.span.is_none() {
            said.seams.treatment = self.untreated(material, said.words.paint.is_some(), said.seams.adhered, label.span);
        }
        said
    }

    /// What seams are when nothing is said of them.
    fn untreated(
        &mut self,
        material: Option<&'static Material>,
        painted: bool,
        adhered: bool,
        span: Span,
    ) -> Treatment {
        let Some(material) = material else { return Treatment::Open };
        if matches!(material.seams(), SeamNature::Seamless) || matches!(material.bond(), Bond::Liquid) {
            return Treatment::Seamless;
        }
        // A sheet's laps are bonded with it. Boards are bonded at their backs, and their joints stay as they are.
        if adhered && !matches!(material.seams(), SeamNature::Boards | SeamNature::Tongued) {
            return Treatment::Closed;
        }
        if painted && matches!(material.seams(), SeamNature::Boards) {
            self.assume(span, "painted boards have their joints taped");
            return Treatment::Closed;
        }
        if matches!(material.seams(), SeamNature::Boards | SeamNature::Sheet) {
            self.assume(span, "seams are not closed");
        }
        Treatment::Open
    }

    fn word(&mut self, said: &mut Said, word: &Spanned<Word>, label: &Name) {
        let span = word.span;
        let words = &mut said.words;
        match &word.value {
            Word::Lapped(amount) => {
                said.seams.lap = amount.as_ref().and_then(|a| self.length(a, "lap", label, None));
                self.treat(said, Treatment::Lapped, span);
            }
            Word::Taped { .. } | Word::Sealed { .. } | Word::Welded => self.treat(said, Treatment::Closed, span),
            Word::Adhered => said.seams.adhered = true,
            Word::Partly(_) => self.treat(said, Treatment::Partly, span),
            Word::Reversed => said.seams.reversed = true,
            Word::Edges(sealed) => words.edges = Some(Spanned::new(*sealed, span)),
            Word::Holes(sealed) => words.holes = Some(Spanned::new(*sealed, span)),
            Word::InLayers(count) => words.staggered = *count,
            Word::Open { at, size } => {
                let size = size.as_ref().and_then(|s| self.slot(s, label));
                let at = at.iter().map(|a| a.value).collect();
                self.open(said, Openings::At { at, size }, span);
            }
            Word::OpenUnknown => self.open(said, Openings::Unknown, span),
            Word::Closed => self.open(said, Openings::Closed, span),
            Word::Bridged => said.bridged = true,
            Word::Painted(name) => words.paint = self.paint(name.as_ref(), span).map(Box::new),
            Word::WetAt(amount) => words.wet = self.wet(amount),
            Word::Existing => words.existing = true,
            Word::Treated => words.treated = true,
            Word::CopperTreated => words.copper_treated = true,
            Word::Primed => words.primed = true,
            Word::Level => words.level = Some(span),
            Word::Slope(amount) => words.slope = self.slope(amount),
            Word::CatchesWater => words.catches_water = true,
            Word::FrostTested => words.frost_tested = true,
            Word::Screws(both) => words.screws = self.pattern(both, "screws", label).map(Box::new),
            Word::Ties(both) => words.ties = self.pattern(both, "ties", label).map(Box::new),
            Word::Pinched(amount) => words.pinched = self.length(amount, "pinched thickness", label, None),
            // Reported where it was read; what it said of the seams is not known.
            Word::Hole(_) if said.seams.span.is_none() => said.seams.span = Some(span),
            Word::Hole(_) => {}
            // Read with the members, or with the layer's hollows.
            Word::Bays(_) | Word::Cores(_) | Word::Flutes(_) => {}
        }
    }

    /// The first closing treatment stands; a sheet is often both lapped and taped.
    fn treat(&mut self, said: &mut Said, treatment: Treatment, span: Span) {
        let seams = &mut said.seams;
        let stronger = seams.span.is_none() || matches!(seams.treatment, Treatment::Lapped | Treatment::Open);
        if matches!(treatment, Treatment::Partly) || stronger {
            seams.treatment = treatment;
            seams.span = Some(span);
        }
    }

    fn open(&mut self, said: &mut Said, openings: Openings, span: Span) {
        if let Some((_, first)) = &said.openings {
            self.contradiction(span, "its ends are described twice", Some(*first), "keep one of the two");
            return;
        }
        said.openings = Some((openings, span));
    }

    fn length(&mut self, amount: &Amount, what: &str, label: &Name, ends: Option<(f64, f64)>) -> Option<Value<Length>> {
        let wanted = Wanted { dimension: Dimension::Length, make: Length::new, ends, by_factor: false };
        self.value(amount, &wanted, || format!("{what} of `{}`", short(&label.text)))
    }

    /// A slot is a width; a share of the floor (`1/150`) is taken with the room, not here.
    fn slot(&mut self, amount: &Amount, label: &Name) -> Option<Value<Length>> {
        if amount.dimension() == Some(Dimension::Ratio) {
            return None;
        }
        self.length(amount, "slot", label, None)
    }

    fn pattern(
        &mut self,
        [across, along]: &[Amount; 2],
        what: &str,
        label: &Name,
    ) -> Option<(Value<Length>, Value<Length>)> {
        let spacing = Some((0.2032, 0.6096));
        Some((self.length(across, what, label, spacing)?, self.length(along, what, label, spacing)?))
    }

    fn wet(&mut self, amount: &Amount) -> Option<Wet> {
        match amount {
            Amount::Known(q) if q.dimension == Dimension::Days => Some(Wet::Days(q.si, q.span)),
            Amount::Known(q) if q.dimension == Dimension::Ratio => Some(Wet::Content(q.si, q.span)),
            _ => {
                let help = "write it like `covered at 28 days` or `at 16 %`";
                self.incomplete(amount.span(), "built-in water is one figure in days or per cent", help);
                None
            }
        }
    }

    fn paint(&mut self, name: Option<&Name>, span: Span) -> Option<Stuff> {
        let (name, span) = name.map_or(("latex", span), |n| (n.text.as_str(), n.span));
        if let Some(material) = self.paints.get(name) {
            return Some(super::stuff::blank(name, span, Some(material)));
        }
        match catalog::paint(name) {
            Lookup::Found(material) => {
                self.paints.insert(name.to_string(), material);
                Some(super::stuff::blank(name, span, Some(material)))
            }
            Lookup::Ambiguous { choices, .. } => {
                self.unknown(span, format!("`{}` is more than one paint", short(name)), &choices, "");
                None
            }
            Lookup::Unknown { near } => {
                let otherwise = "leave the name out for two coats of latex; `dewlap materials paint` lists paints";
                self.unknown(span, format!("there is no paint `{}`", short(name)), &near, otherwise);
                None
            }
        }
    }
}
