//! How much text is read: one place for every bound, so that no input makes the reader slow or large.
//!
//! Invariant: each bound, once passed, ends in one clear report and never in a hang.

/// Largest text in bytes.
pub const BYTES: usize = 5_000_000;
/// Most physical lines in a text.
pub const LINES: usize = 100_000;
/// Longest physical line in characters.
pub const LINE_CHARS: usize = 4_000;
/// Most physical lines joined by a trailing `,` or `+`.
pub const JOINED: usize = 50;
/// Most words, signs and notes in one line with what it goes on in.
pub const WORDS: usize = 500;
/// Most lines of one joint: every piece may be tied to every other, and what is asked of a joint grows faster than it does.
pub const JOINT_LINES: usize = 1_200;
/// Most problems told of one text; reading stops there.
pub const PROBLEMS: usize = 1_000;
/// Longest name of a stanza, bytes.
pub const NAME: usize = 100;
