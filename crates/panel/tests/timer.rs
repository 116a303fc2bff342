//! What a timer shows for a long exposure: from the clock alone, in words, and never shorter than what is left.

use exposure::LongTimes;
use panel::{
    Control, Intent, State, apply,
    kept::Kept,
    light::{Change, Long},
    timer::{self, LEADS, Phase, Plan, Running, Series},
};

/// A setting whose film needs more at long times.
fn film(times: LongTimes) -> State {
    let long = Long::new("Meadow 100 (invented)", times).expect("a name");
    State::default()
        .with(&Change::Long(Some(long)))
        .expect("a rule")
}

fn power() -> State {
    film(LongTimes::power(1.31, 1.0).expect("in range"))
}

#[test]
fn what_is_counted_is_what_the_film_needs() {
    // Source: exponent 1.31 from 1 s, a film maker's technical note, a public copy: 8 s metered become 15.2 s, one stop
    // more becomes 37.8 s.
    for (typed, count) in [
        ("8", "15.2 s"),
        ("8 s", "15.2 s"),
        ("16", "37.8 s"),
        ("1", "1 s"),
    ] {
        let plan = Plan::new(&power(), typed).expect(typed);
        assert_eq!(plan.count(), count, "{typed}");
    }
    let plan = Plan::new(&power(), "8").expect("a time");
    assert_eq!(
        plan.reason(),
        "Metered 8 s, and about 1 stop of time more for Meadow 100 (invented).",
        "why"
    );
    let plan = Plan::new(&power(), "1").expect("a time");
    assert!(
        plan.reason().ends_with("needs nothing more."),
        "{}",
        plan.reason()
    );
}

#[test]
fn without_a_rule_it_says_that_none_is_known() {
    let plan = Plan::new(&State::default(), "30").expect("a time");
    assert_eq!(plan.count(), "30 s", "as metered");
    assert!(
        plan.reason().contains("nothing is entered"),
        "{}",
        plan.reason()
    );
    let off = power()
        .with(&Change::Count(0, false))
        .expect("one past the last line");
    let plan = Plan::new(&off, "8").expect("a time");
    assert_eq!(plan.count(), "8 s", "left out");
    assert!(plan.reason().contains("is left out"), "{}", plan.reason());
}

#[test]
fn beyond_a_table_it_says_so() {
    let table = LongTimes::new(
        exposure::LongRule::Table(vec![[10.0, 20.0], [100.0, 400.0]]),
        1.0,
    );
    let state = film(table.expect("a table"));
    let plan = Plan::new(&state, "200").expect("a time");
    assert!(
        plan.reason().contains("beyond the last row"),
        "{}",
        plan.reason()
    );
    let plan = Plan::new(&state, "50").expect("a time");
    assert!(!plan.reason().contains("beyond"), "{}", plan.reason());
}

#[test]
fn times_are_typed_as_people_write_them() {
    for (typed, count) in [
        ("15", "15 s"),
        ("7,5", "7.5 s"),
        ("1'30", "1 min 30 s"),
        ("1:30", "1 min 30 s"),
        ("0:45", "45 s"),
        ("4 min", "4 min"),
        ("2s", "2 s"),
        ("0.5", "0.5 s"),
    ] {
        let plan = Plan::new(&State::default(), typed).expect(typed);
        assert_eq!(plan.count(), count, "{typed}");
    }
    for typed in ["", "soon", "1/125", "0.2", "-3", "1e9", "999999999", "0"] {
        let refusal = Plan::new(&State::default(), typed).expect_err(typed);
        assert!(refusal.sentence.len() > 20, "{typed}: {}", refusal.sentence);
    }
    // More than a day metered is more than a hundred hours needed.
    let refusal = Plan::new(&power(), "80000").expect_err("weeks");
    assert!(
        refusal.sentence.contains("hundred hours"),
        "{}",
        refusal.sentence
    );
    // What the dial shows can be read back; what is too short to be counted is not offered.
    assert_eq!(
        timer::metered(&State::default()),
        "",
        "1/125 is for the shutter"
    );
    let mut state = State::default();
    let camera = Intent::Camera("third-stops".to_owned());
    state = apply(&state, &camera).expect("a kind of camera").0;
    for (mark, count) in [
        ("0.5s", "0.5 s"),
        ("8s", "8 s"),
        ("15s", "16 s"),
        ("30s", "32 s"),
    ] {
        let wish = Intent::Type(Control::Time, mark.to_owned());
        state = apply(&state, &wish).expect("a time of the camera").0;
        let plan = Plan::new(&state, &timer::metered(&state)).expect("a time of the dial");
        assert_eq!(plan.count(), count, "{mark}");
    }
}

#[test]
fn the_exposure_from_the_press_to_the_end() {
    let plan = Plan::new(&State::default(), "90").expect("a time");
    let running = Running::start(&plan, 1_000_000, 3);
    // (milliseconds after the press, phase, figure, beside it, how long open)
    let table = [
        (
            0,
            Phase::Ready,
            "3.0",
            "until you open it",
            "then 1 min 30 s",
        ),
        (2_950, Phase::Ready, "0.1", "until you open it", "then"),
        (
            3_000,
            Phase::Open,
            "1:30",
            "until you close it",
            "Opened 0 s ago",
        ),
        (
            3_001,
            Phase::Open,
            "1:30",
            "until you close it",
            "Opened 0 s ago",
        ),
        (
            34_000,
            Phase::Open,
            "59",
            "seconds until",
            "Opened 31 s ago",
        ),
        (
            83_000,
            Phase::Near,
            "10",
            "seconds until",
            "Opened 80 s ago",
        ),
        (
            92_999,
            Phase::Near,
            "0.1",
            "seconds until",
            "Opened 89 s ago",
        ),
        (
            93_000,
            Phase::Over,
            "Close now",
            "0.0 s over",
            "Opened 90 s ago",
        ),
        (
            94_470,
            Phase::Over,
            "Close now",
            "1.4 s over",
            "Opened 91 s ago",
        ),
        (
            200_000,
            Phase::Over,
            "Close now",
            "1 min 47 s over",
            "Opened 197 s ago",
        ),
    ];
    for (after, phase, large, beside, since) in table {
        let shown = running.at(1_000_000 + after);
        assert_eq!(shown.phase, phase, "{after} ms");
        assert_eq!(shown.large, large, "{after} ms");
        assert!(
            shown.beside.contains(beside),
            "{after} ms: {}",
            shown.beside
        );
        assert!(shown.since.contains(since), "{after} ms: {}", shown.since);
    }
    let shown = running.at(999_999);
    assert_eq!(shown.phase, Phase::Lost, "a clock that was set back");
}

#[test]
fn hours_are_shown_as_hours() {
    let plan = Plan::new(&State::default(), "120 min").expect("two hours");
    let running = Running::start(&plan, 0, 0);
    assert_eq!(running.at(0).large, "2:00:00", "at the start");
    assert_eq!(
        running.at(3_599_500).large,
        "1:00:01",
        "never shorter than what is left"
    );
}

#[test]
fn what_was_given_is_said_with_its_difference() {
    let plan = Plan::new(&power(), "8").expect("a time");
    let running = Running::start(&plan, 0, 5);
    for (moment, words) in [
        (3_000, "Stopped before it was opened."),
        (20_242, "as meant"),
        (20_242 + 15_242, "1 stop more light than meant"),
        (5_000 + 7_621, "1 stop less light than meant"),
    ] {
        let said = running.closed(moment);
        assert!(said.contains(words), "{moment}: {said}");
    }
    assert!(
        running.reason().contains("the meter alone says 8 s"),
        "{}",
        running.reason()
    );
}

#[test]
fn no_moment_is_too_early_or_too_late() {
    let plan = Plan::new(&State::default(), "359999").expect("almost a hundred hours");
    for pressed in [0, 1, 1_764_097_200_000, u64::MAX - 1, u64::MAX] {
        let running = Running::start(&plan, pressed, 10);
        for now in [0, 1, pressed.saturating_add(20_000), u64::MAX / 2, u64::MAX] {
            let (shown, said) = (running.at(now), running.closed(now));
            assert!(
                !shown.large.is_empty() && !said.is_empty(),
                "{pressed}, {now}"
            );
        }
    }
}

/// As version 1 writes it. It has to open for ever.
const GOLDEN: &str = include_str!("golden/timer-1.json");

#[test]
fn the_record_survives_a_reload_to_the_letter() {
    let Kept::Good(running) = Running::decode(GOLDEN.trim_end()) else {
        panic!("version 1 no longer opens");
    };
    assert_eq!(running.encode(), GOLDEN.trim_end(), "as it was");
    let plan = Plan::new(&power(), "8").expect("a time");
    for lead in LEADS {
        let running = Running::start(&plan, 1_764_097_200_000, lead);
        assert_eq!(
            Running::decode(&running.encode()),
            Kept::Good(running),
            "lead {lead}"
        );
    }
}

#[test]
fn a_record_that_is_none_is_set_aside_and_a_newer_one_left_alone() {
    let newer = GOLDEN.replace("\"version\":1", "\"version\":3");
    assert_eq!(Running::decode(&newer), Kept::Newer, "newer");
    let absurd = GOLDEN.replace("15242", "999999999999");
    for text in [
        "",
        "[]",
        "{}",
        "{\"format\":\"stopkeeper timer\",\"version\":1}",
        &absurd,
    ] {
        let Kept::Damaged(key) = Running::decode(text) else {
            panic!("{text} was taken");
        };
        assert!(key.starts_with("stopkeeper.aside.timer."), "{key}");
    }
}

/// The series of worked case 12, and a reload in the middle of it.
#[test]
fn the_next_frame_of_the_series_comes_by_itself() {
    let typed = |control, text: &str| Intent::Type(control, text.to_owned());
    let wishes = [
        Intent::Camera("full-stops".to_owned()),
        Intent::Reading(Control::Sensitivity, "100".to_owned()),
        Intent::Reading(Control::Time, "1/2".to_owned()),
        Intent::Reading(Control::Aperture, "4".to_owned()),
        typed(Control::Sensitivity, "100"),
        typed(Control::Aperture, "16"),
        Intent::BracketUnder(0),
        Intent::BracketOver(2),
    ];
    let state = wishes.iter().fold(power(), |state, wish| {
        apply(&state, wish).expect("a setting").0
    });
    let series = Series::of(&state);
    assert_eq!(series.frame_of("16 s", None), Some(1));
    assert_eq!(
        series.frame_of(" 16 s ", Some(0)),
        Some(1),
        "what is due is another"
    );
    assert_eq!(series.frame_of("15", None), None, "no frame has it");
    assert_eq!(series.after(0), Some((1, "16 s")));
    assert_eq!(series.after(2), None, "the last one");
    assert_eq!(series.words(1), "Frame 2 of 3 on the dial.");
    let plan = Plan::new(&state, "16 s").expect("a time");
    let running = Running::start(&plan, 1_000, 0).of_frame(Some(1));
    let Kept::Good(again) = Running::decode(&running.encode()) else {
        panic!("it was kept");
    };
    assert_eq!((again.frame(), &again), (Some(1), &running));
    assert_eq!(Running::start(&plan, 1_000, 5).lead(), 5);
    assert_eq!(again.metered(), "16 s");
    // What is no frame's is written as it always was.
    let alone = Running::start(&plan, 1_000, 0);
    assert!(alone.encode().contains("\"version\":1") && !alone.encode().contains("frame"));
    assert_eq!(alone.frame(), None);
    // Frames of the same time are told apart by which is due.
    let by_aperture = apply(&state, &Intent::BracketBy("aperture".to_owned())).expect("a series");
    let series = Series::of(&by_aperture.0);
    assert_eq!(series.frame_of("8 s", Some(2)), Some(2));
    assert_eq!(series.frame_of("8 s", None), Some(0));
}

#[test]
fn the_last_seconds_are_felt_and_the_figures_keep_their_size() {
    let plan = Plan::new(&State::default(), "30").expect("a time");
    let running = Running::start(&plan, 0, 5);
    let beats = |from: u64, to: u64| -> Vec<u8> {
        let mut beats: Vec<u8> = (from..to)
            .step_by(50)
            .map(|now| running.at(now).beat)
            .collect();
        beats.dedup();
        beats
    };
    assert_eq!(beats(0, 5_000), [0, 3, 2, 1], "before it is opened");
    assert_eq!(beats(5_000, 35_500), [0, 3, 2, 1, 0], "before it is closed");
    let wide: Vec<u8> = (0..36_000)
        .step_by(50)
        .map(|now| running.at(now).wide)
        .collect();
    assert!(wide.iter().all(|one| *one == wide[0]), "{wide:?}");
    let hours = Running::start(
        &Plan::new(&State::default(), "7200 s").expect("a time"),
        0,
        0,
    );
    assert_eq!(
        hours.at(0).wide,
        60,
        "2:00:00 is five figures and two colons"
    );
}
