//! Written figures to values: one figure is known, a range or `unknown` opens an axis.
//!
//! Invariant: a figure of the wrong dimension gives one problem and no value.

use super::context::Context;
use crate::base::span::Span;
use crate::base::unit::Dimension;
use crate::model::value::{Blend, Origin, Reach, Value};
use crate::syntax::ast::Amount;

/// What a figure is wanted for, and between what it is judged when nobody knows it.
pub(super) struct Wanted<T> {
    /// What it measures.
    pub dimension: Dimension,
    /// From the SI figure.
    pub make: fn(f64) -> T,
    /// Ends for `unknown`, SI; none: an unknown gives no value.
    pub ends: Option<(f64, f64)>,
    /// Points between the ends are spaced by equal factors.
    pub by_factor: bool,
}

impl Context<'_> {
    /// The value of a written figure. `what` names it in a message ("spacing of `studs`").
    pub fn value<T: Blend>(
        &mut self,
        amount: &Amount,
        wanted: &Wanted<T>,
        what: impl Fn() -> String,
    ) -> Option<Value<T>> {
        let origin = Origin::Written(amount.span());
        match amount {
            Amount::Known(q) if q.dimension == wanted.dimension => Some(Value::known((wanted.make)(q.si), origin)),
            Amount::Range(low, high) if low.dimension == wanted.dimension => {
                Some(self.between(low.si, high.si, wanted, what(), amount.span()))
            }
            Amount::Unknown(span) => {
                let (low, high) = wanted.ends?;
                Some(self.between(low, high, wanted, what(), *span))
            }
            Amount::Known(_) | Amount::Range(..) => {
                self.incomplete(
                    amount.span(),
                    format!("{} is wanted here for the {}", wanted.dimension.name(), what()),
                    format!("write it like {}", wanted.dimension.examples()),
                );
                None
            }
        }
    }

    /// A value open between two SI figures.
    pub fn between<T: Blend>(&mut self, low: f64, high: f64, wanted: &Wanted<T>, what: String, span: Span) -> Value<T> {
        let reach = Reach::Between { low, high, by_factor: wanted.by_factor, dimension: Some(wanted.dimension) };
        let axis = self.axis(span, what, reach);
        Value::open((wanted.make)(low), (wanted.make)(high), wanted.by_factor, axis, Origin::Written(span))
    }
}
