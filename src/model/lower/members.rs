//! Members at a spacing, and what fills the bays between them.
//!
//! Invariant: the parts of a fill make up the depth of the members, or one problem says by how much they miss it.

use super::amount::Wanted;
use super::climate::short;
use super::context::Context;
use super::stuff::Resolved;
use crate::base::quantity::Length;
use crate::base::span::{Span, Spanned};
use crate::base::unit::{self, Dimension, INCH};
use crate::model::layer::{BayPart, Fill, Members, Openings, Stuff};
use crate::model::value::{Origin, Value};
use crate::syntax::ast::{self, Amount, Build, MaterialRef, Name, Word};

/// Width of a member that is named without a section: dressed two-by lumber (PS 20, from memory).
const USUAL_WIDTH: f64 = 1.5 * INCH;
/// Flange of a steel member named without one. Common practice of the trade, no source.
const USUAL_FLANGE: f64 = 1.625 * INCH;
/// Spacings between which one that nobody knows is judged.
const ANY_SPACING: (f64, f64) = (12.0 * INCH, 24.0 * INCH);
/// The thickest board that nobody stands on edge, in meters: strapping and counter-battens (common practice, no source).
const THIN: f64 = 0.026;
/// How far the parts of a fill may miss the depth: lumber is not that exact.
const SLACK: f64 = 0.003;

/// A part of a fill (none: air), its thickness where written, and where it stands.
type FillPart = (Option<BayPart>, Option<Value<Length>>, Span);

impl Context<'_> {
    /// Members of a layer line; none with one problem when they can't be made out.
    pub fn members(&mut self, build: &Build, label: &Name, words: &[&Spanned<Word>]) -> Option<Members> {
        let Resolved::Stuff(member) = self.resolve(build, &label.text)? else {
            self.incomplete(build.span, "members must be of one solid material", "write them like `2x6 at 16 in`");
            return None;
        };
        let metal = member.material.is_some_and(|m| m.kind() == "metal");
        let spacing = self.spacing(build, label)?;
        let (width, depth) = self.section(build, &member, metal)?;
        if spacing.low() <= width.high() {
            let span = build.spacing.as_ref().map_or(build.span, Amount::span);
            let help = "write their distance, center to center";
            self.contradiction(span, "members can't stand closer than they are wide", None, help);
            return None;
        }
        let open = words.iter().any(|w| matches!(w.value, Word::Open { .. } | Word::OpenUnknown | Word::Closed));
        let fill = words.iter().find_map(|w| match &w.value {
            Word::Bays(fill) | Word::Cores(fill) | Word::Flutes(fill) => Some(fill),
            _ => None,
        });
        let fill = match fill {
            Some(ast::Fill::Unknown(span)) => Fill::Unknown(*span),
            Some(ast::Fill::Parts(parts)) => self.bay_parts(parts, &depth, label)?,
            None if open => Fill::Parts(vec![BayPart::Air(depth)]),
            None => {
                let message = format!("what lies between `{}` is not said", short(&label.text));
                self.incomplete(label.span, message, "add `bays MATERIAL`, `bays air` or `bays unknown`");
                return None;
            }
        };
        Some(Members { member, width, depth, spacing, metal, fill, openings: Openings::Closed })
    }

    fn spacing(&mut self, build: &Build, label: &Name) -> Option<Value<Length>> {
        let Some(amount) = &build.spacing else {
            let help = "write it like `2x6 at 16 in`";
            self.incomplete(build.span, format!("the spacing of `{}` is not said", short(&label.text)), help);
            return None;
        };
        let wanted =
            Wanted { dimension: Dimension::Length, make: Length::new, ends: Some(ANY_SPACING), by_factor: false };
        let value = self.value(amount, &wanted, || format!("spacing of `{}`", short(&label.text)))?;
        Some(value)
    }

    fn section(&mut self, build: &Build, member: &Stuff, metal: bool) -> Option<(Value<Length>, Value<Length>)> {
        if let MaterialRef::Section { width, depth, span, .. } = &build.material {
            let known = |m: f64| Value::known(Length::new(m), Origin::Written(*span));
            // A thin board lies flat: a strip of 1x3 keeps 3/4 in open, not 2-1/2 in.
            let flat = *width <= THIN && width < depth;
            let (width, depth) = if flat { (depth, width) } else { (width, depth) };
            return Some((known(*width), known(*depth)));
        }
        let Some(depth) = member.thickness else {
            self.incomplete(
                build.span,
                "the depth of these members is not said",
                "write it like `2x6` or `steel-stud 3-5/8 in`",
            );
            return None;
        };
        for amount in &build.amounts {
            if let Amount::Known(q) = amount
                && q.dimension == Dimension::Gauge
                && unit::gauge_thickness(q.si).is_none()
            {
                self.incomplete(
                    q.span,
                    "the trade rolls no studs of this gauge",
                    "gauges are 25, 22, 20, 18, 16, 14, 12 and 10",
                );
            }
        }
        self.assume(build.span, "the usual width of such members");
        let width = if metal { USUAL_FLANGE } else { USUAL_WIDTH };
        Some((Value::known(Length::new(width), Origin::Assumed), depth))
    }

    fn bay_parts(&mut self, parts: &[Build], depth: &Value<Length>, label: &Name) -> Option<Fill> {
        let mut lowered: Vec<FillPart> = Vec::new();
        for part in parts {
            let resolved = self.resolve(part, &label.text);
            let written = part.amounts.iter().any(|a| a.dimension().is_none_or(|d| d == Dimension::Length));
            let entry = match resolved {
                Some(Resolved::Air(thickness)) => (None, thickness, part.span),
                Some(Resolved::Stuff(stuff)) => {
                    let thickness = stuff.thickness.filter(|_| written);
                    (Some(BayPart::Stuff(stuff)), thickness, part.span)
                }
                Some(Resolved::Panel(_)) => {
                    self.contradiction(part.span, "a panel can't fill a bay", None, "write its parts, joined by `+`");
                    return None;
                }
                None => return None,
            };
            lowered.push(entry);
        }
        self.share_depth(lowered, depth, label)
    }

    fn share_depth(&mut self, parts: Vec<FillPart>, depth: &Value<Length>, label: &Name) -> Option<Fill> {
        let total: f64 = parts.iter().filter_map(|(_, t, _)| t.as_ref()).map(|t| t.low().si()).sum();
        if depth.axis().is_some() && total > 0.0 {
            let all = parts.iter().map(|(_, _, s)| *s).reduce(Span::to).unwrap_or(label.span);
            let help = "leave the fill without a figure, or measure the members";
            self.contradiction(all, "no fill can be fitted to members of open depth", None, help);
            return None;
        }
        let rest = depth.low().si() - total;
        let without: Vec<Span> = parts.iter().filter(|(_, t, _)| t.is_none()).map(|(_, _, s)| *s).collect();
        if let [first, second, ..] = without.as_slice() {
            let help = "give all but one of them a thickness";
            self.contradiction(*second, "two parts of the bays have no thickness", Some(*first), help);
            return None;
        }
        let all = parts.iter().map(|(_, _, s)| *s).reduce(Span::to).unwrap_or(label.span);
        let open_part = !without.is_empty();
        if rest < -SLACK || (open_part && rest < SLACK / 3.0) {
            let message = format!("the fill of `{}` is deeper than its members", short(&label.text));
            let help = "write what stands proud of the members as a layer of its own";
            self.contradiction(all, message, None, help);
            return None;
        }
        if !open_part && rest > SLACK {
            let message = format!("the fill of `{}` does not reach through the bays", short(&label.text));
            let help = format!("write the air too: `+ air {:.0} mm`", rest * 1000.0);
            self.incomplete(all, message, help);
            return None;
        }
        let rest = self.rest_of(&parts, depth, all)?;
        let filled = parts.into_iter().map(|(part, thickness, _)| {
            let thickness = thickness.unwrap_or(if open_part && total == 0.0 { *depth } else { rest });
            match part {
                Some(BayPart::Stuff(mut stuff)) => {
                    stuff.thickness = Some(thickness);
                    BayPart::Stuff(stuff)
                }
                _ => BayPart::Air(thickness),
            }
        });
        Some(Fill::Parts(filled.collect()))
    }

    /// What the parts with a thickness leave of the depth: where one of them is open, the rest is open with it.
    fn rest_of(&mut self, parts: &[FillPart], depth: &Value<Length>, all: Span) -> Option<Value<Length>> {
        let written: Vec<&Value<Length>> = parts.iter().filter_map(|(_, t, _)| t.as_ref()).collect();
        let sum = |of: fn(&Value<Length>) -> Length| written.iter().map(|t| of(t).si()).sum::<f64>();
        let known = Value::known(Length::new(depth.low().si() - sum(Value::low)), Origin::Assumed);
        let open: Vec<usize> = written.iter().filter_map(|t| t.axis()).collect();
        match (open.as_slice(), depth.axis()) {
            ([], None) => Some(known),
            (_, Some(_)) if written.is_empty() => Some(known),
            ([axis], None) if written.len() < parts.len() => {
                let least = depth.low().si() - sum(Value::high);
                if least < SLACK / 3.0 {
                    let help = "write a range that leaves room for the other part";
                    self.contradiction(all, "at its most this fill is deeper than its members", None, help);
                    return None;
                }
                Some(Value::open(known.low(), Length::new(least), false, *axis, Origin::Assumed))
            }
            _ => {
                let help = "leave one part without a figure, and at most one other open";
                self.contradiction(all, "these depths can't be made to fit", None, help);
                None
            }
        }
    }
}
