//! What the dial hands over arrives in the film book as it was.

use book::{Device, DeviceSteps};
use exposure::{Doubt, LongTimes, Stops};
use panel::{
    CameraForm, Control, Intent, State, apply, derive,
    handover::{self, Series},
    light::{Change, Found, Line, LineKind, Long},
};

fn after(state: &State, intents: &[Intent]) -> State {
    intents.iter().fold(state.clone(), |state, intent| {
        apply(&state, intent).expect("a valid intent").0
    })
}

#[test]
fn the_first_series_arrives_as_the_strip_shows_it() {
    let state = State::default();
    let series = Series::read(&handover::text(&state)).expect("whole");
    let strip = derive(&state).bracket.frames;
    assert_eq!(series.frames.len(), strip.len(), "as many frames");
    for (frame, cell) in series.frames.iter().zip(&strip) {
        assert_eq!(frame.set.time.shown(), cell.set, "the time that changes");
        assert_eq!(
            frame.set.aperture.shown(),
            cell.leave,
            "the aperture that stays"
        );
    }
    assert_eq!(
        series.frames[3].more_light_twelfths, 36,
        "three stops more light"
    );
    assert_eq!(series.scene.rating.shown(), "ISO 100", "the rating");
    assert_eq!(series.box_speed.shown(), "ISO 400", "box speed");
}

#[test]
fn measured_times_and_stepless_rings_arrive_exactly() {
    let form = CameraForm {
        name: "Garden folder (invented)".to_owned(),
        times: "B 1 1/2 1/5 1/10 1/25 1/50 1/100 1/250=1/160".to_owned(),
        apertures: "4.5-22".to_owned(),
        steps: "engraved".to_owned(),
        focal: "105".to_owned(),
    };
    let state = after(
        &State::default(),
        &[
            Intent::SaveCamera(None, form),
            Intent::Type(Control::Time, "1/250".to_owned()),
            Intent::BracketBy("aperture".to_owned()),
            Intent::BracketUnder(1),
        ],
    );
    let series = Series::read(&handover::text(&state)).expect("whole");
    let mark = series.scene.base.time.mark();
    let measured = mark.measured().expect("the time was measured");
    assert!((measured - 1.0 / 160.0).abs() < 1e-9, "{measured}");
    assert_eq!(
        series.frames[0].more_light_twelfths, -12,
        "one stop less light first"
    );
    assert_eq!(
        series.camera, "Garden folder (invented)",
        "the camera's name"
    );
}

#[test]
fn damage_is_a_sentence_and_no_panic() {
    let text = handover::text(&State::default());
    for cut in 0..text.len() {
        let error = Series::read(&text[..cut]).expect_err("half a series");
        assert!(error.sentence.ends_with('.'), "{}", error.sentence);
    }
    for damaged in [
        text.replace("1/125", "1/0"),
        text.replace("\"frames\"", "\"frame\""),
        text.replace("\"0.0\",", ""),
        text.replace("ISO 400", "ISO 0"),
    ] {
        assert_ne!(damaged, text, "something was damaged");
        Series::read(&damaged).expect_err("not what the dial hands over");
    }
}

/// What is not planned leaves a series the same one; whatever is planned otherwise makes another one of it.
#[test]
fn a_series_has_an_id_that_follows_the_plan() {
    let id = |intents: &[Intent]| handover::id(&handover::text(&after(&State::default(), intents)));
    let first = id(&[]);
    assert_eq!(
        Series::read(&handover::text(&State::default()))
            .expect("whole")
            .id,
        first,
        "both programs know it by the same id"
    );
    for same in [
        Intent::Theme("dusk".to_owned()),
        Intent::Tick(false),
        Intent::HandLimit("1/30".to_owned()),
        Intent::Hold(Control::Time, true),
    ] {
        assert_eq!(id(std::slice::from_ref(&same)), first, "{same:?}");
    }
    let turned = Intent::Type(Control::Time, "1/60".to_owned());
    let back = Intent::Type(Control::Time, "1/125".to_owned());
    assert_eq!(id(&[turned.clone(), back]), first, "out and back");
    for other in [
        turned,
        Intent::BracketOver(2),
        Intent::BracketOrder("falling".to_owned()),
        Intent::BoxSpeed("200".to_owned()),
        Intent::Film("slide".to_owned()),
        Intent::Camera("box".to_owned()),
        Intent::Reading(Control::Sensitivity, "400".to_owned()),
    ] {
        assert_ne!(id(std::slice::from_ref(&other)), first, "{other:?}");
    }
}

#[test]
fn corrections_go_into_the_log_with_the_reading() {
    let times = LongTimes::power(1.31, 1.0).expect("within the ranges");
    let line = |name, stops| {
        Line::new(LineKind::Filter, name, Stops::constant(stops)).expect("a short name")
    };
    let state = [
        Change::Line(line("Red, factor 8", -3.0)),
        Change::Line(line("Left out", -1.0).counted(false)),
        Change::Long(Some(
            Long::new("A film (invented)", times).expect("a short name"),
        )),
    ]
    .iter()
    .fold(State::default(), |state, change| {
        state.with(change).expect("a change that can be taken")
    });
    let light = Series::read(&handover::text(&state))
        .expect("whole")
        .scene
        .light;
    let kept: Vec<_> = light
        .corrections
        .iter()
        .map(|one| (one.name.as_str(), one.thousandths))
        .collect();
    assert_eq!(kept, [("Red, factor 8", -3000)], "what counts, and no more");
    let long = light.long_times.expect("what the film needs");
    assert_eq!(
        long.words(),
        "long times by A film (invented), exponent 1.31 beyond 1 s",
        "how it was counted"
    );
    assert_eq!(light.method, "", "the reading was typed");
}

#[test]
fn a_doubt_goes_into_the_log_with_its_reading() {
    let light = |state: &State| {
        Series::read(&handover::text(state))
            .expect("whole")
            .scene
            .light
    };
    let state = State::default();
    assert_eq!(light(&state).doubt(), None, "a typed reading says nothing");
    let found = Found {
        from: "scene table: open shade".to_owned(),
        doubt: Some(Doubt::constant(1.0)),
        ..Found::of(&state)
    };
    let state = state.with(&Change::Take(found)).expect("a reading");
    assert_eq!(light(&state).doubt(), Some(Doubt::constant(1.0)), "kept");
    assert_eq!(
        light(&state).read_words(),
        "Read as 1/125, f/8 at ISO 200, give or take 1 stop (scene table: open shade).",
        "and said"
    );
}

#[test]
fn a_device_is_not_corrected_twice() {
    let effect = Stops::constant(-1.0 / 3.0);
    let line = Line::new(LineKind::Device, "Old hand meter", effect).expect("a short name");
    let state = State::default()
        .with(&Change::Line(line))
        .expect("a correction");
    let light = Series::read(&handover::text(&state))
        .expect("whole")
        .scene
        .light;
    assert!(
        light.corrections[0].is_of_device(),
        "{:?}",
        light.corrections
    );
    let device = Device {
        id: "old".to_owned(),
        name: "Old hand meter".to_owned(),
        steps: DeviceSteps::Thirds,
        correction_twelfths: 4,
        note: String::new(),
    };
    let taken = light.taken_with(&device);
    assert!(
        taken.corrections.is_empty(),
        "the device of the kit takes its place"
    );
    assert_eq!(taken.correction_twelfths, 4, "and counts");
}

/// What a roll is loaded for takes the bracket and the limit that stand on the dial, whatever they are.
#[test]
fn the_book_knows_the_bracket_and_the_limit_on_the_dial() {
    use panel::handover::OnDial;
    let found = |intents: &[Intent]| {
        let state = intents.iter().fold(State::default(), |state, intent| {
            apply(&state, intent).expect("taken").0
        });
        panel::store::Found {
            setting: Some(panel::store::encode_setting(&state)),
            cameras: panel::store::encode_cameras(&state),
        }
    };
    let camera = exposure::Camera::parse("1/30 1/125", "4 8", exposure::Steps::Full, Some(105.0))
        .expect("a camera");
    let plain = OnDial::of(&found(&[]));
    let limit = plain.hand_limit(&camera).expect("a limit");
    assert_eq!(
        (exposure::words::value(&limit.time), limit.whose.as_str()),
        (
            "1/105".to_owned(),
            "rule of thumb: 1 / focal length (105 mm)"
        )
    );
    let own = OnDial::of(&found(&[
        Intent::BracketBy("aperture".to_owned()),
        Intent::BracketUnder(0),
        Intent::BracketOver(3),
        Intent::BracketStep("half".to_owned()),
        Intent::HandLimit("1/15".to_owned()),
        Intent::Camera("box".to_owned()),
    ]));
    assert_eq!(
        own.reach.words(),
        "the bracket on the dial (by aperture, up to 1½ stops more light)"
    );
    let limit = own.hand_limit(&camera).expect("a limit");
    assert_eq!(
        (exposure::words::value(&limit.time), limit.whose.as_str()),
        ("1/15".to_owned(), "your own limit")
    );
    assert!(own.camera.starts_with("Box camera"), "{}", own.camera);
}

/// A leaf shutter's gain goes into the log as a rule and not as a number: each frame of the series amounts there to what its
/// cell says, though only some of them gain.
#[test]
fn what_belongs_to_a_setting_is_handed_over_as_a_rule() {
    use panel::{Control, Intent, apply, derive};
    let leaf = Line::by(
        LineKind::Shutter,
        "Leaf shutter at small stops",
        exposure::Effect::Leaf,
    )
    .expect("a short name");
    let state = [
        Intent::Reading(Control::Sensitivity, "100".to_owned()),
        Intent::Reading(Control::Time, "1/125".to_owned()),
        Intent::Reading(Control::Aperture, "16".to_owned()),
        Intent::Type(Control::Aperture, "16".to_owned()),
        Intent::Hold(Control::Aperture, true),
        Intent::BracketUnder(2),
        Intent::BracketOver(2),
    ]
    .iter()
    .fold(State::default(), |state, intent| {
        apply(&state, intent).expect("taken").0
    })
    .with(&Change::Line(leaf))
    .expect("in reach");
    let series = Series::read(&handover::text(&state)).expect("whole");
    let rule = &series.scene.light.corrections[0];
    assert_eq!(rule.by_setting(), exposure::Effect::Leaf);
    let cells = derive(&state).bracket.frames;
    assert_eq!(cells.len(), series.frames.len());
    let gains: Vec<f64> = series
        .frames
        .iter()
        .map(|frame| {
            rule.by_setting()
                .at(&frame.set.time.mark(), &frame.set.aperture.mark())
                .get()
        })
        .collect();
    assert!(
        gains.iter().any(|gain| *gain > 0.1) && gains.iter().any(|gain| *gain < 0.1),
        "{gains:?}"
    );
}
