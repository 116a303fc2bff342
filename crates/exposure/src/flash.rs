//! Flash by guide number, alone and as fill.
//!
//! f-number = guide number / distance; a guide number grows with the root of the speed, of the power and of the number of
//! equal flashes (sources: NAVEDTRA 14209, pp. 139 and 144; the rule for speeds is in print everywhere). It holds for a
//! flash at the camera in a room of ordinary size; in the open the same flash gives less light (common practice, no
//! source), which only a test frame tells.

pub use crate::range::{
    FLASH_DISTANCE as DISTANCE, FLASH_FILL as FILL, FLASH_POWER as POWER, FLASH_STEPS as STEPS,
    FLASHES, GUIDE_NUMBER,
};
use crate::{BracketStep, Error, ExposureIndex, Mark, Stops, power, range};

/// Metres of a foot, by definition.
pub const FOOT: f64 = 0.3048;

/// The unit of a guide number's distance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Metres.
    Metres,
    /// Feet.
    Feet,
}

impl Unit {
    /// Metres of one of it.
    #[must_use]
    pub const fn metres(self) -> f64 {
        match self {
            Self::Metres => 1.0,
            Self::Feet => FOOT,
        }
    }
}

/// The guide number of a flash, kept in metres at ISO 100.
///
/// ```
/// use exposure::{Control, ExposureIndex, Mark, Steps, flash::{Flash, Unit}};
/// let iso = |text| ExposureIndex::new(Mark::parse(Control::Sensitivity, text, Steps::Third)?);
/// // A camera's manual: guide number 20 in metres at ISO 100, subject at 5 m, f/4.
/// let flash = Flash::new(20.0, Unit::Metres, iso("100")?)?;
/// assert!((flash.f_number(5.0, iso("100")?)? - 4.0).abs() < 1e-9);
/// assert!((flash.guide_number(Unit::Metres, iso("200")?) - 28.284).abs() < 1e-3);
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flash {
    metres: f64,
}

/// The root of EI / 100.
fn root_of_speed(rated: ExposureIndex) -> f64 {
    power::of_two(rated.mark().place().get() / 2.0)
}

impl Flash {
    /// Takes a guide number as it is printed: with its unit, and the speed that it is for.
    ///
    /// # Errors
    ///
    /// Range error beyond [`GUIDE_NUMBER`].
    pub fn new(guide_number: f64, unit: Unit, at: ExposureIndex) -> Result<Self, Error> {
        let number = GUIDE_NUMBER.check(guide_number)?;
        Ok(Self {
            metres: number * unit.metres() / root_of_speed(at),
        })
    }

    /// From a test: the f-number of the best frame and the distance of the flash in metres, with the speed of the film.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::APERTURE`], [`DISTANCE`] or [`GUIDE_NUMBER`].
    pub fn tested(f_number: f64, distance: f64, at: ExposureIndex) -> Result<Self, Error> {
        range::APERTURE.check(f_number)?;
        DISTANCE.check(distance)?;
        Self::new(f_number * distance, Unit::Metres, at)
    }

    /// The same flash at a share of its full power.
    ///
    /// # Errors
    ///
    /// Range error beyond [`POWER`].
    pub fn at_power(self, share: f64) -> Result<Self, Error> {
        Ok(Self {
            metres: self.metres * POWER.check(share)?.sqrt(),
        })
    }

    /// So many equal flashes at the same distance, or as many of one flash with the shutter open.
    ///
    /// # Errors
    ///
    /// Range error beyond [`FLASHES`].
    pub fn times(self, flashes: f64) -> Result<Self, Error> {
        Ok(Self {
            metres: self.metres * FLASHES.check(flashes)?.sqrt(),
        })
    }

    /// The same flash through what stands before the film, where its light goes through as well: filters, a lens moved out for a
    /// near subject, glass. `effect` is what that does to the light on the film.
    ///
    /// ```
    /// use exposure::{Control, ExposureIndex, Mark, Steps, Stops, flash::{Flash, Unit}};
    /// let iso = ExposureIndex::new(Mark::parse(Control::Sensitivity, "100", Steps::Third)?)?;
    /// // A filter of factor 4 halves a guide number.
    /// let flash = Flash::new(20.0, Unit::Metres, iso)?.through(Stops::constant(-2.0));
    /// assert!((flash.guide_number(Unit::Metres, iso) - 10.0).abs() < 1e-9);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn through(self, effect: Stops) -> Self {
        Self {
            metres: self.metres * power::of_two(effect.get() / 2.0),
        }
    }

    /// The guide number for a speed.
    #[must_use]
    pub fn guide_number(&self, unit: Unit, rated: ExposureIndex) -> f64 {
        self.metres * root_of_speed(rated) / unit.metres()
    }

    /// The f-number for a distance in metres from the flash to the subject.
    ///
    /// # Errors
    ///
    /// Range error beyond [`DISTANCE`].
    pub fn f_number(&self, distance: f64, rated: ExposureIndex) -> Result<f64, Error> {
        Ok(self.guide_number(Unit::Metres, rated) / DISTANCE.check(distance)?)
    }

    /// The distance in metres at which an f-number is right.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::APERTURE`].
    pub fn distance(&self, f_number: f64, rated: ExposureIndex) -> Result<f64, Error> {
        Ok(self.guide_number(Unit::Metres, rated) / range::APERTURE.check(f_number)?)
    }

    /// From where to where in metres an f-number gets so much from the flash, more or less, as the film asks for.
    ///
    /// ```
    /// use exposure::{Control, ExposureIndex, Mark, Steps, Stops, flash::{Flash, Unit}};
    /// let iso = ExposureIndex::new(Mark::parse(Control::Sensitivity, "100", Steps::Third)?)?;
    /// // Light falls with the square of the distance: two stops are half of it, or twice.
    /// let [near, far] = Flash::new(20.0, Unit::Metres, iso)?.reach(4.0, Stops::constant(2.0), iso)?;
    /// assert!((near - 2.5).abs() < 1e-9 && (far - 10.0).abs() < 1e-9);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::APERTURE`].
    pub fn reach(
        &self,
        f_number: f64,
        within: Stops,
        rated: ExposureIndex,
    ) -> Result<[f64; 2], Error> {
        let right = self.distance(f_number, rated)?;
        let factor = power::of_two(within.get() / 2.0);
        Ok([right / factor, right * factor])
    }

    /// How much more light than the film asks for the flash gives at an f-number and a distance in metres.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::APERTURE`] or [`DISTANCE`].
    pub fn gives(
        &self,
        f_number: f64,
        distance: f64,
        rated: ExposureIndex,
    ) -> Result<Stops, Error> {
        range::APERTURE.check(f_number)?;
        Stops::new(2.0 * (self.f_number(distance, rated)? / f_number).log2())
    }

    /// As fill in daylight at an f-number: where the flash has to stand, or how far it has to be turned down, to stay so many
    /// stops below the daylight. `ambient` is what the daylight gives at this setting beyond what the film asks for.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::APERTURE`] or [`DISTANCE`], or for more than [`FILL`] below the daylight.
    pub fn fill(
        &self,
        f_number: f64,
        distance: f64,
        below: Stops,
        ambient: Stops,
        rated: ExposureIndex,
    ) -> Result<Fill, Error> {
        FILL.check(below.get())?;
        let wish = ambient - below;
        let gives = self.gives(f_number, distance, rated)?;
        Ok(Fill {
            wish,
            distance: self.distance(f_number, rated)? * power::of_two(-wish.get() / 2.0),
            power: power::of_two((wish - gives).get()),
            off: gives - wish,
        })
    }

    /// A series of frames by this flash, which stands for its full power, from the least light of the flash to the most.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::APERTURE`] or [`DISTANCE`], or for more than [`range::SIDE`] frames on a side.
    pub fn bracket(
        &self,
        powers: &Powers,
        series: &Series,
        rated: ExposureIndex,
    ) -> Result<Vec<Frame>, Error> {
        range::SIDE.check(f64::from(series.less))?;
        range::SIDE.check(f64::from(series.more))?;
        let mut frames: Vec<Frame> = Vec::new();
        for multiple in -i32::from(series.less)..=i32::from(series.more) {
            let wanted = Stops::new(f64::from(multiple) * series.step.stops().get())?;
            let wish = series.wish + wanted;
            let (share, distance) = match series.by {
                By::Power if multiple == 0 => (series.share, series.distance),
                By::Power => {
                    let full = self.gives(series.f_number, series.distance, rated)?;
                    let share = power::of_two((wish - full).get());
                    (powers.nearest(share).0, series.distance)
                }
                By::Distance => {
                    let right = self
                        .at_power(series.share)?
                        .distance(series.f_number, rated)?;
                    let distance = right * power::of_two(-wish.get() / 2.0);
                    (series.share, DISTANCE.check(distance)?)
                }
            };
            let flash = self
                .at_power(share)?
                .gives(series.f_number, distance, rated)?;
            let same = |frame: &Frame| {
                Stops::new_unchecked((frame.share / share).log2()).is_even()
                    && Stops::new_unchecked((frame.distance / distance).log2()).is_even()
            };
            frames.push(Frame {
                wanted,
                given: flash - series.wish,
                repeats: frames.iter().position(same),
                share,
                distance,
                flash,
            });
        }
        Ok(frames)
    }
}

/// Flash as fill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// What the flash is to give beyond what the film asks for: less, where the daylight is right.
    pub wish: Stops,
    /// Where the flash has to stand at full power, in metres from the subject.
    pub distance: f64,
    /// The share of the full power that does it from where the flash stands; above 1 the flash is too weak.
    pub power: f64,
    /// What full power from where the flash stands gives beyond the fill that was wished.
    pub off: Stops,
}

/// What two lights give together, each against what the film asks for: log2(2^a + 2^b).
///
/// ```
/// use exposure::{Stops, flash::together};
/// // Two equal lights are a stop more than one of them.
/// assert!((together(Stops::ZERO, Stops::ZERO).get() - 1.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn together(one: Stops, other: Stops) -> Stops {
    let (most, least) = if one > other {
        (one, other)
    } else {
        (other, one)
    };
    let beside = power::of_two((least - most).get());
    most + Stops::new_unchecked((1.0 + beside).log2())
}

/// The powers that a flash can really be set to, as shares of the full one, strongest first; never empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Powers(Vec<f64>);

impl Powers {
    /// Takes the shares of the full power, in any order.
    ///
    /// # Errors
    ///
    /// Range error for a share beyond [`POWER`], and for none or more than [`STEPS`].
    pub fn new(mut shares: Vec<f64>) -> Result<Self, Error> {
        #[expect(
            clippy::cast_precision_loss,
            reason = "more powers than a float counts are too many powers all the same"
        )]
        STEPS.check(shares.len() as f64)?;
        for share in &shares {
            POWER.check(*share)?;
        }
        shares.sort_by(|a, b| b.total_cmp(a));
        shares.dedup_by(|b, a| Stops::new_unchecked((*a / *b).log2()).is_even());
        Ok(Self(shares))
    }

    /// The usual steps, from full power down to 1/128, so many to a stop: 1, or 3 for thirds (common practice, no source).
    #[must_use]
    pub fn usual(to_a_stop: u8) -> Self {
        let parts = to_a_stop.clamp(1, 3);
        let step = |i: u8| power::of_two(-f64::from(i) / f64::from(parts));
        Self((0..=7 * parts).map(step).collect())
    }

    /// The shares, strongest first.
    #[must_use]
    pub fn shares(&self) -> &[f64] {
        &self.0
    }

    /// The power that comes nearest to a share, and what it gives beyond that. Of two that are equally near it is the stronger.
    ///
    /// ```
    /// use exposure::flash::Powers;
    /// let (share, rest) = Powers::usual(1).nearest(0.3);
    /// assert!((share - 0.25).abs() < 1e-12 && (rest.get() + 0.263).abs() < 0.001);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn nearest(&self, share: f64) -> (f64, Stops) {
        let rest = |step: f64| Stops::new_unchecked((step / share).log2());
        // OK because there is always one.
        let mut nearest = self.0[0];
        for step in &self.0 {
            if (rest(nearest).size() - rest(*step).size()).is_more() {
                nearest = *step;
            }
        }
        (nearest, rest(nearest))
    }
}

/// What changes from frame to frame in a series by flash.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum By {
    /// The power of the flash, in the steps that it has.
    Power,
    /// How far it stands from the subject.
    Distance,
}

/// A series of frames by flash as it is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Series {
    /// What changes.
    pub by: By,
    /// Frames with less light from the flash than the base, within [`range::SIDE`].
    pub less: u8,
    /// Frames with more light from the flash than the base, within [`range::SIDE`].
    pub more: u8,
    /// The step between them.
    pub step: BracketStep,
    /// The f-number of all frames.
    pub f_number: f64,
    /// Where the flash stands in the base, in metres.
    pub distance: f64,
    /// The power of the base, as a share of the full one.
    pub share: f64,
    /// What the flash is to give in the base beyond what the film asks for.
    pub wish: Stops,
}

/// One frame of a series by flash.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// What was wanted of the flash, beyond the base.
    pub wanted: Stops,
    /// What the flash gives beyond the base that was wanted.
    pub given: Stops,
    /// The power, as a share of the full one.
    pub share: f64,
    /// Where the flash stands, in metres.
    pub distance: f64,
    /// What the flash gives by itself beyond what the film asks for.
    pub flash: Stops,
    /// Place in the series (from 0) of an earlier frame with the same setting: this one adds nothing.
    pub repeats: Option<usize>,
}

/// What makes the light.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Source {
    /// An electronic flash: over within a thousandth of a second or so.
    Electronic,
    /// A bulb: slow to burn, bright for a fiftieth of a second or so.
    Bulb,
}

/// How the shutter lets a flash off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Contact {
    /// A leaf shutter on its X contact: when the blades are open.
    LeafX,
    /// A leaf shutter on its M contact: some time before, for bulbs.
    LeafM,
    /// A focal-plane shutter on its X contact, with the fastest time at which both curtains are out of the way.
    FocalPlane(Mark),
}

impl Contact {
    /// What is wrong with a time, in a sentence; none if nothing is.
    ///
    /// Sources: trade practice; the fixed figure for bulbs on X, 1/30, is common practice, from memory.
    #[must_use]
    pub fn caution(&self, time: &Mark, source: Source) -> Option<&'static str> {
        let faster_than = |limit: f64| time.place().get() < limit - Stops::NOISE.get();
        match (self, source) {
            (Self::LeafM, Source::Electronic) => Some(
                "M contacts fire before the blades open: an electronic flash gives no picture there. Take X.",
            ),
            (Self::FocalPlane(limit), Source::Electronic) => {
                faster_than(limit.place().get()).then_some(
                    "This time is faster than the shutter's flash time: the flash would reach only a part of the picture.",
                )
            }
            (Self::LeafX | Self::FocalPlane(_), Source::Bulb) => faster_than(-5.0).then_some(
                "A bulb burns too slowly for X contacts at this time: take 1/30 or slower, or M contacts where there are any.",
            ),
            (Self::LeafX, Source::Electronic) | (Self::LeafM, Source::Bulb) => None,
        }
    }
}
