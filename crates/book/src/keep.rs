//! Keeping: one JSON record each, versioned; everything as one document; import that loses nothing.

use std::{ops::Range, sync::Arc};

use serde::Serialize;

use crate::{
    Aside, Book, ByKey, Date, Error, Key, Kind, OfDial, Record,
    camera::other_key,
    copies::{self, Copies, SmallCopy},
    json::{self, Cursor, Fields, Value},
    merge::{self, Met},
    read::{Read, envelope, flat},
    shelf::{Taken, unread_words},
    text,
};

/// The newest version that is written. Every past version stays readable, and a record is written in the oldest version
/// that can say all of it, so that an older page still reads what it can.
pub const VERSION: u32 = 6;

/// The newest version of records of this kind.
pub(crate) const fn newest(kind: Kind) -> u32 {
    match kind {
        Kind::Roll => 5,
        Kind::Finding => 3,
        _ => 1,
    }
}

/// The version that a record is written in: the oldest that can say all of it.
pub(crate) fn version_of(record: &Record) -> u32 {
    match record {
        Record::Roll(roll) => roll.version(),
        Record::Finding(finding) => finding.version(),
        _ => 1,
    }
}

/// The version that a document needs for a record. What the dial keeps came with the fourth, what teaches and film-speed tests with
/// the fifth: an older page would set them aside.
fn version_in_document(record: &Record) -> u32 {
    match record {
        Record::Camera(_) => 4,
        Record::Dial(record) => record.version_in_document(),
        Record::Test(_) => 5,
        Record::Roll(roll) => with_roll(roll.version()),
        other => version_of(other),
    }
}

/// The version that a document needs for a roll of this version: the fifth of documents knew rolls up to the fourth.
const fn with_roll(version: u32) -> u32 {
    if version > 4 { version + 1 } else { version }
}

const DOCUMENT: &str = "stopkeeper book";
/// How many small copies of scans are read in one go.
const COPIES_AT_ONCE: usize = 8;
/// How a record begins as it is written; looked for where a document is damaged.
const BEGINNING: &str = "{\"format\":\"stopkeeper ";

#[derive(Serialize)]
struct Envelope<T> {
    format: String,
    version: u32,
    record: T,
}

#[derive(Serialize)]
struct LetterRecord<'a> {
    id: &'a str,
    text: &'a str,
}

/// A record as the dial writes it: its fields beside its format and version.
#[derive(Serialize)]
struct Flat<'a, T> {
    format: String,
    version: u32,
    #[serde(flatten)]
    record: &'a T,
}

/// Where the records of a document lie, and how many it says that it has; none where it is damaged, or newer.
fn records_of(document: &str) -> Option<(Vec<Range<usize>>, u64)> {
    let mut cursor = Cursor::new(document);
    let (mut head, mut records) = (Fields::default(), Vec::new());
    cursor.eats(b'{').then_some(())?;
    loop {
        let name = cursor.name()?;
        if name == "records" {
            records.push(cursor.places()?);
        } else {
            head.insert(name, cursor.value(0)?);
        }
        if cursor.eats(b'}') {
            break;
        }
        cursor.eats(b',').then_some(())?;
    }
    let is_known = head.remove("format")?.as_str() == Some(DOCUMENT)
        && head.remove("version")?.as_u64()? <= u64::from(VERSION);
    head.remove("written")?.as_str()?;
    let count = head.remove("count")?.as_u64()?;
    let is_sound = is_known && cursor.is_at_end() && head.is_empty() && records.len() == 1;
    Some((records.pop()?, count)).filter(|_| is_sound)
}

/// Why a record was not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unreadable {
    /// Written by a newer version.
    Newer,
    /// Not what is written here.
    Damaged,
}

fn format_of(kind: Kind) -> String {
    format!("stopkeeper {}", kind.name())
}

fn wrap<T: Serialize>(kind: Kind, version: u32, record: &T) -> String {
    serde_json::to_string(&Envelope {
        format: format_of(kind),
        version,
        record,
    })
    .expect("strings, numbers and lists always have a JSON form")
}

/// The text of a record, as it stands in an exported document.
fn record_text(record: &Record) -> String {
    let version = version_of(record);
    match record {
        Record::Stock(record) => wrap(Kind::Stock, version, record),
        Record::Batch(record) => wrap(Kind::Batch, version, record),
        Record::Roll(record) => wrap(Kind::Roll, version, record),
        Record::Finding(record) => wrap(Kind::Finding, version, record),
        Record::Test(record) => wrap(Kind::Test, version, record),
        Record::Device(record) => wrap(Kind::Device, version, record),
        Record::Lens(record) => wrap(Kind::Lens, version, record),
        Record::Rules(record) => wrap(Kind::Rules, version, record),
        Record::Aside(Aside { id, text }) => wrap(Kind::Aside, version, &LetterRecord { id, text }),
        Record::Dial(OfDial { id, text }) => wrap(Kind::Dial, version, &LetterRecord { id, text }),
        Record::Camera(record) => serde_json::to_string(&Flat {
            format: format_of(Kind::Camera),
            version,
            record,
        })
        .expect("strings always have a JSON form"),
    }
}

/// The text to keep under the record's [`Key::text`]. A record that was set aside, or that is the dial's, is kept to the letter.
#[must_use]
pub fn encode(record: &Record) -> String {
    match record {
        Record::Aside(aside) => aside.text.clone(),
        Record::Dial(record) => record.text.clone(),
        other => record_text(other),
    }
}

pub(crate) fn decode(text: &str) -> Result<Record, Unreadable> {
    let (format, version, value) = envelope(text).ok_or(Unreadable::Damaged)?;
    let kind = Kind::ALL
        .into_iter()
        .find(|kind| format_of(*kind) == format)
        .ok_or(Unreadable::Damaged)?;
    if version > newest(kind) {
        return Err(Unreadable::Newer);
    }
    let value = match kind {
        Kind::Camera => flat(text).map(|(_, _, value)| value),
        _ => value,
    };
    let value = value.ok_or(Unreadable::Damaged)?;
    let record = match kind {
        Kind::Camera => Read::read(value).map(Record::Camera),
        Kind::Dial => Read::read(value).map(Record::Dial),
        Kind::Stock => Read::read(value).map(Record::Stock),
        Kind::Batch => Read::read(value).map(Record::Batch),
        Kind::Roll => Read::read(value).map(|roll| Record::Roll(Box::new(roll))),
        Kind::Finding => Read::read(value).map(Record::Finding),
        Kind::Test => Read::read(value).map(Record::Test),
        Kind::Device => Read::read(value).map(Record::Device),
        Kind::Lens => Read::read(value).map(Record::Lens),
        Kind::Rules => Read::read(value).map(Record::Rules),
        Kind::Aside => Read::read(value).map(Record::Aside),
    }
    .ok_or(Unreadable::Damaged)?;
    let sound = match &record {
        Record::Roll(roll) => roll.check().is_ok(),
        Record::Test(test) => test.check().is_ok(),
        Record::Device(device) => device.check().is_ok(),
        Record::Lens(lens) => lens.check().is_ok(),
        Record::Camera(camera) => camera.check().is_ok(),
        // What a file holds is written under no other key of the browser's storage.
        Record::Dial(record) => OfDial::is_id(&record.id),
        _ => true,
    } && !record.key().id.is_empty();
    if sound {
        Ok(record)
    } else {
        Err(Unreadable::Damaged)
    }
}

/// Takes a roll out of a value; none where it is no roll.
pub(crate) fn read_roll(value: Value) -> Option<crate::Roll> {
    Read::read(value)
}

/// What could be made of kept records.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// The book.
    pub book: Book,
    /// Sentences for the person, where something could not be read.
    pub notices: Vec<String>,
    /// Records to keep under another key: old key and new key. Copy first, then remove.
    pub set_aside: Vec<(String, String)>,
}

/// Makes a book of kept records: pairs of key and text. Never fails: what cannot be read is reported and set aside.
///
/// A record of a newer version is left under its key, and is part of the book as one that was set aside, so that an
/// export holds it and nothing is written over it.
#[must_use]
pub fn open(found: &[(String, String)]) -> Opened {
    let mut book = Book::new();
    let mut set_aside = Vec::new();
    let mut newer = 0;
    for (name, text) in found {
        // A key that names no kind is as good as damage.
        let taken = match Key::parse(name) {
            Some(key) => book.take_text(&key, text),
            None => {
                let aside = Record::Aside(Aside::new(name, text));
                let to = aside.key();
                book.swap(to.clone(), Some(aside));
                Taken::Damaged(to)
            }
        };
        match taken {
            Taken::Read => {}
            Taken::Newer => newer += 1,
            Taken::Damaged(to) => set_aside.push((name.clone(), to.text())),
        }
    }
    Opened {
        notices: unread_words(set_aside.len(), newer),
        book,
        set_aside,
    }
}

/// Everything as one JSON document, one record per line. `written` is the day of the export.
///
/// The document has the version of its newest record: an older page then asks to be reloaded, and sets nothing aside.
/// A roll whose log was not read is left out: [`export_all`] has it.
#[must_use]
pub fn export(book: &Book, written: Date) -> String {
    export_all(book, written, &ByKey::new())
}

/// The same with the rolls whose log was not read: their texts as they are stored, by key.
#[must_use]
pub fn export_all(book: &Book, written: Date, unread: &ByKey<String>) -> String {
    export_before_copies(book, written, unread, 0) + AFTER_COPIES
}

/// How a document ends.
pub const AFTER_COPIES: &str = "\n]}\n";

/// The same up to where so many small copies of scans come, each as its [`SmallCopy::line`], and then [`AFTER_COPIES`]: so nobody
/// has to hold all of them at once. There are copies of rolls that the book has, so a record stands before them.
#[must_use]
pub fn export_before_copies(
    book: &Book,
    written: Date,
    unread: &ByKey<String>,
    copies: usize,
) -> String {
    let mut records = ByKey::new();
    for record in book.records() {
        let text = record_text(record);
        records.insert(record.key(), (version_in_document(record), text));
    }
    for (key, text) in unread.iter() {
        if let Some(head) = book.head(&key.id).filter(|_| book.is_unread(key)) {
            records.insert(key.clone(), (with_roll(head.version()), text.clone()));
        }
    }
    let (mut newest, mut texts) = (1, Vec::new());
    if copies > 0 {
        newest = copies::IN_DOCUMENT;
    }
    for (version, text) in records.values() {
        newest = newest.max(*version);
        texts.push(text.as_str());
    }
    format!(
        "{{\"format\":\"{DOCUMENT}\",\"version\":{},\"written\":\"{}\",\"count\":{},\"records\":[\n{}",
        newest,
        written.text(),
        texts.len() + copies,
        texts.join(",\n")
    )
}

/// What an import brings, before it is taken over.
#[derive(Debug, Clone, PartialEq)]
pub struct Import {
    incoming: Arc<[Record]>,
    /// What is to be said of the file itself.
    of_the_file: Vec<String>,
    /// Whether it is what this tab has of a record that another tab has changed, and not a file.
    of_another_tab: bool,
    /// The small copies of scans that come with it. They are no records, and whoever has read them keeps them.
    copies: Copies,
    /// Whether rolls that differ are merged.
    pub merging: bool,
    /// What it will do, in sentences.
    pub says: Vec<String>,
    /// How many records are new here.
    pub adds: usize,
    /// How many are here already, exactly so.
    pub same: usize,
    /// Records that differ from the ones here: name here, and the key under which the other one will be kept.
    pub conflicts: Vec<(String, Key)>,
    /// Names of rolls that differ from the ones here and can be merged with them frame by frame.
    pub mergeable: Vec<String>,
    /// How many pieces could not be read and will be set aside.
    pub unreadable: usize,
}

/// Reads an exported document piece by piece, for one that takes seconds.
#[derive(Debug, Clone)]
pub struct Reader {
    document: String,
    /// Where the records lie in it, and how many were read.
    records: Vec<Range<usize>>,
    read: usize,
    incoming: Vec<Record>,
    unreadable: usize,
    of_the_file: Vec<String>,
    copies: Copies,
    /// Copies that were read and not taken out yet.
    read_copies: Vec<SmallCopy>,
}

impl Reader {
    /// Finds the records of a document. A damaged one is searched for the records that are whole.
    ///
    /// # Errors
    ///
    /// If it is not such a document, or was written by a newer version.
    pub fn open(document: String) -> Result<Self, Error> {
        let mut of_the_file = Vec::new();
        let records = match records_of(&document) {
            Some((records, count)) => {
                if u64::try_from(records.len()) != Ok(count) {
                    of_the_file
                        .push("This file does not hold as many records as it says.".to_owned());
                }
                records
            }
            None => {
                check_head(&document)?;
                of_the_file.push(
                    "This file is damaged. The records that are whole are taken from it; there may have been more."
                        .to_owned(),
                );
                pieces(&document)
            }
        };
        Ok(Self {
            records,
            read: 0,
            incoming: Vec::new(),
            unreadable: 0,
            of_the_file,
            document,
            copies: Copies::default(),
            read_copies: Vec::new(),
        })
    }

    /// Reads so many more records, or fewer where small copies of scans come, which are long; false where there are none any more.
    pub fn read(&mut self, most: usize) -> bool {
        let most = self.records.len().min(self.read.saturating_add(most));
        let mut copies = 0;
        while self.read < most && copies < COPIES_AT_ONCE {
            let text = &self.document[self.records[self.read].clone()];
            self.read += 1;
            if SmallCopy::is_meant(text) {
                let copy = SmallCopy::read(text);
                self.copies.count(copy.as_ref());
                self.read_copies.extend(copy);
                copies += 1;
                continue;
            }
            self.incoming.push(decode(text).unwrap_or_else(|_| {
                self.unreadable += 1;
                Record::Aside(Aside::new("import", text))
            }));
        }
        self.read < self.records.len()
    }

    /// Takes out the small copies of scans that were read since this was asked last: they are no records of a book.
    pub fn take_copies(&mut self) -> Vec<SmallCopy> {
        std::mem::take(&mut self.read_copies)
    }

    /// How many records were read, and how many there are.
    #[must_use]
    pub const fn progress(&self) -> (usize, usize) {
        (self.read, self.records.len())
    }

    /// Rolls here whose log was not read, and has to be to say what this would do: they differ.
    #[must_use]
    pub fn needs(&self, book: &Book) -> Vec<Key> {
        differing(book, &self.incoming)
    }

    /// Says what taking it over would do. Nothing is changed.
    #[must_use]
    pub fn plan(mut self, book: &Book) -> Import {
        while self.read(usize::MAX) {}
        Import {
            of_another_tab: false,
            incoming: self.incoming.into(),
            of_the_file: self.of_the_file,
            copies: self.copies,
            merging: false,
            says: Vec::new(),
            adds: 0,
            same: 0,
            conflicts: Vec::new(),
            mergeable: Vec::new(),
            unreadable: self.unreadable,
        }
        .merging(book, false)
    }
}

/// Whether a whole document is of a newer version, by what every version has.
fn is_newer_document(document: &str) -> Option<bool> {
    let Value::Object(mut head) = json::read(document)? else {
        return None;
    };
    let is_document = head.remove("format")?.as_str() == Some(DOCUMENT);
    Some(is_document && head.remove("version")?.as_u64()? > u64::from(VERSION))
}

/// Whether there is anything in a document that cannot be read as one.
fn check_head(document: &str) -> Result<(), Error> {
    let no_document = || {
        Error::new(
            "this is not a file that was exported here; a file that was begins with {\"format\":\"stopkeeper book\"",
        )
    };
    if is_newer_document(document) == Some(true) {
        return Err(Error::new(
            "this file was written by a newer version of this page; reload the page when you are online and try again",
        ));
    }
    // A head that is damaged itself is no reason to leave the records in the file.
    if pieces(document).is_empty() {
        return Err(no_document());
    }
    Ok(())
}

/// Reads an exported document and says what taking it over would do. Nothing is changed.
///
/// A damaged document is searched for the records that are whole; what cannot be read is set aside.
/// A roll that differs from the one here is kept beside it; [`Import::merging`] says what merging them would do instead.
///
/// # Errors
///
/// If it is not such a document, or was written by a newer version.
pub fn plan_import(book: &Book, document: &str) -> Result<Import, Error> {
    Reader::open(document.to_owned()).map(|reader| reader.plan(book))
}

/// The records of a damaged document: what begins like one, up to the next beginning.
fn pieces(document: &str) -> Vec<Range<usize>> {
    let starts: Vec<usize> = document
        .match_indices(BEGINNING)
        .map(|(at, _)| at)
        .filter(|at| !document[*at..].starts_with("{\"format\":\"stopkeeper book\""))
        .collect();
    let ends = starts.iter().skip(1).copied().chain([document.len()]);
    starts
        .iter()
        .zip(ends)
        .map(|(start, end)| {
            let piece = &document[*start..end];
            // The first whole value, without what stands between records; a damaged one up to the next beginning.
            let mut cursor = Cursor::new(piece);
            match cursor.skip(0) {
                Some(()) => *start..start + cursor.at(),
                None => *start..start + piece.trim_end_matches([',', '\n', '\r', ' ']).len(),
            }
        })
        .collect()
}

struct Resolved {
    /// The kinds of the records that are new.
    adds: Vec<Kind>,
    /// Names of the cameras among them.
    cameras: Vec<String>,
    /// What of the dial is among them, in words.
    of_dial: Vec<&'static str>,
    /// What of the dial differs and stays as it is here, in words.
    dial_differs: Vec<&'static str>,
    same: usize,
    conflicts: Vec<(String, Key)>,
    /// What rolls that differ disagree on, or what merging them brings, by the name of the roll.
    rolls: Vec<(String, Compared)>,
    /// Records to put into the book.
    puts: Vec<Record>,
    /// Own values of rules that differ and stay as they are here.
    rules_differ: bool,
    /// Own values of rules that come to the ones here.
    rules_joined: bool,
    /// The ids that records of the file get here, where they get others.
    renamed: ByKey<String>,
}

/// A roll that differs from the one here.
enum Compared {
    /// They were merged: what the file brought, if anything.
    Merged(Option<String>),
    /// They can be merged: what the file would bring, if anything.
    Mergeable(Option<String>),
    /// They say different things of this.
    Apart(String),
}

impl Compared {
    fn words(&self, name: &str) -> String {
        match self {
            Self::Merged(Some(what)) => {
                format!("“{name}” is merged frame by frame. The file brings {what}.")
            }
            Self::Merged(None) => {
                format!("“{name}” in the file says nothing that is not here as well.")
            }
            Self::Mergeable(Some(what)) => format!(
                "“{name}” can be merged frame by frame instead: the file brings {what}, and nothing is contradicted."
            ),
            Self::Mergeable(None) => format!(
                "“{name}” can be merged instead: the file says nothing that is not here as well."
            ),
            Self::Apart(what) => format!(
                "The two copies of “{name}” say different things of {what}, so they cannot be merged."
            ),
        }
    }
}

impl Resolved {
    fn words(&self) -> Vec<String> {
        let mut out = Vec::new();
        let mut parts: Vec<String> = Kind::ALL
            .into_iter()
            .filter_map(|kind| {
                let count = self.adds.iter().filter(|added| **added == kind).count();
                let name = match (kind, count) {
                    (_, 0) | (Kind::Dial, _) => return None,
                    (Kind::Batch, n) if n > 1 => format!("{n} batches"),
                    (Kind::Device, n) => text::counted(n, "reading device"),
                    (Kind::Lens, n) if n > 1 => format!("{n} lenses"),
                    (Kind::Rules, _) => "own values of rules".to_owned(),
                    (Kind::Camera, n) => {
                        let names: Vec<String> = self
                            .cameras
                            .iter()
                            .map(|name| format!("“{name}”"))
                            .collect();
                        format!("{} ({})", text::counted(n, "camera"), names.join(", "))
                    }
                    (Kind::Aside, n) => {
                        format!("{} that was set aside", text::counted(n, "record"))
                    }
                    (kind, n) => text::counted(n, kind.name()),
                };
                Some(name)
            })
            .collect();
        parts.extend(self.of_dial());
        if parts.is_empty() {
            out.push("Adds nothing new.".to_owned());
        } else {
            out.push(format!("Adds {}.", text::list(&parts)));
        }
        match self.same {
            0 => {}
            1 => out.push("1 record is here already, exactly so.".to_owned()),
            n => out.push(format!("{n} records are here already, exactly so.")),
        }
        for (name, key) in &self.conflicts {
            out.push(format!(
                "“{name}” differs from the one here. Both are kept; the one from the file gets the id {}.",
                key.id
            ));
        }
        out.extend(self.rolls.iter().map(|(name, roll)| roll.words(name)));
        for what in &self.dial_differs {
            out.push(format!(
                "The file has another version of this: {what}. What is here stays; that of the file is set aside."
            ));
        }
        if self.rules_joined {
            out.push(
                "Your own values of rules are joined by those that you have no value for."
                    .to_owned(),
            );
        }
        if self.rules_differ {
            out.push(
                "Some of your own values of rules differ. Yours stay; those of the file are set aside.".to_owned(),
            );
        }
        out
    }

    /// What of the dial is new, each kind once.
    fn of_dial(&self) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for what in &self.of_dial {
            let count = self.of_dial.iter().filter(|other| *other == what).count();
            let words = if count == 1 {
                (*what).to_owned()
            } else {
                format!("{what} ({count} records)")
            };
            if !out.contains(&words) {
                out.push(words);
            }
        }
        out
    }

    /// The same for two tabs that changed one record: what another tab stored is here, and what this one has comes to it.
    fn words_of_tabs(&self) -> Vec<String> {
        let merged = self.rolls.iter().filter_map(|(name, roll)| match roll {
            Compared::Merged(_) => Some(format!(
                "“{name}” was changed in another tab as well. Both changes are in it now, merged frame by frame."
            )),
            Compared::Mergeable(_) | Compared::Apart(_) => None,
        });
        let both = self.conflicts.iter().map(|(name, key)| {
            let apart = self.rolls.iter().find_map(|(of, roll)| match roll {
                Compared::Apart(what) if of == name => Some(format!(" differently in {what}")),
                _ => None,
            });
            format!(
                "“{name}” was changed in another tab as well{}. Both are kept: what this tab says stands beside it, with the id {}.",
                apart.unwrap_or_default(),
                key.id
            )
        });
        let rules = self.rules_differ.then(|| {
            "Your own values of rules were changed in another tab as well. What that one says stays; what this tab says is set aside."
                .to_owned()
        });
        merged.chain(both).chain(rules).collect()
    }
}

/// Points a record to what its references were renamed to.
fn repoint(record: &mut Record, renamed: &ByKey<String>) {
    let follow = |kind: Kind, id: &mut String| {
        if let Some(new) = renamed.get(&Key::new(kind, id)) {
            id.clone_from(new);
        }
    };
    match record {
        Record::Batch(batch) => follow(Kind::Stock, &mut batch.stock),
        Record::Roll(roll) => {
            follow(Kind::Batch, &mut roll.batch);
            for loading in &mut roll.loadings {
                if let Some(camera) = &mut loading.camera_id {
                    follow(Kind::Camera, camera);
                }
                if let Some(device) = &mut loading.device {
                    follow(Kind::Device, device);
                }
            }
        }
        Record::Finding(finding) => {
            follow(Kind::Stock, &mut finding.group.stock);
            follow(Kind::Batch, &mut finding.group.batch);
            for evidence in &mut finding.evidence {
                follow(Kind::Roll, &mut evidence.roll);
            }
        }
        Record::Test(test) => {
            follow(Kind::Stock, &mut test.group.stock);
            follow(Kind::Batch, &mut test.group.batch);
        }
        Record::Stock(_)
        | Record::Device(_)
        | Record::Lens(_)
        | Record::Rules(_)
        | Record::Aside(_)
        | Record::Camera(_)
        | Record::Dial(_) => {}
    }
}

/// The same record under another id, and with a name that tells it apart.
fn renamed(record: &Record, id: &str) -> Record {
    let mut record = record.clone();
    let copy = |name: &mut String| {
        if !name.ends_with(" (other copy)") {
            name.push_str(" (other copy)");
        }
    };
    match &mut record {
        Record::Stock(stock) => {
            id.clone_into(&mut stock.id);
            copy(&mut stock.name);
        }
        Record::Batch(batch) => id.clone_into(&mut batch.id),
        Record::Roll(roll) => {
            id.clone_into(&mut roll.id);
            copy(&mut roll.name);
        }
        Record::Finding(finding) => id.clone_into(&mut finding.id),
        Record::Test(test) => id.clone_into(&mut test.id),
        Record::Device(device) => {
            id.clone_into(&mut device.id);
            copy(&mut device.name);
        }
        Record::Lens(lens) => {
            id.clone_into(&mut lens.id);
            copy(&mut lens.name);
        }
        Record::Aside(aside) => id.clone_into(&mut aside.id),
        Record::Camera(camera) => {
            id.clone_into(&mut camera.id);
            copy(&mut camera.name);
        }
        // A lesson, whose name is in its text.
        Record::Dial(record) => id.clone_into(&mut record.id),
        Record::Rules(_) => {}
    }
    record
}

/// Whether what was set aside is a record of a newer version.
pub(crate) fn is_newer(aside: &Aside) -> bool {
    decode(&aside.text) == Err(Unreadable::Newer)
}

/// Keys under which records of a newer version are kept, which cannot be read.
pub(crate) fn newer_keys(book: &Book) -> Vec<String> {
    book.asides()
        .filter(|aside| is_newer(aside))
        .filter_map(|aside| Some(aside.id.rsplit_once('.')?.0.to_owned()))
        .collect()
}

/// Whether a roll whose log was not read here says the same as this one.
fn is_the_same(book: &Book, record: &Record) -> bool {
    let key = record.key();
    key.kind == Kind::Roll
        && book
            .head(&key.id)
            .is_some_and(|head| head.says(&record_text(record)))
}

/// Rolls here whose log was not read, and which differ from those that come in.
fn differing(book: &Book, incoming: &[Record]) -> Vec<Key> {
    incoming
        .iter()
        .filter(|record| book.is_unread(&record.key()) && !is_the_same(book, record))
        .map(Record::key)
        .collect()
}

/// Compares a roll with the one here that it differs from.
fn compared(here: &Record, there: &Record) -> Option<Met> {
    match (here, there) {
        (Record::Roll(here), Record::Roll(there)) => Some(merge::meet(here, there)),
        _ => None,
    }
}

/// Records to put into a book, in their order.
#[derive(Default)]
struct Puts {
    records: Vec<Record>,
    /// Where the last one of a key lies.
    places: ByKey<usize>,
}

impl Puts {
    fn put(&mut self, record: Record) {
        self.places.insert(record.key(), self.records.len());
        self.records.push(record);
    }

    /// What the book would have under a key.
    fn get<'a>(&'a self, book: &'a Book, key: &Key) -> Option<&'a Record> {
        match self.places.get(key) {
            Some(place) => self.records.get(*place),
            None => book.get(key),
        }
    }
}

/// Works out what comes in: new, the same, or in conflict with what is here. What is here never changes, but for rolls that
/// are merged, where that is asked for.
///
/// The id of a conflicting record is made of its content, so that taking the same document over twice adds nothing.
fn resolve(book: &Book, incoming: &[Record], merging: bool) -> Resolved {
    let mut puts = Puts::default();
    let mut out = Resolved {
        adds: Vec::new(),
        cameras: Vec::new(),
        of_dial: Vec::new(),
        dial_differs: Vec::new(),
        same: 0,
        conflicts: Vec::new(),
        rolls: Vec::new(),
        puts: Vec::new(),
        rules_differ: false,
        rules_joined: false,
        renamed: ByKey::new(),
    };
    let mut names = ByKey::new();
    let newer = newer_keys(book);
    // What others refer to comes first, so that they can follow.
    let in_order = Kind::ALL
        .into_iter()
        .flat_map(|kind| incoming.iter().filter(move |record| record.kind() == kind));
    for original in in_order {
        let key = original.key();
        let mut record = original.clone();
        repoint(&mut record, &names);
        let is_unread = book.is_unread(&key);
        // Of a log that was not read it is known whether it is the same.
        if is_unread && (is_the_same(book, original) || is_the_same(book, &record)) {
            out.same += 1;
            continue;
        }
        let other = other_key(&key).and_then(|other| puts.get(book, &other));
        match puts.get(book, &key) {
            None if !newer.contains(&key.text()) && !is_unread && other.is_none() => {
                match &record {
                    Record::Camera(camera) => out.cameras.push(camera.name.clone()),
                    Record::Dial(record) => out.of_dial.push(OfDial::words(&record.id)),
                    _ => {}
                }
                out.adds.push(record.kind());
                puts.put(record);
            }
            Some(here) if here == original || *here == record => out.same += 1,
            Some(Record::Rules(here)) => {
                let (mut union, mut differ) = (here.clone(), false);
                if let Record::Rules(theirs) = original {
                    for (id, value) in &theirs.own {
                        differ |= union.own.get(id).is_some_and(|mine| mine != value);
                        union.own.entry(id.clone()).or_insert(*value);
                    }
                }
                out.rules_differ |= differ;
                out.rules_joined |= union != *here;
                puts.put(Record::Rules(union));
                if differ {
                    let aside = Record::Aside(Aside::new("import.rules", &record_text(original)));
                    if puts.get(book, &aside.key()).is_none() {
                        puts.put(aside);
                    }
                }
            }
            // There is one setting of the dial, and it is the person's to change.
            _ if key.kind == Kind::Dial && !OfDial::is_one_of_many(&key.id) => {
                out.dial_differs.push(OfDial::words(&key.id));
                let aside = Record::Aside(Aside::new("import.dial", &record_text(original)));
                if puts.get(book, &aside.key()).is_none() {
                    puts.put(aside);
                }
            }
            here => {
                let name = here.unwrap_or(original).name().to_owned();
                match here.and_then(|here| compared(here, &record)) {
                    Some(Met::Together(together)) => {
                        let brings = match here {
                            Some(Record::Roll(here)) => merge::brings(here, &together),
                            _ => None,
                        };
                        if merging {
                            let changed = brings.is_some();
                            out.rolls.push((name, Compared::Merged(brings)));
                            if changed {
                                puts.put(Record::Roll(together));
                            }
                            continue;
                        }
                        out.rolls.push((name.clone(), Compared::Mergeable(brings)));
                    }
                    Some(Met::Apart { frames, other }) => {
                        let what = merge::apart_words(&frames, &other);
                        out.rolls.push((name.clone(), Compared::Apart(what)));
                    }
                    None => {}
                }
                let base = format!("{}-{}", key.id, text::short_hash(&record_text(original)));
                let mut n = 1;
                let other = loop {
                    let id = if n == 1 {
                        base.clone()
                    } else {
                        format!("{base}-{n}")
                    };
                    let other = renamed(&record, &id);
                    let key = other.key();
                    if book.is_unread(&key) {
                        if is_the_same(book, &other) {
                            break (other, true);
                        }
                        n += 1;
                        continue;
                    }
                    match puts.get(book, &key) {
                        Some(there) if *there != other => n += 1,
                        found => break (other, found.is_some()),
                    }
                };
                let (other, is_there) = other;
                names.insert(key, other.key().id);
                if is_there {
                    out.same += 1;
                } else {
                    out.conflicts.push((name, other.key()));
                    puts.put(other);
                }
            }
        }
    }
    out.puts = puts.records;
    out.renamed = names;
    out
}

impl Import {
    /// One record of another page, to be merged with what is here.
    pub(crate) fn of_one(record: &Record) -> Self {
        Self {
            incoming: Arc::new([record.clone()]),
            of_another_tab: true,
            of_the_file: Vec::new(),
            copies: Copies::default(),
            merging: true,
            says: Vec::new(),
            adds: 0,
            same: 0,
            conflicts: Vec::new(),
            mergeable: Vec::new(),
            unreadable: 0,
        }
    }

    /// Rolls here whose log was not read, and has to be before this can be taken over.
    #[must_use]
    pub fn needs(&self, book: &Book) -> Vec<Key> {
        differing(book, &self.incoming)
    }

    /// The rolls of the file that have another id here, once it was taken over: by their keys, the ids that they have.
    #[must_use]
    pub fn renamed(&self, book: &Book) -> ByKey<String> {
        resolve(book, &self.incoming, self.merging).renamed
    }

    /// The same import, with rolls that two devices changed merged frame by frame, or kept both: what it then would do.
    ///
    /// Frames that are equal stay. One that is waiting or as planned in one copy takes what the other says, and so does
    /// everything else that one copy leaves open. Where the copies say different things, nothing of that roll is decided:
    /// both are kept, and the frames are named. Merging the other way round makes the same roll.
    #[must_use]
    pub fn merging(&self, book: &Book, merging: bool) -> Self {
        let resolved = resolve(book, &self.incoming, merging);
        let mut says = self.of_the_file.clone();
        says.extend(resolved.words());
        says.extend(self.copies.words());
        if self.unreadable > 0 {
            says.push(format!(
                "{} could not be read and will be set aside as it is.",
                text::counted(self.unreadable, "piece")
            ));
        }
        let merges = resolved
            .rolls
            .iter()
            .any(|(_, roll)| matches!(roll, Compared::Merged(Some(_))));
        says.push(
            if merges {
                "Nothing else that is here is changed, and nothing is removed."
            } else {
                "Nothing that is here is changed or removed."
            }
            .to_owned(),
        );
        Self {
            incoming: Arc::clone(&self.incoming),
            of_another_tab: self.of_another_tab,
            of_the_file: self.of_the_file.clone(),
            copies: self.copies.clone(),
            merging,
            says,
            adds: resolved.adds.len(),
            same: resolved.same,
            conflicts: resolved.conflicts,
            mergeable: resolved
                .rolls
                .into_iter()
                .filter(|(_, roll)| !matches!(roll, Compared::Apart(_)))
                .map(|(name, _)| name)
                .collect(),
            unreadable: self.unreadable,
        }
    }

    /// The records to put, worked out against the book as it stands now, which may have changed since the plan was made.
    pub(crate) fn changes(&self, book: &Book) -> (String, Vec<(Key, Option<Record>)>) {
        let resolved = resolve(book, &self.incoming, self.merging);
        let said = match self.of_another_tab {
            true => resolved.words_of_tabs(),
            false => resolved.words(),
        }
        .join(" ");
        let puts = resolved
            .puts
            .into_iter()
            .map(|record| (record.key(), Some(record)))
            .collect();
        (said, puts)
    }
}
