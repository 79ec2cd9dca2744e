//! What the environment and the flags say about looks: color, width, signs. Read once, decided in pure functions.
//!
//! Invariant: each stream is decided by itself; no other code asks the environment or the terminal.

use super::args::{Shared, When};
use super::streams::Looks;
use crate::output::look::Look;
use std::io::IsTerminal;

/// What the process finds round itself.
#[derive(Clone, Debug, Default)]
pub struct Environment {
    /// `NO_COLOR`.
    pub no_color: Option<String>,
    /// `CLICOLOR_FORCE`.
    pub clicolor_force: Option<String>,
    /// `FORCE_COLOR`.
    pub force_color: Option<String>,
    /// `TERM`.
    pub term: Option<String>,
    /// `NO_GRAPHICS`.
    pub no_graphics: Option<String>,
    /// The first of `LC_ALL`, `LC_CTYPE`, `LANG` that says something.
    pub locale: Option<String>,
    /// `COLUMNS`, else the terminal's own width.
    pub columns: Option<usize>,
    /// Standard output is a terminal.
    pub out_terminal: bool,
    /// Standard error is a terminal.
    pub err_terminal: bool,
}

impl Environment {
    /// Of this process.
    pub fn of_process() -> Self {
        let get = |name: &str| std::env::var(name).ok().filter(|v| !v.is_empty());
        let own_width = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
        Self {
            no_color: get("NO_COLOR"),
            clicolor_force: get("CLICOLOR_FORCE"),
            force_color: get("FORCE_COLOR"),
            term: get("TERM"),
            no_graphics: get("NO_GRAPHICS"),
            locale: ["LC_ALL", "LC_CTYPE", "LANG"].iter().find_map(|name| get(name)),
            columns: get("COLUMNS").and_then(|c| c.parse().ok()).filter(|c| *c > 0).or_else(own_width),
            out_terminal: std::io::stdout().is_terminal(),
            err_terminal: std::io::stderr().is_terminal(),
        }
    }
}

/// Whether color is written: the flag, then `NO_COLOR`, then `CLICOLOR_FORCE` and `FORCE_COLOR` (`0` forces nothing),
/// then whether it is a terminal that is not `dumb`.
pub fn color(flag: When, environment: &Environment, terminal: bool) -> bool {
    let says = |value: &Option<String>| value.as_deref().is_some_and(|v| !v.is_empty());
    let forces = |value: &Option<String>| value.as_deref().is_some_and(|v| !v.is_empty() && v != "0");
    match flag {
        When::Always => true,
        When::Never => false,
        When::Auto if says(&environment.no_color) => false,
        When::Auto if forces(&environment.clicolor_force) || forces(&environment.force_color) => true,
        When::Auto => terminal && environment.term.as_deref() != Some("dumb"),
    }
}

/// Columns: the flag, then the environment, then 80; at least 40, at most 120.
pub fn width(flag: Option<usize>, environment: &Environment) -> usize {
    flag.or(environment.columns).unwrap_or(80).clamp(40, 120)
}

/// Whether only ASCII can be shown: a locale is named and is not UTF-8.
pub fn ascii(environment: &Environment) -> bool {
    environment.locale.as_deref().is_some_and(|locale| {
        let lower = locale.to_lowercase();
        !(lower.contains("utf-8") || lower.contains("utf8"))
    })
}

/// The looks of both streams.
pub fn looks(shared: &Shared, environment: &Environment) -> Looks {
    let look = |terminal| Look {
        width: width(shared.width, environment),
        color: color(shared.color, environment, terminal),
        ascii: shared.ascii || ascii(environment),
        plain: shared.plain || environment.no_graphics.as_deref().is_some_and(|v| v != "0"),
    };
    Looks {
        out: look(environment.out_terminal),
        err: look(environment.err_terminal),
        terminal: environment.out_terminal,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn color_table() {
        let some = |s: &str| if s == "-" { None } else { Some(s.to_owned()) };
        // flag, NO_COLOR, CLICOLOR_FORCE, FORCE_COLOR, TERM, terminal -> color. The order is that of the conventions
        // published for NO_COLOR (no-color.org) and CLICOLOR (bixense.com/clicolors).
        let table = [
            (When::Always, "1", "-", "-", "dumb", false, true),
            (When::Never, "-", "1", "1", "xterm", true, false),
            (When::Auto, "-", "-", "-", "xterm", true, true),
            (When::Auto, "-", "-", "-", "xterm", false, false),
            (When::Auto, "-", "-", "-", "dumb", true, false),
            (When::Auto, "-", "-", "-", "-", true, true),
            (When::Auto, "1", "-", "-", "xterm", true, false),
            (When::Auto, "0", "-", "-", "xterm", true, false),
            (When::Auto, "", "-", "-", "xterm", true, true),
            (When::Auto, "1", "1", "-", "xterm", true, false),
            (When::Auto, "1", "-", "1", "xterm", true, false),
            (When::Auto, "-", "1", "-", "dumb", false, true),
            (When::Auto, "-", "0", "-", "xterm", false, false),
            (When::Auto, "-", "0", "-", "xterm", true, true),
            (When::Auto, "-", "-", "1", "-", false, true),
            (When::Auto, "-", "-", "0", "-", false, false),
            (When::Auto, "-", "0", "1", "-", false, true),
            (When::Auto, "-", "-", "3", "dumb", false, true),
        ];
        for (flag, no, cli, force, term, terminal, expected) in table {
            let environment = Environment {
                no_color: some(no),
                clicolor_force: some(cli),
                force_color: some(force),
                term: some(term),
                ..Environment::default()
            };
            let case = format!("{flag:?} {no} {cli} {force} {term} {terminal}");
            assert_eq!(color(flag, &environment, terminal), expected, "{case}");
        }
    }

    #[test]
    fn width_and_signs() {
        let wide = Environment { columns: Some(300), locale: Some("C".into()), ..Environment::default() };
        assert_eq!(width(None, &wide), 120);
        assert_eq!(width(Some(10), &wide), 40);
        assert_eq!(width(None, &Environment::default()), 80);
        assert!(ascii(&wide));
        assert!(!ascii(&Environment { locale: Some("de_AT.utf8".into()), ..Environment::default() }));
        assert!(!ascii(&Environment::default()));
    }
}
