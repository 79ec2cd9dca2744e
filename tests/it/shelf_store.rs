//! `shelf add` and `shelf log`: what is written, what is refused, and that what stood there is never lost.

mod raised;
mod stopped;

use assert_cmd::Command;
use dewlap::base::span::FileId;
use dewlap::model::detail::Head;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// A detail of our own invention.
const RAKE: &str = "---\ntitle: Rake of a porch roof on a boathouse wall\nmeets: [frame wall, rake]\nstatus: reviewed\n\
                    revision: 1\nsource: our own drawing\n---\njob boathouse\n  place  albany-ny-us\n\n# The side to the water.\nwall lake\n  outdoors\n  \
                    board: osb 7/16 in\n  indoors\n";
/// A whole look at it, but for the date.
const LOOK: &[&str] = &["shelf", "log", "rake", "--kind", "hose test", "--result", "passed", "--by", "the carpenter"];

/// A project with a shelf, and a home of its own.
struct Yard {
    folder: TempDir,
}

struct Ran {
    code: i32,
    out: String,
    /// As one line: where it is wrapped says nothing.
    err: String,
}

impl Yard {
    fn new(files: &[(&str, &str)]) -> Self {
        let yard = Self { folder: TempDir::new().unwrap() };
        files.iter().for_each(|(name, text)| yard.write(name, text));
        yard
    }

    fn with_rake() -> Self {
        Self::new(&[("details/rake.dew", RAKE)])
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn write(&self, name: &str, text: &str) {
        fs::create_dir_all(self.at(name).parent().unwrap()).unwrap();
        fs::write(self.at(name), text).unwrap();
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.at(name)).unwrap()
    }

    /// The program in this yard and no other: settings and shelves of the machine do not reach it.
    fn command(&self, program: &Path, arguments: &[&str]) -> std::process::Command {
        let mut command = std::process::Command::new(program);
        command.current_dir(self.folder.path()).env_clear().args(arguments);
        for name in ["HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"] {
            command.env(name, self.at("home"));
        }
        command
    }

    fn run(&self, arguments: &[&str]) -> Ran {
        ran(self.command(&program(), arguments))
    }

    fn refused(&self, arguments: &[&str], words: &[&str]) {
        let before = self.texts();
        let ran = self.run(arguments);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{arguments:?} {}", ran.err);
        for word in words {
            assert!(ran.err.contains(word), "{arguments:?}: no `{word}` in {}", ran.err);
        }
        assert_eq!(self.texts(), before, "{arguments:?}");
    }

    fn log(&self, more: &[&str]) -> Ran {
        self.run(&[LOOK, more].concat())
    }

    /// Every detail below the yard, and its text.
    fn texts(&self) -> Vec<(PathBuf, String)> {
        let files = walkdir::WalkDir::new(self.folder.path()).sort_by_file_name().into_iter().flatten();
        let details = files.filter(|f| f.path().extension().is_some_and(|e| e == "dew"));
        details.map(|f| (f.path().to_owned(), fs::read_to_string(f.path()).unwrap())).collect()
    }

    /// What lies about in a folder beside details.
    fn litter(&self, folder: &str) -> Vec<String> {
        let names = fs::read_dir(self.at(folder)).unwrap().map(|f| f.unwrap().file_name().into_string().unwrap());
        names.filter(|name| !name.ends_with(".dew") && name != ".lock" && name != "past").collect()
    }
}

fn program() -> PathBuf {
    PathBuf::from(Command::cargo_bin("dewlap").unwrap().get_program())
}

fn ran(command: std::process::Command) -> Ran {
    let done = Command::from_std(command).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    let err = text(done.stderr).split_whitespace().collect::<Vec<_>>().join(" ");
    Ran { code: done.status.code().unwrap(), out: text(done.stdout), err }
}

/// The head of a text that is whole.
fn head(text: &str) -> Head {
    assert!(dewlap::syntax::parse(FileId::default(), text).problems.is_empty(), "{text}");
    let reading = dewlap::shelf::read(FileId::default(), text).unwrap();
    assert!(reading.problems.is_empty(), "{:?}", reading.problems);
    reading.head.unwrap()
}

#[test]
fn a_look_is_kept_with_its_form() {
    let yard = Yard::with_rake();
    let first = yard.log(&["--date", "2026-04-02", "--note", "no drop: \"dry\" # at all", "--season", "spring"]);
    assert_eq!(first.code, 0, "{}", first.err);
    insta::assert_snapshot!(first.out, @"details/rake.dew: written down: hose test passed, 2026-04-02; form 1f5d26bed2f5, which stands as reviewed");
    assert!(
        first.err.contains("the head says `reviewed`; the evidence of this form bears out `built`"),
        "{}",
        first.err
    );
    let text = yard.read("details/rake.dew");
    let says = head(&text);
    let seen = &says.evidence[0];
    assert_eq!(seen.note.as_deref(), Some("no drop: \"dry\" # at all"));
    assert_eq!(seen.form.clone().unwrap(), dewlap::shelf::form::fingerprint(RAKE, &[]));
    // Every other byte stays.
    let (start, end) = (text.find("evidence:").unwrap(), text.find("---\njob").unwrap());
    assert_eq!([&text[..start], &text[end..]].concat(), RAKE);
    // Another form: what was seen of the earlier one does not count.
    yard.write("details/rake.dew", &text.replace("7/16", "1/2"));
    let second = yard.run(&[
        "shelf",
        "log",
        "rake",
        "--kind",
        "opened-up",
        "--winters",
        "3",
        "--result",
        "passed",
        "--by",
        "the owner",
        "--date",
        "2026-05-01",
    ]);
    assert!(second.err.contains("bears out `proven`: write `status: proven`"), "{}", second.err);
    let forms: Vec<_> = head(&yard.read("details/rake.dew")).evidence.into_iter().map(|e| e.form.unwrap()).collect();
    assert!(forms.len() == 2 && forms[0] != forms[1]);
}

#[test]
fn today_is_taken_and_what_lies_ahead_is_not() {
    let yard = Yard::with_rake();
    assert_eq!(yard.log(&[]).code, 0);
    let date = head(&yard.read("details/rake.dew")).evidence[0].date.clone();
    let real: jiff::civil::Date = date.parse().unwrap();
    assert!((jiff::ZonedDateTime::now().date() - real).get_days().abs() <= 1, "{date}");
    yard.refused(&[LOOK, &["--date", "2999-01-01"]].concat(), &["`--date`: 2999-01-01 lies ahead", "left out"]);
}

#[test]
fn what_failed_stands_as_reviewed_at_most() {
    let yard = Yard::new(&[("details/rake.dew", &RAKE.replace("reviewed", "built"))]);
    let done =
        yard.run(&["shelf", "log", "rake", "--failure", "the seal let go", "--cause", "dust", "--date", "2026-04-02"]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("stands as reviewed"), "{}", done.out);
    assert!(done.err.contains("a cure is a change, and makes another form"), "{}", done.err);
    assert!(
        done.err.contains("the head says `built`") && done.err.contains("write `status: reviewed`"),
        "{}",
        done.err
    );
    let says = head(&yard.read("details/rake.dew"));
    assert_eq!((says.failures[0].cause.as_str(), says.failures[0].cure.as_deref()), ("dust", None));
    let failed = yard.run(&["shelf", "log", "rake", "--kind", "pull test", "--result", "failed", "--by", "the mason"]);
    assert!(failed.err.contains("a form that failed"), "{}", failed.err);
}

#[test]
fn a_photo_that_is_not_there_is_told() {
    let yard = Yard::with_rake();
    let missing = yard.log(&["--photo", "photos/a.jpg"]);
    assert!(missing.code == 0 && missing.err.contains("put it at details/photos/a.jpg"), "{}", missing.err);
    yard.write("details/photos/a.jpg", "");
    assert!(!yard.log(&["--photo", "photos/a.jpg"]).err.contains("photo"));
    yard.refused(&[LOOK, &["--photo", "/photos/a.jpg"]].concat(), &["`--photo`:", "beside the detail"]);
    yard.refused(&[LOOK, &["--photo", "../a.jpg"]].concat(), &["`--photo`:"]);
}

#[test]
fn each_flag_that_is_wrong_is_told() {
    let yard = Yard::with_rake();
    let wrong =
        ["--date", "2026-02-30", "--season", "yule", "--winters", "300", "--note", "a\u{1b}[2J", "--reading", ""];
    let words = ["`--date`: there is no day", "`--season`:", "`--winters`:", "0 to 200", "`--note`:", "`--reading`:"];
    yard.refused(&[LOOK, &wrong].concat(), &words);
    let opened = ["shelf", "log", "rake", "--kind", "opened up", "--result", "passed", "--by", ""];
    yard.refused(&opened, &["`opened up` needs `--winters`", "`--by`:"]);
    let failure = ["shelf", "log", "rake", "--failure", "", "--cause", "", "--cure", "", "--date", "soon"];
    yard.refused(&failure, &["`--failure`:", "`--cause`:", "`--cure`:", "`--date`: `soon` is no date"]);
    yard.refused(&["shelf", "log", "rake", "--failure", "a", "--cause", "b", "--by", "c"], &["--by"]);
    yard.refused(&["shelf", "log", "rake"], &["--kind", "--result", "--by"]);
    yard.refused(
        &["shelf", "log", "rale", "--kind", "built", "--result", "passed", "--by", "a"],
        &["did you mean `rake`?"],
    );
}

#[test]
fn a_head_with_problems_is_left_alone() {
    let broken = RAKE.replace("status: reviewed", "status: revewed").replace("revision: 1", "revision: one");
    let yard = Yard::new(&[
        ("details/rake.dew", &broken),
        ("details/bare.dew", "wall lake\n  outdoors\n  board: osb 7/16 in\n  indoors\n"),
        ("details/odd.dew", &RAKE.replace("wall lake", "wal lake")),
    ]);
    let words = ["there is no status `revewed`", "`one` does not fit here", "details/rake.dew: left as it is"];
    yard.refused(LOOK, &words);
    let other = |name| LOOK.iter().map(|word| if *word == "rake" { name } else { *word }).collect::<Vec<_>>();
    yard.refused(&other("bare"), &["has no head", "begin it with a head"]);
    yard.refused(&other("odd"), &["details/odd.dew: left as it is"]);
}

#[test]
fn what_is_not_ones_own_is_copied_first() {
    let yard = Yard::new(&[]);
    let log = ["shelf", "log", "kick-out", "--kind", "built", "--result", "passed", "--by", "a"];
    yard.refused(&log, &["comes with the program", "`dewlap shelf add kick-out`"]);
    let added = yard.run(&["shelf", "add", "kick-out"]);
    assert_eq!(added.code, 0, "{}", added.err);
    assert!(yard.at("home/dewlap/details/kick-out.dew").is_file());
    assert_eq!(yard.run(&log).code, 0);
    // A project's own shelf comes before that.
    fs::create_dir(yard.at("details")).unwrap();
    assert_eq!(yard.run(&["shelf", "add", "kick-out"]).code, 0);
    let copied = yard.read("details/kick-out.dew");
    assert_eq!(copied, yard.read("home/dewlap/details/kick-out.dew"));
    assert_eq!(head(&copied).evidence.last().unwrap().by, "a");
}

#[test]
fn what_can_not_be_written_stays() {
    let yard = Yard::with_rake();
    let mark = |name: &str, on: bool| {
        let mut permissions = fs::metadata(yard.at(name)).unwrap().permissions();
        permissions.set_readonly(on);
        fs::set_permissions(yard.at(name), permissions).unwrap();
    };
    mark("details/rake.dew", true);
    yard.refused(LOOK, &["rake.dew: is read-only; left as it is"]);
    mark("details/rake.dew", false);
    if cfg!(unix) {
        mark("details", true);
        yard.refused(LOOK, &["details: the folder is read-only; nothing was written"]);
        yard.refused(&["shelf", "add", "kick-out"], &["the folder is read-only"]);
        mark("details", false);
    }
    assert!(yard.litter("details").is_empty());
    fs::remove_file(yard.at("details/.lock")).unwrap();
    fs::create_dir(yard.at("details/.lock")).unwrap();
    yard.refused(LOOK, &["details/.lock: ", "nothing was written"]);
}

/// A limit on the size of files stands for a disk that is full.
#[cfg(unix)]
#[test]
fn a_full_disk_leaves_the_old_text() {
    let yard = Yard::with_rake();
    let tool = program();
    let script = "trap '' XFSZ; ulimit -f 0; exec \"$@\"";
    let all = [&["-c", script, "sh", tool.to_str().unwrap()], LOOK].concat();
    let done = ran(yard.command(Path::new("/bin/sh"), &all));
    assert_eq!(done.code, 2, "{}", done.err);
    assert!(done.err.contains("rake.dew: ") && done.err.contains("left as it is"), "{}", done.err);
    assert_eq!(yard.read("details/rake.dew"), RAKE);
    assert!(yard.litter("details").is_empty());
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link() {
    let yard = Yard::new(&[("kept/rake.dew", RAKE)]);
    fs::create_dir(yard.at("details")).unwrap();
    std::os::unix::fs::symlink("../kept/rake.dew", yard.at("details/rake.dew")).unwrap();
    assert_eq!(yard.log(&[]).code, 0);
    assert!(yard.at("details/rake.dew").is_symlink());
    assert_eq!(head(&yard.read("kept/rake.dew")).evidence.len(), 1);
}

#[test]
fn a_detail_is_added_once_and_raised_by_revision() {
    let yard = Yard::new(&[("rake.dew", RAKE)]);
    fs::create_dir(yard.at("details")).unwrap();
    let first = yard.run(&["shelf", "add", "rake.dew"]);
    let again = yard.run(&["shelf", "add", "rake.dew"]);
    assert_eq!((first.code, again.code), (0, 0), "{}{}", first.err, again.err);
    assert_eq!(yard.log(&["--date", "2026-04-02"]).code, 0);
    let logged = yard.read("details/rake.dew");
    // The draft lacks what was logged since, and nothing else.
    let there = yard.run(&["shelf", "add", "rake.dew"]);
    assert!(there.code == 0 && there.out.contains("is there already: revision 1"), "{}{}", there.out, there.err);
    assert_eq!(yard.read("details/rake.dew"), logged);
    yard.write("rake.dew", &RAKE.replace("7/16", "1/2"));
    let way_out = ["revision 1 stands there with another text", "raise `revision: 1` to 2 in rake.dew"];
    yard.refused(&["shelf", "add", "rake.dew"], &way_out);
    yard.write("rake.dew", &RAKE.replace("revision: 1", "revision: 2").replace("7/16", "1/2"));
    let raised = yard.run(&["shelf", "add", "rake.dew"]);
    assert_eq!(raised.code, 0, "{}", raised.err);
    insta::assert_snapshot!(format!("{}{}{}", first.out, again.out, raised.out), @"
    details/rake.dew: added: revision 1, form 1f5d26bed2f5, which stands as reviewed
    details/rake.dew: is there already: revision 1, form 1f5d26bed2f5, which stands as reviewed
    details/rake.dew: revision 2, form 840d4a558364, which stands as reviewed; revision 1 is kept as details/past/rake.r1.dew; carried over: 1 entry of evidence
    ");
    assert_eq!(yard.read("details/past/rake.r1.dew"), logged);
    assert_eq!(dewlap::shelf::record::apart(&yard.read("details/rake.dew")), Some(yard.read("rake.dew")));
    // An earlier one that is kept is never written over.
    yard.write("details/past/rake.r2.dew", RAKE);
    yard.write("rake.dew", &RAKE.replace("revision: 1", "revision: 3"));
    yard.refused(&["shelf", "add", "rake.dew"], &["past/rake.r2.dew: another text of that revision is kept there"]);
    yard.write("rake.dew", RAKE);
    yard.refused(&["shelf", "add", "rake.dew"], &["raise `revision: 1` to 3"]);
    assert!(yard.litter("details").is_empty() && yard.litter("details/past").is_empty());
}

#[test]
fn where_a_detail_goes() {
    let named = RAKE.replace("job boathouse", "detail porch-rake(length lap = 4 in)\n\njob boathouse");
    let named = named.replace("  board:", "  felt: felt, lapped <lap>\n  board:");
    let yard = Yard::new(&[("draft 1.dew", &named), ("shared/.keep", "")]);
    // One's own shelf is made where there is none; the name is that of the line `detail`.
    assert_eq!(yard.run(&["shelf", "add", "draft 1.dew"]).code, 0);
    assert_eq!(yard.read("home/dewlap/details/porch-rake.dew"), named);
    assert_eq!(yard.run(&["shelf", "add", "porch-rake", "--to", "shared"]).code, 0);
    assert_eq!(yard.read("shared/porch-rake.dew"), named);
    yard.refused(&["shelf", "add", "draft 1.dew", "--to", "none"], &["none: no such folder", "make it first"]);
}

/// What reads line by line and still can't be read in a job is refused with its places.
#[test]
fn a_detail_that_can_not_be_read_in_full_is_not_added() {
    let yard = Yard::new(&[("rake.dew", &RAKE.replace("albany-ny-us", "nowhere-ny-us")), ("details/.keep", "")]);
    yard.refused(&["shelf", "add", "rake.dew"], &["there is no place `nowhere-ny-us`", "rake.dew:"]);
    assert!(!yard.at("details/rake.dew").exists());
}

#[test]
fn what_is_no_detail_is_not_added() {
    let yard = Yard::new(&[
        ("a b.dew", RAKE),
        ("bare.dew", "wall lake\n  outdoors\n  board: osb 7/16 in\n  indoors\n"),
        ("odd.dew", &RAKE.replace("title: R", "titel: R").replace("wall lake", "wal lake")),
        ("details/raw.dew", "wall lake\n"),
        ("raw.dew", RAKE),
    ]);
    yard.refused(&["shelf", "add", "a b.dew"], &["`a b` can't be the name of a detail", "one word"]);
    yard.refused(&["shelf", "add", "bare.dew"], &["bare.dew: has no head"]);
    yard.refused(&["shelf", "add", "odd.dew"], &["there is no key `titel`", "wal", "odd.dew: left as it is"]);
    yard.refused(&["shelf", "add", "raw.dew"], &["details/raw.dew: stands there, and its head can't be read"]);
    yard.refused(&["shelf", "add", "none.dew"], &["none.dew: no such file"]);
    yard.refused(&["shelf", "add", "kick-oat"], &["no file and no detail `kick-oat`", "did you mean `kick-out`?"]);
    yard.refused(&["shelf", "add", "-"], &["a detail needs a file"]);
}

#[test]
fn tidy_writes_a_detail_the_same_way() {
    let loose = RAKE.replace("  board: osb", "  board:    osb");
    let yard = Yard::new(&[("details/rake.dew", &loose), ("details/.dewlap-fresh", "half a te")]);
    assert_eq!(yard.run(&["tidy", "details"]).code, 0);
    assert_eq!(yard.read("details/rake.dew"), RAKE);
    assert!(yard.at("details/.lock").is_file() && yard.litter("details").is_empty());
}
