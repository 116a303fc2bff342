//! The readings taken last: kept in order, each once, and read back to the letter.

use exposure::{Doubt, Stops};
use panel::{
    Control, Intent, State, apply,
    kept::Kept,
    light::{Change, Found},
    recent::{self, MOST, Recent},
};

fn typed(field: Control, text: &str) -> State {
    let wish = Intent::Reading(field, text.to_owned());
    apply(&State::default(), &wish).expect(text).0
}

fn shade() -> Found {
    Found {
        from: "scene table: open shade".to_owned(),
        lines: vec![("What the marks leave".to_owned(), Stops::constant(0.21))],
        ..Found::of(&typed(Control::Time, "1/60"))
    }
}

fn at(minute: usize, found: Found) -> Recent {
    Recent::new(&format!("2026-11-25T13:{minute:02}"), found).expect("a moment")
}

#[test]
fn the_newest_comes_first_and_each_reading_once() {
    let mut list = Vec::new();
    for minute in 0..30 {
        let sensitivity = (100 + minute).to_string();
        let found = Found::of(&typed(Control::Sensitivity, &sensitivity));
        recent::note(&mut list, at(minute, found));
    }
    assert_eq!(list.len(), MOST, "no more are kept");
    assert!(list[0].words().contains("ISO 129"), "{}", list[0].words());
    let again = list[7].found().clone();
    recent::note(&mut list, at(40, again));
    assert_eq!(list.len(), MOST, "it moved, it was not added");
    assert!(list[0].words().contains("13:40"), "{}", list[0].words());
}

#[test]
fn one_that_is_taken_again_is_what_it_was() {
    let state = State::default()
        .with(&Change::Take(shade()))
        .expect("a reading");
    assert_eq!(Found::of(&state), shade(), "as it was taken");
    assert_eq!(
        Found::of(&State::default()).from,
        "typed",
        "from the dial's fields"
    );
}

/// As version 1 writes it. It has to open for ever.
const GOLDEN: &str = include_str!("golden/recent-1.json");

#[test]
fn version_1_opens_and_is_written_again_to_the_letter() {
    let Kept::Good(list) = recent::decode(GOLDEN.trim_end()) else {
        panic!("version 1 no longer opens");
    };
    assert_eq!(list.len(), 2, "both readings");
    assert_eq!(list[0].found(), &shade(), "the first");
    assert_eq!(recent::encode(&list), GOLDEN.trim_end(), "as it was");
}

/// With how far a reading may be off, as version 2 writes it.
const GOLDEN_2: &str = include_str!("golden/recent-2.json");

#[test]
fn version_2_opens_and_is_written_again_to_the_letter() {
    let Kept::Good(list) = recent::decode(GOLDEN_2.trim_end()) else {
        panic!("version 2 no longer opens");
    };
    let sure = Found {
        doubt: Some(Doubt::constant(1.0)),
        ..shade()
    };
    assert_eq!(list[0].found(), &sure, "the first");
    assert_eq!(list[1].found().doubt, None, "the second was typed");
    assert_eq!(recent::encode(&list), GOLDEN_2.trim_end(), "as it was");
    assert!(
        list[0]
            .words()
            .contains("(EV 11 at ISO 100, give or take 1 stop): scene table: open shade"),
        "{}",
        list[0].words()
    );
    let state = State::default()
        .with(&Change::Take(list[0].found().clone()))
        .expect("taken again");
    assert_eq!(
        state.doubt(),
        sure.doubt,
        "as it was when it was first taken"
    );
}

#[test]
fn what_is_no_list_is_set_aside_and_a_newer_one_left_alone() {
    let newer = GOLDEN.replace("\"version\":1", "\"version\":7");
    assert_eq!(recent::decode(&newer), Kept::Newer, "newer");
    let line = GOLDEN.replace("0.21", "21.0");
    let moment = GOLDEN.replace("T13:05", "T25:05");
    let entry = GOLDEN.replace("\"at\"", "\"extra\":1,\"at\"");
    let far = GOLDEN_2.replace("1000", "10001");
    for text in [
        "",
        "null",
        "{\"readings\":[]}",
        &line,
        &moment,
        &entry,
        &far,
    ] {
        let Kept::Damaged(key) = recent::decode(text) else {
            panic!("{text} was taken");
        };
        assert!(
            key.starts_with("stopkeeper.aside.recent-readings."),
            "{key}"
        );
    }
}
