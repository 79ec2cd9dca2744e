//! What a sentence speaks of, resolved; and what is said when it can't be.
//!
//! Invariant: an item that can't be resolved is a hole, and the joint keeps its span.

use super::climate::short;
use super::context::Context;
use super::edges;
use super::names::{Scope, Trouble, cuts};
use crate::base::near;
use crate::base::span::Spanned;
use crate::model::joint::{Party, Thing};
use crate::syntax::ast::{Edge, Half, Item, Name};

impl<'a> Context<'a> {
    /// Resolves an item.
    pub fn item(&mut self, scope: &mut Scope<'_, 'a>, item: &'a Item) -> Party {
        let edge = item.edge.map(|e| e.value);
        let found = scope.find(&self.job, &item.name.text, item.half.map(|h| h.value), edge);
        let mut thing = self.found(scope, &item.name, edge, found);
        if let Some(half) = item.half {
            self.set_half(scope, &mut thing, half, &item.name);
        }
        if let (Some(edge), Thing::Piece(_) | Thing::Other { .. }) = (item.edge, thing) {
            let message = format!("`{}` is a piece: it has no edge `{}`", short(&item.name.text), edge.value.word());
            self.contradiction(edge.span, message, None, "take the word out; only a surface has edges");
        }
        if thing == Thing::Hole {
            scope.holes.push(item.span);
        }
        Party { thing, span: item.span }
    }

    /// Resolves a name that has neither half nor edge.
    pub fn thing(&mut self, scope: &mut Scope<'_, 'a>, name: &'a Name) -> Thing {
        let found = scope.find(&self.job, &name.text, None, None);
        let thing = self.found(scope, name, None, found);
        if thing == Thing::Hole {
            scope.holes.push(name.span);
        }
        thing
    }

    fn found(
        &mut self,
        scope: &mut Scope<'_, 'a>,
        name: &'a Name,
        edge: Option<Edge>,
        found: Result<Thing, Trouble>,
    ) -> Thing {
        match found {
            Ok(thing) => return thing,
            Err(trouble) if scope.told.insert((&name.text, edge)) => self.trouble(scope, name, trouble),
            Err(_) => {}
        }
        Thing::Hole
    }

    fn trouble(&mut self, scope: &Scope<'_, 'a>, name: &Name, trouble: Trouble) {
        let word = short(&name.text);
        match trouble {
            Trouble::Lost => {}
            Trouble::Unknown => self.unknown_item(scope, name),
            Trouble::Two(one, two) => {
                let bare = &name.text;
                let (one, two) = (scope.name_of(&self.job, one), scope.name_of(&self.job, two));
                let help = format!("write {}", near::one_of(&[format!("{one}.{bare}"), format!("{two}.{bare}")]));
                let message = format!("`{word}` is in two of the things that meet here");
                self.contradiction(name.span, message, None, help);
            }
            Trouble::Own(of) => {
                let (bare, surface) = (&name.text, scope.name_of(&self.job, of));
                let message = format!("`{word}` is a piece here and a layer of `{}`", short(surface));
                let help = format!("give the piece another name; `{surface}.{bare}` is the layer");
                self.contradiction(name.span, message, None, help);
            }
            Trouble::NotHere => {
                let surface = name.text.split('.').next().unwrap_or_default();
                let message = format!("surface `{}` does not meet here", short(surface));
                self.unknown(name.span, message, &[], "name one of its edges in the line `joins`, or take this out");
            }
            Trouble::NoPart(has) => {
                let last = name.text.rsplit('.').next().unwrap_or_default();
                let near = near::nearest(last, has.iter().take(near::AMONG).map(String::as_str));
                let front = name.text.strip_suffix(last).unwrap_or_default().trim_end_matches('.');
                let otherwise = match has.as_slice() {
                    [] => format!("`{}` has no parts of its own", short(front)),
                    few if few.len() <= 8 => format!("it has {}", near::one_of(few)),
                    _ => "name one of its layers or pieces".to_string(),
                };
                self.unknown(
                    name.span,
                    format!("there is no `{}` in `{}`", short(last), short(front)),
                    &near,
                    &otherwise,
                );
            }
            Trouble::NoEdge(has) => {
                let message = format!("`{word}` has no such edge");
                self.contradiction(name.span, message, None, format!("it has {}", edges::list(has)));
            }
        }
    }

    fn unknown_item(&mut self, scope: &Scope<'_, '_>, name: &Name) {
        let near = near::nearest(&name.text, scope.names(&self.job).take(near::AMONG));
        // A line that could not be read may be the one that names it.
        if near.is_empty() && scope.unread {
            return;
        }
        let near: Vec<String> = near.into_iter().map(str::to_string).collect();
        let near: Vec<&str> = near.iter().map(String::as_str).collect();
        let otherwise = "name a piece of this joint, a layer of a surface that meets here, or `joint.piece` of another";
        self.unknown(name.span, format!("there is no `{}` at this joint", short(&name.text)), &near, otherwise);
    }

    /// Only a layer that goes on past the joint has an upper and a lower half.
    fn set_half(&mut self, scope: &Scope<'_, '_>, thing: &mut Thing, half: Spanned<Half>, name: &Name) {
        let word = short(&name.text);
        match thing {
            Thing::Hole => {}
            Thing::Layer { end, half: own, .. } | Thing::Surface { end, half: own } => {
                if scope.ends.get(*end).is_some_and(cuts) {
                    *own = Some(half.value);
                } else {
                    let message = format!("`{word}` ends here, so it has no halves");
                    let help = "take the word out; halves are for a `face` and for what is cut by a hole";
                    self.contradiction(half.span, message, None, help);
                }
            }
            _ => {
                let message = format!("`{word}` is no layer, so it has no halves");
                self.contradiction(half.span, message, None, "take the word out");
            }
        }
    }
}
