//! What goes with a roll, a batch or the whole book, and comes back by undo.

use book::{
    Aside, Batch, Book, Device, DeviceSteps, Edit, Keeper, Key, Kind, Record, Storage, Written,
    encode, example, would_remove,
};

use crate::check::{apply, load, pier, roll_of, same, take_all, two_rolls};

/// Everything of a book, as it is stored.
fn texts(book: &Book) -> Vec<String> {
    book.records().map(encode).collect()
}

/// Two rolls of one batch, of which one has a log of two frames.
fn with_a_log() -> book::Desk {
    let mut desk = two_rolls();
    load(&mut desk, "box-1", "100");
    pier(&mut desk, &[("1/125", "8", 0), ("1/60", "8", 12)]);
    take_all(&mut desk, "box-1");
    desk
}

#[test]
fn a_roll_goes_with_its_log_and_comes_back() {
    let mut desk = with_a_log();
    let before = texts(desk.book());
    let edit = Edit::Remove(Key::new(Kind::Roll, "box-1"));
    let name = roll_of(&desk, "box-1").name.clone();
    same(
        "the question",
        &would_remove(desk.book(), &edit),
        &format!(
            "The roll “{name}” goes, with its log, 2 frames logged. Ratings that it is evidence for stay."
        ),
    );
    apply(&mut desk, edit.clone());
    assert!(!desk.book().has_roll("box-1"));
    same(
        "nothing is left to ask",
        &would_remove(desk.book(), &edit),
        "",
    );
    desk.undo().expect("a step to undo");
    assert_eq!(texts(desk.book()), before);
}

#[test]
fn a_batch_goes_with_its_rolls_and_its_stock_and_no_other() {
    let mut desk = with_a_log();
    let other = Batch::new("other", "harbour", None, Storage::Unknown);
    apply(&mut desk, Edit::Batch(other));
    let before = texts(desk.book());
    let edit = Edit::RemoveBatch("box".to_owned());
    same(
        "the question",
        &would_remove(desk.book(), &edit),
        "This batch goes, with 2 rolls, 2 frames logged.",
    );
    apply(&mut desk, edit);
    // Another batch is of the same stock.
    let left: Vec<String> = desk
        .book()
        .records()
        .map(|record| record.key().text())
        .collect();
    assert_eq!(left, ["stock.harbour", "batch.other"]);
    apply(&mut desk, Edit::RemoveBatch("other".to_owned()));
    assert!(desk.book().is_empty(), "a stock without a batch is left");
    desk.undo().expect("a step to undo");
    desk.undo().expect("a step to undo");
    assert_eq!(texts(desk.book()), before);
    assert!(
        desk.apply(&Edit::RemoveBatch("nowhere".to_owned()))
            .is_err()
    );
}

#[test]
fn the_whole_book_goes_but_for_what_a_newer_version_wrote_and_comes_back() {
    let mut desk = book::Desk::new(example());
    apply(
        &mut desk,
        Edit::Device(Device::new("clip", "clip-on", DeviceSteps::Thirds)),
    );
    let newer = "{\"format\": \"stopkeeper roll\", \"version\": 9, \"record\": {}}";
    let damaged = Aside::new("roll.x", "not a record");
    for aside in [Aside::new("roll.later", newer), damaged] {
        let record = Record::Aside(aside);
        desk.refresh(&record.key(), Some(record));
    }
    let before = texts(desk.book());
    let says = would_remove(desk.book(), &Edit::RemoveAll);
    assert!(
        says.starts_with("Everything in the film book goes: ")
            && says.contains("frames logged")
            && says.contains("1 rating")
            && says.ends_with("1 reading device and 1 record that could not be read."),
        "{says}"
    );
    let done = apply(&mut desk, Edit::RemoveAll);
    assert_eq!(done.touched.len(), before.len() - 1);
    assert_eq!(desk.book().len(), 1, "a record of a newer version stays");
    same(
        "again",
        &would_remove(desk.book(), &Edit::RemoveBatch("x".to_owned())),
        "",
    );
    desk.apply(&Edit::RemoveAll)
        .expect_err("nothing is left to remove");
    desk.undo().expect("a step to undo");
    assert_eq!(texts(desk.book()), before);
}

/// A roll whose log was not read could not be brought back: it is read first.
#[test]
fn logs_that_were_not_read_are_asked_for() {
    let desk = with_a_log();
    let mut keeper = Keeper::new("dawn");
    let mut shelved = book::Desk::new(Book::new());
    for record in desk.book().records() {
        let key = record.key();
        let past = keeper.changed(&key);
        let text = Some(encode(record));
        let written = Written { key, past, text };
        shelved.refresh_shelved(&written.shelved().0);
    }
    let key = Key::new(Kind::Roll, "box-1");
    assert!(shelved.book().is_unread(&key));
    for edit in [Edit::RemoveBatch("box".to_owned()), Edit::RemoveAll] {
        assert_eq!(edit.needs(shelved.book()), std::slice::from_ref(&key));
        let says = would_remove(shelved.book(), &edit);
        assert!(says.contains("2 rolls, 2 frames logged"), "{says}");
        shelved.apply(&edit).expect_err("an unread log is lost");
    }
}
