//! The forms of corrections: what is typed, what is said, and what the dial takes over.

use book::{Device, DeviceSteps};
use exposure::{Mark, Steps};
use panel::{
    Control, Intent, State, apply,
    correct::{self, FlashForm, IsoScale, LongForm, NotYet, Worked},
    derive,
    light::{Change, Line, LineKind},
};
use proptest::prelude::*;

fn after(intents: &[Intent]) -> State {
    intents.iter().fold(State::default(), |state, intent| {
        apply(&state, intent)
            .unwrap_or_else(|refusal| panic!("{intent:?}: {}", refusal.sentence))
            .0
    })
}

/// A reading on which camera and film agree: ISO 100, 1/125 f/8, rated 100, at f/16 on a camera with full stops.
fn at_f16() -> State {
    let typed = |control, text: &str| Intent::Type(control, text.to_owned());
    after(&[
        Intent::Camera("full-stops".to_owned()),
        Intent::Reading(Control::Sensitivity, "100".to_owned()),
        Intent::Reading(Control::Time, "1/125".to_owned()),
        Intent::Reading(Control::Aperture, "8".to_owned()),
        typed(Control::Sensitivity, "100"),
        typed(Control::Aperture, "16"),
    ])
}

#[track_caller]
fn taken(state: &State, worked: &Worked) -> State {
    let change = worked.change.as_ref().expect("something to take over");
    state
        .with(change)
        .unwrap_or_else(|refusal| panic!("{}", refusal.sentence))
}

#[track_caller]
fn says(worked: &Worked, wanted: &str) {
    assert!(
        worked.says.iter().any(|said| said.contains(wanted)),
        "“{wanted}” is not among {:#?}",
        worked.says
    );
}

#[track_caller]
fn refuses(answer: correct::Answer, wanted: &str) {
    let NotYet::Wrong { sentence, .. } = answer.expect_err("refused") else {
        panic!("nothing is wrong, expected “{wanted}”");
    };
    assert!(
        sentence.contains(wanted)
            && sentence.starts_with(|c: char| !c.is_lowercase())
            && sentence.ends_with('.'),
        "got “{sentence}”, expected “{wanted}” in a sentence"
    );
}

/// Nothing is complained of; a field is still to be filled.
#[track_caller]
fn waits(answer: correct::Answer, field: &str) {
    match answer {
        Err(NotYet::Empty { field: at, .. }) => {
            assert_eq!(at, field, "the field that is waited for");
        }
        other => panic!("expected an empty {field}, got {other:?}"),
    }
}

/// Without a scale of the device's own.
fn by_stops(
    state: &State,
    kind: LineKind,
    name: &str,
    gives: &str,
    stops: &str,
) -> correct::Answer {
    correct::by_stops(state, kind, name, gives, stops, &IsoScale::default())
}

fn line(state: &State, i: usize) -> (&str, f64) {
    let line = &state.lines()[i];
    (
        line.name(),
        line.effect()
            .fixed()
            .expect("the same at every setting")
            .get(),
    )
}

#[test]
fn filters_stack_on_the_ledger() {
    let state = at_f16();
    let red = correct::filter(&state, "factor", "8", "").expect("worked out");
    assert_eq!(
        red.says,
        ["Factor 8: 3 stops, an eighth of the light passes."]
    );
    let state = taken(&state, &red);
    assert_eq!(line(&state, 0), ("Filter, factor 8", -3.0));
    // The same again is a second one, not the first anew.
    let second = correct::filter(&state, "factor", "8", "").expect("worked out");
    says(
        &second,
        "With the filters that count already: factor 64, 6 stops.",
    );
    let state = taken(&state, &second);
    assert_eq!(line(&state, 1), ("Filter, factor 8 (2)", -3.0));
    // Out of print, with its source and without a typed strength.
    let polariser = correct::filter(&state, "polariser-army", "", "").expect("worked out");
    says(&polariser, "Published by: US Army SS0536, p. 18.");
    let state = taken(&state, &polariser);
    assert_eq!(line(&state, 2).0, "Polariser, the higher figure, factor 4");
    // Stops and densities as well, with a name of one's own.
    let grey = correct::filter(&state, "density", "0,9", "Grey").expect("worked out");
    says(
        &grey,
        "Density 0.9: 3 stops (2.99), about 13 % of the light passes.",
    );
    let state = taken(&state, &grey);
    assert_eq!(line(&state, 3).0, "Grey, density 0.9");
    let light = correct::filter(&state, "stops", "1 1/3", "").expect("worked out");
    says(&light, "1⅓ stops: about 40 % of the light passes.");
    assert!((state.correction().get() + 3.0 + 3.0 + 2.0 + 2.989).abs() < 1e-3);
    let ledger = derive(&state).ledger;
    assert_eq!(ledger.corrections().len(), 4, "each is a line of its own");
}

#[test]
fn filters_that_are_none() {
    let state = at_f16();
    waits(correct::filter(&state, "factor", "", ""), "filter-strength");
    refuses(
        correct::filter(&state, "factor", "red", ""),
        "“red” was not understood",
    );
    refuses(
        correct::filter(&state, "factor", "0.5", ""),
        "A filter factor has to lie between",
    );
    refuses(correct::filter(&state, "stops", "-1", ""), "without a sign");
    refuses(
        correct::filter(&state, "density", "7", ""),
        "A filter's density has to lie",
    );
    let dark = correct::filter(&state, "factor", "100000", "").expect("worked out");
    says(&dark, "do not protect eyes");
    let long = "A filter with a name that goes on and on and on and on and on and on";
    let named = correct::filter(&state, "factor", "8", long).expect("worked out");
    assert!(line(&taken(&state, &named), 0).0.ends_with(", factor 8"));
    let keys: Vec<_> = correct::filters();
    for (key, _) in &keys {
        let strength = if correct::filter_is_typed(key) {
            "2"
        } else {
            ""
        };
        assert!(correct::filter(&state, key, strength, "").is_ok(), "{key}");
    }
}

/// US Army SS0512: 450 mm on a 300 mm lens is a factor of 2.25; the same by the other ways to state it.
#[test]
fn close_ups_take_the_place_of_one_another() {
    let state = at_f16();
    for (how, focal, figure, other) in [
        ("to_film", "300", "450", ""),
        ("drawn_out", "300 mm", "15 cm", ""),
        ("magnification", "", "0.5", ""),
        ("sizes", "", "12", "24"),
        ("focus", "300", "90 cm", ""),
    ] {
        let near = correct::close_up(&state, how, focal, figure, other)
            .unwrap_or_else(|not_yet| panic!("{how}: {not_yet:?}"));
        assert_eq!(
            near.says,
            [
                "Magnification 0.5, factor 2.25: 1⅙ stops.",
                "f/16 then works like f/24."
            ],
            "{how}"
        );
        let next = taken(&state, &near);
        assert_eq!(line(&next, 0).0, "Close-up, factor 2.25");
        // Focused anew it takes the place of the first.
        let nearer = correct::close_up(&next, "magnification", "", "1", "").expect("worked out");
        let next = taken(&next, &nearer);
        assert_eq!(next.lines().len(), 1, "a lens is focused in one way only");
        assert_eq!(line(&next, 0), ("Close-up, factor 4", -2.0));
    }
    refuses(
        correct::close_up(&state, "to_film", "100", "50", ""),
        "beyond infinity focus?",
    );
    refuses(
        correct::close_up(&state, "focus", "50", "infinity", ""),
        "At infinity nothing is lost.",
    );
    refuses(
        correct::close_up(&state, "focus", "50", "4 cm", ""),
        "longer than the focal length",
    );
    refuses(
        correct::close_up(&state, "sizes", "", "12", "no"),
        "the size of the subject is typed in millimetres",
    );
}

#[test]
fn a_lens_and_a_device() {
    let state = at_f16();
    let lens = correct::lens(&state, "t_number", "f/2.8", "T/3.2").expect("worked out");
    says(
        &lens,
        "It takes about ⅓ stop (0.39): 76.6 % of the light passes.",
    );
    let state = taken(&state, &lens);
    assert_eq!(line(&state, 0).0, "Lens, T/3.2 at f/2.8");
    let share = correct::lens(&state, "per_cent", "", "63 %").expect("worked out");
    let state = taken(&state, &share);
    assert_eq!(
        (state.lines().len(), line(&state, 0).0),
        (1, "Lens, 63 % passes")
    );
    refuses(
        correct::lens(&state, "t_number", "2.8", "2"),
        "at least as large",
    );
    refuses(
        correct::lens(&state, "per_cent", "", "0.5"),
        "between 1 and 100 %",
    );

    // A device that asks for too little is made up for with more light.
    let device =
        by_stops(&state, LineKind::Device, "Old phone", "less", "1/3").expect("worked out");
    let before = state.light().light().get();
    let state = taken(&state, &device);
    assert!((before - state.light().light().get() - 1.0 / 3.0).abs() < 1e-9);
    assert_eq!(line(&state, 0).0, "Old phone");
    let other = by_stops(&state, LineKind::Device, "", "more", "1").expect("worked out");
    let state = taken(&state, &other);
    assert_eq!(line(&state, 0), ("Reading device", 1.0));
    // Anything else stands beside what is there.
    let veil =
        by_stops(&state, LineKind::Other, "Net before the lens", "less", "½").expect("worked out");
    let glass = by_stops(&state, LineKind::Other, "Window", "less", "½").expect("worked out");
    let state = taken(&taken(&state, &veil), &glass);
    assert_eq!(state.lines().len(), 4, "{:?}", state.lines());
    refuses(
        by_stops(&state, LineKind::Other, "", "less", "0"),
        "No stops",
    );
    refuses(
        by_stops(&state, LineKind::Other, "", "less", "+1"),
        "without a sign",
    );
}

#[test]
fn a_measured_shutter() {
    let state = after(&[Intent::Camera("folder".to_owned())]);
    assert!(
        correct::measured_times(&state).0.is_empty(),
        "nothing is measured yet"
    );
    let found =
        correct::measured(&state, "1/250", "times", "1/150 1/160 1/170", "").expect("worked out");
    assert_eq!(found.says[0], "1/250 gives 1/160, ⅔ of a stop more light.");
    says(&found, "from the shortest to the longest it is");
    says(&found, "Outside of a repairer's 20 %, 30 % beyond 1/100");
    // Into the camera itself: a described kind is copied first, and what is there stays as it is.
    let intent = correct::into_camera(&state, "1/250", "times", "1/160", "").expect("a camera");
    let Intent::SaveCamera(None, form) = &intent else {
        panic!("a described kind stays as it is: {intent:?}");
    };
    assert_eq!(form.times, "1s 1/2 1/5 1/10 1/25 1/50 1/100 1/250=1/160 B");
    assert!(form.name.starts_with("My "), "{form:?}");
    let own = apply(&state, &intent).expect("a camera").0;
    assert_eq!(
        own.camera().times().marks().len(),
        state.camera().times().marks().len()
    );
    assert!(correct::measured_times(&own).0[0].starts_with("1/250 gives 1/160"));
    // A second time goes into the same camera.
    let intent = correct::into_camera(&own, "1/2", "video", "144", "240").expect("a camera");
    let own = apply(&own, &intent).expect("a camera").0;
    assert_eq!(correct::measured_times(&own).0.len(), 2);
    assert_eq!(own.camera_name(), form.name);
    let next = taken(&state, &found);
    assert_eq!(next.lines()[0].name(), "Shutter, 1/250 gives 1/160");
    let [quick, slower] = ["1/250", "1/100"].map(|text| {
        let mark = |control, text| Mark::parse(control, text, Steps::Engraved).expect("a mark");
        let stop = mark(Control::Aperture, "8");
        next.lines()[0]
            .effect()
            .at(&mark(Control::Time, text), &stop)
            .get()
    });
    // 1/250 stands for 2^−8 s on an old shutter too: log2(256 / 160).
    assert!((quick - 0.6781).abs() < 1e-4, "at its own time: {quick}");
    assert!(slower.abs() < 1e-9, "and at no other: {slower}");
    // By the pictures of a video: 24 at 240 per second are a tenth.
    let slow = correct::measured(&state, "1/10", "video", "24", "240").expect("worked out");
    assert_eq!(slow.says[0], "1/10 gives what it stands for.");
    assert!(slow.change.is_none(), "there is nothing to correct");
    says(&slow, "any time between 0.096 and 1/9.6");
    let one = correct::measured(&state, "1/250", "video", "1", "240").expect("worked out");
    says(&one, "One picture tells nothing");
    refuses(
        correct::measured(&state, "1/500", "times", "1/400", ""),
        "has no such time; it has 1s 1/2",
    );
    refuses(
        correct::measured(&state, "2s", "times", "2s", ""),
        "has no such time",
    );
    refuses(
        correct::measured(&state, "1/250", "times", ";", ""),
        "The number of measurements",
    );
    waits(
        correct::measured(&state, "1/250", "times", "", ""),
        "shutter-times",
    );
    refuses(
        correct::measured(&state, "1/250", "video", "24", "0"),
        "“0” was not understood",
    );
}

/// A camera whose times were measured counts them on the dials; a line would count them twice.
#[test]
fn a_measured_camera_is_not_counted_twice() {
    let form = panel::CameraForm {
        name: "Old folder, measured".to_owned(),
        times: "1 1/2=0.6 1/25=1/29 1/250=1/160 B".to_owned(),
        apertures: "4.5-22".to_owned(),
        steps: "engraved".to_owned(),
        focal: "105".to_owned(),
    };
    let state = after(&[Intent::SaveCamera(None, form)]);
    let (rows, _) = correct::measured_times(&state);
    assert_eq!(rows.len(), 3, "{rows:?}");
    assert!(
        rows[0].starts_with("1/2 gives 0.6 s, about ⅓ of a stop more light; within a repairer's"),
        "{rows:?}"
    );
    let again = correct::measured(&state, "1/250", "times", "1/170", "").expect("worked out");
    says(&again, "counts 1/160 for it already");
    let intent = correct::into_camera(&state, "1/250", "times", "1/170", "").expect("a camera");
    assert!(
        matches!(&intent, Intent::SaveCamera(Some(_), form) if form.times == "1s 1/2=0.6 1/25=1/29 1/250=1/170 B"),
        "{intent:?}"
    );
    assert!(again.change.is_none(), "a line would count it twice");
}

#[test]
fn a_leaf_shutter_at_a_small_stop() {
    let state = at_f16();
    // EV 13 at f/16 is 1/30: too slow for the rule, which says so and can be put on the ledger all the same.
    says(
        &correct::leaf(&state).expect("worked out"),
        "At 1/30 and f/16, where the dials stand, it gives nothing more.",
    );
    let bright = after(&[
        Intent::Camera("full-stops".to_owned()),
        Intent::Reading(Control::Sensitivity, "100".to_owned()),
        Intent::Reading(Control::Time, "1/125".to_owned()),
        Intent::Reading(Control::Aperture, "16".to_owned()),
        Intent::Type(Control::Sensitivity, "400".to_owned()),
        Intent::Type(Control::Aperture, "16".to_owned()),
    ]);
    let leaf = correct::leaf(&bright).expect("worked out");
    says(
        &leaf,
        "At 1/500 and f/16, where the dials stand, it gives 1 stop more light, by the row of 1/500.",
    );
    let next = taken(&bright, &leaf);
    assert_eq!(next.lines()[0].name(), "Leaf shutter at small stops");
    // Each pair counts by itself: at f/16 it is 1/1000 that gives what was asked for, and wider stops are as they were.
    let pairs: Vec<_> = derive(&next)
        .pairs
        .into_iter()
        .map(|pair| (pair.time, pair.aperture, pair.residual))
        .collect();
    let of = |time: &str, aperture: &str| {
        let found = pairs
            .iter()
            .find(|pair| pair.0 == time && pair.1 == aperture);
        found.map(|pair| pair.2.as_str())
    };
    assert_eq!(of("1/1000", "f/16"), Some("exact"), "{pairs:?}");
    assert_ne!(of("1/500", "f/16"), Some("exact"), "{pairs:?}");
}

/// Worked case 12 on the page of long times: metered 8 s, exponent 1.31, is 15.2 s.
#[test]
fn long_times() {
    let typed = |control, text: &str| Intent::Type(control, text.to_owned());
    let state = after(&[
        Intent::Camera("full-stops".to_owned()),
        Intent::Film("black-and-white".to_owned()),
        Intent::Reading(Control::Sensitivity, "100".to_owned()),
        Intent::Reading(Control::Time, "1/2".to_owned()),
        Intent::Reading(Control::Aperture, "4".to_owned()),
        typed(Control::Sensitivity, "100"),
        typed(Control::Aperture, "16"),
    ]);
    let form = |which: &str, figure: &str| LongForm {
        which: which.to_owned(),
        figure: figure.to_owned(),
        grows: "1.62".to_owned(),
        threshold: "1".to_owned(),
        ..LongForm::default()
    };
    let film = correct::long(&state, &form("power", "1.31")).expect("worked out");
    assert_eq!(
        film.says[0],
        "As the dials stand, f/16 and EI 100: Count 15.2 s; the meter alone says 8 s."
    );
    says(&film, "Metered 8 s: count 15.2 s, about 1 stop more time");
    says(&film, "Metered 1 s: count 1 s, no difference");
    let next = taken(&state, &film);
    assert_eq!(
        next.long().map(panel::light::Long::name),
        Some("Film of your own")
    );
    assert_eq!(derive(&next).dials[0].note.as_deref(), Some("count 15.2 s"));
    // The reciprocal exponent is another field's; typed for the first it is refused.
    refuses(
        correct::long(&state, &form("power", "0.763")),
        "between 1 and 2",
    );
    refuses(
        correct::long(&state, &form("schwarzschild", "1.31")),
        "between 0.5 and 1",
    );
    assert!(correct::long(&state, &form("schwarzschild", "0.763")).is_ok());
    assert!(correct::long(&state, &form("added", "0.069")).is_ok());
    let table = |text: &str, threshold: &str| LongForm {
        which: "table".to_owned(),
        table: text.to_owned(),
        threshold: threshold.to_owned(),
        name: "My sheet".to_owned(),
        ..LongForm::default()
    };
    let sheet = correct::long(&state, &table("1 2; 10 50", "1/5")).expect("worked out");
    says(&sheet, "A table of 2 rows from 1/5 s to 10 s.");
    says(
        &sheet,
        "Metered 15 s: count 1 min 28 s, about 2½ stops more time, a guess beyond the table",
    );
    refuses(
        correct::long(&state, &table("1 2; 10 fifty", "1/5")),
        "“10 fifty” was not understood",
    );
    refuses(
        correct::long(&state, &table("1 2", "1")),
        "The first row corrects",
    );
    refuses(correct::long(&state, &table("1 2", "soon")), "in seconds");
    for (key, _) in correct::long_rules() {
        let mut form = form(&key, if key == "schwarzschild" { "0.9" } else { "1.2" });
        form.table = "10 20".to_owned();
        assert!(correct::long(&state, &form).is_ok(), "{key}");
    }
    // Colour is cautioned at times like these, and nothing is at short ones.
    let colour = apply(&state, &Intent::Film("colour-negative".to_owned()))
        .expect("worked out")
        .0;
    says(
        &correct::long(&colour, &form("power", "1.31")).expect("worked out"),
        "open the lens instead",
    );
    let dim = correct::long(&at_f16(), &form("power", "1.31")).expect("worked out");
    says(&dim, "1/30 s is for the shutter; nothing is counted.");
}

/// Worked case 4: 75 mm at 3 m, circle 0.05 mm.
#[test]
fn depth_of_field() {
    let state = at_f16();
    let found = correct::depth(&state, "75", "3", "6x4.5", "film-era", "").expect("worked out");
    assert_eq!(
        found.says[0],
        "Focused at 3 m, f/16 is sharp from 2.12 m to 5.14 m."
    );
    says(&found, "0.05 mm, film-era value, is what counts as sharp");
    says(
        &found,
        "f/4: sharp from 2.72 m to 3.35 m; hyperfocal 28.2 m",
    );
    let next = taken(&state, &found);
    let depth = next.depth().expect("it was taken");
    assert_eq!(depth.circle(), "0.05 mm, film-era value");
    let own = correct::depth(&state, "50", "infinity", "24x36", "own", "0.02").expect("worked out");
    says(&own, "0.02 mm, your own value");
    says(&own, "to infinity, but diffraction softens all of it");
    refuses(
        correct::depth(&state, "50", "2", "4x5in", "film-era", ""),
        "no value for this size",
    );
    waits(
        correct::depth(&state, "50", "2", "24x36", "own", ""),
        "depth-own",
    );
    refuses(
        correct::depth(&state, "50", "near", "24x36", "film-era", ""),
        "in metres",
    );
    refuses(
        correct::depth(&state, "50", "4 cm", "24x36", "film-era", ""),
        "longer than",
    );
    for (format, _) in correct::formats() {
        for (circle, _) in correct::circles(&format) {
            assert!(
                correct::depth(&state, "50", "2", &format, &circle, "0.03").is_ok(),
                "{circle} of {format}"
            );
        }
    }
}

#[test]
fn flash_alone_and_as_fill() {
    let state = at_f16();
    let form = FlashForm {
        guide_number: "20".to_owned(),
        unit: "metres".to_owned(),
        speed: "100".to_owned(),
        power: "full power".to_owned(),
        flashes: "1".to_owned(),
        distance: "5".to_owned(),
        job: "alone".to_owned(),
        below: "1".to_owned(),
        contact: "leaf_x".to_owned(),
        sync: "1/60".to_owned(),
        source: "electronic".to_owned(),
        ..FlashForm::default()
    };
    let with = |change: &dyn Fn(&mut FlashForm)| {
        let mut form = form.clone();
        change(&mut form);
        correct::flash(&state, &form)
    };
    // A camera's manual, p. 67: guide number 20 at ISO 100, 5 m, f/4.
    let alone = with(&|_| ()).expect("worked out");
    assert_eq!(
        alone.says[..3],
        [
            "Guide number 20 in metres, 65.6 in feet, at EI 100.",
            "At 5 m it asks for f/4: set f/4.",
            "f/4 is right at 5 m."
        ]
    );
    assert!(alone.change.is_none(), "a flash changes no reading");
    let odd = with(&|form| form.distance = "4.2".to_owned()).expect("worked out");
    says(
        &odd,
        "it asks for f/4.8: set f/4, ½ stop more light from the flash.",
    );
    let half = with(&|form| form.power = "1/4".to_owned()).expect("worked out");
    says(&half, "Guide number 10 in metres");
    // As fill at f/16 a flash of 20 has to stand near.
    let fill = with(&|form| form.job = "fill".to_owned()).expect("worked out");
    says(
        &fill,
        "For fill 1 stop below the daylight at f/16: at full power it stands 1.77 m from the subject.",
    );
    says(
        &fill,
        "From 5 m it is too weak even at full power: 3 stops less light than wished.",
    );
    // At the power that is proposed, and not for the fill that was wished: the flash is 4 stops below the daylight, [CALC]
    // log2(1 + 1/16).
    says(
        &fill,
        "At full power from 5 m, what both reach gets about ⅙ stop more light than by daylight alone.",
    );
    let near = with(&|form| {
        form.job = "fill".to_owned();
        form.distance = "0.5".to_owned();
    })
    .expect("worked out");
    says(
        &near,
        "turn it down by about 3⅔ stops: 1/16, which gives about ⅓ stop less light than wished.",
    );
    // 1.36 stops below the daylight: [CALC] log2(1 + 2^-1.356) is 0.477.
    says(
        &near,
        "At 1/16 from 0.5 m, what both reach gets about ½ stop more light than by daylight alone.",
    );
    let slow = with(&|form| form.contact = "leaf_m".to_owned()).expect("worked out");
    says(
        &slow,
        "The dials stand at 1/30. M contacts fire before the blades open",
    );
    let curtain = with(&|form| {
        form.contact = "focal_plane".to_owned();
        form.sync = "1/15".to_owned();
    })
    .expect("worked out");
    says(&curtain, "only a part of the picture");
    refuses(
        with(&|form| form.distance = "infinity".to_owned()),
        "does not reach to infinity",
    );
    refuses(
        with(&|form| form.guide_number = "big".to_owned()),
        "a guide number is typed",
    );
    refuses(
        with(&|form| form.flashes = "0.5".to_owned()),
        "The number of flashes",
    );
    refuses(
        with(&|form| form.speed = "x".to_owned()),
        "was not understood",
    );
    refuses(
        with(&|form| {
            form.job = "fill".to_owned();
            form.below = "7".to_owned();
        }),
        "How far fill stays below the daylight",
    );
    // A filter takes the flash's light too: half of it, so that it stands nearer by the root of two.
    let filtered = state
        .with(&Change::Line(
            Line::new(
                LineKind::Filter,
                "Filter, factor 2",
                exposure::Stops::constant(-1.0),
            )
            .expect("worked out"),
        ))
        .expect("worked out");
    let mut fill = form.clone();
    fill.job = "fill".to_owned();
    let filtered = correct::flash(&filtered, &fill).expect("worked out");
    says(
        &filtered,
        "Guide number 14.1 in metres, 46.4 in feet, at EI 100; what stands before the film is in it: 1 stop less light.",
    );
    says(
        &filtered,
        "at full power it stands 1.25 m from the subject.",
    );
}

/// Guide number 64 at 4 m is f/16 at full power (64 / 4); each power half of the one before, each distance the root of two from
/// the next. What both lights give together is [CALC] log2(1 + 2^flash).
#[test]
fn a_series_by_flash() {
    let state = at_f16();
    let form = FlashForm {
        guide_number: "64".to_owned(),
        speed: "100".to_owned(),
        flashes: "1".to_owned(),
        distance: "4".to_owned(),
        job: "fill".to_owned(),
        below: "1".to_owned(),
        bracket: "power".to_owned(),
        less: "1".to_owned(),
        more: "2".to_owned(),
        step: "one".to_owned(),
        ..FlashForm::default()
    };
    let frames = |state: &State, form: &FlashForm| {
        let worked = correct::flash(state, form).expect("worked out");
        let frames = worked.says.into_iter();
        frames
            .filter(|said| said.starts_with("Frame "))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        frames(&state, &form),
        [
            "Frame 1: 1/4; the flashed part gets ⅓ stop more light than asked for, the ambient part as much light as asked for.",
            "Frame 2: 1/2; the flashed part gets about ⅔ stop more light than asked for, the ambient part as much light as asked for.",
            "Frame 3: full power; the flashed part gets 1 stop more light than asked for, the ambient part as much light as asked for.",
            "Frame 4: full power; the flashed part gets 1 stop more light than asked for, the ambient part as much light as asked for; \
             no stronger power: 1 stop less light from the flash than wished; same as frame 3.",
        ]
    );
    let by_distance = FlashForm {
        bracket: "distance".to_owned(),
        ..form.clone()
    };
    let far = frames(&state, &by_distance);
    for (frame, start) in far.iter().zip([
        "Frame 1: 5.66 m; the flashed part gets ⅓ stop more light",
        "Frame 2: 4 m; the flashed part gets about ⅔ stop more light",
        "Frame 3: 2.83 m; the flashed part gets 1 stop more light",
        "Frame 4: 2 m; the flashed part gets about 1⅔ stops more light",
    ]) {
        assert!(frame.starts_with(start), "{far:#?}");
    }
    assert_eq!(far.len(), 4, "{far:#?}");
    // In third stops, with thirds; and what the unit does not have is said.
    let mut thirds = form.clone();
    thirds.step = "third".to_owned();
    thirds.more = "1".to_owned();
    let nearest = frames(&state, &thirds);
    assert!(
        nearest[0].contains("Frame 1: 1/2; ")
            && nearest[0].contains("nearest power: ⅓ stop more light from the flash than wished"),
        "{nearest:#?}"
    );
    thirds.powers = "thirds".to_owned();
    let exact = frames(&state, &thirds);
    assert!(
        exact[0].starts_with("Frame 1: 1/4 and ⅔ stop more; ")
            && exact[2].starts_with("Frame 3: 1/2 and ⅓ stop more; ")
            && !exact.concat().contains("wished"),
        "{exact:#?}"
    );
    // A unit that has full power and a quarter only.
    let own = FlashForm {
        powers: "own".to_owned(),
        own_powers: "full 1/4".to_owned(),
        ..form.clone()
    };
    let worked = correct::flash(&state, &own).expect("worked out");
    says(
        &worked,
        "From 4 m set it to full power, which gives 1 stop more light than wished.",
    );
    let two = frames(&state, &own);
    assert!(
        two[0].starts_with("Frame 1: 1/4;") && two[1].starts_with("Frame 2: full power;"),
        "{two:#?}"
    );
    // Daylight that is not right by itself: a stop more than the reading asks for, and the fill stays below that.
    let typed = |state: &State, intent| apply(state, &intent).expect("worked out").0;
    let held = [Control::Time, Control::Aperture, Control::Sensitivity]
        .into_iter()
        .fold(state.clone(), |state, control| {
            typed(&state, Intent::Hold(control, control != Control::Time))
        });
    let bright = typed(&held, Intent::Type(Control::Time, "1/15".to_owned()));
    let worked = correct::flash(&bright, &form).expect("worked out");
    says(&worked, "From 4 m it is right at full power.");
    says(
        &worked,
        "At the dials' setting the daylight alone gives 1 stop more light than asked for, both together about 1⅔ stops more light than asked for.",
    );
    assert!(
        frames(&bright, &form)[1].ends_with("the ambient part 1 stop more light than asked for."),
        "{:#?}",
        frames(&bright, &form)
    );
    // Alone: by its power from where it was set, and by its distance.
    let alone = FlashForm {
        job: "alone".to_owned(),
        power: "1/2".to_owned(),
        ..form
    };
    let dark = frames(&state, &alone);
    assert_eq!(
        dark[..3],
        [
            "Frame 1: 1/4; the flashed part gets 1 stop less light than asked for.",
            "Frame 2: 1/2; the flashed part gets as much light as asked for.",
            "Frame 3: full power; the flashed part gets 1 stop more light than asked for.",
        ]
    );
}

/// The oldest correction of all. A third of a stop is one figure of the list, ISO 100 to 80 to 64 (three degrees DIN to a stop,
/// ISO 5800; US Army SS0512: ISO 100 for a factor of 1.5 is about ISO 64).
#[test]
fn what_to_set_on_a_device_instead() {
    let state = at_f16();
    let device = |stops, gives, which: &str, list: &str| {
        let scale = IsoScale {
            which: which.to_owned(),
            list: list.to_owned(),
        };
        correct::by_stops(&state, LineKind::Device, "Old phone", gives, stops, &scale)
    };
    for (stops, gives, which, list, wanted) in [
        (
            "2/3",
            "less",
            "thirds",
            "",
            "Or set it on the device: ISO 64 instead of 100. Its readings are then right by themselves. Type them with ISO 100 all the same.",
        ),
        (
            "1 1/3",
            "more",
            "thirds",
            "",
            "ISO 250 instead of 100. Its readings are then right by themselves.",
        ),
        (
            "2/3",
            "less",
            "full",
            "",
            "ISO 50 instead of 100. That leaves ⅓ stop more light on the film than there should be.",
        ),
        (
            "1/3",
            "less",
            "full",
            "",
            "On the device itself nothing nearer than ISO 100 can be set.",
        ),
        (
            "1",
            "less",
            "own",
            "100..6400",
            "On the device itself nothing nearer than ISO 100 can be set.",
        ),
        (
            "2",
            "less",
            "own",
            "40 100 250",
            "ISO 40 instead of 100. Its scale ends there. That leaves ⅔ stop less light on the film than there should be.",
        ),
        // Half a stop lies between two marks: the one that gives more light.
        (
            "1/2",
            "less",
            "thirds",
            "",
            "ISO 64 instead of 100. That leaves ⅙ stop more light on the film",
        ),
    ] {
        let worked = device(stops, gives, which, list)
            .unwrap_or_else(|not_yet| panic!("{stops}: {not_yet:?}"));
        says(&worked, wanted);
        says(&worked, "Either the line or the setting counts, never both");
    }
    waits(device("1", "less", "own", ""), "device-iso");
    let bad = device("1", "less", "own", "100 fast").expect_err("no list");
    assert!(bad.wrong_at("device-iso").contains("“fast”"), "{bad:?}");
    // The line that counts says the same, and can be left out or made what remains.
    let scale = IsoScale::default();
    assert_eq!(
        correct::device_line(&state, &scale),
        Ok(None),
        "no device is off"
    );
    let counted = taken(
        &state,
        &device("1/2", "less", "thirds", "").expect("worked out"),
    );
    let found = correct::device_line(&counted, &scale)
        .expect("a scale")
        .expect("a line");
    assert!(found.says[0].contains("ISO 64 instead of 100"), "{found:?}");
    let out = counted.with(&found.leave_out).expect("it is there");
    assert!(out.correction().is_even(), "left out, not counted twice");
    assert_eq!(
        correct::device_line(&out, &scale),
        Ok(None),
        "nothing is said of a line that is left out"
    );
    let rest = counted
        .with(&found.remains.expect("a sixth"))
        .expect("a line");
    assert_eq!(rest.lines().len(), 1, "in the place of the other");
    assert_eq!(line(&rest, 0).0, "Old phone, set to ISO 64");
    assert!(
        (line(&rest, 0).1 - 1.0 / 6.0).abs() < 1e-9,
        "{:?}",
        line(&rest, 0)
    );
    // A device of the kit says it as well.
    let device = Device {
        correction_twelfths: 4,
        ..Device::new("old", "Old hand meter", DeviceSteps::Thirds)
    };
    let kit = correct::kit_devices(&state, &[device]);
    assert!(kit[0].instead.contains("ISO 80 instead of 100"), "{kit:?}");
}

/// A form that nobody touched has nothing to complain of, whatever is chosen in it.
#[test]
fn an_untouched_form_complains_of_nothing() {
    let state = at_f16();
    let mut answers = Vec::new();
    for kind in [LineKind::Device, LineKind::Other] {
        for (scale, _) in correct::ISO_SCALES {
            let scale = IsoScale {
                which: scale.to_owned(),
                list: String::new(),
            };
            answers.push(correct::by_stops(&state, kind, "", "less", "", &scale));
        }
    }
    for (which, _) in correct::filters() {
        answers.push(correct::filter(&state, &which, "", ""));
    }
    for (how, _) in correct::CLOSE_UPS {
        for focal in ["", "50"] {
            answers.push(correct::close_up(&state, how, focal, "", ""));
        }
    }
    for (how, _) in correct::LENSES {
        answers.push(correct::lens(&state, how, "", ""));
    }
    for how in ["times", "video"] {
        answers.push(correct::measured(&state, "", how, "", "240"));
    }
    answers.push(correct::leaf(&state));
    for (which, _) in correct::long_rules() {
        // As the page starts them.
        let figure = if which == "power" { "1.31" } else { "" };
        let form = LongForm {
            figure: figure.to_owned(),
            which,
            grows: "1.62".to_owned(),
            threshold: "1".to_owned(),
            ..LongForm::default()
        };
        answers.push(correct::long(&state, &form));
    }
    for (format, _) in correct::formats() {
        for (circle, _) in correct::circles(&format) {
            for focal in ["", "50"] {
                answers.push(correct::depth(&state, focal, "", &format, &circle, ""));
            }
        }
    }
    for job in ["alone", "fill"] {
        for (powers, _) in correct::POWERS {
            for (bracket, _) in correct::BRACKETS {
                let form = FlashForm {
                    speed: "ISO 100".to_owned(),
                    powers: powers.to_owned(),
                    flashes: "1".to_owned(),
                    job: job.to_owned(),
                    below: "1".to_owned(),
                    sync: "1/60".to_owned(),
                    bracket: bracket.to_owned(),
                    ..FlashForm::default()
                };
                answers.push(correct::flash(&state, &form));
            }
        }
    }
    for answer in answers {
        if let Err(NotYet::Wrong { field, sentence }) = answer {
            panic!("{field} complains: {sentence}");
        }
    }
}

/// What cannot be is said at the field where it was typed, also while another one is still empty.
#[test]
fn what_is_wrong_is_said_where_it_was_typed() {
    let state = at_f16();
    let long = |which: &str, figure: &str, grows: &str, table: &str, threshold: &str| {
        let form = LongForm {
            which: which.to_owned(),
            figure: figure.to_owned(),
            grows: grows.to_owned(),
            table: table.to_owned(),
            threshold: threshold.to_owned(),
            name: String::new(),
        };
        correct::long(&state, &form)
    };
    let flash = |change: &dyn Fn(&mut FlashForm)| {
        let mut form = FlashForm {
            guide_number: "20".to_owned(),
            speed: "100".to_owned(),
            flashes: "1".to_owned(),
            distance: "5".to_owned(),
            job: "fill".to_owned(),
            below: "1".to_owned(),
            contact: "focal_plane".to_owned(),
            sync: "1/60".to_owned(),
            ..FlashForm::default()
        };
        change(&mut form);
        correct::flash(&state, &form)
    };
    let near = |how, focal, figure, other| correct::close_up(&state, how, focal, figure, other);
    let depth = |focal, distance, circle, own| {
        correct::depth(&state, focal, distance, "4x5in", circle, own)
    };
    for (answer, field, says) in [
        // Nearer than the focal length, and a T-number below the f-number: no such thing.
        (
            near("focus", "50", "4 cm", ""),
            "close-distance",
            "longer than the focal length",
        ),
        (
            near("focus", "50", "50 mm", ""),
            "close-distance",
            "longer than the focal length",
        ),
        (near("focus", "", "red", ""), "close-distance", "“red”"),
        (
            near("focus", "9000", "", ""),
            "close-focal",
            "A focal length has to lie between",
        ),
        (
            near("to_film", "100", "50", ""),
            "close-to-film",
            "beyond infinity focus?",
        ),
        (near("drawn_out", "100", "x", ""), "close-drawn-out", "“x”"),
        (
            near("sizes", "", "12", "0.01"),
            "close-subject",
            "A magnification has to lie",
        ),
        (
            near("magnification", "", "99", ""),
            "close-magnification",
            "A magnification",
        ),
        (
            correct::lens(&state, "t_number", "2.8", "2"),
            "lens-t",
            "at least as large as its f-number",
        ),
        (
            correct::lens(&state, "t_number", "", "fast"),
            "lens-t",
            "“fast”",
        ),
        (
            correct::lens(&state, "t_number", "0.1", "2"),
            "lens-f",
            "An aperture has to lie",
        ),
        (
            correct::lens(&state, "by_stop", "", "2.8 2"),
            "lens-stops",
            "at least as large as its f-number",
        ),
        (
            correct::lens(&state, "per_cent", "", "0.5"),
            "lens-share",
            "between 1 and 100 %",
        ),
        (
            correct::filter(&state, "factor", "0.5", ""),
            "filter-strength",
            "A filter factor",
        ),
        (
            by_stops(&state, LineKind::Other, "", "less", "0"),
            "plain-stops",
            "No stops",
        ),
        (
            by_stops(&state, LineKind::Other, &"n".repeat(61), "less", "1"),
            "plain-name",
            "60 characters",
        ),
        (
            by_stops(&state, LineKind::Other, "", "less", "21"),
            "plain-stops",
            "20 stops at most",
        ),
        (
            correct::measured(&state, "1/7", "times", "", ""),
            "shutter-mark",
            "has no such time",
        ),
        (
            correct::measured(&state, "", "times", "quick", ""),
            "shutter-times",
            "“quick”",
        ),
        (
            correct::measured(&state, "1/125", "video", "2", "0"),
            "shutter-rate",
            "“0”",
        ),
        (
            long("power", "0.763", "", "", "1"),
            "long-exponent",
            "between 1 and 2",
        ),
        (
            long("schwarzschild", "1.31", "", "", "1"),
            "long-inverse",
            "between 0.5 and 1",
        ),
        (
            long("power", "", "", "", "soon"),
            "long-threshold",
            "in seconds",
        ),
        (
            long("added", "0.05", "9", "", "1"),
            "long-grows",
            "The exponent of what is added",
        ),
        (
            long("table", "", "", "1 2", "1"),
            "long-table",
            "The first row corrects",
        ),
        (
            depth("50", "4 cm", "diagonal/1500", ""),
            "depth-distance",
            "longer than the focal length",
        ),
        (
            depth("", "2", "film-era", ""),
            "depth-circle",
            "no value for this size",
        ),
        (
            depth("", "", "own", "9"),
            "depth-own",
            "A circle of confusion has to lie",
        ),
        (
            flash(&|form| form.distance = "infinity".to_owned()),
            "flash-distance",
            "does not reach",
        ),
        (
            flash(&|form| form.guide_number = "0.01".to_owned()),
            "flash-number",
            "A guide number",
        ),
        (
            flash(&|form| form.flashes = "0.5".to_owned()),
            "flash-count",
            "The number of flashes",
        ),
        (
            flash(&|form| form.speed = "x".to_owned()),
            "flash-speed",
            "“x”",
        ),
        (
            flash(&|form| form.below = "7".to_owned()),
            "flash-below",
            "How far fill stays",
        ),
        (
            flash(&|form| form.sync = "soon".to_owned()),
            "flash-sync",
            "“soon”",
        ),
        (
            flash(&|form| {
                form.powers = "own".to_owned();
                form.own_powers = "1 2".to_owned();
            }),
            "flash-powers",
            "The share of the full power",
        ),
    ] {
        let not_yet = answer.expect_err(says);
        assert!(
            not_yet.wrong_at(field).contains(says),
            "{not_yet:?} at {field}, expected “{says}”"
        );
    }
}

/// T-numbers at several stops: the lens is asked anew for each setting.
#[test]
fn a_lens_by_its_t_numbers() {
    let state = at_f16();
    let lens = correct::lens(&state, "by_stop", "", "f/2.8 = T/3.2; 16 16.2").expect("worked out");
    says(&lens, "As the dials stand, f/16: under ⅙ stop (0.04).");
    // [CALC] 2 log2(3.2 / 2.8).
    says(&lens, "f/2.8: about ⅓ stop (0.39)");
    let next = taken(&state, &lens);
    let [time, _, _] = next.set();
    let at = |stop: &str| {
        let stop = Mark::parse(Control::Aperture, stop, Steps::Full).expect("a stop");
        next.lines()[0].effect().at(&time, &stop).get()
    };
    assert!((at("2.8") + 0.3853).abs() < 1e-4, "{}", at("2.8"));
    assert!((at("16") + 0.0358).abs() < 1e-4, "{}", at("16"));
    // A flash goes through it as well, at the stop that it asks for.
    let form = FlashForm {
        guide_number: "20".to_owned(),
        speed: "100".to_owned(),
        flashes: "1".to_owned(),
        distance: "7.0711".to_owned(),
        job: "alone".to_owned(),
        ..FlashForm::default()
    };
    let flash = correct::flash(&next, &form).expect("worked out");
    // Without the lens it would ask for f/2.83; through it for f/2.5, and f/2.8 is a third short: f/2 gives enough.
    says(&flash, "set f/2, ");
}

fn any_typed() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[0-9]{1,7}([.,/][0-9]{1,4})?( ?(mm|cm|m|s|min|%|ft))?",
        "[0-9 .,;:=smin/→⅓½-]{0,30}",
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is typed is answered with sentences or refused with one, the dial can take what is offered, and no bare sign
    /// is ever said.
    #[test]
    fn anything_typed(a in any_typed(), b in any_typed(), c in any_typed(), pick in 0..30_usize) {
        let state = at_f16();
        let key = |rows: Vec<correct::Row>| rows[pick % rows.len()].0.clone();
        let close_up = correct::CLOSE_UPS[pick % correct::CLOSE_UPS.len()].0;
        let long = LongForm {
            which: key(correct::long_rules()),
            figure: a.clone(),
            grows: b.clone(),
            table: a.clone(),
            threshold: c.clone(),
            name: b.clone(),
        };
        let flash = FlashForm {
            guide_number: a.clone(),
            unit: ["metres", "feet"][pick % 2].to_owned(),
            speed: "100".to_owned(),
            powers: ["whole", "thirds", "own"][pick % 3].to_owned(),
            own_powers: c.clone(),
            power: "1/4".to_owned(),
            flashes: "1".to_owned(),
            distance: b.clone(),
            job: ["alone", "fill"][pick % 2].to_owned(),
            below: c.clone(),
            contact: ["leaf_x", "leaf_m", "focal_plane"][pick % 3].to_owned(),
            sync: c.clone(),
            source: ["electronic", "bulb"][pick % 2].to_owned(),
            bracket: ["none", "power", "distance"][pick % 3].to_owned(),
            less: (pick % 7).to_string(),
            more: (pick % 5).to_string(),
            step: correct::STEPS[pick % 4].0.to_owned(),
        };
        let scale = IsoScale {
            which: ["thirds", "full", "own"][pick % 3].to_owned(),
            list: c.clone(),
        };
        for answer in [
            correct::filter(&state, &key(correct::filters()), &a, &b),
            correct::close_up(&state, close_up, &a, &b, &c),
            correct::lens(&state, ["t_number", "by_stop", "per_cent"][pick % 3], &a, &b),
            correct::by_stops(&state, [LineKind::Other, LineKind::Device][pick % 2], &a, "less", &b, &scale),
            correct::measured(&state, "1/125", ["times", "video"][pick % 2], &a, &b),
            correct::long(&state, &long),
            correct::depth(&state, &a, &b, "24x36", "own", &c),
            correct::flash(&state, &flash),
        ] {
            match answer {
                Ok(worked) => {
                    prop_assert!(worked.says.iter().all(|said| !said.is_empty() && !said.contains(['−'])), "{:?}", worked.says);
                    if let Some(change) = worked.change {
                        // The dial may still refuse, in a sentence, what leads beyond any light.
                        if let Err(refusal) = state.with(&change) {
                            prop_assert!(refusal.sentence.ends_with('.'));
                        }
                    }
                }
                Err(NotYet::Wrong { sentence, .. }) => prop_assert!(sentence.ends_with('.'), "{sentence}"),
                Err(empty @ NotYet::Empty { .. }) => prop_assert!(empty.waits().ends_with('.')),
            }
        }
    }
}
