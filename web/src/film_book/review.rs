//! Scans of a roll that came back: how they were made, lined up with the log, compared and judged.
//!
//! What has buttons in it is made of values that an edit does not change, so that a press never takes the focus away:
//! the rows of the line-up and the frames of a comparison are made anew only where the log itself is another.

use book::{
    Against, Book, Edit, Film, Grade, Lineup, Roll, Row, Scans, Tick, Verdict, against_log,
    anchored, as_shot, comparing_order, frame_words, line_up, meter_words, names, no_evidence,
    rows, scans_words, telling_frame, verdicts_against_log,
};
use leptos::ev::{Event, KeyboardEvent};
use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use readings::picture::{Picture as Seen, Spot};

use super::{
    form::{choice, select},
    put_in,
    room::{Place, Room},
};
use crate::{
    browser::{
        files::{self, File, Picture},
        picture,
    },
    choice::Options,
    piece::{button, flag, never, paragraph, press, text},
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

/// A file that was loaded, in the order of the names.
struct Scan {
    name: String,
    /// None where the browser refused to give the file an address.
    picture: Option<Picture>,
}

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
struct Card {
    id: u16,
    /// What it is called: by its number, or blind by a letter.
    name: String,
    /// What it amounts to; empty while the comparison is blind.
    words: String,
}

/// The table on which the scans of one roll lie.
#[derive(Clone, Copy)]
struct Table {
    room: Room,
    id: StoredValue<String>,
    /// Dropped with the page, and the pictures with it.
    scans: RwSignal<Vec<Scan>>,
    lineup: RwSignal<Lineup>,
    places: Memo<Vec<book::Place>>,
    /// Mean brightness of each scan; empty until all are measured.
    bright: RwSignal<Vec<Option<f64>>>,
    /// How many times scans were loaded: what is still measured of earlier ones is not wanted any more.
    loaded: StoredValue<u32>,
    /// The number that shuffles a blind comparison; none while it is open.
    lot: RwSignal<Option<u32>>,
    /// Key of the chosen scene.
    scene: RwSignal<String>,
    cards: Memo<Vec<Card>>,
    /// Which of the cards is shown large.
    at: RwSignal<usize>,
    large: NodeRef<html::Dialog>,
}

pub(super) fn page(room: Room, id: String) -> impl IntoView {
    let table = Table::new(room, id);
    let rest = move || {
        if let Some(batch) = table.once(|_, roll| Some(roll.batch.clone())) {
            room.go(Place::Batch(batch));
        }
    };
    let by_sight =
        flag(move || table.made() == Some(Scans::LightTable) && table.scans.with(Vec::is_empty));
    let blind = flag(move || table.is_blind());
    let open = flag(move || !table.is_blind());
    view! {
        {ways(table)}
        <section hidden=by_sight>
            {load(table)}
            <section hidden=blind>{arrange(table)}</section>
            <p class="reason" hidden=open>
                "While you compare blind, the line-up is put out of sight."
            </p>
        </section>
        {compare(table)}
        <div class="row">{button("main", "Rate the rest of this group", never(), rest)}</div>
        {large(table)}
    }
}

impl Table {
    fn new(room: Room, id: String) -> Self {
        let id = StoredValue::new(id);
        let scans = RwSignal::new(Vec::<Scan>::new());
        let lineup = RwSignal::new(Lineup::default());
        let places = Memo::new(move |_| {
            let files = scans.with(Vec::len);
            lineup.with(|how| {
                room.with(|book| {
                    id.with_value(|id| book.roll(id).map(|roll| line_up(roll, files, how)))
                        .unwrap_or_default()
                })
            })
        });
        let lot = RwSignal::new(None);
        let scene = RwSignal::new(String::new());
        let cards = Memo::new(move |_| {
            let (lot, chosen) = (lot.get(), scene.get());
            room.with(|book| {
                id.with_value(|id| book.roll(id).map(|roll| cards(book, roll, &chosen, lot)))
                    .unwrap_or_default()
            })
        });
        Self {
            room,
            id,
            scans,
            lineup,
            places,
            bright: RwSignal::new(Vec::new()),
            loaded: StoredValue::new(0),
            lot,
            scene,
            cards,
            at: RwSignal::new(0),
            large: NodeRef::new(),
        }
    }

    /// What follows from the roll, anew whenever the book changes; nothing if the roll is gone.
    fn with<T: Default>(self, of: impl FnOnce(&Book, &Roll) -> T) -> T {
        self.room.with(|book| {
            self.id
                .with_value(|id| book.roll(id).map(|roll| of(book, roll)))
                .unwrap_or_default()
        })
    }

    /// The same once, where nothing is to follow.
    fn once<T: Default>(self, of: impl FnOnce(&Book, &Roll) -> T) -> T {
        self.room.once(|book| {
            self.id
                .with_value(|id| book.roll(id).map(|roll| of(book, roll)))
                .unwrap_or_default()
        })
    }

    fn made(self) -> Option<Scans> {
        self.with(|_, roll| roll.scans)
    }

    fn is_blind(self) -> bool {
        self.lot.with(Option::is_some)
    }

    /// Address of the picture at a place that is found by what lies there.
    fn picture(self, lies: impl Fn(&book::Place) -> bool) -> Option<String> {
        let file = self.places.with(|places| {
            places
                .iter()
                .find(|place| lies(place))
                .and_then(|place| place.file)
        })?;
        self.scans.with(|scans| {
            let picture = scans.get(file)?.picture.as_ref()?;
            Some(picture.address().to_owned())
        })
    }

    fn picture_of(self, frame: u16) -> Option<String> {
        self.picture(|place| place.frames.contains(&frame))
    }

    /// Changes the line-up, and says where it lies now.
    fn lay(self, change: impl FnOnce(&mut Lineup)) {
        self.lineup.update(change);
        let first = self.places.with_untracked(|places| {
            places
                .iter()
                .find_map(|place| Some((place.number?, place.file?)))
        });
        let said = first.map_or_else(
            || "No scan lies at a frame of the log now.".to_owned(),
            |(number, file)| format!("{} lies at frame {number}.", self.name(file)),
        );
        self.room.said.set(said);
    }

    fn shift(self, by: i32) {
        let most = self.places.with_untracked(Vec::len);
        // OK to hold there: a roll's log and a folder of scans are a few hundred at most.
        let most = i32::try_from(most).unwrap_or(i32::MAX);
        self.lay(|how| how.shift = how.shift.saturating_add(by).clamp(-most, most));
    }

    fn name(self, file: usize) -> String {
        self.scans.with_untracked(|scans| {
            scans
                .get(file)
                .map(|scan| scan.name.clone())
                .unwrap_or_default()
        })
    }

    fn verdict(self, frame: u16) -> Option<Verdict> {
        self.with(|_, roll| roll.frame(frame)?.verdict.clone())
    }

    /// Changes the verdict of a frame.
    fn judge(self, frame: u16, change: impl FnOnce(Option<Verdict>) -> Option<Verdict>) {
        let now = self.once(|_, roll| roll.frame(frame)?.verdict.clone());
        self.room.edit(&Edit::Judge {
            roll: self.id.get_value(),
            frame,
            verdict: change(now),
        });
    }

    /// Grades a frame; the grade that it has already is taken back.
    fn grade(self, frame: u16, grade: Grade) {
        self.judge(frame, |now| match now {
            Some(verdict) if verdict.grade == grade => None,
            now => Some(Verdict {
                grade,
                ticks: now.map(|verdict| verdict.ticks).unwrap_or_default(),
            }),
        });
    }

    fn tick(self, frame: u16, tick: Tick, ticked: bool) {
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
        if let Some(dialog) = self.large.get_untracked() {
            // OK to ignore: it fails only where it is open already.
            let _ = dialog.show_modal();
        }
    }

    /// Goes on or back among the cards, as far as there are any.
    fn step(self, on: bool) {
        let count = self.cards.with_untracked(Vec::len);
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
fn scene_of(roll: &Roll, chosen: &str) -> Option<u16> {
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

/// The line-up that gives these files the names that are kept; none if nothing is kept or the files lie another way.
fn kept_lineup(roll: &Roll, files: &[String]) -> Option<Lineup> {
    let kept = kept(roll);
    let file_of = |number: u16| {
        let (_, name) = kept.iter().find(|(known, _)| *known == number)?;
        files.iter().position(|file| file == name)
    };
    let mut film: Vec<(u16, u16)> = roll
        .numbered()
        .into_iter()
        .filter_map(|(number, frame)| Some((number?, frame.id)))
        .collect();
    film.dedup_by_key(|(number, _)| *number);
    let first = film
        .iter()
        .map(|(number, _)| *number)
        .find(|number| file_of(*number).is_some())?;
    let gaps: Vec<u16> = film
        .into_iter()
        .filter(|(number, _)| file_of(*number).is_none())
        .map(|(_, id)| id)
        .collect();
    [false, true].into_iter().find_map(|reversed| {
        let how = Lineup {
            reversed,
            shift: 0,
            gaps: gaps.clone(),
        };
        let how = anchored(roll, files.len(), &how, file_of(first)?, first)?;
        line_up(roll, files.len(), &how)
            .iter()
            .all(|place| {
                place
                    .number
                    .is_none_or(|number| place.file == file_of(number))
            })
            .then_some(how)
    })
}

/// Puts numbers in names in the order of the numbers: `scan 9` before `scan 10`.
fn by_number(name: &str) -> Vec<(String, u64)> {
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

/// The number of the draw of this turn, which nobody knows beforehand: browsers give each picture an address at random.
fn draw(scans: &[Scan], nth: u32) -> u32 {
    scans
        .iter()
        .filter_map(|scan| scan.picture.as_ref())
        .flat_map(|picture| picture.address().bytes())
        .fold(0x811c_9dc5 ^ nth, |number, byte| {
            (number ^ u32::from(byte)).wrapping_mul(0x0100_0193)
        })
}

/// How the scans were made, which decides what can be concluded from them.
fn ways(table: Table) -> impl IntoView {
    let options: Options = WAYS
        .into_iter()
        .map(|(key, name, _)| (key.to_owned(), name.to_owned()))
        .collect();
    let chosen = text(move || {
        let made = table.made();
        WAYS.into_iter()
            .find(|(.., way)| *way == made)
            .map(|(key, ..)| key.to_owned())
            .unwrap_or_default()
    });
    let choose = move |event: Event| {
        let key = event_target_value(&event);
        let way = WAYS.into_iter().find(|(known, ..)| *known == key);
        table.room.edit(&Edit::ScansMade {
            roll: table.id.get_value(),
            how: way.and_then(|(.., how)| how),
        });
    };
    let warns = flag(move || table.warns());
    let quiet = flag(move || !table.warns());
    let words = text(move || scans_words(table.made()).to_owned());
    view! {
        {select(
            "review-made",
            "How were the scans made?",
            NodeRef::new(),
            Signal::stored(options),
            chosen,
            Box::new(choose),
        )}
        <p class="warning review-warning" hidden=quiet>
            {words}
        </p>
        <p class="reason" hidden=warns>
            {words}
        </p>
    }
}

impl Table {
    /// Whether the way the scans were made puts the result in doubt.
    fn warns(self) -> bool {
        !matches!(self.made(), Some(Scans::Fixed | Scans::LightTable))
    }

    /// Takes in the files that were chosen.
    fn take(self, mut chosen: Vec<(Scan, File)>) {
        // Where the choice was called off, what was loaded stays.
        if chosen.is_empty() {
            return;
        }
        chosen.sort_by_cached_key(|(scan, _)| by_number(&scan.name));
        let (chosen, files): (Vec<Scan>, Vec<File>) = chosen.into_iter().unzip();
        let names: Vec<String> = chosen.iter().map(|scan| scan.name.clone()).collect();
        let (before, film) = self.once(|_, roll| {
            let before = (!kept(roll).is_empty()).then(|| kept_lineup(roll, &names));
            (before, roll.used())
        });
        let more = match &before {
            None => "",
            Some(Some(_)) => " They lie as their names were kept.",
            Some(None) => " The names that were kept do not fit these files: line them up anew.",
        };
        self.room.said.set(format!(
            "Scans loaded: {}. Frames on the film: {film}.{more}",
            names.len()
        ));
        self.lineup.set(before.flatten().unwrap_or_default());
        self.scans.set(chosen);
        self.bright.set(Vec::new());
        self.loaded
            .update_value(|loaded| *loaded = loaded.wrapping_add(1));
        spawn_local(self.measure(files));
    }

    /// Measures how bright scans are, one by one, as long as they are the ones that lie here.
    async fn measure(self, files: Vec<File>) {
        let this = self.loaded.try_get_value();
        let Some(canvas) = picture::canvas() else {
            return;
        };
        let mut means = Vec::with_capacity(files.len());
        for file in &files {
            let pixels = picture::of_file(file, &canvas, MEASURED).await;
            if self.loaded.try_get_value() != this {
                return;
            }
            let mean = pixels.and_then(|pixels| {
                let seen = Seen::new(pixels.width, pixels.height, &pixels.data).ok()?;
                Some(seen.spot(MIDDLE).ok()?.mean)
            });
            means.push(mean);
        }
        self.bright.set(means);
    }

    /// What the pictures say against the log.
    fn against(self) -> Option<Against> {
        let files = self.scans.with(Vec::len);
        self.bright.with(|bright| {
            self.lineup
                .with(|how| self.with(|_, roll| against_log(roll, files, how, bright)))
        })
    }
}

/// The longest side of a scan as it is measured, in pixels.
const MEASURED: f64 = 240.0;
/// Where a scan is measured: the edges may show the film's own.
const MIDDLE: Spot = Spot {
    across: 0.5,
    down: 0.5,
    radius: 0.4,
};

fn load(table: Table) -> impl IntoView {
    let field = NodeRef::<html::Input>::new();
    let take = move |_| {
        let Some(field) = field.get_untracked() else {
            return;
        };
        let chosen = files::chosen(&field)
            .iter()
            .map(|file| {
                let scan = Scan {
                    name: file.name(),
                    picture: files::picture(file),
                };
                (scan, file.clone())
            })
            .collect();
        table.take(chosen);
    };
    view! {
        <h3>"Scans"</h3>
        <div class="field">
            <label for="review-scans">"Load the scans of this roll"</label>
            <input
                id="review-scans"
                node_ref=field
                type="file"
                multiple
                accept="image/*"
                aria-describedby="review-scans-hint"
                on:change=take
            />
            <p class="hint" id="review-scans-hint">
                "The files stay where they are and as they are; nothing leaves this page. A kind of file that this browser cannot show keeps its place without a picture."
            </p>
        </div>
    }
}

/// The line-up of the scans with the log.
fn arrange(table: Table) -> impl IntoView {
    let film = Memo::new(move |_| table.with(lines));
    let kept = Memo::new(move |_| table.with(|_, roll| kept(roll)));
    let rows = move || {
        film.get()
            .into_iter()
            .map(|line| row(table, kept, line))
            .collect_view()
    };
    let none = flag(move || table.scans.with(Vec::is_empty));
    let blank = flag(move || film.with(Vec::is_empty));
    let reversed = text(move || table.lineup.with(|how| how.reversed).to_string());
    let reverse = press(move || table.lay(|how| how.reversed = !how.reversed));
    let beyond = text(move || beyond(table));
    let loses = text(move || {
        let names = laid(table);
        let lost = table.with(|_, roll| {
            names
                .iter()
                .filter(|(id, name)| {
                    name.is_empty() && roll.frame(*id).is_some_and(|frame| !frame.scan.is_empty())
                })
                .count()
        });
        if lost == 0 || none.get() {
            String::new()
        } else {
            format!("Frames that would lose the name kept with them: {lost}.")
        }
    });
    let keep = move || {
        // A frame that neither has a name nor gets one is not touched.
        let names: Vec<(u16, String)> = untrack(|| laid(table));
        let scans = table.once(|_, roll| {
            names
                .into_iter()
                .filter(|(id, name)| roll.frame(*id).is_some_and(|frame| frame.scan != *name))
                .collect::<Vec<_>>()
        });
        if scans.is_empty() {
            table
                .room
                .said
                .set("These names are kept with the frames already.".to_owned());
            return;
        }
        table.room.edit(&Edit::Name {
            roll: table.id.get_value(),
            scans,
        });
    };
    let against = Memo::new(move |_| table.against());
    let says = text(move || {
        against.with(|against| {
            let says = against.as_ref().map(|against| against.says.clone());
            says.unwrap_or_default()
        })
    });
    let no_other = flag(move || {
        against.with(|against| {
            against
                .as_ref()
                .is_none_or(|against| against.instead.is_none())
        })
    });
    let lay = move || {
        if let Some(other) = against.get_untracked().and_then(|against| against.instead) {
            table.lay(|how| *how = other);
            table.room.sheet.keep_focus();
        }
    };
    view! {
        <h3>"Line-up with the log"</h3>
        <div class="question" role="status" hidden=flag(move || says.with(String::is_empty))>
            {paragraph("", says)}
            <div class="row" hidden=no_other>
                {button("main", "Lay them so", never(), lay)}
            </div>
        </div>
        <p class="reason" hidden=flag(move || !blank.get())>
            "Nothing is logged on this roll yet."
        </p>
        <div hidden=none>
            <div class="row">
                {button("", "Shift by one back", none, move || table.shift(-1))}
                {button("", "Shift by one forward", none, move || table.shift(1))}
                <button type="button" aria-pressed=reversed on:click=reverse>
                    "Scans run the other way"
                </button>
            </div>
            <p class="reason">"Forward lays each scan at the next frame of the log."</p>
            {anchor(table, film)}
        </div>
        <details class="line-up" open hidden=blank>
            <summary>"Frame by frame"</summary>
            <ol class="places" aria-label="Scans along the film">
                {rows}
            </ol>
        </details>
        {paragraph("lines", beyond)}
        <p class="reason" hidden=none>
            "Where the film has a frame that the log has not, or the other way round, put it in here, or take it out on the page of the roll: the scans follow."
        </p>
        {put_in::form(table.room, table.id)}
        <div hidden=none>
            {paragraph("reason", loses)}
            <div class="row">
                {button("main", "Keep these names with the frames", none, keep)}
            </div>
        </div>
    }
}

/// The names that the line-up gives to frames.
fn laid(table: Table) -> Vec<(u16, String)> {
    let files: Vec<String> = table
        .scans
        .with(|scans| scans.iter().map(|scan| scan.name.clone()).collect());
    table.places.with(|places| names(places, &files))
}

/// Files that lie beyond the log, in words.
fn beyond(table: Table) -> String {
    // Other files may lie at the same places.
    table.scans.track();
    let names = |places: &[book::Place]| {
        let names: Vec<String> = places
            .iter()
            .filter(|place| place.number.is_none())
            .filter_map(|place| Some(table.name(place.file?)))
            .collect();
        names.join(", ")
    };
    table.places.with(|places| {
        let first = places.iter().position(|place| place.number.is_some());
        let (before, after) = places.split_at(first.unwrap_or(0));
        [
            ("Scans before the first frame of the log", names(before)),
            ("Scans after the last frame of the log", names(after)),
        ]
        .into_iter()
        .filter(|(_, names)| !names.is_empty())
        .map(|(where_to, names)| format!("{where_to}: {names}."))
        .collect::<Vec<_>>()
        .join("\n")
    })
}

/// One file that is known to be one frame.
fn anchor(table: Table, film: Memo<Vec<Line>>) -> impl IntoView {
    let files = Signal::derive(move || -> Options {
        table.scans.with(|scans| {
            scans
                .iter()
                .enumerate()
                .map(|(nth, scan)| (nth.to_string(), scan.name.clone()))
                .collect()
        })
    });
    let numbers = Signal::derive(move || -> Options {
        film.with(|film| {
            film.iter()
                .map(|line| (line.number.to_string(), format!("Frame {}", line.number)))
                .collect()
        })
    });
    let file = RwSignal::new(String::new());
    let number = RwSignal::new(String::new());
    // A key that was never chosen, or is gone with its list, stands for the first, which the field shows then.
    let key = |chosen: RwSignal<String>, options: Signal<Options>| {
        let chosen = chosen.get_untracked();
        options.with_untracked(|options| {
            options
                .iter()
                .find(|(key, _)| *key == chosen)
                .or(options.first())
                .and_then(|(key, _)| key.parse::<u16>().ok())
        })
    };
    let lay = move || {
        let (Some(file), Some(number)) = (key(file, files), key(number, numbers)) else {
            return;
        };
        let count = table.scans.with_untracked(Vec::len);
        let how = table.lineup.with_untracked(|how| {
            table.once(|_, roll| anchored(roll, count, how, usize::from(file), number))
        });
        match how {
            Some(anchored) => table.lay(|how| *how = anchored),
            None => table.room.said.set(format!(
                "Frame {number} is marked as without a scan. Take that mark away first."
            )),
        }
    };
    view! {
        <div class="row">
            {choice("review-file", "Lay this scan", files, file)}
            {choice("review-number", "at this frame", numbers, number)}
            {button("", "Lay it there", never(), lay)}
        </div>
    }
}

/// A piece of film with what lies at it.
fn row(table: Table, kept: Memo<Vec<(u16, String)>>, line: Line) -> impl IntoView {
    let (number, id) = (line.number, line.id);
    let file = text(move || {
        let file = table.places.with(|places| {
            places
                .iter()
                .find(|place| place.number == Some(number))
                .and_then(|place| place.file)
        });
        let name = file.and_then(|file| {
            table
                .scans
                .with(|scans| scans.get(file).map(|scan| scan.name.clone()))
        });
        let loaded = table.scans.with(|scans| !scans.is_empty());
        let kept = kept.with(|kept| {
            kept.iter()
                .find(|(known, _)| *known == number)
                .map(|(_, name)| name.clone())
        });
        match (name, kept) {
            (Some(name), Some(kept)) if name == kept => format!("{name}, kept with the frame"),
            (Some(name), Some(kept)) => format!("{name}; kept with the frame so far: {kept}"),
            (Some(name), None) => name,
            (None, Some(kept)) if loaded => {
                format!("no scan; kept with the frame so far: {kept}")
            }
            (None, Some(kept)) => format!("{kept}, kept with the frame"),
            (None, None) if loaded => "no scan".to_owned(),
            (None, None) => "no scan is named yet".to_owned(),
        }
    });
    let picture = Signal::derive(move || table.picture(|place| place.number == Some(number)));
    let no_picture = flag(move || picture.with(Option::is_none));
    let none = flag(move || table.scans.with(Vec::is_empty));
    let gap = flag(move || table.lineup.with(|how| how.is_gap(&[id])));
    let toggle = toggle(move |ticked| {
        table.lay(|how| {
            how.gaps.retain(|known| *known != id);
            if ticked {
                how.gaps.push(id);
            }
        });
    });
    view! {
        <li class="place">
            <span class="place-number">{format!("Frame {number}")}</span>
            <span class="place-words">{line.words}</span>
            <span class="place-file">{file}</span>
            <img
                class="place-picture"
                loading="lazy"
                decoding="async"
                alt=format!("Scan at frame {number}")
                src=picture
                hidden=no_picture
            />
            <label class="pick place-gap" hidden=none>
                <input
                    type="checkbox"
                    aria-label=format!("Frame {number}: no scan of this frame")
                    prop:checked=gap
                    on:change=toggle
                />
                "No scan of this frame"
            </label>
        </li>
    }
}

/// What happens when a box is ticked or not.
fn toggle(action: impl Fn(bool) + 'static) -> Box<dyn FnMut(Event)> {
    Box::new(move |event| action(event_target_checked(&event)))
}

/// The frames of a scene side by side, with their verdicts.
fn compare(table: Table) -> impl IntoView {
    let scenes = Memo::new(move |_| -> Options {
        table.with(|_, roll| {
            roll.scenes
                .iter()
                .map(|scene| {
                    let name = format!("{} {}", scene.number, scene.name);
                    (scene.number.to_string(), name.trim_end().to_owned())
                })
                .collect()
        })
    });
    let aside = Memo::new(move |_| {
        let chosen = table.scene.get();
        table.with(|_, roll| left_aside(roll, &chosen))
    });
    let telling = Memo::new(move |_| {
        let chosen = table.scene.get();
        table.with(|book, roll| {
            let film = book.stock_of(roll)?.film;
            let frame = telling_frame(roll, scene_of(roll, &chosen)?, film)?;
            Some((frame, film))
        })
    });
    let none_loaded = flag(move || table.scans.with(Vec::is_empty));
    let blind = flag(move || table.is_blind());
    let looks = StoredValue::new(0_u32);
    let hide = toggle(move |ticked| {
        // Each time another number: who has looked once knows the pictures in that order.
        looks.update_value(|looks| *looks = looks.wrapping_add(1));
        let lot = || {
            table
                .scans
                .with_untracked(|scans| draw(scans, looks.get_value()))
        };
        table.lot.set(ticked.then(lot));
    });
    let cards = move || {
        table
            .cards
            .get()
            .into_iter()
            .enumerate()
            .map(|(nth, card)| self::card(table, telling, nth, card))
            .collect_view()
    };
    let no_cards = text(move || {
        if scenes.with(Vec::is_empty) {
            "No scene is logged on this roll, so there is nothing to compare.".to_owned()
        } else if table.cards.with(Vec::is_empty) {
            "No frame of this scene counts as evidence.".to_owned()
        } else {
            String::new()
        }
    });
    let not_compared = move || {
        aside
            .get()
            .into_iter()
            .map(|why| view! { <li>{why}</li> })
            .collect_view()
    };
    let no_aside = flag(move || table.is_blind() || aside.with(Vec::is_empty));
    let contradicts = text(move || {
        // Who compares blind is not told which frame is which.
        if table.is_blind() {
            return String::new();
        }
        let chosen = table.scene.get();
        let against = |roll: &Roll| Some(verdicts_against_log(roll, scene_of(roll, &chosen)?));
        table
            .with(|_, roll| against(roll))
            .unwrap_or_default()
            .join("\n")
    });
    let evened = flag(move || table.made() != Some(Scans::Corrected));
    view! {
        <section class="review-compare">
            <h3>"Compare and judge"</h3>
            <p class="warning review-warning" hidden=evened>
                "These scans were corrected frame by frame: what you see here does not show how the film was exposed."
            </p>
            {choice("review-scene", "Scene", scenes.into(), table.scene)}
            <label class="pick" hidden=none_loaded>
                <input type="checkbox" prop:checked=blind on:change=hide />
                "Compare blind"
            </label>
            <p class="reason" hidden=none_loaded>
                {text(move || {
                    if table.is_blind() {
                        "The pictures are shuffled and go by letters. Take the tick away to see which is which."
                    } else {
                        "Least light first. Tap a picture to see it large."
                    }
                        .to_owned()
                })}
            </p>
            {paragraph("reason", no_cards)}
            <ul class="frames" aria-label="Frames to compare">
                {cards}
            </ul>
            {paragraph("warning lines", contradicts)}
            <div hidden=no_aside>
                <h4>"Not compared"</h4>
                <ul class="list" aria-label="Frames that are not compared, and why">
                    {not_compared}
                </ul>
            </div>
        </section>
    }
}

/// One frame: its picture, what it amounts to, its verdict.
fn card(table: Table, telling: Memo<Option<(u16, Film)>>, nth: usize, card: Card) -> impl IntoView {
    let id = card.id;
    let picture = Signal::derive(move || table.picture_of(id));
    let no_picture = flag(move || picture.with(Option::is_none));
    let lacks = flag(move || table.scans.with(Vec::is_empty) || picture.with(Option::is_some));
    let enlarge = press(move || table.enlarge(nth));
    let mark = text(move || match telling.get() {
        // The mark would tell which picture got less light than another.
        Some((frame, film)) if frame == id && !table.is_blind() => if film.is_negative() {
            "Tells most: the least light that still has shadow texture."
        } else {
            "Tells most: the most light that still has highlight texture."
        }
        .to_owned(),
        _ => String::new(),
    });
    let name = card.name;
    let grades = [
        (Grade::Rejected, "Rejected"),
        (Grade::Usable, "Usable"),
        (Grade::Liked, "Liked"),
    ]
    .into_iter()
    .map(|(grade, word)| grade_button(table, id, &name, grade, word))
    .collect_view();
    let ticks = Tick::ALL
        .into_iter()
        .map(|tick| tick_box(table, id, &name, tick))
        .collect_view();
    let ungraded = flag(move || table.verdict(id).is_none());
    let graded = flag(move || !ungraded.get());
    view! {
        <li class="frame">
            <button
                class="frame-picture"
                type="button"
                aria-haspopup="dialog"
                aria-label=format!("{name}: show it large")
                hidden=no_picture
                on:click=enlarge
            >
                <img loading="lazy" decoding="async" alt=name.clone() src=picture />
            </button>
            <p class="frame-lacks" hidden=lacks>
                "No scan of this frame."
            </p>
            <p class="frame-name">{name.clone()}</p>
            <p class="frame-words">{card.words}</p>
            {paragraph("frame-mark", mark)}
            <div class="grades" role="group" aria-label=format!("{name}: verdict")>
                {grades}
            </div>
            <div class="ticks" role="group" aria-label=format!("{name}: what it shows")>
                {ticks}
            </div>
            <p class="hint" hidden=graded>
                "Ticks can be set once there is a verdict."
            </p>
        </li>
    }
}

fn grade_button(
    table: Table,
    frame: u16,
    name: &str,
    grade: Grade,
    word: &'static str,
) -> impl IntoView + use<> {
    let label = format!("{name}: {}", grade.words());
    let pressed = text(move || {
        table
            .verdict(frame)
            .is_some_and(|verdict| verdict.grade == grade)
            .to_string()
    });
    let judge = press(move || table.grade(frame, grade));
    view! {
        <button class="grade" type="button" aria-pressed=pressed aria-label=label on:click=judge>
            {word}
        </button>
    }
}

fn tick_box(table: Table, frame: u16, name: &str, tick: Tick) -> impl IntoView + use<> {
    let ticked = flag(move || {
        table
            .verdict(frame)
            .is_some_and(|verdict| verdict.ticks.contains(&tick))
    });
    let ungraded = flag(move || table.verdict(frame).is_none());
    let toggle = toggle(move |ticked| table.tick(frame, tick, ticked));
    view! {
        <label class="pick">
            <input
                type="checkbox"
                aria-label=format!("{name}: {}", tick.words())
                prop:checked=ticked
                disabled=ungraded
                on:change=toggle
            />
            {tick.words()}
        </label>
    }
}

/// One picture over the whole screen.
fn large(table: Table) -> impl IntoView {
    let on_card = move |words: fn(&Card) -> String| {
        text(move || {
            let at = table.at.get();
            table
                .cards
                .with(|cards| cards.get(at).map(words).unwrap_or_default())
        })
    };
    let name = on_card(|card| card.name.clone());
    let words = on_card(|card| card.words.clone());
    let position = text(move || {
        let count = table.cards.with(Vec::len);
        format!("{}, {} of {count}", name.get(), table.at.get() + 1)
    });
    let picture = Signal::derive(move || {
        let at = table.at.get();
        let id = table
            .cards
            .with(|cards| cards.get(at).map(|card| card.id))?;
        table.picture_of(id)
    });
    let no_picture = flag(move || picture.with(Option::is_none));
    let has_picture = flag(move || picture.with(Option::is_some));
    let close = move || {
        if let Some(dialog) = table.large.get_untracked() {
            dialog.close();
        }
    };
    let keys: Box<dyn FnMut(KeyboardEvent)> = Box::new(move |event| match event.key().as_str() {
        "ArrowLeft" => table.step(false),
        "ArrowRight" => table.step(true),
        _ => {}
    });
    view! {
        <dialog class="large" node_ref=table.large aria-label="Large picture" on:keydown=keys>
            <div class="large-head">
                <p class="large-name" aria-live="polite">
                    {position}
                </p>
                {button("", "Close the picture", never(), close)}
            </div>
            <div class="large-picture">
                <img alt=name src=picture hidden=no_picture />
                <p hidden=has_picture>"No scan of this frame."</p>
            </div>
            {paragraph("large-words lines", words)}
            <div class="large-foot">
                {button("", "Previous picture", never(), move || table.step(false))}
                {button("", "Next picture", never(), move || table.step(true))}
            </div>
        </dialog>
    }
}

#[cfg(test)]
mod tests {
    use book::{Fate, Frame, Plan, Roll, Shot, line_up};
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::{by_number, kept_lineup, letter};

    fn roll(scans: &[&str]) -> Roll {
        let mut roll = Roll::new("pier", "Pier", "shoebox", 36);
        roll.frames = (1..)
            .zip(scans)
            .map(|(id, scan)| Frame {
                id,
                plan: Plan::Slate,
                shot: Shot {
                    fate: Fate::Taken,
                    ..Shot::default()
                },
                verdict: None,
                scan: (*scan).to_owned(),
            })
            .collect();
        roll
    }

    /// Which file the kept names put at each frame.
    fn found(scans: &[&str], files: &[&str]) -> Option<Vec<Option<usize>>> {
        let files: Vec<String> = files.iter().map(|name| (*name).to_owned()).collect();
        let roll = roll(scans);
        let how = kept_lineup(&roll, &files)?;
        let places = line_up(&roll, files.len(), &how);
        Some(
            places
                .iter()
                .filter(|place| place.number.is_some())
                .map(|place| place.file)
                .collect(),
        )
    }

    #[wasm_bindgen_test]
    fn files_find_the_frames_that_keep_their_names() {
        assert_eq!(
            found(&["a", "b", "c"], &["a", "b", "c"]),
            Some(vec![Some(0), Some(1), Some(2)]),
            "as they lie"
        );
        assert_eq!(
            found(&["c", "b", "a"], &["a", "b", "c"]),
            Some(vec![Some(2), Some(1), Some(0)]),
            "the other way round"
        );
        assert_eq!(
            found(&["b", "", "c"], &["a", "b", "c"]),
            Some(vec![Some(1), None, Some(2)]),
            "a file before the log and a gap in it"
        );
        assert_eq!(
            found(&["a", "b", "c"], &["b"]),
            Some(vec![None, Some(0), None]),
            "one file of three"
        );
        assert_eq!(found(&["a", "c", "b"], &["a", "b", "c"]), None, "no order");
        assert_eq!(found(&["", "", ""], &["a"]), None, "nothing kept");
        assert_eq!(found(&["x", "y"], &["a"]), None, "other files");
    }

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
