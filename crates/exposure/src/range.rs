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
/// Range of the reflected-light constant K, cd/m².
pub const REFLECTED_CONSTANT: Range = Range {
    what: "the constant K",
    min: 5.0,
    max: 25.0,
    limits: "5 and 25 cd/m²",
};
/// Range of the incident-light constant C, lx.
pub const INCIDENT_CONSTANT: Range = Range {
    what: "the constant C",
    min: 100.0,
    max: 700.0,
    limits: "100 and 700 lx",
};
/// Range of a filter factor.
pub const FILTER_FACTOR: Range = Range {
    what: "a filter factor",
    min: 1.0,
    max: 1_000_000.0,
    limits: "1 and 1 000 000",
};
/// Range of a filter's loss in stops.
pub const FILTER_LOSS: Range = Range {
    what: "what a filter takes",
    min: 0.0,
    max: 20.0,
    limits: "0 and 20 stops",
};
/// Range of a filter's density.
pub const FILTER_DENSITY: Range = Range {
    what: "a filter's density",
    min: 0.0,
    max: 6.0,
    limits: "0 and 6",
};
/// Range of a magnification.
pub const MAGNIFICATION: Range = Range {
    what: "a magnification",
    min: 0.0,
    max: 50.0,
    limits: "0 and 50",
};
/// Range of a distance from the lens to the film, mm.
pub const TO_FILM: Range = Range {
    what: "the distance from the lens to the film",
    min: 1.0,
    max: 20_000.0,
    limits: "1 mm and 20 m",
};
/// Range of what a lens is drawn out beyond infinity focus, mm.
pub const DRAWN_OUT: Range = Range {
    what: "what the lens is drawn out",
    min: 0.0,
    max: 20_000.0,
    limits: "0 mm and 20 m",
};
/// Range of the share that a lens lets pass, per cent.
pub const LENS_PER_CENT: Range = Range {
    what: "what a lens lets pass",
    min: 1.0,
    max: 100.0,
    limits: "1 and 100 %",
};
/// Range of the number of stops at which a T-number is given.
pub const LENS_STOPS: Range = Range {
    what: "the number of T-numbers of a lens",
    min: 1.0,
    max: 20.0,
    limits: "1 and 20",
};
/// Range of the pictures per second that a video was recorded with.
pub const PICTURES_PER_SECOND: Range = Range {
    what: "the pictures per second of a video",
    min: 1.0,
    max: 100_000.0,
    limits: "1 and 100 000",
};
/// Range of the pictures in which a shutter is seen open.
pub const PICTURES: Range = Range {
    what: "the pictures that show the shutter open",
    min: 0.5,
    max: 1_000_000.0,
    limits: "a half and 1 000 000",
};
/// Range of the number of measurements of one mark.
pub const MEASUREMENTS: Range = Range {
    what: "the number of measurements",
    min: 1.0,
    max: 100.0,
    limits: "1 and 100",
};
/// Range of a guide number, in metres or feet.
pub const GUIDE_NUMBER: Range = Range {
    what: "a guide number",
    min: 0.1,
    max: 3000.0,
    limits: "0.1 and 3000",
};
/// Range of a distance from the flash to the subject, m.
pub const FLASH_DISTANCE: Range = Range {
    what: "the distance of a flash",
    min: 0.01,
    max: 1000.0,
    limits: "1 cm and 1000 m",
};
/// Range of the number of equal flashes.
pub const FLASHES: Range = Range {
    what: "the number of flashes",
    min: 1.0,
    max: 100.0,
    limits: "1 and 100",
};
/// Range of the share of the full power.
pub const FLASH_POWER: Range = Range {
    what: "the share of the full power",
    min: 1.0 / 1024.0,
    max: 1.0,
    limits: "1/1024 and 1",
};
/// Range of how far fill stays below the daylight, stops.
pub const FLASH_FILL: Range = Range {
    what: "how far fill stays below the daylight",
    min: 0.0,
    max: 6.0,
    limits: "0 and 6 stops",
};
/// Range of how many powers a flash has.
pub const FLASH_STEPS: Range = Range {
    what: "the number of powers of a flash",
    min: 1.0,
    max: 40.0,
    limits: "1 and 40",
};
