//! What a raised detail keeps, and what may not be added.

use super::{RAKE, Yard, head};
use std::fs;

#[test]
fn a_raised_detail_keeps_what_was_seen_of_it() {
    let yard = Yard::new(&[("rake.dew", RAKE)]);
    fs::create_dir(yard.at("details")).unwrap();
    let add = || yard.run(&["shelf", "add", "rake.dew"]);
    assert_eq!(add().code, 0);
    let failed = ["shelf", "log", "rake", "--failure", "a leak", "--cause", "dust", "--date", "2025-11-20"];
    assert_eq!(yard.run(&failed).code, 0);
    assert_eq!(yard.log(&["--date", "2026-04-02", "--note", "dry: \"at all\""]).code, 0);
    // Of the same form: what failed stays failed.
    yard.write("rake.dew", &RAKE.replace("revision: 1", "revision: 2"));
    let raised = add();
    assert!(raised.out.contains("stands as reviewed"), "{}", raised.out);
    assert!(raised.out.ends_with("; carried over: 1 entry of evidence, 1 failure\n"), "{}", raised.out);
    let says = head(&yard.read("details/rake.dew"));
    let form = dewlap::shelf::form::fingerprint(RAKE, &[]);
    assert!(says.standing(&form).failed && says.evidence[0].note.as_deref() == Some("dry: \"at all\""));
    // Again and of another form: once, with the form it was.
    yard.write("rake.dew", &RAKE.replace("revision: 1", "revision: 3").replace("7/16", "1/2"));
    assert_eq!(add().code, 0);
    let says = head(&yard.read("details/rake.dew"));
    assert_eq!((says.evidence.len(), says.failures.len()), (1, 1));
    assert_eq!(says.failures[0].form.as_deref(), Some(form.as_str()));
    // A draft that was copied from the shelf has it all.
    yard.write("rake.dew", &yard.read("details/rake.dew").replace("revision: 3", "revision: 4"));
    let copied = add();
    assert!(copied.code == 0 && !copied.out.contains("carried"), "{}", copied.out);
    assert_eq!(yard.read("details/rake.dew"), yard.read("rake.dew"));
    // What a draft has beside that is no text of the detail.
    let more = yard.read("rake.dew").replace("a leak", "another leak");
    yard.write("rake.dew", &more);
    assert!(add().err.contains("1 entry of yours it does not have: `dewlap shelf log`"));
    // A record that can't be read could be lost.
    yard.write("details/rake.dew", &yard.read("details/rake.dew").replace("date: 2026-04-02", "date: soon"));
    yard.write("rake.dew", &RAKE.replace("revision: 1", "revision: 5"));
    yard.refused(&["shelf", "add", "rake.dew"], &["its head can't be read in full", "mend it"]);
}

#[test]
fn what_does_not_stand_by_itself_is_not_added() {
    let head = RAKE.split("job").next().unwrap();
    let wall = RAKE.split("# The side").nth(1).unwrap();
    let yard = Yard::new(&[
        ("late.dew", &format!("\n# so\n{RAKE}")),
        ("head.dew", head),
        ("none.dew", RAKE.split("# The side").next().unwrap()),
        ("jobless.dew", &format!("{head}# {wall}")),
        ("uses.dew", &format!("{RAKE}use chimney as stack\ninclude \"walls.dew\"\nwal x\n")),
    ]);
    yard.refused(&["shelf", "add", "late.dew"], &["late.dew: has no head", "a head begins on the first line"]);
    yard.refused(&["shelf", "add", "head.dew"], &["no job stands below", "nothing is drawn below", "left as it is"]);
    yard.refused(&["shelf", "add", "none.dew"], &["nothing is drawn below", "draw what meets"]);
    yard.refused(&["shelf", "add", "jobless.dew"], &["no job stands below", "`job NAME`"]);
    yard.refused(
        &["shelf", "add", "uses.dew"],
        &["uses no other detail", "includes no file", "wal", "write what it needs"],
    );
}
