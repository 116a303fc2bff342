//! Close-up: a lens moved out from its infinity focus spreads its light over a larger picture.
//!
//! Factor = (extension / focal length)² = (1 + m)² (sources: US Army SS0511 and SS0512; NAVEDTRA 14209, p. 4-21). Manuals
//! state the extension in two ways, as the whole distance from the lens to the film or as what is drawn out beyond infinity
//! focus, so each has its own constructor. Lenses whose pupils differ in size, such as long telephoto and short
//! retrofocus ones, depart from this; they are not counted here.

pub use crate::range::{DRAWN_OUT, MAGNIFICATION, TO_FILM};
use crate::{Error, Stops, range};

/// A lens focused on a near subject.
///
/// ```
/// use exposure::extension::Extension;
/// // US Army SS0512: 450 mm on a 300 mm lens is a factor of 2.25; 8 s become 18 s.
/// let near = Extension::to_film(300.0, 450.0)?;
/// assert!((near.factor() - 2.25).abs() < 1e-12);
/// assert!((near.magnification() - 0.5).abs() < 1e-12);
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extension {
    magnification: f64,
}

impl Extension {
    /// Life size is 1: image over subject.
    ///
    /// # Errors
    ///
    /// Range error beyond [`MAGNIFICATION`].
    pub fn magnified(magnification: f64) -> Result<Self, Error> {
        Ok(Self {
            magnification: MAGNIFICATION.check(magnification)?,
        })
    }

    /// By the sizes of one thing in the picture and in the subject, in one unit.
    ///
    /// # Errors
    ///
    /// Range error if their ratio is beyond [`MAGNIFICATION`].
    pub fn of_sizes(image: f64, subject: f64) -> Result<Self, Error> {
        Self::magnified(image / subject)
    }

    /// By focal length and the whole distance from the lens to the film, in millimetres.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::FOCAL`] or [`TO_FILM`], or for a lens nearer to the film than its focal length.
    pub fn to_film(focal: f64, distance: f64) -> Result<Self, Error> {
        range::FOCAL.check(focal)?;
        TO_FILM.check(distance)?;
        if distance < focal {
            return Err(Error::range(
                "the lens stands at least a focal length from the film; was it measured beyond infinity focus?",
            ));
        }
        Self::magnified(distance / focal - 1.0)
    }

    /// By focal length and what the lens is drawn out beyond its infinity focus, in millimetres: rings, bellows, helicoid.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::FOCAL`] or [`DRAWN_OUT`].
    pub fn beyond_infinity(focal: f64, drawn_out: f64) -> Result<Self, Error> {
        range::FOCAL.check(focal)?;
        Self::magnified(DRAWN_OUT.check(drawn_out)? / focal)
    }

    /// By focal length and the distance of the subject from the lens, in millimetres: m = f / (s − f).
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::FOCAL`] or [`range::FOCUS`], or for a subject no farther than the focal length.
    pub fn focused(focal: f64, distance: f64) -> Result<Self, Error> {
        range::FOCAL.check(focal)?;
        range::FOCUS.check(distance)?;
        if distance <= focal {
            return Err(Error::range(
                "a focus distance has to be longer than the focal length",
            ));
        }
        Self::magnified(focal / (distance - focal))
    }

    /// Image over subject; life size is 1.
    #[must_use]
    pub const fn magnification(&self) -> f64 {
        self.magnification
    }

    /// By what the exposure has to be multiplied, (1 + m)².
    #[must_use]
    pub fn factor(&self) -> f64 {
        (1.0 + self.magnification) * (1.0 + self.magnification)
    }

    /// How much more light has to be let in.
    #[must_use]
    pub fn needs(&self) -> Stops {
        Stops::new_unchecked(2.0 * (1.0 + self.magnification).log2())
    }

    /// What it does to the light on the film: less, or nothing.
    #[must_use]
    pub fn effect(&self) -> Stops {
        -self.needs()
    }

    /// The f-number that an engraved one amounts to, N(1 + m).
    #[must_use]
    pub fn effective(&self, f_number: f64) -> f64 {
        f_number * (1.0 + self.magnification)
    }
}
