//! Two pictures: how one lies against the other, and how much more light it got.

use exposure::tone;
use scans::{
    Grid, Measured, Pixels,
    pair::{moved, of_codes, relative},
    register::{OTHER, SAME, Scene, Waves, phase, register},
    roll::{Frame, Scanning, scanned},
    stats::median,
};

use crate::{
    check::{close, noise, number, rows},
    made::{Dice, Made, to_code},
};

/// C3 [CALC].
#[test]
fn relative_exposure_of_codes() {
    let (a, b) = ([60, 85, 118, 162], [85, 118, 162, 221]);
    for (at, expected) in [1.0075, 0.9959, 0.9959, 1.0009].into_iter().enumerate() {
        let one = of_codes(&a[at..=at], &b[at..=at]).expect("within the codes that count");
        close(format!("pair {at}"), one.stops, expected, 0.000_051);
    }
    let all = of_codes(&a, &b).expect("four");
    close("median", all.stops, 0.9984, 0.000_051);
    close("share", all.share, 1.0, 1e-12);
    assert!(
        all.quartiles.0 <= all.stops && all.stops <= all.quartiles.1,
        "spread"
    );
    // The floor of the scanner, and white, are left out.
    assert_eq!(
        of_codes(&[39, 236, 20], &[80, 200, 30]),
        None,
        "none counts"
    );
    let mostly = [vec![10_u8; 99], vec![118]].concat();
    assert!(
        of_codes(&mostly, &mostly).is_some(),
        "one in a hundred is enough"
    );
    let fewer = [vec![10_u8; 100], vec![118]].concat();
    assert_eq!(of_codes(&fewer, &fewer), None, "less is not");
}

/// C6 [CALC]: shifts of the test noise and of crops of it when blurred.
#[test]
fn phase_correlation() {
    let a = noise(32 * 32);
    let turned = |a: &[f64]| -> Vec<f64> {
        (0..32 * 32)
            .map(|at| {
                let (x, y) = (at % 32, at / 32);
                a[(y + 32 - 3) % 32 * 32 + (x + 5) % 32]
            })
            .collect()
    };
    let b = turned(&a);
    let dimmer: Vec<f64> = b.iter().map(|value| 0.5 * value + 10.0).collect();
    for b in [&b, &dimmer] {
        let (down, across, height) = phase(&a, b, 32, false).expect("two squares");
        assert_eq!((down, across), (3, 27), "moved 3 down and 5 to the left");
        close("height", height, 1.0, 1e-9);
    }
    // Crops of the blurred 64×64 noise.
    let large = blurred(&noise(64 * 64), 64);
    let crop = |y: usize, x: usize| -> Vec<f64> {
        (0..32 * 32)
            .map(|at| large[(y + at / 32) * 64 + x + at % 32])
            .collect()
    };
    let (down, across, height) = phase(&crop(10, 10), &crop(13, 8), 32, true).expect("two squares");
    assert_eq!((down, across), (29, 2), "3 up and 2 to the right");
    close("height", height, 0.845, 0.03);
    assert!(phase(&a, &b[1..], 32, false).is_err(), "another size");
    assert!(
        phase(&[1.0; 16], &[1.0; 16], 4, true).is_err(),
        "even all over"
    );
}

/// Blurred by a normal curve of deviation one, the picture continued at its edges by its mirror image.
fn blurred(plane: &[f64], side: usize) -> Vec<f64> {
    let kernel: Vec<f64> = (-4..=4)
        .map(|x: i32| (-f64::from(x * x) / 2.0).exp())
        .collect();
    let all: f64 = kernel.iter().sum();
    let mirror = |at: usize, by: usize| -> usize {
        let place = at + by;
        if place < 4 {
            3 - place
        } else if place - 4 >= side {
            2 * side + 3 - place
        } else {
            place - 4
        }
    };
    let pass = |plane: &[f64], across: bool| -> Vec<f64> {
        (0..side * side)
            .map(|at| {
                let (x, y) = (at % side, at / side);
                kernel
                    .iter()
                    .enumerate()
                    .map(|(by, weight)| {
                        let value = if across {
                            plane[y * side + mirror(x, by)]
                        } else {
                            plane[mirror(y, by) * side + x]
                        };
                        weight * value / all
                    })
                    .sum()
            })
            .collect()
    };
    pass(&pass(plane, true), false)
}

/// Frames of one scene are found to show the same and laid on one another, whatever light they got and however they were
/// scanned; frames of different scenes are not.
#[test]
fn scenes_are_told_apart() {
    let mut least_same = 1.0_f64;
    let mut most_other = 0.0_f64;
    let waves = |made: Made| Waves::of(&made.measured().grid);
    let bases: Vec<Waves> = (0..12).map(|scene| waves(Made::new(scene, 0.0))).collect();
    for (scene, a) in (0_u64..).zip(&bases) {
        let base = Made::new(scene, 0.0);
        for (stops, moved, corrected, cast) in [
            (1.0, (0.0, 0.0), false, 0.0),
            (-1.0, (2.1, -1.0), false, 0.0),
            (2.0, (1.0, 3.0), false, 0.4),
            (-2.0, (-3.0, 1.5), false, 0.0),
            (1.0, (4.0, 0.0), true, 0.3),
        ] {
            let other = Made {
                stops,
                moved,
                corrected,
                cast,
                seed: 2,
                noise: 0.1,
                ..base
            };
            let shift = a.shift_to(&waves(other)).expect("something to go by");
            least_same = least_same.min(shift.height);
            assert_eq!(shift.scene(), Scene::Same, "{other:?}: {shift:?}");
            // 96 by 64 cells.
            let expected = (moved.0 * 0.96, moved.1 * 0.64);
            let what = format!("{other:?}");
            close(
                format!("{what} across"),
                f64::from(shift.across),
                expected.0,
                1.0,
            );
            close(
                format!("{what} down"),
                f64::from(shift.down),
                expected.1,
                1.0,
            );
        }
        for b in &bases[usize::try_from(scene).expect("small") + 1..] {
            let shift = a.shift_to(b).expect("something to go by");
            most_other = most_other.max(shift.height);
            assert_eq!(shift.scene(), Scene::Other, "{shift:?}");
        }
    }
    // Both thresholds lie well away from what they part.
    assert!(
        least_same > SAME + 0.15 && most_other < OTHER,
        "{most_other} to {least_same}"
    );
}

/// What one frame got more than another is found again, also where the pictures do not lie on one another.
#[test]
fn light_is_found_again() {
    for (scene, stops, shifted) in [
        (1, 1.0, (0.0, 0.0)),
        (2, -1.0, (3.0, 2.0)),
        (3, 0.5, (-2.0, 1.0)),
        (4, 2.0, (1.0, 0.0)),
        (5, 0.0, (2.0, 2.0)),
    ] {
        let a = Made::new(scene, -0.5).measured().grid;
        let b = Made {
            moved: shifted,
            seed: 9,
            ..Made::new(scene, stops - 0.5)
        }
        .measured()
        .grid;
        let found = relative(&a, &b, register(&a, &b)).expect("the same scene");
        close(format!("scene {scene}"), found.stops, stops, 0.06);
        assert!(found.quartiles.1 - found.quartiles.0 < 0.5, "{found:?}");
        assert!(
            found.words().contains("as if the scan were plain sRGB"),
            "{}",
            found.words()
        );
    }
    let (a, b) = (
        Made::new(1, 0.0).measured().grid,
        Made::new(2, 1.0).measured().grid,
    );
    assert_eq!(
        relative(&a, &b, register(&a, &b)),
        None,
        "other scenes have no relative light"
    );
}

/// Size and noise change a measured difference by less than is stated: a twentieth of a stop.
#[test]
fn scale_changes_little() {
    let at = |size: (usize, usize), stops: f64| -> Measured {
        Made {
            size,
            ..Made::new(6, stops)
        }
        .measured()
    };
    let small = [at((192, 128), 0.0), at((192, 128), 1.0)];
    for size in [(300, 200), (480, 320), (97, 65)] {
        let large = [at(size, 0.0), at(size, 1.0)];
        for (a, b) in small.iter().zip(&large) {
            close(
                "middle",
                b.middle().expect("no black"),
                a.middle().expect("no black"),
                0.1,
            );
            close("bright", b.bright.any, a.bright.any, 0.01);
        }
        let stops = |two: &[Measured; 2]| {
            moved(&two[0].grid, &two[1].grid, 0, 0)
                .expect("the same scene")
                .stops
        };
        close(format!("{size:?}"), stops(&large), stops(&small), 0.05);
    }
}

/// Patches of tones from a stop under to a stop above a level in stops under white, with the floor of a scanner, as codes with grain
/// so that rounding evens out.
fn tones(level: f64, floor: f64, seed: u64) -> Measured {
    let mut dice = Dice::new(seed);
    let pixels: Vec<u8> = (0..192 * 128)
        .flat_map(|at| {
            let patch = at % 192 / 16 * 5 + at / 192 / 16 * 3;
            let tone = f64::from(patch % 11 - 5) / 5.0;
            let grain = 0.2 * (dice.share() - 0.5);
            let code = to_code(tone::code((level + tone + grain).exp2() + floor));
            [code, code, code, 255]
        })
        .collect();
    Measured::of(&Pixels::new(192, 128, &pixels).expect("as many as said"))
}

/// C5 and C8 [CALC]: what brackets measured is measured again. A film scanned with one setting is near one to one and is called so, a
/// camera's picture is steeper, and of codes that the black floor of a scanner makes nothing is measured.
#[test]
fn measured_brackets() {
    // The medians of a film's six frames, in stops under white.
    let middles = [-0.6460, -1.5041, -2.5556, -3.5339, -4.6065, -5.6580];
    let film = middles.map(|level| tones(level, 0.0, 5));
    let frames: Vec<Frame<'_>> = (1..)
        .zip(&film)
        .map(|(number, measured)| Frame {
            number,
            scene: 1,
            offset: 6.0 - f64::from(number),
            measured,
        })
        .collect();
    let found = scanned(&frames);
    assert_eq!((found.how, found.frames), (Scanning::Fixed, 6), "{found:?}");
    close("slope", found.slope.expect("fitted"), 1.00987, 0.01);
    close("by pairs", found.theil_sen.expect("fitted"), 1.02545, 0.01);
    close(
        "explained",
        found.explained.expect("fitted"),
        0.99900,
        0.001,
    );
    // Each step of light by what its two pictures measured.
    let table = rows("set,step,measured", include_str!("../data/brackets.csv"));
    let mut ratios: Vec<(&str, f64)> = Vec::new();
    for row in table.iter().filter(|row| row[0] != "floor") {
        let (step, stops) = (number(row[1]), number(row[2]));
        // About the middle of the codes that count.
        let levels = [-2.9 + stops / 2.0, -2.9 - stops / 2.0];
        let two = levels.map(|level| tones(level, 0.0, 7).grid);
        let found = relative(&two[1], &two[0], register(&two[1], &two[0]));
        let found = found.unwrap_or_else(|| panic!("{row:?} is measured"));
        close(format!("{row:?}"), found.stops, stops, 0.02);
        assert!(found.words().contains("brighter"), "{}", found.words());
        ratios.push((row[0], found.stops / step));
    }
    for (set, count, least, most) in [
        ("film", 10, 1.0185, 1.1297),
        ("room", 5, 1.2169, 1.3562),
        ("dusk", 2, 1.2208, 1.2264),
    ] {
        let of = ratios.iter().filter(|(of, _)| *of == set);
        let of: Vec<f64> = of.map(|(_, ratio)| *ratio).collect();
        assert_eq!(of.len(), count, "{set}");
        for ratio in of {
            assert!(
                (least - 0.02..=most + 0.02).contains(&ratio),
                "{set}: {ratio}"
            );
        }
    }
    // Black near code 18: two pictures a stop apart differ by a part of it there, and nothing is measured of them.
    let floor = tone::light(18.0);
    let two = [-7.0, -8.0].map(|level| tones(level, floor, 9).grid);
    let codes = two[0].codes().iter().zip(two[1].codes());
    let apart =
        codes.map(|(a, b)| (tone::light(f64::from(*a)) / tone::light(f64::from(*b))).log2());
    let apart = median(apart).expect("cells");
    assert!(
        (0.2..0.8).contains(&apart),
        "the black floor rules there: {apart}"
    );
    assert_eq!(moved(&two[1], &two[0], 0, 0), None, "so it is left out");
}

#[test]
fn small_pictures_of_another_shape_are_not_compared() {
    let grid = |width, height| Grid::new(width, height, vec![118; width * height]).expect("sound");
    assert_eq!(moved(&grid(4, 3), &grid(3, 4), 0, 0), None, "turned");
    let cropped = moved(&grid(8, 8), &grid(8, 7), 0, 1).expect("a row less");
    close("cropped", cropped.stops, 0.0, 1e-12);
    assert_eq!(
        moved(&grid(8, 8), &grid(8, 8), 7, 0),
        None,
        "little overlap"
    );
    assert_eq!(
        moved(&grid(8, 8), &grid(8, 8), i32::MIN, i32::MAX),
        None,
        "far away"
    );
    assert!(Grid::new(97, 1, vec![0; 97]).is_err(), "too long");
    assert!(Grid::new(2, 2, vec![0; 3]).is_err(), "too few");
    assert_eq!(register(&grid(8, 8), &grid(8, 8)), None, "even all over");
}
