//! The reading set by the dials, which are the reading device's meanwhile.

use panel::{Control, Intent, Nudge, Part, Save, State, apply, derive, store};

fn does(state: &State, intent: &Intent) -> (State, panel::Outcome) {
    apply(state, intent).expect("it can be done")
}

fn by_dials() -> State {
    does(&State::default(), &Intent::ByDials(true)).0
}

fn marks(by: i32) -> Nudge {
    Nudge::Marks(by)
}

#[test]
fn the_dials_show_the_reading_in_the_steps_of_the_device() {
    let state = by_dials();
    let view = derive(&state);
    assert!(view.by_dials, "the page knows whose the dials are");
    let values = view.dials.each_ref().map(|dial| dial.value.as_str());
    assert_eq!(values, ["1/125", "f/8", "ISO 200"], "the reading");
    assert!(
        view.dials.iter().all(|dial| dial.part == Part::Reads),
        "all three"
    );
    let next = [
        &view.dials[0].more,
        &view.dials[1].more,
        &view.dials[2].more,
    ];
    assert_eq!(next, ["1/100", "f/7.1", "250"], "thirds");
    let halves = derive(&does(&state, &Intent::ReadingHalves(true)).0);
    assert_eq!(
        halves.dials[0].more, "1/90",
        "a device that steps in halves"
    );
    assert_eq!(
        halves.dials[1].more, "f/6.7",
        "a device that steps in halves"
    );
}

#[test]
fn a_turn_sets_the_reading_and_the_camera_makes_up_for_it() {
    let state = by_dials();
    let (turned, outcome) = does(&state, &Intent::Nudge(Control::Time, marks(3)));
    assert!(outcome.moved, "felt");
    assert_eq!(outcome.save, Save::Nothing, "kept when it settles");
    let view = derive(&turned);
    assert_eq!(view.reading.time, "1/60", "the reading");
    assert_eq!(view.dials[0].value, "1/60", "and the dial");
    let (settled, outcome) = does(&turned, &Intent::Settle);
    assert_eq!(outcome.save, Save::Setting, "kept");
    let sentence = outcome.sentence.expect("said");
    assert!(sentence.starts_with("The light is EV 11"), "{sentence}");
    let (camera, _) = does(&settled, &Intent::ByDials(false));
    let typed = does(
        &State::default(),
        &Intent::Reading(Control::Time, "1/60".to_owned()),
    );
    let set = |state: &State| derive(state).dials.map(|dial| dial.value);
    assert_eq!(set(&camera), set(&typed.0), "as if it had been typed");
    assert_eq!(
        derive(&camera).ledger.total,
        "As the reading asks",
        "balanced"
    );
    let again = does(&settled, &Intent::Settle).1;
    assert_eq!(again.save, Save::Nothing, "nothing is left to keep");
}

#[test]
fn out_and_back_is_the_same_and_nothing_of_it_is_stored() {
    let state = by_dials();
    let before = derive(&does(&state, &Intent::ByDials(false)).0);
    for control in Control::ALL {
        let mut turned = state.clone();
        for by in [7, -12, 5] {
            turned = does(&turned, &Intent::Nudge(control, marks(by))).0;
        }
        let after = derive(&does(&turned, &Intent::ByDials(false)).0);
        assert!(after == before, "{control:?}: {:?}", after.reading);
    }
    let (given, _) = does(&state, &Intent::Nudge(Control::Aperture, marks(4)));
    let (given, _) = does(&given, &Intent::GiveBack(Control::Aperture));
    assert!(derive(&given) == derive(&state), "given back");
    assert_eq!(
        store::encode_setting(&state),
        store::encode_setting(&State::default()),
        "whose the dials are is kept nowhere"
    );
}

#[test]
fn what_is_typed_is_the_reading_and_other_wishes_go_on() {
    let state = by_dials();
    let (typed, _) = does(&state, &Intent::Type(Control::Aperture, "6.3".to_owned()));
    assert_eq!(
        derive(&typed).reading.aperture,
        "f/6.3",
        "typed on the dial"
    );
    let (film, _) = does(&typed, &Intent::BoxSpeed("160".to_owned()));
    let (turned, _) = does(&film, &Intent::Nudge(Control::Time, marks(1)));
    let view = derive(&turned);
    assert_eq!(view.film.box_speed, "ISO 160", "not lost by the next turn");
    assert_eq!(view.reading.aperture, "f/6.3", "nor what was typed");
    let (picked, _) = does(&turned, &Intent::Pick(0));
    assert!(
        !derive(&picked).by_dials,
        "a pair that is picked is put on the camera's dials"
    );
    // To the ends of the device's own scales, which go further than the camera's.
    let ends = [
        (false, ["1/8000", "f/64", "ISO 0.8"]),
        (true, ["60s", "f/1", "ISO 12800"]),
    ];
    for (brightest, values) in ends {
        for control in Control::ALL {
            let (end, _) = does(&state, &Intent::Nudge(control, Nudge::End(brightest)));
            let i = control as usize;
            assert_eq!(derive(&end).dials[i].value, values[i], "{control:?}");
        }
    }
}
