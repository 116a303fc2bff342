//! Rolls in and out of cameras: one to a camera, taken out early, loaded again.

use book::{
    Conclusion, Desk, Edit, Extra, Fate, Film, Grade, Loading, Planned, Run, Scans, Slip, Spot,
    State, Storage, conclude, lab_slip, no_evidence, series, tape,
};

use crate::check::{
    apply, bag, date, judge, light, load, loaded, pier, roll_of, same, setting, slip, speed,
    take_all,
};

const ROLL: &str = "box-1";

fn take_out(desk: &mut Desk, on: &str, why: &str, goes_on: bool) -> book::Done {
    apply(
        desk,
        Edit::TakeOut {
            roll: ROLL.to_owned(),
            on: date(on),
            why: why.to_owned(),
            goes_on,
        },
    )
}

fn again(camera: &str, on: &str, at: u16) -> Edit {
    Edit::Load {
        roll: ROLL.to_owned(),
        loading: Loading::new(camera, speed("100"), date(on), at),
    }
}

const FRAMES: [(&str, &str, i32); 3] = [("1/250", "8", -12), ("1/125", "8", 0), ("1/60", "8", 12)];

/// Three frames of a scene, two of them shot.
fn half_shot() -> Desk {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &FRAMES);
    for frame in 1..=2 {
        apply(
            &mut desk,
            Edit::Taken {
                roll: ROLL.to_owned(),
                frame,
                at: None,
            },
        );
    }
    desk
}

#[test]
fn a_roll_that_is_taken_over_goes_on_later_or_is_finished() {
    for (goes_on, state, words) in [
        (
            true,
            State::PartShot,
            "“Harbour 1” is out of the camera since 2024-06-01, to be loaded again at frame 1 or beyond. “Harbour 2” is in the \
             old folder at EI 64 since 2024-06-01.",
        ),
        (
            false,
            State::Exposed,
            "“Harbour 1” is exposed and waits since 2024-06-01. “Harbour 2” is in the old folder at EI 64 since 2024-06-01.",
        ),
    ] {
        let mut desk = bag(Film::ColourNegative, "200", "2004-06", Storage::Room, 2);
        load(&mut desk, ROLL, "80");
        let before = desk.book().clone();
        let loading = Loading::new("Old Folder", speed("64"), date("2024-06-01"), 1);
        let done = apply(
            &mut desk,
            Edit::TakeOver {
                roll: "box-2".to_owned(),
                loading: Loading {
                    camera: "old folder".to_owned(),
                    ..loading.clone()
                },
                goes_on,
            },
        );
        same("said", &done.said, words);
        assert_eq!(done.touched.len(), 2, "both rolls are kept");
        assert_eq!(roll_of(&desk, ROLL).state, state);
        let there = Loading::new("OLD folder", speed("64"), date("2024-06-01"), 1);
        let inside: Vec<&str> = desk
            .book()
            .in_camera(&there)
            .map(|roll| roll.id.as_str())
            .collect();
        assert_eq!(inside, ["box-2"], "one roll in the camera");
        desk.undo();
        assert_eq!(desk.book(), &before, "one step");
        let early = Loading {
            since: date("2024-04-01"),
            ..loading
        };
        let early = Edit::TakeOver {
            roll: "box-2".to_owned(),
            loading: early,
            goes_on,
        };
        assert!(desk.apply(&early).is_err(), "before the other one came in");
        assert_eq!(desk.book(), &before, "and nothing changed");
    }
}

#[test]
fn a_roll_that_is_taken_out_early_is_loaded_again_at_a_frame() {
    let mut desk = half_shot();
    let done = take_out(&mut desk, "2024-05-10", "jam", true);
    same(
        "said",
        &done.said,
        "“Harbour 1” is out of the camera since 2024-05-10, to be loaded again at frame 3 or beyond.",
    );
    let roll = roll_of(&desk, ROLL);
    same(
        "it waits",
        &roll.next_words(),
        "2 of 36 frames are used; frame 3 comes next when it is loaded again.",
    );
    assert_eq!(
        desk.book().waiting_longest(date("2024-05-20"))[0].0,
        10,
        "since it came out"
    );
    assert!(
        tape(desk.book(), roll).contains(&"PART SHOT: LOAD AT FRAME 3 OR BEYOND, of 36".to_owned()),
        "on its label"
    );
    assert!(
        series(roll, 1)
            .missing
            .iter()
            .all(|missing| missing.to_come),
        "what waits is still to come"
    );
    let refused = desk
        .apply(&again("garden box", "2024-06-01", 2))
        .expect_err("exposed already");
    same(
        "refused",
        &refused.to_string(),
        "frame 2 is on the film already; load it at frame 3 or one or two beyond, which stay blank",
    );
    assert!(
        desk.apply(&again("garden box", "2024-05-09", 5)).is_err(),
        "before it came out"
    );
    assert!(
        desk.apply(&again("garden box", "2024-06-01", 90)).is_err(),
        "no such frame"
    );
    let before = desk.book().clone();
    let done = apply(&mut desk, again("garden box", "2024-06-01", 5));
    same(
        "said",
        &done.said,
        "“Harbour 1” is in the garden box at EI 100 since 2024-06-01. Frame 5 comes next; 2 frames before it are logged as blank.",
    );
    let roll = roll_of(&desk, ROLL);
    let numbers: Vec<(Option<u16>, Fate)> = roll
        .numbered()
        .into_iter()
        .map(|(number, frame)| (number, frame.shot.fate))
        .collect();
    assert_eq!(
        numbers,
        [
            (Some(1), Fate::Taken),
            (Some(2), Fate::Taken),
            (Some(3), Fate::Lost),
            (Some(4), Fate::Lost),
            (Some(5), Fate::Waiting),
        ],
        "what was planned goes on behind the blank ones"
    );
    let slip = lab_slip(desk.book(), roll, book::Development::Normal).join(" ");
    assert!(
        slip.contains("Blank or spoiled, and known to be: frames 3 to 4."),
        "{slip}"
    );
    let loading = &roll.loadings[0];
    assert_eq!(
        (loading.until, loading.why.as_str()),
        (Some(date("2024-05-10")), "jam")
    );
    desk.undo();
    assert_eq!(desk.book(), &before, "undone, blank frames and all");
}

#[test]
fn a_frame_belongs_to_the_camera_that_it_was_shot_in() {
    let mut desk = half_shot();
    take_all(&mut desk, ROLL);
    take_out(&mut desk, "2024-05-10", "", true);
    apply(&mut desk, again("garden box", "2024-06-01", 4));
    let read = light("100", "1/125", "8", None);
    crate::check::series(&mut desk, ROLL, "lock", read, "100", &FRAMES);
    take_all(&mut desk, ROLL);
    for frame in [1, 2, 3, 4, 5, 6] {
        let grade = if frame % 3 == 2 {
            Grade::Liked
        } else {
            Grade::Usable
        };
        judge(&mut desk, ROLL, frame, grade);
    }
    // A frame that was forgotten before the roll was taken out changes no camera.
    let lost = Edit::Extra {
        roll: ROLL.to_owned(),
        what: Extra::Lost,
        spot: Spot::Before(1),
        at: None,
    };
    apply(&mut desk, lost);
    let how = Some(Scans::Fixed);
    apply(
        &mut desk,
        Edit::ScansMade {
            roll: ROLL.to_owned(),
            how,
        },
    );
    let group = desk.book().group_of(roll_of(&desk, ROLL)).expect("a group");
    let Conclusion::Found(found) = conclude(desk.book(), &group) else {
        panic!("frames were liked");
    };
    let cameras: Vec<&str> = found
        .evidence
        .iter()
        .map(|scene| scene.camera.as_str())
        .collect();
    assert_eq!(cameras, ["old folder", "garden box"]);
    assert!(
        !found.words.join(" ").contains("one camera"),
        "{:?}",
        found.words
    );
}

#[test]
fn a_finished_roll_has_no_next_frame_and_takes_no_plans() {
    let mut desk = half_shot();
    let done = apply(
        &mut desk,
        Edit::Finish {
            roll: ROLL.to_owned(),
            on: date("2024-05-10"),
        },
    );
    same(
        "said",
        &done.said,
        "“Harbour 1” is exposed and waits since 2024-05-10. 1 planned frame is not ticked off.",
    );
    let roll = roll_of(&desk, ROLL);
    same(
        "words",
        &roll.next_words(),
        "2 of 36 frames are used. 1 planned frame was not shot.",
    );
    assert_eq!(roll.number_of(3), None, "what was not shot takes no film");
    assert_eq!(roll.used(), 2);
    assert_eq!(no_evidence(roll, 2), Some("not shot"));
    same(
        "the series",
        &series(roll, 1).words,
        "Holds 1 stop less light and the base. Missing: 1 stop more light (1/60, f/8), one more frame.",
    );
    let plan = Planned {
        set: setting("1/60", "f/8"),
        more_light_twelfths: 12,
    };
    let more = Edit::More {
        roll: ROLL.to_owned(),
        scene: 1,
        frames: vec![plan],
    };
    let refused = desk.apply(&more).expect_err("nothing is planned on it");
    same(
        "refused",
        &refused.to_string(),
        "“Harbour 1” is exposed, waiting; no frame is planned on it before it is loaded again",
    );
    let refused = roll_of(&desk, ROLL)
        .waiting(3)
        .expect_err("it is not in a camera");
    same(
        "not ticked off from the dial",
        &refused.to_string(),
        "“Harbour 1” is exposed, waiting; load it before a frame of it is shot",
    );
    // Nobody had ticked it off: it was shot, and has its number again.
    slip(&mut desk, ROLL, Run::Waiting, Slip::Fate(Fate::Taken));
    assert_eq!(roll_of(&desk, ROLL).number_of(3), Some(3));
    same(
        "words",
        &roll_of(&desk, ROLL).next_words(),
        "3 of 36 frames are used.",
    );
    for edit in [
        Edit::Send {
            roll: ROLL.to_owned(),
            on: date("2024-05-11"),
            development: book::Development::Normal,
        },
        Edit::Return {
            roll: ROLL.to_owned(),
            on: date("2024-05-20"),
        },
    ] {
        apply(&mut desk, edit);
        assert!(
            desk.apply(&more).is_err(),
            "{:?}",
            roll_of(&desk, ROLL).state
        );
        assert!(!roll_of(&desk, ROLL).next_words().contains("next"));
    }
}

#[test]
fn a_roll_that_is_done_early_says_why_and_goes_to_the_lab() {
    let mut desk = half_shot();
    take_out(&mut desk, "2024-05-10", " torn ", false);
    let roll = roll_of(&desk, ROLL);
    assert_eq!(
        (roll.state, roll.finished),
        (State::Exposed, Some(date("2024-05-10")))
    );
    same("why", &roll.loadings[0].why, "torn");
    let mut desk = half_shot();
    take_out(&mut desk, "2024-05-10", "", true);
    let finish = Edit::Finish {
        roll: ROLL.to_owned(),
        on: date("2024-05-09"),
    };
    assert!(desk.apply(&finish).is_err(), "before it came out");
    apply(
        &mut desk,
        Edit::Finish {
            roll: ROLL.to_owned(),
            on: date("2024-05-12"),
        },
    );
    assert_eq!(
        roll_of(&desk, ROLL).state,
        State::Exposed,
        "finished without another camera"
    );
}

/// A part-shot roll with two loadings and a frame that nobody had planned, and a
/// rating from a scene with two liked frames. All else in it stays in its older version.
#[test]
fn golden_the_third_version_is_read_and_written_to_the_letter() {
    let golden = include_str!("../golden/roll-3.json");
    let import = book::plan_import(&book::Book::new(), golden).expect("an export");
    let mut desk = Desk::new(book::Book::new());
    apply(&mut desk, Edit::Import(import));
    same(
        "written again",
        &book::export(desk.book(), date("2026-11-25")),
        golden,
    );
    assert_eq!(desk.book().asides().count(), 0, "all of it is read");
    let roll = roll_of(&desk, ROLL);
    assert_eq!(roll.state, State::PartShot);
    let (first, second) = (&roll.loadings[0], &roll.loadings[1]);
    assert_eq!(
        (first.why.as_str(), first.until),
        ("jam", Some(date("2024-05-10")))
    );
    assert_eq!((second.first_frame, second.after), (4, Some(4)));
    assert_eq!(roll.loading_of(1), Some(first), "shot in the first camera");
    assert_eq!(roll.loading_of(3), Some(second), "to be shot in the second");
    assert_eq!(roll.frames[1].plan, book::Plan::Unplanned { scene: 1 });
    let finding = desk.book().findings().next().expect("a rating");
    assert_eq!(finding.evidence[0].liked_range_thousandths, Some((0, 1000)));
    same("a limit", &finding.rating_words(), "EI 64 or lower");
    // What has no words for it is damage, and is set aside to the letter.
    let text = book::encode(&book::Record::Roll(Box::new(roll.clone())));
    for (from, to) in [
        ("\"part_shot\"", "\"half_shot\""),
        (
            "{\"unplanned\":{\"scene\":1}}",
            "{\"unplanned\":{\"scene\":2}}",
        ),
        (
            "{\"unplanned\":{\"scene\":1}}",
            "{\"unplanned\":{\"scene\":1,\"set\":1}}",
        ),
        ("\"until\":\"2024-05-10\"", "\"until\":\"2024-05-32\""),
    ] {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}");
        let opened = book::open(&[(format!("roll.{ROLL}"), changed)]);
        assert_eq!(opened.set_aside.len(), 1, "{from} to {to}");
    }
}
