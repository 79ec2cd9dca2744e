//! What is tried: the rows of the yard, and the materials of the catalog that can lie in a section.
//!
//! Invariant: whatever is not tried is told with its reason.

use super::slot::{Place, loose};
use super::{Asked, From, LeftOut};
use crate::catalog::{self, Lookup, Material, Seams};
use crate::shelf::yard::{Row, State};
use crate::syntax;
use crate::syntax::ast::{Amount, Build, MaterialRef, Name};

/// Kinds of the catalog that go into joints, openings and holes, or lie on a layer: none is a layer of a section.
pub(super) const NO_LAYERS: [&str; 8] = ["air", "flashing", "frame", "hardware", "paint", "sealant", "tape", "trim"];

/// A material with its figures, as if it were written in the slot.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub name: String,
    pub from: From,
    pub build: Build,
}

/// What is to be tried, before anything is looked up.
#[derive(Clone, Copy, Debug)]
pub(super) enum Wanted<'a> {
    Row(&'a Row),
    Key(&'static str),
}

/// All that is asked for, the yard first.
pub(super) fn all<'a>(asked: &Asked<'a>) -> Vec<Wanted<'a>> {
    let catalog = asked.all.then(catalog::material_keys).into_iter().flatten();
    asked.yard.iter().map(Wanted::Row).chain(catalog.map(Wanted::Key)).collect()
}

/// A candidate, or why it is not tried.
pub(super) fn of(wanted: Wanted<'_>, place: &Place) -> Result<Candidate, LeftOut> {
    match wanted {
        Wanted::Row(row) => of_row(row, place),
        Wanted::Key(key) => match catalog::material(key).found() {
            Some(material) => of_catalog(material, place),
            None => {
                Err(LeftOut { name: key.to_string(), from: From::Catalog, why: "it could not be read".to_string() })
            }
        },
    }
}

fn of_row(row: &Row, place: &Place) -> Result<Candidate, LeftOut> {
    let from = || From::Yard(Box::new(row.clone()));
    let left = |why: &str| LeftOut { name: row.what.clone(), from: from(), why: why.to_string() };
    if row.state == State::Broken {
        return Err(left("it is broken"));
    }
    let build = syntax::build_at(place.stuff, &row.what).map_err(|problem| left(&problem.message))?;
    let section = matches!(build.material, MaterialRef::Section { .. });
    match (section, place.members) {
        (true, false) => return Err(left(SECTION)),
        (false, true) => return Err(left(NO_SECTION)),
        _ => {}
    }
    if let (MaterialRef::Named(name), false) = (&build.material, section)
        && let Lookup::Found(material) = catalog::material(&name.text)
    {
        fits(material, place).map_err(left)?;
    }
    Ok(Candidate { name: row.what.clone(), from: from(), build })
}

const SECTION: &str = "members stand at a spacing, and none do here";
const NO_SECTION: &str = "it is no member with a section, like `2x6`";

/// Whether a material can lie in the slot at all.
fn fits(material: &Material, place: &Place) -> Result<(), &'static str> {
    if NO_LAYERS.contains(&material.kind()) || material.seams() == Seams::Piece {
        return Err("it is no layer of a section");
    }
    if loose(material) && !place.loose {
        return Err("batts and fills lie in bays or on something, not in this slot");
    }
    Ok(())
}

fn of_catalog(material: &Material, place: &Place) -> Result<Candidate, LeftOut> {
    let left = |why: &str| LeftOut { name: material.key().to_string(), from: From::Catalog, why: why.to_string() };
    if place.members {
        return Err(left(NO_SECTION));
    }
    if place.material.is_some_and(|drawn| drawn.key() == material.key()) {
        return Err(left("it is what is drawn"));
    }
    fits(material, place).map_err(left)?;
    let fixed = material.resistance_is_fixed() && material.permeance_is_fixed();
    let amounts: Vec<Amount> = match (material.usual_thickness(), place.written) {
        (Some(_), _) => Vec::new(),
        (None, Some(written)) => vec![written],
        (None, None) if fixed => Vec::new(),
        (None, None) => return Err(left("no thickness of it is usual, and the slot has none written")),
    };
    let name = Name { text: material.key().to_string(), span: place.stuff };
    let build = Build { material: MaterialRef::Named(name), amounts, spacing: None, span: place.stuff };
    Ok(Candidate { name: material.key().to_string(), from: From::Catalog, build })
}
