//! What holds for every text.

use dewlap::base::span::FileId;
use dewlap::syntax::{parse, tidy};
use proptest::prelude::*;

const JOINTS: &str = include_str!("../../fixtures/syntax/joints.dew");

/// Words of the notation, signs, look-alikes and line breaks, to be jumbled.
const WORDS: &[&str] = &[
    "wall",
    "roof",
    "job",
    "room",
    "climate",
    "material",
    "joint",
    "accept",
    "include",
    "dewlap",
    "1",
    "front",
    "a:",
    "gap:",
    ":",
    "outdoors",
    "indoors",
    "ground",
    "water",
    "air",
    "vapor",
    "->",
    "→",
    ",",
    "+",
    "#",
    "#15",
    "\"",
    "“x”",
    "\"note\"",
    "2\"",
    "½",
    "5½",
    "−5",
    "2x6",
    "2×6",
    "38x140mm",
    "16x24 in",
    "at",
    "in",
    "2 in",
    "R-13",
    "sd",
    "100 m",
    "mu",
    "70 F",
    "35 %",
    "5:12",
    "1/150",
    "0,5",
    "inf",
    "to",
    "or",
    "and",
    "unknown",
    "taped",
    "lapped",
    "sealed with",
    "bays",
    "open",
    "top",
    "both sides",
    "partly",
    "painted",
    "not shown",
    "slope",
    "faces",
    "W",
    "heated",
    "always",
    "temperature",
    "humidity",
    "port",
    "in because",
    "xps",
    "\n",
    "\n  ",
    "\n  ",
    "\r\n",
    "\u{a0}",
    "\t",
    "\u{200b}",
    "é",
];

/// Words of joints, to be jumbled with the others.
const JOINT_WORDS: &[&str] = &[
    "joins",
    "upper",
    "lower",
    "cap",
    "cap:",
    "low eave",
    "inside face",
    "laps over",
    "lap",
    "laps",
    "seals to",
    "turns up",
    "above",
    "fills",
    "flutes",
    "clears grade",
    "drains to",
    "runs past",
    "stops short of",
    "with",
    "edge under",
    "at head and jambs",
    "at 16 in oc",
    "at 2 C",
    "both ends",
    "weeps",
    "bonded",
    "sealed with",
    "not shown",
    "fRsi",
    "0.82",
    "moves",
    "across",
    "end dams",
    "slope 1:12",
    "outward",
    "both ways",
    "to flat",
    "6 in high",
    "set in",
    "seams",
    "open joints",
    "primed",
    "0 in",
    "opening a in b",
    "penetration c through d",
];

/// Lines of a joint that read well, in many spellings.
fn joint_line() -> impl Strategy<Value = String> {
    let name = || "[a-z]{1,9}(-[a-z0-9]{1,9})?";
    let piece = (name(), prop::sample::select(vec!["copper 20ga", "spf  1½\"", "unknown", "2×4"]), shapes())
        .prop_map(|(name, stuff, shapes)| format!("{name}: {stuff}{shapes}"));
    let verbs = vec!["laps over", "butt", "tucks  into", "turns up", "runs past", "STOPS short of", "seals to"];
    let length = prop::sample::select(vec!["", " 4in", " ½ in to 1 in", " unknown", " 75mm with urethane"]);
    let sentence = (prop::bool::ANY, name(), prop::sample::select(verbs), name(), length, attributes()).prop_map(
        |(upper, subject, verb, object, length, attributes)| {
            let half = if upper { "upper " } else { "" };
            // A name that is a word with a meaning of its own there gets a letter more.
            format!("{half}q{subject} {verb} q{object}{length}{attributes}")
        },
    );
    prop_oneof![piece, sentence]
}

fn shapes() -> impl Strategy<Value = String> {
    let all =
        vec!["", ", drip", ",end dams 3\"", " , slope 1:12 outward", ", 6″ high, at  low end \"so\"", ",\n  hemmed"];
    prop::sample::select(all).prop_map(str::to_owned)
}

fn attributes() -> impl Strategy<Value = String> {
    let all =
        vec!["", ", bonded", ",sealed with urethane", " , ⅜\" wide", ", at 16\" oc # why", ",\n edge under r, at 2°C"];
    prop::sample::select(all).prop_map(str::to_owned)
}

/// Layer lines that read well, in many spellings.
fn line() -> impl Strategy<Value = String> {
    let label = "[a-z]{1,9}(-[a-z0-9]{1,9})?";
    let stuff = prop::sample::select(vec![
        "xps 2\"",
        "osb 7/16 in",
        "air  1in",
        "2x6 at 16 in, bays glass-batt R13",
        "larch 2×6 at 24″",
        "unknown",
        "unknown wood-panel ½ in to 1 in",
        "osb 1/2\" or plywood 1/2 in",
        "poly sd100 m",
        "#15-felt",
        "xps 38mm",
    ]);
    let words = prop::collection::vec(
        prop::sample::select(vec![
            "taped",
            "lapped 6\"",
            "edges  sealed",
            "in 2 layers",
            "partly sealed with foam",
            "at 16%",
        ]),
        0..3,
    );
    let end =
        prop::sample::select(vec!["", " -> water", "→air vapor", " -> air \"so ½ in\"", " # why", "  \"note\" # é"]);
    let goes_on = any::<bool>();
    (label, stuff, words, end, goes_on).prop_map(|(label, stuff, words, end, goes_on)| {
        let comma = if goes_on { " ,\n     " } else { "," };
        let words: String = words.iter().map(|word| format!("{comma}{word}")).collect();
        format!("{label}: {stuff}{words}{end}")
    })
}

/// Texts that read without a problem, laid out anyhow.
fn good() -> impl Strategy<Value = String> {
    let gap = || prop::sample::select(vec!["\n", "\n\n", "\n\n\n", "\n # c\n", "\n# d\n", "  \n"]);
    let lines = prop::collection::vec((gap(), line()), 0..6);
    let mark = any::<(bool, bool)>();
    (lines, mark).prop_map(|(lines, (bom, crlf))| {
        let mut text = String::from("job a\n  place b\nwall porch \"t\"\n faces  w\n\toutdoors");
        for (gap, line) in lines {
            text.push_str(gap);
            text.push_str("   ");
            text.push_str(&line);
        }
        text.push_str("\n indoors,splashed");
        if crlf {
            text = text.replace('\n', "\r\n");
        }
        if bom { format!("\u{feff}{text}") } else { text }
    })
}

/// Holds for every text, read or not.
fn holds(text: &str) {
    let parsed = parse(FileId(7), text);
    for problem in &parsed.problems {
        let spans = std::iter::once(&problem.primary).chain(&problem.others);
        for label in spans {
            assert!(label.span.file == FileId(7));
            assert!(text.get(label.span.range()).is_some(), "{:?} in {text:?}", label.span);
        }
        assert!(problem.message.chars().count() <= 80, "{}", problem.message);
        assert!(!problem.message.contains('\n'));
    }
    match tidy(text) {
        Ok(once) => {
            assert!(parsed.problems.is_empty());
            assert_eq!(tidy(&once).as_deref(), Ok(once.as_str()), "{text:?}");
        }
        Err(problems) => assert_eq!(problems.len(), parsed.problems.len(), "{text:?}: {problems:?}"),
    }
}

/// The words of a text in their order, without figures, signs and units (which have at most two letters here).
fn words(text: &str) -> Vec<&str> {
    text.split(|c: char| !c.is_alphabetic()).filter(|word| word.chars().count() > 2).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read(text in any::<String>()) {
        holds(&text);
    }

    #[test]
    fn any_bytes_are_read(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        holds(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn jumbled_words_are_read(words in prop::collection::vec(prop::sample::select(WORDS), 0..60)) {
        holds(&words.join(" "));
    }

    #[test]
    fn jumbled_words_in_a_wall_are_read(words in prop::collection::vec(prop::sample::select(WORDS), 0..20)) {
        holds(&format!("wall porch\n  outdoors\n  a: xps {}\n  indoors", words.join(" ")));
    }

    #[test]
    fn jumbled_words_in_a_joint_are_read(
        words in prop::collection::vec(prop_oneof![prop::sample::select(WORDS), prop::sample::select(JOINT_WORDS)], 0..30)
    ) {
        holds(&format!("joint eave\n  joins a top, b face\n  cap: copper\n  cap laps over b 1 in, {}", words.join(" ")));
        holds(&format!("joint eave\n  {}", words.join(" ")));
    }

    #[test]
    fn joints_with_letters_lost_added_or_changed_are_read(
        slips in prop::collection::vec((any::<prop::sample::Index>(), 0..3_u8, prop::sample::select(vec!['a', ',', ':', ' ', '\n', '"', '1'])), 1..6)
    ) {
        let mut text: Vec<char> = JOINTS.chars().collect();
        for (at, what, letter) in slips {
            let at = at.index(text.len());
            match what {
                0 => { text.remove(at); }
                1 => text.insert(at, letter),
                _ => text[at] = letter,
            }
        }
        holds(&text.into_iter().collect::<String>());
    }

    #[test]
    fn good_joints_are_tidied_and_keep_their_words(lines in prop::collection::vec(joint_line(), 0..8)) {
        let text = format!("joint  eave “t”\n joins a  top,b face\n   {}\n", lines.join("\n   "));
        holds(&text);
        let once = tidy(&text).map_err(|all| TestCaseError::fail(format!("{all:?} {text}")))?;
        prop_assert_eq!(words(&once), words(&text));
        for word in ["# why", ",", ":"] {
            prop_assert_eq!(once.matches(word).count(), text.matches(word).count(), "{}", word);
        }
    }

    #[test]
    fn good_texts_are_tidied_and_keep_their_words(text in good()) {
        holds(&text);
        let once = tidy(&text).map_err(|all| TestCaseError::fail(format!("{all:?}")))?;
        prop_assert_eq!(words(&once), words(&text));
        for word in ["\"so ½ in\"", "# why", "# c", "# d", "# é", "#15", ",", "+", "#"] {
            prop_assert_eq!(once.matches(word).count(), text.matches(word).count(), "{}", word);
        }
        prop_assert_eq!(once.starts_with('\u{feff}'), text.starts_with('\u{feff}'));
        let begins_blank = once.trim_start_matches('\u{feff}').starts_with('\n');
        prop_assert!(once.ends_with('\n') && !begins_blank);
        prop_assert!(!once.replace('\r', "").contains("\n\n\n"));
        prop_assert_eq!(once.contains("\r\n"), text.contains("\r\n"));
    }
}
