//! The harmful changes of a detail: one at a time, as edits of its text at the spans of its tree.

use std::ops::Range;

use dewlap::base::span::{FileId, Span};
use dewlap::syntax::ast::{
    Amount, Attribute, Item, Joint, JointKind, JointLine, PieceLine, PieceSeams, Sentence, Shape, Spot, Stanza, Toward,
    Verb,
};
use dewlap::syntax::parse;

/// A change of one thing.
pub struct Change {
    /// Where the changed line stands.
    pub span: Span,
    /// What sort of change.
    pub class: &'static str,
    /// The joint it is made at.
    pub joint: String,
    /// The line it is made in, as written.
    pub line: String,
    /// The text with the change.
    pub text: String,
}

/// All changes of a text.
pub fn changes(text: &str) -> Vec<Change> {
    let parsed = parse(FileId(0), text);
    let joints =
        parsed.tree.stanzas.iter().filter_map(|s| if let Stanza::Joint(joint) = s { Some(joint) } else { None });
    joints.flat_map(|joint| Editor { text, joint }.changes()).collect()
}

struct Editor<'a> {
    text: &'a str,
    joint: &'a Joint,
}

impl Editor<'_> {
    fn changes(&self) -> Vec<Change> {
        let mut all = Vec::new();
        for line in &self.joint.lines {
            match line {
                JointLine::Piece(piece) => self.of_piece(piece, &mut all),
                JointLine::Sentence(sentence) => self.of_sentence(sentence, &mut all),
                _ => {}
            }
        }
        all
    }

    fn of_piece(&self, piece: &PieceLine, all: &mut Vec<Change>) {
        for shape in &piece.shapes {
            let class = match &shape.value {
                Shape::EndDams(_) => "end dams removed",
                Shape::BackDam(_) => "back dam removed",
                Shape::Drip => "drip removed",
                Shape::Seams(PieceSeams::Open) => continue,
                Shape::Seams(_) => {
                    let open = [(shape.span.range(), "open joints".to_string())];
                    all.push(self.put("seams of a piece opened", piece.span, &open));
                    continue;
                }
                Shape::Slack(_) => "slack removed",
                Shape::Slope(_, toward) => {
                    if *toward == Toward::Outward {
                        let inward = self.at(shape.span).replace("outward", "inward");
                        all.push(self.put("slope turned inward", piece.span, &[(shape.span.range(), inward)]));
                    }
                    "slope removed"
                }
                _ => continue,
            };
            all.push(self.put(class, piece.span, &[(self.with_comma(shape.span), String::new())]));
        }
    }

    fn of_sentence(&self, s: &Sentence, all: &mut Vec<Change>) {
        let mut put = |class, edits: &[(Range<usize>, String)]| all.push(self.put(class, s.span, edits));
        let gone = [(self.whole_line(s.span), String::new())];
        let to = |length: &Amount, figure: &str| [(length.span().range(), figure.to_string())];
        match s.verb.value {
            Verb::LapsOver => {
                put("lap removed", &gone);
                if let Some(object) = &s.object {
                    let (a, b) = (s.subject.span, object.span);
                    put("lap turned round", &[(a.range(), self.at(b)), (b.range(), self.at(a))]);
                }
                if let Some(bead) = self.foot_of_unit(s) {
                    put("sill sealed", &[(self.whole_line(s.span), self.whole(s.span) + &bead)]);
                }
                if let Some(length) = &s.length {
                    put("lap cut to 1/4 in", &to(length, "1/4 in"));
                }
            }
            Verb::SealsTo => put("seal removed", &gone),
            Verb::Butts => put("butt removed", &gone),
            Verb::Fills => put("filler removed", &gone),
            Verb::DrainsTo => put("exit removed", &gone),
            Verb::RunsPast if self.piece(&s.subject) => {
                put("free edge drawn back", &[(s.verb.span.range(), "stops short of".to_string())]);
                if self.stands_on(s) {
                    put("free edge sealed", &[(self.whole_line(s.span), self.whole(s.span) + &self.bead(s))]);
                }
            }
            Verb::Clears => {
                if let Some(length) = &s.length {
                    put("clearance cut to 1/8 in", &to(length, "1/8 in"));
                    let touch = [(
                        s.verb.span.start as usize..length.span().end as usize,
                        format!("touches {}", self.object(s)),
                    )];
                    put("clearance gone", &touch);
                }
            }
            Verb::TucksInto => {
                put("slot removed", &gone);
                if let Some(length) = &s.length {
                    put("slot cut to 1/4 in", &to(length, "1/4 in"));
                }
            }
            Verb::TurnsUp => {
                put("upturn removed", &gone);
                if let Some(length) = &s.length {
                    put("upturn cut to 1 in", &to(length, "1 in"));
                }
            }
            _ => {}
        }
        for word in &s.attributes {
            let class = match word.value {
                Attribute::Sealed(_) => "`sealed` removed",
                Attribute::Taped(_) => "`taped` removed",
                Attribute::Bonded => "`bonded` removed",
                Attribute::Welded => "`welded` removed",
                Attribute::Rolled => "`rolled` removed",
                Attribute::Primed => "`primed` removed",
                Attribute::Pointed => "`pointed` removed",
                Attribute::EdgeUnder(_) => "`edge under` removed",
                Attribute::Weeps(_) => "weeps removed",
                _ => continue,
            };
            all.push(self.put(class, s.span, &[(self.with_comma(word.span), String::new())]));
        }
    }

    /// The sentence that seals what drains under its edge.
    fn bead(&self, s: &Sentence) -> String {
        format!("  {} seals to {} with silicone\n", self.object(s), self.at(s.subject.span))
    }

    fn piece(&self, item: &Item) -> bool {
        item.edge.is_none() && self.pieces().any(|p| p.label.text == item.name.text)
    }

    /// Whether the face that an edge runs past stands on it: what is sealed there shuts the water in.
    fn stands_on(&self, s: &Sentence) -> bool {
        let sentences =
            self.joint.lines.iter().filter_map(|l| if let JointLine::Sentence(s) = l { Some(s) } else { None });
        let covers = |a: &Item, b: &Item| {
            sentences.clone().any(|l| {
                let object = l.object.as_ref().map(|o| &o.name.text);
                l.verb.value == Verb::LapsOver && l.subject.name.text == a.name.text && object == Some(&b.name.text)
            })
        };
        // A section is written from the weather inward: what stands outside of the sheet that laps comes first.
        let row = |item: &Item| self.text.find(&format!("\n  {}:", item.name.text));
        let outside = |o: &Item| {
            let mut over = sentences.clone().filter(|l| {
                l.verb.value == Verb::LapsOver
                    && l.object.as_ref().is_some_and(|l| l.name.text == s.subject.name.text)
                    && !self.piece(&l.subject)
            });
            over.any(|l| row(o) < row(&l.subject))
        };
        s.object.as_ref().is_some_and(|o| !self.piece(o) && outside(o) && !covers(&s.subject, o))
    }

    /// Of what drains at a sill on to the wall below: the sentence that seals the unit down over its way out.
    fn foot_of_unit(&self, s: &Sentence) -> Option<String> {
        let unit = self.pieces().next().filter(|_| self.joint.kind.value == JointKind::Opening)?;
        let mut at_sill = self.pieces().filter(|p| p.places.iter().any(|spot| spot.value == Spot::Sill));
        let object = s.object.as_ref().filter(|o| !self.piece(o))?;
        at_sill
            .any(|p| p.label.text == s.subject.name.text)
            .then(|| format!("  {} seals to {} with silicone, at sill\n", unit.label.text, object.name.text))
    }

    fn pieces(&self) -> impl Iterator<Item = &PieceLine> {
        self.joint.lines.iter().filter_map(|l| if let JointLine::Piece(p) = l { Some(p.as_ref()) } else { None })
    }

    fn object(&self, s: &Sentence) -> String {
        s.object.as_ref().map(|o| self.at(o.span)).unwrap_or_default()
    }

    fn put(&self, class: &'static str, line: Span, edits: &[(Range<usize>, String)]) -> Change {
        let mut text = self.text.to_string();
        let mut edits = edits.to_vec();
        edits.sort_by_key(|(range, _)| std::cmp::Reverse(range.start));
        for (range, words) in edits {
            text.replace_range(range, &words);
        }
        let joint = self.joint.name.as_ref().map(|n| n.text.clone()).unwrap_or_default();
        Change { span: line, class, joint, line: self.at(line), text }
    }

    fn at(&self, span: Span) -> String {
        self.text[span.range()].to_string()
    }

    /// A word after a comma, with the comma.
    fn with_comma(&self, span: Span) -> Range<usize> {
        let before = &self.text[..span.start as usize];
        before.rfind(',').expect("a comma before the word")..span.end as usize
    }

    /// A logical line, from its indentation to its end.
    fn whole_line(&self, span: Span) -> Range<usize> {
        let start = self.text[..span.start as usize].rfind('\n').map_or(0, |at| at + 1);
        let end = self.text[span.end as usize..].find('\n').map_or(self.text.len(), |at| span.end as usize + at + 1);
        start..end
    }

    fn whole(&self, span: Span) -> String {
        self.text[self.whole_line(span)].to_string()
    }
}
