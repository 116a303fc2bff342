//! Corrections between the reading and the film, as the dial counts and words them.

use exposure::{DepthOfField, Doubt, LongTimes, Mark, Reading, Steps, Stops};
use panel::{
    CameraForm, Control, Intent, State, apply, derive,
    light::{Change, Depth, Found, Line, LineKind, Long, MOST_LINES},
    link,
};

fn reading(time: &str, aperture: &str, sensitivity: &str) -> Reading {
    let mark = |control, text| Mark::parse(control, text, Steps::Third).expect("a usual figure");
    Reading::new(
        mark(Control::Time, time),
        mark(Control::Aperture, aperture),
        mark(Control::Sensitivity, sensitivity),
    )
    .expect("in order")
}

fn found(time: &str, aperture: &str, sensitivity: &str) -> Change {
    Change::Take(Found {
        reading: reading(time, aperture, sensitivity),
        halves: false,
        from: "photo".to_owned(),
        doubt: None,
        lines: Vec::new(),
    })
}

fn filter(name: &str, factor: f64) -> Change {
    let effect = Stops::new(-factor.log2()).expect("a factor in range");
    Change::Line(Line::new(LineKind::Filter, name, effect).expect("a short name"))
}

fn after(changes: &[Change]) -> State {
    changes.iter().fold(State::default(), |state, change| {
        state.with(change).expect("a change that can be taken")
    })
}

fn type_in(state: &State, control: Control, text: &str) -> State {
    apply(state, &Intent::Type(control, text.to_owned()))
        .expect("a value of the camera")
        .0
}

/// Factors 2 and 2.5 together are 5: 2.32 stops. Source: `log2`; that factors multiply and stops add is printed in
/// *Photographic Lighting: Essential Skills* (two of factor 4 are 16).
#[test]
fn stacked_filters_add_up_in_stops() {
    let state = after(&[
        found("1/125", "11", "100"),
        filter("Yellow, factor 2", 2.0),
        filter("Polariser, factor 2.5", 2.5),
    ]);
    let asked = state.light().light().get();
    assert!(
        (asked - 11.678).abs() < 1e-3,
        "EV 14 behind factor 5 is EV 11.68, not {asked}"
    );
    let lines = derive(&state).ledger.lines.split_off(3);
    assert_eq!(lines[0].stops, "1 stop less light", "{lines:?}");
    assert_eq!(lines[1].stops, "1.32 stops less light", "{lines:?}");
}

#[test]
fn the_strip_says_what_the_film_gets_behind_the_filter() {
    let plain = after(&[found("1/125", "8", "100")]);
    let plain = type_in(&plain, Control::Aperture, "8");
    let behind = plain
        .with(&filter("Grey, factor 8", 8.0))
        .expect("a filter");
    let behind = type_in(&behind, Control::Time, "1/15");
    let frame = |state: &State| {
        let frames = derive(state).bracket.frames;
        let base = frames.into_iter().find(|frame| frame.base);
        base.map(|frame| (frame.set, frame.from_box))
            .expect("a base")
    };
    let plain = type_in(&plain, Control::Time, "1/125");
    assert_eq!(frame(&plain).0, "1/125", "without");
    assert_eq!(frame(&behind).0, "1/15", "three stops longer behind it");
    assert_eq!(
        frame(&behind).1,
        frame(&plain).1,
        "and the film gets as much"
    );
}

#[test]
fn a_typed_reading_leaves_behind_what_belonged_to_the_last_one() {
    let spot = ("A spot on zone III".to_owned(), Stops::constant(-2.0));
    let state = after(&[
        Change::Take(Found {
            reading: reading("1/30", "8", "200"),
            halves: false,
            from: "photo".to_owned(),
            doubt: None,
            lines: vec![spot],
        }),
        filter("Orange, factor 4", 4.0),
    ]);
    let (typed, outcome) =
        apply(&state, &Intent::Reading(Control::Time, "1/60".to_owned())).expect("a usual time");
    let names: Vec<&str> = typed.lines().iter().map(Line::name).collect();
    assert_eq!(
        names,
        ["Orange, factor 4"],
        "the filter is still on the lens"
    );
    assert_eq!(
        typed.reading_from(),
        "",
        "and the reading is the user's own"
    );
    let sentence = outcome.sentence.expect("it is said");
    assert!(sentence.contains("left behind"), "{sentence}");
}

/// How far a reading may be off goes with it wherever it is shown, and ends with it.
#[test]
fn a_doubt_stays_with_its_reading() {
    let Change::Take(table) = found("1/125", "8", "100") else {
        panic!("a reading");
    };
    let table = Found {
        doubt: Some(Doubt::constant(1.0)),
        ..table
    };
    let state = after(&[Change::Take(table.clone()), filter("Red, factor 8", 8.0)]);
    let shown = |state: &State| {
        let view = derive(state);
        [view.reading.light, view.ledger.total]
    };
    assert_eq!(
        shown(&state),
        [
            "EV 13 at ISO 100, give or take 1 stop",
            "As the reading asks, give or take 1 stop"
        ],
        "on the dial and in the ledger"
    );
    assert_eq!(
        state.said(&State::default()),
        "The light is EV 13 at ISO 100, give or take 1 stop. Corrections: 3 stops less light. Now set aperture f/2.8.",
        "and said when it is taken"
    );
    let held = [Control::Time, Control::Aperture].iter().fold(
        type_in(&state, Control::Time, "1/15"),
        |state, control| {
            apply(&state, &Intent::Hold(*control, true))
                .expect("a dial")
                .0
        },
    );
    let turned = type_in(&held, Control::Sensitivity, "200");
    assert_eq!(
        shown(&turned)[1],
        "1 stop more light than the reading asks for, give or take 1 stop",
        "whatever the dials do"
    );
    assert_eq!(
        [state.left_over(), turned.left_over()],
        [
            "",
            "Everything else is held: 1 stop more light than the reading asks for."
        ],
        "and said by itself"
    );
    let reading = Intent::Reading(Control::Time, "1/60".to_owned());
    let (typed, outcome) = apply(&turned, &reading).expect("a usual time");
    assert_eq!(typed.doubt(), None, "a typed reading is the user's own");
    assert_eq!(shown(&typed)[0], "EV 12 at ISO 100", "and nothing is left");
    let sentence = outcome.sentence.expect("it is said");
    assert!(sentence.contains("left behind"), "{sentence}");
    // Nothing to doubt is nothing to say.
    let sure = Found {
        doubt: Some(Doubt::NONE),
        ..table
    };
    assert_eq!(after(&[Change::Take(sure)]).doubt(), None, "no figure");
}

#[test]
fn the_same_correction_is_not_counted_twice() {
    let state = after(&[filter("Red", 8.0), filter("Red", 6.0)]);
    assert_eq!(state.lines().len(), 1, "{:?}", state.lines());
    assert!(
        (state.correction().get() + 6.0_f64.log2()).abs() < 1e-9,
        "the newer one"
    );
}

#[test]
fn limits_are_sentences() {
    let mut state = State::default();
    for i in 0..MOST_LINES {
        state = state
            .with(&filter(&format!("Filter {i}"), 1.5))
            .expect("still room");
    }
    let full = state.with(&filter("One more", 2.0)).expect_err("no room");
    assert!(full.sentence.contains("Twelve"), "{}", full.sentence);
    let long = Line::new(LineKind::Other, &"x".repeat(61), Stops::ZERO).expect_err("too long");
    assert!(long.sentence.contains("60 characters"), "{}", long.sentence);
    let much = Line::new(LineKind::Other, "x", Stops::constant(20.5)).expect_err("too much");
    assert!(much.sentence.contains("20 stops"), "{}", much.sentence);
    let gone = state.with(&Change::Drop(99)).expect_err("not there");
    assert!(gone.sentence.contains("no longer"), "{}", gone.sentence);
    let mut far = State::default();
    let mut refused = None;
    for i in 0..MOST_LINES {
        let line = Line::new(LineKind::Other, &format!("Far {i}"), Stops::constant(-20.0));
        match far.with(&Change::Line(line.expect("within 20 stops"))) {
            Ok(next) => far = next,
            Err(refusal) => refused = Some(refusal.sentence),
        }
    }
    let sentence = refused.expect("no light is 240 stops away");
    assert!(sentence.contains("beyond any light"), "{sentence}");
}

#[test]
fn a_setting_with_corrections_travels_as_a_newer_link() {
    let plain = link::fragment(&State::default());
    assert!(plain.starts_with("set1."), "older pages read it: {plain}");
    let with = link::fragment(&after(&[filter("Red", 8.0)]));
    assert!(
        with.starts_with("set2."),
        "older pages say that it is newer: {with}"
    );
}

fn long(exponent: f64) -> Change {
    let times = LongTimes::power(exponent, 1.0).expect("within the ranges");
    Change::Long(Some(
        Long::new("A film, 1.31", times).expect("a short name"),
    ))
}

/// Metered 8 s at exponent 1.31 is 15.2 s; one stop more is 37.8 s and two are 93.7 s: each frame is worked out from its own
/// metered time, never by doubling 15.2 s. Source: 8^1.31, 16^1.31, 32^1.31; the exponent is a film maker's (technical
/// note, a public copy).
#[test]
fn long_times_come_last_and_frame_by_frame() {
    let state = after(&[found("8s", "16", "100"), long(1.31)]);
    let form = CameraForm {
        name: "Plate camera (invented)".to_owned(),
        times: "1s 2s 4s 8s 15s 30s B".to_owned(),
        apertures: "8 11 16 22".to_owned(),
        steps: "full".to_owned(),
        focal: String::new(),
    };
    let state = apply(&state, &Intent::SaveCamera(None, form))
        .expect("a camera")
        .0;
    let state = type_in(&state, Control::Aperture, "16");
    let state = type_in(&state, Control::Time, "8s");
    let counts: Vec<(String, String)> = derive(&state)
        .bracket
        .frames
        .into_iter()
        .map(|frame| (frame.set, frame.count))
        .collect();
    let count = |metered: &str| {
        let found = counts.iter().find(|(set, _)| set == metered);
        found.map(|(_, count)| count.as_str())
    };
    assert_eq!(count("8s"), Some("count 15.2 s"), "{counts:?}");
    assert_eq!(count("15s"), Some("count 37.8 s"), "{counts:?}");
    assert_eq!(count("30s"), Some("count 1 min 34 s"), "{counts:?}");
}

#[test]
fn a_long_time_without_figures_is_warned_of() {
    let state = after(&[found("4s", "8", "100")]);
    let state = type_in(&state, Control::Time, "1s");
    let reasons = |state: &State| derive(state).ledger.reasons.join(" ");
    assert!(
        reasons(&state).contains("reciprocity failure"),
        "{}",
        reasons(&state)
    );
    let known = state.with(&long(1.31)).expect("a rule");
    assert!(
        !reasons(&known).contains("reciprocity failure"),
        "{}",
        reasons(&known)
    );
    let short = type_in(&state, Control::Time, "1/125");
    assert!(
        !reasons(&short).contains("reciprocity failure"),
        "{}",
        reasons(&short)
    );
}

#[test]
fn long_times_can_be_left_out_on_the_ledger() {
    let state = after(&[found("8s", "16", "100"), filter("Red", 8.0), long(1.31)]);
    let row = |state: &State| derive(state).ledger.lines.pop().expect("a row");
    assert_eq!(row(&state).name, "Long times: A film, 1.31", "the last row");
    assert_eq!(row(&state).counts, Some(true), "it counts");
    let (off, _) = apply(&state, &Intent::Correct(1, false)).expect("it is there");
    assert_eq!(row(&off).stops, "left out", "and can be left out");
    assert!(
        derive(&off)
            .bracket
            .frames
            .iter()
            .all(|frame| frame.count.is_empty()),
        "nothing to count"
    );
    assert!(
        apply(&state, &Intent::Correct(2, false)).is_err(),
        "there is no further row"
    );
}

/// 75 mm at 3 m with a circle of 0.05 mm, by the exact formulas near = s(H-f)/(H+s-2f) and far = s(H-f)/(H-s): 0.63 m deep
/// at f/4 as in the worked case, and 1.93 m at f/11, which stands for 11.31.
#[test]
fn each_frame_of_a_bracket_by_aperture_says_what_is_sharp() {
    let of = DepthOfField::new(75.0, Some(3000.0), 0.05).expect("within the ranges");
    let depth = Depth::new(of, "0.05 mm, 6x4.5").expect("a short name");
    let state = after(&[found("1/125", "8", "100"), Change::Depth(Some(depth))]);
    let state = apply(&state, &Intent::BracketBy("aperture".to_owned()))
        .expect("a way")
        .0;
    let state = apply(&state, &Intent::BracketUnder(1)).expect("a count").0;
    let state = type_in(&state, Control::Aperture, "8");
    let frames = derive(&state).bracket.frames;
    let sharp = |set: &str| {
        let frame = frames.iter().find(|frame| frame.set == set);
        frame.map(|frame| frame.sharp.clone()).unwrap_or_default()
    };
    let summary = derive(&state).bracket.summary;
    assert!(
        summary.ends_with("Sharp for 75 mm at 3 m, by 0.05 mm, 6x4.5."),
        "{summary}"
    );
    assert_eq!(sharp("f/4"), "sharp from 2.72 m to 3.35 m", "{frames:?}");
    assert!(
        sharp("f/11").starts_with("sharp from 2.3"),
        "{}",
        sharp("f/11")
    );
}

#[test]
fn a_typed_reading_that_corrections_lead_beyond_any_light_is_refused() {
    let mut state = State::default();
    for i in 0..4 {
        let line = Line::new(LineKind::Other, &format!("Far {i}"), Stops::constant(-20.0));
        state = state
            .with(&Change::Line(line.expect("within 20 stops")))
            .expect("80 stops are within reach");
    }
    let line = Line::new(LineKind::Other, "Farther", Stops::constant(-10.0)).expect("10 stops");
    let state = state.with(&Change::Line(line)).expect("90 stops as well");
    let typed = Intent::Reading(Control::Sensitivity, "1000000".to_owned());
    let refusal = apply(&state, &typed).expect_err("13 stops more are not");
    assert!(
        refusal.sentence.contains("beyond any light"),
        "{}",
        refusal.sentence
    );
}
