//! Dew: where water forms, how much, and whether it dries again.
//!
//! Invariant: every verdict is read off a monthly profile; bay and member are judged apart.

pub mod criteria;
mod vent;
mod wet;

family![
    cold_inner_face,
    cooled_room_surface,
    damp_layer,
    frost_in_masonry,
    lasting_condensate,
    leaking_air,
    metal_bridge_sweats,
    one_ended_roof_gap,
    peak_condensate,
    pinched_vent_gap,
    small_roof_vents,
    sun_driven_vapor,
    sweating_mass,
    thin_drying_reserve,
    wet_when_covered,
    wet_wood_in_service,
];

#[cfg(test)]
mod testing {
    //! A wall from text, for the tests of this family.

    use crate::base::span::FileId;
    use crate::model::value::Draw;
    use crate::rules::facts::Look;

    /// Looks at a wall between outdoors and a room that is heated so.
    pub(super) fn with_wall<T>(place: &str, heated: &str, layers: &str, see: impl Fn(&Look<'_>) -> T) -> T {
        let text = format!(
            "job smokehouse\n  place {place}\n  heated {heated}\nwall north\n  outdoors\n{layers}\n  indoors\n"
        );
        let parsed = crate::syntax::parse(FileId(0), &text);
        let lowered = crate::model::lower(&[parsed.tree]);
        assert!(parsed.problems.is_empty() && lowered.problems.is_empty(), "{:?}", lowered.problems);
        let surface = lowered.job.surfaces.first().unwrap();
        see(&Look::new(&lowered.job, surface, Draw::middle()))
    }
}
