//! Stanzas: which line opens one, which belongs to it, and what happens to a line that fits nowhere.
//!
//! Invariant: never fails; each mistake costs the line it stands in and no other.

use super::Parsed;
use super::ast::{Block, Fact, Joint, JointLine, Name, PlaceLine, Row, Stanza, Statement, Surface, Tree};
use super::body::{self, Sort};
use super::head;
use super::joint;
use super::limits;
use super::lines::{self, Logical, Trouble};
use super::oneline;
use super::problem::{Read, did_you_mean, incomplete, limit, quote, unreadable};
use super::reader::{Origin, Reader};
use super::reuse;
use super::words::{self, Home, Opens, STANZAS};
use crate::base::finding::Finding;
use crate::base::span::{FileId, Span, Spanned};

/// Room made at first for the lines of a section; most have no more.
const USUAL_ROWS: usize = 10;

/// The stanza that lines belong to.
enum Open {
    /// Before the first stanza; whether that has been told.
    Nothing { told: bool },
    /// Statements.
    Block(Home, Block),
    /// Statements, then the section.
    Surface(Surface),
    /// A stanza of one line; whether it has been told that more follow.
    Line { word: &'static str, told: bool },
    /// Edges, pieces and sentences.
    Joint(Joint),
    /// After a head that could not be read.
    Skipped,
}

struct Parser<'t> {
    origin: Origin<'t>,
    tree: Tree,
    problems: Vec<Finding>,
    open: Open,
}

/// Reads a text; `origin` says whether spans are wanted.
pub(super) fn parse(file: FileId, text: &str, origin: Origin) -> Parsed {
    let tree = Tree { file, stanzas: Vec::new() };
    let mut parser = Parser { origin, tree, problems: Vec::new(), open: Open::Nothing { told: false } };
    if text.len() > limits::BYTES {
        let message = format!("this text has more than {} MB", limits::BYTES / 1_000_000);
        let start = origin.span(text.get(..0).unwrap_or(""));
        parser.problems.push(*limit(start, message, "split it into files and `include` them"));
        return parser.done();
    }
    if let Some(open) = head::cut(text).filter(|h| !h.closed) {
        let help = "put a line `---` below the head";
        parser.problems.push(*incomplete(parser.origin.span(open.opening), "this head is not closed", help));
    }
    for (index, line) in lines::logical(head::body(text)).enumerate() {
        if !parser.within_limits(&line) {
            break;
        }
        parser.line(index, &line);
    }
    parser.done()
}

impl<'t> Parser<'t> {
    fn done(mut self) -> Parsed {
        self.close();
        Parsed { tree: self.tree, problems: self.problems }
    }

    /// Ends the open stanza.
    fn close(&mut self) {
        match std::mem::replace(&mut self.open, Open::Skipped) {
            Open::Block(home, block) => self.tree.stanzas.push(match home {
                Home::Room => Stanza::Room(block),
                Home::Climate => Stanza::Climate(block),
                _ => Stanza::Job(block),
            }),
            Open::Surface(surface) => self.tree.stanzas.push(Stanza::Surface(surface)),
            Open::Joint(joint) => {
                if let Some(problem) = joint::whole(&joint) {
                    self.problems.push(*problem);
                    // It is known at the end of the stanza and told at its head.
                    self.problems.sort_by_key(|problem| problem.primary.span.start);
                }
                self.tree.stanzas.push(Stanza::Joint(joint));
            }
            _ => {}
        }
    }

    fn within_limits(&mut self, line: &Logical) -> bool {
        let problem = if line.first >= limits::LINES {
            let message = format!("this text has more than {} lines", limits::LINES);
            limit(self.origin.span(line.text), message, "split it into files and `include` them")
        } else if self.problems.len() >= limits::PROBLEMS {
            let message = format!("reading stopped here after {} problems", limits::PROBLEMS);
            limit(self.origin.span(line.text), message, "mend those above first")
        } else {
            return true;
        };
        self.problems.push(*problem);
        false
    }

    fn line(&mut self, index: usize, line: &Logical) {
        let mut reader = Reader::new(self.origin, line.text);
        let head = (!line.indented).then(|| reader.word()).flatten();
        if matches!(self.open, Open::Skipped) && line.indented {
            return;
        }
        let trouble = line.trouble.map(|trouble| told(self.origin, trouble)).or_else(|| {
            let help = "split the line: it goes on after a trailing `,` or `+`";
            lines::too_many_words(line.text).then(|| {
                limit(self.origin.span(line.text), format!("this line has more than {} words", limits::WORDS), help)
            })
        });
        // A line with a character that cannot be seen is told once; its head still opens a stanza.
        let before = self.problems.len();
        let muted = trouble.is_some();
        match head {
            Some(word) if index == 0 && word.eq_ignore_ascii_case("dewlap") => self.version(&mut reader),
            Some(word) => match words::find(STANZAS, word) {
                Some(opens) => self.head(&mut reader, opens),
                None => self.at_column_0(&mut reader, word),
            },
            None if muted => self.hole(line.text),
            None => self.body(&mut reader),
        }
        if let Some(problem) = trouble {
            self.problems.truncate(before);
            self.problems.push(*problem);
        }
    }

    fn version(&mut self, reader: &mut Reader) {
        reader.bump();
        if !reader.take("1") {
            let problem = if reader.word().is_some() {
                let message = format!("version {} of the notation is not known", quote(reader.text()));
                unreadable(reader.here(), message, "this program reads `dewlap 1`")
            } else {
                reader.expected("`dewlap 1`")
            };
            self.problems.push(*problem);
        } else if let Err(problem) = reader.finish("the end of the line") {
            self.problems.push(*problem);
        }
    }

    fn head(&mut self, reader: &mut Reader, opens: Opens) {
        self.close();
        let word = reader.bump();
        let head = self.origin.span(reader.line());
        match opens {
            Opens::Block(home) => {
                let (name, note) = self.title(reader, word.text);
                self.open = Open::Block(home, Block { name, note, head, statements: Vec::new() });
            }
            Opens::Surface(kind) => {
                let (name, note) = self.title(reader, word.text);
                let kind = Spanned::new(kind, self.origin.span(word.text));
                let (statements, rows) = (Vec::with_capacity(1), Vec::with_capacity(USUAL_ROWS));
                self.open = Open::Surface(Surface { kind, name, note, head, statements, rows });
            }
            Opens::Joint(kind) => {
                let kind = Spanned::new(kind, self.origin.span(word.text));
                self.open = Open::Joint(joint::head(reader, kind, word.text, &mut self.problems));
            }
            Opens::Material => {
                let read = oneline::material(reader, &mut self.problems).map(Stanza::Material);
                self.one_line("material", read, head);
            }
            Opens::Include => {
                let read = oneline::include(reader).map(Stanza::Include);
                self.one_line("include", read, head);
            }
            Opens::Accept => {
                let read = oneline::accept(reader).map(Stanza::Accept);
                self.one_line("accept", read, head);
            }
            Opens::Detail => {
                let read = reuse::detail(reader, &mut self.problems).map(Stanza::Detail);
                self.one_line("detail", read, head);
            }
            Opens::Use => {
                let read = reuse::uses(reader).map(Stanza::Use);
                self.one_line("use", read, head);
            }
        }
    }

    fn one_line(&mut self, word: &'static str, read: Read<Stanza>, head: Span) {
        let stanza = read.unwrap_or_else(|problem| {
            self.problems.push(*problem);
            Stanza::Hole(head)
        });
        self.tree.stanzas.push(stanza);
        self.open = Open::Line { word, told: false };
    }

    /// The name and note of a head line.
    fn title(&mut self, reader: &mut Reader, word: &str) -> (Option<Name>, Option<Name>) {
        match title(reader, word) {
            Ok((name, note)) => (Some(name), note),
            Err((name, problem)) => {
                self.problems.push(*problem);
                (name, None)
            }
        }
    }

    /// A line at the left edge that opens no stanza.
    fn at_column_0(&mut self, reader: &mut Reader, word: &str) {
        let bare = word.trim_end_matches(':');
        let near = did_you_mean(bare, words::list(STANZAS))
            .or_else(|| words::find(words::RENAMED, bare).map(|instead| format!("did you mean `{instead}`?")));
        let in_body = !matches!(self.open, Open::Nothing { .. });
        let in_joint = matches!(self.open, Open::Joint(_)) && joint::belongs(reader.line());
        let in_surface = matches!(self.open, Open::Surface(_));
        if in_body && (in_joint || body::belongs_in_a_stanza(reader, near.is_some(), in_surface)) {
            if matches!(self.open, Open::Skipped) {
                return;
            }
            let before = self.problems.len();
            let here = self.origin.span(reader.line());
            self.body(reader);
            self.problems.truncate(before);
            let help = "only a line that opens a stanza (`job`, `wall`, `joint` ...) starts at the left edge";
            self.problems.push(*unreadable(here, "indent this line", help));
            return;
        }
        if let Open::Nothing { .. } = self.open
            && body::belongs_in_a_stanza(reader, near.is_some(), false)
        {
            return self.nowhere(reader);
        }
        self.close();
        let known = "stanzas: `job`, `room`, `climate`, `material`, `wall`, `roof`, `ceiling`, `floor`, `slab`, `deck`, \
                     `joint`, `opening`, `penetration`, `accept`, `include`, `detail`, `use`";
        let message = format!("{} opens no stanza", quote(word));
        let fence = "a head stands between two lines `---`, the upper one the first line of the text";
        let known = if word == "---" { fence } else { known };
        self.problems.push(*unreadable(reader.here(), message, near.unwrap_or_else(|| known.to_owned())));
        self.tree.stanzas.push(Stanza::Hole(self.origin.span(reader.line())));
        self.open = Open::Skipped;
    }

    fn nowhere(&mut self, reader: &Reader) {
        if let Open::Nothing { told } = &mut self.open
            && !std::mem::replace(told, true)
        {
            let help = "open one above it: `wall NAME`, `job NAME`";
            let here = self.origin.span(reader.line());
            self.problems.push(*unreadable(here, "this line stands in no stanza", help));
        }
    }

    /// A line of the open stanza.
    fn body(&mut self, reader: &mut Reader) {
        let here = self.origin.span(reader.line());
        match &mut self.open {
            Open::Nothing { .. } => self.nowhere(reader),
            Open::Skipped => {}
            Open::Joint(joint) => joint::line(reader, joint, &mut self.problems),
            Open::Line { word, told } => {
                if !std::mem::replace(told, true) {
                    let message = format!("`{word}` is one line, nothing stands under it");
                    let help = "move this line into the stanza it belongs to";
                    self.problems.push(*unreadable(here, message, help));
                }
            }
            Open::Block(home, block) => {
                let statement = body::statement(reader, *home).unwrap_or_else(|(word, problem)| {
                    self.problems.push(*problem);
                    Statement { span: here, fact: Fact::Hole { word }, note: None }
                });
                block.statements.push(statement);
            }
            Open::Surface(surface) => surface_line(reader, surface, &mut self.problems),
        }
    }

    /// A line that is not read at all.
    fn hole(&mut self, line: &str) {
        let span = self.origin.span(line);
        match &mut self.open {
            Open::Block(_, block) => {
                block.statements.push(Statement { span, fact: Fact::Hole { word: None }, note: None })
            }
            Open::Surface(surface) => surface.rows.push(Row::Hole(span)),
            Open::Joint(joint) => joint.lines.push(JointLine::Hole(span)),
            _ => {}
        }
    }
}

fn surface_line(reader: &mut Reader, surface: &mut Surface, problems: &mut Vec<Finding>) {
    let span = reader.origin.span(reader.line());
    // A line that could not be read does not begin the section: what follows it would be told as late.
    let above = surface.rows.iter().all(|row| matches!(row, Row::Hole(_)));
    match body::sort(reader, above) {
        Sort::Layer(label) => match body::label(reader, label) {
            Ok(label) => surface.rows.push(Row::Layer(super::layer::layer(reader, label, false, problems))),
            Err(problem) => {
                problems.push(*problem);
                surface.rows.push(Row::Hole(span));
            }
        },
        Sort::Place => match super::place::place(reader).and_then(|p| Ok((p, reader.finish("the end of the line")?))) {
            Ok((place, note)) => surface.rows.push(Row::Place(PlaceLine { span, place, note })),
            Err(problem) => {
                problems.push(*problem);
                surface.rows.push(Row::Hole(span));
            }
        },
        Sort::NotShown => {
            reader.bump();
            reader.bump();
            surface.rows.push(Row::NotShown(span));
            if let Err(problem) = reader.finish("the end of the line") {
                problems.push(*problem);
            }
        }
        Sort::Statement => {
            let late = !above;
            let read = body::statement(reader, Home::Surface);
            let statement = read.unwrap_or_else(|(word, problem)| {
                if !late {
                    problems.push(*problem);
                }
                Statement { span, fact: Fact::Hole { word }, note: None }
            });
            if late {
                let help = "move it above the first place or layer";
                problems.push(*unreadable(span, "statements stand above the section", help));
            }
            surface.statements.push(statement);
        }
        Sort::WrongStatement(word, problem) => {
            problems.push(*problem);
            surface.statements.push(Statement { span, fact: Fact::Hole { word: Some(word) }, note: None });
        }
        Sort::Wrong(problem) => {
            problems.push(*problem);
            surface.rows.push(Row::Hole(span));
        }
    }
}

type Titled = Result<(Name, Option<Name>), (Option<Name>, Box<Finding>)>;

fn title(reader: &mut Reader, word: &str) -> Titled {
    let name = head_name(reader, word).map_err(|problem| (None, problem))?;
    match end_of_head(reader, Some(&name)) {
        Ok(note) => Ok((name, note)),
        Err(problem) => Err((Some(name), problem)),
    }
}

/// The name of a stanza.
pub(super) fn head_name(reader: &mut Reader, word: &str) -> Read<Name> {
    let Some(text) = reader.word() else {
        let help = format!("give it a name of one word: `{} main`", word.to_lowercase());
        return Err(incomplete(reader.before(), format!("this {} has no name", quote(word)), help));
    };
    if let Some(bare) = text.strip_suffix(':') {
        let help = format!("write {} without the colon", quote(bare));
        return Err(unreadable(reader.here(), "a stanza's name takes no colon", help));
    }
    reader.plain_name("a name")
}

/// The title that may end a head line.
pub(super) fn end_of_head(reader: &mut Reader, name: Option<&Name>) -> Read<Option<Name>> {
    if let (Some(second), Some(name)) = (reader.word(), name) {
        let help = format!("write `{}-{second}`; a title goes in quotes", name.text);
        return Err(unreadable(reader.here(), "a name is one word", help));
    }
    reader.finish("a title in quotes")
}

/// A trouble of a line in words.
pub(super) fn told(origin: Origin, trouble: Trouble) -> Box<Finding> {
    match trouble {
        Trouble::Hidden(text) => {
            let code = text.chars().next().map_or(0, u32::from);
            let help = if text == "\r" {
                "save the file with ordinary line ends"
            } else {
                "delete it; it cannot be seen and may hide what is written"
            };
            unreadable(origin.span(text), format!("a character that cannot be seen, U+{code:04X}"), help)
        }
        Trouble::Long(text) => limit(
            origin.span(text),
            format!("this line has more than {} characters", limits::LINE_CHARS),
            "split it: a line goes on after a trailing `,` or `+`",
        ),
        Trouble::Joined(text) => limit(
            origin.span(text),
            format!("this line goes on over more than {} lines", limits::JOINED),
            "end it: no `,` or `+` at the end",
        ),
    }
}
