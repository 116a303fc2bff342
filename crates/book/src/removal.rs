//! What goes with what is removed: a batch with its rolls, the whole book. Undo brings all of it back.

use crate::{
    Book, Edit, Error, Key, Kind, Record,
    keep::is_newer,
    records::unread,
    text::{counted, list},
};

/// A sentence and the records that go.
type Change = (String, Vec<(Key, Option<Record>)>);

/// Removes a batch with its rolls, the ratings that were written to its groups, and its stock where no other batch is of it.
pub(crate) fn batch(book: &Book, id: &str) -> Result<Change, Error> {
    let batch = book
        .batch(id)
        .ok_or_else(|| Error::new("this batch is not in the book"))?;
    if book.heads().any(|head| head.roll.batch == id) {
        return Err(unread());
    }
    let is_shared = book
        .batches()
        .any(|other| other.stock == batch.stock && other.id != id);
    let belongs = |record: &Record| match record {
        Record::Batch(batch) => batch.id == id,
        Record::Roll(roll) => roll.batch == id,
        Record::Finding(finding) => finding.group.batch == id,
        Record::Test(test) => test.group.batch == id,
        Record::Stock(stock) => stock.id == batch.stock && !is_shared,
        Record::Device(_)
        | Record::Lens(_)
        | Record::Rules(_)
        | Record::Aside(_)
        | Record::Camera(_)
        | Record::Dial(_) => false,
    };
    let name = book.stock(&batch.stock).map_or(id, |stock| &stock.name);
    let said = format!("The batch “{name}” is removed with all that belonged to it.");
    Ok((said, gone(book, belongs)))
}

/// Removes everything but what the dial keeps, and records of a newer version, which this one cannot read and leaves alone.
pub(crate) fn all(book: &Book) -> Result<Change, Error> {
    if book.heads().next().is_some() {
        return Err(unread());
    }
    let swaps = gone(book, |record| match record {
        Record::Aside(aside) => !is_newer(aside),
        // What the dial keeps is the dial's.
        Record::Camera(_) | Record::Dial(_) => false,
        _ => true,
    });
    if swaps.is_empty() {
        return Err(Error::new("there is nothing in the book to remove"));
    }
    Ok(("Everything in the film book is removed.".to_owned(), swaps))
}

fn gone(book: &Book, which: impl Fn(&Record) -> bool) -> Vec<(Key, Option<Record>)> {
    book.records()
        .filter(|record| which(record))
        .map(|record| (record.key(), None))
        .collect()
}

/// What would go with an edit that removes something, in a sentence to be asked with; empty for any other edit, and where
/// there is nothing to remove. Rolls whose log was not read are counted as well.
#[must_use]
pub fn would_remove(book: &Book, edit: &Edit) -> String {
    // Frames of rolls that belong, their logs read or not.
    let rolls = |belongs: &dyn Fn(&crate::Roll) -> bool| {
        let ids = book.rolls().filter(|roll| belongs(roll));
        ids.fold((0, 0), |(rolls, frames), roll| {
            let logged = book
                .head(&roll.id)
                .map_or(roll.frames.len(), |head| head.frames);
            (rolls + 1, frames + logged)
        })
    };
    let logged = |frames: usize| match frames {
        0 => String::new(),
        _ => format!(", {} logged", counted(frames, "frame")),
    };
    match edit {
        Edit::Remove(key) if key.kind == Kind::Roll => {
            let (_, frames) = rolls(&|roll| roll.id == key.id);
            let Some(roll) = book.rolls().find(|roll| roll.id == key.id) else {
                return String::new();
            };
            format!(
                "The roll “{}” goes, with its log{}. Ratings that it is evidence for stay.",
                roll.name,
                logged(frames)
            )
        }
        Edit::RemoveBatch(id) if book.batch(id).is_some() => {
            let (count, frames) = rolls(&|roll| roll.batch == *id);
            let findings = book.findings().filter(|one| one.group.batch == *id).count();
            let mut with = vec![format!("{}{}", counted(count, "roll"), logged(frames))];
            if findings > 0 {
                with.push(counted(findings, "rating"));
            }
            let tests = book.tests().filter(|one| one.group.batch == *id).count();
            if tests > 0 {
                with.push(counted(tests, "film-speed test"));
            }
            format!("This batch goes, with {}.", list(&with))
        }
        Edit::RemoveAll if !book.is_empty() => {
            let (count, frames) = rolls(&|_| true);
            let mut with = vec![format!("{}{}", counted(count, "roll"), logged(frames))];
            let asides = book.asides().filter(|one| !is_newer(one)).count();
            let kinds = [
                (book.findings().count(), "rating", "ratings"),
                (book.tests().count(), "film-speed test", "film-speed tests"),
                (book.devices().count(), "reading device", "reading devices"),
                (book.lenses().count(), "lens", "lenses"),
                (
                    book.rules().own.len(),
                    "value of your own",
                    "values of your own",
                ),
                (
                    asides,
                    "record that could not be read",
                    "records that could not be read",
                ),
            ];
            for (number, one, many) in kinds.into_iter().filter(|(number, ..)| *number > 0) {
                let what = if number == 1 { one } else { many };
                with.push(format!("{number} {what}"));
            }
            format!("Everything in the film book goes: {}.", list(&with))
        }
        _ => String::new(),
    }
}
