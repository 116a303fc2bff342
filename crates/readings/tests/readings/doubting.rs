//! How far each way to a reading may be off, as a quantity.

use exposure::{Control, Doubt, Mark, Reading, Steps, light::Constants, words};
use readings::{
    Found, Method,
    agree::{Keep, agree},
    live::{Calibration, Track, relative},
    photo::{Filled, Photo, read},
    picture::{Patch, Settings},
    scenes::{Daylight, SCENES, Shadow, Side, Subject, Table, Within},
    tones::{Placing, Spot, Zone, place},
    typed::{Typed, Unit},
};

use crate::check::{close, ev, sound};
use crate::fixture::{
    BIAS, BV, F_NUMBER, FLASH, Order, SENSITIVITY, TIME, Tags, Value, plain, tiff,
};
use crate::wrapped::jpeg;

/// Thousandths are rounded up, each reason and the sum.
const ROUNDED: f64 = 0.0021;

#[track_caller]
fn off_by(what: &str, found: &Found, expected: f64) {
    sound(found);
    let doubt = found.doubt.unwrap_or_else(|| panic!("{what}: no doubt"));
    close(what, doubt.half_width().get(), expected, ROUNDED);
}

fn typed(text: &str, unit: Unit) -> Found {
    Typed {
        text,
        unit,
        iso: None,
    }
    .found(&Constants::default())
    .expect("a light")
}

fn shown(halves: bool) -> Found {
    let steps = if halves { Steps::Half } else { Steps::Third };
    let mark = |control, text| Mark::parse(control, text, steps).expect("a mark");
    let reading = Reading::new(
        mark(Control::Time, "1/125"),
        mark(Control::Aperture, "8"),
        mark(Control::Sensitivity, "100"),
    );
    Found::shown(reading.expect("in order"), halves, "a meter")
}

fn photo(more: &[(u16, Value)]) -> Photo {
    let mut tags = plain().exif;
    tags.extend(more.iter().cloned());
    read(jpeg(&tiff(Order::Little, &Tags::new(&tags))))
}

fn whole(photo: &Photo) -> Found {
    photo.found(&Filled::default(), None).expect("complete")
}

fn grey(mean: f64) -> Patch {
    Patch {
        mean,
        burnt: 0.0,
        black: 0.0,
    }
}

fn scene(name: &str) -> Found {
    let scene = SCENES.iter().find(|scene| scene.name == name);
    scene.expect(name).found(Within::Middle).expect("a light")
}

fn in_sun(table: Table) -> Found {
    let daylight = Daylight {
        shadow: Shadow::Distinct,
        table,
        side: Side::Front,
        subject: Subject::Average,
    };
    daylight.found().expect("a light")
}

/// Worked by hand [CALC] from the figures of each way, which are common practice or estimates unless a source is named there:
/// a meter ⅓; half a step of its marks; K and C as in print (C 322 lx is log2(322 / 250) = 0.365 from 250, K 10.6 is 0.238 from
/// 12.5); a photo ½ for its sensitivity, ½ for what the camera favours, and half a step; a table 1 and half its range.
#[test]
fn each_way_says_how_far_it_may_be_off() {
    for (what, found, expected) in [
        ("EV", typed("12", Unit::Ev), 0.333_333),
        ("lux", typed("81920", Unit::Lux), 0.494_460),
        (
            "cd/m²",
            typed("4096", Unit::CandelaPerSquareMetre),
            0.409_564,
        ),
        ("a meter in thirds", shown(false), 0.372_678),
        ("a meter in halves", shown(true), 0.416_667),
        ("a photo", whole(&photo(&[])), 0.726_483),
        ("a table", in_sun(Table::Army), 1.0),
        ("one figure", scene("at sunset"), 1.0),
        ("EV 7 to 8", scene("office"), 1.5),
        ("EV 8 to 11", scene("gallery"), 2.5),
    ] {
        off_by(what, &found, expected);
    }
}

/// The brightness value that a camera stores beside its settings, where it is far from them: neither is then believed as if
/// the other were not there.
///
/// Settings of EV 12; the stored Bv is EV − 5; √(0.726² + 1.36²) is 1.542.
#[test]
fn a_photo_that_contradicts_itself_says_by_how_much() {
    for (bv, off, says) in [
        ((7, 1), 0.726_483, None),
        // A stop and a half is what metering and compensation make in files of real cameras.
        ((85, 10), 0.726_483, None),
        ((86, 10), 1.6, Some("about 1⅔ stops away")),
        ((10, 1), 3.0, Some("three stops away")),
        // 7⅔ stops dimmer: EV 4⅓.
        ((-2, 3), 23.0 / 3.0, Some("7⅔ stops away")),
        ((-9, 1), 10.0, Some("16 stops away")),
    ] {
        let photo = photo(&[(BV, Value::Signed(bv.0, bv.1))]);
        let found = whole(&photo);
        off_by(&format!("Bv {bv:?}"), &found, off);
        let wrong = photo
            .remarks
            .iter()
            .any(|r| r.contains("one of the two is wrong"));
        assert_eq!(wrong, says.is_some(), "{bv:?}: {:?}", photo.remarks);
        match says {
            Some(says) => assert!(found.uncertainty.contains(says), "{}", found.uncertainty),
            None => assert!(!found.uncertainty.contains("away"), "{}", found.uncertainty),
        }
        // A place in the picture was exposed by the same settings.
        let settings = photo.settings(&Filled::default(), None).expect("complete");
        let spot = grey(0.18).found(&settings).expect("a light");
        let of_settings = if says.is_some() { off } else { 0.5 };
        let both = of_settings.hypot(0.5).min(10.0);
        off_by(&format!("a spot, Bv {bv:?}"), &spot, both);
    }
    // What was typed in place of the file is set beside the same value.
    let typed = Filled {
        time: "1/2".into(),
        ..Filled::default()
    };
    let photo = photo(&[(BV, Value::Signed(1, 1))]);
    off_by("as the file says", &whole(&photo), 6.0);
    let found = photo.found(&typed, None).expect("complete");
    off_by("with the time typed", &found, 0.726_483);
}

/// The compensation belongs to the light before it is set beside the brightness value.
#[test]
fn compensation_is_no_contradiction() {
    let photo = read(jpeg(&tiff(
        Order::Big,
        &Tags::new(&[
            (TIME, Value::Ratio(1, 125)),
            (F_NUMBER, Value::Ratio(8, 1)),
            (SENSITIVITY, Value::Short(200)),
            (BIAS, Value::Signed(-2, 1)),
            (BV, Value::Signed(5, 1)),
        ]),
    )));
    // Two stops less light than the meter asked for: the light is EV 10, and so says the brightness value.
    close("light", whole(&photo).light().get(), 10.0, 1e-9);
    off_by("with compensation", &whole(&photo), 0.726_483);
}

/// With flash no figure can be given; then the words travel with the reading.
#[test]
fn where_nobody_can_say_the_name_says_so() {
    let photo = photo(&[(FLASH, Value::Short(1))]);
    let found = whole(&photo);
    sound(&found);
    assert_eq!(
        (found.doubt, found.from.as_str()),
        (None, "photo, by flash")
    );
    let settings = photo.settings(&Filled::default(), None).expect("complete");
    let spot = grey(0.18).found(&settings).expect("a light");
    sound(&spot);
    assert_eq!(
        (spot.doubt, spot.from.as_str()),
        (None, "spot in a photo, by flash")
    );
    let beside = agree(&found, &typed("12", Unit::Ev), Keep::Middle).expect("readings");
    assert_eq!(beside.found.doubt, None, "of one of them nobody knows");
    assert!(
        beside.sentence.contains("agreeing says little"),
        "{}",
        beside.sentence
    );
    let meter = agree(&found, &typed("12", Unit::Ev), Keep::Second).expect("readings");
    off_by("the meter as it was", &meter.found, 0.333_333);
}

/// Processing bends tones more the further they are from middle grey, and what is cut off may have been anything.
///
/// Half a stop near the middle and a quarter more for each stop beyond half a stop (an estimate); burnt places up to four
/// stops above white: with a tenth of a patch of mean 0.2 burnt, log2(1 + 0.1 · 15 / 0.2) = 3.087.
#[test]
fn a_place_in_a_picture_is_less_sure_the_further_it_is_from_grey() {
    let settings = Settings {
        light: ev(12.0),
        doubt: Some(Doubt::NONE),
    };
    for (what, patch, expected) in [
        ("middle grey", grey(0.18), 0.5),
        ("half a stop off", grey(0.18 * 0.5_f64.exp2()), 0.5),
        (
            "two stops and a half darker",
            grey(0.18 * (-2.5_f64).exp2()),
            1.0,
        ),
        (
            "two stops and a half brighter",
            grey(0.18 * 2.5_f64.exp2()),
            1.0,
        ),
        (
            "partly burnt out",
            Patch {
                burnt: 0.1,
                ..grey(0.2)
            },
            3.087_463_f64.hypot(0.5),
        ),
        // A tenth without any light takes next to nothing from the rest.
        (
            "partly black",
            Patch {
                black: 0.1,
                ..grey(0.18)
            },
            0.5,
        ),
    ] {
        off_by(what, &patch.found(&settings).expect("a light"), expected);
    }
}

/// A camera that was set against a reading is no surer than that reading; a part of a frame no surer than the whole.
#[test]
fn the_live_camera_is_no_surer_than_what_it_was_set_against() {
    let track = Track::new(40.0, 100.0).expect("reported");
    let set =
        |doubt| Calibration::new(&track, &grey(0.18), ev(10.0), doubt).expect("the same light");
    let meter = set(shown(false).doubt);
    off_by(
        "against a meter",
        &meter.found(&track, &grey(0.18)).expect("a light"),
        0.372_678_f64.hypot(0.5),
    );
    let table = set(in_sun(Table::Ansi).doubt);
    let found = table.found(&track, &grey(0.18)).expect("a light");
    off_by("against a table", &found, 1.0_f64.hypot(0.5));
    assert!(
        found.uncertainty.contains("give or take 1 stop"),
        "{}",
        found.uncertainty
    );
    let part = relative(&grey(0.09), &grey(0.18), &in_sun(Table::Ansi)).expect("a light");
    off_by("a part of the frame", &part, 2.0_f64.sqrt());
    // As it is kept, and as version 1 kept it, which did not say.
    let kept = Calibration::from_record(&table.record()).expect("kept");
    assert_eq!(kept.doubt(), in_sun(Table::Ansi).doubt);
    let before =
        r#"{"format": "stopkeeper live camera", "version": 1, "constant_thousandths": 2000}"#;
    let old = Calibration::from_record(before).expect("version 1");
    assert_eq!(old.record(), before, "to the letter");
    let found = old.found(&track, &grey(0.18)).expect("a light");
    sound(&found);
    assert!(
        found.doubt.is_none() && found.uncertainty.contains("set it once more"),
        "{}",
        found.uncertainty
    );
    for damaged in [
        table.record().replace("1000}", "10001}"),
        table.record().replace("1000}", "-1}"),
        table.record().replace("\"version\": 2", "\"version\": 3"),
        table.record().replace("give_or_take", "give"),
    ] {
        assert!(Calibration::from_record(&damaged).is_none(), "{damaged}");
    }
}

/// Spots read in the same way share what is wrong with them: their mean is no better than the worst; the tone adds half a zone.
#[test]
fn placed_tones_are_no_surer_than_their_spots() {
    let spots = |founds: &[Found]| -> Vec<Spot> {
        founds
            .iter()
            .map(|found| Spot::of("bark".to_owned(), found))
            .collect()
    };
    let zone = Placing::On {
        spot: 0,
        zone: Zone::MIDDLE,
    };
    let many = vec![typed("10", Unit::Ev); 9];
    for (what, read, placing, method, expected) in [
        ("one spot", &many[..1], zone, Method::Meter, 0.600_925),
        (
            "nine spots",
            &many[..],
            Placing::Average,
            Method::Meter,
            0.600_925,
        ),
        (
            "a card",
            &many[..1],
            Placing::CardInSun { spot: 0 },
            Method::Meter,
            0.600_925,
        ),
        (
            "two ways",
            &[typed("10", Unit::Ev), in_sun(Table::Ansi)],
            Placing::Midway,
            Method::Taken,
            1.0_f64.hypot(0.5),
        ),
    ] {
        let placed = place(&spots(read), placing).expect("placed");
        off_by(what, &placed.found, expected);
        assert_eq!(placed.found.method, method, "{what}");
    }
    let flash = whole(&photo(&[(FLASH, Value::Short(1))]));
    let placed = place(&spots(&[many[0].clone(), flash]), Placing::Average).expect("placed");
    sound(&placed.found);
    assert_eq!(placed.found.doubt, None, "of one nobody can say");
}

/// Two estimates of a stop that agree to less than a sixth: still a stop, whichever is used, by one way or by two.
#[test]
fn two_estimates_that_agree_are_still_estimates() {
    // ANSI says EV 15 and the manuals EV 14⅔; another light is read by the sky's table of the same doubt.
    let sky = Found {
        method: Method::Sky,
        ..in_sun(Table::Ansi)
    };
    for second in [in_sun(Table::Ansi), in_sun(Table::Army), sky] {
        for keep in [Keep::First, Keep::Second, Keep::Middle, Keep::MoreLight] {
            let agreed = agree(&in_sun(Table::Ansi), &second, keep).expect("readings");
            off_by(&agreed.sentence, &agreed.found, 1.0);
            assert!(
                agreed.sentence.contains("Both allow for as much"),
                "{}",
                agreed.sentence
            );
        }
    }
}

#[test]
fn two_readings_that_disagree_reach_to_both() {
    let meter = typed("12", Unit::Ev);
    let table = in_sun(Table::Ansi);
    let said = agree(&meter, &table, Keep::First).expect("readings");
    off_by("the meter", &said.found, 3.0);
    assert!(
        said.sentence.contains("far more than both allow"),
        "{}",
        said.sentence
    );
    assert!(
        said.found
            .uncertainty
            .starts_with("The other reading lies three stops away"),
        "{}",
        said.found.uncertainty
    );
    let middle = agree(&meter, &table, Keep::Middle).expect("readings");
    off_by("the middle", &middle.found, 1.5);
    let near = agree(&meter, &scene("quarter moon itself"), Keep::First).expect("readings");
    off_by("a meter beside a table that agrees", &near.found, 0.333_333);
    assert!(
        near.sentence
            .contains(&words::give_or_take(Doubt::constant(1.0))),
        "{}",
        near.sentence
    );
}
