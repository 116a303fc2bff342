//! What the programs of the page tell each other, and what the address may ask for: written and read here, and nowhere
//! else.
//!
//! The programs share nothing but stored records and texts. A message is a JSON list of texts, of
//! which the first says what it is; it lives as long as it takes to be heard, and both ends are of one version of the page.
//! The start script says one of them itself, which a test of the page compares with [`ToBook::Opened`].
//!
//! ```
//! use panel::message::{Frame, Place, ToBook};
//! let tick = ToBook::Tick(Frame { index: 0, place: Place::new(3, "old-2") });
//! assert_eq!(tick.text(), r#"["tick","0","3 old-2"]"#);
//! assert_eq!(ToBook::read(&tick.text()), Some(tick));
//! ```

use book::json::{self, Value};

use crate::{choices::key_of, store};

/// Where a series is in the log: the number of its scene and the id of its roll, which the book alone reads.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Place(String);

impl Place {
    /// The place of a scene of a roll.
    #[must_use]
    pub fn new(scene: u16, roll: &str) -> Self {
        Self(format!("{scene} {roll}"))
    }

    /// Number of the scene and id of the roll; none of what is no place.
    ///
    /// ```
    /// use panel::message::Place;
    /// assert_eq!(Place::new(3, "old 2").parts(), Some((3, "old 2")));
    /// ```
    #[must_use]
    pub fn parts(&self) -> Option<(u16, &str)> {
        let (scene, roll) = self.0.split_once(' ')?;
        Some((scene.parse().ok()?, roll))
    }
}

/// A frame of a series in the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frame {
    /// Which one of the series, from 0.
    pub index: usize,
    /// The series.
    pub place: Place,
}

/// What the dial tells the film book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ToBook {
    /// Open, where it was left.
    Open,
    /// Open the log of the roll that the dial serves, where its next frame stands.
    Next,
    /// Take in the file that the system opened with this page; so many more were opened with it.
    Opened(usize),
    /// Ask where to log a series, as [`handover`](crate::handover) writes it.
    Ask(String),
    /// Log a series for a roll, without opening the book.
    Log {
        /// Id of the roll.
        roll: String,
        /// The series, as [`handover`](crate::handover) writes it.
        series: String,
    },
    /// Note a frame as taken now, without opening the book.
    Tick(Frame),
    /// Open a frame that was not shot as planned.
    Slip(Frame),
}

/// A page of the light that the dial opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Page {
    /// Ways to a reading.
    Readings,
    /// What stands between the reading and the film.
    Corrections,
    /// A reading from a photo.
    Photo,
    /// What to count on B.
    Timer,
    /// Conventions, sources and cautions.
    Counts,
    /// What is set once.
    More,
}

/// The word for each page, in messages and for the buttons of the dial's document.
const PAGES: [(&str, Page); 6] = [
    ("readings", Page::Readings),
    ("corrections", Page::Corrections),
    ("photo", Page::Photo),
    ("timer", Page::Timer),
    ("counts", Page::Counts),
    ("more", Page::More),
];

impl Page {
    /// The page that a word names; none where it names none.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        let named = PAGES.iter().find(|(known, _)| *known == word);
        named.map(|(_, page)| *page)
    }
}

impl Ask {
    /// Whether it is for the program that finds the light; everything else is for the bench.
    #[must_use]
    pub const fn finds(&self) -> bool {
        matches!(
            self,
            Self::Page(Page::Readings | Page::Photo) | Self::Shared
        )
    }
}

/// What the dial asks the light for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    /// To open a page.
    Page(Page),
    /// To open the timer with the metered time of one frame.
    Time(String),
    /// To read the photo that was shared to the page.
    Shared,
}

/// What the dial tells the two programs of the light, and they each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToLight {
    /// What it is asked for.
    pub ask: Ask,
    /// The whole setting that this is about, as a [`parcel`](crate::link::parcel).
    pub setting: String,
}

/// What an address begins with, behind the `#`, that carries a lesson.
pub const LESSON: &str = "lesson=";

/// What the dial tells the part that teaches: its whole setting, as a [`parcel`](crate::link::parcel).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToLearn {
    /// The setting to begin with.
    pub setting: String,
    /// A lesson that came by a link, as `learn` writes it; empty where none did.
    pub lesson: String,
}

/// What the film book and the programs of the light tell the dial.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ToDial {
    /// Take a setting that was changed in the light.
    Take {
        /// The whole setting, as a [`parcel`](crate::link::parcel).
        setting: String,
        /// What happened, in a sentence.
        sentence: String,
    },
    /// What is counted, for the dial's own page; empty when it ends.
    Count(String),
    /// What happened, in a sentence.
    Said(String),
    /// A series is in the log now.
    Logged(Logged),
    /// What came of a frame that was to be noted, in a sentence.
    Noted(String),
    /// A frame was shot and noted otherwise than planned, in a sentence.
    Kept(String),
}

/// What the dial remembers of the series that was logged last.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Logged {
    /// Id of the series ([`handover::id`](crate::handover::id)). A page of before kept the whole setting here, as the fragment
    /// of a link.
    pub series: String,
    /// What it is called: `Old 2, scene 3`.
    pub words: String,
    /// Where it is.
    pub place: Place,
}

/// The record of it in the browser's storage.
pub const LOGGED: &str = "stopkeeper.logged";

/// What the address asks for where it names a place of the page and carries no setting: the manifest's shortcuts do, and the
/// service worker when a photo was shared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Go {
    /// The log of the roll that the dial serves.
    Roll,
    /// Ways to a reading.
    Light,
    /// The timer.
    Timer,
    /// The photo that was shared to the page.
    Shared,
    /// A place that this page does not have.
    Nowhere,
}

impl Go {
    /// The place that a fragment (without `#`) names; none where it names none, and may carry a setting.
    ///
    /// ```
    /// use panel::message::Go;
    /// assert_eq!(Go::of("go=timer"), Some(Go::Timer));
    /// assert_eq!(Go::of("go=moon"), Some(Go::Nowhere));
    /// assert_eq!(Go::of("set1.abc"), None);
    /// ```
    #[must_use]
    pub fn of(fragment: &str) -> Option<Self> {
        Some(match fragment.strip_prefix("go=")? {
            "roll" => Self::Roll,
            "light" => Self::Light,
            "timer" => Self::Timer,
            "shared" => Self::Shared,
            _ => Self::Nowhere,
        })
    }
}

const OPEN: &str = "open";
const NEXT: &str = "next";
const FILE: &str = "file";
const ASK: &str = "ask";
const LOG: &str = "log";
const TICK: &str = "tick";
const SLIP: &str = "slip";
const TIME: &str = "time";
const SHARED: &str = "shared";
const TAKE: &str = "take";
const COUNT: &str = "count";
const SAID: &str = "said";
const NEW: &str = "logged";
const NOTED: &str = "noted";
const KEPT: &str = "kept";

fn written(texts: &[&str]) -> String {
    let texts: Vec<String> = texts.iter().map(|&text| text.to_owned()).collect();
    store::json(&texts)
}

/// The texts of a message, one after the other.
struct Texts(std::vec::IntoIter<Value>);

impl Texts {
    /// None of what is no list.
    fn read(text: &str) -> Option<Self> {
        match json::read(text)? {
            Value::Array(values) => Some(Self(values.into_iter())),
            _ => None,
        }
    }

    fn next(&mut self) -> Option<String> {
        match self.0.next()? {
            Value::String(text) => Some(text),
            _ => None,
        }
    }

    fn number(&mut self) -> Option<usize> {
        self.next()?.parse().ok()
    }

    fn frame(&mut self) -> Option<Frame> {
        Some(Frame {
            index: self.number()?,
            place: Place(self.next()?),
        })
    }

    fn logged(&mut self) -> Option<Logged> {
        Some(Logged {
            series: self.next()?,
            words: self.next()?,
            place: Place(self.next()?),
        })
    }

    /// The message, if nothing else follows.
    fn whole<T>(mut self, message: T) -> Option<T> {
        self.0.next().is_none().then_some(message)
    }
}

impl Frame {
    fn text(&self, what: &str) -> String {
        written(&[what, &self.index.to_string(), &self.place.0])
    }
}

impl ToBook {
    /// The text of the message.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Open => written(&[OPEN]),
            Self::Next => written(&[NEXT]),
            Self::Opened(others) => written(&[FILE, &others.to_string()]),
            Self::Ask(series) => written(&[ASK, series]),
            Self::Log { roll, series } => written(&[LOG, roll, series]),
            Self::Tick(frame) => frame.text(TICK),
            Self::Slip(frame) => frame.text(SLIP),
        }
    }

    /// The message of a text; none of any other text.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut texts = Texts::read(text)?;
        let message = match texts.next()?.as_str() {
            OPEN => Self::Open,
            NEXT => Self::Next,
            FILE => Self::Opened(texts.number()?),
            ASK => Self::Ask(texts.next()?),
            LOG => Self::Log {
                roll: texts.next()?,
                series: texts.next()?,
            },
            TICK => Self::Tick(texts.frame()?),
            SLIP => Self::Slip(texts.frame()?),
            _ => return None,
        };
        texts.whole(message)
    }
}

impl ToLight {
    /// The text of the message.
    #[must_use]
    pub fn text(&self) -> String {
        let setting = &self.setting;
        match &self.ask {
            Ask::Page(page) => written(&[key_of(&PAGES, page), setting]),
            Ask::Time(metered) => written(&[TIME, setting, metered]),
            Ask::Shared => written(&[SHARED, setting]),
        }
    }

    /// The message of a text; none of any other text.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut texts = Texts::read(text)?;
        let word = texts.next()?;
        let setting = texts.next()?;
        let ask = match word.as_str() {
            TIME => Ask::Time(texts.next()?),
            SHARED => Ask::Shared,
            word => Ask::Page(Page::of(word)?),
        };
        texts.whole(Self { ask, setting })
    }
}

impl ToLearn {
    /// The text of the message.
    #[must_use]
    pub fn text(&self) -> String {
        written(&[OPEN, &self.setting, &self.lesson])
    }

    /// The message of a text; none of any other text.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut texts = Texts::read(text)?;
        let message = match texts.next()?.as_str() {
            OPEN => Self {
                setting: texts.next()?,
                lesson: texts.next()?,
            },
            _ => return None,
        };
        texts.whole(message)
    }
}

impl ToDial {
    /// The text of the message.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Take { setting, sentence } => written(&[TAKE, setting, sentence]),
            Self::Count(count) => written(&[COUNT, count]),
            Self::Said(sentence) => written(&[SAID, sentence]),
            Self::Logged(logged) => written(&[NEW, &logged.series, &logged.words, &logged.place.0]),
            Self::Noted(sentence) => written(&[NOTED, sentence]),
            Self::Kept(sentence) => written(&[KEPT, sentence]),
        }
    }

    /// The message of a text; none of any other text.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut texts = Texts::read(text)?;
        let message = match texts.next()?.as_str() {
            TAKE => Self::Take {
                setting: texts.next()?,
                sentence: texts.next()?,
            },
            COUNT => Self::Count(texts.next()?),
            SAID => Self::Said(texts.next()?),
            NEW => Self::Logged(texts.logged()?),
            NOTED => Self::Noted(texts.next()?),
            KEPT => Self::Kept(texts.next()?),
            _ => return None,
        };
        texts.whole(message)
    }
}

impl Logged {
    /// The text of the record.
    #[must_use]
    pub fn record(self) -> String {
        ToDial::Logged(self).text()
    }

    /// What a record says; nothing is logged where it cannot be read.
    ///
    /// A page of before wrote three lines: the setting as the fragment of a link, what the series is called, and the number of
    /// its scene with the id of its roll.
    ///
    /// ```
    /// use panel::message::Logged;
    /// let logged = Logged::of_record("set1.abc\nOld 2, scene 3\n3 old-2").unwrap();
    /// assert_eq!((logged.series.as_str(), logged.place.parts()), ("set1.abc", Some((3, "old-2"))));
    /// assert_eq!(Logged::of_record(&logged.clone().record()), Some(logged));
    /// ```
    #[must_use]
    pub fn of_record(record: &str) -> Option<Self> {
        if let Some(ToDial::Logged(logged)) = ToDial::read(record) {
            return Some(logged);
        }
        let (series, rest) = record.split_once('\n')?;
        let (words, place) = rest.split_once('\n')?;
        Some(Self {
            series: series.to_owned(),
            words: words.to_owned(),
            place: Place(place.to_owned()),
        })
    }
}
