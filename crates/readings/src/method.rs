//! How far a reading may be off by the way it was found. Where no source is named the figure is common practice or an estimate
//! of this project, and its sentence says so.

use exposure::{Doubt, Stops};

/// By which kind of way a light was found: what is wrong with one reading may be wrong with every other by the same way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// A meter or a camera that shows figures, or states EV, cd/m² or lx.
    Meter,
    /// A digital photo: its metadata, or a place in it.
    Photo,
    /// The live camera.
    Live,
    /// A table of scenes.
    Table,
    /// Sun and moon from place and time.
    Sky,
    /// One that was taken before, of which only the doubt is known.
    Taken,
}

impl Method {
    /// What no agreement takes away from a reading that is off by so much: what all readings by this way have in common.
    pub(crate) fn floor(self, own: Doubt) -> Doubt {
        let shared = match self {
            Self::Meter => METER,
            Self::Photo => DIGITAL,
            Self::Live => MIDDLE_TONES,
            Self::Table => TABLE,
            Self::Sky => SKY,
            Self::Taken => own,
        };
        shared.min(own)
    }

    /// Whether what is wrong with one may be wrong with the other.
    pub(crate) fn shares_with(self, other: Self) -> bool {
        self == other || self == Self::Taken || other == Self::Taken
    }

    /// The method of what is made of both.
    pub(crate) fn with(self, other: Self) -> Self {
        if self == other { self } else { Self::Taken }
    }
}

/// A meter in good order (common practice, no source).
pub(crate) const METER: Doubt = Doubt::constant(1.0 / 3.0);
/// Digital sensitivities against film meters (common practice, no source).
pub(crate) const DIGITAL: Doubt = Doubt::constant(0.5);
/// What a camera favours in a picture: the sky, a face, the highlights (an estimate).
pub(crate) const FAVOURED: Doubt = Doubt::constant(0.5);
/// How the middle tones are rendered by a camera's processing (an estimate).
pub(crate) const MIDDLE_TONES: Doubt = Doubt::constant(0.5);
/// How a tone is judged, or a card is held: half a zone (an estimate).
pub(crate) const TONE: Doubt = Doubt::constant(0.5);
/// Differences within one frame whose exposure is not known (an estimate).
pub(crate) const WITHIN_A_FRAME: Doubt = Doubt::constant(1.0);
/// What a table knows of a day (an estimate).
pub(crate) const TABLE: Doubt = Doubt::constant(1.0);
/// Twice or half at an instant (IES, *Recommended Practice for the Calculation of Daylight Availability*, 1984, quoted in
/// public).
pub(crate) const SKY: Doubt = Doubt::constant(1.0);
/// The same near the horizon and at night (an estimate).
pub(crate) const LOW_SKY: Doubt = Doubt::constant(2.0);
/// A camera's brightness value against its settings: the largest difference in the published test files of
/// `tests/data/photos.csv`.
pub(crate) const BRIGHTNESS: Doubt = Doubt::constant(1.36);

/// Half a step of the marks that a device shows: arithmetic.
pub(crate) const fn marks(halves: bool) -> Doubt {
    if halves {
        Doubt::constant(0.25)
    } else {
        Doubt::constant(1.0 / 6.0)
    }
}

/// How a camera's processing bends tones: as in the middle up to half a stop from it, and a quarter of a stop more for each
/// stop beyond (an estimate).
pub(crate) fn processing(from_middle: Stops) -> Doubt {
    let beyond = (from_middle.size().get() - 0.5).max(0.0);
    MIDDLE_TONES.reaching(MIDDLE_TONES.half_width() + stops(beyond / 4.0))
}

/// A difference that is in range, and else the largest there is.
pub(crate) fn stops(difference: f64) -> Stops {
    Stops::new(difference).unwrap_or(Stops::constant(100.0))
}
