//! Details reviewed again: checked where they stand, carried elsewhere; what their evidence bears out; which shelf is
//! searched first.

use std::fs;
use std::path::Path;

use assert_cmd::Command;
use dewlap::base::finding::Weight;
use dewlap::model::detail::Status;
use dewlap::output::checked::Checked;
use dewlap::review::Input;
use dewlap::review::detail::{Again, carry, check};
use dewlap::shelf::form::fingerprint;

/// A wall for the north, quiet there.
const WALL: &str = "---
title: Wool outside, a film inside
meets: [framed wall]
status: reviewed
revision: 1
places: [burlington-vt-us]
holds:
  zones: [6A, 7]
source: our own drawing
---
detail film-inside
job creamery
  place  duluth-mn-us
  code   irc-2021
  heated 66 F 40 %
  cooled 72 F 50 %

wall north
  outdoors
  siding:   wood-lap-siding, primed
  gap:      air 3/4 in, open top and bottom
  wrap:     housewrap, lapped 6 in, taped  -> water
  sheath:   osb 7/16 in, taped, edges sealed, holes sealed  -> air
  studs:    2x6 at 16 in, bays mineral-wool-batt
  film:     polyethylene 6 mil, taped, edges sealed  -> vapor
  lining:   drywall 1/2 in, edges sealed, painted
  indoors
";

fn input(text: &str) -> Input {
    Input { name: "film-inside.dew".to_owned(), text: text.to_owned() }
}

fn rules(again: &Again, at: usize) -> Vec<&'static str> {
    again.at[at].report.findings.iter().map(|f| f.rule).collect()
}

#[test]
fn a_detail_is_checked_at_home_and_at_each_place() {
    let again = check(input(WALL));
    assert_eq!(again.at.len(), 2);
    let places: Vec<&str> = again.at.iter().map(|h| h.report.job.as_ref().unwrap().place.as_str()).collect();
    assert_eq!(places, ["Duluth, Minnesota", "Burlington, Vermont"]);
    assert!(again.whole() && rules(&again, 0).is_empty() && rules(&again, 1).is_empty(), "{:?}", again.at);
    let checked = Checked::of("film-inside", "project", &again);
    assert!(checked.troubles.is_empty() && checked.whole && checked.places == 2);
}

#[test]
fn carried_to_the_heat_a_film_inside_is_told_with_the_reason() {
    let again = carry(input(WALL), "miami-fl-us");
    let changes = again.changes();
    let new: Vec<&str> = changes.new.iter().map(|f| f.rule).collect();
    assert!(new.contains(&"record/outside-conditions"), "{new:?}");
    let dew = changes.new.iter().find(|f| f.rule.starts_with("vapor/") || f.rule.starts_with("dew/"));
    let dew = dew.unwrap_or_else(|| panic!("a film inside of a cooled wall in Miami: {new:?}"));
    assert!(dew.weight > Weight::Watch && !dew.help.is_empty(), "{dew:?}");
    assert!(changes.gone.is_empty());
    // To where it holds nothing changes.
    assert!(carry(input(WALL), "minneapolis-mn-us").changes().new.is_empty());
}

#[test]
fn in_another_country_the_code_stays_at_home() {
    let again = carry(input(WALL), "montreal-qc-ca");
    assert!(again.at[1].without_code && again.at[1].report.job.as_ref().unwrap().code.is_none());
    assert!(!rules(&again, 1).contains(&"record/code-elsewhere"));
    let again = carry(input(WALL), "burlington-vt-us");
    assert!(!again.at[1].without_code && again.at[1].report.job.as_ref().unwrap().code.is_some());
}

/// What is wrong with a text that is called as it should be.
fn troubles(text: &str) -> Vec<(Option<&'static str>, usize)> {
    let checked = Checked::of("film-inside", "project", &check(input(text)));
    checked.troubles.iter().map(|t| (t.rule, t.at.len())).collect()
}

#[test]
fn what_a_head_does_not_declare_is_a_trouble() {
    // Found at the second place only: it is named there.
    let warm = WALL.replace("places: [burlington-vt-us]", "places: [miami-fl-us]");
    let told = troubles(&warm);
    assert!(told.contains(&(Some("record/outside-conditions"), 1)), "{told:?}");
    assert!(told.len() > 1 && told.iter().all(|(_, at)| *at == 1), "{told:?}");
    // Declared, and not found anywhere.
    let idle = WALL.replace("source:", "accepts:\n  - {}\nsource:");
    let idle =
        idle.replace("  - {}", "  - finding: water/thin-cavity\n    in: north.gap\n    because: it is wide enough");
    assert_eq!(troubles(&idle), [(Some("record/idle-acceptance"), 0)]);
    // Declared and found.
    let open = WALL.replace("osb 7/16 in, taped, edges sealed", "osb 7/16 in, edges sealed");
    assert!(!troubles(&open).is_empty());
    let named = Checked::of("another-name", "project", &check(input(WALL)));
    assert!(named.troubles[0].message.contains("film-inside"));
    let bare = WALL.split("\n---\n").nth(1).unwrap();
    assert_eq!(troubles(bare), [(None, 0)]);
}

#[test]
fn a_declared_finding_may_show_at_one_place_only() {
    let text =
        WALL.replace("places: [burlington-vt-us]", "places: [miami-fl-us]").replace("zones: [6A, 7]", "zones: [1A, 7]");
    let found: Vec<String> = rules(&check(input(&text)), 1).iter().map(|r| r.to_string()).collect();
    assert!(!found.is_empty());
    let declared: String =
        found.iter().map(|r| format!("  - finding: {r}\n    in: north\n    because: tried on purpose\n")).collect();
    let text = text.replace("source:", &format!("accepts:\n{declared}source:"));
    assert_eq!(troubles(&text), []);
}

#[test]
fn a_detail_stands_by_itself_when_it_is_checked() {
    let told = Checked::of("film-inside", "project", &check(input(&format!("{WALL}include \"more.dew\"\n"))));
    assert!(!told.whole && told.troubles[0].message.contains("more.dew"), "{told:?}");
}

/// The text with evidence of a form, claiming `status`.
fn with_evidence(status: &str, form: &str) -> String {
    let evidence = format!(
        "evidence:\n  - date: 2026-04-02\n    kind: opened up\n    winters: 2\n    result: passed\n    by: a carpenter\n    form: {form}\n"
    );
    WALL.replace("status: reviewed", &format!("status: {status}"))
        .replace("---\ndetail", &format!("{evidence}---\ndetail"))
}

fn standing(text: &str) -> (Status, bool) {
    let again = check(input(text));
    let detail = &again.at[0].report.details[0];
    (detail.standing.status, rules(&again, 0).contains(&"record/unearned-status"))
}

#[test]
fn a_changed_detail_is_no_longer_proven() {
    let text = with_evidence("proven", &fingerprint(WALL, &[]));
    assert_eq!(standing(&text), (Status::Proven, false));
    // Looks, places and units change nothing.
    let looks = text.replace("  wrap: ", "  # taped in the warm\n  wrap:     ").replace("7/16 in", "11.1125 mm");
    let looks = looks.replace("heated 66 F 40 %", "heated 70 F 35 %").replace("primed", "primed \"both coats\"");
    assert_ne!(looks, text);
    assert_eq!(standing(&looks), (Status::Proven, false));
    // Any change of what is drawn does.
    for (from, to) in [("taped  -> water", "-> water"), ("osb 7/16", "osb 1/2"), ("2x6", "2x8"), ("housewrap", "felt")]
    {
        assert_eq!(standing(&text.replace(from, to)), (Status::Reviewed, true), "{from}");
    }
}

fn dewlap(home: &Path) -> Command {
    let mut command = Command::cargo_bin("dewlap").unwrap();
    command.env("HOME", home).env("XDG_DATA_HOME", home.join("data")).env("XDG_CACHE_HOME", home.join("cache"));
    command.env_remove("DEWLAP_SHELF").current_dir(home);
    command
}

fn out(command: &mut Command) -> (i32, String, String) {
    let done = command.output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (done.status.code().unwrap(), text(done.stdout), text(done.stderr))
}

#[test]
fn shelves_are_searched_in_order() {
    let home = tempfile::tempdir().unwrap();
    let put = |folder: &str, title: &str| {
        fs::create_dir_all(home.path().join(folder)).unwrap();
        let text = WALL.replace("Wool outside, a film inside", title).replace("film-inside", "wall-cold");
        fs::write(home.path().join(folder).join("wall-cold.dew"), text).unwrap();
    };
    let title = |command: &mut Command| {
        let (code, out, err) = out(command.args(["shelf", "carry", "wall-cold", "--to", "duluth-mn-us"]));
        assert_eq!(code, 0, "{err}");
        out.lines().nth(1).unwrap().trim().to_owned()
    };
    assert!(title(&mut dewlap(home.path())).starts_with("A frame wall for cold places"));
    put("shared", "On the shared shelf");
    let shared = home.path().join("shared");
    assert_eq!(title(dewlap(home.path()).env("DEWLAP_SHELF", &shared)), "On the shared shelf");
    put("data/dewlap/details", "On my own shelf");
    assert_eq!(title(dewlap(home.path()).env("DEWLAP_SHELF", &shared)), "On my own shelf");
    put("details", "On the project's shelf");
    assert_eq!(title(dewlap(home.path()).env("DEWLAP_SHELF", &shared)), "On the project's shelf");
    let named = ["shelf", "--shelf", "shared", "carry", "wall-cold", "--to", "duluth-mn-us"];
    assert!(out(dewlap(home.path()).args(named)).1.contains("On the shared shelf"));
}

#[test]
fn the_shipped_shelf_is_as_its_heads_say() {
    let home = tempfile::tempdir().unwrap();
    let (code, shown, err) = out(dewlap(home.path()).args(["shelf", "check"]));
    assert_eq!(code, 0, "{shown}{err}");
    assert!(
        shown.contains("reviewed") && !shown.contains("proven") && err.contains("all as their heads say"),
        "{shown}{err}"
    );
    let (code, json, _) = out(dewlap(home.path()).args(["shelf", "check", "kick-out", "--json"]));
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let checked = &json["details"][0];
    assert_eq!((code, checked["name"].as_str(), checked["places"].as_u64()), (0, Some("kick-out"), Some(2)));
    assert_eq!((json["complete"].as_bool(), json["errors"].as_array().map(Vec::len)), (Some(true), Some(0)));
}

#[test]
fn names_and_places_that_are_not_there_are_told_with_near_ones() {
    let home = tempfile::tempdir().unwrap();
    let (code, _, err) = out(dewlap(home.path()).args(["shelf", "carry", "kik-out", "--to", "miami-fl-us"]));
    assert!(code == 2 && err.contains("no detail `kik-out`") && err.contains("`kick-out`"), "{err}");
    let (code, _, err) = out(dewlap(home.path()).args(["shelf", "carry", "kick-out", "--to", "miami"]));
    assert!(code == 2 && err.contains("no place `miami`") && err.contains("`miami-fl-us`"), "{err}");
    let (code, _, err) = out(dewlap(home.path()).args(["shelf", "check", "--shelf", "nowhere"]));
    assert!(code == 2 && err.contains("nowhere: no such folder") && err.contains("`--shelf FOLDER`"), "{err}");
}

#[test]
fn a_carried_detail_is_shown_at_any_width() {
    let home = tempfile::tempdir().unwrap();
    for width in ["40", "60", "80", "120"] {
        for looks in [&[][..], &["--plain"][..], &["--ascii"][..]] {
            let args = ["shelf", "carry", "wall-cold", "--to", "miami-fl-us", "--width", width];
            let (code, shown, err) = out(dewlap(home.path()).args(args).args(looks));
            assert_eq!(code, 1, "{err}");
            let wide = shown.lines().find(|l| l.chars().count() > width.parse().unwrap() && !l.contains(".dew:"));
            assert!(wide.is_none(), "{width}: {wide:?}");
        }
    }
}
