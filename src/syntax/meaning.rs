//! What a detail means, as words in one order: the same for two texts that differ in spaces, comments, notes, units or
//! capitals only.
//!
//! Left out: the job, its rooms and climate, acceptances, and which places a detail was tried at: they are where it is
//! judged, not what it is. Stanzas are put in order; lines within a stanza keep theirs, for a section has one.
//! Not here: making a fingerprint of it. Invariant: a change of a material, figure, word or sentence changes the answer.

use super::amount;
use super::ast::{Amount, Quantity};
use super::lines;
use super::reader::{Origin, Reader};
use super::token::Kind;
use super::words::{self, Home, Opens, STANZAS};
use crate::base::span::FileId;
use crate::base::unit::Dimension;

/// The meaning of a text whose blanks are filled.
pub(super) fn of(text: &str) -> String {
    let mut stanzas: Vec<String> = Vec::new();
    let mut counts = false;
    for line in lines::logical(super::head::body(text)) {
        let opens = if line.indented { None } else { words::find(STANZAS, lines::first_word(line.text)) };
        if let Some(opens) = opens {
            counts = is_drawn(opens);
            if counts {
                stanzas.push(String::new());
            }
        }
        if let Some(stanza) = stanzas.last_mut().filter(|_| counts) {
            words_of(line.text, stanza);
            stanza.push('\n');
        }
    }
    stanzas.sort();
    stanzas.concat()
}

/// Whether a stanza draws something that is built.
fn is_drawn(opens: Opens) -> bool {
    match opens {
        Opens::Material | Opens::Surface(_) | Opens::Joint(_) => true,
        Opens::Block(Home::Job | Home::Room | Home::Climate | Home::Surface)
        | Opens::Include
        | Opens::Accept
        | Opens::Detail
        | Opens::Use => false,
    }
}

/// The words of a line; figures with units as SI to six digits, so that `1/2 in` and `12.7 mm` are one.
fn words_of(line: &str, out: &mut String) {
    let mut reader = Reader::new(Origin::new(FileId::default(), line), line);
    while reader.kind() != Kind::End {
        match amount(&mut reader) {
            Some(Amount::Known(one)) => out.push_str(&figure_of(&one)),
            Some(Amount::Range(low, high)) => out.push_str(&format!("{}to {}", figure_of(&low), figure_of(&high))),
            Some(Amount::Unknown(_)) | None => match reader.kind() {
                Kind::Note | Kind::OpenNote => drop(reader.bump()),
                Kind::Arrow => {
                    reader.bump();
                    out.push_str("-> ");
                }
                _ => {
                    out.push_str(&reader.bump().text.to_lowercase());
                    out.push(' ');
                }
            },
        }
    }
}

/// The amount that stands here, taken. `1/4` alone is a share, but not in `1/4 to 1/2 in`.
fn amount(reader: &mut Reader) -> Option<Amount> {
    if !amount::begins(reader) || reader.is("unknown") {
        return None;
    }
    let with_units: Vec<Dimension> = Dimension::ALL.iter().copied().filter(|d| *d != Dimension::Ratio).collect();
    [with_units.as_slice(), Dimension::ALL].into_iter().find_map(|fits| {
        let mut ahead = *reader;
        let amount = amount::amount(&mut ahead, fits).ok()?;
        *reader = ahead;
        Some(amount)
    })
}

fn figure_of(quantity: &Quantity) -> String {
    format!("{}={:.5e} ", key(quantity.dimension), quantity.si)
}

/// What a dimension is called in a meaning. These words are kept in fingerprints for years: none may ever change.
fn key(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "length",
        Dimension::ThermalResistance => "resistance",
        Dimension::Conductivity => "conductivity",
        Dimension::Permeance => "permeance",
        Dimension::VaporThickness => "sd",
        Dimension::VaporFactor => "mu",
        Dimension::Temperature => "temperature",
        Dimension::Ratio => "ratio",
        Dimension::Slope => "slope",
        Dimension::Angle => "angle",
        Dimension::Gauge => "gauge",
        Dimension::Density => "density",
        Dimension::AirChange => "air-change",
        Dimension::AirFlow => "air-flow",
        Dimension::Area => "area",
        Dimension::Pressure => "pressure",
        Dimension::Days => "days",
        Dimension::AirPermeance => "air-permeance",
        Dimension::SpecificHeat => "specific-heat",
        Dimension::WaterAbsorption => "water-absorption",
    }
}

#[cfg(test)]
mod tests {
    use super::of;

    const TEXT: &str = "job creamery\n  place roanoke-va-us\nwall north \"why\"\n  outdoors\n  board: plywood 1/2 in, \
                        taped -> air\n  indoors\njoint foot\n  joins north bottom\n  board laps over board 2 in\n";

    #[test]
    fn looks_change_nothing() {
        let other = "# so\njoint foot\n  joins north bottom\n  board laps over board 51 mm\n\nwall north\n outdoors # here\n  \
                     Board:   plywood 12.7 mm,\n    taped → air \"x\"\n  indoors\njob mill\n  place boston-ma-us\n";
        assert_eq!(of(TEXT), of(&other.replace("51 mm", "50.8 mm")));
        assert_ne!(of(TEXT), of(other));
    }

    #[test]
    fn units_of_ranges_change_nothing() {
        let one = |figure: &str| of(&format!("wall a\n  board: unknown wood-panel {figure}\n"));
        assert_eq!(one("1/4 to 1/2 in"), one("6.35 to 12.7 mm"));
        assert_eq!(one("1/4 to 1/2 in"), one("1/4 in to 1/2 in"));
        assert_ne!(one("1/4 to 1/2 in"), one("1/4 to 5/8 in"));
    }

    #[test]
    fn what_is_built_counts() {
        for (from, to) in [("plywood", "osb"), (", taped", ""), ("-> air", ""), ("2 in", "3 in"), ("1/2", "5/8")] {
            assert_ne!(of(TEXT), of(&TEXT.replace(from, to)), "{from}");
        }
    }
}
