//! Splits the embedded YAML at its entries without reading them.
//!
//! Invariant: a blank line parts two entries and stands nowhere else; the key is at column 0, and the text below it is a
//! whole YAML mapping. A test counts the keys by another way, so that no entry is swallowed.

/// One entry as it stands in the data, with the few lines that look-ups need.
#[derive(Debug, Default)]
pub(super) struct Entry {
    /// The key at column 0.
    pub key: &'static str,
    /// What stands in the brackets of `aliases: [a, b]`.
    list: &'static str,
    /// The line `what:`.
    pub what: &'static str,
    /// The line `kind:`.
    pub kind: &'static str,
    /// The lines below the key.
    pub body: &'static str,
}

impl Entry {
    /// Further names.
    pub fn aliases(&self) -> impl Iterator<Item = &'static str> {
        self.list.split(',').map(str::trim).filter(|alias| !alias.is_empty())
    }

    /// Whether `name` is one of the further names.
    pub fn is_alias(&self, name: &str) -> bool {
        self.list.contains(name) && self.aliases().any(|alias| alias == name)
    }
}

/// All entries of one file, in its order.
pub(super) fn split(text: &'static str) -> Vec<Entry> {
    text.split("\n\n").filter_map(entry).collect()
}

/// The entry of one paragraph; none for a comment. The lines that look-ups need stand before all groups.
fn entry(paragraph: &'static str) -> Option<Entry> {
    let (head, body) = paragraph.trim_start_matches('\n').split_once('\n')?;
    let key = head.trim_end().strip_suffix(':').filter(|key| !key.starts_with([' ', '#']))?;
    let mut entry = Entry { key, body, ..Entry::default() };
    for line in body.split('\n').map(str::trim).take_while(|line| !line.ends_with(':')).take(FIRST_LINES) {
        if let Some(list) = line.strip_prefix("aliases: [") {
            entry.list = list.strip_suffix(']').unwrap_or(list);
        } else if let Some(what) = line.strip_prefix("what: ") {
            entry.what = what;
        } else if let Some(kind) = line.strip_prefix("kind: ") {
            entry.kind = kind;
        }
    }
    Some(entry)
}

/// Lines below the key among which aliases, description and kind stand.
const FIRST_LINES: usize = 3;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_entry_ends_where_the_next_begins() {
        let entries = split("# head\n\na:\n  aliases: [b, c d]\n  kind: air\n\ne:\n  what: words\n");
        let keys: Vec<_> = entries.iter().map(|e| e.key).collect();
        assert_eq!(keys, ["a", "e"]);
        assert_eq!(entries[0].aliases().collect::<Vec<_>>(), ["b", "c d"]);
        assert!(entries[0].is_alias("c d") && !entries[0].is_alias("c"));
        assert_eq!(entries[0].body, "  aliases: [b, c d]\n  kind: air");
        assert_eq!((entries[0].kind, entries[1].what), ("air", "words"));
    }
}
