//! The command line: exit codes, streams, files, looks.

use assert_cmd::Command;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const CLEAN: &str = "material mill-board: larch 7/8 in\n";
/// One finding of weight fix: an acceptance of something that is not there.
const FIX: &str =
    "job smithy\n  place albany-ny-us\n  heated 70 F 40 %\n\naccept dew/lasting-condensate in north because \"dry\"\n";
const UNREADABLE: &str = "wal north\n";

/// The program in an environment of its own: nothing of the machine's settings reaches it.
fn dewlap(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("dewlap").unwrap();
    command.current_dir(folder).env_clear().args(arguments);
    command
}

struct Ran {
    code: i32,
    out: String,
    err: String,
}

fn ran(command: &mut Command) -> Ran {
    let done = command.output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Ran { code: done.status.code().unwrap(), out: text(done.stdout), err: text(done.stderr) }
}

fn run(folder: &Path, arguments: &[&str]) -> Ran {
    ran(&mut dewlap(folder, arguments))
}

/// A folder with the given files.
pub fn folder(files: &[(&str, &str)]) -> TempDir {
    let folder = TempDir::new().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

fn bench() -> TempDir {
    folder(&[("clean.dew", CLEAN), ("fix.dew", FIX), ("odd.dew", UNREADABLE), ("empty/readme.txt", "no notation")])
}

#[test]
fn exit_codes() {
    let at = bench();
    fs::write(at.path().join("bytes.dew"), b"wall \xff\n").unwrap();
    let table: &[(&[&str], i32)] = &[
        (&["review", "clean.dew"], 0),
        (&["review", "fix.dew"], 1),
        (&["review", "--until", "stop", "fix.dew"], 0),
        (&["review", "--until", "watch", "fix.dew"], 1),
        (&["review", "clean.dew", "fix.dew"], 1),
        (&["review", "odd.dew"], 2),
        (&["review", "--until", "stop", "odd.dew"], 2),
        (&["review", "bytes.dew"], 2),
        (&["review", "clean.dew", "missing.dew"], 2),
        (&["review", "empty"], 2),
        (&["review", "--until", "never"], 2),
        (&["review", "--no-such-flag"], 2),
        (&["review", "--json", "--lines", "clean.dew"], 2),
        (&["review", "--as", "x.dew", "clean.dew"], 2),
        (&["no-such-command"], 2),
        (&[], 2),
        (&["--help"], 0),
        (&["review", "--help"], 0),
        (&["--version"], 0),
        (&["why"], 0),
        (&["why", "dew"], 0),
        (&["why", "dew/lasting-condensate"], 0),
        (&["why", "no/such-rule"], 2),
        (&["materials", "plywood"], 0),
        (&["materials", "plywod"], 2),
        (&["places", "albany-ny-us"], 0),
        (&["places", "no-such-place-at-all"], 2),
        (&["profile", "clean.dew"], 2),
        (&["profile", "--month", "smarch"], 2),
        (&["tidy"], 2),
        (&["tidy", "--check", "clean.dew"], 0),
        (&["tidy", "odd.dew"], 2),
        (&["completions", "bash"], 0),
        (&["completions", "abacus"], 2),
    ];
    for (arguments, code) in table {
        let ran = run(at.path(), arguments);
        assert_eq!(ran.code, *code, "{arguments:?}\n{}{}", ran.out, ran.err);
        assert!(ran.code == 0 || !(ran.out + &ran.err).is_empty(), "{arguments:?} fails without a word");
    }
}

#[test]
fn the_others_are_read_when_one_cannot_be() {
    let at = bench();
    let ran = run(at.path(), &["review", "--lines", "missing.dew", "fix.dew"]);
    assert_eq!(ran.out.lines().count(), 1);
    assert!(ran.out.starts_with("fix.dew:5:34: fix: record/idle-acceptance: "), "{}", ran.out);
    assert!(ran.err.contains("missing.dew: no such file"), "{}", ran.err);
    assert!(ran.err.ends_with("1 fix; `dewlap why record/idle-acceptance` tells more\n"), "{}", ran.err);
}

#[test]
fn standard_input_can_have_a_name() {
    let at = bench();
    let plain = ran(dewlap(at.path(), &["review", "--lines", "-"]).write_stdin(FIX));
    assert!(plain.out.starts_with("standard input:5:34: "), "{}", plain.out);
    let named = ran(dewlap(at.path(), &["review", "--lines", "--as", "not/there.dew", "-"]).write_stdin(FIX));
    assert!(named.out.starts_with("not/there.dew:5:34: "), "{}", named.out);
    let implied = ran(dewlap(at.path(), &["review", "--lines", "--as", "not/there.dew"]).write_stdin(FIX));
    assert_eq!((implied.out, implied.code), (named.out, 1));
}

#[test]
fn folders_are_walked_in_order() {
    let at = folder(&[
        ("b/2.dew", FIX),
        ("b/10.dew", FIX),
        ("a.dew", FIX),
        (".hidden/x.dew", FIX),
        ("b/.x.dew", FIX),
        ("b/notes.txt", FIX),
    ]);
    #[cfg(unix)]
    std::os::unix::fs::symlink(at.path().join("b"), at.path().join("link")).unwrap();
    let files =
        |ran: &Ran| -> Vec<String> { ran.out.lines().map(|l| l.split(':').next().unwrap().to_owned()).collect() };
    let all = run(at.path(), &["review", "--lines", "."]);
    assert_eq!(files(&all), ["a.dew", "b/10.dew", "b/2.dew"]);
    assert!(all.err.contains("3 files: 3 fix"), "{}", all.err);
    let again = run(at.path(), &["review", "--lines", "a.dew", ".", "./a.dew"]);
    assert_eq!(files(&again), ["a.dew", "b/10.dew", "b/2.dew"]);
}

#[test]
fn includes_are_read_beside_the_text_that_names_them() {
    let at = folder(&[("jobs/a.dew", "include ../shelf/b.dew\n"), ("shelf/b.dew", UNREADABLE)]);
    let ran = run(at.path(), &["review", "--lines", "jobs/a.dew"]);
    assert!(ran.out.contains("shelf/b.dew:1:1: stop: notation/unreadable"), "{}{}", ran.out, ran.err);
    let missing = folder(&[("a.dew", "include b.dew\n")]);
    let ran = run(missing.path(), &["review", "--lines", "a.dew"]);
    assert_eq!(ran.code, 2);
    assert!(ran.out.starts_with("a.dew:1:"), "{}", ran.out);
}

#[test]
fn the_demo_is_said_to_be_one() {
    let at = bench();
    let ran = run(at.path(), &["review"]);
    assert!(ran.err.starts_with("no file given: this is the built-in demo"), "{}", ran.err);
    assert!(ran.out.starts_with("press-room.dew\n"), "{}", ran.out);
    assert!(ran.out.contains("Local code and licensed practice decide."));
}

#[test]
fn two_runs_write_the_same_bytes() {
    let at = bench();
    for flag in ["--json", "--lines", "--plain", "--assumed"] {
        let arguments = ["review", flag, "."];
        let (first, second) = (run(at.path(), &arguments), run(at.path(), &arguments));
        assert_eq!((first.out, first.err, first.code), (second.out, second.err, second.code), "{flag}");
    }
}

#[test]
fn color_by_flag_and_environment() {
    let at = bench();
    type Variables = &'static [(&'static str, &'static str)];
    // Variables and flag, and whether escapes are written to a pipe.
    let table: &[(Variables, &str, bool)] = &[
        (&[], "auto", false),
        (&[], "always", true),
        (&[("CLICOLOR_FORCE", "1")], "auto", true),
        (&[("FORCE_COLOR", "1")], "auto", true),
        (&[("FORCE_COLOR", "0")], "auto", false),
        (&[("NO_COLOR", "1"), ("FORCE_COLOR", "1")], "auto", false),
        (&[("NO_COLOR", "1")], "always", true),
        (&[("CLICOLOR_FORCE", "1")], "never", false),
    ];
    for (variables, flag, expected) in table {
        let mut command = dewlap(at.path(), &["review", "--color", flag, "fix.dew"]);
        let ran = ran(command.envs(variables.iter().copied()));
        assert_eq!(ran.out.contains('\u{1b}'), *expected, "{variables:?} {flag}");
    }
}

#[test]
fn signs_follow_the_locale() {
    let at = bench();
    let art = |name: &str, value: &str| ran(dewlap(at.path(), &["review", "fix.dew"]).env(name, value)).out;
    assert!(art("LANG", "en_US.UTF-8").contains('╭'));
    assert!(art("LC_ALL", "C").is_ascii());
    assert!(!art("NO_GRAPHICS", "1").contains('╭'));
}

#[test]
fn help_fits_and_shows_examples() {
    let at = bench();
    for columns in ["60", "80"] {
        for command in ["review", "why", "profile", "materials", "places", "tidy", "completions"] {
            let ran = ran(dewlap(at.path(), &[command, "--help"]).env("COLUMNS", columns));
            assert!(ran.out.contains("Example"), "{command}");
            // The example of a shell's own path is as long as it is.
            let widest = ran.out.lines().filter(|l| !l.contains("bash-completion")).map(|l| l.chars().count()).max();
            assert!(widest <= columns.parse().ok(), "{command} at {columns}: {widest:?}\n{}", ran.out);
        }
    }
}

#[test]
fn lists_keep_to_the_width() {
    let at = bench();
    for width in ["40", "60", "100"] {
        for arguments in [
            &["why"][..],
            &["materials"],
            &["materials", "plywood"],
            &["places", "york"],
            &["places", "albany-ny-us"],
            &["profile"],
            &["review"],
        ] {
            let ran = run(at.path(), &[arguments, &["--width", width]].concat());
            assert!(!ran.out.is_empty(), "{arguments:?}");
            for line in ran.out.lines() {
                assert!(line.chars().count() <= width.parse().unwrap(), "{arguments:?} at {width}: {line}");
                assert_eq!(line, line.trim_end());
            }
        }
    }
}

#[test]
fn every_rule_has_a_page_to_show() {
    let at = bench();
    for rule in dewlap::rules::all() {
        let ran = run(at.path(), &["why", rule.id, "--width", "60"]);
        assert!(ran.code == 0 && ran.out.starts_with(rule.id), "{}", rule.id);
    }
    let near = run(at.path(), &["why", "dew/lasting-condensat"]);
    assert!(near.err.contains("did you mean `dew/lasting-condensate`"), "{}", near.err);
    let short = run(at.path(), &["why", "lasting-condensate"]);
    assert!(short.out.starts_with("dew/lasting-condensate"));
}

#[test]
fn materials_say_where_figures_are_from() {
    let at = bench();
    let one = run(at.path(), &["materials", "plywood"]).out;
    assert!(one.contains("from: ") && one.contains("from memory"), "{one}");
    let place = run(at.path(), &["places", "albany-ny-us"]).out;
    assert!(place.contains("weather: ") && place.contains("2003 to 2021"), "{place}");
    assert!(run(at.path(), &["materials", "plywod"]).err.contains("`plywood`"));
}

#[test]
fn json_of_the_program_keeps_to_the_schema() {
    let at = bench();
    let schema = crate::schema::of_review();
    for arguments in [&["review", "--json"][..], &["review", "--json", "fix.dew", "missing.dew", "odd.dew"]] {
        let ran = run(at.path(), arguments);
        let value = serde_json::from_str(&ran.out).unwrap();
        assert_eq!(crate::schema::faults(&schema, &value), Vec::<String>::new());
    }
    let figures: serde_json::Value = serde_json::from_str(&run(at.path(), &["profile", "--json"]).out).unwrap();
    assert!(figures["surfaces"].as_array().is_some_and(|s| !s.is_empty()) && figures["findings"].is_null());
}

#[cfg(unix)]
#[test]
fn a_reader_that_goes_away_is_no_trouble() {
    use std::process::{Command, Stdio};
    let at = folder(&[("many.dew", &"wal north\n".repeat(5000))]);
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("dewlap"))
        .args(["review", "many.dew"])
        .current_dir(at.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let done = child.wait_with_output().unwrap();
    let err = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(2), "{err}");
    assert!(!err.contains("panicked") && !err.to_lowercase().contains("pipe"), "{err}");
}

/// A text that is not in form, and the form `tidy` gives it.
fn untidy(at: &Path) -> (String, String) {
    let loose = FIX.replace("  place albany-ny-us", "     place   albany-ny-us");
    let tidied = ran(dewlap(at, &["tidy", "-"]).write_stdin(loose.as_str()));
    assert_eq!((tidied.code, tidied.err.as_str()), (0, ""));
    assert_ne!(tidied.out, loose);
    (loose, tidied.out)
}

#[test]
fn tidy_names_and_changes() {
    let at = bench();
    let (loose, tidied) = untidy(at.path());
    let file = at.path().join("loose.dew");
    fs::write(&file, &loose).unwrap();
    let check = run(at.path(), &["tidy", "--check", "loose.dew", "clean.dew"]);
    assert_eq!((check.code, check.out.as_str()), (1, "loose.dew\n"));
    assert_eq!(fs::read_to_string(&file).unwrap(), loose);
    assert_eq!(run(at.path(), &["tidy", "loose.dew"]).code, 0);
    assert_eq!(fs::read_to_string(&file).unwrap(), tidied);
    assert_eq!(run(at.path(), &["tidy", "--check", "loose.dew"]).code, 0);
}

#[test]
fn tidy_leaves_a_text_with_problems_alone() {
    let at = bench();
    let ran_file = run(at.path(), &["tidy", "odd.dew"]);
    assert!(ran_file.code == 2 && ran_file.err.contains("odd.dew:1:1"), "{}", ran_file.err);
    assert_eq!(fs::read_to_string(at.path().join("odd.dew")).unwrap(), UNREADABLE);
    let filter = ran(dewlap(at.path(), &["tidy", "-"]).write_stdin(UNREADABLE));
    assert_eq!((filter.code, filter.out.as_str()), (2, UNREADABLE));
}

#[cfg(unix)]
#[test]
fn tidy_replaces_in_one_step() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
    let at = bench();
    let (loose, tidied) = untidy(at.path());
    let real: PathBuf = at.path().join("real.dew");
    fs::write(&real, &loose).unwrap();
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
    symlink(&real, at.path().join("link.dew")).unwrap();
    let before = fs::metadata(&real).unwrap().ino();
    assert_eq!(run(at.path(), &["tidy", "link.dew"]).code, 0);
    let after = fs::metadata(&real).unwrap();
    assert_eq!(fs::read_to_string(&real).unwrap(), tidied);
    assert_eq!(after.permissions().mode() & 0o777, 0o640);
    assert_ne!(after.ino(), before, "a new file took the old one's place");
    assert!(fs::symlink_metadata(at.path().join("link.dew")).unwrap().is_symlink());
    let left: Vec<_> = fs::read_dir(at.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert!(left.iter().all(|n| !n.to_string_lossy().starts_with(".tmp")), "{left:?}");

    fs::write(at.path().join("locked.dew"), &loose).unwrap();
    fs::set_permissions(at.path().join("locked.dew"), fs::Permissions::from_mode(0o440)).unwrap();
    let locked = run(at.path(), &["tidy", "locked.dew"]);
    assert!(locked.code == 2 && locked.err.contains("read-only"), "{}", locked.err);
    assert_eq!(fs::read_to_string(at.path().join("locked.dew")).unwrap(), loose);
}

#[test]
fn weather_files_are_read_by_places_and_by_reviews() {
    let text = crate::weather::epw();
    let at = folder(&[
        ("otter.epw", &text),
        ("mill.dew", "job mill\n  place landing\n  heated 70 F 40 %\n\nclimate landing\n  file \"sub/latin.EPW\"\n"),
        ("cut.epw", &text[..text.len() - 4000]),
        ("sub/readme.txt", ""),
    ]);
    // Names of cities are often in ISO-8859-1; UTF-16 is told as what it is.
    let latin: Vec<u8> = text.replace("Otter Landing", "Landing\u{e9}").chars().map(|c| c as u8).collect();
    fs::write(at.path().join("sub/latin.EPW"), latin).unwrap();
    fs::write(at.path().join("wide.csv"), b"\xff\xfeL\0").unwrap();

    let shown = run(at.path(), &["places", "otter.epw"]);
    assert_eq!(shown.code, 0, "{}", shown.err);
    for words in ["Otter Landing, ZZ, USA (EPW)", "typical year", "1017 ft (310 m)", "nothing was repaired"] {
        assert!(shown.out.contains(words), "{words}: {}", shown.out);
    }
    let reviewed = run(at.path(), &["review", "--json", "mill.dew"]);
    assert_eq!(reviewed.code, 0, "{}", reviewed.out);
    assert!(reviewed.out.contains("landing (Landing\u{e9}, ZZ, USA)"), "{}", reviewed.out);
    let cut = run(at.path(), &["places", "cut.epw"]);
    assert!(cut.code == 2 && cut.err.contains("cut.epw: line "), "{}", cut.err);
    let wide = run(at.path(), &["places", "wide.csv"]);
    assert!(wide.code == 2 && wide.err.contains("UTF-16"), "{}", wide.err);
    let none = run(at.path(), &["places", "heron.epw"]);
    assert!(none.code == 2 && none.err.contains("no such file"), "{}", none.err);
}
