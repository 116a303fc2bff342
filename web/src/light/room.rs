//! What the pages that find the light keep: readings that were taken, kept to compare, or read one by one.

use panel::{
    kept::Kept,
    light::{Change, Found},
    message::Page as Opened,
    recent::{self, Recent},
};

use super::Apart;
use crate::{
    apart::{Drawer, Fetch},
    browser::storage,
    live::Live,
    moment, room,
};

const CLOCK: &str = "The readings taken last are not noted: the clock of this device is wrong. Set it, and the next one is.";
const SET_ASIDE: &str = "The readings taken last could not be read. The old record is set aside in this browser, not deleted.";
const NEWER: &str =
    "A newer version of this page keeps the readings taken last here. They are left as they are.";

/// The room of this program.
pub(crate) type Room = room::Room<Finds>;

/// A page of it.
pub(crate) type Page = room::Page<Finds>;

/// What is kept as long as the page is there.
pub(crate) struct Finds {
    /// The readings taken last, the newest first.
    pub(super) recent: Live<Vec<Recent>>,
    /// Readings that were kept to compare.
    pub(super) compared: Live<Vec<readings::Found>>,
    /// Spots that were read one by one.
    pub(super) spots: Live<Vec<KeptSpot>>,
    /// What is counted on the bench; empty while nothing is.
    pub(super) count: Live<String>,
    /// How many spots were kept and photos were chosen so far, so that each has a number of its own.
    numbers: Live<[u32; 2]>,
    /// What is fetched when it is first wanted.
    pub(super) drawer: Drawer<Apart>,
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
    /// A room without a setting.
    pub(super) fn finding(pages: fn(Opened) -> &'static Page, fetch: Fetch<Apart>) -> Self {
        Self::new(["light-sheet", "bench-sheet"], pages, move |_| Finds {
            recent: Live::new(Vec::new()),
            compared: Live::new(Vec::new()),
            spots: Live::new(Vec::new()),
            count: Live::new(String::new()),
            numbers: Live::new([0, 0]),
            drawer: Drawer::new(fetch),
        })
    }

    /// Keeps a spot, and says so.
    pub(super) fn keep_spot(self, name: String, found: &readings::Found, photo: String) {
        self.said
            .set(format!("{name}: {}.", found.light_in_words()));
        let spot = readings::tones::Spot::of(name, found);
        let number = self.next(0);
        self.kept.spots.update(|spots| {
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
        let number = self.kept.numbers.quietly(|numbers| {
            numbers[of] = numbers[of].saturating_add(1);
            numbers[of]
        });
        number.unwrap_or_default()
    }

    /// Takes a reading, which leads back to the dial; a refusal changes nothing, and is said.
    pub(super) fn take(self, found: Found) {
        let change = Change::Take(found.clone());
        match self.changed(&change) {
            Err(sentence) => self.said.set(sentence),
            Ok((changed, sentence)) => {
                // The one from before as well: it may have been typed, and would be gone.
                self.note([self.once(Found::of), found]);
                // Before the dial says what happened: under an open sheet nobody would hear it.
                self.close();
                self.hand_back(changed, &sentence);
            }
        }
    }

    /// Reads the readings taken last, anew each time: another tab may have taken some.
    ///
    /// Whether they may be written.
    pub(super) fn read_recent(self) -> bool {
        let Ok(text) = storage::read(recent::RECORD) else {
            return true;
        };
        match text.as_deref().map(recent::decode) {
            // Nothing is stored: what this page has taken since stays.
            None => {}
            Some(Kept::Good(list)) => self.kept.recent.put(list),
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

    /// Keeps readings among those taken last.
    fn note(self, readings: [Found; 2]) {
        let may_write = self.read_recent();
        let Ok(at) = moment::clock_says() else {
            self.notice.set(CLOCK.to_owned());
            return;
        };
        let at = at.text();
        self.kept.recent.update(|list| {
            for found in readings {
                // OK to leave one out: a moment of the clock is always one that can be written.
                if let Ok(reading) = Recent::new(&at, found) {
                    recent::note(list, reading);
                }
            }
        });
        let text = self.kept.recent.once(|list| recent::encode(list));
        if may_write {
            storage::hold(recent::RECORD, Some(text));
            self.say_whether_kept();
        }
    }
}
