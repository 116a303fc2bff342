//! Older and measured shutters.

use exposure::{
    Control, Steps,
    shutter::{self, Timings, Tolerance, VideoTime},
    words,
};

use crate::check::{self, EXACT, Table, close};

#[test]
fn older_scale_is_taken_as_engraved() {
    let table = Table::read("times_older.csv", include_str!("../data/times_older.csv"));
    for row in table.rows() {
        let text = format!("1/{}", row.text("reciprocal"));
        let mark = check::time(&text, Steps::Engraved);
        close(
            format!("Tv of {text}"),
            mark.tv().unwrap().get(),
            row.number("tv"),
            table.tolerance,
        );
        close(
            format!("error of {text}"),
            mark.engraving_error().get(),
            0.0,
            EXACT,
        );
    }
}

/// Older marks beside newer ones: 1/25 against 1/30 is 0.26 stop by the figures and 0.36 by what 1/30 stands for. [CALC]
#[test]
fn older_marks_beside_newer_ones() {
    for (older, newer, by_figures, exact) in [
        ("1/25", "1/30", 0.2630, 0.3561),
        ("1/50", "1/60", 0.2630, 0.3561),
        ("1/100", "1/125", 0.3219, 0.3561),
        ("1/300", "1/250", -0.2630, -0.2288),
    ] {
        let mark = |text, steps| check::time(text, steps);
        let literal = mark(older, Steps::Engraved);
        close(
            format!("{older} and {newer} by their figures"),
            literal.relative_to(&mark(newer, Steps::Engraved)).get(),
            by_figures,
            0.000_05,
        );
        close(
            format!("{older} and what {newer} stands for"),
            literal.relative_to(&mark(newer, Steps::Full)).get(),
            exact,
            0.000_05,
        );
    }
}

#[test]
fn measured_1930s_folder() {
    let table = Table::read(
        "shutter_measured.csv",
        include_str!("../data/shutter_measured.csv"),
    );
    let typed: Vec<String> = table
        .rows()
        .map(|row| format!("{}={}", row.text("marked"), row.text("measured")))
        .collect();
    let camera =
        exposure::Camera::parse(&typed.join(" "), "4.5-22", Steps::Engraved, None).unwrap();
    for row in table.rows() {
        let marked = check::time(row.text("marked"), Steps::Engraved);
        let real = camera
            .times()
            .labelled(marked.engraved())
            .unwrap_or_else(|| panic!("{} is on the shutter", row.text("marked")));
        close(
            format!("more light at {}", row.text("marked")),
            real.relative_to(&marked).get(),
            row.number("error"),
            table.tolerance,
        );
        close(
            format!("the same by the mark itself, {}", row.text("marked")),
            real.engraving_error().get(),
            row.number("error"),
            table.tolerance,
        );
        check::same(
            "the figure stays",
            &words::value(real),
            &words::value(&marked),
        );
    }
}

/// A cheap shutter's only 1/100 measured at 1/140 to 1/160: half to two thirds of a stop less light. [CALC]
#[test]
fn cheap_fixed_speed() {
    let marked = check::time("1/100", Steps::Engraved);
    for (measured, error) in [(140.0, -0.4854), (160.0, -0.6781)] {
        let real = marked.measured_as(1.0 / measured).unwrap();
        close(
            format!("1/100 at 1/{measured}"),
            real.relative_to(&marked).get(),
            error,
            0.000_05,
        );
    }
}

/// Service tolerances: 20 % either way is +0.26 and −0.32 stop, 30 % is +0.38 and −0.51. [CALC]
#[test]
fn service_tolerances() {
    let marked = check::time("1/100", Steps::Engraved);
    for (share, error) in [(1.2, 0.2630), (0.8, -0.3219), (1.3, 0.3785), (0.7, -0.5146)] {
        let real = marked.measured_as(marked.engraved() * share).unwrap();
        close(
            format!("{share} of the time"),
            real.relative_to(&marked).get(),
            error,
            0.000_05,
        );
    }
}

/// B offers whole seconds by hand beyond the slowest mark, and says that they are by hand. A second that is counted is a
/// second: 15 are 15 and not the 16 of a series.
#[test]
fn by_hand_on_b() {
    let folder = check::camera::b();
    let hand: Vec<_> = folder
        .times()
        .marks()
        .iter()
        .filter(|mark| mark.by_hand())
        .collect();
    let spoken: Vec<String> = hand
        .iter()
        .take(3)
        .map(|mark| words::spoken(mark))
        .collect();
    check::same(
        "by hand",
        &spoken.join("; "),
        "2 seconds, by hand on B; 3 seconds, by hand on B; 4 seconds, by hand on B",
    );
    for mark in hand {
        close(
            "what is counted is given",
            mark.gives(),
            mark.engraved(),
            1e-9,
        );
        assert!(mark.engraved().fract() < 1e-9, "whole seconds: {mark:?}");
    }
    // The slowest mark of the shutter itself is no time by hand.
    assert!(
        folder
            .times()
            .labelled(1.0)
            .is_some_and(|mark| !mark.by_hand()),
        "1 s is a mark of the shutter"
    );
    // A box camera with 1/50 and B starts at one second.
    let boxy = check::camera::d();
    check::same("after 1/50", &words::value(&boxy.times().marks()[1]), "1s");
}

/// On B any time from half a second up is taken as it is typed; a shutter's own mark goes before it; below half a second, or
/// without B, the nearest mark is meant.
#[test]
fn typed_times_on_b() {
    let typed = |camera: &exposure::Camera, text: &str| {
        let mark = check::time(text, Steps::Engraved);
        let meant = camera.times().meant(&mark);
        (
            meant.mark.gives(),
            meant.mark.by_hand(),
            meant.residual.is_even(),
        )
    };
    let boxy = check::camera::d();
    for (text, seconds) in [
        ("0.5s", 0.5),
        ("0.7s", 0.7),
        ("12s", 12.0),
        ("25s", 25.0),
        ("33.5s", 33.5),
        ("15s", 15.0),
        ("2500s", 2500.0),
    ] {
        let (gives, by_hand, exact) = typed(&boxy, text);
        close(text, gives, seconds, 1e-9);
        assert!(by_hand && exact, "{text} is counted as it is typed");
    }
    let (gives, by_hand, _) = typed(&boxy, "0.4s");
    close("0.4 s is too short to count", gives, 1.0, 1e-9);
    assert!(by_hand, "the nearest is a second on B");
    // 1 s is engraved on the folder: the shutter's own, and nothing shorter is counted.
    assert!(!typed(&check::camera::b(), "1s").1, "the shutter's own");
    close("0.7 s", typed(&check::camera::b(), "0.6s").0, 0.5, 1e-9);
    // A body without B ends at its slowest mark.
    let bare = exposure::Camera::parse("1..1/500", "8", Steps::Full, None).unwrap();
    close("12 s without B", typed(&bare, "12s").0, 1.0, 1e-9);
}

/// What is wanted on B is counted to the very second, whether or not that second is offered.
#[test]
fn chosen_times_on_b() {
    let boxy = check::camera::d();
    for (wanted, counted) in [
        (12.2, 12.0),
        (17.4, 17.0),
        (94.0, 94.0),
        (37.8, 38.0),
        (1800.4, 1800.0),
        (1.0, 1.0),
    ] {
        let place = exposure::Place::new(f64::log2(wanted)).unwrap();
        let choice = boxy.times().choose(place, exposure::Prefer::Nearest);
        close(format!("{wanted} s"), choice.mark.gives(), counted, 1e-6);
        assert!(
            choice.mark.by_hand() && choice.end.is_none(),
            "counted by hand"
        );
    }
    // Negative film errs to more light: 1.2 s are 2 s.
    let more = boxy.times().choose(
        exposure::Place::new(f64::log2(1.2)).unwrap(),
        exposure::Prefer::MoreLight,
    );
    close("1.2 s", more.mark.gives(), 2.0, 1e-9);
}

/// The folder's measured times in words, each with its direction, and against a repairer's tolerance. Only 1/250 falls out.
#[test]
fn measured_folder_in_words() {
    let table = Table::read(
        "shutter_measured.csv",
        include_str!("../data/shutter_measured.csv"),
    );
    let words_of = [
        "1 s gives 1.1 s, about ⅙ of a stop more light",
        "1/2 gives 0.6 s, about ⅓ of a stop more light",
        "1/5 gives 1/5.5, about ⅙ of a stop less light",
        "1/10 gives 1/11, about ⅙ of a stop less light",
        "1/25 gives 1/29, about ⅙ of a stop less light",
        "1/50 gives 1/53, about ⅙ of a stop less light",
        "1/100 gives 1/95, less than ⅙ of a stop more light",
        "1/250 gives 1/160, about ⅔ of a stop more light",
    ];
    for (row, expected) in table.rows().zip(words_of) {
        let marked = check::time(row.text("marked"), Steps::Engraved);
        let mark = marked
            .measured_as(check::number(row.text("measured")))
            .unwrap();
        close(
            format!("error of {}", row.text("marked")),
            shutter::error(&mark).unwrap().get(),
            row.number("error"),
            table.tolerance,
        );
        assert_eq!(shutter::error(&marked), None, "nothing was measured");
        check::same(
            row.text("marked"),
            &words::shutter_error(&mark).unwrap(),
            expected,
        );
        assert_eq!(
            Tolerance::Repairer.passes(&mark, false),
            Some(row.text("marked") != "1/250"),
            "{} and a repairer",
            row.text("marked")
        );
    }
}

/// Worked case 10, the trap of the sign: marked 1 s, really 0.746 s, is 0.42 stop less light.
#[test]
fn case_10_sign() {
    let mark = check::time("1s", Steps::Full).measured_as(0.746).unwrap();
    let error = shutter::error(&mark).unwrap();
    close("error", error.get(), -0.4228, 0.000_05);
    assert!(error.is_less(), "a short time is less light");
    check::same(
        "in words",
        &words::shutter_error(&mark).unwrap(),
        "1 s gives 0.746 s, about half a stop less light",
    );
}

/// The error is against what a mark stands for: 1/60 of a series is 1/64, so that a shutter at 1/60 is slow by 0.09.
#[test]
fn error_is_against_the_series() {
    let series = check::time("1/60", Steps::Full)
        .measured_as(1.0 / 60.0)
        .unwrap();
    close(
        "series",
        shutter::error(&series).unwrap().get(),
        0.0931,
        0.000_05,
    );
    let literal = check::time("1/60", Steps::Engraved)
        .measured_as(1.0 / 60.0)
        .unwrap();
    close(
        "literal",
        shutter::error(&literal).unwrap().get(),
        0.0,
        EXACT,
    );
    check::same(
        "right on",
        &words::shutter_error(&literal).unwrap(),
        "1/60 gives what it stands for",
    );
    let aperture = check::aperture("8", Steps::Full).measured_as(9.0).unwrap();
    assert_eq!(shutter::error(&aperture), None, "an aperture is no time");
}

/// A repairer's 20 % and 30 % (common practice) in stops, and the other tolerance in use (common practice, from memory).
#[test]
fn tolerances() {
    for (mark, top, tolerance, least, most) in [
        ("1/100", false, Tolerance::Repairer, -0.3219, 0.2630),
        ("1s", true, Tolerance::Repairer, -0.3219, 0.2630),
        ("1/125", false, Tolerance::Repairer, -0.5146, 0.3785),
        ("1/500", true, Tolerance::Repairer, -0.5146, 0.3785),
        ("1/60", false, Tolerance::ThirdAndHalf, -0.3333, 0.3333),
        ("1/500", true, Tolerance::ThirdAndHalf, -0.5, 0.5),
    ] {
        let marked = check::time(mark, Steps::Engraved);
        let limits = tolerance.limits(&marked, top);
        for (limit, expected) in limits.into_iter().zip([least, most]) {
            close(
                format!("{tolerance:?} at {mark}"),
                limit.get(),
                expected,
                0.000_05,
            );
        }
        // At the limit it passes, a hair beyond it does not.
        for (limit, beyond) in [(limits[0], -0.001), (limits[1], 0.001)] {
            let at = |stops: f64| {
                marked
                    .measured_as(marked.engraved() * stops.exp2())
                    .unwrap()
            };
            assert_eq!(
                tolerance.passes(&at(limit.get()), top),
                Some(true),
                "{tolerance:?} at the limit of {mark}"
            );
            assert_eq!(
                tolerance.passes(&at(limit.get() + beyond), top),
                Some(false),
                "{tolerance:?} beyond the limit of {mark}"
            );
        }
        assert_eq!(tolerance.passes(&marked, top), None, "nothing was measured");
    }
    let off = check::time("1/250", Steps::Engraved)
        .measured_as(1.0 / 160.0)
        .unwrap();
    check::same(
        "in words",
        &words::tolerance(&off, Tolerance::Repairer, true).unwrap(),
        "outside of a repairer's 20 %, 30 % beyond 1/100 (from ½ stop less light to about ⅓ stop more light)",
    );
}

/// A cheap shutter's 75 shots lay between 1/140 and 1/160: a spread of 0.19 stop. [CALC]
#[test]
fn several_measurements() {
    let found = Timings::of(&[1.0 / 140.0, 1.0 / 160.0, 1.0 / 150.0]).unwrap();
    close("median", found.median, 1.0 / 150.0, EXACT);
    close("spread", found.spread().get(), 0.1926, 0.000_05);
    // Of an even number the middle in stops, half way between the two.
    let two = Timings::of(&[0.5, 2.0]).unwrap();
    close("median of two", two.median, 1.0, EXACT);
    let one = Timings::of(&[0.1]).unwrap();
    close("no spread", one.spread().get(), 0.0, EXACT);
    for bad in [vec![], vec![0.1; 101], vec![0.1, f64::NAN], vec![0.1, 0.0]] {
        assert!(
            Timings::of(&bad).is_err_and(|error| error.is_range()),
            "{bad:?}"
        );
    }
}

/// Pictures of a slow-motion video: 24 at 240 per second are 1/10; one picture leaves everything open.
#[test]
fn slow_motion() {
    let found = VideoTime::new(24.0, 240.0).unwrap();
    close("1/10", found.seconds, 0.1, EXACT);
    let [least, most] = found.between.unwrap();
    close("least", least, 23.0 / 240.0, EXACT);
    close("most", most, 25.0 / 240.0, EXACT);
    // A half-lit picture counts as a half.
    close(
        "with a half",
        VideoTime::new(2.5, 240.0).unwrap().seconds,
        2.5 / 240.0,
        EXACT,
    );
    assert_eq!(
        VideoTime::new(1.0, 240.0).unwrap().between,
        None,
        "too fast to be measured so"
    );
    for (pictures, per_second) in [
        (0.0, 240.0),
        (24.0, 0.0),
        (f64::NAN, 240.0),
        (24.0, f64::INFINITY),
        (1e6, 1.0),
        (0.5, 1e5),
    ] {
        assert!(
            VideoTime::new(pictures, per_second).is_err_and(|error| error.is_range()),
            "{pictures} at {per_second}"
        );
    }
}

/// A trade guide of 1979, second hand: leaf shutters at f/16 or smaller give 1/3, 2/3 and 1 stop more at 1/125, 1/250 and 1/500.
#[test]
fn leaf_at_small_stops() {
    for (at, stop, steps, expected) in [
        ("1/125", "16", Steps::Full, Some((1.0 / 3.0, "1/125"))),
        ("1/250", "16", Steps::Full, Some((2.0 / 3.0, "1/250"))),
        ("1/500", "16", Steps::Full, Some((1.0, "1/500"))),
        ("1/500", "32", Steps::Full, Some((1.0, "1/500"))),
        ("1/500", "11", Steps::Full, None),
        ("1/60", "22", Steps::Full, None),
        // Older marks take the nearest row; faster ones than the table the last.
        ("1/100", "16", Steps::Engraved, Some((1.0 / 3.0, "1/125"))),
        ("1/200", "16", Steps::Engraved, Some((2.0 / 3.0, "1/250"))),
        ("1/300", "18", Steps::Engraved, Some((2.0 / 3.0, "1/250"))),
        ("1/1000", "22", Steps::Full, Some((1.0, "1/500"))),
        ("1/50", "22", Steps::Engraved, None),
        ("1s", "22", Steps::Full, None),
    ] {
        let found = shutter::leaf_at_small_stop(
            &check::time(at, steps),
            &check::mark(Control::Aperture, stop, steps),
        );
        match (found, expected) {
            (Some(found), Some((effect, row))) => {
                close(format!("{at} f/{stop}"), found.effect.get(), effect, EXACT);
                check::same(format!("row of {at}"), &words::value(&found.row), row);
            }
            (found, expected) => assert!(
                found.is_none() && expected.is_none(),
                "{at} f/{stop}: got {found:?}, expected {expected:?}"
            ),
        }
    }
    assert_eq!(
        shutter::leaf_at_small_stop(
            &check::aperture("16", Steps::Full),
            &check::aperture("16", Steps::Full)
        ),
        None,
        "an aperture is no time"
    );
}
