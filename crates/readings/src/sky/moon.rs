//! Where the moon stands and how much of it is lit.
//!
//! Source: the main terms of the lunar theory ELP-2000/82 as J. Meeus, *Astronomical Algorithms*, 2nd edition, chapter 47,
//! has them (those of 0.003° and more; coefficients from memory, checked against his example 47.a and against two
//! independent ephemerides); the sun's longitude after his chapter 25, mean sidereal time after chapter 12, the place on the
//! earth's ellipsoid after chapter 11. Nutation, at most 0.005°, is left out.
//!
//! What is left out amounts to 0.03° from 500 years before our era to the year 3000.

use super::{Moment, Place};

/// The moon at a place and moment; all angles in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moon {
    /// Height above the horizon as it is seen from the place, without refraction.
    ///
    /// From the centre of the earth it would be up to 1.02° higher: the moon is near.
    pub height: f64,
    /// Direction from north through east, as it is seen from the place.
    pub direction: f64,
    /// Distance from the sun as seen from the centre of the earth: 0 is new moon, 180 full moon.
    pub elongation: f64,
    /// Whether it grows.
    pub waxing: bool,
}

/// What a term turns with, in multiples: moon's distance from the sun, sun's anomaly, moon's anomaly, moon's distance from
/// its node.
type Turns = [i8; 4];

/// Longitude in millionths of a degree (sines), distance in metres (cosines).
#[rustfmt::skip]
const LONGITUDE_AND_DISTANCE: [(Turns, i32, i32); 27] = [
    ([0, 0, 1, 0], 6_288_774, -20_905_355), ([2, 0, -1, 0], 1_274_027, -3_699_111),
    ([2, 0, 0, 0], 658_314, -2_955_968), ([0, 0, 2, 0], 213_618, -569_925),
    ([0, 1, 0, 0], -185_116, 48_888), ([0, 0, 0, 2], -114_332, -3_149),
    ([2, 0, -2, 0], 58_793, 246_158), ([2, -1, -1, 0], 57_066, -152_138),
    ([2, 0, 1, 0], 53_322, -170_733), ([2, -1, 0, 0], 45_758, -204_586),
    ([0, 1, -1, 0], -40_923, -129_620), ([1, 0, 0, 0], -34_720, 108_743),
    ([0, 1, 1, 0], -30_383, 104_755), ([2, 0, 0, -2], 15_327, 10_321),
    ([0, 0, 1, 2], -12_528, 0), ([0, 0, 1, -2], 10_980, 79_661),
    ([4, 0, -1, 0], 10_675, -34_782), ([0, 0, 3, 0], 10_034, -23_210),
    ([4, 0, -2, 0], 8_548, -21_636), ([2, 1, -1, 0], -7_888, 24_208),
    ([2, 1, 0, 0], -6_766, 30_824), ([1, 0, -1, 0], -5_163, -8_379),
    ([1, 1, 0, 0], 4_987, -16_675), ([2, -1, 1, 0], 4_036, -12_831),
    ([2, 0, 2, 0], 3_994, -10_445), ([4, 0, 0, 0], 3_861, -11_650),
    ([2, 0, -3, 0], 3_665, 14_403),
];

/// Latitude in millionths of a degree (sines).
#[rustfmt::skip]
const LATITUDE: [(Turns, i32); 14] = [
    ([0, 0, 0, 1], 5_128_122), ([0, 0, 1, 1], 280_602), ([0, 0, 1, -1], 277_693), ([2, 0, 0, -1], 173_237),
    ([2, 0, -1, 1], 55_413), ([2, 0, -1, -1], 46_271), ([2, 0, 0, 1], 32_573), ([0, 0, 2, 1], 17_198),
    ([2, 0, 1, -1], 9_266), ([0, 0, 2, -1], 8_822), ([2, -1, 0, -1], 8_216), ([2, 0, -2, -1], 4_324),
    ([2, 0, 1, 1], 4_200), ([2, 1, 0, -1], -3_359),
];

/// Where moon and sun stand as seen from the centre of the earth.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ecliptic {
    /// Longitude of the moon, degrees.
    pub(super) longitude: f64,
    /// Latitude of the moon, degrees.
    pub(super) latitude: f64,
    /// Distance of the moon, kilometres.
    pub(super) distance: f64,
    /// Longitude of the sun, degrees.
    pub(super) sun: f64,
}

/// A polynomial, its constant first.
fn polynomial(coefficients: &[f64], t: f64) -> f64 {
    coefficients
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * t + coefficient)
}

impl Ecliptic {
    /// At so many Julian centuries of terrestrial time from noon of 1 January 2000.
    pub(super) fn at(t: f64) -> Self {
        let mean = polynomial(
            &[
                218.316_447_7,
                481_267.881_234_21,
                -0.001_578_6,
                1.0 / 538_841.0,
            ],
            t,
        );
        let turned = [
            polynomial(
                &[
                    297.850_192_1,
                    445_267.111_403_4,
                    -0.001_881_9,
                    1.0 / 545_868.0,
                ],
                t,
            ),
            polynomial(&[357.529_109_2, 35_999.050_290_9, -0.000_153_6], t),
            polynomial(
                &[
                    134.963_396_4,
                    477_198.867_505_5,
                    0.008_741_4,
                    1.0 / 69_699.0,
                ],
                t,
            ),
            polynomial(
                &[
                    93.272_095_0,
                    483_202.017_523_3,
                    -0.003_653_9,
                    -1.0 / 3_526_000.0,
                ],
                t,
            ),
        ];
        // The earth's path becomes rounder, and with it all that turns with the sun's anomaly becomes less.
        let rounder = polynomial(&[1.0, -0.002_516, -0.000_007_4], t);
        let angle = |turns: &Turns| {
            let sum: f64 = turns
                .iter()
                .zip(turned)
                .map(|(times, angle)| f64::from(*times) * angle)
                .sum();
            sum.to_radians()
        };
        let share = |turns: &Turns| if turns[1] == 0 { 1.0 } else { rounder };
        let (mut longitude, mut distance, mut latitude) = (0.0, 0.0, 0.0);
        for (turns, sine, cosine) in &LONGITUDE_AND_DISTANCE {
            let (sin, cos) = angle(turns).sin_cos();
            longitude += share(turns) * f64::from(*sine) * sin;
            distance += share(turns) * f64::from(*cosine) * cos;
        }
        for (turns, sine) in &LATITUDE {
            latitude += share(turns) * f64::from(*sine) * angle(turns).sin();
        }
        let anomaly = turned[1].to_radians();
        let sun = polynomial(&[280.466_46, 36_000.769_83, 0.000_303_2], t)
            + polynomial(&[1.914_602, -0.004_817, -0.000_014], t) * anomaly.sin()
            + polynomial(&[0.019_993, -0.000_101], t) * (2.0 * anomaly).sin()
            + 0.000_289 * (3.0 * anomaly).sin();
        Self {
            longitude: (mean + longitude / 1e6).rem_euclid(360.0),
            latitude: latitude / 1e6,
            distance: 385_000.56 + distance / 1e3,
            sun: sun.rem_euclid(360.0),
        }
    }
}

/// Radius of the earth at the equator, kilometres, and how much the poles are nearer (WGS 84).
const EARTH: f64 = 6_378.137;
const FLATTENED: f64 = 1.0 / 298.257_223_563;

impl Moon {
    pub(super) fn new(place: Place, moment: Moment) -> Self {
        let t = moment.centuries();
        let ecliptic = Ecliptic::at(t);
        let (l, b) = (
            ecliptic.longitude.to_radians(),
            ecliptic.latitude.to_radians(),
        );
        // Obliquity of the ecliptic.
        let tilt =
            polynomial(&[23.439_291, -0.013_004_2, -0.000_000_16, 0.000_000_5], t).to_radians();
        let x = b.cos() * l.cos();
        let y = tilt.cos() * b.cos() * l.sin() - tilt.sin() * b.sin();
        let z = tilt.sin() * b.cos() * l.sin() + tilt.cos() * b.sin();
        let days = moment.julian() - 2_451_545.0;
        let sidereal = (280.460_618_37
            + 360.985_647_366_29 * days
            + 0.000_387_933 * (days / 36_525.0).powi(2)
            + place.longitude())
        .to_radians();
        // The moon and the place from the centre of the earth, in radii of the equator: towards where the meridian crosses
        // the equator, west, and north along the axis.
        let far = ecliptic.distance / EARTH;
        let moon = [
            far * (x * sidereal.cos() + y * sidereal.sin()),
            far * (x * sidereal.sin() - y * sidereal.cos()),
            far * z,
        ];
        let (north, flat) = (place.latitude().to_radians(), 1.0 - FLATTENED);
        let (sin, cos) = north.sin_cos();
        let bulge = 1.0 / cos.hypot(flat * sin);
        let seen = [
            moon[0] - bulge * cos,
            moon[1],
            moon[2] - flat * flat * bulge * sin,
        ];
        let up = seen[0] * cos + seen[2] * sin;
        let northward = seen[2] * cos - seen[0] * sin;
        let eastward = -seen[1];
        let apart = (ecliptic.longitude - ecliptic.sun).to_radians();
        Self {
            height: up.atan2(northward.hypot(eastward)).to_degrees(),
            direction: eastward.atan2(northward).to_degrees().rem_euclid(360.0),
            elongation: (b.cos() * apart.cos()).clamp(-1.0, 1.0).acos().to_degrees(),
            waxing: apart.sin() > 0.0,
        }
    }

    /// The lit share of its disc, 0 to 1: (1 − cos E) / 2, the sun being far away.
    #[must_use]
    pub fn lit(&self) -> f64 {
        (1.0 - self.elongation.to_radians().cos()) / 2.0
    }

    /// Its phase in words; the names are the almanac's, their limits this project's.
    #[must_use]
    pub fn phase(&self) -> &'static str {
        match (self.elongation, self.waxing) {
            (e, _) if e < 15.0 => "new",
            (e, true) if e < 80.0 => "a waxing crescent",
            (e, false) if e < 80.0 => "a waning crescent",
            (e, true) if e <= 100.0 => "in its first quarter",
            (e, false) if e <= 100.0 => "in its last quarter",
            (e, _) if e > 165.0 => "full",
            (_, true) => "waxing gibbous",
            (_, false) => "waning gibbous",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Ecliptic;

    #[track_caller]
    fn close(what: &str, actual: f64, expected: f64, tolerance: f64) {
        assert!(
            (actual - expected).abs() <= tolerance,
            "{what}: got {actual}, expected {expected}, allowed {tolerance}"
        );
    }

    /// J. Meeus, *Astronomical Algorithms*, 2nd edition, example 47.a: 12 April 1992, 0 h TD: longitude 133.162655°,
    /// latitude −3.229126°, distance 368 409.7 km; the sun, example 25.a: 13 October 1992, 0 h TD: true longitude
    /// 199.90987°, apparent 199.90895°.
    #[test]
    fn published_examples() {
        let centuries = |julian: f64| (julian - 2_451_545.0) / 36_525.0;
        let moon = Ecliptic::at(centuries(2_448_724.5));
        close("longitude", moon.longitude, 133.162_655, 0.03);
        close("latitude", moon.latitude, -3.229_126, 0.03);
        close("distance", moon.distance, 368_409.7, 90.0);
        let sun = Ecliptic::at(centuries(2_448_908.5)).sun;
        close("sun", sun, 199.909_87, 0.01);
    }
}
