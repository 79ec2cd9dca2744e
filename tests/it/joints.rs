//! Joints lowered from text: what each name stands for, what contradicts what, and what is said of names not known.

use dewlap::base::finding::Finding;
use dewlap::base::span::FileId;
use dewlap::model::joint::{EndOf, Joint, PieceSeam, Thing, Toward};
use dewlap::model::{Job, lower};
use dewlap::syntax::ast::{Edge, Half, Spot, Verb};
use dewlap::syntax::parse;

const SURFACES: &str = "material panel: osb 7/16 in + eps 7-3/8 in + osb 7/16 in
wall house
  outdoors
  siding: wood-lap-siding 3/4 in
  membrane: liquid-membrane-open 40 mil -> water air
  sheathing: plywood 1/2 in, sealed
  studs: 2x4 at 16 in, bays mineral-wool-batt
  indoors
wall old
  outdoors
  stone: fieldstone 20 in
  membrane: bitumen-sheet 40 mil
  barn
roof low
  slope 4:12
  outdoors
  shingles: asphalt-shingle
  shell: panel
  indoors
deck balcony
  slope 1:50
  outdoors
  drain: drainage-mat 1/4 in
  slab: concrete 6 in
  outdoors
room barn
  unheated
";

/// The lowered job and the problems of reader and lowering.
fn read(text: &str) -> (Job, Vec<Finding>) {
    let parsed = parse(FileId(0), text);
    let lowered = lower(std::slice::from_ref(&parsed.tree));
    (lowered.job, parsed.problems.into_iter().chain(lowered.problems).collect())
}

/// The first joint of a text that raises nothing.
fn sound(stanzas: &str) -> Joint {
    let (job, problems) = read(&format!("{SURFACES}{stanzas}"));
    assert!(problems.is_empty(), "{problems:?}");
    job.joints.into_iter().next().unwrap()
}

/// Rule, underlined words and message of each problem of stanzas below the surfaces.
fn problems(stanzas: &str) -> Vec<String> {
    let text = format!("{SURFACES}{stanzas}");
    let (_, problems) = read(&text);
    problems.iter().map(|p| format!("{} [{}] {}", p.rule, &text[p.primary.span.range()], p.message)).collect()
}

/// What stands at the subject and the object of a sentence at a joint of `house face, low rake`.
fn parties(sentence: &str) -> (Thing, Option<Thing>) {
    let joint = sound(&format!(
        "joint j\n  joins house face, low rake\n  step: sheet-steel\n  gutter: sheet-steel\n  gutter touches siding\n  \
         step touches siding\n  {sentence}\n"
    ));
    let link = joint.links.last().unwrap();
    (link.subject.thing, link.object.map(|o| o.thing))
}

fn layer(end: usize, layer: usize) -> Thing {
    Thing::Layer { end, layer, half: None, part: None }
}

#[test]
fn pieces_layers_and_surfaces_are_found_by_their_bare_names() {
    assert_eq!(parties("step laps over shingles 4 in"), (Thing::Piece(0), Some(layer(1, 0))));
    let upper = Thing::Layer { end: 0, layer: 1, half: Some(Half::Upper), part: None };
    assert_eq!(parties("upper membrane laps over step 3 in"), (upper, Some(Thing::Piece(0))));
    let (house, low) = (Thing::Surface { end: 0, half: None }, Thing::Surface { end: 1, half: None });
    assert_eq!(parties("house runs past low rake"), (house, Some(low)));
    // The seam meets the eave at its corner.
    assert_eq!(parties("house runs past low eave"), (house, Some(low)));
    assert_eq!(parties("step turns up 4 in"), (Thing::Piece(0), None));
}

#[test]
fn dots_reach_layers_parts_and_pieces() {
    assert_eq!(parties("house.siding clears low.shingles 2 in").0, layer(0, 0));
    let part = |part| Thing::Layer { end: 1, layer: 1, half: None, part: Some(part) };
    assert_eq!(parties("shell.outside touches siding").0, part(0));
    assert_eq!(parties("low.shell.core touches siding").0, part(1));
    assert_eq!(parties("shell.inside touches siding").0, part(2));
    assert_eq!(parties("j.step laps over membrane 3 in").0, Thing::Piece(0));
}

#[test]
fn places_have_words_and_a_piece_may_take_some_of_them_over() {
    assert_eq!(parties("step laps over seam 3 in").1, Some(Thing::Seam));
    assert_eq!(parties("step drains to outdoors").1, Some(Thing::Outdoors));
    assert_eq!(parties("step drains to gutter").1, Some(Thing::Piece(1)));
    assert_eq!(parties("step drains to outlet").1, Some(Thing::Outlet("outlet")));
    assert_eq!(parties("siding clears grade 8 in").1, Some(Thing::Grade));
    assert_eq!(parties("siding clears paving 8 in").1, Some(Thing::Paving));
    assert_eq!(parties("step drains to indoors").1, Some(Thing::Room(0)));
    let layer_named_drain = sound("joint b\n  joins house face, balcony back\n  siding clears drain 2 in\n");
    assert_eq!(layer_named_drain.links[0].object.unwrap().thing, layer(1, 0));
}

#[test]
fn an_opening_is_known_where_it_meets_and_other_stanzas_by_dot() {
    let door = "opening door in house\n  frame: wood-window, set in sheathing\n  frame seals to studs with gun-foam\n";
    let text = format!(
        "{SURFACES}{door}joint threshold\n  joins door sill, balcony back\n  pan: formed-pan\n  pan laps over drain 3 in\n  \
         frame touches pan\n  pan laps over flash.strip 2 in\njoint flash\n  joins house bottom\n  strip: bitumen-sheet\n"
    );
    let (job, problems) = read(&text);
    assert!(problems.is_empty(), "{problems:?}");
    let [door, threshold, _] = job.joints.as_slice() else { panic!("three joints") };
    assert_eq!(door.ends[0].of, EndOf::Surface(0));
    assert_eq!(door.ends[0].edge, None);
    assert_eq!(door.pieces[0].shape.set_in.map(|s| s.value), Some(2));
    assert_eq!(threshold.ends[0].of, EndOf::Opening(0));
    assert_eq!(threshold.ends[0].edge, Some(Edge::Sill));
    assert_eq!(threshold.links[1].subject.thing, Thing::Other { joint: 0, piece: 0 });
    assert_eq!(threshold.links[2].object.unwrap().thing, Thing::Other { joint: 2, piece: 0 });
}

#[test]
fn one_surface_at_two_ends_is_told_apart_by_half_or_edge() {
    let joint = sound(
        "joint corner\n  joins house left, house right, house face\n  tape: butyl-tape 4 in\n  tape laps over membrane 2 in\n  \
         tape laps over house.membrane right 2 in\n  tape laps over lower membrane 2 in\n",
    );
    let objects: Vec<Thing> = joint.links.iter().filter_map(|l| l.object).map(|o| o.thing).collect();
    let lower = Thing::Layer { end: 2, layer: 1, half: Some(Half::Lower), part: None };
    assert_eq!(objects, [layer(0, 1), layer(1, 1), lower]);
}

#[test]
fn shapes_and_attributes_keep_their_figures() {
    let joint = sound(
        "opening win in house\n  frame: vinyl-window, flanged\n  pan: formed-pan, slope 1:12 outward, end dams 1 in, seams lapped \
         3 in, 6 in high, at sill\n  tape: butyl-tape 4 in, at head and jambs\n  frame touches pan\n  tape laps over membrane \
         unknown, primed, rolled, at 2 C\n  pan drains to outdoors, weeps at 24 in oc\n  frame seals to sheathing with \
         urethane-sealant, 3/8 in wide, backed\n",
    );
    let pan = &joint.pieces[1].shape;
    let fall = pan.slope.as_ref().unwrap();
    assert!((fall.slope.low().si() - 1.0 / 12.0).abs() < 1e-9 && fall.toward == Toward::Outward);
    assert!((pan.end_dams.as_ref().unwrap().high.unwrap().low().si() - 0.0254).abs() < 1e-9);
    assert_eq!(pan.seams.as_ref().unwrap().how, PieceSeam::Lapped);
    assert!((pan.high.unwrap().low().si() - 0.1524).abs() < 1e-9);
    assert_eq!(joint.pieces[2].places, [Spot::Head, Spot::Jambs]);
    // A tape is called by its width.
    assert!((joint.pieces[2].shape.wide.unwrap().low().si() - 0.1016).abs() < 1e-9);
    assert!(joint.pieces[2].stuff.as_ref().unwrap().thickness.unwrap().low().si() < 0.002);
    let lap = &joint.links[1];
    assert!(lap.length.unwrap().low().si() == 0.0 && lap.length.unwrap().axis().is_some(), "unknown begins at nothing");
    assert!(lap.face.primed && lap.face.rolled && (lap.face.temperature.unwrap().value.low().si() - 2.0).abs() < 1e-9);
    assert!((joint.links[2].weeps.as_ref().unwrap().spacing.unwrap().low().si() - 0.6096).abs() < 1e-9);
    let seal = &joint.links[3];
    assert!(seal.verb == Verb::SealsTo && seal.bead.backed && seal.with.as_ref().unwrap().material.is_some());
}

#[test]
fn facts_of_a_surface_say_where_it_falls_and_what_is_left_open() {
    let (job, problems) = read(
        "floor porch\n  slope 1:80 to front\n  drains to outlet, overflow\n  continues left\n  unjoined right \"hatch\"\n  outdoors\n  \
         slab: concrete 6 in, slope 1:50\n  outdoors\n",
    );
    assert!(problems.is_empty(), "{problems:?}");
    let facts = &job.surfaces[0].facts;
    assert_eq!(facts.slope_to, Some(Edge::Front));
    assert!(facts.drains.as_ref().is_some_and(|d| d.to == "outlet" && d.overflow));
    assert_eq!((facts.continues[0].value, facts.unjoined[0].value), (Edge::Left, Edge::Right));
    assert!((job.surfaces[0].layers[0].words.slope.unwrap().low().si() - 0.02).abs() < 1e-9);
}

/// The problems of one sentence, or several, at a joint of `house face, low rake`.
fn faults(sentences: &str) -> Vec<String> {
    problems(&format!(
        "joint j\n  joins house face, low rake\n  step: sheet-steel\n  strip: bitumen-sheet\n  step laps over strip 2 in\n  \
         strip touches siding\n  {}\n",
        sentences.replace('\n', "\n  ")
    ))
}

/// One problem, of this rule, at these words.
fn one(found: &[String], rule: &str, words: &str) {
    let [only] = found else { panic!("one problem expected: {found:?}") };
    assert!(only.starts_with(&format!("notation/{rule} [{words}]")), "{only}");
}

#[test]
fn names_that_nothing_answers_to_are_told_once_with_those_that_are_near() {
    one(&faults("stepp laps over shingles 3 in\nstepp touches siding"), "unknown-name", "stepp");
    let text = format!(
        "{SURFACES}joint j\n  joins house face, low rake\n  step: sheet-steel\n  step laps over shingels 3 in\n"
    );
    let (job, found) = read(&text);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].help, "did you mean `shingles`?");
    let hole = job.joints[0].holes[0];
    assert_eq!(&text[hole.range()], "shingels");
    assert_eq!(job.joints[0].links[0].object.unwrap().thing, Thing::Hole);
    one(&faults("step touches house.sidng"), "unknown-name", "house.sidng");
    one(&faults("step touches old.stone"), "unknown-name", "old.stone");
    one(&faults("step touches old"), "unknown-name", "old");
    one(&faults("step touches shell.middle"), "unknown-name", "shell.middle");
    one(&faults("step touches siding.core"), "unknown-name", "siding.core");
    one(&faults("step touches house eave"), "contradiction", "house");
    one(&faults("step touches lower shingles"), "contradiction", "lower");
    one(&faults("upper step touches siding"), "contradiction", "upper");
    one(&faults("step touches strip left"), "contradiction", "left");
}

#[test]
fn a_layer_name_of_two_surfaces_asks_for_the_surface() {
    let found =
        problems("joint j\n  joins house left, old face\n  siding touches membrane\n  siding touches old.membrane\n");
    one(&found, "contradiction", "membrane");
    // Only the surface at its face has halves.
    let joint = sound("joint j\n  joins house left, old face\n  siding touches upper membrane\n");
    let upper = Thing::Layer { end: 1, layer: 1, half: Some(Half::Upper), part: None };
    assert_eq!(joint.links[0].object.unwrap().thing, upper);
}

#[test]
fn ends_must_be_there() {
    one(
        &problems("joint j\n  joins hous left\n  strip: bitumen-sheet\n  strip laps over what 2 in\n"),
        "unknown-name",
        "hous",
    );
    one(&problems("joint j\n  joins house eave\n"), "contradiction", "eave");
    one(&problems("joint j\n  joins low top\n"), "contradiction", "top");
    one(&problems("joint j\n  joins house head\n"), "contradiction", "head");
    one(&problems("joint j\n  joins house left, house left\n"), "contradiction", "house left");
    one(&problems("opening w in hous\n  frame: vinyl-window\n"), "unknown-name", "hous");
    one(&problems("opening w in house\n"), "incomplete", "w");
    one(&problems("penetration p through low\n"), "incomplete", "p");
    one(&problems("joint j\n  joins house left\njoint k\n  joins j left\n"), "contradiction", "j");
    one(&problems("joint house\n  joins house left\n"), "contradiction", "house");
    one(&problems("joint j\n  joins house left\njoint j\n  joins house right\n"), "contradiction", "j");
}

#[test]
fn sentences_that_exclude_each_other_are_told_at_the_later() {
    let laps = |more: &str| faults(&format!("upper membrane laps over step 3 in{more}"));
    assert_eq!(laps(""), [""; 0]);
    one(&laps("\nstep laps over upper membrane 3 in"), "contradiction", "laps over");
    assert_eq!(laps("\nstep laps over lower membrane 3 in"), [""; 0]);
    assert_eq!(faults("step laps over siding 3 in, at low end\nsiding laps over step 3 in, at high end"), [""; 0]);
    one(&faults("step laps over siding 3 in\nsiding laps over step 3 in, at low end"), "contradiction", "laps over");
    assert_eq!(faults("step laps over shingles 3 in, woven\nshingles lap over step 3 in, woven"), [""; 0]);
    one(&laps("\nupper membrane laps over step 4 in"), "contradiction", "4 in");
    one(&laps("\nupper membrane laps over step 3 in, primed"), "contradiction", "laps over");
    one(&faults("step touches siding\nsiding clears step 1 in"), "contradiction", "clears");
    one(&faults("step runs past siding 1 in\nstep stops short of siding 1 in"), "contradiction", "stops short of");
    one(&faults("step laps over siding 2 in, damp, dry"), "contradiction", "damp");
    one(&faults("step laps over siding 2 in, dusty, clean"), "contradiction", "dusty");
    one(&faults("step laps over siding 2 in, damp\nstep touches siding, dry"), "contradiction", "touches");
    one(&faults("step touches step"), "contradiction", "step");
    one(&faults("grade clears siding 8 in"), "contradiction", "grade");
    one(&faults("step laps over siding 0 in"), "contradiction", "0 in");
    assert_eq!(faults("step drains to outdoors\nstep drains to gutter"), [""; 0]);
}

#[test]
fn pieces_must_be_one_thing_each() {
    let piece = |line: &str| {
        problems(&format!("joint j\n  joins house face\n  {line}\n  cap touches siding\n  siding touches studs\n"))
    };
    one(&piece("cap: sheet-steel, level, slope 1:12 outward"), "contradiction", "slope 1:12 outward");
    one(&piece("cap: sheet-steel\n  cap: sheet-steel"), "contradiction", "cap");
    one(&piece("cap: sheet-steel\n  spare: sheet-steel"), "incomplete", "spare");
    one(&piece("cap: sheet-steel\n  grade: sheet-steel\n  cap touches grade"), "contradiction", "grade");
    one(&piece("cap: panel"), "contradiction", "panel");
    one(&piece("cap: air 1 in"), "contradiction", "air 1 in");
    one(&piece("cap: sheet-stel"), "unknown-name", "sheet-stel");
    one(&piece("cap: sheet-steel, at sill"), "contradiction", "sill");
    assert_eq!(piece("cap: unknown metal, slope unknown outward"), [""; 0]);
    // What may be there and is not drawn is not missed.
    assert_eq!(piece("cap: sheet-steel\n  spare: sheet-steel\n  not shown"), [""; 0]);
}

#[test]
fn a_half_confirms_the_place_or_contradicts_it() {
    let at = |sentence: &str| {
        problems(&format!("opening w in house\n  frame: vinyl-window\n  cap: sheet-steel, at head\n  {sentence}\n"))
    };
    assert_eq!(at("upper membrane laps over cap 4 in"), [""; 0]);
    one(&at("lower membrane laps over cap 4 in"), "contradiction", "lower membrane");
    one(&at("cap touches frame\n  frame laps over upper membrane 2 in, at sill"), "contradiction", "upper membrane");
}

#[test]
fn what_the_reader_has_told_is_not_told_again() {
    let of = |text: &str| problems(text).into_iter().filter(|p| !p.contains("unreadable")).collect::<Vec<_>>();
    let torn = "joint j\n  joins house face\n  5 : nothing\n  strip: bitumen-sheet\n  strip touches quoin\n";
    assert_eq!(of(torn), [""; 0]);
    assert_eq!(of(&torn.replace("quoin", "sidng")).len(), 1, "a slip of a name that is there is told all the same");
    let lost = "wall annex\n  outdoors\n  a b c: d\n  indoors\njoint j\n  joins annex face\n  strip: bitumen-sheet\n  \
                strip touches board\n";
    assert_eq!(of(lost), [""; 0]);
}

#[test]
fn facts_of_a_surface_must_fit_it() {
    let wall = |lines: &str| {
        let text = format!("wall north\n  {lines}\n  outdoors\n  stone: fieldstone 20 in\n  indoors\n");
        read(&text).1.iter().map(|p| format!("{} [{}]", p.rule, &text[p.primary.span.range()])).collect::<Vec<_>>()
    };
    one(&wall("continues eave"), "contradiction", "eave");
    one(&wall("unjoined top"), "incomplete", "unjoined top");
    one(&wall("continues top\n  unjoined top \"barn\""), "contradiction", "top");
    let text = "floor f\n  indoors\n  slab: concrete 4 in, level, slope 1:50\n  indoors\n";
    let found = read(text).1;
    assert_eq!(&text[found[0].primary.span.range()], "slope 1:50");
}

#[test]
fn a_thousand_joints_are_lowered_in_a_moment() {
    let mut text = SURFACES.to_string();
    for n in 0..300 {
        text += &format!("wall w{n}\n  outdoors\n  stone: fieldstone 20 in\n  indoors\n");
    }
    for n in 0..1000 {
        let (a, b) = (n % 300, (n * 7 + 1) % 300);
        text += &format!(
            "joint j{n}\n  joins w{a} left, w{b} face\n  strip: bitumen-sheet\n  cap: sheet-steel\n  \
             strip laps over w{a}.stone 3 in\n  cap laps over strip 2 in\n  cap laps over j{}.strip 2 in, at low end\n",
            (n + 1) % 1000
        );
    }
    let parsed = parse(FileId(0), &text);
    let start = std::time::Instant::now();
    let lowered = lower(std::slice::from_ref(&parsed.tree));
    let took = start.elapsed();
    assert_eq!(lowered.job.joints.len(), 1000);
    let other: Vec<String> =
        lowered.problems.iter().map(|p| p.message.clone()).filter(|m| !m.contains("two of")).collect();
    assert_eq!(other, [""; 0]);
    // A generous bound for a machine under load without optimization.
    assert!(took.as_millis() < 1000, "{took:?}");
}
