//! Photos' metadata: containers, byte orders, and everything that files of cameras have been seen to hold.

use exposure::{Control, Steps};
use readings::{
    LineKind,
    photo::{Filled, Photo, read},
};

use crate::check::{EXACT, close, marks, number, rows, sound};
use crate::fixture::{
    AV, BIAS, BV, F_NUMBER, FLASH, KIND, METERING, ORDERS, OUTPUT, Order, RECOMMENDED, SENSITIVITY,
    TAKEN, TIME, TV, Tags, Value, plain, tiff,
};
use crate::wrapped::{HEIC, jpeg};

fn photo(tags: &[(u16, Value)]) -> Photo {
    read(jpeg(&tiff(Order::Little, &Tags::new(tags))))
}

fn asked() -> Filled {
    Filled::default()
}

#[test]
fn every_container_and_byte_order_says_the_same() {
    for order in ORDERS {
        let block = tiff(order, &plain());
        for (name, file) in [
            ("TIFF", block.clone()),
            ("JPEG", jpeg(&block)),
            ("HEIC", HEIC.file(&block)),
        ] {
            let photo = read(&file);
            assert!(
                photo.missing().is_empty(),
                "{name}, {order:?}: {:?}",
                photo.remarks
            );
            let found = photo.found(&asked(), None).expect("a complete photo");
            sound(&found);
            assert_eq!(marks(&found), "1/125 f/8 ISO 200", "{name}, {order:?}");
            close("light", found.light().get(), 12.0, EXACT);
            assert!(found.lines.is_empty(), "{name}: {:?}", found.lines);
        }
    }
}

fn ratio(text: &str) -> Option<(i64, i64)> {
    if text.is_empty() {
        return None;
    }
    let (over, under) = text.split_once('/').unwrap_or((text, "1"));
    Some((
        over.parse().expect("a numerator"),
        under.parse().expect("a denominator"),
    ))
}

fn unsigned(tag: u16, text: &str) -> Option<(u16, Value)> {
    ratio(text).map(|(over, under)| {
        let part = |x: i64| u32::try_from(x).expect("unsigned");
        (tag, Value::Ratio(part(over), part(under)))
    })
}

fn signed(tag: u16, text: &str) -> Option<(u16, Value)> {
    ratio(text).map(|(over, under)| {
        let part = |x: i64| i32::try_from(x).expect("signed");
        (tag, Value::Signed(part(over), part(under)))
    })
}

/// Values that real files hold, written into files of our own.
#[test]
fn values_of_real_files() {
    for row in rows("photos.csv", include_str!("../data/photos.csv")) {
        let [name, time, f_number, speed, tv, av, bv, bias, ev, sv] = row[..] else {
            panic!("{row:?}");
        };
        let mut tags: Vec<_> = [
            unsigned(TIME, time),
            unsigned(F_NUMBER, f_number),
            signed(TV, tv),
            unsigned(AV, av),
            signed(BV, bv),
            signed(BIAS, bias),
        ]
        .into_iter()
        .flatten()
        .collect();
        if !speed.is_empty() {
            tags.push((SENSITIVITY, Value::Short(speed.parse().expect("a speed"))));
        }
        for order in ORDERS {
            let photo = read(jpeg(&tiff(order, &Tags::new(&tags))));
            let filled = if speed.is_empty() {
                assert_eq!(photo.missing(), [Control::Sensitivity], "{name}");
                let refused = photo.found(&asked(), None).expect_err("no sensitivity");
                assert!(refused.to_string().contains("sensitivity"), "{refused}");
                Filled {
                    sensitivity: "100".into(),
                    ..asked()
                }
            } else {
                asked()
            };
            let steps = Some(Steps::Third);
            let found = photo.found(&filled, steps).expect("complete");
            sound(&found);
            let settings = photo
                .settings(&filled, steps)
                .expect("complete")
                .light
                .get();
            let at_100 = if sv.is_empty() {
                number(ev)
            } else {
                number(ev) - (number(sv) - 5.0)
            };
            // The table counts the figures themselves, we count what marks stand for: up to 0.093 and 0.081 stop.
            close(name, settings, at_100, 0.18);
            let bias = ratio(bias).map_or(0.0, |(over, under)| {
                f64::from(i32::try_from(over).expect("small"))
                    / f64::from(i32::try_from(under).expect("small"))
            });
            close(
                format!("{name}: compensation taken out"),
                found.light().get() - settings,
                bias,
                EXACT,
            );
        }
    }
}

/// The stored APEX values agree with the figures to 0.06 EV, as cameras quantise them; used only where the figure is missing.
#[test]
fn apex_values_stand_in() {
    let photo = photo(&[
        (TIME, Value::Ratio(0, 0)),
        (TV, Value::Signed(7, 1)),
        (AV, Value::Ratio(95, 32)),
        (SENSITIVITY, Value::Short(100)),
    ]);
    assert!(photo.missing().is_empty(), "{photo:?}");
    let time = &photo.entries[0];
    assert!(!time.usable && time.says.contains("0/0"), "{time:?}");
    let found = photo.found(&asked(), None).expect("complete");
    sound(&found);
    assert_eq!(marks(&found), "1/125 f/2.8 ISO 100");
    close("light", found.light().get(), 7.0 + 95.0 / 32.0, EXACT);
}

/// A year 2099, a time of 4294967295 s and a compensation of −2147483647/2147483648 are in one published file.
#[test]
fn absurd_values_are_named_and_not_used() {
    let photo = photo(&[
        (TIME, Value::Ratio(u32::MAX, 1)),
        (F_NUMBER, Value::Ratio(0, 10)),
        (SENSITIVITY, Value::Short(0)),
        (BIAS, Value::Signed(-99, 1)),
        (BV, Value::Signed(-1, 100)),
    ]);
    assert_eq!(photo.missing(), Control::ALL);
    assert!(photo.entries.iter().all(|entry| !entry.usable), "{photo:?}");
    for (name, says) in [
        ("Time", "cannot be"),
        ("Aperture", "cannot be"),
        ("Sensitivity", "cannot be"),
        ("Compensation", "no camera has"),
        ("Brightness", "unknown"),
    ] {
        let entry = photo.entries.iter().find(|entry| entry.name == name);
        assert!(
            entry.is_some_and(|entry| entry.says.contains(says)),
            "{name}: {:?}",
            photo.entries
        );
    }
    let filled = Filled {
        time: "1/60".into(),
        aperture: "5.6".into(),
        sensitivity: "400".into(),
    };
    let found = photo.found(&filled, None).expect("all typed");
    sound(&found);
    assert_eq!(marks(&found), "1/60 f/5.6 ISO 400");
    assert!(found.from.contains("typed"), "{}", found.from);
    // −2147483647/2147483648 is a compensation of one stop less light, and the camera may well have been set so.
    let one = photo_with_bias(Value::Signed(-2_147_483_647, i32::MIN));
    close(
        "a quotient",
        one.compensation().expect("usable").get(),
        1.0,
        1e-6,
    );
}

fn photo_with_bias(bias: Value) -> Photo {
    photo(&[
        (TIME, Value::Ratio(1, 60)),
        (F_NUMBER, Value::Ratio(8, 1)),
        (SENSITIVITY, Value::Short(100)),
        (BIAS, bias),
    ])
}

#[test]
fn compensation_is_a_line_that_can_be_left_out() {
    let photo = photo_with_bias(Value::Signed(1, 1));
    let mut found = photo.found(&asked(), None).expect("complete");
    sound(&found);
    assert_eq!(found.lines.len(), 1);
    assert_eq!(found.lines[0].kind, LineKind::Compensation);
    // The camera gave one stop more than its meter asked for: the light is one stop brighter than the marks say.
    close("light", found.light().get(), 13.0, EXACT);
    close(
        "settings",
        photo
            .settings(&asked(), None)
            .expect("complete")
            .light
            .get(),
        12.0,
        EXACT,
    );
    found.lines[0].on = false;
    close("left out", found.light().get(), 12.0, EXACT);
}

#[test]
fn figures_between_marks_leave_a_line_over() {
    let photo = photo(&[
        (TIME, Value::Ratio(1, 989)),
        (F_NUMBER, Value::Ratio(11, 5)),
        (SENSITIVITY, Value::Short(32)),
    ]);
    let found = photo.found(&asked(), None).expect("complete");
    sound(&found);
    assert_eq!(marks(&found), "1/1000 f/2.2 ISO 32");
    assert_eq!(found.lines.len(), 1);
    assert_eq!(found.lines[0].kind, LineKind::Marks);
    // log2(1/989) against 2^-10: the marks give 0.05 stop less than the photo had.
    close(
        "left over",
        found.lines[0].effect.get(),
        989_f64.log2() - 10.0,
        EXACT,
    );
}

#[test]
fn halves_and_thirds() {
    let photo = photo(&[
        (TIME, Value::Ratio(1, 90)),
        (F_NUMBER, Value::Ratio(67, 10)),
        (SENSITIVITY, Value::Short(160)),
    ]);
    let found = photo.found(&asked(), None).expect("complete");
    sound(&found);
    assert!(found.halves && found.lines.is_empty(), "{found:?}");
    close(
        "EV 12 at ISO 160",
        found.light().get(),
        12.0 - 2.0 / 3.0,
        EXACT,
    );

    let photo = self::photo(&[
        (TIME, Value::Ratio(1, 20)),
        (F_NUMBER, Value::Ratio(13, 1)),
        (SENSITIVITY, Value::Short(100)),
    ]);
    assert!(
        photo
            .remarks
            .iter()
            .filter(|r| r.contains("halves"))
            .count()
            == 2,
        "{:?}",
        photo.remarks
    );
    let thirds = photo.found(&asked(), None).expect("complete");
    let halves = photo.found(&asked(), Some(Steps::Half)).expect("complete");
    assert!(!thirds.halves && halves.halves, "asked for halves");
    close("in halves", halves.light().get(), 4.5 + 7.5, EXACT);
    close(
        "in thirds",
        thirds.light().get(),
        4.0 + 1.0 / 3.0 + 7.0 + 1.0 / 3.0,
        EXACT,
    );
}

#[test]
fn kinds_of_sensitivity() {
    for (kind, says) in [
        (1, "SOS"),
        (2, "REI"),
        (3, "ISO speed"),
        (6, "REI"),
        (7, "SOS"),
    ] {
        let photo = photo(&[(SENSITIVITY, Value::Short(800)), (KIND, Value::Short(kind))]);
        assert!(
            photo.entries[0].name.contains(says),
            "{kind}: {:?}",
            photo.entries
        );
    }
    let unsaid = photo(&[(SENSITIVITY, Value::Short(800))]);
    assert!(
        unsaid
            .remarks
            .iter()
            .any(|r| r.contains("kind of sensitivity")),
        "{:?}",
        unsaid.remarks
    );
    // 65535 means that it does not fit; the figure stands elsewhere.
    for (tag, name) in [(OUTPUT, "SOS"), (RECOMMENDED, "REI")] {
        let photo = photo(&[
            (TIME, Value::Ratio(1, 60)),
            (F_NUMBER, Value::Ratio(2, 1)),
            (SENSITIVITY, Value::Short(u16::MAX)),
            (tag, Value::Long(102_400)),
        ]);
        assert!(
            photo
                .entries
                .iter()
                .any(|e| e.name.contains(name) && e.usable),
            "{:?}",
            photo.entries
        );
        // No film and no dial has ISO 102400: the same light on marks that there are.
        let found = photo.found(&asked(), None).expect("complete");
        sound(&found);
        close("light", found.light().get(), 8.0 - 10.0, EXACT);
    }
}

#[test]
fn flash_and_brightness_are_said() {
    let mut tags = plain().exif;
    tags.push((FLASH, Value::Short(0x19)));
    tags.push((BV, Value::Signed(10, 1)));
    tags.push((METERING, Value::Short(3)));
    tags.push((TAKEN, Value::Text("2026:11:25 13:35:10")));
    let photo = photo(&tags);
    assert!(
        photo.remarks.iter().any(|r| r.contains("flash fired")),
        "{photo:?}"
    );
    // Bv 10 is EV 15, the settings say 12.
    assert!(
        photo.remarks.iter().any(|r| r.contains("3 stops brighter")),
        "{:?}",
        photo.remarks
    );
    for (name, says) in [
        ("Metering", "spot"),
        ("Taken", "2026-11-25 13:35"),
        ("Flash", "fired"),
    ] {
        assert!(
            photo
                .entries
                .iter()
                .any(|e| e.name == name && e.says == says),
            "{name}: {:?}",
            photo.entries
        );
    }
    let found = photo.found(&asked(), None).expect("complete");
    assert!(
        found.doubt.is_none() && found.uncertainty.contains("flash"),
        "{}",
        found.uncertainty
    );
}

/// Where a photo was taken is in the file and nowhere in what is shown.
#[test]
fn positions_are_never_shown() {
    let mut tags = plain();
    tags.position = vec![
        (0x0001, Value::Text("N")),
        (0x0002, Value::Ratio(4_711, 100)),
        (0x0003, Value::Text("E")),
        (0x0004, Value::Ratio(815, 100)),
    ];
    let photo = read(jpeg(&tiff(Order::Big, &tags)));
    assert!(photo.missing().is_empty(), "{photo:?}");
    let shown = format!("{photo:?}");
    for trace in ["47.11", "4711", "8.15", "Latitude", "GPS", "position"] {
        assert!(!shown.contains(trace), "{trace}: {shown}");
    }
}

#[test]
fn what_is_no_photo_says_so() {
    for (file, says) in [
        (b"".to_vec(), "empty"),
        (b"plain text, no photo".to_vec(), "no photo"),
        (b"%PDF-1.7".to_vec(), "no photo"),
        (b"\xff\xd8\xff\xd9".to_vec(), "no metadata"),
        (b"MM\0*\0\0\0".to_vec(), "damaged"),
    ] {
        let photo = read(&file);
        assert_eq!(photo.missing(), Control::ALL);
        assert!(
            photo.remarks[0].contains(says),
            "{file:?}: {:?}",
            photo.remarks
        );
    }
    // Metadata without a word on the exposure.
    let silent = photo(&[(TAKEN, Value::Text("not a moment"))]);
    assert!(
        silent.remarks.iter().any(|r| r.contains("says nothing")),
        "{silent:?}"
    );
}

#[test]
fn what_was_typed_is_checked() {
    let photo = photo(&[(TIME, Value::Ratio(1, 60)), (F_NUMBER, Value::Ratio(8, 1))]);
    let filled = Filled {
        sensitivity: "lots".into(),
        ..asked()
    };
    let refused = photo.found(&filled, None).expect_err("no figure");
    assert!(refused.to_string().contains("lots"), "{refused}");
}

/// Whose figure is used is said for each: the photo's, or the one that was typed for it.
#[test]
fn whose_figures_are_used() {
    let photo = photo(&[(TIME, Value::Ratio(1, 125)), (F_NUMBER, Value::Ratio(0, 0))]);
    let typed = |time: &str, aperture: &str, sensitivity: &str| Filled {
        time: time.into(),
        aperture: aperture.into(),
        sensitivity: sensitivity.into(),
    };
    let says =
        |filled: &Filled| Control::ALL.map(|control| photo.used_in_words(control, filled, None));
    assert_eq!(
        says(&asked()),
        [
            "Time: 1/125, from the photo",
            "Aperture: not known yet",
            "Sensitivity: not known yet"
        ]
    );
    assert_eq!(
        says(&typed("30", " ", "lots")),
        [
            "Time: 1/30, typed for this photo in place of 1/125",
            "Aperture: not known yet",
            "Sensitivity: what was typed for this photo is not understood"
        ]
    );
    let all = typed("1/30", "5.6", "400");
    assert_eq!(
        says(&all)[1..],
        [
            "Aperture: f/5.6, typed for this photo",
            "Sensitivity: ISO 400, typed for this photo"
        ]
    );
    // What is said is what is counted.
    let found = photo.found(&all, None).expect("all typed");
    assert_eq!(marks(&found), "1/30 f/5.6 ISO 400");
    assert_eq!(photo.origin(), "JPEG, figures from the camera's directory");
    assert_eq!(read(b"no photo").origin(), "");
}
