//! The live camera as a meter: the mean luminance of a frame, the time and sensitivity it was taken with, and one constant
//! that a reading which is known settles once.
//!
//! The aperture of such a camera is fixed, and so is whatever its picture processing adds in the middle tones: both go into
//! the constant. Where the browser does not report time and sensitivity the automatic exposure hides the level of the
//! light; then only parts of one frame compare with each other.

use exposure::{Doubt, Ev, Stops, range, words};

use crate::{
    Error, Found, Method,
    found::Known,
    method::WITHIN_A_FRAME,
    picture::{MIDDLE, Patch},
};

/// Time and sensitivity that a camera track says it uses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Track {
    seconds: f64,
    iso: f64,
}

impl Track {
    /// From what the browser reports: time in units of 100 µs (W3C, “Media Capture: Image”, `exposureTime`) and ISO.
    ///
    /// # Errors
    ///
    /// A sentence, if either is out of range: some browsers report nought.
    pub fn new(hundred_microseconds: f64, iso: f64) -> Result<Self, Error> {
        let hidden = |_| {
            Error::new(
                "The camera does not say with which time and sensitivity it sees; the light cannot be read from it.",
            )
        };
        Ok(Self {
            seconds: range::TIME
                .check(hundred_microseconds / 1e4)
                .map_err(hidden)?,
            iso: range::SENSITIVITY.check(iso).map_err(hidden)?,
        })
    }

    /// The light without the constant: log2(1 s / t) − log2(ISO / 100), and how much brighter than middle grey the frame is.
    fn raw(&self, patch: &Patch) -> Result<f64, Error> {
        let brighter = patch.from_middle()?;
        Ok(brighter.get() - self.seconds.log2() - (self.iso / 100.0).log2())
    }
}

/// The constant of one camera: the Av of its lens and what its processing adds; and how far it may be off, which is as far as
/// the reading was that settled it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibration {
    stops: f64,
    doubt: Option<Doubt>,
}

/// What stands before and after the constant, in thousandths of a stop, in its record of version 1 ...
const BEGINNING: &str =
    r#"{"format": "stopkeeper live camera", "version": 1, "constant_thousandths": "#;
const ENDING: &str = "}";
/// ... and of version 2, which says how far it may be off as well.
const BEGINNING_2: &str =
    r#"{"format": "stopkeeper live camera", "version": 2, "constant_thousandths": "#;
const BETWEEN: &str = r#", "give_or_take_thousandths": "#;

/// Lenses of such cameras lie around f/2, so Av 2; twelve stops either way hold any of them with a filter before it.
const LARGEST: f64 = 14.0;

impl Calibration {
    /// Settles the constant: this frame shows a light that is known, with its doubt where there is one.
    ///
    /// # Errors
    ///
    /// A sentence, if the frame says nothing, or so much that the known light cannot be right.
    pub fn new(
        track: &Track,
        patch: &Patch,
        known: Ev,
        doubt: Option<Doubt>,
    ) -> Result<Self, Error> {
        Self::from_stops(known.get() - track.raw(patch)?, doubt)
    }

    /// The constant as it was kept.
    ///
    /// # Errors
    ///
    /// A sentence, beyond 14 stops either way.
    pub fn from_stops(stops: f64, doubt: Option<Doubt>) -> Result<Self, Error> {
        if (-LARGEST..=LARGEST).contains(&stops) {
            Ok(Self { stops, doubt })
        } else {
            Err(Error::new(
                "The known reading and the camera are too far apart to be of the same light; take both again.",
            ))
        }
    }

    /// The constant in stops, to be kept.
    #[must_use]
    pub const fn stops(self) -> f64 {
        self.stops
    }

    /// How far it may be off; none where that was not kept.
    #[must_use]
    pub const fn doubt(self) -> Option<Doubt> {
        self.doubt
    }

    /// The record in which it is kept.
    #[must_use]
    pub fn record(self) -> String {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "14 000 thousandths at most"
        )]
        let thousandths = (self.stops * 1000.0).round() as i32;
        match self.doubt {
            Some(doubt) => {
                let doubt = doubt.thousandths();
                format!("{BEGINNING_2}{thousandths}{BETWEEN}{doubt}{ENDING}")
            }
            None => format!("{BEGINNING}{thousandths}{ENDING}"),
        }
    }

    /// Reads such a record; `None` for one that is damaged or of a newer version, which is not to be written over.
    #[must_use]
    pub fn from_record(text: &str) -> Option<Self> {
        let (constant, doubt) = match text.strip_prefix(BEGINNING_2) {
            Some(rest) => {
                let (constant, doubt) = rest.strip_suffix(ENDING)?.split_once(BETWEEN)?;
                let doubt = Doubt::of_thousandths(doubt.parse().ok()?)?;
                (constant, Some(doubt))
            }
            None => (text.strip_prefix(BEGINNING)?.strip_suffix(ENDING)?, None),
        };
        let thousandths: i32 = constant.parse().ok()?;
        Self::from_stops(f64::from(thousandths) / 1000.0, doubt).ok()
    }

    /// The light that a frame shows.
    ///
    /// ```
    /// use exposure::Ev;
    /// use readings::{live::{Calibration, Track}, picture::Patch};
    /// let grey = Patch { mean: 0.18, burnt: 0.0, black: 0.0 };
    /// let track = |hundred_microseconds| Track::new(hundred_microseconds, 100.0);
    /// let calibration = Calibration::new(&track(40.0)?, &grey, Ev::new(10.0)?, None)?;
    /// // Half the time for the same frame: twice the light.
    /// let found = calibration.found(&track(20.0)?, &grey)?;
    /// assert!((found.light().get() - 11.0).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// As for [`Patch::from_middle`].
    pub fn found(self, track: &Track, patch: &Patch) -> Result<Found, Error> {
        let light = Ev::new(track.raw(patch)? + self.stops)?;
        let caution = patch
            .caution()
            .map_or_else(String::new, |caution| format!(" {caution}"));
        let brighter = patch.from_middle()?;
        let set = match self.doubt {
            Some(doubt) => format!(
                "the reading that this camera was set against adds its own, {}",
                words::give_or_take(doubt)
            ),
            None => "how sure the reading was that this camera was set against was not kept: set it once more".to_owned(),
        };
        Found::of_light(
            light,
            Known {
                from: "live camera".to_owned(),
                method: Method::Live,
                doubt: self.doubt.map(|doubt| doubt.and(patch.doubt(brighter))),
                uncertainty: format!(
                    "About ½ stop if the frame is near middle grey, more where it is darker or brighter (an estimate); {set}.{caution}"
                ),
            },
        )
    }
}

/// How bright a part of a frame is, in stops from whatever this camera begins at: by its exposure, where the camera was told
/// one, and else beside the whole frame. None where it cannot be read.
#[must_use]
pub fn level(track: Option<&Track>, part: &Patch, whole: &Patch) -> Option<f64> {
    match track {
        Some(track) => track.raw(part).ok(),
        None => Some((part.from_middle().ok()? - whole.from_middle().ok()?).get()),
    }
}

/// **The rule of what is shown** of frames that are read again and again: one frame stays, with all that follows from it, until
/// the middle one of the last [`FRAMES`](Self::FRAMES) is more than [`BAND`](Self::BAND) away from it.
///
/// So a light that is constant but for noise of half a band never changes what is shown, and a step of more than a band and its
/// noise is shown with the third frame of it. Where most of the last frames cannot be read, one of those is shown.
///
/// ```
/// use readings::live::Steady;
/// let mut steady = Steady::new();
/// for level in [10.0, 10.1, 9.9, 11.0, 11.1] {
///     steady.see(Some(level), level);
/// }
/// assert_eq!(steady.shown(), Some(&10.0));
/// steady.see(Some(11.0), 11.0);
/// assert_eq!(steady.shown(), Some(&11.0));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Steady<T> {
    seen: Vec<(Option<f64>, T)>,
    shown: Option<(Option<f64>, T)>,
}

impl<T: Clone> Steady<T> {
    /// How many frames are looked back on.
    pub const FRAMES: usize = 5;
    /// How far the light may be from what is shown, in stops: less than a third, which is the step of most marks.
    pub const BAND: f64 = 0.25;

    /// Before the first frame.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            seen: Vec::new(),
            shown: None,
        }
    }

    /// Takes the next frame and how bright it is; whether another one is shown now.
    pub fn see(&mut self, level: Option<f64>, frame: T) -> bool {
        if self.seen.len() == Self::FRAMES {
            self.seen.remove(0);
        }
        self.seen.push((level, frame));
        let levels = || self.seen.iter().filter_map(|(level, _)| *level);
        let read = levels().count();
        let unread = self.seen.iter().rev().find(|(level, _)| level.is_none());
        let candidate = match unread {
            Some(unread) if read * 2 < self.seen.len() => unread,
            // As many lie below it as above, or one less.
            _ => {
                let is_middle = |(level, _): &&(Option<f64>, T)| {
                    level.is_some_and(|level| {
                        let below = levels().filter(|other| *other < level).count();
                        let alike = levels().filter(|other| *other <= level).count();
                        (below..alike).contains(&((read - 1) / 2))
                    })
                };
                match self.seen.iter().find(is_middle) {
                    Some(middle) => middle,
                    None => return false,
                }
            }
        };
        let stays = match (&self.shown, candidate.0) {
            (Some((Some(shown), _)), Some(now)) => (now - shown).abs() <= Self::BAND,
            (Some((None, _)), None) => true,
            _ => false,
        };
        if !stays {
            self.shown = Some(candidate.clone());
        }
        !stays
    }

    /// The frame that is shown.
    #[must_use]
    pub fn shown(&self) -> Option<&T> {
        self.shown.as_ref().map(|(_, frame)| frame)
    }
}

impl<T: Clone> Default for Steady<T> {
    fn default() -> Self {
        Self::new()
    }
}

/// How much brighter one part of a frame is than another, in words; the only thing that a frame says whose exposure is
/// not reported.
///
/// # Errors
///
/// As for [`Patch::from_middle`].
pub fn compared(part: &Patch, whole: &Patch) -> Result<String, Error> {
    let brighter = part.from_middle()? - whole.from_middle()?;
    Ok(if brighter.size() < Stops::SMALL {
        "As bright as the whole frame.".to_owned()
    } else {
        format!(
            "{} {} than the whole frame.",
            words::stops(brighter),
            if brighter.is_more() {
                "brighter"
            } else {
                "darker"
            }
        )
    })
}

/// The light of a part of a frame, where the light of the whole frame is known from another reading.
///
/// # Errors
///
/// As for [`Patch::from_middle`].
pub fn relative(part: &Patch, whole: &Patch, known: &Found) -> Result<Found, Error> {
    let brighter = part.from_middle()? - whole.from_middle()?;
    Found::of_light(
        Ev::new(known.light().get() + brighter.get())?,
        Known {
            from: format!("part of a camera's frame, beside {}", known.from),
            method: Method::Live,
            doubt: known.doubt.map(|doubt| doubt.and(WITHIN_A_FRAME)),
            uncertainty: "The camera does not say how it exposes, so this part was compared with the whole frame, which was read otherwise and may be off itself; processing bends such differences by up to a stop (an estimate).".to_owned(),
        },
    )
}

/// The time to ask the camera for next, so that the frame comes near middle grey, where it can be read best.
///
/// All times in units of 100 µs; `least` and `most` are what the camera can do. `None`: it is near enough, or the camera
/// cannot go further.
#[must_use]
pub fn next_time(now: f64, patch: &Patch, least: f64, most: f64) -> Option<f64> {
    // Half a stop from middle grey is near enough: processing bends little there (an estimate).
    const NEAR: f64 = 0.5;
    let sound = now > 0.0 && least > 0.0 && most >= least && now.is_finite() && most.is_finite();
    if !sound {
        return None;
    }
    // A burnt or black frame says only in which direction: four stops at once.
    let brighter = if patch.burnt > 0.9 {
        4.0
    } else if patch.black > 0.9 || patch.mean <= 0.0 {
        -4.0
    } else {
        (patch.mean / MIDDLE).log2().clamp(-4.0, 4.0)
    };
    if brighter.abs() <= NEAR {
        return None;
    }
    let wanted = (now * (-brighter).exp2()).clamp(least, most);
    ((wanted / now).log2().abs() > 0.05).then_some(wanted)
}
