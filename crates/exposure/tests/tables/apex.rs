//! The marked series against the exact levels they stand for.

use exposure::{Av, Camera, Control, Ev, Mark, Steps, Tv, words};

use crate::check::{self, EXACT, Table, close};

/// One mark of a published series: where it stands, what it exactly is, and how far its figure is off.
#[track_caller]
fn check_mark(mark: &Mark, level: f64, exact: f64, error: f64, tolerance: f64) {
    let what = words::value(mark);
    let sign = if mark.control() == Control::Sensitivity {
        1.0
    } else {
        -1.0
    };
    close(
        format!("level of {what}"),
        sign * mark.place().get(),
        level,
        EXACT,
    );
    close(
        format!("exact value of {what}"),
        mark.exact(),
        exact,
        tolerance,
    );
    // The tables give the level of the figure less the level it stands for; a level more is a stop less light.
    close(
        format!("error of {what}"),
        mark.engraving_error().get(),
        error,
        tolerance,
    );
}

#[test]
fn full_stop_times() {
    let table = Table::read("apex_times.csv", include_str!("../data/apex_times.csv"));
    for row in table.rows() {
        for steps in [Steps::Full, Steps::Half, Steps::Third] {
            let mark = check::time(row.text("marked"), steps);
            check_mark(
                &mark,
                row.number("tv"),
                row.number("exact_seconds"),
                row.number("error"),
                table.tolerance,
            );
            assert!(
                mark.nominal().is_some_and(exposure::Twelfths::is_full_stop),
                "{} is a full stop",
                row.text("marked")
            );
        }
        let literal = check::time(row.text("marked"), Steps::Engraved);
        close(
            format!("Tv of the figure {}", row.text("marked")),
            literal.tv().unwrap().get(),
            row.number("tv_of_figure"),
            table.tolerance,
        );
        assert!(
            literal.nominal().is_none(),
            "an engraved scale takes {} as it is",
            row.text("marked")
        );
    }
}

#[test]
fn full_stop_apertures() {
    let table = Table::read(
        "apex_apertures.csv",
        include_str!("../data/apex_apertures.csv"),
    );
    for row in table.rows() {
        for steps in [Steps::Full, Steps::Half, Steps::Third] {
            let mark = check::aperture(row.text("marked"), steps);
            check_mark(
                &mark,
                row.number("av"),
                row.number("exact"),
                row.number("error"),
                table.tolerance,
            );
        }
        let literal = check::aperture(row.text("marked"), Steps::Engraved);
        close(
            format!("Av of the figure f/{}", row.text("marked")),
            literal.av().unwrap().get(),
            row.number("av_of_figure"),
            table.tolerance,
        );
    }
}

/// The whole series in order: neighbours are a third or a half apart, whatever their figures say.
#[track_caller]
fn check_apertures(name: &'static str, text: &'static str, steps: Steps, per_stop: f64) {
    let table = Table::read(name, text);
    for (row, k) in table.rows().zip(0_u8..) {
        let mark = check::aperture(row.text("marked"), steps);
        check_mark(
            &mark,
            f64::from(k) / per_stop,
            row.number("exact"),
            row.number("error"),
            table.tolerance,
        );
    }
}

#[test]
fn third_stop_apertures() {
    check_apertures(
        "apertures_third.csv",
        include_str!("../data/apertures_third.csv"),
        Steps::Third,
        3.0,
    );
}

#[test]
fn half_stop_apertures() {
    check_apertures(
        "apertures_half.csv",
        include_str!("../data/apertures_half.csv"),
        Steps::Half,
        2.0,
    );
}

#[test]
fn third_and_half_stop_times() {
    let table = Table::read("times_marked.csv", include_str!("../data/times_marked.csv"));
    for row in table.rows() {
        let (steps, per_stop) = match row.text("series") {
            "third" => (Steps::Third, 3.0),
            "half" => (Steps::Half, 2.0),
            other => panic!("no series is called {other}"),
        };
        let mark = Mark::new(Control::Time, 1.0 / row.number("reciprocal"), steps).unwrap();
        close(
            format!(
                "Tv of 1/{} in {}s",
                row.text("reciprocal"),
                row.text("series")
            ),
            mark.tv().unwrap().get(),
            row.number("steps_from_one_second") / per_stop,
            table.tolerance,
        );
    }
}

/// The largest distances between a figure and what it stands for, so that nobody has to guess how much the rule
/// "marks stand for the series" is worth. [CALC]
#[test]
fn largest_errors_of_figures() {
    let worst = |control, steps, texts: &[&str]| {
        texts
            .iter()
            .map(|text| {
                check::mark(control, text, steps)
                    .engraving_error()
                    .size()
                    .get()
            })
            .fold(0.0, f64::max)
    };
    // 1/15, 1/30, 1/60, 15 s and 30 s: log2(16/15).
    let times = [
        "30s", "15s", "8s", "1", "1/8", "1/15", "1/30", "1/60", "1/125", "1/1000",
    ];
    close(
        "full-stop times",
        worst(Control::Time, Steps::Full, &times),
        (16.0_f64 / 15.0).log2(),
        EXACT,
    );
    // f/11 and f/22: 7 − 2·log2(11).
    let apertures = [
        "1.4", "2", "2.8", "4", "5.6", "8", "11", "16", "22", "32", "45",
    ];
    close(
        "full-stop apertures",
        worst(Control::Aperture, Steps::Full, &apertures),
        2.0_f64.mul_add(-11.0_f64.log2(), 7.0),
        EXACT,
    );
    // f/11 at 1/60 together: 0.174 EV between the figures and their nominal EV 13.
    let (time, aperture) = (
        check::time("1/60", Steps::Full),
        check::aperture("11", Steps::Full),
    );
    let nominal = Ev::of(time.tv().unwrap(), aperture.av().unwrap());
    let by_figures = Ev::of(
        Tv::new(60.0_f64.log2()).unwrap(),
        Av::new(2.0 * 11.0_f64.log2()).unwrap(),
    );
    close("nominal EV of 1/60 f/11", nominal.get(), 13.0, EXACT);
    close(
        "its figures give more light",
        by_figures.light_relative_to(nominal).get(),
        0.174_246,
        1e-6,
    );
}

/// Pairs that books call equal are equal on the nominal steps, and the error of calling their figures equal is shown.
#[test]
fn equivalent_exposures() {
    let table = Table::read("equivalent.csv", include_str!("../data/equivalent.csv"));
    let ev = |at: &str, stop: &str, steps| {
        Ev::of(
            check::time(at, steps).tv().unwrap(),
            check::aperture(stop, steps).av().unwrap(),
        )
    };
    for row in table.rows() {
        let [a, b, c, d] =
            ["time", "aperture", "same_time", "same_aperture"].map(|column| row.text(column));
        close(
            format!("{}: {a} f/{b} and {c} f/{d}", row.text("source")),
            ev(a, b, Steps::Full)
                .light_relative_to(ev(c, d, Steps::Full))
                .get(),
            0.0,
            table.tolerance,
        );
    }
    close(
        "1 s f/32 by its figures",
        ev("1s", "32", Steps::Engraved).get(),
        10.0,
        EXACT,
    );
    close(
        "1/250 f/2 by its figures",
        ev("1/250", "2", Steps::Engraved).get(),
        9.965_784,
        1e-6,
    );
}

/// Each series is whole: neighbours are exactly a step apart, and no figure is far from what it stands for.
///
/// The worst are 1/20 and 1/10 in halves (for 1/22.6 and 1/11.3, 0.178 stop) and f/1.2 in thirds (0.141 stop). [CALC]
#[test]
fn series_are_regular() {
    for (steps, step) in [
        (Steps::Full, 1.0),
        (Steps::Half, 0.5),
        (Steps::Third, 1.0 / 3.0),
    ] {
        let slowest = if steps == Steps::Third { "30s" } else { "60s" };
        let camera = Camera::parse(&format!("{slowest}..1/8000"), "0.7..64", steps, None).unwrap();
        for scale in [camera.times(), camera.apertures()] {
            for pair in scale.marks().windows(2) {
                let what = format!(
                    "{} to {} in {steps:?}",
                    words::value(&pair[0]),
                    words::value(&pair[1])
                );
                close(what, pair[1].relative_to(&pair[0]).get(), step, EXACT);
            }
            for mark in scale.marks() {
                let error = mark.engraving_error().size().get();
                assert!(error < 0.1781, "{} is {error} off", words::value(mark));
            }
        }
    }
}

/// A figure is a mark of the series only if it is that figure: a near one is taken literally.
#[test]
fn near_figures_are_literal() {
    for (control, text) in [
        (Control::Time, "1/126"),
        (Control::Time, "1/124.5"),
        (Control::Time, "0.333"),
        (Control::Time, "8.01s"),
        (Control::Aperture, "5.65"),
        (Control::Aperture, "8.02"),
        (Control::Aperture, "11.3"),
        (Control::Sensitivity, "101"),
    ] {
        let mark = check::mark(control, text, Steps::Third);
        assert!(mark.nominal().is_none(), "{text} is no mark of a series");
        close(
            format!("error of {text}"),
            mark.engraving_error().get(),
            0.0,
            EXACT,
        );
    }
    // The same figure written otherwise is the same mark.
    for (one, other) in [
        ("1/10", "0.1"),
        ("1/2", "0.5"),
        ("1/1.5", "2/3"),
        ("1'", "60s"),
    ] {
        assert_eq!(
            check::time(one, Steps::Half).nominal(),
            check::time(other, Steps::Half).nominal(),
            "{one} and {other}"
        );
    }
}
