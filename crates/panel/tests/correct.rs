//! The forms of corrections: what is typed, what is said, and what the dial takes over.

use exposure::{Mark, Steps};
use panel::{
    Control, Intent, State, apply,
    correct::{self, FlashForm, LongForm, Worked},
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
    let refusal = answer.expect_err("refused");
    assert!(
        refusal.sentence.contains(wanted)
            && refusal.sentence.starts_with(|c: char| !c.is_lowercase())
            && refusal.sentence.ends_with('.'),
        "got “{}”, expected “{wanted}” in a sentence",
        refusal.sentence
    );
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
    refuses(
        correct::filter(&state, "factor", "", ""),
        "Nothing was typed",
    );
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
            .unwrap_or_else(|refusal| panic!("{how}: {}", refusal.sentence));
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
    let lens = correct::lens("t_number", "f/2.8", "T/3.2").expect("worked out");
    says(
        &lens,
        "It takes about ⅓ stop (0.39): 76.6 % of the light passes.",
    );
    let state = taken(&state, &lens);
    assert_eq!(line(&state, 0).0, "Lens, T/3.2 at f/2.8");
    let share = correct::lens("per_cent", "", "63 %").expect("worked out");
    let state = taken(&state, &share);
    assert_eq!(
        (state.lines().len(), line(&state, 0).0),
        (1, "Lens, 63 % passes")
    );
    refuses(correct::lens("t_number", "2.8", "2"), "at least as large");
    refuses(correct::lens("per_cent", "", "0.5"), "between 1 and 100 %");

    // A device that asks for too little is made up for with more light.
    let device =
        correct::by_stops(LineKind::Device, "Old phone", "less", "1/3").expect("worked out");
    let before = state.light().light().get();
    let state = taken(&state, &device);
    assert!((before - state.light().light().get() - 1.0 / 3.0).abs() < 1e-9);
    assert_eq!(line(&state, 0).0, "Old phone");
    let other = correct::by_stops(LineKind::Device, "", "more", "1").expect("worked out");
    let state = taken(&state, &other);
    assert_eq!(line(&state, 0), ("Reading device", 1.0));
    // Anything else stands beside what is there.
    let veil =
        correct::by_stops(LineKind::Other, "Net before the lens", "less", "½").expect("worked out");
    let glass = correct::by_stops(LineKind::Other, "Window", "less", "½").expect("worked out");
    let state = taken(&taken(&state, &veil), &glass);
    assert_eq!(state.lines().len(), 4, "{:?}", state.lines());
    refuses(
        correct::by_stops(LineKind::Other, "", "less", "0"),
        "No stops",
    );
    refuses(
        correct::by_stops(LineKind::Other, "", "less", "+1"),
        "without a sign",
    );
}

#[test]
fn a_measured_shutter() {
    let state = after(&[Intent::Camera("folder".to_owned())]);
    assert!(
        correct::measured_times(&state).is_empty(),
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
    assert!(correct::measured_times(&own)[0].starts_with("1/250 gives 1/160"));
    // A second time goes into the same camera.
    let intent = correct::into_camera(&own, "1/2", "video", "144", "240").expect("a camera");
    let own = apply(&own, &intent).expect("a camera").0;
    assert_eq!(correct::measured_times(&own).len(), 2);
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
        correct::measured(&state, "1/250", "times", "", ""),
        "The number of measurements",
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
    let rows = correct::measured_times(&state);
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
    says(&dim, "as metered");
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
    refuses(
        correct::depth(&state, "50", "2", "24x36", "own", ""),
        "Nothing was typed",
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
        power: "1".to_owned(),
        flashes: "1".to_owned(),
        distance: "5".to_owned(),
        job: "alone".to_owned(),
        below: "1".to_owned(),
        contact: "leaf_x".to_owned(),
        sync: "1/60".to_owned(),
        source: "electronic".to_owned(),
    };
    let with = |change: &dyn Fn(&mut FlashForm)| {
        let mut form = form.clone();
        change(&mut form);
        correct::flash(&state, &form)
    };
    // A camera's manual, p. 67: guide number 20 at ISO 100, 5 m, f/4.
    let alone = with(&|_| ()).expect("worked out");
    assert_eq!(
        alone.says,
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
    says(
        &fill,
        "What both reach gets about ⅔ stop more light than by daylight alone.",
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
    // A filter takes the flash's light too.
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
    says(
        &correct::flash(&filtered, &fill).expect("worked out"),
        "take the flash's light as well",
    );
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
            power: key(correct::powers()),
            flashes: "1".to_owned(),
            distance: b.clone(),
            job: ["alone", "fill"][pick % 2].to_owned(),
            below: c.clone(),
            contact: ["leaf_x", "leaf_m", "focal_plane"][pick % 3].to_owned(),
            sync: c.clone(),
            source: ["electronic", "bulb"][pick % 2].to_owned(),
        };
        for answer in [
            correct::filter(&state, &key(correct::filters()), &a, &b),
            correct::close_up(&state, close_up, &a, &b, &c),
            correct::lens(["t_number", "per_cent"][pick % 2], &a, &b),
            correct::by_stops(LineKind::Other, &a, "less", &b),
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
                Err(refusal) => prop_assert!(!refusal.sentence.is_empty()),
            }
        }
    }
}
