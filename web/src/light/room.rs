//! What the pages of the light share: the dial's setting, the page that is open, and what was said.

use std::{ops::Deref, rc::Rc};

use leptos::reactive::owner::on_cleanup;
use panel::{
    Intent, State,
    kept::Kept,
    light::{Change, Found},
    link,
    message::{Ask, Page as Opened, ToDial, ToLight},
    recent::{self, Recent},
};

use super::watch::Watch;
use crate::{
    browser::{page, part, sheet::Left, storage},
    live::Live,
    moment,
    parts::Part,
    sheet::Sheet,
    store,
};

const NO_SETTING: &str = "The setting of the dial did not come through, so nothing can be handed back to it. Close this and open it \
     again.";

const NOTHING_KEPT: &str = "This browser keeps nothing more for this page: its storage is full or forbidden. What is taken here \
     reaches the dial all the same.";
const CLOCK: &str = "The readings taken last are not noted: the clock of this device is wrong. Set it, and the next one is.";
const SET_ASIDE: &str = "The readings taken last could not be read. The old record is set aside in this browser, not deleted.";
const NEWER: &str =
    "A newer version of this page keeps the readings taken last here. They are left as they are.";

/// A page.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Page {
    /// As which the dial opens it; none where it does not.
    pub(super) opened: Option<Opened>,
    /// The list that it stands in; none where it is one, or stands in neither.
    pub(super) list: Option<Opened>,
    /// Its title, which no other page has.
    pub(super) title: &'static str,
    /// What it is for, in the list.
    pub(super) words: &'static str,
    /// Makes it.
    pub(super) view: fn(Room) -> Part,
}

impl PartialEq for Page {
    fn eq(&self, other: &Self) -> bool {
        self.title == other.title
    }
}

/// What is done as soon as nobody looks at a page, each with its number.
type Unseen = Vec<(u32, Rc<dyn Fn()>)>;

/// The dial's setting in another program's hands, and where in that program one is. It lives as long as the page.
#[derive(Clone, Copy)]
pub(crate) struct Room(&'static Desk);

impl Deref for Room {
    type Target = Desk;

    fn deref(&self) -> &Desk {
        self.0
    }
}

/// What is in the room.
pub(crate) struct Desk {
    /// The setting as the dial sent it and as it was changed here.
    state: Live<State>,
    /// Whether a setting came that could be read.
    came: Live<bool>,
    /// The sheet that the pages are on.
    pub(super) sheet: Sheet,
    /// What runs for somebody who looks, and how it is ended.
    unseen: Live<Unseen>,
    /// The pages that the dial opens.
    pages: fn(Opened) -> &'static Page,
    /// The page that is open.
    pub(crate) place: Live<&'static Page>,
    /// The pages before this one, and how each was left.
    trail: Live<Vec<(&'static Page, Left)>>,
    /// What happened last, or why not.
    pub(crate) said: Live<String>,
    /// What could not be read or kept; empty while nothing is wrong.
    pub(super) notice: Live<String>,
    /// The readings taken last, the newest first.
    pub(super) recent: Live<Vec<Recent>>,
    /// The watch for long exposures.
    pub(super) watch: Watch,
    /// What the dial asked for, until the page that it opened takes it up.
    pub(super) asked: Live<Option<Ask>>,
    /// Readings that were kept to compare, as long as the page is there.
    pub(super) compared: Live<Vec<readings::Found>>,
    /// Spots that were read one by one, as long as the page is there.
    pub(super) spots: Live<Vec<KeptSpot>>,
    /// How many spots were kept and photos were chosen so far, so that each has a number of its own.
    numbers: Live<[u32; 2]>,
}

/// A spot that was read by itself.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct KeptSpot {
    /// A number that no other spot has.
    pub(super) number: u32,
    /// The photo that it was read from: `photo 2, porch.jpg`; empty for any other way.
    pub(super) photo: String,
    /// What was read.
    pub(super) spot: readings::tones::Spot,
}

impl Room {
    /// A room without a setting: the dial's first message brings one.
    pub(crate) fn new(pages: fn(Opened) -> &'static Page) -> Self {
        let said = Live::new(String::new());
        let room = Self(Box::leak(Box::new(Desk {
            state: Live::new(State::default()),
            came: Live::new(false),
            sheet: Sheet::new(),
            unseen: Live::new(Vec::new()),
            pages,
            place: Live::new(pages(Opened::Readings)),
            trail: Live::new(Vec::new()),
            said,
            notice: Live::new(String::new()),
            recent: Live::new(Vec::new()),
            watch: Watch::take_up(said),
            asked: Live::new(None),
            compared: Live::new(Vec::new()),
            spots: Live::new(Vec::new()),
            numbers: Live::new([0, 0]),
        })));
        storage::on_kept(move || {
            room.say_whether_kept();
            room.watch.see_whether_kept();
        });
        room
    }

    /// Keeps a spot, and says so.
    pub(super) fn keep_spot(self, name: String, found: &readings::Found, photo: String) {
        self.said
            .set(format!("{name}: {}.", found.light_in_words()));
        let spot = readings::tones::Spot::of(name, found);
        let number = self.next(0);
        self.spots.update(|spots| {
            spots.push(KeptSpot {
                number,
                photo,
                spot,
            });
        });
    }

    /// The number of the photo that was chosen just now, from one.
    pub(super) fn number_photo(self) -> u32 {
        self.next(1)
    }

    fn next(self, of: usize) -> u32 {
        let number = self.numbers.quietly(|numbers| {
            numbers[of] = numbers[of].saturating_add(1);
            numbers[of]
        });
        number.unwrap_or_default()
    }

    /// What follows from the setting, anew whenever it changes.
    pub(crate) fn with<T>(self, of: impl FnOnce(&State) -> T) -> T {
        self.state.with(of)
    }

    /// The same once, where nothing is to follow.
    pub(crate) fn once<T>(self, of: impl FnOnce(&State) -> T) -> T {
        self.state.once(of)
    }

    /// Takes the dial's message. One that cannot be read carries no setting, which is said.
    pub(crate) fn hear(self, message: Option<ToLight>) {
        let nothing = ToLight {
            ask: Ask::Page(Opened::Readings),
            setting: String::new(),
        };
        let ToLight { ask, setting } = message.unwrap_or(nothing);
        let page = self.page(match &ask {
            Ask::Page(page) => *page,
            Ask::Time(_) => Opened::Timer,
            Ask::Shared => Opened::Photo,
        });
        let is_more_asked = !matches!(ask, Ask::Page(_));
        self.asked.put(Some(ask));
        self.said.set(String::new());
        self.read_recent();
        let is_new = match link::setting(&setting) {
            Ok(state) => {
                let differs = self.once(|here| *here != state);
                self.came.set(true);
                self.state.put(state);
                differs
            }
            Err(refusal) => {
                self.came.set(false);
                self.said.set(refusal.sentence);
                false
            }
        };
        // A page that is open already keeps what is half typed, as long as it is about the same setting.
        let is_new = is_new || is_more_asked;
        if is_new || self.place.now() != page {
            self.trail.update(Vec::clear);
            // Made anew, though it may be the same one.
            self.place.put(page);
            self.sheet.turned(Left::default());
        }
    }

    /// Changes the setting, and hands it to the dial in the same breath; a refusal changes nothing, and is said.
    pub(crate) fn change(self, change: &Change) -> bool {
        match self.ask(change) {
            Ok(()) => true,
            Err(sentence) => {
                self.said.set(sentence);
                false
            }
        }
    }

    /// The same for a form that says itself why something was refused.
    pub(crate) fn ask(self, change: &Change) -> Result<(), String> {
        if !self.came.now() {
            return Err(NO_SETTING.to_owned());
        }
        let changed = self
            .once(|state| state.with(change))
            .map_err(|refusal| refusal.sentence)?;
        if let Change::Take(found) = change {
            // The one from before as well: it may have been typed, and would be gone.
            self.note([self.once(Found::of), found.clone()]);
        }
        let sentence = self.once(|before| changed.said(before));
        if matches!(change, Change::Take(_)) {
            // Before the dial says what happened: under an open sheet nobody would hear it.
            self.close();
        }
        self.hand_back(changed, &sentence);
        Ok(())
    }

    /// Hands a changed setting to the dial, with the sentence on what happened.
    pub(crate) fn hand_back(self, changed: State, sentence: &str) {
        if self.came.now() {
            part::tell_dial(&ToDial::Take {
                setting: link::parcel(&changed),
                sentence: sentence.to_owned(),
            });
            self.state.put(changed);
            self.said.set(sentence.to_owned());
        } else {
            self.said.set(NO_SETTING.to_owned());
        }
    }

    /// Does what the dial leaves to this program, and hands the changed setting back to it; a refusal changes nothing, and its
    /// sentence goes to whoever asked.
    pub(super) fn set_up(self, intent: &Intent) -> Result<(), String> {
        if !self.came.now() {
            return Err(NO_SETTING.to_owned());
        }
        let (changed, sentence) = store::set_up(self.once(State::clone), intent)?;
        page::set_theme(changed.theme());
        self.hand_back(changed, &sentence);
        Ok(())
    }

    /// The same for what has no field of its own to show a refusal under.
    pub(super) fn send(self, intent: &Intent) {
        if let Err(sentence) = self.set_up(intent) {
            self.said.set(sentence);
        }
    }

    /// Reads the readings taken last, anew each time: another tab may have taken some.
    ///
    /// Whether they may be written.
    fn read_recent(self) -> bool {
        let Ok(text) = storage::read(recent::RECORD) else {
            return true;
        };
        match text.as_deref().map(recent::decode) {
            // Nothing is stored: what this page has taken since stays.
            None => {}
            Some(Kept::Good(list)) => self.recent.put(list),
            Some(Kept::Damaged(aside)) => {
                self.notice.set(SET_ASIDE.to_owned());
                return storage::move_record(recent::RECORD, &aside).is_ok();
            }
            Some(Kept::Newer) => {
                self.notice.set(NEWER.to_owned());
                return false;
            }
        }
        true
    }

    /// The warning stays for as long as something is kept nowhere.
    fn say_whether_kept(self) {
        if !storage::try_again() {
            self.notice.set(NOTHING_KEPT.to_owned());
        } else if self.notice.once(|notice| notice == NOTHING_KEPT) {
            self.notice.set(String::new());
        }
    }

    /// Keeps readings among those taken last.
    fn note(self, readings: [Found; 2]) {
        let may_write = self.read_recent();
        let Ok(at) = moment::clock_says() else {
            self.notice.set(CLOCK.to_owned());
            return;
        };
        let at = at.text();
        self.recent.update(|list| {
            for found in readings {
                // OK to leave one out: a moment of the clock is always one that can be written.
                if let Ok(reading) = Recent::new(&at, found) {
                    recent::note(list, reading);
                }
            }
        });
        let text = self.recent.once(|list| recent::encode(list));
        if may_write {
            storage::hold(recent::RECORD, Some(text));
            self.say_whether_kept();
        }
    }

    /// Closes the sheet; the keyboard goes back to where it came from.
    pub(super) fn close(self) {
        self.sheet.close();
    }

    /// Whatever runs for somebody who looks is ended when the page that asks is turned, when the sheet is closed in any way,
    /// and when the document is hidden.
    pub(super) fn when_unseen(self, end: impl Fn() + Copy + Send + Sync + 'static) {
        let number = self
            .unseen
            .once(|all| all.last().map_or(0, |(number, _)| number + 1));
        self.unseen.update(|all| all.push((number, Rc::new(end))));
        on_cleanup(move || {
            end();
            self.unseen
                .update(|all| all.retain(|(other, _)| *other != number));
        });
    }

    /// Nobody looks any more.
    pub(super) fn is_unseen(self) {
        for (_, end) in self.unseen.now() {
            end();
        }
    }

    /// The page that the dial opens as this one.
    pub(super) fn page(self, opened: Opened) -> &'static Page {
        (self.pages)(opened)
    }

    /// The list that a page stands in; the page itself where it stands in none.
    fn list_of(self, page: &'static Page) -> &'static Page {
        page.list.map_or(page, |list| self.page(list))
    }

    /// Turns to a page.
    pub(crate) fn go(self, page: &'static Page) {
        let here = self.place.now();
        if here != page {
            let left = self.sheet.left();
            self.trail.update(|trail| trail.push((here, left)));
            self.place.set(page);
            self.said.set(String::new());
            self.sheet.turned(Left::default());
        }
    }

    /// Turns back to the page before, or to the list that a page opened by the dial stands in.
    pub(crate) fn back(self) {
        let before = self.trail.update(Vec::pop).flatten();
        let here = self.place.now();
        let (place, left) = before.unwrap_or_else(|| (self.list_of(here), Left::default()));
        self.place.set(place);
        self.said.set(String::new());
        self.sheet.turned(left);
    }

    /// Whether there is no way back from this page.
    pub(crate) fn is_at_start(self) -> bool {
        let here = self.place.get();
        here == self.list_of(here) && self.trail.with(Vec::is_empty)
    }
}
