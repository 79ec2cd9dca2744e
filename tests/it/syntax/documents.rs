//! Every example of the page that teaches the notation reads without a problem.

use dewlap::syntax::words::{CONTROLS, LAYER_WORDS, OPEN_AT, PLACES, RAINS, STANZAS, STATEMENTS, list};

use super::told;

const FORMAT: &str = include_str!("../../../docs/format.md");

/// The fenced `dew` blocks of the page.
fn blocks() -> Vec<&'static str> {
    FORMAT.split("```dew\n").skip(1).filter_map(|rest| rest.split("```").next()).collect()
}

#[test]
fn the_examples_read_without_a_problem() {
    let blocks = blocks();
    assert!(blocks.len() >= 15, "{} examples", blocks.len());
    for block in blocks {
        assert_eq!(told(block), [], "{block}");
    }
}

/// The words of joints but the verbs; of one with several words all of them.
fn of_joints() -> Vec<String> {
    use dewlap::syntax::joint_words::{ATTRIBUTES, EDGES, HALVES, HOLLOWS, SHAPES, SPOTS};
    let pairs = list(EDGES).chain(list(HALVES)).chain(list(HOLLOWS)).chain(list(SHAPES)).chain(list(ATTRIBUTES));
    let spots =
        SPOTS.iter().map(|(first, second, _)| [Some(*first), *second].into_iter().flatten().collect::<Vec<_>>());
    pairs.map(str::to_owned).chain(spots.map(|words| words.join(" "))).collect()
}

#[test]
fn every_word_of_the_tables_is_taught() {
    let words = list(STANZAS)
        .chain(list(LAYER_WORDS))
        .chain(list(OPEN_AT))
        .chain(list(CONTROLS))
        .chain(list(RAINS))
        .chain(PLACES.iter().copied())
        .chain(STATEMENTS.iter().map(|(word, ..)| *word))
        .map(str::to_owned);
    for word in words.chain(of_joints()) {
        let taught = [format!("`{word}`"), format!("`{word} ")].iter().any(|form| FORMAT.contains(form));
        assert!(taught, "{word}");
    }
    for form in dewlap::syntax::joint_words::VERBS {
        let row =
            FORMAT.lines().any(|line| line.starts_with("| `") && line.contains(&format!(" {} ", form.verb.words())));
        assert!(row, "{}", form.verb.words());
    }
}
