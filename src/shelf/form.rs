//! The fingerprint of a form of a detail: evidence is kept with it, and speaks of no other form.
//!
//! Invariant: the same for every text of one meaning (see `syntax::meaning`), on every machine.

use crate::syntax;
use sha2::{Digest, Sha256};

/// Bytes of the digest that are kept. Nobody forges a fingerprint: it tells two forms apart, no more.
const BYTES: usize = 6;
/// What is digested before the meaning: a change of how meaning is read makes new fingerprints, never equal ones.
const SCHEME: &str = "dewlap form 1\n";

/// The fingerprint of a detail with its blanks filled: 12 hexadecimal digits.
pub fn fingerprint(text: &str, with: &[(&str, &str)]) -> String {
    digest(format!("{SCHEME}{}", syntax::meaning(text, with)).as_bytes(), BYTES)
}

/// So many bytes of the SHA-256 of some bytes, in hexadecimal digits.
pub fn digest(of: &[u8], bytes: usize) -> String {
    Sha256::digest(of).iter().take(bytes).map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::fingerprint;

    const TEXT: &str = "detail d(length lap = 4 in)\nwall a\n  outdoors\n  felt: felt, lapped <lap>\n  indoors\n";

    #[test]
    fn a_form_is_its_meaning() {
        let own = fingerprint(TEXT, &[]);
        assert_eq!(own.len(), 12);
        assert_eq!(own, fingerprint(&format!("---\ntitle: x\n---\n# so\n{TEXT}"), &[]));
        assert_eq!(own, fingerprint(TEXT, &[("lap", "101.6 mm")]));
        assert_ne!(own, fingerprint(TEXT, &[("lap", "6 in")]));
        assert_ne!(own, fingerprint(&TEXT.replace("4 in", "6 in"), &[]));
        assert_ne!(own, fingerprint(&TEXT.replace("felt: felt", "felt: kraft"), &[]));
    }

    #[test]
    fn a_form_is_the_same_everywhere() {
        // Kept with evidence for years: this value must never change.
        let figures = "7/16 in, R-13, 0.1 perm, sd 2 m, 68 F, 55 %, 1:12, 22 deg, 20 ga, 40 kg/m3, 28 days, 3 ach50, 50 cfm, \
                       2 m2, 250 Pa";
        let text = format!("wall a\n  outdoors\n  board: osb {figures}, 2 in to 4 in, unknown\n  indoors\n");
        assert_eq!(fingerprint(&text, &[]), "b0f4f72d9953");
    }
}
