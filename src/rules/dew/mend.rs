//! The smallest change that mends a section, found by trying it.
//!
//! A change is tried on a ladder of figures one can buy or set; the smallest step that will do is found by halving and
//! has itself been computed over the whole year, on every path of the section.
//! Invariant: nothing is proposed that was not run, that touches what stands already, or that lowers a held humidity.

use super::change::{Change, Insulation, changed_months, changed_path, effort, order};
use super::ladder;
use super::wet::{Wet, room_side};
use crate::rules::facts::path::PathKind;
use crate::rules::facts::{Look, PathYear};

/// Finds the changes that mend `wet`, smallest first. `ok` says whether a path will do.
pub(super) fn mends(look: &Look<'_>, wet: &Wet, ok: &dyn Fn(&PathYear<'_>) -> bool) -> Vec<Change> {
    if look.probing {
        return Vec::new();
    }
    let tried = Trial { look, ok };
    let ways = [
        ladder::tighten(look, wet),
        ladder::loosen(look, wet),
        ladder::insulate(look, wet, Insulation::Wool),
        ladder::insulate(look, wet, Insulation::Foam),
        ladder::dry(look, wet),
    ];
    let mut found: Vec<Change> = ways.iter().filter_map(|ladder| tried.least(ladder)).collect();
    let room = room_side(look);
    found.sort_by_key(|change| effort(change, room));
    // Of the two kinds of insulation the one that takes less is told.
    let mut insulated = false;
    found.retain(|c| !matches!(c, Change::Insulate { .. }) || !std::mem::replace(&mut insulated, true));
    found
}

/// Help and what else would do: the first change as an order, the others as a sentence for the detail.
pub(super) fn words(look: &Look<'_>, changes: &[Change]) -> (String, String) {
    match changes {
        [] => (
            "draw this section anew: no single layer, insulation or humidity tried makes it dry".to_string(),
            String::new(),
        ),
        [first] => (order(look, first), String::new()),
        [first, rest @ ..] => {
            let others: Vec<String> = rest.iter().map(|c| order(look, c)).collect();
            (order(look, first), format!(" It would also do to {}.", others.join("; or to ")))
        }
    }
}

/// A section with a test.
struct Trial<'l, 'a> {
    look: &'l Look<'a>,
    ok: &'l dyn Fn(&PathYear<'_>) -> bool,
}

impl Trial<'_, '_> {
    /// The first step of a ladder that will do, steps rising in effect. Halving takes effect for rising; the step given
    /// was run, whether that holds or not.
    fn least(&self, ladder: &[Change]) -> Option<Change> {
        if !self.will_do(ladder.last()?) {
            return None;
        }
        let (mut low, mut high) = (0, ladder.len() - 1);
        while low < high {
            let middle = (low + high) / 2;
            if ladder.get(middle).is_some_and(|c| self.will_do(c)) { high = middle } else { low = middle + 1 }
        }
        ladder.get(high).copied()
    }

    fn will_do(&self, change: &Change) -> bool {
        let (Ok(months), Ok(paths)) = (self.look.months(), self.look.paths()) else { return false };
        let months = changed_months(self.look, months, change);
        paths.iter().filter(|p| p.kind != PathKind::Port).all(|path| {
            let path = changed_path(path.clone(), change);
            self.look.year_of(path, &months).is_ok_and(|year| (self.ok)(&year))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::with_wall;
    use super::super::wet;
    use super::*;
    use crate::base::quantity::RelativeHumidity;
    use crate::physics::profile::NO_WATER;

    const WALL: &str = "  siding: vinyl-siding\n  sheath: osb 7/16 in\n  studs: 2x6 at 16 in, bays glass-batt\n  lining: drywall 1/2 in, painted";

    fn dry(of: &PathYear<'_>) -> bool {
        of.year.peak().is_none_or(|(mass, _)| mass <= NO_WATER)
    }

    fn changes(heated: &str, layers: &str) -> Vec<Change> {
        with_wall("chicago-il-us", heated, layers, |look| {
            let months = look.months().unwrap();
            let of = &look.years().unwrap()[0];
            let wet = wet::places(look, months, of).remove(0);
            mends(look, &wet, &|of| of.year.peak().is_none_or(|(mass, _)| mass.si() < 0.4))
        })
    }

    #[test]
    fn what_is_proposed_was_run_and_the_step_before_it_does_not_do() {
        with_wall("chicago-il-us", "70 F 40 %", WALL, |look| {
            let months = look.months().unwrap();
            let of = &look.years().unwrap()[0];
            let wet = wet::places(look, months, of).remove(0);
            let trial = Trial { look, ok: &dry };
            let ladders =
                [ladder::tighten(look, &wet), ladder::insulate(look, &wet, Insulation::Wool), ladder::dry(look, &wet)];
            for ladder in ladders {
                let Some(change) = trial.least(&ladder) else { continue };
                assert!(trial.will_do(&change));
                let at = ladder.iter().position(|c| *c == change).unwrap();
                assert!(at == 0 || !trial.will_do(&ladder[at - 1]), "{change:?}");
            }
            assert!(trial.least(&ladder::tighten(look, &wet)).is_some());
        });
    }

    #[test]
    fn held_air_is_left_alone_and_so_is_what_stands() {
        let dries = |heated| changes(heated, WALL).iter().any(|c| matches!(c, Change::Dry { .. }));
        assert!(dries("70 F 40 %") && !dries("70 F 40 %, held"));
        let stands = WALL.replace("osb 7/16 in", "osb 7/16 in, existing");
        let insulates =
            |layers: &str| changes("70 F 40 %", layers).iter().any(|c| matches!(c, Change::Insulate { .. }));
        assert!(insulates(WALL) && !insulates(&stands));
    }

    #[test]
    fn a_ladder_without_a_step_that_does_gives_none() {
        with_wall("chicago-il-us", "70 F 40 %", WALL, |look| {
            let trial = Trial { look, ok: &|_| false };
            let change = Change::Dry { most: RelativeHumidity::new(0.35), points: 5 };
            assert_eq!((trial.least(&[change]), trial.least(&[])), (None, None));
            assert!(words(look, &[]).0.starts_with("draw this section anew"));
        });
    }
}
