//! When the sun rises and sets, and when twilight begins and ends.

use solar_positioning::{Error as Failed, Horizon, HorizonState, SolarEvents};

use super::{
    DAY, Moment, Place,
    clock::{Lead, Shown},
    failed,
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
}

impl Daylight {
    /// The day of the sun whose noon is nearest to a moment.
    ///
    /// # Errors
    ///
    /// A sentence at the very ends of the years that are worked out.
    pub fn around(place: Place, moment: Moment) -> Result<Self, Error> {
        let passing = |edge| passing(place, moment, edge).map_err(failed);
        Ok(Self {
            edges: [
                passing(Edge::Sunrise)?,
                passing(Edge::Civil)?,
                passing(Edge::Nautical)?,
                passing(Edge::Astronomical)?,
            ],
        })
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

/// The sun's passing of an edge within half a day either way of the mean sun's noon nearest to a moment.
fn passing(place: Place, moment: Moment, edge: Edge) -> Result<Passing, Failed> {
    // Longitude shifts noon by a day for 360°.
    let shift = place.longitude() / 360.0;
    let noon = (moment.julian() + shift).round() - shift;
    let found = SolarEvents::new().for_interval_from_julian(
        noon - 0.5,
        noon + 0.5,
        place.location(),
        moment.delta_t(),
        edge.horizon(),
    )?;
    let moments = |julian: Vec<f64>| {
        julian
            .into_iter()
            .filter_map(|julian| Moment::new((julian - 2_440_587.5) * DAY).ok())
            .collect()
    };
    Ok(Passing {
        edge,
        above: found.state_at_start == HorizonState::Above,
        rises: moments(found.rises),
        sets: moments(found.sets),
    })
}

/// Sunrise and sunset of the day of the sun around a moment; none where the sun does not rise or set.
pub(super) fn day(place: Place, moment: Moment) -> Result<Option<Day>, Failed> {
    let found = passing(place, moment, Edge::Sunrise)?;
    Ok(match (found.rises.first(), found.sets.last()) {
        (Some(&rise), Some(&set)) if set > rise => Some(Day { rise, set }),
        _ => None,
    })
}
