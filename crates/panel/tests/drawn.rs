//! What can be drawn of corrections: each thing lies where the sentence beside it says.

use exposure::{Effect, Stops};
use panel::{
    Control, Intent, State, apply,
    correct::{self, FlashForm, LongForm, Worked},
    drawn::{Curve, Drawn, Piece, Rows},
    light::{Change, Line, LineKind},
};

fn after(state: &State, intents: &[Intent]) -> State {
    intents.iter().fold(state.clone(), |state, intent| {
        apply(&state, intent)
            .unwrap_or_else(|refusal| panic!("{intent:?}: {}", refusal.sentence))
            .0
    })
}

fn typed(control: Control, text: &str) -> Intent {
    Intent::Type(control, text.to_owned())
}

fn read(control: Control, text: &str) -> Intent {
    Intent::Reading(control, text.to_owned())
}

/// 8 s at f/16 on film rated 100.
fn faint() -> State {
    after(
        &State::default(),
        &[
            Intent::Camera("full-stops".to_owned()),
            read(Control::Sensitivity, "100"),
            read(Control::Time, "1/2"),
            read(Control::Aperture, "4"),
            typed(Control::Sensitivity, "100"),
            typed(Control::Aperture, "16"),
        ],
    )
}

fn rows(worked: &Worked) -> &Rows {
    let Drawn::Rows(rows) = &worked.drawn else {
        panic!("no rows: {worked:?}");
    };
    assert!(
        rows.first + rows.rows.len() <= worked.says.len(),
        "a line without a sentence: {worked:?}"
    );
    let all = rows.rows.iter().flatten();
    for piece in all {
        let ends = match *piece {
            Piece::Bar(from, to) | Piece::Hollow(from, to) => [from, to],
            Piece::Dot(at) | Piece::Against(at) => [at, at],
        };
        assert!(
            ends.iter().all(|end| rows.axis.holds(*end)),
            "{piece:?} is not on {:?}",
            rows.axis
        );
    }
    rows
}

fn curve(worked: &Worked) -> &Curve {
    match &worked.drawn {
        Drawn::Curve(curve) => curve,
        other => panic!("no curve: {other:?}"),
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

#[test]
fn the_way_to_the_film_is_laid_piece_by_piece() {
    let line =
        |kind, name: &str, stops| Line::new(kind, name, Stops::constant(stops)).expect("in range");
    let at_f16 = Effect::ByStop(vec![(faint().set()[1], Stops::constant(-0.5))]);
    let lines = [
        line(LineKind::Device, "Device", 1.0),
        line(LineKind::Filter, "Filter", -3.0),
        line(LineKind::CloseUp, "Close-up", -2.0),
        Line::by(LineKind::Lens, "Lens", at_f16).expect("in range"),
        line(LineKind::Other, "Window", -1.0).counted(false),
    ];
    let mut state = after(&faint(), &[Intent::Hold(Control::Time, true)]);
    for line in lines {
        state = state.with(&Change::Line(line)).expect("in range");
    }
    let way = state.way_to_film();
    let bars: Vec<Option<[f64; 2]>> = way
        .rows
        .iter()
        .map(|row| {
            row.iter().find_map(|piece| match *piece {
                Piece::Bar(from, to) => Some([from, to]),
                _ => None,
            })
        })
        .collect();
    assert_eq!(
        bars,
        [
            Some([0.0, 1.0]),
            Some([1.0, -2.0]),
            Some([-2.0, -4.0]),
            Some([-4.0, -4.5]),
            None,
            Some([0.0, -4.5])
        ]
    );
    assert!(near(state.correction().get(), -4.5));
    assert_eq!(way.axis, exposure::Axis::new(-5.0, 1.0));
    let words: Vec<&str> = way.ticks.iter().map(|(_, words)| words.as_str()).collect();
    assert_eq!(words, ["−5", "−4", "−3", "−2", "−1", "0", "+1"]);
    // Only what depends on the setting is said for the setting.
    let said = state.lines().iter().map(|line| state.does_now(line));
    let said: Vec<Option<String>> = said.collect();
    assert!(
        matches!(&said[..], [None, None, None, Some(now), None] if now.starts_with("As the dials stand, ") && now.ends_with(": ½ stop less light.")),
        "{said:?}"
    );
}

/// Worked case 12: metered 8, 16 and 32 s are 15.2, 37.8 and 93.7 s.
#[test]
fn long_times_are_a_curve_with_the_frames_on_it() {
    let state = after(&faint(), &[Intent::BracketUnder(0), Intent::BracketOver(2)]);
    let form = LongForm {
        which: "power".to_owned(),
        figure: "1.31".to_owned(),
        threshold: "1".to_owned(),
        ..LongForm::default()
    };
    let worked = correct::long(&state, &form).expect("in range");
    let curve = curve(&worked);
    assert!(curve.guess.is_empty(), "a rule without rows has no end");
    let frames: Vec<[f64; 2]> = curve.frames.iter().map(|at| at.map(f64::exp2)).collect();
    for (frame, [metered, counted]) in
        frames
            .iter()
            .zip([[8.0, 15.24], [16.0, 37.79], [32.0, 93.7]])
    {
        assert!(
            near(frame[0], metered) && (frame[1] - counted).abs() < 0.02,
            "{frame:?}"
        );
    }
    assert_eq!(frames.len(), 3);
    assert!(
        curve
            .says
            .ends_with("Dots are what stands on the dial: 8 s becomes 15.2 s, 16 s becomes 37.8 s, 32 s becomes 1 min 34 s."),
        "{}",
        curve.says
    );
    let words = |ticks: &[(f64, String)]| -> Vec<String> {
        ticks.iter().map(|(_, words)| words.clone()).collect()
    };
    assert_eq!(
        words(&curve.across_ticks),
        ["1 s", "4 s", "15 s", "1 min", "4 min"]
    );
    assert!(near(curve.across_ticks[2].0, 15_f64.log2()));
    // Where the curve is drawn it is the rule, and all of it is in the field.
    for [metered, counted] in &curve.known {
        let expected = if *metered > 0.0 {
            metered * 1.31
        } else {
            *metered
        };
        assert!(near(*counted, expected), "{metered} {counted}");
        assert!(curve.across.holds(*metered) && curve.up.holds(*counted));
    }
}

/// A sheet speaks of what it has rows for.
#[test]
fn beyond_the_last_row_of_a_table_the_curve_is_a_guess() {
    let form = LongForm {
        which: "table".to_owned(),
        table: "1 2; 10 50".to_owned(),
        threshold: "1/5".to_owned(),
        ..LongForm::default()
    };
    let worked = correct::long(&faint(), &form).expect("in range");
    let curve = curve(&worked);
    let ten = [10_f64.log2(), 50_f64.log2()];
    let at_ten = |point: Option<&[f64; 2]>| {
        point.is_some_and(|at| near(at[0], ten[0]) && near(at[1], ten[1]))
    };
    assert!(at_ten(curve.known.last()) && at_ten(curve.guess.first()));
    assert!(
        curve
            .says
            .contains("dashed beyond 10 s, the last row of the table: a guess")
    );
    assert!(
        curve
            .guess
            .last()
            .is_some_and(|at| near(at[0], curve.across.to())),
        "up to the end of what is drawn"
    );
    // In short light there is nothing on the dial to count.
    let bright = correct::long(&State::default(), &form).expect("in range");
    let Drawn::Curve(curve) = &bright.drawn else {
        panic!("{bright:?}");
    };
    assert!(curve.frames.is_empty());
    assert!(
        curve
            .says
            .ends_with("What stands on the dial is shorter than what is drawn.")
    );
}

/// Worked case 4: 75 mm at 3 m, circle 0.05 mm: f/16 is sharp from 2.12 m to 5.14 m.
#[test]
fn depth_of_field_lies_between_near_and_far() {
    let worked = correct::depth(&faint(), "75", "3", "6x4.5", "film-era", "").expect("in range");
    let rows = rows(&worked);
    let set = rows.set.expect("the aperture of the dials");
    assert!(worked.says[rows.first + set].starts_with("f/16, as set: sharp from 2.12 m to 5.14 m"));
    let [Piece::Bar(from, to), Piece::Dot(subject)] = rows.rows[set][..] else {
        panic!("{:?}", rows.rows[set]);
    };
    assert!((from.exp2() - 2.12).abs() < 0.005 && (to.exp2() - 5.14).abs() < 0.005);
    assert!(near(subject.exp2(), 3.0));
    assert_eq!(rows.rows.len(), faint().camera().apertures().marks().len());
    assert!(!rows.legend.contains('∞') && !rows.ticks.iter().any(|(_, words)| words == "∞"));
    for (at, words) in &rows.ticks {
        let metres: f64 = words.trim_end_matches(" m").parse().expect("metres");
        assert!(near(at.exp2(), metres), "{words} at {at}");
    }
}

#[test]
fn infinity_is_the_end_of_the_line() {
    let worked =
        correct::depth(&faint(), "50", "infinity", "24x36", "own", "0.02").expect("in range");
    let rows = rows(&worked);
    assert_eq!(rows.ticks.last(), Some(&(rows.axis.to(), "∞".to_owned())));
    for (row, says) in rows.rows.iter().zip(&worked.says[rows.first..]) {
        let softened = says.contains("diffraction softens");
        match row[..] {
            [Piece::Bar(_, to), Piece::Dot(at)] if !softened => {
                assert!(near(to, rows.axis.to()) && near(at, to));
            }
            [Piece::Hollow(_, to), Piece::Dot(at)] if softened => {
                assert!(near(to, rows.axis.to()) && near(at, to));
            }
            _ => panic!("{says} is drawn as {row:?}"),
        }
    }
    assert!(rows.legend.contains("diffraction"));
    // Far away, and still not infinity.
    let worked = correct::depth(&faint(), "50", "10", "24x36", "own", "0.03").expect("in range");
    let rows = self::rows(&worked);
    let far_of = |row: &Vec<Piece>| match row[0] {
        Piece::Bar(_, far) | Piece::Hollow(_, far) => far,
        _ => panic!("{row:?}"),
    };
    for (row, says) in rows.rows.iter().zip(&worked.says[rows.first..]) {
        assert_eq!(
            says.contains("to infinity"),
            near(far_of(row), rows.axis.to()),
            "{says}"
        );
    }
}

fn flash() -> FlashForm {
    FlashForm {
        guide_number: "20".to_owned(),
        unit: "metres".to_owned(),
        speed: "100".to_owned(),
        power: "full power".to_owned(),
        flashes: "1".to_owned(),
        distance: "5".to_owned(),
        job: "alone".to_owned(),
        below: "1".to_owned(),
        ..FlashForm::default()
    }
}

/// f-number = guide number / distance; half a stop is a quarter of a doubling of the distance.
#[test]
fn a_flash_reaches_so_far_at_each_aperture() {
    let worked = correct::flash(&faint(), &flash()).expect("in range");
    let of_metres = rows(&worked);
    let set = of_metres.set.expect("f/4 is to be set");
    assert!(
        worked.says[of_metres.first + set]
            .starts_with("f/4, to be set: right at 5 m, within ½ stop from 4.2 m to 5.95 m"),
        "{}",
        worked.says[of_metres.first + set]
    );
    let at = 5_f64.log2();
    assert!(
        matches!(of_metres.rows[set][..], [Piece::Bar(from, to), Piece::Dot(right), Piece::Against(subject)]
            if near(from, at - 0.25) && near(to, at + 0.25) && near(right, at) && near(subject, at)),
        "{:?}",
        of_metres.rows[set]
    );
    // Typed in feet it is drawn in feet: guide number 66 in feet at 16.5 ft is f/4 as well.
    let feet = FlashForm {
        guide_number: "66".to_owned(),
        unit: "feet".to_owned(),
        distance: "16.5 ft".to_owned(),
        ..flash()
    };
    let worked = correct::flash(&faint(), &feet).expect("in range");
    let of_feet = rows(&worked);
    let set = of_feet.set.expect("f/4 is to be set");
    assert!(worked.says[of_feet.first + set].starts_with("f/4, to be set: right at 16.5 ft"));
    assert!(matches!(of_feet.rows[set][1], Piece::Dot(at) if near(at.exp2(), 16.5)));
    assert!(
        of_feet
            .ticks
            .iter()
            .all(|(_, words)| words.ends_with(" ft"))
    );
    // As fill the daylight says how far it stands, whatever the aperture.
    let fill = FlashForm {
        job: "fill".to_owned(),
        ..flash()
    };
    assert_eq!(
        correct::flash(&faint(), &fill).expect("in range").drawn,
        Drawn::Nothing
    );
}

#[test]
fn a_measured_time_lies_beside_what_is_engraved() {
    let folder = after(&State::default(), &[Intent::Camera("folder".to_owned())]);
    assert_eq!(correct::measured_times(&folder).1, Drawn::Nothing);
    let worked = correct::measured(&folder, "1/250", "times", "1/160", "").expect("in range");
    let found = rows(&worked);
    let error = (250.0_f64 / 160.0).log2();
    for (row, says) in found.rows.iter().zip(&worked.says[found.first..]) {
        assert!(
            says.starts_with("Outside of ") || says.starts_with("Within "),
            "{says}"
        );
        let [
            Piece::Hollow(least, most),
            Piece::Against(_),
            Piece::Bar(_, to),
            Piece::Dot(at),
        ] = row[..]
        else {
            panic!("{row:?}");
        };
        // 1/250 of this shutter is exactly 1/256 s.
        assert!((to - error).abs() < 0.05 && near(at, to), "{row:?}");
        assert_eq!(
            says.starts_with("Within"),
            at >= least && at <= most,
            "{says}"
        );
    }
    let into = correct::into_camera(&folder, "1/250", "times", "1/160", "").expect("in range");
    let (says, drawn) = correct::measured_times(&after(&folder, &[into]));
    let Drawn::Rows(of_camera) = drawn else {
        panic!("{drawn:?}");
    };
    assert_eq!((says.len(), of_camera.rows.len()), (1, 1));
    assert_eq!(of_camera.rows[0][1..], found.rows[0][1..]);
}

#[test]
fn a_lens_takes_so_much_at_each_aperture() {
    let worked = correct::lens(&faint(), "by_stop", "", "2.8 4; 8 8; 16 16").expect("in range");
    let found = rows(&worked);
    let apertures = faint().camera().apertures().marks().len();
    assert_eq!(found.rows.len(), apertures);
    let (i, _) = worked.says[found.first..]
        .iter()
        .enumerate()
        .find(|(_, says)| says.starts_with("f/8: nothing"))
        .expect("f/8");
    assert!(matches!(found.rows[i][1], Piece::Bar(_, to) if near(to, 0.0)));
    assert!(
        matches!(found.rows[0][1], Piece::Bar(_, to) if to < -0.9),
        "{found:?}"
    );
}
