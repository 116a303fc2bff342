//! When the sun rises and sets, and when twilight begins and ends.

use solar_positioning::{
    Error as Failed, Horizon, HorizonState, Location, SolarEvents, time::JulianDate,
};

use super::{
    DAY, Moment, Place,
    clock::{Lead, Shown},
    failed,
    path::Path,
};
use crate::Error;

/// One day's light: from sunrise to sunset.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Sunrise.
    pub rise: Moment,
    /// Sunset.
    pub set: Moment,
}

/// How far below the horizon the sun is where one kind of light goes over into the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// The upper rim of the sun on a flat horizon, with the usual refraction: 50 minutes of arc.
    Sunrise,
    /// 6°: until then one reads outdoors, and the horizon is seen.
    Civil,
    /// 12°: until then the horizon at sea is seen.
    Nautical,
    /// 18°: beyond it is night.
    Astronomical,
}

impl Edge {
    /// All of them, from day to night.
    pub const ALL: [Self; 4] = [
        Self::Sunrise,
        Self::Civil,
        Self::Nautical,
        Self::Astronomical,
    ];

    const fn horizon(self) -> Horizon {
        match self {
            Self::Sunrise => Horizon::SunriseSunset,
            Self::Civil => Horizon::CivilTwilight,
            Self::Nautical => Horizon::NauticalTwilight,
            Self::Astronomical => Horizon::AstronomicalTwilight,
        }
    }

    /// What it is the edge of, and where the sun is then.
    const fn name(self) -> &'static str {
        match self {
            Self::Sunrise => "Sun (its upper rim)",
            Self::Civil => "Civil twilight (sun 6° below the horizon)",
            Self::Nautical => "Nautical twilight (12°)",
            Self::Astronomical => "Astronomical twilight (18°)",
        }
    }

    /// What the sun does when it passes, upward and downward.
    const fn passes(self) -> [&'static str; 2] {
        match self {
            Self::Sunrise => ["rises", "sets"],
            Self::Civil | Self::Nautical | Self::Astronomical => ["begins", "ends"],
        }
    }

    /// What it means that the sun stays above it all day and night, or below it.
    const fn stays(self, above: bool) -> &'static str {
        match (self, above) {
            (Self::Sunrise, true) => "does not set that day",
            (Self::Sunrise, false) => "does not rise that day",
            (Self::Civil | Self::Nautical | Self::Astronomical, true) => "lasts all night",
            (Self::Civil | Self::Nautical | Self::Astronomical, false) => {
                "none, the sun stays lower all day"
            }
        }
    }
}

/// When the sun passes one edge in the course of a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Passing {
    /// Which edge.
    pub edge: Edge,
    /// When it rises above it.
    pub rises: Vec<Moment>,
    /// When it sinks below it.
    pub sets: Vec<Moment>,
    /// Whether it is above when the day begins.
    pub above: bool,
}

/// The light of one day of the sun, from the middle of a night to the middle of the next.
#[derive(Debug, Clone, PartialEq)]
pub struct Daylight {
    /// From day to night.
    pub edges: [Passing; 4],
    /// When the sun passes the height below which shadows are long.
    low: Crossings,
}

/// Up to how many degrees of the sun shadows are long.
const LOW: f64 = 10.0;

/// What is meant by long shadows: the length by arithmetic, 1 / tan 10°.
pub const LONG_SHADOWS: &str = "Long shadows are over five times as long as what throws them is high; that they count as long up to 10° is common practice, no source.";

impl Daylight {
    /// The day of the sun whose noon is nearest to a moment.
    ///
    /// # Errors
    ///
    /// A sentence at the very ends of the years that are worked out.
    pub fn around(place: Place, moment: Moment) -> Result<Self, Error> {
        let day = Sun::new(place, moment).map_err(failed)?;
        let passing = |edge| day.passing(edge).map_err(failed);
        Ok(Self {
            edges: [
                passing(Edge::Sunrise)?,
                passing(Edge::Civil)?,
                passing(Edge::Nautical)?,
                passing(Edge::Astronomical)?,
            ],
            low: day.crossings(Horizon::Custom(LOW)).map_err(failed)?,
        })
    }

    /// The stretches with the sun over the horizon and no higher than 10°; none at an end is open to the night there.
    #[must_use]
    pub fn long_shadows(&self) -> Vec<[Option<Moment>; 2]> {
        let [rim, ..] = &self.edges;
        let low = &self.low;
        let mut events: Vec<(Moment, usize, bool)> = Vec::new();
        for (at, rises, sets) in [(0, &rim.rises, &rim.sets), (1, &low.rises, &low.sets)] {
            events.extend(rises.iter().map(|moment| (*moment, at, true)));
            events.extend(sets.iter().map(|moment| (*moment, at, false)));
        }
        events.sort_by(|a, b| a.0.seconds().total_cmp(&b.0.seconds()));
        let mut above = [rim.above, low.above];
        let is_long = |above: [bool; 2]| above == [true, false];
        let mut open = is_long(above).then_some(None);
        let mut found = Vec::new();
        for (moment, at, is_up) in events {
            above[at] = is_up;
            match open {
                None if is_long(above) => open = Some(Some(moment)),
                Some(from) if !is_long(above) => {
                    found.push([from, Some(moment)]);
                    open = None;
                }
                _ => {}
            }
        }
        found.extend(open.map(|from| [from, None]));
        found
    }

    /// The same in a line: `Long shadows (sun up to 10° high): 05:34 to 06:40, 20:20 to 21:26.`
    #[must_use]
    pub fn long_shadows_line(&self, beside: Shown, lead: Lead<'_>) -> String {
        let time = |moment: Moment| Shown::at(moment.seconds(), lead).time_beside(beside);
        let said: Vec<String> = self
            .long_shadows()
            .into_iter()
            .map(|stretch| match stretch {
                [Some(from), Some(to)] => format!("{} to {}", time(from), time(to)),
                [Some(from), None] => format!("from {} on", time(from)),
                [None, Some(to)] => format!("until {}", time(to)),
                [None, None] => "all day".to_owned(),
            })
            .collect();
        let said = match (said.is_empty(), self.low.above) {
            (false, _) => said.join(", "),
            (true, true) => "none, the sun stays higher".to_owned(),
            (true, false) => "none, the sun does not rise".to_owned(),
        };
        format!("Long shadows (sun up to 10° high): {said}.")
    }

    /// A line for each edge, by a clock that shows `beside` on the day that is meant: `Sun (its upper rim): rises 05:34, sets
    /// 21:26.`
    #[must_use]
    pub fn lines(&self, beside: Shown, lead: Lead<'_>) -> [String; 4] {
        self.edges
            .each_ref()
            .map(|passing| passing.line(beside, lead))
    }
}

impl Passing {
    fn line(&self, beside: Shown, lead: Lead<'_>) -> String {
        let [up, down] = self.edge.passes();
        let mut events: Vec<(f64, &str)> = Vec::new();
        events.extend(self.rises.iter().map(|moment| (moment.seconds(), up)));
        events.extend(self.sets.iter().map(|moment| (moment.seconds(), down)));
        events.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut said: Vec<String> = events
            .iter()
            .map(|(at, passes)| {
                let time = Shown::at(*at, lead).time_beside(beside);
                format!("{passes} {time}")
            })
            .collect();
        match (self.rises.is_empty(), self.sets.is_empty()) {
            (true, true) => said.push(self.edge.stays(self.above).to_owned()),
            (true, false) => said.push("and not before that day".to_owned()),
            (false, true) => said.push("and not again that day".to_owned()),
            (false, false) => {}
        }
        format!("{}: {}.", self.edge.name(), said.join(", "))
    }
}

/// What is seldom the same as on the spot.
pub const TO_THE_MINUTE: &str = "To the minute, for a flat horizon at sea level: hills, height and weather shift it by minutes.";

/// When the sun passes a height.
#[derive(Debug, Clone, PartialEq)]
struct Crossings {
    rises: Vec<Moment>,
    sets: Vec<Moment>,
    /// Whether it is above when the day begins.
    above: bool,
}

/// The sun within half a day either way of its mean noon nearest to a moment.
struct Sun {
    place: Place,
    path: Path,
    /// Julian date of that noon.
    noon: f64,
    delta_t: f64,
}

impl Sun {
    fn new(place: Place, moment: Moment) -> Result<Self, Failed> {
        // Longitude shifts noon by a day for 360°.
        let shift = place.longitude() / 360.0;
        let noon = (moment.julian() + shift).round() - shift;
        let delta_t = moment.delta_t();
        Ok(Self {
            place,
            path: Path::new(noon - 0.5, noon + 0.5, delta_t)?,
            noon,
            delta_t,
        })
    }

    /// Its passing of a height.
    fn crossings(&self, horizon: Horizon) -> Result<Crossings, Failed> {
        let position =
            |time: JulianDate, place: Location| self.path.event(time.julian_date(), place);
        let found = SolarEvents::with_provider(position, YEARS)?.for_interval_from_julian(
            self.noon - 0.5,
            self.noon + 0.5,
            self.place.location(),
            self.delta_t,
            horizon,
        )?;
        let moments = |julian: Vec<f64>| {
            julian
                .into_iter()
                .filter_map(|julian| Moment::new((julian - 2_440_587.5) * DAY).ok())
                .collect()
        };
        Ok(Crossings {
            above: found.state_at_start == HorizonState::Above,
            rises: moments(found.rises),
            sets: moments(found.sets),
        })
    }

    fn passing(&self, edge: Edge) -> Result<Passing, Failed> {
        let Crossings { rises, sets, above } = self.crossings(edge.horizon())?;
        Ok(Passing {
            edge,
            rises,
            sets,
            above,
        })
    }
}

/// The years of the sun's algorithm.
const YEARS: core::ops::RangeInclusive<i32> = -2000..=6000;

/// Sunrise and sunset of the day of the sun around a moment; none where the sun does not rise or set.
pub(super) fn day(place: Place, moment: Moment) -> Result<Option<Day>, Failed> {
    let found = Sun::new(place, moment)?.passing(Edge::Sunrise)?;
    Ok(match (found.rises.first(), found.sets.last()) {
        (Some(&rise), Some(&set)) if set > rise => Some(Day { rise, set }),
        _ => None,
    })
}
