//! Questions from a seed, on marks that cameras really have, each with exactly one right answer.
//!
//! What decides a question are whole millionths of a stop, worked out from marks once and rounded, so that a seed gives the same
//! question on every machine. The answer is looked for on the scale by whole numbers, and has to be the one that
//! [`Scale::choose`] takes, the only rounding of settings there is; what does not agree is drawn anew.
//!
//! ```
//! use learn::exercise::{Exercise, Kind};
//! let asked = Exercise::new(Kind::Equivalent, 7).unwrap();
//! let right = asked.right();
//! assert!(asked.verdict(right).right);
//! assert!(asked.choices().iter().enumerate().all(|(i, _)| asked.verdict(i).right == (i == right)));
//! ```

mod make;
mod say;

use exposure::{
    Camera, Control, FilmKind, KINDS, Mark, PublishedLong, Reading, Scale, Steps, Stops,
};

use scenes::scene::Scene;

/// A kind of question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// The equivalent setting after one dial moved.
    Equivalent,
    /// Which way and how many stops.
    Way,
    /// A reading at one sensitivity, carried over to another rating.
    CarryOver,
    /// A camera that lacks the mark.
    Lacking,
    /// A frame's offset from box speed, or the EI it amounts to.
    Frame,
    /// The rating that gives more light, and what a lab's sign means.
    Rating,
    /// What a series really holds after a slip.
    Slip,
    /// Which of two pictures had the longer time, the wider aperture, the faster film.
    Pictures,
    /// Long times on film that answers less.
    LongTime,
}

impl Kind {
    /// All of them, in the order in which they are best learned.
    pub const ALL: [Self; 9] = [
        Self::Way,
        Self::Equivalent,
        Self::Pictures,
        Self::Rating,
        Self::CarryOver,
        Self::Lacking,
        Self::Frame,
        Self::Slip,
        Self::LongTime,
    ];

    /// Stable id, for records.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Equivalent => "equivalent",
            Self::Way => "way",
            Self::CarryOver => "carry-over",
            Self::Lacking => "lacking",
            Self::Frame => "frame",
            Self::Rating => "rating",
            Self::Slip => "slip",
            Self::Pictures => "pictures",
            Self::LongTime => "long-time",
        }
    }

    /// What keeps the draws of two kinds apart; never changed, for lessons hold seeds.
    const fn salt(self) -> u64 {
        match self {
            Self::Equivalent => 1,
            Self::Way => 2,
            Self::CarryOver => 3,
            Self::Lacking => 4,
            Self::Frame => 5,
            Self::Rating => 6,
            Self::Slip => 7,
            Self::Pictures => 8,
            Self::LongTime => 9,
        }
    }

    /// The kind of an id.
    #[must_use]
    pub fn of_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.id() == id)
    }

    /// What it is about, as a heading has it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Equivalent => "The same light after one dial moved",
            Self::Way => "Which way, and how many stops",
            Self::CarryOver => "Carrying a reading over to another rating",
            Self::Lacking => "A camera that lacks the mark",
            Self::Frame => "What a frame amounts to",
            Self::Rating => "The rating and the light",
            Self::Slip => "A series with a slip in it",
            Self::Pictures => "Two pictures, one light",
            Self::LongTime => "Long times",
        }
    }
}

/// A way of going wrong that leads to a certain answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Mistake {
    /// The right number of stops, the other way round.
    OtherWay,
    /// F-numbers halved or doubled for a stop, where a stop is one step of the series.
    Halved,
    /// The f-number doubled for double the light.
    Doubled,
    /// The rating raised to get more light.
    RatingRaised,
    /// A lab's sign taken for light.
    LabSign,
    /// The reading set as it was, as if both sensitivities were the same.
    NotCarried,
    /// The mark on the side that this kind of film forgives less.
    WrongSide,
    /// Counted from box speed, where the reading was taken at another sensitivity.
    FromBox,
    /// The ring left where it had slipped to.
    RingLeft,
    /// The time as the meter has it, which this film does not answer to.
    AsMetered,
    /// The corrected time doubled, where the metered one has to be.
    DoubledAfter,
}

impl Mistake {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::OtherWay,
        Self::Halved,
        Self::Doubled,
        Self::RatingRaised,
        Self::LabSign,
        Self::NotCarried,
        Self::WrongSide,
        Self::FromBox,
        Self::RingLeft,
        Self::AsMetered,
        Self::DoubledAfter,
    ];

    /// What went wrong, as a heading has it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::OtherWay => "The other way round",
            Self::Halved => "F-numbers halved or doubled instead of stepped",
            Self::Doubled => "The number doubled for double the light",
            Self::RatingRaised => "The rating raised to get more light",
            Self::LabSign => "A lab's sign taken for light",
            Self::NotCarried => "The reading set as it was",
            Self::WrongSide => "The side that this film forgives less",
            Self::FromBox => "Counted from box speed",
            Self::RingLeft => "The ring left where it had slipped to",
            Self::AsMetered => "The time as metered",
            Self::DoubledAfter => "The corrected time doubled",
        }
    }
}

/// A camera by its name.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// What it is called.
    pub name: String,
    /// Its marks.
    pub camera: Camera,
}

/// The cameras that questions are made on, with the scales of the devices that light is read with. Made once for many questions.
#[derive(Debug, Clone, PartialEq)]
pub struct Cameras {
    held: Vec<Held>,
    /// A device that steps in thirds.
    device: Camera,
    speeds: Scale,
}

/// How many of the described kinds questions are drawn from: one that is added later would change what a seed asks.
const KINDS_ASKED: usize = 6;

impl Cameras {
    /// These cameras.
    ///
    /// # Panics
    ///
    /// Never: the scale of the device is a run of the standard series.
    #[must_use]
    pub fn new(held: Vec<Held>) -> Self {
        Self {
            held,
            device: Camera::parse("30s..1/8000", "1..64", Steps::Third, None)
                .expect("a run of the standard series is a scale"),
            speeds: Scale::sensitivities(),
        }
    }

    /// The described kinds of cameras, the same for everybody: what a lesson's questions are made on.
    #[must_use]
    pub fn described() -> Self {
        let held = KINDS.iter().take(KINDS_ASKED).filter_map(|kind| {
            let focal = Some(kind.focal);
            Some(Held {
                name: kind.name.to_owned(),
                camera: Camera::parse(kind.times, kind.apertures, kind.steps, focal).ok()?,
            })
        });
        Self::new(held.collect())
    }

    /// The cameras.
    #[must_use]
    pub fn held(&self) -> &[Held] {
        &self.held
    }
}

/// What is given, as values.
#[derive(Debug, Clone, PartialEq)]
pub enum Facts {
    /// A setting with the right light; one dial is turned.
    Equivalent {
        /// Time, aperture and sensitivity that give it.
        from: [Mark; 3],
        /// Where the turned dial stands now.
        to: Mark,
        /// Which dial makes it up.
        asked: Control,
    },
    /// One control goes from one mark to another.
    Way {
        /// Where it was.
        from: Mark,
        /// Where it is.
        to: Mark,
    },
    /// A reading, and a film rated otherwise.
    CarryOver {
        /// What the device shows.
        reading: Reading,
        /// The rating of the film.
        rating: Mark,
        /// What stays as it was read, as the camera has it.
        kept: Mark,
        /// What is to be set.
        asked: Control,
    },
    /// A reading at the film's rating whose mark the camera lacks.
    Lacking {
        /// What the device shows.
        reading: Reading,
        /// The kind of film, which decides the side.
        film: FilmKind,
        /// What is set already.
        kept: Mark,
        /// What is to be set.
        asked: Control,
    },
    /// A frame as it was set.
    Frame {
        /// Speed on the box.
        box_speed: Mark,
        /// What the device showed.
        reading: Reading,
        /// Time and aperture that were set.
        set: [Mark; 2],
        /// Whether the EI is asked, and not the offset from box speed.
        asks_ei: bool,
    },
    /// How much more light a roll should get than at box speed.
    Wish {
        /// Speed on the box.
        box_speed: Mark,
        /// Stops of more light wanted.
        more: i32,
    },
    /// What a lab wrote on the slip of a roll whose development makes up for its rating.
    Lab {
        /// Speed on the box.
        box_speed: Mark,
        /// The number with the lab's sign: positive is a push.
        sign: i32,
        /// Whether the EI is asked, and not the light.
        asks_ei: bool,
    },
    /// A series by time with a ring that slipped.
    Slip {
        /// Time and aperture of the base.
        base: [Mark; 2],
        /// Planned offsets in stops, in the order of the frames.
        planned: Vec<i32>,
        /// The first frame, from 0, that was shot with the ring elsewhere.
        from: usize,
        /// Where the ring stood from there on.
        ring: Mark,
    },
    /// Two pictures of one light.
    Pictures {
        /// What is seen.
        scene: Scene,
        /// The setting of each, left and right.
        settings: [[Mark; 3]; 2],
        /// What is asked for: the longer time, the wider aperture or the faster film.
        asked: Control,
        /// How many times the pictures are magnified.
        magnification: f64,
    },
    /// A metered time on a film.
    LongTime {
        /// The film's published rule.
        rule: &'static PublishedLong,
        /// Metered seconds of the base.
        metered: u32,
        /// Whether the frame with one stop more light is asked for.
        one_more: bool,
    },
}

/// What an answer is given on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnswerOn {
    /// The dial of a control: each choice is a mark of it, darkest first.
    Dial(Control),
    /// A scale of stops, from less light to more.
    Stops,
    /// The left or the right picture.
    Pictures,
}

/// One possible answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The mark, on a dial.
    pub mark: Option<Mark>,
    /// The difference, on a scale of stops.
    pub stops: Option<Stops>,
    /// The mistake that leads here.
    pub mistake: Option<Mistake>,
}

/// How much is worked out beforehand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Support {
    /// Everything is worked out; the answer is to be found in it.
    Worked,
    /// The last step is open.
    LastStep,
    /// Nothing is worked out.
    Alone,
}

impl Support {
    /// From most help to none.
    pub const ALL: [Self; 3] = [Self::Worked, Self::LastStep, Self::Alone];

    /// Stable id, for records.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Worked => "worked",
            Self::LastStep => "last-step",
            Self::Alone => "alone",
        }
    }

    /// The support of an id.
    #[must_use]
    pub fn of_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|support| support.id() == id)
    }

    /// Plain name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Worked => "Worked through",
            Self::LastStep => "The last step open",
            Self::Alone => "Alone",
        }
    }
}

/// A line of the account behind an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is about: `Aperture f/8 to f/16`.
    pub what: String,
    /// What it does, in words: `2 stops less light`.
    pub said: String,
}

/// What is said of an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Whether it is the right one.
    pub right: bool,
    /// The mistake that leads to it, where one is known to.
    pub mistake: Option<Mistake>,
    /// One sentence: right or not, and what the right answer is.
    pub said: String,
    /// Why: what the mistake overlooks, or what makes the answer right.
    pub why: String,
    /// Every stop of the right answer; the last line is the sum.
    pub ledger: Vec<Line>,
}

/// A question with its answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Exercise {
    kind: Kind,
    seed: u32,
    camera: String,
    facts: Facts,
    on: AnswerOn,
    choices: Vec<Choice>,
    right: usize,
}

impl Exercise {
    /// The question of a kind and a seed, on the described cameras: the same for everybody.
    ///
    /// None only if no such question can be made; for the described cameras every seed that was ever tried makes one.
    #[must_use]
    pub fn new(kind: Kind, seed: u32) -> Option<Self> {
        Self::on_cameras(kind, seed, &Cameras::described())
    }

    /// The question of a kind and a seed on these cameras; none where they have too few marks for one.
    #[must_use]
    pub fn on_cameras(kind: Kind, seed: u32, cameras: &Cameras) -> Option<Self> {
        make::make(kind, seed, cameras)
    }

    /// Its kind.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        self.kind
    }

    /// Its seed.
    #[must_use]
    pub const fn seed(&self) -> u32 {
        self.seed
    }

    /// The camera whose marks are used; empty where none is.
    #[must_use]
    pub fn camera(&self) -> &str {
        &self.camera
    }

    /// What is given.
    #[must_use]
    pub const fn facts(&self) -> &Facts {
        &self.facts
    }

    /// What the answer is given on.
    #[must_use]
    pub const fn on(&self) -> AnswerOn {
        self.on
    }

    /// The possible answers in the order of their scale.
    #[must_use]
    pub fn choices(&self) -> &[Choice] {
        &self.choices
    }

    /// The dial that the answer is turned on, with the marks of the choices in their order; none where the answer is no mark.
    #[must_use]
    pub fn scale(&self) -> Option<Scale> {
        let AnswerOn::Dial(control) = self.on else {
            return None;
        };
        let marks = self.choices.iter().filter_map(|choice| choice.mark);
        Scale::new(control, marks.collect(), false).ok()
    }

    /// The choice that a mark of that dial is.
    #[must_use]
    pub fn choice_at(&self, mark: &Mark) -> Option<usize> {
        let is = |choice: &Choice| {
            choice
                .mark
                .is_some_and(|of| of.control() == mark.control() && of.relative_to(mark).is_even())
        };
        self.choices.iter().position(is)
    }

    /// Index of the right answer.
    #[must_use]
    pub const fn right(&self) -> usize {
        self.right
    }

    /// Chance that luck alone finds the right answer.
    #[must_use]
    pub fn luck(&self) -> f64 {
        // OK because there are at least two choices and at most some dozens.
        1.0 / f64::from(u32::try_from(self.choices.len()).unwrap_or(u32::MAX))
    }
}
