//! Materials that touch: which pair attacks, does not stick, or has to be tried first.
//!
//! Invariant: every pair names groups that exist and its source; a pair the table does not name has no verdict.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::Deserialize;

use super::material::Material;
use super::schema::{Access, Bond, Citation};
use crate::base::finding::Weight;

static TABLE: &str = include_str!("data/pairs.yaml");

/// What one material of a pair does to the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Does {
    /// Softens, dissolves, swells or corrodes it.
    Attacks,
    /// Does not stick to it.
    NoBond,
    /// Holds in some makes and fails in others.
    Unproved,
}

/// How much the pair weighs.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Heavy {
    Stop,
    Fix,
    Watch,
}

/// A set of materials by what they are.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Group {
    families: Vec<String>,
    kinds: Vec<String>,
    bonds: Vec<Bond>,
    keys: Vec<String>,
    except: Vec<String>,
}

impl Group {
    fn holds(&self, m: &Material) -> bool {
        if self.keys.iter().any(|k| k == m.key()) {
            return true;
        }
        let among = |list: &[String], word: &str| list.is_empty() || list.iter().any(|w| w == word);
        let named = !(self.families.is_empty() && self.kinds.is_empty() && self.bonds.is_empty());
        named
            && among(&self.families, m.family())
            && among(&self.kinds, m.kind())
            && (self.bonds.is_empty() || self.bonds.contains(&m.bond()))
            && !self.except.iter().any(|k| k == m.key() || k == m.family())
    }
}

/// One row.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pair {
    a: String,
    b: String,
    /// What the first does to the second.
    pub does: Does,
    weight: Heavy,
    /// Some makes of the two live together: a tested pair passes.
    #[serde(default, rename = "unless-tested")]
    pub unless_tested: bool,
    /// Why.
    pub why: String,
    /// What to do.
    pub mend: String,
    source: String,
    access: Access,
}

impl Pair {
    /// How much it weighs.
    pub fn weight(&self) -> Weight {
        match self.weight {
            Heavy::Stop => Weight::Stop,
            Heavy::Fix => Weight::Fix,
            Heavy::Watch => Weight::Watch,
        }
    }

    /// Where the row comes from.
    pub fn citation(&self) -> Citation<'_> {
        Citation { source: &self.source, access: self.access }
    }
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    groups: BTreeMap<String, Group>,
    pairs: Vec<Pair>,
}

/// The table with a bit for each group, so that no name is compared when a pair is looked for.
struct Known {
    groups: Vec<Group>,
    /// The bits of the two groups, and the row.
    pairs: Vec<(u64, u64, Pair)>,
}

fn known() -> &'static Known {
    static KNOWN: OnceLock<Known> = OnceLock::new();
    KNOWN.get_or_init(|| {
        // A test reads the same text and fails on any fault; an empty table would be silence, not a wrong verdict.
        let table: Table = serde_yaml::from_str(TABLE).unwrap_or_default();
        let bit = |name: &str| table.groups.keys().position(|k| k == name).map_or(0, bit);
        let pairs = table.pairs.into_iter().map(|p| (bit(&p.a), bit(&p.b), p)).collect();
        Known { groups: table.groups.into_values().collect(), pairs }
    })
}

fn bit(group: usize) -> u64 {
    u32::try_from(group).ok().and_then(|by| 1_u64.checked_shl(by)).unwrap_or(0)
}

impl Known {
    /// The groups that hold a material.
    fn groups_of(&self, m: &Material) -> u64 {
        let held = || self.groups.iter().enumerate().filter(|(_, g)| g.holds(m)).map(|(i, _)| bit(i));
        *m.groups.get_or_init(|| held().fold(0, |all, one| all | one))
    }
}

/// The first row that names two materials, in either order; of what does not stick only with the first put on the second.
pub fn pair(one: &Material, other: &Material) -> Option<&'static Pair> {
    let known = known();
    let (one, other) = (known.groups_of(one), known.groups_of(other));
    let fits = |(a, b, p): &&(u64, u64, Pair)| {
        let turned = p.does != Does::NoBond && a & other != 0 && b & one != 0;
        turned || (a & one != 0 && b & other != 0)
    };
    known.pairs.iter().find(fits).map(|(_, _, pair)| pair)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::{Lookup, material, materials};

    fn of(name: &str) -> &'static Material {
        match material(name) {
            Lookup::Found(found) => found,
            _ => panic!("no {name}"),
        }
    }

    #[test]
    fn every_pair_names_groups_that_hold_something() {
        let table: Table = serde_yaml::from_str(TABLE).unwrap();
        assert!(table.groups.len() <= 64, "a material holds its groups in 64 bits");
        for pair in &table.pairs {
            for name in [&pair.a, &pair.b] {
                let group = table.groups.get(name).unwrap_or_else(|| panic!("no group {name}"));
                assert!(materials().any(|m| group.holds(m)), "nothing in {name}");
            }
        }
        for name in table.groups.keys() {
            assert!(table.pairs.iter().any(|p| p.a == *name || p.b == *name), "{name} is idle");
        }
    }

    #[test]
    fn pairs_are_found_in_either_order() {
        let (strip, sheet) = (of("bitumen-sheet"), of("pvc-membrane"));
        assert_eq!(pair(strip, sheet).map(|p| p.does), Some(Does::Attacks));
        assert_eq!(pair(sheet, strip).map(|p| p.does), Some(Does::Attacks));
        assert!(pair(of("butyl-tape"), of("silicone")).is_some_and(|p| p.does == Does::NoBond));
        assert!(pair(of("silicone"), of("butyl-tape")).is_none());
        assert!(pair(of("gun-foam"), strip).is_none());
        assert!(pair(strip, of("concrete")).is_none());
    }
}
