//! Published tables that stand beside what is computed, unchanged, with their source.

use crate::effects::Length;

/// Who says so.
pub const NAVY: &str = "a navy manual of 1993";

/// Where it stands: public domain, read in a copy whose layout had run together; the figures fit it without remainder.
pub const NAVY_SOURCE: &str = "US Navy, NAVEDTRA 14209 (1993), table 4-2";

/// How a subject moves, as the manual has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Heading {
    /// Across the picture.
    Across,
    /// At half a right angle.
    Diagonal,
    /// Towards the camera or away from it.
    Towards,
}

impl Heading {
    /// All of them, in the order of the table's cells.
    pub const ALL: [Self; 3] = [Self::Across, Self::Diagonal, Self::Towards];

    /// Angle between motion and axis of the lens, in degrees.
    #[must_use]
    pub const fn angle(self) -> f64 {
        match self {
            Self::Across => 90.0,
            Self::Diagonal => 45.0,
            Self::Towards => 0.0,
        }
    }
}

/// A row of the manual's table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NavyRow {
    /// Miles an hour.
    pub mph: f64,
    /// The manual's words for it.
    pub subjects: &'static str,
    /// One over the time, for each of [`FEET`] and each [`Heading`].
    pub cells: [[Option<f64>; 3]; 5],
}

/// Distances of the columns, in feet.
pub const FEET: [f64; 5] = [12.0, 25.0, 50.0, 100.0, 200.0];

/// Metres a second of a mile an hour.
pub const MILE_AN_HOUR: f64 = 0.447_04;

/// Millimetres of a foot.
pub const FOOT: f64 = 304.8;

const fn cell(across: f64, diagonal: f64, towards: f64) -> [Option<f64>; 3] {
    [Some(across), Some(diagonal), Some(towards)]
}

const NONE: [Option<f64>; 3] = [None; 3];

/// The times that stop a motion with a lens of normal focal length.
pub const NAVY_TABLE: [NavyRow; 4] = [
    NavyRow {
        mph: 5.0,
        subjects: "slow walk, handwork",
        cells: [
            cell(500.0, 250.0, 125.0),
            cell(250.0, 125.0, 60.0),
            cell(125.0, 60.0, 30.0),
            cell(60.0, 30.0, 15.0),
            NONE,
        ],
    },
    NavyRow {
        mph: 10.0,
        subjects: "fast walk, slow vehicles",
        cells: [
            cell(1000.0, 500.0, 250.0),
            cell(500.0, 250.0, 125.0),
            cell(250.0, 125.0, 60.0),
            cell(125.0, 60.0, 30.0),
            NONE,
        ],
    },
    NavyRow {
        mph: 25.0,
        subjects: "running, sport, moderate vehicles",
        cells: [
            cell(2000.0, 1000.0, 500.0),
            cell(1000.0, 500.0, 250.0),
            cell(500.0, 250.0, 125.0),
            cell(250.0, 125.0, 60.0),
            NONE,
        ],
    },
    NavyRow {
        mph: 100.0,
        subjects: "very fast vehicles, aircraft",
        cells: [
            NONE,
            [None, Some(2000.0), Some(1000.0)],
            cell(2000.0, 1000.0, 500.0),
            cell(1000.0, 500.0, 250.0),
            cell(500.0, 250.0, 125.0),
        ],
    },
];

/// What the manual asks for: a printed cell, or its rule where the lens is no normal one or the distance no printed one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// One over the time, as printed on the scale of full stops.
    pub under_one: f64,
    /// The column that was taken, in feet.
    pub feet: f64,
    /// The row that was taken.
    pub row: &'static NavyRow,
    /// Whole stops that the rule adds to the cell for a longer lens or a nearer subject; negative for the contrary.
    pub by_rule: i32,
}

/// Full stops of time from one second on, as the table prints them.
const TIMES: [f64; 14] = [
    1.0, 2.0, 4.0, 8.0, 15.0, 30.0, 60.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0,
];

/// A difference below a tenth of a stop is none to a rule that counts in doublings: 12 ft are half of 25.
const ALIKE: f64 = 0.1;

/// What the manual asks for of a subject in one of its rows.
///
/// The printed column nearest to the distance is taken; the manual's own rule does the rest: the speed doubles when the distance is
/// halved or the focal length doubled, and in doubt the next faster one is taken. `times_normal` is the focal length over the
/// normal one. None where the row has no cell, or the rule leads beyond 1/8000 or to a second and more.
///
/// ```
/// use scenes::published::{Heading, NAVY_TABLE, navy};
/// let walk = navy(&NAVY_TABLE[0], Heading::Across, 7620.0, 1.0).unwrap();
/// assert_eq!((walk.under_one, walk.feet, walk.by_rule), (250.0, 25.0, 0));
/// // Twice the focal length: twice as fast.
/// assert_eq!(navy(&NAVY_TABLE[0], Heading::Across, 7620.0, 2.0).unwrap().under_one, 500.0);
/// ```
#[must_use]
pub fn navy(
    row: &'static NavyRow,
    heading: Heading,
    distance: f64,
    times_normal: f64,
) -> Option<Asked> {
    let heading = Heading::ALL.iter().position(|of| *of == heading)?;
    let (feet, printed, apart) = FEET
        .iter()
        .zip(&row.cells)
        .filter_map(|(feet, cell)| {
            let apart = (feet * FOOT / distance).log2();
            Some((*feet, cell[heading]?, apart))
        })
        .min_by(|a, b| a.2.abs().total_cmp(&b.2.abs()))?;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a few doublings between a foot and a mile"
    )]
    let by_rule = (apart + times_normal.log2() - ALIKE)
        .ceil()
        .clamp(-20.0, 20.0) as i32;
    let at = TIMES.iter().position(|time| (time - printed).abs() < 0.5)?;
    let at = usize::try_from(i32::try_from(at).ok()? + by_rule).ok()?;
    let under_one = *TIMES.get(at).filter(|_| at > 0)?;
    Some(Asked {
        under_one,
        feet,
        row,
        by_rule,
    })
}

/// The blur that the manual's figures amount to across the picture with a lens of 50 mm: about twice the usual circle of
/// confusion (arithmetic; the manual names none).
#[must_use]
pub fn navy_allows(format: &exposure::Format) -> [Length; 2] {
    [0.059, 0.077].map(|mm| Length::new(mm * format.diagonal() / 43.266_6, format))
}
