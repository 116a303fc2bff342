//! The light of sun and moon from place and time: an estimate, with its error.
//!
//! Illuminance: P. M. Janiczek and J. A. `DeYoung`, *Computer Programs for Sun and Moon Illuminance With Contingent Tables and
//! Diagrams*, US Naval Observatory Circular 171 (1987), read in three transcriptions that agree (several copies elsewhere
//! have 0.2 for its 0.21).
//! Its figures are for a **horizontal** surface; a subject that faces the sun gets another light, and [`Facing`] names which.

pub mod clock;
mod course;
mod day;
mod light;
mod moon;
mod path;

use exposure::{Ev, light::Constants, words};
use solar_positioning::{Location, SolarPositions};

use crate::{
    Error, Found, Method,
    found::Known,
    method::{LOW_SKY, SKY},
};

pub use course::{Course, HEIGHTS, HOURS, Point, change_in_words, coming};
pub use day::{Day, Daylight, Edge, LONG_SHADOWS, Passing, TO_THE_MINUTE};
pub use light::{moonlight, sunlight};
pub use moon::Moon;

/// A place on earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    latitude: f64,
    longitude: f64,
}

impl Place {
    /// Takes degrees: north and east are positive.
    ///
    /// # Errors
    ///
    /// A sentence, beyond 90° or 180°.
    pub fn new(latitude: f64, longitude: f64) -> Result<Self, Error> {
        if (-90.0..=90.0).contains(&latitude) && (-180.0..=180.0).contains(&longitude) {
            Ok(Self {
                latitude,
                longitude,
            })
        } else {
            Err(Error::new(
                "A place is a latitude up to 90° and a longitude up to 180°, south and west with a minus, for example 47.1 and 8.3.",
            ))
        }
    }

    /// Reads two fields as people type them: `47.1`, `47,1 N`, `−33.9`, `33.9 S`, `70° W`, `46°56'`.
    ///
    /// # Errors
    ///
    /// A sentence with what is taken.
    pub fn parse(latitude: &str, longitude: &str) -> Result<Self, Error> {
        let unknown = |text: &str| {
            let shown: String = text.trim().chars().take(20).collect();
            Error::new(format!(
                "“{shown}” was not understood; a latitude or longitude is typed in degrees, like 47.1, 33.9 S or 46°56'."
            ))
        };
        let north = degrees(latitude, ['N', 'S']).ok_or_else(|| unknown(latitude))?;
        let east = degrees(longitude, ['E', 'W']).ok_or_else(|| unknown(longitude))?;
        Self::new(north, east)
    }

    /// Degrees north.
    #[must_use]
    pub const fn latitude(self) -> f64 {
        self.latitude
    }

    /// Degrees east.
    #[must_use]
    pub const fn longitude(self) -> f64 {
        self.longitude
    }

    const fn location(self) -> Location {
        Location {
            latitude: self.latitude,
            longitude: self.longitude,
        }
    }
}

/// Degrees with minutes and a letter of the compass, if there are any.
fn degrees(text: &str, letters: [char; 2]) -> Option<f64> {
    let text = text.trim().to_ascii_uppercase();
    let (sign, figures) = match text.strip_suffix(letters) {
        Some(rest) => {
            let sign = if text.ends_with(letters[1]) {
                -1.0
            } else {
                1.0
            };
            (sign, rest.trim())
        }
        None => (1.0, text.as_str()),
    };
    let Some((whole, rest)) = figures.split_once('°') else {
        return Some(sign * crate::typed::number(figures)?);
    };
    let whole = crate::typed::number(whole)?;
    let minutes = rest.trim().trim_end_matches(['\'', '′', '’']);
    let minutes = if minutes.is_empty() {
        0.0
    } else {
        crate::typed::number(minutes).filter(|m| (0.0..60.0).contains(m))?
    };
    Some(sign * (whole.abs() + minutes / 60.0).copysign(whole))
}

/// A moment, as seconds since the beginning of 1970 (UTC), from 500 years before our era to the year 2999: the years for
/// which both the sun's algorithm and the rotation of the earth are known well enough.
///
/// The sun's algorithm (SPA) serves the years −2000 to 6000; the estimates of how far the rotation of the earth is behind
/// (TT − UT) end at −500 and 3000. An hour's error of them, what they may be off by at the ends, moves the sun by a 24th of
/// a degree and the moon by half a degree.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Moment(f64);

/// 1 January of the years −500 and 3000, 0 h UTC, as seconds since the beginning of 1970.
const FIRST: f64 = -77_945_673_600.0;
const LAST: f64 = 32_503_680_000.0;
/// Seconds of a day.
const DAY: f64 = 86_400.0;
/// Seconds of a year of the calendar, on average.
const YEAR: f64 = 365.2425 * DAY;

impl Moment {
    /// Takes seconds since the beginning of 1970 (UTC).
    ///
    /// # Errors
    ///
    /// A sentence, outside the years −500 to 2999.
    pub fn new(seconds: f64) -> Result<Self, Error> {
        if (FIRST..LAST).contains(&seconds) {
            Ok(Self(seconds))
        } else {
            Err(Error::new(
                "Sun and moon are worked out up to the year 2999; look whether the year is right.",
            ))
        }
    }

    /// Seconds since the beginning of 1970 (UTC).
    #[must_use]
    pub const fn seconds(self) -> f64 {
        self.0
    }

    /// Julian date, UT.
    fn julian(self) -> f64 {
        self.0 / DAY + 2_440_587.5
    }

    /// TT − UT in seconds, an estimate.
    fn delta_t(self) -> f64 {
        let year = (1970.0 + self.0 / YEAR).clamp(-500.0, 3000.0);
        // OK to fall back on today's: these are the years of the estimate.
        solar_positioning::delta_t::estimate(year).unwrap_or(69.2)
    }

    /// Julian centuries of terrestrial time since the beginning of 2000.
    fn centuries(self) -> f64 {
        (self.julian() + self.delta_t() / DAY - 2_451_545.0) / 36_525.0
    }
}

/// What is said where the library refuses, which it does not for a moment and a place in range.
fn failed(_: solar_positioning::Error) -> Error {
    Error::new("The sun cannot be worked out for this place and moment.")
}

/// What covers the sky, as the circular has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cover {
    /// Clear, or less than 70 % covered, sun or moon free.
    Clear,
    /// Thin clouds before the disc.
    Thin,
    /// Average clouds.
    Average,
    /// Dark layers of cloud.
    Dark,
}

impl Cover {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Clear, Self::Thin, Self::Average, Self::Dark];

    /// In words.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clear => "clear, or sun and moon free of clouds",
            Self::Thin => "thin clouds before the sun or moon",
            Self::Average => "average clouds",
            Self::Dark => "dark layers of cloud",
        }
    }

    const fn short(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Thin => "thin clouds",
            Self::Average => "average clouds",
            Self::Dark => "dark clouds",
        }
    }

    /// By which the light is divided: 1, 2, 3 or 10.
    #[must_use]
    pub const fn divisor(self) -> f64 {
        match self {
            Self::Clear => 1.0,
            Self::Thin => 2.0,
            Self::Average => 3.0,
            Self::Dark => 10.0,
        }
    }

    /// Whether the disc itself still throws a shadow.
    const fn throws_shadows(self) -> bool {
        matches!(self, Self::Clear | Self::Thin)
    }
}

/// Which surface the light falls on.
///
/// The circular gives the horizontal one. The split into what comes straight from the disc and what comes from the sky is
/// this project's reading of the formula's two terms; the steps for side and back light are those of the daylight tables
/// (US Army SS0508, ANSI PH2.7).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Facing {
    /// Turned straight to the sun or moon: front light.
    Disc,
    /// Lit from the side: one stop less than front light, where there are shadows.
    Side,
    /// Lit from behind: two stops less than front light, where there are shadows.
    Back,
    /// A horizontal surface: ground, a table, water.
    Horizontal,
    /// In the shade, lit by the open sky alone.
    Shade,
}

impl Facing {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Disc,
        Self::Side,
        Self::Back,
        Self::Horizontal,
        Self::Shade,
    ];

    /// In words.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Disc => "facing the sun or moon",
            Self::Side => "lit from the side",
            Self::Back => "lit from behind",
            Self::Horizontal => "a horizontal surface",
            Self::Shade => "in open shade",
        }
    }
}

impl Facing {
    const fn short(self) -> &'static str {
        match self {
            Self::Disc => "facing it",
            Self::Side => "side light",
            Self::Back => "back light",
            Self::Horizontal => "horizontal",
            Self::Shade => "open shade",
        }
    }
}

/// Light in lx as the circular's formula splits it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parts {
    /// Straight from the disc, on a surface turned to it.
    pub direct: f64,
    /// From the sky, on a horizontal surface.
    pub sky: f64,
    /// Both together on a horizontal surface: what the circular tabulates.
    pub horizontal: f64,
}

impl Parts {
    /// The light on a surface, in lx.
    #[must_use]
    pub fn on(&self, facing: Facing, cover: Cover) -> f64 {
        let front = self.direct + self.sky;
        let shadows = cover.throws_shadows() && self.direct > self.sky;
        match facing {
            Facing::Horizontal => self.horizontal,
            Facing::Shade if cover.throws_shadows() => self.sky,
            Facing::Disc if shadows => front,
            Facing::Side if shadows => front / 2.0,
            Facing::Back if shadows => front / 4.0,
            // Without shadows every side gets what the sky gives, and under cloud all the light comes from the sky.
            Facing::Shade | Facing::Disc | Facing::Side | Facing::Back => self.horizontal,
        }
    }

    fn and(self, other: Self) -> Self {
        Self {
            direct: self.direct.max(other.direct),
            sky: self.sky + other.sky,
            horizontal: self.horizontal + other.horizontal,
        }
    }
}

/// How high sun and moon stand at one moment, and what light they give: all that a day's curve needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// The sun's height above the horizon in degrees, as it is seen from the place, without refraction.
    pub sun_height: f64,
    /// The moon.
    pub moon: Moon,
}

impl Standing {
    /// Works out where they stand.
    ///
    /// # Errors
    ///
    /// None for a place and a moment in range.
    pub fn new(place: Place, moment: Moment) -> Result<Self, Error> {
        let (sun_height, _) = sun(place, moment)?;
        Ok(Self {
            sun_height,
            moon: Moon::new(place, moment),
        })
    }

    /// The light in lx of sun, moon and night sky.
    #[must_use]
    pub fn parts(&self, cover: Cover) -> Parts {
        let night = light::NIGHT / cover.divisor();
        let night = Parts {
            direct: 0.0,
            sky: night,
            horizontal: night,
        };
        sunlight(self.sun_height, cover)
            .and(moonlight(self.moon.height, self.moon.elongation, cover))
            .and(night)
    }

    /// The light as EV at ISO 100, by the constant C.
    ///
    /// # Errors
    ///
    /// Range error of `exposure`, which no sky reaches.
    pub fn light(&self, cover: Cover, facing: Facing, constants: &Constants) -> Result<Ev, Error> {
        ev_of(self.parts(cover).on(facing, cover), constants)
    }
}

/// Height and direction of the sun in degrees.
fn sun(place: Place, moment: Moment) -> Result<(f64, f64), Error> {
    let julian = solar_positioning::time::JulianDate::new(moment.julian(), moment.delta_t())
        .map_err(failed)?;
    let sun = SolarPositions::new()
        .at_from_julian(julian, place.location(), 0.0, None)
        .map_err(failed)?;
    Ok((sun.elevation_angle(), sun.azimuth()))
}

/// Where sun and moon stand, and what light they give.
#[derive(Debug, Clone, PartialEq)]
pub struct Sky {
    /// The sun's height above the horizon in degrees, as it is seen from the place, without refraction.
    pub sun_height: f64,
    /// The sun's direction in degrees, from north through east.
    pub sun_direction: f64,
    /// The moon.
    pub moon: Moon,
    /// Today's sunrise and sunset that enclose or are next to the moment; `None` where the sun does not rise or set.
    pub day: Option<Day>,
    moment: Moment,
}

/// What must be said where the light is read near the sun.
pub const CAUTION: &str = "Do not look at the sun through a finder or a lens; grey filters and film strips do not protect eyes. Use a certified solar filter on the front of the lens.";

impl Sky {
    /// Works out where sun and moon stand.
    ///
    /// ```
    /// use readings::sky::{Cover, Facing, Moment, Place, Sky};
    /// // 21 June 2026, 12:00 UTC, 47° north, 8° east: the sun is high.
    /// let sky = Sky::new(Place::new(47.0, 8.0)?, Moment::new(1_782_043_200.0)?)?;
    /// assert!((65.0..67.0).contains(&sky.sun_height));
    /// let found = sky.found(Cover::Clear, Facing::Disc, &Default::default())?;
    /// assert!((15.0..16.0).contains(&found.light().get()));
    /// # Ok::<(), readings::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// None for a place and a moment in range.
    pub fn new(place: Place, moment: Moment) -> Result<Self, Error> {
        let (sun_height, sun_direction) = sun(place, moment)?;
        Ok(Self {
            sun_height,
            sun_direction,
            moon: Moon::new(place, moment),
            day: day::day(place, moment).map_err(failed)?,
            moment,
        })
    }

    /// The moment that it is about.
    #[must_use]
    pub const fn moment(&self) -> Moment {
        self.moment
    }

    /// The heights alone.
    #[must_use]
    pub const fn standing(&self) -> Standing {
        Standing {
            sun_height: self.sun_height,
            moon: self.moon,
        }
    }

    /// The light in lx of sun, moon and night sky.
    #[must_use]
    pub fn parts(&self, cover: Cover) -> Parts {
        self.standing().parts(cover)
    }

    /// The reading, as an estimate: incident light by the constant C.
    ///
    /// # Errors
    ///
    /// A sentence, where no marks reach the light.
    pub fn found(
        &self,
        cover: Cover,
        facing: Facing,
        constants: &Constants,
    ) -> Result<Found, Error> {
        let light = self.standing().light(cover, facing, constants)?;
        let sun = self.is_sunlit();
        let (name, height) = if sun {
            ("sun", self.sun_height)
        } else if self.moon.height > 0.0 {
            ("moon", self.moon.height)
        } else {
            ("night sky", f64::NAN)
        };
        let from = if height.is_nan() {
            format!("estimate: {name}, {}", cover.short())
        } else {
            format!(
                "estimate: {name} {}, {}, {}",
                height_in_words(height),
                cover.short(),
                facing.short()
            )
        };
        let doubt = if sun && self.sun_height > 5.0 {
            SKY
        } else {
            LOW_SKY
        };
        Found::of_light(
            light,
            Known {
                from,
                method: Method::Sky,
                doubt: Some(doubt),
                uncertainty: format!(
                    "An estimate from the height of the {} alone: real skies give up to twice or half of it, near the horizon and at night more. Its formula (US Naval Observatory Circular 171) is for a horizontal surface; the light on other sides is this project's own split of it.",
                    if sun { "sun" } else { "sun and moon" }
                ),
            },
        )
    }

    /// Whether the sun gives the light: the circular's formula holds to nautical twilight.
    const fn is_sunlit(&self) -> bool {
        self.sun_height > -9.0
    }

    /// The heights in words, one sentence each for sun and moon.
    #[must_use]
    pub fn in_words(&self) -> String {
        format!(
            "The sun stands {} in the {}. The moon is {} and stands {} in the {}.",
            height_in_words(self.sun_height),
            compass(self.sun_direction),
            self.moon.phase(),
            height_in_words(self.moon.height),
            compass(self.moon.direction),
        )
    }

    /// Whether the daylight tables hold now, in words: from two hours after sunrise to two hours before sunset.
    ///
    /// Source: US Army SS0508 and the note of ANSI PH2.7.
    #[must_use]
    pub fn tables_hold(&self) -> String {
        const TWO_HOURS: f64 = 7200.0;
        let Some(day) = self.day else {
            return if self.sun_height > 0.0 {
                "The sun does not set today; the daylight tables say nothing of a sun this low."
            } else {
                "The sun does not rise today; the daylight tables do not hold."
            }
            .to_owned();
        };
        let (after, before) = (self.moment.0 - day.rise.0, day.set.0 - self.moment.0);
        if after >= TWO_HOURS && before >= TWO_HOURS {
            "The daylight tables hold now.".to_owned()
        } else if after < 0.0 || before < 0.0 {
            "The sun is down; the daylight tables do not hold.".to_owned()
        } else {
            "The sun is too low: the daylight tables hold from two hours after sunrise to two hours before sunset.".to_owned()
        }
    }
}

/// A height in words: `34° high`, `on the horizon`, `5° below the horizon`.
fn height_in_words(height: f64) -> String {
    let whole = words::decimal(height.abs(), 0);
    if whole == "0" {
        "on the horizon".to_owned()
    } else if height > 0.0 {
        format!("{whole}° high")
    } else {
        format!("{whole}° below the horizon")
    }
}

/// A direction in words.
fn compass(degrees: f64) -> &'static str {
    const WINDS: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from 0 to 8 by the remainder"
    )]
    let at = (degrees.rem_euclid(360.0) / 45.0).round() as usize;
    WINDS[at % 8]
}

/// A light in lx as EV at ISO 100.
///
/// # Errors
///
/// Range error of `exposure`, if it is not a positive number.
pub fn ev_of(lux: f64, constants: &Constants) -> Result<Ev, Error> {
    Ok(constants.ev_of_illuminance(lux)?)
}
