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
/// Time counted by hand on B in seconds: below half a second a hand is slower than the count (common practice, no source), and
/// beyond an hour no film's figures for long times reach (judgement of this project).
pub const BY_HAND: Range = Range {
    what: "a time counted by hand on B",
    min: 0.5,
    max: 3600.0,
    limits: "half a second and an hour",
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
/// How far something may be off either way, in stops.
pub const DOUBT: Range = Range {
    what: "how far a reading may be off",
    min: 0.0,
    max: 10.0,
    limits: "nothing and 10 stops",
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
/// Longest metered time in seconds for which a film needs no longer time.
pub const LONG_THRESHOLD: Range = Range {
    what: "the time up to which nothing is needed",
    min: 0.001,
    max: 3600.0,
    limits: "1/1000 second and 1 hour",
};
/// Exponent of the metered time in reciprocity failure.
pub const LONG_EXPONENT: Range = Range {
    what: "the exponent of long times",
    min: 1.0,
    max: 2.0,
    limits: "1 and 2",
};
/// Schwarzschild's exponent.
pub const SCHWARZSCHILD: Range = Range {
    what: "the Schwarzschild exponent",
    min: 0.5,
    max: 1.0,
    limits: "0.5 and 1",
};
/// Share of the time that is added in reciprocity failure, in seconds at one second.
pub const LONG_SHARE: Range = Range {
    what: "the share that is added",
    min: 0.0,
    max: 10.0,
    limits: "0 and 10",
};
/// Exponent of what is added.
pub const LONG_ADDED_EXPONENT: Range = Range {
    what: "the exponent of what is added",
    min: 1.0,
    max: 3.0,
    limits: "1 and 3",
};
/// Rows of a table of long times.
pub const LONG_ROWS: Range = Range {
    what: "the number of rows of the table",
    min: 1.0,
    max: 30.0,
    limits: "1 and 30",
};
/// Focus distance in millimetres.
pub const FOCUS: Range = Range {
    what: "a focus distance",
    min: 5.0,
    max: 10_000_000.0,
    limits: "5 mm and 10 km; beyond, say infinity",
};
/// Circle of confusion in millimetres.
pub const CIRCLE: Range = Range {
    what: "a circle of confusion",
    min: 0.001,
    max: 1.0,
    limits: "0.001 mm and 1 mm",
};
