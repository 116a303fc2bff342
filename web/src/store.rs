//! One source of truth and one way to change it.

use std::cell::{Cell, OnceCell, RefCell};

use panel::{
    Intent, Outcome, Save, State, apply_on_dial, apply_set_up, handover, link,
    message::{Ask, Go, LESSON, LOGGED, Logged, Page, ToBook, ToLearn, ToLight},
    store, timer,
};

use crate::browser::{page, part, slots, storage, wake};

const NOTHING_KEPT: &str = "This browser keeps nothing for this page: its storage is full or forbidden. The setting lives \
     until you close the page. Copy a link to this setting (under More) to keep it.";

/// Stands in the status line until something has happened.
const FIRST_STEP: &str =
    "Type what the other device shows, then turn a dial: a free one makes up for it.";

const NO_PLACE: &str = "This page has no such place. It may be one of a newer version.";

const FROM_ANOTHER_TAB: &str = "Another tab has changed the setting; it is the same here now.";

/// What shows the state and what is said of it.
pub(crate) trait Screen {
    /// Shows a state.
    fn show(&self, state: &State);
    /// Says what happened last.
    fn say(&self, sentence: &str);
    /// Says what could not be read or kept, a sentence to a line.
    fn warn(&self, sentences: &str);
}

/// Takes what a person asks for.
///
/// Saves in the same breath: a page can be killed right after a tap, so nothing is left to what runs later.
#[derive(Clone, Copy)]
pub(crate) struct Dispatcher(&'static Desk);

struct Desk {
    state: RefCell<State>,
    screen: OnceCell<&'static dyn Screen>,
    notices: RefCell<Vec<String>>,
    nothing_kept: Cell<bool>,
    /// Not where a damaged setting could not be set aside.
    may_write_setting: bool,
    /// Whether anything is kept: not what is only tried.
    keeps: bool,
}

/// Opens what the browser has kept. It lives as long as the page.
pub(crate) fn open() -> Dispatcher {
    let (opened, readable) = open_storage();
    page::set_theme(opened.state.theme());
    let desk = Desk {
        state: RefCell::new(opened.state),
        screen: OnceCell::new(),
        notices: RefCell::new(opened.notices),
        nothing_kept: Cell::new(!readable),
        may_write_setting: opened.may_write_setting,
        keeps: true,
    };
    Dispatcher(Box::leak(Box::new(desk)))
}

impl Dispatcher {
    /// A setting of its own that is only tried: nothing of it is kept, and the dial's stays as it is. It lives as long as the
    /// page.
    pub(crate) fn tried(state: State, screen: &'static dyn Screen) -> Self {
        let desk = Desk {
            state: RefCell::new(state),
            screen: OnceCell::from(screen),
            notices: RefCell::default(),
            nothing_kept: Cell::new(false),
            may_write_setting: false,
            keeps: false,
        };
        let tried = Self(Box::leak(Box::new(desk)));
        tried.show();
        tried
    }

    /// Tries another setting.
    pub(crate) fn try_this(self, state: State) {
        self.0.state.replace(state);
        self.show();
    }

    /// Opens the part that teaches with the setting of the dials, and with a lesson that came by a link.
    pub(crate) fn learn(self, lesson: &str) {
        part::open_learn(&ToLearn {
            setting: self.setting(),
            lesson: lesson.to_owned(),
        });
    }

    /// Shows everything, opens the link in the address if there is one, and listens to what comes from elsewhere.
    pub(crate) fn begin(self, screen: &'static dyn Screen) {
        // OK to ignore: a page begins once.
        let _ = self.0.screen.set(screen);
        self.show();
        screen.say(FIRST_STEP);
        self.warn();
        if let Some(fragment) = page::take_fragment() {
            self.open_link(fragment);
        }
        page::on_fragment(move |fragment| self.open_link(fragment));
        storage::on_change_elsewhere(store::CAMERA_PREFIX, move || self.cameras_elsewhere());
        storage::on_change_elsewhere(store::SETTING, move || self.setting_elsewhere());
        // A page that was asleep has heard nothing.
        wake::on_shown_again(move || self.setting_elsewhere());
        storage::on_kept(move || self.all_kept(true));

        // A shutter may stand open since before a reload.
        if matches!(storage::read(timer::RECORD), Ok(Some(_))) {
            self.light(Ask::Page(Page::Timer));
        }
    }

    /// Takes what the light hands back, with the sentence on what happened.
    pub(crate) fn take(self, setting: String, sentence: &str) {
        self.send(&Intent::Take(setting));
        self.cameras_elsewhere();
        self.say(sentence);
    }

    /// Shows everything anew, where what is shown beside the state has changed.
    pub(crate) fn show_again(self) {
        self.show();
    }

    fn show(self) {
        if let Some(screen) = self.0.screen.get() {
            slots::together(|| screen.show(&self.0.state.borrow()));
        }
    }

    fn warn(self) {
        let mut all = self.0.notices.borrow().join("\n");
        if self.0.nothing_kept.get() {
            all.push('\n');
            all.push_str(NOTHING_KEPT);
        }
        if let Some(screen) = self.0.screen.get() {
            screen.warn(&all);
        }
    }

    fn all_kept(self, kept: bool) {
        if self.0.nothing_kept.replace(!kept) == kept {
            self.warn();
        }
    }

    /// Does what is asked for; a refusal changes nothing, and its sentence goes to whoever asked.
    pub(crate) fn ask(self, intent: &Intent) -> Result<Outcome, String> {
        slots::together(|| self.ask_now(intent))
    }

    fn ask_now(self, intent: &Intent) -> Result<Outcome, String> {
        let asked = apply_on_dial(&self.0.state.borrow(), intent);
        let (next, outcome) = asked.map_err(|refusal| refusal.sentence)?;
        let kept = !self.0.keeps || keep(&next, outcome.save, self.0.may_write_setting);
        self.0.state.replace(next);
        // A turn that settles shows what it showed at its last mark.
        if !matches!(intent, Intent::Settle) {
            self.show();
        }
        if outcome.save != Save::Nothing {
            self.all_kept(kept);
        }
        // A turn speaks when it has settled, not at every mark on the way.
        let on_the_way = matches!(intent, Intent::Turn(..) | Intent::Nudge(..)) && outcome.moved;
        if let Some(sentence) = outcome.sentence.as_ref().filter(|_| !on_the_way) {
            self.say(sentence);
        }
        Ok(outcome)
    }

    /// Asks for something that has no field of its own to show a refusal under: the sentence goes to the status line.
    pub(crate) fn send(self, intent: &Intent) -> Outcome {
        self.ask(intent).unwrap_or_else(|sentence| {
            self.say(&sentence);
            Outcome::default()
        })
    }

    /// What is wrong, or what was done outside of the state.
    pub(crate) fn say(self, sentence: &str) {
        if let Some(screen) = self.0.screen.get() {
            screen.say(sentence);
        }
    }

    /// Whether a detent may be felt.
    pub(crate) fn ticks(self) -> bool {
        self.0.state.borrow().tick()
    }

    /// The whole setting, as it is handed on.
    fn setting(self) -> String {
        link::parcel(&self.0.state.borrow())
    }

    /// Hands the planned series over to the film book, for a roll where the dial serves one.
    pub(crate) fn log_series(self, roll: Option<String>) {
        let series = self.series();
        part::open_book(&match roll {
            Some(roll) => ToBook::Log { roll, series },
            None => ToBook::Ask(series),
        });
    }

    /// The planned series, as the film book takes it over.
    fn series(self) -> String {
        handover::text(&self.0.state.borrow())
    }

    /// What the film book's log says of the planned series; none where it is not in it.
    pub(crate) fn logged(self) -> Option<Logged> {
        let record = storage::read(LOGGED).ok().flatten();
        let logged = Logged::of_record(&record?)?;
        let is_this = logged.series == handover::id(&self.series())
            // A page of before has logged it.
            || link::parcel_of(&logged.series) == Ok(self.setting());
        is_this.then_some(logged)
    }

    /// Asks the light for something, which gets the whole setting.
    pub(crate) fn light(self, ask: Ask) {
        let setting = self.setting();
        part::open_light(&ToLight { ask, setting });
    }

    /// Takes over what another tab or program did to the cameras.
    fn cameras_elsewhere(self) {
        if let Ok(cameras) = storage::read_all(store::CAMERA_PREFIX) {
            self.send(&Intent::CamerasElsewhere(cameras));
        }
    }

    /// Takes over the setting that another tab has kept: there is one, and the last change of it counts in all tabs.
    fn setting_elsewhere(self) {
        // What is kept nowhere yet is not given up for it: it takes its place as soon as it can.
        if storage::waits(store::SETTING) {
            return;
        }
        let Ok(Some(there)) = storage::read(store::SETTING) else {
            return;
        };
        if store::encode_setting(&self.0.state.borrow()) == there {
            return;
        }
        let (opened, _) = open_storage();
        if opened.notices.is_empty() {
            self.0.state.replace(opened.state);
            self.show();
            self.say(FROM_ANOTHER_TAB);
        }
    }

    /// Opens a place of the page.
    fn go(self, place: Go) {
        match place {
            Go::Roll => part::open_book(&ToBook::Next),
            Go::Light => self.light(Ask::Page(Page::Readings)),
            Go::Timer => self.light(Ask::Page(Page::Timer)),
            Go::Shared => self.light(Ask::Shared),
            Go::Nowhere => self.say(NO_PLACE),
        }
    }

    fn open_link(self, fragment: String) {
        if let Some(lesson) = fragment.strip_prefix(LESSON) {
            return self.learn(lesson);
        }
        if let Some(place) = Go::of(&fragment) {
            return self.go(place);
        }
        if let Err(sentence) = self.ask(&Intent::OpenLink(fragment)) {
            let mut notices = self.0.notices.borrow_mut();
            if !notices.contains(&sentence) {
                notices.push(sentence);
            }
            drop(notices);
            self.warn();
        }
    }
}

/// A setting that came without the user's other cameras, with them.
fn with_cameras(state: State) -> State {
    match storage::read_all(store::CAMERA_PREFIX) {
        Ok(cameras) => {
            let with_them = apply_set_up(&state, &Intent::CamerasElsewhere(cameras));
            with_them.map_or(state, |(next, _)| next)
        }
        Err(_) => state,
    }
}

const CAMERA_NOT_KEPT: &str = "It is not kept: this browser's storage is full or forbidden.";

/// What is set once, for another program that has the dial's state: keeps a changed camera, and gives back the changed state
/// and the sentence on what happened.
pub(crate) fn set_up(state: State, intent: &Intent) -> Result<(State, String), String> {
    let state = with_cameras(state);
    let (next, outcome) = apply_set_up(&state, intent).map_err(|refusal| refusal.sentence)?;
    if let Intent::RemoveCamera(id) = intent {
        storage::hold(&store::camera_key(id), None);
    }
    let mut sentence = outcome.sentence.unwrap_or_default();
    // The setting is the dial's to keep; where cameras cannot be kept, the one in use still goes with it.
    if outcome.save == Save::Cameras && !keep(&next, outcome.save, false) {
        sentence = format!("{sentence} {CAMERA_NOT_KEPT}");
    }
    Ok((next, sentence))
}

/// What storage held, made a state; and whether storage could be read at all.
fn open_storage() -> (store::Opened, bool) {
    let (setting, cameras) = (
        storage::read(store::SETTING),
        storage::read_all(store::CAMERA_PREFIX),
    );
    let readable = setting.is_ok() && cameras.is_ok();
    let mut opened = store::open(&store::Found {
        setting: setting.ok().flatten(),
        cameras: cameras.unwrap_or_default(),
    });
    for (from, to) in &opened.set_aside {
        // A damaged setting that cannot be set aside stays where it is, so nothing may be written over it.
        if storage::move_record(from, to).is_err() && from == store::SETTING {
            opened.may_write_setting = false;
        }
    }
    (opened, readable)
}

/// Keeps what was changed, and what could not be kept before; whether everything is.
fn keep(state: &State, save: Save, may_write_setting: bool) -> bool {
    if save == Save::Cameras {
        for (key, text) in store::encode_cameras(state) {
            storage::hold(&key, Some(text));
        }
    }
    if save != Save::Nothing && may_write_setting {
        storage::hold(store::SETTING, Some(store::encode_setting(state)));
    }
    storage::try_again()
}
