//! Joints, openings and penetrations: what is read, what is told of slips, and how they are laid out.

use dewlap::base::span::FileId;
use dewlap::base::unit::INCH;
use dewlap::syntax::ast::{
    Amount, Attribute, Edge, Fact, Half, Hollow, Joint, JointLine, PieceSeams, Sentence, Shape, Spot, Stanza, Toward,
    Verb, Way, Word,
};
use dewlap::syntax::{parse, tidy};

use super::{problems, told};

const JOINTS: &str = include_str!("../../fixtures/syntax/joints.dew");

/// The joints of a text that reads without a problem.
fn joints(text: &str) -> Vec<Joint> {
    let parsed = parse(FileId(0), text);
    assert_eq!(parsed.problems, []);
    let joint = |stanza| if let Stanza::Joint(joint) = stanza { Some(joint) } else { None };
    parsed.tree.stanzas.into_iter().filter_map(joint).collect()
}

/// The one sentence of a joint.
fn sentence(line: &str) -> Sentence {
    let all = joints(&format!("joint a\n  joins b top, c face\n  {line}\n"));
    match &all[0].lines[1] {
        JointLine::Sentence(sentence) => (**sentence).clone(),
        other => panic!("{line}: {other:?}"),
    }
}

/// The shapes of the one piece of a joint.
fn shapes(line: &str) -> Vec<Shape> {
    let all = joints(&format!("joint a\n  joins b top\n  p: copper{line}\n"));
    match &all[0].lines[1] {
        JointLine::Piece(piece) => piece.shapes.iter().map(|shape| shape.value.clone()).collect(),
        other => panic!("{line}: {other:?}"),
    }
}

fn inches(amount: &Amount) -> f64 {
    match amount {
        Amount::Known(q) => (q.si / INCH * 1e6).round() / 1e6,
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_form_reads_and_every_line_is_kept() {
    let all = joints(JOINTS);
    let counts: Vec<usize> = all.iter().map(|joint| joint.lines.len()).collect();
    assert_eq!(counts, [18, 11, 4]);
    assert!(all.iter().flat_map(|joint| &joint.lines).all(|line| !matches!(line, JointLine::Hole(_))));
    let hosts: Vec<Option<&str>> = all.iter().map(|joint| joint.host.as_ref().map(|host| host.text.as_str())).collect();
    assert_eq!(hosts, [None, Some("gym"), Some("balcony")]);
    assert_eq!(all[0].note.as_ref().map(|note| note.text.as_str()), Some("new gym against the old hall"));
    let JointLine::Joins(ends, _) = &all[0].lines[0] else { panic!("edges") };
    let ends: Vec<(&str, Edge)> = ends.iter().map(|end| (end.surface.text.as_str(), end.edge.value)).collect();
    assert_eq!(ends, [("gym", Edge::Left), ("hall", Edge::Face), ("hall", Edge::InsideFace)]);
    let factor = all[0].lines.iter().find_map(|l| if let JointLine::Factor(f) = l { Some(f.value) } else { None });
    assert_eq!(factor, Some(0.82));
    let moves = |line: &JointLine| if let JointLine::Moves { way, .. } = line { Some(way.value) } else { None };
    assert_eq!(all[0].lines.iter().filter_map(moves).collect::<Vec<_>>(), [Way::Across, Way::Along]);
}

#[test]
fn sentences_say_who_does_what_to_whom_and_how_far() {
    let one = sentence("upper old.membrane lap over low eave 4 in, bonded \"so\"");
    assert_eq!(one.subject.half.map(|half| half.value), Some(Half::Upper));
    assert_eq!((one.subject.name.text.as_str(), one.verb.value), ("old.membrane", Verb::LapsOver));
    let object = one.object.unwrap();
    assert_eq!((object.name.text.as_str(), object.edge.map(|edge| edge.value)), ("low", Some(Edge::Eave)));
    assert_eq!(one.length.as_ref().map(inches), Some(4.0));
    assert_eq!(one.attributes[0].value, Attribute::Bonded);
    assert_eq!(one.note.unwrap().text, "so");

    let up = sentence("roofing turns up 3 in above boards");
    assert_eq!((up.object, up.above.unwrap().name.text.as_str()), (None, "boards"));
    let fills = sentence("foam fills deck flutes");
    assert_eq!((fills.object.unwrap().name.text.as_str(), fills.hollow.unwrap().value), ("deck", Hollow::Flutes));
    let gap = sentence("foam fills gap");
    assert_eq!((gap.object.unwrap().name.text.as_str(), gap.hollow), ("gap", None));
    let bead = sentence("flange seals to sheathing with urethane 1/4 in, backed, at head and jambs");
    assert_eq!(bead.with.as_ref().unwrap().amounts.len(), 1);
    let Attribute::At(places) = &bead.attributes[1].value else { panic!("places") };
    assert_eq!(places.iter().map(|spot| spot.value).collect::<Vec<_>>(), [Spot::Head, Spot::Jambs]);
    for (line, verb) in [
        ("a seals to b", Verb::SealsTo),
        ("a tucks into b 1 in", Verb::TucksInto),
        ("a turns up b 6 in", Verb::TurnsUp),
        ("a butts b", Verb::Butts),
        ("a touches b", Verb::Touches),
        ("a clears b 8 in", Verb::Clears),
        ("a fastens through b", Verb::FastensThrough),
        ("a fastens to b", Verb::FastensTo),
        ("a drains to b", Verb::DrainsTo),
        ("a runs past b 1/4 in", Verb::RunsPast),
        ("a runs to b", Verb::RunsTo),
        ("a STOPS short OF b 3/4 in", Verb::StopsShort),
    ] {
        let read = sentence(line);
        assert_eq!((read.verb.value, read.object.unwrap().name.text.as_str()), (verb, "b"), "{line}");
    }
}

#[test]
fn after_at_a_unit_or_a_word_decides() {
    let of = |line: &str| sentence(line).attributes[0].value.clone();
    assert!(matches!(of("a fastens to b at 16 in oc"), Attribute::Spacing(by) if inches(&by) == 16.0));
    assert!(matches!(of("a fastens to b, at 24 in"), Attribute::Spacing(by) if inches(&by) == 24.0));
    assert!(matches!(of("a laps over b 2 in, at 2 C"), Attribute::Temperature(_)));
    assert!(matches!(of("a laps over b 2 in, at low end"), Attribute::At(_)));
    assert!(matches!(of("a drains to b, weeps at 24 in oc"), Attribute::Weeps(Some(by)) if inches(&by) == 24.0));
    assert!(matches!(of("a drains to b, weeps"), Attribute::Weeps(None)));
    assert!(matches!(of("a seals to b, sealed with urethane"), Attribute::Sealed(Some(_))));
    assert!(matches!(of("a laps over b, edge under upper bar"), Attribute::EdgeUnder(bar) if bar.half.is_some()));
}

#[test]
fn shapes_stand_on_the_piece() {
    assert!(matches!(&shapes(", end dams 3 in, back dam")[..], [Shape::EndDams(Some(_)), Shape::BackDam(None)]));
    assert!(matches!(&shapes(", slope 1:24 to flat")[..], [Shape::Slope(_, Toward::To(name))] if name.text == "flat"));
    assert!(matches!(&shapes(", slope 2 % both ways")[..], [Shape::Slope(_, Toward::BothWays)]));
    assert!(matches!(&shapes(", open joints")[..], [Shape::Seams(PieceSeams::Open)]));
    assert!(matches!(&shapes(", seams lapped 3 in")[..], [Shape::Seams(PieceSeams::Lapped(Some(_)))]));
    assert!(matches!(&shapes(", 6 in high, unknown wide")[..], [Shape::High(_), Shape::Wide(Amount::Unknown(_))]));
    assert!(matches!(&shapes(", 20 ga, coated")[..], [Shape::Coated]), "a gauge goes to the material");
}

#[test]
fn surfaces_say_where_their_water_goes_and_what_is_not_drawn() {
    let tree = parse(FileId(0), JOINTS).tree;
    let surfaces = tree.stanzas.iter().filter_map(|s| if let Stanza::Surface(s) = s { Some(s) } else { None });
    let facts: Vec<&Fact> = surfaces.clone().flat_map(|s| &s.statements).map(|s| &s.fact).collect();
    assert!(matches!(facts[0], Fact::Continues(edges) if edges.len() == 2));
    assert!(matches!(facts[1], Fact::Unjoined(edges) if edges[0].value == Edge::Bottom));
    assert!(matches!(facts[2], Fact::Slope { to: Some(edge), .. } if edge.value == Edge::Front));
    assert!(matches!(facts[3], Fact::Drains { to, overflow: true } if to.text == "outlet"));
    let words: Vec<String> = surfaces
        .flat_map(|s| &s.rows)
        .filter_map(|row| if let dewlap::syntax::ast::Row::Layer(layer) = row { Some(layer) } else { None })
        .flat_map(|layer| &layer.words)
        .map(|word| match &word.value {
            Word::Slope(_) => "slope".to_owned(),
            Word::Lapped(_) => "lapped".to_owned(),
            Word::Open { .. } => "open".to_owned(),
            other => format!("{other:?}"),
        })
        .collect();
    let wanted = ["open", "Taped { inside: false }", "lapped", "CopperTreated", "Welded", "Level", "slope", "Treated"];
    assert_eq!(words, wanted);
}

#[test]
fn slips_are_told_at_their_words() {
    for (line, at, message, help) in [
        ("cap:copper", "cap:copper", "a space is missing after the colon", "`cap: copper`"),
        ("cap : copper", ":", "the colon stands apart", "write `cap:`"),
        ("kick strip: copper", "kick strip:", "a name is one word", "`kick-strip:`"),
        ("upper: copper", "upper:", "`upper` cannot be a name", "two sides of a layer"),
        ("cap: copper drip", "drip", "`drip` is not understood here", "comma before `drip`"),
        ("cap: copper, dripp", "dripp", "`dripp` is no shape of a piece", "`drip`"),
        ("cap: copper, end dam 1 in", "end", "`end` is no shape of a piece", "write `end dams`"),
        ("cap: copper, bonded", "bonded", "`bonded` does not belong on a piece", "put it on a sentence"),
        ("cap: copper -> water", "->", "no `->` at a joint", "leave it out"),
        ("cap: copper or lead", "or", "`or` cannot stand at a joint", "draw one"),
        ("cap: copper at sill", "at", "`at` is not understood here", "comma before `at`"),
        ("cap: copper, at haed", "haed", "`haed` is no place along a joint", "`head`"),
        ("cap: copper, at low", "low", "`low` is no place along a joint", "`low end`"),
        ("cap: copper, 6 in tall", "tall", "`tall` is not understood here", "`6 in high`"),
        ("cap: copper 2 in, 3 in", "3 in", "a second figure of the same measure", "`6 in high`"),
        ("cap: copper, drip, drip", "drip", "this is said twice", "leave one out"),
        ("cap: copper, slope 1:12", "1:12", "something is missing after `1:12`", "`outward`"),
        ("cap: copper, turned up 8 in", "turned", "`turned` is no shape of a piece", "turns up curb"),
        ("cap: drip, copper", "drip", "`drip` stands where a material belongs", "material comes first"),
        ("cap: laps over frame", "cap:", "a sentence takes no colon", "`cap laps over ...`"),
        ("cap bonds to frame 5 in", "bonds", "`bonds` is no verb", "`laps over X 5 in, bonded`"),
        ("cap covers the seam", "covers", "`covers` is no verb", "`laps over seam 3 in`"),
        ("sill projects 45 mm", "projects", "`projects` is no verb", "`runs past X 45 mm`"),
        ("cap has end dams", "has", "`has` is no verb", "end dams`"),
        ("pan slopes 1:12", "slopes", "`slopes` is no verb", "slope 1:12 outward"),
        ("ends screened", "ends screened", "does not say how ends are closed", "`drains to`"),
        ("cap laps behind wrap 3 in", "laps behind", "upper one laps over the lower", "`wrap laps over cap ...`"),
        ("cap laps frame", "laps", "`laps` alone is no verb", "`laps over`"),
        ("ledger fastens membrane", "fastens", "`fastens` alone", "`fastens through` or `fastens to`"),
        ("cap lapps over frame", "lapps", "`lapps` is no verb", "`laps`"),
        ("cap laps over", "over", "missing after `laps over`", "cap laps over frame 1 in"),
        ("cap laps over 3 in", "over", "missing after `laps over`", "frame"),
        ("upper laps over frame", "upper", "`upper` of which layer?", "`upper membrane`"),
        ("cap laps over frame 3", "3", "`3` has no unit", "units that fit"),
        ("cap laps over frame 3 im", "im", "`im` is not a unit", "`in`"),
        ("cap laps over frame 70 F", "70 F", "a temperature does not fit here", "what fits"),
        ("cap laps over frame 3 in 4 in", "4", "a length has no place here", "one length"),
        ("cap laps over frame 3 in, 4 in", "4 in", "does not say what it measures", "one length"),
        ("cap laps over frame 3 in, 4 in high", "high", "`high` does not belong on a sentence", "shape"),
        ("cap laps over frame 3 in bonded", "bonded", "`bonded` is not understood", "comma before `bonded`"),
        ("cap laps over frame 3 in, bondd", "bondd", "`bondd` is not known in a sentence", "`bonded`"),
        ("cap laps over frame 3 in, drip", "drip", "`drip` does not belong on a sentence", "piece's own line"),
        ("cap laps over frame, edge below bar", "edge", "`edge` is not known", "`edge under`"),
        ("cap laps over frame, rolled, rolled", "rolled", "this is said twice", "leave one out"),
        ("cap seals to frame wiht urethane", "wiht", "`wiht` is not understood here", "`with`"),
        ("cap laps over frame and sill", "and", "`and` is not understood here", "one link, one sentence"),
        ("tray drains to outdoors, weeps 24 in oc", "24", "a length has no place here", "`weeps at 24 in oc`"),
        ("siding clears grade 0 in", "0 in", "what clears by 0 touches", "`touches`"),
        ("cap laps over frame \"so", "\"so", "this note is not closed", "close it"),
        ("fRsi 8", "8", "`8` is no surface temperature factor", "0 to 1"),
        ("moves 1/4 in", "in", "something is missing after `in`", "`across`"),
        ("slope 6:12", "slope", "`slope` does not belong here", "section of a surface"),
        ("joins c top", "joins", "a second `joins`", "on one line"),
        ("cap", "cap", "this line says nothing", "`NAME: MATERIAL`"),
    ] {
        let text = format!("joint a\n  joins b top, c face\n  {line}\n  d laps over e 1 in\n");
        let all = problems(&text);
        assert_eq!(all.len(), 1, "{line}: {all:?}");
        let found = &text[all[0].primary.span.range()];
        assert_eq!(found, at, "{line}: {}", all[0].message);
        assert!(all[0].message.contains(message) && all[0].message.chars().count() <= 80, "{line}: {}", all[0].message);
        assert!(all[0].help.contains(help), "{line}: {}", all[0].help);
        let tree = parse(FileId(0), &text).tree;
        let Stanza::Joint(joint) = &tree.stanzas[0] else { panic!("a joint") };
        let last = joint.lines.last();
        assert!(matches!(last, Some(JointLine::Sentence(s)) if s.subject.name.text == "d"), "{line} costs one line");
    }
}

#[test]
fn heads_and_edges_that_are_wrong_are_told_once() {
    for (text, at, message) in [
        ("joint\n  joins a top\n", "joint", "this `joint` has no name"),
        ("joint eave in wall\n", "in", "a `joint` is in no surface"),
        ("joint eave\n  cap: copper\n", "eave", "does not say which edges meet"),
        ("opening pantry\n", "pantry", "the surface it is in is missing"),
        ("opening pantry \"t\"\n", "pantry", "the surface it is in is missing"),
        ("opening pantry east\n", "east", "`east` is not understood here"),
        ("opening pantry through east\n", "through", "`through` does not fit here"),
        ("opening pantry in east wall\n", "wall", "a name is one word"),
        ("opening pantry in east\n  joins a top\n", "joins", "`joins` does not belong in `opening`"),
        ("joint a\n  joins b topp, c face\n", "topp", "`topp` is no edge"),
        ("joint a\n  joins b\n", "b", "something is missing after `b`"),
        ("joint a\n  joins b above c\n", "above", "no `above` between edges"),
        ("joint a\n  joins b top and c face\n", "and", "`and` is not understood here"),
        ("joint a\n  joins b top\ncap laps over d 1 in\n", "cap laps over d 1 in", "indent this line"),
        ("joint a\n  joins b top\ncap: copper\n", "cap: copper", "indent this line"),
        ("joint a\njoins b top\n", "joins b top", "indent this line"),
        ("wall a\n  outdoors\n  cap laps over d 1 in\n  indoors\n", "cap", "a surface has no sentences"),
        ("joint a\n  joins b top\n  cap laps over d 1 in,\n  e laps over f\n", ",", "something is missing after `,`"),
        ("junction a\n", "junction", "`junction` opens no stanza"),
    ] {
        let all = told(text);
        assert_eq!(all.len(), 1, "{text}: {all:?}");
        assert_eq!(all[0].0, at, "{text}");
        assert!(all[0].1.contains(message), "{text}: {}", all[0].1);
    }
}

#[test]
fn joints_get_one_layout() {
    let written = "joint  eave   \"as is\"\n     joins   a  top,b\tbottom  # edges\n a:copper-sheet  20ga ,drip\n";
    assert!(tidy(written).is_err(), "a space is missing");
    let written = "joint  eave   “as is”\n     joins   a  top,b\tbottom  # edges\n\n\n a:  copper  20ga ,drip,at  low end\n \
                   longer: spf 1½\"\n   # why\n  upper  r laps over sd  ½\",\n  bonded\n sd turns up 75mm above  mu\n";
    let wanted = "joint eave \"as is\"\n  joins a top, b bottom  # edges\n\n  a:      copper 20 ga, drip, at low end\n  \
                  longer: spf 1-1/2 in\n  # why\n  upper r laps over sd 1/2 in,\n    bonded\n  sd turns up 75 mm above mu\n";
    assert_eq!(tidy(written).unwrap(), wanted);
    assert_eq!(tidy(wanted).unwrap(), wanted);
    let once = tidy(JOINTS).unwrap();
    assert_eq!(tidy(&once).unwrap(), once);
    let comments = |text: &str| text.lines().filter(|line| line.contains('#')).count();
    assert_eq!(comments(&once), comments(JOINTS));
}

#[test]
fn a_joint_of_too_many_lines_is_told_once() {
    let lines: String = (0..1300).map(|i| format!("  p{i}: copper\n")).collect();
    let text = format!("wall a\n  outdoors\n  b: brick-veneer\n  indoors\njoint j\n  joins a top\n{lines}");
    let read = parse(FileId(0), &text);
    let told: Vec<_> = read.problems.iter().map(|p| p.message.as_str()).collect();
    assert_eq!(told, ["this stanza has more than 1200 lines"]);
}
