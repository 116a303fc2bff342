//! Where the moon stands and how much of it is lit.
//!
//! Source: the low-precision formulae for the moon of the Astronomical Almanac (longitude to 0.3°, latitude to 0.2°, for
//! 1900 to 2100; coefficients from memory, checked against J. Meeus, *Astronomical Algorithms*, example 47.a, and against
//! positions by an independent ephemeris); mean sidereal time after Meeus, chapter 12.
//! A third of a degree changes moonlight by less than a twentieth of a stop above 10°.

use super::{Moment, Place};

/// The moon at a place and moment; all angles in degrees, as seen from the centre of the earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moon {
    /// Height above the horizon, without parallax and refraction.
    pub height: f64,
    /// Direction from north through east.
    pub direction: f64,
    /// Distance from the sun: 0 is new moon, 180 full moon.
    pub elongation: f64,
    /// Whether it grows.
    pub waxing: bool,
}

/// Ecliptic longitude and latitude of the moon and ecliptic longitude of the sun, degrees, at so many Julian centuries
/// from the beginning of 2000.
pub(super) fn ecliptic(t: f64) -> (f64, f64, f64) {
    let sin = |at: f64, per_century: f64| (at + per_century * t).to_radians().sin();
    let longitude = 218.32 + 481_267.881 * t + 6.29 * sin(135.0, 477_198.87)
        - 1.27 * sin(259.3, -413_335.36)
        + 0.66 * sin(235.7, 890_534.22)
        + 0.21 * sin(269.9, 954_397.74)
        - 0.19 * sin(357.5, 35_999.05)
        - 0.11 * sin(186.5, 966_404.03);
    let latitude = 5.13 * sin(93.3, 483_202.02) + 0.28 * sin(228.2, 960_400.89)
        - 0.28 * sin(318.3, 6_003.15)
        - 0.17 * sin(217.6, -407_332.21);
    let sun =
        280.460 + 36_000.771 * t + 1.915 * sin(357.528, 35_999.050) + 0.020 * sin(715.06, 71_998.1);
    (longitude.rem_euclid(360.0), latitude, sun.rem_euclid(360.0))
}

impl Moon {
    pub(super) fn new(place: Place, moment: Moment) -> Self {
        let t = moment.centuries();
        let (longitude, latitude, sun) = ecliptic(t);
        let (l, b) = (longitude.to_radians(), latitude.to_radians());
        // Obliquity of the ecliptic.
        let tilt = (23.439 - 0.013 * t).to_radians();
        let x = b.cos() * l.cos();
        let y = tilt.cos() * b.cos() * l.sin() - tilt.sin() * b.sin();
        let z = tilt.sin() * b.cos() * l.sin() + tilt.cos() * b.sin();
        let ascension = y.atan2(x);
        let declination = z.clamp(-1.0, 1.0).asin();
        let days = moment.julian() - 2_451_545.0;
        let sidereal = (280.460_618 + 360.985_647_366 * days + place.longitude()).to_radians();
        let hour = sidereal - ascension;
        let north = place.latitude().to_radians();
        let height = (north.sin() * declination.sin()
            + north.cos() * declination.cos() * hour.cos())
        .clamp(-1.0, 1.0)
        .asin();
        let direction = (-hour.sin() * declination.cos())
            .atan2(declination.sin() * north.cos() - declination.cos() * hour.cos() * north.sin());
        let apart = (longitude - sun).to_radians();
        Self {
            height: height.to_degrees(),
            direction: direction.to_degrees().rem_euclid(360.0),
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
    use super::ecliptic;

    /// J. Meeus, *Astronomical Algorithms*, 2nd edition, example 47.a: 12 April 1992, 0 h TD: longitude 133.162655°,
    /// latitude −3.229126°; the sun, example 25.a: 13 October 1992, 0 h TD: apparent longitude 199.90895°.
    #[test]
    fn published_examples() {
        let centuries = |julian: f64| (julian - 2_451_545.0) / 36_525.0;
        let (longitude, latitude, _) = ecliptic(centuries(2_448_724.5));
        assert!(
            (longitude - 133.162_655).abs() < 0.3,
            "longitude {longitude}, expected 133.162655"
        );
        assert!(
            (latitude + 3.229_126).abs() < 0.2,
            "latitude {latitude}, expected -3.229126"
        );
        let (_, _, sun) = ecliptic(centuries(2_448_908.5));
        assert!(
            (sun - 199.908_95).abs() < 0.02,
            "sun {sun}, expected 199.90895"
        );
    }
}
