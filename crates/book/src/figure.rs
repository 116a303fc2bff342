//! Settings and speeds as records keep them: the engraved figure as text, never an index or a computed number.

use exposure::{BoxSpeed, Control, ExposureIndex, Mark, Steps, words};
use serde::Serialize;

use crate::{Error, text};

const HALVES: &str = " in halves";
const ENGRAVED: &str = " as engraved";
const MEASURED: &str = ", measured ";
const BY_HAND: &str = ", by hand";

/// The figure of a number: as the trade writes it where that reads back as the same, else with all its decimals.
fn label(control: Control, number: f64) -> Option<String> {
    let mark = Mark::new(control, number, Steps::Engraved).ok()?;
    let short = words::value(&mark);
    let same = Mark::parse(control, &short, Steps::Engraved)
        .is_ok_and(|read| (read.engraved() - number).abs() < 1e-10 * number);
    if same {
        // A bare decimal (0.746) gets its unit, for a record is read without a page around it.
        let bare = control == Control::Time && short.ends_with(|c: char| c.is_ascii_digit());
        return Some(if bare && !short.contains('/') {
            format!("{short}s")
        } else {
            short
        });
    }
    let exact = text::exact(number);
    Some(match control {
        Control::Time => format!("{exact}s"),
        Control::Aperture => format!("f/{exact}"),
        Control::Sensitivity => format!("ISO {exact}"),
    })
}

/// A mark as one text: figure, how it is read where that is not in full or third stops, what was measured, by hand.
fn print(mark: &Mark) -> String {
    written(mark, true)
}

/// The same, with or without how the figure is read.
fn written(mark: &Mark, how_read: bool) -> String {
    let control = mark.control();
    // OK to fall back on the words: a mark's own figure is always in range, so the label exists.
    let mut out = label(control, mark.engraved()).unwrap_or_else(|| words::value(mark));
    let read_as = |steps| {
        Mark::parse(control, &out, steps).is_ok_and(|read| read.nominal() == mark.nominal())
    };
    // What is counted by hand is in seconds, not in a series.
    let steps = if !how_read || mark.by_hand() || read_as(Steps::Third) {
        ""
    } else if mark.nominal().is_some() && read_as(Steps::Half) {
        HALVES
    } else {
        ENGRAVED
    };
    out.push_str(steps);
    if let Some(measured) = mark.measured().and_then(|number| label(control, number)) {
        out.push_str(MEASURED);
        out.push_str(&measured);
    }
    if mark.by_hand() {
        out.push_str(BY_HAND);
    }
    out
}

fn parse(control: Control, text: &str) -> Result<Mark, Error> {
    let (text, by_hand) = text
        .strip_suffix(BY_HAND)
        .map_or((text, false), |rest| (rest, true));
    let (text, measured) = text
        .split_once(MEASURED)
        .map_or((text, None), |(rest, measured)| (rest, Some(measured)));
    let (text, steps) = if let Some(rest) = text.strip_suffix(HALVES) {
        (rest, Steps::Half)
    } else if let Some(rest) = text.strip_suffix(ENGRAVED) {
        (rest, Steps::Engraved)
    } else {
        (text, Steps::Third)
    };
    let mut mark = Mark::parse(control, text, steps)?;
    if let Some(measured) = measured {
        mark = mark.measured_as(words::parse_number(control, measured)?)?;
    }
    if by_hand {
        mark = mark.timed_by_hand();
    }
    Ok(mark)
}

/// Whether the text of a record says more than a figure: how it is read, what was measured, or that it is counted by hand.
pub(crate) fn says_how(text: &str) -> bool {
    [HALVES, ENGRAVED, MEASURED, BY_HAND]
        .iter()
        .any(|words| text.contains(words))
}

macro_rules! figure {
    ($(#[$doc:meta])* $name:ident, $control:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
        #[serde(into = "String")]
        pub struct $name(Mark);

        impl $name {
            /// Takes a mark as records keep it: a position between marks is kept to nine decimals.
            ///
            /// # Errors
            ///
            /// If the mark belongs to another control.
            pub fn new(mark: Mark) -> Result<Self, Error> {
                if mark.control() == $control {
                    Self::parse(&print(&mark))
                } else {
                    Err(Error::new(format!("a {} is needed here", words::noun($control))))
                }
            }

            /// Reads the text of a record, or a figure as people type it.
            ///
            /// # Errors
            ///
            /// If the text was not understood or is out of range.
            pub fn parse(text: &str) -> Result<Self, Error> {
                parse($control, text).map(Self)
            }

            /// The text of a record.
            #[must_use]
            pub fn text(self) -> String {
                print(&self.0)
            }

            /// The mark, to calculate with.
            #[must_use]
            pub const fn mark(self) -> Mark {
                self.0
            }

            /// The figure as the trade writes it.
            #[must_use]
            pub fn shown(self) -> String {
                words::value(&self.0)
            }

            /// As it stands in a list: the figure, with what was measured and whether it is counted by hand, and without how
            /// the figure is read.
            #[must_use]
            pub fn listed(self) -> String {
                written(&self.0, false)
            }

            /// As it stands in a list beside others: how the figure is read is said only where another one of them has the
            /// same figure and means something else.
            #[must_use]
            pub fn listed_among(self, others: &[Self]) -> String {
                let listed = self.listed();
                let engraved = self.0.engraved();
                // Looked at by numbers first: a log holds hundreds of them, and hardly any two are alike.
                let two_meanings = others.iter().any(|other| {
                    (other.0.engraved() - engraved).abs() < 1e-5 * engraved
                        && !other.0.relative_to(&self.0).is_even()
                        && other.listed() == listed
                });
                if two_meanings { self.text() } else { listed }
            }
        }

        impl From<$name> for String {
            fn from(value: $name) -> Self {
                value.text()
            }
        }
    };
}

figure!(
    /// A shutter time, written `1/60`, `1/100 as engraved`, `1/250, measured 1/160`, `4s, by hand`. Unit: seconds.
    ///
    /// ```
    /// use book::Time;
    /// assert_eq!(Time::parse("1/250, measured 1/160")?.text(), "1/250, measured 1/160");
    /// # Ok::<(), book::Error>(())
    /// ```
    Time,
    Control::Time
);
figure!(
    /// An aperture, written `f/8`, `f/9.5 in halves`, `f/12.5 as engraved`. An f-number.
    Aperture,
    Control::Aperture
);
figure!(
    /// A speed, written `ISO 400`: a box speed, a rating or the sensitivity of a device, as its place says. Arithmetic ISO.
    Speed,
    Control::Sensitivity
);

impl Speed {
    /// In the role of a box speed.
    ///
    /// # Panics
    ///
    /// Never: a speed is a mark of the sensitivity scale.
    #[must_use]
    pub fn as_box(self) -> BoxSpeed {
        BoxSpeed::new(self.0).expect("a speed is a mark of the sensitivity scale")
    }

    /// In the role of a rating.
    ///
    /// # Panics
    ///
    /// Never: a speed is a mark of the sensitivity scale.
    #[must_use]
    pub fn as_rating(self) -> ExposureIndex {
        ExposureIndex::new(self.0).expect("a speed is a mark of the sensitivity scale")
    }

    /// As a rating, in words: `EI 100`.
    #[must_use]
    pub fn rating_words(self) -> String {
        words::ei(&self.0)
    }
}
