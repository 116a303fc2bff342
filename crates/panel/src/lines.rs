//! What stands between a reading and the film, each with a name and a switch: corrections, long times, depth of field.

use exposure::{DepthOfField, Effect, LongTimes, Mark, Stops, words};

use crate::intent::Refusal;

/// Most lines at a time: what the log keeps of a reading.
pub const MOST_LINES: usize = book::MOST_CORRECTIONS;
/// Longest name of a line, or of where a reading came from, in characters: what the log keeps of it.
pub const LONGEST_NAME: usize = book::LONGEST_CORRECTION_NAME;
/// A line takes or gives at most so much: what the log keeps of it.
pub const MOST_STOPS: Stops = Stops::constant(book::MOST_EFFECT as f64 / 1000.0);

/// What a correction is about, in the order in which corrections are counted (common practice, no source): the reading and
/// its device first, then what stands between the subject and the film.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Belongs to this one reading: a tone that was placed, compensation taken out, what standard marks leave over.
    /// Goes when another reading is taken.
    Reading,
    /// The reading device asks for too much or too little.
    Device,
    /// A filter.
    Filter,
    /// A lens moved out for a near subject.
    CloseUp,
    /// Light lost in the lens.
    Lens,
    /// The shutter gives more or less than is engraved.
    Shutter,
    /// Anything else that the user wants counted.
    Other,
}

/// Keys of the kinds in records.
pub(crate) const LINE_KINDS: [(&str, LineKind); 7] = [
    ("reading", LineKind::Reading),
    ("device", LineKind::Device),
    ("filter", LineKind::Filter),
    ("close_up", LineKind::CloseUp),
    ("lens", LineKind::Lens),
    ("shutter", LineKind::Shutter),
    ("other", LineKind::Other),
];

/// One correction.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    kind: LineKind,
    name: String,
    effect: Effect,
    on: bool,
}

/// To a billionth of a stop, as a record writes it, so that a reload changes nothing.
fn kept(effect: Stops) -> Result<Stops, Refusal> {
    Ok(Stops::new((effect.get() * 1e9).round() / 1e9)?)
}

impl Line {
    /// A correction that counts; `effect` is what it does to the light on the film, so that a filter's is negative. It is
    /// kept to a billionth of a stop.
    ///
    /// # Errors
    ///
    /// A sentence, where the name is empty or longer than [`LONGEST_NAME`], or the effect beyond [`MOST_STOPS`].
    pub fn new(kind: LineKind, name: &str, effect: Stops) -> Result<Self, Refusal> {
        Self::by(kind, name, Effect::Fixed(effect))
    }

    /// The same, by what it does at each setting.
    ///
    /// # Errors
    ///
    /// As for [`new`](Self::new).
    pub fn by(kind: LineKind, name: &str, effect: Effect) -> Result<Self, Refusal> {
        let name = short(name, "A correction")?;
        if effect.most() > MOST_STOPS {
            return refused("A correction can be 20 stops at most.");
        }
        let effect = match effect {
            Effect::Fixed(effect) => Effect::Fixed(kept(effect)?),
            Effect::Leaf => Effect::Leaf,
            Effect::AtTime(mark, effect) => Effect::AtTime(mark, kept(effect)?),
            Effect::ByStop(rows) => Effect::ByStop(
                rows.into_iter()
                    .map(|(mark, effect)| Ok((mark, kept(effect)?)))
                    .collect::<Result<_, Refusal>>()?,
            ),
        };
        Ok(Self {
            kind,
            name,
            effect,
            on: true,
        })
    }

    /// The same, counted or left out.
    #[must_use]
    pub fn counted(self, on: bool) -> Self {
        Self { on, ..self }
    }

    /// Counts it from now on, or leaves it out.
    pub(crate) const fn count(&mut self, on: bool) {
        self.on = on;
    }

    /// What it is about.
    #[must_use]
    pub const fn kind(&self) -> LineKind {
        self.kind
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What it does to the light on the film, at whatever setting; positive is more light.
    #[must_use]
    pub const fn effect(&self) -> &Effect {
        &self.effect
    }

    /// Whether it counts.
    #[must_use]
    pub const fn on(&self) -> bool {
        self.on
    }

    /// What it does, in words: `3 stops less light`, `⅔ stop more light at 1/250`.
    #[must_use]
    pub fn does(&self) -> String {
        let row = |(mark, effect): &(Mark, Stops)| {
            format!("{} at {}", words::difference(*effect), words::value(mark))
        };
        match &self.effect {
            Effect::Fixed(effect) => words::difference(*effect),
            Effect::Leaf => "more light at short times and small stops".to_owned(),
            Effect::AtTime(mark, effect) => row(&(*mark, *effect)),
            Effect::ByStop(rows) => rows.iter().map(row).collect::<Vec<_>>().join(", "),
        }
    }
}

/// What a film needs at long times, the last of all corrections.
#[derive(Debug, Clone, PartialEq)]
pub struct Long {
    name: String,
    times: LongTimes,
    on: bool,
}

impl Long {
    /// Counts from now on; the name says whose figures these are.
    ///
    /// # Errors
    ///
    /// A sentence, where the name is empty or longer than [`LONGEST_NAME`].
    pub fn new(name: &str, times: LongTimes) -> Result<Self, Refusal> {
        Ok(Self {
            name: short(name, "A rule for long times")?,
            times,
            on: true,
        })
    }

    /// The same, counted or left out.
    #[must_use]
    pub fn counted(self, on: bool) -> Self {
        Self { on, ..self }
    }

    /// Counts it from now on, or leaves it out.
    pub(crate) const fn count(&mut self, on: bool) {
        self.on = on;
    }

    /// Whose figures these are.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The rule and where it begins.
    #[must_use]
    pub const fn times(&self) -> &LongTimes {
        &self.times
    }

    /// Whether it counts.
    #[must_use]
    pub const fn on(&self) -> bool {
        self.on
    }
}

/// How depth of field is worked out for each frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Depth {
    of: DepthOfField,
    circle: String,
}

impl Depth {
    /// Focal length, distance and circle of confusion, and the name of the convention that the circle follows.
    ///
    /// # Errors
    ///
    /// A sentence, where the name is empty or longer than [`LONGEST_NAME`].
    pub fn new(of: DepthOfField, circle: &str) -> Result<Self, Refusal> {
        let circle = short(circle, "A circle of confusion")?;
        Ok(Self { of, circle })
    }

    /// Focal length, distance and circle.
    #[must_use]
    pub const fn of(&self) -> &DepthOfField {
        &self.of
    }

    /// Name of the convention.
    #[must_use]
    pub fn circle(&self) -> &str {
        &self.circle
    }
}

/// A text of a person's, without what would spoil a line of print.
pub(crate) fn short(text: &str, what: &str) -> Result<String, Refusal> {
    let text: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let text = text.trim();
    if text.is_empty() {
        return refused(&format!("{what} needs a name."));
    }
    if text.chars().count() > LONGEST_NAME {
        return refused(&format!(
            "{what} can have a name of {LONGEST_NAME} characters at most."
        ));
    }
    Ok(text.to_owned())
}

pub(crate) fn refused<T>(sentence: &str) -> Result<T, Refusal> {
    Err(Refusal {
        sentence: sentence.to_owned(),
    })
}
