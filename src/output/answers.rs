//! What else would do, and what was tried in vain, in a sentence or two.
//!
//! Invariant: an order that the finding gives already is not told again.

use crate::base::finding::Finding;

/// Kinds that people ask for; that another does not do it is told to machines only.
const ASKED: [&str; 4] = [
    "insulation_resistance_at_least",
    "layer_thickness_at_least",
    "room_face_permeance_at_most",
    "room_humidity_at_most",
];

/// Empty where nothing was tried.
pub fn sentence(finding: &Finding) -> String {
    let told = |words: &str| finding.help.contains(words);
    let does: Vec<&str> = finding.answers.iter().filter(|a| a.does).map(|a| a.words.as_str()).collect();
    let others: Vec<&str> = does.iter().copied().filter(|w| !told(w)).collect();
    let vain: Vec<&str> =
        finding.answers.iter().filter(|a| !a.does && ASKED.contains(&a.change)).map(|a| a.words.as_str()).collect();
    let mut said = Vec::new();
    if !others.is_empty() {
        said.push(others.join("; or "));
    }
    if !vain.is_empty() {
        let vain = vain.join(", ");
        said.push(if others.is_empty() {
            format!("nothing else that was tried does it alone: {vain}")
        } else {
            format!("Tried, and not enough alone: {vain}")
        });
    }
    said.join(". ")
}
