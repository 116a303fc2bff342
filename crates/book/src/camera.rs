//! Cameras as the log knows them. The dial keeps the person's own ones, in a record of their own each; the book reads them
//! from there, names them by id, and keeps no second copy.

use exposure::{Camera, Control, KINDS, Mark, Scale, Steps, words};
use serde::Serialize;

use crate::{
    Aperture, Book, Error, Frame, Kind, Loading, Plan, Record, Roll, Time, figure::says_how,
    records::Key,
};

/// A camera of the person's own, to the letter as the dial keeps it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OwnCamera {
    /// Id, unique among cameras.
    pub id: String,
    /// The person's name for it.
    pub name: String,
    /// Its times, as [`Camera::parse`] takes them.
    pub times: String,
    /// Its apertures, as [`Camera::parse`] takes them.
    pub apertures: String,
    /// How its figures are read: `full`, `half`, `third` or `engraved`.
    pub steps: String,
    /// Focal length in millimetres; empty where it is not known.
    pub focal_mm: String,
}

impl OwnCamera {
    fn steps(&self) -> Steps {
        match self.steps.as_str() {
            "half" => Steps::Half,
            "third" => Steps::Third,
            "engraved" => Steps::Engraved,
            _ => Steps::Full,
        }
    }

    /// What it can be set to.
    ///
    /// # Errors
    ///
    /// If one of its texts is no list of marks or no focal length.
    pub fn camera(&self) -> Result<Camera, Error> {
        let focal = self.focal_mm.trim().trim_end_matches("mm").trim();
        let focal = if focal.is_empty() {
            None
        } else {
            Some(words::plain_decimal(&focal.replace(',', ".")).unwrap_or(0.0))
        };
        Ok(Camera::parse(
            &self.times,
            &self.apertures,
            self.steps(),
            focal,
        )?)
    }

    /// Whether its parts are what the dial writes.
    pub(crate) fn check(&self) -> Result<(), Error> {
        if self.name.is_empty() {
            return Err(Error::new("a name is needed"));
        }
        self.camera().map(|_| ())
    }
}

/// What the dial, the light or what teaches keeps beside the cameras, to the letter: the setting, readings, what was settled for a
/// live camera, what was learned, lessons, and records that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OfDial {
    /// Id: its key in the browser's storage without `stopkeeper.`.
    pub id: String,
    /// The text, to the letter.
    pub text: String,
}

/// What the keys of all records begin with in the browser's storage.
const STORED: &str = "stopkeeper.";
/// Ids of records of the dial.
const DIAL: [&str; 4] = ["setting", "recent-readings", "patience", LEARNED];
/// What ids of records of the dial begin with, where there are several of a kind. A camera that is damaged or of a newer
/// version is among them.
const DIAL_BEGINS: [&str; 4] = ["live-camera.", "aside.", CAMERA, LESSON];
const CAMERA: &str = "camera.";
const LEARNED: &str = "learned";
const LESSON: &str = "lesson.";

impl OfDial {
    /// Keys in the browser's storage under which the dial and the light keep one record each.
    #[must_use]
    pub fn stored_keys() -> Vec<String> {
        DIAL.iter().map(|id| format!("{STORED}{id}")).collect()
    }

    /// What the other keys begin with under which the dial and the light keep records.
    #[must_use]
    pub fn stored_prefixes() -> Vec<String> {
        DIAL_BEGINS
            .iter()
            .map(|id| format!("{STORED}{id}"))
            .collect()
    }

    /// Whether this is an id of such a record: what an import brings is written under no other key.
    pub(crate) fn is_id(id: &str) -> bool {
        DIAL.contains(&id)
            || DIAL_BEGINS
                .iter()
                .any(|begin| id.strip_prefix(begin).is_some_and(|rest| !rest.is_empty()))
    }

    /// Whether it is one of several that may differ beside one another, and not the only one of its kind.
    pub(crate) fn is_one_of_many(id: &str) -> bool {
        id.starts_with(LESSON)
    }

    /// The version that a document needs for it: what teaches keeps its records since the fifth.
    pub(crate) fn version_in_document(&self) -> u32 {
        if self.id == LEARNED || self.id.starts_with(LESSON) {
            5
        } else {
            4
        }
    }

    /// What it is called: a lesson by its own name, anything else by what it is.
    pub(crate) fn name(&self) -> &str {
        let named = self
            .text
            .lines()
            .find_map(|line| line.strip_prefix("name "));
        named
            .filter(|_| Self::is_one_of_many(&self.id))
            .unwrap_or_else(|| Self::words(&self.id))
    }

    /// What it is, in words, by its id.
    pub(crate) fn words(id: &str) -> &'static str {
        match id {
            "setting" => "the setting of the dial",
            "patience" => "after how many days waiting is said",
            "recent-readings" => "the readings taken last",
            LEARNED => "what was learned",
            _ if id.starts_with(LESSON) => "a lesson",
            _ if id.starts_with("live-camera.") => "what was settled for a live camera",
            _ if id.starts_with(CAMERA) => "a camera that cannot be read here",
            _ => "a record of the dial that was set aside",
        }
    }
}

impl Key {
    /// Where the dial keeps this record in the browser's storage, whose only home that is; none for a record of the book.
    ///
    /// ```
    /// use book::{Key, Kind};
    /// let camera = Key::new(Kind::Camera, "own-folder-1");
    /// assert_eq!(camera.of_dial().as_deref(), Some("stopkeeper.camera.own-folder-1"));
    /// assert_eq!(Key::new(Kind::Roll, "harbour-1").of_dial(), None);
    /// ```
    #[must_use]
    pub fn of_dial(&self) -> Option<String> {
        match self.kind {
            Kind::Camera => Some(format!("{STORED}{CAMERA}{}", self.id)),
            Kind::Dial => Some(format!("{STORED}{}", self.id)),
            _ => None,
        }
    }
}

/// The key under which the same place in the browser's storage is known where its text can be read, or cannot be.
pub(crate) fn other_key(key: &Key) -> Option<Key> {
    match key.kind {
        Kind::Camera => Some(Key::new(Kind::Dial, &format!("{CAMERA}{}", key.id))),
        Kind::Dial => Some(Key::new(Kind::Camera, key.id.strip_prefix(CAMERA)?)),
        _ => None,
    }
}

/// Makes a record of what the dial keeps under a key of the browser's storage; none where it is nothing of the kind.
pub(crate) fn record_of_dial(key: &str, text: &str) -> Option<Record> {
    let id = key.strip_prefix(STORED)?;
    if let Some(camera) = id.strip_prefix(CAMERA)
        && let Ok(Record::Camera(own)) = crate::keep::decode(text)
        && own.id == camera
    {
        return Some(Record::Camera(own));
    }
    OfDial::is_id(id).then(|| {
        Record::Dial(OfDial {
            id: id.to_owned(),
            text: text.to_owned(),
        })
    })
}

/// A camera that a roll can be loaded into by id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Whether it is one of the person's own, and not a described kind.
    pub own: bool,
}

/// Names as people write them: capitals and white space make no difference.
pub(crate) fn same_name(a: &str, b: &str) -> bool {
    let plain = |name: &str| {
        let words: Vec<&str> = name.split_whitespace().collect();
        crate::text::in_small(&words.join(" "))
    };
    plain(a) == plain(b)
}

impl Book {
    /// Cameras of the person's own, as the dial keeps them.
    pub fn own_cameras(&self) -> impl Iterator<Item = &OwnCamera> {
        self.records().filter_map(|record| match record {
            Record::Camera(camera) => Some(camera),
            _ => None,
        })
    }

    /// Every camera whose marks are known: the person's own, then the described kinds.
    #[must_use]
    pub fn cameras(&self) -> Vec<Known> {
        let own = self.own_cameras().map(|camera| Known {
            id: camera.id.clone(),
            name: camera.name.clone(),
            own: true,
        });
        let kinds = KINDS.iter().map(|kind| Known {
            id: kind.id.to_owned(),
            name: kind.name.to_owned(),
            own: false,
        });
        own.chain(kinds).collect()
    }

    /// The id of the camera with this name; none where no camera has it, or several have.
    #[must_use]
    pub fn camera_named(&self, name: &str) -> Option<String> {
        let mut found = self
            .cameras()
            .into_iter()
            .filter(|known| same_name(&known.name, name));
        let first = found.next()?;
        found.next().is_none().then_some(first.id)
    }

    /// What the camera with this id can be set to; none where nobody described it.
    #[must_use]
    pub fn camera(&self, id: &str) -> Option<Camera> {
        if let Some(Record::Camera(own)) = self.get(&Key::new(Kind::Camera, id)) {
            return own.camera().ok();
        }
        let kind = KINDS.iter().find(|kind| kind.id == id)?;
        Camera::parse(kind.times, kind.apertures, kind.steps, Some(kind.focal)).ok()
    }

    /// What the camera of a loading can be set to; one that was named by words alone is found by its name.
    #[must_use]
    pub fn camera_of(&self, loading: &Loading) -> Option<Camera> {
        match &loading.camera_id {
            Some(id) => self.camera(id),
            None => self.camera(&self.camera_named(&loading.camera)?),
        }
    }

    /// The loading that began last, of all rolls; one whose camera is free goes before one whose camera has a roll in it.
    #[must_use]
    pub fn loaded_last(&self) -> Option<&Loading> {
        let loadings = || self.rolls().flat_map(|roll| &roll.loadings);
        let is_free = |loading: &&Loading| self.in_camera(loading).next().is_none();
        let last = |a: &&Loading, b: &&Loading| a.since.cmp(&b.since);
        let free = loadings().filter(is_free).max_by(last);
        free.or_else(|| loadings().max_by(last))
    }

    /// The device that was read with last: on this roll, where there is one and it says so; else as a roll was loaded last.
    #[must_use]
    pub fn device_used_last(&self, roll: Option<&Roll>) -> Option<&crate::Device> {
        let named = |roll: &Roll| {
            let mut scenes = roll.scenes.iter().rev();
            let name = &scenes
                .find(|scene| !scene.light.device.is_empty())?
                .light
                .device;
            self.devices().find(|device| device.name == *name)
        };
        let of_loading = |loading: &Loading| self.device(loading.device.as_deref()?);
        roll.and_then(named)
            .or_else(|| roll?.loading().and_then(of_loading))
            .or_else(|| {
                let mut rolls: Vec<(&Roll, &Loading)> = self
                    .rolls()
                    .filter_map(|roll| Some((roll, roll.loading()?)))
                    .collect();
                rolls.sort_by_key(|(_, loading)| loading.since);
                let mut latest = rolls.into_iter().rev();
                latest.find_map(|(roll, loading)| named(roll).or_else(|| of_loading(loading)))
            })
    }
}

/// The marks that a frame can have been set to, and what a figure that is typed means on them.
///
/// A figure is the mark that carries it: that of the plan, else of the camera, else one that the roll's log has already.
/// Nothing is rounded to a mark: another figure is taken as it is typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Marks {
    camera: Option<Camera>,
    planned: Option<crate::Setting>,
    times: Vec<Mark>,
    apertures: Vec<Mark>,
}

impl Marks {
    /// Of a frame in the log, in the camera in which it was shot.
    #[must_use]
    pub fn of_frame(book: &Book, roll: &Roll, frame: &Frame) -> Self {
        let planned = match &frame.plan {
            Plan::Picture { set, .. } => Some(*set),
            _ => None,
        };
        let loading = roll.loading_of(frame.id).or(roll.loading());
        Self::new(book, roll, loading, planned)
    }

    /// Of a frame that has no plan, in the camera that the roll is or was in last.
    #[must_use]
    pub fn of_roll(book: &Book, roll: &Roll) -> Self {
        Self::new(book, roll, roll.loading(), None)
    }

    fn new(
        book: &Book,
        roll: &Roll,
        loading: Option<&Loading>,
        planned: Option<crate::Setting>,
    ) -> Self {
        let plans = || {
            roll.frames.iter().filter_map(|frame| match &frame.plan {
                Plan::Picture { set, .. } => Some(*set),
                _ => None,
            })
        };
        Self {
            camera: loading.and_then(|loading| book.camera_of(loading)),
            planned,
            times: plans().map(|set| set.time.mark()).collect(),
            apertures: plans().map(|set| set.aperture.mark()).collect(),
        }
    }

    /// Whether the marks of the camera are known.
    #[must_use]
    pub const fn is_known(&self) -> bool {
        self.camera.is_some()
    }

    fn scale(&self, control: Control) -> Option<&Scale> {
        let camera = self.camera.as_ref()?;
        Some(match control {
            Control::Time => camera.times(),
            _ => camera.apertures(),
        })
    }

    fn logged(&self, control: Control) -> &[Mark] {
        match control {
            Control::Time => &self.times,
            _ => &self.apertures,
        }
    }

    /// What was planned; none for a frame without a plan.
    #[must_use]
    pub const fn planned(&self) -> Option<crate::Setting> {
        self.planned
    }

    fn planned_mark(&self, control: Control) -> Option<Mark> {
        let set = self.planned?;
        Some(match control {
            Control::Time => set.time.mark(),
            _ => set.aperture.mark(),
        })
    }

    /// The mark that carries the figure of a typed one.
    fn meant(&self, typed: Mark) -> Mark {
        let control = typed.control();
        let same =
            |mark: &Mark| (mark.engraved() - typed.engraved()).abs() <= 1e-9 * typed.engraved();
        if let Some(planned) = self.planned_mark(control).filter(same) {
            return planned;
        }
        if let Some(scale) = self.scale(control) {
            if let Some(mark) = scale.labelled(typed.engraved()) {
                return *mark;
            }
            // On B a person counts what is typed. Anything else that the scale would make of it is another figure.
            let meant = scale.meant(&typed).mark;
            if meant.by_hand() && same(&meant) {
                return meant;
            }
        }
        let logged = self.logged(control).iter().find(|mark| same(mark));
        logged.copied().unwrap_or(typed)
    }

    /// What a typed time means: `1/50`, `50`, `2s`; or the text of a record, which is taken to the letter.
    ///
    /// # Errors
    ///
    /// If the text was not understood or is out of range.
    pub fn time(&self, typed: &str) -> Result<Time, Error> {
        let read = Time::parse(typed)?;
        if says_how(typed) {
            return Ok(read);
        }
        Time::new(self.meant(read.mark()))
    }

    /// What a typed aperture means: `4.5`, `f/4.5`; or the text of a record, which is taken to the letter.
    ///
    /// # Errors
    ///
    /// If the text was not understood or is out of range.
    pub fn aperture(&self, typed: &str) -> Result<Aperture, Error> {
        let read = Aperture::parse(typed)?;
        if says_how(typed) {
            return Ok(read);
        }
        Aperture::new(self.meant(read.mark()))
    }

    /// Marks to be offered, the one with least light first: those of the camera without what is counted on B, else those
    /// that the roll's log has; the planned one is always among them.
    fn offered(&self, control: Control) -> Vec<Mark> {
        let mut marks: Vec<Mark> = match self.scale(control) {
            Some(scale) => scale.marks().to_vec(),
            None => self.logged(control).to_vec(),
        };
        marks.retain(|mark| !mark.by_hand());
        marks.extend(self.planned_mark(control));
        // OK to leave all out on an error: a scale is refused only where there is no mark.
        Scale::new(control, marks, false)
            .map_or_else(|_| Vec::new(), |scale| scale.marks().to_vec())
    }

    /// The offered marks up to so many to either side of the planned one; all where nothing was planned.
    fn around(&self, control: Control, most: usize) -> Vec<Mark> {
        let marks = self.offered(control);
        let planned = self.planned_mark(control).and_then(|planned| {
            marks
                .iter()
                .position(|mark| mark.relative_to(&planned).is_even())
        });
        let Some(at) = planned else { return marks };
        // What one side does not have, the other may have more of.
        let wide = most.saturating_mul(2).saturating_add(1).min(marks.len());
        let from = at.saturating_sub(most).min(marks.len() - wide);
        marks[from..from + wide].to_vec()
    }

    /// [`times`](Self::times), up to so many to either side of the planned one.
    #[must_use]
    pub fn times_around(&self, most: usize) -> Vec<Time> {
        let marks = self.around(Control::Time, most).into_iter();
        marks.filter_map(|mark| Time::new(mark).ok()).collect()
    }

    /// [`apertures`](Self::apertures), up to so many to either side of the planned one.
    #[must_use]
    pub fn apertures_around(&self, most: usize) -> Vec<Aperture> {
        let marks = self.around(Control::Aperture, most).into_iter();
        marks.filter_map(|mark| Aperture::new(mark).ok()).collect()
    }

    /// What a field says for a time: its figure where that means the same time, else the text of a record.
    #[must_use]
    pub fn spell_time(&self, time: Time) -> String {
        let figure = time.shown();
        let is_same = self.time(&figure).is_ok_and(|read| read == time);
        if is_same { figure } else { time.text() }
    }

    /// What a field says for an aperture: its figure where that means the same aperture, else the text of a record.
    #[must_use]
    pub fn spell_aperture(&self, aperture: Aperture) -> String {
        let figure = aperture.shown();
        let is_same = self.aperture(&figure).is_ok_and(|read| read == aperture);
        if is_same { figure } else { aperture.text() }
    }

    /// Times to be offered, the fastest first.
    #[must_use]
    pub fn times(&self) -> Vec<Time> {
        let marks = self.offered(Control::Time).into_iter();
        marks.filter_map(|mark| Time::new(mark).ok()).collect()
    }

    /// Apertures to be offered, the smallest first.
    #[must_use]
    pub fn apertures(&self) -> Vec<Aperture> {
        let marks = self.offered(Control::Aperture).into_iter();
        marks.filter_map(|mark| Aperture::new(mark).ok()).collect()
    }
}
