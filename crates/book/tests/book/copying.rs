//! Small copies of scans that go along with a saved book.

use base64::{Engine as _, engine::general_purpose::STANDARD};
use book::{
    AFTER_COPIES, Book, ByKey, Desk, Edit, Import, Key, Kind, LARGEST_COPY, Reader, SmallCopy,
    bytes_words, export, export_before_copies,
};

use crate::{
    check::{date, same},
    undoing::worked,
};

const GOLDEN: &str = include_str!("../golden/copies-6.json");

fn copy(roll: &str, name: &str, size: usize) -> SmallCopy {
    SmallCopy {
        roll: roll.to_owned(),
        name: name.to_owned(),
        kind: "image/jpeg".to_owned(),
        // Every byte, at every place of a group of three.
        picture: (0..=255_u8).cycle().take(size).collect(),
        measured: "stopkeeper measured 1\nsize 6000 4000\n".to_owned(),
    }
}

#[track_caller]
fn line(copy: &SmallCopy) -> String {
    copy.line().expect("a copy that can go along")
}

fn document(book: &Book, copies: &[SmallCopy]) -> String {
    let mut text = export_before_copies(book, date("2026-11-27"), &ByKey::new(), copies.len());
    text.extend(copies.iter().map(line));
    text + AFTER_COPIES
}

/// What a document brings to a book: the copies, and the rest.
#[track_caller]
fn read(book: &Book, document: &str) -> (Vec<SmallCopy>, Import) {
    let mut reader = Reader::open(document.to_owned()).unwrap_or_else(|error| panic!("{error}"));
    let mut copies = Vec::new();
    while reader.read(2) {
        copies.extend(reader.take_copies());
    }
    copies.extend(reader.take_copies());
    (copies, reader.plan(book))
}

#[track_caller]
fn taken(book: &Book, import: &Import) -> Book {
    let mut desk = Desk::new(book.clone());
    desk.apply(&Edit::Import(import.clone()))
        .expect("an import is taken over");
    desk.book().clone()
}

#[test]
fn golden_copies_are_read_and_written_to_the_letter() {
    let (copies, import) = read(&Book::new(), GOLDEN);
    let book = taken(&Book::new(), &import);
    same("written again", &document(&book, &copies), GOLDEN);
    assert_eq!(
        import.says,
        [
            "Adds 1 stock, 1 batch and 1 roll.",
            "Brings 2 small copies of scans for 1 roll, 0 kB.",
            "Nothing that is here is changed or removed.",
        ]
    );
    assert_eq!(copies[0].name, "scan “1”.jpg", "the first");
    assert_eq!(copies[0].picture, [0xff, 0xd8, 0xff, 0xe0], "its bytes");
    assert_eq!(copies[1].kind, "image/webp", "the second");
    same("nothing measured", &copies[1].measured, "");
    same(
        "without copies it is as old as it was",
        &export(&book, date("2026-11-27")),
        &GOLDEN
            .replacen("\"version\":6,\"written\"", "\"version\":1,\"written\"", 1)
            .replacen("\"count\":5", "\"count\":3", 1)
            .lines()
            .filter(|line| !line.contains("stopkeeper copy"))
            .map(|line| match line.strip_suffix("},") {
                Some(last) if last.contains("stopkeeper roll") => format!("{last}}}\n"),
                _ => format!("{line}\n"),
            })
            .collect::<String>(),
    );
}

#[test]
fn copies_come_back_as_they_went_and_are_no_records() {
    let here = worked(&[(2, 0, 0), (17, 0, 1)]);
    let sent: Vec<SmallCopy> = [1, 2, 3, 59_999, LARGEST_COPY]
        .into_iter()
        .zip(["box-1", "box-1", "box-2", "box-2", "box-3"])
        .map(|(size, roll)| copy(roll, &format!("scan\n{size} \\ \"Ä\" 🎞.jpg"), size))
        .collect();
    let text = document(here.book(), &sent);
    assert!(text.starts_with("{\"format\":\"stopkeeper book\",\"version\":6,"));
    let (copies, import) = read(&Book::new(), &text);
    assert_eq!(copies, sent, "every one");
    assert_eq!(taken(&Book::new(), &import), *here.book(), "the book alone");
    assert_eq!(import.unreadable, 0);
    assert!(
        import
            .says
            .contains(&"Brings 5 small copies of scans for 3 rolls, 260 kB.".to_owned()),
        "{:?}",
        import.says
    );
    // Laid out anew by another program.
    let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let pretty = serde_json::to_string_pretty(&value).expect("JSON");
    assert_eq!(read(&Book::new(), &pretty).0, sent, "laid out anew");
}

fn three() -> [SmallCopy; 3] {
    ["scan 1.jpg", "scan 2.jpg", "scan 3.jpg"].map(|name| copy("box-1", name, 300))
}

#[test]
fn a_damaged_copy_is_counted_and_nothing_else_is_lost() {
    let here = worked(&[(2, 0, 0)]);
    let sent = three();
    let whole = document(here.book(), &sent);
    let second = line(&sent[1]);
    // A picture that is longer than any that is written, and one with nothing in it.
    let a_third = "AAAA".repeat(LARGEST_COPY / 6);
    let long = format!("\"picture\":\"{}AA", a_third.repeat(2));
    let damaged = |from: &str, to: &str| {
        let line = second.replacen(from, to, 1);
        assert_ne!(line, second, "{from} is in it");
        line
    };
    for line in [
        damaged("\"picture\":\"AA", "\"picture\":\"A!"),
        damaged("\"picture\":\"AA", "\"picture\":\"A"),
        damaged("image/jpeg", "image/svg+xml"),
        damaged("image/jpeg", "text/html"),
        damaged("\"roll\":\"box-1\"", "\"roll\":\"\""),
        damaged("\"roll\":\"box-1\"", "\"roll\":7"),
        damaged("scan 2.jpg", ""),
        damaged("\"measured\"", "\"looked\""),
        damaged("\"version\":1", "\"version\":2"),
        damaged("\"kind\"", "\"colour\":1,\"kind\""),
        damaged("}}", "},\"more\":1}"),
        damaged("\"picture\":\"AA", &long),
        damaged(&STANDARD.encode(&sent[1].picture), ""),
    ] {
        let (copies, import) = read(&Book::new(), &whole.replacen(&second, &line, 1));
        let what = &line[..line.len().min(400)];
        let names: Vec<&str> = copies.iter().map(|copy| copy.name.as_str()).collect();
        assert_eq!(names, ["scan 1.jpg", "scan 3.jpg"], "{what}");
        assert_eq!(import.unreadable, 0, "nothing is set aside: {what}");
        assert_eq!(taken(&Book::new(), &import), *here.book(), "{what}");
        let says = "1 small copy of a scan could not be read and is left out.".to_owned();
        assert!(import.says.contains(&says), "{what}: {:?}", import.says);
    }
}

#[test]
fn a_torn_document_gives_the_copies_that_are_whole() {
    let here = worked(&[(2, 0, 0)]);
    let sent = three();
    let whole = document(here.book(), &sent);
    // In the middle of a picture.
    let at = whole.find("scan 2.jpg").expect("the second") + 100;
    let (copies, import) = read(&Book::new(), &whole[..at]);
    assert_eq!(copies, sent[..1], "the end is missing");
    assert_eq!(taken(&Book::new(), &import), *here.book(), "the whole book");
    assert!(import.says[0].starts_with("This file is damaged."));
    assert!(
        import
            .says
            .contains(&"1 small copy of a scan could not be read and is left out.".to_owned())
    );
    let torn = format!("{}{}", &whole[..at], &whole[at + 20..].replacen('"', "", 1));
    let (copies, import) = read(&Book::new(), &torn);
    let names: Vec<&str> = copies.iter().map(|copy| copy.name.as_str()).collect();
    assert_eq!(names, ["scan 1.jpg", "scan 3.jpg"], "the middle is damaged");
    assert_eq!(taken(&Book::new(), &import), *here.book(), "the whole book");
    // Wherever it ends, what is read is what was sent.
    for end in (0..whole.len()).step_by(7) {
        let Ok(mut reader) = Reader::open(whole[..end].to_owned()) else {
            continue;
        };
        while reader.read(5) {}
        for copy in reader.take_copies() {
            assert!(sent.contains(&copy), "torn at {end}: {copy:?}");
        }
    }
}

#[test]
fn few_copies_are_held_at_once_and_none_is_missed() {
    let here = worked(&[(2, 0, 0)]);
    let sent: Vec<SmallCopy> = (1..=30)
        .map(|nth| copy("box-1", &format!("scan {nth}.jpg"), 30 * nth))
        .collect();
    let mut reader = Reader::open(document(here.book(), &sent)).expect("a document");
    let (mut copies, mut goes_on) = (Vec::new(), true);
    while goes_on {
        goes_on = reader.read(usize::MAX);
        let some = reader.take_copies();
        assert!(some.len() <= 8, "{} at once", some.len());
        copies.extend(some);
    }
    assert_eq!(copies, sent, "every one");
    let (read, all) = reader.progress();
    assert_eq!(read, all, "the whole document");
    assert_eq!(
        taken(&Book::new(), &reader.plan(&Book::new())),
        *here.book()
    );
}

#[test]
fn copies_follow_their_roll_where_both_are_kept() {
    let here = worked(&[(2, 0, 0), (17, 0, 1)]);
    let there = worked(&[(2, 0, 0), (8, 0, 1), (0, 0, 0)]);
    let text = document(there.book(), &[copy("box-1", "scan 1.jpg", 30)]);
    let (_, import) = read(here.book(), &text);
    let key = Key::new(Kind::Roll, "box-1");
    let other = import.conflicts[0].1.id.clone();
    for book in [here.book().clone(), taken(here.book(), &import)] {
        let renamed = import.renamed(&book);
        assert_eq!(renamed.get(&key), Some(&other), "before and after");
        assert_eq!(renamed.get(&Key::new(Kind::Roll, "box-2")), None);
    }
    let merging = import.merging(here.book(), true);
    for book in [here.book().clone(), taken(here.book(), &merging)] {
        assert_eq!(merging.renamed(&book).get(&key), None, "one roll");
    }
    assert!(
        merging
            .says
            .contains(&"Brings 1 small copy of a scan for 1 roll, 0 kB.".to_owned()),
        "{:?}",
        merging.says
    );
}

#[test]
fn what_would_not_be_read_again_does_not_go_along() {
    let with = |change: &dyn Fn(&mut SmallCopy)| {
        let mut copy = copy("box-1", "scan 1.jpg", 300);
        change(&mut copy);
        copy.line()
    };
    assert!(with(&|_| {}).is_some(), "a sound one");
    assert!(with(&|copy| copy.measured.clear()).is_some(), "no measure");
    assert_eq!(with(&|copy| copy.picture.clear()), None, "no picture");
    assert_eq!(with(&|copy| copy.roll.clear()), None, "no roll");
    assert_eq!(with(&|copy| copy.name.clear()), None, "no name");
    assert_eq!(
        with(&|copy| copy.picture = vec![0; LARGEST_COPY + 1]),
        None,
        "too large"
    );
    for kind in ["", "text/html", "image/svg+xml", "image/jpeg; x"] {
        let line = with(&|copy| kind.clone_into(&mut copy.kind));
        assert_eq!(line, None, "{kind}");
    }
}

#[test]
fn bytes_are_said_in_words() {
    for (bytes, words) in [
        (0.0, "0 kB"),
        (340_400.0, "340 kB"),
        (1_940_000.0, "1.9 MB"),
        (60_000_000.0, "60 MB"),
    ] {
        same("bytes", &bytes_words(bytes), words);
    }
}
