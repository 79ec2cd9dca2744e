//! Details used whole: a job that holds nothing but the line that uses one is as quiet as the detail by itself, at each
//! place it was reviewed at, as it is drawn and with every value that may be another.

use super::{OnShelf, details};
use dewlap::syntax::ast::Name;

/// One sensible value beside the drawn one for every parameter that is a blank.
const OTHERWISE: &[(&str, &[(&str, &str)])] = &[
    ("apron-at-siding", &[("lap", "8 in"), ("clear", "3 in")]),
    ("attic-vented-hot-humid", &[("fill", "20 in")]),
    ("balcony-door", &[("upturn", "8 in")]),
    ("block-wall-hot-humid", &[("foam", "2 in")]),
    ("brick-below-siding", &[("clear", "3/4 in")]),
    ("cellar-foam-inside", &[("foam", "4 in")]),
    ("cellar-foam-outside", &[("boards", "6 in")]),
    ("chimney", &[("lap", "6 in")]),
    ("crawl-closed", &[("foam", "4 in")]),
    ("eave-in-snow-country", &[("ice", "66 in")]),
    ("flanged-window", &[("frame", "fiberglass-window"), ("lap", "6 in")]),
    ("floor-over-open-air", &[("outboard", "120 mm")]),
    ("frame-into-old-brick", &[("bond", "8 in"), ("slack", "3/4 in")]),
    ("frame-into-old-concrete", &[("bond", "8 in")]),
    ("kick-out", &[("lap", "6 in"), ("clear", "3 in")]),
    ("ledger", &[("strip", "8 in"), ("lap", "6 in")]),
    ("metal-wall-and-roof", &[("wool", "8 in")]),
    ("old-brick-insulated-inside", &[("boards", "50 mm")]),
    ("old-stone-hemp-lime-inside", &[("hemp", "80 mm")]),
    ("parapet", &[("upturn", "12 in"), ("coping", "stainless-steel")]),
    ("pipe-in-wall", &[("wide", "6 in")]),
    ("post-through-terrace", &[("upturn", "10 in")]),
    ("roof-cold-over-logs", &[("slack", "2 in")]),
    ("roof-edge-low-slope", &[("lap", "6 in")]),
    ("roof-foam-meets-wall", &[("lap", "6 in")]),
    ("roof-hot-humid-foam-above", &[("boards", "6 in")]),
    ("roof-low-slope-insulated-deck", &[("board", "polyiso-glass"), ("boards", "240 mm")]),
    ("roof-steep-metal-insulated-above", &[("wool", "320 mm")]),
    ("roof-vented-cathedral", &[("gap", "3 in")]),
    ("shelf-angle", &[("lap", "10 in")]),
    ("sill-on-slab", &[("clear", "12 in"), ("foam", "3 in")]),
    ("skylight-curb", &[("upturn", "12 in")]),
    ("slab-edge-hot-humid", &[("clear", "12 in")]),
    ("slab-on-ground", &[("board", "eps"), ("boards", "4 in")]),
    ("stone-tie", &[("bond", "8 in"), ("slack", "1/2 in")]),
    ("subarctic-wall-and-roof", &[("wool", "10 in")]),
    ("veneer-over-roof", &[("lap", "8 in")]),
    ("wall-cold", &[("outboard", "6 in"), ("siding", "fiber-cement-siding")]),
    ("wall-foam-under-lap-siding", &[("foam", "3 in"), ("siding", "fiber-cement-siding")]),
    ("wall-hot-humid-cooled", &[("outboard", "3 in")]),
    ("wall-old-masonry-outside-insulated", &[("boards", "200 mm")]),
    ("wall-stucco-drained", &[("gap", "3/4 in")]),
    ("wall-wood-fiber-outboard", &[("outboard", "80 mm")]),
];

impl OnShelf {
    /// What its job says, as a job `x`.
    pub(super) fn job(&self) -> String {
        let lines = self.text.lines().skip_while(|l| !l.starts_with("job ")).skip(1);
        let facts: Vec<&str> = lines.take_while(|l| !l.is_empty()).collect();
        format!("job x\n{}\n", facts.join("\n"))
    }

    fn is_quiet_with(&self, with: &str) {
        let text = format!("{}use {} revision 1 as y{with}\n", self.job(), self.name);
        for place in self.places() {
            let report = self.is_quiet(&format!("{}{with}", self.name), &text, place);
            assert!(report.details.iter().any(|d| d.name == self.name && d.form.is_some()), "{}", self.name);
        }
    }
}

#[test]
fn a_detail_used_whole_is_quiet() {
    details().iter().for_each(|detail| detail.is_quiet_with(""));
}

#[test]
fn a_detail_is_quiet_with_other_values() {
    let mut with_values = 0;
    for detail in details() {
        let blanks = detail.line.parameters.iter().filter_map(|p| Some((p.name.text.as_str(), p.default.as_ref()?)));
        let blanks: Vec<(&str, &Name)> = blanks.collect();
        let others = OTHERWISE.iter().find(|(name, _)| *name == detail.name).map_or(&[][..], |(_, others)| *others);
        let named: Vec<&str> = others.iter().map(|(name, _)| *name).collect();
        assert_eq!(blanks.iter().map(|(name, _)| *name).collect::<Vec<_>>(), named, "{}", detail.name);
        for ((name, drawn), (_, other)) in blanks.iter().zip(others) {
            assert_ne!(drawn.text, *other, "{}", detail.name);
            detail.is_quiet_with(&format!(" with {name} = {other}"));
        }
        with_values += usize::from(!others.is_empty());
    }
    assert_eq!(with_values, OTHERWISE.len(), "each name of the table is a detail's");
}
