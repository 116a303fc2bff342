//! Flash by guide number, alone and as fill.
//!
//! f-number = guide number / distance; a guide number grows with the root of the speed, of the power and of the number of
//! equal flashes (sources: NAVEDTRA 14209, pp. 139 and 144; the rule for speeds is in print everywhere). It holds for a
//! flash at the camera in a room of ordinary size; in the open the same flash gives less light (common practice, no
//! source), which only a test frame tells.

use crate::{Error, ExposureIndex, Mark, Stops, power, range, range::Range};

/// Range of a guide number, in metres or feet.
pub const GUIDE_NUMBER: Range = Range {
    what: "a guide number",
    min: 0.1,
    max: 3000.0,
    limits: "0.1 and 3000",
};
/// Range of a distance from the flash to the subject, m.
pub const DISTANCE: Range = Range {
    what: "the distance of a flash",
    min: 0.01,
    max: 1000.0,
    limits: "1 cm and 1000 m",
};
/// Range of the number of equal flashes.
pub const FLASHES: Range = Range {
    what: "the number of flashes",
    min: 1.0,
    max: 100.0,
    limits: "1 and 100",
};
/// Range of the share of the full power.
pub const POWER: Range = Range {
    what: "the share of the full power",
    min: 1.0 / 1024.0,
    max: 1.0,
    limits: "1/1024 and 1",
};

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

    /// As fill in daylight that is right at an f-number: where the flash has to stand, or how far it has to be turned down, to
    /// stay so many stops below the daylight.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::APERTURE`] or [`DISTANCE`], or for more than [`FILL`] below the daylight.
    pub fn fill(
        &self,
        f_number: f64,
        distance: f64,
        below: Stops,
        rated: ExposureIndex,
    ) -> Result<Fill, Error> {
        FILL.check(below.get())?;
        let gives = self.gives(f_number, distance, rated)?;
        let stand = self.distance(f_number, rated)? * power::of_two(below.get() / 2.0);
        Ok(Fill {
            distance: stand,
            power: power::of_two((-below - gives).get()),
            off: gives + below,
            together: Stops::new_unchecked((1.0 + power::of_two(-below.get())).log2()),
        })
    }
}

/// Range of how far fill stays below the daylight, stops.
pub const FILL: Range = Range {
    what: "how far fill stays below the daylight",
    min: 0.0,
    max: 6.0,
    limits: "0 and 6 stops",
};

/// Flash as fill.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fill {
    /// Where the flash has to stand at full power, in metres from the subject.
    pub distance: f64,
    /// The share of the full power that does it from where the flash stands; above 1 the flash is too weak.
    pub power: f64,
    /// What full power from where the flash stands gives beyond the fill that was wished.
    pub off: Stops,
    /// How much more light a part gets that daylight and the wished fill both reach.
    pub together: Stops,
}

/// A share of the full power that flashes can be turned down to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerStep {
    /// As it is engraved: `1/16`.
    pub label: &'static str,
    /// The share.
    pub share: f64,
}

const fn step(label: &'static str, share: f64) -> PowerStep {
    PowerStep { label, share }
}

/// The usual steps, a stop apart (common practice, no source).
pub const POWER_STEPS: [PowerStep; 8] = [
    step("1", 1.0),
    step("1/2", 0.5),
    step("1/4", 0.25),
    step("1/8", 0.125),
    step("1/16", 0.062_5),
    step("1/32", 0.031_25),
    step("1/64", 0.015_625),
    step("1/128", 0.007_812_5),
];

impl Fill {
    /// The step that comes nearest to the share that does it, and what it gives beyond the fill that was wished.
    ///
    /// ```
    /// use exposure::{Control, ExposureIndex, Mark, Steps, Stops, flash::{Flash, Unit}};
    /// let iso = ExposureIndex::new(Mark::parse(Control::Sensitivity, "100", Steps::Third)?)?;
    /// let flash = Flash::new(32.0, Unit::Metres, iso)?;
    /// let (step, rest) = flash.fill(8.0, 4.0, Stops::constant(2.0), iso)?.nearest_step();
    /// assert!(step.label == "1/4" && rest.is_even());
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn nearest_step(&self) -> (PowerStep, Stops) {
        let mut nearest = (POWER_STEPS[0], Stops::new_unchecked(-self.power.log2()));
        for step in POWER_STEPS {
            let rest = Stops::new_unchecked((step.share / self.power).log2());
            if rest.size() < nearest.1.size() {
                nearest = (step, rest);
            }
        }
        nearest
    }
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
