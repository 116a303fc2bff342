//! Whether places that are grey in one picture lean to a colour in another of the same scene.
//!
//! What lies in a third of the lightness scale is other things in each frame of a bracket. So the same places are compared, with what
//! exposure alone would have made of them at the lightness that they have.

use exposure::tone::{self, Lab};

use super::LEANS_BY;
use crate::{
    Measured,
    frame::{Colours, third},
    pair::overlap,
    register::{Scene, Waves},
    stats,
};

/// Places that lie further from grey than this share of L* + 16, which exposure alone does not change, say nothing: their colour itself
/// grows and fades along a film's curve. It is 10 in a*, b* at L* 50 (judgement, no source).
const NEAR_GREY: f64 = 0.15;
/// Codes of a place outside of these may be the floor of the scanner, or clipped.
const CODES: core::ops::RangeInclusive<u8> = 20..=247;
/// Places of a third that a cast needs (judgement, no source).
const LEAST_PLACES: usize = 16;

/// Which thirds of the second picture lean elsewhere than the same places of the first; none where they are not found again.
pub(super) fn leans(
    (first, from): (&Measured, &Waves),
    (second, to): (&Measured, &Waves),
) -> [bool; 3] {
    let of = || {
        let shift = from.shift_to(to);
        let shift = shift.filter(|shift| shift.scene() == Scene::Same)?;
        let (a, b) = (first.colours.as_ref()?, second.colours.as_ref()?);
        let (width, _) = first.grid.size();
        // From cells of the small picture to those of the colours, at the same scale.
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            reason = "a few dozen cells"
        )]
        let coarse = |by: i32| (f64::from(by) * a.width as f64 / width as f64).round() as i32;
        places(a, b, coarse(shift.across), coarse(shift.down))
    };
    of().map_or([false; 3], |thirds| thirds.map(|third| is_cast(&third)))
}

/// For each third of the second picture the places that are nearly grey in the first: a* and b* as exposure alone would have made
/// them, and as they are.
fn places(a: &Colours, b: &Colours, across: i32, down: i32) -> Option<[Vec<[f64; 4]>; 3]> {
    let (ax, bx, columns) = overlap(a.width, b.width, across)?;
    let (ay, by, rows) = overlap(a.height, b.height, down)?;
    let mut out = [const { Vec::new() }; 3];
    for at in 0..columns * rows {
        let (x, y) = (at % columns, at / columns);
        let one = a.codes[(ay + y) * a.width + ax + x];
        let other = b.codes[(by + y) * b.width + bx + x];
        if !one.iter().chain(&other).all(|code| CODES.contains(code)) {
            continue;
        }
        let [one, other] = [one, other].map(|codes| codes.map(|code| tone::light(f64::from(code))));
        let more = tone::luminance(other) / tone::luminance(one);
        let meant = Lab::of(one.map(|light| light * more));
        let is = Lab::of(other);
        if meant.chroma() <= NEAR_GREY * (meant.lightness + 16.0) {
            #[expect(
                clippy::cast_possible_truncation,
                reason = "as exact as a third needs it"
            )]
            out[third(is.lightness as f32)].push([meant.a, meant.b, is.a, is.b]);
        }
    }
    Some(out)
}

/// Whether places lean: further from grey than they were meant to be, and by more than a colour that grew or faded explains.
fn is_cast(places: &[[f64; 4]]) -> bool {
    if places.len() < LEAST_PLACES {
        return false;
    }
    let middle =
        |of: &dyn Fn(&[f64; 4]) -> f64| stats::median(places.iter().map(of)).unwrap_or(0.0);
    let far = |by: &dyn Fn(&[f64; 4], usize) -> f64| {
        middle(&|place| by(place, 0)).hypot(middle(&|place| by(place, 1)))
    };
    let meant = far(&|place, at| place[at]);
    let is = far(&|place, at| place[at + 2]);
    // Colours from gone to twice as strong.
    let left = (0..=8_u8)
        .map(|grown| far(&|place, at| place[at + 2] - f64::from(grown) / 4.0 * place[at]))
        .fold(f64::INFINITY, f64::min);
    left >= LEANS_BY && is >= meant + LEANS_BY / 2.0
}
