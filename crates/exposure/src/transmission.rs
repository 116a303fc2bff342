//! Light lost inside a lens, which an f-number does not know of.

use crate::{Error, Stops, power, range, range::Range};

/// Range of the share that a lens lets pass, per cent.
pub const PER_CENT: Range = Range {
    what: "what a lens lets pass",
    min: 1.0,
    max: 100.0,
    limits: "1 and 100 %",
};

/// What a lens lets pass.
///
/// ```
/// use exposure::transmission::Transmission;
/// // A zoom that loses two thirds of a stop, as old ones may (common practice, no source), passes 63 %.
/// assert!((Transmission::per_cent(63.0)?.needs().get() - 2.0 / 3.0).abs() < 0.001);
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transmission {
    needs: Stops,
}

impl Transmission {
    /// By an f-number and the T-number that belongs to it: the f-number of a lens without loss that passes as much light.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::APERTURE`], or for a T-number below its f-number, which no lens has.
    pub fn t_number(f_number: f64, t_number: f64) -> Result<Self, Error> {
        range::APERTURE.check(f_number)?;
        range::APERTURE.check(t_number)?;
        if t_number < f_number {
            return Err(Error::range(
                "a T-number is at least as large as its f-number: no lens passes more light than comes in",
            ));
        }
        Ok(Self {
            needs: Stops::new(2.0 * (t_number / f_number).log2())?,
        })
    }

    /// By the share of the light that passes, in per cent.
    ///
    /// # Errors
    ///
    /// Range error beyond [`PER_CENT`].
    pub fn per_cent(passes: f64) -> Result<Self, Error> {
        Ok(Self {
            needs: Stops::new((100.0 / PER_CENT.check(passes)?).log2())?,
        })
    }

    /// How much more light has to be let in.
    #[must_use]
    pub const fn needs(&self) -> Stops {
        self.needs
    }

    /// What it does to the light on the film: less, or nothing.
    #[must_use]
    pub fn effect(&self) -> Stops {
        -self.needs
    }

    /// The share of the light that passes, in per cent.
    #[must_use]
    pub fn passes(&self) -> f64 {
        100.0 * power::of_two(-self.needs.get())
    }
}
