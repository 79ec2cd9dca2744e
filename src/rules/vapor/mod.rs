//! Vapor: retarder classes, and where they may stand.
//!
//! Invariant: classes are judged in the dry cup, as codes write them; joints by the graph.

family![
    bare_open_foam,
    class_not_allowed,
    class_three_unearned,
    crawl_sheet,
    double_barrier,
    fiber_against_cool_mass,
    film_below_grade,
    layer_not_joined,
    open_slab,
    shut_old_wall,
    shut_roof_ceiling,
    thin_roof_insulation,
    tight_finish,
    tight_floor_on_damp_slab,
    unvented_wood_shingles,
];

mod roof;
mod slab;
mod wall;
