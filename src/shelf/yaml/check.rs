//! Looks over a YAML text as a whole before it is taken apart: its size, its depth, whether it is YAML.
//!
//! Not here: what it says. Invariant: a text that passes is YAML; one that does not has one problem, at its place.

use super::{Part, offset};
use crate::base::finding::Finding;
use crate::base::span::FileId;
use crate::shelf::rows::first_line;
use serde::de::IgnoredAny;

/// Largest YAML text that is read, bytes.
pub const LARGEST: usize = 64 << 10;
/// Most brackets that are open at once.
const DEEPEST: usize = 16;

impl<'t> Part<'t> {
    /// The part `text` (a slice of `source`) of a file, looked over as a whole.
    ///
    /// # Errors
    /// Where it is too large, too deep, or no YAML.
    pub fn whole(file: FileId, source: &'t str, text: &'t str) -> Result<Self, Box<Finding>> {
        let part = Self::new(file, source, text);
        if text.len() > LARGEST {
            let message = format!("this is larger than {} KiB", LARGEST >> 10);
            return Err(part.slice(first_line(text)).limit(message));
        }
        if let Some(at) = too_deep(text) {
            return Err(part
                .slice(text.get(at..=at).unwrap_or(""))
                .limit("brackets within brackets, too deep to read"));
        }
        serde_yaml::from_str::<IgnoredAny>(text).map(|_| part).map_err(|error| part.no_yaml(&error))
    }

    /// The words of `serde_yaml` about this part, at the place it names.
    pub(super) fn no_yaml(&self, error: &serde_yaml::Error) -> Box<Finding> {
        let here = error.location().map_or(*self, |l| self.place(l.line(), l.column()));
        let told = error.to_string();
        let told = told.split(" at line ").next().unwrap_or(&told);
        let start = offset(self.source, here.text);
        let line = self.source.get(..start).map_or("", |before| before.rsplit('\n').next().unwrap_or(""));
        if line.trim().is_empty() && (line.contains('\t') || here.text.starts_with('\t')) {
            return here.wrong("a tab at the start of a line", "indent with spaces");
        }
        let message: String = format!("this is no YAML: {told}").chars().take(80).collect();
        here.wrong(
            message,
            "one `key: value` a line; quotes and brackets closed; `: ` or ` #` within a text only in quotes",
        )
    }

    /// From a line and a column, both from 1, to the end of that line.
    fn place(&self, line: usize, column: usize) -> Self {
        let mut lines = self.text.split_inclusive('\n');
        let mut last = "";
        for _ in 0..line {
            last = lines.next().unwrap_or(last);
        }
        let here = last.trim_end();
        let at = here.char_indices().nth(column.saturating_sub(1)).map_or(here.len(), |(at, _)| at);
        self.slice(here.get(at..).unwrap_or(""))
    }
}

/// Where more brackets are open than are read.
fn too_deep(text: &str) -> Option<usize> {
    let mut open = 0_usize;
    text.char_indices().find_map(|(at, c)| {
        match c {
            '[' | '{' => open += 1,
            ']' | '}' => open = open.saturating_sub(1),
            _ => {}
        }
        (open > DEEPEST).then_some(at)
    })
}
