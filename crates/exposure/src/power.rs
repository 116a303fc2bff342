//! Powers of two and ten.

use std::f64::consts::{LN_2, LN_10};

/// 2 to the power of `x`, within 2 units in the last place; exact where `x` is whole.
///
/// The mathematics library's own has a table of four kilobytes, which would all go over the wire to the page.
/// Source: 2^x = 2^n · e^(r·ln 2) with n the nearest whole number and |r| at most a half.
#[must_use]
pub fn of_two(x: f64) -> f64 {
    let whole = x.round().clamp(-1022.0, 1023.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from 1 to 2046, as it was clamped"
    )]
    let exponent = (whole + 1023.0) as u64;
    f64::from_bits(exponent << 52) * ((x - whole) * LN_2).exp()
}

/// 10 to the power of `x`, within 8 units in the last place where |`x`| is at most 10; exact where `x` is whole.
pub(crate) fn of_ten(x: f64) -> f64 {
    let whole = x.round();
    let mut tens = 1.0;
    let mut left = whole.abs();
    while left > 0.5 && left < 310.0 {
        tens *= 10.0;
        left -= 1.0;
    }
    let rest = ((x - whole) * LN_10).exp();
    if whole < 0.0 {
        rest / tens
    } else {
        rest * tens
    }
}

#[cfg(test)]
mod tests {
    use super::{of_ten, of_two};

    #[test]
    fn powers_of_ten_agree_with_the_library() {
        for step in -100..=100_i32 {
            let x = f64::from(step) / 10.0;
            let (ours, library) = (of_ten(x), 10_f64.powf(x));
            assert!(
                (ours - library).abs() <= 8.0 * f64::EPSILON * library,
                "10^{x} is {library}, not {ours}"
            );
        }
    }

    #[test]
    fn agrees_with_the_library() {
        for step in -9000..=9000_i32 {
            let x = f64::from(step) / 96.0;
            let (ours, library) = (of_two(x), x.exp2());
            assert!(
                (ours - library).abs() <= 4.0 * f64::EPSILON * library,
                "2^{x} is {library}, not {ours}"
            );
            if step % 96 == 0 {
                assert!(ours.to_bits() == library.to_bits(), "2^{x} is exact");
            }
        }
    }

    #[test]
    fn stays_a_number_far_out() {
        for x in [-1e300, -1100.0, 1100.0, 1e300] {
            assert!(!of_two(x).is_nan(), "2^{x}");
        }
    }
}
