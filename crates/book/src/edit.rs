//! Every change of the book, and its undoing. An edit never touches a plan.

use exposure::{Mark, Stops};

use crate::{
    Aperture, Batch, Book, Date, Development, Device, Error, Fate, FilmTest, Finding, Frame,
    Import, Key, Kind, Lens, Light, Loading, Missing, Moment, Plan, Record, Roll, Rules, Scans,
    Scene, Setting, Shelved, Speed, State, Stock, Taken, Time, Verdict, camera::record_of_dial,
    keep::newer_keys, pairs, records::unread, removal, roll::MOST_FRAMES, series::slipped_meter,
    text,
};

/// What the note of a blank frame says that lies between two loadings.
const WOUND_ON: &str = "wound on when the roll was loaded again";

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
    /// From a number on the film to another one, both included; none is the last frame that was shot so far, or where none
    /// of them was, the last one that is logged.
    Numbers {
        /// The first number.
        from: u16,
        /// The last number.
        to: Option<u16>,
    },
    /// Every frame that waits.
    Waiting,
}

/// Where in the log a frame belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// Where the film stands: behind the last frame that something became of, before those that are still to be shot.
    Now,
    /// Before the frame with this id, and before what shares its film.
    Before(u16),
    /// Behind the frame with this id, and behind what shares its film.
    Behind(u16),
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

/// A frame that nobody had planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extra {
    /// A card with roll, scene and settings.
    Slate,
    /// Lens covered: shows base plus fog.
    Capped,
    /// Wound on or wasted.
    Lost,
    /// A picture that was shot and not logged.
    Forgotten(Unlogged),
    /// One more exposure on the film of the frame that it comes behind.
    Double(Unlogged),
}

/// What is known of a frame that was shot without a plan.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Unlogged {
    /// Number of the scene that it belongs to; none for a picture of anything else.
    pub scene: Option<u16>,
    /// The time that was set; none where it is not known.
    pub time: Option<Time>,
    /// The aperture that was set; none where it is not known.
    pub aperture: Option<Aperture>,
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
    /// Removes a batch with its rolls, the ratings written to its groups, and its stock where no other batch is of it.
    RemoveBatch(String),
    /// Removes everything but records of a newer version.
    RemoveAll,
    /// Puts a roll into a camera.
    Load {
        /// Id of the roll.
        roll: String,
        /// Camera, rating, day and counter.
        loading: Loading,
    },
    /// The same, in the place of what is in that camera, which is taken out of it on the same day.
    TakeOver {
        /// Id of the roll.
        roll: String,
        /// Camera, rating, day and counter.
        loading: Loading,
        /// Whether what is taken out is to be loaded again; else it is finished.
        goes_on: bool,
    },
    /// Takes a roll out of the camera: exposed.
    Finish {
        /// Id of the roll.
        roll: String,
        /// When.
        on: Date,
    },
    /// Takes a roll out of the camera before it is full.
    TakeOut {
        /// Id of the roll.
        roll: String,
        /// When.
        on: Date,
        /// Why, in the person's words.
        why: String,
        /// Whether it is to be loaded again, its leader left out; else it is finished.
        goes_on: bool,
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
        scene: Box<NewScene>,
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
    /// Changes the name and the note of a scene; its light and its frames stay as they are.
    DescribeScene {
        /// Id of the roll.
        roll: String,
        /// Number of the scene.
        scene: u16,
        /// The person's name for it; empty for none.
        name: String,
        /// The note; empty for none.
        note: String,
    },
    /// Puts in a frame that nobody had planned. Later frames keep what is known of them, and shift their numbers.
    Extra {
        /// Id of the roll.
        roll: String,
        /// What it is.
        what: Extra,
        /// Where it belongs.
        spot: Spot,
        /// When it was shot.
        at: Option<Moment>,
    },
    /// Moves a frame to another place of the log, with what shares its film.
    Move {
        /// Id of the roll.
        roll: String,
        /// Id of the frame.
        frame: u16,
        /// Where it belongs.
        spot: Spot,
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
    /// Keeps all that is known of one frame in one step: what was set, what became of it, and a note.
    Shot {
        /// Id of the roll.
        roll: String,
        /// Id of the frame.
        frame: u16,
        /// The time that was set; none, or the one that was planned, is as planned.
        time: Option<Time>,
        /// The aperture that was set; none, or the one that was planned, is as planned.
        aperture: Option<Aperture>,
        /// What became of it.
        fate: Fate,
        /// The note; empty for none.
        note: String,
        /// When it was shot, where that is noted by this.
        at: Option<Moment>,
    },
    /// Says how frames were shot other than planned: a time or an aperture makes frames that wait shot ones.
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
    /// Says which of two frames of a scene is liked better.
    Compare {
        /// Id of the roll.
        roll: String,
        /// Ids of the frames.
        pair: [u16; 2],
        /// Id of the one that is liked better; none where no difference is seen.
        better: Option<u16>,
        /// Whether it was said before, and is taken back.
        taken_back: bool,
    },
    /// Takes away what was compared in a scene.
    ForgetPairs {
        /// Id of the roll.
        roll: String,
        /// Number of the scene.
        scene: u16,
    },
    /// Adds or changes a reading device. What was logged keeps the correction of its own reading.
    Device(Device),
    /// Adds or changes a lens.
    Lens(Lens),
    /// Writes a rating to its group.
    Found(Finding),
    /// Writes a film-speed test to its group.
    Tested(FilmTest),
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
    change: &dyn Fn(&mut Roll) -> Result<String, Error>,
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
        Run::Numbers { from, to } => {
            let mut found: Vec<usize> = roll
                .numbered()
                .into_iter()
                .enumerate()
                .filter(|(_, (number, _))| {
                    number.is_some_and(|number| number >= *from && to.is_none_or(|to| number <= to))
                })
                .map(|(place, _)| place)
                .collect();
            let stands = roll.stands();
            if to.is_none() && found.iter().any(|place| *place < stands) {
                found.retain(|place| *place < stands);
            }
            found
        }
        Run::Waiting => (0..roll.frames.len())
            .filter(|place| roll.frames[*place].shot.fate == Fate::Waiting)
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
        Run::Numbers { from, to: Some(to) } if from == to => format!("frame {from}"),
        Run::Numbers { from, to: None } => format!("every frame from {from}"),
        Run::Numbers { from, to: Some(to) } => format!("frames {from} to {to}"),
        Run::Waiting => "every frame that waited".to_owned(),
    }
}

/// Something became of a frame: what waited has the light of its scene, as it is known by now, for good.
fn becomes(roll: &mut Roll, place: usize, fate: Fate) {
    // OK to index, here and below: places are those of the log.
    let stood = slipped_meter(roll, &roll.frames[place]);
    let shot = &mut roll.frames[place].shot;
    if fate == Fate::Waiting {
        shot.at = None;
    } else if shot.fate == Fate::Waiting {
        shot.meter = shot.meter.or(stood);
    }
    shot.fate = fate;
    if fate == Fate::LeftOut {
        // What was on its film has a piece of its own now.
        let mut later = roll.frames[place + 1..].iter_mut();
        let next = later.find(|frame| frame.shot.fate != Fate::LeftOut);
        if let Some(next) = next.filter(|frame| frame.shot.fate == Fate::Double) {
            next.shot.fate = Fate::Taken;
        }
    }
}

fn slip_frames(roll: &mut Roll, run: &Run, slip: &Slip) -> Result<String, Error> {
    let mut ticked = 0;
    for place in places(roll, run)? {
        let otherwise = matches!(slip, Slip::Time(_) | Slip::Aperture(_));
        if otherwise && roll.frames[place].shot.fate == Fate::Waiting {
            becomes(roll, place, Fate::Taken);
            ticked += 1;
        }
        if let Slip::Fate(fate) = slip {
            becomes(roll, place, *fate);
        }
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
            Slip::Fate(_) => {}
        }
    }
    let frames = run_words(run);
    let said = match slip {
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
    };
    Ok(match (run, ticked) {
        (_, 0) | (Run::One(_), _) => said,
        (_, 1) => format!("{said} One frame that waited counts as shot now."),
        _ => format!("{said} {ticked} frames that waited count as shot now."),
    })
}

/// Keeps what is known of one frame.
fn keep_shot(
    roll: &mut Roll,
    id: u16,
    (time, aperture): (Option<Time>, Option<Aperture>),
    fate: Fate,
    note: &str,
    at: Option<Moment>,
) -> Result<String, Error> {
    let place = place_of(roll, id)?;
    let planned = match &roll.frames[place].plan {
        Plan::Picture { set, .. } => Some(*set),
        _ => None,
    };
    let number = roll.number_of(id);
    let was = roll.frames[place].shot.clone();
    if was.fate != fate {
        becomes(roll, place, fate);
    }
    let shot = &mut roll.frames[place].shot;
    shot.time = time.filter(|time| planned.is_none_or(|set| set.time != *time));
    shot.aperture = aperture.filter(|stop| planned.is_none_or(|set| set.aperture != *stop));
    note.clone_into(&mut shot.note);
    if was.fate == Fate::Waiting && fate != Fate::Waiting {
        shot.at = at.or(shot.at);
    }
    let frame = number.map_or("This frame".to_owned(), |number| format!("Frame {number}"));
    let otherwise = (shot.time, shot.aperture) != (was.time, was.aperture);
    Ok(
        if otherwise && (shot.time.is_some() || shot.aperture.is_some()) {
            format!("{frame} is kept as it was shot; the plan stays beside it.")
        } else if otherwise {
            format!("{frame} was set as planned.")
        } else if was.fate != fate {
            format!("{frame} is kept.")
        } else if shot.note != was.note {
            "Note kept.".to_owned()
        } else {
            format!("{frame} is as it was.")
        },
    )
}

fn place_of(roll: &Roll, id: u16) -> Result<usize, Error> {
    let mut frames = roll.frames.iter();
    frames
        .position(|frame| frame.id == id)
        .ok_or_else(|| Error::new("this frame is not in the log of the roll"))
}

/// The place of the first frame on the film of the one at a place.
fn first_on_film(roll: &Roll, place: usize) -> usize {
    let mut at = place;
    while roll.frames[at].shot.fate == Fate::Double {
        let before = (0..at)
            .rev()
            .find(|at| roll.frames[*at].shot.fate != Fate::LeftOut);
        match before {
            Some(before) => at = before,
            None => break,
        }
    }
    at
}

/// The place behind the last frame on the film of the one at a place.
fn behind_film(roll: &Roll, place: usize) -> usize {
    let mut behind = place + 1;
    let mut at = behind;
    while at < roll.frames.len() {
        match roll.frames[at].shot.fate {
            Fate::Double => behind = at + 1,
            Fate::LeftOut => {}
            _ => break,
        }
        at += 1;
    }
    behind
}

/// The place in the log that a spot means.
fn place_at(roll: &Roll, spot: Spot) -> Result<usize, Error> {
    Ok(match spot {
        Spot::Now => roll.stands(),
        Spot::Before(id) => first_on_film(roll, place_of(roll, id)?),
        Spot::Behind(id) => behind_film(roll, place_of(roll, id)?),
    })
}

/// Moves a frame with what shares its film.
fn move_frame(roll: &mut Roll, id: u16, spot: Spot) -> Result<String, Error> {
    let place = place_of(roll, id)?;
    let is_double = roll.frames[place].shot.fate == Fate::Double;
    // What lies on the film of another frame is moved by itself, and lies on the film of the one it comes behind then.
    let end = if is_double || roll.frames[place].shot.fate == Fate::LeftOut {
        place + 1
    } else {
        behind_film(roll, place)
    };
    let taken: Vec<Frame> = roll.frames.drain(place..end).collect();
    let target = match spot {
        Spot::Before(target) | Spot::Behind(target)
            if taken.iter().any(|frame| frame.id == target) =>
        {
            Ok(place)
        }
        _ => place_at(roll, spot),
    };
    let target = target?;
    let first = is_double
        && roll.frames[..target]
            .iter()
            .all(|frame| frame.shot.fate == Fate::LeftOut);
    if first {
        return Err(Error::new(
            "a double exposure lies on the film of the frame before; there is none before this place",
        ));
    }
    roll.frames.splice(target..target, taken);
    Ok(match roll.number_of(id) {
        Some(number) => format!("Moved: it is frame {number} on the film now."),
        None => "Moved within the log.".to_owned(),
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
    let record = book.get(key).ok_or_else(|| {
        if book.is_unread(key) {
            unread()
        } else {
            Error::new("this record is not in the book")
        }
    })?;
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

/// Refuses to load where another roll is in the camera, and says which.
fn load(book: &Book, id: &str, loading: &Loading) -> Result<Change, Error> {
    let other = book.in_camera(loading).find(|roll| roll.id != id);
    if let Some((other, in_it)) = other.and_then(|other| Some((other, other.loading()?))) {
        return Err(Error::new(format!(
            "“{}” is in the {} since {}; take it out first, or load this one in its place",
            other.name,
            in_it.camera,
            in_it.since.text()
        )));
    }
    let mut said = String::new();
    let roll = loaded(book, id, loading, &mut said)?;
    Ok(put(said, Record::Roll(Box::new(roll))))
}

/// Takes out what is in the camera, and loads.
fn take_over(book: &Book, id: &str, loading: &Loading, goes_on: bool) -> Result<Change, Error> {
    let mut said = Vec::new();
    let mut changes = Vec::new();
    for other in book.in_camera(loading).filter(|roll| roll.id != id) {
        let mut other = other.clone();
        said.push(take_out(&mut other, loading.since, "", goes_on)?);
        other.check()?;
        let record = Record::Roll(Box::new(other));
        changes.push((record.key(), Some(record)));
    }
    let mut words = String::new();
    let record = Record::Roll(Box::new(loaded(book, id, loading, &mut words)?));
    changes.push((record.key(), Some(record)));
    said.push(words);
    Ok((said.join(" "), changes))
}

/// A roll as it is once it was put into a camera.
fn loaded(book: &Book, id: &str, loading: &Loading, said: &mut String) -> Result<Roll, Error> {
    let mut roll = book.find_roll(id)?.clone();
    let camera = loading.camera.trim();
    if camera.is_empty() {
        return Err(Error::new("name the camera"));
    }
    expect_state(
        &roll,
        &[State::InBag, State::Loaded, State::PartShot, State::Exposed],
    )?;
    let before = roll.loading();
    let left = before.and_then(|before| before.until.or(Some(before.since)));
    same_day_or_later(left, loading.since, "it was in a camera")?;
    // Nothing that is on the film already is exposed again; what lies between is blank.
    let stands = roll.stands();
    let (first, next) = (loading.first_frame, roll.film_number());
    let mut loading = Loading {
        camera: camera.to_owned(),
        after: stands.checked_sub(1).map(|last| roll.frames[last].id),
        ..loading.clone()
    };
    let mut blank = 0;
    if !roll.loadings.is_empty() {
        if first < next {
            return Err(Error::new(format!(
                "frame {first} is on the film already; load it at frame {next} or one or two beyond, which stay blank"
            )));
        }
        blank = first - next;
        if blank > roll.exposures {
            return Err(Error::new(format!(
                "frame {first} is far beyond a roll of {}; load it at frame {next} or one or two beyond",
                roll.exposures
            )));
        }
        for _ in 0..blank {
            put_in(&mut roll, stands, Plan::Nothing, Fate::Lost, None)?;
            roll.frames[stands].shot.note = WOUND_ON.to_owned();
        }
        if blank > 0 {
            // OK because frames were put in from here on.
            loading.after = Some(roll.frames[stands + usize::from(blank) - 1].id);
        }
    }
    let finished = roll.finished.filter(|_| roll.state == State::Exposed);
    *said = format!(
        "“{}” is in the {camera} at {} since {}.",
        roll.name,
        loading.rating.rating_words(),
        loading.since.text()
    );
    if let Some(finished) = finished {
        said.push_str(&format!(
            " It was exposed and finished on {}: go on only with frames that are blank, and with the lens covered \
             wind on one or two beyond the last.",
            finished.text()
        ));
    }
    if blank > 0 {
        said.push_str(&format!(
            " Frame {first} comes next; {} before it {} logged as blank.",
            text::counted(usize::from(blank), "frame"),
            if blank == 1 { "is" } else { "are" }
        ));
    }
    roll.state = State::Loaded;
    roll.finished = None;
    roll.loadings.push(loading);
    roll.check()?;
    Ok(roll)
}

/// Takes a roll out of its camera, to go on with it later or not.
fn take_out(roll: &mut Roll, on: Date, why: &str, goes_on: bool) -> Result<String, Error> {
    let allowed: &[State] = if goes_on {
        &[State::Loaded]
    } else {
        &[State::Loaded, State::PartShot]
    };
    expect_state(roll, allowed)?;
    let why = why.trim();
    if let Some(loading) = roll.loadings.last_mut() {
        let last = loading.until.unwrap_or(loading.since);
        same_day_or_later(Some(last), on, "it was loaded")?;
        if goes_on {
            loading.until = Some(on);
        }
        if !why.is_empty() {
            why.clone_into(&mut loading.why);
        }
    }
    if goes_on {
        roll.state = State::PartShot;
        return Ok(format!(
            "“{}” is out of the camera since {}, to be loaded again at frame {} or beyond.",
            roll.name,
            on.text(),
            roll.film_number()
        ));
    }
    roll.state = State::Exposed;
    roll.finished = Some(on);
    let waits = roll.waits().count();
    let mut said = format!("“{}” is exposed and waits since {}.", roll.name, on.text());
    if waits > 0 {
        said.push_str(&format!(
            " {} {} not ticked off.",
            text::counted(waits, "planned frame"),
            if waits == 1 { "is" } else { "are" }
        ));
    }
    Ok(said)
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
        } => on_roll(book, roll, &|roll| {
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
        Edit::RemoveBatch(id) => removal::batch(book, id),
        Edit::RemoveAll => removal::all(book),
        Edit::Load { roll, loading } => load(book, roll, loading),
        Edit::TakeOver {
            roll,
            loading,
            goes_on,
        } => take_over(book, roll, loading, *goes_on),
        Edit::Finish { roll, on } => on_roll(book, roll, &|roll| take_out(roll, *on, "", false)),
        Edit::TakeOut {
            roll,
            on,
            why,
            goes_on,
        } => on_roll(book, roll, &|roll| take_out(roll, *on, why, *goes_on)),
        Edit::Send {
            roll,
            on,
            development,
        } => on_roll(book, roll, &|roll| {
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
        Edit::Return { roll, on } => on_roll(book, roll, &|roll| {
            expect_state(roll, &[State::AtLab, State::Exposed])?;
            same_day_or_later(roll.sent.or(roll.finished), *on, "it was sent or finished")?;
            roll.state = State::Back;
            roll.returned = Some(*on);
            Ok(format!("“{}” came back on {}.", roll.name, on.text()))
        }),
        Edit::ScansMade { roll, how } => on_roll(book, roll, &|roll| {
            roll.scans = *how;
            Ok("How the scans were made is kept.".to_owned())
        }),
        Edit::Series {
            roll,
            scene,
            frames,
        } => on_roll(book, roll, &|roll| {
            takes_plans(roll)?;
            scene.light.check()?;
            let number = roll.next_scene();
            let scene = NewScene::clone(scene);
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
        } => on_roll(book, roll, &|roll| {
            takes_plans(roll)?;
            if roll.scene(*scene).is_none() {
                return Err(no_scene());
            }
            add_frames(roll, *scene, frames)
        }),
        Edit::SameLight { roll, scene, at } => on_roll(book, roll, &|roll| {
            let found = roll.scenes.iter_mut().find(|known| known.number == *scene);
            let light = match found {
                Some(scene) => &mut scene.light,
                None => return Err(no_scene()),
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
        Edit::DescribeScene {
            roll,
            scene,
            name,
            note,
        } => on_roll(book, roll, &|roll| {
            let mut scenes = roll.scenes.iter_mut();
            let found = scenes.find(|known| known.number == *scene);
            let known = found.ok_or_else(no_scene)?;
            known.name.clone_from(name);
            known.note.clone_from(note);
            Ok(format!("Name and note of scene {scene} kept."))
        }),
        Edit::Extra {
            roll,
            what,
            spot,
            at,
        } => on_roll(book, roll, &|roll| add_extra(roll, *what, *spot, *at)),
        Edit::Move { roll, frame, spot } => {
            on_roll(book, roll, &|roll| move_frame(roll, *frame, *spot))
        }
        Edit::Taken { roll, frame, at } => on_roll(book, roll, &|roll| {
            let place = place_of(roll, *frame)?;
            becomes(roll, place, Fate::Taken);
            let shot = &mut roll.frames[place].shot;
            shot.at = at.or(shot.at);
            Ok("Frame ticked off.".to_owned())
        }),
        Edit::Shot {
            roll,
            frame,
            time,
            aperture,
            fate,
            note,
            at,
        } => on_roll(book, roll, &|roll| {
            keep_shot(roll, *frame, (*time, *aperture), *fate, note, *at)
        }),
        Edit::Slip { roll, run, slip } => on_roll(book, roll, &|roll| slip_frames(roll, run, slip)),
        Edit::Note { roll, frame, note } => on_roll(book, roll, &|roll| {
            frame_mut(roll, *frame)?.shot.note.clone_from(note);
            Ok("Note kept.".to_owned())
        }),
        Edit::Name { roll, scans } => on_roll(book, roll, &|roll| {
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
        } => on_roll(book, roll, &|roll| {
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
        Edit::Compare {
            roll,
            pair,
            better,
            taken_back,
        } => on_roll(book, roll, &|roll| {
            pairs::compare(roll, *pair, *better, *taken_back)
        }),
        Edit::ForgetPairs { roll, scene } => {
            on_roll(book, roll, &|roll| Ok(pairs::forget(roll, *scene)))
        }
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
        Edit::Tested(test) => {
            need(&test.id, "test")?;
            test.check()?;
            let said = match test.speed {
                Some(speed) => format!("The test, {}, is", speed.rating_words()),
                None => "The test, without a speed, is".to_owned(),
            };
            let said = format!("{said} written to this group and to no other.");
            Ok(put(said, Record::Test(test.clone())))
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

fn no_scene() -> Error {
    Error::new("this scene is not in the log of the roll")
}

/// Refuses to plan frames that can never be shot.
fn takes_plans(roll: &Roll) -> Result<(), Error> {
    if roll.state.is_finished() || roll.state == State::PartShot {
        return Err(Error::new(format!(
            "“{}” is {}; no frame is planned on it before it is loaded again",
            roll.name,
            roll.state.words()
        )));
    }
    Ok(())
}

/// Puts a frame into the log at a place.
fn put_in(
    roll: &mut Roll,
    place: usize,
    plan: Plan,
    fate: Fate,
    at: Option<Moment>,
) -> Result<(), Error> {
    if roll.frames.len() >= MOST_FRAMES {
        return Err(Error::new(format!(
            "a roll's log holds at most {MOST_FRAMES} frames"
        )));
    }
    let shot = crate::Shot {
        fate,
        at,
        ..crate::Shot::default()
    };
    let frame = Frame {
        id: roll.next_frame_id(),
        plan,
        shot,
        verdict: None,
        scan: String::new(),
    };
    roll.frames.insert(place, frame);
    Ok(())
}

fn add_extra(
    roll: &mut Roll,
    what: Extra,
    spot: Spot,
    at: Option<Moment>,
) -> Result<String, Error> {
    let place = place_at(roll, spot)?;
    let unlogged = |unlogged: Unlogged| match unlogged.scene {
        None => Ok(Plan::Nothing),
        Some(scene) if roll.scene(scene).is_some() => Ok(Plan::Unplanned { scene }),
        Some(_) => Err(no_scene()),
    };
    let (plan, fate, name) = match what {
        Extra::Slate => (Plan::Slate, Fate::Taken, "Slate"),
        Extra::Capped => (Plan::Capped, Fate::Taken, "Capped frame"),
        Extra::Lost => (Plan::Nothing, Fate::Lost, "Lost frame"),
        Extra::Forgotten(known) => (unlogged(known)?, Fate::Taken, "Forgotten frame"),
        Extra::Double(known) => (unlogged(known)?, Fate::Double, "Double exposure"),
    };
    let before = &roll.frames[..place];
    if fate == Fate::Double && before.iter().all(|frame| frame.shot.fate == Fate::LeftOut) {
        return Err(Error::new(
            "a double exposure lies on the film of the frame before; there is none before this place",
        ));
    }
    let is_last = place == roll.frames.len();
    // It has the light of its scene, like what was planned and has waited.
    put_in(roll, place, plan, Fate::Waiting, at)?;
    becomes(roll, place, fate);
    if let Extra::Forgotten(known) | Extra::Double(known) = what {
        let shot = &mut roll.frames[place].shot;
        shot.time = known.time;
        shot.aperture = known.aperture;
    }
    let id = roll.frames[place].id;
    Ok(match roll.number_of(id).filter(|_| !is_last) {
        Some(number) => format!("{name} logged as frame {number}."),
        None => format!("{name} logged."),
    })
}

/// What an edit did, such that doing it backwards is the same exchange.
#[derive(Debug, Clone, PartialEq)]
struct Step {
    said: String,
    swaps: Vec<(Key, Option<Record>)>,
}

impl Edit {
    /// Whether it says a day or a time, which the clock of the device has to be right for.
    #[must_use]
    pub const fn is_dated(&self) -> bool {
        match self {
            Self::Load { .. }
            | Self::TakeOver { .. }
            | Self::Finish { .. }
            | Self::TakeOut { .. }
            | Self::Send { .. }
            | Self::Return { .. }
            | Self::SameLight { .. }
            | Self::Found(_)
            | Self::Tested(_) => true,
            Self::Series { scene, .. } => scene.light.at.is_some() || scene.light.same_at.is_some(),
            Self::Extra { at, .. } | Self::Taken { at, .. } | Self::Shot { at, .. } => at.is_some(),
            Self::Stock(_)
            | Self::Batch(_)
            | Self::Rolls { .. }
            | Self::Describe { .. }
            | Self::DescribeScene { .. }
            | Self::Remove(_)
            | Self::RemoveBatch(_)
            | Self::RemoveAll
            | Self::ScansMade { .. }
            | Self::More { .. }
            | Self::Move { .. }
            | Self::Slip { .. }
            | Self::Note { .. }
            | Self::Name { .. }
            | Self::Judge { .. }
            | Self::Compare { .. }
            | Self::ForgetPairs { .. }
            | Self::Device(_)
            | Self::Lens(_)
            | Self::Rule { .. }
            | Self::AddExample
            | Self::RemoveExample
            | Self::Import(_) => false,
        }
    }

    /// Rolls whose log was not read and that this edit cannot do without: read them first.
    #[must_use]
    pub fn needs(&self, book: &Book) -> Vec<Key> {
        let unread = |id: &String| {
            let key = Key::new(Kind::Roll, id);
            if book.is_unread(&key) {
                vec![key]
            } else {
                Vec::new()
            }
        };
        match self {
            Self::Describe { roll, .. }
            | Self::DescribeScene { roll, .. }
            | Self::Load { roll, .. }
            | Self::Finish { roll, .. }
            | Self::TakeOut { roll, .. }
            | Self::Move { roll, .. }
            | Self::Shot { roll, .. }
            | Self::Send { roll, .. }
            | Self::Return { roll, .. }
            | Self::ScansMade { roll, .. }
            | Self::Series { roll, .. }
            | Self::More { roll, .. }
            | Self::SameLight { roll, .. }
            | Self::Extra { roll, .. }
            | Self::Taken { roll, .. }
            | Self::Slip { roll, .. }
            | Self::Note { roll, .. }
            | Self::Name { roll, .. }
            | Self::Judge { roll, .. }
            | Self::Compare { roll, .. }
            | Self::ForgetPairs { roll, .. } => unread(roll),
            // What is in that camera is taken out of it.
            Self::TakeOver { roll, loading, .. } => {
                let mut needs = unread(roll);
                for there in book.in_camera(loading) {
                    needs.extend(unread(&there.id));
                }
                needs
            }
            Self::Remove(key) if key.kind == Kind::Roll => unread(&key.id),
            Self::RemoveBatch(id) => book
                .heads()
                .filter(|head| head.roll.batch == *id)
                .map(|head| Key::new(Kind::Roll, &head.roll.id))
                .collect(),
            Self::RemoveAll => book
                .heads()
                .map(|head| Key::new(Kind::Roll, &head.roll.id))
                .collect(),
            Self::RemoveExample => book
                .heads()
                .filter(|head| crate::example::is_of_example(&head.roll))
                .map(|head| Key::new(Kind::Roll, &head.roll.id))
                .collect(),
            Self::Import(import) => import.needs(book),
            Self::Stock(_)
            | Self::Batch(_)
            | Self::Rolls { .. }
            | Self::Remove(_)
            | Self::Found(_)
            | Self::Tested(_)
            | Self::Device(_)
            | Self::Lens(_)
            | Self::Rule { .. }
            | Self::AddExample => Vec::new(),
        }
    }
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
        self.change(said, swaps)
    }

    fn change(&mut self, said: String, swaps: Vec<(Key, Option<Record>)>) -> Result<Done, Error> {
        // A roll whose log was not read would be lost to undo.
        if swaps.iter().any(|(key, _)| self.book.is_unread(key)) {
            return Err(unread());
        }
        let newer = newer_keys(&self.book);
        if swaps.iter().any(|(key, _)| newer.contains(&key.text())) {
            return Err(Error::new(
                "a record saved by a newer version of this page is kept in this place, and is not written over; reload the \
                 page when you are online",
            ));
        }
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

    /// What redo would do again.
    #[must_use]
    pub fn would_redo(&self) -> Option<&str> {
        self.undone.last().map(|step| step.said.as_str())
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

    /// Takes over what the dial and the light keep now: all of it, keys of the browser's storage and texts. Whether that is
    /// other than what was known.
    ///
    /// What the dial changed itself is not undone here any more, and a step that brought it in is undone without it.
    pub fn take_of_dial(&mut self, found: &[(String, String)]) -> bool {
        let now: Vec<Record> = found
            .iter()
            .filter_map(|(key, text)| record_of_dial(key, text))
            .collect();
        let known = self
            .book
            .records()
            .filter(|record| record.key().of_dial().is_some());
        let gone: Vec<Key> = known
            .map(Record::key)
            .filter(|key| now.iter().all(|record| record.key() != *key))
            .collect();
        let changed: Vec<Record> = now
            .into_iter()
            .filter(|record| self.book.get(&record.key()) != Some(record))
            .collect();
        let is_other = !gone.is_empty() || !changed.is_empty();
        let gone = gone.into_iter().map(|key| (key, None));
        let changed = changed
            .into_iter()
            .map(|record| (record.key(), Some(record)));
        for (key, record) in gone.chain(changed) {
            for step in self.done.iter_mut().chain(&mut self.undone) {
                step.swaps.retain(|(touched, _)| *touched != key);
            }
            self.book.swap(key, record);
        }
        is_other
    }

    /// Takes over a record of the index that another tab wrote, as [`refresh`](Self::refresh) does.
    pub fn refresh_shelved(&mut self, shelved: &Shelved) -> Taken {
        self.refresh(shelved.key(), None);
        self.book.take_shelved(shelved)
    }

    /// Takes in the text of a record as it is stored, without a step to undo: of a roll whose log was not read, or of what
    /// another tab wrote.
    pub fn take_text(&mut self, key: &Key, text: &str) -> Taken {
        if !self.book.is_unread(key) {
            self.refresh(key, None);
        }
        self.book.take_text(key, text)
    }

    /// Puts a record of this page beside the one that another page has stored in its place, or together with it where they
    /// can be merged. None where that changes nothing.
    pub fn meet(&mut self, record: &Record) -> Option<Done> {
        let (said, swaps) = Import::of_one(record).changes(&self.book);
        if swaps.is_empty() {
            return None;
        }
        self.change(said, swaps).ok()
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
