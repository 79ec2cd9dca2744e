//! Vapor: retarder classes, and where they may stand.
//!
//! Invariant: classes are judged in the dry cup, as codes write them; joints by the graph.

family![
    bare_open_foam,
    class_not_allowed,
    class_three_unearned,
    cold_side_tight,
    crawl_sheet,
    double_barrier,
    fiber_against_cool_mass,
    film_below_grade,
    humid_room_off_table,
    layer_not_joined,
    loose_vapor_layer,
    no_room_retarder,
    open_seams,
    open_slab,
    responsive_in_humid_room,
    shut_old_wall,
    shut_roof_ceiling,
    snug_both_sides,
    thin_flash_coat,
    thin_foam_behind_kraft,
    thin_roof_insulation,
    tight_finish,
    tight_floor_on_damp_slab,
    uneven_openness,
    unvented_wood_shingles,
    wet_cladding_drive,
];

mod roof;
mod skin;
mod slab;
mod wall;
mod winter;
