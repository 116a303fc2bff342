//! Levels on the APEX scales. A level minus a level is a difference; a level plus a level means nothing.
//!
//! ```compile_fail
//! use exposure::Ev;
//! let _ = Ev::new(12.0).unwrap() + Ev::new(1.0).unwrap();
//! ```

use core::ops::{Add, Sub};

use crate::{Error, Stops, range};

macro_rules! level {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Makes the level from its number.
            ///
            /// # Errors
            ///
            /// Range error if it is not finite or beyond 100 either way.
            pub fn new(value: f64) -> Result<Self, Error> {
                range::LEVEL.check(value).map(Self)
            }

            #[allow(dead_code, reason = "Bv is never made without a check; the other levels are")]
            pub(crate) const fn new_unchecked(value: f64) -> Self {
                Self(value)
            }

            /// The number.
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }
        }
    };
}

level!(
    /// Exposure value: Av + Tv. Where it states light, it is at ISO 100. **One more is half the light on the film.**
    ///
    /// Source: ISO 2720:1974 as quoted in the usual table (K 12.5 cd/m², C 250 lx).
    Ev
);
level!(
    /// Time value, log2(1 s / t). 1/125 of the standard series is exactly 7. One more is half the light.
    Tv
);
level!(
    /// Aperture value, 2·log2(N). f/11 of the standard series is exactly 7. One more is half the light.
    Av
);
level!(
    /// Speed value, log2(0.32 · S), so that ISO 100 is 5 (N = 1/3.125, Exif 2.3).
    Sv
);
level!(
    /// Brightness value: Ev − Sv of a correct exposure. Bv 0 is 4 cd/m² with K = 12.5 (GNU units 2.22, `Bv(0)`).
    Bv
);

impl Ev {
    /// The exposure value of a pair of settings.
    ///
    /// ```
    /// use exposure::{Av, Ev, Tv};
    /// assert!((Ev::of(Tv::new(7.0)?, Av::new(6.0)?).get() - 13.0).abs() < 1e-12);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub const fn of(time: Tv, aperture: Av) -> Self {
        Self(time.0 + aperture.0)
    }

    /// How much more light settings of this value give than settings of `other`: a **lower** value gives more.
    #[must_use]
    pub const fn light_relative_to(self, other: Self) -> Stops {
        Stops::new_unchecked(other.0 - self.0)
    }

    /// The value that gives so much more light (lower) or less light (higher).
    #[must_use]
    pub const fn giving(self, more: Stops) -> Self {
        Self(self.0 - more.get())
    }
}

impl Bv {
    /// The brightness at which this exposure is right for this speed.
    #[must_use]
    pub const fn of(exposure: Ev, speed: Sv) -> Self {
        Self(exposure.0 - speed.0)
    }

    /// The exposure value that is right for this speed.
    #[must_use]
    pub const fn exposure(self, speed: Sv) -> Ev {
        Ev(self.0 + speed.0)
    }
}

/// Where a control stands, in stops, growing with brightness: −Tv, −Av, or Sv − 5 (ISO 100 is zero).
///
/// ```compile_fail
/// use exposure::Place;
/// let _ = Place::new(1.0).unwrap() + Place::new(1.0).unwrap();
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Place(f64);

impl Place {
    /// Makes a place from its number of stops.
    ///
    /// # Errors
    ///
    /// Range error if it is not finite or beyond 100 either way.
    pub fn new(stops: f64) -> Result<Self, Error> {
        range::LEVEL.check(stops).map(Self)
    }

    pub(crate) const fn new_unchecked(stops: f64) -> Self {
        Self(stops)
    }

    /// The number of stops from the control's zero.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl Add<Stops> for Place {
    type Output = Self;
    fn add(self, more: Stops) -> Self {
        Self(self.0 + more.get())
    }
}

impl Sub<Stops> for Place {
    type Output = Self;
    fn sub(self, less: Stops) -> Self {
        Self(self.0 - less.get())
    }
}

impl Sub for Place {
    type Output = Stops;
    fn sub(self, other: Self) -> Stops {
        Stops::new_unchecked(self.0 - other.0)
    }
}
