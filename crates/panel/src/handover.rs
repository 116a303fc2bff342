//! The planned series as the film book takes it over from the dial.
//!
//! The two are programs of their own. What passes between them is what a link carries, without all that is not planned, and with
//! the frames: so the book need not work out what the dial did, and a series stays the same one while the theme changes or a
//! dial is turned out and back.

use book::{
    Book, Correction, Date, Error, HandLimit, Light, Loading, NewScene, Planned, Reach,
    Reciprocity, Roll, Setting, Speed, Stock, findings_of, hash,
};
use exposure::{Camera, Control, Mark, Stops, words};

use crate::{
    choices::{FILMS, THEMES, key_of},
    derive::{frames, hand_limit_source},
    equipment::OwnCamera,
    intent::Refusal,
    light::LineKind,
    link,
    loaded::{Loaded, Told},
    state::State,
    store::{self, Entries, Found, Plan, Unreadable},
};

/// The planned series, as the dial hands it over.
///
/// ```
/// use panel::{State, handover};
/// let series = handover::Series::read(&handover::text(&State::default())).unwrap();
/// assert_eq!(series.scene.base.shown(), "1/125, f/5.6");
/// ```
#[must_use]
pub fn text(state: &State) -> String {
    let mut plan = state.clone();
    plan.come_to_rest(Control::Time);
    plan.lines.retain(|line| line.on());
    plan.long = plan.long.filter(|long| long.on());
    // What else a setting has is not planned.
    plan.extra = Stops::ZERO;
    plan.held.clear();
    plan.rounding = None;
    plan.hand_limit = None;
    plan.depth = None;
    plan.theme = THEMES[0];
    plan.tick = true;
    // What is worked out of figures that were stored may differ in its last digit from what they were stored from: as it will be
    // read again, so that a series stays the same one over a reload.
    let plan = link::setting(&link::parcel(&plan)).unwrap_or(plan);
    let frames = frames(&plan, &plan.solution());
    let frame = |frame: &exposure::Frame| {
        [
            store::label(&frame.mark),
            store::decimal(frame.wanted.get()),
        ]
    };
    let frames = frames.iter().flat_map(frame).collect();
    link::with_frames(&plan, frames)
}

/// The id of a series, by what the dial hands over: another one for whatever is planned otherwise.
#[must_use]
pub fn id(text: &str) -> String {
    format!("{:016x}", hash(text))
}

/// What the film book gets: a scene without a name, and its frames in the order of shooting.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Its id.
    pub id: String,
    /// Name of the camera.
    pub camera: String,
    /// Id of the camera.
    pub camera_id: String,
    /// What the dial was set for, as far as a roll in a camera asks for it.
    on_dial: Loaded,
    /// Speed printed on the box.
    pub box_speed: Speed,
    /// The scene; its name is empty and its reading has no time of day.
    pub scene: NewScene,
    /// Its frames.
    pub frames: Vec<Planned>,
}

/// The reading with the corrections that count; a frame amounts to the same there as on the dial.
fn light(plan: &Plan) -> Result<Light, Error> {
    let corrections = plan
        .lines
        .iter()
        .map(|line| match line.effect().fixed() {
            Some(effect) if line.kind() == LineKind::Device => {
                Correction::of_device(line.name(), effect)
            }
            // What belongs to a time or a stop is asked anew for each frame in the log as well.
            _ => Correction::by(line.name(), line.effect()),
        })
        .collect::<Result<Vec<_>, _>>()?;
    let light = Light::new(&plan.reading, None)?
        .within(plan.doubt)
        .with_corrections(corrections)?;
    let long = plan.long.as_ref();
    let long_times = long
        .map(|long| Reciprocity::new(long.name(), long.times().clone()).map(Box::new))
        .transpose()?;
    Ok(Light {
        method: plan.from.clone(),
        long_times,
        ..light
    })
}

fn plan(text: &str) -> Result<Plan, Unreadable> {
    let mut parcel = Entries::read(text)?;
    let setting = parcel.text("setting")?;
    let own = match parcel
        .texts_if_any("camera")?
        .unwrap_or_default()
        .as_slice()
    {
        [] => None::<OwnCamera>,
        [key, record] => Some(store::decode_camera(key, record)?),
        _ => return Err(Unreadable::Damaged),
    };
    let frames = parcel.texts_if_any("frames")?.unwrap_or_default();
    parcel.end()?;
    store::plan_of(&setting, own.as_slice(), &frames)
}

fn series(plan: Plan, id: String) -> Result<Series, Error> {
    let [time, aperture, rating] = plan.set;
    let frames = plan.frames.iter();
    Ok(Series {
        id,
        on_dial: Loaded {
            camera_id: plan.camera_id.clone(),
            camera: plan.camera.clone(),
            box_speed: words::value(&plan.box_speed),
            kind: key_of(&FILMS, &plan.film).to_owned(),
            rating: words::value(&rating),
            ..Loaded::default()
        },
        box_speed: Speed::new(plan.box_speed)?,
        scene: NewScene {
            name: String::new(),
            light: light(&plan)?,
            rating: Speed::new(rating)?,
            base: Setting::new(time, aperture)?,
        },
        frames: frames
            .map(|(time, aperture, wanted)| Planned::new(*time, *aperture, *wanted))
            .collect::<Result<_, _>>()?,
        camera: plan.camera,
        camera_id: plan.camera_id,
    })
}

impl Series {
    /// The series that the dial handed over.
    ///
    /// # Errors
    ///
    /// A sentence: the text is damaged, or holds what no record can keep.
    pub fn read(text: &str) -> Result<Self, Refusal> {
        let plan = plan(text).map_err(|_| Refusal {
            sentence: "The series did not come through whole, so nothing is logged. Log it again."
                .to_owned(),
        })?;
        series(plan, id(text)).map_err(|error| Refusal {
            sentence: error.to_string(),
        })
    }
}

/// What stands on the dial that a roll is loaded for.
#[derive(Debug, Clone, PartialEq)]
pub struct OnDial {
    /// Name of the camera.
    pub camera: String,
    /// The bracket.
    pub reach: Reach,
    limit: Option<Mark>,
}

impl OnDial {
    /// From what the dial stored; where there is nothing yet, what it begins with.
    ///
    /// ```
    /// use panel::handover::OnDial;
    /// let on_dial = OnDial::of(&panel::store::Found { setting: None, cameras: Vec::new() });
    /// assert_eq!(on_dial.reach.words(), "the bracket on the dial (by time, up to 3 stops more light)");
    /// ```
    #[must_use]
    pub fn of(found: &Found) -> Self {
        let (form, plan, limit) = store::for_loading(found);
        let size = |frames: u8| (0..frames).fold(Stops::ZERO, |sum, _| sum + plan.step().stops());
        Self {
            camera: form.name,
            reach: Reach {
                by: Some(plan.by()),
                under: size(plan.under()),
                over: size(plan.over()),
                whose: "the bracket on the dial".to_owned(),
            },
            limit,
        }
    }

    /// The hand-held limit for a camera: one's own goes before the rule of thumb.
    ///
    /// # Errors
    ///
    /// None for a camera made from a list of marks.
    pub fn hand_limit(&self, camera: &Camera) -> Result<HandLimit, Refusal> {
        Ok(HandLimit {
            time: match self.limit {
                Some(own) => own,
                None => camera.hand_limit()?,
            },
            whose: hand_limit_source(self.limit.is_some(), camera),
        })
    }
}

impl Series {
    /// What keeps this series from being logged for a roll without a question, in a sentence; none where nothing does.
    ///
    /// The roll has to be in a camera, and the dial set for it; a device that the dial does not count would put all frames
    /// off.
    #[must_use]
    pub fn asks_for_roll(&self, book: &Book, roll: &str) -> Option<String> {
        let Some((roll, loading)) = book.open_rolls().find(|(open, _)| open.id == roll) else {
            return Some("That roll is in no camera any more.".to_owned());
        };
        let Some(asks) = loaded(book, roll, loading) else {
            return Some("The film of that roll is not in the book any more.".to_owned());
        };
        let differs = asks.differs_from(&self.on_dial);
        if !differs.is_empty() {
            return Some(format!("{differs} Look before you log."));
        }
        let device = book.device_used_last(Some(roll))?;
        let counts = self
            .scene
            .light
            .corrections
            .iter()
            .any(Correction::is_of_device);
        (device.correction_twelfths != 0 && !counts).then(|| {
            format!(
                "{} {}, and the dial did not count that. Look before you log.",
                device.name,
                device.correction_words()
            )
        })
    }
}

/// A roll in a camera as the dial knows it; none where its film is not in the book.
fn loaded(book: &Book, roll: &Roll, loading: &Loading) -> Option<Loaded> {
    let stock = book.stock_of(roll)?;
    Some(Loaded {
        id: roll.id.clone(),
        name: roll.name.clone(),
        camera_id: loading.camera_id.clone().unwrap_or_default(),
        camera: loading.camera.clone(),
        box_speed: words::value(&stock.box_speed.mark()),
        kind: key_of(&FILMS, &stock.film.kind()).to_owned(),
        rating: words::value(&loading.rating.mark()),
        next: roll.next_short(),
        usable: usable(book, roll, stock).unwrap_or_default(),
    })
}

/// What the finding that was written to the group last says was usable, as far as it counts from the box speed of today.
fn usable(book: &Book, roll: &Roll, stock: &Stock) -> Option<[String; 3]> {
    let group = book.group_of(roll)?;
    let finding = findings_of(book, &group).pop()?;
    let (least, most) = finding.usable_thousandths?;
    let words = finding.usable_words()?;
    (finding.box_speed == stock.box_speed).then(|| [least.to_string(), most.to_string(), words])
}

/// What the dial is told of the rolls in cameras, and of what waits longest, said once it has waited for `patience` days.
#[must_use]
pub fn told(book: &Book, today: Date, patience: i32) -> Told {
    let rolls = book
        .open_rolls()
        .filter_map(|(roll, loading)| loaded(book, roll, loading));
    let longest = book.waiting_longest(today).into_iter().next();
    let (days, waits) = longest.map_or((0, String::new()), |(days, roll)| {
        let words = format!(
            "Waiting for {patience} days or more: {}, {}.",
            roll.name,
            roll.state.words()
        );
        (days, words)
    });
    let epoch = Date::EPOCH.days_until(today);
    Told {
        from_day: i64::from(epoch - days + patience),
        waits,
        rolls: rolls.collect(),
    }
}
