use crate::{Control, Error, Mark, Stops, power, range};

macro_rules! role {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name(Mark);

        impl $name {
            /// Takes a mark of a sensitivity scale in this role.
            ///
            /// # Errors
            ///
            /// Parse error if the mark is a time or an aperture.
            pub fn new(mark: Mark) -> Result<Self, Error> {
                if mark.control() == Control::Sensitivity {
                    Ok(Self(mark))
                } else {
                    Err(Error::parse("a film speed is needed here, for example ISO 100"))
                }
            }

            /// The mark.
            #[must_use]
            pub const fn mark(self) -> Mark {
                self.0
            }

            /// The exact arithmetic value (ISO 64 of the standard series is 62.996).
            #[must_use]
            pub fn iso(self) -> f64 {
                100.0 * power::of_two(self.0.place().get())
            }
        }
    };
}

role!(
    /// The speed printed on the box; says nothing about the roll today.
    BoxSpeed
);
role!(
    /// The exposure index (rating): the number metered at, by choice, or that a frame amounts to.
    ExposureIndex
);
role!(
    /// The ISO of the device that took the reading.
    MeterSpeed
);

impl BoxSpeed {
    /// Rating offset: how much more light a rating gives than box speed would, log2(box / EI).
    ///
    /// ```
    /// use exposure::{BoxSpeed, Control, ExposureIndex, Mark, Steps};
    /// let speed = |iso| Mark::parse(Control::Sensitivity, iso, Steps::Third);
    /// let offset = BoxSpeed::new(speed("400")?)?.offset(ExposureIndex::new(speed("100")?)?);
    /// assert!((offset.get() - 2.0).abs() < 1e-12);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn offset(self, rated: ExposureIndex) -> Stops {
        self.0.place() - rated.0.place()
    }
}

/// Logarithmic speed in degrees: 10·log10(S) + 1.
///
/// Source: the defining relation of ISO film speeds; worked example S 400 → 27.0206.
///
/// # Errors
///
/// Range error for a speed out of range.
pub fn din_from_iso(iso: f64) -> Result<f64, Error> {
    Ok(10.0 * range::SENSITIVITY.check(iso)?.log10() + 1.0)
}

/// Arithmetic speed of a logarithmic one: 10^((S° − 1)/10).
///
/// # Errors
///
/// Range error for a speed out of range.
pub fn iso_from_din(degrees: f64) -> Result<f64, Error> {
    range::SENSITIVITY.check(power::of_ten((degrees - 1.0) / 10.0))
}
