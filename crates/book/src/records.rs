//! The whole book: records by key, each of which is kept on its own.

use crate::{
    Batch, ByKey, Date, Device, Error, FilmTest, Finding, Group, Lens, Loading, OfDial, OwnCamera,
    Roll, Rules, State, Stock, shelf::Head, text,
};

/// The kind of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// A stock.
    Stock,
    /// A batch.
    Batch,
    /// A roll with its log.
    Roll,
    /// A rating that was found for a group.
    Finding,
    /// A reading device.
    Device,
    /// A lens.
    Lens,
    /// The person's own values for the rules of the start rating.
    Rules,
    /// A record that could not be read, kept as it was.
    Aside,
    /// A camera of the person's own, which the dial keeps.
    Camera,
    /// What the dial and the light keep beside cameras.
    Dial,
    /// A film-speed test of a group.
    Test,
}

impl Kind {
    /// All kinds; what others refer to comes first.
    pub const ALL: [Self; 11] = [
        Self::Camera,
        Self::Device,
        Self::Stock,
        Self::Batch,
        Self::Roll,
        Self::Finding,
        Self::Test,
        Self::Lens,
        Self::Rules,
        Self::Aside,
        Self::Dial,
    ];

    /// Its name in keys and records.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Stock => "stock",
            Self::Batch => "batch",
            Self::Roll => "roll",
            Self::Finding => "finding",
            Self::Device => "device",
            Self::Lens => "lens",
            Self::Rules => "rules",
            Self::Aside => "aside",
            Self::Camera => "camera",
            Self::Dial => "dial",
            Self::Test => "test",
        }
    }
}

/// The key of a record: its kind and its id, written `roll.harbour-1`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// The kind.
    pub kind: Kind,
    /// The id, unique among records of this kind.
    pub id: String,
}

impl Key {
    /// Makes a key.
    #[must_use]
    pub fn new(kind: Kind, id: &str) -> Self {
        Self {
            kind,
            id: id.to_owned(),
        }
    }

    /// As it is written: `roll.harbour-1`.
    #[must_use]
    pub fn text(&self) -> String {
        format!("{}.{}", self.kind.name(), self.id)
    }

    /// Reads a key as [`text`](Self::text) writes it; none for any other text.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let (name, id) = text.split_once('.')?;
        let kind = Kind::ALL.into_iter().find(|kind| kind.name() == name)?;
        (!id.is_empty()).then(|| Self::new(kind, id))
    }
}

/// A record that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aside {
    /// Id: the key it was found under, and a mark of its content.
    pub id: String,
    /// The text, to the letter.
    pub text: String,
}

impl Aside {
    /// Sets a text aside that was found under a key (or in a named place).
    #[must_use]
    pub fn new(found_under: &str, text: &str) -> Self {
        Self {
            id: format!("{found_under}.{}", text::short_hash(text)),
            text: text.to_owned(),
        }
    }
}

/// One record of the book.
#[derive(Debug, Clone, PartialEq)]
pub enum Record {
    /// A stock.
    Stock(Stock),
    /// A batch.
    Batch(Batch),
    /// A roll with its log.
    Roll(Box<Roll>),
    /// A rating that was found for a group.
    Finding(Finding),
    /// A reading device.
    Device(Device),
    /// A lens.
    Lens(Lens),
    /// The person's own values for the rules of the start rating.
    Rules(Rules),
    /// A record that could not be read.
    Aside(Aside),
    /// A camera of the person's own, which the dial keeps.
    Camera(OwnCamera),
    /// What the dial and the light keep beside cameras.
    Dial(OfDial),
    /// A film-speed test of a group.
    Test(FilmTest),
}

impl Record {
    /// Its kind.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        match self {
            Self::Stock(_) => Kind::Stock,
            Self::Batch(_) => Kind::Batch,
            Self::Roll(_) => Kind::Roll,
            Self::Finding(_) => Kind::Finding,
            Self::Device(_) => Kind::Device,
            Self::Lens(_) => Kind::Lens,
            Self::Rules(_) => Kind::Rules,
            Self::Aside(_) => Kind::Aside,
            Self::Camera(_) => Kind::Camera,
            Self::Dial(_) => Kind::Dial,
            Self::Test(_) => Kind::Test,
        }
    }

    /// The key that it is kept under.
    #[must_use]
    pub fn key(&self) -> Key {
        let id = match self {
            Self::Stock(record) => &record.id,
            Self::Batch(record) => &record.id,
            Self::Roll(record) => &record.id,
            Self::Finding(record) => &record.id,
            Self::Device(record) => &record.id,
            Self::Lens(record) => &record.id,
            Self::Rules(_) => Rules::ID,
            Self::Aside(record) => &record.id,
            Self::Camera(record) => &record.id,
            Self::Dial(record) => &record.id,
            Self::Test(record) => &record.id,
        };
        Key::new(self.kind(), id)
    }

    /// The name that a person knows it by.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Stock(record) => &record.name,
            Self::Batch(record) => &record.id,
            Self::Roll(record) => &record.name,
            Self::Finding(record) => &record.id,
            Self::Device(record) => &record.name,
            Self::Lens(record) => &record.name,
            Self::Rules(_) => "own values of rules",
            Self::Aside(record) => &record.id,
            Self::Camera(record) => &record.name,
            Self::Dial(record) => record.name(),
            Self::Test(record) => &record.id,
        }
    }
}

/// Everything that is known. Records are found by key; their order is that of their keys.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Book {
    records: ByKey<Record>,
    /// Rolls whose log was not read yet. No roll is here and among the records.
    heads: ByKey<Head>,
}

impl Book {
    /// An empty book.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            records: ByKey::new(),
            heads: ByKey::new(),
        }
    }

    /// All records, in the order of their keys, but for rolls whose log was not read.
    pub fn records(&self) -> impl Iterator<Item = &Record> {
        self.records.values().iter()
    }

    /// How many records there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.records.len() + self.heads.len()
    }

    /// Whether there is no record.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.records.is_empty() && self.heads.is_empty()
    }

    /// Rolls whose log was not read, in the order of their ids: they are counted and listed, and have to be read before
    /// they can be opened or changed.
    pub fn heads(&self) -> impl Iterator<Item = &Head> {
        self.heads.values().iter()
    }

    /// A roll whose log was not read, by its id.
    #[must_use]
    pub fn head(&self, id: &str) -> Option<&Head> {
        self.heads.get(&Key::new(Kind::Roll, id))
    }

    /// Whether the log of this roll was not read.
    #[must_use]
    pub fn is_unread(&self, key: &Key) -> bool {
        self.heads.contains(key)
    }

    /// Whether there is such a roll, its log read or not.
    #[must_use]
    pub fn has_roll(&self, id: &str) -> bool {
        self.head(id).is_some() || self.roll(id).is_some()
    }

    /// Puts a roll in without its log; [`swap`](Self::swap) has taken what was there.
    pub(crate) fn put_head(&mut self, head: Head) {
        self.heads.insert(Key::new(Kind::Roll, &head.roll.id), head);
    }

    /// Takes out a roll whose log was not read.
    pub(crate) fn forget_head(&mut self, key: &Key) {
        self.heads.remove(key);
    }

    /// A record by its key.
    #[must_use]
    pub fn get(&self, key: &Key) -> Option<&Record> {
        self.records.get(key)
    }

    /// Puts a record in the place of the one with its key, or takes it out, and returns what was there.
    pub(crate) fn swap(&mut self, key: Key, record: Option<Record>) -> Option<Record> {
        self.forget_head(&key);
        match record {
            Some(record) => self.records.insert(key, record),
            None => self.records.remove(&key),
        }
    }

    /// A stock by its id.
    #[must_use]
    pub fn stock(&self, id: &str) -> Option<&Stock> {
        match self.get(&Key::new(Kind::Stock, id)) {
            Some(Record::Stock(stock)) => Some(stock),
            _ => None,
        }
    }

    /// A batch by its id.
    #[must_use]
    pub fn batch(&self, id: &str) -> Option<&Batch> {
        match self.get(&Key::new(Kind::Batch, id)) {
            Some(Record::Batch(batch)) => Some(batch),
            _ => None,
        }
    }

    /// A roll by its id; none where its log was not read.
    #[must_use]
    pub fn roll(&self, id: &str) -> Option<&Roll> {
        match self.get(&Key::new(Kind::Roll, id)) {
            Some(Record::Roll(roll)) => Some(roll),
            _ => None,
        }
    }

    /// A reading device by its id.
    #[must_use]
    pub fn device(&self, id: &str) -> Option<&Device> {
        match self.get(&Key::new(Kind::Device, id)) {
            Some(Record::Device(device)) => Some(device),
            _ => None,
        }
    }

    /// A lens by its id.
    #[must_use]
    pub fn lens(&self, id: &str) -> Option<&Lens> {
        match self.get(&Key::new(Kind::Lens, id)) {
            Some(Record::Lens(lens)) => Some(lens),
            _ => None,
        }
    }

    /// A roll by its id.
    ///
    /// # Errors
    ///
    /// If there is none, or its log was not read.
    pub fn find_roll(&self, id: &str) -> Result<&Roll, Error> {
        self.roll(id).ok_or_else(|| {
            if self.head(id).is_some() {
                unread()
            } else {
                Error::new("this roll is not in the book; it may have been removed")
            }
        })
    }

    /// All stocks.
    pub fn stocks(&self) -> impl Iterator<Item = &Stock> {
        self.records().filter_map(|record| match record {
            Record::Stock(stock) => Some(stock),
            _ => None,
        })
    }

    /// All batches.
    pub fn batches(&self) -> impl Iterator<Item = &Batch> {
        self.records().filter_map(|record| match record {
            Record::Batch(batch) => Some(batch),
            _ => None,
        })
    }

    /// All rolls, in the order of their ids. A roll whose log was not read has no scenes and no frames here.
    pub fn rolls(&self) -> impl Iterator<Item = &Roll> {
        let first = Key::new(Kind::Roll, "");
        let (mut read, mut heads) = (self.records.from(&first), self.heads.values());
        std::iter::from_fn(move || match (read.first(), heads.first()) {
            (Some(Record::Roll(roll)), head) if head.is_none_or(|head| roll.id < head.roll.id) => {
                read = &read[1..];
                Some(&**roll)
            }
            (_, Some(head)) => {
                heads = &heads[1..];
                Some(&head.roll)
            }
            _ => None,
        })
    }

    /// All findings.
    pub fn findings(&self) -> impl Iterator<Item = &Finding> {
        self.records().filter_map(|record| match record {
            Record::Finding(finding) => Some(finding),
            _ => None,
        })
    }

    /// All film-speed tests.
    pub fn tests(&self) -> impl Iterator<Item = &FilmTest> {
        self.records().filter_map(|record| match record {
            Record::Test(test) => Some(test),
            _ => None,
        })
    }

    /// All reading devices.
    pub fn devices(&self) -> impl Iterator<Item = &Device> {
        self.records().filter_map(|record| match record {
            Record::Device(device) => Some(device),
            _ => None,
        })
    }

    /// All lenses.
    pub fn lenses(&self) -> impl Iterator<Item = &Lens> {
        self.records().filter_map(|record| match record {
            Record::Lens(lens) => Some(lens),
            _ => None,
        })
    }

    /// Records that could not be read.
    pub fn asides(&self) -> impl Iterator<Item = &Aside> {
        let first = Key::new(Kind::Aside, "");
        let last = self.records.from(&first).iter();
        last.filter_map(|record| match record {
            Record::Aside(aside) => Some(aside),
            _ => None,
        })
    }

    /// The person's own values of rules; empty if there are none.
    #[must_use]
    pub fn rules(&self) -> Rules {
        match self.get(&Key::new(Kind::Rules, Rules::ID)) {
            Some(Record::Rules(rules)) => rules.clone(),
            _ => Rules::default(),
        }
    }

    /// The stock of a roll; none if its batch or stock is not in the book.
    #[must_use]
    pub fn stock_of(&self, roll: &Roll) -> Option<&Stock> {
        self.stock(&self.batch(&roll.batch)?.stock)
    }

    /// The group of a roll; none if its batch is not in the book.
    #[must_use]
    pub fn group_of(&self, roll: &Roll) -> Option<Group> {
        Some(roll.group(self.batch(&roll.batch)?))
    }

    /// The rolls of a group.
    pub fn rolls_of<'a>(&'a self, group: &'a Group) -> impl Iterator<Item = &'a Roll> {
        self.rolls()
            .filter(move |roll| self.group_of(roll).as_ref() == Some(group))
    }

    /// All groups that have a roll.
    #[must_use]
    pub fn groups(&self) -> Vec<Group> {
        let mut groups: Vec<Group> = Vec::new();
        for group in self.rolls().filter_map(|roll| self.group_of(roll)) {
            if !groups.contains(&group) {
                groups.push(group);
            }
        }
        text::order(&mut groups, |a, b| a < b);
        groups
    }

    /// What kept the result of one group from being taken for another; none if both are the same group.
    #[must_use]
    pub fn barrier(&self, from: &Group, to: &Group) -> Option<String> {
        let film = |group: &Group| Some(self.stock(&group.stock)?.film);
        from.barrier(to, film(from).zip(film(to)))
    }

    /// A group in words: `5 rolls, one group: 1 loaded, 4 in the bag.`
    #[must_use]
    pub fn group_words(&self, group: &Group) -> String {
        let states: Vec<State> = self.rolls_of(group).map(|roll| roll.state).collect();
        let parts: Vec<String> = State::ALL
            .into_iter()
            .filter_map(|state| {
                let count = states.iter().filter(|s| **s == state).count();
                (count > 0).then(|| format!("{count} {}", state.words()))
            })
            .collect();
        format!(
            "{}, one group: {}.",
            text::counted(states.len(), "roll"),
            text::list(&parts)
        )
    }

    /// Rolls that are in a camera; several may be open at once.
    pub fn open_rolls(&self) -> impl Iterator<Item = (&Roll, &Loading)> {
        self.rolls()
            .filter(|roll| roll.state == State::Loaded)
            .filter_map(|roll| Some((roll, roll.loading()?)))
    }

    /// Rolls that are said to be in the camera of this loading: one at most, unless two books that were brought together say
    /// otherwise.
    pub fn in_camera<'a>(&'a self, loading: &'a Loading) -> impl Iterator<Item = &'a Roll> {
        self.open_rolls()
            .filter(move |(_, open)| open.is_in_the_same(loading))
            .map(|(roll, _)| roll)
    }

    /// What has been loaded or exposed, longest first: days and the roll.
    #[must_use]
    pub fn waiting_longest(&self, today: Date) -> Vec<(i32, &Roll)> {
        let mut out: Vec<(i32, &Roll)> = self
            .rolls()
            .filter_map(|roll| {
                let since = match roll.state {
                    State::Loaded => Some(roll.loading()?.since),
                    State::PartShot => roll.loading()?.until,
                    State::Exposed => roll.finished,
                    _ => None,
                };
                Some((since?.days_until(today), roll))
            })
            .collect();
        // Rolls come in the order of their ids, and stay so where they wait as long.
        text::order(&mut out, |a, b| a.0 > b.0);
        out
    }

    /// A new id of this kind: readable, made of a name, and taken by nothing else.
    #[must_use]
    pub fn new_id(&self, kind: Kind, name: &str) -> String {
        let base = text::slug(name);
        let mut id = base.clone();
        let mut n = 2;
        while self.is_taken(kind, &id) {
            id = format!("{base}-{n}");
            n += 1;
        }
        id
    }

    /// Whether a record, or one that was set aside, has this key.
    pub(crate) fn is_taken(&self, kind: Kind, id: &str) -> bool {
        let key = Key::new(kind, id);
        let aside = format!("{}.", key.text());
        self.get(&key).is_some()
            || self.is_unread(&key)
            || self.asides().any(|record| record.id.starts_with(&aside))
    }
}

/// Why a roll cannot be changed yet.
pub(crate) fn unread() -> Error {
    Error::new(
        "the log of this roll was not read from the browser's storage yet; open the roll first",
    )
}
