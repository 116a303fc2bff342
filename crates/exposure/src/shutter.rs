//! Shutters as they really are: measured times, what a repairer lets pass, and leaf shutters at small stops.

pub use crate::range::{MEASUREMENTS, PICTURES, PICTURES_PER_SECOND as PER_SECOND};
use crate::{Control, Error, Mark, Steps, Stops, range};

/// How much more light a measured time gives than the mark stands for; none where nothing was measured, or for what is no
/// time.
///
/// **A shorter time than marked is less light.**
///
/// ```
/// use exposure::{Control, Mark, Steps, shutter};
/// // Worked case 10, the trap of the sign: marked 1 s, really 0.746 s.
/// let slow = Mark::parse(Control::Time, "1s", Steps::Full)?.measured_as(0.746)?;
/// assert!(shutter::error(&slow).is_some_and(|error| error.is_less()));
/// # Ok::<(), exposure::Error>(())
/// ```
#[must_use]
pub fn error(mark: &Mark) -> Option<Stops> {
    let measured = mark.measured()?;
    (mark.control() == Control::Time).then(|| Stops::new_unchecked((measured / asked(mark)).log2()))
}

/// What a mark stands for in seconds, whatever was measured.
fn asked(mark: &Mark) -> f64 {
    mark.nominal()
        .map_or(mark.engraved(), |at| crate::power::of_two(-at.level()))
}

/// How far a shutter may be off before somebody calls it out of order. No standard's figures are among them: those of ISO 516
/// are aims and were not found in print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tolerance {
    /// A repairer's: 20 % of the time up to 1/100, 30 % for faster ones (common practice).
    Repairer,
    /// A third of a stop, half a stop at the top speed (common practice, from memory).
    ThirdAndHalf,
}

impl Tolerance {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Repairer, Self::ThirdAndHalf];

    /// Plain name, for the middle of a sentence.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Repairer => "a repairer's 20 %, 30 % beyond 1/100",
            Self::ThirdAndHalf => "a third of a stop, half a stop at the top speed",
        }
    }

    /// The least and the most light that pass for a mark, relative to what it stands for.
    ///
    /// ```
    /// use exposure::{Control, Mark, Steps, shutter::Tolerance};
    /// let mark = Mark::parse(Control::Time, "1/100", Steps::Engraved)?;
    /// let [least, most] = Tolerance::Repairer.limits(&mark, false);
    /// assert!((least.get() + 0.3219).abs() < 1e-4 && (most.get() - 0.2630).abs() < 1e-4);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn limits(self, mark: &Mark, top_speed: bool) -> [Stops; 2] {
        match self {
            Self::Repairer => {
                // 1/125 of a newer scale is faster than 1/100.
                let share = if mark.engraved() >= 1.0 / 100.0 {
                    0.2
                } else {
                    0.3
                };
                [1.0 - share, 1.0 + share].map(|share: f64| Stops::new_unchecked(share.log2()))
            }
            Self::ThirdAndHalf => {
                let size = if top_speed { 0.5 } else { 1.0 / 3.0 };
                [-size, size].map(Stops::new_unchecked)
            }
        }
    }

    /// Whether a measured mark passes; none where nothing was measured.
    #[must_use]
    pub fn passes(self, mark: &Mark, top_speed: bool) -> Option<bool> {
        let error = error(mark)?;
        let [least, most] = self.limits(mark, top_speed);
        // What is exactly at the limit passes.
        Some(!(least - error).is_more() && !(error - most).is_more())
    }
}

/// Several measurements of one mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timings {
    /// The middle one, in seconds: one stray measurement does not move it.
    pub median: f64,
    /// The shortest, in seconds.
    pub shortest: f64,
    /// The longest, in seconds.
    pub longest: f64,
}

impl Timings {
    /// Takes measurements in seconds.
    ///
    /// ```
    /// use exposure::shutter::Timings;
    /// let found = Timings::of(&[1.0 / 52.0, 1.0 / 54.0, 1.0 / 53.0])?;
    /// assert!((found.median - 1.0 / 53.0).abs() < 1e-12);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Range error for no measurement or more than [`MEASUREMENTS`], or for one beyond [`range::TIME`].
    pub fn of(seconds: &[f64]) -> Result<Self, Error> {
        #[expect(
            clippy::cast_precision_loss,
            reason = "more than a float counts are too many all the same"
        )]
        MEASUREMENTS.check(seconds.len() as f64)?;
        let mut sorted = seconds.to_vec();
        for time in &sorted {
            range::TIME.check(*time)?;
        }
        sorted.sort_by(f64::total_cmp);
        let middle = sorted.len() / 2;
        // OK because there is at least one, and the middle of an even number has one before it.
        let median = if sorted.len() % 2 == 1 {
            sorted[middle]
        } else {
            (sorted[middle - 1] * sorted[middle]).sqrt()
        };
        Ok(Self {
            median,
            shortest: sorted[0],
            longest: sorted[sorted.len() - 1],
        })
    }

    /// From the shortest to the longest, in stops.
    #[must_use]
    pub fn spread(&self) -> Stops {
        Stops::new_unchecked((self.longest / self.shortest).log2())
    }
}

/// A shutter time counted in the pictures of a slow-motion video.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VideoTime {
    /// The time in seconds.
    pub seconds: f64,
    /// The shortest and the longest time that would look the same: one picture less and one more, for the shutter opens and
    /// closes somewhere between two pictures. None where even the shortest is nothing, so that nothing was measured.
    pub between: Option<[f64; 2]>,
}

impl VideoTime {
    /// Takes the number of pictures that show the shutter open (a half-lit one counts as a half) and the pictures per second
    /// at which the video was *recorded*, not at which it is played.
    ///
    /// ```
    /// use exposure::shutter::VideoTime;
    /// // 24 pictures at 240 per second are a tenth of a second, between 1/10.4 and 1/9.6.
    /// let found = VideoTime::new(24.0, 240.0)?;
    /// assert!((found.seconds - 0.1).abs() < 1e-12);
    /// assert!(found.between.is_some_and(|[least, _]| (least - 23.0 / 240.0).abs() < 1e-12));
    /// # Ok::<(), exposure::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Range error beyond [`PICTURES`] or [`PER_SECOND`], or if the time is beyond [`range::TIME`].
    pub fn new(pictures: f64, per_second: f64) -> Result<Self, Error> {
        PICTURES.check(pictures)?;
        PER_SECOND.check(per_second)?;
        let seconds = range::TIME.check(pictures / per_second)?;
        Ok(Self {
            seconds,
            between: (pictures > 1.0)
                .then(|| [pictures - 1.0, pictures + 1.0].map(|count| count / per_second)),
        })
    }
}

/// What a leaf shutter gives beyond its time at a small stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafAtSmallStop {
    /// More light on the film.
    pub effect: Stops,
    /// The speed of the table's row that was taken: 1/125, 1/250 or 1/500.
    pub row: Mark,
}

/// A leaf shutter's blades uncover a small stop at once and cover it last, so that at short times it gives more light than
/// its time says: from f/16 on a third of a stop at 1/125, two thirds at 1/250 and one stop at 1/500.
///
/// None for a wider stop than f/16 or a slower time than half way to 1/125. Times between the rows take the nearest row, and
/// faster ones the last, which is then the least that is to be expected.
///
/// Source: a trade guide of 1979, second hand (a public page); it is a rule for all leaf shutters, and a measured time at that
/// stop goes before it.
///
/// ```
/// use exposure::{Control, Mark, Steps, shutter};
/// let time = Mark::parse(Control::Time, "1/500", Steps::Full)?;
/// let stop = Mark::parse(Control::Aperture, "f/22", Steps::Full)?;
/// let leaf = shutter::leaf_at_small_stop(&time, &stop).unwrap();
/// assert!((leaf.effect.get() - 1.0).abs() < 1e-12);
/// # Ok::<(), exposure::Error>(())
/// ```
#[must_use]
pub fn leaf_at_small_stop(time: &Mark, aperture: &Mark) -> Option<LeafAtSmallStop> {
    let (tv, av) = (time.tv()?.get(), aperture.av()?.get());
    if av < 8.0 - Stops::SMALL.get() {
        return None;
    }
    let (figure, effect) = match tv {
        tv if tv < 6.5 => return None,
        tv if tv < 7.5 => (1.0 / 125.0, 1.0 / 3.0),
        tv if tv < 8.5 => (1.0 / 250.0, 2.0 / 3.0),
        _ => (1.0 / 500.0, 1.0),
    };
    Some(LeafAtSmallStop {
        effect: Stops::new_unchecked(effect),
        row: Mark::new(Control::Time, figure, Steps::Full).ok()?,
    })
}
