//! Side effects against published and worked-out tables.
//!
//! Source of the rows marked [CALC]: worked out once from the formula with another program (numpy 2.4.6), printed to five figures.

use exposure::{DepthOfField, FORMATS, FilmKind, Format, Stops, diffraction};
use learn::effects::{
    self, HAND, Length, approach, defocus, diffraction_spread, grain, in_stops, longest_time,
    motion, selwyn, shake, steady,
};
use learn::film::{Curve, MIDDLE, Printing, Tones, code, light};
use learn::published::{FEET, FOOT, Heading, MILE_AN_HOUR, NAVY_TABLE, navy, navy_allows};
use learn::scene::{SHORTEST, Scene, Seen};
use proptest::prelude::{prop_assert, proptest};

use crate::check::{close, close_relative, set};

#[track_caller]
fn format(id: &str) -> &'static Format {
    FORMATS
        .iter()
        .find(|format| format.id == id)
        .unwrap_or_else(|| panic!("{id} is a format"))
}

#[track_caller]
fn lens(focal: f64, distance: f64) -> DepthOfField {
    DepthOfField::new(focal, Some(distance), 0.03).expect("a lens at a focus")
}

/// A1 [CALC]: v m/s, d mm, f mm, one over the time, degrees; blur in mm and in pixels of 1200.
#[test]
fn blur_of_what_moves() {
    for (v, d, f, under, angle, mm, pixels) in [
        (1.4, 5000.0, 50.0, 60.0, 90.0, 0.23569, 7.856),
        (
            5.0 * MILE_AN_HOUR,
            25.0 * FOOT,
            50.0,
            250.0,
            90.0,
            0.05905,
            1.968,
        ),
        (
            25.0 * MILE_AN_HOUR,
            50.0 * FOOT,
            50.0,
            500.0,
            90.0,
            0.07357,
            2.452,
        ),
        (
            25.0 * MILE_AN_HOUR,
            50.0 * FOOT,
            50.0,
            250.0,
            45.0,
            0.10405,
            3.468,
        ),
        (50.0 / 3.6, 20_000.0, 135.0, 500.0, 90.0, 0.18877, 6.292),
    ] {
        let blur = motion(&lens(f, d), v, angle, 1.0 / under).unwrap();
        close(format!("{v} m/s at {d} mm"), blur, mm, 0.000_005);
        let in_picture = Length::new(blur, format("24x36")).pixels(1200.0);
        close(format!("{v} m/s in pixels"), in_picture, pixels, 0.0005);
    }
    let towards = approach(&lens(50.0, 10_000.0), 10.0, 1.0, 1.0 / 60.0).unwrap();
    close("straight towards the camera", towards, 0.08561, 0.000_005);
    close("in pixels", towards / 36.0 * 1200.0, 2.854, 0.0005);
    // Longest times, one over.
    for (v, d, c, under) in [
        (1.4, 5000.0, 0.03, 471.0),
        (1.4, 5000.0, 0.06, 236.0),
        (5.0, 10_000.0, 0.03, 838.0),
        (5.0, 10_000.0, 0.06, 419.0),
    ] {
        let longest = longest_time(&lens(50.0, d), v, 90.0, c).unwrap();
        close(format!("{v} m/s, {c} mm"), 1.0 / longest, under, 0.5);
    }
    let still = longest_time(&lens(50.0, 5000.0), 0.0, 90.0, 0.03).unwrap();
    assert!(still.is_infinite(), "what stands still is never drawn out");
}

/// A1 [SEEN]: all 47 cells of the navy manual's table, and the one rule that they follow.
#[test]
fn the_navy_table() {
    let text = include_str!("../data/navy.csv");
    let mut cells = 0;
    for line in text.lines().filter(|line| !line.starts_with('#')).skip(1) {
        let items: Vec<&str> = line.split(',').collect();
        let number = |i: usize| items[i].parse::<f64>().expect("a number");
        let row = NAVY_TABLE
            .iter()
            .find(|row| (row.mph - number(0)).abs() < 1e-9)
            .expect("a row");
        let column = FEET
            .iter()
            .position(|feet| (feet - number(1)).abs() < 1e-9)
            .expect("a column");
        let heading = ["across", "diagonal", "towards"]
            .iter()
            .position(|name| *name == items[2])
            .expect("a direction");
        assert_eq!(row.cells[column][heading], Some(number(3)), "{line}");
        // The rule: full stops from 1/500 for 5 mph across at 12 ft; a stop for each doubling of speed (10 to 25 counts as one,
        // 25 to 100 as two), for each halving of distance, one less for a diagonal, two for towards.
        let faster = match items[0] {
            "5" => 0,
            "10" => 1,
            "25" => 2,
            _ => 4,
        };
        let steps = |n: usize| i32::try_from(n).unwrap();
        let stops = 9 + faster - steps(column) - steps(heading);
        let exact = f64::from(1 << stops);
        close_relative(line, number(3), exact, 0.07);
        // What is asked for there is the cell.
        let asked = navy(row, Heading::ALL[heading], number(1) * FOOT, 1.0).expect("a time");
        close(line, asked.under_one, number(3), 1e-9);
        assert_eq!(asked.by_rule, 0, "{line}");
        cells += 1;
    }
    assert_eq!(cells, 47, "cells of the table");
    let filled = NAVY_TABLE
        .iter()
        .flat_map(|row| row.cells.iter().flatten())
        .filter(|cell| cell.is_some());
    assert_eq!(filled.count(), 47, "no cell that the manual has not");
}

/// A1 [CALC]: what the manual's figures amount to across the picture at 50 mm, by row.
#[test]
fn what_the_navy_table_allows() {
    for row in &NAVY_TABLE {
        let (low, high) = if row.mph < 20.0 {
            (0.059, 0.062)
        } else {
            (0.073, 0.077)
        };
        for (feet, cell) in FEET.iter().zip(&row.cells) {
            let Some(under) = cell[0] else { continue };
            // The series' exact values, as the rest of the trade counts.
            let exact = under.log2().round().exp2();
            let speed = row.mph * MILE_AN_HOUR;
            let blur = motion(&lens(50.0, feet * FOOT), speed, 90.0, 1.0 / exact).unwrap();
            let printed = motion(&lens(50.0, feet * FOOT), speed, 90.0, 1.0 / under).unwrap();
            // 15, 30, 60 and 12 ft are rounded figures: a tenth of a stop either way.
            assert!(
                blur > low * 0.93 && printed < high * 1.09,
                "{} mph at {feet} ft: {blur} and {printed}",
                row.mph
            );
        }
    }
    let allows = navy_allows(format("24x36"));
    close("a share of the width", allows[0].one_in(), 610.0, 1.0);
    close("a share of the width", allows[1].one_in(), 465.0, 4.0);
}

/// The manual's rule beyond its cells: doubled speed for half the distance and for twice the focal length, the next faster in doubt.
#[test]
fn the_navy_rule_beyond_the_table() {
    let walk = &NAVY_TABLE[0];
    for (distance, times, under, by_rule) in [
        (25.0 * FOOT, 2.0, 500.0, 1),
        (25.0 * FOOT, 0.5, 125.0, -1),
        (6.0 * FOOT, 1.0, 1000.0, 1),
        (3.0 * FOOT, 1.0, 2000.0, 2),
        (200.0 * FOOT, 1.0, 30.0, -1),
        (20.0 * FOOT, 1.0, 500.0, 1),
    ] {
        let asked = navy(walk, Heading::Across, distance, times).expect("a time");
        close(format!("{distance} mm"), asked.under_one, under, 1e-9);
        assert_eq!(asked.by_rule, by_rule, "{distance} mm, {times} times");
    }
    assert_eq!(
        navy(walk, Heading::Across, 50.0, 1.0),
        None,
        "beyond any shutter"
    );
}

/// A2 [CALC]: 1.7189 degrees a second.
#[test]
fn blur_of_a_shaken_hand() {
    close("the rule's rate", HAND, 1.7189, 0.000_05);
    close(
        "the rate of the manuals' 0.0508 mm",
        0.0508_f64.to_degrees(),
        2.911,
        0.0005,
    );
    for (focal, under, mm) in [
        (50.0, 60.0, 0.0250),
        (50.0, 15.0, 0.1000),
        (135.0, 60.0, 0.0675),
        (80.0, 30.0, 0.0800),
    ] {
        let blur = shake(focal, HAND, 1.0 / under).unwrap();
        close(format!("{focal} mm, 1/{under}"), blur, mm, 0.000_05);
        let rule = shake(focal, HAND, 1.0 / focal).unwrap();
        close(format!("{focal} mm at the rule"), rule, 0.03, 0.000_01);
    }
    // [OURS] A chance, not a limit.
    for (slower, one, three) in [
        (-1.0, 0.9375, 0.9998),
        (0.0, 0.5000, 0.8750),
        (1.0, 0.1591, 0.4054),
        (2.0, 0.0424, 0.1219),
    ] {
        close(format!("{slower}, one"), steady(slower, 1), one, 0.000_05);
        close(
            format!("{slower}, three"),
            steady(slower, 3),
            three,
            0.000_05,
        );
    }
}

/// A3 [CALC]: f, N, focus, other distance, disc in mm and in pixels of 1200.
#[test]
fn discs_out_of_focus() {
    let other = |mm: f64| (mm > 0.0).then_some(mm);
    for (f, n, s, d, mm, pixels, of) in [
        (50.0, 2.0, 2000.0, 4000.0, 0.32051, 10.684, "24x36"),
        (50.0, 8.0, 2000.0, 4000.0, 0.08013, 2.671, "24x36"),
        (50.0, 2.0, 2000.0, 0.0, 0.64103, 21.368, "24x36"),
        (50.0, 8.0, 2000.0, 0.0, 0.16026, 5.342, "24x36"),
        (80.0, 2.8, 1500.0, 1200.0, 0.40241, 8.623, "6x6"),
    ] {
        let disc = defocus(&lens(f, s), n, other(d)).unwrap();
        close(format!("f/{n}"), disc, mm, 0.000_005);
        let in_picture = Length::new(disc, format(of)).pixels(1200.0);
        close(format!("f/{n} in pixels"), in_picture, pixels, 0.0005);
    }
    for (stops, mm) in (2..=8).zip([
        0.64103, 0.45327, 0.32051, 0.22664, 0.16026, 0.11332, 0.08013,
    ]) {
        let n = 2_f64.powf(f64::from(stops) / 2.0);
        let disc = defocus(&lens(50.0, 2000.0), n, None).unwrap();
        close(format!("f/{n}"), disc, mm, 0.000_005);
    }
    // The ends of what is sharp are the circle of confusion: 1684.64 and 2460.63.
    let at = lens(50.0, 2000.0).at(8.0);
    for end in [Some(at.near), at.far] {
        let disc = defocus(&lens(50.0, 2000.0), 8.0, end).unwrap();
        close("an end of the depth", disc, 0.03, 1e-9);
    }
    // Focused on infinity, and both there.
    let endless = DepthOfField::new(50.0, None, 0.03).unwrap();
    let far = lens(50.0, 9_000_000.0);
    close_relative(
        "the same limit",
        defocus(&endless, 8.0, Some(4000.0)).unwrap(),
        defocus(&far, 8.0, Some(4000.0)).unwrap(),
        0.001,
    );
    close("sharp", defocus(&endless, 8.0, None).unwrap(), 0.0, 1e-12);
}

/// A4 [CALC]: diffraction in pixels of pictures of 1200 and 4000.
#[test]
fn diffraction_is_nothing_to_draw() {
    for (n, small, large) in [
        (8.0, 0.358, 1.193),
        (16.0, 0.716, 2.385),
        (22.0, 0.984, 3.280),
        (32.0, 1.431, 4.770),
    ] {
        let disc = Length::new(diffraction(n, 0.0), format("24x36"));
        close(format!("f/{n}"), disc.pixels(1200.0), small, 0.0005);
        close(format!("f/{n}"), disc.pixels(4000.0), large, 0.0015);
    }
    for (n, micrometres) in [(8.0, 1.848), (16.0, 3.696), (32.0, 7.392)] {
        close(
            format!("f/{n}"),
            diffraction_spread(n) * 1000.0,
            micrometres,
            0.0005,
        );
    }
    let phone = Length::new(diffraction(16.0, 0.0), format("24x36"));
    let seen = Seen::blur(phone, 390.0, 1.0);
    assert_eq!((seen.visible, seen.magnification), (false, Some(3.0)));
}

/// A5 [CALC]: R, frame in mm, picture in pixels: deviation, stops, and codes of a middle tone at a print slope of one.
#[test]
fn grain_of_a_picture() {
    for (r, frame, width, deviation, stops, codes) in [
        (10.0, 36.0, 1200.0, 0.01418, 0.0471, 1.796),
        (5.0, 36.0, 1200.0, 0.00709, 0.0236, 0.898),
        (17.0, 36.0, 1200.0, 0.02411, 0.0801, 3.053),
        (10.0, 56.0, 1200.0, 0.00912, 0.0303, 1.155),
        (10.0, 36.0, 2400.0, 0.02836, 0.0942, 3.592),
    ] {
        let found = grain(r, frame / width * 1000.0).unwrap();
        close(format!("R {r}"), found, deviation, 0.000_005);
        close(
            format!("R {r} in stops"),
            in_stops(found, 1.0),
            stops,
            0.000_05,
        );
        // A slide has a slope of one to the screen: a small difference of density at code 118, counted out.
        let at = light(118.0).log10();
        let slope = (code(10_f64.powf(at + 1e-5)) - code(10_f64.powf(at - 1e-5))) / 2e-5;
        close(format!("R {r} in codes"), found * slope, codes, 0.003);
    }
    close("Selwyn", selwyn(10.0).unwrap(), 0.6016, 0.000_05);
    close("Selwyn", selwyn(5.0).unwrap(), 0.3008, 0.000_05);
    // Dots of 0.5 µm² through the aperture of 48 µm.
    for (density, deviation) in [
        (0.1, 0.00346),
        (0.3, 0.00600),
        (1.0, 0.01095),
        (2.0, 0.01549),
    ] {
        let found = effects::grain_of_dots(0.5, density).unwrap();
        close(format!("dots at {density}"), found, deviation, 0.000_005);
    }
    // Four times the sensitivity, twice the granularity; the list says 5 where theory makes 8 of 4.
    let known = learn::film::granularity(FilmKind::ColourNegative);
    close(
        "theory",
        effects::granularity_at(known.at_100, 2.0),
        8.0,
        1e-9,
    );
    assert!(
        known.printed.contains(&(400.0, 5.0)),
        "what lists print stands beside it"
    );
}

/// A5 [CALC]: grain in terms of the scene on a curve with a toe, at tones from 4 stops under the middle to 2 over it.
#[test]
fn thin_negatives_look_grainier() {
    let curve = Curve::NEGATIVE;
    for (tone, stops) in [
        (-4.0, 0.2528),
        (-3.0, 0.1176),
        (-2.0, 0.0838),
        (0.0, 0.0733),
        (2.0, 0.0727),
    ] {
        let slope = curve.slope(curve.middle() + tone * std::f64::consts::LOG10_2);
        close(format!("{tone}"), in_stops(0.0142, slope), stops, 0.000_05);
    }
}

/// A6 [CALC]: a filter in linear light makes code 188 of black and white, not 128; what is shorter than half a pixel is not drawn.
#[test]
fn drawn_honestly() {
    close("half of white", code(0.5), 187.52, 0.005);
    close(
        "of codes",
        code(f64::midpoint(light(0.0), light(255.0))),
        187.52,
        0.005,
    );
    close("18 %", code(MIDDLE), 117.645_8, 0.000_5);
    for shown in 0..=255 {
        let shown = f64::from(shown);
        close("there and back", code(light(shown)), shown, 1e-3);
    }
    let of = format("24x36");
    let just = Length::new(SHORTEST * 36.0 / 390.0, of);
    assert!(
        Seen::blur(just, 390.0, 1.0).visible,
        "half a pixel is drawn"
    );
    let under = Length::new(0.49 * 36.0 / 390.0, of);
    let seen = Seen::blur(under, 390.0, 1.0);
    assert_eq!((seen.visible, seen.magnification), (false, Some(2.0)));
    assert!(Seen::blur(under, 390.0, 2.0).visible, "magnified it is");
    let nothing = Seen::blur(Length::new(0.0, of), 390.0, 1.0);
    assert_eq!((nothing.visible, nothing.magnification), (false, None));
}

/// D2 [CALC]: the curve that negatives are drawn with.
#[test]
fn the_curve() {
    let curve = Curve::NEGATIVE;
    for (log, density) in [
        (-3.0, 0.258_636),
        (-2.4, 0.347_835),
        (-2.0, 0.530_764),
        (-1.0, 1.160_134),
        (0.0, 1.801_366),
        (0.6, 2.102_165),
        (1.2, 2.191_364),
    ] {
        close(format!("{log}"), curve.density(log), density, 0.000_000_6);
    }
    close("speed point", curve.speed_point(), -2.393_388, 0.000_000_6);
    close(
        "slope at the middle",
        curve.slope(curve.middle()),
        0.643_689,
        0.000_000_6,
    );
    for log in [-40.0, -5.0, 5.0, 40.0] {
        let slope = curve.slope(log);
        assert!(
            curve.density(log).is_finite() && (0.0..0.65).contains(&slope),
            "{log}"
        );
    }
}

/// A7 [CALC]: stops of light from 4 less to 3 more through the negative, printed alike: density, code of the middle tone, contrast.
#[test]
fn more_and_less_light_printed_alike() {
    for (stops, density, shown, contrast) in [
        (-4.0, 0.2978, 39.19, 0.2899),
        (-3.0, 0.3855, 46.62, 0.6230),
        (-2.0, 0.5333, 61.57, 0.8741),
        (-1.0, 0.7140, 84.93, 0.9721),
        (0.0, 0.9056, 117.65, 1.0000),
        (1.0, 1.1003, 161.95, 1.0069),
        (2.0, 1.2955, 221.39, 1.0075),
        (3.0, 1.4904, 255.0, 1.0030),
    ] {
        let tones = Tones::new(
            FilmKind::ColourNegative,
            Stops::constant(stops),
            Printing::Fixed,
        );
        close(
            format!("{stops}: density"),
            tones.density(MIDDLE),
            density,
            0.000_06,
        );
        close(
            format!("{stops}: code"),
            code(tones.shown(MIDDLE)),
            shown,
            0.03,
        );
        close(
            format!("{stops}: contrast"),
            tones.contrast_left(0.0),
            contrast,
            0.000_06,
        );
        let back = tones.density_of(tones.of_density(0.9));
        if tones.of_density(0.9) < 1.0 {
            close("there and back", back, 0.9, 1e-9);
        }
    }
}

/// A7 [CALC]: the same with a corrected print, scene tones from 4 stops under the middle to 3 over it.
#[test]
fn more_and_less_light_printed_corrected() {
    for (stops, codes) in [
        (-3.0, [94, 94, 96, 102, 118, 150, 201, 255]),
        (-2.0, [73, 74, 79, 92, 118, 158, 215, 255]),
        (0.0, [39, 47, 62, 85, 118, 162, 221, 255]),
        (2.0, [28, 41, 60, 84, 118, 162, 221, 255]),
        (4.0, [27, 41, 60, 85, 118, 159, 206, 244]),
    ] {
        let tones = Tones::new(
            FilmKind::BlackAndWhite,
            Stops::constant(stops),
            Printing::Corrected,
        );
        for (tone, shown) in (-4..=3).zip(codes) {
            let scene = MIDDLE * 2_f64.powi(tone);
            let what = format!("{stops} stops, tone {tone}");
            close(what, code(tones.shown(scene)), f64::from(shown), 0.51);
        }
    }
}

/// A7 [CALC]: slide film is a plain ladder and clips at 2.474 stops.
#[test]
fn more_and_less_light_on_a_slide() {
    for (stops, shown) in [
        (-3.0, 41),
        (-2.0, 60),
        (-1.0, 85),
        (-2.0 / 3.0, 95),
        (-1.0 / 3.0, 106),
        (0.0, 118),
        (1.0 / 3.0, 131),
        (2.0 / 3.0, 146),
        (1.0, 162),
        (2.0, 221),
    ] {
        let tones = Tones::new(FilmKind::Reversal, Stops::constant(stops), Printing::Fixed);
        close(
            format!("{stops}"),
            code(tones.shown(MIDDLE)),
            f64::from(shown),
            0.51,
        );
    }
    let at = |stops| Tones::new(FilmKind::Reversal, Stops::constant(stops), Printing::Fixed);
    assert!(at(2.473).shown(MIDDLE) < 1.0, "not yet clear");
    close("clear film", at(2.475).shown(MIDDLE), 1.0, 1e-12);
    close("nothing is left", at(2.475).contrast_left(0.0), 0.0, 1e-12);
}

/// What is out of range is refused with a sentence that says what would be accepted.
#[test]
fn refused_with_a_sentence() {
    let lens = lens(50.0, 5000.0);
    for refused in [
        motion(&lens, -1.0, 90.0, 1.0),
        motion(&lens, f64::NAN, 90.0, 1.0),
        motion(&lens, 1.0, 91.0, 1.0),
        motion(&lens, 1.0, 90.0, f64::INFINITY),
        approach(&lens, 10.0, 1.0, 1.0),
        shake(0.0, HAND, 1.0),
        shake(50.0, 1000.0, 1.0),
        defocus(&lens, 0.1, None),
        defocus(&lens, 8.0, Some(0.0)),
        grain(-1.0, 30.0),
        grain(10.0, 0.0),
        effects::grain_of_dots(-1.0, 1.0),
    ] {
        let error = refused.expect_err("out of range");
        assert!(error.is_range(), "{error}");
        assert!(
            error.to_string().contains(" has to lie between "),
            "{error}"
        );
    }
}

proptest! {
    /// Twice the time is twice the blur, a stop of aperture is √2 of the disc, and no price is negative.
    #[test]
    fn one_stop_costs(time in 0..12_i32, stop in 2..9_i32, scene in 0..6_usize) {
        let scene: Scene = learn::scene::SCENES[scene];
        let mark = |control, place: f64| {
            exposure::Mark::between(control, exposure::Place::new(place).unwrap()).unwrap()
        };
        let at = |time: i32, stop: i32, iso: i32| {
            let marks = [
                mark(exposure::Control::Time, -f64::from(time)),
                mark(exposure::Control::Aperture, -f64::from(stop)),
                mark(exposure::Control::Sensitivity, f64::from(iso)),
            ];
            scene.prices(&marks).unwrap()
        };
        let (one, other) = (at(time, stop, 0), at(time + 1, stop - 1, 2));
        prop_assert!((one.motion.mm() - 2.0 * other.motion.mm()).abs() < 1e-9 * one.motion.mm().max(1e-9));
        // The tangent of a long turn grows a little faster.
        prop_assert!(one.shake.mm() >= 2.0 * other.shake.mm() - 1e-9);
        prop_assert!((other.behind.mm() / one.behind.mm() - 2_f64.sqrt()).abs() < 1e-9);
        prop_assert!((other.granularity / one.granularity - 2.0).abs() < 1e-9);
        for length in [one.motion, one.shake, one.behind, one.diffraction] {
            prop_assert!(length.mm() >= 0.0 && length.mm().is_finite());
        }
    }
}

/// The scene's prices are the formulas', nothing else.
#[test]
fn prices_of_a_scene() {
    let scene = Scene::of_id("street").unwrap();
    let prices = scene.prices(&set("1/60", "8", "400")).unwrap();
    let lens = scene.lens().unwrap();
    let by_hand = motion(&lens, 1.4, 90.0, 1.0 / 64.0).unwrap();
    close("motion", prices.motion.mm(), by_hand, 1e-12);
    let by_hand = shake(50.0, HAND, 1.0 / 64.0).unwrap();
    close("shake", prices.shake.mm(), by_hand, 1e-12);
    let by_hand = defocus(&lens, 8.0, Some(60_000.0)).unwrap();
    close("behind", prices.behind.mm(), by_hand, 1e-12);
    close("granularity", prices.granularity, 8.0, 1e-9);
    assert_eq!(prices.before, None, "no fence there");
}
