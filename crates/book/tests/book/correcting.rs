//! Corrections between the reading and the film: what they do to a frame, what is refused, how they are kept and said.

use book::{
    Book, Correction, Desk, Development, Edit, Key, Kind, LONGEST_CORRECTION_NAME, Light,
    MOST_CORRECTIONS, MOST_EFFECT, MOST_TOGETHER, Record, Run, Slip, as_planned, as_shot, csv,
    encode, export, lab_slip, open, plan_import, rows, xmp,
};
use exposure::{Control, Effect, Mark, Steps, Stops};
use proptest::prelude::*;

use crate::check::{
    apply, close, corrected, date, light, loaded, roll_of, same, series, slip, speed,
};

const ROLL: &str = "box-1";
const GOLDEN: &str = include_str!("../golden/roll-2.json");

fn correction(name: &str, thousandths: i32) -> Correction {
    Correction {
        name: name.to_owned(),
        thousandths,
        at: None,
    }
}

#[track_caller]
fn with(light: Light, corrections: &[(&str, i32)]) -> Light {
    let corrections = corrections
        .iter()
        .map(|(name, thousandths)| correction(name, *thousandths))
        .collect();
    light
        .with_corrections(corrections)
        .unwrap_or_else(|error| panic!("{error}"))
}

/// A roll with one frame, read as ISO 100, 1/125, f/8 and rated 100.
#[track_caller]
fn shot_with(light: Light, time: &str) -> Desk {
    let mut desk = loaded("400", "100");
    series(&mut desk, ROLL, "pier", light, "100", &[(time, "8", 0)]);
    desk
}

fn read() -> Light {
    light("100", "1/125", "8", None)
}

/// What belongs to a time or a stop is asked anew for each frame, as it was shot; the record is of version 3, comes back, and
/// older ones stay as they were.
///
/// Source of the leaf shutter's figures: a trade guide of 1979, second hand (a third of a stop at 1/125 from f/16 on, and so
/// forth); the rest is arithmetic.
#[test]
fn what_belongs_to_a_setting_counts_at_that_setting() {
    let mark = |control, text: &str| Mark::parse(control, text, Steps::Full).expect("a mark");
    let stop = |text: &str, effect| (mark(Control::Aperture, text), Stops::constant(effect));
    let slow = Effect::AtTime(mark(Control::Time, "1/250"), Stops::constant(0.5));
    let lens = Effect::ByStop(vec![stop("2", -1.0), stop("4", 0.0)]);
    for (effect, frames) in [
        // Time, aperture, and what the frame gets beyond what its setting says.
        (
            Effect::Leaf,
            [
                ("1/125", "16", 1.0 / 3.0),
                ("1/500", "16", 1.0),
                ("1/500", "8", 0.0),
                ("1/30", "22", 0.0),
            ],
        ),
        (
            slow,
            [
                ("1/250", "8", 0.5),
                ("1/125", "8", 0.0),
                ("1/250", "16", 0.5),
                ("1/500", "4", 0.0),
            ],
        ),
        (
            lens,
            [
                ("1/60", "2", -1.0),
                ("1/60", "2.8", -0.5),
                ("1/60", "4", 0.0),
                ("1/60", "8", 0.0),
            ],
        ),
    ] {
        let belongs = Correction::by("What belongs to a setting", &effect).expect("kept");
        let behind = read().with_corrections(vec![belongs]).expect("kept");
        let all = |light: Light| {
            let mut desk = loaded("400", "100");
            let planned = frames.map(|(time, aperture, _)| (time, aperture, 0));
            series(&mut desk, ROLL, "pier", light, "100", &planned);
            desk
        };
        let (desk, plain) = (all(behind), all(read()));
        for (at, (time, aperture, more)) in frames.into_iter().enumerate() {
            let ei = |desk: &Desk| {
                let roll = roll_of(desk, ROLL);
                as_shot(roll, &roll.frames[at])
                    .expect("a frame")
                    .ei
                    .mark()
                    .place()
                    .get()
            };
            close(
                &format!("{effect:?} at {time} f/{aperture}"),
                ei(&plain) - ei(&desk),
                more,
                1e-9,
            );
        }
        let record = Record::Roll(Box::new(roll_of(&desk, ROLL).clone()));
        let (key, text) = (record.key().text(), encode(&record));
        assert!(text.contains("\"version\":3"), "{text}");
        let opened = open(&[(key, text.clone())]);
        assert!(opened.notices.is_empty(), "{:?}", opened.notices);
        let again = opened.book.rolls().next().expect("the roll").clone();
        assert_eq!(
            encode(&Record::Roll(Box::new(again))),
            text,
            "to the letter"
        );
    }
}

/// Source: the exposure relation (ISO 2720:1974, as quoted) by arithmetic; a filter factor is 2 to the power of its stops.
#[test]
fn what_a_frame_amounts_to_behind_a_filter() {
    for (corrections, time, ei) in [
        // Factor 8 is three stops less light; three stops longer is what was meant.
        (vec![("Filter, factor 8", -3000)], "1/15", 100.0),
        // Forgotten, the film gets an eighth of what it was to get: it is treated as eight times as fast.
        (vec![("Filter, factor 8", -3000)], "1/125", 800.0),
        // Factors multiply, stops add.
        (
            vec![("Filter, factor 2", -1000), ("Extension", -2000)],
            "1/15",
            100.0,
        ),
        // What gives more light calls for less.
        (vec![("Spot in the shade", 1000)], "1/250", 100.0),
        (
            vec![("Filter", -1000), ("Spot in the shade", 1000)],
            "1/125",
            100.0,
        ),
        (vec![("Nothing", 0)], "1/125", 100.0),
    ] {
        let desk = shot_with(with(read(), &corrections), time);
        let roll = roll_of(&desk, ROLL);
        let what = format!("{corrections:?} at {time}");
        for found in [
            as_shot(roll, &roll.frames[0]),
            as_planned(roll, &roll.frames[0]),
        ] {
            let found = found.expect("a frame of a scene");
            close(&what, found.ei.iso(), ei, 1e-9 * ei);
            close(&what, found.from_base.get(), 0.0, 1e-9);
            close(&what, found.from_rating.get(), (100.0 / ei).log2(), 1e-9);
        }
    }
}

#[test]
fn a_filter_changes_what_the_film_asks_for_and_not_the_light_of_the_scene() {
    let light = with(corrected(read(), 12), &[("Filter, factor 8", -3000)]);
    close("EV", light.reading().light().get(), 12.0, 1e-9);
    // The device's own stop and the filter's three come together; so does a device that stood elsewhere.
    let mut desk = shot_with(light, "1/8");
    let roll = roll_of(&desk, ROLL);
    let meant = as_shot(roll, &roll.frames[0]).expect("a frame of a scene");
    close("EI", meant.ei.iso(), 100.0, 1e-9);
    slip(&mut desk, ROLL, Run::One(1), Slip::Meter(speed("200")));
    let roll = roll_of(&desk, ROLL);
    let stood = as_shot(roll, &roll.frames[0]).expect("a frame of a scene");
    close("EI", stood.ei.iso(), 200.0, 1e-9);
}

#[test]
fn what_no_record_keeps_is_refused_in_words_and_changes_nothing() {
    let long = "x".repeat(LONGEST_CORRECTION_NAME + 1);
    for (corrections, said) in [
        (vec![correction("Dark", -MOST_EFFECT - 1)], "20 stops"),
        (vec![correction("Bright", MOST_EFFECT + 1)], "20 stops"),
        (vec![correction("Bright", i32::MIN)], "20 stops"),
        (vec![correction(&long, -1000)], "60 characters"),
        (
            vec![correction("Filter", -1000); MOST_CORRECTIONS + 1],
            "at most 12",
        ),
        (vec![correction("Filter", -MOST_EFFECT); 4], "60 stops"),
    ] {
        let refused = read()
            .with_corrections(corrections.clone())
            .expect_err("refused");
        assert!(refused.to_string().contains(said), "{refused}");
        // An edit of a light that was put together by hand is refused as well.
        let by_hand = Light {
            corrections,
            ..read()
        };
        let mut desk = loaded("400", "100");
        let before = desk.book().clone();
        let frame = book::Planned {
            set: crate::check::setting("1/125", "f/8"),
            more_light_twelfths: 0,
        };
        let edit = Edit::Series {
            roll: ROLL.to_owned(),
            scene: Box::new(book::NewScene {
                name: String::new(),
                light: by_hand.clone(),
                rating: speed("100"),
                base: frame.set,
            }),
            frames: vec![frame],
        };
        let refused = desk.apply(&edit).expect_err("refused");
        assert!(refused.to_string().contains(said), "{refused}");
        assert_eq!(desk.book(), &before, "as it was");
        // And it can still be asked what it says and does.
        let _ = (by_hand.said(), by_hand.reading());
    }
    assert!(
        Correction::new("Filter", Stops::constant(-20.5)).is_err(),
        "beyond 20 stops"
    );
}

/// What a film would have to be rated at is 100 · 2^60 or 100 · 2^−60 (arithmetic): no figure is made up for it, in words or in
/// metadata, and the offset says the rest.
#[test]
fn beyond_every_sensitivity_no_figure_is_said_and_nothing_breaks() {
    assert_eq!(MOST_TOGETHER, 3 * MOST_EFFECT, "as much");
    let field = "PhotographicSensitivity";
    let ei = "an EI beyond any film";
    for (each, from_box) in [
        (-MOST_EFFECT, "58 stops less light"),
        (MOST_EFFECT, "62 stops more light"),
    ] {
        let light = read()
            .with_corrections(vec![correction("ä", each); 3])
            .expect("three times the most is just as much as is kept");
        let desk = shot_with(light, "1/125");
        let roll = roll_of(&desk, ROLL);
        let row = &rows(desk.book(), roll)[0];
        same("EI", &row.ei, ei);
        same("from box speed", &row.from_box, from_box);
        let packet = xmp(desk.book(), roll, &roll.frames[0]);
        assert!(
            !packet.contains(field) && !packet.contains("ExposureIndex"),
            "{packet}"
        );
        assert!(
            packet.contains(&format!(
                "as shot: {ei}, as the base, {from_box} than box speed"
            )),
            "{packet}"
        );
    }
    // Up to there it has one: 16 stops from ISO 100 are ISO 6 553 600.
    let light = with(read(), &[("Dark", -16_000)]);
    let desk = shot_with(light, "1/125");
    let roll = roll_of(&desk, ROLL);
    same("EI", &rows(desk.book(), roll)[0].ei, "about EI 6550000");
    assert!(
        xmp(desk.book(), roll, &roll.frames[0]).contains(field),
        "a sensitivity"
    );
}

#[test]
fn corrections_are_said_in_words_with_the_figure_where_words_are_not_exact() {
    for (name, thousandths, words) in [
        (
            "Filter, factor 8",
            -3000,
            "Filter, factor 8: 3 stops less light",
        ),
        ("Lens", -333, "Lens: ⅓ stop less light"),
        (
            "Filter, factor 5",
            -2322,
            "Filter, factor 5: 2⅓ stops less light (2.32)",
        ),
        (
            "Factor 6",
            -2585,
            "Factor 6: about 2⅔ stops less light (2.59)",
        ),
        ("Left over", 40, "Left over: under ⅙ stop more light (0.04)"),
        ("Clear", 0, "Clear: no difference"),
        (" ", 1000, "A correction: 1 stop more light"),
    ] {
        same("words", &correction(name, thousandths).words(), words);
    }
}

#[test]
fn the_papers_say_what_was_counted() {
    let light = Light {
        device: "Old clip-on".to_owned(),
        ..with(corrected(read(), 4), &[("Filter, factor 8", -3000)])
    };
    let mut desk = shot_with(light, "1/15");
    apply(
        &mut desk,
        Edit::Extra {
            roll: ROLL.to_owned(),
            what: book::Extra::Slate,
            spot: book::Spot::Now,
            at: None,
        },
    );
    let roll = roll_of(&desk, ROLL);
    let device =
        "Old clip-on asks for ⅓ stop less light than is needed: ⅓ stop more light is added";
    let filter = "Filter, factor 8: 3 stops less light";
    // Nothing was shot yet, so the slate stands where the film does: before the frame that is waiting.
    let found = rows(desk.book(), roll);
    same("a slate has none", &found[0].corrections, "");
    same("row", &found[1].corrections, &format!("{device}; {filter}"));
    let picture = roll.frames.iter().find(|frame| frame.plan.is_picture());
    let picture = picture.expect("a picture");
    let table = csv(desk.book(), &[roll]);
    let head = table.lines().next().expect("a head");
    assert!(head.contains(",note,corrections counted,"), "{head}");
    assert!(
        table.contains(&format!("\"{device}; {filter}\"")),
        "{table}"
    );
    let packet = xmp(desk.book(), roll, picture);
    assert!(
        packet.contains(&format!("; {device}; {filter}; ")),
        "{packet}"
    );
    let slip = lab_slip(desk.book(), roll, Development::Normal);
    let line = "Counted already when the frames were exposed, nothing to make up for: Filter, factor 8: 3 stops less light.";
    assert_eq!(
        slip.iter().filter(|known| *known == line).count(),
        1,
        "{slip:?}"
    );
    for line in &slip {
        assert!(!line.contains(['+', '−']), "no bare sign: {line}");
    }
}

#[track_caller]
fn taken_over(document: &str) -> Book {
    let empty = Book::new();
    let import = plan_import(&empty, document).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(import.unreadable, 0, "all of it is read");
    let mut desk = Desk::new(empty);
    apply(&mut desk, Edit::Import(import));
    desk.book().clone()
}

#[test]
fn golden_the_second_version_of_a_roll_is_read_and_written_to_the_letter() {
    let book = taken_over(GOLDEN);
    same("written again", &export(&book, date("2026-11-25")), GOLDEN);
    let roll = book.find_roll(ROLL).expect("a roll");
    assert_eq!(
        roll.scenes[0].light.corrections,
        [
            correction("Filter, factor 8", -3000),
            correction("What standard marks leave over", 83),
        ]
    );
    assert_eq!(roll.scenes[1].light.corrections, [], "left out");
    same(
        "found to be the same",
        &roll.scenes[1].light.read_words(),
        "Read as 1/125, f/8 at ISO 100, 2024-05-01 10:00; the light was the same at 10:40.",
    );
    assert_eq!(roll.scenes[0].light.same_at, None, "left out");
    let by_card = Light {
        method: "grey card".to_owned(),
        ..roll.scenes[0].light.clone()
    };
    same(
        "with what and how",
        &by_card.read_words(),
        "Read as 1/125, f/8 at ISO 100 (Old clip-on, grey card).",
    );
}

#[test]
fn a_roll_without_corrections_stays_in_the_first_version() {
    let version = |record: &Record| {
        let text = encode(record);
        let (_, rest) = text.split_once("\"version\":").expect("a version");
        rest.split_once(',').expect("more").0.to_owned()
    };
    let book = taken_over(GOLDEN);
    let versions: Vec<(Kind, String)> = book
        .records()
        .map(|record| (record.kind(), version(record)))
        .collect();
    assert_eq!(
        versions,
        [
            (Kind::Stock, "1".to_owned()),
            (Kind::Batch, "1".to_owned()),
            (Kind::Roll, "2".to_owned()),
            (Kind::Roll, "1".to_owned()),
        ]
    );
    let plain = shot_with(corrected(read(), 4), "1/15");
    let text = export(plain.book(), date("2026-11-25"));
    assert!(!text.contains("\"version\":2"), "{text}");
}

#[test]
fn only_rolls_and_findings_have_newer_versions_so_far() {
    let books = [
        GOLDEN,
        include_str!("../golden/book-1.json"),
        include_str!("../golden/kit-1.json"),
        include_str!("../golden/cameras-4.json"),
        include_str!("../golden/test-5.json"),
    ]
    .map(taken_over);
    let records: Vec<&Record> = books.iter().flat_map(Book::records).collect();
    let kept = |kind: &Kind| *kind == Kind::Aside || records.iter().any(|one| one.kind() == *kind);
    assert!(Kind::ALL.iter().all(kept), "one of every kind");
    // What is kept to the letter has no version of its own.
    let to_the_letter = |kind: Kind| matches!(kind, Kind::Aside | Kind::Dial);
    for record in records.iter().filter(|one| !to_the_letter(one.kind())) {
        let key = record.key().text();
        let newer = |text: String| open(&[(key.clone(), text)]);
        let text = encode(record);
        let at = |version: u32| {
            let is = |version: &u32| text.contains(&format!("\"version\":{version}"));
            let now = [4, 2].into_iter().find(is).unwrap_or(1);
            text.replacen(
                &format!("\"version\":{now}"),
                &format!("\"version\":{version}"),
                1,
            )
        };
        assert_eq!(newer(text.clone()).notices.len(), 0, "{text}");
        // Golden files of every version that a kind has are opened elsewhere; here it is that none has one more.
        let newest = match record.kind() {
            Kind::Roll => 4,
            Kind::Finding => 3,
            _ => 1,
        };
        for version in 2..=4 {
            let opened = newer(at(version));
            if version <= newest {
                assert_eq!(
                    opened.notices.len(),
                    0,
                    "{key} of version {version} is read"
                );
                continue;
            }
            assert!(
                opened.notices[0].contains("newer version"),
                "{key} of version {version}"
            );
            assert_eq!(opened.set_aside, [], "left under its key");
            assert_eq!(
                opened.book.asides().next().map(|aside| aside.text.clone()),
                Some(at(version)),
                "to the letter"
            );
        }
    }
}

#[test]
fn a_correction_that_cannot_be_sets_the_roll_aside() {
    let text = encode(
        taken_over(GOLDEN)
            .get(&Key::new(Kind::Roll, ROLL))
            .expect("a roll"),
    );
    for (from, to) in [
        (":-3000", ":-20001"),
        (":-3000", ":20001"),
        (":-3000", ":0.5"),
        (":-3000", ":null"),
        (":-3000", ":-3000,\"unit\":\"stops\""),
        ("\"Filter, factor 8\"", "7"),
        ("Filter, factor 8", &"x".repeat(61)),
        ("{\"name\":\"Filter", "7,{\"name\":\"Filter"),
        ("T10:40", "T24:40"),
        ("\"2024-05-01T10:40\"", "null,\"seen\":1"),
    ] {
        assert!(text.contains(from), "{from} in {text}");
        let opened = open(&[(format!("roll.{ROLL}"), text.replacen(from, to, 1))]);
        assert_eq!(opened.set_aside.len(), 1, "{from} to {to}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// What lets less light through asks for more, just as a device does that asks for too little.
    #[test]
    fn corrections_count_as_one_of_the_device_does_and_their_order_does_not_matter(
        twelfths in prop::collection::vec(-24_i32..=24, 1..6),
        device in -24_i32..=24,
    ) {
        // Quarters of a stop are whole twelfths and whole thousandths.
        let quarters: Vec<i32> = twelfths.iter().map(|n| n * 250).collect();
        let list = |numbers: &[i32]| -> Vec<Correction> {
            numbers.iter().map(|n| correction("one of them", *n)).collect()
        };
        let ei = |light: Light| {
            let desk = shot_with(light, "1/125");
            let roll = roll_of(&desk, ROLL);
            as_shot(roll, &roll.frames[0]).map(|shot| shot.ei.mark().place().get())
        };
        let sum: i32 = twelfths.iter().map(|n| n * 3).sum();
        // A device is corrected by ten stops at most; one that cannot be is refused.
        prop_assume!((device - sum).abs() <= book::MOST_CORRECTION);
        let by_device = ei(Light { correction_twelfths: device - sum, ..read() });
        let light = corrected(read(), device);
        let found = ei(light.clone().with_corrections(list(&quarters)).unwrap());
        let mut turned = quarters.clone();
        turned.reverse();
        let other = ei(light.with_corrections(list(&turned)).unwrap());
        prop_assert_eq!(found, other);
        let (found, by_device) = (found.unwrap(), by_device.unwrap());
        prop_assert!((found - by_device).abs() < 1e-9, "{} and {}", found, by_device);
    }
}

/// What belongs to a stop and is beyond any correction is refused, and not cut to the largest one.
#[test]
fn an_effect_beyond_any_is_refused_by_aperture_too() {
    for (at, kept) in [
        ("f/2 -333 f/4 0", true),
        ("f/2 -20000 f/4 0", true),
        ("f/2 -20001 f/4 0", false),
        ("f/2 -333 f/4", false),
        ("f/2 many", false),
    ] {
        let one = Correction {
            at: Some(at.to_owned()),
            ..correction("Lens, by aperture", 0)
        };
        let taken = read().with_corrections(vec![one]);
        assert_eq!(taken.is_ok(), kept, "{at}: {taken:?}");
    }
}
