//! What lies in the yard: left-over materials, from a YAML list of one row each.
//!
//! Not here: what a material is, and whether it serves anywhere (review).
//! Invariant: a row that comes out says a material in the notation; every mistake of the file is a problem with its place.

use super::keys::{Form, one_of};
use super::yaml::Part;
use crate::base::finding::Finding;
use crate::base::quantity::Area;
use crate::base::span::{FileId, Span};
use crate::base::unit::Dimension;
use crate::syntax;
use crate::syntax::ast::MaterialRef;

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

/// The mark that some editors begin a text with.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// Reads a yard. Never fails: what cannot be read is a problem in the list.
pub fn read(file: FileId, text: &str) -> Yard {
    // The mark takes no column: rows are read without it, and their places moved behind it.
    let Some(rest) = text.strip_prefix(BYTE_ORDER_MARK) else { return read_plain(file, text) };
    let mut yard = read_plain(file, rest);
    let by = BYTE_ORDER_MARK.len_utf8() as u32;
    let labels = yard.problems.iter_mut().flat_map(|p| std::iter::once(&mut p.primary).chain(&mut p.others));
    for span in labels.map(|l| &mut l.span).chain(yard.rows.iter_mut().map(|row| &mut row.span)) {
        *span = Span { start: span.start + by, end: span.end + by, ..*span };
    }
    yard
}

fn read_plain(file: FileId, text: &str) -> Yard {
    let mut yard = Yard::default();
    let problems = &mut yard.problems;
    match Part::whole(file, text, body(text)) {
        Err(problem) => problems.push(*problem),
        Ok(whole) if whole.is_empty() => problems.push(*whole.missing("nothing lies in this yard", FORM)),
        Ok(whole) => {
            let items = whole.records(problems);
            yard.rows = items.iter().filter_map(|item| row(item, problems)).collect();
        }
    }
    problems.extend(hidden(file, text));
    problems.sort_by_key(|p| p.primary.span);
    yard
}

const FORM: &str = "a row begins with `- what: plywood 5/8 in`";

/// The text after the line of dashes that may begin it.
fn body(text: &str) -> &str {
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        at += line.len();
        match line.trim() {
            "---" => return text.get(at..).unwrap_or(""),
            plain if plain.is_empty() || plain.starts_with('#') => {}
            _ => break,
        }
    }
    text
}

/// The first character of each line that cannot be seen.
fn hidden(file: FileId, text: &str) -> Vec<Finding> {
    text.lines().filter_map(|line| syntax::hidden(file, text, line)).collect()
}

fn row(item: &Part<'_>, problems: &mut Vec<Finding>) -> Option<Row> {
    let before = problems.len();
    let mut form = Form::new(item, *item, &KEYS, problems);
    // What is no mapping at all has been told of.
    let taken_apart = KEYS.iter().any(|key| form.has(key)) || form.problems.len() == before;
    let what = if taken_apart { form.needed_read("what", "plywood 5/8 in", what) } else { None };
    let covers = form.read("covers", covers);
    let amount = form.read("amount", words);
    let state = form.read("state", |part| one_of(part, "state", &State::ALL, State::word)).unwrap_or_default();
    let note = form.read("note", words);
    let (what, span) = what?;
    Some(Row { what, span, covers, amount, state, note })
}

/// A value in words, at most so long.
fn words(part: &Part<'_>) -> Result<String, Box<Finding>> {
    let words = part.words()?;
    if words.chars().count() <= LONGEST {
        return Ok(words);
    }
    Err(part.wrong(format!("this is longer than {LONGEST} characters"), "keep it short"))
}

fn what(part: &Part<'_>) -> Result<(String, Span), Box<Finding>> {
    let words = words(part)?;
    let ((file, source), inner) = (part.source(), part.inner());
    // Words that are written as they are read have places of their own.
    let build = if inner.text() == words {
        syntax::build(file, source, inner.text())?
    } else {
        syntax::build_at(part.span(), &words)?
    };
    if matches!(&build.material, MaterialRef::Named(name) if name.text == "air") {
        return Err(part.wrong("air is no material to keep", "take this row out"));
    }
    Ok((words, inner.span()))
}

fn covers(part: &Part<'_>) -> Result<Area, Box<Finding>> {
    let ((file, source), inner) = (part.source(), part.inner());
    words(part)?;
    let area = syntax::figure(file, source, inner.text(), &[Dimension::Area])?;
    if area.si > 0.0 {
        return Ok(Area::new(area.si));
    }
    Err(part.wrong("an area of nothing", "take this row out, or write what is left"))
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
            "note: x",
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
    fn a_byte_order_mark_takes_no_column_and_places_stand_behind_it() {
        for text in
            [format!("\u{feff}{YARD}"), format!("\u{feff}{}", YARD.replace("# behind the boathouse\n---\n", ""))]
        {
            let yard = read(FileId(0), &text);
            assert!(yard.problems.is_empty(), "{:#?}", yard.problems);
            assert_eq!(yard.rows.len(), 2);
            assert_eq!(&text[yard.rows[0].span.range()], "plywood 5/8 in");
        }
        let text = "\u{feff}- what: plywood 5/8\n";
        let problems = read(FileId(0), text).problems;
        assert_eq!((problems.len(), &text[problems[0].primary.span.range()]), (1, "5/8"));
    }

    #[test]
    fn what_is_no_yard_is_refused() {
        let one = |text: &str| read(FileId(0), text).problems.first().map(|p| p.message.clone()).unwrap_or_default();
        assert_eq!(one(""), "nothing lies in this yard");
        assert_eq!(one("# nothing yet\n"), "nothing lies in this yard");
        assert_eq!(one("what: osb\n"), "a list was expected here");
        assert!(one("- what: [\n").starts_with("this is no YAML"));
        assert!(one(&format!("- what: {}", "[".repeat(9000))).contains("too deep"));
        assert!(one("- what: osb\n  note: a\u{202e}b\n").contains("cannot be seen"));
        assert!(one(&"- what: osb\n".repeat(9000)).contains("larger than"));
        assert!(one(&format!("- what: osb\n  note: {}\n", "x".repeat(300))).contains("longer than"));
    }
}
