//! What the shelf has to have: for each matter the details that treat it.

use super::details;

const HELD: &[(&str, &[&str])] = &[
    ("additions to old brick", &["frame-into-old-brick", "frame-into-cavity-brick"]),
    ("additions to old stone", &["stone-tie"]),
    ("additions to old concrete", &["frame-into-old-concrete"]),
    ("additions under an old roof", &["new-roof-under-old-eave"]),
    (
        "old walls kept",
        &["old-brick-insulated-inside", "old-stone-hemp-lime-inside", "wall-old-masonry-outside-insulated"],
    ),
    ("sill pans, heads and jambs", &["flanged-window", "window-behind-foam", "window-in-old-brick"]),
    ("heads and sills in brick", &["brick-window-head-and-sill"]),
    ("thresholds", &["balcony-door", "door-at-wood-deck"]),
    ("a roof along a wall, with kick-out", &["kick-out", "kick-out-at-stucco"]),
    ("a roof's high edge at a wall", &["apron-at-siding", "veneer-over-roof", "saddle-at-wall"]),
    ("parapets and low edges", &["parapet", "roof-edge-low-slope"]),
    ("a deck past the wall", &["planks-past-wall", "steel-deck-past-wall"]),
    ("eaves and ridges", &["eave-in-snow-country", "roof-foam-meets-wall", "ridge-vented", "wall-meets-vented-attic"]),
    ("insulation above the deck", &["roof-low-slope-insulated-deck", "roof-steep-metal-insulated-above"]),
    ("slab edges", &["sill-on-slab", "slab-edge-hot-humid", "brick-veneer-on-slab"]),
    ("basements", &["cellar-foam-inside", "cellar-foam-outside", "cellar-foot", "frame-on-foundation", "crawl-closed"]),
    ("retained soil", &["half-buried-room-wall", "roof-planted-over-room"]),
    ("brick", &["brick-below-siding", "shelf-angle"]),
    ("stucco", &["wall-stucco-drained", "block-wall-hot-humid"]),
    ("metal", &["metal-wall-and-roof"]),
    ("lap siding", &["wall-foam-under-lap-siding", "wall-cold"]),
    ("balcony and ledger", &["post-through-terrace", "ledger", "canopy-bracket"]),
    ("penetrations of walls", &["pipe-in-wall", "duct-through-wall", "cable-through-air-layer"]),
    ("penetrations of roofs", &["pipe-through-shingles", "chimney", "flue-left-to-code", "skylight-curb"]),
    ("rooms cooled all year", &["cool-store-hot-place", "cool-store-foot", "archive-marine"]),
    ("damp and hot rooms", &["pool-room", "bath-of-steam"]),
];

/// The number and the letter.
type Zone = (u8, Option<char>);

/// For each climate the zones that belong to it.
const CLIMATES: &[(&str, &[Zone])] = &[
    ("hot and humid", &[(1, Some('A')), (2, Some('A'))]),
    ("mixed", &[(3, Some('A')), (4, Some('A'))]),
    ("cold", &[(5, Some('A')), (6, Some('A')), (7, None), (8, None)]),
    ("marine", &[(3, Some('C')), (4, Some('C')), (5, Some('C'))]),
    ("dry", &[(3, Some('B')), (4, Some('B'))]),
];

#[test]
fn the_shelf_holds_what_it_has_to() {
    let details = details();
    for (matter, names) in HELD {
        for name in *names {
            assert!(details.iter().any(|d| d.name == *name), "{matter}: {name} is gone");
        }
    }
    for (climate, zones) in CLIMATES {
        for zone in *zones {
            let held =
                |d: &&super::OnShelf| d.head.holds.zones.iter().any(|z| (z.value.number, z.value.letter) == *zone);
            assert!(details.iter().any(|d| held(&d)), "{climate}: nothing for {zone:?}");
        }
    }
}
