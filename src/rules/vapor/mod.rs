//! Vapor: retarder classes, and where they may stand.
//!
//! Invariant: classes are judged in the dry cup, as codes write them; joints by the graph.

family![class_not_allowed, class_three_unearned, double_barrier, layer_not_joined, tight_finish];

mod wall;
