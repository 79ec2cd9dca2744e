//! A sentence of a joint: who, what, to whom, how far, and how it is held.
//!
//! Not here: whether two sentences agree (clash). Invariant: one link a sentence, in the order written.

use super::amount::Wanted;
use super::climate::short;
use super::context::Context;
use super::names::Scope;
use crate::base::quantity::{Length, Temperature};
use crate::base::span::{Span, Spanned};
use crate::base::unit::Dimension;
use crate::model::joint::{Bead, FaceThatDay, Hold, Link, Thing, Weeps};
use crate::syntax::ast::{Attribute, Build, Sentence, Verb};

/// Temperatures between which that of a day nobody knows lies, degC.
const ANY_DAY: (f64, f64) = (-20.0, 40.0);

impl<'a> Context<'a> {
    /// Lowers a sentence.
    pub fn lower_link(&mut self, scope: &mut Scope<'_, 'a>, sentence: &'a Sentence) -> Link {
        let subject = self.item(scope, &sentence.subject);
        let object = sentence.object.as_ref().map(|o| self.item(scope, o));
        let above = sentence.above.as_ref().map(|a| self.item(scope, a));
        let what = &sentence.subject.name.text;
        let verb = sentence.verb.value;
        let length = sentence.length.as_ref().and_then(|a| self.joint_length(a, noun(verb), what));
        let mut link = Link {
            span: sentence.span,
            verb_span: sentence.verb.span,
            subject,
            verb,
            object,
            hollow: sentence.hollow.map(|h| h.value),
            length,
            length_span: sentence.length.as_ref().map(|a| a.span()),
            above,
            with: None,
            hold: Hold::default(),
            face: FaceThatDay::default(),
            bead: Bead::default(),
            spacing: None,
            weeps: None,
            overflow: false,
            tested_pair: false,
            places: Vec::new(),
            not_shown: false,
            unread: false,
        };
        if let Some(build) = &sentence.with {
            self.with(&mut link, build, None);
        }
        for attribute in &sentence.attributes {
            self.attribute(scope, &mut link, attribute, sentence);
        }
        self.check_link(&link, sentence);
        link
    }

    /// What lies between the two. A fastener may have something to be sealed with beside it.
    fn with(&mut self, link: &mut Link, build: &Build, first: Option<&Build>) {
        let label = match &build.material {
            crate::syntax::ast::MaterialRef::Named(name) => name.text.as_str(),
            _ => "with",
        };
        let Some(stuff) = self.joint_stuff(build, label) else {
            link.unread = true;
            return;
        };
        let fastens = matches!(link.verb, Verb::FastensThrough | Verb::FastensTo);
        if let (Some(first), Some(old), false) = (first, &link.with, fastens)
            && old.name != stuff.name
        {
            let help = "one sentence has one: write the other as a sentence of its own";
            self.contradiction(build.span, "two things are said to lie between these", Some(first.span), help);
        }
        link.with = Some(stuff);
    }

    fn attribute(
        &mut self,
        scope: &mut Scope<'_, 'a>,
        link: &mut Link,
        attribute: &'a Spanned<Attribute>,
        sentence: &Sentence,
    ) {
        let span = attribute.span;
        let what = sentence.subject.name.text.as_str();
        let hold = &mut link.hold;
        match &attribute.value {
            Attribute::Bonded => hold.bonded = true,
            Attribute::Sealed(build) => {
                hold.sealed = true;
                if let Some(build) = build {
                    self.with(link, build, sentence.with.as_ref());
                }
            }
            Attribute::Taped(build) => {
                hold.taped = true;
                if let Some(build) = build {
                    self.with(link, build, sentence.with.as_ref());
                }
            }
            Attribute::Welded => hold.welded = true,
            Attribute::Clamped => hold.clamped = true,
            Attribute::Nailed => hold.nailed = true,
            Attribute::Wedged => hold.wedged = true,
            Attribute::Pointed => hold.pointed = true,
            Attribute::Woven => hold.woven = true,
            Attribute::Torched => hold.torched = true,
            Attribute::EdgeUnder(item) => hold.edge_under = Some(self.item(scope, item)),
            Attribute::Spacing(amount) => link.spacing = self.joint_length(amount, "spacing", what),
            Attribute::Weeps(amount) => {
                let spacing = amount.as_ref().and_then(|a| self.joint_length(a, "spacing of weeps", what));
                link.weeps = Some(Weeps { spacing, span });
            }
            Attribute::Overflow => link.overflow = true,
            Attribute::TestedPair => link.tested_pair = true,
            Attribute::Wide(amount) => link.bead.wide = self.joint_length(amount, "width", what),
            Attribute::Deep(amount) => link.bead.deep = self.joint_length(amount, "depth", what),
            Attribute::Backed => link.bead.backed = true,
            Attribute::At(spots) => match self.places(scope.stanza.kind.value, spots) {
                Some(places) => link.places.extend(places),
                None => {
                    link.unread = true;
                    scope.holes.push(sentence.span);
                }
            },
            Attribute::NotShown => link.not_shown = true,
            Attribute::Hole => link.unread = true,
            _ => self.face(&mut link.face, attribute, what),
        }
    }

    /// The face that day.
    fn face(&mut self, face: &mut FaceThatDay, attribute: &Spanned<Attribute>, what: &str) {
        let span = attribute.span;
        match &attribute.value {
            Attribute::Primed => face.primed = true,
            Attribute::Rolled => face.rolled = true,
            Attribute::Clean => face.clean = true,
            Attribute::Dry => face.dry = true,
            Attribute::Damp => face.damp = Some(span),
            Attribute::Dusty => face.dusty = Some(span),
            Attribute::Painted => face.painted = Some(span),
            Attribute::Temperature(amount) => {
                let wanted = Wanted {
                    dimension: Dimension::Temperature,
                    make: Temperature::new,
                    ends: Some(ANY_DAY),
                    by_factor: false,
                };
                let value = self.value(amount, &wanted, || format!("temperature when `{}` went on", short(what)));
                face.temperature = value.map(|value| Spanned::new(value, amount.span()));
            }
            _ => {}
        }
    }

    /// What one sentence can get wrong by itself.
    fn check_link(&mut self, link: &Link, sentence: &'a Sentence) {
        let word = short(&sentence.subject.name.text);
        if let Some(object) = link.object
            && object.thing == link.subject.thing
            && object.thing != Thing::Hole
        {
            let help = "name the other of the two; seams within a piece are said on its line: `seams lapped 3 in`";
            self.contradiction(object.span, format!("`{word}` is tied to itself here"), None, help);
        }
        if matches!(link.subject.thing, Thing::Seam | Thing::Outdoors | Thing::Grade | Thing::Room(_)) {
            let help = "turn the sentence round: the piece or layer comes first";
            let message = format!("`{word}` is a place, and can't do anything");
            self.contradiction(link.subject.span, message, None, help);
        }
        if let (Some(length), Some(span)) = (&link.length, link.length_span)
            && length.high() <= Length::ZERO
            // The reader has refused a clearance of 0.
            && link.verb != Verb::Clears
        {
            self.nothing(link.verb, span);
        }
        let face = &link.face;
        let at = |wanted: fn(&Attribute) -> bool| sentence.attributes.iter().find(|a| wanted(&a.value)).map(|a| a.span);
        if let (Some(damp), true) = (face.damp, face.dry) {
            self.both(damp, "damp and dry", at(|a| matches!(a, Attribute::Dry)));
        }
        if let (Some(dusty), true) = (face.dusty, face.clean) {
            self.both(dusty, "dusty and clean", at(|a| matches!(a, Attribute::Clean)));
        }
    }

    /// One face can't be both.
    pub fn both(&mut self, span: Span, words: &str, other: Option<Span>) {
        self.contradiction(span, format!("one face can't be both {words}"), other, "keep what it will be on the day");
    }

    /// A length of 0.
    fn nothing(&mut self, verb: Verb, span: Span) {
        let (message, help) = match verb {
            Verb::RunsPast | Verb::StopsShort => ("past or short by 0 is flush", "write `runs to` and no length"),
            _ => ("a length of 0 holds nothing", "write the length it will have, or take the sentence out"),
        };
        self.contradiction(span, message, None, help);
    }
}

/// What the length of a sentence is called.
fn noun(verb: Verb) -> &'static str {
    match verb {
        Verb::LapsOver => "lap",
        Verb::TucksInto => "depth of the tuck",
        Verb::TurnsUp => "upturn",
        Verb::Clears => "clearance",
        Verb::RunsPast => "overrun",
        Verb::StopsShort => "shortfall",
        Verb::SealsTo
        | Verb::Butts
        | Verb::Fills
        | Verb::Touches
        | Verb::FastensThrough
        | Verb::FastensTo
        | Verb::DrainsTo
        | Verb::RunsTo => "length",
    }
}
