//! What lies in the yard: left-over materials, from a YAML list of one row each.
//!
//! Not here: what a material is, and whether it serves anywhere (review).
//! Invariant: a row that comes out says a material in the notation; every mistake of the file is a problem with its place.

use super::yaml::{Entry, Part, short};
use crate::base::finding::Finding;
use crate::base::near;
use crate::base::quantity::Area;
use crate::base::span::{FileId, Span};
use crate::base::unit::Dimension;
use crate::syntax::ast::Build;
use crate::syntax::{self, Origin};

/// The keys of a row.
const KEYS: [&str; 5] = ["what", "covers", "amount", "state", "note"];
/// Longest text in words, characters.
const LONGEST: usize = 200;

/// What state a material is in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// As new.
    #[default]
    Sound,
    /// Has been out in the weather.
    Weathered,
    /// Is wet now.
    Wet,
    /// Is of no use.
    Broken,
}

impl State {
    /// All states, the soundest first.
    pub const ALL: [Self; 4] = [Self::Sound, Self::Weathered, Self::Wet, Self::Broken];

    /// The word that is written and printed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Weathered => "weathered",
            Self::Wet => "wet",
            Self::Broken => "broken",
        }
    }

    /// What to do before it is used; none for what is sound. Common practice, no source.
    pub fn caution(self) -> Option<&'static str> {
        match self {
            Self::Sound => None,
            Self::Weathered => Some("look it over for rot, split layers and old coatings first"),
            Self::Wet => Some("let it dry first; water that is built in is judged only where the slot says so"),
            Self::Broken => Some("leave it"),
        }
    }
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The material as a layer line says it.
    pub what: String,
    /// Where that stands.
    pub span: Span,
    /// How much there is, as area.
    pub covers: Option<Area>,
    /// How much there is, in words.
    pub amount: Option<String>,
    /// Its state.
    pub state: State,
    /// A remark.
    pub note: Option<String>,
}

/// A yard, read.
#[derive(Clone, Debug, Default)]
pub struct Yard {
    /// The rows that could be read.
    pub rows: Vec<Row>,
    /// One for each mistake, in the order of the text.
    pub problems: Vec<Finding>,
}

/// Reads a yard. Never fails: what cannot be read is a problem in the list.
pub fn read(file: FileId, text: &str) -> Yard {
    let mut yard = Yard::default();
    let whole = match Part::whole(file, text, body(text)) {
        Ok(whole) => whole,
        Err(problem) => {
            yard.problems.push(*problem);
            return yard;
        }
    };
    if whole.is_empty() {
        yard.problems.push(*whole.missing("nothing lies in this yard", FORM));
    } else if !whole.text().starts_with('-') {
        yard.problems.push(*whole.wrong("a list was expected here", FORM));
    } else {
        for item in whole.items(&mut yard.problems) {
            let row = Reading { file, source: text, problems: &mut yard.problems }.row(&item);
            yard.rows.extend(row);
        }
    }
    yard.problems.sort_by_key(|p| p.primary.span);
    yard
}

const FORM: &str = "a row begins with `- what: plywood 5/8 in`";

/// The text without what stands before its first row: blank lines, remarks, a line of dashes.
fn body(text: &str) -> &str {
    let mut rest = text.trim_start_matches('\u{feff}');
    loop {
        let line = rest.lines().next().unwrap_or("");
        let plain = line.trim();
        let skip = !rest.is_empty() && (plain.is_empty() || plain.starts_with('#') || plain == "---");
        if !skip {
            return rest;
        }
        rest = rest.split_once('\n').map_or("", |(_, after)| after);
    }
}

/// Reads the rows of one file.
struct Reading<'a> {
    file: FileId,
    source: &'a str,
    problems: &'a mut Vec<Finding>,
}

impl Reading<'_> {
    fn row(&mut self, item: &Part<'_>) -> Option<Row> {
        if item.is_empty() {
            self.problems.push(*item.missing("this row says nothing", FORM));
            return None;
        }
        let entries = item.entries(self.problems);
        for stray in entries.iter().filter(|e| !KEYS.contains(&e.key.text())) {
            self.problems.push(*stray.key.unknown_key(&KEYS));
        }
        let of = |key: &str| entries.iter().find(|e| e.key.text() == key).map(|e| e.value);
        let what = match of("what") {
            Some(value) => self.what(&value),
            None => {
                // A row that could not be taken apart has been told of.
                if let Some(Entry { key, .. }) = entries.first() {
                    self.problems.push(*key.missing("this row does not say what it is", "add `what: MATERIAL`"));
                }
                None
            }
        };
        let covers = of("covers").and_then(|value| self.covers(&value));
        let amount = of("amount").and_then(|value| self.words(&value));
        let state = of("state").and_then(|value| self.state(&value)).unwrap_or_default();
        let note = of("note").and_then(|value| self.words(&value));
        let (what, span) = what?;
        Some(Row { what, span, covers, amount, state, note })
    }

    /// A value in words, at most so long.
    fn words(&mut self, value: &Part<'_>) -> Option<String> {
        match value.words() {
            Ok(words) if words.chars().count() <= LONGEST => Some(words),
            Ok(_) => {
                let message = format!("this is longer than {LONGEST} characters");
                self.problems.push(*value.wrong(message, "keep it short"));
                None
            }
            Err(problem) => {
                self.problems.push(*problem);
                None
            }
        }
    }

    /// Where the words of a value stand: slices of it where they are written as they are read, else the value as a whole.
    fn origin<'w>(&self, value: &Part<'w>, words: &'w str) -> (Origin, &'w str) {
        let text = value.text();
        match text.get(..words.len()).filter(|same| *same == words) {
            Some(same) => (Origin::new(self.file, self.source), same),
            None => (Origin::at(value.span()), words),
        }
    }

    fn what(&mut self, value: &Part<'_>) -> Option<(String, Span)> {
        let words = self.words(value)?;
        let (origin, text) = self.origin(value, &words);
        let read: Result<Build, Box<Finding>> = syntax::build(origin, text);
        match read {
            Ok(build) if named(&build, "air") => {
                self.problems.push(*value.wrong("air is no material to keep", "take this row out"));
                None
            }
            Ok(_) => Some((words, value.span())),
            Err(problem) => {
                self.problems.push(*problem);
                None
            }
        }
    }

    fn covers(&mut self, value: &Part<'_>) -> Option<Area> {
        let words = self.words(value)?;
        let (origin, text) = self.origin(value, &words);
        match syntax::figure(origin, text, &[Dimension::Area]) {
            Ok(area) if area.si > 0.0 => Some(Area::new(area.si)),
            Ok(_) => {
                self.problems.push(*value.wrong("an area of nothing", "take this row out, or write what is left"));
                None
            }
            Err(problem) => {
                self.problems.push(*problem);
                None
            }
        }
    }

    fn state(&mut self, value: &Part<'_>) -> Option<State> {
        let words = self.words(value)?;
        let known = State::ALL.map(State::word);
        let found = State::ALL.into_iter().find(|s| s.word() == words);
        if found.is_none() {
            let near = near::nearest(&words, known);
            let help = if near.is_empty() {
                format!("write {}", near::one_of(&known))
            } else {
                format!("did you mean {}?", near::one_of(&near))
            };
            self.problems.push(*value.wrong(format!("`{}` is no state", short(&words)), help));
        }
        found
    }
}

fn named(build: &Build, name: &str) -> bool {
    matches!(&build.material, syntax::ast::MaterialRef::Named(n) if n.text == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    const YARD: &str = "# behind the boathouse\n---\n- what: plywood 5/8 in   # stacked\n  covers: 340 ft2\n  \
                        amount: 11 sheets 4x8 ft\n  state: weathered\n  note: from the boathouse floor\n\
                        - what: \"larch 2x6\"\n";

    #[test]
    fn rows_are_read() {
        let yard = read(FileId(2), YARD);
        assert!(yard.problems.is_empty(), "{:#?}", yard.problems);
        assert_eq!(yard.rows.len(), 2);
        let first = &yard.rows[0];
        assert_eq!((first.what.as_str(), first.state), ("plywood 5/8 in", State::Weathered));
        assert!((first.covers.unwrap().si() - 340.0 * 0.092_903_04).abs() < 1e-9);
        assert_eq!(&YARD[first.span.range()], "plywood 5/8 in");
        assert_eq!((yard.rows[1].what.as_str(), yard.rows[1].state), ("larch 2x6", State::Sound));
    }

    #[test]
    fn mistakes_are_told_together_each_where_it_stands() {
        let text = "- what: plywood 5/8\n- what: osb, taped\n  covers: 30 ft\n  stat: wet\n  state: wett\n- note: x\n\
                    - what: &a osb\n- what: !x osb\n- what: air 1 in\n- state: [wet]\n  what: osb\n-\n- osb 7/16 in\n";
        let yard = read(FileId(0), text);
        let told: Vec<(&str, &str)> =
            yard.problems.iter().map(|p| (text[p.primary.span.range()].trim(), p.message.as_str())).collect();
        let places: Vec<&str> = told.iter().map(|t| t.0).collect();
        let expected = [
            "5/8",
            "taped",
            "30 ft",
            "stat",
            "wett",
            "note",
            "&a osb",
            "!x osb",
            "air 1 in",
            "[wet]",
            "",
            "osb 7/16 in",
        ];
        assert_eq!(places, expected, "{told:#?}");
        assert!(yard.problems.iter().all(|p| p.message.chars().count() <= 80 && !p.help.is_empty()), "{told:#?}");
        assert!(yard.problems[3].help.contains("`state`"), "{:?}", yard.problems[3]);
        assert_eq!(yard.problems[4].help, "did you mean `wet`?");
    }

    #[test]
    fn what_is_no_yard_is_refused() {
        let one = |text: &str| read(FileId(0), text).problems.first().map(|p| p.message.clone()).unwrap_or_default();
        assert_eq!(one(""), "nothing lies in this yard");
        assert_eq!(one("# nothing yet\n"), "nothing lies in this yard");
        assert_eq!(one("what: osb\n"), "a list was expected here");
        assert!(one("- what: [\n").starts_with("this is no YAML"));
        assert!(one(&format!("- what: {}", "[".repeat(9000))).starts_with("this is no YAML"));
        assert!(one(&"- what: osb\n".repeat(9000)).contains("larger than"));
        assert!(one(&format!("- what: osb\n  note: {}\n", "x".repeat(300))).contains("longer than"));
    }
}
