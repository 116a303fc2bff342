use crate::{Asked, Control, Error, Ev, ExposureIndex, Mark, Place, Stops, power};

/// What another device showed: time, aperture and its own sensitivity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    marks: [Mark; 3],
}

impl Reading {
    /// Takes the three marks of a reading.
    ///
    /// # Errors
    ///
    /// Parse error if a mark belongs to another control.
    pub fn new(time: Mark, aperture: Mark, sensitivity: Mark) -> Result<Self, Error> {
        let marks = [time, aperture, sensitivity];
        for (mark, control) in marks.iter().zip(Control::ALL) {
            if mark.control() != control {
                return Err(Error::parse(
                    "a reading is a time, an aperture and a sensitivity, in this order",
                ));
            }
        }
        Ok(Self { marks })
    }

    /// The mark of one control.
    #[must_use]
    pub const fn mark(&self, control: Control) -> &Mark {
        &self.marks[control.index()]
    }

    /// All three marks, in the order of [`Control::ALL`].
    #[must_use]
    pub const fn marks(&self) -> &[Mark; 3] {
        &self.marks
    }

    /// The light, as EV at ISO 100: EV of the settings less log2(ISO / 100).
    ///
    /// ```
    /// use exposure::{Control, Mark, Reading, Steps};
    /// let mark = |control, text| Mark::parse(control, text, Steps::Third);
    /// let reading = Reading::new(mark(Control::Time, "1/125")?, mark(Control::Aperture, "8")?, mark(Control::Sensitivity, "200")?)?;
    /// assert!((reading.light().get() - 12.0).abs() < 1e-12);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn light(&self) -> Ev {
        Ev::new_unchecked(-self.sum())
    }

    /// The same reading, by a device that asks for so much more light.
    ///
    /// The light is that much dimmer than the device takes it for. That is what a right device would show at its
    /// sensitivity times 2^more, so the third mark is that sensitivity and no longer the figure of a scale.
    ///
    /// ```
    /// use exposure::{Control, Mark, Reading, Steps, Stops};
    /// let mark = |control, text| Mark::parse(control, text, Steps::Third);
    /// let reading = Reading::new(mark(Control::Time, "1/125")?, mark(Control::Aperture, "8")?, mark(Control::Sensitivity, "100")?)?;
    /// assert!((reading.corrected(Stops::constant(1.0))?.light().get() - 12.0).abs() < 1e-12);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Range error if the sensitivity would be beyond 100 stops from ISO 100.
    pub fn corrected(&self, more: Stops) -> Result<Self, Error> {
        let [time, aperture, sensitivity] = self.marks;
        let place = Place::new((sensitivity.place() + more).get())?;
        Ok(Self {
            marks: [time, aperture, Mark::amounting_to(place)],
        })
    }

    /// The sum of the three places; settings with the same sum give the same exposure.
    pub(crate) fn sum(&self) -> f64 {
        sum(&self.marks)
    }

    /// How much more light than the reading asks for is given by a time and an aperture at a rating.
    ///
    /// The rating is the third mark.
    #[must_use]
    pub fn difference(&self, set: &[Mark; 3]) -> Stops {
        set.iter()
            .zip(&self.marks)
            .map(|(set, read)| set.place() - read.place())
            .sum()
    }

    /// EV that a film of this rating needs with so much extra light: `EV_reading + log2(EI / ISO) − extra`.
    #[must_use]
    pub fn ev_for(&self, rated: ExposureIndex, extra: Stops) -> Ev {
        Ev::new_unchecked(self.light().get() + rated.mark().place().get()).giving(extra)
    }

    /// The time in seconds that an aperture and a rating ask for, to the last digit: what a hand that counts is not bound to a
    /// mark for.
    ///
    /// ```
    /// use exposure::{Control, Mark, Reading, Steps};
    /// let mark = |control, text| Mark::parse(control, text, Steps::Third);
    /// let reading = Reading::new(mark(Control::Time, "1/15")?, mark(Control::Aperture, "16")?, mark(Control::Sensitivity, "200")?)?;
    /// let time = reading.time_for(&mark(Control::Aperture, "16")?, &mark(Control::Sensitivity, "50")?);
    /// assert!((time - 0.25).abs() < 1e-12);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn time_for(&self, aperture: &Mark, rating: &Mark) -> f64 {
        power::of_two(self.sum() - aperture.place().get() - rating.place().get())
    }

    /// The EI that a time and an aperture amount to in this light: `ISO · 2^(EV_set − EV_reading)`.
    ///
    /// # Errors
    ///
    /// Range error if the EI is beyond any film speed.
    pub fn amounts_to(&self, time: &Mark, aperture: &Mark) -> Result<ExposureIndex, Error> {
        Asked::from(self).amounts_to(time, aperture)
    }
}

/// The sum of three places.
pub(crate) fn sum(marks: &[Mark; 3]) -> f64 {
    marks[0].place().get() + marks[1].place().get() + marks[2].place().get()
}
