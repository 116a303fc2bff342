//! The film book's one source of truth and the one way to change it.

use std::sync::Arc;

use book::{Book, Date, Desk, Done, Edit, Key, Kind, Moment, Record, encode, open};
use leptos::prelude::*;
use panel::handover::Series;

use crate::browser::{clock, storage};

/// What the keys of the book's records begin with.
pub(crate) const PREFIX: &str = "stopkeeper.book.";
/// Where a tab says that it has changed the book: another word after each change.
const CHANGED: &str = "stopkeeper.book-changed";
/// What the keys of records that could not be read begin with.
const ASIDE: &str = "stopkeeper.aside.";

const NOTHING_KEPT: &str = "This browser keeps nothing more for this page: its storage is full or forbidden. What you enter stays \
     until you close the page. Save the whole book as a file (under “Keep and hand on”) before you do.";

/// Which page of the book is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Place {
    /// What is loaded, what is in the bag.
    Cover,
    /// Cameras, lenses and reading devices.
    Kit,
    /// New film comes into the bag.
    NewFilm,
    /// A batch: its rolls, where to start, how to rate the rest.
    Batch(String),
    /// The log of a roll.
    Roll(String),
    /// Scans of a roll, compared and judged.
    Review(String),
    /// A series that came from the dial.
    Series,
}

/// The book on its desk.
#[derive(Clone, Copy)]
pub(crate) struct Room {
    desk: RwSignal<Desk>,
    /// The page that is open.
    pub(crate) place: RwSignal<Place>,
    trail: StoredValue<Vec<Place>>,
    /// What happened last, or why not.
    pub(crate) said: RwSignal<String>,
    /// What could not be read or kept.
    pub(crate) notices: RwSignal<Vec<String>>,
    nothing_kept: RwSignal<bool>,
    /// A label or a slip that is shown to be copied or printed.
    pub(crate) paper: RwSignal<String>,
    /// The series that waits to be logged.
    pub(crate) series: RwSignal<Option<Arc<Series>>>,
    /// The frame of the roll's log that is open to be changed.
    pub(crate) open_frame: RwSignal<Option<u16>>,
    /// Whether it was opened because it was not shot as planned.
    pub(crate) otherwise: RwSignal<bool>,
    asked_to_keep: StoredValue<bool>,
    /// The word that stood under [`CHANGED`] when this tab last looked.
    seen: StoredValue<Option<String>>,
}

/// Today, as the device has it.
pub(crate) fn today() -> Date {
    now().date()
}

/// This minute, as the device has it.
pub(crate) fn now() -> Moment {
    let [year, month, day, hour, minute] = clock::now();
    let short = |number: u16| u8::try_from(number).unwrap_or_default();
    Date::new(year, short(month), short(day))
        .and_then(|date| Moment::new(date, short(hour), short(minute)))
        .unwrap_or_else(|_| Moment::parse("2000-01-01T00:00").expect("a valid minute"))
}

impl Room {
    /// Opens the book that the browser has kept.
    pub(crate) fn open() -> Self {
        let found = storage::read_all(PREFIX);
        let nothing_kept = found.is_err();
        let found: Vec<(String, String)> = found
            .unwrap_or_default()
            .into_iter()
            .filter_map(|(key, text)| Some((key.strip_prefix(PREFIX)?.to_owned(), text)))
            .collect();
        let opened = open(&found);
        for (from, to) in &opened.set_aside {
            // OK to ignore: where nothing can be moved, the damaged record stays where it is and is not written over,
            // because its key is taken in the book.
            let _ = storage::move_record(&format!("{PREFIX}{from}"), &format!("{ASIDE}{to}"));
        }
        let room = Self {
            desk: RwSignal::new(Desk::new(opened.book)),
            place: RwSignal::new(Place::Cover),
            trail: StoredValue::new(Vec::new()),
            said: RwSignal::new(String::new()),
            notices: RwSignal::new(opened.notices),
            nothing_kept: RwSignal::new(nothing_kept),
            paper: RwSignal::new(String::new()),
            series: RwSignal::new(None),
            open_frame: RwSignal::new(None),
            otherwise: RwSignal::new(false),
            asked_to_keep: StoredValue::new(false),
            seen: StoredValue::new(storage::read(CHANGED).ok().flatten()),
        };
        storage::on_record_elsewhere(PREFIX, move |key, text| room.refresh(&key, text));
        room
    }

    /// What follows from the book, anew whenever it changes.
    pub(crate) fn with<T>(self, of: impl FnOnce(&Book) -> T) -> T {
        self.desk.with(|desk| of(desk.book()))
    }

    /// The same once, where nothing is to follow.
    pub(crate) fn once<T>(self, of: impl FnOnce(&Book) -> T) -> T {
        self.desk.with_untracked(|desk| of(desk.book()))
    }

    /// Changes the book and keeps what changed in the same breath; a refusal changes nothing, and is said.
    pub(crate) fn edit(self, edit: &Edit) -> bool {
        match self.ask(edit) {
            Ok(()) => true,
            Err(sentence) => {
                self.said.set(sentence);
                false
            }
        }
    }

    /// The same for a form that says itself why something was refused.
    pub(crate) fn ask(self, edit: &Edit) -> Result<(), String> {
        self.catch_up();
        let done = self
            .desk
            .try_update(|desk| desk.apply(edit))
            .ok_or("the book is closed")?
            .map_err(|error| error.to_string())?;
        self.settle(&done);
        if matches!(edit, Edit::Series { .. }) && !self.asked_to_keep.get_value() {
            self.asked_to_keep.set_value(true);
            storage::ask_to_keep();
        }
        Ok(())
    }

    /// Undoes the last change.
    pub(crate) fn undo(self) {
        self.step(Desk::undo, "There is nothing to undo.");
    }

    /// Does again what was undone.
    pub(crate) fn redo(self) {
        self.step(Desk::redo, "There is nothing to do again.");
    }

    fn step(self, step: fn(&mut Desk) -> Option<Done>, nothing: &str) {
        self.catch_up();
        match self.desk.try_update(step).flatten() {
            Some(done) => self.settle(&done),
            None => self.said.set(nothing.to_owned()),
        }
    }

    /// What undo would undo.
    pub(crate) fn would_undo(self) -> Option<String> {
        self.desk.with(|desk| desk.would_undo().map(str::to_owned))
    }

    fn settle(self, done: &Done) {
        self.said.set(done.said.clone());
        let kept = self.once(|book| {
            done.touched.iter().try_for_each(|key| {
                let name = format!("{PREFIX}{}", key.text());
                match book.get(key) {
                    Some(record) => storage::write(&name, &encode(record)),
                    None => storage::remove(&name),
                }
            })
        });
        self.nothing_kept.set(kept.is_err());
        let word = clock::stamp();
        if kept.is_ok() && storage::write(CHANGED, &word).is_ok() {
            self.seen.set_value(Some(word));
        }
        if self.once(|book| !self.place.with_untracked(|place| is_there(place, book))) {
            self.back();
        }
    }

    /// Takes over what another tab changed without this one hearing of it: a page that a phone had put to sleep gets no
    /// events of that time, and would write its old records over newer ones.
    pub(super) fn catch_up(self) {
        let Ok(word) = storage::read(CHANGED) else {
            return;
        };
        // What could not be stored lives in this tab alone, so storage is not the better source then.
        if self.seen.with_value(|seen| *seen == word) || self.nothing_kept.get_untracked() {
            return;
        }
        let Ok(found) = storage::read_all(PREFIX) else {
            return;
        };
        let gone: Vec<Key> = self.once(|book| {
            book.records()
                .map(Record::key)
                // What was set aside lies under other keys.
                .filter(|key| key.kind != Kind::Aside)
                .filter(|key| {
                    !found
                        .iter()
                        .any(|(name, _)| name[PREFIX.len()..] == key.text())
                })
                .collect()
        });
        for (name, text) in found {
            let known = self.once(|book| {
                Key::parse(&name[PREFIX.len()..])
                    .and_then(|key| book.get(&key).map(|record| encode(record) == text))
            });
            if known != Some(true) {
                self.refresh(&name, Some(text));
            }
        }
        for key in gone {
            self.desk.update(|desk| desk.refresh(&key, None));
        }
        self.seen.set_value(word);
    }

    /// Another tab wrote or removed a record.
    fn refresh(self, name: &str, text: Option<String>) {
        let Some(key) = name.strip_prefix(PREFIX).and_then(Key::parse) else {
            return;
        };
        let record = text.and_then(|text| {
            let found = open(&[(key.text(), text)]);
            found.book.get(&key).cloned()
        });
        self.desk.update(|desk| desk.refresh(&key, record));
    }

    /// Whether the browser kept the last change.
    pub(super) fn keeps(self) -> bool {
        !self.nothing_kept.get_untracked()
    }

    /// Whether there is anything to do again.
    pub(crate) fn would_redo(self) -> bool {
        self.desk.with(|desk| desk.would_redo().is_some())
    }

    /// All quiet lines, one to a line.
    pub(crate) fn notice_lines(self) -> String {
        let mut lines = self.notices.get();
        if self.nothing_kept.get() {
            lines.push(NOTHING_KEPT.to_owned());
        }
        lines.join("\n")
    }

    /// Turns to a page.
    pub(crate) fn go(self, place: Place) {
        let here = self.place.get_untracked();
        if here != place {
            self.trail.update_value(|trail| trail.push(here));
            self.paper.set(String::new());
            self.open_frame.set(None);
            self.otherwise.set(false);
            self.place.set(place);
            self.said.set(String::new());
        }
    }

    /// Turns back to the page before, as far as it is still there.
    pub(crate) fn back(self) {
        let mut place = Place::Cover;
        self.trail.update_value(|trail| {
            while let Some(before) = trail.pop() {
                if self.once(|book| is_there(&before, book)) {
                    place = before;
                    break;
                }
            }
        });
        self.paper.set(String::new());
        self.open_frame.set(None);
        self.otherwise.set(false);
        self.place.set(place);
    }
}

/// Whether what a page is about is in the book.
fn is_there(place: &Place, book: &Book) -> bool {
    match place {
        Place::Cover | Place::NewFilm | Place::Kit | Place::Series => true,
        Place::Batch(id) => book.batch(id).is_some(),
        Place::Roll(id) | Place::Review(id) => book.roll(id).is_some(),
    }
}
