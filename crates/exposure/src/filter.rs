//! Filters: how much light they take, however that is stated, alone and stacked.
//!
//! A factor multiplies the exposure; its stops are log2(factor) and its density log10(factor). Stacked, factors multiply and
//! stops and densities add (sources: US Army SS0512, p. 12; a textbook's page on lighting: two filters of factor 4 are 16,
//! not 8).

pub use crate::range::{FILTER_DENSITY as DENSITY, FILTER_FACTOR as FACTOR, FILTER_LOSS as LOSS};
use crate::{Error, Stops, power};

/// log2(10): stops of a density of one.
const STOPS_OF_TEN: f64 = std::f64::consts::LOG2_10;

/// How the strength of a filter is stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Given {
    /// By what the exposure is multiplied, within [`FACTOR`].
    Factor(f64),
    /// In stops that it takes, within [`LOSS`].
    Stops(f64),
    /// As a density, log10 of the factor, within [`DENSITY`].
    Density(f64),
}

/// A filter, or a stack of them.
///
/// ```
/// use exposure::filter::{Filter, Given, stacked};
/// let red = Filter::new(Given::Factor(8.0))?;
/// assert!((red.needs().get() - 3.0).abs() < 1e-12);
/// assert!(red.effect().is_less());
/// // Worked case 11: factors 2 and 2.5 together are 5, 2 1/3 stops in print.
/// let both = stacked(&[Filter::new(Given::Factor(2.0))?, Filter::new(Given::Factor(2.5))?])?;
/// assert!((both.factor() - 5.0).abs() < 1e-9);
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filter {
    given: Given,
    needs: Stops,
}

impl Filter {
    /// Takes a strength as it is stated.
    ///
    /// # Errors
    ///
    /// Range error beyond [`FACTOR`], [`LOSS`] or [`DENSITY`].
    pub fn new(given: Given) -> Result<Self, Error> {
        let stops = match given {
            Given::Factor(factor) => FACTOR.check(factor)?.log2(),
            Given::Stops(stops) => LOSS.check(stops)?,
            Given::Density(density) => DENSITY.check(density)? * STOPS_OF_TEN,
        };
        Ok(Self {
            given,
            needs: Stops::new(stops)?,
        })
    }

    /// The strength as it was stated.
    #[must_use]
    pub const fn given(&self) -> Given {
        self.given
    }

    /// How much more light has to be let in because of it.
    #[must_use]
    pub const fn needs(&self) -> Stops {
        self.needs
    }

    /// What it does to the light on the film: less, or nothing.
    #[must_use]
    pub fn effect(&self) -> Stops {
        -self.needs
    }

    /// By what the exposure has to be multiplied.
    #[must_use]
    pub fn factor(&self) -> f64 {
        match self.given {
            Given::Factor(factor) => factor,
            Given::Stops(_) | Given::Density(_) => self.needs.factor(),
        }
    }

    /// Its density, log10 of the factor.
    #[must_use]
    pub fn density(&self) -> f64 {
        match self.given {
            Given::Density(density) => density,
            Given::Factor(_) | Given::Stops(_) => self.needs.get() / STOPS_OF_TEN,
        }
    }

    /// What it needs as tables print it.
    #[must_use]
    pub fn printed(&self) -> Printed {
        in_thirds(self.needs)
    }

    /// The share of the light that it lets pass, from 0 to 1.
    #[must_use]
    pub fn passes(&self) -> f64 {
        power::of_two(-self.needs.get())
    }
}

/// Several filters in front of one another; of none, a filter that takes nothing.
///
/// # Errors
///
/// Range error if all together take more than [`LOSS`].
pub fn stacked(filters: &[Filter]) -> Result<Filter, Error> {
    let needs: Stops = filters.iter().map(Filter::needs).sum();
    Filter::new(Given::Stops(needs.get()))
}

/// A difference as tables and lenses have it, in thirds of a stop, beside the exact one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Printed {
    /// The nearest third; of two equally near ones, the larger.
    pub thirds: Stops,
    /// What the exact figure is beyond it: positive where the table is short.
    pub rest: Stops,
}

/// The nearest third of a stop, as tables print it, and what it leaves over.
///
/// ```
/// use exposure::{Stops, filter::in_thirds};
/// let printed = in_thirds(Stops::new(2.5_f64.log2())?);
/// assert!((printed.thirds.get() - 4.0 / 3.0).abs() < 1e-12);
/// assert!((printed.rest.get() + 0.0114).abs() < 1e-4);
/// # Ok::<(), exposure::Error>(())
/// ```
#[must_use]
pub fn in_thirds(exact: Stops) -> Printed {
    let thirds = Stops::new_unchecked((exact.get() * 3.0).round() / 3.0);
    Printed {
        thirds,
        rest: exact - thirds,
    }
}

/// A strength that was published for a kind of filter. Published ones for the same filter differ by up to two thirds of a
/// stop, so each is a choice of its own; the maker's or one's own figure goes before any of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Published {
    /// Stable id.
    pub id: &'static str,
    /// Plain name; the number is the one that many makers engrave.
    pub name: &'static str,
    /// The strength as published.
    pub given: Given,
    /// Who says so.
    pub source: &'static str,
}

const fn published(
    id: &'static str,
    name: &'static str,
    given: Given,
    source: &'static str,
) -> Published {
    Published {
        id,
        name,
        given,
        source,
    }
}

/// Published strengths, conflicting ones side by side.
///
/// Contrast filters are for black-and-white film that sees all colours; red takes more in daylight and blue more in
/// tungsten light (in print, trade guides).
pub const PUBLISHED: &[Published] = &[
    published(
        "polariser-magazine",
        "Polariser, the lower figure",
        Given::Factor(2.5),
        "a magazine's table",
    ),
    published(
        "polariser-army",
        "Polariser, the higher figure",
        Given::Factor(4.0),
        "US Army SS0536, p. 18",
    ),
    published(
        "yellow-8",
        "Yellow (8)",
        Given::Factor(2.0),
        "common practice, from memory",
    ),
    published(
        "deep-yellow-15",
        "Deep yellow (15)",
        Given::Factor(2.5),
        "common practice, from memory",
    ),
    published(
        "yellow-green-11",
        "Yellow-green (11)",
        Given::Factor(4.0),
        "common practice, from memory",
    ),
    published(
        "orange-21",
        "Orange (21)",
        Given::Factor(4.0),
        "common practice, from memory",
    ),
    published(
        "red-25",
        "Red (25) in daylight",
        Given::Factor(8.0),
        "a trade guide's table",
    ),
    published(
        "red-25-tungsten",
        "Red (25) in tungsten light",
        Given::Factor(5.0),
        "common practice, from memory",
    ),
    published(
        "infrared-low",
        "Deep red for near infrared, the lower figure",
        Given::Stops(4.0),
        "owners' logs; by trial only, for meters do not see infrared",
    ),
    published(
        "infrared-high",
        "Deep red for near infrared, the higher figure",
        Given::Stops(5.0),
        "owners' logs; by trial only, for meters do not see infrared",
    ),
    published(
        "85-sheet",
        "Tungsten film in daylight (85), the lower figure",
        Given::Stops(2.0 / 3.0),
        "a film maker's sheet of 1993 and a university page",
    ),
    published(
        "85-textbook",
        "Tungsten film in daylight (85), the higher figure",
        Given::Stops(1.0),
        "a textbook",
    ),
    published(
        "80a-book",
        "Daylight film in tungsten light (80A), the lower figure",
        Given::Stops(2.0),
        "a book",
    ),
    published(
        "80a-university",
        "Daylight film in tungsten light (80A), the higher figure",
        Given::Stops(8.0 / 3.0),
        "a university page",
    ),
];
