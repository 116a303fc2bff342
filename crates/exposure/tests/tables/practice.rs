//! Common practice, no source: what a photographer does without thinking.

use exposure::{
    Bracket, BracketStep, Camera, Control, FilmKind, Order, Prefer, Problem, Scale, Solution,
    Steps, Stops, bracket, solve, words,
};

use crate::check::{
    EXACT, aperture, boxed, camera, close, has_pair, reading, same, settable, speed, time,
};

#[track_caller]
fn follow(
    camera: &Camera,
    read: &exposure::Reading,
    stands: [exposure::Mark; 3],
    follower: Control,
) -> Solution {
    solve(&Problem {
        asked: read.into(),
        extra: Stops::ZERO,
        stands,
        scales: [camera.times(), camera.apertures(), &Scale::sensitivities()],
        followers: &[follower],
        prefer: Prefer::MoreLight,
    })
}

/// Reading ISO 160, 1/60 f/5.6; film rated 80; time held: the aperture opens one stop to f/4, nothing is left over.
#[test]
fn rated_80_time_held() {
    let read = reading("160", "1/60", "5.6", Steps::Third);
    let stands = [
        time("1/60", Steps::Full),
        aperture("5.6", Steps::Full),
        speed("80"),
    ];
    let solution = follow(&camera::c(), &read, stands, Control::Aperture);
    same("aperture", &words::value(&solution.marks[1]), "f/4");
    same("time", &words::value(&solution.marks[0]), "1/60");
    close("residual", solution.residual.get(), 0.0, EXACT);
    assert_eq!(solution.shortfall, None, "nothing is missing");
}

/// Reading ISO 160, 1/125 f/4; film rated 80; aperture held: the time doubles to 1/60.
#[test]
fn rated_80_aperture_held() {
    let read = reading("160", "1/125", "4", Steps::Third);
    let stands = [
        time("1/125", Steps::Full),
        aperture("4", Steps::Full),
        speed("80"),
    ];
    let solution = follow(&camera::c(), &read, stands, Control::Time);
    same("time", &words::value(&solution.marks[0]), "1/60");
    same("aperture", &words::value(&solution.marks[1]), "f/4");
    close("residual", solution.residual.get(), 0.0, EXACT);
}

/// Box 160 rated 80, one stop either way: 0, 1 and 2 from box, by time as by aperture.
#[test]
fn rated_80_bracketed_one_stop_either_way() {
    let read = reading("80", "1/60", "5.6", Steps::Third);
    let base = [time("1/60", Steps::Full), aperture("5.6", Steps::Full)];
    let kit = camera::c();
    for (by, scale, settings) in [
        (Control::Time, kit.times(), ["1/125", "1/60", "1/30"]),
        (Control::Aperture, kit.apertures(), ["f/8", "f/5.6", "f/4"]),
    ] {
        let plan = Bracket::new(by, 1, 1, BracketStep::One, Order::Rising).unwrap();
        let series = bracket(&plan, &read, boxed("160"), &base, scale).unwrap();
        assert_eq!(series.len(), 3, "frames");
        for ((frame, setting), from_box) in series.iter().zip(settings).zip([0.0, 1.0, 2.0]) {
            same("setting", &words::value(&frame.mark), setting);
            close(
                format!("from box at {setting}"),
                frame.from_box.get(),
                from_box,
                EXACT,
            );
        }
    }
}

/// Which side to err on is decided by the film alone.
#[test]
fn film_decides_the_side() {
    assert_eq!(
        Prefer::for_film(FilmKind::ColourNegative),
        Prefer::MoreLight,
        "colour negative"
    );
    assert_eq!(
        Prefer::for_film(FilmKind::BlackAndWhite),
        Prefer::MoreLight,
        "black-and-white"
    );
    assert_eq!(
        Prefer::for_film(FilmKind::Reversal),
        Prefer::Nearest,
        "slide"
    );
}

/// Sunny 16: f/16 at 1/ISO, and everything equal to it, on the nominal steps.
#[test]
fn sunny_16_row() {
    let read = reading("125", "1/125", "16", Steps::Third);
    let found = settable(&camera::c(), &read, "125", Stops::ZERO, Prefer::Nearest);
    for (at, stop) in [
        ("1/125", "16"),
        ("1/250", "11"),
        ("1/500", "8"),
        ("1/1000", "5.6"),
    ] {
        has_pair(&found, at, stop, 0.0, EXACT);
    }
}

/// Following runs over the end into the next free control, and the turned one never jumps back.
#[test]
fn the_next_free_control_takes_the_rest() {
    let read = reading("100", "1/125", "8", Steps::Full);
    let kit = camera::c();
    // Turned to 1 s: seven stops more, of which f/16 takes two; sensitivity takes the other five.
    let stands = [
        time("1s", Steps::Full),
        aperture("8", Steps::Full),
        speed("100"),
    ];
    let solution = solve(&Problem {
        asked: (&read).into(),
        extra: Stops::ZERO,
        stands,
        scales: [kit.times(), kit.apertures(), &Scale::sensitivities()],
        followers: &[Control::Aperture, Control::Sensitivity],
        prefer: Prefer::MoreLight,
    });
    let set = solution.marks.each_ref().map(words::value).join(" ");
    same("settings", &set, "1s f/16 ISO 3");
    close("difference", solution.difference.get(), 0.0, EXACT);
    assert_eq!(solution.shortfall, None, "the second follower had room");
    assert_eq!(
        solution.ends,
        [None, Some(exposure::End::Darkest), None],
        "the first one ended"
    );
}

/// Base first, then away from it on the side with less light, then on the side with more.
#[test]
fn order_of_shooting() {
    let read = reading("100", "1/60", "8", Steps::Third);
    let base = [time("1/60", Steps::Full), aperture("8", Steps::Full)];
    let kit = camera::c();
    for (order, shot) in [
        (Order::BaseFirst, "1/60 1/125 1/250 1/30 1/15 1/8"),
        (Order::Rising, "1/250 1/125 1/60 1/30 1/15 1/8"),
        (Order::Falling, "1/8 1/15 1/30 1/60 1/125 1/250"),
    ] {
        let plan = Bracket::new(Control::Time, 2, 3, BracketStep::One, order).unwrap();
        let series = bracket(&plan, &read, boxed("100"), &base, kit.times()).unwrap();
        let found: Vec<String> = series.iter().map(|f| words::value(&f.mark)).collect();
        same(format!("{order:?}"), &found.join(" "), shot);
    }
}

/// A base that is no mark of the scale, as a time that is counted on B: a frame with less light never gets more than it, and
/// where no mark comes nearer than the base the frame says that it adds nothing.
#[test]
fn a_base_beside_the_scale_stays_in_order() {
    let (base, stop) = (time("8s", Steps::Full), aperture("16", Steps::Full));
    let reading = reading("100", "8s", "16", Steps::Full);
    let camera = Camera::parse("1s..1/1000", "2..16", Steps::Full, None).expect("a camera");
    let plan = Bracket::new(Control::Time, 4, 1, BracketStep::One, Order::Rising).expect("a plan");
    let frames =
        bracket(&plan, &reading, boxed("100"), &[base, stop], camera.times()).expect("in range");
    let given: Vec<f64> = frames
        .iter()
        .map(|frame| frame.given.get().round())
        .collect();
    // 8 s counted by hand, then nothing before 1 s: one stop less is nearer to the base, two are nearer to 1 s.
    assert_eq!(given, [-4.0, -3.0, -3.0, 0.0, 0.0, 0.0]);
    let repeats: Vec<Option<usize>> = frames.iter().map(|frame| frame.repeats).collect();
    assert_eq!(repeats, [None, None, Some(1), None, Some(3), Some(3)]);
}
