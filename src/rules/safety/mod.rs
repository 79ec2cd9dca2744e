//! Safety: where the work or the built thing can hurt someone. Local code and licensed practice decide.
//!
//! Invariant: says what is known and defers; never calls anything safe.

family![
    bare_foam,
    chimney_gap,
    cut_in_old_wall,
    deep_trench,
    drift_on_low_roof,
    foam_from_above,
    foam_while_lived_in,
    hole_in_old_wall,
    hot_on_wood,
    ledger_on_veneer,
    load_on_old_roof,
    old_fibers,
    old_paint,
    open_flame,
    thick_foam_pass,
    tight_house_burner,
    unit_in_old_wall,
];
