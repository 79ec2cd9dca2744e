//! The formatter on texts whose outcome is known.

use dewlap::base::span::FileId;
use dewlap::syntax::{LIMIT, limits, parse, tidy};

const CREAMERY: &str = include_str!("../../fixtures/syntax/creamery.dew");
const BOATHOUSE: &str = include_str!("../../fixtures/syntax/boathouse.dew");
const MISTAKES: &str = include_str!("../../fixtures/syntax/mistakes.dew");

#[test]
fn one_layout() {
    let written = "\n\njob  boats\n\theated 70°F   35%\n    airtight 1.5 ach50 # measured\n\n\n\n  # the slip\n\
                   material sill : x\n";
    assert!(tidy(written).is_err(), "a space before the colon");
    let written = "\n\njob  boats\n\theated 70°F   35%\n    airtight 1.5 ach50 # measured\n\n\n\n  # the slip\n\
                   wall slip “west”\n outdoors\n a:  xps 2″,taped→water\n longer: 2×6 at 16\",\n   bays air 1in+glass-batt \
                   R13 -> air\n\n indoors\n# the end";
    let wanted = "job boats\n  heated    70 F 35 %\n  airtight  1.5 ach50  # measured\n\n  # the slip\n\nwall slip \
                  \"west\"\n  outdoors\n  a:      xps 2 in, taped                  -> water\n  longer: 2x6 at 16 in,\n          \
                  bays air 1 in + glass-batt R-13  -> air\n\n  indoors\n# the end\n";
    assert_eq!(tidy(written).unwrap(), wanted);
    assert_eq!(tidy(wanted).unwrap(), wanted);
}

#[test]
fn whole_jobs_come_out_the_same_twice() {
    for text in [CREAMERY, BOATHOUSE] {
        let once = tidy(text).unwrap();
        assert_eq!(tidy(&once).unwrap(), once);
        assert!(parse(FileId(0), &once).problems.is_empty());
    }
}

#[test]
fn line_ends_and_mark_are_kept() {
    let once = tidy(CREAMERY).unwrap();
    let marked = format!("\u{feff}{}", CREAMERY.replace('\n', "\r\n"));
    assert_eq!(tidy(&marked).unwrap(), format!("\u{feff}{}", once.replace('\n', "\r\n")));
    assert_eq!(tidy(CREAMERY.trim_end()).unwrap(), once);
    assert_eq!(tidy("").unwrap(), "");
}

#[test]
fn a_text_with_problems_is_left_alone() {
    assert_eq!(tidy(MISTAKES).unwrap_err().len(), 20);
}

#[test]
fn a_text_that_grows_past_the_bounds_is_left_alone() {
    // Each stanza gains the blank line above it.
    let text = "room a\n unheated\n".repeat(limits::LINES / 2);
    let told = tidy(&text).unwrap_err();
    assert_eq!((told.len(), told[0].rule), (1, LIMIT));
}
