//! What stands between a reading and the film besides the device: filters, extension, what a lens holds back, what standard
//! marks leave over of a reading.

use exposure::{Stops, words};
use serde::Serialize;

use crate::{Error, text};

/// Most corrections that one reading keeps.
pub const MOST_CORRECTIONS: usize = 12;

/// Most that one correction may be, either way, in thousandths of a stop: 20 stops (judgement of this project).
pub const MOST_EFFECT: i32 = 20_000;

/// Most that all corrections of a reading may come to, either way, in thousandths of a stop: 60 stops, so that what a frame
/// amounts to stays within what can be calculated (judgement of this project).
pub const MOST_TOGETHER: i32 = 60_000;

/// Most characters that the name of a correction may have.
pub const LONGEST_CORRECTION_NAME: usize = 60;

/// What the name of a device's correction begins with.
const OF_DEVICE: &str = "Reading device: ";

/// What one thing between reading and film does to the light that reaches the film.
///
/// A filter of factor 8 is three stops less light: −3000. The settings then have to give that much more.
///
/// ```
/// use book::Correction;
/// use exposure::Stops;
/// let filter = Correction::new("Filter, factor 8", Stops::constant(-3.0))?;
/// assert_eq!(filter.thousandths, -3000);
/// assert_eq!(filter.words(), "Filter, factor 8: 3 stops less light");
/// # Ok::<(), book::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Correction {
    /// What it is, in the person's words or the program's; at most 60 characters.
    pub name: String,
    /// What it does, in thousandths of a stop, at most 20 stops either way; positive: **more light reaches the film** than
    /// the reading and the setting say.
    pub thousandths: i32,
}

impl Correction {
    /// Makes a correction; positive is more light on the film. The effect is kept to the nearest thousandth of a stop, which
    /// no film and no shutter can show.
    ///
    /// # Errors
    ///
    /// If the effect is beyond 20 stops either way, or the name longer than 60 characters.
    pub fn new(name: &str, effect: Stops) -> Result<Self, Error> {
        let made = Self {
            name: name.to_owned(),
            thousandths: text::thousandths(effect),
        };
        made.check().map(|()| made)
    }

    /// The correction of the reading device, as the dial counted it. A device that is named when the reading is logged takes
    /// its place: one device is not corrected twice.
    ///
    /// # Errors
    ///
    /// As for [`new`](Self::new).
    pub fn of_device(name: &str, effect: Stops) -> Result<Self, Error> {
        let room = LONGEST_CORRECTION_NAME - OF_DEVICE.len();
        let name: String = name.chars().take(room).collect();
        Self::new(&format!("{OF_DEVICE}{name}"), effect)
    }

    /// Whether it is that of the reading device.
    #[must_use]
    pub fn is_of_device(&self) -> bool {
        self.name.starts_with(OF_DEVICE)
    }

    /// What it does; positive is more light on the film.
    #[must_use]
    pub fn effect(&self) -> Stops {
        text::from_thousandths(self.thousandths.clamp(-MOST_EFFECT, MOST_EFFECT))
    }

    /// In words: `Filter, factor 8: 3 stops less light`. Where words are not exact, the hundredths follow: `2⅓ stops less light
    /// (2.32)`.
    #[must_use]
    pub fn words(&self) -> String {
        let name = if self.name.trim().is_empty() {
            "A correction"
        } else {
            self.name.trim()
        };
        format!("{name}: {}", self.effect_words())
    }

    pub(crate) fn effect_words(&self) -> String {
        words::difference(self.effect()) + &words::in_brackets(self.effect())
    }

    /// Whether it is one that records keep.
    fn check(&self) -> Result<(), Error> {
        if !(-MOST_EFFECT..=MOST_EFFECT).contains(&self.thousandths) {
            return Err(Error::new(
                "a correction between reading and film has to lie between 20 stops less light and 20 stops more light",
            ));
        }
        if self.name.chars().count() > LONGEST_CORRECTION_NAME {
            return Err(Error::new(format!(
                "the name of a correction has at most {LONGEST_CORRECTION_NAME} characters"
            )));
        }
        Ok(())
    }
}

/// Whether they are such as records keep.
pub(crate) fn check(corrections: &[Correction]) -> Result<(), Error> {
    if corrections.len() > MOST_CORRECTIONS {
        return Err(Error::new(format!(
            "a reading keeps at most {MOST_CORRECTIONS} corrections; put some of them together"
        )));
    }
    corrections.iter().try_for_each(Correction::check)?;
    let sum: i32 = corrections.iter().map(|one| one.thousandths).sum();
    if (-MOST_TOGETHER..=MOST_TOGETHER).contains(&sum) {
        Ok(())
    } else {
        Err(Error::new(
            "the corrections of a reading come to more than 60 stops together; check their figures",
        ))
    }
}

/// What they do together; what no record keeps is held at the end of the range.
pub(crate) fn together(corrections: &[Correction]) -> Stops {
    let sum = corrections
        .iter()
        .fold(0_i32, |sum, one| sum.saturating_add(one.thousandths));
    text::from_thousandths(sum.clamp(-MOST_TOGETHER, MOST_TOGETHER))
}
