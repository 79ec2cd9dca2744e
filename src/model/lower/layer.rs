//! One layer line.
//!
//! Invariant: a line that can't be resolved gives a hole in its place.

use super::climate::short;
use super::context::Context;
use super::seams::Said;
use super::stuff::Resolved;
use crate::base::span::Spanned;
use crate::catalog::Material;
use crate::model::layer::{Body, Choice, Gap, Layer, Openings, Stuff};
use crate::syntax::ast::{self, Build, Fill, LayerLine, MaterialRef, Word};

impl<'a> Context<'a> {
    /// Lowers a layer line.
    pub fn lower_layer(&mut self, line: &LayerLine) -> Layer {
        let words: Vec<&Spanned<Word>> = self.own_words(line).iter().chain(&line.words).collect();
        let body = self.body(line, &words).unwrap_or(Body::Hole);
        let said = self.words(&words, material_of(&body), &line.label);
        self.hollows(&body, &words);
        let (body, said) = self.place_openings(body, said, line);
        let stuff_span = match &line.stuff {
            ast::Stuff::One(build) => build.span,
            ast::Stuff::Hole(span) => *span,
            ast::Stuff::Choices(builds) | ast::Stuff::Parts(builds) => {
                builds.iter().map(|b| b.span).reduce(crate::base::span::Span::to).unwrap_or(line.span)
            }
        };
        Layer {
            label: line.label.text.clone(),
            span: line.label.span,
            line: line.span,
            stuff_span,
            body,
            seams: said.seams,
            relied_on: line.controls.clone(),
            words: said.words,
        }
    }

    /// The words of the author's own material, which stand before those of the line.
    fn own_words(&self, line: &LayerLine) -> &'a [Spanned<Word>] {
        let own = match &line.stuff {
            ast::Stuff::One(Build { material: MaterialRef::Named(name), .. }) => self.materials.get(name.text.as_str()),
            _ => None,
        };
        own.map(|o| o.words.as_slice()).unwrap_or_default()
    }

    fn body(&mut self, line: &LayerLine, words: &[&Spanned<Word>]) -> Option<Body> {
        let label = &line.label;
        match &line.stuff {
            ast::Stuff::Hole(_) => None,
            ast::Stuff::One(build) => {
                let section = matches!(build.material, MaterialRef::Section { .. });
                if section || build.spacing.is_some() {
                    return self.members(build, label, words).map(|members| Body::Members(Box::new(members)));
                }
                match self.resolve(build, &label.text)? {
                    Resolved::Stuff(stuff) => Some(Body::Sheet(Choice::one(stuff))),
                    Resolved::Panel(parts) => Some(Body::Panel(parts)),
                    Resolved::Air(Some(thickness)) => {
                        Some(Body::Gap(Gap { thickness, openings: Openings::Unknown, bridged: false }))
                    }
                    Resolved::Air(None) => {
                        let message = format!("how thick is the gap `{}`?", short(&label.text));
                        self.incomplete(build.span, message, "write it like `air 1 in`");
                        None
                    }
                }
            }
            ast::Stuff::Choices(builds) => self.stand_in_body(builds, line),
            ast::Stuff::Parts(builds) => {
                let parts: Option<Vec<Stuff>> = builds
                    .iter()
                    .map(|b| match self.resolve(b, &label.text)? {
                        Resolved::Stuff(stuff) => Some(stuff),
                        Resolved::Panel(_) | Resolved::Air(_) => {
                            self.contradiction(
                                b.span,
                                "this can't be part of a panel",
                                None,
                                "write it as a layer of its own",
                            );
                            None
                        }
                    })
                    .collect();
                parts.map(Body::Panel)
            }
        }
    }

    fn stand_in_body(&mut self, builds: &[Build], line: &LayerLine) -> Option<Body> {
        let mut stuffs = Vec::new();
        for build in builds {
            match self.resolve(build, &line.label.text)? {
                Resolved::Stuff(stuff) => stuffs.push(stuff),
                Resolved::Panel(_) | Resolved::Air(_) => {
                    let help = "stand-ins are single materials";
                    self.contradiction(build.span, "this can't stand in for another layer", None, help);
                    return None;
                }
            }
        }
        let span = builds.iter().map(|b| b.span).reduce(crate::base::span::Span::to)?;
        let names = stuffs.iter().map(|s| s.name.clone()).collect();
        let axis = self.stand_ins(span, &line.label.text, names);
        Some(Body::Sheet(Choice { builds: stuffs, axis: Some(axis) }))
    }

    /// A fill belongs to members. That of block or steel deck is looked up and said to be left out of the sums.
    fn hollows(&mut self, body: &Body, words: &[&Spanned<Word>]) {
        if matches!(body, Body::Members(_) | Body::Hole) {
            return;
        }
        for word in words {
            match &word.value {
                Word::Bays(_) => {
                    let help = "give members their spacing, like `2x6 at 16 in, bays glass-batt`";
                    self.contradiction(word.span, "only members at a spacing have bays", None, help);
                }
                Word::Cores(Fill::Parts(parts)) | Word::Flutes(Fill::Parts(parts)) => {
                    let known = parts.iter().all(|part| match &part.material {
                        MaterialRef::Named(name) if name.text != "air" && !self.materials.contains_key(&*name.text) => {
                            self.catalog_material(name).is_some()
                        }
                        _ => true,
                    });
                    if known {
                        self.assume(word.span, "left out of the sums, which take the layer as listed");
                    }
                }
                _ => {}
            }
        }
    }

    /// Puts what is said of open ends where it belongs.
    fn place_openings(&mut self, body: Body, mut said: Said, line: &LayerLine) -> (Body, Said) {
        let body = match (body, &said.openings) {
            (Body::Gap(gap), openings) => {
                if openings.is_none() {
                    self.assume(line.label.span, "nobody said where this gap is open");
                }
                let openings = openings.as_ref().map_or(Openings::Unknown, |(o, _)| o.clone());
                Body::Gap(Gap { openings, bridged: said.bridged, ..gap })
            }
            (Body::Members(mut members), Some((openings, _))) => {
                members.openings = openings.clone();
                Body::Members(members)
            }
            (Body::Hole, _) => Body::Hole,
            (body, None) => body,
            (body, Some((openings, _))) if material_of(&body).is_some_and(Material::keeps_gap) => {
                said.words.open = Some(Box::new(openings.clone()));
                body
            }
            (body, Some((_, span))) => {
                let help = "only an air gap, a drainage mat or the bays between members can be open or closed";
                self.contradiction(*span, format!("`{}` has no ends to open", short(&line.label.text)), None, help);
                body
            }
        };
        (body, said)
    }
}

/// The one material of a body, where there is one.
fn material_of(body: &Body) -> Option<&'static Material> {
    match body {
        Body::Sheet(choice) => choice.builds.first().and_then(|s| s.material),
        Body::Panel(parts) => parts.first().and_then(|s| s.material),
        Body::Members(_) | Body::Gap(_) | Body::Hole => None,
    }
}
