//! Rolls of invented brackets, whose truths are found again, and of which nothing is claimed where they cannot be.

use exposure::tone;
use proptest::prelude::*;
use scans::{
    Measured, Pixels,
    roll::{
        Begins, Frame, LineUp, NEGATIVES, Picture, STILL, Said, Scanned, Scanning, beginnings, fit,
        line_up, odd, scanned,
    },
};

use crate::{
    check::close,
    made::{Dice, Made, to_code},
};

/// Frames of some scenes, each bracketed by these offsets.
fn roll(scenes: &[u64], offsets: &[f64], how: impl Fn(Made) -> Made) -> Vec<(u16, f64, Measured)> {
    scenes
        .iter()
        .flat_map(|scene| offsets.iter().map(move |offset| (*scene, *offset)))
        .map(|(scene, offset)| {
            let seed = scene * 31 + offset.to_bits() % 97;
            let made = how(Made {
                seed,
                ..Made::new(scene, offset)
            });
            (
                u16::try_from(scene).expect("small"),
                offset,
                made.measured(),
            )
        })
        .collect()
}

fn frames(roll: &[(u16, f64, Measured)]) -> Vec<Frame<'_>> {
    roll.iter()
        .zip(1..)
        .map(|((scene, offset, measured), number)| Frame {
            number,
            scene: *scene,
            offset: *offset,
            measured,
        })
        .collect()
}

const THREE: [f64; 3] = [-1.0, 0.0, 1.0];
const FIVE: [f64; 5] = [-2.0, -1.0, 0.0, 1.0, 2.0];

fn said(scanned: &Scanned) -> String {
    let said = scanned.words(Said::Unknown).join(" ");
    assert!(!said.contains('+') && !said.contains('−'), "{said}");
    said
}

/// C5 [CALC]: the film bracket by its numbers.
#[test]
fn film_bracket() {
    let middles = [-0.6460, -1.5041, -2.5556, -3.5339, -4.6065, -5.6580];
    let points: Vec<[f64; 2]> = middles
        .into_iter()
        .zip((0..6).rev())
        .map(|(middle, offset)| [f64::from(offset), middle])
        .collect();
    let found = fit(&[points], 5.0);
    close("slope", found.slope.expect("fitted"), 1.00987, 0.000_006);
    close(
        "explained",
        found.explained.expect("fitted"),
        0.99900,
        0.000_006,
    );
    close(
        "by pairs",
        found.theil_sen.expect("fitted"),
        1.02545,
        0.000_006,
    );
    assert_eq!(found.how, Scanning::Fixed, "one setting");
    assert!(
        said(&found).contains("1.01 stop for each logged stop"),
        "{}",
        said(&found)
    );
}

#[test]
fn fixed_and_corrected_rolls_are_told_apart() {
    for contrast in [0.7, 1.0, 1.25] {
        for cast in [0.0, 0.6] {
            let roll = roll(&[1, 2, 3], &THREE, |made| Made {
                contrast,
                cast,
                ..made
            });
            let found = scanned(&frames(&roll));
            assert_eq!(found.how, Scanning::Fixed, "{found:?}");
            close(
                format!("contrast {contrast}"),
                found.slope.expect("fitted"),
                contrast,
                0.1,
            );
            assert_eq!((found.frames, found.scenes), (9, 3), "{found:?}");
            assert!(
                found.tells_exposure() && said(&found).contains("one fixed setting"),
                "{found:?}"
            );
            assert!(
                found.against(Said::Corrected).is_some() && found.against(Said::Fixed).is_none(),
                "beside what was said"
            );
        }
    }
    let corrected = roll(&[1, 2, 3], &FIVE, |made| Made {
        corrected: true,
        noise: 0.1,
        ..made
    });
    let found = scanned(&frames(&corrected));
    assert_eq!(found.how, Scanning::Corrected, "{found:?}");
    assert!(
        !found.tells_exposure() && said(&found).contains(STILL),
        "{}",
        said(&found)
    );
    assert!(
        found.against(Said::Fixed).is_some() && found.against(Said::Unknown).is_none(),
        "beside what was said"
    );
    assert!(
        odd(&frames(&corrected), &found).is_empty(),
        "nothing is concluded from them"
    );
}

/// Light that drifts from scene to scene is no slope; light that drifts within one is no fixed setting.
#[test]
fn drifting_light() {
    // Three scenes, each four stops brighter than the one before, corrected or not.
    let level = |made: Made| Made {
        stops: made.stops + 0.8 * (made.scene as f64 - 2.0),
        ..made
    };
    let found = scanned(&frames(&roll(&[1, 2, 3], &THREE, level)));
    assert_eq!(found.how, Scanning::Fixed, "{found:?}");
    close("slope", found.slope.expect("fitted"), 1.0, 0.1);
    // Within one scene light falls as fast as the bracket rises: pictures are alike.
    let against = |made: Made| Made {
        stops: 0.1 * made.stops,
        ..made
    };
    let found = scanned(&frames(&roll(&[4], &FIVE, against)));
    assert_eq!(found.how, Scanning::Alike, "which, cannot be told");
    assert!(
        said(&found).contains("or the frames got the same light") && !found.tells_exposure(),
        "{}",
        said(&found)
    );
    // Half as fast: nothing is claimed.
    let halved = |made: Made| Made {
        stops: 0.28 * made.stops,
        ..made
    };
    let found = scanned(&frames(&roll(&[4, 5], &FIVE, halved)));
    assert_eq!(found.how, Scanning::Unclear, "{found:?}");
    assert!(said(&found).contains("cannot be told"), "{}", said(&found));
    // Wildly changing light: no line.
    let wild = |made: Made| {
        let mut dice = Dice::new(made.seed);
        Made {
            stops: made.stops * 0.5 + 3.0 * (dice.share() - 0.5),
            ..made
        }
    };
    let found = scanned(&frames(&roll(&[6, 7, 8], &FIVE, wild)));
    assert_eq!(found.how, Scanning::Unclear, "{found:?}");
}

/// Pictures of one bracket that are alike say only that: its setting may not have been changed. Shadows that move with the light
/// while the middle stays, or a second scene, say that the scanner evened them out.
#[test]
fn pictures_that_are_alike_are_not_called_corrected() {
    // Not one setting was changed.
    let same = |made: Made| Made { stops: 0.0, ..made };
    let alike = roll(&[1], &FIVE, same);
    let found = scanned(&frames(&alike));
    assert_eq!(found.how, Scanning::Alike, "{found:?}");
    let to_fixed = found.words(Said::Fixed).join(" ");
    assert!(
        to_fixed.contains("then these frames got the same light") && !to_fixed.contains(STILL),
        "{to_fixed}"
    );
    assert!(
        found.against(Said::Corrected).is_none(),
        "nothing stands against it"
    );
    // C5 [CALC]: what a picture's middle and dark tone come to when each frame is brought back to the same middle.
    let tones: Vec<(u16, f64, Measured)> = [(-3.0, 94), (-2.0, 73), (0.0, 39), (2.0, 28)]
        .into_iter()
        .map(|(offset, dark)| {
            let pixels: Vec<u8> = (0..96 * 64)
                .flat_map(|at| {
                    let code = if at % 7 == 0 { dark } else { 118 };
                    [code, code, code, 255]
                })
                .collect();
            let pixels = Pixels::new(96, 64, &pixels).expect("as many as said");
            (1, offset, Measured::of(&pixels))
        })
        .collect();
    let found = scanned(&frames(&tones));
    assert_eq!(found.how, Scanning::Corrected, "{found:?}");
    assert!(said(&found).contains(STILL), "{}", said(&found));
    // The same of two scenes, where it is no accident.
    let two = roll(&[1, 2], &FIVE, same);
    assert_eq!(
        scanned(&frames(&two)).how,
        Scanning::Corrected,
        "two scenes"
    );
    // A second scene of one frame, or of frames in one light, agrees with nothing.
    let mut one = alike;
    one.extend(roll(&[2], &[0.0, 0.0, 0.3], same));
    assert_eq!(scanned(&frames(&one)).how, Scanning::Alike, "one scene");
}

#[test]
fn what_a_log_does_not_carry_is_withheld() {
    for (scenes, offsets) in [
        (vec![1, 2, 3], vec![-0.5, 0.0, 0.5]),
        (vec![1], vec![0.0]),
        (vec![1, 2], vec![-1.0]),
    ] {
        let roll = roll(&scenes, &offsets, |made| made);
        let found = scanned(&frames(&roll));
        assert_eq!(found.how, Scanning::Withheld, "{found:?}");
        assert_eq!((found.slope, found.explained), (None, None), "{found:?}");
        assert!(
            said(&found).contains("no scene was bracketed over two stops"),
            "{}",
            said(&found)
        );
    }
    // All of it in the black floor.
    let dark = roll(&[1, 2], &FIVE, |made| Made {
        stops: made.stops - 7.0,
        ..made
    });
    let found = scanned(&frames(&dark));
    assert_eq!(found.how, Scanning::Withheld, "{found:?}");
    assert!(
        said(&found).contains("nearly black or white"),
        "{}",
        said(&found)
    );
    assert_eq!(scanned(&[]).how, Scanning::Withheld, "no frames");
}

#[test]
fn a_roll_from_its_other_end_runs_against_the_log() {
    let mut roll = roll(&[1, 2], &FIVE, |made| made);
    roll.reverse();
    let offsets: Vec<f64> = FIVE.iter().chain(&FIVE).copied().collect();
    for (frame, offset) in roll.iter_mut().zip(offsets) {
        frame.1 = offset;
    }
    let found = scanned(&frames(&roll));
    assert_eq!(found.how, Scanning::Against, "{found:?}");
    assert!(said(&found).contains("line-up"), "{}", said(&found));
}

#[test]
fn frames_that_contradict_the_log_are_asked_about() {
    // Frame 5 of two series of five was shot like frame 4, though the log says a stop more.
    let slip = |made: Made| {
        let stops = if made.scene == 1 && made.stops > 1.5 {
            1.1
        } else {
            made.stops
        };
        Made { stops, ..made }
    };
    let one = roll(&[1, 2], &FIVE, slip);
    let of = frames(&one);
    let found = odd(&of, &scanned(&of));
    let which: Vec<_> = found.iter().map(|pair| (pair.less, pair.more)).collect();
    assert_eq!(which, [(4, 5)], "{found:?}");
    close("measured", found[0].measured.stops, 0.1, 0.045);
    assert_eq!(
        found[0].words(),
        "Frames 4 and 5 differ by 0.1 stop, as if the scans were plain sRGB, logged as 1 stop: did the light change, or a setting?"
    );
    // The reverse: two stops where one was logged.
    let jump = |made: Made| {
        let stops = if made.scene == 1 && made.stops > 1.5 {
            3.0
        } else {
            made.stops
        };
        Made {
            stops: stops - 1.0,
            ..made
        }
    };
    let two = roll(&[1, 2], &FIVE, jump);
    let of = frames(&two);
    let found = odd(&of, &scanned(&of));
    let which: Vec<_> = found.iter().map(|pair| (pair.less, pair.more)).collect();
    assert_eq!(which, [(4, 5)], "nothing of the other scene: {found:?}");
    close("measured", found[0].measured.stops, 2.0, 0.1);
    // Three frames, the last two alike: the pair that is right does not look odd beside it.
    let three = |made: Made| Made {
        stops: made.stops.min(0.0),
        ..made
    };
    let few = roll(&[3], &THREE, three);
    let of = frames(&few);
    let found = odd(
        &of,
        &Scanned {
            how: Scanning::Fixed,
            ..scanned(&of)
        },
    );
    let which: Vec<_> = found.iter().map(|pair| (pair.less, pair.more)).collect();
    assert_eq!(which, [(2, 3)], "{found:?}");
    // What runs the other way is said so.
    let back = roll(&[1, 2], &FIVE, |made| {
        let stops = if made.scene == 2 && made.stops > 1.5 {
            0.0
        } else {
            made.stops
        };
        Made { stops, ..made }
    });
    let of = frames(&back);
    let found = odd(&of, &scanned(&of));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0]
            .words()
            .contains("frame 10 darker though it got more light"),
        "{}",
        found[0].words()
    );
}

#[test]
fn clean_rolls_are_not_asked_about() {
    for contrast in [0.75, 1.0, 1.3] {
        let roll = roll(&[1, 2, 3, 4], &THREE, |made| Made {
            contrast,
            noise: 0.12,
            moved: (1.0, 0.5),
            ..made
        });
        let of = frames(&roll);
        let found = odd(&of, &scanned(&of));
        assert!(found.is_empty(), "contrast {contrast}: {found:?}");
    }
}

#[test]
fn clipping_and_casts_begin_where_they_do() {
    let roll = roll(&[1], &[-2.0, -1.0, 0.0, 1.0, 2.0, 3.0], |made| {
        let cast = if made.stops < -0.5 { 2.0 } else { 0.0 };
        Made { cast, ..made }
    });
    let of = frames(&roll);
    let found = beginnings(&of);
    let burnt: Vec<f64> = found
        .iter()
        .filter(|begin| begin.what == Begins::Burnt)
        .map(|begin| begin.offset)
        .collect();
    let shares: Vec<f64> = roll.iter().map(|frame| frame.2.bright.any).collect();
    let first = shares
        .iter()
        .position(|share| *share >= 0.02)
        .expect("some burn out");
    assert!(first > 0, "not all: {shares:?}");
    assert_eq!(burnt, [roll[first].1], "burnt out from");
    let leans = found
        .iter()
        .find(|begin| begin.what == Begins::LeansWithLess(0));
    let leans = leans.unwrap_or_else(|| panic!("{found:?}"));
    close("shadows lean from", leans.offset, -1.0, 1e-12);
    assert_eq!(
        leans.words(),
        "shadows take a cast from here to less light, by places that look grey in the middle of the bracket"
    );
    assert!(beginnings(&of[..1]).is_empty(), "one frame begins nothing");
}

/// A blue sky over a warm wall over grey ground, in stops of red, green and blue about the middle tone.
fn coloured(x: usize, y: usize) -> [f64; 3] {
    #[expect(clippy::cast_precision_loss, reason = "a small picture")]
    let (x, y) = (x as f64 / 192.0, y as f64 / 128.0);
    // Windows, stones and clouds, so that there is something to go by.
    let thing = f64::from(u8::from(
        (x * 7.3).fract() < 0.4 && (y * 5.7 + x).fract() < 0.5,
    ));
    if y < 0.35 {
        [0.3, 0.9, 1.6].map(|stops| stops + 0.4 * thing - 0.6 * y)
    } else if y < 0.6 {
        [0.5, -0.2, -0.9].map(|stops| stops - 1.4 * thing + x)
    } else {
        [-0.9; 3].map(|stops| stops - 1.6 * thing + 1.5 * x)
    }
}

/// Frames of that scene through a film's curve for each colour: stops of light to stops of the scan.
fn bracket(curve: impl Fn(usize, f64) -> f64) -> Vec<(u16, f64, Measured)> {
    bracket_of(coloured, curve)
}

fn bracket_of(
    scene: impl Fn(usize, usize) -> [f64; 3],
    curve: impl Fn(usize, f64) -> f64,
) -> Vec<(u16, f64, Measured)> {
    [-2.0_f64, -1.0, 0.0, 1.0, 2.0, 3.0]
        .into_iter()
        .map(|offset| {
            let mut dice = Dice::new(offset.to_bits() % 89);
            let pixels: Vec<u8> = (0..192 * 128)
                .flat_map(|at| {
                    let grain = 0.1 * (dice.share() - 0.5);
                    let stops = scene(at % 192, at / 192);
                    let [red, green, blue] = [0, 1, 2].map(|colour| {
                        let stops = curve(colour, stops[colour] + offset) + grain;
                        to_code(tone::code(tone::MIDDLE * stops.exp2()))
                    });
                    [red, green, blue, 255]
                })
                .collect();
            let pixels = Pixels::new(192, 128, &pixels).expect("as many as said");
            (1, offset, Measured::of(&pixels))
        })
        .collect()
}

fn leaning(roll: &[(u16, f64, Measured)]) -> Vec<(Begins, f64)> {
    let found = beginnings(&frames(roll)).into_iter();
    let casts = found.filter(|begin| !begin.what.is_clipping());
    casts.map(|begin| (begin.what, begin.offset)).collect()
}

/// In a coloured scene other things come to lie in each third of the scale as the light grows: that is no cast, whatever the contrast
/// and the curve. A cast of the film is found where it begins.
#[test]
fn casts_of_coloured_scenes() {
    /// A film without a cast: each colour by the same curve.
    type Film = fn(f64) -> f64;
    let films: [(&str, Film); 5] = [
        ("straight", |stops| stops),
        ("soft", |stops| 0.6 * stops),
        ("hard", |stops| 1.4 * stops),
        ("a toe and a shoulder", |stops| 3.0 * (stops / 3.0).tanh()),
        ("a black floor", |stops| (stops.exp2() + 0.03).log2()),
    ];
    for (name, film) in films {
        let roll = bracket(|_, stops| film(stops));
        assert_eq!(leaning(&roll), [], "{name}");
        // That the means of the thirds move is what makes this worth asking.
        let apart = |a: &[f64; 2], b: &[f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
        let moves = |third: usize| {
            let casts = roll.iter().filter_map(|frame| frame.2.casts[third]);
            let means: Vec<[f64; 2]> = casts.map(|cast| [cast.a, cast.b]).collect();
            let pairs = means.iter().flat_map(|a| means.iter().map(|b| apart(a, b)));
            pairs.fold(0.0, f64::max)
        };
        let most = (0..3).map(moves).fold(0.0, f64::max);
        assert!(most > 6.0, "{name}: the means move by {most}");
        // Blue that stops falling where little light came: shadows turn blue.
        let blue = bracket(|colour, stops| {
            let floor = if colour == 2 { -1.5 } else { f64::NEG_INFINITY };
            let stops = stops.max(floor);
            film(stops)
        });
        let found = leaning(&blue);
        let begins: Vec<f64> = found
            .iter()
            .filter(|(what, _)| *what == Begins::LeansWithLess(0))
            .map(|(_, offset)| *offset)
            .collect();
        assert!(
            begins.len() == 1 && (-2.0..=-1.0).contains(&begins[0]),
            "{name}: {found:?}"
        );
        assert!(
            found.iter().all(|(what, _)| !what.is_to_more()),
            "{name}: {found:?}"
        );
        // Without the colours of an older record nothing is said of casts.
        let mut older = blue;
        for (.., measured) in &mut older {
            measured.colours = None;
        }
        assert_eq!(leaning(&older), [], "{name}");
    }
    // Where nothing is grey, nothing is said: what a cast makes of a colour is not told from what the film makes of it.
    let warm = |x, y| {
        let [_, tone, _] = coloured(x, y);
        [tone + 0.8, tone, tone - 1.0]
    };
    let blue = bracket_of(
        warm,
        |colour, stops| if colour == 2 { stops.max(-1.5) } else { stops },
    );
    assert_eq!(leaning(&blue), [], "all of it is warm");
    // Red that stops rising where much light came: highlights turn cold.
    let cold = bracket(|colour, stops| if colour == 0 { stops.min(0.9) } else { stops });
    let found = leaning(&cold);
    assert!(
        found
            .iter()
            .any(|(what, offset)| *what == Begins::LeansWithMore(2) && *offset >= 1.0),
        "{found:?}"
    );
    assert!(found.iter().all(|(what, _)| what.is_to_more()), "{found:?}");
}

/// The same of scenes of many coloured things, moved between the frames and cropped otherwise.
#[test]
fn no_cast_begins_where_a_film_has_none() {
    for scene in 1..25_u8 {
        let size = [(192, 128), (192, 126), (128, 192)][usize::from(scene % 3)];
        let shot = |made: Made| Made {
            contrast: 0.7 + 0.05 * f64::from(scene % 13),
            colour: 1.2,
            noise: 0.1,
            moved: (0.5 * made.stops, -0.7 * made.stops),
            size,
            ..made
        };
        let roll = roll(&[u64::from(scene)], &FIVE, shot);
        assert_eq!(leaning(&roll), [], "scene {scene}");
        // Shadows that turn blue where less light came are found in each.
        let roll = self::roll(&[u64::from(scene)], &FIVE, |made| Made {
            cast: if made.stops < -0.5 { 2.0 } else { 0.0 },
            ..shot(made)
        });
        let found = leaning(&roll);
        assert!(
            found.contains(&(Begins::LeansWithLess(0), -1.0)),
            "scene {scene}: {found:?}"
        );
    }
}

/// A saturated red is dark to the end in blue and in green, and no black.
#[test]
fn black_is_what_is_black_in_all_colours() {
    let of = |colours: [u8; 3], offset: f64| {
        let pixels: Vec<u8> = (0..96 * 64)
            .flat_map(|at| {
                let [red, green, blue] = if at % 96 < 20 { colours } else { [118; 3] };
                [red, green, blue, 255]
            })
            .collect();
        let pixels = Pixels::new(96, 64, &pixels).expect("as many as said");
        (1, offset, Measured::of(&pixels))
    };
    let red = [
        of([160, 0, 0], -2.0),
        of([160, 0, 0], -1.0),
        of([200, 40, 40], 0.0),
    ];
    assert_eq!(beginnings(&frames(&red)), [], "red");
    let black = [
        of([1, 0, 0], -2.0),
        of([0, 1, 1], -1.0),
        of([200, 40, 40], 0.0),
    ];
    let found = beginnings(&frames(&black));
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        (found[0].what, found[0].offset),
        (Begins::Black, -1.0),
        "{found:?}"
    );
}

fn lay(series: &[Vec<f64>], files: &[&Measured]) -> LineUp {
    let known = |offsets: &Vec<f64>| offsets.iter().copied().map(Some).collect();
    lay_known(&series.iter().map(known).collect::<Vec<_>>(), files)
}

fn lay_known(series: &[Vec<Option<f64>>], files: &[&Measured]) -> LineUp {
    let pictures: Vec<Picture<'_>> = files
        .iter()
        .map(|measured| Picture {
            grid: &measured.grid,
        })
        .collect();
    line_up(series, &pictures)
}

fn series(count: usize, offsets: &[f64]) -> Vec<Vec<f64>> {
    vec![offsets.to_vec(); count]
}

#[test]
fn files_as_logged_are_left_alone() {
    for corrected in [false, true] {
        let roll = roll(&[1, 2, 3, 4], &THREE, |made| Made { corrected, ..made });
        let files: Vec<&Measured> = roll.iter().map(|frame| &frame.2).collect();
        assert!(
            matches!(lay(&series(4, &THREE), &files), LineUp::AsLogged { .. }),
            "corrected {corrected}"
        );
        if !corrected {
            assert_eq!(
                lay(&series(4, &THREE), &files),
                LineUp::AsLogged { told: true },
                "told"
            );
        }
    }
}

/// The first and the last frame of an even bracket cannot be told apart where one of them is missing: both are named. The one in
/// the middle can.
#[test]
fn a_missing_file_is_found() {
    let roll = roll(&[1, 2, 3], &THREE, |made| made);
    for missing in 0..9 {
        let files: Vec<&Measured> = roll
            .iter()
            .enumerate()
            .filter(|(at, _)| *at != missing)
            .map(|(_, frame)| &frame.2)
            .collect();
        let found = lay(&series(3, &THREE), &files);
        if missing == 6 || missing == 8 {
            // At the end of the film nothing has to move for it.
            assert_eq!(found, LineUp::AsLogged { told: false }, "frame {missing}");
            continue;
        }
        let LineUp::Proposed(laid) = found else {
            panic!("frame {missing}: {found:?}");
        };
        let all = [laid.missing.clone(), laid.doubtful.clone()].concat();
        assert!(
            laid.missing.len() == 1 && all.contains(&missing),
            "frame {missing}: {laid:?}"
        );
        assert!(laid.extra.is_empty() && laid.reversed.is_none(), "{laid:?}");
        let said = laid.words(&[1, 2, 3, 4, 5, 6, 7, 8, 9], &[]).join(" ");
        if missing % 3 == 1 {
            assert_eq!(all, [missing], "the one in the middle is told");
            for (frame, file) in laid.files.iter().enumerate() {
                let expected = (frame != missing).then(|| frame - usize::from(frame > missing));
                assert_eq!(*file, expected, "frame {frame} without {missing}");
            }
            assert!(
                said.contains(&format!("no file: {}.", missing + 1)),
                "{said}"
            );
        } else {
            assert_eq!(all.len(), 2, "both ends of the series: {laid:?}");
            assert!(said.contains("cannot be told"), "{said}");
        }
    }
}

#[test]
fn an_extra_file_is_found() {
    let roll = roll(&[1, 2, 3], &THREE, |made| made);
    let stray = Made::new(40, 0.0).measured();
    for at in [0, 3, 6, 9] {
        let mut files: Vec<&Measured> = roll.iter().map(|frame| &frame.2).collect();
        files.insert(at, &stray);
        let found = lay(&series(3, &THREE), &files);
        if at == 9 {
            // Behind the last frame it moves nothing.
            assert!(matches!(found, LineUp::AsLogged { .. }), "{found:?}");
            continue;
        }
        let LineUp::Proposed(laid) = found else {
            panic!("file {at}: {found:?}");
        };
        assert_eq!(laid.extra, [at], "{laid:?}");
        let names: Vec<String> = (0..10).map(|at| format!("IMG_{at:04}.jpg")).collect();
        assert_eq!(
            laid.words(&[], &names),
            [format!(
                "By the pictures, this file belongs to no frame of the log: IMG_{at:04}.jpg."
            )]
        );
        assert!(laid.missing.is_empty(), "{laid:?}");
    }
}

/// Every file lies one place too far: a leader was scanned as the first, and the last frame was not.
#[test]
fn a_roll_that_is_off_by_one_is_found() {
    let roll = roll(&[1, 2, 3], &THREE, |made| made);
    let leader = Made::new(50, 1.0).measured();
    let mut files: Vec<&Measured> = roll.iter().map(|frame| &frame.2).collect();
    files.insert(0, &leader);
    files.pop();
    let found = lay(&series(3, &THREE), &files);
    let LineUp::Proposed(laid) = found else {
        panic!("{found:?}");
    };
    assert_eq!((laid.extra, laid.missing), (vec![0], vec![8]));
    let expected: Vec<Option<usize>> = (1..9).map(Some).chain([None]).collect();
    assert_eq!(laid.files, expected);
}

/// What is found does not hang on the order in which frames are handed over.
#[test]
fn the_order_of_frames_changes_nothing() {
    let slip = |made: Made| Made {
        stops: if made.scene == 1 {
            made.stops.min(1.1)
        } else {
            made.stops
        },
        ..made
    };
    let roll = roll(&[1, 2], &FIVE, slip);
    let of = frames(&roll);
    let found = odd(&of, &scanned(&of));
    assert_eq!(found.len(), 1, "{found:?}");
    for turn in 1..of.len() {
        let mut turned = of.clone();
        turned.rotate_left(turn);
        assert_eq!(scanned(&turned), scanned(&of), "turned by {turn}");
        assert_eq!(odd(&turned, &scanned(&turned)), found, "turned by {turn}");
        assert_eq!(beginnings(&turned), beginnings(&of), "turned by {turn}");
    }
}

#[test]
fn rolls_and_strips_the_other_way_round_are_found() {
    let roll = roll(&[1, 2, 3, 4], &THREE, |made| made);
    let forward: Vec<&Measured> = roll.iter().map(|frame| &frame.2).collect();
    for (first, last) in [(0, 5), (6, 11), (3, 5), (3, 8)] {
        let mut files = forward.clone();
        files[first..=last].reverse();
        let LineUp::Proposed(laid) = lay(&series(4, &THREE), &files) else {
            panic!("{first} to {last}: {:?}", lay(&series(4, &THREE), &files));
        };
        assert_eq!(laid.reversed, Some((first, last)), "{laid:?}");
        let expected: Vec<Option<usize>> = (0..12)
            .map(|at| {
                Some(if (first..=last).contains(&at) {
                    first + last - at
                } else {
                    at
                })
            })
            .collect();
        assert_eq!(laid.files, expected, "{first} to {last}");
        let names: Vec<String> = (0..12).map(|at| format!("IMG_{at:04}.jpg")).collect();
        assert_eq!(
            laid.words(&[], &names),
            [format!(
                "By the pictures, IMG_{first:04}.jpg to IMG_{last:04}.jpg lie the other way round."
            )]
        );
        let unnamed = laid.words(&[], &[]).join(" ");
        assert!(
            unnamed.contains(&format!("file {} to file {}", first + 1, last + 1)),
            "{unnamed}"
        );
    }
    // Series of different lengths tell the way round even where each frame was corrected.
    let lengths = vec![
        THREE.to_vec(),
        FIVE.to_vec(),
        THREE.to_vec(),
        vec![-1.0, 0.0, 1.0, 2.0, 3.0, 4.0],
    ];
    for corrected in [true, false] {
        let scans: Vec<Measured> = lengths
            .iter()
            .zip(20..)
            .flat_map(|(offsets, scene)| {
                offsets.iter().map(move |offset| {
                    Made {
                        corrected,
                        seed: 5,
                        ..Made::new(scene, *offset)
                    }
                    .measured()
                })
            })
            .collect();
        let files: Vec<&Measured> = scans.iter().rev().collect();
        let LineUp::Proposed(laid) = lay(&lengths, &files) else {
            panic!("{:?}", lay(&lengths, &files));
        };
        assert_eq!(laid.reversed, Some((0, files.len() - 1)), "{laid:?}");
    }
    // So does the order in which a series was shot.
    let shot = [0.0, -1.0, 1.0];
    let roll = self::roll(&[1, 2, 3], &shot, |made| made);
    let files: Vec<&Measured> = roll.iter().rev().map(|frame| &frame.2).collect();
    let LineUp::Proposed(laid) = lay(&series(3, &shot), &files) else {
        panic!("{:?}", lay(&series(3, &shot), &files));
    };
    assert_eq!(laid.reversed, Some((0, 8)), "{laid:?}");
}

/// Negatives that were not turned positive lie as logged, and look like a roll from its other end: nothing is turned for them.
#[test]
fn negatives_are_not_turned() {
    for (scenes, offsets) in [
        (&[1, 2, 3, 4][..], &THREE[..]),
        (&[1], &FIVE),
        (&[5, 6], &[0.0, 1.0, 2.0]),
        (&[7, 8, 9], &[0.0, -1.0, 1.0]),
        (&[1, 2, 3], &[0.0, -2.0, 2.0]),
    ] {
        let roll = roll(scenes, offsets, |made| Made {
            negative: true,
            ..made
        });
        let files: Vec<&Measured> = roll.iter().map(|frame| &frame.2).collect();
        let log = series(scenes.len(), offsets);
        assert_eq!(
            lay(&log, &files),
            LineUp::Negatives,
            "{scenes:?} {offsets:?}"
        );
        let found = scanned(&frames(&roll));
        assert_eq!(found.how, Scanning::Against, "{found:?}");
        assert!(
            said(&found).contains("negatives that were not turned positive"),
            "{}",
            said(&found)
        );
        // A file that is missing in the middle of them changes nothing.
        if scenes.len() > 2 {
            let fewer = [&files[..4], &files[5..]].concat();
            assert_eq!(
                lay(&log, &fewer),
                LineUp::Negatives,
                "{scenes:?} {offsets:?}"
            );
        }
    }
    // Brackets to both sides of the same light, from the other end: pictures cannot tell that from negatives.
    let roll = roll(&[1, 2, 3, 4], &THREE, |made| made);
    let files: Vec<&Measured> = roll.iter().rev().map(|frame| &frame.2).collect();
    assert_eq!(lay(&series(4, &THREE), &files), LineUp::Negatives);
    assert!(NEGATIVES.contains("If they are positives, they run the other way"));
    // A single pair of frames is a cloud as well.
    let files: Vec<&Measured> = roll[..2].iter().rev().map(|frame| &frame.2).collect();
    assert_eq!(lay(&series(1, &[-1.0, 0.0]), &files), LineUp::Unclear);
}

/// A row more or less is how a picture was cropped; only one that stands where the other lies is of another scene by its shape.
#[test]
fn pictures_of_unequal_sizes_are_compared() {
    let sizes = [(192, 128), (192, 126), (192, 130), (190, 128)];
    let shot = |scene: u64, nth: usize, size| {
        Made {
            size,
            seed: 3,
            ..Made::new(scene, THREE[nth])
        }
        .measured()
    };
    let of = |size: &dyn Fn(usize) -> (usize, usize)| -> Vec<Measured> {
        let all = (0..9).map(|at| shot(1 + at as u64 / 3, at % 3, size(at)));
        all.collect()
    };
    let cropped = of(&|at| sizes[at % 4]);
    let grids: Vec<(usize, usize)> = cropped.iter().map(|scan| scan.grid.size()).collect();
    assert!(grids[0] != grids[1] && grids[1] != grids[2], "{grids:?}");
    let files: Vec<&Measured> = cropped.iter().collect();
    let log = series(3, &THREE);
    assert_eq!(
        lay(&log, &files),
        LineUp::AsLogged { told: true },
        "as logged"
    );
    // One that is missing is found among them as among others.
    let fewer = [&files[..4], &files[5..]].concat();
    let LineUp::Proposed(laid) = lay(&log, &fewer) else {
        panic!("{:?}", lay(&log, &fewer));
    };
    assert_eq!(laid.missing, [4], "{laid:?}");
    // And what one got more is measured.
    let frames: Vec<Frame<'_>> = (0..)
        .zip(&cropped)
        .map(|(at, measured): (u16, _)| Frame {
            number: at + 1,
            scene: at / 3,
            offset: THREE[usize::from(at % 3)],
            measured: if at == 4 { &cropped[3] } else { measured },
        })
        .collect();
    let found = odd(&frames, &scanned(&frames));
    let which: Vec<_> = found.iter().map(|pair| (pair.less, pair.more)).collect();
    assert_eq!(which, [(4, 5), (5, 6)], "{found:?}");
    // Upright among lying ones.
    let turned = of(&|at| if at == 4 { (128, 192) } else { (192, 128) });
    assert!(turned[3].grid.is_turned(&turned[4].grid), "turned");
    let square = Made {
        size: (128, 126),
        ..Made::new(1, 0.0)
    }
    .measured();
    let other = Made {
        size: (126, 128),
        ..Made::new(1, 0.0)
    }
    .measured();
    assert!(!square.grid.is_turned(&other.grid), "both are squares");
}

/// What is not known of a frame's light speaks neither for nor against a place.
#[test]
fn frames_without_a_known_light_are_laid_by_their_scenes() {
    let roll = roll(&[1, 2, 3], &THREE, |made| Made {
        // The light of these went down where the others went up.
        stops: if made.scene == 2 {
            -made.stops
        } else {
            made.stops
        },
        ..made
    });
    let files: Vec<&Measured> = roll.iter().map(|frame| &frame.2).collect();
    let known: Vec<Option<f64>> = THREE.map(Some).into();
    let log = [known.clone(), vec![None; 3], known.clone()];
    assert_eq!(
        lay_known(&log, &files),
        LineUp::AsLogged { told: false },
        "nothing contradicts, and nothing tells their own order"
    );
    let log = [known.clone(), known.clone(), known];
    let LineUp::Proposed(laid) = lay_known(&log, &files) else {
        panic!("{:?}", lay_known(&log, &files));
    };
    assert_eq!(laid.reversed, Some((3, 5)), "by their light");
}

#[test]
fn what_cannot_be_told_is_not_proposed() {
    // Every frame corrected, series of one length: from the other end it looks the same.
    let even = roll(&[1, 2, 3], &THREE, |made| Made {
        corrected: true,
        ..made
    });
    let files: Vec<&Measured> = even.iter().rev().map(|frame| &frame.2).collect();
    assert!(
        matches!(
            lay(&series(3, &THREE), &files),
            LineUp::AsLogged { told: false }
        ),
        "the pictures say nothing against it"
    );
    // One corrected frame of three is missing: which, cannot be told.
    let files: Vec<&Measured> = even
        .iter()
        .enumerate()
        .filter(|(at, _)| *at != 4)
        .map(|(_, frame)| &frame.2)
        .collect();
    match lay(&series(3, &THREE), &files) {
        LineUp::Proposed(laid) => {
            assert_eq!(laid.missing.len(), 1, "{laid:?}");
            let all: Vec<usize> = laid.missing.iter().chain(&laid.doubtful).copied().collect();
            assert!(
                [3, 4, 5].iter().all(|frame| all.contains(frame)),
                "{laid:?}"
            );
            assert!(
                laid.words(&[1, 2, 3, 4, 5, 6, 7, 8, 9], &[])[0].contains("cannot be told"),
                "{laid:?}"
            );
        }
        other => assert_eq!(other, LineUp::Unclear, "nothing is claimed"),
    }
    // Pictures without anything in them.
    let grey = Made {
        noise: 0.0,
        ..Made::new(1, -9.0)
    }
    .measured();
    assert!(
        matches!(
            lay(&series(1, &THREE), &[&grey, &grey, &grey]),
            LineUp::AsLogged { told: false }
        ),
        "black frames"
    );
    assert_eq!(lay(&series(1, &THREE), &[]), LineUp::Unclear, "no files");
    assert_eq!(lay(&[], &[&grey]), LineUp::Unclear, "no log");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    /// Whatever the bracket, its contrast, noise, cast and light: the slope is found again, and corrected scans are never taken
    /// for fixed ones.
    #[test]
    fn any_bracket(
        seed in 0_u64..1000, contrast in 0.6..1.3_f64, noise in 0.0..0.15_f64, cast in 0.0..0.5_f64,
        level in -0.7..0.3_f64, corrected in any::<bool>(), step in prop::sample::select(vec![1.0, 1.5]),
    ) {
        let offsets = [-step, 0.0, step];
        let roll = roll(&[1, 2, 3], &offsets, |made| Made {
            scene: made.scene + seed * 3, stops: made.stops + level, contrast, noise, cast, corrected, ..made
        });
        let of = frames(&roll);
        let found = scanned(&of);
        if corrected {
            prop_assert_eq!(found.how, Scanning::Corrected, "{:?}", found);
        } else {
            prop_assert_eq!(found.how, Scanning::Fixed, "{:?}", found);
            prop_assert!((found.slope.expect("fitted") - contrast).abs() < 0.15, "{found:?}");
        }
        prop_assert!(odd(&of, &found).is_empty(), "nothing is odd");
        let files: Vec<&Measured> = roll.iter().map(|frame| &frame.2).collect();
        let laid = lay(&series(3, &offsets), &files);
        let as_logged = matches!(laid, LineUp::AsLogged { .. });
        prop_assert!(as_logged, "{laid:?}");
    }
}
