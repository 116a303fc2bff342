//! The main job through intents: reading, linked dials, holds, ends, bracket.

use panel::{Control, Intent, Nudge, Part, Save, State, View, apply, derive};

fn did(state: &State, intents: &[Intent]) -> State {
    intents
        .iter()
        .fold(state.clone(), |state, intent| match apply(&state, intent) {
            Ok((next, _)) => next,
            Err(refusal) => panic!("{intent:?} was refused: {}", refusal.sentence),
        })
}

fn typed(control: Control, text: &str) -> Intent {
    Intent::Type(control, text.to_owned())
}

fn read(time: &str, aperture: &str, iso: &str) -> Vec<Intent> {
    vec![
        Intent::Reading(Control::Sensitivity, iso.to_owned()),
        Intent::Reading(Control::Time, time.to_owned()),
        Intent::Reading(Control::Aperture, aperture.to_owned()),
    ]
}

fn values(state: &State) -> [String; 3] {
    derive(state).dials.map(|dial| dial.value)
}

#[track_caller]
fn shows(state: &State, expected: [&str; 3]) {
    let view: View = derive(state);
    let values = view.dials.each_ref().map(|dial| dial.value.as_str());
    assert_eq!(
        values, expected,
        "the dials; the ledger says: {} {:?}",
        view.ledger.total, view.ledger.reasons
    );
}

#[test]
fn the_first_scene_is_balanced() {
    let state = State::default();
    shows(&state, ["1/125", "f/5.6", "EI 100"]);
    let view = derive(&state);
    assert_eq!(view.ledger.total, "As the reading asks", "the first scene");
    assert_eq!(
        view.film.against_box, "Rated for 2 stops more light than box speed",
        "box 400 rated 100"
    );
    assert_eq!(
        view.reading.light, "EV 12 at ISO 100",
        "1/125, f/8, ISO 200"
    );
}

// Common practice, no source: the three hand-worked cases of the main job.

#[test]
fn rated_80_with_the_time_held_opens_to_f4() {
    let mut intents = read("1/60", "5.6", "160");
    intents.extend([
        typed(Control::Sensitivity, "160"),
        typed(Control::Time, "1/60"),
        Intent::Hold(Control::Time, true),
        typed(Control::Sensitivity, "80"),
    ]);
    let state = did(&State::default(), &intents);
    shows(&state, ["1/60", "f/4", "EI 80"]);
    assert_eq!(
        derive(&state).ledger.total,
        "As the reading asks",
        "no residual"
    );
}

#[test]
fn rated_80_with_the_aperture_held_lengthens_to_a_60th() {
    let mut intents = read("1/125", "4", "160");
    intents.extend([
        typed(Control::Aperture, "4"),
        Intent::Hold(Control::Aperture, true),
        typed(Control::Sensitivity, "80"),
    ]);
    let state = did(&State::default(), &intents);
    shows(&state, ["1/60", "f/4", "EI 80"]);
}

#[test]
fn box_160_rated_80_bracketed_one_either_way() {
    let mut intents = read("1/125", "4", "160");
    intents.extend([
        Intent::BoxSpeed("160".to_owned()),
        typed(Control::Sensitivity, "80"),
        Intent::BracketUnder(1),
        Intent::BracketOver(1),
        Intent::BracketBy("time".to_owned()),
    ]);
    let view = derive(&did(&State::default(), &intents));
    let cells: Vec<[&str; 2]> = view
        .bracket
        .frames
        .iter()
        .map(|frame| [frame.from_box.as_str(), frame.amounts_to.as_str()])
        .collect();
    assert_eq!(
        cells,
        [
            ["at box speed", "EI 160"],
            ["1 stop more light than box", "EI 80"],
            ["2 stops more light than box", "EI 40"],
        ],
        "0, 1 and 2 stops more light than box"
    );
}

#[test]
fn time_and_aperture_trade() {
    let state = did(
        &State::default(),
        &[Intent::Nudge(Control::Aperture, Nudge::Marks(-2))],
    );
    shows(&state, ["1/30", "f/11", "EI 100"]);
    let (_, outcome) = apply(
        &State::default(),
        &Intent::Nudge(Control::Aperture, Nudge::Marks(-2)),
    )
    .expect("a turn");
    assert_eq!(
        outcome.sentence.as_deref(),
        Some(
            "Aperture closed two stops, f/5.6 to f/11: a quarter of the light. Time made it up, 1/125 to 1/30."
        ),
        "the sentence of a turn"
    );
    assert_eq!(
        outcome.save,
        Save::Nothing,
        "a turn under way is not stored"
    );
    let (_, settled) = apply(&state, &Intent::Settle).expect("settling");
    assert_eq!(settled.save, Save::Setting, "a settled turn is");
    assert_eq!(
        settled.sentence, outcome.sentence,
        "and spoken in the same words"
    );
}

#[test]
fn out_and_back_returns_even_past_the_ends() {
    let start = State::default();
    for control in Control::ALL {
        for by in [-30, -3, 4, 40] {
            let turned = did(
                &start,
                &[Intent::Nudge(control, Nudge::Marks(by)), Intent::Settle],
            );
            let here = values(&start)[control.index()].clone();
            assert_eq!(
                values(&did(&turned, &[typed(control, &here)])),
                values(&start),
                "{control:?} by {by}"
            );
        }
    }
}

#[test]
fn a_follower_that_runs_out_hands_on_to_the_next() {
    let free = did(
        &State::default(),
        &[Intent::Hold(Control::Sensitivity, false)],
    );
    // 1/1000 asks for f/2 at ISO 100, and the lens ends there; 1/1000 from EV 12 is exactly three stops from f/5.6.
    let brightest = did(&free, &[typed(Control::Time, "1/1000")]);
    shows(&brightest, ["1/1000", "f/2", "EI 100"]);
    let dimmer = did(
        &free,
        &[
            Intent::Reading(Control::Time, "1/30".to_owned()),
            typed(Control::Time, "1/1000"),
        ],
    );
    shows(&dimmer, ["1/1000", "f/2", "EI 400"]);
    let held = did(&dimmer, &[typed(Control::Time, "1/125")]);
    shows(&held, ["1/125", "f/2.8", "EI 100"]);
}

#[test]
fn a_shortfall_is_said_and_mends_itself() {
    let dim = did(
        &State::default(),
        &[Intent::Reading(Control::Time, "1/30".to_owned())],
    );
    let (short, outcome) = apply(&dim, &typed(Control::Time, "1/1000")).expect("a turn");
    shows(&short, ["1/1000", "f/2", "EI 100"]);
    let sentence = outcome.sentence.expect("a turn speaks");
    assert!(
        sentence
            .ends_with("No free dial turns further: 2 stops less light than the reading asks for."),
        "{sentence}"
    );
    assert_eq!(
        derive(&short).ledger.reasons,
        ["Aperture ends at f/2: 2 stops less light."],
        "the reason"
    );
    let other = did(
        &short,
        &[Intent::Nudge(Control::Aperture, Nudge::Marks(-1))],
    );
    assert_eq!(
        derive(&other).ledger.total,
        "As the reading asks",
        "turning the other dial mends it"
    );
}

#[test]
fn with_all_else_held_the_exposure_changes_and_comes_back() {
    let held = did(&State::default(), &[Intent::Hold(Control::Aperture, true)]);
    let (turned, outcome) =
        apply(&held, &Intent::Nudge(Control::Time, Nudge::Marks(1))).expect("a turn");
    assert_eq!(
        outcome.sentence.as_deref(),
        Some(
            "Time lengthened one stop, 1/125 to 1/60: twice the light. Everything else is held: 1 stop more light than the \
             reading asks for."
        ),
        "the difference in words"
    );
    let view = derive(&turned);
    assert_eq!(
        view.ledger.total, "1 stop more light than the reading asks for",
        "the ledger"
    );
    assert_eq!(
        view.ledger.reasons,
        ["Turned on purpose: 1 stop more light."],
        "the reason"
    );
    assert!(view.ledger.can_go_back, "there is a way back");
    // The wish stays when another dial takes over.
    let on = did(
        &turned,
        &[
            Intent::Hold(Control::Aperture, false),
            Intent::Nudge(Control::Aperture, Nudge::Marks(1)),
        ],
    );
    assert_eq!(
        derive(&on).ledger.total,
        "1 stop more light than the reading asks for",
        "the wish is kept"
    );
    let back = did(&on, &[Intent::BackToReading]);
    assert_eq!(
        derive(&back).ledger.total,
        "As the reading asks",
        "one action back to the reading"
    );
}

#[test]
fn a_third_hold_lets_the_oldest_go() {
    let state = did(
        &State::default(),
        &[
            Intent::Hold(Control::Time, true),
            Intent::Hold(Control::Aperture, true),
        ],
    );
    let parts = derive(&state).dials.map(|dial| dial.part);
    assert_eq!(
        parts,
        [Part::Held, Part::Held, Part::Follows],
        "sensitivity was held longest"
    );
}

#[test]
fn escape_gives_back() {
    let start = State::default();
    let turning = did(&start, &[Intent::Nudge(Control::Time, Nudge::Marks(3))]);
    shows(
        &did(&turning, &[Intent::GiveBack(Control::Time)]),
        ["1/125", "f/5.6", "EI 100"],
    );
    let settled = did(&turning, &[Intent::Settle]);
    shows(
        &did(&settled, &[Intent::GiveBack(Control::Time)]),
        ["1/125", "f/5.6", "EI 100"],
    );
}

#[test]
fn what_the_camera_lacks_is_never_set() {
    let state = did(&State::default(), &[Intent::Camera("box".to_owned())]);
    shows(&state, ["1/50", "f/11", "EI 100"]);
    let (typed_time, outcome) =
        apply(&State::default(), &typed(Control::Time, "1/100")).expect("a turn");
    shows(&typed_time, ["1/125", "f/5.6", "EI 100"]);
    assert_eq!(
        outcome.sentence.as_deref(),
        Some("This camera has no 1/100; the nearest is 1/125."),
        "nothing is rounded silently"
    );
}

/// On an older scale of apertures a stop is 0.95 or 1.03 stops: what was wanted and what is given are told apart.
#[test]
fn a_frame_that_gives_nearly_what_was_wanted_says_how_nearly() {
    let state = did(
        &State::default(),
        &[
            Intent::Camera("continental".to_owned()),
            Intent::BracketBy("aperture".to_owned()),
            Intent::BracketUnder(1),
            Intent::BracketOver(1),
            typed(Control::Aperture, "9"),
        ],
    );
    let flags: Vec<String> = derive(&state)
        .bracket
        .frames
        .into_iter()
        .flat_map(|frame| frame.flags)
        .collect();
    assert_eq!(
        flags,
        [
            "nearest mark: wanted 1 stop less light, gives 0.95 stop less light",
            "nearest mark: wanted 1 stop more light, gives 1.03 stops more light"
        ]
    );
}

/// A mark of the standard series stands for its exact value on every camera: read at f/11 and set to f/11 is no difference,
/// on a box camera and on one's own that is read as engraved.
#[test]
fn full_stops_are_the_same_on_an_old_camera() {
    let own = panel::CameraForm {
        name: "Grandmother's box (invented)".to_owned(),
        times: "1/50 1/125 B".to_owned(),
        apertures: "7.7 11 16 22".to_owned(),
        steps: "engraved".to_owned(),
        focal: String::new(),
    };
    for camera in [
        Intent::Camera("box".to_owned()),
        Intent::SaveCamera(None, own),
    ] {
        for stop in ["11", "22"] {
            let state = did(
                &State::default(),
                &[
                    Intent::Reading(Control::Aperture, stop.to_owned()),
                    camera.clone(),
                    typed(Control::Aperture, stop),
                ],
            );
            let line = &derive(&state).ledger.lines[1];
            assert_eq!(
                (line.change.clone(), line.stops.as_str()),
                (format!("f/{stop}, as read"), "no difference")
            );
        }
    }
}

#[test]
fn a_stepless_ring_takes_the_exact_value() {
    let state = did(
        &State::default(),
        &[
            Intent::Camera("folder".to_owned()),
            typed(Control::Time, "1/100"),
        ],
    );
    let view = derive(&state);
    assert_eq!(view.dials[1].value, "f/6.4", "EV 12 less Tv 6.644");
    assert_eq!(
        view.ledger.total, "As the reading asks",
        "a ring without clicks leaves nothing over"
    );
    let stored = panel::store::encode_setting(&state);
    let found = panel::store::Found {
        setting: Some(stored),
        cameras: Vec::new(),
    };
    assert_eq!(
        derive(&panel::store::open(&found).state).dials[1].value,
        "f/6.4",
        "and after a reload"
    );
}

#[test]
fn a_measured_time_counts_and_keeps_its_label() {
    let form = panel::CameraForm {
        name: "Own folder".to_owned(),
        times: "1/25 1/50 1/100 1/250=1/160".to_owned(),
        apertures: "4.5-22".to_owned(),
        steps: "engraved".to_owned(),
        focal: "105".to_owned(),
    };
    let state = did(
        &State::default(),
        &[
            Intent::SaveCamera(None, form),
            typed(Control::Time, "1/250"),
        ],
    );
    let view = derive(&state);
    assert_eq!(view.dials[0].value, "1/250", "the label");
    assert_eq!(
        view.dials[0].note.as_deref(),
        Some("measured 1/160"),
        "the note"
    );
    let found = panel::store::Found {
        setting: Some(panel::store::encode_setting(&state)),
        cameras: panel::store::encode_cameras(&state),
    };
    let opened = panel::store::open(&found);
    let again = derive(&opened.state);
    assert_eq!(again.ledger, view.ledger, "a reload shows the same");
    assert_eq!(
        values(&opened.state),
        values(&state),
        "a reload shows the same"
    );
    assert_eq!(again.dials[0], view.dials[0], "a reload shows the same");
    assert!(opened.notices.is_empty(), "{:?}", opened.notices);
}

#[test]
fn refusals_say_what_would_be_taken_and_change_nothing() {
    let state = State::default();
    for intent in [
        Intent::Reading(Control::Time, "soon".to_owned()),
        typed(Control::Aperture, "f/0"),
        Intent::BoxSpeed(String::new()),
        Intent::Camera("none".to_owned()),
        Intent::OpenLink("set1.%%%".to_owned()),
        Intent::OpenLink("set9.abc".to_owned()),
        Intent::BracketOver(200),
    ] {
        let refusal = apply(&state, &intent).expect_err("this is not taken");
        assert!(
            refusal.sentence.ends_with('.') && refusal.sentence.len() > 20,
            "{intent:?}: {}",
            refusal.sentence
        );
    }
}
