//! By how much one picture is moved against another, by phase correlation.
//!
//! Source: C. D. Kuglin and D. C. Hines, "The phase correlation image alignment method" (1975), from memory: the peak of the inverse
//! transform of conj(F(A))·F(B)/|…| is the shift from A to B, modulo the size. A change of exposure changes nothing.

use exposure::tone;

use crate::{Error, Grid};

/// A shift, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shift {
    /// Cells to the right, from the first picture to the second.
    pub across: i32,
    /// Cells down.
    pub down: i32,
    /// Height of the peak: 1 is the same picture, moved; pictures of different scenes stay far below.
    pub height: f64,
}

/// From this height on two pictures show the same scene. Set by invented brackets, two stops apart and moved, whose heights lie at 0.65
/// and above; pictures of different scenes at 0.24 and below.
pub const SAME: f64 = 0.40;
/// Up to this height they show different ones; between the two nothing is claimed.
pub const OTHER: f64 = 0.28;

/// What registration says of two pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scene {
    /// They show the same.
    Same,
    /// They show different things.
    Other,
    /// It cannot be told.
    Unclear,
}

impl Shift {
    /// Whether the pictures show the same scene.
    #[must_use]
    pub fn scene(&self) -> Scene {
        if self.height >= SAME {
            Scene::Same
        } else if self.height <= OTHER {
            Scene::Other
        } else {
            Scene::Unclear
        }
    }
}

/// Side of the square that grids are laid into, a power of two.
const SIDE: usize = 128;

/// Pictures with a shorter side have nothing left once they are faded towards their edges.
const LEAST_SIDE: usize = 8;

/// A picture as waves, ready to be compared with many others.
#[derive(Debug, Clone)]
pub struct Waves {
    real: Vec<f64>,
    imaginary: Vec<f64>,
    /// Whether there is anything to go by.
    flat: bool,
}

impl Waves {
    /// The waves of a grid: logarithm of luminance between the black floor of scanners and white, without its mean, faded
    /// towards the edges (Hann).
    #[must_use]
    pub fn of(grid: &Grid) -> Self {
        let (width, height) = grid.size();
        let logs: Vec<f64> = grid
            .codes()
            .iter()
            .map(|code| tone::light(f64::from((*code).clamp(20, 250))).log2())
            .collect();
        #[expect(clippy::cast_precision_loss, reason = "a few thousand cells")]
        let mean = logs.iter().sum::<f64>() / logs.len() as f64;
        let (across, down) = (hann(width), hann(height));
        let mut real = vec![0.0; SIDE * SIDE];
        let mut spread = 0.0_f64;
        for (at, log) in logs.iter().enumerate() {
            let (x, y) = (at % width, at / width);
            let faded = (log - mean) * across[x] * down[y];
            real[y * SIDE + x] = faded;
            spread = spread.max(faded.abs());
        }
        let mut imaginary = vec![0.0; SIDE * SIDE];
        transform(&mut real, &mut imaginary, SIDE, false);
        Self {
            real,
            imaginary,
            // A twentieth of a stop is less than one code: nothing to go by.
            flat: spread < 0.05 || width.min(height) < LEAST_SIDE,
        }
    }

    /// The shift from this picture to another, whose corners at the upper left are laid on one another; none where either is even all
    /// over. Pictures that were cropped a little otherwise are found as well.
    #[must_use]
    pub fn shift_to(&self, other: &Self) -> Option<Shift> {
        if self.flat || other.flat {
            return None;
        }
        // Fine waves are noise and the filled square's own: each counts by how coarse it is.
        let weights = coarse();
        let mut real = vec![0.0; SIDE * SIDE];
        let mut imaginary = vec![0.0; SIDE * SIDE];
        let mut all = 0.0;
        for at in 0..SIDE * SIDE {
            let weight = weights[at % SIDE] * weights[at / SIDE];
            let (a, b) = (self.real[at], self.imaginary[at]);
            let (c, d) = (other.real[at], other.imaginary[at]);
            let product = [a * c + b * d, a * d - b * c];
            let size = product[0].hypot(product[1]);
            if size > 1e-12 {
                real[at] = weight * product[0] / size;
                imaginary[at] = weight * product[1] / size;
                all += weight;
            }
        }
        transform(&mut real, &mut imaginary, SIDE, true);
        let (at, peak) = highest(&real)?;
        #[expect(clippy::cast_precision_loss, reason = "the cells of a square")]
        let cells = (SIDE * SIDE) as f64;
        Some(Shift {
            across: signed(at % SIDE, SIDE),
            down: signed(at / SIDE, SIDE),
            height: peak * cells / all,
        })
    }
}

/// How much each wave along a side counts: e^(−f²/2σ²), σ three eighths of the finest.
fn coarse() -> Vec<f64> {
    (0..SIDE)
        .map(|at| {
            let wave = f64::from(signed(at, SIDE)) / 24.0;
            (-wave * wave / 2.0).exp()
        })
        .collect()
}

/// The shift from one grid to another; see [`Waves::shift_to`].
#[must_use]
pub fn register(a: &Grid, b: &Grid) -> Option<Shift> {
    Waves::of(a).shift_to(&Waves::of(b))
}

/// Plain phase correlation of two square planes in rows, whose side is a power of two: the peak as (down, across) modulo the side,
/// and its height. `windowed` takes the mean off and fades towards the edges, which real pictures need.
///
/// # Errors
///
/// A sentence, if the planes are no such squares, or are even all over.
pub fn phase(
    a: &[f64],
    b: &[f64],
    side: usize,
    windowed: bool,
) -> Result<(usize, usize, f64), Error> {
    let is_square = side.is_power_of_two() && a.len() == side * side && b.len() == a.len();
    if !is_square {
        return Err(Error::new(
            "Phase correlation takes two squares of a power of two.",
        ));
    }
    let waves = |plane: &[f64]| {
        #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
        let mean = plane.iter().sum::<f64>() / plane.len() as f64;
        let window = hann(side);
        let mut real: Vec<f64> = plane
            .iter()
            .enumerate()
            .map(|(at, value)| {
                let faded = if windowed {
                    window[at % side] * window[at / side]
                } else {
                    1.0
                };
                (value - mean) * faded
            })
            .collect();
        let mut imaginary = vec![0.0; real.len()];
        transform(&mut real, &mut imaginary, side, false);
        (real, imaginary)
    };
    let (a, b) = (waves(a), waves(b));
    let mut real = vec![0.0; side * side];
    let mut imaginary = real.clone();
    let mut all = 0.0;
    for at in 0..side * side {
        let product = [
            a.0[at] * b.0[at] + a.1[at] * b.1[at],
            a.0[at] * b.1[at] - a.1[at] * b.0[at],
        ];
        let size = product[0].hypot(product[1]);
        // The mean was taken off, so that its wave is nothing but arithmetic noise.
        if at > 0 && size > 1e-12 {
            real[at] = product[0] / size;
            imaginary[at] = product[1] / size;
            all += 1.0;
        }
    }
    transform(&mut real, &mut imaginary, side, true);
    #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
    let cells = (side * side) as f64;
    highest(&real)
        .filter(|_| all > 0.0)
        .map(|(at, peak)| (at / side, at % side, peak * cells / all))
        .ok_or_else(|| Error::new("A picture that is even all over cannot be compared."))
}

fn highest(plane: &[f64]) -> Option<(usize, f64)> {
    plane
        .iter()
        .copied()
        .enumerate()
        .filter(|(_, value)| value.is_finite())
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// A place on a circle as a shift to the nearer side.
fn signed(at: usize, side: usize) -> i32 {
    let whole = |value: usize| i32::try_from(value).unwrap_or(i32::MAX);
    if at > side / 2 {
        whole(at) - whole(side)
    } else {
        whole(at)
    }
}

/// Hann's window, so long.
fn hann(length: usize) -> Vec<f64> {
    #[expect(clippy::cast_precision_loss, reason = "sides of a small picture")]
    let last = (length.max(2) - 1) as f64;
    (0..length)
        .map(|at| {
            #[expect(clippy::cast_precision_loss, reason = "sides of a small picture")]
            let turn = at as f64 / last * std::f64::consts::TAU;
            0.5 - 0.5 * turn.cos()
        })
        .collect()
}

/// The two-dimensional transform of a square in place; backwards it is divided by the number of cells.
fn transform(real: &mut [f64], imaginary: &mut [f64], side: usize, back: bool) {
    let turns = turns(side, back);
    let (mut r, mut i) = (vec![0.0; side], vec![0.0; side]);
    for row in 0..side {
        let at = row * side..(row + 1) * side;
        line(&mut real[at.clone()], &mut imaginary[at], &turns);
    }
    for column in 0..side {
        for row in 0..side {
            r[row] = real[row * side + column];
            i[row] = imaginary[row * side + column];
        }
        line(&mut r, &mut i, &turns);
        for row in 0..side {
            real[row * side + column] = r[row];
            imaginary[row * side + column] = i[row];
        }
    }
    if back {
        #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
        let cells = (side * side) as f64;
        for value in real.iter_mut().chain(imaginary) {
            *value /= cells;
        }
    }
}

/// Cosines and sines of the first half turn.
fn turns(side: usize, back: bool) -> Vec<[f64; 2]> {
    let way = if back { 1.0 } else { -1.0 };
    (0..side / 2)
        .map(|at| {
            #[expect(clippy::cast_precision_loss, reason = "sides of a small picture")]
            let turn = way * std::f64::consts::TAU * at as f64 / side as f64;
            [turn.cos(), turn.sin()]
        })
        .collect()
}

/// The transform of one line in place (Cooley and Tukey, radix 2).
fn line(real: &mut [f64], imaginary: &mut [f64], turns: &[[f64; 2]]) {
    let side = real.len();
    if side < 2 {
        return;
    }
    let shift = usize::BITS - side.trailing_zeros();
    for at in 0..side {
        let other = at.reverse_bits() >> shift;
        if other > at {
            real.swap(at, other);
            imaginary.swap(at, other);
        }
    }
    let mut length = 2;
    while length <= side {
        for start in (0..side).step_by(length) {
            for at in 0..length / 2 {
                let [c, s] = turns[at * (side / length)];
                let (low, high) = (start + at, start + at + length / 2);
                let r = real[high] * c - imaginary[high] * s;
                let i = real[high] * s + imaginary[high] * c;
                (real[high], imaginary[high]) = (real[low] - r, imaginary[low] - i);
                real[low] += r;
                imaginary[low] += i;
            }
        }
        length *= 2;
    }
}
