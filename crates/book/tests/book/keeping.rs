//! The stored form: golden files, damage, export and import.

use book::{
    Aside, Book, Correction, Desk, Device, DeviceSteps, Edit, Import, Key, Kind, Lens, Record,
    Rules, Storage, VERSION, encode, example, export, open, plan_import,
};
use proptest::prelude::*;

use crate::{
    check::{aperture, bag, corrected, date, light, same, series},
    undoing::{ops, worked},
};

fn kept(book: &Book) -> Vec<(String, String)> {
    book.records()
        .map(|record| (record.key().text(), encode(record)))
        .collect()
}

#[track_caller]
fn planned(book: &Book, document: &str) -> Import {
    plan_import(book, document).unwrap_or_else(|error| panic!("{error}"))
}

#[track_caller]
fn merged(book: &Book, document: &str) -> Book {
    let mut desk = Desk::new(book.clone());
    let import = planned(book, document);
    desk.apply(&Edit::Import(import))
        .expect("an import is taken over");
    desk.book().clone()
}

fn document(book: &Book) -> String {
    export(book, date("2026-11-25"))
}

fn device(twelfths: i32) -> Device {
    Device {
        correction_twelfths: twelfths,
        ..Device::new("clip", "Old clip-on", DeviceSteps::Halves)
    }
}

fn lens(focal_mm: u16) -> Lens {
    Lens::new("lens", "Fifty", focal_mm, aperture("2"), aperture("16")).expect("a lens")
}

/// The example with one record of every kind.
fn full() -> Book {
    let mut desk = Desk::new(example());
    let rule = Edit::Rule {
        id: "decade".to_owned(),
        value: Some(96),
    };
    desk.apply(&rule).expect("a rule");
    desk.apply(&Edit::Device(device(4))).expect("a device");
    desk.apply(&Edit::Lens(lens(50))).expect("a lens");
    let read = corrected(light("100", "1/125", "8", None), -6);
    series(
        &mut desk,
        "example.roll-2",
        "Lock",
        read,
        "100",
        &[("1/125", "5.6", 0)],
    );
    let filter = Correction {
        name: "Filter, factor 8".to_owned(),
        thousandths: -3000,
        at: None,
    };
    let behind = light("100", "1/125", "8", None)
        .with_corrections(vec![filter])
        .expect("a correction");
    series(
        &mut desk,
        "example.roll-2",
        "Lock again",
        behind,
        "100",
        &[("1/15", "8", 0)],
    );
    let aside = Record::Aside(Aside::new(
        "roll.lost",
        "{\"format\":\"stopkeeper roll\",\"version\":1,\"rec",
    ));
    desk.refresh(&aside.key(), Some(aside));
    desk.book().clone()
}

#[test]
fn golden_the_first_version_is_read_and_written_to_the_letter() {
    let goldens = [
        (include_str!("../golden/book-1.json"), 1),
        (include_str!("../golden/kit-1.json"), 0),
        (include_str!("../golden/cameras-4.json"), 0),
        (include_str!("../golden/test-5.json"), 0),
        (include_str!("../golden/lessons-5.json"), 0),
    ];
    let mut kinds: Vec<Kind> = Vec::new();
    for (golden, asides) in goldens {
        let book = merged(&Book::new(), golden);
        let written = golden.split("\"written\":\"").nth(1).expect("a day");
        same(
            "written again",
            &export(&book, date(&written[..10])),
            golden,
        );
        assert_eq!(
            book.asides().count(),
            asides,
            "all but the record that was set aside are read"
        );
        kinds.extend(book.records().map(Record::kind));
    }
    assert_eq!(
        VERSION, 6,
        "a new version needs golden files of its own, and these stay"
    );
    for kind in Kind::ALL {
        assert!(
            kinds.contains(&kind),
            "the golden files have no {}",
            kind.name()
        );
    }
}

#[test]
fn golden_the_kit_and_a_corrected_reading_are_what_they_say() {
    let book = merged(&Book::new(), include_str!("../golden/kit-1.json"));
    let clip = book.device("clip").expect("a device");
    assert_eq!(
        (clip.correction_twelfths, clip.steps),
        (4, DeviceSteps::Halves)
    );
    let spot = book.device("spot").expect("another device");
    assert_eq!(
        (spot.correction_twelfths, spot.steps),
        (0, DeviceSteps::Thirds)
    );
    let lens = book.lens("fifty").expect("a lens");
    same("lens", &lens.shown(), "50 mm, f/2 to f/16");
    same("fits", &lens.fits, "the folder and the box");
    let roll = book.find_roll("box-1").expect("a roll");
    assert_eq!(roll.scenes[0].light.correction_twelfths, 4, "corrected");
    assert_eq!(roll.scenes[1].light.correction_twelfths, 0, "left out");
    assert_eq!(
        (book.devices().count(), book.lenses().count()),
        (2, 1),
        "all of them"
    );
}

#[test]
fn a_device_or_a_lens_that_cannot_be_is_set_aside() {
    let book = full();
    let text = |kind, id: &str| encode(book.get(&Key::new(kind, id)).expect("a record"));
    let device = text(Kind::Device, "clip");
    let lens = text(Kind::Lens, "lens");
    let roll = text(Kind::Roll, "example.roll-2");
    for (key, text, from, to) in [
        ("device.clip", &device, ":4", ":121"),
        ("device.clip", &device, ":4", ":-121"),
        ("device.clip", &device, ":4", ":0.5"),
        ("device.clip", &device, ":4", ":null"),
        ("device.clip", &device, "halves", "quarters"),
        ("lens.lens", &lens, ":50", ":0"),
        ("lens.lens", &lens, ":50", ":2001"),
        ("lens.lens", &lens, "f/16", "f/1.4"),
        (
            "roll.example.roll-2",
            &roll,
            "\"correction_twelfths\":-6",
            "\"correction_twelfths\":-121",
        ),
    ] {
        assert!(text.contains(from), "{from} in {text}");
        let kept = |text: String| open(&[(key.to_owned(), text)]).set_aside.len();
        assert_eq!(kept(text.clone()), 0, "{key} as it is written");
        assert_eq!(kept(text.replacen(from, to, 1)), 1, "{key}: {from} to {to}");
    }
}

#[test]
fn devices_and_lenses_come_with_an_import_and_both_are_kept_where_they_differ() {
    let with = |twelfths: i32, focal_mm: u16| {
        let mut desk = Desk::new(Book::new());
        desk.apply(&Edit::Device(device(twelfths)))
            .expect("a device");
        desk.apply(&Edit::Lens(lens(focal_mm))).expect("a lens");
        desk.book().clone()
    };
    let (here, there) = (with(4, 50), with(-4, 50));
    assert_eq!(
        planned(&Book::new(), &document(&there)).says[0],
        "Adds 1 reading device and 1 lens."
    );
    let both = merged(&here, &document(&there));
    assert_eq!(
        both.device("clip").map(|device| device.correction_twelfths),
        Some(4),
        "what was here stays"
    );
    let names: Vec<(&str, i32)> = both
        .devices()
        .map(|device| (device.name.as_str(), device.correction_twelfths))
        .collect();
    assert_eq!(
        names,
        [("Old clip-on", 4), ("Old clip-on (other copy)", -4)]
    );
    assert_eq!(both.lenses().count(), 1, "the lens is the same");
    let wide = merged(&here, &document(&with(4, 28)));
    let focal: Vec<u16> = wide.lenses().map(|lens| lens.focal_mm).collect();
    assert_eq!(focal, [50, 28], "both lenses");
    assert_eq!(
        planned(&Book::new(), &document(&wide)).says[0],
        "Adds 1 reading device and 2 lenses."
    );
    assert_eq!(
        merged(&both, &document(&there)),
        both,
        "the same file twice adds nothing"
    );
}

#[test]
fn a_record_names_its_format_and_version() {
    for record in full().records() {
        if record.key().kind == Kind::Aside {
            continue;
        }
        let text = encode(record);
        // The one roll with corrections needs the second version, the rating with a scene of two liked frames the third.
        let version = match record.key().id.as_str() {
            "example.roll-2" => 2,
            "example.finding-1" => 3,
            _ => 1,
        };
        let head = format!(
            "{{\"format\":\"stopkeeper {}\",\"version\":{version},\"record\":{{",
            record.key().kind.name()
        );
        assert!(text.starts_with(&head), "{text}");
    }
}

#[test]
fn a_record_of_a_newer_version_is_left_and_exported_and_nothing_is_written_over_it() {
    let newer = VERSION + 1;
    let text = format!(
        "{{\"format\":\"stopkeeper roll\",\"version\":{newer},\"record\":{{\"id\":\"box-1\",\"colour\":\"?\"}}}}"
    );
    let opened = open(&[("roll.box-1".to_owned(), text.clone())]);
    assert_eq!(opened.set_aside, [], "it stays under its key");
    assert!(
        opened.notices[0].contains("newer version"),
        "{:?}",
        opened.notices
    );
    let aside = opened.book.asides().next().expect("part of the book");
    same("to the letter", &aside.text, &text);
    let mut desk = Desk::new(opened.book);
    for record in bag(book::Film::ColourNegative, "400", "2004", Storage::Room, 0)
        .book()
        .records()
    {
        desk.refresh(&record.key(), Some(record.clone()));
    }
    desk.apply(&Edit::Rolls {
        batch: "box".to_owned(),
        count: 1,
        exposures: 36,
    })
    .expect("a roll");
    assert!(desk.book().roll("box-1").is_none(), "its key is not taken");
    assert!(desk.book().roll("box-2").is_some(), "the next one is");
    assert!(
        document(desk.book()).contains("\\\"colour\\\""),
        "an export holds it"
    );
}

#[test]
fn an_import_never_goes_over_a_record_of_a_newer_version_but_mends_a_damaged_one() {
    let backup = document(worked(&[]).book());
    let text = |version: u32| {
        format!(
            "{{\"format\":\"stopkeeper roll\",\"version\":{version},\"record\":{{\"id\":\"box-1\"}}}}"
        )
    };
    let newer = open(&[("roll.box-1".to_owned(), text(VERSION + 1))]).book;
    let both = merged(&newer, &backup);
    assert!(both.roll("box-1").is_none(), "its key is left to it");
    assert!(
        both.rolls().any(|roll| roll.id.starts_with("box-1-")),
        "the other one is kept beside it"
    );
    assert_eq!(
        merged(&both, &backup),
        both,
        "the same file twice adds nothing"
    );
    let damaged = open(&[("roll.box-1".to_owned(), text(1))]).book;
    assert!(
        merged(&damaged, &backup).roll("box-1").is_some(),
        "a backup brings a damaged roll back"
    );
}

#[test]
fn a_field_that_nobody_knows_makes_a_record_unreadable_so_that_it_is_not_dropped_unseen() {
    for (key, text) in kept(&full())
        .iter()
        .filter(|(key, _)| !key.starts_with("aside."))
    {
        for (at, _) in text.match_indices('{') {
            let more = if text[at..].starts_with("{}") {
                "\"colour\":1"
            } else {
                "\"colour\":1,"
            };
            let changed = format!("{{{more}{}", &text[at + 1..]);
            let changed = format!("{}{changed}", &text[..at]);
            let opened = open(&[(key.clone(), changed.clone())]);
            // The one object whose fields are free holds values of rules by id: there it is a value.
            let free = text[..at].ends_with("\"own\":");
            assert_eq!(opened.notices.is_empty(), free, "{changed}");
        }
    }
}

#[test]
fn a_roll_whose_parts_do_not_fit_is_set_aside() {
    let book = small();
    let text = encode(book.get(&Key::new(Kind::Roll, "box-1")).expect("a roll"));
    for (from, to) in [
        ("\"scene\":1,\"set\"", "\"scene\":7,\"set\""),
        ("\"frames\":[{\"id\":1,", "\"frames\":[{\"id\":2,"),
        ("\"exposures\":36", "\"exposures\":0"),
        ("\"exposures\":36", "\"exposures\":251"),
        ("\"state\":\"in_bag\"", "\"state\":\"loaded\""),
    ] {
        if from.contains("in_bag") {
            let bag = worked(&[]);
            let text = encode(
                bag.book()
                    .get(&Key::new(Kind::Roll, "box-1"))
                    .expect("a roll"),
            );
            assert!(text.contains(from), "{text}");
            let opened = open(&[("roll.box-1".to_owned(), text.replace(from, to))]);
            assert_eq!(opened.set_aside.len(), 1, "{from} to {to}");
            continue;
        }
        assert!(text.contains(from), "{from} in {text}");
        let opened = open(&[("roll.box-1".to_owned(), text.replace(from, to))]);
        assert_eq!(opened.set_aside.len(), 1, "{from} to {to}");
    }
}

#[test]
fn an_import_that_touches_a_record_twice_is_undone_to_the_start() {
    let with = |value: i32, id: &str| {
        let mut desk = Desk::new(Book::new());
        desk.apply(&Edit::Rule {
            id: id.to_owned(),
            value: Some(value),
        })
        .expect("a rule");
        desk.book().clone()
    };
    let (one, two) = (
        document(&with(96, "decade")),
        document(&with(12, "bw_most")),
    );
    let line = |text: &str| text.lines().nth(1).expect("a record").to_owned();
    let both = one.replace(&line(&one), &format!("{},\n{}", line(&one), line(&two)));
    let before = with(3, "slide_most");
    let mut desk = Desk::new(before.clone());
    let import = planned(&before, &both);
    desk.apply(&Edit::Import(import)).expect("taken over");
    let rules = desk.book().rules();
    assert_eq!(
        (rules.value("decade", 0), rules.value("bw_most", 0)),
        (96, 12),
        "both came"
    );
    desk.undo();
    assert_eq!(desk.book(), &before, "as it was");
}

#[test]
fn what_was_set_aside_stays_set_aside_to_the_letter() {
    let damaged = "{\"format\":\"stopkeeper roll\",\"ver";
    let opened = open(&[("roll.a".to_owned(), damaged.to_owned())]);
    let (old, new) = opened.set_aside.first().expect("set aside").clone();
    same("old key", &old, "roll.a");
    let again = open(&[(new, damaged.to_owned())]);
    assert_eq!(again.book, opened.book, "the same after the move");
    assert_eq!(
        (again.set_aside.len(), again.notices.len()),
        (0, 0),
        "and said once only"
    );
}

#[test]
fn a_record_under_a_key_that_is_not_its_own_is_set_aside() {
    let mut found = kept(&example());
    found[0].0 = "stock.somebody".to_owned();
    let opened = open(&found);
    assert_eq!(opened.set_aside.len(), 1, "set aside");
    assert_eq!(opened.book.len(), found.len(), "and nothing is lost");
}

/// Texts with one byte changed, at every place: flipped low bit, a quote, a brace, and the byte left out.
fn damages(text: &str) -> impl Iterator<Item = String> + '_ {
    (0..text.len()).flat_map(move |at| {
        let bytes = text.as_bytes();
        let with = move |byte: Option<u8>| {
            let mut damaged = bytes[..at].to_vec();
            damaged.extend(byte);
            damaged.extend(&bytes[at + 1..]);
            String::from_utf8_lossy(&damaged).into_owned()
        };
        [Some(bytes[at] ^ 1), Some(b'"'), Some(b'}'), None].map(with)
    })
}

/// A book that is small enough to damage at every byte.
fn small() -> Book {
    worked(&[
        (2, 0, 0),
        (8, 2, 1),
        (27, 0, 0),
        (13, 0, 0),
        (15, 1, 1),
        (19, 0, 1),
        (20, 0, 1),
        (24, 0, 0),
        (25, 0, 0),
    ])
    .book()
    .clone()
}

#[test]
fn damage_at_any_byte_of_a_record_loses_at_most_that_record_and_keeps_its_text() {
    let book = small();
    let whole = kept(&book);
    for (place, (key, text)) in whole.iter().enumerate() {
        for damaged in damages(text) {
            let mut found = whole.clone();
            found[place].1.clone_from(&damaged);
            let opened = open(&found);
            for (other, _) in whole.iter().filter(|(other, _)| other != key) {
                let other = Key::parse(other).expect("a key");
                assert_eq!(
                    opened.book.get(&other),
                    book.get(&other),
                    "{key} with “{damaged}” touched {other:?}"
                );
            }
            let still = opened.book.get(&Key::parse(key).expect("a key")).is_some();
            let aside = opened.book.asides().any(|aside| aside.text == damaged);
            assert!(
                still != aside,
                "{key} with “{damaged}” is neither read nor set aside"
            );
            assert_eq!(
                aside,
                !opened.notices.is_empty(),
                "{key} with “{damaged}” is set aside and said"
            );
        }
    }
}

#[test]
fn damage_at_any_byte_of_an_export_loses_at_most_one_record() {
    let book = small();
    let text = document(&book);
    let empty = Book::new();
    for damaged in damages(&text) {
        let Ok(import) = plan_import(&empty, &damaged) else {
            // The digit of the version, which then is a newer one: nothing is taken and the file stays as it is.
            assert!(
                damaged.starts_with("{\"format\":\"stopkeeper book\",\"version\":"),
                "refused: {damaged}"
            );
            assert!(
                damaged[39..].starts_with(",\"written\""),
                "refused: {damaged}"
            );
            continue;
        };
        let mut desk = Desk::new(Book::new());
        desk.apply(&Edit::Import(import))
            .expect("an import is taken over");
        let lost = book
            .records()
            .filter(|record| desk.book().get(&record.key()) != Some(*record))
            .count();
        assert!(lost <= 1, "{lost} records lost of “{damaged}”");
    }
}

#[test]
fn what_is_no_export_is_refused_in_words() {
    for text in [
        "",
        "{}",
        "[]",
        "null",
        "roll,frame\r\n",
        "{\"format\":\"other\",\"version\":1}",
    ] {
        let refused = plan_import(&Book::new(), text).expect_err("refused");
        assert!(
            refused
                .to_string()
                .starts_with("this is not a file that was exported here"),
            "“{text}”: {refused}"
        );
    }
    let newer = VERSION + 1;
    let newer = format!("{{\"format\":\"stopkeeper book\",\"version\":{newer},\"things\":[]}}");
    let refused = plan_import(&Book::new(), &newer).expect_err("refused");
    assert!(refused.to_string().contains("newer version"), "{refused}");
}

#[test]
fn an_export_that_another_program_laid_out_anew_is_read() {
    let value: serde_json::Value = serde_json::from_str(&document(&full())).expect("JSON");
    let pretty = serde_json::to_string_pretty(&value).expect("JSON");
    assert_eq!(merged(&Book::new(), &pretty), full(), "the same book");
}

#[test]
fn an_import_says_first_what_it_will_do_and_keeps_both_where_records_differ() {
    let here = worked(&[(2, 0, 0), (17, 0, 1)]);
    let there = worked(&[(2, 0, 0), (8, 0, 1), (0, 0, 0)]);
    let import = planned(here.book(), &document(there.book()));
    assert_eq!(
        import.says,
        [
            "Adds 2 rolls.",
            "3 records are here already, exactly so.",
            "“Harbour 1” differs from the one here. Both are kept; the one from the file gets the id box-1-",
            "“Harbour 1” can be merged frame by frame instead: the file brings the new frames 1 to 2, and nothing is contradicted.",
            "Nothing that is here is changed or removed.",
        ]
        .map(|line| if line.ends_with('-') {
            format!("{line}{}.", &import.conflicts[0].1.id[6..])
        } else {
            line.to_owned()
        })
    );
    let mut desk = here.clone();
    desk.apply(&Edit::Import(import)).expect("taken over");
    let names: Vec<&str> = desk.book().rolls().map(|roll| roll.name.as_str()).collect();
    assert!(
        names.contains(&"Harbour 1") && names.contains(&"Harbour 1 (other copy)"),
        "both: {names:?}"
    );
    desk.undo();
    assert_eq!(desk.book(), here.book(), "one step to undo");
}

#[test]
fn rolls_follow_their_batch_where_that_was_kept_twice() {
    let here = worked(&[]);
    let mut there = bag(
        book::Film::ColourNegative,
        "400",
        "1999-01",
        Storage::Hot,
        4,
    );
    there
        .apply(&Edit::Note {
            roll: "nobody".to_owned(),
            frame: 1,
            note: String::new(),
        })
        .expect_err("no such roll");
    let book = merged(here.book(), &document(there.book()));
    let batch = &book.roll("box-4").expect("a new roll").batch;
    assert_ne!(batch, "box", "the other batch");
    assert_eq!(
        book.batch(batch).map(|batch| batch.storage),
        Some(Storage::Hot),
        "with its own storage"
    );
    assert_eq!(
        book.batch("box").map(|batch| batch.storage),
        Some(Storage::Unknown),
        "what was here stays"
    );
}

#[test]
fn own_values_of_rules_are_joined_and_stay_where_they_differ() {
    let with = |values: &[(&str, i32)]| {
        let mut desk = Desk::new(Book::new());
        for (id, value) in values {
            desk.apply(&Edit::Rule {
                id: (*id).to_owned(),
                value: Some(*value),
            })
            .expect("a rule");
        }
        desk.book().clone()
    };
    let book = merged(
        &with(&[("decade", 60), ("bw_most", 12)]),
        &document(&with(&[("decade", 96), ("slide_most", 3)])),
    );
    let rules: Rules = book.rules();
    assert_eq!(
        (
            rules.value("decade", 0),
            rules.value("bw_most", 0),
            rules.value("slide_most", 0)
        ),
        (60, 12, 3),
        "joined"
    );
    assert!(
        book.asides().any(|aside| aside.text.contains("96")),
        "the other value is set aside"
    );
}

#[test]
fn no_number_in_a_record_makes_anything_panic() {
    let text = document(&full());
    let number = |at: usize| text[at..].bytes().take_while(u8::is_ascii_digit).count();
    let starts = (2..text.len()).filter(|at| {
        // After a colon that follows a name, or in a list: not inside of a day or a time of day.
        let before = text[..*at].trim_end_matches('-');
        text.as_bytes()[*at].is_ascii_digit() && (before.ends_with("\":") || before.ends_with('['))
    });
    let mut read = 0;
    for at in starts {
        for extreme in ["0", "65535", "2147483647", "-2147483648", "9e99"] {
            // A sign that stands there already makes no number with another one.
            let extreme = if text[..at].ends_with('-') {
                extreme.trim_start_matches('-')
            } else {
                extreme
            };
            let changed = format!("{}{extreme}{}", &text[..at], &text[at + number(at)..]);
            let Ok(import) = plan_import(&Book::new(), &changed) else {
                continue;
            };
            let mut desk = Desk::new(Book::new());
            desk.apply(&Edit::Import(import)).expect("taken over");
            read += 1;
            let book = desk.book();
            for roll in book.rolls() {
                let _ = (
                    book::csv(book, &[roll]),
                    book::lab_slip(book, roll, roll.development),
                    book::last_frames(roll),
                );
                let _ = (
                    book::sidecars(book, roll),
                    book::tape(book, roll),
                    roll.left_words(),
                );
                let _ = book::start_for(book, roll, date("2024-06-15"), true);
            }
            for device in book.devices() {
                let _ = (device.correction(), device.correction_words());
            }
            for lens in book.lenses() {
                let _ = lens.shown();
            }
            for group in book.groups() {
                let _ = book::conclude(book, &group);
            }
            for finding in book.findings() {
                let _: Vec<_> = finding
                    .evidence
                    .iter()
                    .map(|scene| (scene.liked(), scene.limits()))
                    .collect();
            }
        }
    }
    assert!(read > 300, "most of them are read: {read}");
}

/// What a book holds when ids and the marks of copies are left out.
fn contents(book: &Book) -> Vec<String> {
    let mut out: Vec<String> = book
        .records()
        .map(|record| match record.clone() {
            Record::Stock(mut stock) => {
                stock.id.clear();
                stock.name = stock.name.replace(" (other copy)", "");
                format!("{stock:?}")
            }
            Record::Batch(mut batch) => {
                batch.id.clear();
                batch.stock.clear();
                format!("{batch:?}")
            }
            Record::Roll(mut roll) => {
                roll.id.clear();
                roll.batch.clear();
                roll.name = roll.name.replace(" (other copy)", "");
                format!("{roll:?}")
            }
            Record::Finding(mut finding) => {
                finding.id.clear();
                finding.group.stock.clear();
                finding.group.batch.clear();
                for evidence in &mut finding.evidence {
                    evidence.roll.clear();
                }
                format!("{finding:?}")
            }
            Record::Test(mut test) => {
                test.id.clear();
                test.group.stock.clear();
                test.group.batch.clear();
                format!("{test:?}")
            }
            Record::Device(mut device) => {
                device.id.clear();
                device.name = device.name.replace(" (other copy)", "");
                format!("{device:?}")
            }
            Record::Lens(mut lens) => {
                lens.id.clear();
                lens.name = lens.name.replace(" (other copy)", "");
                format!("{lens:?}")
            }
            Record::Rules(_) | Record::Aside(_) | Record::Camera(_) | Record::Dial(_) => {
                String::new()
            }
        })
        .collect();
    out.sort();
    out
}

fn disjoint(a: &Book, b: &Book) -> bool {
    b.records()
        .all(|record| a.get(&record.key()).is_none_or(|here| here == record))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn import_of_an_export_is_the_same_book(ops in ops(40)) {
        let book = worked(&ops).book().clone();
        let text = document(&book);
        let import = planned(&Book::new(), &text);
        prop_assert_eq!((import.adds, import.same, import.unreadable), (book.len(), 0, 0));
        prop_assert_eq!(&merged(&Book::new(), &text), &book);
        prop_assert_eq!(&merged(&book, &text), &book, "taken over by itself nothing changes");
    }

    #[test]
    fn a_merge_loses_nothing_and_changes_nothing_that_was_here(a in ops(25), b in ops(25)) {
        let (a, b) = (worked(&a).book().clone(), worked(&b).book().clone());
        let both = merged(&a, &document(&b));
        for record in a.records().filter(|record| record.key().kind != Kind::Rules) {
            prop_assert_eq!(both.get(&record.key()), Some(record));
        }
        let all = contents(&both);
        for content in contents(&b) {
            prop_assert!(all.contains(&content), "lost: {content}");
        }
        prop_assert_eq!(&merged(&both, &document(&b)), &both, "the same file twice adds nothing");
    }

    #[test]
    fn a_merge_holds_the_same_either_way_round_up_to_ids(a in ops(25), b in ops(25)) {
        let (a, b) = (worked(&a).book().clone(), worked(&b).book().clone());
        let (ab, ba) = (merged(&a, &document(&b)), merged(&b, &document(&a)));
        let without_rules = |book: &Book| {
            let mut contents = contents(book);
            contents.retain(|content| !content.is_empty());
            contents
        };
        prop_assert_eq!(without_rules(&ab), without_rules(&ba));
        if disjoint(&a, &b) {
            prop_assert_eq!(ab, ba, "without a conflict to the letter");
        }
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,200}", key in "[a-z.]{0,20}") {
        let opened = open(&[(key, text.clone())]);
        prop_assert_eq!(opened.book.len(), 1);
        let _ = plan_import(&Book::new(), &text);
        let broken = format!("{{\"format\":\"stopkeeper book\"{text}{{\"format\":\"stopkeeper roll\"{text}");
        let _ = plan_import(&Book::new(), &broken);
    }
}
