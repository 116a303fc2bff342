//! What film needs at long times is one answer, wherever it is given: the dial, the ledger, the strip, the pairs, the timer.

use exposure::{LongRule, LongTimes, words};
use panel::{
    CameraForm, Control, Intent, State, apply, derive,
    light::{Change, Long},
    timer::{self, Plan},
};
use proptest::prelude::*;

fn after(state: State, intents: &[Intent]) -> State {
    intents.iter().fold(state, |state, intent| {
        apply(&state, intent)
            .unwrap_or_else(|refusal| panic!("{intent:?}: {}", refusal.sentence))
            .0
    })
}

fn typed(control: Control, text: &str) -> Intent {
    Intent::Type(control, text.to_owned())
}

/// A plate camera with B, a film that is rated as it is read, and faint light: 8 s at f/16.
fn faint(film: Option<LongTimes>) -> State {
    let camera = CameraForm {
        name: "Plate camera (invented)".to_owned(),
        times: "1 1/2 1/4 B".to_owned(),
        apertures: "5.6 8 11 16 22".to_owned(),
        steps: "full".to_owned(),
        focal: String::new(),
    };
    let state = after(
        State::default(),
        &[
            Intent::SaveCamera(None, camera),
            Intent::Reading(Control::Sensitivity, "100".to_owned()),
            Intent::Reading(Control::Time, "1/2".to_owned()),
            Intent::Reading(Control::Aperture, "4".to_owned()),
            typed(Control::Sensitivity, "100"),
            typed(Control::Aperture, "16"),
            Intent::BracketUnder(0),
            Intent::BracketOver(2),
            Intent::BracketStep("one".to_owned()),
            Intent::BracketOrder("rising".to_owned()),
        ],
    );
    match film {
        Some(times) => {
            let long = Long::new("Meadow 100 (invented)", times).expect("a name");
            state
                .with(&Change::Long(Some(long)))
                .expect("a rule that can be taken")
        }
        None => state,
    }
}

fn power() -> LongTimes {
    LongTimes::power(1.31, 1.0).expect("in range")
}

/// Worked case 12: metered 8 s, exponent 1.31, is 15.2 s; one stop more is 37.8 s, two are 93.7 s. The frame with more light is
/// worked out from twice the metered time, and never by doubling 15.2 s.
#[test]
fn worked_case_12_everywhere() {
    let state = faint(Some(power()));
    let view = derive(&state);
    assert_eq!(
        view.dials[0].note.as_deref(),
        Some("count 15.2 s"),
        "the dial"
    );
    let row = view.ledger.lines.last().expect("a row");
    assert_eq!(row.stops, "count 15.2 s for 8s", "the ledger");
    let frames: Vec<_> = view
        .bracket
        .frames
        .iter()
        .map(|frame| (frame.metered.as_str(), frame.count.as_str()))
        .collect();
    assert_eq!(
        frames,
        [
            ("8 s", "count 15.2 s"),
            ("16 s", "count 37.8 s"),
            ("32 s", "count 1 min 34 s")
        ],
        "the strip, frame by frame"
    );
    for frame in &view.bracket.frames {
        assert!(
            frame.sentence().contains(&frame.count),
            "{}",
            frame.sentence()
        );
        // Shoot mode opens the timer with the frame's own time.
        let plan = Plan::new(&state, &frame.metered).expect("a time to count");
        assert_eq!(frame.count, format!("count {}", plan.count()), "the timer");
    }
    let pair = |time: &str| {
        let found = view.pairs.iter().find(|pair| pair.time == time);
        found.unwrap_or_else(|| panic!("no {time} among {:?}", view.pairs))
    };
    assert_eq!(pair("8s").count, "count 15.2 s", "the pairs");
    assert_eq!(pair("4s").count, "count 6.1 s", "each by itself");
    assert_eq!(pair("1s").count, "", "1 s needs nothing");
    assert_eq!(
        timer::metered(&state),
        "8 s",
        "the timer starts with the dial's"
    );
    // By aperture the time stays, and one stop open is one stop more: no frame needs a second correction.
    let by_aperture = after(state, &[Intent::BracketBy("aperture".to_owned())]);
    for frame in derive(&by_aperture).bracket.frames {
        assert_eq!(
            (frame.metered.as_str(), frame.count.as_str()),
            ("8 s", "count 15.2 s")
        );
    }
}

/// Seconds that a person counts are the seconds that the film is asked about: 15 s are 15 s, 34.7 s on the film, and not the 16 s
/// of a series. [CALC] 15^1.31, 25^1.31.
#[test]
fn counted_seconds_are_what_they_are() {
    for (seconds, count) in [
        ("15", "count 34.7 s"),
        ("25", "count 1 min 8 s"),
        ("12", "count 25.9 s"),
    ] {
        let state = after(
            faint(Some(power())),
            &[typed(Control::Time, &format!("{seconds}s"))],
        );
        let view = derive(&state);
        assert_eq!(
            view.dials[0].note.as_deref(),
            Some(count),
            "{seconds} on the dial"
        );
        assert_eq!(
            timer::metered(&state),
            format!("{seconds} s"),
            "handed to the timer"
        );
        let plan = Plan::new(&state, seconds).expect("a time");
        assert_eq!(
            count,
            format!("count {}", plan.count()),
            "{seconds} in the timer"
        );
    }
}

/// What no hand counts is not said to be counted, and what the camera cannot do is not asked of it.
#[test]
fn nothing_is_counted_that_cannot_be() {
    let rule = LongRule::Added {
        share: 0.169,
        exponent: 1.62,
    };
    let early = LongTimes::new(rule, 0.001).expect("in range");
    let quick = after(faint(Some(early)), &[typed(Control::Time, "1/4")]);
    let view = derive(&quick);
    assert!(
        !view.dials[0]
            .note
            .clone()
            .unwrap_or_default()
            .contains("count"),
        "{:?}",
        view.dials[0].note
    );
    // [CALC] log2(1 + 0.169 · 0.25^0.62) is 0.099 stop.
    let row = view.ledger.lines.last().expect("a row");
    assert_eq!(
        row.stops, "film needs about ⅙ stop more time for 1/4",
        "the ledger keeps it"
    );
    // Without B there is nothing to count with.
    let no_b = CameraForm {
        name: "No B (invented)".to_owned(),
        times: "1s 2s 4s 8s 15s".to_owned(),
        apertures: "5.6 8 11 16 22".to_owned(),
        steps: "full".to_owned(),
        focal: String::new(),
    };
    let state = after(faint(Some(power())), &[Intent::SaveCamera(None, no_b)]);
    let state = after(
        state,
        &[typed(Control::Aperture, "16"), typed(Control::Time, "8s")],
    );
    assert_eq!(
        derive(&state).dials[0].note.as_deref(),
        Some("film needs 15.2 s; no B to count it")
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 64, ..ProptestConfig::default() })]

    /// Dial, strip, pairs and timer give the same answer for the same time, whatever the film needs.
    #[test]
    fn one_answer(exponent in 1.0..1.6_f64, threshold in 0.1..4.0_f64, seconds in 1..=60_u32, by in any::<bool>()) {
        let film = LongTimes::power(exponent, threshold).expect("in range");
        let state = after(faint(Some(film.clone())), &[
            typed(Control::Time, &format!("{seconds}s")),
            Intent::BracketBy(if by { "time" } else { "aperture" }.to_owned()),
        ]);
        let view = derive(&state);
        let said = |metered: f64| {
            let counted = film.count(metered);
            if counted.more.is_more() { format!("count {}", words::to_count(counted.needed)) } else { String::new() }
        };
        let now = state.set()[0].gives();
        prop_assert_eq!(view.dials[0].note.clone().filter(|note| note.starts_with("count")).unwrap_or_default(), said(now));
        let base = view.bracket.frames.iter().find(|frame| frame.base).expect("a base");
        prop_assert_eq!(&base.count, &said(now));
        for frame in &view.bracket.frames {
            let plan = Plan::new(&state, &frame.metered).expect("a time");
            if !frame.count.is_empty() && now.fract() == 0.0 {
                prop_assert_eq!(&frame.count, &format!("count {}", plan.count()));
            }
        }
    }
}
