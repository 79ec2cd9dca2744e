//! The nearest known words to one that is not known.
//!
//! Invariant: the answer depends only on the words, ties in alphabetical order.

/// Among how many names of an author's own a slip is looked for: enough for a job, and a bound on the work for one name.
pub const AMONG: usize = 500;

/// Up to three of `known` that `word` may have been meant for, nearest first.
///
/// Near means: one contains the other (from four letters), or at most a third of the letters differ
/// (insertion, deletion, replacement, swap of neighbours), case put aside.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let word = word.to_lowercase();
    let letters = word.chars().count();
    let limit = (letters / 3).max(1);
    let mut scored: Vec<(usize, &str)> = known
        .into_iter()
        .filter_map(|candidate| {
            let lower = candidate.to_lowercase();
            let holds = |a: &str, b: &str| a.len() >= 4 && b.contains(a);
            let held = holds(&word, &lower) || holds(&lower, &word);
            // Every letter that one has more than the other is a difference.
            if !held && letters.abs_diff(lower.chars().count()) > limit {
                return None;
            }
            let distance = strsim::damerau_levenshtein(&word, &lower);
            if distance <= limit {
                return Some((distance, candidate));
            }
            held.then_some((limit + distance, candidate))
        })
        .collect();
    scored.sort_unstable();
    scored.dedup();
    scored.into_iter().take(3).map(|(_, candidate)| candidate).collect()
}

/// "`a`", "`a` or `b`", "`a`, `b` or `c`": a list for a message.
pub fn one_of<S: AsRef<str>>(words: &[S]) -> String {
    list(words, "or")
}

/// "`a`", "`a` and `b`", "`a`, `b` and `c`": a list for a message.
pub fn all_of<S: AsRef<str>>(words: &[S]) -> String {
    list(words, "and")
}

fn list<S: AsRef<str>>(words: &[S], and: &str) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("`{}`", w.as_ref())).collect();
    match quoted.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} {and} {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_slips_and_parts() {
        let known = ["drywall", "plywood", "housewrap", "mineral-wool-board"];
        assert_eq!(nearest("drywal", known), ["drywall"]);
        assert_eq!(nearest("Plywodo", known), ["plywood"]);
        assert_eq!(nearest("wool", known), ["mineral-wool-board"]);
        assert!(nearest("zinc", known).is_empty());
        assert_eq!(one_of(&["a", "b", "c"]), "`a`, `b` or `c`");
    }
}
