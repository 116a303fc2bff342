//! The planned series as the film book takes it over from the dial.
//!
//! The two are programs of their own. What passes between them is the text of a link, which carries the whole setting.

use book::{
    Book, Correction, Date, Error, HandLimit, Light, Loading, NewScene, Planned, Reach,
    Reciprocity, Roll, Setting, Speed, Stock, findings_of,
};
use exposure::{Camera, Control, Mark, Stops, words};

use crate::{
    apply::FILMS,
    derive::{frames, hand_limit_source},
    intent::Refusal,
    light::LineKind,
    link,
    loaded::{Loaded, Told},
    state::State,
    store::{self, Found},
};

/// What the film book gets: a scene without a name, and its frames in the order of shooting.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
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

/// The series of the setting that a link's fragment carries.
///
/// ```
/// use panel::{State, handover, link};
/// let series = handover::series(&link::fragment(&State::default())).unwrap();
/// assert_eq!(series.scene.base.shown(), "1/125, f/5.6");
/// ```
///
/// # Errors
///
/// A sentence: the text is damaged, is of a newer version, or holds a setting that no record can keep.
pub fn series(fragment: &str) -> Result<Series, Refusal> {
    let state = link::open(fragment, &State::default())?;
    of(&state).map_err(|error| Refusal {
        sentence: error.to_string(),
    })
}

/// The reading with the corrections that count; a frame amounts to the same there as on the dial.
fn light(state: &State) -> Result<Light, Error> {
    let corrections = state
        .counted()
        .map(|line| match line.effect().fixed() {
            Some(effect) if line.kind() == LineKind::Device => {
                Correction::of_device(line.name(), effect)
            }
            // What belongs to a time or a stop is asked anew for each frame in the log as well.
            _ => Correction::by(line.name(), line.effect()),
        })
        .collect::<Result<Vec<_>, _>>()?;
    let light = Light::new(&state.reading, None)?
        .within(state.doubt_on_film())
        .with_corrections(corrections)?;
    let counted = state.long().filter(|long| long.on());
    let long_times = counted
        .map(|long| Reciprocity::new(long.name(), long.times().clone()).map(Box::new))
        .transpose()?;
    Ok(Light {
        method: state.from.clone(),
        long_times,
        ..light
    })
}

fn of(state: &State) -> Result<Series, Error> {
    let solution = state.solution();
    let [time, aperture, rating] = solution.marks;
    let by_time = state.bracket.by() == Control::Time;
    let frames = frames(state, &solution).into_iter().map(|frame| {
        let (time, aperture) = if by_time {
            (frame.mark, aperture)
        } else {
            (time, frame.mark)
        };
        Planned::new(time, aperture, frame.wanted)
    });
    Ok(Series {
        camera: state.equipment.form.name.clone(),
        camera_id: state.equipment.id.clone(),
        on_dial: state.for_roll(),
        box_speed: Speed::new(state.box_speed.mark())?,
        scene: NewScene {
            name: String::new(),
            light: light(state)?,
            rating: Speed::new(rating)?,
            base: Setting::new(time, aperture)?,
        },
        frames: frames.collect::<Result<_, Error>>()?,
    })
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
        let state = store::open(found).state;
        let plan = &state.bracket;
        let size = |frames: u8| (0..frames).fold(Stops::ZERO, |sum, _| sum + plan.step().stops());
        Self {
            camera: state.camera_name().to_owned(),
            reach: Reach {
                by: Some(plan.by()),
                under: size(plan.under()),
                over: size(plan.over()),
                whose: "the bracket on the dial".to_owned(),
            },
            limit: state.hand_limit,
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
        kind: store::key_of(&FILMS, &stock.film.kind()),
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
