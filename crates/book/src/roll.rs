//! Rolls with their log: scenes, and frames as planned and as shot. A plan is never changed by what happened.

use exposure::{Doubt, Effect, Mark, Reading, Stops, words};
use serde::Serialize;

use crate::{
    Aperture, Correction, Date, Device, Error, Group, Moment, Pair, Reciprocity, Speed, Storage,
    Time,
    camera::same_name,
    correction,
    film::is_false,
    kit::{self, is_zero},
    pairs, text,
};

/// Most frames of one roll that are logged.
pub const MOST_FRAMES: usize = 250;

/// Frames that a 36 roll may give beyond its number (common practice 1, allow for 2: judgement, no source).
pub const SPARE_FRAMES: u16 = 2;

/// Where a roll stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Not yet loaded.
    InBag,
    /// In a camera.
    Loaded,
    /// Taken out before it was full, the leader left out, to be loaded again.
    PartShot,
    /// Exposed, waiting for the lab.
    Exposed,
    /// At the lab.
    AtLab,
    /// Back from the lab.
    Back,
}

impl State {
    /// All states, in the order in which a roll goes through them.
    pub const ALL: [Self; 6] = [
        Self::InBag,
        Self::Loaded,
        Self::PartShot,
        Self::Exposed,
        Self::AtLab,
        Self::Back,
    ];

    /// Whether no frame is shot on it any more.
    #[must_use]
    pub const fn is_finished(self) -> bool {
        matches!(self, Self::Exposed | Self::AtLab | Self::Back)
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::InBag => "in the bag",
            Self::Loaded => "loaded",
            Self::PartShot => "part shot, out of the camera",
            Self::Exposed => "exposed, waiting",
            Self::AtLab => "at the lab",
            Self::Back => "back from the lab",
        }
    }
}

/// One time that a roll was put into a camera.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Loading {
    /// The person's name for the camera, as it was called then.
    pub camera: String,
    /// Id of the camera, where the dial knows it: its marks are those of its frames. None where nobody described it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub camera_id: Option<String>,
    /// The rating it is shot at.
    pub rating: Speed,
    /// Since when.
    pub since: Date,
    /// The number on the film of the first real frame: the frame counter, where it is the first time.
    pub first_frame: u16,
    /// Id of the device that the light is read with; none where it is not said.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub device: Option<String>,
    /// Id of the last frame that was on the film when the roll was put in again; none where nothing was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<u16>,
    /// When it was taken out before it was full.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<Date>,
    /// Why it was taken out before it was full, in the person's words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why: String,
}

impl Loading {
    /// A roll that is put into a camera.
    #[must_use]
    pub fn new(camera: &str, rating: Speed, since: Date, first_frame: u16) -> Self {
        Self {
            camera: camera.to_owned(),
            camera_id: None,
            rating,
            since,
            first_frame,
            device: None,
            after: None,
            until: None,
            why: String::new(),
        }
    }

    /// The same in a camera that the dial knows by this id.
    #[must_use]
    pub fn known_as(self, camera_id: Option<String>) -> Self {
        Self { camera_id, ..self }
    }

    /// Whether both are in the same camera: by id where both have one, else by name as people write it, where capitals and
    /// white space make no difference.
    #[must_use]
    pub fn is_in_the_same(&self, other: &Self) -> bool {
        match (&self.camera_id, &other.camera_id) {
            (Some(id), Some(other)) => id == other,
            _ => same_name(&self.camera, &other.camera),
        }
    }

    /// Whether it says what the first three versions of records have no words for.
    const fn is_of_version_4(&self) -> bool {
        self.camera_id.is_some() || self.device.is_some()
    }

    /// Whether it says what the first two versions of records have no words for.
    const fn is_of_version_3(&self) -> bool {
        self.after.is_some() || self.until.is_some() || !self.why.is_empty()
    }
}

/// What the lab is asked to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Development {
    /// Normal.
    #[default]
    Normal,
    /// Longer, for film that got less light: so many thirds of a stop.
    PushThirds(u8),
    /// Shorter, for film that got more light: so many thirds of a stop.
    PullThirds(u8),
}

/// How scans were made, which decides what can be concluded from them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Scans {
    /// One fixed setting for all frames.
    Fixed,
    /// Corrected frame by frame, by the lab or by the scanner.
    Corrected,
    /// Nobody can say.
    Unknown,
    /// No scans: negatives or slides on a light table.
    LightTable,
}

/// A reading of the light as it was taken down.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Light {
    /// Time that the device showed.
    pub time: Time,
    /// Aperture that the device showed.
    pub aperture: Aperture,
    /// The device's own sensitivity.
    pub sensitivity: Speed,
    /// When it was taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Moment>,
    /// When the light was last found to be the same as it was read, which keeps an old reading good.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub same_at: Option<Moment>,
    /// What it was taken with, in the person's words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub device: String,
    /// How, and of what: `grey card in the shade`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub method: String,
    /// How far it may be off either way, in thousandths of a stop, 1 to 10 000; none where that is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub give_or_take_thousandths: Option<u16>,
    /// What the device was corrected by, in twelfths of a stop, at most 10 stops either way; positive: the film is to get
    /// that much more light than the device asked for.
    #[serde(skip_serializing_if = "is_zero")]
    pub correction_twelfths: i32,
    /// What else stood between the reading and the film, at most 12; positive: more light reached the film.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub corrections: Vec<Correction>,
    /// What the film needs at long times, where that was counted: last of all, on the time alone, for each frame by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub long_times: Option<Box<Reciprocity>>,
}

impl Light {
    /// Takes down a reading, without corrections.
    ///
    /// # Errors
    ///
    /// If a figure cannot be kept.
    pub fn new(reading: &Reading, at: Option<Moment>) -> Result<Self, Error> {
        let [time, aperture, sensitivity] = *reading.marks();
        Ok(Self {
            at,
            ..Self::of(
                Time::new(time)?,
                Aperture::new(aperture)?,
                Speed::new(sensitivity)?,
            )
        })
    }

    /// The reading that a device showed, and no more.
    #[must_use]
    pub const fn of(time: Time, aperture: Aperture, sensitivity: Speed) -> Self {
        Self {
            time,
            aperture,
            sensitivity,
            at: None,
            same_at: None,
            device: String::new(),
            method: String::new(),
            give_or_take_thousandths: None,
            correction_twelfths: 0,
            corrections: Vec::new(),
            long_times: None,
        }
    }

    /// The same reading, with what else stood between it and the film, in the place of what was taken down before.
    ///
    /// ```
    /// use book::{Correction, Light};
    /// use exposure::{Control, Mark, Reading, Steps, Stops};
    /// let mark = |control, text| Mark::parse(control, text, Steps::Third);
    /// let reading = Reading::new(mark(Control::Time, "1/125")?, mark(Control::Aperture, "8")?, mark(Control::Sensitivity, "100")?)?;
    /// let filter = Correction::new("Filter, factor 8", Stops::constant(-3.0))?;
    /// let light = Light::new(&reading, None)?.with_corrections(vec![filter])?;
    /// assert_eq!(light.said(), ["Filter, factor 8: 3 stops less light"]);
    /// # Ok::<(), book::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// If there are more than 12, one of them is none that records keep, or they come to more than 60 stops together.
    pub fn with_corrections(self, corrections: Vec<Correction>) -> Result<Self, Error> {
        correction::check(&corrections).map(|()| Self {
            corrections,
            ..self
        })
    }

    /// The same reading, of which is known how far it may be off.
    ///
    /// ```
    /// use book::{Light, Time, Aperture, Speed};
    /// use exposure::Doubt;
    /// let light = Light::of(Time::parse("1/125")?, Aperture::parse("f/8")?, Speed::parse("ISO 100")?);
    /// let light = light.within(Some(Doubt::constant(1.0)));
    /// assert_eq!(light.read_words(), "Read as 1/125, f/8 at ISO 100, give or take 1 stop.");
    /// # Ok::<(), book::Error>(())
    /// ```
    #[must_use]
    pub fn within(self, doubt: Option<Doubt>) -> Self {
        let thousandths = doubt.map(Doubt::thousandths);
        Self {
            give_or_take_thousandths: thousandths.filter(|thousandths| *thousandths > 0),
            ..self
        }
    }

    /// How far it may be off either way; none where that is not known.
    #[must_use]
    pub fn doubt(&self) -> Option<Doubt> {
        doubt_of(self.give_or_take_thousandths)
    }

    /// The same reading, taken with this device: its name and its correction are taken down, so that what is found out
    /// about the device later does not change what was logged. It takes the place of the device's correction on the dial.
    #[must_use]
    pub fn taken_with(mut self, device: &Device) -> Self {
        self.corrections.retain(|one| !one.is_of_device());
        Self {
            device: device.name.clone(),
            correction_twelfths: device.correction_twelfths,
            ..self
        }
    }

    /// What the device was corrected by; positive is more light than it asked for.
    #[must_use]
    pub fn correction(&self) -> Stops {
        kit::correction(self.correction_twelfths)
    }

    /// The correction in words: `asks for ⅓ stop less light than is needed: ⅓ stop more light is added`; none where
    /// nothing was corrected.
    #[must_use]
    pub fn correction_words(&self) -> Option<String> {
        kit::correction_words(self.correction_twelfths)
    }

    /// When it was known last: taken, or found to be the same.
    #[must_use]
    pub fn known_at(&self) -> Option<Moment> {
        self.at.max(self.same_at)
    }

    /// The reading in words: `Read as 1/125, f/8 at ISO 400, give or take ½ stop (spot meter, grey card), 2024-05-01 10:00; the
    /// light was the same at 10:30.` The brackets hold what it was taken with and how, where that is known.
    #[must_use]
    pub fn read_words(&self) -> String {
        let (time, aperture, sensitivity) = (self.time, self.aperture, self.sensitivity);
        let mut out = format!(
            "Read as {}, {} at {}",
            time.shown(),
            aperture.shown(),
            sensitivity.shown()
        );
        if let Some(doubt) = self.doubt() {
            out.push_str(&format!(", {}", words::give_or_take(doubt)));
        }
        let how = [self.device.as_str(), self.method.as_str()];
        let how = how.into_iter().filter(|part| !part.is_empty());
        let how = how.collect::<Vec<_>>().join(", ");
        if !how.is_empty() {
            out.push_str(&format!(" ({how})"));
        }
        if let Some(at) = self.at {
            out.push_str(&format!(", {}", at.words()));
        }
        if let Some(same) = self.same_at {
            let same_day = self.at.is_some_and(|at| at.date() == same.date());
            let when = if same_day { same.clock() } else { same.words() };
            out.push_str(&format!("; the light was the same at {when}"));
        }
        out.push('.');
        out
    }

    /// Everything that is counted besides the setting, one to a line: the device's correction with its name, what else stood
    /// between the reading and the film, and what the film needs at long times.
    #[must_use]
    pub fn said(&self) -> Vec<String> {
        let device = self.correction_words().map(|words| {
            let device = match self.device.as_str() {
                "" => "the reading device",
                name => name,
            };
            format!("{device} {words}")
        });
        let others = self.corrections.iter().map(Correction::words);
        let long = self.long_times.iter().map(|long| long.words());
        device.into_iter().chain(others).chain(long).collect()
    }

    /// The reading, to calculate with: the device's correction is in it, so its sensitivity need not be the one that the
    /// device stood at. What else stood between it and the film is not, for it does not change the light of the scene.
    #[must_use]
    pub fn reading(&self) -> Reading {
        self.asking_for(self.correction())
    }

    /// The same reading by a device that really stood at this sensitivity.
    #[must_use]
    pub fn stood_at(&self, sensitivity: Speed) -> Self {
        Self {
            sensitivity,
            ..self.clone()
        }
    }

    /// What corrections do that belong to a time or a stop; the others are in [`film_reading`](Self::film_reading).
    pub(crate) fn by_setting(&self) -> Vec<Effect> {
        let varying = self.corrections.iter().filter(|one| one.at.is_some());
        varying.map(Correction::by_setting).collect()
    }

    /// What the film asks for: the reading with every correction that is the same at every setting.
    pub(crate) fn film_reading(&self) -> Reading {
        let lost = correction::together(&self.corrections);
        self.asking_for(self.correction() - lost)
    }

    /// The reading as the device showed it.
    pub(crate) fn shown(&self) -> Reading {
        self.asking_for(Stops::ZERO)
    }

    fn asking_for(&self, more: Stops) -> Reading {
        let marks = (
            self.time.mark(),
            self.aperture.mark(),
            self.sensitivity.mark(),
        );
        let shown = Reading::new(marks.0, marks.1, marks.2)
            .expect("the three figures are a time, an aperture and a speed by their types");
        if more == Stops::ZERO {
            return shown;
        }
        shown.corrected(more).expect(
            "speeds are within 20 stops of ISO 100, a device's correction within 10, and the others within 60 together",
        )
    }

    /// How long to count for a metered time, in words: `count 37.8 s`; empty where nothing more was counted.
    #[must_use]
    pub fn count_words(&self, metered: Time) -> String {
        let count = self.long_times.as_ref().map(|long| long.to_count(metered));
        match count.as_deref() {
            None | Some("") => String::new(),
            Some(count) => format!("count {count}"),
        }
    }

    /// Whether it says what the first version of records has no words for.
    pub(crate) const fn is_of_version_2(&self) -> bool {
        !self.corrections.is_empty() || self.same_at.is_some()
    }

    /// Whether it says what the first two versions have no words for.
    pub(crate) fn is_of_version_3(&self) -> bool {
        self.give_or_take_thousandths.is_some()
            || self.long_times.is_some()
            || self.corrections.iter().any(|one| one.at.is_some())
    }

    /// Whether it is one that records keep.
    pub(crate) fn check(&self) -> Result<(), Error> {
        kit::check_correction(self.correction_twelfths)?;
        check_doubt(self.give_or_take_thousandths)?;
        correction::check(&self.corrections)
    }
}

/// How far something may be off, as a record keeps it.
pub(crate) fn doubt_of(thousandths: Option<u16>) -> Option<Doubt> {
    Doubt::of_thousandths(u64::from(thousandths?))
}

/// Whether it is one that records keep: nought is not written.
pub(crate) fn check_doubt(thousandths: Option<u16>) -> Result<(), Error> {
    match (thousandths, doubt_of(thousandths)) {
        (None, _) => Ok(()),
        (Some(1..), Some(_)) => Ok(()),
        _ => Err(Error::new(
            "how far a reading may be off has to lie between a thousandth of a stop and 10 stops",
        )),
    }
}

/// A time and an aperture.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Setting {
    /// Shutter time.
    pub time: Time,
    /// Aperture.
    pub aperture: Aperture,
}

impl Setting {
    /// Makes a setting of two marks.
    ///
    /// # Errors
    ///
    /// If a figure cannot be kept.
    pub fn new(time: Mark, aperture: Mark) -> Result<Self, Error> {
        Ok(Self {
            time: Time::new(time)?,
            aperture: Aperture::new(aperture)?,
        })
    }

    /// As it is said: `1/60, f/8`.
    #[must_use]
    pub fn shown(&self) -> String {
        format!("{}, {}", self.time.shown(), self.aperture.shown())
    }
}

/// One subject in one light, with a bracket of frames.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Scene {
    /// Number within the roll, from 1.
    pub number: u16,
    /// The person's name for it.
    pub name: String,
    /// The light.
    pub light: Light,
    /// The rating that the base was meant for.
    pub rating: Speed,
    /// What the base frame was to be set to.
    pub base: Setting,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// What a frame was to be. Never changed once it is logged.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Plan {
    /// A frame of a scene.
    Picture {
        /// Number of the scene.
        scene: u16,
        /// What was to be set.
        set: Setting,
        /// Offset from the base that was asked for, in twelfths of a stop; positive is more light.
        more_light_twelfths: i32,
    },
    /// A card with roll, scene and settings.
    Slate,
    /// Lens covered: shows base plus fog.
    Capped,
    /// Nothing was planned: a frame that was wound on or wasted.
    Nothing,
    /// A frame of a scene that nobody had planned: what was set stands in [`Shot`], as far as it is known.
    Unplanned {
        /// Number of the scene.
        scene: u16,
    },
}

impl Plan {
    /// Number of the scene that it belongs to; none for a frame without one.
    #[must_use]
    pub const fn scene(&self) -> Option<u16> {
        match self {
            Self::Picture { scene, .. } | Self::Unplanned { scene } => Some(*scene),
            Self::Slate | Self::Capped | Self::Nothing => None,
        }
    }

    /// Whether it was planned before it was shot.
    #[must_use]
    pub const fn is_picture(&self) -> bool {
        matches!(self, Self::Picture { .. })
    }
}

/// What became of a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fate {
    /// Not shot yet.
    #[default]
    Waiting,
    /// Shot.
    Taken,
    /// On the film, but no picture: wound on, capped by mistake, spoiled.
    Lost,
    /// Exposed on the same piece of film as the frame before.
    Double,
    /// Never shot: takes no film.
    LeftOut,
}

/// What is known of a frame as it was shot. What is not given was as planned.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Shot {
    /// What became of it.
    pub fate: Fate,
    /// The time, where it was another than planned.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time: Option<Time>,
    /// The aperture, where it was another than planned.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub aperture: Option<Aperture>,
    /// The sensitivity that the device really stood at, where it was another than taken down.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meter: Option<Speed>,
    /// When.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Moment>,
    /// The light was another than the reading: no evidence.
    #[serde(skip_serializing_if = "is_false")]
    pub light_changed: bool,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// How a frame came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Not usable.
    Rejected,
    /// Usable.
    Usable,
    /// Liked best, or as well as the best.
    Liked,
}

impl Grade {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rejected => "rejected",
            Self::Usable => "usable",
            Self::Liked => "liked",
        }
    }
}

/// What can be ticked of a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Tick {
    /// The darkest place has texture.
    ShadowTexture,
    /// The brightest place has texture.
    HighlightTexture,
    /// A veil lies over the blacks.
    Fog,
    /// Grain or mottle shows.
    Grain,
    /// Colours lean to one side.
    Cast,
}

impl Tick {
    /// All ticks, in the order in which they are always listed.
    pub const ALL: [Self; 5] = [
        Self::ShadowTexture,
        Self::HighlightTexture,
        Self::Fog,
        Self::Grain,
        Self::Cast,
    ];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ShadowTexture => "shadow texture",
            Self::HighlightTexture => "highlight texture",
            Self::Fog => "fog",
            Self::Grain => "grain",
            Self::Cast => "cast",
        }
    }
}

/// A person's judgement of a frame.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// The grade.
    pub grade: Grade,
    /// What was ticked.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ticks: Vec<Tick>,
}

/// One exposure of a roll, in the order of shooting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Frame {
    /// Id within the roll: stays the same when numbers shift.
    pub id: u16,
    /// What it was to be.
    pub plan: Plan,
    /// What it was.
    pub shot: Shot,
    /// How it came out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Verdict>,
    /// Name of the scan's file, which stays where it is.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub scan: String,
}

/// A roll of film with everything that happened to it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Roll {
    /// Id, unique among rolls.
    pub id: String,
    /// The person's name or number for it.
    pub name: String,
    /// Id of the batch.
    pub batch: String,
    /// How it was kept, where that is another than the batch's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub storage: Option<Storage>,
    /// Frames that it is expected to give, 1 to 250.
    pub exposures: u16,
    /// What it is for.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub purpose: String,
    /// Where it stands.
    pub state: State,
    /// The times it was put into a camera; the last one counts.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub loadings: Vec<Loading>,
    /// When it was finished.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finished: Option<Date>,
    /// When it was sent to the lab.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sent: Option<Date>,
    /// When it came back.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub returned: Option<Date>,
    /// What the lab is asked to do.
    pub development: Development,
    /// How the scans were made, once that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scans: Option<Scans>,
    /// Scenes by number.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub scenes: Vec<Scene>,
    /// Frames in the order of shooting.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub frames: Vec<Frame>,
    /// Frames that were compared two at a time, in the order of their ids.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pairs: Vec<Pair>,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Roll {
    /// A roll in the bag.
    #[must_use]
    pub fn new(id: &str, name: &str, batch: &str, exposures: u16) -> Self {
        Self {
            id: id.to_owned(),
            name: name.to_owned(),
            batch: batch.to_owned(),
            storage: None,
            exposures,
            purpose: String::new(),
            state: State::InBag,
            loadings: Vec::new(),
            finished: None,
            sent: None,
            returned: None,
            development: Development::Normal,
            scans: None,
            scenes: Vec::new(),
            frames: Vec::new(),
            pairs: Vec::new(),
            note: String::new(),
        }
    }

    /// The loading that counts.
    #[must_use]
    pub fn loading(&self) -> Option<&Loading> {
        self.loadings.last()
    }

    /// The loading in which a frame was shot: the last one that had not this frame on the film yet.
    #[must_use]
    pub fn loading_of(&self, id: u16) -> Option<&Loading> {
        let place_of = |id: u16| self.frames.iter().position(|frame| frame.id == id);
        let place = place_of(id)?;
        let began = |loading: &&Loading| {
            let before = loading.after.and_then(place_of);
            before.is_none_or(|before| before < place)
        };
        self.loadings.iter().rev().find(began)
    }

    /// Id of the frame of a scene at a place in its planned series, from 0, in the order in which it was planned.
    #[must_use]
    pub fn frame_of_scene(&self, number: u16, index: usize) -> Option<u16> {
        let planned =
            |frame: &&Frame| frame.plan.is_picture() && frame.plan.scene() == Some(number);
        let mut ids: Vec<u16> = self
            .frames
            .iter()
            .filter(planned)
            .map(|frame| frame.id)
            .collect();
        // Frames get their ids in the order in which they are planned, and may be moved afterwards.
        ids.sort_unstable();
        ids.get(index).copied()
    }

    /// A scene by its number.
    #[must_use]
    pub fn scene(&self, number: u16) -> Option<&Scene> {
        self.scenes.iter().find(|scene| scene.number == number)
    }

    /// A frame by its id.
    #[must_use]
    pub fn frame(&self, id: u16) -> Option<&Frame> {
        self.frames.iter().find(|frame| frame.id == id)
    }

    /// Each frame with its number on the film, in the order of shooting; none for a frame that takes no film: one that was
    /// left out, and on a finished roll what was planned behind the last frame that was shot.
    ///
    /// Numbers are worked out from what is on the film, so a lost frame that is put in shifts those after it.
    #[must_use]
    pub fn numbered(&self) -> Vec<(Option<u16>, &Frame)> {
        let mut next = self.first_number();
        let mut last = None;
        let stands = self.stands();
        self.frames
            .iter()
            .enumerate()
            .map(|(place, frame)| {
                let number = match frame.shot.fate {
                    Fate::LeftOut => None,
                    Fate::Waiting if self.state.is_finished() && place >= stands => None,
                    // The first frame of a roll has none before it to share its film with.
                    Fate::Double if last.is_some() => last,
                    _ => {
                        last = Some(next);
                        next = next.saturating_add(1);
                        last
                    }
                };
                (number, frame)
            })
            .collect()
    }

    /// The number on the film of the first frame.
    fn first_number(&self) -> u16 {
        self.loadings
            .first()
            .map_or(1, |loading| loading.first_frame)
    }

    /// Where the film stands: the place in the log behind the last frame that something became of. What waits from there on
    /// is still to be shot.
    pub(crate) fn stands(&self) -> usize {
        let shot = |frame: &Frame| !matches!(frame.shot.fate, Fate::Waiting | Fate::LeftOut);
        self.frames.iter().rposition(shot).map_or(0, |at| at + 1)
    }

    /// The number on the film of the piece that lies behind the shutter: behind the last frame that something became of.
    #[must_use]
    pub fn film_number(&self) -> u16 {
        let numbered = self.numbered();
        let before = numbered.iter().take(self.stands());
        let last = before.rev().find_map(|(number, _)| *number);
        last.map_or(self.first_number(), |number| number.saturating_add(1))
    }

    /// Frames that were planned and that nothing became of.
    pub fn waits(&self) -> impl Iterator<Item = &Frame> {
        let waits = |frame: &&Frame| frame.shot.fate == Fate::Waiting;
        self.frames.iter().filter(waits)
    }

    /// A frame by its id.
    ///
    /// # Errors
    ///
    /// If it is not in the log.
    pub fn find_frame(&self, id: u16) -> Result<&Frame, Error> {
        self.frame(id)
            .ok_or_else(|| Error::new("this frame is not in the log of the roll"))
    }

    /// The number on the film of a frame that is still to be shot.
    ///
    /// # Errors
    ///
    /// A sentence if it is not in the log, or something became of it already: noting it again would change what was noted.
    pub fn waiting(&self, id: u16) -> Result<u16, Error> {
        let frame = self.find_frame(id)?;
        if self.state != State::Loaded {
            return Err(Error::new(format!(
                "“{}” is {}; load it before a frame of it is shot",
                self.name,
                self.state.words()
            )));
        }
        let number = self.number_of(id);
        match (frame.shot.fate, number) {
            (Fate::Waiting, Some(number)) => Ok(number),
            (fate, Some(number)) => Err(Error::new(format!(
                "frame {number} is {} in the log already; to shoot the series once more, log it once more",
                match fate {
                    Fate::Taken => "shot",
                    Fate::Lost => "lost",
                    _ => "a double exposure",
                }
            ))),
            (_, None) => Err(Error::new("this frame was left out in the log")),
        }
    }

    /// The number on the film of a frame.
    #[must_use]
    pub fn number_of(&self, id: u16) -> Option<u16> {
        self.numbered()
            .into_iter()
            .find(|(_, frame)| frame.id == id)
            .and_then(|(number, _)| number)
    }

    /// Pieces of film that are used or spoken for.
    #[must_use]
    pub fn used(&self) -> usize {
        let mut numbers: Vec<u16> = self.numbered().into_iter().filter_map(|(n, _)| n).collect();
        numbers.dedup();
        numbers.len()
    }

    /// The number on the film of the next frame: one more than the last, or where the counter stood at the first.
    #[must_use]
    pub fn next_number(&self) -> u16 {
        let last = self.numbered().into_iter().rev().find_map(|(n, _)| n);
        last.map_or(self.first_number(), |number| number.saturating_add(1))
    }

    /// Where the roll is and how far, one sentence each.
    #[must_use]
    pub fn place_words(&self) -> Vec<String> {
        let mut out = vec![format!("This roll is {}.", self.state.words())];
        let Some(loading) = self.loading() else {
            return out;
        };
        let (camera, rating) = (&loading.camera, loading.rating.rating_words());
        let why = match loading.why.as_str() {
            "" => String::new(),
            why => format!(" ({why})"),
        };
        out.push(match (self.state, loading.until) {
            (State::InBag | State::Loaded, _) => format!(
                "In the {camera} since {}, rated {rating}.",
                loading.since.text()
            ),
            (State::PartShot, Some(until)) => {
                format!(
                    "Taken out of the {camera} on {}{why}, rated {rating}.",
                    until.text()
                )
            }
            _ => format!("Shot in the {camera}{why}, rated {rating}."),
        });
        out.push(self.next_words());
        out
    }

    /// The number on the film of the frame that is shot next: the first that is planned, else the one behind the last.
    #[must_use]
    pub fn next_to_shoot(&self) -> u16 {
        let waiting = self.numbered().into_iter();
        waiting
            .filter(|(_, frame)| frame.shot.fate == Fate::Waiting)
            .find_map(|(number, _)| number)
            .unwrap_or_else(|| self.next_number())
    }

    /// The same for the middle of a sentence: `frame 5 of 36 comes next`, `all 36 frames are used`.
    #[must_use]
    pub fn next_short(&self) -> String {
        let (next, promised) = (self.next_to_shoot(), self.exposures);
        if next <= promised {
            format!("frame {next} of {promised} comes next")
        } else {
            format!("all {promised} frames are used")
        }
    }

    /// Which frame is the next to shoot, in words, also where frames are planned and not shot yet:
    /// `Frame 5 of 36 comes next. After the 4 planned frames, 28 are left.` On a roll that is finished no frame comes next:
    /// `24 of 36 frames are used. 2 planned frames were not shot.`
    #[must_use]
    pub fn next_words(&self) -> String {
        let used = format!(
            "{} of {} frames are used",
            self.shot_pieces(),
            self.exposures
        );
        let waits = self.waits().count();
        match self.state {
            State::InBag | State::Loaded => {}
            State::PartShot => {
                return format!(
                    "{used}; frame {} comes next when it is loaded again.",
                    self.film_number()
                );
            }
            State::Exposed | State::AtLab | State::Back => {
                return match waits {
                    0 => format!("{used}."),
                    1 => format!("{used}. 1 planned frame was not shot."),
                    _ => format!("{used}. {waits} planned frames were not shot."),
                };
            }
        }
        let numbered = self.numbered();
        let waiting = numbered
            .iter()
            .filter(|(_, frame)| frame.shot.fate == Fate::Waiting);
        let planned = waiting.clone().count();
        let Some(next) = waiting.filter_map(|(number, _)| *number).next() else {
            return self.left_words();
        };
        let left = (self.exposures + 1).saturating_sub(self.next_number());
        let planned = if planned == 1 {
            "the planned frame".to_owned()
        } else {
            format!("the {planned} planned frames")
        };
        format!(
            "Frame {next} of {} comes next. After {planned}, {left} {} left.",
            self.exposures,
            if left == 1 { "is" } else { "are" }
        )
    }

    /// Pieces of film that something became of.
    fn shot_pieces(&self) -> usize {
        let mut numbers: Vec<u16> = self
            .numbered()
            .into_iter()
            .filter(|(_, frame)| frame.shot.fate != Fate::Waiting)
            .filter_map(|(number, _)| number)
            .collect();
        numbers.dedup();
        numbers.len()
    }

    /// Frames left, in words: `Frame 35 of 36 comes next; 2 frames left.`
    #[must_use]
    pub fn left_words(&self) -> String {
        let (next, promised) = (self.next_number(), self.exposures);
        if next <= promised {
            let left = usize::from(promised - next) + 1;
            return format!(
                "Frame {next} of {promised} comes next; {} left.",
                text::counted(left, "frame")
            );
        }
        let over = next - promised - 1;
        if (36..72).contains(&promised) && over < SPARE_FRAMES {
            return format!(
                "All {promised} frames are used; the roll may give {} more.",
                SPARE_FRAMES - over
            );
        }
        if over > 0 {
            return format!(
                "The log goes on to frame {} on a roll of {promised}.",
                next - 1
            );
        }
        format!("All {promised} frames are used.")
    }

    pub(crate) fn next_frame_id(&self) -> u16 {
        self.frames
            .iter()
            .map(|frame| frame.id)
            .max()
            .map_or(1, |id| id.saturating_add(1))
    }

    pub(crate) fn next_scene(&self) -> u16 {
        self.scenes
            .iter()
            .map(|scene| scene.number)
            .max()
            .map_or(1, |number| number.saturating_add(1))
    }

    /// The oldest version of records that can say all of it.
    pub(crate) fn version(&self) -> u32 {
        if !self.pairs.is_empty() {
            return 5;
        }
        if self.loadings.iter().any(Loading::is_of_version_4) {
            return 4;
        }
        let newest = self.state == State::PartShot
            || self.loadings.iter().any(Loading::is_of_version_3)
            || self
                .scenes
                .iter()
                .any(|scene| scene.light.is_of_version_3())
            || self
                .frames
                .iter()
                .any(|frame| matches!(frame.plan, Plan::Unplanned { .. }));
        if newest {
            return 3;
        }
        let second = |scene: &Scene| scene.light.is_of_version_2();
        if self.scenes.iter().any(second) { 2 } else { 1 }
    }

    /// The group that it belongs to.
    #[must_use]
    pub fn group(&self, batch: &crate::Batch) -> Group {
        Group {
            stock: batch.stock.clone(),
            batch: batch.id.clone(),
            storage: self.storage.unwrap_or(batch.storage),
        }
    }

    /// Whether the parts fit together: what every record has to pass before it is taken.
    pub(crate) fn check(&self) -> Result<(), Error> {
        let distinct = |numbers: Vec<u16>| {
            (1..numbers.len()).all(|place| !numbers[..place].contains(&numbers[place]))
        };
        let fits = !self.id.is_empty()
            && self.exposures >= 1
            && usize::from(self.exposures) <= MOST_FRAMES
            && self.frames.len() <= MOST_FRAMES
            && distinct(self.scenes.iter().map(|scene| scene.number).collect())
            && self.scenes.iter().all(|scene| scene.light.check().is_ok())
            && distinct(self.frames.iter().map(|frame| frame.id).collect())
            && pairs::are_sound(&self.pairs)
            && self
                .frames
                .iter()
                .filter_map(|frame| frame.plan.scene())
                .all(|number| self.scene(number).is_some())
            && (!matches!(self.state, State::Loaded | State::PartShot) || self.loading().is_some());
        if fits {
            Ok(())
        } else {
            Err(Error::new(
                "the parts of this roll's record do not fit together",
            ))
        }
    }
}
