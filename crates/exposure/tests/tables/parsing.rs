//! What people type, and what is not taken for a figure.

use exposure::{Camera, Control, Error, Mark, Steps, words, words::parse_number};

use crate::check::{EXACT, close_relative, same};

/// What was typed and the number meant.
#[track_caller]
fn reads(control: Control, rows: &[(&str, f64)]) {
    for (text, expected) in rows {
        let number =
            parse_number(control, text).unwrap_or_else(|error| panic!("“{text}”: {error}"));
        close_relative(
            format!("“{text}” as a {}", words::noun(control)),
            number,
            *expected,
            EXACT,
        );
    }
}

/// A sentence for a person: it names what was typed or the limits, and gives an example or the ends.
#[track_caller]
fn readable(text: &str, error: &Error) {
    let sentence = error.to_string();
    assert!(
        sentence.chars().count() <= 160 && sentence.split(' ').count() >= 5,
        "“{text}”: “{sentence}” is no readable sentence"
    );
    assert!(
        [
            "is typed like",
            "has to lie between",
            "contradict each other",
            "are a list such as"
        ]
        .iter()
        .any(|part| sentence.contains(part)),
        "“{text}”: “{sentence}” does not say what would be taken"
    );
    assert!(
        !sentence.contains("NaN") || text.contains("NaN"),
        "“{text}”: “{sentence}” shows a number that nobody typed"
    );
}

#[track_caller]
fn not_understood(control: Control, texts: &[&str]) {
    for text in texts {
        match Mark::parse(control, text, Steps::Third) {
            Ok(mark) => panic!("“{text}” was taken as {}", words::value(&mark)),
            Err(error) => {
                assert!(
                    error.is_parse() && !error.is_range(),
                    "“{text}”: expected a parse error, got: {error}"
                );
                readable(text, &error);
            }
        }
    }
}

#[track_caller]
fn out_of_range(control: Control, texts: &[&str]) {
    for text in texts {
        match Mark::parse(control, text, Steps::Third) {
            Ok(mark) => panic!("“{text}” was taken as {}", words::value(&mark)),
            Err(error) => {
                assert!(
                    error.is_range() && !error.is_parse(),
                    "“{text}”: expected a range error, got: {error}"
                );
                readable(text, &error);
            }
        }
    }
}

#[test]
fn times() {
    reads(
        Control::Time,
        &[
            ("1/60", 1.0 / 60.0),
            (" 1/60 ", 1.0 / 60.0),
            ("1 / 60", 1.0 / 60.0),
            ("1/60s", 1.0 / 60.0),
            ("1/60 s", 1.0 / 60.0),
            ("1/60 sec", 1.0 / 60.0),
            ("1/60 second", 1.0 / 60.0),
            ("1⁄60", 1.0 / 60.0),
            ("1∕60", 1.0 / 60.0),
            ("1/1.5", 1.0 / 1.5),
            ("1/1,5", 1.0 / 1.5),
            ("3/4", 0.75),
            // As engraved on a shutter.
            ("60", 1.0 / 60.0),
            ("125", 1.0 / 125.0),
            ("2", 0.5),
            ("1", 1.0),
            // With a point or a unit it stands as it is.
            ("0.5", 0.5),
            (".5", 0.5),
            ("0,5", 0.5),
            ("0,125", 0.125),
            ("1.5", 1.5),
            ("2s", 2.0),
            ("2 s", 2.0),
            ("2S", 2.0),
            ("2\"", 2.0),
            ("2”", 2.0),
            ("2″", 2.0),
            ("2''", 2.0),
            ("2′′", 2.0),
            ("2 sec", 2.0),
            ("2 secs", 2.0),
            ("2 seconds", 2.0),
            ("0,5 s", 0.5),
            ("60s", 60.0),
            ("1'", 60.0),
            ("1'30", 90.0),
            ("1'30\"", 90.0),
            ("1’30”", 90.0),
            ("1′30″", 90.0),
            ("1'30s", 90.0),
            ("1m30s", 90.0),
            ("1m30", 90.0),
            ("1 min 30 s", 90.0),
            ("1 minute 30 seconds", 90.0),
            ("2 min", 120.0),
            ("2min", 120.0),
            ("2 minutes", 120.0),
            ("1.5 min", 90.0),
            ("24m", 1440.0),
            // As a watch shows it.
            ("1:30", 90.0),
            (" 1:30 ", 90.0),
            ("0:45", 45.0),
            ("10:00", 600.0),
            ("90:00", 5400.0),
            ("1:02:03", 3723.0),
            ("0:00:01", 1.0),
        ],
    );
}

#[test]
fn apertures() {
    reads(
        Control::Aperture,
        &[
            ("8", 8.0),
            ("f8", 8.0),
            ("F8", 8.0),
            ("f/8", 8.0),
            ("F/8", 8.0),
            ("f / 8", 8.0),
            ("f:8", 8.0),
            ("f.8", 8.0),
            ("f⁄8", 8.0),
            ("f/8.0", 8.0),
            ("5.6", 5.6),
            ("5,6", 5.6),
            ("f5.6", 5.6),
            ("f5,6", 5.6),
            ("f/5,6", 5.6),
            ("f/1:4", 4.0),
            ("1:4", 4.0),
            ("1:2.8", 2.8),
            ("0.95", 0.95),
            (".95", 0.95),
            ("f/.95", 0.95),
            ("512", 512.0),
        ],
    );
}

#[test]
fn sensitivities() {
    reads(
        Control::Sensitivity,
        &[
            ("100", 100.0),
            ("ISO 100", 100.0),
            ("iso100", 100.0),
            ("EI 100", 100.0),
            ("ASA 64", 64.0),
            ("12 800", 12_800.0),
            ("12\u{202f}800", 12_800.0),
            ("12\u{a0}800", 12_800.0),
            ("0.8", 0.8),
            ("0,8", 0.8),
            ("160/23°", 160.0),
            ("160/23", 160.0),
            ("160 / 23°", 160.0),
            ("ISO 160/23°", 160.0),
            ("400/27 DIN", 400.0),
            ("400/27º", 400.0),
            ("27°", 400.0),
            ("27 DIN", 400.0),
            ("27 °DIN", 400.0),
            ("DIN 27", 400.0),
            ("DIN 27°", 400.0),
            ("21 din", 100.0),
            ("9°", 6.0),
            // Between printed degrees the exact value.
            ("22.5°", 10.0_f64.powf(2.15)),
            ("12,5", 12.5),
        ],
    );
}

#[test]
fn not_figures_at_all() {
    let nobody_means = [
        "",
        " ",
        "\t\n",
        "-1",
        "−1",
        "+8",
        "1e9",
        "1E3",
        "NaN",
        "nan",
        "inf",
        "infinity",
        "∞",
        "٣",
        "１６",
        "½",
        "Ⅷ",
        "eight",
        "f",
        "f/",
        "/",
        "//",
        "°",
        "'",
        "\"",
        "''",
        ".",
        ",",
        "..",
        "1..2",
        "1.2.3",
        "1/",
        "1//60",
        "1/2/3",
        "0x10",
        "1_000",
        "8 mm",
        "ISO",
        "s",
        "m",
        "min",
        "\u{0}",
        "\u{202e}8",
        "8\u{200b}",
        "👍",
        "<b>8</b>",
        "8;9",
        "8|9",
        "8%",
        "1e-400",
        "9e999",
    ];
    for control in Control::ALL {
        not_understood(control, &nobody_means);
    }
    // Nothing is never a value.
    for control in Control::ALL {
        not_understood(control, &["0", "0.0", "00", "-0"]);
    }
    not_understood(
        Control::Time,
        &[
            "1/0",
            "0/60",
            "/60",
            "0s",
            "0'",
            "f8",
            "8 h",
            "1'-30",
            "1'30'20",
            "1:5",
            "1:60",
            ":30",
            "1:",
            "1::30",
            "0:00",
            "1:30:",
            "1:2:30",
            "1:00:00:00",
            "1000:00",
            "1:3a",
            "1.5:30",
            "1:30/60",
        ],
    );
    not_understood(
        Control::Aperture,
        &["1/8", "8s", "f//8", "ff8", "8f", "t/8", "160/23°"],
    );
    not_understood(
        Control::Sensitivity,
        &[
            "ISO ISO 100",
            "100 s",
            "f/8",
            "100/",
            "/21°",
            "100/21°/3",
            "-21°",
            "72°",
            "ISO/100",
        ],
    );
}

/// More text than any figure has is not read to its end, and the sentence does not repeat all of it.
#[test]
fn long_texts() {
    let texts = [
        "1".repeat(10_240),
        "1/60 ".repeat(2048),
        " ".repeat(10_240),
        "é".repeat(5000),
        "0".repeat(41),
        format!("1/{}", "9".repeat(39)),
    ];
    for text in &texts {
        for control in Control::ALL {
            let error =
                Mark::parse(control, text, Steps::Third).expect_err("too long for a figure");
            assert!(error.is_parse(), "expected a parse error, got: {error}");
            readable("(long text)", &error);
        }
    }
    // Space around a figure is no part of it, however much there is.
    let padded = format!("{}1/60{}", " ".repeat(5000), "\n".repeat(5000));
    reads(Control::Time, &[(&padded, 1.0 / 60.0)]);
}

#[test]
fn out_of_reach() {
    out_of_range(
        Control::Time,
        &[
            "1/32001",
            "1/99999999",
            "86401s",
            "1441 min",
            "1500'",
            "99999999s",
            "0.00001",
        ],
    );
    out_of_range(
        Control::Aperture,
        &["0.49", "f/0.1", "513", "1000000", "f/0.0001"],
    );
    out_of_range(
        Control::Sensitivity,
        &[
            "0.09",
            "10000001",
            "99999999999999999999",
            "71.9°",
            "0.0001/1°",
        ],
    );
    // The ends themselves are in reach.
    reads(
        Control::Time,
        &[
            ("1/32000", 1.0 / 32_000.0),
            ("86400s", 86_400.0),
            ("1440 min", 86_400.0),
        ],
    );
    for (control, text) in [
        (Control::Time, "1/32000"),
        (Control::Time, "86400s"),
        (Control::Aperture, "0.5"),
        (Control::Aperture, "512"),
        (Control::Sensitivity, "0.1"),
        (Control::Sensitivity, "10000000"),
    ] {
        assert!(
            Mark::parse(control, text, Steps::Third).is_ok(),
            "“{text}” is in reach"
        );
    }
}

/// The two speeds of a pair are one speed written twice; a slip in one of them is not settled in silence.
#[test]
fn pairs_that_contradict_themselves() {
    for text in ["100/27°", "160/24°", "400/21", "ISO 64/18°", "100/400"] {
        let error = parse_number(Control::Sensitivity, text).expect_err("a contradiction");
        assert!(
            error.is_parse(),
            "“{text}”: expected a parse error, got: {error}"
        );
        assert!(
            error.to_string().contains("contradict each other"),
            "“{text}”: {error}"
        );
        assert!(error.to_string().contains(text), "“{text}”: {error}");
    }
    // The printed pairs with the largest rounding are no contradiction.
    for text in ["3/6°", "6/9°", "12/12°", "1.2/2°", "12800/42°"] {
        assert!(
            parse_number(Control::Sensitivity, text).is_ok(),
            "“{text}” is a printed pair"
        );
    }
}

/// A comma before three digits parts thousands, never decimals: nobody has a film of ISO 1.600, or a time of 1/1.000.
#[test]
fn thousands_are_not_taken_for_decimals() {
    for (control, text, wrong) in [
        (Control::Sensitivity, "1,600", 1.6),
        (Control::Sensitivity, "ISO 12,800", 12.8),
        (Control::Sensitivity, "1.600", 1.6),
        (Control::Sensitivity, "ISO 12.800", 12.8),
        (Control::Time, "1/1,000", 1.0),
    ] {
        if let Ok(number) = parse_number(control, text) {
            assert!(
                (number - wrong).abs() > EXACT,
                "“{text}” was taken as {number}, a thousandth of what is meant, without a word"
            );
        }
    }
}

/// A figure that is not finished is not taken for one: 60 with a comma behind it is neither 1/60 nor a minute.
#[test]
fn unfinished_figures_are_refused() {
    not_understood(Control::Time, &["60,", "60.", "1/60.", "2,s"]);
    not_understood(Control::Aperture, &["8.", "f/8,"]);
    not_understood(Control::Sensitivity, &["100.", "ISO 400,"]);
}

/// Units behind the figure, as they stand on old boxes and in books.
#[test]
fn units_stand_on_either_side() {
    reads(
        Control::Time,
        &[("1/60 sec.", 1.0 / 60.0), ("2 min.", 120.0)],
    );
    reads(
        Control::Sensitivity,
        &[("100 ASA", 100.0), ("64 ISO", 64.0), ("50 EI", 50.0)],
    );
}

/// One comma between two marks of a list is asked about; a decimal comma is read.
#[test]
fn a_lone_comma_between_two_marks_is_asked_about() {
    let apertures = |list| Camera::parse("1/60", list, Steps::Full, None);
    let error = apertures("8,11").expect_err("f/8.11 or f/8 and f/11");
    assert!(
        error.to_string().contains("one mark or two"),
        "“8,11”: {error}"
    );
    let camera = apertures("5,6 8").expect("a decimal comma");
    assert_eq!(camera.apertures().marks().len(), 2, "f/5.6 and f/8");
}

/// A space between figures may part thousands, but it does not glue figures together that stand apart.
#[test]
fn figures_apart_are_not_one_figure() {
    for (text, wrong) in [("1 1/2", 5.5), ("1 60", 1.0 / 160.0), ("1/6 0", 1.0 / 60.0)] {
        if let Ok(number) = parse_number(Control::Time, text) {
            assert!(
                (number - wrong).abs() > EXACT,
                "“{text}” was taken as {number} s without a word"
            );
        }
    }
    if let Ok(number) = parse_number(Control::Aperture, "5 6") {
        assert!(
            (number - 56.0).abs() > EXACT,
            "“5 6” was taken as f/{number} without a word"
        );
    }
}

/// What a mark says of itself is what it is: typed figures come back as they were meant.
#[test]
fn typed_figures_come_back() {
    for (control, texts) in [
        (
            Control::Time,
            &[
                "1/60", "1/300", "1/2.5", "0.3s", "1.5s", "2.5s", "90s", "2min", "1/22.5", "1/8.5",
            ][..],
        ),
        (
            Control::Aperture,
            &["7.7", "3.5", "12.5", "0.95", "1.25", "10.5"][..],
        ),
        (
            Control::Sensitivity,
            &[
                "100", "12", "12.5", "0.8", "0.25", "0.15", "1.25", "37.5", "125",
            ][..],
        ),
    ] {
        for text in texts {
            let mark = Mark::parse(control, text, Steps::Third).unwrap();
            let printed = words::value(&mark);
            let again = parse_number(control, &printed)
                .unwrap_or_else(|error| panic!("“{printed}”: {error}"));
            close_relative(
                format!("“{text}” printed “{printed}” and read again"),
                again,
                mark.engraved(),
                EXACT,
            );
        }
    }
}

/// A camera's lists: every separator people use, measured times, runs, B in any place.
#[test]
fn camera_lists() {
    let figures = |times: &str, apertures: &str, steps| {
        let camera = Camera::parse(times, apertures, steps, None)
            .unwrap_or_else(|error| panic!("“{times}”, “{apertures}”: {error}"));
        let list = |scale: &exposure::Scale| {
            scale
                .marks()
                .iter()
                .map(words::figure)
                .collect::<Vec<_>>()
                .join(" ")
        };
        (list(camera.times()), list(camera.apertures()))
    };
    for (times, apertures, steps, expected_times, expected_apertures) in [
        (
            "1/30 1/60 1/125",
            "4 5.6 8",
            Steps::Full,
            "1/125 1/60 1/30",
            "8 5.6 4",
        ),
        (
            "1/30, 1/60, 1/125",
            "4, 5,6, 8",
            Steps::Full,
            "1/125 1/60 1/30",
            "8 5.6 4",
        ),
        (
            "1/30,1/60,1/125",
            "4;5.6;8",
            Steps::Full,
            "1/125 1/60 1/30",
            "8 5.6 4",
        ),
        (
            "30 60 125",
            "4,5.6,8",
            Steps::Full,
            "1/125 1/60 1/30",
            "8 5.6 4",
        ),
        (
            "1/125 1/30\n1/60\t1/60",
            "8 4 5.6 5.6",
            Steps::Full,
            "1/125 1/60 1/30",
            "8 5.6 4",
        ),
        (
            "1/250..1/60",
            "5.6..2.8",
            Steps::Full,
            "1/250 1/125 1/60",
            "5.6 4 2.8",
        ),
        (
            "1/60..1/250",
            "3.5..8",
            Steps::Third,
            "1/250 1/200 1/160 1/125 1/100 1/80 1/60",
            "8 7.1 6.3 5.6 5 4.5 4 3.5",
        ),
        // f/3.5 is Av 3.61, a literal figure in halves; 3.3 lies wider and is left out.
        ("1/60", "3.5..5.6", Steps::Half, "1/60", "5.6 4.8 4 3.5"),
        (
            "1/250=1/160 1/100",
            "8",
            Steps::Engraved,
            "1/250 1/100",
            "8",
        ),
        // Marks that were measured in another order than engraved stand where they really are.
        ("1/250=1/90 1/100", "8", Steps::Engraved, "1/100 1/250", "8"),
    ] {
        let (found_times, found_apertures) = figures(times, apertures, steps);
        same(format!("times of “{times}”"), &found_times, expected_times);
        same(
            format!("apertures of “{apertures}”"),
            &found_apertures,
            expected_apertures,
        );
    }
}

/// B and T offer whole seconds from the slowest mark on; where seconds are engraved they stay the shutter's own.
#[test]
fn camera_lists_with_b() {
    for (times, expected) in [
        ("b 1/2", "1/2 1s! 2s! 3s! 4s! 5s! 6s! 7s! 8s! 9s!"),
        ("T", "1s! 2s! 3s! 4s! 5s! 6s! 7s! 8s! 9s! 10s!"),
        (
            "1s 2s 4s 8s 1/2 B",
            "1/2 1s 2s 4s 8s 9s! 10s! 11s! 12s! 13s!",
        ),
        ("1/50 B", "1/50 1s! 2s! 3s! 4s! 5s! 6s! 7s! 8s! 9s!"),
    ] {
        let camera = Camera::parse(times, "8", Steps::Full, None).unwrap();
        let found: Vec<String> = camera
            .times()
            .marks()
            .iter()
            .take(10)
            .map(|mark| words::figure(mark) + if mark.by_hand() { "!" } else { "" })
            .collect();
        same(format!("times of “{times}”"), &found.join(" "), expected);
        assert!(camera.times().has_b(), "{times} has B");
    }
}

#[test]
fn camera_lists_that_are_none() {
    for (times, apertures) in [
        ("", "8"),
        ("1/60", ""),
        (" ; , ", "8"),
        ("1/60", ";;"),
        ("1/60 fast", "8"),
        ("1/60", "8 wide"),
        ("1/60..", "8"),
        ("..", "8"),
        ("1/60...1/250", "8"),
        ("1/60", "4-"),
        ("1/60", "-22"),
        ("1/60", "4-8-16"),
        ("1/60=", "8"),
        ("1/60=1/50=1/40", "8"),
        ("1/60=fast", "8"),
        ("1/60-1/250", "8"),
    ] {
        let error = Camera::parse(times, apertures, Steps::Full, None).expect_err("no camera");
        assert!(
            error.is_parse(),
            "“{times}”, “{apertures}”: expected a parse error, got: {error}"
        );
        readable(times, &error);
    }
    let many = (1..=201)
        .map(|n| format!("1/{n}"))
        .collect::<Vec<_>>()
        .join(" ");
    for (times, apertures, focal) in [
        ("1/99999", "8", None),
        ("1/60", "0.1", None),
        ("1/60=1/99999", "8", None),
        ("1/60", "8-9999", None),
        (&many, "8", None),
        ("1/60", "8", Some(0.0)),
        ("1/60", "8", Some(5000.1)),
        ("1/60", "8", Some(f64::NAN)),
        ("1/60", "8", Some(f64::NEG_INFINITY)),
    ] {
        let error = Camera::parse(times, apertures, Steps::Full, focal).expect_err("out of range");
        assert!(
            error.is_range(),
            "“{times}”, “{apertures}”, {focal:?}: expected a range error, got: {error}"
        );
        readable(times, &error);
    }
}

/// A typed value means the mark that carries its figure, wherever that mark was measured to be; else the nearest one.
#[test]
fn a_typed_value_means_a_mark() {
    let camera =
        Camera::parse("1/50 1/100 1/250=1/90", "4 5.6 8 11", Steps::Engraved, None).unwrap();
    for (typed, meant, residual) in [
        ("1/250", "1/250", 0.0),
        ("100", "1/100", 0.0),
        // 1/60 lies 0.263 under 1/50 and 0.585 above the 1/90 that is engraved 1/250.
        ("1/60", "1/50", (60.0_f64 / 50.0).log2()),
    ] {
        let mark = Mark::parse(Control::Time, typed, Steps::Engraved).unwrap();
        let choice = camera.times().meant(&mark);
        same(
            format!("typed {typed}"),
            &words::figure(&choice.mark),
            meant,
        );
        crate::check::close(
            format!("residual of {typed}"),
            choice.residual.get(),
            residual,
            EXACT,
        );
    }
}
