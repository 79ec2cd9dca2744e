//! Vapor: retarder classes, and where they may stand.
//!
//! Invariant: classes are judged in the dry cup, as codes write them; joints by the graph.

family![
    class_not_allowed,
    class_three_unearned,
    cold_side_tight,
    double_barrier,
    humid_room_off_table,
    layer_not_joined,
    loose_vapor_layer,
    no_room_retarder,
    open_seams,
    responsive_in_humid_room,
    snug_both_sides,
    thin_flash_coat,
    thin_foam_behind_kraft,
    tight_finish,
    uneven_openness,
    wet_cladding_drive,
];

mod skin;
mod wall;
mod winter;
