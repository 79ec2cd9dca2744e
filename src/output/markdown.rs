//! A rule's page on a terminal: headings, paragraphs, lists, code and tables of the small Markdown the pages use.
//!
//! Invariant: nothing of the page is lost; a table that is too wide becomes rows of `head: cell`.

use super::clean::clean_line;
use super::look::{Ink, Look};
use super::wrap::{columns, hang, pad};
use std::io::{Result, Write};

/// Writes a page.
pub fn write(out: &mut dyn Write, page: &str, look: &Look) -> Result<()> {
    let lines: Vec<&str> = page.lines().collect();
    let mut at = 0;
    let mut gap = false;
    while let Some(line) = lines.get(at) {
        let rest = lines.get(at..).unwrap_or_default();
        if line.trim().is_empty() {
            gap = at > 0;
            at += 1;
            continue;
        }
        if std::mem::take(&mut gap) {
            writeln!(out)?;
        }
        at += block(out, rest, look)?;
    }
    Ok(())
}

/// Writes the block at the start of `lines` (never empty, first line not blank) and gives how many lines it took.
fn block(out: &mut dyn Write, lines: &[&str], look: &Look) -> Result<usize> {
    let first = lines.first().copied().unwrap_or_default();
    let trimmed = first.trim_start();
    if trimmed.starts_with("```") {
        let body = lines.iter().skip(1).take_while(|l| !l.trim_start().starts_with("```"));
        let taken = body.clone().count();
        for line in body {
            writeln!(out, "{}", format!("    {}", clean_line(line)).trim_end())?;
        }
        return Ok((taken + 2).min(lines.len()));
    }
    if trimmed.starts_with('|') {
        let rows: Vec<&str> = lines.iter().copied().take_while(|l| l.trim_start().starts_with('|')).collect();
        table(out, &rows, look)?;
        return Ok(rows.len());
    }
    if trimmed.starts_with('#') {
        let title = inline(trimmed.trim_start_matches('#').trim());
        writeln!(out, "{}", look.paint(Ink::Head, &clean_line(&title)))?;
        return Ok(1);
    }
    let more = lines.iter().skip(1).take_while(|l| goes_on(l));
    let taken = 1 + more.clone().count();
    let text = std::iter::once(&first).chain(more).map(|l| l.trim()).collect::<Vec<_>>().join(" ");
    match marker(&text) {
        Some((mark, body)) => {
            let lead = first.len() - trimmed.len();
            let front = format!("{:lead$}  {mark} ", "");
            hang(out, look, &front, columns(&front), &inline(body))?;
        }
        None => hang(out, look, "", 0, &inline(&text))?,
    }
    Ok(taken)
}

/// Whether a line goes on with the paragraph or list item above it.
fn goes_on(line: &str) -> bool {
    let trimmed = line.trim_start();
    let begins = trimmed.starts_with("```") || trimmed.starts_with('|') || trimmed.starts_with('#');
    !(trimmed.is_empty() || begins || marker(trimmed).is_some())
}

/// The mark of a list item and its text.
fn marker(text: &str) -> Option<(&str, &str)> {
    let (mark, body) = text.split_once(' ')?;
    let number = mark.strip_suffix('.').is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()));
    if number {
        return Some((mark, body));
    }
    matches!(mark, "-" | "*").then_some(("-", body))
}

/// Takes the marks of emphasis and links out of a line; code keeps its backticks.
fn inline(text: &str) -> String {
    let mut out = String::new();
    for (index, part) in text.split('`').enumerate() {
        if index % 2 == 1 {
            out.push_str(&format!("`{part}`"));
        } else {
            out.push_str(&links(&part.replace("**", "")));
        }
    }
    out
}

/// `[words](target)` becomes `words (target)`.
fn links(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('[') {
        let found = after.split_once("](").and_then(|(words, tail)| {
            let (target, tail) = tail.split_once(')')?;
            Some((words, target, tail))
        });
        let Some((words, target, tail)) = found else { break };
        out.push_str(&format!("{before}{words} ({target})"));
        rest = tail;
    }
    out + rest
}

fn table(out: &mut dyn Write, rows: &[&str], look: &Look) -> Result<()> {
    let is_rule = |row: &&&str| !row.contains('-') || row.chars().any(|c| !matches!(c, '|' | '-' | ':' | ' '));
    let split = |row: &&str| -> Vec<String> {
        row.trim().trim_matches('|').split('|').map(|c| clean_line(&inline(c.trim())).into_owned()).collect()
    };
    let cells: Vec<Vec<String>> = rows.iter().filter(is_rule).map(split).collect();
    let Some((head, body)) = cells.split_first() else { return Ok(()) };
    let width = |i: usize| cells.iter().filter_map(|r| r.get(i)).map(|c| columns(c)).max().unwrap_or(0);
    let widths: Vec<usize> = (0..head.len()).map(width).collect();
    if widths.iter().sum::<usize>() + 2 * widths.len() <= look.width && !look.plain {
        let line = |row: &Vec<String>| {
            row.iter().zip(&widths).map(|(c, w)| pad(c, *w)).collect::<Vec<_>>().join("  ").trim_end().to_owned()
        };
        writeln!(out, "  {}", look.paint(Ink::Faint, &line(head)))?;
        return body.iter().try_for_each(|row| writeln!(out, "  {}", line(row)));
    }
    for row in body {
        let text = head.iter().zip(row).map(|(h, c)| if h.is_empty() { c.clone() } else { format!("{h}: {c}") });
        hang(out, look, "  - ", 4, &text.collect::<Vec<_>>().join("; "))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(page: &str, width: usize) -> String {
        let mut out = Vec::new();
        write(&mut out, page, &Look { width, ..Look::default() }).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn all_kinds_of_blocks() {
        let page = "# A head\n\nSome **bold** words\nthat go on, see [there](b.md).\n\n- one\n  more\n2. two\n\n```dew\nwall a\n  outdoors\n```\n";
        assert_eq!(
            shown(page, 60),
            "A head\n\nSome bold words that go on, see there (b.md).\n\n  - one more\n  2. two\n\n    wall a\n      outdoors\n"
        );
    }

    #[test]
    fn tables_fold_when_narrow() {
        let page = "| a | what |\n| --- | --- |\n| 1 | a rather long cell indeed |\n";
        assert_eq!(shown(page, 60), "  a  what\n  1  a rather long cell indeed\n");
        assert_eq!(shown(page, 24), "  - a: 1; what: a rather\n    long cell indeed\n");
        assert_eq!(shown("```\nopen fence", 24), "    open fence\n");
    }
}
