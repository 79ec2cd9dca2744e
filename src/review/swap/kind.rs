//! What kind of thing a layer is: a panel, insulation, a sheet. What passes the checks in the place of another kind of
//! thing seldom does its work, which no rule asks for: it braces, it is walked on, it is seen.
//!
//! Not here: how it is laid (form). Invariant: follows the catalog's kind of the material; what has none is taken as fit.

use crate::catalog::Material;
use crate::model::layer::{Body, Stuff};

/// A kind of thing, coarser than the kinds of the catalog.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Panels of wood, gypsum or cement.
    Panel,
    /// Panels with a core, forms that stay.
    Cored,
    /// Boards, planks and timber.
    Lumber,
    /// Members at a spacing.
    Members,
    /// Boards, batts, fills and foam that insulate.
    Insulation,
    /// Membranes, papers and foils.
    Sheet,
    /// What is brushed or poured on in the place of a sheet.
    Coating,
    /// What a wall wears.
    Cladding,
    /// What a roof wears.
    Roofing,
    /// Metal in sheets that are bent to lie on walls and roofs.
    SheetMetal,
    /// Other metal.
    Metal,
    /// Units, stone and concrete.
    Masonry,
    /// Plaster and render.
    Plaster,
    /// What floors and walls are finished with.
    Finish,
    /// Glass and what stands for it.
    Glass,
    /// Soil and stone as it lies.
    Ground,
}

/// Kinds of the catalog, each with its kind of thing.
const KINDS: [(&str, Kind); 21] = [
    ("batt", Kind::Insulation),
    ("board-insulation", Kind::Insulation),
    ("cladding", Kind::Cladding),
    ("coating", Kind::Coating),
    ("concrete", Kind::Masonry),
    ("finish", Kind::Finish),
    ("foil", Kind::Sheet),
    ("glass", Kind::Glass),
    ("ground", Kind::Ground),
    ("gypsum-board", Kind::Panel),
    ("loose-fill", Kind::Insulation),
    ("lumber", Kind::Lumber),
    ("masonry", Kind::Masonry),
    ("membrane", Kind::Sheet),
    ("metal", Kind::Metal),
    ("panel", Kind::Cored),
    ("paper", Kind::Sheet),
    ("plaster", Kind::Plaster),
    ("roofing", Kind::Roofing),
    ("spray-foam", Kind::Insulation),
    ("wood-panel", Kind::Panel),
];

/// Materials that are used otherwise than most of their kind.
const APART: [(&str, Kind); 7] = [
    ("aluminum", Kind::SheetMetal),
    ("cement-board", Kind::Panel),
    ("copper", Kind::SheetMetal),
    ("lead", Kind::SheetMetal),
    ("sheet-steel", Kind::SheetMetal),
    ("stainless-steel", Kind::SheetMetal),
    ("zinc", Kind::SheetMetal),
];

/// What may stand for what: the kind of the slot, and those near to it. Our own choice, by what is done on a site: boards
/// sheathe as panels do, slates hang on walls, siding lies on no roof.
const NEAR: [(Kind, &[Kind]); 10] = [
    (Kind::Panel, &[Kind::Lumber]),
    (Kind::Lumber, &[Kind::Panel, Kind::Cladding]),
    (Kind::Sheet, &[Kind::Coating]),
    (Kind::Coating, &[Kind::Sheet]),
    (Kind::Cladding, &[Kind::Lumber, Kind::Roofing, Kind::SheetMetal, Kind::Plaster]),
    (Kind::Roofing, &[Kind::SheetMetal]),
    (Kind::SheetMetal, &[Kind::Metal, Kind::Roofing, Kind::Cladding]),
    (Kind::Metal, &[Kind::SheetMetal]),
    (Kind::Plaster, &[Kind::Panel, Kind::Cladding]),
    (Kind::Finish, &[Kind::Lumber, Kind::Panel]),
];

impl Kind {
    /// "panels".
    pub fn words(self) -> &'static str {
        match self {
            Self::Panel => "panels",
            Self::Cored => "panels with a core",
            Self::Lumber => "lumber",
            Self::Members => "members",
            Self::Insulation => "insulation",
            Self::Sheet => "sheets",
            Self::Coating => "coatings",
            Self::Cladding => "cladding",
            Self::Roofing => "roofing",
            Self::SheetMetal => "sheet metal",
            Self::Metal => "metal",
            Self::Masonry => "masonry and concrete",
            Self::Plaster => "plaster and render",
            Self::Finish => "finishes",
            Self::Glass => "glass",
            Self::Ground => "soil and stone",
        }
    }

    fn near(self, other: Self) -> bool {
        NEAR.iter().any(|(slot, near)| *slot == self && near.contains(&other))
    }
}

/// How near two things are in kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Nearness {
    /// Of one kind in the catalog, or one of them is of none that is known.
    Alike,
    /// One kind of thing.
    Same,
    /// May stand for the other.
    Near,
    /// Another kind of thing.
    Other,
}

impl Nearness {
    /// "same", "near" or "other".
    pub fn word(self) -> &'static str {
        match self {
            Self::Alike | Self::Same => "same",
            Self::Near => "near",
            Self::Other => "other",
        }
    }
}

/// What a layer is, coarse and fine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Thing {
    /// The kind of thing.
    pub kind: Kind,
    /// The catalog's kind; empty where there is none.
    sort: &'static str,
}

impl Thing {
    /// None of air, of a hole and of what nobody knows; of stand-ins the first.
    pub(super) fn of(body: &Body) -> Option<Self> {
        let plain = |kind| Some(Self { kind, sort: "" });
        match body {
            Body::Sheet(choice) => choice.builds.first().and_then(of_stuff),
            Body::Panel(_) => plain(Kind::Cored),
            Body::Members(_) => plain(Kind::Members),
            Body::Gap(_) | Body::Hole => None,
        }
    }

    /// How near what takes a slot is to what was there.
    pub(super) fn nearness(slot: Option<Self>, own: Option<Self>) -> Nearness {
        match slot.zip(own) {
            None => Nearness::Alike,
            Some((slot, own)) if slot == own => Nearness::Alike,
            Some((slot, own)) if slot.kind == own.kind => Nearness::Same,
            Some((slot, own)) if slot.kind.near(own.kind) => Nearness::Near,
            Some(_) => Nearness::Other,
        }
    }
}

fn of_stuff(stuff: &Stuff) -> Option<Thing> {
    let material: &'static Material = stuff.material?;
    let found = |table: &[(&str, Kind)], word: &str| table.iter().find(|(w, _)| *w == word).map(|(_, kind)| *kind);
    let kind = found(&APART, material.key()).or_else(|| found(&KINDS, material.kind()))?;
    Some(Thing { kind, sort: material.kind() })
}

#[cfg(test)]
mod tests {
    use super::super::candidates::NO_LAYERS;
    use super::*;
    use crate::catalog::{self, Lookup};

    #[test]
    fn every_kind_of_the_catalog_is_one_or_is_no_layer() {
        for kind in catalog::material_kinds() {
            let known = KINDS.iter().filter(|(w, _)| *w == kind).count();
            assert_eq!(known, usize::from(!NO_LAYERS.contains(&kind)), "{kind}");
        }
        for (key, _) in APART {
            assert!(matches!(catalog::material(key), Lookup::Found(m) if m.key() == key), "{key}");
        }
    }

    #[test]
    fn near_goes_one_way_where_it_does_on_a_site() {
        assert!(Kind::Cladding.near(Kind::Roofing) && !Kind::Roofing.near(Kind::Cladding));
        assert!(!Kind::Panel.near(Kind::Insulation) && !Kind::Insulation.near(Kind::Panel));
        let thing = |kind, sort| Some(Thing { kind, sort });
        let (wood, gypsum) = (thing(Kind::Panel, "wood-panel"), thing(Kind::Panel, "gypsum-board"));
        assert_eq!(Thing::nearness(wood, wood), Nearness::Alike);
        assert_eq!(Thing::nearness(wood, gypsum), Nearness::Same);
        assert_eq!(Thing::nearness(wood, thing(Kind::Sheet, "foil")), Nearness::Other);
        assert_eq!(Thing::nearness(None, gypsum), Nearness::Alike);
    }
}
