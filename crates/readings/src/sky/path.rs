//! The sun in the course of a day: worked out in full every few hours, for between them it moves on an arc that hardly bends.
//!
//! A full position costs hundreds of terms. What turns within a day is the earth; against the stars the sun goes one degree.
//! So between two full positions the place is turned to where it would see the sun at either of them under the same hour
//! angle, and what it sees is taken in proportion: within 0.0005° of the full position (a test compares the two).

use solar_positioning::{
    Error as Failed, EventPosition, Location, PreparedPositions, SolarPositions, time::JulianDate,
};

/// From one full position to the next, in days.
const APART: f64 = 0.25;

/// How far the earth turns against the stars in a day, in degrees.
const TURN: f64 = 360.985_647_366_29;

/// The sun from one moment to another.
pub(super) struct Path {
    /// Julian date (UT) of the first full position.
    from: f64,
    full: Vec<PreparedPositions>,
}

impl Path {
    /// From one Julian date (UT) to another, a few days later at most; `delta_t` is TT − UT in seconds.
    pub(super) fn new(from: f64, to: f64, delta_t: f64) -> Result<Self, Failed> {
        let mut full = Vec::new();
        let mut at = from;
        while at < to + APART {
            let moment = JulianDate::new(at, delta_t)?;
            full.push(SolarPositions::new().for_time_from_julian(moment)?);
            at += APART;
        }
        Ok(Self { from, full })
    }

    /// Where the sun stands for a place: upwards, northward and westward.
    fn seen(&self, julian: f64, place: Location) -> Result<[f64; 3], Failed> {
        let along = (julian - self.from) / APART;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few at most"
        )]
        let before = (along.max(0.0) as usize).min(self.full.len().saturating_sub(2));
        #[expect(clippy::cast_precision_loss, reason = "a few at most")]
        let share = along - before as f64;
        let pair = [before, before + 1].map(|at| self.full.get(at).copied());
        let [Some(first), Some(second)] = pair else {
            return Err(Failed::ComputationError {
                message: "a path without positions",
            });
        };
        let moved = second.right_ascension() - first.right_ascension();
        // Over the year's end of its way it begins again at nought.
        let moved = (moved + 180.0).rem_euclid(360.0) - 180.0;
        let turned = TURN * APART - moved;
        let stands = |full: PreparedPositions, turned: f64| -> Result<[f64; 3], Failed> {
            let place = Location {
                latitude: place.latitude,
                longitude: (place.longitude + turned + 180.0).rem_euclid(360.0) - 180.0,
            };
            let sun = full.at(place, 0.0, None)?;
            let (up, level) = sun.elevation_angle().to_radians().sin_cos();
            let (east, north) = sun.azimuth().to_radians().sin_cos();
            Ok([up, level * north, -level * east])
        };
        let first = stands(first, turned * share)?;
        let second = stands(second, turned * (share - 1.0))?;
        Ok(core::array::from_fn(|i| {
            first[i] + (second[i] - first[i]) * share
        }))
    }

    /// The sun's height in degrees, without refraction.
    pub(super) fn height(&self, julian: f64, place: Location) -> Result<f64, Failed> {
        let [up, north, west] = self.seen(julian, place)?;
        Ok(up.atan2(north.hypot(west)).to_degrees())
    }

    /// The same for the search for events, which asks for the hour angle as well.
    pub(super) fn event(&self, julian: f64, place: Location) -> Result<EventPosition, Failed> {
        let [up, north, west] = self.seen(julian, place)?;
        let (sin, cos) = place.latitude.to_radians().sin_cos();
        Ok(EventPosition {
            elevation: up.atan2(north.hypot(west)).to_degrees(),
            hour_angle: west.atan2(up * cos - north * sin).to_degrees(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::Path;
    use crate::sky::{Moment, Place, sun};

    /// Places from pole to pole, days of four hundred years, all hours.
    #[test]
    fn between_two_positions_it_is_as_good_as_a_full_one() {
        let mut worst = 0.0_f64;
        for day in 0..400 {
            let noon = f64::from(day) * 86_400.0 * 365.97;
            for north in [-90.0, -66.5, -33.9, 0.0, 11.3, 23.4, 47.4, 78.2, 89.9] {
                let place = Place::new(north, f64::from(day % 37) * 9.7 - 175.0).expect("a place");
                let start = Moment::new(noon).expect("a moment");
                let path = Path::new(start.julian(), start.julian() + 1.0, start.delta_t())
                    .expect("a path");
                for hour in 0..24 {
                    let at = Moment::new(noon + f64::from(hour) * 3700.0).expect("a moment");
                    let (full, _) = sun(place, at).expect("a position");
                    let between = path
                        .height(at.julian(), place.location())
                        .expect("a height");
                    worst = worst.max((full - between).abs());
                }
            }
        }
        assert!(worst < 0.0005, "{worst}° off");
    }
}
