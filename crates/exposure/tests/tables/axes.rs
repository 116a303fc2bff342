//! Lines that are drawn: where values lie on them.

use exposure::Axis;
use proptest::prelude::*;

#[test]
fn whole_numbers_around_values() {
    for (values, least, from, to) in [
        (vec![11.6, 14.0], 4.0, 11.0, 15.0),
        (vec![3.0], 1.0, 3.0, 4.0),
        (vec![3.000_000_000_01, 5.999_999_999_99], 1.0, 3.0, 6.0),
        (vec![-2.5, 2.5], 2.0, -3.0, 3.0),
        (vec![f64::NAN, 7.0, f64::INFINITY], 4.0, 5.0, 9.0),
        (vec![], 6.0, 0.0, 6.0),
    ] {
        let axis = Axis::around(values.iter().copied(), least);
        assert_eq!((axis.from(), axis.to()), (from, to), "{values:?}");
    }
}

#[test]
fn round_values_on_it() {
    for (from, to, most, ticks) in [
        (-6.0, 18.0, 8, vec![-5.0, 0.0, 5.0, 10.0, 15.0]),
        (
            -6.0,
            18.0,
            13,
            vec![
                -6.0, -4.0, -2.0, 0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 18.0,
            ],
        ),
        (0.0, 3.0, 4, vec![0.0, 1.0, 2.0, 3.0]),
        (0.0, 0.9, 4, vec![0.0, 0.5]),
    ] {
        let found = Axis::new(from, to).ticks(most);
        assert_eq!(found.len(), ticks.len(), "{found:?}");
        for (found, tick) in found.iter().zip(&ticks) {
            assert!((found - tick).abs() < 1e-9, "{found} is not {tick}");
        }
    }
}

proptest! {
    /// Whatever the numbers are, a place lies on the line, and a value that lies on it is found again.
    #[test]
    fn places_lie_on_it(from in any::<f64>(), to in any::<f64>(), value in any::<f64>(), most in 0_usize..400) {
        let axis = Axis::new(from, to);
        let share = axis.share(value);
        prop_assert!((0.0..=1.0).contains(&share), "{share}");
        prop_assert!(axis.ticks(most).len() <= most.clamp(2, 200));
    }

    #[test]
    fn a_place_leads_back(from in -1e3..1e3_f64, length in 0.1..1e3_f64, share in 0.0..=1.0_f64) {
        let axis = Axis::new(from, from + length);
        prop_assert!((axis.share(axis.at(share)) - share).abs() < 1e-9);
        prop_assert!(axis.holds(axis.at(share * 0.999)));
        let ticks = axis.ticks(9);
        prop_assert!(ticks.len() >= 2);
        prop_assert!(ticks.iter().all(|tick| *tick >= from - 1e-6 && *tick <= from + length + 1e-6));
    }

    /// Of a line nothing is drawn beyond the axis, and nothing on it is left out.
    #[test]
    fn a_line_is_cut_at_the_ends(heights in proptest::collection::vec(-30.0..30.0_f64, 2..40), from in -20.0..0.0_f64, length in 1.0..30.0_f64) {
        let axis = Axis::new(from, from + length);
        let mut hour = -1.0;
        let points: Vec<[f64; 2]> = heights.iter().map(|height| { hour += 1.0; [hour, *height] }).collect();
        let line = |x: f64| points.windows(2).find(|pair| (pair[0][0]..=pair[1][0]).contains(&x))
            .map(|pair| pair[0][1] + (pair[1][1] - pair[0][1]) * (x - pair[0][0]) / (pair[1][0] - pair[0][0]));
        let stretches = axis.within(&points);
        for [x, y] in stretches.iter().flatten() {
            prop_assert!(*y >= axis.from() - 1e-9 && *y <= axis.to() + 1e-9);
            prop_assert!((line(*x).expect("on the line") - y).abs() < 1e-6, "{x} {y}");
        }
        let is_drawn = |x: f64| stretches.iter().any(|stretch| (stretch[0][0]..=stretch[stretch.len() - 1][0]).contains(&x));
        let mut x = 0.013;
        while x < hour {
            let y = line(x).expect("on the line");
            if (y - axis.from()).abs() > 1e-6 && (y - axis.to()).abs() > 1e-6 {
                prop_assert_eq!(is_drawn(x), axis.holds(y), "at {} {}", x, y);
            }
            x += 0.107;
        }
    }
}
