//! Scans of a roll that came back: how they were made, lined up with the log, compared and judged.
//!
//! What has buttons in it stays where it is while what it says is described anew, so that a press never takes the focus away.

use std::rc::Rc;

use book::{
    Against, Book, Edit, Film, Grade, Lineup, Roll, Row, Scans, Tick, Verdict, against_log,
    anchored, as_shot, by_names, carried, comparing_order, frame_words, line_up, meter_words,
    names, no_evidence, rows, scans_words, telling_frame, turned, verdicts_against_log,
};
use exposure::words;
use scans::desk::Answer;

use super::{
    folder, large, measured, put_in,
    room::{Place, Room, Subject},
};
use crate::{
    browser::{
        clock,
        draw::Here,
        files::{File, MaybePicture, Picture},
        folder::Folder,
        later::spawn_local,
        page, pictures,
        worker::Beside,
    },
    choice::Options,
    form::{choice, fixed, select, tick},
    live::{Live, Worked},
    parts::{Element, Part, el, follows, parts},
    piece::{button, columns, paragraph, row, said, unfolds},
};

/// Ways to make scans: key, name, and what is kept.
const WAYS: [(&str, &str, Option<Scans>); 5] = [
    ("", "Not said yet", None),
    (
        "fixed",
        "One fixed setting for all frames",
        Some(Scans::Fixed),
    ),
    (
        "corrected",
        "Corrected frame by frame by the lab",
        Some(Scans::Corrected),
    ),
    ("unknown", "Not known", Some(Scans::Unknown)),
    (
        "light-table",
        "No scans: judged on a light table",
        Some(Scans::LightTable),
    ),
];

/// The grades, and the word for each.
pub(super) const GRADES: [(Grade, &str); 3] = [
    (Grade::Rejected, "Rejected"),
    (Grade::Usable, "Usable"),
    (Grade::Liked, "Liked"),
];

/// A file that was chosen in this visit or before, in the order of the names.
#[derive(Default)]
pub(super) struct Scan {
    pub(super) name: String,
    /// The file itself, as long as this visit goes on.
    pub(super) whole: Option<MaybePicture>,
    /// Whether its small copy is still to come: until then nothing of it is shown, for many large pictures at once fill a phone.
    pub(super) waits: bool,
    /// Its small copy.
    pub(super) small: Option<Picture>,
    /// Bytes of the small copy.
    pub(super) bytes: f64,
    /// Whether the browser keeps the small copy.
    pub(super) kept: bool,
    /// The record of what was measured.
    pub(super) measured: Option<String>,
}

impl Scan {
    /// Where a picture of it is to be had: the small copy, which is there at once, or the file.
    pub(super) fn address(&self) -> Option<&str> {
        if let Some(small) = &self.small {
            return Some(small.address());
        }
        self.whole.as_ref().filter(|_| !self.waits)?.address()
    }
}

/// Files with their names.
type Chosen = Rc<Vec<(String, File)>>;

/// A piece of film in the line-up.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Line {
    number: u16,
    /// Id of the frame there, or of the first of them.
    id: u16,
    /// What the log says.
    words: String,
}

/// A frame in the comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Card {
    pub(super) id: u16,
    /// What it is called: by its number, or blind by a letter.
    pub(super) name: String,
    /// What it amounts to; empty while the comparison is blind.
    pub(super) words: String,
}

/// The table on which the scans of one roll lie.
#[derive(Clone, Copy)]
pub(super) struct Table {
    pub(super) roll: Subject,
    /// Dropped with the page, and the pictures with it.
    pub(super) scans: Live<Vec<Scan>>,
    pub(super) lineup: Live<Lineup>,
    /// The record of how files were laid last.
    pub(super) laid: Live<Option<String>>,
    /// The folder from which they came, at this visit or before.
    pub(super) folder: Live<Option<Folder>>,
    pub(super) places: Worked<Vec<book::Place>>,
    /// What runs beside the page and measures.
    pub(super) beside: Live<Option<Beside>>,
    /// How far measuring is, and what is in its way.
    pub(super) work: Live<String>,
    /// What was measured, in words and bars.
    pub(super) told: Live<Answer>,
    /// Files that were chosen while others lie here, until it is said what becomes of those.
    chosen: Live<Option<Chosen>>,
    /// How many times scans were loaded: what is still measured of earlier ones is not wanted any more.
    pub(super) loaded: Live<u32>,
    /// The number that shuffles a blind comparison; none while it is open.
    lot: Live<Option<u32>>,
    /// Key of the chosen scene.
    pub(super) scene: Live<String>,
    pub(super) cards: Worked<Vec<Card>>,
    /// Which of the cards is shown large.
    pub(super) at: Live<usize>,
    pub(super) large: Here,
}

pub(super) fn page(room: Room, id: String) -> Part {
    let table = Table::new(room, id);
    measured::begin(table);
    let rest = move || {
        if let Some(batch) = table.roll.once(|_, roll| Some(roll.batch.clone())) {
            room.go(Place::Batch(batch));
        }
    };
    let by_sight = move || table.made() == Some(Scans::LightTable) && table.is_bare();
    let scans = el("section")
        .hidden_when(by_sight)
        .with(
            el("section")
                .hidden_when(move || table.is_blind())
                .with(arrange(table)),
        )
        .with(
            paragraph(
                "reason",
                "While you compare blind, the line-up is put out of sight.",
            )
            .hidden_when(move || !table.is_blind()),
        );
    parts![
        columns([
            ways(table),
            el("div").hidden_when(by_sight).with(load(table)).into(),
        ]),
        measured::region(table),
        contact(table),
        compare(table),
        scans,
        row([button("main", "Rate the rest of this group", rest)]),
        large::dialog(table),
    ]
}

impl Table {
    fn new(room: Room, id: String) -> Self {
        let roll = Subject::new(room, id);
        let scans = Live::new(Vec::<Scan>::new());
        let lineup = Live::new(Lineup::default());
        let places = Worked::new(move || {
            let files = scans.with(Vec::len);
            lineup.with(|how| roll.with(|_, roll| line_up(roll, files, how)))
        });
        let lot = Live::new(None);
        let scene = Live::new(String::new());
        let cards = Worked::new(move || {
            scene.with(|chosen| roll.with(|book, roll| cards(book, roll, chosen, lot.get())))
        });
        Self {
            roll,
            scans,
            lineup,
            laid: Live::new(None),
            folder: Live::new(None),
            places,
            beside: Live::new(None),
            work: Live::new(String::new()),
            told: Live::new(Answer::default()),
            chosen: Live::new(None),
            loaded: Live::new(0),
            lot,
            scene,
            cards,
            at: Live::new(0),
            large: Here::new(),
        }
    }

    /// Whether no scans lie here.
    pub(super) fn is_bare(self) -> bool {
        self.scans.with(Vec::is_empty)
    }

    pub(super) fn made(self) -> Option<Scans> {
        self.roll.with(|_, roll| roll.scans)
    }

    pub(super) fn is_blind(self) -> bool {
        self.lot.with(Option::is_some)
    }

    /// The file at a place that is found by what lies there.
    fn file(self, lies: impl Fn(&book::Place) -> bool) -> Option<usize> {
        let found = |places: &Vec<book::Place>| places.iter().find(|place| lies(place))?.file;
        self.places.with(found)
    }

    /// Address of a picture of a file.
    fn address(self, file: usize) -> Option<String> {
        self.scans
            .with(|scans| scans.get(file)?.address().map(str::to_owned))
    }

    /// The file at a frame.
    pub(super) fn file_of(self, frame: u16) -> Option<usize> {
        self.file(|place| place.frames.contains(&frame))
    }

    pub(super) fn picture_of(self, frame: u16) -> Option<String> {
        self.address(self.file_of(frame)?)
    }

    /// Address of the file at a frame in its own size; none after the visit in which it was chosen.
    pub(super) fn whole_of(self, frame: u16) -> Option<String> {
        let file = self.file_of(frame)?;
        self.scans.with(|scans| {
            let whole = scans.get(file)?.whole.as_ref()?;
            Some(whole.address()?.to_owned())
        })
    }

    /// The scenes of the roll.
    pub(super) fn scenes(self) -> Options {
        self.roll.with(|_, roll| {
            let scenes = roll.scenes.iter();
            scenes
                .map(|scene| (scene.number.to_string(), put_in::scene_name(scene)))
                .collect()
        })
    }

    /// Changes the line-up, and says where it lies now.
    pub(super) fn lay(self, change: impl FnOnce(&mut Lineup)) {
        self.lineup.update(change);
        let first = self.places.once(|places| {
            places
                .iter()
                .find_map(|place| Some((place.number?, place.file?)))
        });
        let said = first.map_or_else(
            || "No scan lies at a frame of the log now.".to_owned(),
            |(number, file)| format!("{} lies at frame {number}.", self.name(file)),
        );
        self.roll.room.said.set(said);
        self.keep_laid();
    }

    /// Keeps how the files lie, for the next time that they are here.
    fn keep_laid(self) {
        let text = self.lineup.once(|how| how.text(&self.names()));
        self.laid.put(Some(text.clone()));
        let id = self.roll.id();
        spawn_local(async move {
            // OK to leave it: it lies so for this visit, and the names can be kept with the frames.
            let _ = pictures::keep_line_up(&id, &text).await;
        });
    }

    /// The names of the files, in their order.
    fn names(self) -> Vec<String> {
        let name = |scan: &Scan| scan.name.clone();
        self.scans.with(|scans| scans.iter().map(name).collect())
    }

    fn shift(self, by: i32) {
        let most = self.places.once(Vec::len);
        // OK to hold there: a roll's log and a folder of scans are a few hundred at most.
        let most = i32::try_from(most).unwrap_or(i32::MAX);
        self.lay(|how| how.shift = how.shift.saturating_add(by).clamp(-most, most));
    }

    pub(super) fn name(self, file: usize) -> String {
        self.scans.with(|scans| {
            scans
                .get(file)
                .map(|scan| scan.name.clone())
                .unwrap_or_default()
        })
    }

    /// Changes the verdict of a frame.
    fn judge(self, frame: u16, change: impl FnOnce(Option<Verdict>) -> Option<Verdict>) {
        let now = self.roll.once(|_, roll| roll.frame(frame)?.verdict.clone());
        self.roll.room.edit(&Edit::Judge {
            roll: self.roll.id(),
            frame,
            verdict: change(now),
        });
    }

    /// Grades a frame; the grade that it has already is taken back.
    pub(super) fn grade(self, frame: u16, grade: Grade) {
        self.judge(frame, |now| match now {
            Some(verdict) if verdict.grade == grade => None,
            now => Some(Verdict {
                grade,
                ticks: now.map(|verdict| verdict.ticks).unwrap_or_default(),
            }),
        });
    }

    /// Ticks what a frame shows, which belongs to its verdict.
    pub(super) fn tick(self, frame: u16, tick: Tick, ticked: bool) {
        let is_judged = self
            .roll
            .once(|_, roll| Some(roll.frame(frame)?.verdict.is_some()));
        if is_judged != Some(true) {
            let said = "Give this frame a verdict first: what it shows belongs to that.";
            self.roll.room.said.set(said.to_owned());
            return;
        }
        self.judge(frame, |now| {
            now.map(|mut verdict| {
                verdict.ticks.retain(|known| *known != tick);
                if ticked {
                    verdict.ticks.push(tick);
                }
                verdict
            })
        });
    }

    /// Shows a card large.
    fn enlarge(self, nth: usize) {
        self.at.set(nth);
        large::open(self);
    }

    /// Goes on or back among the cards, as far as there are any.
    pub(super) fn step(self, on: bool) {
        let count = self.cards.once(Vec::len);
        self.at.update(|at| {
            *at = if on {
                (*at + 1).min(count.saturating_sub(1))
            } else {
                at.saturating_sub(1)
            };
        });
    }
}

/// The chosen scene, or the first one.
pub(super) fn scene_of(roll: &Roll, chosen: &str) -> Option<u16> {
    chosen
        .parse()
        .ok()
        .filter(|number| roll.scene(*number).is_some())
        .or_else(|| roll.scenes.first().map(|scene| scene.number))
}

/// `A` to `Z`, then `A2`.
fn letter(nth: usize) -> String {
    let letter = ('A'..='Z').nth(nth % 26).unwrap_or('A');
    match nth / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

fn cards(book: &Book, roll: &Roll, chosen: &str, lot: Option<u32>) -> Vec<Card> {
    let Some(scene) = scene_of(roll, chosen) else {
        return Vec::new();
    };
    let box_speed = book.stock_of(roll).map(|stock| stock.box_speed);
    let card = |(nth, id): (usize, u16)| {
        if lot.is_some() {
            return Some(Card {
                id,
                name: format!("Picture {}", letter(nth)),
                words: String::new(),
            });
        }
        let frame = roll.frame(id)?;
        let shot = as_shot(roll, frame)?;
        let mut words = format!("{}\n{}", shot.set.shown(), frame_words(&shot, box_speed));
        if let Some(meter) = meter_words(roll, frame) {
            words = format!("{words}\n{meter}");
        }
        Some(Card {
            id,
            name: format!("Frame {}", roll.number_of(id)?),
            words,
        })
    };
    comparing_order(roll, scene, lot)
        .into_iter()
        .enumerate()
        .filter_map(card)
        .collect()
}

/// Frames of the scene that are not compared, and why.
fn left_aside(roll: &Roll, chosen: &str) -> Vec<String> {
    let chosen = scene_of(roll, chosen);
    let why = |(index, (number, frame)): (usize, (Option<u16>, &book::Frame))| {
        let scene = frame.plan.scene()?;
        let why = no_evidence(roll, index).filter(|_| Some(scene) == chosen)?;
        Some(number.map_or_else(
            || format!("A frame without a number: {why}."),
            |number| format!("Frame {number}: {why}."),
        ))
    };
    roll.numbered()
        .into_iter()
        .enumerate()
        .filter_map(why)
        .collect()
}

/// What the log says of each piece of film.
fn lines(book: &Book, roll: &Roll) -> Vec<Line> {
    let mut out: Vec<Line> = Vec::new();
    for (row, frame) in rows(book, roll).into_iter().zip(&roll.frames) {
        // A frame that was left out has no number and no film.
        let Ok(number) = row.frame.parse() else {
            continue;
        };
        let words = log_words(&row);
        match out.last_mut() {
            Some(line) if line.number == number => {
                line.words = format!("{}; {words}", line.words);
            }
            _ => out.push(Line {
                number,
                id: frame.id,
                words,
            }),
        }
    }
    out
}

fn log_words(row: &Row) -> String {
    let mut parts = Vec::new();
    if row.scene.is_empty() {
        parts.push(row.kind.clone());
    } else {
        parts.push(format!("scene {}", row.scene));
    }
    parts.extend(row.shot.iter().cloned());
    parts.push(row.from_base.clone());
    if row.fate != "shot" {
        parts.push(row.fate.clone());
    }
    parts.retain(|part| !part.is_empty());
    parts.join(", ")
}

/// Names of scans that are kept with the frames, by number on the film.
fn kept(roll: &Roll) -> Vec<(u16, String)> {
    roll.numbered()
        .into_iter()
        .filter_map(|(number, frame)| Some((number?, frame.scan.clone())))
        .filter(|(_, scan)| !scan.is_empty())
        .collect()
}

/// How files lie that come beside no others, and why.
fn lying_alone(roll: &Roll, files: &[String], laid: Option<Lineup>) -> (Lineup, &'static str) {
    let mut kept = kept(roll);
    // Two exposures on one piece of film have one scan.
    kept.dedup_by_key(|(number, _)| *number);
    let named = by_names(roll, files, true);
    // How they were laid last says more than names do, where it gives all of them to their frames.
    let agrees = |how: &Lineup| {
        let places = line_up(roll, files.len(), how);
        let lies_there = |number: u16, name: &String| {
            let mut places = places.iter();
            let place = places.find(|place| place.number == Some(number));
            place.and_then(|place| files.get(place.file?)) == Some(name)
        };
        let mut kept = kept.iter();
        kept.all(|(number, name)| !files.contains(name) || lies_there(*number, name))
    };
    let of_names = |how: &Lineup| {
        let is_named = |name: &String| kept.iter().any(|(_, known)| known == name);
        let places = line_up(roll, files.len(), how);
        let mut laid = places.iter().filter(|place| place.number.is_some());
        if laid.all(|place| place.file.is_none_or(|file| is_named(&files[file]))) {
            " They lie as their names were kept."
        } else {
            " They lie as their names were kept, and those without a name go on from them."
        }
    };
    match (laid, named) {
        (Some(laid), Some(_)) if agrees(&laid) => {
            let words = of_names(&laid);
            (laid, words)
        }
        (_, Some(named)) => {
            let words = of_names(&named);
            (named, words)
        }
        (Some(laid), None) => (laid, " They lie as they were laid last."),
        (_, None) if kept.is_empty() => (Lineup::default(), ""),
        (_, None) => (
            Lineup::default(),
            " The names that were kept do not fit these files: line them up anew.",
        ),
    }
}

/// Puts numbers in names in the order of the numbers: `scan 9` before `scan 10`.
pub(super) fn by_number(name: &str) -> Vec<(String, u64)> {
    let mut out = vec![(String::new(), 0_u64)];
    let mut in_number = false;
    for c in name.chars() {
        let digit = c.to_digit(10).map(u64::from);
        if digit.is_none() && in_number {
            out.push((String::new(), 0));
        }
        in_number = digit.is_some();
        // OK because the list is never empty.
        if let Some((text, number)) = out.last_mut() {
            match digit {
                Some(digit) => *number = number.saturating_mul(10).saturating_add(digit),
                None => text.push(c),
            }
        }
    }
    out
}

/// How the scans were made, which decides what can be concluded from them.
fn ways(table: Table) -> Part {
    let chosen = move || {
        let made = table.made();
        let mut ways = WAYS.into_iter();
        let way = ways.find(|(.., way)| *way == made);
        way.map_or_else(String::new, |(key, ..)| key.to_owned())
    };
    let choose = move |chosen: String| {
        let mut ways = WAYS.into_iter();
        let way = ways.find(|(key, ..)| *key == chosen);
        table.roll.room.edit(&Edit::ScansMade {
            roll: table.roll.id(),
            how: way.and_then(|(.., how)| how),
        });
    };
    let words = move || {
        let (words, warns) = (scans_words(table.made()), table.warns());
        parts![
            paragraph("warning review-warning", words).hidden(!warns),
            paragraph("reason", words).hidden(warns),
        ]
    };
    let ways = fixed(WAYS.map(|(key, name, _)| (key, name)));
    parts![
        select(
            "review-made",
            "How were the scans made?",
            ways,
            chosen,
            choose
        ),
        follows(words),
    ]
}

impl Table {
    /// Whether the way the scans were made puts the result in doubt.
    pub(super) fn warns(self) -> bool {
        !matches!(self.made(), Some(Scans::Fixed | Scans::LightTable))
    }

    /// Takes in the files that were chosen. Where others lie here already, what becomes of those is asked first.
    pub(super) fn take(self, chosen: Vec<File>) {
        // Where the choice was called off, what was loaded stays.
        if chosen.is_empty() {
            return;
        }
        let files: Vec<(String, File)> =
            chosen.into_iter().map(|file| (file.name(), file)).collect();
        let others = self.scans.once(|scans| {
            let is_other =
                |scan: &&Scan| -> bool { files.iter().all(|(name, _)| *name != scan.name) };
            scans.iter().filter(is_other).count()
        });
        if others == 0 {
            // Each is replaced by itself, and what more was chosen comes beside them.
            self.take_in(files, true);
        } else {
            self.chosen.put(Some(Rc::new(files)));
            self.roll.room.said.set(String::new());
        }
    }

    /// Lays files on the table, in the place of what lies there or beside it.
    fn take_in(self, files: Vec<(String, File)>, beside: bool) {
        self.chosen.put(None);
        let mut scans = Vec::new();
        let mut lay = None;
        if beside {
            // Where they were never laid, all of them lie as their names run.
            let names = self.names();
            let is_named = self.roll.once(|_, roll| {
                let kept = kept(roll);
                kept.iter().any(|(_, name)| names.contains(name))
            });
            let of_these = |text: &String| Lineup::read(text, &names).is_some();
            let is_laid = is_named || self.laid.once(|text| text.as_ref().is_some_and(of_these));
            lay = is_laid.then(|| (names, self.lineup.now()));
            scans = self.scans.quietly(std::mem::take).unwrap_or_default();
            scans.retain(|scan| files.iter().all(|(name, _)| *name != scan.name));
        }
        scans.extend(files.iter().map(|(name, file)| Scan {
            name: name.clone(),
            whole: Some(MaybePicture::of(file)),
            waits: true,
            ..Scan::default()
        }));
        scans.sort_by_cached_key(|scan| by_number(&scan.name));
        let loaded = files.len();
        let (count, before) = self.lie(scans, lay);
        self.roll.room.said.set(format!(
            "Scans loaded: {loaded}. Frames on the film: {count}.{before}"
        ));
        measured::look(self, files);
    }

    /// Puts scans on the table: beside those that lay so, as they were laid last, or as their names were kept. Frames on the film, and
    /// how they lie.
    pub(super) fn lie(
        self,
        scans: Vec<Scan>,
        lay: Option<(Vec<String>, Lineup)>,
    ) -> (usize, &'static str) {
        let names: Vec<String> = scans.iter().map(|scan| scan.name.clone()).collect();
        let laid = self.laid.once(|text| Lineup::read(text.as_ref()?, &names));
        // The same files again lie as they did by what was kept of it.
        let lay = lay.filter(|(before, _)| *before != names);
        let (film, beside, alone) = self.roll.once(|_, roll| {
            let beside = lay.and_then(|(before, how)| carried(roll, &how, &before, &names));
            (roll.used(), beside, lying_alone(roll, &names, laid))
        });
        let is_carried = beside.is_some();
        let (how, more) = match beside {
            Some(how) => (how, " Those that lay here lie where they lay."),
            None => alone,
        };
        self.lineup.put(how);
        self.scans.put(scans);
        if is_carried {
            self.keep_laid();
        }
        self.told.put(Answer::default());
        self.loaded
            .quietly(|loaded| *loaded = loaded.wrapping_add(1));
        (film, more)
    }

    /// What the pictures say against the log.
    fn against(self) -> Option<Against> {
        let files = self.scans.with(Vec::len);
        let bright: Vec<Option<f64>> = self.told.with(|told| {
            let seen = told.files.iter();
            seen.map(|seen| seen.as_ref().map(|seen| seen.bright))
                .collect()
        });
        self.lineup.with(|how| {
            self.roll
                .with(|_, roll| against_log(roll, files, how, &bright))
        })
    }
}

/// What becomes of the scans that lie here, where others were chosen.
fn beside_others(table: Table) -> Part {
    let Some(files) = table.chosen.get() else {
        return Part::Nothing;
    };
    let (here, chosen) = (table.scans.with(Vec::len), files.len());
    let take = |beside: bool| {
        let files = Rc::clone(&files);
        move || table.take_in(files.to_vec(), beside)
    };
    let leave = move || table.chosen.put(None);
    el("div")
        .class("question")
        .attr("role", "group")
        .named("What becomes of the scans here")
        .with(paragraph(
            "",
            format!(
                "Scans that lie here: {here}. Chosen now: {chosen}. Small copies of what is put aside are taken away; the files stay."
            ),
        ))
        .with(row([
            button("main", "Add them to the scans here", take(true)),
            button("", "Put them in the place of the scans here", take(false)),
            button("", "Leave it as it is", leave),
        ]))
        .into()
}

fn load(table: Table) -> Part {
    let field = el("input")
        .id("review-scans")
        .attr("type", "file")
        .flag("multiple", true)
        .attr("accept", "image/*")
        .attr("aria-describedby", "review-scans-hint")
        .on("change", move |event| {
            table.take(event.files());
            // The same files can be chosen again.
            event.forget_files();
        });
    let hint = "The files stay where they are and as they are; nothing leaves this page. Small copies are kept on this device, so that they are here again the next time.";
    let label = "Scans of this roll";
    parts![
        el("h3").says("Scans"),
        el("div")
            .class("field")
            .with(el("label").attr("for", "review-scans").says(label))
            .with(field)
            .with(paragraph("hint", hint).id("review-scans-hint")),
        follows(move || beside_others(table)),
        folder::buttons(table),
        measured::progress(table),
    ]
}

/// All frames of the roll in the order of the film, small, with what they are.
fn contact(table: Table) -> Element {
    let box_speed = move || {
        table
            .roll
            .with(|book, roll| Some(book.stock_of(roll)?.box_speed))
    };
    let cells = move || -> Vec<Element> {
        let speed = box_speed();
        table.roll.with(|_, roll| {
            let frames = roll.numbered().into_iter();
            frames
                .filter_map(|(number, frame)| {
                    let number = number?;
                    let picture = table.picture_of(frame.id);
                    let none = picture.is_none();
                    let (set, offset) = as_shot(roll, frame).map_or_else(
                        || (String::new(), String::new()),
                        |shot| {
                            let offset = speed.map_or_else(String::new, |speed| {
                                let offset = shot.from_box(speed);
                                format!("{} than box speed", words::difference(offset))
                            });
                            (shot.set.shown(), offset)
                        },
                    );
                    let verdict = frame.verdict.as_ref();
                    Some(
                        el("li")
                            .class("contact")
                            .with(picture_of(format!("Frame {number}"), picture))
                            .with(paragraph("contact-none", "no scan").hidden(!none))
                            .with(paragraph("contact-number", number.to_string()))
                            .with(paragraph("contact-words", set))
                            .with(paragraph("contact-words", offset))
                            .with(said(
                                "contact-verdict",
                                verdict.map_or("", |verdict| verdict.grade.words()),
                            )),
                    )
                })
                .collect()
        })
    };
    el("section")
        .class("contact-sheet")
        .hidden_when(move || table.is_bare() || table.is_blind())
        .with(el("h3").says("Contact sheet"))
        .with(
            el("ol")
                .class("contacts")
                .named("Contact sheet")
                .with(follows(cells)),
        )
        .with(row([button("", "Print the contact sheet", page::print)]))
}

/// The line-up of the scans with the log.
fn arrange(table: Table) -> Part {
    let film = Worked::new(move || table.roll.with(lines));
    let bare = move || table.is_bare();
    let moves = move || {
        let reversed = table.lineup.with(|how| how.reversed);
        row([
            button("", "Shift by one back", move || table.shift(-1)),
            button("", "Shift by one forward", move || table.shift(1)),
            button("", "Scans run the other way", move || {
                table.lay(|how| how.reversed = !how.reversed);
            })
            .attr("aria-pressed", if reversed { "true" } else { "false" }),
        ])
    };
    let places = move || {
        let kept = table.roll.with(|_, roll| kept(roll));
        film.with(|film| {
            let rows = film.iter().map(|line| place(table, &kept, line));
            unfolds(
                "Frame by frame",
                el("ol")
                    .class("places")
                    .named("Scans along the film")
                    .all(rows),
            )
            .class("line-up")
            .flag("open", true)
            .hidden(film.is_empty())
        })
    };
    let keeping = move || {
        parts![
            paragraph("reason", loses(table)),
            row([button(
                "main",
                "Keep these names with the frames",
                move || {
                    keep_names(table);
                }
            )]),
        ]
    };
    let hint = "Where the film has a frame that the log has not, or the other way round, put it in here, or take it out on the page of the roll: the scans follow.";
    parts![
        el("h3").says("Line-up with the log"),
        against(table),
        paragraph("reason", "Nothing is logged on this roll yet.")
            .hidden_when(move || film.with(|film| !film.is_empty())),
        el("div")
            .hidden_when(bare)
            .with(follows(moves))
            .with(paragraph(
                "reason",
                "Forward lays each scan at the next frame of the log.",
            ))
            .with(anchor(table, film))
            .with(strips(table, film)),
        follows(places),
        follows(move || paragraph("lines", beyond(table))),
        follows(move || row(taken_back(table))),
        paragraph("reason", hint).hidden_when(bare),
        put_in::form(table.roll),
        el("div").hidden_when(bare).with(follows(keeping)),
    ]
}

/// What the pictures say against the log, and how they may lie instead.
fn against(table: Table) -> Part {
    let against = Worked::new(move || table.against());
    let lay = move || {
        if let Some(other) = against.now().and_then(|against| against.instead) {
            table.lay(|how| *how = other);
            table.roll.room.sheet.keep_focus();
        }
    };
    follows(move || {
        let (says, other) = against.with(|against| {
            let against = against.as_ref();
            (
                against.map_or_else(String::new, |against| against.says.clone()),
                against.is_some_and(|against| against.instead.is_some()),
            )
        });
        el("div")
            .class("question")
            .attr("role", "status")
            .hidden(says.is_empty())
            .with(paragraph("", says))
            .with(row([button("main", "Lay them so", lay)]).hidden(!other))
    })
}

/// The names that the line-up gives to frames.
fn laid(table: Table) -> Vec<(u16, String)> {
    let files = table.names();
    table.places.with(|places| names(places, &files))
}

/// How many frames would lose the name that is kept with them, in words.
fn loses(table: Table) -> String {
    let names = laid(table);
    let lost = table.roll.with(|_, roll| {
        let unnamed = names.iter().filter(|(_, name)| name.is_empty());
        let frames = unnamed.filter_map(|(id, _)| roll.frame(*id));
        frames.filter(|frame| !frame.scan.is_empty()).count()
    });
    if lost == 0 || table.is_bare() {
        String::new()
    } else {
        format!("Frames that would lose the name kept with them: {lost}.")
    }
}

fn keep_names(table: Table) {
    let mut scans = laid(table);
    // A frame that neither has a name nor gets one is not touched.
    table.roll.once(|_, roll| {
        scans.retain(|(id, name)| roll.frame(*id).is_some_and(|frame| frame.scan != *name));
    });
    let room = table.roll.room;
    if scans.is_empty() {
        let said = "These names are kept with the frames already.";
        return room.said.set(said.to_owned());
    }
    room.edit(&Edit::Name {
        roll: table.roll.id(),
        scans,
    });
}

/// Files that lie beyond the log or between its frames, in words.
fn beyond(table: Table) -> String {
    let (skipped, strips) = table
        .lineup
        .with(|how| (how.skipped.clone(), how.strips.clone()));
    let names = |files: Vec<usize>| {
        table.scans.with(|scans| {
            let names = files.into_iter().filter_map(|file| scans.get(file));
            let names: Vec<&str> = names.map(|scan| scan.name.as_str()).collect();
            names.join(", ")
        })
    };
    let of = |places: &[book::Place]| {
        let beyond = places.iter().filter(|place| place.number.is_none());
        let files = beyond.filter_map(|place| place.file);
        names(files.filter(|file| !skipped.contains(file)).collect())
    };
    table.places.with(|places| {
        let first = places.iter().position(|place| place.number.is_some());
        let (before, after) = places.split_at(first.unwrap_or(0));
        let mut lines = Vec::new();
        for (where_to, names) in [
            ("Scans before the first frame of the log", of(before)),
            ("Scans after the last frame of the log", of(after)),
            ("Scans that are no frame of the log", names(skipped.clone())),
        ] {
            if !names.is_empty() {
                lines.push(format!("{where_to}: {names}."));
            }
        }
        let turned: Vec<String> = strips.iter().map(|strip| ends_of(table, *strip)).collect();
        if !turned.is_empty() {
            let turned = turned.join(", ");
            lines.push(format!("Strips that lie the other way round: {turned}."));
        }
        lines.join("\n")
    })
}

/// The name of the first and of the last file of a strip.
fn ends_of(table: Table, strip: (usize, usize)) -> String {
    format!("{} to {}", table.name(strip.0), table.name(strip.1))
}

/// The way back for each file that was left out, and for each strip that was turned.
fn taken_back(table: Table) -> Vec<Element> {
    let count = table.scans.with(Vec::len);
    let (skipped, strips) = table
        .lineup
        .with(|how| (how.skipped.clone(), how.strips.clone()));
    let skipped = skipped.into_iter().filter(|file| *file < count);
    let counted = skipped.map(|file| {
        let words = format!("Count {} again", table.name(file));
        button("", words, move || {
            table.lay(|how| how.skipped.retain(|skipped| *skipped != file));
            table.roll.room.sheet.keep_focus();
        })
    });
    let strips = strips.into_iter().filter(|(_, last)| *last < count);
    let turned = strips.map(|strip| {
        let words = format!("Turn {} back", ends_of(table, strip));
        button("", words, move || {
            table.lay(|how| how.strips.retain(|known| *known != strip));
            table.roll.room.sheet.keep_focus();
        })
    });
    counted.chain(turned).collect()
}

/// One file that is known to be one frame, or none.
fn anchor(table: Table, film: Worked<Vec<Line>>) -> Element {
    let files = Worked::new(move || -> Options {
        table.scans.with(|scans| {
            (0..)
                .zip(scans)
                .map(|(nth, scan): (usize, _)| (nth.to_string(), scan.name.clone()))
                .collect()
        })
    });
    let numbers = numbers(film);
    let file = Live::new(String::new());
    let number = Live::new(String::new());
    let leave_out = move || {
        let Some(file) = key(file, files).map(usize::from) else {
            return;
        };
        let name = table.name(file);
        let lies = table.places.once(|places| {
            let mut places = places.iter();
            places.any(|place| place.number.is_some() && place.file == Some(file))
        });
        if !lies {
            let said = format!("{name} lies at no frame of the log already.");
            return table.roll.room.said.set(said);
        }
        table.lay(|how| {
            how.skipped.push(file);
            how.skipped.sort_unstable();
        });
        table.roll.room.said.set(format!(
            "{name} is no frame of this roll. What lay behind it lies one frame nearer."
        ));
    };
    let lay = move || {
        let (Some(file), Some(number)) = (key(file, files), key(number, numbers)) else {
            return;
        };
        let count = table.scans.once(Vec::len);
        let how = table.lineup.once(|how| {
            let roll = table.roll;
            roll.once(|_, roll| anchored(roll, count, how, usize::from(file), number))
        });
        match how {
            Some(anchored) => table.lay(|how| *how = anchored),
            None => table.roll.room.said.set(format!(
                "Frame {number} is marked as without a scan. Take that mark away first."
            )),
        }
    };
    row([
        choice("review-file", "Lay this scan", move || files.get(), file),
        choice(
            "review-number",
            "at this frame",
            move || numbers.get(),
            number,
        ),
        button("", "Lay it there", lay).into(),
        button("", "Leave this scan out", leave_out).into(),
    ])
}

/// Frames to choose one from.
fn numbers(film: Worked<Vec<Line>>) -> Worked<Options> {
    Worked::new(move || -> Options {
        film.with(|film| {
            film.iter()
                .map(|line| (line.number.to_string(), format!("Frame {}", line.number)))
                .collect()
        })
    })
}

/// The key that a field shows. One that was never chosen, or is gone with its list, stands for the first.
fn key(chosen: Live<String>, options: Worked<Options>) -> Option<u16> {
    let chosen = chosen.now();
    options.once(|options| {
        let mut keys = options.iter().map(|(key, _)| key);
        let known = keys.find(|key| **key == chosen);
        let key = known.or(options.first().map(|(key, _)| key));
        key.and_then(|key| key.parse().ok())
    })
}

/// The way to turn a strip that lies the other way round than the rest.
fn strips(table: Table, film: Worked<Vec<Line>>) -> Element {
    let numbers = numbers(film);
    let ends = [Live::new(String::new()), Live::new(String::new())];
    let turn = move || {
        let [Some(from), Some(to)] = ends.map(|end| key(end, numbers)) else {
            return;
        };
        let count = table.scans.once(Vec::len);
        let how = table.lineup.once(|how| {
            let roll = table.roll;
            roll.once(|_, roll| turned(roll, count, how, (from, to)))
        });
        let said = table.roll.room.said;
        let Some(how) = how else {
            return said.set(
                "No two scans lie at these frames: choose the frames at both ends of the strip."
                    .to_owned(),
            );
        };
        let before = table.lineup.now().strips;
        let not_in = |strips: &[(usize, usize)], others: &[(usize, usize)]| -> Vec<String> {
            let strips = strips.iter().filter(|strip| !others.contains(strip));
            strips.map(|strip| ends_of(table, *strip)).collect()
        };
        // One that shares a scan with this one is turned back for it.
        let sentences = [
            ("Now the other way round", not_in(&how.strips, &before)),
            ("As the rest again", not_in(&before, &how.strips)),
        ];
        table.lay(|now| *now = how);
        let sentences = sentences.into_iter().filter(|(_, names)| !names.is_empty());
        let sentences: Vec<String> = sentences
            .map(|(what, names)| format!("{what}: {}.", names.join(", ")))
            .collect();
        said.set(sentences.join(" "));
    };
    unfolds(
        "A strip that was scanned the other way round",
        row([
            choice(
                "review-strip-from",
                "Turn the scans from this frame",
                move || numbers.get(),
                ends[0],
            ),
            choice(
                "review-strip-to",
                "to this one",
                move || numbers.get(),
                ends[1],
            ),
            button("", "Turn this strip", turn).into(),
        ]),
    )
}

/// What lies at a piece of film, and what was kept with it.
fn file_words(name: Option<String>, kept: Option<&String>, loaded: bool) -> String {
    match (name, kept) {
        (Some(name), Some(kept)) if name == *kept => format!("{name}, kept with the frame"),
        (Some(name), Some(kept)) => format!("{name}; kept with the frame so far: {kept}"),
        (Some(name), None) => name,
        (None, Some(kept)) if loaded => {
            format!("no scan; kept with the frame so far: {kept}")
        }
        (None, Some(kept)) => format!("{kept}, kept with the frame"),
        (None, None) if loaded => "no scan".to_owned(),
        (None, None) => "no scan is named yet".to_owned(),
    }
}

/// A picture; out of sight where there is none.
pub(super) fn picture_of(alt: String, address: Option<String>) -> Element {
    let image = el("img")
        .attr("loading", "lazy")
        .attr("decoding", "async")
        .attr("alt", alt)
        .hidden(address.is_none());
    match address {
        Some(address) => image.attr("src", address),
        None => image,
    }
}

/// A piece of film with what lies at it.
fn place(table: Table, kept: &[(u16, String)], line: &Line) -> Element {
    let (number, id) = (line.number, line.id);
    let file = table.file(|place| place.number == Some(number));
    let name = file.map(|file| table.name(file));
    let mut kept = kept.iter().filter(|(known, _)| *known == number);
    let kept = kept.next().map(|(_, name)| name);
    let is_bare = table.is_bare();
    let gap = table.lineup.with(|how| how.is_gap(&[id]));
    let toggle = move |ticked: bool| {
        table.lay(|how| {
            how.gaps.retain(|known| *known != id);
            if ticked {
                how.gaps.push(id);
            }
        });
    };
    let picture = file.and_then(|file| table.address(file));
    el("li")
        .class("place")
        .with(
            el("span")
                .class("place-number")
                .says(format!("Frame {number}")),
        )
        .with(el("span").class("place-words").says(line.words.clone()))
        .with(
            el("span")
                .class("place-file")
                .says(file_words(name, kept, !is_bare)),
        )
        .with(picture_of(format!("Scan at frame {number}"), picture).class("place-picture"))
        .with(
            tick_box(
                "pick place-gap",
                format!("Frame {number}: no scan of this frame"),
                "No scan of this frame",
                [gap, false],
                toggle,
            )
            .hidden(is_bare),
        )
}

/// A box to tick whose name says more than the words next to it.
pub(super) fn tick_box(
    class: &'static str,
    name: String,
    words: &'static str,
    [on, disabled]: [bool; 2],
    set: impl Fn(bool) + 'static,
) -> Element {
    let input = el("input")
        .attr("type", "checkbox")
        .named(name)
        .ticked(on)
        // It keeps the keyboard where it is: a box that is put out of use would drop it.
        .attr("aria-disabled", if disabled { "true" } else { "false" })
        .on("click", move |event| {
            if disabled {
                event.prevent();
            }
            set(event.is_ticked());
        });
    el("label").class(class).with(input).says(words)
}

/// The frames of a scene side by side, with their verdicts.
fn compare(table: Table) -> Element {
    let corrected = "These scans were corrected frame by frame: what you see here does not show how the film was exposed.";
    el("section")
        .class("review-compare")
        .with(el("h3").says("Compare and judge"))
        .with(
            paragraph("warning review-warning", corrected)
                .hidden_when(move || table.made() != Some(Scans::Corrected)),
        )
        .with(choice(
            "review-scene",
            "Scene",
            move || table.scenes(),
            table.scene,
        ))
        .with(follows(move || blind(table)))
        .with(follows(move || {
            paragraph("reason", table.roll.with(|_, roll| no_cards(table, roll)))
        }))
        .with(
            el("ul")
                .class("frames")
                .named("Frames to compare")
                .with(follows(move || cards_of(table))),
        )
        .with(follows(move || {
            table.roll.with(|_, roll| Some(remarks(table, roll)))
        }))
}

/// Whether the comparison is blind, and what that means.
fn blind(table: Table) -> Part {
    let (is_bare, is_blind) = (table.is_bare(), table.is_blind());
    let hide = move |ticked: bool| {
        // Each time another number: who has looked once knows the pictures in that order.
        table.lot.set(ticked.then(clock::chance));
    };
    let words = if is_blind {
        "The pictures are shuffled and go by letters. Take the tick away to see which is which."
    } else {
        "Least light first. Tap a picture to see it large."
    };
    parts![
        tick("Compare blind", is_blind, hide).hidden(is_bare),
        paragraph("reason", words).hidden(is_bare),
    ]
}

fn no_cards(table: Table, roll: &Roll) -> &'static str {
    if roll.scenes.is_empty() {
        "No scene is logged on this roll, so there is nothing to compare."
    } else if table.cards.with(Vec::is_empty) {
        "No frame of this scene counts as evidence."
    } else {
        ""
    }
}

/// What goes against the log, and what is not compared. Who compares blind is not told which frame is which.
fn remarks(table: Table, roll: &Roll) -> Part {
    let (mut against, mut aside) = (Vec::new(), Vec::new());
    if !table.is_blind() {
        let chosen = table.scene.get();
        aside = left_aside(roll, &chosen);
        if let Some(scene) = scene_of(roll, &chosen) {
            against = verdicts_against_log(roll, scene);
        }
    }
    parts![
        paragraph("warning lines", against.join("\n")),
        el("div")
            .hidden(aside.is_empty())
            .with(el("h4").says("Not compared"))
            .with(
                el("ul")
                    .class("list")
                    .named("Frames that are not compared, and why")
                    .all(aside.into_iter().map(|why| el("li").says(why))),
            ),
    ]
}

/// The frame that tells most of the chosen scene, and on which film. The mark would tell which picture got less light than
/// another, so there is none while the comparison is blind.
fn telling(table: Table, book: &Book, roll: &Roll) -> Option<(u16, Film)> {
    if table.is_blind() {
        return None;
    }
    let film = book.stock_of(roll)?.film;
    let scene = table.scene.with(|chosen| scene_of(roll, chosen))?;
    Some((telling_frame(roll, scene, film)?, film))
}

fn cards_of(table: Table) -> Vec<Element> {
    table.roll.with(|book, roll| {
        let telling = telling(table, book, roll);
        table.cards.with(|cards| {
            let all = cards.iter().enumerate();
            let card = |(nth, card): (usize, &Card)| {
                let verdict = roll.frame(card.id).and_then(|frame| frame.verdict.as_ref());
                let film = telling.filter(|(frame, _)| *frame == card.id);
                let mark = match film {
                    Some((_, film)) if film.is_negative() => {
                        "Tells most: the least light that still has shadow texture."
                    }
                    Some(_) => "Tells most: the most light that still has highlight texture.",
                    None => "",
                };
                self::card(table, nth, card, verdict, mark)
            };
            all.map(card).collect()
        })
    })
}

/// One frame: its picture, what it amounts to, its verdict.
fn card(
    table: Table,
    nth: usize,
    card: &Card,
    verdict: Option<&Verdict>,
    mark: &'static str,
) -> Element {
    let (id, name) = (card.id, &card.name);
    let picture = table.picture_of(id);
    let lacks = picture.is_none() && !table.is_bare();
    let large = el("button")
        .class("frame-picture")
        .attr("type", "button")
        .attr("aria-haspopup", "dialog")
        .named(format!("{name}: show it large"))
        .flag("data-at", table.at.get() == nth)
        .hidden(picture.is_none())
        .press(move || table.enlarge(nth))
        .with(picture_of(name.clone(), picture).hidden(false));
    let grades = GRADES.map(|(grade, word)| {
        let is_given = verdict.is_some_and(|verdict| verdict.grade == grade);
        button("grade", word, move || table.grade(id, grade))
            .attr("aria-pressed", if is_given { "true" } else { "false" })
            .named(format!("{name}: {}", grade.words()))
    });
    let boxes = Tick::ALL.into_iter().map(|tick| {
        let on = verdict.is_some_and(|verdict| verdict.ticks.contains(&tick));
        let named = format!("{name}: {}", tick.words());
        let toggle = move |ticked| table.tick(id, tick, ticked);
        tick_box("pick", named, tick.words(), [on, verdict.is_none()], toggle)
    });
    el("li")
        .class("frame")
        .with(large)
        .with(paragraph("frame-lacks", "No scan of this frame.").hidden(!lacks))
        .with(paragraph("frame-name", name.clone()))
        .with(paragraph("frame-words", card.words.clone()))
        .with(paragraph("frame-mark", mark))
        .with(
            el("div")
                .class("grades")
                .attr("role", "group")
                .named(format!("{name}: verdict"))
                .all(grades),
        )
        .with(
            el("div")
                .class("ticks")
                .attr("role", "group")
                .named(format!("{name}: what it shows"))
                .all(boxes),
        )
        .with(
            paragraph("hint", "Ticks can be set once there is a verdict.")
                .hidden(verdict.is_some()),
        )
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::{by_number, letter};

    #[wasm_bindgen_test]
    fn names_are_put_in_the_order_of_their_numbers() {
        let mut names = ["scan10.jpg", "scan9.jpg", "scan009b.jpg", "cover.jpg"];
        names.sort_by_cached_key(|name| by_number(name));
        assert_eq!(
            names,
            ["cover.jpg", "scan9.jpg", "scan009b.jpg", "scan10.jpg"],
            "nine comes before ten"
        );
    }

    #[wasm_bindgen_test]
    fn pictures_go_by_letters() {
        let names: Vec<String> = [0, 25, 26, 52].into_iter().map(letter).collect();
        assert_eq!(names, ["A", "Z", "A2", "A3"], "a new round gets a number");
    }
}
