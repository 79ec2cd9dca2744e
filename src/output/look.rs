//! How things may look here: width, color, art. Decided once at the edge, obeyed everywhere.
//!
//! Invariant: no color says what a word does not say too; only the sixteen terminal colors are used.

use crate::base::finding::Weight;
use anstyle::{AnsiColor, Style};

/// What the place of printing can show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Columns.
    pub width: usize,
    /// Whether escape sequences for color are written.
    pub color: bool,
    /// Draw with ASCII signs only.
    pub ascii: bool,
    /// Full sentences, no art, no color.
    pub plain: bool,
}

impl Default for Look {
    fn default() -> Self {
        Self { width: 80, color: false, ascii: false, plain: false }
    }
}

/// What a piece of text is, for its color.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// A heading.
    Head,
    /// Said in passing.
    Faint,
    /// A weight word and what belongs to it.
    Weight(Weight),
}

impl Look {
    /// The text in its color; unchanged where there is none.
    pub fn paint(&self, ink: Ink, text: &str) -> String {
        if !self.color || self.plain || text.is_empty() {
            return text.to_owned();
        }
        let style = match ink {
            Ink::Head => Style::new().bold(),
            Ink::Faint => Style::new().dimmed(),
            Ink::Weight(Weight::Stop) => AnsiColor::Red.on_default().bold(),
            Ink::Weight(Weight::Fix) => AnsiColor::Yellow.on_default().bold(),
            Ink::Weight(Weight::Watch) => AnsiColor::Cyan.on_default().bold(),
        };
        format!("{}{text}{}", style.render(), style.render_reset())
    }

    /// The sign for text left out.
    pub fn ellipsis(&self) -> &'static str {
        if self.ascii { "..." } else { "…" }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_color_means_no_escape() {
        let mut look = Look::default();
        assert_eq!(look.paint(Ink::Weight(Weight::Stop), "stop"), "stop");
        look.color = true;
        assert!(look.paint(Ink::Weight(Weight::Stop), "stop").contains("\u{1b}["));
        look.plain = true;
        assert_eq!(look.paint(Ink::Head, "x"), "x");
    }
}
