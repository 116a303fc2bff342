//! Every change of the book, and its undoing. An edit never touches a plan.

use exposure::{Mark, Stops};

use crate::{
    Aperture, Batch, Book, Date, Development, Device, Error, Fate, Finding, Frame, Import, Key,
    Kind, Lens, Light, Loading, Missing, Moment, Plan, Record, Roll, Rules, Scans, Scene, Setting,
    Speed, State, Stock, Time, Verdict, roll::MOST_FRAMES, text,
};

/// One frame of a series as it is planned: what a bracket gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Planned {
    /// What is to be set.
    pub set: Setting,
    /// Offset from the base that was asked for, in twelfths of a stop; positive is more light.
    pub more_light_twelfths: i32,
}

impl Planned {
    /// Takes a frame of a bracket: the two marks that are to be set, and the offset from the base that was asked for.
    ///
    /// # Errors
    ///
    /// If a mark belongs to another control, or cannot be kept.
    pub fn new(time: Mark, aperture: Mark, wanted: Stops) -> Result<Self, Error> {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "differences are within 300 stops"
        )]
        let more_light_twelfths = (wanted.get() * 12.0).round() as i32;
        Ok(Self {
            set: Setting::new(time, aperture)?,
            more_light_twelfths,
        })
    }

    /// Takes up what a series lacks, to plan it again.
    ///
    /// # Errors
    ///
    /// None for what [`series`](crate::series) found: its settings were kept before.
    pub fn missing(missing: &Missing) -> Result<Self, Error> {
        Self::new(
            missing.set.time.mark(),
            missing.set.aperture.mark(),
            missing.from_base,
        )
    }

    /// The offset from the base that was asked for; positive is more light.
    #[must_use]
    pub fn wanted(&self) -> Stops {
        text::from_twelfths(self.more_light_twelfths)
    }
}

/// A scene that is to be logged; its number is given by the roll.
#[derive(Debug, Clone, PartialEq)]
pub struct NewScene {
    /// The person's name for it.
    pub name: String,
    /// The light.
    pub light: Light,
    /// The rating that the base is meant for.
    pub rating: Speed,
    /// What the base frame is to be set to.
    pub base: Setting,
}

/// Which frames an edit is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Run {
    /// One frame, by its id.
    One(u16),
    /// From a number on the film to another one, both included; none is the last frame logged so far.
    Numbers {
        /// The first number.
        from: u16,
        /// The last number.
        to: Option<u16>,
    },
}

/// How frames were shot other than planned.
#[derive(Debug, Clone, PartialEq)]
pub enum Slip {
    /// The time stood at this.
    Time(Time),
    /// The ring stood at this.
    Aperture(Aperture),
    /// The device that took the reading stood at this sensitivity.
    Meter(Speed),
    /// Everything was as planned after all: settings, meter and light.
    AsPlanned,
    /// The light was another than the reading (or was not, after all).
    LightChanged(bool),
    /// What became of the frames.
    Fate(Fate),
}

/// A frame without a scene.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extra {
    /// A card with roll, scene and settings.
    Slate,
    /// Lens covered: shows base plus fog.
    Capped,
    /// Wound on or wasted.
    Lost,
}

/// One change of the book.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Adds or changes a stock.
    Stock(Stock),
    /// Adds or changes a batch.
    Batch(Batch),
    /// Adds so many rolls of the same: 1 to 100, named after the batch's stock and numbered on.
    Rolls {
        /// Id of the batch.
        batch: String,
        /// How many.
        count: u8,
        /// Frames that each is expected to give.
        exposures: u16,
    },
    /// Changes name, purpose, exposures, storage and note of a roll.
    Describe {
        /// Id of the roll.
        roll: String,
        /// Name.
        name: String,
        /// Purpose.
        purpose: String,
        /// Frames that it is expected to give.
        exposures: u16,
        /// How it was kept, where that is another than the batch's.
        storage: Option<crate::Storage>,
        /// Anything else.
        note: String,
    },
    /// Removes a record that no other one refers to.
    Remove(Key),
    /// Puts a roll into a camera.
    Load {
        /// Id of the roll.
        roll: String,
        /// Camera, rating, day and counter.
        loading: Loading,
    },
    /// Takes a roll out of the camera: exposed.
    Finish {
        /// Id of the roll.
        roll: String,
        /// When.
        on: Date,
    },
    /// Sends a roll to the lab.
    Send {
        /// Id of the roll.
        roll: String,
        /// When.
        on: Date,
        /// What the lab is asked to do.
        development: Development,
    },
    /// Takes a roll back from the lab.
    Return {
        /// Id of the roll.
        roll: String,
        /// When.
        on: Date,
    },
    /// Says how the scans of a roll were made.
    ScansMade {
        /// Id of the roll.
        roll: String,
        /// How; none if it is not known yet.
        how: Option<Scans>,
    },
    /// Logs a scene with its frames as planned.
    Series {
        /// Id of the roll.
        roll: String,
        /// The scene.
        scene: NewScene,
        /// Its frames in the order of shooting.
        frames: Vec<Planned>,
    },
    /// Adds frames to a scene, for instance one that is missing.
    More {
        /// Id of the roll.
        roll: String,
        /// Number of the scene.
        scene: u16,
        /// Frames in the order of shooting.
        frames: Vec<Planned>,
    },
    /// Says that a scene's light is still the same as it was read.
    SameLight {
        /// Id of the roll.
        roll: String,
        /// Number of the scene.
        scene: u16,
        /// When.
        at: Moment,
    },
    /// Adds a frame without a scene.
    Extra {
        /// Id of the roll.
        roll: String,
        /// What it is.
        what: Extra,
        /// Id of the frame that it comes before; none for the end of the log.
        before: Option<u16>,
        /// When it was shot.
        at: Option<Moment>,
    },
    /// Ticks a frame off: shot as planned, or as the log says.
    Taken {
        /// Id of the roll.
        roll: String,
        /// Id of the frame.
        frame: u16,
        /// When.
        at: Option<Moment>,
    },
    /// Says how frames were shot other than planned.
    Slip {
        /// Id of the roll.
        roll: String,
        /// Which frames.
        run: Run,
        /// How.
        slip: Slip,
    },
    /// Notes something about a frame.
    Note {
        /// Id of the roll.
        roll: String,
        /// Id of the frame.
        frame: u16,
        /// The note; empty for none.
        note: String,
    },
    /// Names the scans of frames; the files stay as they are.
    Name {
        /// Id of the roll.
        roll: String,
        /// Ids of frames and file names; an empty name for none.
        scans: Vec<(u16, String)>,
    },
    /// Judges a frame.
    Judge {
        /// Id of the roll.
        roll: String,
        /// Id of the frame.
        frame: u16,
        /// The verdict; none to take it back.
        verdict: Option<Verdict>,
    },
    /// Adds or changes a reading device. What was logged keeps the correction of its own reading.
    Device(Device),
    /// Adds or changes a lens.
    Lens(Lens),
    /// Writes a rating to its group.
    Found(Finding),
    /// Puts the person's own value in the place of a rule's; none goes back to the rule's.
    Rule {
        /// Value id.
        id: String,
        /// The value in the rule's unit.
        value: Option<i32>,
    },
    /// Adds the invented example.
    AddExample,
    /// Removes the example and all that belongs to it.
    RemoveExample,
    /// Takes over what an import brings, as [`plan_import`](crate::plan_import) says.
    Import(Import),
}

/// What an edit, or its undoing, did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Done {
    /// One sentence.
    pub said: String,
    /// The records that changed, to be kept (or removed where they are gone).
    pub touched: Vec<Key>,
}

/// A sentence and the records that change: a new one each, or none to take it out.
type Change = (String, Vec<(Key, Option<Record>)>);

fn put(said: String, record: Record) -> Change {
    (said, vec![(record.key(), Some(record))])
}

fn same_day_or_later(earlier: Option<Date>, later: Date, what: &str) -> Result<(), Error> {
    match earlier {
        Some(earlier) if earlier > later => Err(Error::new(format!(
            "{what} on {}, which is after {}; give that day or a later one",
            earlier.text(),
            later.text()
        ))),
        _ => Ok(()),
    }
}

/// Changes one roll; the check at the end keeps every record such that it can be read again.
fn on_roll(
    book: &Book,
    id: &str,
    change: impl FnOnce(&mut Roll) -> Result<String, Error>,
) -> Result<Change, Error> {
    let mut roll = book.find_roll(id)?.clone();
    let said = change(&mut roll)?;
    roll.check()?;
    Ok(put(said, Record::Roll(Box::new(roll))))
}

fn frame_mut(roll: &mut Roll, id: u16) -> Result<&mut Frame, Error> {
    roll.frames
        .iter_mut()
        .find(|frame| frame.id == id)
        .ok_or_else(|| Error::new("this frame is not in the log of the roll"))
}

fn expect_state(roll: &Roll, allowed: &[State]) -> Result<(), Error> {
    if allowed.contains(&roll.state) {
        return Ok(());
    }
    let names: Vec<String> = allowed
        .iter()
        .map(|state| state.words().to_owned())
        .collect();
    Err(Error::new(format!(
        "“{}” is {}; this is for a roll that is {}",
        roll.name,
        roll.state.words(),
        names.join(" or ")
    )))
}

fn add_frames(roll: &mut Roll, scene: u16, frames: &[Planned]) -> Result<String, Error> {
    if frames.is_empty() {
        return Err(Error::new("a series has at least one frame"));
    }
    if roll.frames.len() + frames.len() > MOST_FRAMES {
        return Err(Error::new(format!(
            "a roll's log holds at most {MOST_FRAMES} frames"
        )));
    }
    for planned in frames {
        let id = roll.next_frame_id();
        roll.frames.push(Frame {
            id,
            plan: Plan::Picture {
                scene,
                set: planned.set,
                more_light_twelfths: planned.more_light_twelfths,
            },
            shot: crate::Shot::default(),
            verdict: None,
            scan: String::new(),
        });
    }
    let mut said = format!(
        "{} logged for scene {scene}.",
        text::counted(frames.len(), "frame")
    );
    let over = roll
        .next_number()
        .saturating_sub(roll.exposures.saturating_add(1));
    if over > 0 {
        said.push_str(&format!(
            " That is {over} more than the roll's {}.",
            roll.exposures
        ));
    }
    Ok(said)
}

/// The frames that a run names, as places in the log.
fn places(roll: &Roll, run: &Run) -> Result<Vec<usize>, Error> {
    let found: Vec<usize> = match run {
        Run::One(id) => roll
            .frames
            .iter()
            .position(|frame| frame.id == *id)
            .into_iter()
            .collect(),
        Run::Numbers { from, to } => roll
            .numbered()
            .into_iter()
            .enumerate()
            .filter(|(_, (number, _))| {
                number.is_some_and(|number| number >= *from && to.is_none_or(|to| number <= to))
            })
            .map(|(place, _)| place)
            .collect(),
    };
    if found.is_empty() {
        return Err(Error::new(
            "none of these frames is in the log; give the number of a frame that is",
        ));
    }
    Ok(found)
}

fn run_words(run: &Run) -> String {
    match run {
        Run::One(_) => "this frame".to_owned(),
        Run::Numbers { from, to: None } => format!("every frame from {from}"),
        Run::Numbers { from, to: Some(to) } => format!("frames {from} to {to}"),
    }
}

fn slip_frames(roll: &mut Roll, run: &Run, slip: &Slip) -> Result<String, Error> {
    for place in places(roll, run)? {
        // OK because `places` gives places of the log.
        let shot = &mut roll.frames[place].shot;
        match slip {
            Slip::Time(time) => shot.time = Some(*time),
            Slip::Aperture(aperture) => shot.aperture = Some(*aperture),
            Slip::Meter(speed) => shot.meter = Some(*speed),
            Slip::AsPlanned => {
                shot.time = None;
                shot.aperture = None;
                shot.meter = None;
                shot.light_changed = false;
            }
            Slip::LightChanged(changed) => shot.light_changed = *changed,
            Slip::Fate(fate) => shot.fate = *fate,
        }
    }
    let frames = run_words(run);
    Ok(match slip {
        Slip::Time(time) => format!("The time stood at {} for {frames}.", time.shown()),
        Slip::Aperture(aperture) => format!("The ring stood at {} for {frames}.", aperture.shown()),
        Slip::Meter(speed) => format!("The meter stood at {} for {frames}.", speed.shown()),
        Slip::AsPlanned => format!("As planned after all: {frames}."),
        Slip::LightChanged(true) => format!("The light had changed for {frames}: no evidence."),
        Slip::LightChanged(false) => format!("The light was the same after all for {frames}."),
        Slip::Fate(fate) => match fate {
            Fate::Waiting => format!("Not shot yet: {frames}."),
            Fate::Taken => format!("Shot: {frames}."),
            Fate::Lost => format!("Lost: {frames}."),
            Fate::Double => format!("On the same film as the frame before: {frames}."),
            Fate::LeftOut => format!("Left out: {frames}."),
        },
    })
}

fn add_rolls(book: &Book, batch: &str, count: u8, exposures: u16) -> Result<Change, Error> {
    let kept = book
        .batch(batch)
        .ok_or_else(|| Error::new("add the batch before its rolls"))?;
    if !(1..=100).contains(&count) {
        return Err(Error::new("between 1 and 100 rolls can be added at once"));
    }
    let name = book
        .stock(&kept.stock)
        .map_or("Roll", |stock| stock.name.as_str());
    let mut changes = Vec::new();
    let mut number = 0_u32;
    while changes.len() < usize::from(count) {
        number += 1;
        let id = format!("{}-{number}", text::slug(batch));
        let roll = Roll::new(&id, &format!("{name} {number}"), batch, exposures);
        if book.is_taken(Kind::Roll, &id) || book.rolls().any(|known| known.name == roll.name) {
            continue;
        }
        roll.check()?;
        changes.push((
            Key::new(Kind::Roll, &id),
            Some(Record::Roll(Box::new(roll))),
        ));
    }
    Ok((
        format!(
            "{} of the same added.",
            text::counted(changes.len(), "roll")
        ),
        changes,
    ))
}

fn remove(book: &Book, key: &Key) -> Result<Change, Error> {
    let record = book
        .get(key)
        .ok_or_else(|| Error::new("this record is not in the book"))?;
    let users = match key.kind {
        Kind::Stock => book.batches().filter(|batch| batch.stock == key.id).count(),
        Kind::Batch => book.rolls().filter(|roll| roll.batch == key.id).count(),
        _ => 0,
    };
    if users > 0 {
        let what = if key.kind == Kind::Stock {
            "batch"
        } else {
            "roll"
        };
        let what = if users == 1 {
            format!("1 {what} belongs")
        } else if what == "batch" {
            format!("{users} batches belong")
        } else {
            format!("{users} rolls belong")
        };
        return Err(Error::new(format!("{what} to it; remove that first")));
    }
    Ok((
        format!("“{}” removed.", record.name()),
        vec![(key.clone(), None)],
    ))
}

fn load(book: &Book, id: &str, loading: &Loading) -> Result<Change, Error> {
    if loading.camera.trim().is_empty() {
        return Err(Error::new("name the camera"));
    }
    let other = book
        .open_rolls()
        .find(|(roll, open)| roll.id != id && open.camera == loading.camera)
        .map(|(roll, _)| roll.name.clone());
    on_roll(book, id, |roll| {
        expect_state(roll, &[State::InBag, State::Loaded, State::Exposed])?;
        let was = roll.finished.filter(|_| roll.state == State::Exposed);
        roll.state = State::Loaded;
        roll.finished = None;
        roll.loadings.push(loading.clone());
        let mut said = format!(
            "“{}” is in the {} at {} since {}.",
            roll.name,
            loading.camera,
            loading.rating.rating_words(),
            loading.since.text()
        );
        if let Some(finished) = was {
            said.push_str(&format!(
                " It was exposed and finished on {}: go on only with frames that are blank, and with the lens covered \
                 wind on one or two beyond the last.",
                finished.text()
            ));
        }
        if let Some(other) = other {
            said.push_str(&format!(" The book has “{other}” in this camera as well."));
        }
        Ok(said)
    })
}

/// What an edit changes.
fn change(book: &Book, edit: &Edit) -> Result<Change, Error> {
    match edit {
        Edit::Stock(stock) => {
            need(&stock.id, &stock.name)?;
            let said = format!("Stock “{}” kept.", stock.name);
            Ok(put(said, Record::Stock(stock.clone())))
        }
        Edit::Batch(batch) => {
            need(&batch.id, "batch")?;
            if book.stock(&batch.stock).is_none() {
                return Err(Error::new("add the stock before its batches"));
            }
            Ok(put("Batch kept.".to_owned(), Record::Batch(batch.clone())))
        }
        Edit::Rolls {
            batch,
            count,
            exposures,
        } => add_rolls(book, batch, *count, *exposures),
        Edit::Describe {
            roll,
            name,
            purpose,
            exposures,
            storage,
            note,
        } => on_roll(book, roll, |roll| {
            need("roll", name)?;
            if *exposures == 0 || usize::from(*exposures) > MOST_FRAMES {
                return Err(Error::new(format!(
                    "a roll gives between 1 and {MOST_FRAMES} frames"
                )));
            }
            roll.name.clone_from(name);
            roll.purpose.clone_from(purpose);
            roll.exposures = *exposures;
            roll.storage = *storage;
            roll.note.clone_from(note);
            Ok(format!("“{name}” kept."))
        }),
        Edit::Remove(key) => remove(book, key),
        Edit::Load { roll, loading } => load(book, roll, loading),
        Edit::Finish { roll, on } => on_roll(book, roll, |roll| {
            expect_state(roll, &[State::Loaded])?;
            same_day_or_later(roll.loading().map(|l| l.since), *on, "it was loaded")?;
            roll.state = State::Exposed;
            roll.finished = Some(*on);
            Ok(format!(
                "“{}” is exposed and waits since {}.",
                roll.name,
                on.text()
            ))
        }),
        Edit::Send {
            roll,
            on,
            development,
        } => on_roll(book, roll, |roll| {
            expect_state(roll, &[State::Exposed])?;
            same_day_or_later(roll.finished, *on, "it was finished")?;
            roll.state = State::AtLab;
            roll.sent = Some(*on);
            roll.development = *development;
            Ok(format!(
                "“{}” is at the lab since {}.",
                roll.name,
                on.text()
            ))
        }),
        Edit::Return { roll, on } => on_roll(book, roll, |roll| {
            expect_state(roll, &[State::AtLab, State::Exposed])?;
            same_day_or_later(roll.sent.or(roll.finished), *on, "it was sent or finished")?;
            roll.state = State::Back;
            roll.returned = Some(*on);
            Ok(format!("“{}” came back on {}.", roll.name, on.text()))
        }),
        Edit::ScansMade { roll, how } => on_roll(book, roll, |roll| {
            roll.scans = *how;
            Ok("How the scans were made is kept.".to_owned())
        }),
        Edit::Series {
            roll,
            scene,
            frames,
        } => on_roll(book, roll, |roll| {
            scene.light.check()?;
            let number = roll.next_scene();
            let scene = scene.clone();
            roll.scenes.push(Scene {
                number,
                name: scene.name,
                light: scene.light,
                rating: scene.rating,
                base: scene.base,
                note: String::new(),
            });
            add_frames(roll, number, frames)
        }),
        Edit::More {
            roll,
            scene,
            frames,
        } => on_roll(book, roll, |roll| {
            if roll.scene(*scene).is_none() {
                return Err(Error::new("this scene is not in the log of the roll"));
            }
            add_frames(roll, *scene, frames)
        }),
        Edit::SameLight { roll, scene, at } => on_roll(book, roll, |roll| {
            let found = roll.scenes.iter_mut().find(|known| known.number == *scene);
            let light = match found {
                Some(scene) => &mut scene.light,
                None => return Err(Error::new("this scene is not in the log of the roll")),
            };
            if light.known_at() > Some(*at) {
                return Err(Error::new(
                    "the reading is of a later moment than this; is the clock right?",
                ));
            }
            light.same_at = Some(*at);
            Ok(format!(
                "The light of scene {scene} is the same at {}: its reading holds.",
                at.clock()
            ))
        }),
        Edit::Extra {
            roll,
            what,
            before,
            at,
        } => on_roll(book, roll, |roll| add_extra(roll, *what, *before, *at)),
        Edit::Taken { roll, frame, at } => on_roll(book, roll, |roll| {
            let shot = &mut frame_mut(roll, *frame)?.shot;
            shot.fate = Fate::Taken;
            shot.at = at.or(shot.at);
            Ok("Frame ticked off.".to_owned())
        }),
        Edit::Slip { roll, run, slip } => on_roll(book, roll, |roll| slip_frames(roll, run, slip)),
        Edit::Note { roll, frame, note } => on_roll(book, roll, |roll| {
            frame_mut(roll, *frame)?.shot.note.clone_from(note);
            Ok("Note kept.".to_owned())
        }),
        Edit::Name { roll, scans } => on_roll(book, roll, |roll| {
            for (frame, name) in scans {
                frame_mut(roll, *frame)?.scan.clone_from(name);
            }
            Ok(format!(
                "{} named; the files stay as they are.",
                text::counted(scans.len(), "scan")
            ))
        }),
        Edit::Judge {
            roll,
            frame,
            verdict,
        } => on_roll(book, roll, |roll| {
            let mut verdict = verdict.clone();
            if let Some(verdict) = &mut verdict {
                verdict.ticks = crate::Tick::ALL
                    .into_iter()
                    .filter(|tick| verdict.ticks.contains(tick))
                    .collect();
            }
            let said = verdict
                .as_ref()
                .map_or("Verdict taken back.".to_owned(), |verdict| {
                    format!("Frame {}.", verdict.grade.words())
                });
            frame_mut(roll, *frame)?.verdict = verdict;
            Ok(said)
        }),
        Edit::Device(device) => {
            need(&device.id, &device.name)?;
            device.check()?;
            let mut said = format!(
                "Reading device “{}” kept: {}.",
                device.name,
                device.correction_words()
            );
            let was = book.device(&device.id).map(|was| was.correction_twelfths);
            if was.is_some_and(|was| was != device.correction_twelfths) {
                said.push_str(" Series that are logged stay as they were read.");
            }
            Ok(put(said, Record::Device(device.clone())))
        }
        Edit::Lens(lens) => {
            need(&lens.id, &lens.name)?;
            lens.check()?;
            let said = format!("Lens “{}” kept: {}.", lens.name, lens.shown());
            Ok(put(said, Record::Lens(lens.clone())))
        }
        Edit::Found(finding) => {
            need(&finding.id, "finding")?;
            let said = format!(
                "{} is written to this group and to no other.",
                finding.rating.rating_words()
            );
            Ok(put(said, Record::Finding(finding.clone())))
        }
        Edit::Rule { id, value } => {
            let mut rules = book.rules();
            match value {
                Some(value) => rules.own.insert(id.clone(), *value),
                None => rules.own.remove(id),
            };
            let key = Key::new(Kind::Rules, Rules::ID);
            let said = if value.is_some() {
                "Your own value is taken from now on."
            } else {
                "The rule's own value is taken again."
            };
            let record = (!rules.own.is_empty()).then_some(Record::Rules(rules));
            Ok((said.to_owned(), vec![(key, record)]))
        }
        Edit::AddExample => crate::example::add(book),
        Edit::RemoveExample => crate::example::remove(book),
        Edit::Import(import) => Ok(import.changes(book)),
    }
}

fn need(id: &str, name: &str) -> Result<(), Error> {
    if id.is_empty() || name.trim().is_empty() {
        Err(Error::new("a name is needed"))
    } else {
        Ok(())
    }
}

fn add_extra(
    roll: &mut Roll,
    what: Extra,
    before: Option<u16>,
    at: Option<Moment>,
) -> Result<String, Error> {
    let place = match before {
        None => roll.frames.len(),
        Some(id) => roll
            .frames
            .iter()
            .position(|frame| frame.id == id)
            .ok_or_else(|| Error::new("this frame is not in the log of the roll"))?,
    };
    let (plan, fate, said) = match what {
        Extra::Slate => (Plan::Slate, Fate::Taken, "Slate logged."),
        Extra::Capped => (Plan::Capped, Fate::Taken, "Capped frame logged."),
        Extra::Lost => (Plan::Nothing, Fate::Lost, "Lost frame logged."),
    };
    let id = roll.next_frame_id();
    roll.frames.insert(
        place,
        Frame {
            id,
            plan,
            shot: crate::Shot {
                fate,
                at,
                ..crate::Shot::default()
            },
            verdict: None,
            scan: String::new(),
        },
    );
    if roll.frames.len() > MOST_FRAMES {
        return Err(Error::new(format!(
            "a roll's log holds at most {MOST_FRAMES} frames"
        )));
    }
    Ok(said.to_owned())
}

/// What an edit did, such that doing it backwards is the same exchange.
#[derive(Debug, Clone, PartialEq)]
struct Step {
    said: String,
    swaps: Vec<(Key, Option<Record>)>,
}

/// A book that is worked on: edits, undo to the start, redo.
///
/// ```
/// use book::{Book, Desk, Edit, Film, Speed, Stock};
/// let mut desk = Desk::new(Book::new());
/// let stock = Stock::new("harbour", "Harbour 400", Film::ColourNegative, Speed::parse("400")?);
/// desk.apply(&Edit::Stock(stock))?;
/// assert_eq!(desk.book().len(), 1);
/// desk.undo();
/// assert!(desk.book().is_empty());
/// # Ok::<(), book::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Desk {
    book: Book,
    done: Vec<Step>,
    undone: Vec<Step>,
}

impl Desk {
    /// Puts a book on the desk.
    #[must_use]
    pub const fn new(book: Book) -> Self {
        Self {
            book,
            done: Vec::new(),
            undone: Vec::new(),
        }
    }

    /// The book as it stands.
    #[must_use]
    pub const fn book(&self) -> &Book {
        &self.book
    }

    /// Changes the book.
    ///
    /// # Errors
    ///
    /// A sentence that says what would be accepted; the book is as it was.
    pub fn apply(&mut self, edit: &Edit) -> Result<Done, Error> {
        let (said, swaps) = change(&self.book, edit)?;
        let step = Step { said, swaps };
        self.undone.clear();
        let (back, done) = self.exchange(step);
        self.done.push(back);
        Ok(done)
    }

    /// Undoes the last edit that is not undone yet; none at the start.
    pub fn undo(&mut self) -> Option<Done> {
        let step = self.done.pop()?;
        let (back, done) = self.exchange(step);
        self.undone.push(back);
        Some(Done {
            said: format!("Undone: {}", done.said),
            ..done
        })
    }

    /// Does again what was undone last; none if nothing was, or something else was done since.
    pub fn redo(&mut self) -> Option<Done> {
        let step = self.undone.pop()?;
        let (back, done) = self.exchange(step);
        self.done.push(back);
        Some(done)
    }

    /// What undo would undo.
    #[must_use]
    pub fn would_undo(&self) -> Option<&str> {
        self.done.last().map(|step| step.said.as_str())
    }

    /// Takes over a record that another tab or device wrote, without a step to undo.
    ///
    /// Steps that touched the record can no longer be undone exactly, so the steps up to the last such one are forgotten.
    pub fn refresh(&mut self, key: &Key, record: Option<Record>) {
        let touches = |step: &Step| step.swaps.iter().any(|(touched, _)| touched == key);
        if let Some(last) = self.done.iter().rposition(touches) {
            self.done.drain(..=last);
        }
        self.undone.clear();
        // OK to take a record under its own key only: any other pair would break the book.
        if record.as_ref().is_none_or(|record| record.key() == *key) {
            self.book.swap(key.clone(), record);
        }
    }

    fn exchange(&mut self, step: Step) -> (Step, Done) {
        let mut touched = Vec::with_capacity(step.swaps.len());
        let mut back = Vec::with_capacity(step.swaps.len());
        for (key, record) in step.swaps {
            let was = self.book.swap(key.clone(), record);
            touched.push(key.clone());
            back.push((key, was));
        }
        // Backwards, so that a key that was exchanged twice ends up as it was.
        back.reverse();
        let done = Done {
            said: step.said.clone(),
            touched,
        };
        (
            Step {
                said: step.said,
                swaps: back,
            },
            done,
        )
    }
}
