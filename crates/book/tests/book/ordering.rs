//! Scans that contradict the log they lie along.

use book::{
    Edit, Fate, Grade, Lineup, Run, Scans, Slip, Tick, Verdict, against_log, compared, line_up,
    lying, runs, verdicts_against_log,
};

use crate::check::{apply, judge, light, loaded, pier, roll_of, same, series, slip, take_all};

const ROLL: &str = "box-1";
const BRACKET: [(&str, &str, i32); 4] = [
    ("1/250", "8", -12),
    ("1/125", "8", 0),
    ("1/60", "8", 12),
    ("1/30", "8", 24),
];

/// Two scenes of four frames each, in the order of the light, all shot: one stop less light, base, one and two more.
fn two_scenes() -> book::Desk {
    let mut desk = loaded("200", "100");
    pier(&mut desk, &BRACKET);
    let read = light("100", "1/125", "8", None);
    series(&mut desk, ROLL, "hedge", read, "100", &BRACKET);
    take_all(&mut desk, ROLL);
    desk
}

/// What pictures of these two scenes look like, in the order of the film: brighter by a third for each stop.
fn seen() -> Vec<Option<f64>> {
    let scene = [0.12, 0.16, 0.21, 0.28];
    let other = [0.20, 0.27, 0.36, 0.48];
    scene.into_iter().chain(other).map(Some).collect()
}

#[test]
fn pictures_that_agree_with_the_log_say_nothing() {
    let desk = two_scenes();
    let roll = roll_of(&desk, ROLL);
    assert_eq!(against_log(roll, 8, &Lineup::default(), &seen()), None);
    // Nothing is known of them.
    assert_eq!(against_log(roll, 8, &Lineup::default(), &[None; 8]), None);
    assert_eq!(against_log(roll, 0, &Lineup::default(), &[]), None);
    // As bright as one another: no order at all.
    let even = [Some(0.2); 8];
    assert_eq!(against_log(roll, 8, &Lineup::default(), &even), None);
    // No brightness that a picture can have.
    let odd = [Some(f64::NAN), Some(f64::INFINITY), Some(-1.0), None];
    assert_eq!(against_log(roll, 4, &Lineup::default(), &odd), None);
    // One frame of eight that a cloud made darker is no contradiction.
    let mut cloud = seen();
    cloud[2] = Some(0.15);
    assert_eq!(against_log(roll, 8, &Lineup::default(), &cloud), None);
}

#[test]
fn a_roll_scanned_from_its_other_end_is_noticed_and_turned() {
    let desk = two_scenes();
    let mut backwards = seen();
    backwards.reverse();
    let against = against_log(roll_of(&desk, ROLL), 8, &Lineup::default(), &backwards)
        .expect("a contradiction");
    same(
        "the sentence",
        &against.says,
        "The scans contradict the log. Frame 4 got 3 stops more light than frame 1 of the same scene (1), and its picture is \
         the darker one. So it is with 12 of 12 pairs of frames. They agree if the scans run the other way. If they are \
         negatives that were not turned positive, they lie right.",
    );
    let instead = against.instead.expect("a way that agrees");
    assert!(instead.reversed && instead.shift == 0, "{instead:?}");
    assert_eq!(
        against_log(roll_of(&desk, ROLL), 8, &instead, &backwards),
        None
    );
}

#[test]
fn scans_shifted_by_one_are_noticed_and_shifted_back() {
    let desk = two_scenes();
    let roll = roll_of(&desk, ROLL);
    // The lab left out the first frame: each scan lies one frame too early.
    let scans = &seen()[1..];
    let against = against_log(roll, 7, &Lineup::default(), scans).expect("a contradiction");
    assert!(
        against
            .says
            .ends_with("They agree if the scans are shifted by one forward."),
        "{}",
        against.says
    );
    let forward = against.instead.expect("a way that agrees");
    assert_eq!((forward.reversed, forward.shift), (false, 1));
    // The other way round: a scan of the leader lies before the first frame.
    let mut scans = vec![Some(0.9)];
    scans.extend(seen());
    let against = against_log(roll, 9, &Lineup::default(), &scans).expect("a contradiction");
    let back = against.instead.expect("a way that agrees");
    assert_eq!((back.reversed, back.shift), (false, -1));
}

#[test]
fn a_series_shot_from_much_light_to_little_is_compared_by_its_light_and_not_by_its_numbers() {
    let mut desk = loaded("200", "100");
    let mut falling = BRACKET;
    falling.reverse();
    pier(&mut desk, &falling);
    take_all(&mut desk, ROLL);
    let mut scans = seen()[..4].to_vec();
    let how = Lineup::default();
    assert!(against_log(roll_of(&desk, ROLL), 4, &how, &scans).is_some());
    scans.reverse();
    assert_eq!(against_log(roll_of(&desk, ROLL), 4, &how, &scans), None);
    // All frames at one setting: their order is not to be seen.
    let f_8 = |time: &str| Slip::Time(book::Time::parse(time).expect("a time"));
    slip(
        &mut desk,
        ROLL,
        Run::Numbers { from: 1, to: None },
        f_8("1/60"),
    );
    scans.reverse();
    assert_eq!(against_log(roll_of(&desk, ROLL), 4, &how, &scans), None);
}

#[test]
fn what_no_lineup_explains_is_said_without_a_proposal() {
    let desk = two_scenes();
    let mixed = [0.28, 0.16, 0.2, 0.12, 0.48, 0.27, 0.36, 0.2].map(Some);
    let against =
        against_log(roll_of(&desk, ROLL), 8, &Lineup::default(), &mixed).expect("a contradiction");
    assert_eq!(against.instead, None);
    assert!(
        against
            .says
            .ends_with("the light was another than was read."),
        "{}",
        against.says
    );
}

#[test]
fn corrected_scans_and_frames_that_are_no_evidence_are_not_compared() {
    let mut desk = two_scenes();
    let mut backwards = seen();
    backwards.reverse();
    let how = |how| Edit::ScansMade {
        roll: ROLL.to_owned(),
        how: Some(how),
    };
    apply(&mut desk, how(Scans::Corrected));
    assert_eq!(
        against_log(roll_of(&desk, ROLL), 8, &Lineup::default(), &backwards),
        None
    );
    apply(&mut desk, how(Scans::Fixed));
    slip(
        &mut desk,
        ROLL,
        Run::Numbers { from: 1, to: None },
        Slip::Fate(Fate::Lost),
    );
    assert_eq!(
        against_log(roll_of(&desk, ROLL), 8, &Lineup::default(), &backwards),
        None
    );
}

#[track_caller]
fn ticked(desk: &mut book::Desk, frame: u16, grade: Grade, ticks: &[Tick]) {
    apply(
        desk,
        Edit::Judge {
            roll: ROLL.to_owned(),
            frame,
            verdict: Some(Verdict {
                grade,
                ticks: ticks.to_vec(),
            }),
        },
    );
}

#[test]
fn verdicts_that_no_film_gives_are_named() {
    let mut desk = two_scenes();
    assert!(verdicts_against_log(roll_of(&desk, ROLL), 1).is_empty());
    // Too little, good, good, too much: as film does it.
    judge(&mut desk, ROLL, 1, Grade::Rejected);
    judge(&mut desk, ROLL, 2, Grade::Liked);
    judge(&mut desk, ROLL, 3, Grade::Liked);
    judge(&mut desk, ROLL, 4, Grade::Usable);
    assert!(verdicts_against_log(roll_of(&desk, ROLL), 1).is_empty());
    judge(&mut desk, ROLL, 2, Grade::Rejected);
    judge(&mut desk, ROLL, 1, Grade::Usable);
    let says = verdicts_against_log(roll_of(&desk, ROLL), 1);
    assert_eq!(
        says,
        [
            "Frame 2 was judged worse than frame 1, which got less light, and than frame 3, which got more. \
             Check whether the scans lie at the right frames."
        ]
    );
    // The other scene is another one.
    assert!(verdicts_against_log(roll_of(&desk, ROLL), 2).is_empty());
    // Texture in the shadows that goes as the light grows.
    ticked(&mut desk, 5, Grade::Usable, &[Tick::ShadowTexture]);
    ticked(&mut desk, 6, Grade::Liked, &[]);
    assert!(verdicts_against_log(roll_of(&desk, ROLL), 2).is_empty());
    ticked(&mut desk, 8, Grade::Usable, &[Tick::Grain]);
    let says = verdicts_against_log(roll_of(&desk, ROLL), 2);
    assert_eq!(
        says,
        [
            "Frame 5 has shadow texture, and frame 8, which got more light, was judged without it. \
             Check whether the scans lie at the right frames."
        ]
    );
    // In the highlights it goes as the light grows, which is no contradiction.
    ticked(&mut desk, 5, Grade::Usable, &[Tick::HighlightTexture]);
    assert!(verdicts_against_log(roll_of(&desk, ROLL), 2).is_empty());
    ticked(&mut desk, 5, Grade::Usable, &[Tick::Grain]);
    ticked(&mut desk, 8, Grade::Usable, &[Tick::HighlightTexture]);
    assert_eq!(verdicts_against_log(roll_of(&desk, ROLL), 2).len(), 1);
}

#[test]
fn frames_that_can_be_compared_come_with_their_files_scenes_and_light() {
    let mut desk = two_scenes();
    let changed = Edit::Slip {
        roll: ROLL.to_owned(),
        run: Run::Numbers {
            from: 6,
            to: Some(6),
        },
        slip: Slip::LightChanged(true),
    };
    apply(&mut desk, changed);
    let roll = roll_of(&desk, ROLL);
    // One scan behind the first frame is missing.
    let how = Lineup {
        gaps: vec![roll.frames[1].id],
        ..Lineup::default()
    };
    let found = compared(roll, &line_up(roll, 7, &how));
    let plain: Vec<(usize, u16, u16)> = found
        .iter()
        .map(|frame| (frame.file, frame.number, frame.scene))
        .collect();
    assert_eq!(
        plain,
        [
            (0, 1, 1),
            (1, 3, 1),
            (2, 4, 1),
            (3, 5, 2),
            (5, 7, 2),
            (6, 8, 2)
        ],
        "without the frame that has no scan, and the one in another light"
    );
    let stops: Vec<f64> = found.iter().map(|frame| frame.from_base).collect();
    for (found, wanted) in stops.iter().zip([-1.0, 1.0, 2.0, -1.0, 1.0, 2.0]) {
        assert!((found - wanted).abs() < 1e-9, "{stops:?}");
    }
    let film = runs(roll);
    let plain: Vec<(u16, u16)> = film
        .iter()
        .map(|(number, run, _)| (*number, *run))
        .collect();
    assert_eq!(
        plain,
        [
            (1, 1),
            (2, 1),
            (3, 1),
            (4, 1),
            (5, 2),
            (6, 2),
            (7, 2),
            (8, 2)
        ],
        "each series is a run"
    );
    let light = |roll: &book::Roll| -> Vec<Option<f64>> {
        runs(roll).into_iter().map(|(.., stops)| stops).collect()
    };
    let known = light(roll);
    assert_eq!(known[5], None, "in another light");
    assert!((known[4].expect("known") + 1.0).abs() < 1e-9, "{known:?}");
    // Two exposures on one piece of film have no light of one frame.
    slip(&mut desk, ROLL, Run::One(3), Slip::Fate(Fate::Double));
    let known = light(roll_of(&desk, ROLL));
    assert_eq!((known.len(), known[1]), (7, None), "{known:?}");
    assert!(known[0].is_some() && known[2].is_some(), "{known:?}");
}

#[test]
fn a_lineup_is_found_for_files_that_some_lineup_lays_so() {
    let desk = two_scenes();
    let roll = roll_of(&desk, ROLL);
    for (shift, reversed) in [(0, false), (1, false), (-1, true), (2, true)] {
        for gaps in [vec![], vec![roll.frames[3].id]] {
            let how = Lineup {
                reversed,
                shift,
                gaps,
                ..Lineup::default()
            };
            let places = line_up(roll, 6, &how);
            let file_of = |number: u16| {
                let mut places = places.iter();
                places.find(|place| place.number == Some(number))?.file
            };
            let found = lying(roll, 6, file_of).expect("some lineup");
            let again = line_up(roll, 6, &found);
            let at = |places: &[book::Place]| -> Vec<(Option<u16>, Option<usize>)> {
                let places = places.iter().filter(|place| place.number.is_some());
                places.map(|place| (place.number, place.file)).collect()
            };
            assert_eq!(at(&again), at(&places), "{how:?} by {found:?}");
        }
    }
    let crossed = |number: u16| [1, 3, 0, 2].get(usize::from(number) - 1).copied();
    assert_eq!(lying(roll, 4, crossed), None, "no order of a film");
    let twice = |_| Some(0);
    assert_eq!(lying(roll, 4, twice), None, "one file at all frames");
    let backwards = lying(roll, 8, |number| Some(8 - usize::from(number))).expect("turned");
    assert_eq!(
        backwards,
        Lineup {
            reversed: true,
            ..Lineup::default()
        },
        "a whole roll is no strip"
    );
    assert_eq!(lying(roll, 3, |_| None), None, "nothing lies anywhere");
}
