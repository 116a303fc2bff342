//! How much more light one frame got than another, measured from their scans.
//!
//! Only relative, and only as if the scans were plain sRGB: any response that is scaled explains the same pictures if the exposures
//! are scaled too (M. D. Grossberg and S. K. Nayar, 2003, from memory). Codes below 40 are left out, for there the black floor of
//! the scanner rules; a film scanned with one setting then gives 1.02 to 1.13 stops for each one, a camera's picture 1.22 to 1.36.

use exposure::{Stops, tone, words};

use crate::{
    Grid,
    register::{Scene, Shift},
    stats,
};

/// The codes that exposure is measured from (of this project; forced by measured brackets).
pub const CODES: core::ops::RangeInclusive<u8> = 40..=235;
/// The least share of pixels that have to be left.
pub const LEAST_SHARE: f64 = 0.01;

/// How much brighter the second picture is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relative {
    /// Median in stops; positive is brighter.
    pub stops: f64,
    /// Lower and upper quartile in stops.
    pub quartiles: (f64, f64),
    /// Share of the pixels that it was measured from.
    pub share: f64,
}

impl Relative {
    /// In words: `1.0 stop brighter (half of it between 0.9 and 1.1), as if the scan were plain sRGB`.
    #[must_use]
    pub fn words(&self) -> String {
        let (low, high) = self.quartiles;
        let side = if self.stops < 0.0 {
            "darker"
        } else {
            "brighter"
        };
        // The spread has the direction of the whole, unless it reaches over.
        let (near, far) = if self.stops < 0.0 {
            (-high, -low)
        } else {
            (low, high)
        };
        format!(
            "{} {side} (half of the picture between {} and {}), as if the scan were plain sRGB",
            tenths(self.stops),
            signed(near),
            words::decimal(far.abs(), 1)
        )
    }
}

fn signed(tenths: f64) -> String {
    if tenths < -0.05 {
        format!("{} the other way", words::decimal(-tenths, 1))
    } else {
        words::decimal(tenths.max(0.0), 1)
    }
}

/// A size in tenths of a stop: `less than 0.1 stop`, `0.1 stop`, `1 stop`, `1.4 stops`.
#[must_use]
pub fn tenths(stops: f64) -> String {
    if stops.abs() < 0.05 {
        return "less than 0.1 stop".to_owned();
    }
    let said = words::decimal(stops.abs(), 1);
    let many = stops.abs() >= 1.05;
    format!("{said} stop{}", if many { "s" } else { "" })
}

/// By how much the second of two series of codes, place by place, is brighter; none where too few are within the codes that
/// count.
///
/// ```
/// let relative = scans::pair::of_codes(&[60, 85, 118, 162], &[85, 118, 162, 221]).unwrap();
/// assert!((relative.stops - 0.9984).abs() < 0.0001);
/// ```
#[must_use]
pub fn of_codes(a: &[u8], b: &[u8]) -> Option<Relative> {
    of_pairs(
        a.iter().copied().zip(b.iter().copied()),
        a.len().min(b.len()),
    )
}

fn of_pairs(pairs: impl Iterator<Item = (u8, u8)>, all: usize) -> Option<Relative> {
    let stops = |code: u8| tone::light(f64::from(code)).log2();
    let table: [f64; 256] =
        core::array::from_fn(|code| stops(u8::try_from(code).unwrap_or(u8::MAX)));
    let ratios = pairs
        .filter(|(a, b)| CODES.contains(a) && CODES.contains(b))
        .map(|(a, b)| table[usize::from(b)] - table[usize::from(a)]);
    let ratios = stats::rising(ratios);
    #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
    let share = ratios.len() as f64 / all.max(1) as f64;
    if share < LEAST_SHARE {
        return None;
    }
    let at = |share| stats::percentile(&ratios, share);
    Some(Relative {
        stops: at(0.5)?,
        quartiles: (at(0.25)?, at(0.75)?),
        share,
    })
}

/// By how much the second picture is brighter where both show the same, moved by a shift from the first to the second. None where
/// one stands upright and the other lies, they overlap by less than a quarter, or too few pixels are within the codes that count.
#[must_use]
pub fn moved(a: &Grid, b: &Grid, across: i32, down: i32) -> Option<Relative> {
    let ((width, height), (other_width, other_height)) = (a.size(), b.size());
    if a.is_turned(b) {
        return None;
    }
    let (ax, bx, columns) = overlap(width, other_width, across)?;
    let (ay, by, rows) = overlap(height, other_height, down)?;
    if 4 * columns * rows < width * height {
        return None;
    }
    let pairs = (0..rows).flat_map(|y| {
        (0..columns).map(move |x| {
            (
                a.codes()[(ay + y) * width + ax + x],
                b.codes()[(by + y) * other_width + bx + x],
            )
        })
    });
    of_pairs(pairs, columns * rows)
}

/// Where two sides overlap, the second moved by so much: where that begins in each, and how long it is.
pub(crate) fn overlap(length: usize, other: usize, by: i32) -> Option<(usize, usize, usize)> {
    let size = usize::try_from(by.unsigned_abs()).ok()?;
    let (here, there) = if by < 0 { (size, 0) } else { (0, size) };
    let left = length.checked_sub(here)?.min(other.checked_sub(there)?);
    (left > 0).then_some((here, there, left))
}

/// By how much the second picture is brighter, after registration; none where it is not sure that both show the same, or too few
/// pixels count.
#[must_use]
pub fn relative(a: &Grid, b: &Grid, shift: Option<Shift>) -> Option<Relative> {
    let shift = shift.filter(|shift| shift.scene() == Scene::Same)?;
    moved(a, b, shift.across, shift.down)
}

/// A relative exposure as a difference; none beyond what pictures can hold.
#[must_use]
pub fn stops(relative: &Relative) -> Option<Stops> {
    Stops::new(relative.stops).ok()
}
