//! Reading devices and lenses: comparing, correcting what a frame amounts to, and what is refused.

use book::{
    Device, DeviceSteps, Edit, Key, Kind, LONGEST_FOCAL, Lens, Light, MOST_CORRECTION, Run, Slip,
    as_planned, as_shot, conclude, xmp,
};
use exposure::Steps;
use proptest::prelude::*;

use crate::check::{
    aperture, apply, bag, close, corrected, judge, light, loaded, roll_of, same, series, slip,
    speed, take_all,
};

const ROLL: &str = "box-1";

fn device(twelfths: i32) -> Device {
    Device {
        correction_twelfths: twelfths,
        ..Device::new("clip", "Old clip-on", DeviceSteps::Thirds)
    }
}

/// What a frame amounts to: EI as planned and as shot, and the offset from the rating.
#[track_caller]
fn amounts(light: Light, rating: &str, set: (&str, &str)) -> (f64, f64, f64) {
    let mut desk = loaded("400", rating);
    series(&mut desk, ROLL, "pier", light, rating, &[(set.0, set.1, 0)]);
    let roll = roll_of(&desk, ROLL);
    let planned = as_planned(roll, &roll.frames[0]).expect("a frame of a scene");
    let shot = as_shot(roll, &roll.frames[0]).expect("a frame of a scene");
    close("the base is the base", shot.from_base.get(), 0.0, 1e-9);
    (planned.ei.iso(), shot.ei.iso(), shot.from_rating.get())
}

#[test]
fn what_a_frame_amounts_to_with_a_correction() {
    // Reading ISO 100, 1/125 f/8, rating 100. Twelfths of more light that the reading needs, what was set, EI, and more
    // light than the rating was meant to get.
    for (twelfths, set, ei, from_rating) in [
        // No correction: set as the device asks is the rating.
        (0, ("1/125", "8"), 100.0, 0.0),
        // The device asks for one stop too little: set as it asks, the film is treated as one stop faster.
        (12, ("1/125", "8"), 200.0, -1.0),
        // With the stop that is needed the frame is what was meant.
        (12, ("1/60", "8"), 100.0, 0.0),
        // The opposite: the device asks for one stop too much.
        (-12, ("1/125", "8"), 50.0, 1.0),
        (-12, ("1/250", "8"), 100.0, 0.0),
        // A third and a half of a stop, made up for at the other control.
        (4, ("1/125", "7.1"), 100.0, 0.0),
        (-6, ("1/125", "9.5"), 100.0, 0.0),
        (120, ("1/125", "8"), 102_400.0, -10.0),
        (-120, ("1/125", "8"), 0.097_656_25, 10.0),
    ] {
        let read = corrected(light("100", "1/125", "8", None), twelfths);
        let set = if set.1 == "9.5" {
            (set.0, "f/9.5 in halves")
        } else {
            set
        };
        let (planned, shot, offset) = amounts(read, "100", set);
        let what = format!("{twelfths} twelfths, {set:?}");
        close(&what, shot, ei, 1e-9 * ei);
        close(&what, planned, ei, 1e-9 * ei);
        close(&what, offset, from_rating, 1e-9);
    }
}

#[test]
fn the_correction_comes_before_the_rating_and_holds_at_any_sensitivity_of_the_device() {
    // A device that asks for one stop too little, at ISO 400: its 1/250 f/8 is 1/125 f/8 at ISO 400, so a film rated 100
    // needs 1/30 f/8.
    let read = corrected(light("400", "1/250", "8", None), 12);
    let (_, ei, from_rating) = amounts(read.clone(), "100", ("1/30", "8"));
    close("EI", ei, 100.0, 1e-9);
    close("as rated", from_rating, 0.0, 1e-9);
    // The device stood at ISO 200 instead: what it showed was that for 200, and the correction stays.
    let mut desk = loaded("400", "100");
    series(&mut desk, ROLL, "pier", read, "100", &[("1/30", "8", 0)]);
    slip(&mut desk, ROLL, Run::One(1), Slip::Meter(speed("200")));
    let roll = roll_of(&desk, ROLL);
    let shot = as_shot(roll, &roll.frames[0]).expect("a frame of a scene");
    close("EI", shot.ei.iso(), 50.0, 1e-9);
    let planned = as_planned(roll, &roll.frames[0]).expect("a frame of a scene");
    close("the plan stays", planned.ei.iso(), 100.0, 1e-9);
}

#[test]
fn the_light_of_a_scene_is_dimmer_where_the_device_asks_for_too_little() {
    let read = light("100", "1/125", "8", None);
    close("EV", read.reading().light().get(), 13.0, 1e-9);
    let dimmer = corrected(read.clone(), 12);
    close("EV", dimmer.reading().light().get(), 12.0, 1e-9);
    let brighter = corrected(read, -12);
    close("EV", brighter.reading().light().get(), 14.0, 1e-9);
}

#[test]
fn a_rating_is_concluded_from_what_the_frames_really_amounted_to() {
    let median = |twelfths: i32| {
        let mut desk = loaded("400", "100");
        let read = corrected(light("100", "1/125", "8", None), twelfths);
        let frames = [("1/250", "8", -12), ("1/125", "8", 0), ("1/60", "8", 12)];
        series(&mut desk, ROLL, "pier", read, "100", &frames);
        take_all(&mut desk, ROLL);
        judge(&mut desk, ROLL, 2, book::Grade::Liked);
        let group = desk.book().group_of(roll_of(&desk, ROLL)).expect("a group");
        match conclude(desk.book(), &group) {
            book::Conclusion::Found(found) => {
                let found = found.finding("f", crate::check::date("2024-06-01"));
                (found.median_thousandths, found.evidence[0].light_tenths)
            }
            other => panic!("no rating: {other:?}"),
        }
    };
    assert_eq!(median(0), (2000, 130), "EI 100 of box 400, EV 13");
    assert_eq!(median(12), (1000, 120), "EI 200 of box 400, EV 12");
    assert_eq!(median(-12), (3000, 140), "EI 50 of box 400, EV 14");
}

#[test]
fn a_device_is_compared_with_a_reference() {
    let at = |iso, time, stop| light(iso, time, stop, None);
    for (device, reference, twelfths) in [
        (("100", "1/125", "8"), ("100", "1/125", "8"), 0),
        // The reference asks for one stop more light.
        (("100", "1/125", "8"), ("100", "1/60", "8"), 12),
        (("100", "1/125", "8"), ("100", "1/250", "8"), -12),
        (("100", "1/125", "8"), ("100", "1/125", "7.1"), 4),
        (("100", "1/125", "8"), ("100", "1/100", "8"), 4),
        // Each at its own sensitivity: the reference shows EV 12 at ISO 100.
        (("100", "1/125", "8"), ("400", "1/250", "8"), 12),
        (("400", "1/250", "8"), ("100", "1/125", "8"), -12),
        // f/7.7 is 0.11 of a stop more light than f/8 of the series: to the nearest twelfth.
        (("100", "1/125", "8"), ("100", "1/125", "7.7"), 1),
        (("100", "1", "8"), ("100", "1/1000", "8"), -120),
    ] {
        let found = Device::compare(
            &at(device.0, device.1, device.2),
            &at(reference.0, reference.1, reference.2),
        );
        assert_eq!(found, Ok(twelfths), "{device:?} against {reference:?}");
    }
    let far = Device::compare(&at("100", "1", "8"), &at("100", "1/2000", "8"))
        .expect_err("eleven stops apart");
    same(
        "refused",
        &far.to_string(),
        "a correction has to lie between 10 stops less light and 10 stops more light; \
         compare two readings of the same place in the same light",
    );
}

#[test]
fn a_comparison_counts_the_references_correction_and_not_the_devices() {
    let read = light("100", "1/125", "8", None);
    let compare = |device: i32, reference: i32| {
        Device::compare(
            &corrected(read.clone(), device),
            &corrected(read.clone(), reference),
        )
    };
    assert_eq!(compare(0, 4), Ok(4), "the reference's own correction");
    assert_eq!(compare(7, 0), Ok(0), "the earlier one is replaced");
    assert_eq!(compare(7, 4), Ok(4), "both");
}

#[test]
fn a_correction_is_said_in_words() {
    for (twelfths, words) in [
        (
            4,
            "asks for ⅓ stop less light than is needed: ⅓ stop more light is added",
        ),
        (
            -4,
            "asks for ⅓ stop more light than is needed: ⅓ stop less light is given",
        ),
        (
            12,
            "asks for 1 stop less light than is needed: 1 stop more light is added",
        ),
        (
            -18,
            "asks for 1½ stops more light than is needed: 1½ stops less light is given",
        ),
        (
            5,
            "asks for 5/12 stop less light than is needed: 5/12 stop more light is added",
        ),
        (
            -13,
            "asks for 1 1/12 stops more light than is needed: 1 1/12 stops less light is given",
        ),
    ] {
        same("device", &device(twelfths).correction_words(), words);
        let read = light("100", "1/125", "8", None).taken_with(&device(twelfths));
        assert_eq!(read.correction_words().as_deref(), Some(words));
        same("taken with", &read.device, "Old clip-on");
        close(
            "stops",
            read.correction().get(),
            f64::from(twelfths) / 12.0,
            1e-9,
        );
        assert_eq!(read.correction(), device(twelfths).correction());
    }
    same("even", &device(0).correction_words(), "is not corrected");
    // What could be set on it instead: a third of a stop is a figure of the list (three degrees DIN to a stop, ISO 5800).
    for (twelfths, words) in [
        (
            4,
            Some(
                "or set ISO 80 on it instead of 100, and type its readings with ISO 100 all the same",
            ),
        ),
        (
            8,
            Some(
                "or set ISO 64 on it instead of 100, and type its readings with ISO 100 all the same",
            ),
        ),
        (
            -12,
            Some(
                "or set ISO 200 on it instead of 100, and type its readings with ISO 100 all the same",
            ),
        ),
        (
            5,
            Some(
                "or set ISO 80 on it instead of 100, which leaves about ⅙ stop less light on the film, and type its readings with ISO 100 all the same",
            ),
        ),
        (1, None),
        (0, None),
    ] {
        assert_eq!(
            device(twelfths).set_instead(speed("100")).as_deref(),
            words,
            "{twelfths} twelfths"
        );
    }
    assert_eq!(light("100", "1/125", "8", None).correction_words(), None);
}

#[test]
fn the_description_of_a_scan_names_the_correction() {
    let said = |light: Light| {
        let mut desk = loaded("400", "100");
        series(&mut desk, ROLL, "pier", light, "100", &[("1/125", "8", 0)]);
        let roll = roll_of(&desk, ROLL);
        xmp(desk.book(), roll, &roll.frames[0])
    };
    let read = light("100", "1/125", "8", None);
    let with_device = said(read.clone().taken_with(&device(4)));
    assert!(
        with_device.contains(
            "rated EI 100; Old clip-on asks for ⅓ stop less light than is needed: ⅓ stop more light is added; "
        ),
        "{with_device}"
    );
    assert!(
        with_device.contains("<exifEX:PhotographicSensitivity>125<"),
        "{with_device}"
    );
    let unnamed = said(corrected(read.clone(), -12));
    assert!(
        unnamed.contains("; the reading device asks for 1 stop more light than is needed: "),
        "{unnamed}"
    );
    assert!(!said(read).contains("than is needed"), "nothing to say");
}

#[test]
fn devices_and_lenses_are_kept_changed_and_removed() {
    let mut desk = bag(
        book::Film::ColourNegative,
        "400",
        "2004-06",
        book::Storage::Unknown,
        0,
    );
    let before = desk.book().clone();
    let said = apply(&mut desk, Edit::Device(device(0))).said;
    same(
        "said",
        &said,
        "Reading device “Old clip-on” kept: is not corrected.",
    );
    let said = apply(&mut desk, Edit::Device(device(4))).said;
    same(
        "said",
        &said,
        "Reading device “Old clip-on” kept: asks for ⅓ stop less light than is needed: ⅓ stop more light is added. \
         Series that are logged stay as they were read.",
    );
    let lens = Lens::new("fifty", "Fifty", 50, aperture("2"), aperture("16")).expect("a lens");
    let said = apply(&mut desk, Edit::Lens(lens.clone())).said;
    same("said", &said, "Lens “Fifty” kept: 50 mm, f/2 to f/16.");
    assert_eq!(desk.book().device("clip"), Some(&device(4)));
    assert_eq!(desk.book().lens("fifty"), Some(&lens));
    assert_eq!(desk.book().new_id(Kind::Device, "Clip"), "clip-2");
    for (kind, id, said) in [
        (Kind::Device, "clip", "“Old clip-on” removed."),
        (Kind::Lens, "fifty", "“Fifty” removed."),
    ] {
        let done = apply(&mut desk, Edit::Remove(Key::new(kind, id)));
        same("said", &done.said, said);
        assert_eq!(done.touched, [Key::new(kind, id)]);
    }
    assert_eq!(desk.book(), &before, "both are gone");
    for _ in 0..5 {
        desk.undo().expect("a step");
    }
    assert_eq!(desk.book(), &before, "as before the kit");
}

#[test]
fn a_changed_device_leaves_what_was_logged() {
    let mut desk = loaded("400", "100");
    apply(&mut desk, Edit::Device(device(12)));
    let read = light("100", "1/125", "8", None).taken_with(&device(12));
    series(&mut desk, ROLL, "pier", read, "100", &[("1/60", "8", 0)]);
    apply(&mut desk, Edit::Device(device(-12)));
    apply(&mut desk, Edit::Remove(Key::new(Kind::Device, "clip")));
    let roll = roll_of(&desk, ROLL);
    let shot = as_shot(roll, &roll.frames[0]).expect("a frame of a scene");
    close("EI", shot.ei.iso(), 100.0, 1e-9);
}

#[test]
fn what_cannot_be_is_refused_in_words() {
    let lens = |focal_mm, widest, smallest| {
        Lens::new("l", "L", focal_mm, aperture(widest), aperture(smallest))
            .map(|lens| lens.shown())
            .map_err(|error| error.to_string())
    };
    let focal = Err("a focal length is given in whole millimetres, 1 to 2000".to_owned());
    let ends = Err(
        "the smallest aperture cannot be wider than the widest; the widest has the lower f-number"
            .to_owned(),
    );
    assert_eq!(lens(0, "2", "16"), focal);
    assert_eq!(lens(LONGEST_FOCAL + 1, "2", "16"), focal);
    assert_eq!(lens(50, "16", "2"), ends);
    assert_eq!(lens(1, "2", "16"), Ok("1 mm, f/2 to f/16".to_owned()));
    assert_eq!(
        lens(LONGEST_FOCAL, "8", "8"),
        Ok("2000 mm, f/8".to_owned()),
        "a lens whose aperture cannot be set"
    );
    let mut desk = loaded("400", "100");
    let before = desk.clone();
    let whole = Lens::new("l", "L", 50, aperture("2"), aperture("16")).expect("a lens");
    let of_lens = |change: &dyn Fn(&mut Lens)| {
        let mut lens = whole.clone();
        change(&mut lens);
        Edit::Lens(lens)
    };
    let unnamed = Device {
        name: " ".to_owned(),
        ..device(0)
    };
    let scene = |twelfths| Edit::Series {
        roll: ROLL.to_owned(),
        scene: Box::new(book::NewScene {
            name: "pier".to_owned(),
            light: corrected(light("100", "1/125", "8", None), twelfths),
            rating: speed("100"),
            base: crate::check::setting("1/125", "8"),
        }),
        frames: vec![book::Planned {
            set: crate::check::setting("1/125", "8"),
            more_light_twelfths: 0,
        }],
    };
    for (edit, says) in [
        (
            Edit::Device(device(MOST_CORRECTION + 1)),
            "10 stops more light",
        ),
        (Edit::Device(device(i32::MIN)), "10 stops less light"),
        (Edit::Device(unnamed), "a name is needed"),
        (of_lens(&|lens| lens.id.clear()), "a name is needed"),
        (of_lens(&|lens| lens.focal_mm = 0), "1 to 2000"),
        (of_lens(&|lens| lens.smallest = aperture("1.4")), "wider"),
        (scene(-MOST_CORRECTION - 1), "10 stops less light"),
    ] {
        let refused = desk.apply(&edit).expect_err("refused").to_string();
        assert!(refused.contains(says), "{edit:?}: {refused}");
    }
    assert_eq!(desk, before, "nothing changed");
    apply(&mut desk, Edit::Device(device(-MOST_CORRECTION)));
    apply(&mut desk, scene(MOST_CORRECTION));
}

#[test]
fn the_steps_of_a_device_settle_how_a_figure_is_read() {
    assert_eq!(DeviceSteps::Thirds.steps(), Steps::Third);
    assert_eq!(DeviceSteps::Halves.steps(), Steps::Half);
    same("words", DeviceSteps::Thirds.words(), "in third stops");
    same("words", DeviceSteps::Halves.words(), "in half stops");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn a_device_that_was_compared_reads_as_the_reference(
        a in prop::sample::select(vec!["1/30", "1/60", "1/100", "1/160", "1/500"]),
        b in prop::sample::select(vec!["1/30", "1/60", "1/100", "1/160", "1/500"]),
        stop in prop::sample::select(vec!["4", "5.6", "6.3", "9", "16"]),
        iso in prop::sample::select(vec!["50", "64", "100", "800"]),
    ) {
        let (shown, reference) = (light(iso, a, "8", None), light("100", b, stop, None));
        let twelfths = Device::compare(&shown, &reference).expect("within ten stops");
        let mended = corrected(shown.clone(), twelfths).reading().light().get();
        prop_assert!((mended - reference.reading().light().get()).abs() < 1e-9);
        prop_assert_eq!(Device::compare(&reference, &shown), Ok(-twelfths), "the other way round is the opposite");
    }

    #[test]
    fn a_correction_moves_the_ei_by_as_much(twelfths in -MOST_CORRECTION..=MOST_CORRECTION) {
        let read = light("100", "1/125", "8", None);
        let (_, plain, _) = amounts(read.clone(), "100", ("1/60", "5.6"));
        let (planned, ei, _) = amounts(corrected(read, twelfths), "100", ("1/60", "5.6"));
        prop_assert!(((ei / plain).log2() - f64::from(twelfths) / 12.0).abs() < 1e-9);
        prop_assert_eq!(ei.to_bits(), planned.to_bits());
    }
}
