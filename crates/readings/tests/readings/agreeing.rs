//! Two readings of the same light.

use readings::{
    Found,
    agree::{Keep, agree},
    typed::{Typed, Unit},
};

use crate::check::{EXACT, close, sound};

fn typed(text: &str) -> Found {
    Typed {
        text,
        unit: Unit::Ev,
        iso: None,
    }
    .found(&exposure::light::Constants::default())
    .expect("a reading")
}

#[test]
fn the_difference_and_what_is_used() {
    for (keep, light, says) in [
        (Keep::First, 12.0, "The first is used."),
        (Keep::Second, 12.5, "The second is used."),
        (Keep::Middle, 12.25, "The middle of both is used."),
        (Keep::MoreLight, 12.0, "it gives the film more light"),
    ] {
        let agreement = agree(&typed("12"), &typed("12.5"), keep).expect("both are readings");
        sound(&agreement.found);
        close(says, agreement.found.light().get(), light, EXACT);
        close("brighter", agreement.brighter.get(), 0.5, EXACT);
        assert!(agreement.sentence.contains(says), "{}", agreement.sentence);
        assert!(
            agreement.sentence.contains("½ stop brighter"),
            "{}",
            agreement.sentence
        );
    }
    let other_way = agree(&typed("12.5"), &typed("12"), Keep::MoreLight).expect("readings");
    close("the dimmer one", other_way.found.light().get(), 12.0, EXACT);
    assert!(
        other_way.sentence.contains("½ stop dimmer"),
        "{}",
        other_way.sentence
    );
}

#[test]
fn how_far_apart_is_judged() {
    let said = |other: &str| {
        agree(&typed("12"), &typed(other), Keep::First)
            .expect("readings")
            .sentence
    };
    assert!(said("12").contains("same light"), "{}", said("12"));
    assert!(!said("12⅓").contains("more than"), "{}", said("12⅓"));
    assert!(said("12½").contains("rounding"), "{}", said("12½"));
    assert!(said("14").contains("compensation"), "{}", said("14"));
}

/// A reading whose lines are switched off counts with what is left.
#[test]
fn lines_that_are_off_do_not_count() {
    let mut first = typed("12.1");
    first.lines[0].on = false;
    let agreement = agree(&first, &typed("12"), Keep::Second).expect("readings");
    close("marks alone", agreement.brighter.get(), 0.0, EXACT);
}
