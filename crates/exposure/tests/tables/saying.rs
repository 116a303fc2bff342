//! The words: every rounding is visible in them, and more or less light is always said.

use exposure::{Camera, Control, Ev, Ledger, Mark, Steps, Stops, light::Constants, words};

use crate::check::{aperture, close, reading, same, speed, time};

#[test]
fn sizes_of_differences() {
    for (stops, expected) in [
        (0.0, "0 stops"),
        (1.0 / 6.0, "⅙ stop"),
        (1.0 / 3.0, "⅓ stop"),
        (0.5, "½ stop"),
        (2.0 / 3.0, "⅔ stop"),
        (5.0 / 6.0, "⅚ stop"),
        (1.0, "1 stop"),
        (-1.0, "1 stop"),
        (7.0 / 6.0, "1⅙ stops"),
        (-4.0 / 3.0, "1⅓ stops"),
        (1.5, "1½ stops"),
        (2.0, "2 stops"),
        (2.3853, "about 2⅓ stops"),
        (0.05, "under ⅙ stop"),
        (-0.0833, "under ⅙ stop"),
        (0.0834, "about ⅙ stop"),
        // Within a fiftieth of a stop the sixth is called exact; beyond, it is called about.
        (0.5 + 0.019, "½ stop"),
        (0.5 + 0.021, "about ½ stop"),
        (0.5 - 0.021, "about ½ stop"),
        (0.96, "about 1 stop"),
        (100.0, "100 stops"),
    ] {
        same(
            format!("{stops}"),
            &words::stops(Stops::constant(stops)),
            expected,
        );
    }
}

#[test]
fn directions_of_differences() {
    for (stops, expected) in [
        (0.0, "no difference"),
        (1e-7, "no difference"),
        (-1e-7, "no difference"),
        (1.0 / 3.0, "⅓ stop more light"),
        (-1.0 / 6.0, "⅙ stop less light"),
        (-2.0, "2 stops less light"),
        (0.01, "under ⅙ stop more light"),
        (-0.01, "under ⅙ stop less light"),
        (0.25, "about ⅓ stop more light"),
    ] {
        same(
            format!("{stops}"),
            &words::difference(Stops::constant(stops)),
            expected,
        );
    }
    for (stops, expected) in [(0.1, "more light"), (-0.1, "less light"), (0.0, "")] {
        same(
            format!("lean of {stops}"),
            words::lean(Stops::constant(stops)),
            expected,
        );
    }
}

#[test]
fn differences_in_running_text() {
    for (stops, expected) in [
        (1.0 / 6.0, "⅙ of a stop"),
        (-0.5, "half a stop"),
        (0.47, "about half a stop"),
        (2.0 / 3.0, "⅔ of a stop"),
        (1.0, "one stop"),
        (-2.0, "two stops"),
        (12.0, "twelve stops"),
        (13.0, "13 stops"),
        (4.0 / 3.0, "1⅓ stops"),
        (0.05, "less than ⅙ of a stop"),
        (0.7, "about ⅔ of a stop"),
    ] {
        same(
            format!("{stops}"),
            &words::of_a_stop(Stops::constant(stops)),
            expected,
        );
    }
}

#[test]
fn factors_of_light() {
    for (stops, expected) in [
        (0.0, "the same light"),
        (1.0, "twice the light"),
        (2.0, "4 times the light"),
        (3.0, "8 times the light"),
        (12.0, "4096 times the light"),
        (-1.0, "half the light"),
        (-2.0, "a quarter of the light"),
        (-3.0, "an eighth of the light"),
        (-4.0, "1/16 of the light"),
        (-12.0, "1/4096 of the light"),
        (1.0 / 3.0, "about 1.3 times the light"),
        (0.5, "about 1.4 times the light"),
        (3.5, "about 11 times the light"),
        (-0.5, "about 71 % of the light"),
        (-1.0 / 3.0, "about 79 % of the light"),
        (-4.5, "about 4.4 % of the light"),
        (0.05, "about the same light"),
        (-0.05, "about the same light"),
        (16.0, "about 66\u{202f}000 times the light"),
        (-16.5, "about 1/93\u{202f}000 of the light"),
        (13.0, "about 8200 times the light"),
    ] {
        same(
            format!("{stops}"),
            &words::factor(Stops::constant(stops)),
            expected,
        );
    }
}

#[test]
fn parts_that_add_up_in_print() {
    for (stops, expected) in [
        (0.0, "no difference"),
        (1.0 / 6.0, "⅙ stop more light"),
        (-0.5, "½ stop less light"),
        (1.0, "1 stop more light"),
        (-4.0 / 3.0, "1⅓ stops less light"),
        (2.0, "2 stops more light"),
        (-0.26, "0.26 stop less light"),
        (0.35, "0.35 stop more light"),
        (1.01, "1.01 stops more light"),
        // What is shown decides between stop and stops.
        (1.004, "1 stop more light"),
        (0.996, "1 stop more light"),
        (-0.004, "under 0.01 stop less light"),
    ] {
        same(
            format!("{stops}"),
            &words::part(Stops::constant(stops)),
            expected,
        );
    }
    let printed = |set: [Mark; 3], corrections: &[f64]| {
        let read = reading("100", "1/125", "8", Steps::Third);
        let corrections = corrections.iter().map(|stops| Stops::constant(*stops));
        let (lines, total) = Ledger::new(&read, &set, corrections).printed();
        let lines: Vec<String> = lines.into_iter().map(words::part).collect();
        format!("{}: {}", lines.join(", "), words::part(total))
    };
    let third = |text| time(text, Steps::Third);
    let stop = |text| aperture(text, Steps::Third);
    // Thirds stay thirds beside hundredths, and what a filter of factor 25 takes is 4.64, as where it was typed.
    let factor_25 = -25.0_f64.log2();
    for (set, corrections, expected) in [
        (
            [third("1/100"), stop("7.1"), speed("100")],
            vec![],
            "⅓ stop more light, ⅓ stop more light, no difference: ⅔ stop more light",
        ),
        (
            [third("1/4"), stop("7.1"), speed("100")],
            vec![factor_25],
            "5 stops more light, ⅓ stop more light, no difference, 4.64 stops less light: 0.69 stop more light",
        ),
        (
            [third("1/160"), stop("8"), speed("100")],
            vec![factor_25],
            "⅓ stop less light, no difference, no difference, 4.64 stops less light: 4.97 stops less light",
        ),
        // A literal time takes up what rounding leaves over, and the filter does not.
        (
            [time("1/50", Steps::Engraved), stop("7.1"), speed("100")],
            vec![-1.3149, -0.3746],
            "1.35 stops more light, ⅓ stop more light, no difference, 1.31 stops less light, 0.37 stop less light: no difference",
        ),
    ] {
        same(
            "the lines and the total",
            &printed(set, &corrections),
            expected,
        );
    }
}

#[test]
fn values_as_engraved_and_as_spoken() {
    for (control, text, value, spoken) in [
        (Control::Time, "1/125", "1/125", "1/125 second"),
        (Control::Time, "0.5", "1/2", "1/2 second"),
        (Control::Time, "1/1.5", "1/1.5", "1/1.5 second"),
        (Control::Time, "0.3s", "0.3", "0.3 second"),
        (Control::Time, "1s", "1s", "1 second"),
        (Control::Time, "1.5s", "1.5s", "1.5 seconds"),
        (Control::Time, "2s", "2s", "2 seconds"),
        (Control::Time, "60s", "60s", "1 minute"),
        (Control::Time, "90s", "90s", "1 minute 30 seconds"),
        (Control::Time, "61s", "61s", "1 minute 1 second"),
        (Control::Time, "120s", "2min", "2 minutes"),
        (Control::Time, "24 min", "24min", "24 minutes"),
        (Control::Time, "60 min", "60min", "1 hour"),
        (
            Control::Time,
            "7325s",
            "7325s",
            "2 hours 2 minutes 5 seconds",
        ),
        (Control::Time, "119.999s", "120s", "2 minutes"),
        (Control::Aperture, "8", "f/8", "f/8"),
        (Control::Aperture, "5,6", "f/5.6", "f/5.6"),
        (Control::Aperture, "0.95", "f/0.95", "f/0.95"),
        (Control::Aperture, "12.5", "f/12.5", "f/12.5"),
        (Control::Sensitivity, "100", "ISO 100", "ISO 100"),
        (Control::Sensitivity, "0.8", "ISO 0.8", "ISO 0.8"),
        (Control::Sensitivity, "23°", "ISO 160", "ISO 160"),
        (Control::Sensitivity, "12800", "ISO 12800", "ISO 12800"),
    ] {
        let mark = Mark::parse(control, text, Steps::Third).unwrap();
        same(format!("value of {text}"), &words::value(&mark), value);
        same(format!("{text} spoken"), &words::spoken(&mark), spoken);
        assert!(
            value.ends_with(&words::figure(&mark)),
            "the figure of {text} is in its value"
        );
    }
    for (control, noun, name) in [
        (Control::Time, "time", "Time"),
        (Control::Aperture, "aperture", "Aperture"),
        (Control::Sensitivity, "sensitivity", "Sensitivity"),
    ] {
        same("noun", words::noun(control), noun);
        same("name", control.name(), name);
    }
}

/// A measured mark is still called by its figure: that is what is on the camera.
#[test]
fn measured_marks_keep_their_figure() {
    let camera = Camera::parse("1/250=1/160", "8", Steps::Engraved, None).unwrap();
    let mark = camera.times().darkest();
    same("value", &words::value(mark), "1/250");
    same("spoken", &words::spoken(mark), "1/250 second");
    close("what it really is", mark.exact(), 1.0 / 160.0, 1e-12);
}

#[test]
fn exposure_indexes() {
    for (iso, expected) in [
        (100.0, "EI 100"),
        // Twelve on the list stands for 12.5.
        (12.5, "EI 12"),
        (62.996, "EI 64"),
        (0.78745, "EI 0.8"),
        (101.0, "EI 100"),
        (102.0, "about EI 102"),
        (74.3, "about EI 74"),
        (5.6, "about EI 5.6"),
        (19.14, "about EI 19"),
        (30_000.0, "about EI 30000"),
        (1234.0, "about EI 1230"),
        (0.7385, "about EI 0.74"),
        (25_600.0, "EI 25600"),
    ] {
        let place = exposure::Place::new(f64::log2(iso / 100.0)).unwrap();
        let mark = Mark::between(Control::Sensitivity, place).unwrap();
        same(format!("{iso}"), &words::ei(&mark), expected);
    }
}

#[test]
fn decimals() {
    for (number, places, expected) in [
        (12.5, 2, "12.5"),
        (12.0, 2, "12"),
        (0.1 + 0.2, 6, "0.3"),
        (-0.004, 2, "0"),
        (-0.005, 2, "−0.01"),
        (0.005, 2, "0.01"),
        (-1.25, 1, "−1.3"),
        (1.05, 6, "1.05"),
        (0.000_001, 6, "0.000001"),
        (0.000_000_4, 6, "0"),
        (999.999, 2, "1000"),
        (1e12, 0, "1000000000000"),
        // More than six places are not given, and what is no number is at least no panic.
        (1.0 / 3.0, 200, "0.333333"),
        (f64::NAN, 2, "0"),
    ] {
        same(
            format!("{number} with {places}"),
            &words::decimal(number, places),
            expected,
        );
    }
    for (number, expected) in [
        (0.0, "0"),
        (999.0, "999"),
        (1024.0, "1024"),
        (10_240.0, "10\u{202f}240"),
        (163_840.0, "163\u{202f}840"),
        (1_234_567.0, "1\u{202f}234\u{202f}567"),
    ] {
        same(format!("{number} counted"), &words::count(number), expected);
    }
}

#[test]
fn light() {
    for (ev, expected) in [
        (12.0, "EV 12 at ISO 100"),
        (12.3, "EV 12.3 at ISO 100"),
        (40.0 / 3.0, "about EV 13.3 at ISO 100"),
        (-2.0, "EV −2 at ISO 100"),
        (0.0, "EV 0 at ISO 100"),
    ] {
        same(
            format!("{ev}"),
            &words::light(Ev::new(ev).unwrap()),
            expected,
        );
    }
    for (ev, expected) in [
        (12.0, "about 510 cd/m² (K 12.5), 10\u{202f}000 lx (C 250)"),
        (15.0, "about 4100 cd/m² (K 12.5), 82\u{202f}000 lx (C 250)"),
        (5.0, "about 4 cd/m² (K 12.5), 80 lx (C 250)"),
        (-4.0, "about 0.0078 cd/m² (K 12.5), 0.16 lx (C 250)"),
    ] {
        same(
            format!("EV {ev} in units"),
            &words::light_in_units(Ev::new(ev).unwrap(), &Constants::default()),
            expected,
        );
    }
    same(
        "with other constants",
        &words::light_in_units(
            Ev::new(15.0).unwrap(),
            &Constants::new(11.4, 322.0).unwrap(),
        ),
        "about 3700 cd/m² (K 11.4), 110\u{202f}000 lx (C 322)",
    );
}
