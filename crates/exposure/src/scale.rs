use crate::{Control, Error, Mark, Place, Steps, Stops, power, range, series, words};

/// Seconds that are offered on B, about a twelfth of a stop apart or more, so that a dial can be turned through them.
const OFFERED: [u32; 47] = [
    1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18, 20, 22, 24, 26, 28, 30, 35, 40, 45,
    50, 55, 60, 75, 90, 105, 120, 150, 180, 210, 240, 300, 360, 480, 600, 720, 900, 1200, 1800,
    2700, 3600,
];

/// A time counted by hand.
fn counted(seconds: f64) -> Mark {
    let seconds = seconds.clamp(range::BY_HAND.min, range::BY_HAND.max);
    Mark::new(Control::Time, seconds, Steps::Engraved)
        .expect("a time on B is within the range of times")
        .timed_by_hand()
}

/// What kind of film is loaded; decides which side to err on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FilmKind {
    /// Colour negative.
    ColourNegative,
    /// Black-and-white negative.
    BlackAndWhite,
    /// Reversal (slide).
    Reversal,
}

/// Which mark to take when the exact value is not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Prefer {
    /// The nearest mark that gives at least what is wanted (a twelfth of a stop less still counts).
    MoreLight,
    /// The nearest mark; of two equally near ones, the one that gives more light.
    Nearest,
}

/// How near a setting comes to what is wanted, by a [`Prefer`]; see [`Prefer::judge`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Beyond what the film type puts up with.
    beyond: bool,
    residual: f64,
}

impl Judged {
    /// Whether this is better than another, to the last digit; of two equally near ones the one with more light is.
    #[must_use]
    pub fn beats(self, other: Self) -> bool {
        if self.beyond != other.beyond {
            return other.beyond;
        }
        let nearer = other.residual.abs() - self.residual.abs();
        if nearer.abs() < Stops::NOISE.get() {
            return self.residual - other.residual >= Stops::NOISE.get();
        }
        nearer > 0.0
    }

    /// The same in sixths of a stop, the finest difference that is spoken of: settings of one grade are equals. 0 is best.
    #[must_use]
    pub fn grade(self) -> u32 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a size of at most a few hundred stops"
        )]
        let sixths = (self.residual.abs() * 6.0 - 0.5 - 1e-5).max(0.0).ceil() as u32;
        sixths + if self.beyond { 10_000 } else { 0 }
    }
}

impl Prefer {
    /// **The rule of rounding.** What gives up to [`Stops::SMALL`] too little or [`Stops::OVERSHOOT`] too much goes before
    /// anything else where more light is preferred; then the nearest, and of two equally near ones the one with more light.
    #[must_use]
    pub fn judge(self, residual: Stops) -> Judged {
        Judged {
            beyond: self == Self::MoreLight
                && ((residual + Stops::SMALL).is_less() || (residual - Stops::OVERSHOOT).is_more()),
            residual: residual.get(),
        }
    }

    /// Negative film forgives more light rather than less; reversal film forgives neither (common practice, no source).
    #[must_use]
    pub const fn for_film(kind: FilmKind) -> Self {
        match kind {
            FilmKind::ColourNegative | FilmKind::BlackAndWhite => Self::MoreLight,
            FilmKind::Reversal => Self::Nearest,
        }
    }
}

/// An end of a scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum End {
    /// The mark that gives least light: fastest time, smallest aperture, lowest sensitivity.
    Darkest,
    /// The mark that gives most light: slowest time, widest aperture, highest sensitivity.
    Brightest,
}

/// A mark chosen for a wanted place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The mark (on a stepless ring, a position between marks).
    pub mark: Mark,
    /// What it gives minus what was wanted.
    pub residual: Stops,
    /// The end that stopped it, if what was wanted lies beyond the scale.
    pub end: Option<End>,
}

/// The marks that a control really has, darkest first.
///
/// Never empty, strictly rising in [`Mark::place`], all of one control.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    control: Control,
    marks: Vec<Mark>,
    stepless: bool,
    /// How many of the marks, counted from the darkest, are the device's own; the rest is counted by hand on B.
    own: usize,
}

impl Scale {
    /// Makes a scale of marks in any order; of marks at the same place the first is kept.
    ///
    /// `stepless` means that positions between the marks can be set as well.
    ///
    /// # Errors
    ///
    /// Range error if there is no mark or more than [`range::MARKS`]; parse error if a mark belongs to another control.
    pub fn new(control: Control, mut marks: Vec<Mark>, stepless: bool) -> Result<Self, Error> {
        #[expect(
            clippy::cast_precision_loss,
            reason = "a count of marks is far below 2^52"
        )]
        range::MARKS.check(marks.len() as f64)?;
        if marks.iter().any(|mark| mark.control() != control) {
            return Err(Error::parse(format!(
                "every mark of this scale has to be a {}",
                words::noun(control)
            )));
        }
        marks.sort_by(|a, b| a.place().get().total_cmp(&b.place().get()));
        marks.dedup_by(|b, a| (b.place() - a.place()).is_even());
        let own = marks.len();
        Ok(Self {
            control,
            marks,
            stepless,
            own,
        })
    }

    /// Every film speed of the standard list, ISO 0.8 to 12 800.
    #[must_use]
    pub fn sensitivities() -> Self {
        Self::series(Control::Sensitivity, Steps::Third, |_| true)
    }

    /// The engraved marks of a standard series that pass a test.
    pub(crate) fn series(control: Control, steps: Steps, keep: impl Fn(&Mark) -> bool) -> Self {
        let mut marks: Vec<Mark> = series::tables(control, steps)
            .into_iter()
            .flatten()
            .filter(|row| row.engraved)
            .map(|row| Mark::from_row(control, row))
            .filter(keep)
            .collect();
        marks.sort_by(|a, b| a.place().get().total_cmp(&b.place().get()));
        Self {
            control,
            own: marks.len(),
            marks,
            stepless: false,
        }
    }

    /// Times of a shutter that can be left open on B as well: from the slowest mark on a person counts, any time of
    /// [`range::BY_HAND`]. Whole seconds are offered.
    pub(crate) fn with_b(mut marks: Vec<Mark>) -> Result<Self, Error> {
        let slowest = marks.iter().map(Mark::engraved).fold(0.0, f64::max);
        let own = marks.len();
        // 1 s on B is 1 s of the shutter.
        let beyond = |mark: &Mark| {
            mark.engraved() > slowest * 1.000_001
                && marks.iter().all(|own| mark.relative_to(own).is_more())
        };
        let offered = OFFERED.map(f64::from).map(counted);
        let hand: Vec<Mark> = offered.into_iter().filter(beyond).collect();
        marks.extend(hand);
        let hand = marks.len() - own;
        let made = Self::new(Control::Time, marks, false)?;
        Ok(Self {
            own: made.marks.len() - hand,
            ..made
        })
    }

    /// The slowest mark of the shutter itself, where longer times are counted by hand on B; none where there is no B.
    fn by_hand_beyond(&self) -> Option<Place> {
        // Where a camera has nothing but B, everything is counted.
        (self.own < self.marks.len()).then(|| match self.own.checked_sub(1) {
            Some(last) => self.marks[last].place(),
            None => Place::new_unchecked(-99.0),
        })
    }

    /// Whether longer times than the slowest mark are counted by hand on B.
    #[must_use]
    pub fn has_b(&self) -> bool {
        self.own < self.marks.len()
    }

    /// Which control it belongs to.
    #[must_use]
    pub const fn control(&self) -> Control {
        self.control
    }

    /// The marks, darkest first.
    #[must_use]
    pub fn marks(&self) -> &[Mark] {
        &self.marks
    }

    /// Whether positions between the marks can be set.
    #[must_use]
    pub const fn is_stepless(&self) -> bool {
        self.stepless
    }

    /// The mark that gives least light.
    #[must_use]
    pub fn darkest(&self) -> &Mark {
        // OK because a scale is never empty.
        &self.marks[0]
    }

    /// The mark that gives most light.
    #[must_use]
    pub fn brightest(&self) -> &Mark {
        // OK because a scale is never empty.
        &self.marks[self.marks.len() - 1]
    }

    /// Index of the mark that stands at the same place, if one does.
    #[must_use]
    pub fn index_of(&self, mark: &Mark) -> Option<usize> {
        self.index_of_place(mark.place())
    }

    /// The mark that carries this figure (seconds, f-number or ISO), whatever it stands for or was measured as.
    #[must_use]
    pub fn labelled(&self, engraved: f64) -> Option<&Mark> {
        self.marks
            .iter()
            .find(|mark| series::same_figure(mark.engraved(), engraved))
    }

    /// The mark that a typed value means: the one with its figure, a time counted by hand on B as it is typed, else the
    /// nearest to its place.
    #[must_use]
    pub fn meant(&self, typed: &Mark) -> Choice {
        let taken = |mark| Choice {
            mark,
            residual: Stops::ZERO,
            end: None,
        };
        if let Some(mark) = self.labelled(typed.engraved()) {
            return taken(*mark);
        }
        let hand = typed.timed_by_hand();
        let beyond = self
            .by_hand_beyond()
            .is_some_and(|slowest| (hand.place() - slowest).is_more());
        if beyond && range::BY_HAND.contains(typed.engraved()) {
            return taken(hand);
        }
        self.choose(typed.place(), Prefer::Nearest)
    }

    /// Index of a place along the marks; between two of them a fraction.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "an index of at most 200 marks")]
    pub fn position_of(&self, place: Place) -> f64 {
        let next = self
            .marks
            .partition_point(|m| (m.place() - place).is_less());
        let Some(above) = self.marks.get(next) else {
            return (self.marks.len() - 1) as f64;
        };
        let Some(below) = next.checked_sub(1).and_then(|i| self.marks.get(i)) else {
            return 0.0;
        };
        if (above.place() - place).is_even() {
            return next as f64;
        }
        (next - 1) as f64 + (place - below.place()).get() / (above.place() - below.place()).get()
    }

    /// Chooses the setting for a wanted place. **The only rounding of settings in this crate.**
    ///
    /// - Beyond an end: that end, and [`Choice::end`] says so.
    /// - On a stepless ring: exactly the wanted place.
    /// - Where times are counted by hand on B: a whole second, whether or not it is among those offered.
    /// - Else the better one of the two marks on either side, by [`Prefer::judge`].
    #[must_use]
    pub fn choose(&self, wanted: Place, prefer: Prefer) -> Choice {
        let taken = |mark: Mark, end| Choice {
            mark,
            residual: mark.place() - wanted,
            end,
        };
        match self.end_before(wanted) {
            Some(End::Brightest) => return taken(*self.brightest(), Some(End::Brightest)),
            Some(End::Darkest) => return taken(*self.darkest(), Some(End::Darkest)),
            None => {}
        }
        if self.stepless && self.index_of_place(wanted).is_none() {
            // OK to fall through on an error: the place lies between two valid marks, so it cannot be out of range.
            if let Ok(mark) = Mark::between(self.control, wanted) {
                return taken(mark, None);
            }
        }
        let [below, above] = self.around(wanted);
        let judge = |mark: &Mark| prefer.judge(mark.place() - wanted);
        let take_below = judge(&below).beats(judge(&above));
        taken(if take_below { below } else { above }, None)
    }

    /// The end that a place lies beyond.
    pub(crate) fn end_before(&self, wanted: Place) -> Option<End> {
        if (wanted - self.brightest().place()).is_more() {
            Some(End::Brightest)
        } else if (wanted - self.darkest().place()).is_less() {
            Some(End::Darkest)
        } else {
            None
        }
    }

    /// The settings on either side of a place within the scale: marks, or whole seconds on B.
    fn around(&self, wanted: Place) -> [Mark; 2] {
        let above = self
            .marks
            .partition_point(|m| (m.place() - wanted).is_less())
            .min(self.marks.len() - 1);
        let mut around = [self.marks[above.saturating_sub(1)], self.marks[above]];
        if self.has_b() && above >= self.own {
            // A person counts to the second.
            let seconds = (power::of_two(wanted.get()) + 1e-6).floor();
            if seconds >= 1.0 && (counted(seconds).place() - around[0].place()).is_more() {
                around[0] = counted(seconds);
            }
            if (around[1].place() - counted(seconds + 1.0).place()).is_more() {
                around[1] = counted(seconds + 1.0);
            }
        }
        around
    }

    fn index_of_place(&self, place: Place) -> Option<usize> {
        let next = self
            .marks
            .partition_point(|m| (m.place() - place).is_less());
        self.marks
            .get(next)
            .filter(|m| (m.place() - place).is_even())
            .map(|_| next)
    }
}
