//! A lesson's link as a code that another phone photographs (ISO/IEC 18004), as dark and light squares.
//!
//! # How fine it may be
//!
//! A phone's picture of a scene is taken to have 1920 pixels across 65 degrees, which is 1507 pixels for a width that is as far away
//! as it is wide, and a decoder to need three pixels a square: a square is read from 500 times its own side. In a room a code has four
//! fifths of the height of what is shown, and the last row sits six times that height away (common practice for rooms, no source).
//! That leaves 66 squares with the quiet ones around them: version 10. What is read from the back row is read in the hand as well.
//!
//! The model is one of this project; a test reads codes of every size near its limit, with a decoder that is not ours.
//!
//! ```
//! use learn::code::Code;
//! let code = Code::of("https://example.org/#lesson=1Stops;qe3mv;pp9").unwrap();
//! assert_eq!((code.version(), code.side()), (3, 29 + 2 * 4));
//! assert!(code.is_dark(4, 4), "the corner of its first mark");
//! ```

use core::fmt::Write as _;

use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};

/// Light squares on each side of a code, which belong to it: four in ISO/IEC 18004.
pub const QUIET: u32 = 4;

/// The largest of the 40 versions that is drawn: the last that is read from the back row.
pub const MOST: u8 = 10;

/// The most bytes that such a code holds, at the lowest level of correction (ISO/IEC 18004, table 7).
pub const BYTES: usize = 271;

/// What is said in place of a code that would be too fine.
///
/// ```
/// assert!(learn::code::left_out(300).starts_with("No code is drawn: the link has 300 letters"));
/// ```
#[must_use]
pub fn left_out(bytes: usize) -> String {
    format!(
        "No code is drawn: the link has {bytes} letters, and a code that is read from the back row has room for {BYTES}. \
         Hand the lesson on as a file or a link, or make two lessons of it."
    )
}

/// A code: a square of dark and light ones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Code {
    version: u8,
    /// Squares along a side, with the quiet ones around it.
    side: u32,
    /// Row by row.
    dark: Vec<bool>,
}

impl Code {
    /// The code of a text; none where it would be too fine ([`MOST`]).
    ///
    /// It is as coarse as it can be, and corrects as much as fits that size.
    #[must_use]
    pub fn of(text: &str) -> Option<Self> {
        let parts = QrSegment::make_segments(text);
        let (least, most) = (Version::MIN, Version::new(MOST));
        let (level, mask) = (QrCodeEcc::Low, None);
        let drawn =
            QrCode::encode_segments_advanced(&parts, level, least, most, mask, true).ok()?;
        let quiet = QUIET.cast_signed();
        let around = -quiet..drawn.size() + quiet;
        let row = |down: i32| around.clone().map(move |across| (across, down));
        let places = around.clone().flat_map(row);
        Some(Self {
            version: drawn.version().value(),
            side: drawn.size().unsigned_abs() + 2 * QUIET,
            dark: places
                .map(|(across, down)| drawn.get_module(across, down))
                .collect(),
        })
    }

    /// Which of the 40 sizes it is.
    #[must_use]
    pub const fn version(&self) -> u8 {
        self.version
    }

    /// Squares along a side, with the quiet ones around it.
    #[must_use]
    pub const fn side(&self) -> u32 {
        self.side
    }

    /// Whether a square is dark, counted from the corner of the quiet ones.
    #[must_use]
    pub fn is_dark(&self, across: u32, down: u32) -> bool {
        across < self.side && self.dark.get((down * self.side + across) as usize) == Some(&true)
    }

    /// Its dark squares as a path of SVG, a square to a unit: a bar for each run along a row.
    #[must_use]
    pub fn path(&self) -> String {
        let mut path = String::new();
        for down in 0..self.side {
            let mut run = 0;
            // The last one is quiet, and ends a run.
            for across in 0..self.side {
                if self.is_dark(across, down) {
                    run += 1;
                } else if run > 0 {
                    let from = across - run;
                    // OK because writing to a text does not fail.
                    let _ = write!(path, "M{from} {down}h{run}v1h-{run}z");
                    run = 0;
                }
            }
        }
        path
    }

    /// What is said of it: `A code of version 3, 29 squares wide.`
    #[must_use]
    pub fn said(&self) -> String {
        let (version, wide) = (self.version, self.side - 2 * QUIET);
        format!("A code of version {version} (of 40), {wide} squares wide.")
    }
}
