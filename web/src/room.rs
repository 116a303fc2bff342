//! What the two programs of the light share, the one that finds it and the bench: the dial's setting, the page that is open,
//! what was said, and the way from the one to the other.
//!
//! Where somebody goes from one to the other, its sheet comes to lie over the first one, which stays as it is: "Back" leads to
//! it, "Close" leaves both. Each hears what the other tells the dial.

use std::{ops::Deref, rc::Rc};

use leptos::reactive::owner::on_cleanup;
use panel::{
    Intent, State,
    light::Change,
    link,
    message::{Ask, Page as Opened, ToDial, ToLight},
};

use crate::{
    browser::{
        page, part,
        sheet::{self as dialogs, Left},
        storage,
    },
    live::Live,
    parts::{Element, Part, el, follows, turns},
    piece::said,
    sheet::{self, Sheet},
    shelf::shelves,
    store,
};

const NO_SETTING: &str = "The setting of the dial did not come through, so nothing can be handed back to it. Close this and open it \
     again.";

const NOTHING_KEPT: &str = "This browser keeps nothing more for this page: its storage is full or forbidden. What is taken here \
     reaches the dial all the same.";
/// What a page is called and what it is for, in a list of pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Title {
    /// Its title, which no other page has.
    pub(crate) name: &'static str,
    /// What it is for.
    pub(crate) words: &'static str,
}

/// Pages that the other program leads to as well.
pub(crate) const FIND: Title = Title {
    name: "Find the light",
    words: "Ways to a reading, and the readings taken last",
};
pub(crate) const CORRECT: Title = Title {
    name: "Corrections",
    words: "What stands between the reading and the film",
};
pub(crate) const TIMER: Title = Title {
    name: "Timer",
    words: "What to count for an exposure on B",
};
pub(crate) const COUNTS: Title = Title {
    name: "How this counts",
    words: "Conventions, sources and cautions",
};
pub(crate) const MORE: Title = Title {
    name: "More",
    words: "Theme, a link, print, cameras of your own",
};

/// A page of a program whose room keeps `K`.
#[derive(Debug)]
pub(crate) struct Page<K: 'static> {
    /// As which the dial opens it; none where it does not.
    pub(crate) opened: Option<Opened>,
    /// The list that it stands in; none where it is one, or stands in neither.
    pub(crate) list: Option<Opened>,
    /// What it is called.
    pub(crate) title: Title,
    /// Makes it.
    pub(crate) view: fn(Room<K>) -> Part,
}

impl<K> PartialEq for Page<K> {
    fn eq(&self, other: &Self) -> bool {
        self.title == other.title
    }
}

/// What is done as soon as nobody looks at a page, each with its number.
type Unseen = Vec<(u32, Rc<dyn Fn()>)>;

/// The dial's setting in another program's hands, and where in that program one is. It lives as long as the page.
pub(crate) struct Room<K: 'static>(&'static Desk<K>);

impl<K> Clone for Room<K> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<K> Copy for Room<K> {}

impl<K> Deref for Room<K> {
    type Target = Desk<K>;

    fn deref(&self) -> &Desk<K> {
        self.0
    }
}

/// What is in the room.
pub(crate) struct Desk<K: 'static> {
    /// The class of the sheet, and that of the other program's.
    sheets: [&'static str; 2],
    /// What this program alone keeps.
    pub(crate) kept: K,
    /// The setting as the dial sent it and as it was changed here.
    state: Live<State>,
    /// Whether a setting came that could be read.
    came: Live<bool>,
    /// The sheet that the pages are on.
    pub(crate) sheet: Sheet,
    /// Whether it lies over the other program's.
    over: Live<bool>,
    /// What runs for somebody who looks, and how it is ended.
    unseen: Live<Unseen>,
    /// The pages that the dial opens.
    pages: fn(Opened) -> &'static Page<K>,
    /// The page that is open.
    pub(crate) place: Live<&'static Page<K>>,
    /// The pages before this one, and how each was left.
    trail: Live<Vec<(&'static Page<K>, Left)>>,
    /// What happened last, or why not.
    pub(crate) said: Live<String>,
    /// What could not be read or kept; empty while nothing is wrong.
    pub(crate) notice: Live<String>,
    /// What the dial asked for, until the page that it opened takes it up.
    pub(crate) asked: Live<Option<Ask>>,
}

impl<K> Room<K> {
    /// A room without a setting: the dial's first message brings one. Its sheet has the first class, the other program's the
    /// second.
    pub(crate) fn new(
        sheets: [&'static str; 2],
        pages: fn(Opened) -> &'static Page<K>,
        kept: impl FnOnce(Live<String>) -> K,
    ) -> Self {
        let said = Live::new(String::new());
        let room = Self(Box::leak(Box::new(Desk {
            sheets,
            kept: kept(said),
            state: Live::new(State::default()),
            came: Live::new(false),
            sheet: Sheet::new(),
            over: Live::new(false),
            unseen: Live::new(Vec::new()),
            pages,
            place: Live::new(pages(Opened::Readings)),
            trail: Live::new(Vec::new()),
            said,
            notice: Live::new(String::new()),
            asked: Live::new(None),
        })));
        page::on_hidden(move || room.is_unseen());
        room
    }

    /// The sheet, with what stands over each page.
    pub(crate) fn on_a_sheet(self, over: Part) -> Part {
        let title = format!("{}-title", self.sheets[0]);
        let head = sheet::part_head(
            title.clone(),
            move || self.place.get().title.name.to_owned(),
            move || self.is_at_start(),
            move || self.back(),
            move || self.close(),
        );
        // Made once for each opening: what changes on a page follows by itself.
        let open_page = turns(move || self.place.get(), move |page| (page.view)(self));
        // A page may be longer than the screen and hold nothing that takes the keyboard.
        let body = el("div")
            .class("sheet-body")
            .attr("tabindex", "0")
            .attr("role", "group")
            .attr("aria-labelledby", title.clone())
            .with(follows(move || said("notice", self.notice.get())))
            .with(over)
            .with(open_page);
        let said_last = el("p").class("part-said").attr("role", "status");
        el("dialog")
            .class(format!("sheet part {}", self.sheets[0]))
            .here(self.sheet.dialog)
            .attr("aria-labelledby", title)
            .on("cancel", move |_| self.sheet.closes())
            .on("close", move |_| self.is_unseen())
            .with(head)
            .with(body)
            .with(
                el("div")
                    .class("part-foot")
                    .with(said_last.tells(move || self.said.get())),
            )
            .into()
    }

    /// Opens the sheet, over whatever is on the screen.
    pub(crate) fn open(self) {
        if self.is_covered() {
            // What is opened once more lies on top.
            dialogs::close_part(self.sheets[0]);
        }
        if !self.is_open() {
            self.over.set(dialogs::is_open(self.sheets[1]));
        }
        self.sheet.open();
    }

    fn is_open(self) -> bool {
        dialogs::is_open(self.sheets[0])
    }

    /// Whether the other program's sheet lies over this one.
    pub(crate) fn is_covered(self) -> bool {
        self.is_open() && !self.over.now() && dialogs::is_open(self.sheets[1])
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
        let was_open = self.is_open();
        self.open();
        self.asked.put(Some(ask));
        self.said.set(String::new());
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
        if was_open && !is_more_asked {
            // Asked by the other program, which lay over this one: the page before is where one came from.
            self.go(page);
        } else if is_new || self.place.now() != page {
            self.trail.update(Vec::clear);
            // Made anew, though it may be the same one.
            self.place.put(page);
            self.sheet.turned(Left::default());
        }
    }

    /// Takes over a setting that the other program handed to the dial.
    pub(crate) fn take_over(self, setting: &str) {
        if let Ok(state) = link::setting(setting)
            && self.once(|here| *here != state)
        {
            self.state.put(state);
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
        let (changed, sentence) = self.changed(change)?;
        self.hand_back(changed, &sentence);
        Ok(())
    }

    /// The setting as a change would make it, and what is said of that.
    pub(crate) fn changed(self, change: &Change) -> Result<(State, String), String> {
        if !self.came.now() {
            return Err(NO_SETTING.to_owned());
        }
        let changed = self
            .once(|state| state.with(change))
            .map_err(|refusal| refusal.sentence)?;
        let sentence = self.once(|before| changed.said(before));
        Ok((changed, sentence))
    }

    /// Hands a changed setting to the dial, with the sentence on what happened.
    pub(crate) fn hand_back(self, changed: State, sentence: &str) {
        if self.came.now() {
            let setting = link::parcel(&changed);
            // Before it is told, for it is heard here as well.
            self.state.put(changed);
            part::tell_dial(&ToDial::Take {
                setting,
                sentence: sentence.to_owned(),
            });
            self.said.set(sentence.to_owned());
        } else {
            self.said.set(NO_SETTING.to_owned());
        }
    }

    /// Does what the dial leaves to this program, and hands the changed setting back to it; a refusal changes nothing, and its
    /// sentence goes to whoever asked.
    pub(crate) fn set_up(self, intent: &Intent) -> Result<(), String> {
        if !self.came.now() {
            return Err(NO_SETTING.to_owned());
        }
        let (changed, sentence) = store::set_up(self.once(State::clone), intent)?;
        page::set_theme(changed.theme());
        self.hand_back(changed, &sentence);
        Ok(())
    }

    /// The same for what has no field of its own to show a refusal under.
    pub(crate) fn send(self, intent: &Intent) {
        if let Err(sentence) = self.set_up(intent) {
            self.said.set(sentence);
        }
    }

    /// The warning stays for as long as something is kept nowhere.
    pub(crate) fn say_whether_kept(self) {
        if !storage::try_again() {
            self.notice.set(NOTHING_KEPT.to_owned());
        } else if self.notice.once(|notice| notice == NOTHING_KEPT) {
            self.notice.set(String::new());
        }
    }

    /// Closes the sheet, and the one that it lies over; the keyboard goes back to where it came from.
    pub(crate) fn close(self) {
        self.sheet.close();
        if self.over.now() {
            dialogs::close_part(self.sheets[1]);
        }
    }

    /// Whatever runs for somebody who looks is ended when the page that asks is turned, when the sheet is closed in any way,
    /// and when the document is hidden.
    pub(crate) fn when_unseen(self, end: impl Fn() + Copy + Send + Sync + 'static) {
        let number = self
            .unseen
            .once(|all| all.last().map_or(0, |(number, _)| number + 1));
        self.unseen.update(|all| all.push((number, Rc::new(end))));
        let unseen = self.unseen;
        on_cleanup(move || {
            end();
            unseen.update(|all| all.retain(|(other, _)| *other != number));
        });
    }

    /// Nobody looks any more.
    pub(crate) fn is_unseen(self) {
        for (_, end) in self.unseen.now() {
            end();
        }
    }

    /// The page that the dial opens as this one.
    pub(crate) fn page(self, opened: Opened) -> &'static Page<K> {
        (self.pages)(opened)
    }

    /// The list that a page stands in; the page itself where it stands in none.
    fn list_of(self, page: &'static Page<K>) -> &'static Page<K> {
        page.list.map_or(page, |list| self.page(list))
    }

    /// Turns to a page.
    pub(crate) fn go(self, page: &'static Page<K>) {
        let here = self.place.now();
        if here != page {
            let left = self.sheet.left();
            self.trail.update(|trail| trail.push((here, left)));
            self.place.set(page);
            self.said.set(String::new());
            self.sheet.turned(Left::default());
        }
    }

    /// Goes to a page of the other program: its sheet comes to lie over this one, or to sight again where this one lies over it.
    pub(crate) fn go_over(self, opened: Opened) {
        if self.over.now() {
            self.sheet.close();
        } else {
            self.sheet.closes();
            self.is_unseen();
        }
        let setting = if self.came.now() {
            self.once(link::parcel)
        } else {
            String::new()
        };
        part::open_light(&ToLight {
            ask: Ask::Page(opened),
            setting,
        });
    }

    /// Turns back to the page before, or to the list that a page opened by the dial stands in, or to the sheet under this one.
    pub(crate) fn back(self) {
        if self.is_first() && self.over.now() {
            self.sheet.close();
            return;
        }
        let before = self.trail.update(Vec::pop).flatten();
        let here = self.place.now();
        let (place, left) = before.unwrap_or_else(|| (self.list_of(here), Left::default()));
        self.place.set(place);
        self.said.set(String::new());
        self.sheet.turned(left);
    }

    /// Whether there is no way back from this page.
    pub(crate) fn is_at_start(self) -> bool {
        self.is_first() && !self.over.get()
    }

    fn is_first(self) -> bool {
        let here = self.place.get();
        here == self.list_of(here) && self.trail.with(Vec::is_empty)
    }

    /// Rows that each lead to a page.
    pub(crate) fn rows(self, label: &'static str, pages: &[Way<K>]) -> Element {
        let row = |way: &Way<K>| {
            let (title, way) = match *way {
                Way::Here(page) => (page.title, Way::Here(page)),
                Way::Over(opened, title) => (title, Way::Over(opened, title)),
            };
            let open =
                el("button")
                    .class("shelf")
                    .attr("type", "button")
                    .press(move || match way {
                        Way::Here(page) => self.go(page),
                        Way::Over(opened, _) => self.go_over(opened),
                    });
            let name = el("span").class("shelf-name").says(title.name);
            let words = el("span").class("shelf-words").says(title.words);
            el("li").with(open.with(name).with(words))
        };
        shelves(label, pages.iter().map(row).collect())
    }
}

/// Where a row leads to.
pub(crate) enum Way<K: 'static> {
    /// To a page of this program.
    Here(&'static Page<K>),
    /// To one of the other program, which is called so.
    Over(Opened, Title),
}
