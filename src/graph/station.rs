//! Stations: the places along a joint at which it is looked at, and which piece and sentence counts at each.
//!
//! A seam has a run and, where something is said of them, ends. An opening has a head, jambs and a sill; a penetration
//! a top (uphill), sides and a bottom.
//! Invariant: whatever is said without a place counts at every station.

use crate::model::Job;
use crate::model::joint::{Joint, Link, Thing};
use crate::syntax::ast::{Edge, JointKind, Spot};

/// A place along a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Station {
    /// All along a seam.
    Run,
    /// A place of its own.
    At(Spot),
}

/// What a sentence's place comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Where {
    /// At every station.
    All,
    /// At these.
    At(Vec<Spot>),
    /// Its two sides are at different places and meet at their corner: the subject's and the object's.
    Corner(Vec<Spot>, Vec<Spot>),
}

/// The stations of a joint in the order they are told: high before low.
pub fn stations(job: &Job, joint: &Joint) -> Vec<Station> {
    match joint.kind {
        JointKind::Opening => [Spot::Head, Spot::Jambs, Spot::Sill].map(Station::At).to_vec(),
        JointKind::Penetration => [Spot::Top, Spot::Sides, Spot::Bottom].map(Station::At).to_vec(),
        JointKind::Joint => {
            let said = |spot: Spot| {
                joint.links.iter().any(|l| match of_link(job, joint, l) {
                    Where::At(spots) => spots.iter().any(|s| *s == spot || (*s == Spot::BothEnds && both(joint, spot))),
                    Where::All | Where::Corner(..) => false,
                })
            };
            let ends = [Spot::TopEnd, Spot::HighEnd, Spot::BothEnds, Spot::LowEnd, Spot::BottomEnd];
            std::iter::once(Station::Run).chain(ends.into_iter().filter(|s| said(*s)).map(Station::At)).collect()
        }
    }
}

/// Whether a place is one of the two that `both ends` stands for: high and low on a slope, top and bottom of an upright
/// seam. A level seam's ends have no names of their own.
fn both(joint: &Joint, spot: Spot) -> bool {
    let has = |edges: &[Edge]| joint.ends.iter().any(|e| e.edge.is_some_and(|edge| edges.contains(&edge)));
    match spot {
        Spot::HighEnd | Spot::LowEnd => has(&[Edge::Rake]),
        Spot::TopEnd | Spot::BottomEnd => !has(&[Edge::Rake]) && has(&[Edge::Left, Edge::Right, Edge::Jambs]),
        Spot::BothEnds => !has(&[Edge::Rake, Edge::Left, Edge::Right, Edge::Jambs]),
        _ => false,
    }
}

/// The place of a sentence: its own, or the narrower of its two sides'.
pub fn of_link(job: &Job, joint: &Joint, link: &Link) -> Where {
    if !link.places.is_empty() {
        return Where::At(link.places.clone());
    }
    // The place of another stanza's piece is one along that stanza, and says nothing here.
    let own = |thing| joint.piece(job, thing).filter(|_| matches!(thing, Thing::Piece(_)));
    let places = |thing| own(thing).map(|p| p.places.as_slice()).unwrap_or_default();
    let (a, b) = (places(link.subject.thing), link.object.map(|o| places(o.thing)).unwrap_or_default());
    match (a.is_empty(), b.is_empty()) {
        (true, true) => Where::All,
        (true, false) => Where::At(b.to_vec()),
        (false, true) => Where::At(a.to_vec()),
        (false, false) => {
            let both: Vec<Spot> = a.iter().copied().filter(|s| b.contains(s)).collect();
            if both.is_empty() { Where::Corner(a.to_vec(), b.to_vec()) } else { Where::At(both) }
        }
    }
}

impl Where {
    /// Whether it counts at a station. An end of a seam has what the run has, and what is said of it alone.
    pub fn counts(&self, station: Station) -> bool {
        match (self, station) {
            (Self::All, _) => true,
            (Self::At(spots), Station::At(spot)) => {
                let end = matches!(spot, Spot::LowEnd | Spot::HighEnd | Spot::TopEnd | Spot::BottomEnd);
                spots.contains(&spot) || (end && spots.contains(&Spot::BothEnds))
            }
            (Self::At(_), Station::Run) | (Self::Corner(..), _) => false,
        }
    }
}

impl Station {
    /// The next one down, round a hole.
    pub fn below(self) -> Option<Self> {
        Some(Self::At(match self {
            Self::At(Spot::Head) => Spot::Jambs,
            Self::At(Spot::Jambs) => Spot::Sill,
            Self::At(Spot::Top) => Spot::Sides,
            Self::At(Spot::Sides) => Spot::Bottom,
            Self::Run | Self::At(_) => return None,
        }))
    }

    /// How it is told: "at the head"; empty for the run of a seam.
    pub fn words(self) -> &'static str {
        match self {
            Self::Run => "",
            Self::At(spot) => match spot {
                Spot::Head => "at the head",
                Spot::Jambs => "at the jambs",
                Spot::Sill => "at the sill",
                Spot::Top => "at the top",
                Spot::Sides => "at the sides",
                Spot::Bottom => "at the bottom",
                Spot::LowEnd => "at the low end",
                Spot::HighEnd => "at the high end",
                Spot::TopEnd => "at the top end",
                Spot::BottomEnd => "at the bottom end",
                Spot::BothEnds => "at both ends",
            },
        }
    }
}
