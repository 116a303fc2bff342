//! The journal and the index: golden lines, heads, and what is kept whatever the order of writing, killing and replaying.

use std::collections::{BTreeMap, BTreeSet};

use book::{
    Book, ByKey, Desk, Edit, Heard, Keeper, Key, Kind, Past, Reader, Record, Shelved, Step, Taken,
    Written, encode, example, export, export_all, plan_import,
};
use proptest::prelude::*;

use crate::{
    check::{same, two_rolls},
    undoing::{ops, worked},
};

const GOLDEN: &str = include_str!("../golden/shelf-1.txt");

fn written(key: &Key, keeper: &mut Keeper, record: Option<&Record>) -> Written {
    Written {
        key: key.clone(),
        past: keeper.changed(key),
        text: record.map(encode),
    }
}

/// A journal entry and an index record each of a stock, of a roll with a log, and of a removal.
fn lines() -> String {
    let book = example();
    let mut keeper = Keeper::new("dawn");
    let mut lines = Vec::new();
    for (kind, id) in [
        (Kind::Stock, "example.harbour-200"),
        (Kind::Roll, "example.roll-2"),
        (Kind::Roll, "example.roll-9"),
    ] {
        let key = Key::new(kind, id);
        let written = written(&key, &mut keeper, book.get(&key));
        lines.push(written.encode());
        let (shelved, beside) = written.shelved();
        assert_eq!(
            beside.is_some(),
            id == "example.roll-2",
            "only a roll with a log lies beside the index"
        );
        lines.push(shelved.encode());
    }
    lines.join("\n") + "\n"
}

#[test]
fn golden_the_first_version_is_written_and_read_to_the_letter() {
    same("journal and index", &lines(), GOLDEN);
    for line in GOLDEN.lines() {
        let again = if line.contains("stopkeeper journal") {
            Written::decode(line).map(|written| written.encode())
        } else {
            Shelved::decode(line).map(|shelved| shelved.encode())
        };
        assert_eq!(again.as_deref(), Some(line), "read and written again");
    }
}

#[test]
fn what_is_damaged_or_newer_is_not_taken_for_a_record() {
    for line in GOLDEN.lines() {
        let none = |text: &str| Written::decode(text).is_none() && Shelved::decode(text).is_none();
        for (from, to) in [
            ("\"version\":1,\"key\"", "\"version\":2,\"key\""),
            ("\"past\":\"1.dawn\"", "\"past\":\"dawn\""),
            ("\"past\":\"1.dawn\"", "\"past\":\"\""),
            ("\"key\":\"", "\"key\":\"no"),
            ("\"key\"", "\"colour\":1,\"key\""),
        ] {
            assert!(line.contains(from), "{from} in {line}");
            assert!(none(&line.replacen(from, to, 1)), "{line}: {from} to {to}");
        }
        for end in (0..line.len()).filter(|end| line.is_char_boundary(*end)) {
            assert!(none(&line[..end]), "cut after {end}: {line}");
        }
    }
}

#[test]
fn a_roll_whose_log_was_not_read_is_listed_and_cannot_be_changed_or_written_over() {
    let whole = example();
    let mut keeper = Keeper::new("dawn");
    let mut book = Book::new();
    for record in whole.records() {
        let (shelved, _) = written(&record.key(), &mut keeper, Some(record)).shelved();
        assert_eq!(book.take_shelved(&shelved), Taken::Read, "{shelved:?}");
    }
    let names = |book: &Book| -> Vec<String> { book.rolls().map(|r| r.name.clone()).collect() };
    assert_eq!(names(&book), names(&whole), "all rolls, in their order");
    assert_eq!(book.len(), whole.len(), "all records");
    assert_eq!(
        book.heads()
            .map(|head| (head.roll.id.as_str(), head.frames, head.judged))
            .collect::<Vec<_>>(),
        [("example.roll-1", 15, 12), ("example.roll-2", 4, 0)],
        "two of the three have a log"
    );
    assert!(book.roll("example.roll-1").is_none(), "it is not read");
    assert!(book.roll("example.roll-3").is_some(), "it has no log");
    assert_eq!(
        book.new_id(Kind::Roll, "example.roll-1"),
        whole.new_id(Kind::Roll, "example.roll-1"),
        "its id is taken"
    );
    let key = Key::new(Kind::Roll, "example.roll-1");
    let text = encode(whole.get(&key).expect("a roll"));
    let mut desk = Desk::new(book);
    let taken = Edit::Taken {
        roll: key.id.clone(),
        frame: 1,
        at: None,
    };
    for edit in [
        taken.clone(),
        Edit::Remove(key.clone()),
        Edit::RemoveExample,
    ] {
        let before = desk.book().clone();
        let error = desk.apply(&edit).expect_err("it is not read").to_string();
        assert!(error.contains("not read"), "{error}");
        assert_eq!(*desk.book(), before, "nothing is changed");
    }
    // Reading it is no step to undo, and makes it what it was.
    assert_eq!(desk.take_text(&key, &text), Taken::Read, "it can be read");
    assert_eq!(desk.would_undo(), None, "nothing is done");
    assert_eq!(
        desk.book().roll("example.roll-1"),
        whole.roll("example.roll-1"),
        "the same roll"
    );
    desk.apply(&taken).expect("it can be changed");
    desk.apply(&Edit::Remove(key)).expect("it can be removed");
}

#[test]
fn nothing_is_written_over_a_record_of_a_newer_version() {
    let newer = |kind: &str| {
        format!("{{\"format\":\"stopkeeper {kind}\",\"version\":99,\"record\":{{\"colour\":1}}}}")
    };
    for (key, edit) in [
        ("stock.example.harbour-200", Edit::AddExample),
        ("roll.example.roll-2", Edit::AddExample),
        (
            "rules.own",
            Edit::Rule {
                id: "decade".to_owned(),
                value: Some(96),
            },
        ),
    ] {
        let key = Key::parse(key).expect("a key");
        let mut book = Book::new();
        let taken = book.take_text(&key, &newer(key.kind.name()));
        assert_eq!(taken, Taken::Newer, "{}", key.text());
        let mut desk = Desk::new(book.clone());
        let error = desk
            .apply(&edit)
            .expect_err("its place is taken")
            .to_string();
        assert!(error.contains("newer version"), "{error}");
        assert_eq!(*desk.book(), book, "nothing is changed");
    }
}

#[test]
fn a_past_has_what_it_goes_on_from_and_nothing_else() {
    let key = Key::new(Kind::Stock, "one");
    let (mut dawn, mut dusk) = (Keeper::new("dawn"), Keeper::new("dusk"));
    let first = dawn.changed(&key);
    let second = dawn.changed(&key);
    assert!(
        second.has(&first) && !first.has(&second),
        "one after the other"
    );
    assert_eq!(
        dusk.hears(&key, &first),
        Heard::New,
        "dusk hears of the first"
    );
    let apart = dusk.changed(&key);
    assert!(
        apart.has(&first) && !apart.has(&second) && !second.has(&apart),
        "two from the first"
    );
    assert_eq!(dusk.hears(&key, &second), Heard::Apart, "and dusk notices");
    assert!(first.has(&Past::default()), "before the first is nothing");
}

/// Everything outside of a page.
#[derive(Default)]
struct World {
    index: BTreeMap<String, String>,
    beside: BTreeMap<String, String>,
    /// The journal as it stood after each write; a browser that is killed comes up with any of them.
    journal: Vec<BTreeMap<String, String>>,
    journal_is_full: bool,
    /// What was written in the place of a note by someone who saw it there.
    replaced: BTreeMap<String, Vec<String>>,
    acknowledged: BTreeSet<String>,
    said: u32,
}

impl World {
    fn journal(&self) -> BTreeMap<String, String> {
        self.journal.last().cloned().unwrap_or_default()
    }

    fn note(&mut self, key: &str, text: Option<String>) {
        let mut journal = self.journal();
        match text {
            Some(_) if self.journal_is_full => return,
            Some(text) => journal.insert(key.to_owned(), text),
            None => journal.remove(key),
        };
        self.journal.push(journal);
    }
}

impl World {
    /// All that was written in the place of a note, one after the other.
    fn later(&self, note: &str) -> BTreeSet<String> {
        let mut out = BTreeSet::new();
        let mut open = vec![note.to_owned()];
        while let Some(note) = open.pop() {
            for next in self.replaced.get(&note).into_iter().flatten() {
                if out.insert(next.clone()) {
                    open.push(next.clone());
                }
            }
        }
        out
    }

    /// A writing is stored: its entry goes, unless a later one is in its place.
    fn spend(&mut self, key: &Key, past: &Past) {
        let entry = self.journal().get(&key.text()).cloned();
        let entry = entry.and_then(|entry| Written::decode(&entry));
        if entry.is_some_and(|entry| past.has(&entry.past)) {
            self.note(&key.text(), None);
        }
    }
}

/// A page of the browser, as the film book does it.
struct Page {
    desk: Desk,
    keeper: Keeper,
    /// Notes by the writing they are part of, until storage says that it is done.
    waiting: Vec<(Key, Past, String)>,
}

fn roll_key() -> Key {
    Key::new(Kind::Roll, "box-1")
}

fn notes(book: &Book) -> Vec<String> {
    book.rolls()
        .flat_map(|roll| roll.frames.iter().map(|frame| frame.shot.note.clone()))
        .filter(|note| !note.is_empty())
        .collect()
}

impl Page {
    fn open(name: &str, world: &mut World) -> Self {
        let mut page = Self {
            desk: Desk::default(),
            keeper: Keeper::new(name),
            waiting: Vec::new(),
        };
        for (key, index) in &world.index {
            let shelved = Shelved::decode(index).expect("an index record");
            assert_eq!(page.keeper.finds(&shelved), Heard::New, "{key} is new");
            page.desk.refresh_shelved(&shelved);
            if let Some(text) = world.beside.get(key) {
                page.desk.take_text(shelved.key(), text);
            }
        }
        for (key, entry) in world.journal() {
            let found = Written::decode(&entry).expect("an entry");
            let stored = world.index.get(&key).and_then(|text| Shelved::decode(text));
            if Keeper::is_news(&found, stored.as_ref()) {
                page.keeper.take_up(&found.key, &found.past);
                match &found.text {
                    Some(text) => drop(page.desk.take_text(&found.key, text)),
                    None => page.desk.refresh(&found.key, None),
                }
            } else {
                world.note(&key, None);
            }
        }
        page
    }

    fn promise(&mut self, world: &mut World, touched: &[Key]) {
        for key in touched {
            let past = self.keeper.changed(key);
            let entry = Written {
                key: key.clone(),
                past,
                text: self.desk.book().get(key).map(encode),
            };
            world.note(&key.text(), Some(entry.encode()));
        }
    }

    fn write(&mut self, world: &mut World, frame: u16) {
        let Ok(found) = self.desk.book().find_roll("box-1") else {
            return;
        };
        let frame = found.frames[usize::from(frame) % found.frames.len()].id;
        let before = found.frame(frame).map(|f| f.shot.note.clone());
        world.said += 1;
        let note = format!("note {}", world.said);
        let edit = Edit::Note {
            roll: "box-1".to_owned(),
            frame,
            note: note.clone(),
        };
        let done = self.desk.apply(&edit).expect("a note");
        if let Some(before) = before.filter(|before| !before.is_empty()) {
            world.replaced.entry(before).or_default().push(note.clone());
        }
        self.promise(world, &done.touched);
        let past = self.keeper.waits(&roll_key()).expect("it waits").clone();
        self.waiting.push((roll_key(), past, note));
    }

    /// One transaction: all of it or nothing, and with `heard` the page lives to hear that it is done.
    fn store(&mut self, world: &mut World, heard: bool) {
        let keys: Vec<Key> = self.keeper.waiting().to_vec();
        let mut steps = Vec::new();
        for key in keys {
            let name = key.text();
            let stored = world.index.get(&name).map(String::as_str);
            let step = self.keeper.step(&key, stored, self.desk.book().get(&key));
            if let Step::Put { index, beside, .. } = &step {
                world.index.insert(name.clone(), index.clone());
                match beside {
                    Some(text) => world.beside.insert(name, text.clone()),
                    None => world.beside.remove(&name),
                };
            }
            steps.push((key, step));
        }
        if !heard {
            return;
        }
        for (key, step) in steps {
            let done = match step {
                Step::Put { past, .. } => {
                    self.keeper.kept(&key, &past);
                    past
                }
                Step::Same { past, stored } => {
                    self.keeper.agreed(&key, &past, &stored);
                    past
                }
                Step::Elsewhere(stored) => {
                    self.elsewhere(world, &stored);
                    continue;
                }
                Step::Unknown | Step::Nothing => panic!("{key:?} cannot be read"),
            };
            let is_part = |waits: &mut (Key, Past, String)| waits.0 == key && done.has(&waits.1);
            for (_, _, note) in self.waiting.extract_if(.., is_part) {
                world.acknowledged.insert(note);
            }
            world.spend(&key, &done);
        }
        for (key, past) in self.keeper.spent() {
            world.spend(&key, &past);
        }
    }

    /// Another page stored the record in the meantime.
    fn elsewhere(&mut self, world: &mut World, stored: &Shelved) {
        let key = stored.key().clone();
        let ours = self.desk.book().get(&key).cloned();
        let news = self.keeper.finds(stored) == Heard::New;
        if !news {
            self.keeper.meets(stored);
        }
        self.desk.refresh_shelved(stored);
        if let Some(text) = world.beside.get(&key.text()) {
            self.desk.take_text(&key, text);
        }
        if !news && let Some(ours) = ours {
            let Some(done) = self.desk.meet(&ours) else {
                return;
            };
            let touched = done.touched;
            self.promise(world, &touched);
            // What was written here is now part of what these say.
            let said = touched.last();
            let past = said.and_then(|key| self.keeper.waits(key)).cloned();
            for waits in self.waiting.iter_mut().filter(|waits| waits.0 == key) {
                if let Some((key, past)) = said.zip(past.as_ref()) {
                    waits.0.clone_from(key);
                    waits.1.clone_from(past);
                }
            }
        }
    }

    /// What another page has stored since, as it is told.
    fn catch_up(&mut self, world: &World) {
        for (key, index) in &world.index {
            let shelved = Shelved::decode(index).expect("an index record");
            if self.keeper.finds(&shelved) == Heard::New {
                self.desk.refresh_shelved(&shelved);
                if let Some(text) = world.beside.get(key) {
                    self.desk.take_text(shelved.key(), text);
                }
            }
        }
    }
}

/// A book in storage with one roll of seven frames.
fn beginning() -> World {
    let mut world = World::default();
    let mut page = Page::open("first", &mut world);
    let book = worked(&[(7, 0, 1), (7, 0, 3)]).book().clone();
    let book = if book.find_roll("box-1").is_ok_and(|r| !r.frames.is_empty()) {
        book
    } else {
        let mut desk = two_rolls();
        for _ in 0..7 {
            let slate = Edit::Extra {
                roll: "box-1".to_owned(),
                what: book::Extra::Slate,
                spot: book::Spot::Now,
                at: None,
            };
            desk.apply(&slate).expect("a frame");
        }
        desk.book().clone()
    };
    let keys: Vec<Key> = book.records().map(Record::key).collect();
    page.desk = Desk::new(book);
    page.promise(&mut world, &keys);
    page.store(&mut world, true);
    assert!(
        page.keeper.is_done() && world.journal().is_empty(),
        "all is stored"
    );
    world.journal = vec![BTreeMap::new()];
    world
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Two pages write notes, are told of each other's or not, are killed with or without the browser, and come up again.
    #[test]
    fn no_acknowledged_note_is_lost_and_none_comes_back(
        turns in prop::collection::vec((0_u8..12, any::<bool>(), 0_u16..7), 1..40),
    ) {
        let mut world = beginning();
        let mut opened = 0;
        let mut open = |world: &mut World| {
            opened += 1;
            Page::open(&format!("page{opened}"), world)
        };
        let mut pages = [open(&mut world), open(&mut world)];
        for (what, which, n) in turns {
            let page = &mut pages[usize::from(which)];
            match what {
                0..=3 => page.write(&mut world, n),
                4..=6 => page.store(&mut world, true),
                7 => page.catch_up(&world),
                8 => world.journal_is_full = n % 2 == 0,
                // Killed, before or after the transaction: the journal stays.
                9 => {
                    if n % 2 == 0 {
                        page.store(&mut world, false);
                    }
                    *page = open(&mut world);
                }
                // The whole browser: the journal comes up as it was some writes ago.
                10 => {
                    let keep = world.journal.len().saturating_sub(usize::from(n)).max(1);
                    world.journal.truncate(keep);
                    pages = [open(&mut world), open(&mut world)];
                }
                // Left by itself.
                _ => {
                    page.store(&mut world, true);
                    *page = open(&mut world);
                }
            }
        }
        // Each comes to rest in the end; a page that meets another's writing writes once more.
        world.journal_is_full = false;
        for _ in 0..4 {
            for page in &mut pages {
                page.store(&mut world, true);
            }
        }
        prop_assert!(pages.iter().all(|page| page.keeper.is_done()), "all is written");
        let last = Page::open("last", &mut world);
        prop_assert!(last.keeper.is_done(), "nothing is left in the journal");
        let found: BTreeSet<String> = notes(last.desk.book()).into_iter().collect();
        for note in &world.acknowledged {
            let later = world.later(note);
            prop_assert!(
                found.contains(note) || later.iter().any(|later| found.contains(later)),
                "{note} and {later:?} in its place, of {found:?}"
            );
        }
        for note in notes_of(last.desk.book(), "box-1") {
            for later in world.later(&note).intersection(&world.acknowledged) {
                let even_later = world.later(later);
                prop_assert!(
                    found.contains(later) || even_later.iter().any(|later| found.contains(later)),
                    "{note} is back, where {later} was acknowledged"
                );
            }
        }
    }

    /// Bringing a file in and saving one come to the same whether logs were read or not.
    #[test]
    fn an_import_and_an_export_need_only_the_logs_that_differ(here in ops(20), there in ops(20)) {
        let (whole, there) = (worked(&here).book().clone(), worked(&there).book().clone());
        let day = crate::check::date("2026-11-25");
        let document = export(&there, day);
        let mut keeper = Keeper::new("dawn");
        let (mut book, mut texts) = (Book::new(), ByKey::new());
        for record in whole.records() {
            let written = written(&record.key(), &mut keeper, Some(record));
            let (shelved, beside) = written.shelved();
            book.take_shelved(&shelved);
            if let Some(text) = beside {
                texts.insert(record.key(), text.to_owned());
            }
        }
        prop_assert_eq!(export_all(&book, day, &texts), export(&whole, day));
        let mut reader = Reader::open(document.clone()).expect("a document");
        while reader.read(2) {}
        for key in reader.needs(&book) {
            let differs = whole.get(&key) != there.get(&key);
            prop_assert!(differs, "{:?} is the same", key);
            book.take_text(&key, texts.get(&key).expect("its text"));
        }
        let (plan, wanted) = (reader.plan(&book), plan_import(&whole, &document).expect("a plan"));
        prop_assert_eq!(&plan.says, &wanted.says);
        for merging in [false, true] {
            let mut desks = [Desk::new(book.clone()), Desk::new(whole.clone())];
            for (desk, plan) in desks.iter_mut().zip([&plan, &wanted]) {
                let import = plan.merging(desk.book(), merging);
                desk.apply(&Edit::Import(import)).expect("it is brought in");
            }
            let [mut few, all] = desks;
            let unread: Vec<Key> = few
                .book()
                .heads()
                .map(|head| Key::new(Kind::Roll, &head.roll.id))
                .collect();
            for key in unread {
                few.take_text(&key, texts.get(&key).expect("its text"));
            }
            prop_assert_eq!(few.book(), all.book());
        }
    }

    /// What is read from an index is the book that was written, but for logs that were not read.
    #[test]
    fn a_book_comes_back_from_its_index(ops in ops(25)) {
        let whole = worked(&ops).book().clone();
        let mut keeper = Keeper::new("dawn");
        let (mut book, mut texts) = (Book::new(), Vec::new());
        for record in whole.records() {
            let written = written(&record.key(), &mut keeper, Some(record));
            let (shelved, beside) = written.shelved();
            let (quick, quick_beside) = written.shelved_as(Some(record));
            prop_assert_eq!(&quick, &shelved);
            prop_assert_eq!(quick_beside, beside);
            let back = Shelved::decode(&shelved.encode());
            prop_assert_eq!(back.as_ref(), Some(&shelved));
            book.take_shelved(&shelved);
            texts.extend(beside.map(|text| (record.key(), text.to_owned())));
        }
        prop_assert_eq!(book.heads().count(), texts.len());
        for (key, text) in texts {
            prop_assert_eq!(book.take_text(&key, &text), Taken::Read);
        }
        prop_assert_eq!(book, whole);
    }
}

fn notes_of(book: &Book, roll: &str) -> Vec<String> {
    let frames = book.roll(roll).map(|roll| roll.frames.clone());
    frames
        .unwrap_or_default()
        .into_iter()
        .map(|frame| frame.shot.note)
        .filter(|note| !note.is_empty())
        .collect()
}
