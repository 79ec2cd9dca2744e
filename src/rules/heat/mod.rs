//! Heat: what the insulation is worth as it will be built.
//!
//! Invariant: no rule here changes the U-value that is reported.

family![bare_slab_edge, bridge_at_joint, cold_corner, gap_at_joint, steel_framing, squeezed_batt];
