//! A mapping whose keys are known: which are there, which are not, which have no business there, and what they say.
//!
//! Not here: what the keys mean. Invariant: each mistake is told once; a value that can't be read is none.

use super::yaml::{Entry, Part, short};
use crate::base::finding::Finding;
use crate::base::near;
use crate::base::span::Spanned;
use crate::model::UNKNOWN_NAME;

/// A mapping of known keys, and the problems of all that is read of it.
pub(super) struct Form<'t, 'p> {
    entries: Vec<Entry<'t>>,
    /// Where a missing key is told.
    at: Part<'t>,
    /// What can't be read.
    pub problems: &'p mut Vec<Finding>,
}

impl<'t, 'p> Form<'t, 'p> {
    /// The mapping in `part`; a key that is missing is told `at`.
    pub fn new(part: &Part<'t>, at: Part<'t>, known: &[&str], problems: &'p mut Vec<Finding>) -> Self {
        let entries = part.entries(problems);
        let strange = entries.iter().filter(|entry| !known.contains(&entry.key.text()));
        problems.extend(strange.map(|entry| unknown_key(&entry.key, known)));
        Self { entries, at, problems }
    }

    /// The value of a key; one that says nothing is told at its key.
    pub fn value(&mut self, key: &str) -> Option<Part<'t>> {
        let entry = self.entries.iter().find(|entry| entry.key.text() == key)?;
        if entry.value.is_empty() {
            let message = format!("`{key}` says nothing");
            self.problems.push(*entry.key.missing(message, "write what it is, or take the key out"));
            return None;
        }
        Some(entry.value)
    }

    /// The value of a key that may say nothing yet, as a list that is to grow.
    pub fn growing(&self, key: &str) -> Option<Part<'t>> {
        self.entries.iter().find(|entry| entry.key.text() == key && !entry.value.is_empty()).map(|entry| entry.value)
    }

    /// Whether a key is there, whatever it says.
    pub fn has(&self, key: &str) -> bool {
        self.entries.iter().any(|entry| entry.key.text() == key)
    }

    /// The value of a key that must be there.
    pub fn needed(&mut self, key: &str, example: &str) -> Option<Part<'t>> {
        // What is no mapping at all is told as that alone.
        if !self.has(key) && !self.entries.is_empty() {
            self.problems.push(*self.at.missing(format!("`{key}` is missing"), format!("write `{key}: {example}`")));
        }
        self.value(key)
    }

    /// The outcome of reading a part; a problem is kept.
    pub fn kept<T>(&mut self, read: Result<T, Box<Finding>>) -> Option<T> {
        read.map_err(|problem| self.problems.push(*problem)).ok()
    }

    /// The words of a key.
    pub fn words(&mut self, key: &str) -> Option<String> {
        let part = self.value(key)?;
        self.kept(part.words())
    }

    /// The words of a key that must be there.
    pub fn needed_words(&mut self, key: &str, example: &str) -> Option<String> {
        let part = self.needed(key, example)?;
        self.kept(part.words())
    }

    /// What a key says, read by `read`.
    pub fn read<T>(&mut self, key: &str, read: impl FnOnce(&Part<'t>) -> Result<T, Box<Finding>>) -> Option<T> {
        let part = self.value(key)?;
        self.kept(read(&part))
    }

    /// What a key that must be there says, read by `read`.
    pub fn needed_read<T>(
        &mut self,
        key: &str,
        example: &str,
        read: impl FnOnce(&Part<'t>) -> Result<T, Box<Finding>>,
    ) -> Option<T> {
        let part = self.needed(key, example)?;
        self.kept(read(&part))
    }

    /// The words of a list that says something.
    pub fn list(&mut self, part: &Part<'t>) -> Vec<String> {
        let before = self.problems.len();
        let words = self.each(part, Part::words);
        if words.is_empty() && self.problems.len() == before {
            self.problems.push(*part.missing("nothing is said here", "write it between the brackets"));
        }
        words
    }

    /// The items of a list, each read by `read`; one that is said before is told.
    pub fn once<T: PartialEq>(
        &mut self,
        key: &str,
        read: impl Fn(&Part<'t>) -> Result<Spanned<T>, Box<Finding>>,
    ) -> Vec<Spanned<T>> {
        let Some(part) = self.value(key) else { return Vec::new() };
        let mut out: Vec<Spanned<T>> = Vec::new();
        for (found, item) in self.each(&part, |item| Ok((read(item)?, *item))) {
            match out.iter().find(|before| before.value == found.value) {
                Some(before) => {
                    let told =
                        item.wrong(format!("`{}` is said twice", short(item.inner().text())), "keep one of the two");
                    self.problems.push(told.also(before.span, "and here"));
                }
                None => out.push(found),
            }
        }
        out
    }

    fn each<T>(&mut self, part: &Part<'t>, read: impl Fn(&Part<'t>) -> Result<T, Box<Finding>>) -> Vec<T> {
        let items = part.items(self.problems);
        items.iter().filter_map(|item| self.kept(read(item))).collect()
    }
}

/// One of some words, case put aside.
///
/// # Errors
/// Where it is none of them, with those near.
pub(super) fn one_of<T: Copy>(
    part: &Part,
    what: &str,
    all: &[T],
    word: impl Fn(T) -> &'static str,
) -> Result<T, Box<Finding>> {
    let said = part.words()?;
    let found = all.iter().copied().find(|t| word(*t).eq_ignore_ascii_case(&said));
    found.ok_or_else(|| {
        let known: Vec<&str> = all.iter().map(|t| word(*t)).collect();
        unknown(part, what, &said, &known)
    })
}

/// Words that nothing answers to, and those that are near; where none is, all of them.
pub(super) fn unknown(part: &Part, what: &str, said: &str, known: &[&str]) -> Box<Finding> {
    let near = if said.len() > 40 { Vec::new() } else { near::nearest(said, known.iter().copied()) };
    let help = if near.is_empty() {
        format!("write {}", near::one_of(known))
    } else {
        format!("did you mean {}?", near::one_of(&near))
    };
    part.problem(UNKNOWN_NAME, format!("there is no {what} `{}`", short(said)), help)
}

/// A key that is not known here.
fn unknown_key(key: &Part, known: &[&str]) -> Finding {
    let near = if key.text().len() > 40 { Vec::new() } else { near::nearest(key.text(), known.iter().copied()) };
    let help = if near.is_empty() {
        format!("known here: {}", near::all_of(known))
    } else {
        format!("did you mean {}?", near::one_of(&near))
    };
    *key.wrong(format!("there is no key `{}` here", short(key.text())), help)
}

/// A whole number between two bounds.
///
/// # Errors
/// Where it is none.
pub(super) fn whole_number(part: &Part, low: u32, high: u32) -> Result<u32, Box<Finding>> {
    let said = part.words()?;
    let digits = said.chars().all(|c| c.is_ascii_digit());
    let found = said.parse().ok().filter(|n| digits && (low..=high).contains(n));
    found.ok_or_else(|| {
        let help = if high == u32::MAX {
            format!("write a whole number from {low}")
        } else {
            format!("write a whole number, {low} to {high}")
        };
        part.wrong(format!("`{}` does not fit here", short(&said)), help)
    })
}
