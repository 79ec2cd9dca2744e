//! A finding as plain data: what any floor may say about the author's text.
//!
//! Invariant: no words about how it is shown. Outputs read this; they add nothing to it.

use super::span::Span;

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Depends on workmanship or weather: inspect.
    Watch,
    /// Put right before it is covered.
    Fix,
    /// Do not build this as drawn.
    Stop,
}

impl Weight {
    /// All weights, heaviest first.
    pub const ALL: [Self; 3] = [Self::Stop, Self::Fix, Self::Watch];

    /// The word that is printed and typed.
    pub fn word(self) -> &'static str {
        match self {
            Self::Watch => "watch",
            Self::Fix => "fix",
            Self::Stop => "stop",
        }
    }
}

/// A place with a few words about it (at most some 30 characters; may be empty).
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The text that is underlined.
    pub span: Span,
    /// What to see there.
    pub text: String,
}

impl Label {
    /// A place and its words.
    pub fn new(span: Span, text: impl Into<String>) -> Self {
        Self { span, text: text.into() }
    }
}

/// A figure that a finding rests on, for machines; people read it in the detail.
#[derive(Clone, Debug, PartialEq)]
pub struct Number {
    /// What the figure is, in lower case with underscores.
    pub name: &'static str,
    /// The figure in `unit`.
    pub value: f64,
    /// The unit, SI.
    pub unit: &'static str,
}

/// A kind of change that was tried on the section, and the smallest step of it that takes the finding away.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// What kind of change, in lower case with underscores.
    pub change: &'static str,
    /// Where it does: an order with its figure ("keep indoors at or below 46 %"). Else what was tried ("drier air").
    pub words: String,
    /// Whether a step of it does. Each step that is told was run through the rules.
    pub does: bool,
    /// The figure of that step in `unit`; none where it does not do, or has no figure.
    pub value: Option<f64>,
    /// The unit, SI.
    pub unit: &'static str,
}

/// One thing found.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// `family/short-name`.
    pub rule: &'static str,
    /// How much it weighs.
    pub weight: Weight,
    /// What is wrong here: at most 80 characters, lower case, no full stop.
    pub message: String,
    /// The smallest text that has to change.
    pub primary: Label,
    /// Other places that belong to it.
    pub others: Vec<Label>,
    /// Why it matters, with the numbers, their units and their source. May be empty.
    pub detail: String,
    /// What to do: one order with the computed figure. May be empty.
    pub help: String,
    /// The surface it is about.
    pub surface: Option<String>,
    /// The joint it is about.
    pub joint: Option<String>,
    /// The figures.
    pub numbers: Vec<Number>,
    /// Changes that were tried, the smallest that does first.
    pub answers: Vec<Answer>,
}

impl Finding {
    /// A finding with what every finding has; the rest is added by the methods below.
    pub fn new(rule: &'static str, weight: Weight, span: Span, message: impl Into<String>) -> Self {
        Self {
            rule,
            weight,
            message: message.into(),
            primary: Label::new(span, ""),
            others: Vec::new(),
            detail: String::new(),
            help: String::new(),
            surface: None,
            joint: None,
            numbers: Vec::new(),
            answers: Vec::new(),
        }
    }

    /// Words under the primary place.
    pub fn label(mut self, text: impl Into<String>) -> Self {
        self.primary.text = text.into();
        self
    }

    /// A further place.
    pub fn also(mut self, span: Span, text: impl Into<String>) -> Self {
        self.others.push(Label::new(span, text));
        self
    }

    /// Why it matters.
    pub fn detail(mut self, text: impl Into<String>) -> Self {
        self.detail = text.into();
        self
    }

    /// What to do.
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = text.into();
        self
    }

    /// The surface it is about.
    pub fn surface(mut self, name: impl Into<String>) -> Self {
        self.surface = Some(name.into());
        self
    }

    /// A figure it rests on.
    pub fn number(mut self, name: &'static str, value: f64, unit: &'static str) -> Self {
        self.numbers.push(Number { name, value, unit });
        self
    }
}
