//! What corrections do to the light on the film, as functions of the setting.

use crate::{
    Choice, Control, Error, ExposureIndex, Mark, Place, Prefer, Reading, Scale, Stops, power,
    series, shutter,
};

/// What a correction does to the light on the film; positive is more light.
///
/// A filter takes the same at every setting. A leaf shutter, a measured time and a lens's loss do not: they belong to a time
/// or a stop, and are asked anew for each pair, each frame and each mark.
///
/// ```
/// use exposure::{Control, Effect, Mark, Steps, Stops};
/// let mark = |control, text| Mark::parse(control, text, Steps::Full);
/// let slow = Effect::AtTime(mark(Control::Time, "1/250")?, Stops::constant(0.64));
/// let stop = mark(Control::Aperture, "8")?;
/// assert!((slow.at(&mark(Control::Time, "1/250")?, &stop).get() - 0.64).abs() < 1e-12);
/// assert!(slow.at(&mark(Control::Time, "1/125")?, &stop).is_even());
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// The same at every setting.
    Fixed(Stops),
    /// A leaf shutter at small stops, by [`shutter::leaf_at_small_stop`].
    Leaf,
    /// Only at the time with this figure: what the shutter gives there beyond its mark.
    AtTime(Mark, Stops),
    /// By aperture, such as what a lens holds back wide open. Between two apertures along a straight line over stops, beyond
    /// the first and the last as there.
    ByStop(Vec<(Mark, Stops)>),
}

impl Effect {
    /// What it does at a time and an aperture.
    #[must_use]
    pub fn at(&self, time: &Mark, aperture: &Mark) -> Stops {
        match self {
            Self::Fixed(effect) => *effect,
            Self::Leaf => {
                shutter::leaf_at_small_stop(time, aperture).map_or(Stops::ZERO, |leaf| leaf.effect)
            }
            Self::AtTime(mark, effect) => {
                // A time counted by hand is not the shutter's, whatever its figure.
                let same = series::same_figure(mark.engraved(), time.engraved());
                if same && !time.by_hand() {
                    *effect
                } else {
                    Stops::ZERO
                }
            }
            Self::ByStop(rows) => by_stop(rows, aperture),
        }
    }

    /// The effect where it is the same at every setting.
    #[must_use]
    pub const fn fixed(&self) -> Option<Stops> {
        match self {
            Self::Fixed(effect) => Some(*effect),
            _ => None,
        }
    }

    /// The most that it takes or gives at any setting.
    #[must_use]
    pub fn most(&self) -> Stops {
        match self {
            Self::Fixed(effect) | Self::AtTime(_, effect) => effect.size(),
            Self::Leaf => Stops::constant(1.0),
            Self::ByStop(rows) => {
                let most = |most: f64, row: &(Mark, Stops)| row.1.get().abs().max(most);
                Stops::new_unchecked(rows.iter().fold(0.0, most))
            }
        }
    }
}

fn by_stop(rows: &[(Mark, Stops)], aperture: &Mark) -> Stops {
    // The rows in any order: the nearest on either side count.
    let place = aperture.place().get();
    let (mut below, mut above) = (None::<(f64, f64)>, None::<(f64, f64)>);
    for (mark, effect) in rows {
        let row = (mark.place().get(), effect.get());
        if row.0 <= place && below.is_none_or(|found| row.0 > found.0) {
            below = Some(row);
        }
        if row.0 >= place && above.is_none_or(|found| row.0 < found.0) {
            above = Some(row);
        }
    }
    Stops::new_unchecked(match (below, above) {
        (Some(a), Some(b)) if b.0 > a.0 => a.1 + (b.1 - a.1) * (place - a.0) / (b.0 - a.0),
        (Some(row), _) | (_, Some(row)) => row.1,
        (None, None) => 0.0,
    })
}

/// How often a setting whose correction depends on it is looked at again: on a ring without clicks each look comes nearer.
const LOOKS: usize = 12;

/// What a reading asks for once everything between it and the film is counted: **the one place where a setting is compared
/// with the light.**
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    reading: &'a Reading,
    effects: &'a [Effect],
}

impl<'a> From<&'a Reading> for Asked<'a> {
    fn from(reading: &'a Reading) -> Self {
        Self::new(reading, &[])
    }
}

impl<'a> Asked<'a> {
    /// A reading with the corrections that count.
    #[must_use]
    pub const fn new(reading: &'a Reading, effects: &'a [Effect]) -> Self {
        Self { reading, effects }
    }

    /// What the corrections do together at a setting.
    #[must_use]
    pub fn effect(&self, time: &Mark, aperture: &Mark) -> Stops {
        self.effects
            .iter()
            .map(|effect| effect.at(time, aperture))
            .sum()
    }

    /// The sensitivity that was read with.
    pub(crate) const fn sensitivity(&self) -> &Mark {
        self.reading.mark(Control::Sensitivity)
    }

    /// Whether the corrections are the same at every setting.
    pub(crate) fn is_fixed(&self) -> bool {
        self.effects.iter().all(|effect| effect.fixed().is_some())
    }

    /// How much more light than asked for is given by a time and an aperture at a rating.
    #[must_use]
    pub fn difference(&self, set: &[Mark; 3]) -> Stops {
        self.reading.difference(set) + self.effect(&set[0], &set[1])
    }

    /// The sum of places that is asked for at a setting: what it does there is already given.
    pub(crate) fn sum(&self, time: &Mark, aperture: &Mark) -> f64 {
        self.reading.sum() - self.effect(time, aperture).get()
    }

    /// The mark of a scale that comes nearest with the other two where they are, for so much light beyond what is asked for.
    #[must_use]
    pub fn choose(
        &self,
        scale: &Scale,
        mut marks: [Mark; 3],
        extra: Stops,
        prefer: Prefer,
    ) -> Choice {
        let i = scale.control().index();
        // From the other two alone, so that where the control stood leaves no trace, not even in the last digit.
        let others = marks[(i + 1) % 3].place().get() + marks[(i + 2) % 3].place().get();
        let choose = |marks: &[Mark; 3]| {
            let wanted = self.sum(&marks[0], &marks[1]) + extra.get() - others;
            scale.choose(Place::new_unchecked(wanted), prefer)
        };
        let mut best = choose(&marks);
        if i == Control::Sensitivity.index() || self.is_fixed() {
            return best;
        }
        // What a correction does depends on the mark itself: each is tried, and what would be chosen by what is true there.
        let mut found = None;
        for mark in scale.marks() {
            let mut candidate = *mark;
            for _ in 0..LOOKS {
                marks[i] = candidate;
                let choice = choose(&marks);
                let residual = self.difference(&marks) - extra;
                let judged = prefer.judge(residual);
                if found.is_none_or(|found| judged.beats(found)) {
                    found = Some(judged);
                    let end = choice.end.filter(|_| choice.mark == candidate);
                    best = Choice {
                        mark: candidate,
                        residual,
                        end,
                    };
                }
                if choice.mark.relative_to(&candidate).is_even() {
                    break;
                }
                candidate = choice.mark;
            }
        }
        best
    }

    /// The time in seconds that an aperture and a rating ask for, to the last digit; a correction that belongs to a time
    /// counts as at `near`.
    #[must_use]
    pub fn time_for(&self, near: &Mark, aperture: &Mark, rating: &Mark) -> f64 {
        power::of_two(self.sum(near, aperture) - aperture.place().get() - rating.place().get())
    }

    /// The EI that a time and an aperture amount to in this light: `ISO · 2^(EV_set − EV_reading)`, corrections counted.
    ///
    /// # Errors
    ///
    /// Range error if the EI is beyond any film speed.
    pub fn amounts_to(&self, time: &Mark, aperture: &Mark) -> Result<ExposureIndex, Error> {
        let place =
            Place::new(self.sum(time, aperture) - time.place().get() - aperture.place().get())?;
        ExposureIndex::new(Mark::amounting_to(place))
    }
}
