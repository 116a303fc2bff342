//! Tones on a screen: sRGB codes, the light that they stand for, how light they look, and their colour.
//!
//! The one place of these formulas for pictures that are read, drawn and measured.

use std::f64::consts::LN_2;

/// Share of light that a middle tone reflects.
pub const MIDDLE: f64 = 0.18;

/// How much each primary of sRGB gives to luminance: IEC 61966-2-1 (ITU-R BT.709).
pub const LUMINANCE: [f64; 3] = [0.2126, 0.7152, 0.0722];

/// CIE XYZ of the three primaries, to four digits, as IEC 61966-2-1 prints it (from memory).
const XYZ: [[f64; 3]; 3] = [
    [0.4124, 0.3576, 0.1805],
    LUMINANCE,
    [0.0193, 0.1192, 0.9505],
];

/// A positive number to a power. As a power of e: the library's own powers are not needed elsewhere on the page.
fn power(base: f64, exponent: f64) -> f64 {
    (base.ln() * exponent).exp()
}

/// Brightness on the screen of a linear share of light, 0 to 1, as an sRGB code from 0 to 255, not rounded.
///
/// Source: IEC 61966-2-1:1999, from memory; 0.18 is 117.65 by a public package.
///
/// ```
/// assert!((exposure::tone::code(0.5) - 187.52).abs() < 0.01);
/// ```
#[must_use]
pub fn code(linear: f64) -> f64 {
    let linear = linear.clamp(0.0, 1.0);
    255.0
        * if linear <= 0.003_130_8 {
            12.92 * linear
        } else {
            1.055 * power(linear, 1.0 / 2.4) - 0.055
        }
}

/// The linear share of light of an sRGB code from 0 to 255: the inverse of [`code`].
///
/// ```
/// assert!((exposure::tone::light(118.0) - 0.181164).abs() < 1e-6);
/// ```
#[must_use]
pub fn light(code: f64) -> f64 {
    let share = code.clamp(0.0, 255.0) / 255.0;
    if share <= 0.040_45 {
        share / 12.92
    } else {
        power((share + 0.055) / 1.055, 2.4)
    }
}

/// Luminance of linear red, green and blue; white is 1.
#[must_use]
pub fn luminance(linear: [f64; 3]) -> f64 {
    dot(LUMINANCE, linear)
}

fn dot(weights: [f64; 3], values: [f64; 3]) -> f64 {
    weights[0] * values[0] + weights[1] * values[1] + weights[2] * values[2]
}

/// A share of light in stops above the middle tone of 18 %; none of no light.
///
/// ```
/// assert!((exposure::tone::stops(0.36).unwrap() - 1.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn stops(linear: f64) -> Option<f64> {
    (linear > 0.0 && linear.is_finite()).then(|| (linear / MIDDLE).ln() / LN_2)
}

/// Where CIE's cube root ends and its straight piece begins: (6/29)³, and the slope of that piece, 841/108.
const STRAIGHT: f64 = 216.0 / 24389.0;
const SLOPE: f64 = 841.0 / 108.0;

fn root(share: f64) -> f64 {
    if share > STRAIGHT {
        power(share, 1.0 / 3.0)
    } else {
        SLOPE * share.max(0.0) + 4.0 / 29.0
    }
}

/// How light a share of light looks, CIE 1976 L*, 0 to 100.
///
/// Source: CIE 15, from memory; 0.18 is 49.496 by a public package.
///
/// ```
/// assert!((exposure::tone::lightness(0.18) - 49.4961076101).abs() < 1e-9);
/// ```
#[must_use]
pub fn lightness(linear: f64) -> f64 {
    116.0 * root(linear) - 16.0
}

/// A colour by CIE 1976 L*a*b*, against the white of the screen (D65).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lab {
    /// Lightness, 0 to 100.
    pub lightness: f64,
    /// From green (below nought) to magenta.
    pub a: f64,
    /// From blue (below nought) to yellow.
    pub b: f64,
}

impl Lab {
    /// The colour of linear red, green and blue, 0 to 1 each. Greys are exactly without colour.
    ///
    /// ```
    /// use exposure::tone::{Lab, light};
    /// let lab = Lab::of([130.0, 118.0, 110.0].map(light));
    /// assert!((lab.a - 3.180).abs() < 0.001 && (lab.b - 6.081).abs() < 0.001);
    /// ```
    #[must_use]
    pub fn of(linear: [f64; 3]) -> Self {
        let [x, y, z] = XYZ.map(|row| root(dot(row, linear) / dot(row, [1.0; 3])));
        Self {
            lightness: 116.0 * y - 16.0,
            a: 500.0 * (x - y),
            b: 200.0 * (y - z),
        }
    }

    /// How strong the colour is: the distance from grey.
    #[must_use]
    pub fn chroma(self) -> f64 {
        self.a.hypot(self.b)
    }
}
