//! Illuminance from the height of sun and moon: USNO Circular 171.

use core::f64::consts::PI;

use super::{Cover, Parts};

/// The night sky without moon, lx: 0.0005 in the circular's program, 0.0003 in its Appendix B.
pub(super) const NIGHT: f64 = 0.0005;

/// Height as it is seen, degrees: refraction after the circular, none below −5/6°.
fn seen(height: f64) -> f64 {
    if height < -5.0 / 6.0 {
        height
    } else {
        height + 1.0 / (60.0 * (height + 8.6 / (height + 4.42)).to_radians().tan())
    }
}

/// The two terms of the circular's M: what comes straight through the air on a surface turned to the disc, and what the
/// sky gives a horizontal one; and the sine of the height that takes the first to the horizontal.
///
/// U = sin ha; X = 753.66156; S = asin(X cos ha / (X + 1)); m = X (cos S − U) + cos S;
/// M = exp(−0.21 m) U + 0.0289 exp(−0.042 m) (1 + (ha + 90) U / 57.29577951).
fn terms(height: f64) -> (f64, f64, f64) {
    const X: f64 = 753.661_56;
    const DEGREES: f64 = 57.295_779_51;
    let seen = seen(height);
    let u = seen.to_radians().sin();
    let s = (X * seen.to_radians().cos() / (X + 1.0)).asin();
    let m = X * (s.cos() - u) + s.cos();
    let direct = (-0.21 * m).exp();
    let sky = 0.0289 * (-0.042 * m).exp() * (1.0 + (seen + 90.0) * u / DEGREES);
    (direct, sky, u)
}

fn parts(height: f64, whole: f64) -> Parts {
    let (direct, sky, u) = terms(height);
    Parts {
        // Below the horizon there is no disc to turn to.
        direct: if u > 0.0 { whole * direct } else { 0.0 },
        sky: whole * sky,
        horizontal: (whole * (direct * u + sky)).max(0.0),
    }
}

/// Light of the sun in lx, from its height in degrees without refraction.
///
/// ```
/// use readings::sky::{Cover, sunlight};
/// // 45° high under a clear sky: about 80 000 lx on the ground.
/// assert!((sunlight(45.0, Cover::Clear).horizontal - 80_044.0).abs() < 80.0);
/// ```
#[must_use]
pub fn sunlight(height: f64, cover: Cover) -> Parts {
    /// lx outside the air, as the circular has it.
    const SUN: f64 = 133_775.0;
    parts(height, SUN / cover.divisor())
}

/// Light of the moon in lx, from its height as it is seen from the place, without refraction, and its distance from the sun
/// (elongation) as seen from the centre of the earth, both in degrees: 180° is full moon.
///
/// P = 0.892 exp(−3.343 / tan(E/2)^0.632) + 0.0344 (sin E − E cos E), then 0.418 P / (1 − 0.005 cos E − 0.03 sin Z).
/// The circular lowers a height from the centre of the earth by 0.95° cos h for parallax; here the parallax is in the height
/// already ([`Moon`](super::Moon)).
#[must_use]
pub fn moonlight(height: f64, elongation: f64, cover: Cover) -> Parts {
    let e = elongation.to_radians().clamp(0.0, PI);
    let half = (e / 2.0).tan();
    let disc = if half > 0.0 {
        0.892 * (-3.343 / (half.ln() * 0.632).exp()).exp() + 0.0344 * (e.sin() - e * e.cos())
    } else {
        0.0
    };
    let nearer = 1.0 - 0.005 * e.cos() - 0.03 * height.to_radians().sin();
    parts(height, (0.418 * disc / nearer).max(0.0) / cover.divisor())
}
