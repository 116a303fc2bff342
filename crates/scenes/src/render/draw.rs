//! What the invented scenes are made of. Lengths are metres at the distance of each layer, with the axis of the lens in the middle,
//! right and down positive; the camera stands [`EYE`] above the ground.

use super::shapes::{Colour, Shape};
use crate::Dice;
use crate::scene::{Backdrop, Mover};

/// Height of the camera above the ground in metres.
const EYE: f64 = 1.4;

const SKY: [Colour; 3] = [[0.42, 0.55, 0.80], [0.50, 0.62, 0.82], [0.60, 0.68, 0.80]];
const GRASS: Colour = [0.075, 0.13, 0.04];
const STONE: Colour = [0.20, 0.19, 0.17];
const DARK: Colour = [0.02, 0.02, 0.022];
const SKIN: Colour = [0.42, 0.26, 0.18];

fn tinted(colour: Colour, by: f64) -> Colour {
    #[expect(clippy::cast_possible_truncation, reason = "a factor near one")]
    let by = by as f32;
    colour.map(|light| light * by)
}

/// Something every so many metres from end to end of what is seen, at most so many times.
fn along(half: f64, every: f64, most: f64) -> impl Iterator<Item = f64> {
    let every = every.max(2.0 * half / most);
    let count = (half / every).ceil().clamp(1.0, most);
    #[expect(clippy::cast_possible_truncation, reason = "at most some hundreds")]
    let count = count as i32;
    (-count..=count).map(move |i| f64::from(i) * every)
}

/// What stands behind, over all that is seen of it: half of it is `half` metres wide and high.
pub(super) fn backdrop(of: Backdrop, half: [f64; 2], dice: &mut Dice) -> Vec<Shape> {
    let mut shapes = Vec::new();
    let [wide, high] = half;
    let all = |colour: Colour, from: f64, to: f64| {
        Shape::rectangle(colour, [-wide * 1.1, from], [wide * 1.1, to])
    };
    match of {
        Backdrop::Wall => {
            shapes.push(all([0.11, 0.075, 0.055], -high * 1.1, EYE));
            // Courses of bricks; on a long wall only every so many of them are drawn.
            let course = 0.12_f64.max(high / 40.0);
            let mut y = EYE;
            let mut odd = false;
            while y > -high * 1.1 {
                for x in along(wide * 1.1, course * 3.0, 44.0) {
                    let x = x + if odd { course * 1.5 } else { 0.0 };
                    let tint = tinted([0.20, 0.085, 0.05], 0.7 + 0.6 * dice.share());
                    let from = [x + course * 0.1, y - course * 0.9];
                    shapes.push(Shape::rectangle(
                        tint,
                        from,
                        [x + course * 2.9, y - course * 0.1],
                    ));
                }
                y -= course;
                odd = !odd;
            }
            for x in along(wide, 3.2, 12.0) {
                let x = x + dice.share();
                let paper = tinted([0.62, 0.60, 0.50], 0.7 + 0.4 * dice.share());
                shapes.push(Shape::rectangle(paper, [x, -0.7], [x + 0.8, 0.4]));
                for line in 0..5 {
                    let y = -0.55 + 0.17 * f64::from(line);
                    let end = x + 0.3 + 0.4 * dice.share();
                    shapes.push(Shape::rectangle(DARK, [x + 0.1, y], [end, y + 0.07]));
                }
            }
            shapes.push(all([0.15, 0.145, 0.14], EYE, high * 1.1 + EYE));
        }
        Backdrop::Trees => {
            shapes.push(all(SKY[1], -high * 1.1, 0.2));
            shapes.push(all(GRASS, 0.0, high * 1.1 + EYE));
            for row in 0..2 {
                for x in along(wide * 1.2, 1.6 + 0.8 * f64::from(row), 40.0) {
                    let x = x + 1.4 * dice.share();
                    let bark = tinted([0.05, 0.035, 0.022], 0.8 + 0.8 * dice.share());
                    let foot = EYE - 0.4 * f64::from(1 - row);
                    shapes.push(Shape::bar(bark, [x, foot], [x, -6.0], 0.22));
                    for _ in 0..7 {
                        let y = -0.6 - 4.5 * dice.share();
                        let at = [x + 2.2 * (dice.share() - 0.5), y];
                        let leaf = tinted([0.06, 0.14, 0.03], 0.5 + 1.4 * dice.share());
                        let size = 0.25 + 0.55 * dice.share();
                        shapes.push(Shape::ellipse(leaf, at, [size, size * 0.7]));
                    }
                }
            }
            // Gaps in the leaves, through which the sky shines.
            for x in along(wide, 0.9, 60.0) {
                let at = [x + dice.share(), -0.4 - 4.0 * dice.share()];
                let size = 0.03 + 0.05 * dice.share();
                shapes.push(Shape::ellipse([2.4, 2.5, 2.6], at, [size, size]));
            }
        }
        Backdrop::Hills => {
            for (i, colour) in SKY.into_iter().enumerate() {
                let step = high * 0.4;
                #[expect(clippy::cast_precision_loss, reason = "three bands")]
                let from = -high * 1.1 + step * i as f64;
                shapes.push(all(colour, from, high * 0.2));
            }
            for (layer, colour) in [[0.24, 0.29, 0.36], [0.14, 0.19, 0.20], [0.07, 0.11, 0.05]]
                .into_iter()
                .enumerate()
            {
                #[expect(clippy::cast_precision_loss, reason = "three layers")]
                let base = high * (0.02 + 0.12 * layer as f64);
                let mut corners = vec![[-wide * 1.1, high * 1.2]];
                for x in along(wide * 1.1, wide * 0.16, 20.0) {
                    corners.push([x, base - high * 0.22 * dice.share()]);
                }
                corners.push([wide * 1.1, high * 1.2]);
                shapes.push(Shape::polygon(colour, &corners));
            }
            for _ in 0..14 {
                let at = [
                    wide * (2.0 * dice.share() - 1.0),
                    high * (0.2 + 0.3 * dice.share()),
                ];
                let size = wide * 0.012;
                shapes.push(Shape::rectangle(
                    [0.55, 0.5, 0.44],
                    at,
                    [at[0] + size, at[1] + size * 0.8],
                ));
            }
        }
        Backdrop::Lamps => {
            shapes.push(all([0.05, 0.06, 0.10], -high * 1.1, 0.0));
            shapes.push(all([0.04, 0.04, 0.042], 0.0, high * 1.1 + EYE));
            for x in along(wide * 1.1, 7.0, 24.0) {
                let top = -4.0 - 9.0 * dice.share();
                let front = tinted([0.07, 0.06, 0.055], 0.6 + 0.9 * dice.share());
                shapes.push(Shape::rectangle(front, [x - 3.3, top], [x + 3.3, EYE]));
                for _ in 0..5 {
                    let at = [
                        x - 2.8 + 5.0 * dice.share(),
                        top + 0.5 + (-top) * dice.share(),
                    ];
                    let warm = tinted([0.9, 0.62, 0.28], 0.5 + dice.share());
                    shapes.push(Shape::rectangle(warm, at, [at[0] + 0.7, at[1] + 1.0]));
                }
            }
            for x in along(wide * 1.1, 4.5, 36.0) {
                let y = -2.2 - 1.6 * dice.share();
                shapes.push(Shape::bar(DARK, [x, EYE], [x, y], 0.12));
                shapes.push(Shape::ellipse([9.0, 7.2, 4.4], [x, y], [0.16, 0.16]));
            }
        }
    }
    shapes
}

/// A fence in front, over all that is seen of it.
pub(super) fn fence(wide: f64, dice: &mut Dice) -> Vec<Shape> {
    let mut shapes = Vec::new();
    let wood = [0.16, 0.13, 0.10];
    for y in [0.55, 1.1] {
        let rail = [[-wide * 1.2, y], [wide * 1.2, y + 0.07]];
        shapes.push(Shape::rectangle(wood, rail[0], rail[1]));
    }
    for x in along(wide * 1.1, 0.55, 60.0) {
        let post = tinted(wood, 0.8 + 0.5 * dice.share());
        shapes.push(Shape::polygon(
            post,
            &[
                [x - 0.05, EYE],
                [x - 0.05, 0.32],
                [x, 0.24],
                [x + 0.05, 0.32],
                [x + 0.05, EYE],
            ],
        ));
    }
    shapes
}

/// Who moves, in the middle of the picture.
pub(super) fn mover(of: Mover, half: [f64; 2], dice: &mut Dice) -> Vec<Shape> {
    let coat = *dice.one(&[
        [0.45, 0.06, 0.04],
        [0.08, 0.14, 0.36],
        [0.62, 0.50, 0.10],
        [0.55, 0.55, 0.52],
    ]);
    let mut shapes = Vec::new();
    match of {
        Mover::Still => {
            let hair = tinted([0.05, 0.035, 0.025], 0.6 + dice.share());
            shapes.push(Shape::polygon(
                coat,
                &[
                    [-0.32, 0.75],
                    [-0.29, 0.18],
                    [-0.14, 0.09],
                    [0.14, 0.09],
                    [0.29, 0.18],
                    [0.32, 0.75],
                ],
            ));
            shapes.push(Shape::rectangle(SKIN, [-0.055, -0.02], [0.055, 0.14]));
            shapes.push(Shape::ellipse(hair, [0.0, -0.15], [0.125, 0.15]));
            shapes.push(Shape::ellipse(SKIN, [0.0, -0.12], [0.095, 0.13]));
            for x in [-0.037, 0.037] {
                shapes.push(Shape::ellipse([0.7, 0.7, 0.68], [x, -0.14], [0.017, 0.009]));
                shapes.push(Shape::ellipse(DARK, [x, -0.14], [0.008, 0.009]));
                shapes.push(Shape::bar(
                    hair,
                    [x - 0.02, -0.17],
                    [x + 0.02, -0.172],
                    0.008,
                ));
            }
            shapes.push(Shape::bar(
                tinted(SKIN, 0.7),
                [0.0, -0.13],
                [0.006, -0.09],
                0.012,
            ));
            shapes.push(Shape::bar(
                [0.34, 0.1, 0.09],
                [-0.03, -0.055],
                [0.03, -0.055],
                0.012,
            ));
            for y in [0.28, 0.40, 0.52] {
                shapes.push(Shape::ellipse([0.8, 0.8, 0.75], [0.0, y], [0.012, 0.012]));
            }
        }
        Mover::Walking | Mover::Running => {
            let stride = if of == Mover::Running { 0.48 } else { 0.30 };
            let trousers = [0.05, 0.055, 0.075];
            shapes.push(Shape::bar(
                trousers,
                [0.0, 0.52],
                [-stride, EYE - 0.1],
                0.15,
            ));
            shapes.push(Shape::bar(
                trousers,
                [0.0, 0.52],
                [stride, EYE - 0.05],
                0.15,
            ));
            for x in [-stride - 0.02, stride + 0.04] {
                shapes.push(Shape::ellipse(DARK, [x, EYE - 0.05], [0.13, 0.05]));
            }
            shapes.push(Shape::bar(coat, [0.0, 0.60], [0.06, -0.08], 0.36));
            shapes.push(Shape::bar(
                tinted(coat, 0.7),
                [0.05, 0.0],
                [stride, 0.38],
                0.10,
            ));
            shapes.push(Shape::bar(
                tinted(coat, 1.3),
                [0.05, 0.0],
                [-stride, 0.34],
                0.10,
            ));
            shapes.push(Shape::ellipse(SKIN, [0.10, -0.21], [0.10, 0.13]));
            shapes.push(Shape::ellipse(DARK, [0.08, -0.27], [0.11, 0.09]));
            if of == Mover::Running {
                shapes.push(Shape::rectangle(
                    [0.8, 0.8, 0.78],
                    [-0.06, 0.12],
                    [0.14, 0.32],
                ));
                shapes.push(Shape::bar(DARK, [0.0, 0.15], [0.04, 0.29], 0.03));
            }
        }
        Mover::Cycling => {
            for x in [-0.52, 0.52] {
                let hub = [x, EYE - 0.34];
                shapes.push(Shape::ring(DARK, hub, 0.34, 0.30));
                for spoke in 0..6 {
                    let (sin, cos) = (f64::from(spoke) * std::f64::consts::PI / 6.0).sin_cos();
                    let tip = [0.31 * cos, 0.31 * sin];
                    shapes.push(Shape::bar(
                        [0.5, 0.5, 0.5],
                        [hub[0] - tip[0], hub[1] - tip[1]],
                        [hub[0] + tip[0], hub[1] + tip[1]],
                        0.008,
                    ));
                }
            }
            let frame = [0.05, 0.20, 0.12];
            let (saddle, crank, head) = ([-0.22, 0.52], [-0.05, 1.08], [0.38, 0.50]);
            for (from, to) in [
                (saddle, crank),
                (saddle, head),
                (crank, head),
                ([-0.52, 1.06], crank),
                ([-0.52, 1.06], saddle),
                (head, [0.52, 1.06]),
            ] {
                shapes.push(Shape::bar(frame, from, to, 0.035));
            }
            shapes.push(Shape::bar(DARK, [-0.34, 0.48], [-0.10, 0.48], 0.06));
            shapes.push(Shape::bar(DARK, [0.32, 0.40], [0.50, 0.42], 0.04));
            let trousers = [0.06, 0.06, 0.07];
            shapes.push(Shape::bar(trousers, [-0.20, 0.42], [0.14, 0.72], 0.14));
            shapes.push(Shape::bar(trousers, [0.14, 0.70], [0.02, 1.16], 0.11));
            shapes.push(Shape::bar(coat, [-0.22, 0.44], [0.10, -0.10], 0.30));
            shapes.push(Shape::bar(
                tinted(coat, 1.3),
                [0.10, -0.04],
                [0.42, 0.38],
                0.09,
            ));
            shapes.push(Shape::ellipse(SKIN, [0.20, -0.24], [0.10, 0.13]));
            shapes.push(Shape::ellipse(
                [0.72, 0.72, 0.70],
                [0.18, -0.31],
                [0.13, 0.08],
            ));
        }
        Mover::Car => {
            let body = coat;
            // The parapet of the bridge stands still, but a car hides what it passes.
            shapes.push(Shape::polygon(
                body,
                &[
                    [-2.1, 1.05],
                    [-2.1, 0.55],
                    [-1.3, 0.42],
                    [-0.8, -0.02],
                    [0.75, -0.02],
                    [1.25, 0.45],
                    [2.05, 0.60],
                    [2.1, 1.05],
                ],
            ));
            let glass = [0.10, 0.13, 0.16];
            shapes.push(Shape::polygon(
                glass,
                &[[-1.1, 0.42], [-0.72, 0.07], [-0.05, 0.07], [-0.05, 0.42]],
            ));
            shapes.push(Shape::polygon(
                glass,
                &[[0.05, 0.42], [0.05, 0.07], [0.66, 0.07], [1.05, 0.42]],
            ));
            for x in [-1.3, 1.3] {
                shapes.push(Shape::ellipse(DARK, [x, 1.08], [0.33, 0.33]));
                shapes.push(Shape::ellipse([0.45, 0.45, 0.45], [x, 1.08], [0.17, 0.17]));
            }
            shapes.push(Shape::ellipse([1.4, 1.3, 1.0], [2.02, 0.68], [0.07, 0.09]));
            shapes.push(Shape::bar([0.6, 0.6, 0.6], [-2.1, 0.86], [2.1, 0.86], 0.04));
        }
        Mover::Water => {
            let [wide, _] = half;
            let wide = wide.min(4.0) * 0.8;
            shapes.push(Shape::rectangle(
                [0.10, 0.14, 0.15],
                [-wide, -0.5],
                [wide, EYE],
            ));
            for x in along(wide * 0.98, 0.035, 120.0) {
                let shade = tinted([0.20, 0.26, 0.28], 0.5 + 1.2 * dice.share());
                let top = -0.5 + 0.05 * dice.share();
                shapes.push(Shape::rectangle(shade, [x, top], [x + 0.03, EYE]));
            }
            for _ in 0..320 {
                let at = [
                    wide * 0.97 * (2.0 * dice.share() - 1.0),
                    -0.45 + 1.8 * dice.share(),
                ];
                let foam = tinted([0.85, 0.88, 0.9], 0.7 + 0.5 * dice.share());
                let size = 0.008 + 0.022 * dice.share();
                shapes.push(Shape::ellipse(foam, at, [size, size * 1.4]));
            }
        }
    }
    shapes
}

/// What stands still at the distance of who moves: the road of a bridge, the stones of a weir.
pub(super) fn beside(of: Mover, half: [f64; 2]) -> Vec<Shape> {
    let [wide, high] = half;
    match of {
        Mover::Car => vec![
            Shape::rectangle(STONE, [-wide * 1.2, 1.35], [wide * 1.2, 1.75]),
            Shape::rectangle(tinted(STONE, 0.6), [-wide * 1.2, 1.75], [wide * 1.2, 3.2]),
        ],
        Mover::Water => vec![
            Shape::rectangle(STONE, [-wide * 1.2, -0.6], [wide * 1.2, -0.45]),
            Shape::rectangle(
                tinted(STONE, 0.45),
                [-wide * 1.2, -0.45],
                [wide * 1.2, high * 1.1 + EYE],
            ),
        ],
        Mover::Still | Mover::Walking | Mover::Running | Mover::Cycling => Vec::new(),
    }
}
