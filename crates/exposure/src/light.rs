//! Light as luminance and illuminance, by the meter equation A²/t = L·S/K = E·S/C.
//!
//! Source: ISO 2720:1974 (relations, as quoted by public copies); K 12.5 cd/m² is ANSI PH3.49-1971 as recorded in GNU
//! units' definitions, C 250 lx is the flat-receptor value in common use. Published ranges: K 10.6 to 13.4, in use 12.5
//! and 14; C 240 to 400 for a flat receptor (the last from memory). The two constants are therefore values, not literals.

pub use crate::range::{INCIDENT_CONSTANT as C_RANGE, REFLECTED_CONSTANT as K_RANGE};
use crate::{Bv, Error, Ev, power};

/// Meter constants.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constants {
    reflected: f64,
    incident: f64,
}

impl Default for Constants {
    /// K = 12.5 cd/m², C = 250 lx.
    fn default() -> Self {
        Self {
            reflected: 12.5,
            incident: 250.0,
        }
    }
}

impl Constants {
    /// Makes a pair of constants: K in cd/m², C in lx.
    ///
    /// # Errors
    ///
    /// Range error beyond [`K_RANGE`] or [`C_RANGE`].
    pub fn new(k: f64, c: f64) -> Result<Self, Error> {
        Ok(Self {
            reflected: K_RANGE.check(k)?,
            incident: C_RANGE.check(c)?,
        })
    }

    /// K in cd/m².
    #[must_use]
    pub const fn k(&self) -> f64 {
        self.reflected
    }

    /// C in lx.
    #[must_use]
    pub const fn c(&self) -> f64 {
        self.incident
    }

    /// Luminance in cd/m² that an EV at ISO 100 stands for.
    ///
    /// ```
    /// use exposure::{Ev, light::Constants};
    /// // GNU units 2.22: ev100(15) = 4096 cd/m².
    /// assert!((Constants::default().luminance(Ev::new(15.0)?) - 4096.0).abs() < 1e-6);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn luminance(&self, at_iso_100: Ev) -> f64 {
        power::of_two(at_iso_100.get()) * self.reflected / 100.0
    }

    /// Illuminance in lx that an EV at ISO 100 stands for.
    ///
    /// ```
    /// use exposure::{Ev, light::Constants};
    /// // GNU units 2.22: iv100(15) = 81920 lx.
    /// assert!((Constants::default().illuminance(Ev::new(15.0)?) - 81920.0).abs() < 1e-6);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn illuminance(&self, at_iso_100: Ev) -> f64 {
        power::of_two(at_iso_100.get()) * self.incident / 100.0
    }

    /// EV at ISO 100 of a luminance in cd/m².
    ///
    /// # Errors
    ///
    /// Range error if the luminance is not a positive number within reach.
    pub fn ev_of_luminance(&self, luminance: f64) -> Result<Ev, Error> {
        Ev::new((luminance * 100.0 / self.reflected).log2())
    }

    /// EV at ISO 100 of an illuminance in lx.
    ///
    /// # Errors
    ///
    /// Range error if the illuminance is not a positive number within reach.
    pub fn ev_of_illuminance(&self, illuminance: f64) -> Result<Ev, Error> {
        Ev::new((illuminance * 100.0 / self.incident).log2())
    }

    /// Luminance in cd/m² of a brightness value: B = N·K·2^Bv with N = 0.32.
    #[must_use]
    pub fn luminance_of_bv(&self, brightness: Bv) -> f64 {
        power::of_two(brightness.get()) * self.reflected * 0.32
    }
}
