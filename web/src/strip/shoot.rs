//! Shoot mode: one frame per screen, to be read at arm's length and turned with a thumb.

use std::cell::{Cell, RefCell};

use panel::{
    BracketView, FrameView,
    message::{Ask, Frame, Logged, Page, ToBook},
};

use crate::{
    browser::{
        page, part,
        slots::{Slots, What, places},
        wake::{self, Awake},
    },
    store::Dispatcher,
    words::SHOT,
};

places! {
    NAMES {
        Position "position", Counting "counting", Set "set", Rest "rest", Count "count", Timed "timed",
        FromBase "from-base", FromBox "from-box", AmountsTo "amounts-to", Flags "flags", Logged "logged",
        Ticks "ticks", Back "back", Next "next",
    }
}
/// What the ids of shoot mode begin with.
pub(crate) const IDS: &str = "shoot-";
/// The dialog.
pub(crate) const DIALOG: &str = "shoot";

/// Where shoot mode is, and what it knows of the log.
pub(crate) struct Shoot {
    slots: Slots,
    /// The frame that is shown, from 0; none while the dialog is closed.
    at: Cell<Option<usize>>,
    /// What the log says of the series; none where it is not in it.
    logged: RefCell<Option<Logged>>,
    /// What came of the last frame that was noted.
    noted: RefCell<String>,
    /// What the timer counts.
    counting: RefCell<String>,
    // Dropped when the dialog closes; until then the screen stays awake.
    awake: RefCell<Option<Awake>>,
}

impl Shoot {
    pub(crate) fn find() -> Self {
        Self {
            slots: Slots::find(IDS, NAMES),
            at: Cell::new(None),
            logged: RefCell::default(),
            noted: RefCell::default(),
            counting: RefCell::default(),
            awake: RefCell::default(),
        }
    }

    pub(crate) fn open(&'static self, dispatcher: Dispatcher) {
        self.at.set(Some(0));
        self.logged.replace(dispatcher.logged());
        self.noted.replace(String::new());
        page::show_dialog(DIALOG);
        self.stay_awake();
    }

    pub(crate) fn is_open(&self) -> bool {
        self.at.get().is_some()
    }

    pub(crate) fn closed(&self) {
        self.at.set(None);
        self.awake.replace(None);
    }

    /// Browsers let go of the screen when the page is hidden, and do not take hold again by themselves.
    pub(crate) fn stay_awake(&'static self) {
        if self.is_open() {
            wake::stay_awake(move |lock| {
                // The dialog may have been left while the browser made up its mind.
                if self.is_open() {
                    self.awake.replace(lock);
                }
            });
        }
    }

    pub(crate) fn counts(&self, count: String) {
        self.counting.replace(count);
    }

    pub(crate) fn noted(&self, sentence: String) {
        self.noted.replace(sentence);
    }

    /// A frame that was noted in the film book, not as planned, was shot: on to the next one.
    pub(crate) fn kept(&self, sentence: String) {
        self.noted(sentence);
        self.step(true);
    }

    fn step(&self, on: bool) {
        let next = |at: usize| if on { at + 1 } else { at.saturating_sub(1) };
        self.at.set(self.at.get().map(next));
    }

    /// Whether a frame is shown and the series is in the log, so that the frame can be noted there.
    fn ticks(&self, bracket: &BracketView) -> bool {
        let is_frame = self.at.get().is_some_and(|at| at < bracket.frames.len());
        is_frame && self.logged.borrow().is_some()
    }

    /// Asks the film book for something about the frame that is shown.
    fn log(&self, what: fn(Frame) -> ToBook) {
        let place = self
            .logged
            .borrow()
            .as_ref()
            .map(|logged| logged.place.clone());
        if let (Some(index), Some(place)) = (self.at.get(), place) {
            part::open_book(&what(Frame { index, place }));
        }
    }

    /// Does what a button of the dialog is for.
    pub(crate) fn pressed(&self, action: &str, bracket: &BracketView, dispatcher: Dispatcher) {
        let frame = self.at.get().and_then(|at| bracket.frames.get(at));
        match action {
            "shoot-leave" => page::close_dialog(DIALOG),
            "shoot-timer" => {
                let metered = frame.map(|frame| Ask::Time(frame.metered.clone()));
                dispatcher.light(metered.unwrap_or(Ask::Page(Page::Timer)));
            }
            "shoot-slip" => self.log(ToBook::Slip),
            "shoot-back" => self.step(false),
            _ if frame.is_none() => page::close_dialog(DIALOG),
            _ => {
                if self.ticks(bracket) {
                    self.log(ToBook::Tick);
                }
                self.step(true);
            }
        }
        self.show(bracket);
    }

    /// Shows where it is; nothing while it is closed.
    pub(crate) fn show(&self, bracket: &BracketView) {
        let Some(at) = self.at.get() else { return };
        let frame = bracket.frames.get(at);
        let count = bracket.frames.len();
        let words = |words: fn(&FrameView) -> String| frame.map(words).unwrap_or_default();
        let put = |place: Place, text: &str| self.slots.text(place, text);

        match frame {
            Some(_) => put(Place::Position, &format!("Frame {} of {count}", at + 1)),
            None => put(Place::Position, "After the last frame"),
        }
        put(Place::Counting, &self.counting.borrow());
        let set = frame.map_or(&bracket.set_back, |frame| &frame.set);
        put(Place::Set, set);
        // Long labels take smaller type, so that they never run out of the screen.
        let length = match set.chars().count() {
            0..=5 => "short",
            6..=9 => "long",
            _ => "sentence",
        };
        self.slots
            .put(Place::Set, What::Attribute("data-length"), length);
        put(
            Place::Rest,
            &words(|frame| format!("leave {}", frame.leave)),
        );
        put(Place::Count, &words(|frame| frame.count.clone()));
        // There is none after the last frame.
        self.slots.flag(
            Place::Timed,
            "hidden",
            !frame.is_some_and(|frame| frame.timed),
        );
        put(Place::FromBase, &words(|frame| frame.from_base.clone()));
        put(Place::FromBox, &words(|frame| frame.from_box.clone()));
        put(
            Place::AmountsTo,
            &words(|frame| format!("{}, {}", frame.amounts_to, frame.support)),
        );
        put(Place::Flags, &words(|frame| frame.flags.join("\n")));
        let logged = self
            .logged
            .borrow()
            .as_ref()
            .map_or_else(String::new, |logged| logged.words.clone());
        put(Place::Logged, &format!("{logged}\n{}", self.noted.borrow()));
        let ticks = self.ticks(bracket);
        self.slots.flag(Place::Ticks, "hidden", !ticks);
        self.slots.flag(Place::Back, "disabled", at == 0);
        let next = match (frame, ticks) {
            (None, _) => "Done",
            (Some(_), true) => SHOT,
            (Some(_), false) => "Next",
        };
        put(Place::Next, next);
    }
}
