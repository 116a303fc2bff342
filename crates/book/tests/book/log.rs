//! The log: as planned and as shot, slips, series in words. Cases are numbered as in the worked scenarios of the trade
//! that this project keeps; facts of the trade without a published source are common practice, no source.

use book::{
    Aperture, Edit, Extra, Fate, Plan, Planned, Run, Slip, Speed, Spot, Time, as_planned, as_shot,
    frame_words, stale,
};
use exposure::{Control, Mark, Place, Steps};
use proptest::prelude::*;

use crate::check::{
    aperture, apply, bag, close, date, light, loaded, moment, pier, roll_of, same, scene_of,
    series, setting, slip, speed, take_all,
};

const ROLL: &str = "box-1";

#[test]
fn figures_come_back_as_they_were_written() {
    for text in [
        "1/60",
        "1/100 as engraved",
        "1/125 as engraved",
        "1/250, measured 1/160",
        "4s, by hand",
        "1/20",
        "1/20 in halves",
        "0.746s",
    ] {
        let time = Time::parse(text).expect("a time");
        same(text, &time.text(), text);
    }
    for text in [
        "f/8",
        "f/12.5",
        "f/9.5 in halves",
        "f/13",
        "f/13 in halves",
        "f/7.7",
        "f/8 as engraved",
    ] {
        let aperture = Aperture::parse(text).expect("an aperture");
        same(text, &aperture.text(), text);
    }
    for text in ["ISO 400", "ISO 0.8", "ISO 74"] {
        same(text, &Speed::parse(text).expect("a speed").text(), text);
    }
    assert!(
        Time::new(aperture("8").mark()).is_err(),
        "an aperture is no time"
    );
}

#[test]
fn case_7_the_ei_that_a_frame_amounts_to() {
    // Reading ISO 200, 1/250 f/8; set 1/60 f/5.6; box 160: EI 25, 2 2/3 stops more light than box speed.
    let mut desk = loaded("160", "25");
    series(
        &mut desk,
        ROLL,
        "pier",
        light("200", "1/250", "8", None),
        "25",
        &[("1/60", "5.6", 0)],
    );
    let roll = roll_of(&desk, ROLL);
    let shot = as_shot(roll, &roll.frames[0]).expect("a frame of a scene");
    close("EI", shot.ei.iso(), 25.0, 0.01);
    close(
        "offset from box",
        shot.from_box(speed("160")).get(),
        8.0 / 3.0,
        1e-9,
    );
    close("offset from the rating", shot.from_rating.get(), 0.0, 1e-9);
    same(
        "words",
        &frame_words(&shot, Some(speed("160"))),
        "EI 25, as the base, 2⅔ stops more light than box speed",
    );
}

#[test]
fn case_3_a_bracket_by_time_counted_from_box_speed() {
    // Box 400, EI 100, base 1/125 f/11: as-shot EI 200, 100, 50, 25 are 1 to 4 stops more light than box speed.
    let mut desk = loaded("400", "100");
    series(
        &mut desk,
        ROLL,
        "pier",
        light("100", "1/125", "11", None),
        "100",
        &[
            ("1/250", "11", -12),
            ("1/125", "11", 0),
            ("1/60", "11", 12),
            ("1/30", "11", 24),
        ],
    );
    let roll = roll_of(&desk, ROLL);
    for (frame, (ei, from_box)) in
        roll.frames
            .iter()
            .zip([(200.0, 1.0), (100.0, 2.0), (50.0, 3.0), (25.0, 4.0)])
    {
        let shot = as_shot(roll, frame).expect("a frame of a scene");
        close("EI", shot.ei.iso(), ei, 0.01);
        close(
            "offset from box",
            shot.from_box(speed("400")).get(),
            from_box,
            1e-9,
        );
    }
}

/// Case 8: planned by time at f/8; from frame 3 the ring stood at f/5.6.
fn bumped() -> book::Desk {
    let mut desk = loaded("200", "100");
    pier(
        &mut desk,
        &[
            ("1/250", "8", -12),
            ("1/125", "8", 0),
            ("1/60", "8", 12),
            ("1/30", "8", 24),
        ],
    );
    take_all(&mut desk, ROLL);
    let done = slip(
        &mut desk,
        ROLL,
        Run::Numbers { from: 3, to: None },
        Slip::Aperture(aperture("f/5.6")),
    );
    same(
        "said",
        &done.said,
        "The ring stood at f/5.6 for every frame from 3.",
    );
    desk
}

#[test]
fn case_8_a_bumped_ring_is_one_edit_and_the_series_says_what_it_holds() {
    let desk = bumped();
    let found = book::series(roll_of(&desk, ROLL), 1);
    let offsets: Vec<f64> = found
        .held
        .iter()
        .map(|held| held.shot.from_base.get())
        .collect();
    for (actual, expected) in offsets.iter().zip([-1.0, 0.0, 2.0, 3.0]) {
        close("offset from the base", *actual, expected, 1e-9);
    }
    assert_eq!(offsets.len(), 4, "all four count");
    assert_eq!(found.missing.len(), 1, "one is missing");
    assert_eq!(
        found.missing[0].set,
        setting("1/60", "f/8"),
        "what would give it"
    );
    same(
        "words",
        &found.words,
        "Holds 1 stop less light, the base, 2 stops more light and 3 stops more light. Missing: 1 stop more light (1/60, \
         f/8), one more frame.",
    );
}

#[test]
fn a_missing_frame_can_be_added_and_then_nothing_is_missing() {
    let mut desk = bumped();
    let planned = Planned {
        set: setting("1/60", "f/8"),
        more_light_twelfths: 12,
    };
    apply(
        &mut desk,
        Edit::More {
            roll: ROLL.to_owned(),
            scene: 1,
            frames: vec![planned],
        },
    );
    let waiting = book::series(roll_of(&desk, ROLL), 1);
    assert!(
        waiting
            .words
            .ends_with("Still to shoot: 1 stop more light (1/60, f/8)."),
        "{}",
        waiting.words
    );
    take_all(&mut desk, ROLL);
    let done = book::series(roll_of(&desk, ROLL), 1);
    assert_eq!(done.missing, [], "nothing is missing");
}

#[test]
fn the_last_frames_go_to_what_is_missing() {
    let mut desk = bumped();
    assert_eq!(
        book::last_frames(roll_of(&desk, ROLL)),
        [
            "“pier”, if its light is back: 1 stop more light (1/60, f/8).",
            "One frame with the lens covered: it shows base plus fog.",
        ]
    );
    apply(
        &mut desk,
        Edit::Extra {
            roll: ROLL.to_owned(),
            what: Extra::Capped,
            spot: Spot::Now,
            at: None,
        },
    );
    assert_eq!(
        book::last_frames(roll_of(&desk, ROLL)).len(),
        1,
        "the fog is seen to"
    );
}

#[test]
fn a_slip_keeps_the_plan_and_can_be_taken_back() {
    let mut desk = bumped();
    let planned = |desk: &book::Desk| -> Vec<Plan> {
        roll_of(desk, ROLL)
            .frames
            .iter()
            .map(|frame| frame.plan.clone())
            .collect()
    };
    let plan = planned(&desk);
    slip(
        &mut desk,
        ROLL,
        Run::Numbers {
            from: 1,
            to: Some(4),
        },
        Slip::Time(Time::parse("1/500").expect("a time")),
    );
    assert_eq!(planned(&desk), plan, "the plan is as it was");
    slip(
        &mut desk,
        ROLL,
        Run::Numbers {
            from: 1,
            to: Some(4),
        },
        Slip::AsPlanned,
    );
    let roll = roll_of(&desk, ROLL);
    for frame in &roll.frames {
        assert_eq!(
            as_shot(roll, frame),
            as_planned(roll, frame),
            "as planned after all"
        );
    }
}

#[test]
fn case_9_a_wrong_meter_setting_for_a_whole_roll() {
    // EI 64 meant, the meter stood at 400: every frame 2 2/3 stops less light, as-shot EI 400. On box 400: box speed.
    let mut desk = loaded("400", "64");
    for name in ["pier", "sheds"] {
        series(
            &mut desk,
            ROLL,
            name,
            light("64", "1/60", "8", None),
            "64",
            &[("1/60", "8", 0), ("1/30", "8", 12)],
        );
    }
    take_all(&mut desk, ROLL);
    slip(
        &mut desk,
        ROLL,
        Run::Numbers { from: 1, to: None },
        Slip::Meter(speed("400")),
    );
    let roll = roll_of(&desk, ROLL);
    for (frame, more) in roll.frames.iter().zip([0.0, 1.0, 0.0, 1.0]) {
        let shot = as_shot(roll, frame).expect("a frame of a scene");
        close(
            "offset from the rating",
            shot.from_rating.get(),
            more - 8.0 / 3.0,
            1e-9,
        );
        close(
            "offset from box",
            shot.from_box(speed("400")).get(),
            more,
            1e-9,
        );
    }
    let shot = as_shot(roll, &roll.frames[0]).expect("a frame of a scene");
    same(
        "words",
        &frame_words(&shot, Some(speed("400"))),
        "EI 400, as the base, as box speed",
    );
}

#[test]
fn case_4_a_lens_that_ends_gives_what_it_gives() {
    // By aperture at 1/125, base f/8, widest 3.5: wanted 3 stops more light, gives 2.4.
    let mut desk = loaded("400", "100");
    pier(
        &mut desk,
        &[
            ("1/125", "11", -12),
            ("1/125", "8", 0),
            ("1/125", "5.6", 12),
            ("1/125", "4", 24),
            ("1/125", "3.5 as engraved", 36),
        ],
    );
    take_all(&mut desk, ROLL);
    let found = book::series(roll_of(&desk, ROLL), 1);
    let last = found.held.last().expect("a frame");
    close(
        "offset from the base",
        last.shot.from_base.get(),
        2.385,
        0.001,
    );
    assert!(
        found.words.contains("about 2⅓ stops more light"),
        "{}",
        found.words
    );
    assert_eq!(
        found.missing,
        [],
        "what the camera cannot give was not planned to be given"
    );
}

#[test]
fn case_10_a_measured_time_counts_and_not_the_engraved_one() {
    // Marked 1 s is really 0.746 s: 0.42 stop less light, not more.
    let mut desk = loaded("400", "100");
    series(
        &mut desk,
        ROLL,
        "pier",
        light("100", "1s", "8", None),
        "100",
        &[("1s", "8", 0), ("1s, measured 0.746s", "8", 0)],
    );
    let roll = roll_of(&desk, ROLL);
    let shot = as_shot(roll, &roll.frames[1]).expect("a frame of a scene");
    close("offset from the base", shot.from_base.get(), -0.42, 0.005);
}

#[test]
fn a_bracket_of_the_calculation_is_logged_as_it_was_planned() {
    // Camera of full stops, f/3.5 as the widest: the frame that wanted three stops more light gives 2.4.
    let third = |control, text| Mark::parse(control, text, Steps::Third).expect("a figure");
    let (time, base) = (third(Control::Time, "1/125"), third(Control::Aperture, "8"));
    let rating = third(Control::Sensitivity, "100");
    let reading = exposure::Reading::new(time, base, rating).expect("a reading");
    let camera = exposure::Camera::parse("1/30..1/500", "3.5 4 5.6 8 11 16", Steps::Full, None)
        .expect("a camera");
    let plan = exposure::Bracket::new(
        Control::Aperture,
        1,
        3,
        exposure::BracketStep::One,
        exposure::Order::Rising,
    )
    .expect("a bracket");
    let frames = exposure::bracket(
        &plan,
        &reading,
        speed("400").as_box(),
        &[time, base],
        camera.apertures(),
    )
    .expect("frames");
    let planned: Vec<Planned> = frames
        .iter()
        .map(|frame| Planned::new(time, frame.mark, frame.wanted).expect("a frame"))
        .collect();
    let wanted: Vec<i32> = planned
        .iter()
        .map(|frame| frame.more_light_twelfths)
        .collect();
    assert_eq!(wanted, [-12, 0, 12, 24, 36], "in twelfths of a stop");
    let mut desk = loaded("400", "100");
    let scene = book::NewScene {
        name: "pier".to_owned(),
        light: book::Light::new(&reading, None).expect("kept"),
        rating: speed("100"),
        base: planned[1].set,
    };
    apply(
        &mut desk,
        Edit::Series {
            roll: ROLL.to_owned(),
            scene: Box::new(scene),
            frames: planned,
        },
    );
    let roll = roll_of(&desk, ROLL);
    for (frame, kept) in frames.iter().zip(&roll.frames) {
        let shot = as_shot(roll, kept).expect("a frame of a scene");
        close("EI", shot.ei.iso(), frame.amounts_to.iso(), 1e-6);
        close(
            "offset from the base",
            shot.from_base.get(),
            frame.given.get(),
            1e-9,
        );
        close(
            "offset from box",
            shot.from_box(speed("400")).get(),
            frame.from_box.get(),
            1e-9,
        );
    }
    assert!(
        Planned::new(base, time, exposure::Stops::ZERO).is_err(),
        "time and aperture in this order"
    );
}

#[test]
fn what_is_no_evidence_is_left_out_and_said() {
    let mut desk = bumped();
    slip(
        &mut desk,
        ROLL,
        Run::Numbers {
            from: 1,
            to: Some(1),
        },
        Slip::LightChanged(true),
    );
    slip(
        &mut desk,
        ROLL,
        Run::Numbers {
            from: 2,
            to: Some(2),
        },
        Slip::Fate(Fate::Lost),
    );
    slip(
        &mut desk,
        ROLL,
        Run::Numbers {
            from: 4,
            to: Some(4),
        },
        Slip::Fate(Fate::Double),
    );
    let found = book::series(roll_of(&desk, ROLL), 1);
    assert_eq!(found.held, [], "nothing counts: {}", found.words);
    same(
        "words",
        &found.words,
        "Holds no frame that counts yet. Missing: 1 stop less light (1/250, f/8), the base (1/125, f/8), 1 stop more light \
         (1/60, f/8) and 2 stops more light (1/30, f/8), 4 more frames. Does not count: frame 1 (the light had changed), \
         frame 2 (lost), frame 3 (double exposure) and frame 3 (double exposure).",
    );
}

#[test]
fn numbers_follow_the_film() {
    let mut desk = bumped();
    let numbers = |desk: &book::Desk| -> Vec<Option<u16>> {
        roll_of(desk, ROLL)
            .numbered()
            .into_iter()
            .map(|(number, _)| number)
            .collect()
    };
    let second = roll_of(&desk, ROLL).frames[1].id;
    let lost = Edit::Extra {
        roll: ROLL.to_owned(),
        what: Extra::Lost,
        spot: Spot::Before(second),
        at: None,
    };
    apply(&mut desk, lost);
    assert_eq!(
        numbers(&desk),
        [Some(1), Some(2), Some(3), Some(4), Some(5)],
        "a lost frame takes film"
    );
    slip(&mut desk, ROLL, Run::One(second), Slip::Fate(Fate::LeftOut));
    assert_eq!(
        numbers(&desk),
        [Some(1), Some(2), None, Some(3), Some(4)],
        "one that was left out takes none"
    );
    let last = roll_of(&desk, ROLL).frames[4].id;
    slip(&mut desk, ROLL, Run::One(last), Slip::Fate(Fate::Double));
    assert_eq!(
        numbers(&desk),
        [Some(1), Some(2), None, Some(3), Some(3)],
        "a double shares its film"
    );
    assert_eq!(roll_of(&desk, ROLL).used(), 3, "three pieces of film");
}

#[test]
fn rolls_of_every_length_say_what_is_left() {
    for (exposures, frames, words) in [
        (12, 10, "Frame 11 of 12 comes next; 2 frames left."),
        (16, 15, "Frame 16 of 16 comes next; 1 frame left."),
        (24, 24, "All 24 frames are used."),
        (36, 36, "All 36 frames are used; the roll may give 2 more."),
        (36, 37, "All 36 frames are used; the roll may give 1 more."),
        (36, 38, "The log goes on to frame 38 on a roll of 36."),
        (72, 71, "Frame 72 of 72 comes next; 1 frame left."),
        (72, 72, "All 72 frames are used."),
    ] {
        let mut desk = loaded("200", "100");
        let describe = Edit::Describe {
            roll: ROLL.to_owned(),
            name: "x".to_owned(),
            purpose: String::new(),
            exposures,
            storage: None,
            note: String::new(),
        };
        apply(&mut desk, describe);
        for _ in 0..frames {
            let capped = Edit::Extra {
                roll: ROLL.to_owned(),
                what: Extra::Capped,
                spot: Spot::Now,
                at: None,
            };
            apply(&mut desk, capped);
        }
        same("words", &roll_of(&desk, ROLL).left_words(), words);
    }
}

#[test]
fn a_counter_that_stood_elsewhere_at_the_first_frame_is_believed() {
    for (first_frame, words) in [
        (0, "Frame 0 of 36 comes next; 37 frames left."),
        (1, "Frame 1 of 36 comes next; 36 frames left."),
        (5, "Frame 5 of 36 comes next; 32 frames left."),
    ] {
        let mut desk = bag(
            book::Film::ColourNegative,
            "400",
            "2004",
            book::Storage::Room,
            1,
        );
        let loading = book::Loading::new("folder", speed("100"), date("2024-05-01"), first_frame);
        apply(
            &mut desk,
            Edit::Load {
                roll: ROLL.to_owned(),
                loading,
            },
        );
        same("words", &roll_of(&desk, ROLL).left_words(), words);
        apply(
            &mut desk,
            Edit::Extra {
                roll: ROLL.to_owned(),
                what: Extra::Slate,
                spot: Spot::Now,
                at: None,
            },
        );
        assert_eq!(
            roll_of(&desk, ROLL).number_of(1),
            Some(first_frame),
            "the first number"
        );
    }
}

#[test]
fn a_roll_that_is_put_in_again_says_that_it_is_exposed() {
    let mut desk = bumped();
    apply(
        &mut desk,
        Edit::Finish {
            roll: ROLL.to_owned(),
            on: date("2024-05-20"),
        },
    );
    let loading = book::Loading::new("old folder", speed("100"), date("2024-05-21"), 5);
    let done = apply(
        &mut desk,
        Edit::Load {
            roll: ROLL.to_owned(),
            loading,
        },
    );
    assert!(
        done.said
            .contains("It was exposed and finished on 2024-05-20"),
        "{}",
        done.said
    );
    assert_eq!(
        roll_of(&desk, ROLL).number_of(4),
        Some(4),
        "the numbers stay"
    );
}

#[test]
fn an_old_reading_asks_to_be_taken_again() {
    let mut desk = loaded("200", "100");
    let taken = light("100", "1/125", "8", Some("2024-05-01T23:50"));
    series(&mut desk, ROLL, "pier", taken, "100", &[("1/125", "8", 0)]);
    let scene = scene_of(&desk, ROLL, 1);
    assert_eq!(
        stale(&scene, moment("2024-05-02T00:00"), 10),
        None,
        "ten minutes are fresh"
    );
    same(
        "over midnight",
        &stale(&scene, moment("2024-05-02T00:01"), 10).expect("a request"),
        "This reading is 11 minutes old. Take it again, or say that the light is the same.",
    );
    assert!(
        stale(&scene, moment("2024-05-04T00:01"), 10).is_some_and(|words| words.contains("2 days")),
        "days are called days"
    );
    assert!(
        stale(&scene, moment("2024-05-01T23:00"), 10).is_some(),
        "a reading from the future"
    );
}

#[test]
fn an_old_reading_holds_where_the_light_is_said_to_be_the_same() {
    let mut desk = loaded("200", "100");
    let taken = light("100", "1/125", "8", Some("2024-05-01T23:50"));
    series(&mut desk, ROLL, "pier", taken, "100", &[("1/125", "8", 0)]);
    let before = desk.book().clone();
    let shot = as_shot(roll_of(&desk, ROLL), &roll_of(&desk, ROLL).frames[0]);
    let found = |at: &str| Edit::SameLight {
        roll: ROLL.to_owned(),
        scene: 1,
        at: moment(at),
    };
    let done = apply(&mut desk, found("2024-05-02T00:20"));
    same(
        "said",
        &done.said,
        "The light of scene 1 is the same at 00:20: its reading holds.",
    );
    let scene = scene_of(&desk, ROLL, 1);
    assert_eq!(stale(&scene, moment("2024-05-02T00:30"), 10), None, "fresh");
    same(
        "old again",
        &stale(&scene, moment("2024-05-02T00:31"), 10).expect("a request"),
        "This reading is 11 minutes old. Take it again, or say that the light is the same.",
    );
    same(
        "both moments are kept",
        &scene.light.read_words(),
        "Read as 1/125, f/8 at ISO 100, 2024-05-01 23:50; the light was the same at 2024-05-02 00:20.",
    );
    assert_eq!(
        as_shot(roll_of(&desk, ROLL), &roll_of(&desk, ROLL).frames[0]),
        shot,
        "no number changes"
    );
    let earlier = desk.apply(&found("2024-05-02T00:19"));
    assert!(
        earlier.is_err_and(|error| error.to_string().contains("is the clock right?")),
        "before what is known"
    );
    let elsewhere = Edit::SameLight {
        roll: ROLL.to_owned(),
        scene: 2,
        at: moment("2024-05-02T01:00"),
    };
    assert!(desk.apply(&elsewhere).is_err(), "no such scene");
    desk.undo();
    assert_eq!(desk.book(), &before, "undone");
}

#[test]
fn an_edit_that_does_not_fit_is_refused_and_changes_nothing() {
    let mut desk = bumped();
    let before = desk.clone();
    for edit in [
        Edit::Slip {
            roll: ROLL.to_owned(),
            run: Run::Numbers { from: 9, to: None },
            slip: Slip::AsPlanned,
        },
        Edit::Taken {
            roll: ROLL.to_owned(),
            frame: 99,
            at: None,
        },
        Edit::More {
            roll: ROLL.to_owned(),
            scene: 7,
            frames: vec![],
        },
        Edit::Taken {
            roll: "nobody".to_owned(),
            frame: 1,
            at: None,
        },
        Edit::Rolls {
            batch: "box".to_owned(),
            count: 0,
            exposures: 36,
        },
        Edit::Rolls {
            batch: "box".to_owned(),
            count: 1,
            exposures: 0,
        },
    ] {
        assert!(desk.apply(&edit).is_err(), "{edit:?} is refused");
        assert_eq!(desk, before, "and changes nothing");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_mark_is_kept_as_a_text_that_reads_back_as_the_same(
        stops in -14.9_f64..16.3,
        which in 0_usize..3,
        measured in prop::option::of(-0.9_f64..0.9),
        steps in 0_usize..4,
    ) {
        let control = Control::ALL[which];
        let steps = [Steps::Full, Steps::Half, Steps::Third, Steps::Engraved][steps];
        let place = match control {
            Control::Time => stops,
            Control::Aperture => -(stops + 14.9) / 31.2 * 17.0 + 1.9,
            Control::Sensitivity => stops * 0.6,
        };
        let exact = Mark::between(control, Place::new(place).expect("in range")).expect("in range");
        // Every other case is a figure of a series, as rounded as people write it.
        let mark = if which == 0 && stops < 0.0 && measured.is_none() {
            Mark::new(control, 1.0 / (1.0 / exact.engraved()).round(), steps).expect("in range")
        } else {
            exact
        };
        let mark = match measured {
            Some(by) => mark.measured_as(mark.exact() * by.exp2()).unwrap_or(mark),
            None => mark,
        };
        let (text, kept) = match control {
            Control::Time => { let f = Time::new(mark).expect("kept"); (f.text(), f.mark()) }
            Control::Aperture => { let f = Aperture::new(mark).expect("kept"); (f.text(), f.mark()) }
            Control::Sensitivity => { let f = Speed::new(mark).expect("kept"); (f.text(), f.mark()) }
        };
        prop_assert!((kept.place().get() - mark.place().get()).abs() < 1e-6, "{text} moved");
        prop_assert_eq!(kept.nominal(), mark.nominal(), "{} is read in another way", text);
        let again = match control {
            Control::Time => Time::parse(&text).expect("reads").text(),
            Control::Aperture => Aperture::parse(&text).expect("reads").text(),
            Control::Sensitivity => Speed::parse(&text).expect("reads").text(),
        };
        prop_assert_eq!(again, text);
    }
}

/// Planned frames are not shot frames: the next to shoot is the first of them, by the example's loaded roll.
#[test]
fn the_next_frame_to_shoot_is_the_first_that_waits() {
    let mut desk = book::Desk::new(book::example());
    let roll = |desk: &book::Desk| {
        desk.book()
            .open_rolls()
            .next()
            .map(|(roll, _)| roll.clone())
            .expect("the example has a loaded roll")
    };
    assert_eq!(
        roll(&desk).next_words(),
        "Frame 1 of 36 comes next. After the 4 planned frames, 32 are left.",
        "nothing is shot yet"
    );
    let ids: Vec<u16> = roll(&desk).frames.iter().map(|frame| frame.id).collect();
    for (shot, expected) in [
        "Frame 2 of 36 comes next. After the 3 planned frames, 32 are left.",
        "Frame 3 of 36 comes next. After the 2 planned frames, 32 are left.",
        "Frame 4 of 36 comes next. After the planned frame, 32 are left.",
        "Frame 5 of 36 comes next; 32 frames left.",
    ]
    .into_iter()
    .enumerate()
    {
        let taken = Edit::Taken {
            roll: roll(&desk).id,
            frame: ids[shot],
            at: None,
        };
        desk.apply(&taken).expect("a planned frame can be shot");
        assert_eq!(
            roll(&desk).next_words(),
            expected,
            "after {} frames",
            shot + 1
        );
    }
}

/// What a series lacks is planned again exactly as it was asked for.
#[test]
fn a_frame_is_noted_once_and_what_became_of_it_stays() {
    let mut desk = bumped();
    let id = roll_of(&desk, ROLL).frames[1].id;
    slip(&mut desk, ROLL, Run::One(id), Slip::Fate(Fate::Waiting));
    assert_eq!(roll_of(&desk, ROLL).waiting(id), Ok(2), "its number");
    for (fate, words) in [
        (Fate::Taken, "frame 2 is shot in the log already"),
        (Fate::Lost, "frame 2 is lost in the log already"),
        (Fate::LeftOut, "this frame was left out in the log"),
    ] {
        slip(&mut desk, ROLL, Run::One(id), Slip::Fate(fate));
        let refused = roll_of(&desk, ROLL).waiting(id).expect_err("noted");
        assert!(refused.to_string().starts_with(words), "{refused}");
    }
    slip(&mut desk, ROLL, Run::One(id), Slip::Fate(Fate::Double));
    let refused = roll_of(&desk, ROLL).waiting(id).expect_err("noted");
    // It shares the film of the frame before.
    let words = "frame 1 is a double exposure in the log already";
    assert!(refused.to_string().starts_with(words), "{refused}");
    let refused = roll_of(&desk, ROLL).waiting(999).expect_err("no frame");
    same(
        "no frame",
        &refused.to_string(),
        "this frame is not in the log of the roll",
    );
}

#[test]
fn a_missing_frame_is_planned_with_its_own_offset() {
    let book = book::example();
    let mut seen = 0;
    for roll in book.rolls() {
        for scene in &roll.scenes {
            for missing in book::series(roll, scene.number).missing {
                let planned = Planned::missing(&missing).expect("it was kept before");
                assert_eq!(planned.set, missing.set, "the setting");
                let off = (planned.wanted() - missing.from_base).size().get();
                assert!(off < 1.0 / 24.0, "the offset is {off} stops off");
                seen += 1;
            }
        }
    }
    assert!(seen > 0, "the example lacks a frame somewhere");
}

#[test]
fn a_frame_is_found_by_its_place_in_the_series() {
    let mut desk = loaded("400", "100");
    let plan: &[(&str, &str, i32)] = &[("1/125", "8", 0), ("1/60", "8", 12)];
    series(
        &mut desk,
        ROLL,
        "pier",
        light("100", "1/125", "8", None),
        "100",
        plan,
    );
    series(
        &mut desk,
        ROLL,
        "boats",
        light("100", "1/125", "8", None),
        "100",
        plan,
    );
    let roll = roll_of(&desk, ROLL);
    let second = roll.scenes[1].number;
    let found = roll.frame_of_scene(second, 1).expect("the last frame");
    assert_eq!(
        found, roll.frames[3].id,
        "the second frame of the second scene"
    );
    assert_eq!(roll.frame_of_scene(second, 2), None, "there is no third");
    assert_eq!(roll.frame_of_scene(99, 0), None, "nor such a scene");
}
