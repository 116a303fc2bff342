//! Which light a roll in a camera can serve. Cases are numbered as in the worked scenarios of the trade.

use book::{HandLimit, Reach, Serves, reach_of, serves};
use exposure::{Camera, Control, Mark, Steps, Stops};

use crate::check::{close, speed};

fn made(times: &str, apertures: &str, steps: Steps) -> Camera {
    Camera::parse(times, apertures, steps, Some(50.0)).expect("a camera")
}

fn limit(text: &str) -> HandLimit {
    HandLimit {
        time: Mark::parse(Control::Time, text, Steps::Third).expect("a time"),
        whose: "your own limit".to_owned(),
    }
}

fn reach(by: Option<Control>, under: f64, over: f64) -> Reach {
    Reach {
        by,
        under: Stops::constant(under),
        over: Stops::constant(over),
        whose: "the bracket on the dial".to_owned(),
    }
}

fn found(ei: &str, camera: &Camera, by_hand: &str, bracket: &Reach) -> Serves {
    serves(speed(ei), camera, &limit(by_hand), bracket).expect("light")
}

#[test]
fn the_ends_are_those_of_time_and_aperture_less_the_rating() {
    // 1/30 to 1/500, f/4 to f/16, EI 50: 5 + 4 + 1 = 10 by hand, 9 + 8 + 1 = 18.
    let camera = made(
        "1/15 1/30 1/60 1/125 1/250 1/500",
        "4 5.6 8 11 16",
        Steps::Full,
    );
    let alone = found("50", &camera, "1/30", &reach(None, 0.0, 0.0));
    close(
        "by hand",
        alone.dimmest_by_hand.expect("by hand").get(),
        10.0,
        1e-9,
    );
    close("on a tripod", alone.dimmest_on_tripod.get(), 9.0, 1e-9);
    close("brightest", alone.brightest.get(), 18.0, 1e-9);
    let bracket = found("50", &camera, "1/30", &reach(Some(Control::Time), 1.0, 2.0));
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
    assert_eq!(
        bracket.words,
        "At EI 50, with the bracket on the dial (by time, up to 1 stop less light and 2 stops more light): by hand from heavy \
         clouds or open shade on (EV 12 at ISO 100); on a tripod from the time after sunset on (EV 11 at ISO 100); up to sun \
         on sand or snow (EV 17 at ISO 100). By hand means 1/30 or faster, your own limit."
    );
    // Another limit, another answer, and both are named.
    let slower = found("50", &camera, "1/15", &reach(None, 0.0, 0.0));
    close(
        "by hand at 1/15",
        slower.dimmest_by_hand.expect("by hand").get(),
        9.0,
        1e-9,
    );
    assert!(
        slower
            .words
            .starts_with("At EI 50, with the bracket on the dial (one frame): ")
            && slower
                .words
                .ends_with("By hand means 1/15 or faster, your own limit."),
        "{}",
        slower.words
    );
}

/// 1/100 is 0.07 stop slower than the limit of a lens of 105 mm: on the dial it is held by hand, and so it is here.
#[test]
fn a_small_difference_from_the_limit_does_not_count() {
    let folder = made("1/25 1/50 1/100 1/250", "4.5-22", Steps::Engraved);
    let found = found("100", &folder, "1/105", &reach(None, 0.0, 0.0));
    close(
        "by hand at 1/100 and f/4.5",
        found.dimmest_by_hand.expect("by hand").get(),
        100_f64.log2() + 2.0 * 4.5_f64.log2(),
        1e-9,
    );
}

/// What the bracket is made by needs the room: one speed gives none by time, however far the aperture goes.
#[test]
fn a_bracket_needs_room_on_its_own_scale() {
    let camera = made("1/125", "2.8 4 5.6 8 11 16", Steps::Full);
    let by = |by| found("100", &camera, "1/60", &reach(Some(by), 1.0, 2.0));
    assert!(
        by(Control::Time)
            .words
            .contains("no light suits every frame"),
        "{}",
        by(Control::Time).words
    );
    let aperture = by(Control::Aperture);
    // 7 + 3 + 2 = 12 by hand, 7 + 8 − 1 = 14.
    close(
        "by hand",
        aperture.dimmest_by_hand.expect("by hand").get(),
        12.0,
        1e-9,
    );
    close("brightest", aperture.brightest.get(), 14.0, 1e-9);
    // By time from 1/30 on: the whole series has room on a tripod, but not by hand.
    let slow = made("1/15 1/30 1/60 1/125", "4 5.6 8 11 16", Steps::Full);
    let tripod = found("100", &slow, "1/60", &reach(Some(Control::Time), 1.0, 2.0));
    assert_eq!(tripod.dimmest_by_hand, None, "{}", tripod.words);
    assert!(
        tripod
            .words
            .contains("not by hand in any light; on a tripod from"),
        "{}",
        tripod.words
    );
}

#[test]
fn case_17_too_dim_for_the_hand() {
    // Reading EV 9 at ISO 100; EI 50 in a camera of 1/30 and f/3.5 at most: 0.6 stop short by hand, tripod serves.
    let camera = made("B 1/15 1/30 1/60", "3.5 4 5.6 8", Steps::Half);
    let found = found("50", &camera, "1/30", &reach(None, 0.0, 0.0));
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
    let short = found("100", &camera, "1/30", &reach(None, 1.0, 3.0));
    assert_eq!(short.dimmest_by_hand, None, "no light by hand");
    assert!(
        short.words.contains("no light suits every frame of the bracket on the dial (up to 1 stop less light and 3 stops more light)"),
        "{}",
        short.words
    );
    let slow = made("1s", "11 16 22", Steps::Full);
    let found = found("100", &slow, "1/30", &reach(None, 0.0, 0.0));
    assert!(
        found.words.contains("not by hand in any light"),
        "{}",
        found.words
    );
}

/// The bracket of a roll's last scene is the one that was planned, not a constant.
#[test]
fn the_bracket_of_the_last_scene() {
    let book = book::example();
    let roll = book.rolls().next().expect("a roll");
    let planned = reach_of(roll).expect("a scene");
    let scene = roll.scenes.last().expect("a scene");
    let offsets: Vec<i32> = roll
        .frames
        .iter()
        .filter_map(|frame| match &frame.plan {
            book::Plan::Picture {
                scene: of,
                more_light_twelfths,
                ..
            } if *of == scene.number => Some(*more_light_twelfths),
            _ => None,
        })
        .collect();
    let (least, most) = (
        offsets.iter().min().expect("frames"),
        offsets.iter().max().expect("frames"),
    );
    close(
        "less light",
        planned.under.get(),
        f64::from(-least) / 12.0,
        1e-9,
    );
    close(
        "more light",
        planned.over.get(),
        f64::from(*most) / 12.0,
        1e-9,
    );
    assert_eq!(planned.by, Some(Control::Time), "the example is by time");
    assert!(
        planned
            .words()
            .starts_with(&format!("the bracket of “{}” on {}", scene.name, roll.name)),
        "{}",
        planned.words()
    );
    let mut empty = roll.clone();
    empty.scenes.clear();
    assert_eq!(reach_of(&empty), None, "no scene, no bracket");
}
