//! Heat: what the insulation is worth as it will be built.
//!
//! Invariant: no rule here changes the U-value that is reported.

family![steel_framing, squeezed_batt];
