//! What a page has still to write, and what it does when a record was written elsewhere in the meantime.

use crate::{ByKey, Key, Past, Record, Shelved, Written, encode};

/// What to do with a record that waits to be written, once it is known what is stored in its place.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// Write this into the index, and the whole record beside it (or remove what lies there).
    Put {
        /// The writing that this is.
        past: Past,
        /// The record of the index.
        index: String,
        /// The whole record.
        beside: Option<String>,
    },
    /// The same is stored already.
    Same {
        /// The writing that this is.
        past: Past,
        /// What is stored.
        stored: Shelved,
    },
    /// Something else is stored, which goes on from it or knows nothing of it: it is to be taken over, and what is here put
    /// beside it where it has not this in its past.
    Elsewhere(Shelved),
    /// What is stored cannot be read: it is left alone.
    Unknown,
    /// It does not wait any more.
    Nothing,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Act {
    // Write it: it goes on from what is stored.
    Put,
    // Nothing: the same is stored already.
    Same,
    // Nothing: what is stored goes on from it.
    Older,
    // Both are to be kept: neither goes on from the other.
    Meet,
}

/// What a page makes of a record that it finds or hears of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heard {
    /// Nothing new.
    Known,
    /// To be taken over.
    New,
    /// It knows nothing of what this page has still to write: that decides when it is written.
    Apart,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Waiting {
    past: Past,
    in_journal: bool,
}

/// Keeps account of records: what this page knows of each, and what it has promised to write and has not yet.
///
/// Nothing leaves the account but by [`kept`](Self::kept), after the storage has said that it is done, or because what is
/// stored has it in its past.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Keeper {
    page: String,
    known: ByKey<Past>,
    waiting: ByKey<Waiting>,
    /// Writings of this page that are part of something else now, and may still be in the journal.
    spent: Vec<(Key, Past)>,
}

/// What to do with a writing, against what is stored under its key.
fn act(stored: Option<&Shelved>, past: &Past, text: Option<&str>) -> Act {
    match stored {
        None => Act::Put,
        Some(stored) if stored.says(text) => Act::Same,
        Some(stored) if past.has(stored.past()) => Act::Put,
        Some(stored) if stored.past().has(past) => Act::Older,
        Some(_) => Act::Meet,
    }
}

impl Keeper {
    /// A page of this name, without space; no other page has the same.
    #[must_use]
    pub fn new(page: &str) -> Self {
        Self {
            page: page.replace(' ', "-"),
            known: ByKey::new(),
            waiting: ByKey::new(),
            spent: Vec::new(),
        }
    }

    /// How a record stands, as far as this page knows.
    #[must_use]
    pub fn past(&self, key: &Key) -> Option<&Past> {
        self.known.get(key)
    }

    /// All keys that this page knows of.
    #[must_use]
    pub fn keys(&self) -> &[Key] {
        self.known.keys()
    }

    /// This page changed a record: it waits to be written, over what is known of it.
    pub fn changed(&mut self, key: &Key) -> Past {
        let past = self
            .known
            .get(key)
            .cloned()
            .unwrap_or_default()
            .next(&self.page);
        self.wait(key, past.clone());
        past
    }

    /// A writing waits that this page found in the journal, or under an old key.
    pub fn take_up(&mut self, key: &Key, past: &Past) {
        self.wait(key, past.clone());
        self.noted(key, past);
    }

    fn wait(&mut self, key: &Key, past: Past) {
        self.known.insert(key.clone(), past.clone());
        let waiting = Waiting {
            past,
            in_journal: false,
        };
        self.waiting.insert(key.clone(), waiting);
    }

    /// A writing that waits is in the journal.
    pub fn noted(&mut self, key: &Key, past: &Past) {
        if let Some(waiting) = self.waiting.get_mut(key)
            && waiting.past == *past
        {
            waiting.in_journal = true;
        }
    }

    /// A writing is not in the journal any more, or never was: `stands` says which are.
    pub fn check_journal(&mut self, stands: impl Fn(&Key, &Past) -> bool) {
        for key in self.waiting().to_vec() {
            if let Some(waiting) = self.waiting.get_mut(&key) {
                waiting.in_journal = stands(&key, &waiting.past);
            }
        }
    }

    /// Whether the writing of a record that waits is in the journal.
    #[must_use]
    pub fn is_noted(&self, key: &Key) -> bool {
        self.waiting
            .get(key)
            .is_some_and(|waiting| waiting.in_journal)
    }

    /// Keys of the records that wait to be written.
    #[must_use]
    pub fn waiting(&self) -> &[Key] {
        self.waiting.keys()
    }

    /// The writing of a record that waits; none where none does.
    #[must_use]
    pub fn waits(&self, key: &Key) -> Option<&Past> {
        self.waiting.get(key).map(|waiting| &waiting.past)
    }

    /// Whether everything is written.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.waiting.is_empty()
    }

    /// Whether what waits is in the journal at least, so that it would be found again.
    #[must_use]
    pub fn is_safe(&self) -> bool {
        self.waiting
            .values()
            .iter()
            .all(|waiting| waiting.in_journal)
    }

    /// What to do with a record that waits, inside the transaction that has read what the index holds under its key.
    /// `record` is the record as it is now; none where it was removed.
    #[must_use]
    pub fn step(&self, key: &Key, stored: Option<&str>, record: Option<&Record>) -> Step {
        let Some(past) = self.waits(key) else {
            return Step::Nothing;
        };
        let shelved = match stored.map(Shelved::decode) {
            Some(None) => return Step::Unknown,
            Some(Some(shelved)) => Some(shelved),
            None => None,
        };
        let text = record.map(encode);
        match act(shelved.as_ref(), past, text.as_deref()) {
            Act::Put => {
                let written = Written {
                    key: key.clone(),
                    past: past.clone(),
                    text,
                };
                let (index, beside) = written.shelved_as(record);
                Step::Put {
                    past: past.clone(),
                    index: index.encode(),
                    beside: beside.map(str::to_owned),
                }
            }
            Act::Same => shelved.map_or(Step::Nothing, |stored| Step::Same {
                past: past.clone(),
                stored,
            }),
            Act::Older | Act::Meet => shelved.map_or(Step::Nothing, Step::Elsewhere),
        }
    }

    /// Whether a writing that was found in the journal, or under an old key, is to be taken up: not where what is stored is
    /// the same or goes on from it.
    #[must_use]
    pub fn is_news(found: &Written, stored: Option<&Shelved>) -> bool {
        matches!(
            act(stored, &found.past, found.text.as_deref()),
            Act::Put | Act::Meet
        )
    }

    /// A writing of a record was the same as what is stored: whatever is written next goes on from both.
    pub fn agreed(&mut self, key: &Key, past: &Past, stored: &Shelved) {
        if let Some(known) = self.known.get_mut(key) {
            *known = known.joined(stored.past());
        }
        self.kept(key, past);
    }

    /// The storage is done with this writing of a record. What was changed since still waits.
    pub fn kept(&mut self, key: &Key, past: &Past) {
        if self.waits(key) == Some(past) {
            self.waiting.remove(key);
        }
    }

    /// A record stands so in storage. Where it is to be taken over, it does not wait any more.
    pub fn finds(&mut self, stored: &Shelved) -> Heard {
        match self.hears(stored.key(), stored.past()) {
            // Nothing of this page waits, so that what is stored is all there is.
            Heard::Apart if self.waits(stored.key()).is_none() => {
                self.meets(stored);
                Heard::New
            }
            heard => heard,
        }
    }

    /// Another page wrote a record, and may not have stored it yet.
    pub fn hears(&mut self, key: &Key, past: &Past) -> Heard {
        match self.known.get(key) {
            Some(known) if known.has(past) => Heard::Known,
            Some(known) if !past.has(known) => Heard::Apart,
            _ => {
                self.known.insert(key.clone(), past.clone());
                self.spend(key);
                Heard::New
            }
        }
    }

    /// What is stored was taken over beside what waited here: whatever is written next goes on from both.
    pub fn meets(&mut self, stored: &Shelved) {
        let key = stored.key();
        let past = match self.known.get(key) {
            Some(known) => known.joined(stored.past()),
            None => stored.past().clone(),
        };
        self.known.insert(key.clone(), past);
        self.spend(key);
    }

    fn spend(&mut self, key: &Key) {
        if let Some(waiting) = self.waiting.remove(key) {
            self.spent.push((key.clone(), waiting.past));
        }
    }

    /// Writings that can leave the journal because what they became part of is written: none while anything waits.
    pub fn spent(&mut self) -> Vec<(Key, Past)> {
        if self.is_done() {
            std::mem::take(&mut self.spent)
        } else {
            Vec::new()
        }
    }

    /// Storage was emptied while the page was open: what it holds waits to be written again.
    pub fn begin_anew(&mut self, keys: &[Key]) {
        self.known.retain(|key| self.waiting.contains(key));
        for key in keys {
            if !self.waiting.contains(key) {
                self.changed(key);
            }
        }
    }
}
