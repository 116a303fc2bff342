//! What stands between a reading and the film besides the device: filters, extension, what a lens holds back, what standard
//! marks leave over of a reading.

use exposure::{Control, Effect, Mark, Steps, Stops, words};
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

/// Longest text of what a correction belongs to, in bytes.
const LONGEST_AT: usize = 400;

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
    /// What it belongs to, where it is not the same at every setting: `leaf shutter`, a time (`1/250`: the thousandths count at
    /// that time alone), or apertures with the thousandths of each (`f/2 -333 f/4 0`, straight lines between).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
}

const LEAF: &str = "leaf shutter";

fn effect_at(at: &str, thousandths: i32) -> Option<Effect> {
    let mark = |control, text| Mark::parse(control, text, Steps::Full).ok();
    // What is beyond is no effect that records keep, and is not cut to one.
    let held = |thousandths: i32| {
        (-MOST_EFFECT..=MOST_EFFECT)
            .contains(&thousandths)
            .then(|| text::from_thousandths(thousandths))
    };
    if at == LEAF {
        return Some(Effect::Leaf);
    }
    if !at.starts_with("f/") {
        return Some(Effect::AtTime(mark(Control::Time, at)?, held(thousandths)?));
    }
    let words: Vec<&str> = at.split(' ').collect();
    let rows = words.chunks(2).map(|row| match row {
        [stop, effect] => Some((mark(Control::Aperture, stop)?, held(effect.parse().ok()?)?)),
        _ => None,
    });
    rows.collect::<Option<Vec<_>>>().map(Effect::ByStop)
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
            at: None,
        };
        made.check().map(|()| made)
    }

    /// The same for one that may belong to a time or a stop, and is asked anew for each frame.
    ///
    /// ```
    /// use book::Correction;
    /// use exposure::Effect;
    /// let leaf = Correction::by("Leaf shutter at small stops", &Effect::Leaf)?;
    /// assert_eq!(leaf.words(), "Leaf shutter at small stops: more light at short times and small stops");
    /// # Ok::<(), book::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// As for [`new`](Self::new).
    pub fn by(name: &str, effect: &Effect) -> Result<Self, Error> {
        let (at, thousandths) = match effect {
            Effect::Fixed(effect) => return Self::new(name, *effect),
            Effect::Leaf => (LEAF.to_owned(), 0),
            Effect::AtTime(mark, effect) => (words::value(mark), text::thousandths(*effect)),
            Effect::ByStop(rows) => {
                let row = |(mark, effect): &(Mark, Stops)| {
                    format!("{} {}", words::value(mark), text::thousandths(*effect))
                };
                (rows.iter().map(row).collect::<Vec<_>>().join(" "), 0)
            }
        };
        let made = Self {
            name: name.to_owned(),
            thousandths,
            at: Some(at),
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

    /// What it does wherever it belongs; positive is more light on the film.
    #[must_use]
    pub fn effect(&self) -> Stops {
        text::from_thousandths(self.thousandths.clamp(-MOST_EFFECT, MOST_EFFECT))
    }

    /// What it does at each setting.
    #[must_use]
    pub fn by_setting(&self) -> Effect {
        let at = self.at.as_deref();
        // OK to fall back: no record is taken with one that cannot be read.
        at.and_then(|at| effect_at(at, self.thousandths))
            .unwrap_or(Effect::Fixed(self.effect()))
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
        let one = |effect: Stops| words::difference(effect) + &words::in_brackets(effect);
        let row =
            |(mark, effect): &(Mark, Stops)| format!("{} at {}", one(*effect), words::value(mark));
        match self.by_setting() {
            Effect::Fixed(effect) => one(effect),
            Effect::Leaf => "more light at short times and small stops".to_owned(),
            Effect::AtTime(mark, effect) => row(&(mark, effect)),
            Effect::ByStop(rows) => rows.iter().map(row).collect::<Vec<_>>().join(", "),
        }
    }

    /// Whether it is one that records keep.
    fn check(&self) -> Result<(), Error> {
        if !(-MOST_EFFECT..=MOST_EFFECT).contains(&self.thousandths) {
            return Err(Error::new(
                "a correction between reading and film has to lie between 20 stops less light and 20 stops more light",
            ));
        }
        let readable = self
            .at
            .as_deref()
            .is_none_or(|at| at.len() <= LONGEST_AT && effect_at(at, self.thousandths).is_some());
        if !readable {
            return Err(Error::new(
                "a correction between reading and film belongs to a time, to apertures or to leaf shutters",
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

/// What those do together that are the same at every setting; what no record keeps is held at the end of the range.
pub(crate) fn together(corrections: &[Correction]) -> Stops {
    let sum = corrections
        .iter()
        .filter(|one| one.at.is_none())
        .fold(0_i32, |sum, one| sum.saturating_add(one.thousandths));
    text::from_thousandths(sum.clamp(-MOST_TOGETHER, MOST_TOGETHER))
}
