//! Rolls in cameras, as the film book tells the dial of them.

use book::{Book, Date, Desk, Edit, Finding, Speed, Storage, example};
use panel::{
    Control, Intent, Part, State, apply, derive, handover,
    loaded::{Loaded, Told, decode, encode},
};

fn roll() -> Loaded {
    Loaded {
        id: "old-3".to_owned(),
        name: "Old 3 (invented)".to_owned(),
        camera_id: String::new(),
        camera: "Folding six (invented)".to_owned(),
        box_speed: "ISO 160".to_owned(),
        kind: "slide".to_owned(),
        rating: "ISO 80".to_owned(),
        next: "frame 7 of 12 comes next".to_owned(),
        usable: [
            "-333".to_owned(),
            "3000".to_owned(),
            "Usable so far on this group: a sentence of the book.".to_owned(),
        ],
    }
}

fn known_camera(state: &State) -> (String, String) {
    let all = derive(state).camera.all;
    all.into_iter().nth(1).expect("several kinds are described")
}

#[test]
fn what_is_told_comes_back_whatever_names_hold() {
    let told = Told {
        waits: "Waits longest: Old\t3, in\na camera".to_owned(),
        from_day: 20_000,
        rolls: vec![
            roll(),
            Loaded {
                name: "tab\there, line\r\nthere".to_owned(),
                ..Loaded::default()
            },
        ],
    };
    let read = decode(&encode(&told));
    assert_eq!(read.rolls[0], roll(), "all parts");
    assert_eq!(read.rolls[1].name, "tab here, line  there", "dividers");
    assert_eq!(read.waits_on(19_999), "", "before it is time");
    assert_eq!(read.waits_on(20_000), "Waits longest: Old 3, in a camera");
    for damaged in ["", "x", "1\t", "\n\n", "nothing\tat all\nshort\tline"] {
        assert!(
            decode(damaged).rolls.is_empty(),
            "{damaged:?} tells nothing"
        );
    }
}

#[test]
fn what_was_told_before_latitude_was_is_read_as_it_was() {
    let older = "20000\t\nold-3\tOld 3 (invented)\t\tFolding six (invented)\tISO 160\tslide\tISO 80\tframe 7 of 12 comes next";
    let told = decode(older);
    let without = [Loaded {
        usable: <[String; 3]>::default(),
        ..roll()
    }];
    assert_eq!(told.rolls, without, "an older record");
    assert_eq!(
        decode(&encode(&told)).rolls,
        without,
        "none is told as none"
    );
}

#[test]
fn the_book_tells_what_was_found_on_the_group_of_a_loaded_roll() {
    let book = example();
    let today = Date::parse("2026-11-27").expect("a day");
    let told = |book: &Book| handover::told(book, today, 60).rolls.remove(0).usable;
    let writes = |finding: Finding| {
        let mut desk = Desk::new(book.clone());
        desk.apply(&Edit::Found(finding)).expect("written");
        let [least, most, words] = told(desk.book());
        assert_eq!(words.is_empty(), least.is_empty(), "with words or not");
        (!words.is_empty()).then_some((least, most))
    };
    let finding = book.findings().next().expect("written").clone();
    let (least, most) = finding.usable_thousandths.expect("found");
    let words = finding.usable_words().expect("found");
    assert_eq!(
        told(&book),
        [least.to_string(), most.to_string(), words],
        "the finding's own range"
    );
    // What was written last counts, where it was counted from the box speed of today.
    let later = Finding {
        id: "later".to_owned(),
        on: Date::parse("2026-01-01").expect("a day"),
        usable_thousandths: Some((0, 1000)),
        ..finding.clone()
    };
    assert_eq!(
        writes(later.clone()),
        Some(("0".to_owned(), "1000".to_owned())),
        "the newest"
    );
    let other_box = Finding {
        box_speed: Speed::parse("400").expect("a speed"),
        ..later.clone()
    };
    assert_eq!(writes(other_box), None, "another box speed");
    let mut elsewhere = later.clone();
    elsewhere.group.storage = Storage::Frozen;
    assert_eq!(
        writes(elsewhere),
        Some((least.to_string(), most.to_string())),
        "another group's"
    );
    let none = Finding {
        usable_thousandths: None,
        ..later
    };
    assert_eq!(writes(none), None, "no offset was usable in every scene");
}

#[test]
fn a_roll_is_of_the_film_on_the_dial_whatever_its_rating() {
    let roll = roll();
    let is_film_of = |state: &State| roll.is_film_of(&state.for_roll());
    let state = State::default();
    assert!(!is_film_of(&state), "another film");
    let (state, _) = apply(&state, &Intent::Serve(Box::new(roll.clone()))).expect("it can be set");
    assert!(is_film_of(&state), "the roll's");
    let rated = Intent::Type(Control::Sensitivity, "100".to_owned());
    let (rated, _) = apply(&state, &rated).expect("typed");
    assert!(is_film_of(&rated), "latitude is counted from box speed");
    for other in [
        Intent::BoxSpeed("400".to_owned()),
        Intent::Film("colour-negative".to_owned()),
    ] {
        let (next, _) = apply(&state, &other).expect("taken");
        assert!(!is_film_of(&next), "{other:?}");
    }
}

#[test]
fn a_roll_sets_camera_film_and_rating_and_holds_the_rating() {
    let state = State::default();
    let (id, name) = known_camera(&state);
    let roll = Loaded {
        camera_id: id.clone(),
        camera: name.clone(),
        ..roll()
    };
    let differs = roll.differs_from(&state.for_roll());
    assert_eq!(
        differs,
        format!(
            "The dial has another box speed, film type, rating and camera than Old 3 (invented) in the {name}."
        )
    );
    let (state, outcome) =
        apply(&state, &Intent::Serve(Box::new(roll.clone()))).expect("it can be set");
    let view = derive(&state);
    assert_eq!(view.camera.chosen, id, "camera");
    assert_eq!(
        (view.film.box_speed.as_str(), view.film.kind),
        ("ISO 160", "slide")
    );
    assert_eq!(
        view.dials[Control::Sensitivity as usize].value,
        "EI 80",
        "rating"
    );
    assert_eq!(view.dials[Control::Sensitivity as usize].part, Part::Held);
    assert_eq!(
        roll.differs_from(&state.for_roll()),
        "",
        "nothing differs any more"
    );
    assert_eq!(
        outcome.sentence.as_deref(),
        Some(
            format!("Set for Old 3 (invented) in the {name}: box speed ISO 160, rated EI 80.")
                .as_str()
        )
    );
    // The light is still that of the reading, within what marks of the camera can do.
    let (plain, _) = apply(&state, &Intent::BackToReading).expect("always");
    assert_eq!(derive(&plain).ledger.total, view.ledger.total, "exposure");
    let (turned, _) = apply(
        &state,
        &Intent::Type(Control::Sensitivity, "100".to_owned()),
    )
    .expect("typed");
    assert!(
        roll.differs_from(&turned.for_roll())
            .contains("another rating than"),
        "noticed"
    );
}

#[test]
fn a_camera_that_nobody_described_keeps_the_marks_and_says_so() {
    let state = State::default();
    let (next, outcome) = apply(&state, &Intent::Serve(Box::new(roll()))).expect("it can be set");
    assert_eq!(derive(&next).camera.chosen, derive(&state).camera.chosen);
    let said = outcome.sentence.expect("it says what it did");
    assert!(
        said.contains("The marks of the Folding six (invented) are not described"),
        "{said}"
    );
}

#[test]
fn a_rating_off_the_list_goes_to_the_nearest_and_is_named() {
    let odd = Loaded {
        rating: "ISO 78".to_owned(),
        ..roll()
    };
    let (_, outcome) = apply(&State::default(), &Intent::Serve(Box::new(odd))).expect("nearest");
    let said = outcome.sentence.expect("a sentence");
    assert!(said.contains("It is loaded at about EI 78"), "{said}");
}

#[test]
fn a_record_that_holds_no_film_is_refused_and_changes_nothing() {
    let odd = Loaded {
        kind: "glass".to_owned(),
        ..roll()
    };
    assert!(apply(&State::default(), &Intent::Serve(Box::new(odd))).is_err());
}
