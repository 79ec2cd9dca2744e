//! Vapor: retarder classes, and where they may stand.
//!
//! Invariant: classes are judged in the dry cup, as codes write them.

family![class_not_allowed, class_three_unearned, double_barrier, tight_finish];

mod wall;
