//! Comparisons, shares and medians, against published figures and exact sums.

use exposure::chance::{by_chance, exact_share, one_in, share};
use proptest::prelude::*;
use scans::sure::{
    Best, PRIOR, after_steps, agreeing_words, between, bootstrap, covers, rank, scenes_for,
};

use crate::check::{close, number, rows};

/// Variants 0, 1, 2 and 3 stops more light, ten pairs each; a row's wins over each column.
fn four() -> Vec<Vec<f64>> {
    vec![
        vec![0.0, 3.0, 1.0, 2.0],
        vec![7.0, 0.0, 4.0, 3.0],
        vec![9.0, 6.0, 0.0, 5.0],
        vec![8.0, 7.0, 5.0, 0.0],
    ]
}

/// E1 [CALC, PKG]: Hunter's steps, the estimate as a public package prints it, and its errors from the information matrix.
#[test]
fn comparisons() {
    for (steps, expected) in [
        (1, [0.1, 0.233_333, 0.333_333, 0.333_333]),
        (2, [0.077_929, 0.212_076, 0.354_998, 0.354_998]),
        (10, [0.071_680, 0.188_645, 0.369_837, 0.369_837]),
        (5000, [0.071_667, 0.188_585, 0.369_874, 0.369_874]),
    ] {
        let found = after_steps(&four(), steps).expect("a table");
        for (at, expected) in expected.into_iter().enumerate() {
            close(
                format!("{at} after {steps}"),
                found[at],
                expected,
                0.000_000_6,
            );
        }
    }
    let found = rank(&four(), 0.0).expect("ranked");
    for (at, (log, error)) in [
        (-1.062_442, 0.3466),
        (-0.094_928, 0.2950),
        (0.578_685, 0.3065),
        (0.578_685, 0.3065),
    ]
    .into_iter()
    .enumerate()
    {
        close(
            format!("strength {at}"),
            found.strengths[at],
            log,
            0.000_000_6,
        );
        close(format!("error {at}"), found.errors[at], error, 0.000_06);
    }
    close("2 beats 0", found.beats(2, 0), 0.837_688, 0.000_000_6);
    close("2 less 3", found.difference_error(2, 3), 0.4823, 0.000_06);
    close("2 less 0", found.difference_error(2, 0), 0.5496, 0.000_06);
    let mut likely = 0.0;
    for i in 0..4 {
        for j in 0..4 {
            likely += four()[i][j] * found.beats(i, j).ln() * f64::from(u8::from(i != j));
        }
    }
    close("log-likelihood", likely, -34.476_279, 0.000_000_6);
    let three = vec![
        vec![0.0, 1.0, 1.0],
        vec![2.0, 0.0, 1.0],
        vec![2.0, 2.0, 0.0],
    ];
    let found = after_steps(&three, 5000).expect("a table");
    for (at, expected) in [0.194_253, 0.310_246, 0.495_502].into_iter().enumerate() {
        close(format!("three: {at}"), found[at], expected, 0.000_000_6);
    }
    let two = rank(&[vec![0.0, 7.0], vec![3.0, 0.0]], 0.0).expect("ranked");
    close("seven of ten", two.beats(0, 1), 0.7, 1e-9);
}

/// The trap: what never lost has no finite strength, and a prior gives it one.
#[test]
fn what_never_lost() {
    let sweep = vec![
        vec![0.0, 3.0, 3.0],
        vec![0.0, 0.0, 2.0],
        vec![0.0, 1.0, 0.0],
    ];
    assert!(rank(&sweep, 0.0).is_err(), "no finite value");
    let found = rank(&sweep, PRIOR).expect("a finite one");
    assert!(
        found
            .strengths
            .iter()
            .chain(&found.errors)
            .all(|value| value.is_finite()),
        "{found:?}"
    );
    assert_eq!(found.order(), [0, 1, 2]);
    assert!(!found.is_shown(0, 1), "three of three show nothing yet");
    assert!(rank(&[vec![0.0]], PRIOR).is_err(), "one");
    assert!(
        rank(&[vec![0.0, f64::NAN], vec![0.0, 0.0]], PRIOR).is_err(),
        "no number"
    );
    assert!(
        rank(&[vec![0.0, 1.0], vec![0.0]], PRIOR).is_err(),
        "no square"
    );
    assert!(rank(&vec![vec![0.0; 25]; 25], PRIOR).is_err(), "too many");
    // Without any comparison all are equal, and nothing is shown.
    let none = rank(&vec![vec![0.0; 3]; 3], PRIOR).expect("a prior");
    assert!(
        none.strengths.iter().all(|log| log.abs() < 1e-9),
        "{none:?}"
    );
    assert!(!none.is_shown(0, 2), "nothing");
}

/// How many more comparisons are worth making: what is said agrees with comparing that often.
#[test]
fn how_often_until_a_difference_is_shown() {
    // Each time the same choices: 3 of 4 for the first against the second.
    let told = |times: f64| rank(&[vec![0.0, 3.0 * times], vec![times, 0.0]], 0.0).expect("ranked");
    let once = told(1.0);
    assert!(!once.is_shown(0, 1), "3 of 4 show nothing");
    let until = once.times_until_shown(0, 1).expect("a number");
    // Comparisons of the one pair, four for each time.
    let enough = told(until / 4.0);
    let fewer = told((until - 1.0) / 4.0);
    assert!(enough.is_shown(0, 1), "{until} are enough");
    assert!(!fewer.is_shown(0, 1), "one fewer than {until} is not");
    // 1.96² · 4/(¾·¼·16) / ln(3)²: the standard error of a log odds.
    close(
        "by hand",
        until,
        (1.959_964_f64.powi(2) / (0.1875 * 3.0_f64.ln().powi(2))).ceil(),
        1e-9,
    );
    let even = rank(&[vec![0.0, 2.0], vec![2.0, 0.0]], PRIOR).expect("ranked");
    assert_eq!(even.times_until_shown(0, 1), None, "equal ones never");
    let [least, middle, most] = even.against_average(0);
    close("half", middle, 0.5, 1e-9);
    close("as wide to both sides", least, 1.0 - most, 1e-9);
}

/// With equal wins no winner is named.
#[test]
fn no_difference_shown() {
    let names = [
        "box speed",
        "1 stop more light",
        "2 stops more light",
        "3 stops more light",
    ]
    .map(str::to_owned);
    let found = rank(&four(), PRIOR).expect("ranked");
    let said = found.words(&names).join(" ");
    assert!(!found.is_shown(2, 3) && found.is_shown(2, 0), "{found:?}");
    assert!(said.contains("no difference is shown"), "{said}");
    assert!(said.contains("half a win each way"), "{said}");
    let mut clear = four();
    clear[0] = vec![0.0, 30.0, 30.0, 30.0];
    for row in &mut clear[1..] {
        row[0] = 1.0;
    }
    let said = rank(&clear, PRIOR).expect("ranked").words(&names).join(" ");
    assert!(
        said.contains("box speed is preferred to each of the others"),
        "{said}"
    );
}

/// E2 [CALC].
#[test]
fn shares_and_signs() {
    let names = "agree,of,wilson_least,wilson_most,exact_least,exact_most";
    for row in rows(names, include_str!("../data/shares.csv")) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "small counts"
        )]
        let (agree, of) = (number(row[0]) as u32, number(row[1]) as u32);
        let (wilson, exact) = (share(agree, of), exact_share(agree, of));
        for (what, found, expected) in [
            ("Wilson least", wilson.0, row[2]),
            ("Wilson most", wilson.1, row[3]),
            ("exact least", exact.0, row[4]),
            ("exact most", exact.1, row[5]),
        ] {
            close(
                format!("{what} of {agree} of {of}"),
                found,
                number(expected),
                0.000_051,
            );
        }
    }
    assert_eq!(exact_share(0, 0), (0.0, 1.0), "nothing is known of none");
    for (agree, of, expected) in [
        (5, 5, 0.06250),
        (6, 6, 0.03125),
        (7, 8, 0.07031),
        (8, 9, 0.03906),
        (8, 10, 0.10938),
        (9, 10, 0.02148),
        (10, 12, 0.03857),
    ] {
        close(
            format!("{agree} of {of}"),
            by_chance(agree, of),
            expected,
            0.000_005_1,
        );
    }
    let fewest = [6, 7, 8, 8, 9, 10, 10, 11, 12, 12, 13, 13, 14, 15, 15];
    for (of, wins) in (6..=20).zip(fewest) {
        assert!(
            by_chance(wins, of) <= 0.05 && by_chance(wins - 1, of) > 0.05,
            "{wins} of {of}"
        );
    }
    assert_eq!(
        agreeing_words(3, 3),
        "3 of 3 scenes agreeing happens by chance one time in four; by so few, between 44 and 100 % of all scenes may agree (95 %; 29 \
         to 100 % counted exactly)."
    );
    for (chance, said) in [
        (0.5, "one time in two"),
        (0.125, "one time in eight"),
        (0.0625, "one time in 16"),
        (0.3, "about one time in three"),
        (1.0, "almost always"),
        (0.75, "about three times in four"),
        (0.0, "less than one time in 10 000"),
    ] {
        assert_eq!(one_in(chance), said, "{chance}");
    }
}

/// E3 [CALC].
#[test]
fn order_statistics() {
    for (rank, first, expected) in [
        (
            1,
            3,
            vec![
                0.75000, 0.87500, 0.93750, 0.96875, 0.98438, 0.99219, 0.99609, 0.99805,
            ],
        ),
        (
            2,
            4,
            vec![
                0.37500, 0.62500, 0.78125, 0.87500, 0.92969, 0.96094, 0.97852,
            ],
        ),
        (3, 6, vec![0.31250, 0.54688, 0.71094, 0.82031, 0.89062]),
    ] {
        for (count, expected) in (first..).zip(expected) {
            close(
                format!("{rank} of {count}"),
                covers(count, rank),
                expected,
                0.000_005_1,
            );
        }
    }
    for (rank, expected) in [(1, 0.99951), (2, 0.99365), (3, 0.96143)] {
        close(
            format!("{rank} of 12"),
            covers(12, rank),
            expected,
            0.000_005_1,
        );
    }
    for (count, rank) in [(0, 1), (3, 0), (3, 3), (1, 2)] {
        close("no such interval", covers(count, rank), 0.0, 1e-12);
    }
    assert_eq!(scenes_for(0.95), 6);
    // Scenario: 1, 2, 2 and 2⅓ stops more light.
    let found = between(&[1.0, 2.0, 2.0, 7.0 / 3.0].map(Best::found)).expect("four");
    assert_eq!(
        found.words(),
        [
            "By 4 scenes, the middle of all scenes' best offsets (half lie below it, half above) is between 1 stop more light and \
             2⅓ stops more light, counted from box speed: sure to 88 %.",
            "The smallest and the largest of 6 scenes would enclose it with 97 %."
        ]
    );
    // With nine scenes the second from each end does.
    let nine: Vec<Best> = (1..=9).map(|at| Best::found(f64::from(at))).collect();
    let found = between(&nine).expect("nine");
    assert_eq!(
        (found.least, found.most),
        (Some(2.0), Some(8.0)),
        "{found:?}"
    );
    assert!(between(&[]).is_none(), "no scene");
    let one = between(&[Best::found(1.0)]).expect("one");
    assert!(
        one.words()[0].contains("nothing can be said"),
        "{:?}",
        one.words()
    );
}

#[test]
fn open_ends_stay_open() {
    let open = Best {
        least: Some(2.0),
        most: None,
    };
    let found = between(&[Best::found(1.0), Best::found(1.5), open]).expect("three");
    assert_eq!((found.least, found.most), (Some(1.0), None), "{found:?}");
    let said = found.words().join(" ");
    assert!(
        said.contains("at least at 1 stop more light, with no upper end"),
        "{said}"
    );
    assert!(
        said.contains("with more light than was tried in each scene may close the open end"),
        "{said}"
    );
    let less = between(
        &[Best {
            least: None,
            most: Some(-1.0),
        }; 2],
    )
    .expect("two");
    assert!(
        less.words()[0].contains("at most at 1 stop less light"),
        "{:?}",
        less.words()
    );
    let none = between(
        &[Best {
            least: None,
            most: None,
        }; 2],
    )
    .expect("two");
    assert!(
        none.words()[0].contains("both ends are open") && !none.words()[0].contains("sure"),
        "{:?}",
        none.words()
    );
}

/// E3 [CALC]: the bootstrap of a median, exactly.
#[test]
fn bootstraps() {
    for (values, expected) in [
        (vec![1.0, 2.0, 3.0], vec![0.25926, 0.48148, 0.25926]),
        (
            vec![1.0, 2.0, 3.0, 4.0, 5.0],
            vec![0.05792, 0.25952, 0.36512, 0.25952, 0.05792],
        ),
        (
            vec![1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0],
            vec![0.01015, 0.09812, 0.23863, 0.30620],
        ),
    ] {
        let found = bootstrap(&values);
        assert_eq!(found.len(), values.len(), "each value");
        for (at, expected) in expected.into_iter().enumerate() {
            close(
                format!("{at} of {}", values.len()),
                found[at].1,
                expected,
                0.000_005_1,
            );
        }
    }
    // Of two: both, one or the other, or the mean of them.
    let two = bootstrap(&[0.0, 1.0]);
    assert_eq!(two.len(), 3, "{two:?}");
    close("the mean", two[1].1, 0.5, 1e-9);
    // Of four, by counting all 256 draws.
    let four = [1.0, 2.0, 4.0, 8.0];
    let mut counted = std::collections::BTreeMap::new();
    for draw in 0..256_usize {
        let mut drawn = [0, 2, 4, 6].map(|by| four[draw >> by & 3]);
        drawn.sort_by(f64::total_cmp);
        let twice = drawn[1] + drawn[2];
        *counted.entry(twice.to_bits()).or_insert(0.0) += 1.0 / 256.0;
    }
    let found = bootstrap(&four);
    assert_eq!(found.len(), counted.len(), "{found:?}");
    for (value, chance) in found {
        close(value, chance, counted[&(2.0 * value).to_bits()], 1e-9);
    }
    assert!(bootstrap(&[]).is_empty(), "none");
}

proptest! {
    #[test]
    fn any_comparisons(wins in prop::collection::vec(0_u8..20, 16), prior in prop::sample::select(vec![0.5, 1.0])) {
        let table: Vec<Vec<f64>> = (0..4)
            .map(|i| (0..4).map(|j| f64::from(wins[i * 4 + j])).collect())
            .collect();
        let found = rank(&table, prior).expect("a prior ranks everything");
        let sum: f64 = found.strengths.iter().sum();
        prop_assert!(sum.abs() < 1e-9);
        prop_assert!(found.errors.iter().all(|error| *error > 0.0 && error.is_finite()));
        for i in 0..4 {
            for j in 0..4 {
                prop_assert!((found.beats(i, j) + found.beats(j, i) - 1.0).abs() < 1e-9);
                prop_assert_eq!(found.is_shown(i, j), found.is_shown(j, i));
            }
        }
        let said = found.words(&["a", "b", "c", "d"].map(str::to_owned)).join(" ");
        prop_assert!(!said.contains("NaN"), "{said}");
    }

    #[test]
    fn bootstraps_add_up(values in prop::collection::vec(-3_i32..9, 1..24)) {
        let values: Vec<f64> = values.into_iter().map(f64::from).collect();
        let sum: f64 = bootstrap(&values).iter().map(|(_, chance)| chance).sum();
        prop_assert!((sum - 1.0).abs() < 1e-6, "{sum}");
    }
}
