//! What would serve in the place of a layer: who passes, who is stopped and by what, how it is ranked and shown; and the
//! same answers by the ordinary review of a text in which the layer was written anew by hand.

use dewlap::base::finding::{Finding, Weight};
use dewlap::base::quantity::Transmittance;
use dewlap::base::span::FileId;
use dewlap::output::look::Look;
use dewlap::output::swap as shown;
use dewlap::review::swap::{Asked, From, Nearness, Refusal, Swap, Tried, swap};
use dewlap::review::{Input, review};
use dewlap::shelf::yard;
use std::collections::BTreeMap;

mod command;
mod look;

const DEMO: &str = include_str!("../../docs/demo/press-room.dew");

/// A boathouse in a cold place, its insulation between the studs and a retarder inside.
const COLD: &str = "job boathouse
  place duluth-mn-us
  code irc-2021
  heated 68 F 40 %

wall lake
  outdoors
  boards: wood-lap-siding 3/4 in
  gap: air 3/4 in, open top and bottom
  wrap: housewrap, lapped 6 in, taped -> water
  sheathing: fiberboard 1/2 in
  studs: 2x6 at 16 in, bays mineral-wool-batt
  film: smart-membrane, taped, edges sealed, holes sealed -> air vapor
  lining: drywall 1/2 in, painted
  indoors
";

fn tried(text: &str, target: &str, rows: &str, all: bool) -> Result<Swap, Refusal> {
    let yard = yard::read(FileId(0), rows);
    assert!(yard.problems.is_empty(), "{:#?}", yard.problems);
    let input = Input { name: "boathouse.dew".to_string(), text: text.to_string() };
    let asked = Asked { target, yard: &yard.rows, all };
    swap(input, &mut |_, ask| Err(format!("no {ask}")), &asked)
}

fn page(done: &Swap, all: bool, look: &Look) -> String {
    let mut out = Vec::new();
    shown::write(&mut out, done, all.then_some(20), look).unwrap();
    String::from_utf8(out).unwrap()
}

fn rows(of: &[&str]) -> String {
    of.iter().map(|what| format!("- what: {what}\n")).collect()
}

fn names(of: &[Tried]) -> Vec<&str> {
    of.iter().map(|t| t.name.as_str()).collect()
}

fn told(of: &[Finding]) -> Vec<(&'static str, Weight)> {
    of.iter().map(|f| (f.rule, f.weight)).collect()
}

/// The same with insulation outside of the frame, and no sheet inside.
const WARM: &str = "job boathouse
  place albany-ny-us
  code irc-2021
  heated 68 F 40 %

wall lake
  outdoors
  boards: wood-lap-siding 3/4 in
  gap: air 3/4 in, open top and bottom
  wrap: housewrap, lapped 6 in, taped -> water
  outboard: mineral-wool-board 2 in
  sheathing: fiberboard 1/2 in
  studs: 2x4 at 16 in, bays mineral-wool-batt
  lining: drywall 1/2 in, edges sealed, holes sealed, painted -> air
  indoors
";

#[test]
fn a_sheet_that_is_tight_is_stopped_outside_in_the_cold_and_an_open_board_passes() {
    let done = tried(WARM, "lake.outboard", &rows(&["poly", "wood-fiber-board 2 in", "foil"]), false).unwrap();
    assert_eq!(done.slot.heavy, 0);
    assert_eq!(names(&done.serves), ["wood-fiber-board 2 in"]);
    assert_eq!(names(&done.stopped), ["poly", "foil"]);
    for stopped in &done.stopped {
        assert!(told(&stopped.new).contains(&("vapor/cold-side-tight", Weight::Fix)), "{:?}", stopped.new);
    }
}

#[test]
fn what_was_there_before_stops_nobody() {
    // The film of this wall is class I, which the code does not allow here: whatever the sheathing is.
    let done = tried(DEMO, "north.sheathing", &rows(&["osb 7/16 in", "plywood 1/2 in"]), false).unwrap();
    assert!(done.slot.heavy > 0 && done.stopped.is_empty(), "{:?}", done.stopped);
    assert!(done.serves.iter().all(|t| t.new.iter().all(|f| f.rule != "vapor/class-not-allowed")));
    assert!(done.serves.iter().all(|t| t.gone.iter().all(|f| f.rule != "vapor/class-not-allowed")));
    // The same material again changes nothing at all.
    let same = done.serves.iter().find(|t| t.name == "osb 7/16 in").unwrap();
    assert!(same.new.is_empty() && same.gone.is_empty() && same.untold.is_empty(), "{same:#?}");
    assert_eq!(same.figures, done.slot.figures);
}

#[test]
fn what_goes_away_is_told_as_gain() {
    let done = tried(DEMO, "north.film", &rows(&["smart-membrane"]), false).unwrap();
    let gone = told(&done.serves[0].gone);
    assert!(gone.contains(&("vapor/class-not-allowed", Weight::Stop)), "{gone:?}");
}

#[test]
fn an_acceptance_of_the_job_holds() {
    let foil = |text: &str| tried(text, "lake.outboard", &rows(&["poly"]), false).unwrap();
    assert_eq!((foil(WARM).serves.len(), foil(WARM).stopped.len()), (0, 1));
    let accepted = "accept vapor/cold-side-tight in lake because \"the boathouse is empty in winter\"";
    assert_eq!(foil(&format!("{WARM}\n{accepted}\n")).other_kind.len(), 1);
}

#[test]
fn what_can_t_be_judged_neither_passes_nor_is_stopped() {
    let done = tried(DEMO, "east.sheathing", &rows(&["bentonite-sheet", "plywood 1/2 in"]), false).unwrap();
    assert_eq!(names(&done.cannot_tell), ["bentonite-sheet"]);
    assert!(done.cannot_tell[0].untold[0].why.contains("is not known"), "{:?}", done.cannot_tell[0].untold);
    assert_eq!(names(&done.serves), ["plywood 1/2 in"]);
}

#[test]
fn what_is_not_known_or_not_written_in_full_is_not_tried() {
    let yard = rows(&["plywod 1/2 in", "larch 2x6", "glass-batt", "butyl-tape", "wool"]);
    let done = tried(DEMO, "east.sheathing", &yard, false).unwrap();
    let why: BTreeMap<&str, &str> = done.left_out.iter().map(|l| (l.name.as_str(), l.why.as_str())).collect();
    assert_eq!(why.len(), 5, "{why:?} {:?}", names(&done.serves));
    assert_eq!(why["plywod 1/2 in"], "there is no material `plywod`; did you mean `plywood`?");
    assert!(why["larch 2x6"].contains("spacing") && why["glass-batt"].contains("bays"), "{why:?}");
    assert_eq!(why["butyl-tape"], "it is no layer of a section");
}

#[test]
fn a_material_of_the_job_can_lie_in_its_yard() {
    let done = tried(DEMO, "south.sheathing", &rows(&["mill-board"]), false).unwrap();
    let found = done.serves.first().or(done.stopped.first()).unwrap();
    assert!((found.thickness.unwrap().si() - 0.875 * 0.0254).abs() < 1e-9);
}

#[test]
fn a_broken_row_is_left_and_a_wet_one_ranks_behind_a_sound_one() {
    let yard = "- what: gypsum-sheathing 1/2 in\n  state: wet\n- what: gypsum-sheathing 1/2 in\n  note: sound\n\
                - what: gypsum-sheathing 1/2 in\n  state: broken\n- what: gypsum-sheathing 1/2 in\n  covers: 10 ft2\n";
    let done = tried(COLD, "lake.sheathing", yard, false).unwrap();
    let states: Vec<&str> = done.serves.iter().map(|t| t.from.state().word()).collect();
    assert_eq!(states, ["sound", "sound", "wet"]);
    assert!(done.serves[0].from.row().unwrap().covers.is_some());
    assert_eq!(done.left_out[0].why, "it is broken");
}

#[test]
fn near_thickness_outranks_what_needs_another_frame() {
    let done =
        tried(COLD, "lake.sheathing", &rows(&["fiberboard 3 in", "fiberboard 5/8 in", "housewrap"]), false).unwrap();
    assert_eq!(names(&done.serves), ["fiberboard 5/8 in", "fiberboard 3 in"]);
    // A sheet is no board, whatever its figures are.
    assert_eq!(names(&done.other_kind), ["housewrap"]);
}

#[test]
fn what_lies_in_the_yard_goes_first_where_it_fits_as_well() {
    let rank = |yard: &[&str]| {
        let done = tried(COLD, "lake.sheathing", &rows(yard), true).unwrap();
        done.serves.iter().map(|t| (t.name.clone(), t.from != From::Catalog)).collect::<Vec<_>>()
    };
    let first =
        rank(&["hardboard 1/4 in", "gypsum-sheathing 5/8 in", "fiberboard 1-1/2 in", "tongue-and-groove 3/4 in"]);
    let mine: Vec<usize> = first.iter().enumerate().filter(|(_, (_, yard))| *yard).map(|(at, _)| at).collect();
    let names: Vec<&str> = mine.iter().map(|at| first[*at].0.as_str()).collect();
    // Wood for wood goes before gypsum for wood; what is 1 in thicker and what is near in kind wait their turn.
    assert_eq!(
        names,
        ["hardboard 1/4 in", "gypsum-sheathing 5/8 in", "fiberboard 1-1/2 in", "tongue-and-groove 3/4 in"]
    );
    assert_eq!(mine[..2], [0, 1], "{first:?}");
    assert!(mine[2] > 10 && mine[3] > mine[2], "{first:?}");
}

#[test]
fn another_kind_of_thing_serves_not_and_a_loss_is_told_apart() {
    let yard = rows(&["mineral-wool-board 1/2 in", "xps 2 in", "plywood 5/8 in", "open-sheet"]);
    let done = tried(WARM, "lake.outboard", &yard, false).unwrap();
    assert_eq!((names(&done.serves), names(&done.loses_much)), (vec!["xps 2 in"], vec!["mineral-wool-board 1/2 in"]));
    assert_eq!(names(&done.other_kind), ["plywood 5/8 in", "open-sheet"]);
    assert!(
        done.other_kind.iter().all(|t| t.nearness == Nearness::Other && t.new.iter().all(|f| f.weight < Weight::Fix))
    );
    let shown = page(&done, false, &Look::default());
    assert!(shown.contains("\nserves, but loses much: 1\n   1. mineral-wool-board 1/2 in (yard, sound)\n"), "{shown}");
    let other = "\npasses the checks, but is another kind of thing: 2\n  panels, losing much: plywood 5/8 in (yard)\n";
    assert!(shown.contains(other), "{shown}");
}

#[test]
fn members_are_swapped_for_members() {
    let done = tried(COLD, "lake.studs", &rows(&["2x8", "2x4", "larch 2x6", "plywood 1/2 in"]), true).unwrap();
    let all: Vec<&str> = [names(&done.serves), names(&done.stopped)].concat();
    assert!(all.contains(&"larch 2x6") && all.contains(&"2x8"), "{all:?}");
    assert!(done.left_out.iter().all(|l| l.why.contains("no member")), "{:?}", done.left_out.first());
    // Insulation with a thickness of its own is deeper than a thinner member.
    let text = COLD.replace("mineral-wool-batt", "mineral-wool-batt 5-1/2 in");
    let done = tried(&text, "lake.studs", &rows(&["2x4"]), false).unwrap();
    assert_eq!(told(&done.stopped[0].new)[0], ("notation/contradiction", Weight::Stop));
}

#[test]
fn a_slot_that_is_not_there_is_answered_with_the_nearest() {
    let refused = |target: &str| tried(DEMO, target, &rows(&["osb"]), false).unwrap_err();
    assert_eq!(refused("esat.sheathing").way_out, "did you mean `east`?");
    assert_eq!(refused("east.sheating").way_out, "did you mean `sheathing`?");
    assert!(refused("east").way_out.contains("`east.sheathing`"));
    assert!(refused("zzz.zzz").way_out.starts_with("there is `east`, "), "{:?}", refused("zzz.zzz"));
    assert_eq!(refused("east.gap").what, "`gap` is air: there is nothing to swap");
    let broken = DEMO.replace(
        "  lining:    drywall 1/2 in, painted\n  indoors\n\n# Steel",
        "  lining: drywal\n  indoors\n\n# Steel",
    );
    let told = tried(&broken, "east.sheathing", &rows(&["osb"]), false).unwrap_err();
    assert!(told.what.contains("can't be judged"), "{told:?}");
}

#[test]
fn a_joint_is_answered_with_what_can_be_swapped() {
    let refused = |target: &str| tried(&cold_tied(), target, &rows(&["osb"]), false).unwrap_err();
    assert_eq!(refused("sill.strip").what, "`strip` is a piece of `sill`, a joint: pieces are not swapped");
    // A detail that is used calls its joints by the name it is used under: the piece is known all the same.
    assert_eq!(refused("porch-sill.strip"), refused("sill.strip"));
    assert_eq!(refused("sill").what, "`sill` is a joint: its pieces are not swapped");
    assert_eq!(refused("sill").way_out, "layers of surfaces are: `lake.boards` or `floor.pour`");
}

#[test]
fn a_blank_is_shown_filled() {
    let text = "detail lake-wall(material board = fiberboard, length deep = 1/2 in)\n\n".to_string() + COLD;
    let text = text.replace("  sheathing: fiberboard 1/2 in\n", "  sheathing: <board> <deep>, primed\n");
    let done = tried(&text, "lake.sheathing", &rows(&["osb"]), false).unwrap();
    assert_eq!((done.slot.what.as_str(), done.slot.words.as_str()), ("fiberboard 1/2 in", "primed"));
}

/// What is open is counted through the job: a candidate is judged the same where other surfaces leave something open.
#[test]
fn surfaces_that_leave_something_open_change_no_answer() {
    let wing = COLD.split("\n\n").nth(1).unwrap();
    let wing = |name: &str| wing.replace("wall lake", &format!("wall {name}")).replace("cavity", "room");
    let open = wing("wing").replace("fiberboard 1/2 in", "osb or fiberboard 1/2 in");
    let (head, own) = COLD.split_once("\n\n").unwrap();
    let text = format!("{head}\n\n{open}\n{own}\n{}", open.replace("wall wing", "wall barn"));
    let yard = rows(&["gypsum-sheathing 1/2 in", "osb 7/16 in", "xps 1 in", "unknown panel"]);
    let [alone, beside] = [COLD, &text].map(|text| tried(text, "lake.sheathing", &yard, false).unwrap());
    let of = |done: &Swap| {
        let all = done.serves.iter().chain(&done.other_kind).chain(&done.loses_much).chain(&done.stopped);
        all.map(|t| (t.name.clone(), t.figures.clone(), told(&t.new), told(&t.gone))).collect::<Vec<_>>()
    };
    assert_eq!(of(&alone), of(&beside));
    assert_eq!(of(&alone).len() + alone.left_out.len() + alone.cannot_tell.len(), 4);
    // A slot that is open itself.
    let done = tried(&text, "wing.sheathing", &yard, false).unwrap();
    let same = |t: &Tried| of(&alone).iter().find(|(name, ..)| *name == t.name).map(|(_, figures, ..)| figures.clone());
    assert!(done.serves.iter().all(|t| same(t) == Some(t.figures.clone())), "{:?}", done.serves);
}

/// What is added to the wall in the cold: a joint at its foot and an opening.
const TIES: &str = "
slab floor
  indoors
  pour: concrete 4 in, edges sealed
  sheet: poly-10-mil, lapped 6 in, taped, edges sealed, holes sealed -> air vapor
  boards: xps 3 in
  stone: crushed-stone 4 in
  ground

joint sill
  joins lake bottom, floor edge
  plate: treated-wood 1-1/2 in
  strip: butyl-tape 6 in
  plate seals to pour with sill-gasket
  strip laps over sheathing 3 in, rolled
  strip laps over pour 3 in, primed, rolled
  wrap laps over strip 3 in
  film seals to pour with acoustical-sealant
";

/// The wall in the cold with a joint at its foot and an opening.
fn cold_tied() -> String {
    format!("{COLD}{TIES}")
}

/// That job with the layer's line written anew, as an author would.
fn by_hand(written: &str) -> String {
    cold_tied().replace("  sheathing: fiberboard 1/2 in\n", &format!("  sheathing: {written}\n"))
}

/// What is heavy in a text, by rule and place, and how its first surface keeps heat.
fn heavy(text: &str) -> (BTreeMap<(String, String), usize>, Option<Transmittance>) {
    let input = Input { name: "boathouse.dew".to_string(), text: text.to_string() };
    let done = review(vec![input], &mut |_, ask| Err(format!("no {ask}")));
    let mut counts = BTreeMap::new();
    for f in done.reports[0].findings.iter().filter(|f| f.weight > Weight::Watch) {
        let place = f.joint.clone().or(f.surface.clone()).unwrap_or_default();
        *counts.entry((f.rule.to_string(), place)).or_insert(0) += 1;
    }
    (counts, done.reports[0].surfaces[0].u_value)
}

/// Every material of the catalog, in one layer: those that serve bring nothing to put right when they are written into
/// the text by hand, and those that are stopped bring what they are stopped by.
#[test]
fn the_ordinary_review_of_a_text_written_by_hand_says_the_same() {
    let done = tried(&cold_tied(), "lake.sheathing", "- what: osb\n", true).unwrap();
    let (before, _) = heavy(&cold_tied());
    assert_ne!(by_hand("osb"), cold_tied());
    let thickness = |t: &Tried| match &t.from {
        From::Yard(_) => t.name.clone(),
        From::Catalog => {
            let usual = dewlap::catalog::material(&t.name).found().unwrap().usual_thickness();
            // Those that have no usual thickness take the one that is written in the slot.
            if usual.is_some() { t.name.clone() } else { format!("{} 1/2 in", t.name) }
        }
    };
    assert!(
        done.serves.len() + done.other_kind.len() > 50 && done.stopped.len() > 20,
        "{} {}",
        done.serves.len(),
        done.stopped.len()
    );
    for t in done.serves.iter().chain(&done.loses_much).chain(&done.other_kind).chain(&done.cannot_tell) {
        let (after, u) = heavy(&by_hand(&thickness(t)));
        assert_eq!(u, t.figures.u, "{}", t.name);
        let more = |(key, n): &(&(String, String), &usize)| before.get(*key).copied().unwrap_or(0) < **n;
        let instead = |rule: &str| t.instead.iter().any(|f| f.rule == rule);
        let new: Vec<_> = after.iter().filter(more).filter(|((rule, _), _)| !instead(rule)).collect();
        assert!(new.is_empty(), "{} serves, and yet {new:?}", t.name);
    }
    for t in &done.stopped {
        let (after, _) = heavy(&by_hand(&thickness(t)));
        for f in t.new.iter().filter(|f| f.weight > Weight::Watch) {
            let place = f.joint.clone().or(f.surface.clone()).unwrap_or_default();
            let found = after.get(&(f.rule.to_string(), place)).copied().unwrap_or(0);
            assert!(found > 0, "{} is stopped by {}, which the review does not find", t.name, f.rule);
        }
    }
}
