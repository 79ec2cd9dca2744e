//! What is said of a sentence of a joint that cannot be read: what was expected, the nearest word, where a thing belongs.
//!
//! Invariant: only words that the reader itself takes are ever advised.

use super::amount::begins_figure;
use super::ast::{Amount, Item, Sentence, Verb};
use super::joint_near::{Problem, dropped, ends, near_row, row, sign, whole_verb};
use super::joint_words::{ATTRIBUTES, EDGES, HOLLOWS, SHAPES, VERBS, begins_verb};
use super::problem::{Read, did_you_mean, incomplete, quote, unreadable};
use super::reader::Reader;
use super::token::Kind;
use super::words;
use crate::base::near::one_of;

/// Nothing but a comma or a note may follow a part of a sentence.
pub(super) fn sentence_part_ends(reader: &Reader, sentence: &Sentence) -> Read<()> {
    if ends(reader.kind()) {
        return Ok(());
    }
    if let Some(problem) = sign(reader) {
        return Err(problem);
    }
    let (word, here) = (reader.text(), reader.here());
    let message = format!("{} is not understood here", quote(word));
    if begins_figure(reader) {
        let help = match (&sentence.length, &sentence.with) {
            _ if reader.before_is("weeps") => "write `weeps at 24 in oc`",
            (None, Some(_)) => "the length stands before `with`",
            _ => "one length for a sentence; a bead has `3/8 in wide` after a comma",
        };
        return Err(unreadable(here, "a length has no place here", help));
    }
    let help = if let Some(attribute) = row(reader, ATTRIBUTES) {
        format!("put a comma before `{attribute}`")
    } else if row(reader, SHAPES).is_some() {
        return Err(no_attribute(reader));
    } else if reader.is("and") || begins_verb(word) {
        "one link, one sentence, one line".to_owned()
    } else if reader.is("with") {
        "`with` stands after the object or its length, or after `sealed` and `taped`".to_owned()
    } else {
        let known = words::list(EDGES).chain(words::list(HOLLOWS)).chain(words::list(ATTRIBUTES)).chain(["with"]);
        dropped(word)
            .or_else(|| did_you_mean(word, known))
            .unwrap_or_else(|| "a name is one word; what else there is to say stands after commas".to_owned())
    };
    Err(unreadable(here, message, help))
}

/// A word where an attribute belongs.
pub(super) fn no_attribute(reader: &Reader) -> Problem {
    let Some(word) = reader.word() else {
        return sign(reader).unwrap_or_else(|| reader.expected("how it is held or made: `bonded`, `sealed`, `primed`"));
    };
    if let Some(shape) = row(reader, SHAPES) {
        let help = format!("it is a shape: it stands on the piece's own line, `NAME: MATERIAL, {shape}`");
        return unreadable(reader.here(), format!("`{shape}` does not belong on a sentence"), help);
    }
    let mut ahead = *reader;
    ahead.bump();
    let help = if whole_verb(&ahead).is_some() || whole_verb(reader).is_some() {
        "one link, one sentence, one line".to_owned()
    } else {
        dropped(word).or_else(|| near_row(reader, ATTRIBUTES)).unwrap_or_else(|| {
            let all: Vec<&str> = words::list(ATTRIBUTES).collect();
            format!("what may stand here: {}; a remark goes in quotes", one_of(&all))
        })
    };
    unreadable(reader.here(), format!("{} is not known in a sentence", quote(word)), help)
}

/// A length after a comma that does not say what it is.
pub(super) fn bare_length(reader: &Reader, figure: &Amount, sentence: &Sentence) -> Problem {
    if reader.kind() == Kind::Word {
        let help = "after a length stands `wide` or `deep`";
        return unreadable(reader.here(), format!("{} is not understood here", quote(reader.text())), help);
    }
    let help = if sentence.length.is_some() {
        "one length for a sentence; a bead has `3/8 in wide`, `1/4 in deep`"
    } else {
        "the length of the sentence stands before the comma; a bead has `3/8 in wide`"
    };
    unreadable(figure.span(), "this length does not say what it measures", help)
}

/// After a subject: no verb.
pub(super) fn no_verb(reader: &Reader, subject: &Item) -> Problem {
    let Some(word) = reader.word() else {
        if let Some(problem) = sign(reader) {
            return problem;
        }
        let help = "a piece is `NAME: MATERIAL`, a sentence `SUBJECT verb OBJECT`: `cap laps over frame 1 in`";
        return incomplete(subject.span, "this line says nothing", help);
    };
    // `kick strip: steel`: a name of several words.
    if let Some(last) = word.strip_suffix(':').filter(|last| !last.is_empty()) {
        let help = format!("join its words: `{}-{}:`", subject.name.text, quote(last).trim_matches('`'));
        return unreadable(subject.span.to(reader.here()), "a name is one word", help);
    }
    if word == ":" {
        let help = format!("write `{}:`, without a space before the colon", subject.name.text);
        return unreadable(reader.here(), "the colon stands apart from its name", help);
    }
    if let Some(problem) = turned(reader, subject, word) {
        return problem;
    }
    if subject.name.text.eq_ignore_ascii_case("ends")
        && let Some(help) = dropped("ends")
    {
        return unreadable(subject.span.to(reader.here()), "a joint does not say how ends are closed", help);
    }
    let forms: Vec<&str> = VERBS.iter().filter(|form| form.begins(word)).map(|form| form.verb.words()).collect();
    if !forms.is_empty() {
        return unreadable(
            reader.here(),
            format!("{} alone is no verb", quote(word)),
            format!("write {}", one_of(&forms)),
        );
    }
    let first_words = VERBS.iter().map(|form| form.verb.words());
    let singles = VERBS.iter().map(|form| form.one);
    let help = dropped(word)
        .or_else(|| did_you_mean(word, first_words))
        .or_else(|| did_you_mean(word, singles))
        .unwrap_or_else(|| {
            let verbs: Vec<&str> = VERBS.iter().map(|form| form.verb.words()).collect();
            format!("verbs: {}; a piece has a colon: `NAME: MATERIAL`", one_of(&verbs))
        });
    unreadable(reader.here(), format!("{} is no verb", quote(word)), help)
}

/// `cap laps behind wrap`: the same the other way round.
fn turned(reader: &Reader, subject: &Item, word: &str) -> Option<Problem> {
    let mut ahead = *reader;
    ahead.bump();
    let laps = ["laps", "lap"].iter().any(|lap| lap.eq_ignore_ascii_case(word));
    if !laps || !["behind", "under"].iter().any(|under| ahead.is(under)) {
        return None;
    }
    let span = reader.here().to(ahead.here());
    ahead.bump();
    let upper = ahead.word().map_or_else(|| "X".to_owned(), |word| quote(word).trim_matches('`').to_owned());
    let help = format!("turn it round: `{upper} laps over {} ...`", subject.name.text);
    Some(unreadable(span, "the upper one laps over the lower one", help))
}

/// After a verb: nothing that it could be about.
pub(super) fn no_object(reader: &Reader, verb: Verb) -> Problem {
    let example = match verb {
        Verb::LapsOver => "cap laps over frame 1 in",
        Verb::SealsTo => "frame seals to studs with gun-foam",
        Verb::TucksInto => "counter tucks into brick 1 in",
        Verb::TurnsUp => "roofing turns up curb 8 in",
        Verb::Butts => "wool butts frame",
        Verb::Fills => "foam fills deck flutes",
        Verb::Touches => "plate touches concrete",
        Verb::Clears => "siding clears grade 8 in",
        Verb::FastensThrough => "ledger fastens through membrane",
        Verb::FastensTo => "post fastens to fascia",
        Verb::DrainsTo => "tray drains to outdoors",
        Verb::RunsPast => "flashing runs past brick 1/4 in",
        Verb::RunsTo => "flashing runs to brick",
        Verb::StopsShort => "flashing stops short of brick 3/4 in",
    };
    let message = format!("a piece or a layer is missing after `{}`", verb.words());
    incomplete(reader.before(), message, format!("write, for example, `{example}`"))
}
