//! The standard series: which engraved numbers stand for which exact value.
//!
//! Positions are whole twelfths of a stop, so that full, half, third and quarter stops are exact and compare exactly.
//!
//! Sources: the full-stop times are those of the Exif 2.2 specification; third- and half-stop series are common practice
//! (public copies list them), as is the list of film speeds (ISO 6, Table 1, was not seen). The DIN pairs confirm the
//! positions of the speeds.

use crate::{Control, Steps, Stops};

/// A position on the exact lattice: so many twelfths of a stop of the control's own level (Tv, Av, or Sv − 5).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Twelfths(i32);

impl Twelfths {
    /// The number of twelfths.
    #[must_use]
    pub const fn get(self) -> i32 {
        self.0
    }

    /// The level in stops.
    #[must_use]
    pub fn level(self) -> f64 {
        f64::from(self.0) / 12.0
    }

    /// Whether it is a whole stop.
    #[must_use]
    pub const fn is_full_stop(self) -> bool {
        self.0 % 12 == 0
    }
}

/// A row of a series: the engraved number (reciprocal seconds, seconds, f-number or ISO) and its position.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row {
    /// Seconds, f-number or ISO as engraved.
    pub(crate) number: f64,
    /// Twelfths of Tv, Av or Sv − 5.
    pub(crate) at: Twelfths,
    /// Whether a scale of this series carries this figure (else it is only understood when typed).
    pub(crate) engraved: bool,
}

const fn row(number: f64, twelfths: i32) -> Row {
    Row {
        number,
        at: Twelfths(twelfths),
        engraved: true,
    }
}

const fn part(reciprocal: f64, twelfths: i32) -> Row {
    row(1.0 / reciprocal, twelfths)
}

const fn also(row: Row) -> Row {
    Row {
        engraved: false,
        ..row
    }
}

const FULL_TIMES: &[Row] = &[
    row(240.0, -96),
    row(120.0, -84),
    row(60.0, -72),
    row(30.0, -60),
    row(15.0, -48),
    row(8.0, -36),
    row(4.0, -24),
    row(2.0, -12),
    row(1.0, 0),
    part(2.0, 12),
    part(4.0, 24),
    part(8.0, 36),
    part(15.0, 48),
    part(30.0, 60),
    part(60.0, 72),
    part(125.0, 84),
    part(250.0, 96),
    part(500.0, 108),
    part(1000.0, 120),
    part(2000.0, 132),
    part(4000.0, 144),
    part(8000.0, 156),
];

const HALF_TIMES: &[Row] = &[
    row(45.0, -66),
    row(20.0, -54),
    also(row(23.0, -54)),
    row(10.0, -42),
    also(row(11.0, -42)),
    row(6.0, -30),
    row(3.0, -18),
    row(1.5, -6),
    part(1.5, 6),
    also(row(0.7, 6)),
    part(3.0, 18),
    also(row(0.3, 18)),
    part(6.0, 30),
    part(10.0, 42),
    also(part(11.0, 42)),
    part(20.0, 54),
    also(part(23.0, 54)),
    part(45.0, 66),
    part(90.0, 78),
    part(180.0, 90),
    part(350.0, 102),
    part(750.0, 114),
    part(1500.0, 126),
    part(3000.0, 138),
    part(6000.0, 150),
];

const THIRD_TIMES: &[Row] = &[
    row(25.0, -56),
    row(20.0, -52),
    row(13.0, -44),
    row(10.0, -40),
    row(6.0, -32),
    row(5.0, -28),
    row(3.2, -20),
    also(row(3.0, -20)),
    row(2.5, -16),
    row(1.6, -8),
    row(1.3, -4),
    part(1.3, 4),
    also(row(0.8, 4)),
    part(1.6, 8),
    also(row(0.6, 8)),
    part(2.5, 16),
    part(3.0, 20),
    also(row(0.3, 20)),
    part(5.0, 28),
    part(6.0, 32),
    part(10.0, 40),
    part(13.0, 44),
    part(20.0, 52),
    part(25.0, 56),
    part(40.0, 64),
    part(50.0, 68),
    part(80.0, 76),
    part(100.0, 80),
    part(160.0, 88),
    part(200.0, 92),
    part(320.0, 100),
    part(400.0, 104),
    part(640.0, 112),
    part(800.0, 116),
    part(1250.0, 124),
    part(1600.0, 128),
    part(2500.0, 136),
    part(3200.0, 140),
    part(5000.0, 148),
    part(6400.0, 152),
];

const FULL_APERTURES: &[Row] = &[
    row(0.7, -12),
    row(1.0, 0),
    row(1.4, 12),
    row(2.0, 24),
    row(2.8, 36),
    row(4.0, 48),
    row(5.6, 60),
    row(8.0, 72),
    row(11.0, 84),
    row(16.0, 96),
    row(22.0, 108),
    row(32.0, 120),
    row(45.0, 132),
    row(64.0, 144),
    row(90.0, 156),
    row(128.0, 168),
];

const HALF_APERTURES: &[Row] = &[
    row(0.84, -6),
    row(1.2, 6),
    row(1.7, 18),
    row(2.4, 30),
    row(3.3, 42),
    row(4.8, 54),
    row(6.7, 66),
    row(9.5, 78),
    row(13.0, 90),
    row(19.0, 102),
    row(27.0, 114),
    row(38.0, 126),
    row(54.0, 138),
];

const THIRD_APERTURES: &[Row] = &[
    row(0.8, -8),
    row(0.9, -4),
    row(1.1, 4),
    row(1.2, 8),
    row(1.6, 16),
    row(1.8, 20),
    row(2.2, 28),
    row(2.5, 32),
    row(3.2, 40),
    row(3.5, 44),
    row(4.5, 52),
    row(5.0, 56),
    row(6.3, 64),
    row(7.1, 68),
    row(9.0, 76),
    row(10.0, 80),
    row(13.0, 88),
    row(14.0, 92),
    row(18.0, 100),
    row(20.0, 104),
    row(25.0, 112),
    row(29.0, 116),
    row(36.0, 124),
    row(40.0, 128),
    row(51.0, 136),
    row(57.0, 140),
];

/// Film speeds; the same whatever the device steps in, for no other list is in use.
const SPEEDS: &[Row] = &[
    row(0.8, -84),
    row(1.0, -80),
    row(1.2, -76),
    row(1.6, -72),
    row(2.0, -68),
    row(2.5, -64),
    row(3.0, -60),
    row(4.0, -56),
    row(5.0, -52),
    row(6.0, -48),
    row(8.0, -44),
    row(10.0, -40),
    row(12.0, -36),
    row(16.0, -32),
    row(20.0, -28),
    row(25.0, -24),
    row(32.0, -20),
    row(40.0, -16),
    row(50.0, -12),
    row(64.0, -8),
    row(80.0, -4),
    row(100.0, 0),
    row(125.0, 4),
    row(160.0, 8),
    row(200.0, 12),
    row(250.0, 16),
    row(320.0, 20),
    row(400.0, 24),
    row(500.0, 28),
    row(640.0, 32),
    row(800.0, 36),
    row(1000.0, 40),
    row(1250.0, 44),
    row(1600.0, 48),
    row(2000.0, 52),
    row(2500.0, 56),
    row(3200.0, 60),
    row(4000.0, 64),
    row(5000.0, 68),
    row(6400.0, 72),
    row(8000.0, 76),
    row(10000.0, 80),
    row(12800.0, 84),
    also(row(12500.0, 84)),
    also(row(16000.0, 88)),
    also(row(20000.0, 92)),
    also(row(25600.0, 96)),
    also(row(51200.0, 108)),
    also(row(102_400.0, 120)),
];

/// The tables that a scale of these steps is made of.
pub(crate) const fn tables(control: Control, steps: Steps) -> [&'static [Row]; 2] {
    match (control, steps) {
        (Control::Sensitivity, _) => [SPEEDS, &[]],
        (_, Steps::Engraved) => [&[], &[]],
        (Control::Time, Steps::Full) => [FULL_TIMES, &[]],
        (Control::Time, Steps::Half) => [FULL_TIMES, HALF_TIMES],
        (Control::Time, Steps::Third) => [FULL_TIMES, THIRD_TIMES],
        (Control::Aperture, Steps::Full) => [FULL_APERTURES, &[]],
        (Control::Aperture, Steps::Half) => [FULL_APERTURES, HALF_APERTURES],
        (Control::Aperture, Steps::Third) => [FULL_APERTURES, THIRD_APERTURES],
    }
}

/// Whether two engraved numbers are the same figure: 1/3 typed as 0.333 is not, 0.1 and 1/10 are.
pub(crate) fn same_figure(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

/// The exact position that an engraved number stands for in a series, if it belongs to it.
pub(crate) fn position(control: Control, number: f64, steps: Steps) -> Option<Twelfths> {
    tables(control, steps)
        .into_iter()
        .flatten()
        .find(|row| same_figure(row.number, number))
        .map(|row| row.at)
}

/// The figure that is engraved for a level (Tv, Av, or Sv − 5) on the third- or half-stop series, within a difference.
pub(crate) fn engraved_near(control: Control, level: f64, within: Stops) -> Option<f64> {
    tables(control, Steps::Third)
        .into_iter()
        .chain([tables(control, Steps::Half)[1]])
        .flatten()
        .find(|row| (row.at.level() - level).abs() < within.get())
        .map(|row| row.number)
}

/// Whether an engraved number stands for different values in halves and in thirds, so that a device has to be asked.
///
/// `number` is in seconds, as an f-number or as ISO.
///
/// ```
/// use exposure::{Control, two_meanings};
/// assert!(two_meanings(Control::Time, 1.0 / 20.0));
/// assert!(two_meanings(Control::Aperture, 13.0));
/// assert!(!two_meanings(Control::Aperture, 8.0));
/// ```
#[must_use]
pub fn two_meanings(control: Control, number: f64) -> bool {
    match (
        position(control, number, Steps::Half),
        position(control, number, Steps::Third),
    ) {
        (Some(half), Some(third)) => half != third,
        _ => false,
    }
}
