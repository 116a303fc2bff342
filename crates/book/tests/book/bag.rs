//! Stocks, batches, rolls, groups and warnings.

use book::{
    Batch, Book, Date, Desk, Edit, Expiry, Film, Key, Kind, Loading, Moment, Process, Shows, State,
    Stock, Storage, process, warnings,
};

use crate::check::{apply, bag, date, expiry, load, roll_of, same, speed};

#[test]
fn days_are_those_of_the_calendar() {
    for (from, to, days) in [
        ("2024-02-28", "2024-03-01", 2),
        ("2023-02-28", "2023-03-01", 1),
        ("1900-02-28", "1900-03-01", 1),
        ("2000-02-28", "2000-03-01", 2),
        ("1999-12-31", "2000-01-01", 1),
        ("2024-05-01", "2023-05-01", -366),
        ("1970-01-01", "2026-11-25", 20_782),
    ] {
        assert_eq!(date(from).days_until(date(to)), days, "from {from} to {to}");
    }
    for wrong in [
        "2023-02-29",
        "2024-13-01",
        "2024-00-01",
        "2024-1-1",
        "24-01-01",
        "2024-01-01-",
        "1879-12-31",
    ] {
        assert!(Date::parse(wrong).is_err(), "“{wrong}” is no day");
    }
    let before = Moment::parse("2024-12-31T23:50").expect("a moment");
    let after = Moment::parse("2025-01-01T00:05").expect("a moment");
    assert_eq!(
        before.minutes_until(after),
        15,
        "over midnight and the year's end"
    );
    assert!(
        Moment::parse("2024-12-31T24:00").is_err(),
        "24:00 is no time of day"
    );
}

#[test]
fn an_expiry_may_be_a_year_alone_and_says_so() {
    let on = date("2024-06-15");
    for (text, months, words) in [
        ("2004-06", 240, "20 years past its date"),
        ("06/2004", 240, "20 years past its date"),
        ("6/2004", 240, "20 years past its date"),
        ("2004", 240, "about 20 years past its date"),
        ("2023-05", 13, "1 year 1 month past its date"),
        ("2024-06", 0, "in the month of its date"),
        ("2025-02", -8, "8 months before its date"),
    ] {
        let expiry = Expiry::parse(text).expect("an expiry");
        assert_eq!(expiry.months_past(on), months, "{text}");
        same(text, &expiry.age_words(on), words);
    }
    for wrong in ["", "unknown", "2004-13", "13/2004", "04", "2004-06-01"] {
        assert!(Expiry::parse(wrong).is_err(), "“{wrong}” is no expiry");
    }
}

#[test]
fn process_codes_are_sorted_as_people_write_them() {
    for (code, state) in [
        ("C-41", Process::InUse),
        ("c41", Process::InUse),
        ("Process C-41", Process::InUse),
        ("E-6", Process::InUse),
        ("B&W", Process::InUse),
        ("C-22", Process::Dead),
        ("E-4", Process::Dead),
        ("e 2", Process::Dead),
        ("K-14", Process::Dead),
        ("K-12", Process::Dead),
        ("ECN-2", Process::MotionPicture),
        ("", Process::Unknown),
        ("X-9", Process::Other),
        ("C", Process::Other),
        ("C-99999999", Process::Other),
    ] {
        assert_eq!(process(code), state, "“{code}”");
    }
}

#[test]
fn what_wastes_film_is_said_before_it_is_spent() {
    let mut stock = Stock::new("s", "Old", Film::ColourNegative, speed("80"));
    stock.process = "C-22".to_owned();
    let said = warnings(&stock, None);
    assert!(
        said.iter()
            .any(|line| line.contains("C-22 is no longer offered")),
        "a dead process: {said:?}"
    );
    stock.process = "ECN-2".to_owned();
    assert!(
        warnings(&stock, None)
            .iter()
            .any(|line| line.contains("remjet")),
        "a motion-picture process"
    );
    stock.process = "C-41".to_owned();
    assert_eq!(
        warnings(&stock, None),
        Vec::<String>::new(),
        "nothing to say"
    );
    stock.remjet = true;
    assert!(
        warnings(&stock, None)
            .iter()
            .any(|line| line.contains("remjet")),
        "a backing that the process does not show"
    );
    stock.remjet = false;
    stock.box_speed = speed("800");
    let batch = Batch::new("b", "s", None, Storage::Hot);
    let said = warnings(&stock, Some(&batch)).join(" ");
    for part in ["Fast film", "hot place", "expiry is not known"] {
        assert!(said.contains(part), "“{part}” in {said}");
    }
    // Nitrate was made until 1951 to 1955, and film has a few years to its date.
    for (expiry, burns) in [
        ("1938", true),
        ("1959-12", true),
        ("1960-01", false),
        ("2004", false),
    ] {
        let expiry = Expiry::parse(expiry).expect("an expiry");
        let batch = Batch::new("b", "s", Some(expiry), Storage::Room);
        let said = warnings(&stock, Some(&batch)).join(" ");
        assert_eq!(
            said.contains("which burns"),
            burns,
            "{}: {said}",
            expiry.text()
        );
    }
}

#[test]
fn rolls_of_the_same_make_one_group() {
    let desk = bag(Film::ColourNegative, "200", "2004-06", Storage::Room, 5);
    let book = desk.book();
    let groups = book.groups();
    assert_eq!(groups.len(), 1, "one group");
    same(
        "words",
        &book.group_words(&groups[0]),
        "5 rolls, one group: 5 in the bag.",
    );
    let names: Vec<&str> = book.rolls().map(|roll| roll.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "Harbour 1",
            "Harbour 2",
            "Harbour 3",
            "Harbour 4",
            "Harbour 5"
        ],
        "numbered on"
    );
}

#[test]
fn more_of_the_same_are_numbered_on() {
    let mut desk = bag(Film::ColourNegative, "200", "2004-06", Storage::Room, 2);
    apply(
        &mut desk,
        Edit::Rolls {
            batch: "box".to_owned(),
            count: 2,
            exposures: 24,
        },
    );
    let names: Vec<&str> = desk.book().rolls().map(|roll| roll.name.as_str()).collect();
    assert_eq!(
        names,
        ["Harbour 1", "Harbour 2", "Harbour 3", "Harbour 4"],
        "no name twice"
    );
}

#[test]
fn another_storage_batch_or_type_is_another_group_and_says_so() {
    let mut desk = bag(Film::ColourNegative, "200", "2004-06", Storage::Room, 2);
    apply(
        &mut desk,
        Edit::Describe {
            roll: "box-2".to_owned(),
            name: "Glove box".to_owned(),
            purpose: String::new(),
            exposures: 36,
            storage: Some(Storage::Hot),
            note: String::new(),
        },
    );
    let slide = Stock::new("slide", "Slide", Film::Reversal, speed("100"));
    apply(&mut desk, Edit::Stock(slide));
    apply(
        &mut desk,
        Edit::Batch(Batch::new("slides", "slide", None, Storage::Room)),
    );
    apply(
        &mut desk,
        Edit::Rolls {
            batch: "slides".to_owned(),
            count: 1,
            exposures: 36,
        },
    );
    let book = desk.book();
    let group = |id: &str| book.group_of(roll_of(&desk, id)).expect("a group");
    assert_eq!(book.groups().len(), 3, "three groups");
    let hot = book
        .barrier(&group("box-1"), &group("box-2"))
        .expect("a barrier");
    assert!(
        hot.contains("another storage (kept in a hot place, not kept in a room)"),
        "{hot}"
    );
    let slide = book
        .barrier(&group("box-1"), &group("slides-1"))
        .expect("a barrier");
    assert!(
        slide.contains("another type of film (reversal, not colour negative)"),
        "{slide}"
    );
    assert!(slide.contains("another batch"), "{slide}");
    assert_eq!(
        book.barrier(&group("box-1"), &group("box-1")),
        None,
        "the same group"
    );
}

#[test]
fn a_roll_goes_from_the_bag_to_the_camera_to_the_lab_and_back() {
    let mut desk = bag(Film::ColourNegative, "200", "2004-06", Storage::Room, 2);
    load(&mut desk, "box-1", "80");
    let state = |desk: &Desk| roll_of(desk, "box-1").state;
    assert_eq!(state(&desk), State::Loaded);
    let again = Edit::Send {
        roll: "box-1".to_owned(),
        on: date("2024-06-01"),
        development: book::Development::Normal,
    };
    let refused = desk.apply(&again).expect_err("a loaded roll is not sent");
    same(
        "refusal",
        &refused.to_string(),
        "“Harbour 1” is loaded; this is for a roll that is exposed, waiting",
    );
    let too_early = Edit::Finish {
        roll: "box-1".to_owned(),
        on: date("2024-04-30"),
    };
    assert!(
        desk.apply(&too_early).is_err(),
        "finished before it was loaded"
    );
    apply(
        &mut desk,
        Edit::Finish {
            roll: "box-1".to_owned(),
            on: date("2024-05-20"),
        },
    );
    assert_eq!(state(&desk), State::Exposed);
    apply(&mut desk, again);
    assert_eq!(state(&desk), State::AtLab);
    apply(
        &mut desk,
        Edit::Return {
            roll: "box-1".to_owned(),
            on: date("2024-06-20"),
        },
    );
    assert_eq!(state(&desk), State::Back);
}

#[test]
fn two_rolls_are_open_at_once_but_never_two_in_one_camera() {
    let mut desk = bag(Film::ColourNegative, "200", "2004-06", Storage::Room, 3);
    load(&mut desk, "box-1", "80");
    let second = Loading::new("old folder", speed("100"), date("2024-06-01"), 1);
    let refused = desk.apply(&Edit::Load {
        roll: "box-2".to_owned(),
        loading: Loading {
            // As people write it.
            camera: " Old  folder".to_owned(),
            ..second.clone()
        },
    });
    same(
        "who is where",
        &refused.expect_err("one roll in a camera").to_string(),
        "“Harbour 1” is in the old folder since 2024-05-01; take it out first, or load this one in its place",
    );
    apply(
        &mut desk,
        Edit::Load {
            roll: "box-2".to_owned(),
            loading: Loading {
                camera: "garden box".to_owned(),
                ..second
            },
        },
    );
    assert_eq!(desk.book().open_rolls().count(), 2, "both are open");
    let waiting: Vec<(i32, &str)> = desk
        .book()
        .waiting_longest(date("2024-07-11"))
        .into_iter()
        .map(|(days, roll)| (days, roll.name.as_str()))
        .collect();
    assert_eq!(
        waiting,
        [(71, "Harbour 1"), (40, "Harbour 2")],
        "longest first"
    );
}

#[test]
fn what_others_refer_to_is_not_removed() {
    let mut desk = bag(Film::ColourNegative, "200", "2004-06", Storage::Room, 1);
    let stock = Edit::Remove(Key::new(Kind::Stock, "harbour"));
    let batch = Edit::Remove(Key::new(Kind::Batch, "box"));
    assert_eq!(
        desk.apply(&stock)
            .expect_err("a batch refers to it")
            .to_string(),
        "1 batch belongs to it; remove that first"
    );
    assert!(desk.apply(&batch).is_err(), "a roll refers to it");
    apply(&mut desk, Edit::Remove(Key::new(Kind::Roll, "box-1")));
    apply(&mut desk, batch);
    apply(&mut desk, stock);
    assert!(desk.book().is_empty(), "all removed in order");
}

#[test]
fn new_ids_can_be_read_and_are_free() {
    let desk = bag(Film::ColourNegative, "200", "2004-06", Storage::Room, 0);
    same(
        "taken",
        &desk.book().new_id(Kind::Stock, "Harbour"),
        "harbour-2",
    );
    same(
        "free",
        &desk.book().new_id(Kind::Stock, "Café Nº 5, grey"),
        "caf-n-5-grey",
    );
    same(
        "nothing to read",
        &Book::new().new_id(Kind::Roll, "…"),
        "unnamed",
    );
    assert_eq!(
        expiry("2004-06").map(Expiry::text).as_deref(),
        Some("2004-06"),
        "as written"
    );
}

#[test]
fn the_bag_is_searched_and_filtered_and_shows_what_was_found() {
    let mut desk = Desk::new(book::example());
    let stock = Stock::new("heath", "Heath 100", Film::BlackAndWhite, speed("100"));
    apply(&mut desk, Edit::Stock(stock));
    let mut batch = Batch::new("attic", "heath", expiry("1999"), Storage::Unknown);
    batch.origin = "Aunt Ida's attic".to_owned();
    apply(&mut desk, Edit::Batch(batch));
    let rows = book::bag(desk.book(), date("2024-07-01"));
    let names: Vec<&str> = rows.iter().map(|row| row.name.as_str()).collect();
    assert_eq!(names, ["Example: Harbour 200 (invented)", "Heath 100"]);
    assert_eq!(
        rows[0].words,
        "20 years 1 month past its date; 3 rolls: 1 in the bag, 1 loaded and 1 back from the lab"
    );
    assert_eq!(rows[0].ratings.len(), 1, "{:?}", rows[0].ratings);
    assert!(rows[0].ratings[0].starts_with("Rate it at EI "));
    assert!(rows[1].ratings.is_empty());
    let shown = |shows: Shows, typed: &str| -> Vec<&str> {
        let rows = rows.iter().filter(|row| row.is_shown(shows, typed));
        rows.map(|row| &row.name[..5]).collect()
    };
    for (shows, typed, expected) in [
        (Shows::All, "", vec!["Examp", "Heath"]),
        (Shows::All, "  ATTIC heath ", vec!["Heath"]),
        (Shows::All, "attic harbour", vec![]),
        // By the camera of one of its rolls, and by box speed.
        (Shows::All, "folding", vec!["Examp"]),
        (Shows::All, "iso 100", vec!["Heath"]),
        (Shows::With(State::Loaded), "", vec!["Examp"]),
        (Shows::With(State::Exposed), "", vec![]),
        (Shows::Unrated, "", vec!["Heath"]),
    ] {
        assert_eq!(shown(shows, typed), expected, "{shows:?} “{typed}”");
    }
}
