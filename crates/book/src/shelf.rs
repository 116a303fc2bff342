//! How the book lies in the browser: what is written in the journal and in the index, and how a book is made of both.
//!
//! The index has a small record for each record of the book. It holds the record itself; of a roll that has a log, it holds
//! the roll without its log, and the whole roll lies beside it and is read when it is opened.

use serde::Serialize;

use crate::{
    Aside, Book, Kind, OfDial, Record, Roll,
    json::{self, Fields, Value},
    keep::{self, Unreadable},
    past::Past,
    records::Key,
    text,
};

const JOURNAL: &str = "stopkeeper journal";
const INDEX: &str = "stopkeeper index";
/// The version of both.
const VERSION: u64 = 1;

/// A record as a page wrote it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Its key.
    pub key: Key,
    /// What it goes on from, itself included.
    pub past: Past,
    /// Its text; none where the record was removed.
    pub text: Option<String>,
}

/// A roll without its log.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// The roll, with no scenes, frames and comparisons.
    pub roll: Roll,
    /// How many frames its log has.
    pub frames: usize,
    /// How many of them are judged, or were compared with another.
    pub judged: usize,
    /// Marks the text of the whole roll.
    mark: String,
    /// The version that the whole roll is written in.
    version: u32,
}

impl Head {
    /// The version that the whole roll is written in.
    #[must_use]
    pub const fn version(&self) -> u32 {
        self.version
    }

    /// Whether the whole roll has this text.
    pub(crate) fn says(&self, text: &str) -> bool {
        self.mark == mark(text)
    }
}

/// What the index holds of a record.
#[derive(Debug, Clone, PartialEq)]
enum Holds {
    /// The record itself, as it is written.
    Text(String),
    /// A roll whose log lies beside the index.
    Head(Box<Head>),
    /// Nothing: the record was removed.
    Nothing,
}

/// A record of the index.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelved {
    key: Key,
    past: Past,
    holds: Holds,
}

#[derive(Serialize)]
struct WrittenRecord<'a> {
    format: &'a str,
    version: u64,
    key: String,
    past: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    text: Option<&'a str>,
}

#[derive(Serialize)]
struct ShelvedRecord<'a> {
    format: &'a str,
    version: u64,
    key: String,
    past: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    text: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    roll: Option<HeadRecord<'a>>,
}

#[derive(Serialize)]
struct HeadRecord<'a> {
    version: u32,
    mark: &'a str,
    frames: usize,
    judged: usize,
    record: &'a Roll,
}

fn json<T: Serialize>(record: &T) -> String {
    serde_json::to_string(record).expect("strings, numbers and lists always have a JSON form")
}

fn mark(text: &str) -> String {
    format!("{:016x}", text::hash(text))
}

fn text_of(object: &mut Fields, name: &str) -> Option<String> {
    match object.remove(name)? {
        Value::String(text) => Some(text),
        _ => None,
    }
}

/// What the journal and the index have in common: fields by name, key and past.
fn opened(format: &str, text: &str) -> Option<(Fields, Key, Past)> {
    let Some(Value::Object(mut object)) = json::read(text) else {
        return None;
    };
    let is_known =
        text_of(&mut object, "format")? == format && object.remove("version")?.as_u64()? == VERSION;
    let key = Key::parse(&text_of(&mut object, "key")?)?;
    let past = Past::parse(&text_of(&mut object, "past")?)?;
    is_known.then_some((object, key, past))
}

impl Written {
    /// As it is kept in the journal.
    #[must_use]
    pub fn encode(&self) -> String {
        json(&WrittenRecord {
            format: JOURNAL,
            version: VERSION,
            key: self.key.text(),
            past: self.past.text(),
            text: self.text.as_deref(),
        })
    }

    /// Reads an entry of the journal; none where it is damaged or of a newer version.
    #[must_use]
    pub fn decode(text: &str) -> Option<Self> {
        let (mut object, key, past) = opened(JOURNAL, text)?;
        let record = match object.remove("text") {
            None => None,
            Some(Value::String(text)) => Some(text),
            Some(_) => return None,
        };
        object.is_empty().then_some(Self {
            key,
            past,
            text: record,
        })
    }

    /// A record of the time before there was a journal, which lay under its key alone; none for any other key.
    #[must_use]
    pub fn of_old(key: &str, text: &str) -> Option<Self> {
        Some(Self {
            key: Key::parse(key)?,
            past: Past::of_text(text),
            text: Some(text.to_owned()),
        })
    }

    /// What goes into the index, and what beside it.
    #[must_use]
    pub fn shelved(&self) -> (Shelved, Option<&str>) {
        let holds = self.text.as_deref().map_or(Holds::Nothing, |text| {
            holds_of(keep::decode(text).ok().as_ref(), text)
        });
        self.with(holds)
    }

    /// The same, of a record that is at hand: nothing has to be read again.
    #[must_use]
    pub fn shelved_as(&self, record: Option<&Record>) -> (Shelved, Option<&str>) {
        let text = self.text.as_deref();
        self.with(text.map_or(Holds::Nothing, |text| holds_of(record, text)))
    }

    fn with(&self, holds: Holds) -> (Shelved, Option<&str>) {
        let beside = match holds {
            Holds::Head(_) => self.text.as_deref(),
            Holds::Text(_) | Holds::Nothing => None,
        };
        let shelved = Shelved {
            key: self.key.clone(),
            past: self.past.clone(),
            holds,
        };
        (shelved, beside)
    }
}

fn has_log(roll: &Roll) -> bool {
    !roll.frames.is_empty() || !roll.scenes.is_empty()
}

/// What the index holds of a record with this text.
fn holds_of(record: Option<&Record>, text: &str) -> Holds {
    match record {
        Some(record @ Record::Roll(roll)) if has_log(roll) => {
            let judged = |frame: &&crate::Frame| {
                let compared = |pair: &crate::Pair| pair.one == frame.id || pair.other == frame.id;
                frame.verdict.is_some() || roll.pairs.iter().any(compared)
            };
            Holds::Head(Box::new(Head {
                frames: roll.frames.len(),
                judged: roll.frames.iter().filter(judged).count(),
                mark: mark(text),
                version: keep::version_of(record),
                roll: Roll {
                    scenes: Vec::new(),
                    frames: Vec::new(),
                    pairs: Vec::new(),
                    ..(**roll).clone()
                },
            }))
        }
        _ => Holds::Text(text.to_owned()),
    }
}

impl Shelved {
    /// Its key.
    #[must_use]
    pub const fn key(&self) -> &Key {
        &self.key
    }

    /// What it goes on from, itself included.
    #[must_use]
    pub const fn past(&self) -> &Past {
        &self.past
    }

    /// Whether it says that the record was removed.
    #[must_use]
    pub const fn is_removed(&self) -> bool {
        matches!(self.holds, Holds::Nothing)
    }

    /// Whether the whole record lies beside the index.
    #[must_use]
    pub const fn lies_beside(&self) -> bool {
        matches!(self.holds, Holds::Head(_))
    }

    /// The record's text, where the index holds it.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        match &self.holds {
            Holds::Text(text) => Some(text),
            Holds::Head(_) | Holds::Nothing => None,
        }
    }

    /// Whether this is what a page wrote, whoever wrote it here.
    #[must_use]
    pub fn says(&self, written: Option<&str>) -> bool {
        match (&self.holds, written) {
            (Holds::Nothing, None) => true,
            (Holds::Text(here), Some(written)) => here == written,
            (Holds::Head(here), Some(written)) => here.says(written),
            _ => false,
        }
    }

    /// As it is kept in the index.
    #[must_use]
    pub fn encode(&self) -> String {
        json(&ShelvedRecord {
            format: INDEX,
            version: VERSION,
            key: self.key.text(),
            past: self.past.text(),
            text: self.text(),
            roll: match &self.holds {
                Holds::Head(head) => Some(HeadRecord {
                    version: head.version,
                    mark: &head.mark,
                    frames: head.frames,
                    judged: head.judged,
                    record: &head.roll,
                }),
                Holds::Text(_) | Holds::Nothing => None,
            },
        })
    }

    /// Reads a record of the index; none where it is damaged, or says what this version does not know: then the whole
    /// record beside it is read instead.
    #[must_use]
    pub fn decode(text: &str) -> Option<Self> {
        let (mut object, key, past) = opened(INDEX, text)?;
        let holds = match (object.remove("text"), object.remove("roll")) {
            (None, None) => Holds::Nothing,
            (Some(Value::String(text)), None) => Holds::Text(text),
            (None, Some(Value::Object(head))) => Holds::Head(Box::new(read_head(head)?)),
            _ => return None,
        };
        let fits = match &holds {
            Holds::Head(head) => key.kind == Kind::Roll && key.id == head.roll.id,
            Holds::Text(_) | Holds::Nothing => true,
        };
        (object.is_empty() && fits).then_some(Self { key, past, holds })
    }
}

fn read_head(mut object: Fields) -> Option<Head> {
    let version = u32::try_from(object.remove("version")?.as_u64()?).ok()?;
    let mut count = |name: &str| usize::try_from(object.remove(name)?.as_u64()?).ok();
    let (frames, judged) = (count("frames")?, count("judged")?);
    let mark = text_of(&mut object, "mark")?;
    let roll = keep::read_roll(object.remove("record")?)?;
    (object.is_empty()
        && version <= keep::newest(Kind::Roll)
        && !has_log(&roll)
        && !roll.id.is_empty())
    .then_some(Head {
        roll,
        frames,
        judged,
        mark,
        version,
    })
}

/// What was made of a record that was found.
#[derive(Debug, Clone, PartialEq)]
pub enum Taken {
    /// It is in the book under its key.
    Read,
    /// It is of a newer version: left as it is, and part of the book as one that was set aside.
    Newer,
    /// It is damaged, and part of the book as one that was set aside: it is to be kept under this key and no longer under
    /// its own.
    Damaged(Key),
}

impl Book {
    /// Takes in the text of a record that was found under a key.
    pub fn take_text(&mut self, key: &Key, text: &str) -> Taken {
        if key.kind == Kind::Aside {
            let aside = Aside {
                id: key.id.clone(),
                text: text.to_owned(),
            };
            self.swap(key.clone(), Some(Record::Aside(aside)));
            return Taken::Read;
        }
        // To the letter as well: what it says is the dial's business.
        if key.kind == Kind::Dial && OfDial::is_id(&key.id) {
            let record = OfDial {
                id: key.id.clone(),
                text: text.to_owned(),
            };
            self.swap(key.clone(), Some(Record::Dial(record)));
            return Taken::Read;
        }
        match keep::decode(text) {
            Ok(record) if record.key() == *key => {
                self.swap(key.clone(), Some(record));
                Taken::Read
            }
            result => {
                let aside = Record::Aside(Aside::new(&key.text(), text));
                let to = aside.key();
                self.swap(to.clone(), Some(aside));
                self.forget_head(key);
                if result == Err(Unreadable::Newer) {
                    Taken::Newer
                } else {
                    Taken::Damaged(to)
                }
            }
        }
    }

    /// Takes in a record of the index. What lies beside the index stays there, and the book knows the roll without its log.
    pub fn take_shelved(&mut self, shelved: &Shelved) -> Taken {
        match &shelved.holds {
            Holds::Text(text) => self.take_text(&shelved.key, text),
            Holds::Head(head) => {
                self.swap(shelved.key.clone(), None);
                self.put_head((**head).clone());
                Taken::Read
            }
            Holds::Nothing => {
                self.swap(shelved.key.clone(), None);
                Taken::Read
            }
        }
    }
}

/// Sentences on records that could not be read: how many were damaged, and how many were of a newer version.
#[must_use]
pub fn unread_words(damaged: usize, newer: usize) -> Vec<String> {
    let mut notices = Vec::new();
    if damaged > 0 {
        notices.push(format!(
            "{} could not be read. What was there is set aside, not deleted, and everything else is as it was.",
            text::counted(damaged, "record")
        ));
    }
    if newer > 0 {
        notices.push(format!(
            "{} saved by a newer version of this page. Left as it is; reload when you are online.",
            text::counted(newer, "record")
        ));
    }
    notices
}
