//! Luck, knowledge tracing and blind comparisons, against published figures and exact sums.

use learn::chance::{
    at_least, comparisons, comparisons_for_good, d_prime, exactly, in_a_row, power, tries_to_row,
    wins_needed,
};
use learn::mastery::Tracing;

use crate::check::close;

fn answers(text: &str) -> Vec<bool> {
    text.bytes()
        .filter(|byte| *byte != b' ')
        .map(|byte| byte == b'1')
        .collect()
}

/// B3 [SEEN]: published fits of Miller, Baker and Rossi 2014, in the test file of a public library, to 12 digits.
#[test]
fn published_errors() {
    let a = Tracing {
        known: 1e-6,
        learns: 0.723_834_928_263_271_2,
        guesses: 1e-6,
        slips: 0.1,
    };
    let error = a.error(&[answers("01101111"), answers("0011111")]);
    close("fit A", error, 0.319_796_170_647_288_16, 5e-13);
    let b = Tracing {
        known: 1e-6,
        learns: 0.090_680_274_958_623_55,
        guesses: 0.233_869_316_117_657_7,
        slips: 0.1,
    };
    let error = b.error(&[answers("00110000"), answers("00101111"), answers("00001")]);
    close("fit B", error, 0.447_248_366_448_988_9, 5e-13);
}

/// B3 [CALC]: the chance after each answer.
#[test]
fn after_each_answer() {
    let with = |known, learns, guesses| Tracing {
        known,
        learns,
        guesses,
        slips: 0.1,
    };
    for (tracing, given, expected) in [
        (
            with(0.25, 0.2, 0.2),
            "11111",
            vec![0.68000, 0.92426, 0.98569, 0.99743, 0.99954],
        ),
        (
            with(0.25, 0.2, 0.2),
            "01111",
            vec![0.23200, 0.66093, 0.91813, 0.98446, 0.99720],
        ),
        (
            with(0.25, 0.2, 0.2),
            "11011",
            vec![0.68000, 0.92426, 0.68322, 0.92527, 0.98589],
        ),
        (Tracing::DIAL, "111", vec![0.88571, 0.99431, 0.99975]),
        (
            Tracing::TWO_CHOICES,
            "11111",
            vec![0.50000, 0.71429, 0.85455, 0.93089, 0.96831],
        ),
        (
            with(0.1, 0.1, 0.3),
            "11111",
            vec![0.32500, 0.63182, 0.85361, 0.95134, 0.98491],
        ),
    ] {
        let mut known = tracing.known;
        for (right, expected) in answers(given).into_iter().zip(expected) {
            known = tracing.after(known, right);
            close(
                format!("{given} of {tracing:?}"),
                known,
                expected,
                0.000_005,
            );
        }
    }
    // Right answers in a row to reach mastery.
    for (guesses, expected) in [(0.05, 2), (0.2, 3), (0.25, 3), (0.5, 5)] {
        let tracing = with(0.25, 0.2, guesses);
        let mut known = tracing.known;
        let mut count = 0;
        while known < Tracing::MASTERED {
            known = tracing.after(known, true);
            count += 1;
        }
        assert_eq!(count, expected, "a guess is right with {guesses}");
    }
}

/// B3 [CALC]: chances of a row within some tries, and how many tries a row takes.
#[test]
fn rows_by_luck() {
    for (row, tries, each, expected) in [
        (3, 10, 0.5, 0.50781),
        (5, 10, 0.5, 0.10938),
        (3, 10, 0.25, 0.09610),
        (3, 10, 0.1, 0.00729),
        (3, 10, 0.9, 0.99484),
        (5, 10, 0.9, 0.88574),
    ] {
        let what = format!("{row} of {tries} at {each}");
        close(what, in_a_row(row, tries, each), expected, 0.000_005_1);
    }
    for (row, each, expected) in [(3, 0.5, 14.0), (3, 0.9, 3.717), (5, 0.9, 6.935)] {
        close(
            format!("{row} at {each}"),
            tries_to_row(row, each),
            expected,
            0.0005,
        );
    }
    // B2: a dial of ten marks, three in a row: 0.001; two choices: 0.125.
    close("ten marks", in_a_row(3, 3, 0.1), 0.001, 1e-12);
    close("two choices", in_a_row(3, 3, 0.5), 0.125, 1e-12);
    close("no row", in_a_row(0, 0, 0.5), 1.0, 1e-12);
}

/// E4: exact binomial, both sides at 5 %, power 80 %.
#[test]
fn blind_comparisons() {
    for (share, first, wins, there, for_good, apart) in [
        (0.60, 199, 114, 0.8037, 210, 0.358),
        (0.65, 90, 55, 0.8123, 97, 0.545),
        (0.70, 49, 32, 0.8100, 54, 0.742),
        (0.75, 30, 21, 0.8034, 35, 0.954),
        (0.80, 20, 15, 0.8042, 23, 1.190),
        (0.85, 15, 12, 0.8227, 17, 1.466),
        (0.90, 12, 10, 0.8891, 12, 1.812),
        (0.95, 9, 8, 0.9288, 9, 2.326),
    ] {
        let found = comparisons(share, 0.05, 0.8).expect("enough comparisons");
        assert_eq!((found.comparisons, found.wins), (first, wins), "{share}");
        close(format!("{share}"), found.power, there, 0.000_06);
        assert_eq!(
            comparisons_for_good(share, 0.05, 0.8),
            Some(for_good),
            "{share}"
        );
        close(format!("d' of {share}"), d_prime(share), apart, 0.000_6);
    }
    for (of, expected) in [(10, 0.2441), (12, 0.3907), (20, 0.6172)] {
        let found = power(of, 0.75, 0.05).expect("enough to tell").power;
        close(format!("power of {of}"), found, expected, 0.000_06);
    }
}

/// E2 [CALC]: signs, and the fewest wins for 5 %.
#[test]
fn wins_by_luck() {
    for (wins, of, both_sides) in [
        (5, 5, 0.06250),
        (6, 6, 0.03125),
        (7, 8, 0.07031),
        (8, 9, 0.03906),
        (8, 10, 0.10938),
        (9, 10, 0.02148),
        (10, 12, 0.03857),
    ] {
        let found = 2.0 * at_least(wins, of, 0.5);
        close(format!("{wins} of {of}"), found, both_sides, 0.000_005);
    }
    let fewest = [6, 7, 8, 8, 9, 10, 10, 11, 12, 12, 13, 13, 14, 15, 15];
    for (of, fewest) in (6..=20).zip(fewest) {
        assert_eq!(wins_needed(of, 0.05), Some(fewest), "{of} comparisons");
    }
    assert_eq!(wins_needed(5, 0.05), None, "under six nothing can");
    close(
        "all ways",
        (0..=30).map(|k| exactly(k, 30, 0.3)).sum(),
        1.0,
        1e-12,
    );
    close("never", at_least(1, 5, 0.0), 0.0, 1e-12);
    close("always", at_least(5, 5, 1.0), 1.0, 1e-12);
    close("more than there are", exactly(6, 5, 0.5), 0.0, 1e-12);
}
