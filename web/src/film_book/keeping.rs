//! How the book is kept: in the browser's database, and until that is done in a journal in local storage.
//!
//! A change goes into both in the same task. A page that is killed leaves the journal behind, a browser that is killed the
//! database; an entry of the journal goes when the database has said that it is done. What could be written nowhere stays
//! in the account of the [`Keeper`], and is tried again at each change and every few seconds.

use std::{cell::RefCell, time::Duration};

use book::{
    ByKey, Heard, Keeper, Key, Kind, OfDial, Past, Record, Shelved, State, Step, Taken, Written,
    unread_words,
};

use super::{Apart, room::Room};
use crate::{
    apart::Fetch,
    browser::{
        channel, clock,
        database::{self, Trouble},
        later::{set_timeout, spawn_local},
        part, storage, wake,
    },
    kept::{JOURNAL, OLD, journal, old},
    live::Live,
};

/// Where the dial keeps cameras.
const CAMERAS: &str = "stopkeeper.camera.";
/// Where a page says that the database was changed: another word after each change.
const CHANGED: &str = "stopkeeper.book-changed";
/// Where the pages of this browser tell each other of changes, as they happen.
const CHANNEL: &str = "stopkeeper.book";

/// So many records are written without the journal, which has little room: they are kept together or not at all.
const MANY: usize = 40;
/// How many records are read or written before it is said how far it got.
const WORTH_SAYING: usize = 200;
/// When what could not be written is tried again.
const AGAIN: Duration = Duration::from_secs(5);

const NOTHING_KEPT: &str = "This browser keeps nothing more for this page: its storage is full or forbidden. What you enter stays \
     until you close the page, and is tried again until it is kept. Save the whole book as a file (under “Keep and hand on”) \
     before you close the page.";
const STALE: &str = "Another tab has just changed the book. It is read again now; press once more";
const NOT_READ: &str =
    "The log could not be read from the browser's storage. Nothing is changed; try again";

/// What of the room is about keeping.
pub(crate) struct Kept {
    keeper: Live<Keeper>,
    /// Whether the book was opened.
    opened: Live<bool>,
    /// Whether everything that is stored was read: what the book has not is not there.
    read_whole: Live<bool>,
    /// What waits for that.
    when_open: Live<Vec<Later>>,
    /// What waits until everything is kept, or cannot be.
    when_kept: Live<Vec<Later>>,
    /// The sentence on the change that is being kept.
    coming: Live<String>,
    /// Why the database did not do what was asked last.
    trouble: Live<Option<Trouble>>,
    /// Whether something is kept nowhere.
    in_page_only: Live<bool>,
    /// What takes long at the moment.
    pub(super) work: Live<String>,
    writing: Live<bool>,
    again: Live<bool>,
    /// The database that was read.
    name: Live<Option<String>>,
    /// The word that stood under [`CHANGED`] when this page last looked.
    seen: Live<Option<String>>,
}

type Later = Box<dyn FnOnce()>;

/// A page's name in the past of a record.
fn page_name() -> String {
    // Short, for it stands in each record: the last of the milliseconds, and chance.
    let stamp = clock::stamp();
    let digits: Vec<u8> = stamp.bytes().filter(u8::is_ascii_digit).collect();
    let number = digits.iter().rev().take(17).fold(0_u64, |sum, digit| {
        sum.wrapping_mul(10).wrapping_add(u64::from(digit - b'0'))
    });
    let mut rest = number;
    let mut name = String::new();
    while rest > 0 {
        let digit = u32::try_from(rest % 36).unwrap_or_default();
        name.extend(char::from_digit(digit, 36));
        rest /= 36;
    }
    name
}

fn word() -> Option<String> {
    storage::read(CHANGED).ok().flatten()
}

/// What the dial and the light keep, whose only home is the page's smaller storage; none where that cannot be read.
fn of_dial() -> Option<Vec<(String, String)>> {
    let mut found = Vec::new();
    for key in OfDial::stored_keys() {
        let text = storage::read(&key).ok()?;
        found.extend(text.map(|text| (key, text)));
    }
    for prefix in OfDial::stored_prefixes() {
        found.extend(storage::read_all(&prefix).ok()?);
    }
    Some(found)
}

impl Kept {
    pub(super) fn new() -> Self {
        Self {
            keeper: Live::new(Keeper::new(&page_name())),
            opened: Live::new(false),
            read_whole: Live::new(false),
            when_open: Live::new(Vec::new()),
            when_kept: Live::new(Vec::new()),
            coming: Live::new(String::new()),
            trouble: Live::new(None),
            in_page_only: Live::new(false),
            work: Live::new(String::new()),
            writing: Live::new(false),
            again: Live::new(false),
            name: Live::new(None),
            seen: Live::new(None),
        }
    }

    /// Whether the book is open, now and whenever that changes.
    pub(super) fn is_open(&self) -> bool {
        self.opened.get()
    }

    /// Whether what the book has not is not there either: everything that is stored was read.
    pub(super) fn was_read_whole(&self) -> bool {
        self.read_whole.now()
    }

    /// What is wrong with keeping, if anything.
    pub(super) fn warning(&self) -> Option<String> {
        if self.in_page_only.get() {
            return Some(NOTHING_KEPT.to_owned());
        }
        let why = match self.trouble.get()? {
            Trouble::Unavailable => "cannot be used here",
            Trouble::Newer => "belongs to a newer version of this page; reload when you are online",
            Trouble::Blocked => "is held by another tab; close the other tabs of this page",
            Trouble::Full => "is full",
            Trouble::Failed => "does not answer",
        };
        let unread = if self.name.once(Option::is_none) {
            " Rolls that are in the database are not shown."
        } else {
            ""
        };
        Some(format!(
            "The browser's database {why}. What you enter is kept in the page's smaller storage until it can move.{unread}"
        ))
    }

    /// Whether everything that was changed would be found again.
    pub(super) fn is_safe(&self) -> bool {
        self.keeper.once(|keeper| keeper.is_safe())
    }

    /// A change is in the journal from now on, where that has room.
    fn note(&self, written: &Written) {
        let name = format!("{JOURNAL}{}", written.key.text());
        let may_write = match storage::read(&name) {
            Ok(None) => true,
            // What another page has promised and this one has not taken over yet is not written over.
            Ok(Some(there)) => {
                Written::decode(&there).is_some_and(|there| written.past.has(&there.past))
            }
            Err(_) => false,
        };
        if may_write && storage::write(&name, &written.encode()).is_ok() {
            self.keeper
                .quietly(|keeper| keeper.noted(&written.key, &written.past));
        }
    }

    /// A change is in the database: its entry goes, and the record under its old key, unless either says something later.
    fn spend(key: &Key, past: &Past) {
        let name = format!("{JOURNAL}{}", key.text());
        let entry = storage::read(&name).ok().flatten();
        if entry
            .and_then(|text| Written::decode(&text))
            .is_some_and(|entry| past.has(&entry.past))
        {
            // OK to ignore: what stays is found to be old at the next start.
            let _ = storage::remove(&name);
        }
        let name = format!("{OLD}{}", key.text());
        let record = storage::read(&name).ok().flatten();
        if record
            .and_then(|text| Written::of_old(&key.text(), &text))
            .is_some_and(|record| past.has(&record.past))
        {
            // OK to ignore, likewise.
            let _ = storage::remove(&name);
        }
    }
}

impl Room {
    /// Opens the book that the browser has kept, and keeps an ear on the other pages.
    pub(crate) fn open(fetch: Fetch<Apart>) -> Self {
        let room = Self::new(fetch);
        spawn_local(async move {
            room.read_book().await;
            room.kept.opened.set(true);
            for later in room
                .kept
                .when_open
                .quietly(std::mem::take)
                .unwrap_or_default()
            {
                later();
            }
            part::mark("stopkeeper-book-opened");
            room.write();
        });
        storage::on_record_elsewhere(JOURNAL, move |_, text| {
            let written = text.and_then(|text| Written::decode(&text));
            room.when_open(move || {
                if let Some(written) = written {
                    room.hear(&written);
                }
            });
        });
        storage::on_change_elsewhere(CAMERAS, move || room.when_open(move || room.look_at_dial()));
        storage::on_kept(move || room.write());
        channel::listen(CHANNEL, move |told| {
            room.when_open(move || spawn_local(room.hear_of(told)));
        });
        wake::on_shown_again(move || room.when_open(move || spawn_local(room.look())));
        room
    }

    /// Calls back once the book is open.
    pub(super) fn when_open(self, call: impl FnOnce() + 'static) {
        if self.kept.opened.now() {
            call();
        } else {
            self.kept
                .when_open
                .quietly(|waiting| waiting.push(Box::new(call)));
        }
    }

    /// Calls back once everything is kept, or was found that it cannot be.
    pub(super) fn when_kept(self, call: impl FnOnce() + 'static) {
        if self.kept.writing.now() {
            self.kept
                .when_kept
                .quietly(|waiting| waiting.push(Box::new(call)));
        } else {
            call();
        }
    }

    async fn read_book(self) {
        let kept = &self.kept;
        kept.seen.put(word());
        let mut stored = ByKey::new();
        let (mut newer, mut damaged) = (0, Vec::new());
        let mut removed = Vec::new();
        let mut keeper = kept.keeper.now();
        let mut desk = self.desk.now();
        match database::name().await {
            Ok(name) => kept.name.put(Some(name)),
            Err(why) => kept.trouble.set(Some(why)),
        }
        let index = match database::index().await {
            Ok(index) => index,
            Err(why) => {
                kept.trouble.set(Some(why));
                Vec::new()
            }
        };
        for (name, text) in index {
            let Some(shelved) = Shelved::decode(&text).filter(|it| it.key().text() == name) else {
                newer += 1;
                continue;
            };
            keeper.finds(&shelved);
            match desk.refresh_shelved(&shelved) {
                Taken::Read => {}
                Taken::Newer => newer += 1,
                Taken::Damaged(to) => damaged.push((shelved.key().clone(), to)),
            }
            if shelved.is_removed() {
                removed.push((name, text));
            }
            stored.insert(shelved.key().clone(), shelved);
        }
        if let Some(found) = of_dial() {
            desk.take_of_dial(&found);
        }
        let (old, journal) = (old(), journal());
        let is_clean = old.is_empty() && journal.is_empty();
        for written in old.into_iter().chain(journal) {
            if !Keeper::is_news(&written, stored.get(&written.key)) {
                Kept::spend(&written.key, &written.past);
                continue;
            }
            let taken = match &written.text {
                Some(text) => desk.take_text(&written.key, text),
                None => {
                    desk.refresh(&written.key, None);
                    Taken::Read
                }
            };
            // What is newer stays where it is: nothing here can say what it holds.
            if taken == Taken::Newer {
                newer += 1;
                continue;
            }
            keeper.take_up(&written.key, &written.past);
            if let Taken::Damaged(to) = taken {
                damaged.push((written.key.clone(), to));
            }
        }
        for (key, to) in &damaged {
            keeper.changed(to);
            keeper.changed(key);
        }
        let whole = damaged.is_empty() && newer == 0 && kept.trouble.now().is_none();
        kept.read_whole.put(whole);
        self.notices.set(unread_words(damaged.len(), newer));
        kept.keeper.put(keeper);
        self.desk.put(desk);
        // What is loaded shows its next frame on the cover.
        let loaded = self.once(|book| {
            book.heads()
                .filter(|head| head.roll.state == State::Loaded)
                .map(|head| Key::new(Kind::Roll, &head.roll.id))
                .collect()
        });
        if let Err(sentence) = self.read_logs(loaded).await {
            self.said.set(sentence);
        }
        kept.work.set(String::new());
        // That a record was removed has to be known only as long as an old writing of it may come up again.
        if is_clean && !removed.is_empty() {
            spawn_local(async move {
                // OK to ignore: they are small, and the next start tries again.
                let _ = database::forget(&removed).await;
            });
        }
    }

    /// Reads the logs of rolls that are known without them.
    pub(super) async fn read_logs(self, keys: Vec<Key>) -> Result<(), String> {
        let many = keys.len();
        for (number, keys) in keys.chunks(WORTH_SAYING / 2).enumerate() {
            if many > WORTH_SAYING {
                let done = number * WORTH_SAYING / 2;
                self.kept
                    .work
                    .set(format!("Reading: {done} of {many} logs."));
            }
            let read = self.take_stored(keys).await;
            if many > WORTH_SAYING {
                self.kept.work.set(String::new());
            }
            read?;
        }
        let unread = self.once(|book| keys.iter().any(|key| book.is_unread(key)));
        if unread {
            return Err(NOT_READ.to_owned());
        }
        Ok(())
    }

    /// The texts of the rolls whose log was not read, to be handed on as they are.
    pub(super) async fn texts_of_unread(self) -> Result<ByKey<String>, String> {
        let keys: Vec<Key> = self.once(|book| {
            book.heads()
                .map(|head| Key::new(Kind::Roll, &head.roll.id))
                .collect()
        });
        let mut texts = ByKey::new();
        for some in keys.chunks(WORTH_SAYING) {
            if keys.len() > WORTH_SAYING {
                let (done, all) = (texts.len(), keys.len());
                self.kept
                    .work
                    .set(format!("Reading: {done} of {all} logs."));
            }
            let names: Vec<String> = some.iter().map(Key::text).collect();
            let found = database::read(&names).await;
            self.kept.work.set(String::new());
            for (key, (_, whole)) in some.iter().zip(found.map_err(|_| NOT_READ)?) {
                texts.insert(key.clone(), whole.ok_or(NOT_READ)?);
            }
        }
        Ok(texts)
    }

    /// Takes over what is stored of some records: whole, where it lies there.
    async fn take_stored(self, keys: &[Key]) -> Result<(), String> {
        if keys.is_empty() {
            return Ok(());
        }
        let names: Vec<String> = keys.iter().map(Key::text).collect();
        let found = database::read(&names)
            .await
            .map_err(|_| NOT_READ.to_owned())?;
        let mut damaged = Vec::new();
        for (key, (index, whole)) in keys.iter().zip(found) {
            let Some(shelved) = index.and_then(|text| Shelved::decode(&text)) else {
                continue;
            };
            let heard = self.kept.keeper.quietly(|keeper| keeper.finds(&shelved));
            let is_new = heard == Some(Heard::New);
            let mut taken = Taken::Read;
            self.desk.update(|desk| {
                if is_new {
                    taken = desk.refresh_shelved(&shelved);
                }
                if let Some(whole) = &whole
                    && desk.book().is_unread(key)
                {
                    taken = desk.take_text(key, whole);
                }
            });
            if let Taken::Damaged(to) = taken {
                damaged.extend([to, key.clone()]);
            }
        }
        if !damaged.is_empty() {
            self.notices
                .update(|all| all.extend(unread_words(damaged.len() / 2, 0)));
            self.keep(&damaged, String::new());
        }
        Ok(())
    }

    /// Keeps the records that were changed, and then says the sentence.
    pub(super) fn keep(self, touched: &[Key], said: String) {
        let few = touched.len() <= MANY;
        let mut of_dial = Vec::new();
        for key in touched {
            // What the dial keeps goes where the dial reads it, and nowhere else.
            if let Some(stored) = key.of_dial() {
                let text = self.once(|book| book.get(key).map(book::encode));
                storage::hold(&stored, text.clone());
                of_dial.push((stored, text));
                continue;
            }
            let past = self.kept.keeper.quietly(|keeper| keeper.changed(key));
            if few && let Some(past) = past {
                self.kept.note(&self.written(key, past));
            }
        }
        // Told when all of it is there: whoever hears of one record reads the others as well.
        for (key, text) in of_dial {
            storage::tell_this_page(&key, text.as_deref());
        }
        self.kept.coming.put(said);
        self.write();
    }

    /// Takes over what the dial and the light keep now: cameras, the setting, what was settled.
    pub(super) fn look_at_dial(self) {
        if let Some(found) = of_dial() {
            self.desk.perhaps(|desk| desk.take_of_dial(&found));
        }
    }

    /// A record as it is now, as this page writes it.
    fn written(self, key: &Key, past: Past) -> Written {
        Written {
            key: key.clone(),
            past,
            text: self.once(|book| book.get(key).map(book::encode)),
        }
    }

    /// Writes what waits into the database.
    pub(super) fn write(self) {
        if self.kept.writing.now() {
            self.kept.again.put(true);
            return;
        }
        self.kept.writing.put(true);
        spawn_local(async move {
            loop {
                self.kept.again.put(false);
                let written = self.write_once().await;
                self.kept.trouble.set(written.err());
                if written.is_err() {
                    self.note_again();
                }
                let is_done = self.kept.keeper.once(Keeper::is_done);
                let of_dial_waits = !storage::try_again();
                let unsafe_now = of_dial_waits || (written.is_err() && !self.kept.is_safe());
                self.kept.in_page_only.set(unsafe_now);
                if is_done || (written.is_err() && !self.kept.again.now()) {
                    break;
                }
            }
            self.kept.writing.put(false);
            self.kept.work.set(String::new());
            let said = self.kept.coming.quietly(std::mem::take);
            // What was said meanwhile is newer.
            if let Some(said) = said.filter(|said| !said.is_empty())
                && self.said.once(String::is_empty)
            {
                self.said.set(said);
            }
            let waiting = self.kept.when_kept.quietly(std::mem::take);
            for later in waiting.unwrap_or_default() {
                later();
            }
            part::mark("stopkeeper-book-kept");
            if !self.kept.keeper.once(Keeper::is_done) {
                set_timeout(move || self.write(), AGAIN);
            }
        });
    }

    /// One transaction with everything that waits, and what follows from it.
    async fn write_once(self) -> Result<(), Trouble> {
        let name = database::name().await?;
        match self.kept.name.now() {
            Some(known) if known == name => {}
            Some(_) => self.begin_anew(name),
            // It could not be read at the start.
            None => {
                self.kept.name.put(Some(name));
                self.take_all().await?;
            }
        }
        let keys: Vec<Key> = self.kept.keeper.once(|keeper| keeper.waiting().to_vec());
        if keys.is_empty() {
            return Ok(());
        }
        let names: Vec<String> = keys.iter().map(Key::text).collect();
        let many = names.len();
        let steps = RefCell::new(Vec::with_capacity(many));
        let put = |name: &str, stored: Option<&str>| {
            let key = Key::parse(name)?;
            let step = self.once(|book| {
                self.kept
                    .keeper
                    .once(|keeper| keeper.step(&key, stored, book.get(&key)))
            });
            let put = match &step {
                Step::Put { index, beside, .. } => Some((index.clone(), beside.clone())),
                _ => None,
            };
            let step = match step {
                Step::Put { past, .. } => Done::Put(past),
                Step::Same { past, stored } => Done::Same(past, stored),
                Step::Elsewhere(stored) => Done::Elsewhere(stored),
                Step::Unknown => Done::LeftAlone,
                Step::Nothing => Done::Nothing,
            };
            steps.borrow_mut().push((key, step));
            put
        };
        let on = |done: usize| {
            if many > WORTH_SAYING {
                self.kept
                    .work
                    .set(format!("Keeping: {done} of {many} records."));
            }
        };
        database::exchange(&names, many <= MANY, put, on).await?;
        let mut told = Vec::new();
        let mut left_alone = false;
        for (key, step) in steps.into_inner() {
            match step {
                Done::Put(past) => {
                    self.kept.keeper.quietly(|keeper| keeper.kept(&key, &past));
                    told.push(key.text());
                    Kept::spend(&key, &past);
                }
                Done::Same(past, stored) => {
                    self.kept
                        .keeper
                        .quietly(|keeper| keeper.agreed(&key, &past, &stored));
                    Kept::spend(&key, &past);
                }
                Done::Elsewhere(stored) => self.meet(&stored).await?,
                Done::LeftAlone => left_alone = true,
                Done::Nothing => {}
            }
        }
        if !told.is_empty() {
            self.tell(&told);
        }
        let spent = self.kept.keeper.quietly(Keeper::spent);
        for (key, past) in spent.unwrap_or_default() {
            Kept::spend(&key, &past);
        }
        if left_alone {
            return Err(Trouble::Newer);
        }
        Ok(())
    }

    /// Another page stored a record in the meantime: it is taken over, and what is here put together with it or beside it.
    async fn meet(self, stored: &Shelved) -> Result<(), Trouble> {
        let key = stored.key().clone();
        // Read anew, index and whole at one moment: it may have changed once more. Nothing is given up before that is here.
        let (stored, whole) = if stored.lies_beside() {
            let found = database::read(&[key.text()]).await?;
            let (index, whole) = found.into_iter().next().unwrap_or_default();
            let shelved = index.and_then(|text| Shelved::decode(&text));
            (shelved.ok_or(Trouble::Failed)?, whole)
        } else {
            (stored.clone(), None)
        };
        let ours: Option<Record> = self.once(|book| book.get(&key).cloned());
        let mut goes_on = false;
        self.kept.keeper.quietly(|keeper| {
            goes_on = keeper.finds(&stored) == Heard::New;
            if !goes_on {
                keeper.meets(&stored);
            }
        });
        let mut done = None;
        self.desk.update(|desk| {
            desk.refresh_shelved(&stored);
            if let Some(whole) = &whole {
                desk.take_text(&key, whole);
            }
            if !goes_on {
                done = ours.and_then(|ours| desk.meet(&ours));
            }
        });
        if let Some(done) = done {
            for key in &done.touched {
                let past = self.kept.keeper.quietly(|keeper| keeper.changed(key));
                if let Some(past) = past {
                    self.kept.note(&self.written(key, past));
                }
            }
            self.kept.coming.put(done.said);
        }
        Ok(())
    }

    /// The database was emptied while the book was open: what is at hand is written again.
    fn begin_anew(self, name: String) {
        self.kept.name.put(Some(name));
        let (keys, lost) = self.once(|book| {
            let mut keys: Vec<Key> = book.records().map(Record::key).collect();
            keys.retain(|key| key.of_dial().is_none());
            let lost: Vec<Key> = book
                .heads()
                .map(|head| Key::new(Kind::Roll, &head.roll.id))
                .collect();
            (keys, lost)
        });
        self.kept.keeper.quietly(|keeper| keeper.begin_anew(&keys));
        let mut said = "The browser's storage was emptied while the book was open. What was at hand is written again."
            .to_owned();
        if !lost.is_empty() {
            said.push_str(&format!(
                " Rolls whose logs had not been opened are gone from this browser: {}. Bring them in from a saved book.",
                lost.len()
            ));
            self.desk.update(|desk| {
                for key in &lost {
                    desk.refresh(key, None);
                }
            });
        }
        self.notices.update(|all| all.push(said));
    }

    /// What waits and is not in the journal any more, or never was, goes there where there is room.
    fn note_again(self) {
        let keys: Vec<(Key, Past)> = self.kept.keeper.once(|keeper| {
            keeper
                .waiting()
                .iter()
                .filter_map(|key| Some((key.clone(), keeper.waits(key)?.clone())))
                .collect()
        });
        self.kept.keeper.quietly(|keeper| {
            keeper.check_journal(|key, past| {
                let stands = |prefix: &str| {
                    storage::read(&format!("{prefix}{}", key.text()))
                        .ok()
                        .flatten()
                };
                stands(JOURNAL)
                    .and_then(|text| Written::decode(&text))
                    .is_some_and(|entry| entry.past.has(past))
                    || stands(OLD)
                        .and_then(|text| Written::of_old(&key.text(), &text))
                        .is_some_and(|record| record.past.has(past))
            });
        });
        for (key, past) in keys {
            let is_noted = self.kept.keeper.once(|keeper| keeper.is_noted(&key));
            if !is_noted {
                self.kept.note(&self.written(&key, past));
            }
        }
    }

    /// Tells the other pages what was changed.
    fn tell(self, keys: &[String]) {
        let word = clock::stamp();
        if storage::write(CHANGED, &word).is_ok() {
            self.kept.seen.put(Some(word.clone()));
        }
        let mut told = word;
        if keys.len() <= MANY {
            for key in keys {
                told.push('\n');
                told.push_str(key);
            }
        }
        channel::tell(&told);
    }

    /// Another page has written something down, and may not have stored it yet.
    fn hear(self, written: &Written) {
        let heard = self
            .kept
            .keeper
            .quietly(|keeper| keeper.hears(&written.key, &written.past));
        if heard != Some(Heard::New) {
            return;
        }
        self.desk.update(|desk| match &written.text {
            Some(text) => drop(desk.take_text(&written.key, text)),
            None => desk.refresh(&written.key, None),
        });
        self.leave_what_is_gone();
    }

    /// Another page has stored something: a word, and the keys where they are few.
    async fn hear_of(self, told: String) {
        let mut lines = told.lines();
        let word = lines.next().map(str::to_owned);
        let keys: Vec<Key> = lines.filter_map(Key::parse).collect();
        let taken = if keys.is_empty() {
            self.take_all().await.is_ok()
        } else {
            self.take_keys(keys).await.is_ok()
        };
        if taken {
            self.kept.seen.put(word);
            self.leave_what_is_gone();
        }
    }

    async fn take_keys(self, keys: Vec<Key>) -> Result<(), String> {
        self.take_stored(&keys).await
    }

    /// Looks whether the database was changed without this page hearing of it.
    pub(super) async fn look(self) {
        let word = word();
        if self.kept.seen.once(|seen| *seen == word) {
            return;
        }
        // OK to go on where nothing can be read: what is written later meets what is stored then.
        let _ = self.take_all().await;
        self.kept.seen.put(word);
        self.leave_what_is_gone();
    }

    /// Takes over whatever is stored and not known here.
    async fn take_all(self) -> Result<(), Trouble> {
        let mut there = ByKey::new();
        let mut whole = Vec::new();
        for (_, text) in database::index().await? {
            let Some(shelved) = Shelved::decode(&text) else {
                continue;
            };
            there.insert(shelved.key().clone(), ());
            let is_open = self.once(|book| book.get(shelved.key()).is_some());
            if is_open && shelved.lies_beside() {
                let known = self.kept.keeper.once(|keeper| {
                    keeper
                        .past(shelved.key())
                        .is_some_and(|past| past.has(shelved.past()))
                });
                if !known {
                    whole.push(shelved.key().clone());
                }
                continue;
            }
            let heard = self.kept.keeper.quietly(|keeper| keeper.finds(&shelved));
            if heard == Some(Heard::New) {
                self.desk
                    .update(|desk| drop(desk.refresh_shelved(&shelved)));
            }
        }
        // OK to go on without: they are read when they are next needed.
        let _ = self.take_stored(&whole).await;
        // What is gone from the index was removed by another page, and that one has forgotten it.
        let gone: Vec<Key> = self.kept.keeper.once(|keeper| {
            keeper
                .keys()
                .iter()
                .filter(|key| keeper.waits(key).is_none() && !there.contains(key))
                .cloned()
                .collect()
        });
        self.desk.update(|desk| {
            for key in &gone {
                if desk.book().get(key).is_some() || desk.book().is_unread(key) {
                    desk.refresh(key, None);
                }
            }
        });
        Ok(())
    }

    /// What stands in the journal. Where that has to serve as the storage it is long, and other pages tell of each change.
    fn hear_journal(self) {
        if storage::count(JOURNAL) <= MANY {
            for written in journal() {
                self.hear(&written);
            }
        }
    }

    /// Takes over what another page has just written down. A refusal where it has stored something that has to be read
    /// first: the page that a phone had put to sleep would write over it.
    pub(super) fn catch_up(self) -> Result<(), String> {
        if !self.kept.opened.now() {
            return Err("The book is still being opened; press once more".to_owned());
        }
        self.hear_journal();
        let word = word();
        // A word that is gone went with the storage: then what is here is all there is.
        if word.is_none() || self.kept.seen.once(|seen| *seen == word) {
            return Ok(());
        }
        spawn_local(self.look());
        Err(STALE.to_owned())
    }

    /// The same, waiting for it, with the log of a roll.
    pub(super) async fn fresh(self, roll: &str) -> Result<(), String> {
        self.look().await;
        self.hear_journal();
        let key = Key::new(Kind::Roll, roll);
        if self.once(|book| book.is_unread(&key)) {
            self.read_logs(vec![key]).await?;
        }
        Ok(())
    }
}

/// What came of a record in a transaction, without its text.
enum Done {
    Put(Past),
    Same(Past, Shelved),
    Elsewhere(Shelved),
    LeftAlone,
    Nothing,
}
