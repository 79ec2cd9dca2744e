//! How a written name finds an entry: spelling put aside, near words for one that is not known.
//!
//! Invariant: two names that differ only in case, spaces, underscores or British spelling are the same name.

use crate::base::near;

/// What a look-up found.
#[derive(Clone, Debug, PartialEq)]
pub enum Lookup<T> {
    /// The entry.
    Found(T),
    /// The name covers things that behave differently; one of the choices must be named.
    Ambiguous {
        /// Keys to choose from.
        choices: Vec<&'static str>,
        /// Why the name alone will not do.
        why: &'static str,
    },
    /// No entry of this name.
    Unknown {
        /// Keys it may have been meant for, nearest first, up to three.
        near: Vec<&'static str>,
    },
}

impl<T> Lookup<T> {
    /// The entry, if there is one.
    pub fn found(self) -> Option<T> {
        match self {
            Self::Found(entry) => Some(entry),
            Self::Ambiguous { .. } | Self::Unknown { .. } => None,
        }
    }
}

/// British and US spellings of the words that occur in names.
const SPELLINGS: &[(&str, &str)] = &[
    ("fibre", "fiber"),
    ("vapour", "vapor"),
    ("aluminium", "aluminum"),
    ("galvanised", "galvanized"),
    ("plasticised", "plasticized"),
    ("mould", "mold"),
    ("grey", "gray"),
];

/// The form in which names are compared: lower case, words joined by hyphens, US spelling.
pub(super) fn normal(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for c in name.trim().trim_start_matches('#').chars() {
        match c {
            ' ' | '_' | '-' if out.ends_with('-') => {}
            ' ' | '_' | '-' => out.push('-'),
            ',' | '"' => {}
            other => out.extend(other.to_lowercase()),
        }
    }
    for (british, us) in SPELLINGS {
        if out.contains(british) {
            out = out.replace(british, us);
        }
    }
    out
}

/// Near keys to a name that is not known. Every known word comes with the key it stands for.
pub(super) fn near_keys(name: &str, known: &[(&'static str, &'static str)]) -> Vec<&'static str> {
    let mut keys: Vec<&'static str> = Vec::new();
    for word in near::nearest(name, known.iter().map(|(word, _)| *word)) {
        let key = known.iter().find(|(w, _)| *w == word).map(|(_, key)| *key);
        keys.extend(key.filter(|k| !keys.contains(k)));
    }
    keys
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spelling_is_put_aside() {
        assert_eq!(normal(" Wood  Fibre_Board"), "wood-fiber-board");
        assert_eq!(normal("Miami, FL, US"), "miami-fl-us");
        assert_eq!(near_keys("drywal", &[("drywall", "drywall"), ("gypsum-board", "drywall")]), ["drywall"]);
    }
}
