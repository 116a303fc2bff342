//! How far something may be off: sums, agreements, and the words for them.

use exposure::{Compared, Doubt, Stops, words};
use proptest::prelude::*;

use crate::check::{close, same};
use crate::properties::config;

fn doubt(stops: f64) -> Doubt {
    Doubt::new(stops).expect("between nought and ten stops")
}

/// Sums of reasons that have nothing to do with one another: JCGM 100:2008, 5.1.2, equation (10) [SEEN].
///
/// Worked by hand [CALC], but for: contributions of 1 and 2 units, 2.236067977 (help pages of a computer algebra system on the
/// combination of two figures with errors [SEEN]); the end gauge of JCGM 100:2008, H.1, 25, 9.7, 2.9 and 16.6 nm come to
/// 32 nm [MEM]; and the small errors of a camera's dials, ⅓, 0.4, ¼, ⅙ and ⅙ stop come to about 0.6 (judgement of the trade).
#[test]
fn reasons_of_their_own_add_up_by_squares() {
    for (name, reasons, sum, tolerance) in [
        ("one alone", &[0.5][..], 0.5, 0.0),
        ("nothing adds nothing", &[0.0, 0.5], 0.5, 0.0),
        ("three and four", &[0.3, 0.4], 0.5, 0.0),
        ("one and two", &[1.0, 2.0], 2.236_067_977, 0.001),
        (
            "½ stop read on third stops",
            &[0.5, 1.0 / 6.0],
            0.527_046,
            0.001,
        ),
        ("½ stop read on half stops", &[0.5, 0.25], 0.559_017, 0.001),
        ("twice 0.7 stop", &[0.7, 0.7], 0.989_949, 0.001),
        ("an end gauge", &[2.5, 0.97, 0.29, 1.66], 3.2, 0.05),
        (
            "the dials of a camera",
            &[1.0 / 3.0, 0.4, 0.25, 1.0 / 6.0, 1.0 / 6.0],
            0.6,
            0.05,
        ),
        // Beyond ten stops nothing is known.
        ("far off", &[8.0, 8.0], 10.0, 0.0),
    ] {
        let all = reasons
            .iter()
            .fold(Doubt::NONE, |sum, one| sum.and(doubt(*one)));
        close(name, all.half_width().get(), sum, tolerance);
    }
}

/// Rounded up to a thousandth, so that a third is no surer than it is, and what is a thousandth stays one.
#[test]
fn thousandths() {
    for (stops, thousandths) in [
        (0.0, 0),
        (1.0 / 3.0, 334),
        (2.0 / 3.0, 667),
        (0.1 + 0.2, 300),
        (0.001, 1),
        (0.0011, 2),
        (10.0, 10_000),
    ] {
        assert_eq!(doubt(stops).thousandths(), thousandths, "{stops}");
        assert_eq!(
            Doubt::of_thousandths(u64::from(thousandths)),
            Some(doubt(stops)),
            "{stops} from a record"
        );
        assert_eq!(
            Doubt::constant(stops).thousandths(),
            thousandths,
            "{stops} as a literal"
        );
    }
    for stops in [-0.1, 10.1, f64::NAN, f64::INFINITY] {
        let error = Doubt::new(stops).expect_err("no doubt");
        assert!(error.to_string().contains("10 stops"), "{error}");
    }
    for thousandths in [10_001, 65_536, u64::MAX] {
        assert_eq!(Doubt::of_thousandths(thousandths), None, "{thousandths}");
    }
}

#[test]
fn in_words() {
    for (stops, expected) in [
        (0.05, "give or take under ⅙ stop"),
        (1.0 / 6.0, "give or take ⅙ stop"),
        (1.0 / 3.0, "give or take ⅓ stop"),
        (0.5, "give or take ½ stop"),
        (0.527_046, "give or take about ½ stop"),
        (2.0 / 3.0, "give or take ⅔ stop"),
        (1.0, "give or take 1 stop"),
        (1.5, "give or take 1½ stops"),
        (23.0 / 3.0, "give or take 7⅔ stops"),
        (9.99, "give or take 10 stops"),
        (10.0, "give or take at least 10 stops"),
    ] {
        let said = words::give_or_take(doubt(stops));
        same(format!("{stops}"), &said, expected);
        // Never to be taken for a direction, and never with a sign.
        for wrong in ["more", "less", "light", "±", "+", "−"] {
            assert!(!said.contains(wrong), "“{said}” holds “{wrong}”");
        }
    }
}

/// Two readings of the same light: half-widths and floors of both, how far apart they are, whether the methods are the same;
/// then whether they disagree, and what is to be doubted of the first, the second and the middle.
///
/// Worked by hand [CALC] from the rule: they disagree beyond √(a² + b²), the usual criterion of comparisons between
/// laboratories (normalised error above 1; ISO 13528 [MEM]); the middle is √(a² + b²) / 2 for two methods, (a + b) / 2 for one
/// (JCGM 100:2008, 5.2.2, note 1: ten resistors calibrated by one standard, 100 mΩ each, are 1 Ω together [MEM]), never below
/// the smaller floor.
#[test]
fn two_readings_of_the_same_light() {
    const THIRD: f64 = 1.0 / 3.0;
    for (doubts, floors, apart, same_method, disagree, [first, second, middle]) in [
        // Two estimates of a stop that agree are still estimates of a stop.
        ([1.0, 1.0], [1.0, 1.0], THIRD, false, false, [1.0, 1.0, 1.0]),
        ([1.0, 1.0], [1.0, 1.0], 0.0, true, false, [1.0, 1.0, 1.0]),
        // A meter and a table a stop apart: the table does not spoil the meter.
        ([0.3, 1.0], [0.3, 1.0], 1.0, false, false, [0.3, 1.0, 0.522]),
        // Without a floor the middle of two independent ones would be better than either.
        ([0.6, 0.8], [0.0, 0.0], 0.5, false, false, [0.6, 0.8, 0.5]),
        ([0.6, 0.8], [0.55, 0.7], 0.5, false, false, [0.6, 0.8, 0.55]),
        // The same method twice: what is wrong with one is wrong with the other.
        ([0.6, 0.8], [0.0, 0.0], 0.5, true, false, [0.6, 0.8, 0.7]),
        // Just as far apart as they allow, and a little more.
        ([0.3, 0.4], [0.3, 0.4], 0.5, false, false, [0.3, 0.4, 0.3]),
        (
            [0.3, 0.4],
            [0.3, 0.4],
            -0.51,
            false,
            true,
            [0.51, 0.51, 0.3],
        ),
        // A photo and its own brightness value, 7⅔ stops away.
        (
            [0.5, 1.4],
            [0.5, 1.4],
            23.0 / 3.0,
            false,
            true,
            [23.0 / 3.0, 23.0 / 3.0, 23.0 / 6.0],
        ),
        (
            [1.0, 1.0],
            [1.0, 1.0],
            -25.0,
            true,
            true,
            [10.0, 10.0, 10.0],
        ),
    ] {
        let both = Compared {
            apart: Stops::constant(apart),
            doubts: doubts.map(doubt),
            floors: floors.map(doubt),
            same_method,
        };
        let name = format!("{both:?}");
        assert_eq!(both.disagree(), disagree, "{name}");
        for (what, actual, expected) in [
            ("first", both.of_first(), first),
            ("second", both.of_second(), second),
            ("middle", both.of_middle(), middle),
        ] {
            close(
                format!("{what} of {name}"),
                actual.half_width().get(),
                expected,
                0.0011,
            );
        }
    }
}

prop_compose! {
    fn any_doubt()(thousandths in 0_u64..=10_000) -> Doubt {
        Doubt::of_thousandths(thousandths).expect("in the range")
    }
}

prop_compose! {
    /// Two readings whose floors lie below what each says.
    fn any_two()(apart in -12.0..12.0_f64, doubts in [any_doubt(), any_doubt()], shares in [0.0..=1.0_f64, 0.0..=1.0], same_method in any::<bool>()) -> Compared {
        let floor = |i: usize| Doubt::new(doubts[i].half_width().get() * shares[i] * 0.999).expect("smaller");
        Compared { apart: Stops::constant(apart), doubts, floors: [floor(0), floor(1)], same_method }
    }
}

proptest! {
    #![proptest_config(config())]

    /// A reason more never makes anything surer, and the order does not matter.
    #[test]
    fn a_sum_never_shrinks(a in any_doubt(), b in any_doubt()) {
        let both = a.and(b);
        prop_assert!(both >= a && both >= b && both <= Doubt::MOST);
        prop_assert_eq!(both, b.and(a));
        prop_assert!(both.half_width().get() <= a.half_width().get() + b.half_width().get() + 0.001);
        prop_assert_eq!(a.and(Doubt::NONE), a);
    }

    /// Whatever is used is no surer than the smaller floor, no surer than a reading says of itself where that is used, and
    /// where they disagree it reaches to both.
    #[test]
    fn agreement_is_never_surer_than_the_methods(both in any_two()) {
        let floor = both.floors[0].min(both.floors[1]);
        let to = both.apart.size().get();
        for (used, far) in [(both.of_first(), to), (both.of_second(), to), (both.of_middle(), to / 2.0)] {
            prop_assert!(used >= floor, "{:?} is below the floor", used);
            if both.disagree() {
                prop_assert!(used.half_width().get() >= far.min(10.0), "{:?} does not reach", used);
            }
        }
        prop_assert!(both.of_first() >= both.doubts[0] && both.of_second() >= both.doubts[1]);
        // The middle reaches to both readings even where they agree.
        prop_assert!(both.of_middle().half_width().get() + 0.001 >= (to / 2.0).min(10.0));
        // The same both ways round.
        let other = Compared {
            apart: -both.apart,
            doubts: [both.doubts[1], both.doubts[0]],
            floors: [both.floors[1], both.floors[0]],
            ..both
        };
        prop_assert_eq!(both.of_middle(), other.of_middle());
        prop_assert_eq!(both.of_first(), other.of_second());
        prop_assert_eq!(both.disagree(), other.disagree());
    }

    /// As records keep it and back.
    #[test]
    fn thousandths_and_back(stops in 0.0..=10.0_f64) {
        let doubt = doubt(stops);
        prop_assert_eq!(Doubt::of_thousandths(u64::from(doubt.thousandths())), Some(doubt));
        let more = doubt.half_width().get() - stops;
        prop_assert!((-1e-8..0.001).contains(&more), "off by {}", more);
    }
}
