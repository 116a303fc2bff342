//! Which light a roll in a camera can serve. Cases are numbered as in the worked scenarios of the trade.

use book::serves;
use exposure::{Camera, Control, Mark, Steps, Stops};

use crate::check::{close, speed};

fn made(times: &str, apertures: &str, steps: Steps) -> Camera {
    Camera::parse(times, apertures, steps, Some(50.0)).expect("a camera")
}

fn limit(text: &str) -> Mark {
    Mark::parse(Control::Time, text, Steps::Third).expect("a time")
}

#[test]
fn the_ends_are_those_of_time_and_aperture_less_the_rating() {
    // 1/30 to 1/500, f/4 to f/16, EI 50: 5 + 4 + 1 = 10 by hand, 9 + 8 + 1 = 18.
    let camera = made(
        "1/15 1/30 1/60 1/125 1/250 1/500",
        "4 5.6 8 11 16",
        Steps::Full,
    );
    let found = serves(
        speed("50"),
        &camera,
        &limit("1/30"),
        Stops::ZERO,
        Stops::ZERO,
    )
    .expect("light");
    close(
        "by hand",
        found.dimmest_by_hand.expect("by hand").get(),
        10.0,
        1e-9,
    );
    close("on a tripod", found.dimmest_on_tripod.get(), 9.0, 1e-9);
    close("brightest", found.brightest.get(), 18.0, 1e-9);
    let bracket = serves(
        speed("50"),
        &camera,
        &limit("1/30"),
        Stops::constant(1.0),
        Stops::constant(2.0),
    )
    .expect("light");
    close(
        "by hand, two frames more",
        bracket.dimmest_by_hand.expect("by hand").get(),
        12.0,
        1e-9,
    );
    close(
        "brightest, one frame less",
        bracket.brightest.get(),
        17.0,
        1e-9,
    );
    assert!(
        bracket.words.starts_with("At EI 50, bracket included: by hand from heavy clouds or open shade on (EV 12 at ISO 100)"),
        "{}",
        bracket.words
    );
}

#[test]
fn case_17_too_dim_for_the_hand() {
    // Reading EV 9 at ISO 100; EI 50 in a camera of 1/30 and f/3.5 at most: 0.6 stop short by hand, tripod serves.
    let camera = made("B 1/15 1/30 1/60", "3.5 4 5.6 8", Steps::Half);
    let found = serves(
        speed("50"),
        &camera,
        &limit("1/30"),
        Stops::ZERO,
        Stops::ZERO,
    )
    .expect("light");
    close(
        "by hand",
        found.dimmest_by_hand.expect("by hand").get(),
        9.6,
        0.02,
    );
    assert!(
        found.dimmest_on_tripod.get() < 9.0,
        "a tripod serves, without counting on B"
    );
}

#[test]
fn a_camera_without_room_for_a_bracket_says_so() {
    let camera = made("1/50", "11 16 22", Steps::Engraved);
    let found = serves(
        speed("100"),
        &camera,
        &limit("1/30"),
        Stops::constant(1.0),
        Stops::constant(3.0),
    )
    .expect("light");
    assert_eq!(found.dimmest_by_hand, None, "no light by hand");
    assert!(
        found.words.contains("no light suits every frame"),
        "{}",
        found.words
    );
    let slow = made("1s", "11 16 22", Steps::Full);
    let found = serves(
        speed("100"),
        &slow,
        &limit("1/30"),
        Stops::ZERO,
        Stops::ZERO,
    )
    .expect("light");
    assert!(
        found.words.contains("not by hand in any light"),
        "{}",
        found.words
    );
}
