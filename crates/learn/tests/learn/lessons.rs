//! Lessons: records and links that come back as they were, and what is said of those that do not.

use exposure::{Control, FORMATS, FilmKind, Mark, Steps};
use learn::exercise::{Exercise, Kind, Support};
use learn::lesson::{
    Comparison, Lesson, NAME_AT_MOST, STEPS_AT_MOST, Setting, Step, TEXT_AT_MOST, WORDS_AT_MOST,
};
use learn::mastery::Opened;
use learn::scene::{Backdrop, Hold, Mover, SCENES, Scene};
use proptest::prelude::{
    Just, ProptestConfig, Strategy, any, prop_assert, prop_assert_eq, prop_oneof, proptest,
};

use crate::check::set;

fn setting(time: &str, aperture: &str, speed: &str) -> Setting {
    Setting::new(&set(time, aperture, speed), Steps::Third).expect("within range")
}

fn sample() -> Lesson {
    let mut lesson = Lesson::new("Doubling and halving").expect("within range");
    let compare = |scene| {
        Step::Compare(Box::new(Comparison {
            scene,
            one: setting("1/500", "2.8", "100"),
            other: setting("1/30", "11", "100"),
        }))
    };
    let mut near = SCENES[0];
    (near.distance, near.hold) = (5000.0, Hold::Tripod);
    for step in [
        Step::Show(setting("1/125", "8", "100")),
        compare(SCENES[0]),
        compare(near),
        Step::Ask {
            kind: Kind::Equivalent,
            seed: 4711,
            support: Support::Alone,
        },
        Step::Own {
            question: "What does f/16 do?".to_owned(),
            answer: "It halves the light of f/11.".to_owned(),
        },
        Step::Pause,
    ] {
        lesson.push(step).expect("within range");
    }
    lesson
}

/// The record as the documentation prints it, version 1: as long as there is anybody's, it is read.
const GOLDEN: &str = "stopkeeper lesson 1
name Doubling and halving
show 1/125 f/8 100
compare cyclist 1/500 f/2.8 100 with 1/30 f/11 100
compare cyclist distance=5000 held=tripod 1/500 f/2.8 100 with 1/30 f/11 100
ask equivalent 4711 alone
own What does f/16 do?
answer It halves the light of f/11.
pause
";

#[test]
fn the_golden_record_and_link() {
    assert_eq!(sample().write(), GOLDEN);
    assert_eq!(Lesson::open(GOLDEN), Opened::Whole(sample()));
    let link = sample().link();
    assert_eq!(
        link,
        "1Doubling_and_halving;s125,8,100;c0,500,2.8,100,30,11,100;c0:d5000:htripod,500,2.8,100,30,11,100;qe3mv;oWhat_does_f/16_do?,It_halves_the_light_of_f/11.;p".to_owned() + &link[link.len() - 2..]
    );
    assert_eq!(Lesson::of_link(&link), Opened::Whole(sample()));
}

#[test]
fn ten_questions_fit_a_small_code() {
    let mut lesson = Lesson::new("Stops").unwrap();
    for (i, kind) in (0..10).zip(Kind::ALL.into_iter().cycle()) {
        lesson
            .push(Step::Ask {
                kind,
                seed: 1000 + i,
                support: Support::Alone,
            })
            .unwrap();
    }
    let bytes = lesson.link().len();
    assert!(bytes < 75, "{bytes} bytes: {}", lesson.link());
}

#[test]
fn every_phone_gets_the_same_questions() {
    let Opened::Whole(there) = Lesson::of_link(&sample().link()) else {
        panic!("the link is read");
    };
    let [here, there] = [sample(), there].map(|lesson| {
        let asked = lesson.steps().iter().find_map(|step| match step {
            Step::Ask { kind, seed, .. } => Exercise::new(*kind, *seed),
            _ => None,
        });
        asked.expect("a question").question()
    });
    assert_eq!(here, there);
}

#[test]
fn put_together() {
    let mut lesson = sample();
    lesson.shift(5, 0);
    assert_eq!(lesson.steps()[0], Step::Pause);
    lesson.shift(0, 99);
    assert_eq!(lesson, sample());
    assert_eq!(lesson.remove(5), Some(Step::Pause));
    assert_eq!(lesson.remove(5), None);
    lesson.insert(0, Step::Pause).unwrap();
    lesson
        .replace(0, Step::Show(setting("1/60", "8", "100")))
        .unwrap();
    assert!(matches!(lesson.steps()[0], Step::Show(_)));
    lesson.rename(" Another   name ").unwrap();
    assert_eq!(lesson.name(), "Another name");
    for name in ["", "  ", &"n".repeat(NAME_AT_MOST + 1), "a\u{7}b"] {
        let refused = lesson.rename(name).expect_err("no name");
        assert!(!refused.to_string().is_empty());
        assert_eq!(lesson.name(), "Another name");
    }
    let own = |question: &str, answer: &str| Step::Own {
        question: question.to_owned(),
        answer: answer.to_owned(),
    };
    let long = "w".repeat(WORDS_AT_MOST + 1);
    for step in [own("", "x"), own(&long, ""), own("x", &long)] {
        assert!(lesson.push(step).is_err());
    }
    let mut far = SCENES[0];
    far.distance = 1e12;
    let one = setting("1/60", "8", "100");
    let pair = Comparison {
        scene: far,
        one,
        other: one,
    };
    assert!(
        lesson.push(Step::Compare(Box::new(pair))).is_err(),
        "out of range"
    );
    while lesson.steps().len() < STEPS_AT_MOST {
        lesson.push(Step::Pause).unwrap();
    }
    let refused = lesson.push(Step::Pause).expect_err("too many");
    assert!(refused.to_string().contains("at most"), "{refused}");
}

#[test]
fn own_words_in_any_script() {
    let mut lesson = Lesson::new("Zeit & Blende; – 光").unwrap();
    lesson
        .push(Step::Own {
            question: "Was, wenn\n f/8 → f/16 ~ _?".to_owned(),
            answer: "½; ¼, „viel“".to_owned(),
        })
        .unwrap();
    let link = lesson.link();
    assert!(
        link.is_ascii() && !link.contains([' ', '#', '"', '<', '>', '%']),
        "{link}"
    );
    assert_eq!(Lesson::of_link(&link), Opened::Whole(lesson.clone()));
    assert_eq!(Lesson::open(&lesson.write()), Opened::Whole(lesson));
}

#[test]
fn damaged_records_keep_every_line() {
    for bad in [
        "show 1/125 f/8",
        "show 1/125 f/8 100 thirds",
        "show x f/8 100",
        "compare nobody 1/500 f/2.8 100 with 1/30 f/11 100",
        "compare cyclist distance=x 1/500 f/2.8 100 with 1/30 f/11 100",
        "compare cyclist speed=5 1/500 f/2.8 100 with 1/30 f/11 100",
        "compare cyclist format=toy 1/500 f/2.8 100 with 1/30 f/11 100",
        "compare cyclist distance=1 1/500 f/2.8 100 with 1/30 f/11 100",
        "compare cyclist 1/500 f/2.8 100 1/30 f/11 100",
        "ask equivalent -1 alone",
        "ask equivalent 99999999999 alone",
        "ask riddle 1 alone",
        "ask way 1",
        "answer nobody asked",
        "pause now",
        "sing",
        "own ",
    ] {
        let text = format!("{GOLDEN}{bad}\n");
        let Opened::Partly(lesson, said) = Lesson::open(&text) else {
            panic!("{bad} is damaged");
        };
        assert!(said.contains("kept as it is"), "{said}");
        assert_eq!(lesson.write(), text, "nothing is lost");
        assert_eq!(lesson.steps().last(), Some(&Step::Unread(bad.to_owned())));
        let link = lesson.link();
        let Opened::Partly(again, _) = Lesson::of_link(&link) else {
            panic!("{link} has a step that cannot be read");
        };
        assert_eq!(again, lesson, "not even by link");
    }
}

#[test]
fn newer_foreign_and_overlong_ones_get_a_sentence() {
    let long = format!("{GOLDEN}{}", "pause\n".repeat(STEPS_AT_MOST));
    let endless = "x".repeat(TEXT_AT_MOST + 1);
    for (text, word) in [
        ("stopkeeper lesson 2\nname x\n", "newer"),
        ("stopkeeper lesson\n", "no lesson"),
        ("stopkeeper learned 1\n", "no lesson"),
        ("", "no lesson"),
        (&long, "more than"),
        (&endless, "longer than"),
    ] {
        let Opened::Not(said) = Lesson::open(text) else {
            panic!("{text} is not read");
        };
        assert!(said.contains(word), "{said}");
    }
    let link = sample().link();
    for (text, word) in [
        ("", "not whole"),
        ("1", "not whole"),
        ("1Stops;qe3mv;pp8", "not whole"),
        ("2Stops;qe3mv;pp9", "newer"),
        (&link[..link.len() - 1], "not whole"),
        (&link[1..], "not whole"),
        (&format!("{link}."), "not whole"),
        ("1Größe;pzz", "not whole"),
        (&endless, "longer than"),
    ] {
        let Opened::Not(said) = Lesson::of_link(text) else {
            panic!("{text} is not read");
        };
        assert!(said.contains(word), "{text}: {said}");
    }
}

/// A letter that is changed or lost anywhere is noticed; two figures of check miss one change in 1296 at most.
#[test]
fn a_damaged_link_is_noticed() {
    let link = sample().link();
    let (mut tried, mut missed) = (0, 0);
    for at in 0..link.len() {
        for with in ["", "a", "0", ";", ",", "~"] {
            let mut damaged = link.clone();
            damaged.replace_range(at..=at, with);
            if damaged == link {
                continue;
            }
            tried += 1;
            if let Opened::Whole(_) | Opened::Partly(..) = Lesson::of_link(&damaged) {
                missed += 1;
            }
        }
    }
    assert!(
        tried > 500 && missed <= 2,
        "{missed} of {tried} were missed"
    );
}

fn mark(control: Control) -> impl Strategy<Value = Mark> {
    let (low, high) = match control {
        Control::Time => (-13.0, 11.0),
        Control::Aperture => (-12.0, 0.0),
        Control::Sensitivity => (-6.0, 9.0),
    };
    prop_oneof![
        (low..high).prop_map(move |place| {
            Mark::between(control, exposure::Place::new(place).expect("within range"))
                .expect("within range")
        }),
        (0..3_usize, 0..200_usize).prop_map(move |(camera, i)| {
            let kind = [0, 1, 5][camera];
            let kind = &exposure::KINDS[kind];
            let camera = exposure::Camera::parse(kind.times, kind.apertures, kind.steps, None)
                .expect("within range");
            let scale = match control {
                Control::Time => camera.times().clone(),
                Control::Aperture => camera.apertures().clone(),
                Control::Sensitivity => exposure::Scale::sensitivities(),
            };
            scale.marks()[i % scale.marks().len()]
        }),
    ]
}

fn any_setting() -> impl Strategy<Value = Setting> {
    let steps = prop_oneof![
        Just(Steps::Third),
        Just(Steps::Half),
        Just(Steps::Full),
        Just(Steps::Engraved)
    ];
    (
        mark(Control::Time),
        mark(Control::Aperture),
        mark(Control::Sensitivity),
        steps,
    )
        .prop_map(|(time, aperture, speed, steps)| {
            Setting::new(&[time, aperture, speed], steps).expect("within range")
        })
}

fn any_scene() -> impl Strategy<Value = Scene> {
    (
        (0..SCENES.len(), 0..Mover::ALL.len(), 0..Backdrop::ALL.len()),
        (600.0..90_000.0, any::<bool>(), any::<bool>(), 20.0..500.0),
        (0..FORMATS.len(), any::<bool>(), 0..3_usize, any::<u32>()),
    )
        .prop_map(|(whats, lengths, rest)| {
            let mut scene = SCENES[whats.0];
            scene.mover = Mover::ALL[whats.1];
            scene.backdrop = Backdrop::ALL[whats.2];
            scene.distance = lengths.0;
            scene.behind = lengths.1.then_some(lengths.0 * 2.0);
            scene.before = lengths.2.then_some(lengths.0 / 2.0);
            scene.focal = lengths.3;
            scene.format = FORMATS[rest.0].id;
            scene.hold = if rest.1 { Hold::Hand } else { Hold::Tripod };
            scene.film = [
                FilmKind::ColourNegative,
                FilmKind::BlackAndWhite,
                FilmKind::Reversal,
            ][rest.2];
            scene.seed = rest.3;
            scene
        })
}

fn any_step() -> impl Strategy<Value = Step> {
    prop_oneof![
        any_setting().prop_map(Step::Show),
        (any_scene(), any_setting(), any_setting()).prop_map(|(scene, one, other)| {
            Step::Compare(Box::new(Comparison { scene, one, other }))
        }),
        (0..9_usize, any::<u32>(), 0..3_usize).prop_map(|(kind, seed, support)| Step::Ask {
            kind: Kind::ALL[kind],
            seed,
            support: Support::ALL[support],
        }),
        ("\\PC{1,40}", "\\PC{0,40}").prop_map(|(question, answer)| Step::Own { question, answer }),
        Just(Step::Pause),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Any lesson comes back from its record and from its link as it was.
    #[test]
    fn round_trips(name in "\\PC{1,30}", steps in proptest::collection::vec(any_step(), 0..12)) {
        let Ok(mut lesson) = Lesson::new(&name) else {
            return Ok(());
        };
        for step in steps {
            // Own words of spaces alone are refused; everything else is taken.
            let own = matches!(step, Step::Own { .. });
            prop_assert!(lesson.push(step).is_ok() || own);
        }
        let link = lesson.link();
        prop_assert!(link.is_ascii() && !link.contains([' ', '#', '%', '"', '<', '>']));
        prop_assert!(link.ends_with(|last: char| last.is_ascii_alphanumeric()));
        prop_assert_eq!(Lesson::of_link(&link), Opened::Whole(lesson.clone()), "{}", link);
        prop_assert_eq!(Lesson::open(&lesson.write()), Opened::Whole(lesson.clone()), "{}", lesson.write());
    }

    /// Nothing panics on any text, and no line of a record is lost.
    #[test]
    fn any_text(text in "stopkeeper lesson 1\nname N\n((show|ask|own|answer|compare cyclist|pause|u) ?[a-z0-9/ .=-]{0,30}\n){0,8}", link in "1?\\PC{0,40}") {
        match Lesson::open(&text) {
            Opened::Whole(lesson) | Opened::Partly(lesson, _) => {
                let again = lesson.write();
                prop_assert_eq!(Lesson::open(&again), Lesson::open(&text), "{}", text);
            }
            Opened::Not(said) => prop_assert!(!said.is_empty()),
        }
        let _ = Lesson::of_link(&link);
    }
}
