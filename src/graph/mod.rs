//! Floor 3: the interfaces of a job as a graph, and the questions asked of it.
//!
//! petgraph is known to this floor alone. Invariant: answers are plain data in the order of the author's layers; no
//! petgraph type leaves this floor.

pub mod section;

pub use section::{Leak, leak};
