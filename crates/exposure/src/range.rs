//! Every limit once: its name, ends and the words of its error.

use crate::Error;

/// A closed range of a quantity, with the words that tell a person about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// What is limited, lower case.
    pub what: &'static str,
    /// Smallest value that is taken.
    pub min: f64,
    /// Largest value that is taken.
    pub max: f64,
    /// The same limits in words.
    pub limits: &'static str,
}

impl Range {
    /// Returns `value` if it is finite and inside.
    ///
    /// # Errors
    ///
    /// A range error that names the quantity and both ends.
    pub fn check(&self, value: f64) -> Result<f64, Error> {
        if value >= self.min && value <= self.max {
            Ok(value)
        } else {
            Err(Error::range(format!(
                "{} has to lie between {}",
                self.what, self.limits
            )))
        }
    }

    /// Whether a value is inside.
    #[must_use]
    pub const fn contains(&self, value: f64) -> bool {
        value >= self.min && value <= self.max
    }
}

/// Shutter time in seconds.
pub const TIME: Range = Range {
    what: "a shutter time",
    min: 1.0 / 32_000.0,
    max: 86_400.0,
    limits: "1/32000 second and 24 hours",
};
/// Aperture as an f-number.
pub const APERTURE: Range = Range {
    what: "an aperture",
    min: 0.5,
    max: 512.0,
    limits: "f/0.5 and f/512",
};
/// Sensitivity as arithmetic ISO speed.
pub const SENSITIVITY: Range = Range {
    what: "a sensitivity",
    min: 0.1,
    max: 10_000_000.0,
    limits: "ISO 0.1 and ISO 10 000 000",
};
/// A difference in stops.
pub const STOPS: Range = Range {
    what: "a difference",
    min: -100.0,
    max: 100.0,
    limits: "100 stops less and 100 stops more",
};
/// An APEX level.
pub const LEVEL: Range = Range {
    what: "an exposure value",
    min: -100.0,
    max: 100.0,
    limits: "EV -100 and EV 100",
};
/// Focal length in millimetres.
pub const FOCAL: Range = Range {
    what: "a focal length",
    min: 1.0,
    max: 5000.0,
    limits: "1 mm and 5000 mm",
};
/// Marks on one scale.
pub const MARKS: Range = Range {
    what: "the number of marks on a scale",
    min: 1.0,
    max: 200.0,
    limits: "1 and 200",
};
/// Frames on one side of a bracket's base.
pub const SIDE: Range = Range {
    what: "the number of frames on one side",
    min: 0.0,
    max: 6.0,
    limits: "0 and 6",
};
