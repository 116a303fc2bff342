use exposure::{
    Axis, Camera, Control, Doubt, Ev, Mark, Place, Prefer, Reading, Scale, Steps, Stops, words,
};

use crate::{
    Error, Method,
    method::{METER, marks},
};

/// Longest name of a line, or of where a reading comes from, in characters: what a setting keeps.
pub const LONGEST: usize = 60;

/// The line that light is drawn on: EV at ISO 100 from a moonless night to more than sun on snow.
pub const LIGHT: Axis = Axis::new(-6.0, 18.0);

/// A reading of the light from any source, ready to be shown before it is used.
///
/// The light is what the marks of [`reading`](Self::reading) say, and the effects of the [`lines`](Self::lines) that are on.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Standard marks nearest to the light.
    pub reading: Reading,
    /// Whether the figures are those of half stops; else of third stops.
    pub halves: bool,
    /// Where it comes from, in words, at most [`LONGEST`] characters: `photo`, `scene table: open shade`.
    pub from: String,
    /// Everything by which the light differs from what the marks say.
    pub lines: Vec<Line>,
    /// By which kind of way it was found.
    pub method: Method,
    /// How far it may be off either way; none where nobody can say.
    pub doubt: Option<Doubt>,
    /// Why it may be off by so much: one or more sentences.
    pub uncertainty: String,
}

/// One reason why the marks of a reading would give more or less light than wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What kind of reason.
    pub kind: LineKind,
    /// What it is called, in words without a sign.
    pub name: String,
    /// How much more light the film would get than wanted if the marks were set as they are; less light is negative.
    pub effect: Stops,
    /// Whether it counts.
    pub on: bool,
}

/// What kind of reason a [`Line`] is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LineKind {
    /// What the standard marks leave over.
    Marks,
    /// A compensation that the camera of a photo was set to.
    Compensation,
    /// A tone that was read but is not to come out as middle grey.
    Tone,
    /// The direction of the light or the class of the subject, by a table.
    Scene,
}

/// How the light of a [`Found`] is known: where from, how far it may be off, and why.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Known {
    pub(crate) from: String,
    pub(crate) method: Method,
    pub(crate) doubt: Option<Doubt>,
    pub(crate) uncertainty: String,
}

impl Found {
    /// The light, with every line that is on.
    ///
    /// ```
    /// use exposure::Ev;
    /// use readings::typed::{Typed, Unit};
    /// let found = Typed { text: "12.1", unit: Unit::Ev, iso: None }.found(&Default::default())?;
    /// assert!((found.light().get() - 12.1).abs() < 1e-9);
    /// # Ok::<(), readings::Error>(())
    /// ```
    #[must_use]
    pub fn light(&self) -> Ev {
        let lines: Stops = self
            .lines
            .iter()
            .filter(|line| line.on)
            .map(|line| line.effect)
            .sum();
        // A level less the opposite of the effects: more light on the film from the same marks is brighter light.
        self.reading.light().giving(-lines)
    }

    /// The light, and how far it may be off: `EV 13 at ISO 100, give or take ½ stop`.
    #[must_use]
    pub fn light_in_words(&self) -> String {
        let light = words::light(self.light());
        match self.doubt {
            Some(doubt) => format!("{light}, {}", words::give_or_take(doubt)),
            None => light,
        }
    }

    /// Between which EV at ISO 100 the light lies, the dimmer first; both are the light where nobody can say.
    ///
    /// ```
    /// use readings::typed::{Typed, Unit};
    /// let found = Typed { text: "12", unit: Unit::Ev, iso: None }.found(&Default::default())?;
    /// let [dimmest, brightest] = found.reach();
    /// assert!(dimmest < 12.0 && brightest > 12.0);
    /// # Ok::<(), readings::Error>(())
    /// ```
    #[must_use]
    pub fn reach(&self) -> [f64; 2] {
        let (light, doubt) = (self.light().get(), self.doubt.unwrap_or(Doubt::NONE));
        [
            light - doubt.half_width().get(),
            light + doubt.half_width().get(),
        ]
    }

    /// One sentence that shows it: `1/125 f/8 ISO 100: EV 13 at ISO 100 (photo)`.
    #[must_use]
    pub fn sentence(&self) -> String {
        let [time, aperture, sensitivity] = self.reading.marks();
        format!(
            "{} {} {}: {} ({})",
            words::value(time),
            words::value(aperture),
            words::value(sensitivity),
            words::light(self.light()),
            self.from
        )
    }

    /// How far it may be off, and why: `Give or take 1 stop. A table knows neither the place nor the day …`.
    #[must_use]
    pub fn how_sure(&self) -> String {
        match self.doubt {
            Some(doubt) => {
                // OK because the words begin with a letter that has one byte.
                let said = words::give_or_take(doubt).replacen('g', "G", 1);
                format!("{said}. {}", self.uncertainty)
            }
            None => format!("How far it may be off nobody can say. {}", self.uncertainty),
        }
    }

    /// A reading that a device shows, as it stands, with nothing left over.
    ///
    /// It may be off by what a meter is, and by half a step of its marks.
    #[must_use]
    pub fn shown(reading: Reading, halves: bool, from: &str) -> Self {
        Self {
            reading,
            halves,
            from: short(from),
            lines: Vec::new(),
            method: Method::Meter,
            doubt: Some(METER.and(marks(halves))),
            uncertainty: format!(
                "It is as right as the device that showed it: a meter in good order keeps to about ⅓ stop (common practice, no source), and half a step of its marks comes on top, {}.",
                words::of_a_stop(marks(halves).half_width())
            ),
        }
    }

    /// The reading for a light: a pair that can be held by hand where the light allows it, at the lowest sensitivity of
    /// ISO 100, 400, 1600 and 6400 that does.
    pub(crate) fn of_light(light: Ev, known: Known) -> Result<Self, Error> {
        let reading = nearest(light)?;
        let mut lines = Vec::new();
        lines.extend(left_over(light, &reading));
        Ok(Self {
            reading,
            halves: false,
            from: short(&known.from),
            lines,
            method: known.method,
            doubt: known.doubt,
            uncertainty: known.uncertainty,
        })
    }

    /// The same with one more line.
    pub(crate) fn and(mut self, kind: LineKind, name: impl Into<String>, effect: Stops) -> Self {
        if !effect.is_even() {
            self.lines.push(Line {
                kind,
                name: name.into(),
                effect,
                on: true,
            });
        }
        self
    }
}

/// A text cut to what a setting keeps.
pub(crate) fn short(text: &str) -> String {
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    let kept: String = text.chars().take(LONGEST - 1).collect();
    format!("{}…", kept.trim_end())
}

/// What the marks of a reading give beyond the light, as a line, if there is anything.
pub(crate) fn left_over(light: Ev, reading: &Reading) -> Option<Line> {
    let effect = reading.light().light_relative_to(light);
    (!effect.is_even()).then(|| Line {
        kind: LineKind::Marks,
        name: "Between the marks".to_owned(),
        effect,
        on: true,
    })
}

/// The third-stop marks that a reading can be made of: times and apertures of a camera that has everything usual.
pub(crate) fn scales() -> Result<(Scale, Scale), Error> {
    let camera = Camera::parse("240s..1/8000", "1..64", Steps::Third, None)?;
    Ok((camera.times().clone(), camera.apertures().clone()))
}

/// From which EV at ISO 100 which aperture and sensitivity is taken, so that the time is 1/60 or faster down to EV 3: there
/// EV = 6 + Av − log2(ISO / 100). Below it the times grow long. Which pair is natural is a matter of taste (common practice).
const PAIRS: [(f64, &str, &str); 10] = [
    (16.99, "22", "100"),
    (14.5, "16", "100"),
    (11.99, "8", "100"),
    (10.99, "5.6", "100"),
    (9.99, "4", "100"),
    (8.99, "2.8", "100"),
    (6.99, "2.8", "400"),
    (4.99, "2.8", "1600"),
    (-8.0, "2.8", "6400"),
    (-11.0, "1", "6400"),
];

/// Beyond half a minute marks of time are full stops apart, so that there the aperture takes the thirds; at ISO 6400.
const LONG: [(f64, &str); 3] = [(-12.0, "60s"), (-13.0, "120s"), (-14.0, "240s")];

fn nearest(light: Ev) -> Result<Reading, Error> {
    let beyond = || {
        Error::new(format!(
            "{} is beyond what any marks of time, aperture and sensitivity can say",
            words::light(light)
        ))
    };
    let (times, apertures) = scales()?;
    let mark = |control, text| Mark::parse(control, text, Steps::Third);
    let rest = |a: &Mark, b: &Mark| Place::new(-light.get() - a.place().get() - b.place().get());
    let fits = |from: f64| light.get() >= from;
    if let Some((_, aperture, speed)) = PAIRS.into_iter().find(|(from, ..)| fits(*from)) {
        let aperture = mark(Control::Aperture, aperture)?;
        let speed = mark(Control::Sensitivity, speed)?;
        let time = times.choose(rest(&aperture, &speed)?, Prefer::Nearest);
        if time.end.is_some() {
            return Err(beyond());
        }
        return Ok(Reading::new(time.mark, aperture, speed)?);
    }
    let (_, time) = LONG
        .into_iter()
        .find(|(from, _)| fits(*from))
        .ok_or_else(beyond)?;
    let time = mark(Control::Time, time)?;
    let speed = mark(Control::Sensitivity, "6400")?;
    let aperture = apertures.choose(rest(&time, &speed)?, Prefer::Nearest).mark;
    Ok(Reading::new(time, aperture, speed)?)
}
