use core::ops::{Add, Neg, Sub};

use crate::{Error, power, range};

/// A difference in stops; positive is **more light on the film**. One stop is a factor of two.
///
/// Finite by construction. For a position on a control use [`Place`](crate::Place); for a level of light or of a setting
/// use [`Ev`](crate::Ev) and its relatives. Differences add up, levels do not.
///
/// ```
/// use exposure::Stops;
/// let open_two = Stops::constant(2.0);
/// assert!((open_two.factor() - 4.0).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Stops(f64);

impl Stops {
    /// No difference.
    pub const ZERO: Self = Self(0.0);
    /// Differences below this are arithmetic noise: a millionth of a stop.
    pub const NOISE: Self = Self(1e-6);
    /// A twelfth of a stop: less than film, shutter and engraving can show (common practice, no source).
    ///
    /// A mark that gives this little less than wanted still counts as giving enough.
    pub const SMALL: Self = Self(1.0 / 12.0);

    /// One stop: more than this is not given away on negative film for the sake of erring to more light (common practice,
    /// no source).
    pub const OVERSHOOT: Self = Self(1.0);

    /// Makes a difference of that many stops.
    ///
    /// # Errors
    ///
    /// Range error if it is not finite or beyond 100 stops either way.
    pub fn new(stops: f64) -> Result<Self, Error> {
        range::STOPS.check(stops).map(Self)
    }

    /// Makes a difference from a literal.
    ///
    /// # Panics
    ///
    /// If it is not finite or beyond 100 stops: a mistake in the program.
    #[must_use]
    pub const fn constant(stops: f64) -> Self {
        assert!(
            range::STOPS.contains(stops),
            "a literal difference has to be finite and within 100 stops"
        );
        Self(stops)
    }

    pub(crate) const fn new_unchecked(stops: f64) -> Self {
        Self(stops)
    }

    /// The number of stops; positive is more light.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }

    /// The size without the direction.
    #[must_use]
    pub const fn size(self) -> Self {
        Self(self.0.abs())
    }

    /// Whether there is no difference beyond arithmetic noise.
    #[must_use]
    pub const fn is_even(self) -> bool {
        self.0.abs() < Self::NOISE.0
    }

    /// More light by more than arithmetic noise.
    #[must_use]
    pub const fn is_more(self) -> bool {
        self.0 >= Self::NOISE.0
    }

    /// Less light by more than arithmetic noise.
    #[must_use]
    pub const fn is_less(self) -> bool {
        self.0 <= -Self::NOISE.0
    }

    /// The factor of light, 2^stops.
    #[must_use]
    pub fn factor(self) -> f64 {
        power::of_two(self.0)
    }
}

impl Add for Stops {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Stops {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Stops {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl core::iter::Sum for Stops {
    fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
        values.fold(Self::ZERO, Add::add)
    }
}
