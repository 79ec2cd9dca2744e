//! placeholder, replaced by merge
use crate::base::finding::Finding;
use crate::base::span::FileId;
use crate::model::detail::Head;
/// A reading.
#[derive(Debug, Default)]
pub struct Reading {
    /// head
    pub head: Option<Head>,
    /// problems
    pub problems: Vec<Finding>,
}
/// read
pub fn read(_file: FileId, _text: &str) -> Option<Reading> {
    None
}
