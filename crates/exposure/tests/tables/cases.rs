//! Worked cases of the trade, one test each, on the cameras of [`check::camera`](crate::check::camera).
//!
//! The cases print their figures rounded; where that matters the comment gives the exact value, and the test holds the
//! exact value.

use exposure::{
    Bracket, BracketStep, Camera, Control, End, Frame, KINDS, Ledger, Mark, Order, Prefer, Problem,
    Reading, Scale, Solution, Steps, Stops, bracket, solve, words,
};

use crate::check::{
    EXACT, NEGATIVE, SLIDE, aperture, boxed, camera, close, has_pair, listed, rated, reading, same,
    settable, speed, time,
};

/// A planned series on a camera: offsets, settings and what they amount to.
#[expect(clippy::too_many_arguments, reason = "a case has that many givens")]
#[track_caller]
fn planned(
    camera: &Camera,
    by: Control,
    (under, over): (u8, u8),
    step: BracketStep,
    read: &Reading,
    on_box: &str,
    base: [Mark; 2],
    order: Order,
) -> Vec<Frame> {
    let plan = Bracket::new(by, under, over, step, order).expect("a plan");
    let scale = if by == Control::Time {
        camera.times()
    } else {
        camera.apertures()
    };
    bracket(&plan, read, boxed(on_box), &base, scale).expect("a series")
}

/// The frames of a series in one line: what to set, offset given from base, offset from box, EI.
#[track_caller]
fn frames(series: &[Frame], expected: &[(&str, f64, f64, &str)]) {
    let found = series
        .iter()
        .map(|frame| words::value(&frame.mark))
        .collect::<Vec<_>>()
        .join(" ");
    assert!(
        series.len() == expected.len(),
        "got {} frames ({found}), expected {}",
        series.len(),
        expected.len()
    );
    for (frame, (setting, given, from_box, ei)) in series.iter().zip(expected) {
        same("setting", &words::value(&frame.mark), setting);
        close(
            format!("offset of {setting}"),
            frame.given.get(),
            *given,
            EXACT,
        );
        close(
            format!("offset from box of {setting}"),
            frame.from_box.get(),
            *from_box,
            EXACT,
        );
        same(
            format!("EI of {setting}"),
            &words::ei(&frame.amounts_to.mark()),
            ei,
        );
    }
}

/// The follower of a camera's controls when the others stand where they stand.
fn follow(
    camera: &Camera,
    read: &Reading,
    stands: [Mark; 3],
    followers: &[Control],
    prefer: Prefer,
) -> Solution {
    solve(&Problem {
        asked: read.into(),
        extra: Stops::ZERO,
        stands,
        scales: [camera.times(), camera.apertures(), &Scale::sensitivities()],
        followers,
        prefer,
    })
}

/// 1. ISO 200, 1/125 f/8; film 64; camera A: EV 13, less 1 2/3, is 11 1/3.
#[test]
fn case_01_nearest_or_not_under() {
    let read = reading("200", "1/125", "8", Steps::Third);
    close(
        "EV for the film",
        read.ev_for(rated("64"), Stops::ZERO).get(),
        34.0 / 3.0,
        EXACT,
    );
    let slide = settable(&camera::a(), &read, "64", Stops::ZERO, SLIDE);
    for (at, stop) in [("1/125", "4.8"), ("1/60", "6.7"), ("1/30", "9.5")] {
        has_pair(&slide, at, stop, -1.0 / 6.0, EXACT);
    }
    let negative = settable(&camera::a(), &read, "64", Stops::ZERO, NEGATIVE);
    for (at, stop) in [("1/125", "4"), ("1/60", "5.6"), ("1/30", "8")] {
        has_pair(&negative, at, stop, 1.0 / 3.0, EXACT);
    }
    // The case also gives 1/250 f/3.5 as −1/3. Taken literally f/3.5 is Av 3.6147 and the residual −0.2814; on the third-stop
    // series (Av 3 2/3) it would be −1/3. The pair lies beyond the widest stop, so it is not offered as settable.
    let wide = [
        time("1/250", Steps::Half),
        aperture("3.5", Steps::Half),
        speed("64"),
    ];
    close(
        "1/250 f/3.5",
        read.difference(&wide).get(),
        34.0 / 3.0 - 8.0 - 2.0 * 3.5_f64.log2(),
        EXACT,
    );
    close(
        "1/250 f/3.5 in figures",
        read.difference(&wide).get(),
        -0.2814,
        0.000_05,
    );
    assert!(
        negative
            .iter()
            .chain(&slide)
            .all(|pair| words::figure(&pair.time) != "1/250"),
        "1/250 is offered: {}",
        listed(&negative)
    );
}

/// 2. The device stops at ISO 100, the film is 6: four stops, EV 15 to 11, and no residual.
#[test]
fn case_02_device_stops_at_iso_100() {
    let read = reading("100", "1/500", "8", Steps::Third);
    close("EV read", read.light().get(), 15.0, EXACT);
    close(
        "EV for the film",
        read.ev_for(rated("6"), Stops::ZERO).get(),
        11.0,
        EXACT,
    );
    for prefer in [NEGATIVE, SLIDE] {
        let found = settable(&camera::a(), &read, "6", Stops::ZERO, prefer);
        for (at, stop) in [("1/30", "8"), ("1/60", "5.6"), ("1/125", "4")] {
            has_pair(&found, at, stop, 0.0, EXACT);
        }
    }
}

/// 3. Bracket by time: box 400, EI 100, base 1/125 f/11. The last frame is beyond the hand-held limit of a 50 mm.
#[test]
fn case_03_bracket_by_time() {
    let kit = camera::a();
    let read = reading("100", "1/125", "11", Steps::Full);
    let base = [time("1/125", Steps::Half), aperture("11", Steps::Half)];
    let series = planned(
        &kit,
        Control::Time,
        (1, 2),
        BracketStep::One,
        &read,
        "400",
        base,
        Order::Rising,
    );
    frames(
        &series,
        &[
            ("1/250", -1.0, 1.0, "EI 200"),
            ("1/125", 0.0, 2.0, "EI 100"),
            ("1/60", 1.0, 3.0, "EI 50"),
            ("1/30", 2.0, 4.0, "EI 25"),
        ],
    );
    let limit = kit.hand_limit().unwrap();
    close("hand-held limit", limit.engraved(), 1.0 / 50.0, EXACT);
    let tripod: Vec<bool> = series
        .iter()
        .map(|frame| frame.mark.relative_to(&limit).is_more())
        .collect();
    assert_eq!(
        tripod,
        [false, false, false, true],
        "frames that need a tripod"
    );
}

/// 4. Bracket by aperture at 1/125, base f/8, widest f/3.5: the last frame gives 2.39 (printed 2.4), not 3.
#[test]
fn case_04_bracket_by_aperture_ends() {
    let kit = camera::a();
    let read = reading("100", "1/125", "8", Steps::Full);
    let base = [time("1/125", Steps::Half), aperture("8", Steps::Half)];
    let series = planned(
        &kit,
        Control::Aperture,
        (1, 3),
        BracketStep::One,
        &read,
        "100",
        base,
        Order::Rising,
    );
    let widest = 6.0 - 2.0 * 3.5_f64.log2();
    frames(
        &series,
        &[
            ("f/11", -1.0, -1.0, "EI 200"),
            ("f/8", 0.0, 0.0, "EI 100"),
            ("f/5.6", 1.0, 1.0, "EI 50"),
            ("f/4", 2.0, 2.0, "EI 25"),
            // 100 / 2^2.385 = 19.14.
            ("f/3.5", widest, widest, "about EI 19"),
        ],
    );
    close("printed as 2.4", widest, 2.3853, 0.000_05);
    close("wanted of the last", series[4].wanted.get(), 3.0, EXACT);
    let ends: Vec<_> = series.iter().map(|frame| frame.end).collect();
    assert_eq!(
        ends,
        [None, None, None, None, Some(End::Brightest)],
        "ends of the scale"
    );
}

/// 5. Full-stop camera, third-step device: ISO 320, 1/200 f/7.1 is 13 1/3; EI 40 needs 10 1/3.
#[test]
fn case_05_full_stop_camera_third_step_device() {
    let read = reading("320", "1/200", "7.1", Steps::Third);
    close(
        "EV of the settings read",
        -(read.marks()[0].place().get() + read.marks()[1].place().get()),
        40.0 / 3.0,
        EXACT,
    );
    close(
        "EV for the film",
        read.ev_for(rated("40"), Stops::ZERO).get(),
        31.0 / 3.0,
        EXACT,
    );
    has_pair(
        &settable(&camera::c(), &read, "40", Stops::ZERO, NEGATIVE),
        "1/60",
        "4",
        1.0 / 3.0,
        EXACT,
    );
    // Of 1/3 more and 2/3 less the nearest is the same.
    has_pair(
        &settable(&camera::c(), &read, "40", Stops::ZERO, SLIDE),
        "1/60",
        "4",
        1.0 / 3.0,
        EXACT,
    );
    let closed = [
        time("1/60", Steps::Full),
        aperture("5.6", Steps::Full),
        speed("40"),
    ];
    close(
        "1/60 f/5.6",
        read.difference(&closed).get(),
        -2.0 / 3.0,
        EXACT,
    );
}

/// 6. Half-step device: ISO 160, 1/90 f/6.7 is 12; EI 20 needs 9.
#[test]
fn case_06_half_step_device() {
    let read = reading("160", "1/90", "6.7", Steps::Half);
    close(
        "EV for the film",
        read.ev_for(rated("20"), Stops::ZERO).get(),
        9.0,
        EXACT,
    );
    let found = settable(&camera::c(), &read, "20", Stops::ZERO, NEGATIVE);
    has_pair(&found, "1/30", "4", 0.0, EXACT);
    has_pair(&found, "1/15", "5.6", 0.0, EXACT);
}

/// 7. As-shot EI: reading ISO 200, 1/250 f/8; set 1/60 f/5.6: three stops more, EI 25; from box 160 it is 2 2/3.
#[test]
fn case_07_as_shot_ei() {
    let read = reading("200", "1/250", "8", Steps::Third);
    let (at, stop) = (time("1/60", Steps::Full), aperture("5.6", Steps::Full));
    let amounts = read.amounts_to(&at, &stop).unwrap();
    same("as-shot EI", &words::ei(&amounts.mark()), "EI 25");
    close("exactly", amounts.iso(), 25.0, EXACT);
    close(
        "more light at the device's ISO",
        read.difference(&[at, stop, speed("200")]).get(),
        3.0,
        EXACT,
    );
    close(
        "from box 160",
        boxed("160").offset(amounts).get(),
        8.0 / 3.0,
        EXACT,
    );
}

/// 8. Ring bumped, as offsets: planned by time at f/8; from the third frame the ring stands at f/5.6.
#[test]
fn case_08_ring_bumped() {
    let read = reading("100", "1/125", "8", Steps::Full);
    let shot = |at: &str, stop: &str| {
        read.difference(&[
            time(at, Steps::Full),
            aperture(stop, Steps::Full),
            speed("100"),
        ])
        .get()
    };
    let times = ["1/250", "1/125", "1/60", "1/30"];
    for (at, planned) in times.into_iter().zip([-1.0, 0.0, 1.0, 2.0]) {
        close(format!("planned {at} f/8"), shot(at, "8"), planned, EXACT);
    }
    for ((at, stop), real) in times
        .into_iter()
        .zip(["8", "8", "5.6", "5.6"])
        .zip([-1.0, 0.0, 2.0, 3.0])
    {
        close(format!("shot {at} f/{stop}"), shot(at, stop), real, EXACT);
    }
    close("the missing frame, 1/60 f/8", shot("1/60", "8"), 1.0, EXACT);
}

/// 9. Wrong ISO all roll: EI 64 meant, the meter stood at 400. Every frame got 2 2/3 stops less than meant.
#[test]
fn case_09_wrong_iso_all_roll() {
    let read = reading("400", "1/250", "8", Steps::Third);
    let (at, stop) = (time("1/250", Steps::Full), aperture("8", Steps::Full));
    let amounts = read.amounts_to(&at, &stop).unwrap();
    same("as-shot EI", &words::ei(&amounts.mark()), "EI 400");
    close(
        "against what was meant",
        read.difference(&[at, stop, speed("64")]).get(),
        -8.0 / 3.0,
        EXACT,
    );
    close(
        "if the box says 400",
        boxed("400").offset(amounts).get(),
        0.0,
        EXACT,
    );
}

/// 10. Sign trap: a marked second that is really 0.746 s gives less light, not more.
#[test]
fn case_10_sign_trap() {
    let marked = time("1s", Steps::Full);
    let real = marked.measured_as(0.746).unwrap();
    // Printed −0.42; exactly log2(0.746) = −0.42275.
    close(
        "error",
        real.relative_to(&marked).get(),
        -0.422_75,
        0.000_005,
    );
    same(
        "in words",
        words::lean(real.relative_to(&marked)),
        "less light",
    );
}

/// 14, the frames only: base 80 on a box of 200, frames 160, 80, 40, 20 are 1/3 to 3 1/3 from box.
#[test]
fn case_14_frames_cover_both_rules() {
    let read = reading("80", "1/125", "8", Steps::Third);
    let base = [time("1/125", Steps::Half), aperture("8", Steps::Half)];
    for order in [Order::Rising, Order::Falling, Order::BaseFirst] {
        let series = planned(
            &camera::a(),
            Control::Time,
            (1, 2),
            BracketStep::One,
            &read,
            "200",
            base,
            order,
        );
        let rising = [
            ("1/250", -1.0, 1.0 / 3.0, "EI 160"),
            ("1/125", 0.0, 4.0 / 3.0, "EI 80"),
            ("1/60", 1.0, 7.0 / 3.0, "EI 40"),
            ("1/30", 2.0, 10.0 / 3.0, "EI 20"),
        ];
        let shot: Vec<_> = match order {
            Order::Rising => rising.to_vec(),
            Order::Falling => rising.iter().rev().copied().collect(),
            Order::BaseFirst => [1, 0, 2, 3].map(|i| rising[i]).to_vec(),
        };
        frames(&series, &shot);
    }
}

/// 15. Slide 100 at box speed, 1/125 f/8, half clicks: f/9.5, f/8, f/6.7; f/11 can be added.
#[test]
fn case_15_slide_by_half_clicks() {
    let read = reading("100", "1/125", "8", Steps::Full);
    let base = [time("1/125", Steps::Half), aperture("8", Steps::Half)];
    let series = planned(
        &camera::a(),
        Control::Aperture,
        (2, 1),
        BracketStep::Half,
        &read,
        "100",
        base,
        Order::Rising,
    );
    frames(
        &series,
        &[
            ("f/11", -1.0, -1.0, "EI 200"),
            // 141.4 and 70.7 are no printed speeds.
            ("f/9.5", -0.5, -0.5, "about EI 141"),
            ("f/8", 0.0, 0.0, "EI 100"),
            ("f/6.7", 0.5, 0.5, "about EI 71"),
        ],
    );
}

/// 16. A grey card in sun reads EV 14; give half a stop more: 13.5, which is 1/125 f/9.5.
#[test]
fn case_16_grey_card_in_sun() {
    let read = reading("100", "1/125", "11", Steps::Full);
    let half = Stops::constant(0.5);
    close("EV read", read.light().get(), 14.0, EXACT);
    close(
        "EV to set",
        read.ev_for(rated("100"), half).get(),
        13.5,
        EXACT,
    );
    has_pair(
        &settable(&camera::a(), &read, "100", half, SLIDE),
        "1/125",
        "9.5",
        0.0,
        EXACT,
    );
}

/// 17. Too dim: ISO 100, 1/30 f/4 is 9; EI 50 needs 8. f/3.5 at 1/30 lacks 0.61 (printed −0.6); 1/15 f/4 fits.
#[test]
fn case_17_too_dim() {
    let read = reading("100", "1/30", "4", Steps::Full);
    close(
        "EV for the film",
        read.ev_for(rated("50"), Stops::ZERO).get(),
        8.0,
        EXACT,
    );
    let stands = [
        time("1/30", Steps::Half),
        aperture("4", Steps::Half),
        speed("50"),
    ];
    let solution = follow(&camera::a(), &read, stands, &[Control::Aperture], NEGATIVE);
    let lack = 3.0 - 2.0 * 3.5_f64.log2();
    same(
        "as wide as it goes",
        &words::value(&solution.marks[1]),
        "f/3.5",
    );
    close(
        "lack",
        solution.shortfall.map_or(f64::NAN, Stops::get),
        lack,
        EXACT,
    );
    close("printed as −0.6", lack, -0.6147, 0.000_05);
    assert_eq!(
        solution.ends,
        [None, Some(End::Brightest), None],
        "what stopped it"
    );
    // A camera that ends at 1/30 f/3.5 has no pair for this light: what comes nearest is named instead, the nearest first.
    let nearest = settable(&camera::a(), &read, "50", Stops::ZERO, NEGATIVE);
    let first = (
        words::figure(&nearest[0].time),
        words::figure(&nearest[0].aperture),
    );
    assert_eq!(first, ("1/30".to_owned(), "3.5".to_owned()), "the nearest");
    close("its lack", nearest[0].residual.get(), lack, EXACT);
    has_pair(
        &settable(&camera::c(), &read, "50", Stops::ZERO, NEGATIVE),
        "1/15",
        "4",
        0.0,
        EXACT,
    );
}

/// 18. Continental scale: ISO 100, 1/125 f/11 is 14, EI 64 needs 13.33. Literal marks, then a ring without clicks.
#[test]
fn case_18_continental_scale() {
    let read = reading("100", "1/125", "11", Steps::Third);
    close(
        "EV for the film",
        read.ev_for(rated("64"), Stops::ZERO).get(),
        40.0 / 3.0,
        EXACT,
    );
    // Printed +0.35; exactly 13.3333 − log2(100) − 2·log2(9) = +0.34963.
    let at_9 = 40.0 / 3.0 - 100.0_f64.log2() - 2.0 * 9.0_f64.log2();
    close("in figures", at_9, 0.349_63, 0.000_005);
    for prefer in [NEGATIVE, SLIDE] {
        has_pair(
            &settable(&camera::e(), &read, "64", Stops::ZERO, prefer),
            "1/100",
            "9",
            at_9,
            EXACT,
        );
    }
    // Printed −0.6; exactly −0.59824.
    let closed = [
        time("1/100", Steps::Engraved),
        aperture("12.5", Steps::Engraved),
        speed("64"),
    ];
    close(
        "1/100 f/12.5",
        read.difference(&closed).get(),
        -0.598_24,
        0.000_005,
    );
    // The same body with a ring that can stand anywhere: printed f/10.2, exactly 10.159.
    let ring = Camera::parse("1/100", "3.5-18", Steps::Engraved, None).unwrap();
    let found = settable(&ring, &read, "64", Stops::ZERO, NEGATIVE);
    assert_eq!(found.len(), 1, "one time, one pair: {}", listed(&found));
    close("stepless", found[0].residual.get(), 0.0, EXACT);
    close(
        "f-number",
        found[0].aperture.exact(),
        ((40.0 / 3.0 - 100.0_f64.log2()) / 2.0).exp2(),
        EXACT,
    );
    close(
        "f-number in figures",
        found[0].aperture.exact(),
        10.159,
        0.0005,
    );
}

/// 19, the ratings only: box 400 and the frames liked in four scenes; their median 2 is EI 100, their spread 1 1/3.
#[test]
fn case_19_rating_the_rest() {
    let liked = [("100", 2.0), ("200", 1.0), ("100", 2.0), ("80", 7.0 / 3.0)];
    let mut offsets: Vec<f64> = liked
        .iter()
        .map(|(ei, offset)| {
            let found = boxed("400").offset(rated(ei)).get();
            close(format!("offset of EI {ei}"), found, *offset, EXACT);
            found
        })
        .collect();
    offsets.sort_by(f64::total_cmp);
    close(
        "median",
        f64::midpoint(offsets[1], offsets[2]),
        boxed("400").offset(rated("100")).get(),
        EXACT,
    );
    close("spread", offsets[3] - offsets[0], 4.0 / 3.0, EXACT);
}

/// Camera B, by its ring: whatever the light between its ends, no residual at any time; and its times are literal.
#[test]
fn folder_ring_takes_every_rest() {
    let read = reading("200", "1/125", "8", Steps::Third);
    let found = settable(&camera::b(), &read, "64", Stops::ZERO, NEGATIVE);
    assert!(found.len() >= 4, "got {}", listed(&found));
    for pair in &found {
        // At 1/5 the ring would have to stand a hundredth of a stop beyond f/22: its end counts as giving enough.
        let at_end = pair.aperture == *camera::b().apertures().darkest();
        let allowed = if at_end { Stops::SMALL.get() } else { EXACT };
        close(
            format!("residual at {}", words::figure(&pair.time)),
            pair.residual.get(),
            0.0,
            allowed,
        );
    }
    let at = found
        .iter()
        .find(|pair| words::figure(&pair.time) == "1/50")
        .expect("1/50 is among them");
    // 11 1/3 − log2(50) = 5.6895, f/7.18.
    close(
        "f-number at 1/50",
        at.aperture.exact(),
        ((34.0 / 3.0 - 50.0_f64.log2()) / 2.0).exp2(),
        EXACT,
    );
}

/// Camera D has one speed: only the aperture can follow, and the end of its scale is said, never passed. f/11 and f/22 are
/// marks of the standard series and stand for Av 7 and 9; 1/50 is literal.
#[test]
fn box_camera_says_what_it_cannot() {
    let kit = camera::d();
    let stands = [
        time("1/50", Steps::Engraved),
        aperture("16", Steps::Engraved),
        speed("100"),
    ];
    let sun = reading("100", "1/125", "16", Steps::Third);
    let solution = follow(&kit, &sun, stands, &[Control::Aperture], SLIDE);
    same("in sun", &words::value(&solution.marks[1]), "f/22");
    // EV 15 against log2(50) + 9 = 14.6439: too much light by 0.3561.
    close(
        "too much light",
        solution.shortfall.map_or(f64::NAN, Stops::get),
        0.3561,
        0.000_05,
    );
    assert_eq!(solution.ends[1], Some(End::Darkest), "what stopped it");
    let shade = reading("100", "1/60", "5.6", Steps::Third);
    let solution = follow(&kit, &shade, stands, &[Control::Aperture], SLIDE);
    same("in shade", &words::value(&solution.marks[1]), "f/11");
    // EV 11 against log2(50) + 7 = 12.6439.
    close(
        "lack",
        solution.shortfall.map_or(f64::NAN, Stops::get),
        -1.6439,
        0.000_05,
    );
}

/// The convention of marks on every described camera and on one's own read "as engraved": a figure of full stops stands for
/// its exact value (1/125 is 2⁻⁷ s, f/11 is 2^3.5), every other figure for itself.
#[test]
fn figures_of_full_stops_are_exact_on_every_camera() {
    let full: [(Control, &[(f64, i32)]); 2] = [
        (
            Control::Time,
            &[
                (1.0 / 4000.0, -12),
                (1.0 / 2000.0, -11),
                (1.0 / 1000.0, -10),
                (1.0 / 500.0, -9),
                (1.0 / 250.0, -8),
                (1.0 / 125.0, -7),
                (1.0 / 60.0, -6),
                (1.0 / 30.0, -5),
                (1.0 / 15.0, -4),
                (1.0 / 8.0, -3),
                (1.0 / 4.0, -2),
                (0.5, -1),
                (1.0, 0),
            ],
        ),
        (
            Control::Aperture,
            &[
                (2.0, -2),
                (2.8, -3),
                (4.0, -4),
                (5.6, -5),
                (8.0, -6),
                (11.0, -7),
                (16.0, -8),
                (22.0, -9),
                (32.0, -10),
            ],
        ),
    ];
    let own = Camera::parse(
        "1 1/2 1/5 1/10 1/25 1/50 1/60 1/125 1/250 1/300",
        "3.5 4.5 5.6 6.3 7.7 11 16 22",
        Steps::Engraved,
        None,
    );
    let mut cameras: Vec<(&str, Camera, bool)> = KINDS
        .iter()
        .map(|kind| {
            let camera = Camera::parse(kind.times, kind.apertures, kind.steps, Some(kind.focal));
            // Literal is what no series of its own steps has.
            let odd = matches!(kind.steps, Steps::Full | Steps::Engraved);
            (kind.id, camera.expect("a described kind"), odd)
        })
        .collect();
    cameras.push(("own", own.expect("a camera"), true));
    let mut seen = 0;
    for (name, camera, odd) in &cameras {
        let scales = [camera.times(), camera.apertures()];
        for (scale, (control, full)) in scales.into_iter().zip(full) {
            for mark in scale.marks().iter().filter(|mark| !mark.by_hand()) {
                let at = full
                    .iter()
                    .find(|(figure, _)| (figure - mark.engraved()).abs() < 1e-9);
                let what = format!("{} of {name}", words::value(mark));
                if let Some((_, place)) = at {
                    close(what, mark.place().get(), f64::from(*place), EXACT);
                    seen += 1;
                } else if *odd {
                    let literal = match control {
                        Control::Time => mark.engraved().log2(),
                        _ => -2.0 * mark.engraved().log2(),
                    };
                    close(what, mark.place().get(), literal, EXACT);
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 70, "only {seen} marks were looked at");
}

/// Camera F's top speed is 1/300: taken as it is, 0.23 less light than 1/250 stands for.
#[test]
fn odd_top_speed() {
    let read = reading("100", "1/250", "8", Steps::Full);
    let found = settable(&camera::f(), &read, "100", Stops::ZERO, SLIDE);
    has_pair(&found, "1/300", "8", 8.0 - 300.0_f64.log2(), EXACT);
    has_pair(&found, "1/125", "11", 0.0, EXACT);
    assert!(
        found
            .iter()
            .all(|pair| words::figure(&pair.time) != "1/250"),
        "1/250 is not on the camera: {}",
        listed(&found)
    );
}

/// The ledger of case 3's last frame: the lines are what each control gives, and they add up.
#[test]
fn ledger_of_a_frame() {
    let read = reading("100", "1/125", "11", Steps::Full);
    let set = [
        time("1/30", Steps::Full),
        aperture("11", Steps::Full),
        speed("400"),
    ];
    let ledger = Ledger::new(&read, &set, []);
    for (control, line) in Control::ALL.into_iter().zip([2.0, 0.0, 2.0]) {
        close(
            control.name(),
            ledger.lines[control.index()].get(),
            line,
            EXACT,
        );
    }
    close("total", ledger.total.get(), 4.0, EXACT);
    let (lines, total) = ledger.printed();
    let said: Vec<String> = lines.into_iter().map(words::part).collect();
    assert_eq!(
        said,
        ["2 stops more light", "no difference", "2 stops more light"],
        "as printed"
    );
    same("the total", &words::part(total), "4 stops more light");
}
