//! Medians and the like.

/// The value that half of the numbers do not exceed; zero of none.
pub(crate) fn median(numbers: &[f64]) -> f64 {
    quantile(numbers, 0.5)
}

/// The value that 99 of 100 numbers do not exceed; zero of none.
pub(crate) fn p99(numbers: &[f64]) -> f64 {
    quantile(numbers, 0.99)
}

/// The smallest of the numbers that this part of them do not exceed (nearest rank).
fn quantile(numbers: &[f64], part: f64) -> f64 {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f64::total_cmp);
    #[expect(
        clippy::cast_precision_loss,
        reason = "a count of samples is far below 2^52"
    )]
    let rank = (sorted.len() as f64 * part).ceil();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a rank lies between zero and the count"
    )]
    let rank = (rank as usize).max(1);
    sorted.get(rank - 1).copied().unwrap_or_default()
}

/// The smallest of the numbers; zero of none.
pub(crate) fn least(numbers: &[f64]) -> f64 {
    numbers
        .iter()
        .copied()
        .min_by(f64::total_cmp)
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_are_values_that_were_measured() {
        let numbers: Vec<f64> = (1..=100).rev().map(f64::from).collect();
        let found = [median(&numbers), p99(&numbers), least(&numbers)];
        assert_eq!(
            found.map(f64::to_bits),
            [50.0, 99.0, 1.0].map(f64::to_bits),
            "of 1 to 100"
        );
        assert_eq!(
            median(&[3.0, 1.0, 2.0]).to_bits(),
            2.0_f64.to_bits(),
            "the middle one of three"
        );
        assert_eq!(p99(&[4.0]).to_bits(), 4.0_f64.to_bits(), "the only one");
    }
}
