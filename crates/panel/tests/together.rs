//! What the free dials reach together, what a hand counts on B, and what belongs to one setting only.

use exposure::{Control, Effect, Mark, Steps, Stops};
use panel::{
    Intent, PairView, State, View, apply, derive,
    light::{Change, Found, Line, LineKind},
};

fn go(state: &State, intent: &Intent) -> (State, String) {
    let (next, outcome) =
        apply(state, intent).unwrap_or_else(|refusal| panic!("{intent:?}: {}", refusal.sentence));
    (next, outcome.sentence.unwrap_or_default())
}

fn after(intents: &[Intent]) -> State {
    intents
        .iter()
        .fold(State::default(), |state, intent| go(&state, intent).0)
}

fn typed(control: Control, text: &str) -> Intent {
    Intent::Type(control, text.to_owned())
}

fn read(time: &str, aperture: &str, iso: &str) -> [Intent; 3] {
    [
        Intent::Reading(Control::Time, time.to_owned()),
        Intent::Reading(Control::Aperture, aperture.to_owned()),
        Intent::Reading(Control::Sensitivity, iso.to_owned()),
    ]
}

fn camera(id: &str) -> Intent {
    Intent::Camera(id.to_owned())
}

fn set(view: &View) -> [&str; 3] {
    [0, 1, 2].map(|i| view.dials[i].value.as_str())
}

fn current(view: &View) -> &PairView {
    let mut current = view.pairs.iter().filter(|pair| pair.current);
    let found = current.next().expect("the dials are in the list");
    assert!(current.next().is_none(), "once: {:?}", view.pairs);
    found
}

/// The box camera has 1/50 and then B: the ring makes up for what the time cannot, though the time is not at an end.
#[test]
fn a_gap_in_a_scale_is_no_end() {
    let start = after(&[&[camera("box")], &read("1/125", "11", "100")[..]].concat());
    for (rating, expected) in [
        ("50", ["1/50", "f/11", "EI 50"]),
        ("100", ["1/50", "f/16", "EI 100"]),
        ("200", ["1/50", "f/22", "EI 200"]),
    ] {
        let view = derive(&go(&start, &typed(Control::Sensitivity, rating)).0);
        assert_eq!(set(&view), expected, "rated {rating}");
        assert!(
            !current(&view).residual.contains("by hand"),
            "first in rank: {:?}",
            view.pairs
        );
    }
    // At 25 the best is f/11, short by two thirds, and the list agrees.
    let (low, said) = go(&start, &typed(Control::Sensitivity, "25"));
    let view = derive(&low);
    assert_eq!(set(&view), ["1/50", "f/11", "EI 25"], "{said}");
    assert!(
        view.ledger.total.contains("less light"),
        "{:?}",
        view.ledger
    );
    // Out and back is exactly where it was.
    let back = derive(&go(&low, &typed(Control::Sensitivity, "100")).0);
    assert_eq!(set(&back), set(&derive(&start)), "out and back");
}

/// A ring without clicks makes up exactly what the times of an old folder leave.
#[test]
fn a_ring_makes_up_the_rest() {
    let start = after(&[&[camera("folder")], &read("1/125", "11", "100")[..]].concat());
    for rating in ["25", "32", "40", "50", "64", "80", "125", "200"] {
        let view = derive(&go(&start, &typed(Control::Sensitivity, rating)).0);
        let grade = &current(&view).residual;
        assert!(
            grade == "exact" || grade.contains("⅙"),
            "rated {rating}: {grade}, {:?}",
            set(&view)
        );
    }
}

/// An odd top speed at the smallest stop: the next free dial is asked before negative film is left short.
#[test]
fn an_odd_top_speed_does_not_leave_the_film_short() {
    let form = panel::CameraForm {
        name: "Body with 1/300 (invented)".to_owned(),
        times: "1 1/2 1/4 1/8 1/15 1/30 1/60 1/125 1/300".to_owned(),
        apertures: "2.8..22".to_owned(),
        steps: "full".to_owned(),
        focal: String::new(),
    };
    let start = after(
        &[
            &[Intent::SaveCamera(None, form)],
            &read("1/250", "22", "100")[..],
        ]
        .concat(),
    );
    // Both dials are free after a reading: 1/300 at f/22 would be a quarter of a stop short, 1/125 at f/22 is beyond; 1/300 at
    // f/16 gives three quarters more, which negative film takes.
    let view = derive(&start);
    assert!(
        !view.ledger.total.contains("less light"),
        "{:?}: {}",
        set(&view),
        view.ledger.total
    );
}

/// On B a person counts: any time from half a second up as it is typed, to the very second where it is worked out.
#[test]
fn seconds_on_b_are_seconds() {
    let state = after(&[camera("full-stops"), typed(Control::Time, "12s")]);
    assert_eq!(derive(&state).dials[0].value, "12s", "as it is typed");
    for (text, shown) in [
        ("25s", "25s"),
        ("15s", "15s"),
        ("33.5s", "33.5s"),
        ("1'30", "90s"),
    ] {
        let (next, said) = go(&state, &typed(Control::Time, text));
        let dial = &derive(&next).dials[0];
        assert!(
            dial.value == shown || dial.spoken.starts_with("1 minute 30"),
            "{text}: {} ({})",
            dial.value,
            dial.spoken
        );
        assert!(!said.contains("the nearest is"), "{text}: {said}");
        assert!(dial.spoken.ends_with("by hand on B"), "{}", dial.spoken);
        let frames = derive(&next).bracket.frames;
        assert!(frames[0].base && frames[0].timed, "{text}: a watch ends it");
    }
    let plain = derive(&State::default()).bracket.frames;
    assert!(
        plain.iter().all(|frame| !frame.timed),
        "a shutter ends them"
    );
    // 15 s counted are 15 s: one function, whatever page asks.
    let fifteen = go(&state, &typed(Control::Time, "15s")).0;
    let place = derive(&fifteen).dials[0].place;
    assert!((place - 15_f64.log2()).abs() < 1e-12, "{place}");
    // The follower counts to the second: 1 s at f/4 is 16 s at f/16, and 1.5 stops of filter make it 45.
    let dim = after(
        &[
            &[camera("full-stops")],
            &read("1s", "4", "100")[..],
            &[typed(Control::Aperture, "16")],
        ]
        .concat(),
    );
    assert_eq!(set(&derive(&dim))[..2], ["16s", "f/16"], "16 and not 15");
    let filter = Line::new(LineKind::Filter, "Some filter", Stops::constant(-1.5)).expect("short");
    let held = go(&dim, &Intent::Hold(Control::Aperture, true)).0;
    let filtered = held.with(&Change::Line(filter)).expect("in range");
    assert_eq!(
        set(&derive(&filtered))[..2],
        ["45s", "f/16"],
        "to the second"
    );
}

/// A setting on B comes back as it was, from storage and through a link.
#[test]
fn a_counted_time_survives() {
    let state = after(&[camera("box"), typed(Control::Time, "33.5s")]);
    let again = panel::link::setting(&panel::link::parcel(&state)).expect("our own link");
    assert_eq!(derive(&again).dials[0].value, "33.5s", "through a link");
    assert_eq!(
        derive(&again).dials[0].place.to_bits(),
        derive(&state).dials[0].place.to_bits(),
        "the very second"
    );
}

/// What a leaf shutter gives at 1/500 and f/22 is not given at 1/60: pairs, frames and dials each count their own.
#[test]
fn a_line_counts_where_it_belongs() {
    let bright = after(&[&[camera("full-stops")], &read("1/125", "16", "100")[..]].concat());
    let line = Line::by(
        LineKind::Shutter,
        "Leaf shutter at small stops",
        Effect::Leaf,
    )
    .expect("ok");
    let with = bright.with(&Change::Line(line)).expect("in range");
    let view = derive(&with);
    for pair in &view.pairs {
        let gains = pair.aperture == "f/16"
            && ["1/125", "1/250", "1/500", "1/1000"].contains(&pair.time.as_str());
        assert_eq!(gains, pair.residual != "exact", "{pair:?}");
    }
    // The frames of a bracket by time at f/16: what each amounts to counts its own gain.
    let at_f16 = after(
        &[
            &[camera("full-stops")],
            &read("1/125", "16", "100")[..],
            &[
                typed(Control::Aperture, "16"),
                Intent::BracketUnder(2),
                Intent::BracketOver(1),
            ],
        ]
        .concat(),
    );
    let mark = |control, text| Mark::parse(control, text, Steps::Full).expect("a mark");
    let measured = Line::by(
        LineKind::Shutter,
        "Shutter, 1/250 gives 1/180",
        Effect::AtTime(mark(Control::Time, "1/250"), Stops::constant(0.5)),
    )
    .expect("ok");
    let frames = |state: &State| -> Vec<(String, String)> {
        let frames = derive(state).bracket.frames;
        frames
            .into_iter()
            .map(|frame| (frame.set, frame.from_base))
            .collect()
    };
    let plain = frames(&at_f16);
    let counted = frames(&at_f16.with(&Change::Line(measured)).expect("in range"));
    assert_eq!(plain.len(), counted.len(), "as many frames");
    let of = |frames: &[(String, String)], set: &str| {
        frames
            .iter()
            .find(|frame| frame.0 == set)
            .map(|frame| frame.1.clone())
    };
    assert_eq!(
        of(&plain, "1/250").as_deref(),
        Some("1 stop less light"),
        "{plain:?}"
    );
    assert_eq!(
        of(&counted, "1/250").as_deref(),
        Some("½ stop less light"),
        "{counted:?}"
    );
    assert_eq!(
        of(&counted, "1/60"),
        of(&plain, "1/60"),
        "another time, another count"
    );
}

/// A lens that loses light wide open alone asks for more there and nothing stopped down.
#[test]
fn a_lens_loses_by_aperture() {
    let mark = |text| Mark::parse(Control::Aperture, text, Steps::Full).expect("a mark");
    let rows = vec![(mark("2"), Stops::constant(-1.0)), (mark("4"), Stops::ZERO)];
    let lens = Line::by(LineKind::Lens, "Lens, by aperture", Effect::ByStop(rows)).expect("ok");
    let state = after(&[&[camera("full-stops")], &read("1/125", "8", "100")[..]].concat())
        .with(&Change::Line(lens))
        .expect("in range");
    let view = derive(&state);
    let times = |aperture: &str| -> Vec<&str> {
        let of = view.pairs.iter().filter(|pair| pair.aperture == aperture);
        of.map(|pair| pair.time.as_str()).collect()
    };
    assert_eq!(times("f/8"), ["1/125"], "nothing is lost at f/8");
    assert_eq!(
        times("f/2"),
        ["1/1000"],
        "a whole stop is lost at f/2, so half the speed: {:?}",
        view.pairs
    );
}

/// Light turned on purpose belongs to the reading it was turned for, and its end is said.
#[test]
fn a_wish_ends_with_its_reading() {
    let hold = |control| Intent::Hold(control, true);
    let state = after(&[hold(Control::Aperture), typed(Control::Time, "1/30")]);
    let view = derive(&state);
    assert_eq!(
        view.ledger.total,
        "2 stops more light than the reading asks for"
    );
    // The list counts from the reading: where the dials stand is in it, and named for what it is.
    assert_eq!(
        current(&view).residual,
        "2 stops more light, turned by hand"
    );
    let best = view
        .pairs
        .iter()
        .filter(|pair| pair.residual == "exact")
        .count();
    assert!(
        best > 3,
        "the others are what the reading asks for: {:?}",
        view.pairs
    );
    let free = go(&state, &Intent::Hold(Control::Aperture, false)).0;
    let mark = |control, text| Mark::parse(control, text, Steps::Third).expect("a mark");
    let found = Change::Take(Found {
        reading: exposure::Reading::new(
            mark(Control::Time, "1/60"),
            mark(Control::Aperture, "8"),
            mark(Control::Sensitivity, "200"),
        )
        .expect("in order"),
        halves: false,
        from: "scene table".to_owned(),
        doubt: None,
        lines: Vec::new(),
    });
    let taken = free.with(&found).expect("in range");
    let said = taken.said(&free);
    assert!(said.contains("What was turned on purpose ends"), "{said}");
    assert_eq!(derive(&taken).ledger.total, "As the reading asks", "{said}");
    for intent in [
        Intent::Reading(Control::Time, "1/60".to_owned()),
        camera("third-stops"),
        Intent::Film("slide".to_owned()),
        Intent::Pick(0),
    ] {
        let (next, said) = go(&free, &intent);
        assert!(
            said.contains("What was turned on purpose ends"),
            "{intent:?}: {said}"
        );
        let total = derive(&next).ledger.total;
        assert!(!total.contains("2 stops more light"), "{intent:?}: {total}");
        let (_, again) = go(&next, &intent);
        assert!(!again.contains("on purpose"), "said once: {again}");
    }
}

/// In light that no setting serves the list says what comes nearest, the nearest first.
#[test]
fn the_list_is_never_empty() {
    for (time, iso) in [("1/8000", "25"), ("30s", "6400")] {
        let intents = [&[camera("half-click-lens")], &read(time, "22", iso)[..]].concat();
        let view = derive(&after(&intents));
        assert!(!view.pairs.is_empty(), "{time}: there is always a pair");
        assert_eq!(
            view.pairs.iter().filter(|pair| pair.current).count(),
            1,
            "{:?}",
            view.pairs
        );
    }
}

/// At 1/500 the next smaller stop of a leaf shutter gives back what it takes: the frame says that it adds nothing.
#[test]
fn two_settings_with_the_same_light_say_so() {
    let leaf = Line::by(
        LineKind::Shutter,
        "Leaf shutter at small stops",
        Effect::Leaf,
    )
    .expect("ok");
    let state = after(
        &[
            &[camera("full-stops")],
            &read("1/500", "11", "100")[..],
            &[
                typed(Control::Aperture, "11"),
                Intent::BracketBy("aperture".to_owned()),
                Intent::BracketUnder(1),
                Intent::BracketOver(1),
                Intent::BracketOrder("rising".to_owned()),
            ],
        ]
        .concat(),
    )
    .with(&Change::Line(leaf))
    .expect("in range");
    let frames = derive(&state).bracket.frames;
    let of = |set: &str| frames.iter().find(|frame| frame.set == set).expect(set);
    assert!((of("f/16").box_bar - of("f/11").box_bar).abs() < 1e-9);
    assert!(
        of("f/16").sentence().contains("; as the base; "),
        "{}",
        of("f/16").sentence()
    );
    assert!(
        of("f/11")
            .flags
            .contains(&"same light as frame 1".to_owned()),
        "{:?}",
        of("f/11")
    );
}
