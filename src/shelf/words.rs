//! Words as they are looked for: lower case, without what every sentence has.
//!
//! Not here: which words of a detail count (card), and what they weigh (search). Invariant: a text and a question are cut
//! in the same way.

/// Words that tell no detail from another.
const IDLE: &[&str] = &[
    "a", "an", "and", "are", "as", "at", "be", "by", "for", "from", "in", "into", "is", "it", "its", "no", "of", "on",
    "or", "so", "that", "the", "this", "to", "where", "with",
];
/// Words of the trade that mean the same, and the one that stands for them: common practice, no source.
const SAME: &[(&str, &str)] = &[
    ("aluminium", "aluminum"),
    ("fibre", "fiber"),
    ("lumber", "wood"),
    ("mould", "mold"),
    ("timber", "wood"),
    ("vapour", "vapor"),
    ("wooden", "wood"),
];
/// Most letters of a word that are looked at; own choice.
const LONGEST: usize = 40;

/// The words of a text, without the ending of what belongs to somebody (`brick's`); a compound gives its parts, and what
/// they make without the hyphen.
pub fn cut(text: &str) -> Vec<String> {
    let mut out = Vec::new();
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '-' && !is_apostrophe(c));
    for compound in words.map(unowned).flat_map(|word| word.split(is_apostrophe)) {
        let parts: Vec<String> = compound.split('-').filter(|p| !p.is_empty()).map(lower).collect();
        if parts.len() == 2 {
            out.push(parts.concat());
        }
        out.extend(parts);
    }
    out.retain(|word| tells(word));
    out
}

/// Whether a word tells anything.
pub fn tells(word: &str) -> bool {
    !word.is_empty() && !IDLE.contains(&word)
}

/// The words of a question: those of [`cut`] without what compounds make, each once.
pub fn asked(words: &[String]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for word in words.iter().flat_map(|text| cut(&text.replace('-', " "))) {
        if !out.contains(&word) {
            out.push(word);
        }
    }
    out
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '’')
}

/// A word without the ending of what belongs to somebody.
fn unowned(word: &str) -> &str {
    word.strip_suffix('s').filter(|rest| rest.ends_with(is_apostrophe)).unwrap_or(word)
}

fn lower(word: &str) -> String {
    let word: String = word.chars().take(LONGEST).flat_map(char::to_lowercase).collect();
    SAME.iter().find(|(other, _)| *other == single(&word)).map_or(word, |(_, stands)| (*stands).to_owned())
}

/// A word without the ending of more than one: `walls` and `wall` are one.
pub fn single(word: &str) -> &str {
    match word.strip_suffix('s') {
        Some(rest) if rest.len() >= 3 && !rest.ends_with(['s', 'u', 'i']) => rest,
        _ => word,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_cut_alike() {
        assert_eq!(cut("A Kick-out, at the 2x6 wall"), ["kickout", "kick", "out", "2x6", "wall"]);
        let asked = asked(&["kick-out".to_owned(), "the".to_owned(), "Out wall".to_owned()]);
        assert_eq!(asked, ["kick", "out", "wall"]);
        assert_eq!(cut("old Timbers"), cut("old wood"));
        assert_eq!(cut("the brick's edge* (mason’s 'cut') d'une"), ["brick", "edge", "mason", "cut", "d", "une"]);
        assert_eq!(
            (single("walls"), single("glass"), single("gas"), single("plywood")),
            ("wall", "glass", "gas", "plywood")
        );
    }
}
