//! Safety: where the work or the built thing can hurt someone. Local code and licensed practice decide.
//!
//! Invariant: says what is known and defers; never calls anything safe.

family![bare_foam, chimney_gap, cut_in_old_wall, ledger_on_veneer, old_paint, open_flame];
