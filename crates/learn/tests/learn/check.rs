//! Checks that all tables share. Every failure says what was asked, what came, what was expected, and how far apart they are.

use core::fmt::Display;

use exposure::{Control, Mark, Steps};

/// Equal within `tolerance`: absolute.
#[track_caller]
pub(crate) fn close(what: impl Display, actual: f64, expected: f64, tolerance: f64) {
    let difference = actual - expected;
    assert!(
        difference.abs() <= tolerance,
        "{what}: got {actual}, expected {expected}, difference {difference:e}, allowed {tolerance:e}"
    );
}

/// Equal within a share of the expected value.
#[track_caller]
pub(crate) fn close_relative(what: impl Display, actual: f64, expected: f64, tolerance: f64) {
    let difference = actual / expected - 1.0;
    assert!(
        difference.abs() <= tolerance,
        "{what}: got {actual}, expected {expected}, relative difference {difference:e}, allowed {tolerance:e}"
    );
}

/// A mark of a device that steps in thirds.
#[track_caller]
pub(crate) fn mark(control: Control, text: &str) -> Mark {
    Mark::parse(control, text, Steps::Third).unwrap_or_else(|error| panic!("“{text}”: {error}"))
}

/// A setting of three marks.
#[track_caller]
pub(crate) fn set(time: &str, aperture: &str, speed: &str) -> [Mark; 3] {
    [
        mark(Control::Time, time),
        mark(Control::Aperture, aperture),
        mark(Control::Sensitivity, speed),
    ]
}
