//! Light lost inside a lens, which an f-number does not know of.

pub use crate::range::{LENS_PER_CENT as PER_CENT, LENS_STOPS as STOPS};
use crate::{Control, Effect, Error, Mark, Steps, Stops, power, range};

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

/// A lens whose T-numbers are known at several stops, pairs of an f-number and the T-number that belongs to it: what it takes is
/// another at each.
///
/// ```
/// use exposure::{Control, Mark, Steps, transmission};
/// let lens = transmission::by_stop(&[[2.0, 2.4], [8.0, 8.2]])?;
/// let takes = |stop| Ok::<_, exposure::Error>(lens.at(&Mark::parse(Control::Time, "1s", Steps::Full)?, &Mark::parse(Control::Aperture, stop, Steps::Full)?).get());
/// assert!((takes("2")? + 0.526).abs() < 0.001);
/// assert!((takes("4")? + 0.299).abs() < 0.001);
/// assert!((takes("16")? + 0.071).abs() < 0.001);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// As for [`Transmission::t_number`]; range error for no pair or more than [`STOPS`]; parse error for two T-numbers of one stop.
pub fn by_stop(pairs: &[[f64; 2]]) -> Result<Effect, Error> {
    #[expect(
        clippy::cast_precision_loss,
        reason = "more pairs than a float counts are too many pairs all the same"
    )]
    STOPS.check(pairs.len() as f64)?;
    let mut rows: Vec<(Mark, Stops)> = Vec::with_capacity(pairs.len());
    for [f_number, t_number] in pairs {
        let lens = Transmission::t_number(*f_number, *t_number)?;
        let stop = Mark::new(Control::Aperture, *f_number, Steps::Full)?;
        if rows
            .iter()
            .any(|(known, _)| known.relative_to(&stop).is_even())
        {
            return Err(Error::parse("a stop of the lens has two T-numbers"));
        }
        rows.push((stop, lens.effect()));
    }
    Ok(Effect::ByStop(rows))
}
