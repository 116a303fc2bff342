//! Dial geometry: points of a gesture to marks.

use panel::{
    Control, Face, Intent, Notch, Nudge, State, apply, derive,
    dial::{Point, Turn},
};

const PITCH: f64 = 12.0;
const CENTRE: Point = Point { x: 200.0, y: 500.0 };
const RADIUS: f64 = 300.0;

/// A point on the ring, so many degrees anticlockwise from the index at the top.
fn ring(degrees: f64) -> Point {
    let (sin, cos) = degrees.to_radians().sin_cos();
    Point {
        x: CENTRE.x - RADIUS * sin,
        y: CENTRE.y - RADIUS * cos,
    }
}

fn full_stops(count: i32) -> Face {
    let notch = |i: i32| Notch {
        figure: i.to_string(),
        place: f64::from(i),
        long: true,
        close: false,
    };
    Face {
        notches: (0..count).map(notch).collect(),
        stepless: false,
        wide: false,
    }
}

/// Moves along the ring in small steps, as a finger does; returns the marks it clicked onto.
fn sweep(turn: &mut Turn, from: f64, to: f64) -> Vec<usize> {
    let steps = ((to - from).abs() / 1.5).ceil().max(1.0);
    let mut clicks = Vec::new();
    let mut step = 1.0;
    while step <= steps {
        clicks.extend(turn.moved(ring(from + (to - from) * step / steps)).mark);
        step += 1.0;
    }
    clicks
}

fn started(face: &Face, place: f64, degrees: f64) -> Turn {
    Turn::start(face, place, CENTRE, ring(degrees), PITCH).expect("the ring is far from the centre")
}

#[test]
fn anticlockwise_is_brighter_on_every_dial() {
    for dial in derive(&State::default()).dials {
        let mut turn = started(&dial.face, dial.place, 0.0);
        sweep(&mut turn, 0.0, 3.0 * PITCH);
        let brighter = dial.face.notches[turn.mark()].place - dial.place;
        assert!(
            (brighter - 3.0).abs() < 0.5,
            "{}: three stops anticlockwise gave {brighter}",
            dial.name
        );
        let mut back = started(&dial.face, dial.place, 0.0);
        sweep(&mut back, 0.0, -2.0 * PITCH);
        assert!(
            dial.face.notches[back.mark()].place < dial.place,
            "{}: clockwise is darker",
            dial.name
        );
    }
}

#[test]
fn a_stop_clicks_once_per_pitch_and_in_order() {
    let face = full_stops(12);
    let mut turn = started(&face, 5.0, -10.0);
    assert_eq!(
        sweep(&mut turn, -10.0, -10.0 + 3.0 * PITCH),
        [6, 7, 8],
        "three clicks"
    );
    assert_eq!(
        sweep(&mut turn, -10.0 + 3.0 * PITCH, -10.0),
        [7, 6, 5],
        "and back the same way"
    );
}

#[test]
fn hysteresis_keeps_a_trembling_finger_on_its_mark() {
    let face = full_stops(12);
    let mut turn = started(&face, 5.0, 0.0);
    sweep(&mut turn, 0.0, 7.5);
    assert_eq!(turn.mark(), 6, "clicked over past six tenths of the pitch");
    let mut clicks = 0;
    for tremble in [5.6, 6.4, 5.5, 6.5, 5.7] {
        clicks += usize::from(turn.moved(ring(tremble)).mark.is_some());
    }
    assert_eq!(clicks, 0, "around the middle nothing clicks");
}

#[test]
fn past_the_end_and_back_meets_the_finger_where_it_parted() {
    let face = full_stops(4);
    let mut turn = started(&face, 1.0, 0.0);
    sweep(&mut turn, 0.0, 120.0);
    let moved = turn.moved(ring(121.0));
    assert_eq!(turn.mark(), 3, "the last mark");
    assert!(
        moved.place <= 3.2 + 1e-9,
        "the face gives way a little, no more: {}",
        moved.place
    );
    sweep(&mut turn, 121.0, 0.0);
    assert_eq!(turn.mark(), 1, "the same finger position, the same mark");
}

#[test]
fn more_than_a_whole_turn_goes_on_counting() {
    let face = full_stops(60);
    let mut turn = started(&face, 5.0, 0.0);
    sweep(&mut turn, 0.0, 400.0);
    assert_eq!(turn.mark(), 5 + 33, "400 degrees are 33 and a third stops");
}

#[test]
fn a_tap_means_the_mark_under_it() {
    let face = full_stops(12);
    let turn = started(&face, 5.0, -2.0 * PITCH + 3.0);
    // Brighter marks stand clockwise of the index.
    assert_eq!(
        turn.tapped(ring(-2.0 * PITCH + 3.0)),
        Some(7),
        "two stops to the left is two stops brighter"
    );
    let mut moved = started(&face, 5.0, 0.0);
    moved.moved(ring(8.0));
    assert_eq!(moved.tapped(ring(8.0)), None, "a turn is no tap");
    let mut still = started(&face, 5.0, 0.0);
    assert_eq!(still.moved(ring(0.5)).mark, None, "a tap clicks nothing");
}

#[test]
fn the_centre_has_no_angle() {
    let face = full_stops(12);
    let near = Point {
        x: CENTRE.x + 5.0,
        y: CENTRE.y,
    };
    assert!(
        Turn::start(&face, 5.0, CENTRE, near, PITCH).is_none(),
        "too near the centre to start"
    );
    let mut turn = started(&face, 5.0, 0.0);
    let before = turn.clone();
    turn.moved(near);
    assert_eq!(
        turn.mark(),
        before.mark(),
        "passing the centre turns nothing"
    );
    let empty = Face {
        notches: Vec::new(),
        stepless: false,
        wide: false,
    };
    assert!(
        Turn::start(&empty, 0.0, CENTRE, ring(0.0), PITCH).is_none(),
        "a face without marks"
    );
}

#[test]
fn a_stepless_follower_starts_between_marks() {
    let state = apply(&State::default(), &Intent::Camera("folder".to_owned()))
        .expect("a kind")
        .0;
    let dial = &derive(&state).dials[Control::Aperture.index()];
    let mut turn = started(&dial.face, dial.place, 0.0);
    assert_eq!(turn.moved(ring(0.2)).mark, None, "a touch does not move it");
    assert!(
        (turn.moved(ring(0.0)).place - dial.place).abs() < 1e-9,
        "nor does it jump to a mark"
    );
}

#[test]
fn each_button_names_the_mark_that_it_leads_to() {
    let cameras: Vec<String> = derive(&State::default())
        .camera
        .all
        .into_iter()
        .map(|(id, _)| id)
        .collect();
    for camera in cameras {
        let chosen = apply(&State::default(), &Intent::Camera(camera.clone()));
        let (mut state, _) = chosen.expect("it is in the list");
        for control in Control::ALL {
            let dial = |state: &State| derive(state).dials[control as usize].clone();
            let (darkest, _) =
                apply(&state, &Intent::Nudge(control, Nudge::End(false))).expect("always");
            state = darkest;
            let mut steps = 0;
            loop {
                let mut here = dial(&state);
                let (next, _) =
                    apply(&state, &Intent::Nudge(control, Nudge::Marks(1))).expect("always");
                let mut there = dial(&next);
                for dial in [&mut here, &mut there] {
                    // The rating says what it is; the buttons have its figure.
                    dial.value = dial.value.replace("EI ", "");
                }
                if here.more.is_empty() {
                    assert_eq!(there.value, here.value, "{camera}: the scale ends");
                    break;
                }
                assert_eq!(there.value, here.more, "{camera}: towards more light");
                assert_eq!(here.value, there.less, "{camera}: and back");
                (state, steps) = (next, steps + 1);
            }
            assert_eq!(
                steps + 1,
                dial(&state).face.notches.len(),
                "{camera}: every mark"
            );
        }
    }
}
