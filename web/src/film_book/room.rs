//! The film book's one source of truth and the one way to change it.

use std::{ops::Deref, rc::Rc};

use crate::browser::later::spawn_local;
use book::{Book, Desk, Done, Edit, Group, Head, Key, Kind, Roll, State};
use panel::handover::Series;

use super::{Apart, bring_in::BringIn, keeping::Kept, new_film, speed_test};
use crate::{
    apart::{Drawer, Fetch},
    browser::{sheet::Left, storage},
    form::{self, Typed},
    live::Live,
    moment::clock_says,
    sheet::Sheet,
};

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
    /// A film-speed test of a group.
    SpeedTest(Group),
    /// The log of a roll.
    Roll(String),
    /// Scans of a roll, compared and judged.
    Review(String),
    /// A series that came from the dial.
    Series,
}

/// The book on its desk. There is one for as long as the page is there.
#[derive(Clone, Copy)]
pub(crate) struct Room(&'static Inside);

/// What is in the room.
pub(crate) struct Inside {
    pub(super) desk: Live<Desk>,
    /// The page that is open.
    pub(crate) place: Live<Place>,
    /// The sheet that the pages are on.
    pub(super) sheet: Sheet,
    /// The pages before this one, and how each was left.
    trail: Live<Vec<(Place, Left)>>,
    /// What happened last, or why not.
    pub(crate) said: Live<String>,
    /// What could not be read or kept.
    pub(crate) notices: Live<Vec<String>>,
    /// A label or a slip that is shown to be copied or printed.
    pub(crate) paper: Live<String>,
    /// The roll that the series on the dial was made for; empty where none was named.
    pub(crate) for_roll: Live<String>,
    /// The series that waits to be logged.
    pub(crate) series: Live<Option<Rc<Series>>>,
    /// The name of its scene as it is typed, and the id of the device that it was read with.
    pub(super) scene_typed: [Typed; 2],
    /// A film-speed test as it is typed.
    pub(super) test_typed: speed_test::Form,
    /// A saved book that comes in.
    pub(super) bring_in: BringIn,
    /// The small copies of scans that can go out with the book: ids of rolls, and the bytes of each copy.
    pub(super) copies: Live<Vec<(String, f64)>>,
    /// New film as it is typed.
    pub(super) new_film: new_film::Form,
    /// The frame of the roll's log that is open to be changed.
    pub(crate) open_frame: Live<Option<u16>>,
    /// Whether it was opened because it was not shot as planned.
    pub(crate) otherwise: Live<bool>,
    asked_to_keep: Live<bool>,
    /// What is fetched when it is first wanted.
    pub(super) drawer: Drawer<Apart>,
    /// How it is kept.
    pub(super) kept: Kept,
}

impl Room {
    /// A room whose book is still to be opened.
    pub(crate) fn new(fetch: Fetch<Apart>) -> Self {
        Self(Box::leak(Box::new(Inside {
            desk: Live::new(Desk::default()),
            kept: Kept::new(),
            place: Live::new(Place::Cover),
            sheet: Sheet::new(),
            trail: Live::new(Vec::new()),
            said: Live::new(String::new()),
            notices: Live::new(Vec::new()),
            paper: Live::new(String::new()),
            for_roll: Live::new(String::new()),
            series: Live::new(None),
            scene_typed: form::half_typed("scene", ["", ""]),
            test_typed: speed_test::new_form(),
            bring_in: BringIn::new(),
            copies: Live::new(Vec::new()),
            new_film: new_film::Form::new(),
            open_frame: Live::new(None),
            otherwise: Live::new(false),
            asked_to_keep: Live::new(false),
            drawer: Drawer::new(fetch),
        })))
    }

    /// What follows from the book, anew whenever it changes.
    pub(crate) fn with<T>(self, of: impl FnOnce(&Book) -> T) -> T {
        self.desk.with(|desk| of(desk.book()))
    }

    /// The same once, where nothing is to follow.
    pub(crate) fn once<T>(self, of: impl FnOnce(&Book) -> T) -> T {
        self.desk.once(|desk| of(desk.book()))
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
        self.catch_up()?;
        if matches!(edit, Edit::Import(_)) {
            self.look_at_dial();
        }
        if edit.is_dated() {
            clock_says()?;
        }
        let done = self
            .desk
            .update(|desk| desk.apply(edit))
            .ok_or("the book is closed")?
            .map_err(|error| error.to_string())?;
        self.settle(done);
        if matches!(edit, Edit::Series { .. }) && !self.asked_to_keep.now() {
            self.asked_to_keep.put(true);
            storage::ask_to_keep();
        }
        Ok(())
    }

    /// Changes the book once everything that the change is about was read.
    pub(crate) fn edit_when_read(self, edit: Edit, then: impl FnOnce(bool) + 'static) {
        spawn_local(async move {
            let needs = self.once(|book| edit.needs(book));
            let changed = match self.read_logs(needs).await {
                Ok(()) => self.edit(&edit),
                Err(sentence) => {
                    self.said.set(sentence);
                    false
                }
            };
            then(changed);
        });
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
        if let Err(sentence) = self.catch_up() {
            self.said.set(sentence);
            return;
        }
        self.look_at_dial();
        match self.desk.update(step).flatten() {
            Some(done) => self.settle(done),
            None => self.said.set(nothing.to_owned()),
        }
    }

    /// What undo would undo.
    pub(crate) fn would_undo(self) -> Option<String> {
        self.desk.with(|desk| desk.would_undo().map(str::to_owned))
    }

    /// Keeps what was changed. The sentence on it is said when the browser has said that it is kept, or cannot be.
    fn settle(self, done: Done) {
        self.said.set(String::new());
        self.keep(&done.touched, done.said);
        self.leave_what_is_gone();
        self.sheet.keep_focus();
    }

    /// Turns back from a page whose subject is gone.
    pub(super) fn leave_what_is_gone(self) {
        if self.once(|book| !self.place.once(|place| is_there(place, book))) {
            self.back();
        }
    }

    /// Whether there is anything to do again.
    pub(crate) fn would_redo(self) -> bool {
        self.desk.with(|desk| desk.would_redo().is_some())
    }

    /// All quiet lines, one to a line.
    pub(crate) fn notice_lines(self) -> String {
        let mut lines = self.notices.get();
        lines.extend(self.kept.warning());
        lines.join("\n")
    }

    /// Turns to a page, once what it is about was read.
    pub(crate) fn go(self, place: Place) {
        self.look_at_dial();
        let needs = self.once(|book| needs(&place, book));
        if needs.is_empty() {
            self.turn(place);
            return;
        }
        spawn_local(async move {
            match self.read_logs(needs).await {
                Ok(()) => self.turn(place),
                Err(sentence) => self.said.set(sentence),
            }
        });
    }

    fn turn(self, place: Place) {
        let here = self.place.now();
        if here != place {
            let left = self.sheet.left();
            self.trail.update(|trail| trail.push((here, left)));
            self.paper.set(String::new());
            self.open_frame.set(None);
            self.otherwise.set(false);
            self.place.set(place);
            self.said.set(String::new());
            self.sheet.turned(Left::default());
        }
    }

    /// Turns back to the page before, as far as it is still there.
    pub(crate) fn back(self) {
        let (mut place, mut left) = (Place::Cover, Left::default());
        self.trail.update(|trail| {
            while let Some((before, was_left)) = trail.pop() {
                if self.once(|book| is_there(&before, book)) {
                    (place, left) = (before, was_left);
                    break;
                }
            }
        });
        self.paper.set(String::new());
        self.open_frame.set(None);
        self.otherwise.set(false);
        self.place.set(place);
        self.sheet.turned(left);
    }

    /// Forgets a series that was not logged, and turns back from its page. What was typed for it is there at the next one.
    pub(super) fn leave_series(self) {
        self.trail
            .update(|trail| trail.retain(|(place, _)| *place != Place::Series));
        if self.place.once(|place| *place == Place::Series) {
            self.back();
        }
        self.series.put(None);
    }
}

impl Deref for Room {
    type Target = Inside;

    fn deref(&self) -> &Inside {
        self.0
    }
}

/// The roll that a page is about.
#[derive(Clone, Copy)]
pub(super) struct Subject {
    pub(super) room: Room,
    id: Live<String>,
}

impl Subject {
    pub(super) fn new(room: Room, id: String) -> Self {
        let id = Live::new(id);
        Self { room, id }
    }

    /// Its id.
    pub(super) fn id(self) -> String {
        self.id.now()
    }

    /// What follows from it, anew whenever the book changes; nothing where it is gone.
    pub(super) fn with<T: Default>(self, of: impl FnOnce(&Book, &Roll) -> T) -> T {
        self.room.with(|book| self.of(book, of))
    }

    /// The same once, where nothing is to follow.
    pub(super) fn once<T: Default>(self, of: impl FnOnce(&Book, &Roll) -> T) -> T {
        self.room.once(|book| self.of(book, of))
    }

    fn of<T: Default>(self, book: &Book, of: impl FnOnce(&Book, &Roll) -> T) -> T {
        let roll = self.id.once(|id| book.roll(id));
        roll.map(|roll| of(book, roll)).unwrap_or_default()
    }
}

/// Whether what a page is about is in the book.
fn is_there(place: &Place, book: &Book) -> bool {
    match place {
        Place::Cover | Place::NewFilm | Place::Kit | Place::Series => true,
        Place::Batch(id) => book.batch(id).is_some(),
        Place::SpeedTest(group) => book.batch(&group.batch).is_some(),
        Place::Roll(id) | Place::Review(id) => book.has_roll(id),
    }
}

/// The rolls whose log a page is about and that were not read yet.
fn needs(place: &Place, book: &Book) -> Vec<Key> {
    let counts = |head: &&Head| match place {
        Place::Cover | Place::NewFilm | Place::Kit | Place::Series | Place::SpeedTest(_) => false,
        // What its rolls say of the film, and what can be loaded.
        Place::Batch(id) => {
            let may_be_loaded = matches!(head.roll.state, State::InBag | State::PartShot);
            head.roll.batch == *id && (head.judged > 0 || may_be_loaded)
        }
        Place::Roll(id) | Place::Review(id) => head.roll.id == *id,
    };
    book.heads()
        .filter(counts)
        .map(|head| Key::new(Kind::Roll, &head.roll.id))
        .collect()
}
