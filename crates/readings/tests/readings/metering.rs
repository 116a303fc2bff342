//! Pixels as light: a place in a picture, and the live camera.

use exposure::Doubt;
use readings::{
    live::{Calibration, Track, compared, next_time, relative},
    picture::{Patch, Picture, Settings, Spot, linear},
    typed::{Typed, Unit},
};

use crate::check::{EXACT, close, ev, number, rows, sound};

fn plain(value: u8, width: usize, height: usize) -> Vec<u8> {
    [value, value, value, 255].repeat(width * height)
}

/// The settings of a photo that are right for a light.
fn exposed(light: f64) -> Settings {
    Settings {
        light: ev(light),
        doubt: Some(Doubt::constant(0.5)),
    }
}

fn middle() -> Spot {
    Spot {
        across: 0.5,
        down: 0.5,
        radius: 0.1,
    }
}

#[test]
fn linear_values_as_published() {
    for row in rows("srgb.csv", include_str!("../data/srgb.csv")) {
        let value = row[0].parse().expect("eight bits");
        close(row[0], linear(value), number(row[1]), 1e-9);
    }
    close("black", linear(0), 0.0, EXACT);
    close("white", linear(255), 1.0, EXACT);
}

/// 18 % grey is 8-bit 118 to the nearest; a grey of 60 is 1.95 stops below it.
#[test]
fn a_plain_grey_reads_what_the_settings_say() {
    let settings = exposed(12.0);
    for (value, brighter) in [
        (118, (0.181_164_244_249_860_f64 / 0.18).log2()),
        (188, (0.502_886_458_032_569_f64 / 0.18).log2()),
    ] {
        let pixels = plain(value, 64, 48);
        let picture = Picture::new(64, 48, &pixels).expect("a picture");
        for patch in [picture.whole(), picture.spot(middle()).expect("a spot")] {
            let found = patch.found(&settings).expect("a light");
            sound(&found);
            close("light", found.light().get(), 12.0 + brighter, EXACT);
            assert!(patch.caution().is_none(), "nothing burnt or black");
            assert!(
                found.uncertainty.contains("processed"),
                "{}",
                found.uncertainty
            );
        }
    }
    let pixels = plain(118, 2, 2);
    let patch = Picture::new(2, 2, &pixels).expect("a picture").whole();
    assert_eq!(
        patch.sentence().expect("a light"),
        "as bright as middle grey"
    );
}

/// The spot reads what is under it and nothing else: half of the picture is white.
#[test]
fn the_spot_is_where_it_was_touched() {
    let (width, height) = (40, 20);
    let mut pixels = plain(60, width, height);
    for row in 0..height {
        for column in width / 2..width {
            pixels[(row * width + column) * 4..][..3].fill(200);
        }
    }
    let picture = Picture::new(width, height, &pixels).expect("a picture");
    let at = |across: f64, down: f64| {
        picture
            .spot(Spot {
                across,
                down,
                radius: 0.05,
            })
            .expect("in the picture")
            .mean
    };
    close("left", at(0.2, 0.5), linear(60), EXACT);
    close("right", at(0.8, 0.5), linear(200), EXACT);
    close("corner", at(0.0, 0.0), linear(60), EXACT);
    close("far corner", at(1.0, 1.0), linear(200), EXACT);
    let border = at(0.5, 0.5);
    assert!(
        linear(60) < border && border < linear(200),
        "between: {border}"
    );
    close(
        "whole",
        picture.whole().mean,
        f64::midpoint(linear(60), linear(200)),
        EXACT,
    );
}

/// Luminance weighs the colours: green counts most, blue least (ITU-R BT.709 primaries).
#[test]
fn colours_are_weighed() {
    for (colour, weight) in [
        ([255, 0, 0], 0.2126),
        ([0, 255, 0], 0.7152),
        ([0, 0, 255], 0.0722),
    ] {
        let pixels = [colour[0], colour[1], colour[2], 255];
        let patch = Picture::new(1, 1, &pixels).expect("a picture").whole();
        close(format!("{colour:?}"), patch.mean, weight, EXACT);
    }
}

#[test]
fn burnt_and_black_places_are_said() {
    let mut pixels = plain(118, 10, 10);
    pixels[..40].fill(255);
    let patch = Picture::new(10, 10, &pixels).expect("a picture").whole();
    assert!(
        patch
            .caution()
            .is_some_and(|c| c.contains("10 %") && c.contains("at least")),
        "{patch:?}"
    );
    let mut pixels = plain(118, 10, 10);
    pixels[..40].fill(0);
    let patch = Picture::new(10, 10, &pixels).expect("a picture").whole();
    assert!(
        patch.caution().is_some_and(|c| c.contains("at most")),
        "{patch:?}"
    );
    for (value, says) in [(255, "burnt out"), (0, "black"), (1, "black")] {
        let pixels = plain(value, 4, 4);
        let patch = Picture::new(4, 4, &pixels).expect("a picture").whole();
        let refused = patch.found(&exposed(12.0)).expect_err("says nothing");
        assert!(refused.to_string().contains(says), "{refused}");
    }
}

#[test]
fn what_is_no_picture_and_no_spot() {
    for (width, height, length) in [(0, 0, 0), (2, 2, 15), (usize::MAX, 4, 16), (4, 0, 0)] {
        assert!(
            Picture::new(width, height, &vec![0; length]).is_err(),
            "{width} × {height}"
        );
    }
    let pixels = plain(118, 4, 4);
    let picture = Picture::new(4, 4, &pixels).expect("a picture");
    for (across, down, radius) in [
        (-0.1, 0.5, 0.1),
        (0.5, 1.1, 0.1),
        (f64::NAN, 0.5, 0.1),
        (0.5, 0.5, 0.0),
        (0.5, 0.5, f64::INFINITY),
    ] {
        assert!(
            picture
                .spot(Spot {
                    across,
                    down,
                    radius
                })
                .is_err(),
            "{across} {down} {radius}"
        );
    }
}

fn grey(mean: f64) -> Patch {
    Patch {
        mean,
        burnt: 0.0,
        black: 0.0,
    }
}

#[test]
fn one_constant_makes_a_camera_a_meter() {
    let track =
        |hundred_microseconds, iso| Track::new(hundred_microseconds, iso).expect("reported");
    let calibration =
        Calibration::new(&track(40.0, 100.0), &grey(0.18), ev(10.0), None).expect("the same light");
    let kept = Calibration::from_record(&calibration.record()).expect("kept");
    for damaged in [
        "",
        "{}",
        "2125",
        &calibration.record()[1..],
        &calibration.record().replace("1,", "2,"),
        &calibration.record().replace("live", "dead"),
        r#"{"format": "stopkeeper live camera", "version": 1, "constant_thousandths": 99999}"#,
    ] {
        assert!(Calibration::from_record(damaged).is_none(), "{damaged}");
    }
    // Twice the time, half the sensitivity, or twice as bright: each by arithmetic.
    for (time, iso, mean, light) in [
        (40.0, 100.0, 0.18, 10.0),
        (80.0, 100.0, 0.18, 9.0),
        (40.0, 200.0, 0.18, 9.0),
        (40.0, 100.0, 0.36, 11.0),
        (10.0, 50.0, 0.18, 13.0),
    ] {
        let found = kept.found(&track(time, iso), &grey(mean)).expect("a light");
        sound(&found);
        // A record keeps thousandths of a stop.
        close(
            format!("{time} {iso} {mean}"),
            found.light().get(),
            light,
            0.0005,
        );
    }
    for (time, iso) in [
        (0.0, 100.0),
        (40.0, 0.0),
        (f64::NAN, 100.0),
        (40.0, f64::NAN),
        (-1.0, 100.0),
    ] {
        let refused = Track::new(time, iso).expect_err("not reported");
        assert!(refused.to_string().contains("does not say"), "{refused}");
    }
    assert!(
        Calibration::new(&track(40.0, 100.0), &grey(0.18), ev(60.0), None).is_err(),
        "no light is that bright"
    );
    assert!(
        Calibration::from_stops(f64::NAN, None).is_err()
            && (calibration.stops() - kept.stops()).abs() <= 0.0005,
        "no constant"
    );
}

#[test]
fn parts_of_a_frame_compare() {
    assert_eq!(
        compared(&grey(0.36), &grey(0.09)).expect("both say something"),
        "2 stops brighter than the whole frame."
    );
    let known = Typed {
        text: "11",
        unit: Unit::Ev,
        iso: None,
    }
    .found(&exposure::light::Constants::default())
    .expect("a reading");
    let found = relative(&grey(0.09), &grey(0.18), &known).expect("a light");
    sound(&found);
    close("one stop darker", found.light().get(), 10.0, EXACT);
}

/// The frame comes to middle grey in a few steps, whatever the light, as far as the camera can go.
#[test]
fn the_camera_is_led_to_middle_grey() {
    for light in [-4.0_f64, -1.0, 0.3, 2.0, 6.0, 9.0] {
        let (least, most) = (1.0, 2500.0);
        let seen = |time: f64| {
            let mean = 0.18 * (light + (time / 100.0).log2()).exp2();
            Patch {
                mean: mean.min(1.0),
                burnt: if mean >= 1.0 { 1.0 } else { 0.0 },
                black: if mean < 0.0003 { 1.0 } else { 0.0 },
            }
        };
        let mut time = 100.0;
        let mut steps = 0;
        while let Some(next) = next_time(time, &seen(time), least, most) {
            time = next;
            steps += 1;
            assert!(steps < 8, "light {light}: still at {time} after {steps}");
        }
        let off = (seen(time).mean / 0.18).log2().abs();
        let at_end = (time - least).abs() < 1e-9 || (time - most).abs() < 1e-9;
        assert!(off <= 0.5 || at_end, "light {light}: {off} off at {time}");
    }
    for (now, least, most) in [
        (0.0, 1.0, 10.0),
        (f64::NAN, 1.0, 10.0),
        (1.0, 10.0, 1.0),
        (1.0, 0.0, 1.0),
    ] {
        assert!(next_time(now, &grey(0.5), least, most).is_none(), "{now}");
    }
}
