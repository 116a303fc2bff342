//! Checks that all tables share. Every failure says what was asked, what came, what was expected, and how far apart they are.

use core::fmt::Display;

/// Equal within `tolerance`: absolute.
#[track_caller]
pub(crate) fn close(what: impl Display, actual: f64, expected: f64, tolerance: f64) {
    let difference = actual - expected;
    assert!(
        difference.abs() <= tolerance,
        "{what}: got {actual}, expected {expected}, difference {difference:e}, allowed {tolerance:e}"
    );
}

/// Rows of a table without its head, its first line of names checked.
#[track_caller]
pub(crate) fn rows<'a>(names: &str, text: &'a str) -> Vec<Vec<&'a str>> {
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    assert_eq!(lines.next(), Some(names), "names of the columns");
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    assert!(!rows.is_empty(), "the table has rows");
    rows
}

/// A number of a table.
#[track_caller]
pub(crate) fn number(text: &str) -> f64 {
    text.parse()
        .unwrap_or_else(|error| panic!("“{text}”: {error}"))
}

/// The test noise: s ← 16807·s mod 2147483647 from 1, u = s/2147483647, twelve u's summed less 6 for each pixel in row order.
pub(crate) fn noise(count: usize) -> Vec<f64> {
    let mut seed = 1_u64;
    (0..count)
        .map(|_| {
            (0..12)
                .map(|_| {
                    seed = seed * 16807 % 2_147_483_647;
                    f64::from(u32::try_from(seed).expect("below 2^31")) / 2_147_483_647.0
                })
                .sum::<f64>()
                - 6.0
        })
        .collect()
}
