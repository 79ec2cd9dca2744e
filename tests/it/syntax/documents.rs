//! Every example of the page that teaches the notation reads without a problem.

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

#[test]
fn every_word_of_the_tables_is_taught() {
    use dewlap::syntax::words::{CONTROLS, LAYER_WORDS, OPEN_AT, PLACES, RAINS, STANZAS, STATEMENTS, list};
    let words = list(STANZAS)
        .chain(list(LAYER_WORDS))
        .chain(list(OPEN_AT))
        .chain(list(CONTROLS))
        .chain(list(RAINS))
        .chain(PLACES.iter().copied())
        .chain(STATEMENTS.iter().map(|(word, ..)| *word));
    for word in words {
        let taught = [format!("`{word}`"), format!("`{word} ")].iter().any(|form| FORMAT.contains(form));
        assert!(taught, "{word}");
    }
}
