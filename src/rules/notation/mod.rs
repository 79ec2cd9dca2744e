//! What is wrong with the text itself: raised while it is read and lowered.
//!
//! Invariant: these can't be accepted; while one stands, the review is incomplete.

family![contradiction, incomplete, limit, unknown_name, unreadable];
