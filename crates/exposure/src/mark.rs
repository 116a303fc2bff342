use crate::{
    Av, Control, Error, Place, Stops, Sv, Tv, power, range, series, series::Twelfths, words,
};

/// How the marks of a device are read: which standard series its figures belong to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Steps {
    /// Full stops; any other figure is taken literally.
    Full,
    /// Half stops (and full ones).
    Half,
    /// Third stops (and full ones).
    Third,
    /// No series at all: the figure is taken as it is. On the list of a camera full stops stand for their exact values even so
    /// ([`Camera::parse`](crate::Camera::parse)).
    Engraved,
}

/// One mark of a control: what is engraved, what it stands for, and what was measured, kept apart.
///
/// - *engraved*: the figure (1/60);
/// - *nominal*: the exact value of the standard series that the figure stands for (2⁻⁶ s), if it belongs to one;
/// - *measured*: what it really gives, as the user found.
///
/// [`place`](Self::place) is what counts in arithmetic: measured, else nominal, else the figure itself.
///
/// ```
/// use exposure::{Control, Mark, Steps};
/// let nominal = Mark::parse(Control::Time, "1/125", Steps::Full)?;
/// assert!((nominal.place().get() + 7.0).abs() < 1e-12);
/// let older = Mark::parse(Control::Time, "1/125", Steps::Engraved)?;
/// assert!((older.place().get() + 6.9658).abs() < 1e-4);
/// let timed = nominal.measured_as(1.0 / 100.0)?;
/// assert!((timed.place().get() + 6.6439).abs() < 1e-4);
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    control: Control,
    engraved: f64,
    nominal: Option<Twelfths>,
    measured: Option<f64>,
    by_hand: bool,
    place: f64,
}

fn place_of(control: Control, number: f64) -> f64 {
    match control {
        Control::Time => number.log2(),
        Control::Aperture => -2.0 * number.log2(),
        Control::Sensitivity => (number / 100.0).log2(),
    }
}

fn number_at(control: Control, place: f64) -> f64 {
    match control {
        Control::Time => power::of_two(place),
        Control::Aperture => power::of_two(-place / 2.0),
        Control::Sensitivity => 100.0 * power::of_two(place),
    }
}

fn check(control: Control, number: f64) -> Result<f64, Error> {
    match control {
        Control::Time => range::TIME,
        Control::Aperture => range::APERTURE,
        Control::Sensitivity => range::SENSITIVITY,
    }
    .check(number)
}

impl Mark {
    /// Makes a mark from its engraved number: seconds, f-number or ISO.
    ///
    /// # Errors
    ///
    /// Range error if the number is outside [`range::TIME`], [`range::APERTURE`] or [`range::SENSITIVITY`].
    pub fn new(control: Control, number: f64, steps: Steps) -> Result<Self, Error> {
        let engraved = check(control, number)?;
        let nominal = series::position(control, engraved, steps);
        let place = nominal.map_or_else(|| place_of(control, engraved), |at| place_at(control, at));
        Ok(Self {
            control,
            engraved,
            nominal,
            measured: None,
            by_hand: false,
            place,
        })
    }

    /// Reads a mark as people type it: `1/60`, `60`, `0.5`, `2s`, `1'30`, `f8`, `5.6`, `160/23°`.
    ///
    /// # Errors
    ///
    /// Parse error with an example of what is taken, or a range error.
    pub fn parse(control: Control, text: &str, steps: Steps) -> Result<Self, Error> {
        Self::new(control, words::parse_number(control, text)?, steps)
    }

    /// A position between marks, on a ring that can stand anywhere, at that place.
    ///
    /// # Errors
    ///
    /// Range error if the place is out of the control's range.
    pub fn between(control: Control, place: Place) -> Result<Self, Error> {
        let stops = place.get();
        let number = number_at(control, stops);
        Ok(Self {
            place: stops,
            ..Self::new(control, number, Steps::Engraved)?
        })
    }

    /// A sensitivity that settings amount to, which may lie beyond any film that was ever made.
    pub(crate) fn amounting_to(place: Place) -> Self {
        let stops = place.get();
        let engraved = 100.0 * power::of_two(stops);
        Self {
            control: Control::Sensitivity,
            engraved,
            nominal: None,
            measured: None,
            by_hand: false,
            place: stops,
        }
    }

    /// The same mark with what was measured in its place: seconds, f-number or ISO.
    ///
    /// # Errors
    ///
    /// Range error, as for [`Mark::new`].
    pub fn measured_as(self, number: f64) -> Result<Self, Error> {
        let measured = check(self.control, number)?;
        Ok(Self {
            measured: Some(measured),
            place: place_of(self.control, measured),
            ..self
        })
    }

    /// The same figure, counted by hand on B: a person counts seconds, not a series, so that 15 s are 15 s and not 16.
    ///
    /// ```
    /// use exposure::{Control, Mark, Steps};
    /// let mark = Mark::parse(Control::Time, "15s", Steps::Full)?.timed_by_hand();
    /// assert!((mark.gives() - 15.0).abs() < 1e-9);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn timed_by_hand(self) -> Self {
        Self {
            nominal: None,
            measured: None,
            by_hand: true,
            place: place_of(self.control, self.engraved),
            ..self
        }
    }

    pub(crate) fn from_row(control: Control, row: &series::Row) -> Self {
        let place = place_at(control, row.at);
        Self {
            control,
            engraved: row.number,
            nominal: Some(row.at),
            measured: None,
            by_hand: false,
            place,
        }
    }

    /// Which control it belongs to.
    #[must_use]
    pub const fn control(&self) -> Control {
        self.control
    }

    /// The figure: seconds, f-number or ISO.
    #[must_use]
    pub const fn engraved(&self) -> f64 {
        self.engraved
    }

    /// What it really gives, in its own unit: seconds, f-number or ISO speed. Measured, else the exact value of the series,
    /// else the figure itself.
    ///
    /// ```
    /// use exposure::{Control, Mark, Steps};
    /// let mark = Mark::parse(Control::Time, "15s", Steps::Full)?;
    /// assert!((mark.gives() - 16.0).abs() < 1e-9);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn gives(&self) -> f64 {
        number_at(self.control, self.place)
    }

    /// The exact series position that the figure stands for.
    #[must_use]
    pub const fn nominal(&self) -> Option<Twelfths> {
        self.nominal
    }

    /// What was measured: seconds, f-number or ISO.
    #[must_use]
    pub const fn measured(&self) -> Option<f64> {
        self.measured
    }

    /// Whether it is counted by hand with the shutter on B.
    #[must_use]
    pub const fn by_hand(&self) -> bool {
        self.by_hand
    }

    /// Where it stands, in stops, growing with brightness.
    #[must_use]
    pub const fn place(&self) -> Place {
        Place::new_unchecked(self.place)
    }

    /// How much more light (or sensitivity) it gives than another mark of the same control.
    #[must_use]
    pub fn relative_to(&self, other: &Self) -> Stops {
        debug_assert_eq!(
            self.control, other.control,
            "marks of different controls do not compare"
        );
        self.place() - other.place()
    }

    /// How far the figure is from what it is taken for: more light is positive. Zero for literal marks.
    #[must_use]
    pub fn engraving_error(&self) -> Stops {
        self.place() - Place::new_unchecked(place_of(self.control, self.engraved))
    }

    /// The exact value in seconds, as an f-number or as ISO: what [`place`](Self::place) amounts to.
    #[must_use]
    pub fn exact(&self) -> f64 {
        match self.control {
            Control::Time => power::of_two(self.place),
            Control::Aperture => power::of_two(-self.place / 2.0),
            Control::Sensitivity => 100.0 * power::of_two(self.place),
        }
    }

    /// Tv of a time.
    #[must_use]
    pub fn tv(&self) -> Option<Tv> {
        (self.control == Control::Time).then(|| Tv::new_unchecked(-self.place))
    }

    /// Av of an aperture.
    #[must_use]
    pub fn av(&self) -> Option<Av> {
        (self.control == Control::Aperture).then(|| Av::new_unchecked(-self.place))
    }

    /// Sv of a sensitivity, with ISO 100 at 5.
    #[must_use]
    pub fn sv(&self) -> Option<Sv> {
        (self.control == Control::Sensitivity).then(|| Sv::new_unchecked(self.place + 5.0))
    }
}

fn place_at(control: Control, at: Twelfths) -> f64 {
    match control {
        Control::Time | Control::Aperture => -at.level(),
        Control::Sensitivity => at.level(),
    }
}
