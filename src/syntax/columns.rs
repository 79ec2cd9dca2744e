//! Columns of a stanza: labels, what follows them, arrows, comments.
//!
//! Invariant: widths count characters; a line that is too long for a column does not widen it for the others.

/// Longest first word that widens its column.
const FIRST: usize = 24;
/// Widest line that moves the arrows of its stanza.
const ARROW: usize = 72;

/// A line of the notation, in rows where it goes on.
pub(super) struct Line<'t> {
    /// Has a label.
    pub layer: bool,
    /// Begins with the first word of a statement.
    pub statement: bool,
    /// One for each physical line.
    pub rows: Vec<Row<'t>>,
}

/// One physical line.
pub(super) struct Row<'t> {
    /// The label or first word of a statement, padded by [`columns`].
    pub first: String,
    /// Up to the arrow, padded by [`columns`].
    pub body: String,
    /// From the arrow on.
    pub tail: String,
    /// The comment with its `#`.
    pub comment: &'t str,
}

/// How many characters wide a text is.
fn width(text: &str) -> usize {
    text.chars().count()
}

fn pad(text: &mut String, to: usize) {
    let by = to.saturating_sub(width(text));
    text.extend(std::iter::repeat_n(' ', by));
}

/// Pads the lines of one stanza to common columns.
pub(super) fn columns(lines: &mut [&mut Line]) {
    let surface = lines.iter().any(|line| line.layer);
    let widest = |lines: &[&mut Line], layer: bool| {
        let fits = lines.iter().filter(|line| line.layer == layer && (line.layer || line.statement));
        let firsts = fits.filter_map(|line| line.rows.first()).filter(|row| !row.body.is_empty());
        firsts.map(|row| width(&row.first)).filter(|w| *w <= FIRST).max().unwrap_or(0)
    };
    let (labels, words) = (widest(lines, true) + 1, widest(lines, false) + if surface { 1 } else { 2 });
    for line in lines.iter_mut() {
        let to = if line.layer { labels } else { words };
        let indent = if line.layer || line.statement { to } else { 2 };
        for (at, row) in line.rows.iter_mut().enumerate() {
            if at > 0 {
                pad(&mut row.first, indent);
            } else if !row.first.is_empty() && !row.body.is_empty() {
                row.first.push(' ');
                pad(&mut row.first, to);
            }
        }
    }
    let arrows = lines.iter().flat_map(|line| &line.rows).filter(|row| !row.tail.is_empty());
    let widths = arrows.map(|row| width(&row.first) + width(&row.body));
    let to = widths.filter(|w| *w <= ARROW).max().unwrap_or(0);
    for row in lines.iter_mut().flat_map(|line| &mut line.rows).filter(|row| !row.tail.is_empty()) {
        let to = to.saturating_sub(width(&row.first));
        pad(&mut row.body, to);
        row.body.push_str("  ");
    }
}

impl Line<'_> {
    /// Its printed lines.
    pub fn print(&self, head: bool, out: &mut Vec<String>) {
        for (at, row) in self.rows.iter().enumerate() {
            let indent = if head && at == 0 { "" } else { "  " };
            let content = format!("{}{}{}", row.first, row.body, row.tail);
            let content = content.trim_end();
            let gap = if content.is_empty() || row.comment.is_empty() { "" } else { "  " };
            out.push(format!("{indent}{content}{gap}{}", row.comment));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_label_does_not_push_the_others() {
        let line = |first: &str| Line {
            layer: true,
            statement: false,
            rows: vec![Row { first: first.into(), body: "osb".into(), tail: "-> air".into(), comment: "" }],
        };
        let (mut a, mut b, mut c) = (line("a:"), line("gap:"), line(&format!("{}:", "x".repeat(40))));
        columns(&mut [&mut a, &mut b, &mut c]);
        let mut out = Vec::new();
        [&a, &b, &c].iter().for_each(|line| line.print(false, &mut out));
        assert_eq!(out[0], format!("  a:   osb{}-> air", " ".repeat(39)));
        assert_eq!(out[1], format!("  gap: osb{}-> air", " ".repeat(39)));
        assert_eq!(out[2], format!("  {}: osb  -> air", "x".repeat(40)));
    }
}
