//! Blur by kernels whose spread is the wanted one, in planes of linear light.
//!
//! A kernel of whole pixels with weighted ends is chosen so that its own variance, counted over pixels, is that of the length or the
//! disc that was computed: L²/12 for a length, d²/16 for a disc. Weights by covered area alone would add a pixel's own width once
//! more.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "pixels and weights are small numbers that are not negative where they are cast"
)]

/// A plane of numbers, row by row.
#[derive(Debug, Clone, Default)]
pub(crate) struct Plane {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) data: Vec<f32>,
}

impl Plane {
    pub(crate) fn new(width: usize, height: usize) -> Self {
        Self {
            width,
            height,
            data: vec![0.0; width * height],
        }
    }

    /// Gives it a size; what it holds is of no more use.
    pub(crate) fn resize(&mut self, width: usize, height: usize) {
        self.width = width;
        self.height = height;
        self.data.resize(width * height, 0.0);
    }

    pub(crate) fn row(&self, y: usize) -> &[f32] {
        &self.data[y * self.width..(y + 1) * self.width]
    }

    pub(crate) fn row_mut(&mut self, y: usize) -> &mut [f32] {
        &mut self.data[y * self.width..(y + 1) * self.width]
    }
}

/// A run of pixels with weighted ends: 2 · whole + 1 of weight one, and one more on either side with the weight of the ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Run {
    pub(crate) whole: usize,
    pub(crate) end: f32,
}

impl Run {
    /// The run whose variance over pixels is that of a length.
    pub(crate) fn of_length(length: f64) -> Self {
        Self::of_variance(length * length / 12.0)
    }

    /// The run of a variance over pixels.
    fn of_variance(wanted: f64) -> Self {
        // A run of 2n + 1 has the variance n(n + 1)/3.
        let n = ((0.25 + 3.0 * wanted).sqrt() - 0.5).max(0.0).floor();
        let (count, squares) = (2.0 * n + 1.0, n * (n + 1.0) * (2.0 * n + 1.0) / 3.0);
        let end = (wanted * count - squares) / (2.0 * ((n + 1.0) * (n + 1.0) - wanted));
        Self {
            whole: n as usize,
            end: end.clamp(0.0, 1.0) as f32,
        }
    }

    /// The run that a half-width covers.
    fn of_half(half: f64) -> Self {
        let whole = (half - 0.5).max(0.0).floor();
        Self {
            whole: whole as usize,
            end: (half - 0.5 - whole).clamp(0.0, 1.0) as f32,
        }
    }

    /// Sum of its weights.
    pub(crate) fn weight(self) -> f64 {
        (2 * self.whole + 1) as f64 + 2.0 * f64::from(self.end)
    }

    /// Sum of its weights times the squares of their distances.
    fn squares(self) -> f64 {
        let n = self.whole as f64;
        n * (n + 1.0) * (2.0 * n + 1.0) / 3.0 + 2.0 * f64::from(self.end) * (n + 1.0) * (n + 1.0)
    }

    /// How far it reaches.
    const fn reach(self) -> usize {
        self.whole + 1
    }
}

/// A disc of rows, the middle one first; each counts on both sides.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Disc {
    /// The run of each row and how much of the row is covered at all.
    rows: Vec<(Run, f32)>,
    weight: f64,
}

impl Disc {
    /// The disc whose variance over pixels, the mean of both axes, is the wanted one.
    pub(crate) fn of_variance(wanted: f64) -> Self {
        let (mut low, mut high) = (0.0, 2.0 * wanted.sqrt() + 2.0);
        for _ in 0..40 {
            let middle = f64::midpoint(low, high);
            if Self::of_radius(middle).variance() < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        Self::of_radius(high)
    }

    fn of_radius(radius: f64) -> Self {
        // Area under the circle's upper right quarter up to y.
        let area = |y: f64| {
            let y = y.clamp(0.0, radius);
            f64::midpoint(
                y * (radius * radius - y * y).max(0.0).sqrt(),
                radius * radius * (y / radius.max(1e-12)).min(1.0).asin(),
            )
        };
        let mut rows = Vec::new();
        let mut y = 0.0;
        loop {
            // A row is a pixel high; the middle one lies on both sides.
            let (from, to) = if y > 0.0 {
                (y - 0.5, y + 0.5)
            } else {
                (0.0, 0.5)
            };
            let covered = (radius.min(to) - from) / (to - from);
            if covered <= 0.0 {
                break;
            }
            let half = (area(to) - area(from)) / ((to - from) * covered.min(1.0));
            let run = Run::of_half(half);
            // What a run of less than a pixel lacks in width it lacks in weight.
            let weight = covered.min(1.0) * (2.0 * half / run.weight()).min(1.0);
            rows.push((run, weight as f32));
            y += 1.0;
        }
        if rows.is_empty() {
            rows.push((Run { whole: 0, end: 0.0 }, 1.0));
        }
        let weight = rows
            .iter()
            .enumerate()
            .map(|(y, (run, of))| run.weight() * f64::from(*of) * if y > 0 { 2.0 } else { 1.0 })
            .sum();
        Self { rows, weight }
    }

    /// Variance over pixels, the mean of both axes.
    pub(crate) fn variance(&self) -> f64 {
        let sum: f64 = self
            .rows
            .iter()
            .enumerate()
            .map(|(y, (run, of))| {
                let sides = if y > 0 { 2.0 } else { 1.0 };
                let across = run.squares();
                let down = run.weight() * (y * y) as f64;
                sides * f64::from(*of) * (across + down) / 2.0
            })
            .sum();
        sum / self.weight
    }

    fn reach(&self) -> usize {
        // OK because the middle row is the longest.
        self.rows[0].0.reach()
    }
}

/// What blurring needs beside its planes; kept, so that nothing is made anew for each picture.
#[derive(Debug, Clone, Default)]
pub(crate) struct Scratch {
    sums: Vec<f32>,
    smaller: Vec<Plane>,
    blurred: Plane,
    square: Plane,
    line: Vec<f32>,
}

/// Adds up a row that goes on at both ends with its last pixels, or with nothing.
fn add_up(row: &[f32], pad: usize, sums: &mut [f32]) {
    let (first, last) = (row[0], row[row.len() - 1]);
    let mut sum = 0.0;
    sums[0] = 0.0;
    let (before, rest) = sums[1..].split_at_mut(pad);
    let (inside, after) = rest.split_at_mut(row.len());
    for to in before {
        sum += first;
        *to = sum;
    }
    for (to, pixel) in inside.iter_mut().zip(row) {
        sum += pixel;
        *to = sum;
    }
    for to in after {
        sum += last;
        *to = sum;
    }
}

/// Adds a run of a row to another row. `sums` begins `pad` pixels before the row.
fn add_run(sums: &[f32], pad: usize, run: Run, weight: f32, to: &mut [f32]) {
    let n = run.whole;
    let len = to.len();
    let (outer, inner) = (weight * run.end, weight * (1.0 - run.end));
    // Sums from the pixel after the run to the pixel before it; one further out for the ends.
    let right = &sums[pad + n + 1..][..len];
    let left = &sums[pad - n..][..len];
    let further = &sums[pad + n + 2..][..len];
    let nearer = &sums[pad - n - 1..][..len];
    for i in 0..len {
        to[i] += inner * (right[i] - left[i]) + outer * (further[i] - nearer[i]);
    }
}

/// Up to this diameter in pixels a disc is drawn at full size; wider ones at half, quarter ...
const FULL_SIZE: f64 = 7.0;

/// What halving a picture and doubling it again adds to the variance, in pixels of the larger one: three quarters each, whichever
/// pixel a point lies in (arithmetic).
const HALVED_AND_DOUBLED: f64 = 1.5;

/// Blurs a plane with a disc of a variance in square pixels.
pub(crate) fn disc(from: &Plane, variance: f64, scratch: &mut Scratch, to: &mut Plane) {
    let (mut rest, mut halvings) = (variance, 0);
    let shorter = from.width.min(from.height);
    while 4.0 * rest.sqrt() > FULL_SIZE && shorter >> halvings > 8 {
        rest = (rest - HALVED_AND_DOUBLED) / 4.0;
        halvings += 1;
    }
    if halvings == 0 {
        full_disc(from, variance, scratch, to);
        return;
    }
    let mut smaller = std::mem::take(&mut scratch.smaller);
    smaller.resize(halvings, Plane::default());
    for i in 0..halvings {
        let (larger, rest) = smaller.split_at_mut(i);
        halve(
            larger.last().unwrap_or(from),
            &mut rest[0],
            &mut scratch.line,
        );
    }
    let mut blurred = std::mem::take(&mut scratch.blurred);
    full_disc(&smaller[halvings - 1], rest, scratch, &mut blurred);
    for larger in smaller[..halvings - 1].iter_mut().rev() {
        double(&blurred, &mut scratch.line, larger);
        std::mem::swap(&mut blurred, larger);
    }
    to.resize(from.width, from.height);
    double(&blurred, &mut scratch.line, to);
    (scratch.smaller, scratch.blurred) = (smaller, blurred);
}

/// A disc of less than three pixels is too small to be told from a square, and rows of a disc would spread it more one way than the
/// other.
const SQUARE: f64 = 9.0 / 16.0;

fn full_disc(from: &Plane, variance: f64, scratch: &mut Scratch, to: &mut Plane) {
    if variance < SQUARE {
        let run = Run::of_variance(variance);
        let mut between = std::mem::take(&mut scratch.square);
        run_across(from, run, scratch, &mut between);
        run_down(&between, run, scratch, to);
        scratch.square = between;
    } else {
        rows_of_disc(from, &Disc::of_variance(variance), &mut scratch.sums, to);
    }
}

fn rows_of_disc(from: &Plane, disc: &Disc, sums: &mut Vec<f32>, to: &mut Plane) {
    to.resize(from.width, from.height);
    let pad = disc.reach() + 1;
    let stride = from.width + 2 * pad + 1;
    sums.resize(stride * from.height, 0.0);
    for (y, sums) in sums.chunks_exact_mut(stride).enumerate() {
        add_up(from.row(y), pad, sums);
    }
    let scale = (1.0 / disc.weight) as f32;
    for y in 0..from.height {
        let to = to.row_mut(y);
        to.fill(0.0);
        let mut add = |row: usize, run: Run, weight: f32| {
            add_run(&sums[row * stride..][..stride], pad, run, weight, to);
        };
        for (off, (run, covered)) in disc.rows.iter().enumerate() {
            let weight = covered * scale;
            add((y + off).min(from.height - 1), *run, weight);
            if off > 0 {
                add(y.saturating_sub(off), *run, weight);
            }
        }
    }
}

/// Half the size, each pixel from four by four with the weights 1, 3, 3, 1: a point keeps its place, wherever it lies.
fn halve(from: &Plane, to: &mut Plane, line: &mut Vec<f32>) {
    to.resize(from.width.div_ceil(2), from.height.div_ceil(2));
    let last = from.height - 1;
    line.resize(from.width, 0.0);
    for y in 0..to.height {
        let rows = [(2 * y).saturating_sub(1), 2 * y, 2 * y + 1, 2 * y + 2];
        let [above, upper, lower, below] = rows.map(|y| from.row(y.min(last)));
        let outer = above.iter().zip(below);
        let inner = upper.iter().zip(lower);
        for (line, ((above, below), (upper, lower))) in line.iter_mut().zip(outer.zip(inner)) {
            *line = 0.125 * (above + below) + 0.375 * (upper + lower);
        }
        let end = line.len() - 1;
        let to = to.row_mut(y);
        let (first, rest) = to.split_at_mut(1);
        first[0] = 0.125 * (line[0] + line[2.min(end)]) + 0.375 * (line[0] + line[1.min(end)]);
        // Four neighbours at a time, as long as there are four.
        let inside = rest.iter_mut().zip(line[1..].windows(4).step_by(2));
        let mut filled = 1;
        for (to, four) in inside {
            *to = 0.125 * (four[0] + four[3]) + 0.375 * (four[1] + four[2]);
            filled += 1;
        }
        for (x, to) in to.iter_mut().enumerate().skip(filled) {
            let at = |x: usize| line[x.min(end)];
            *to = 0.125 * (at(2 * x - 1) + at(2 * x + 2)) + 0.375 * (at(2 * x) + at(2 * x + 1));
        }
    }
}

/// Twice the size, by straight lines between the middles of pixels.
fn double(from: &Plane, line: &mut Vec<f32>, to: &mut Plane) {
    line.resize(from.width, 0.0);
    let last = from.height - 1;
    for y in 0..to.height {
        let near = from.row((y / 2).min(last));
        let other = if y % 2 == 0 {
            (y / 2).saturating_sub(1)
        } else {
            (y / 2 + 1).min(last)
        };
        for ((line, near), other) in line.iter_mut().zip(near).zip(from.row(other)) {
            *line = 0.75 * near + 0.25 * other;
        }
        let to = to.row_mut(y);
        let len = to.len();
        to[0] = line[0];
        // Between each two there are two.
        let (pairs, _) = to[1..].as_chunks_mut::<2>();
        for (pair, between) in pairs.iter_mut().zip(line.windows(2)) {
            pair[0] = 0.75 * between[0] + 0.25 * between[1];
            pair[1] = 0.25 * between[0] + 0.75 * between[1];
        }
        if len.is_multiple_of(2) {
            to[len - 1] = line[line.len() - 1];
        }
    }
}

/// Draws out a plane downwards by a length in pixels. Beyond its edges it goes on with its last rows.
pub(crate) fn down(from: &Plane, length: f64, scratch: &mut Scratch, to: &mut Plane) {
    run_down(from, Run::of_length(length), scratch, to);
}

fn run_down(from: &Plane, run: Run, scratch: &mut Scratch, to: &mut Plane) {
    to.resize(from.width, from.height);
    let last = from.height - 1;
    let row = |y: isize| from.row(usize::try_from(y).unwrap_or(0).min(last));
    let n = run.whole.cast_signed();
    let sum = &mut scratch.line;
    sum.clear();
    sum.resize(from.width, 0.0);
    for y in -n..=n {
        for (sum, pixel) in sum.iter_mut().zip(row(y)) {
            *sum += pixel;
        }
    }
    let scale = (1.0 / run.weight()) as f32;
    let end = run.end * scale;
    for y in 0..from.height {
        let at = y.cast_signed();
        let (gone, come) = (row(at - n - 1), row(at + n + 1));
        // What leaves the sum with the next row.
        let leaves = row(at - n);
        let to = to.row_mut(y);
        for x in 0..to.len() {
            to[x] = sum[x] * scale + (gone[x] + come[x]) * end;
            sum[x] += come[x] - leaves[x];
        }
    }
}

/// A part of a picture that is not opaque, with where it begins; it may begin outside of the picture.
#[derive(Debug, Clone, Default)]
pub(crate) struct Patch {
    pub(crate) left: isize,
    pub(crate) top: isize,
    /// Light times cover for each colour, and cover behind them.
    pub(crate) planes: Vec<Plane>,
}

impl Patch {
    pub(crate) fn width(&self) -> usize {
        self.planes[0].width
    }

    pub(crate) fn height(&self) -> usize {
        self.planes[0].height
    }

    /// Makes room around for what blur draws out over a picture of a size; what lies too far out to be drawn into it is left away.
    pub(crate) fn widened(&self, around: [usize; 2], picture: [usize; 2], to: &mut Self) {
        let begin = [self.left, self.top];
        let size = [self.width(), self.height()];
        let (mut from, mut end) = ([0_isize; 2], [0_isize; 2]);
        for i in 0..2 {
            let room = around[i].cast_signed();
            from[i] = (begin[i] - room).max(-room);
            end[i] = (begin[i] + size[i].cast_signed() + room)
                .min(picture[i].cast_signed() + room)
                .max(from[i] + 1);
        }
        [to.left, to.top] = from;
        let [width, height] = [0, 1].map(|i| (end[i] - from[i]).unsigned_abs());
        // The columns and rows that both have.
        let left = from[0].max(begin[0]);
        let right = end[0].min(begin[0] + size[0].cast_signed());
        let rows = from[1].max(begin[1])..end[1].min(begin[1] + size[1].cast_signed());
        for (to, plane) in to.planes.iter_mut().zip(&self.planes) {
            to.resize(width, height);
            to.data.fill(0.0);
            let Ok(len) = usize::try_from(right - left) else {
                continue;
            };
            for y in rows.clone() {
                let source = plane.row((y - begin[1]).unsigned_abs());
                let target = to.row_mut((y - from[1]).unsigned_abs());
                target[(left - from[0]).unsigned_abs()..][..len]
                    .copy_from_slice(&source[(left - begin[0]).unsigned_abs()..][..len]);
            }
        }
    }
}

/// Draws out a plane across by a length in pixels. Beyond its edges it goes on with its last pixels.
pub(crate) fn across(from: &Plane, length: f64, scratch: &mut Scratch, to: &mut Plane) {
    run_across(from, Run::of_length(length), scratch, to);
}

fn run_across(from: &Plane, run: Run, scratch: &mut Scratch, to: &mut Plane) {
    to.resize(from.width, from.height);
    let pad = run.reach() + 1;
    let sums = &mut scratch.sums;
    sums.resize(from.width + 2 * pad + 1, 0.0);
    let scale = (1.0 / run.weight()) as f32;
    for y in 0..from.height {
        add_up(from.row(y), pad, &mut sums[..from.width + 2 * pad + 1]);
        let to = to.row_mut(y);
        to.fill(0.0);
        add_run(sums, pad, run, scale, to);
    }
}

#[cfg(test)]
mod tests {
    use super::{Disc, Plane, Run, Scratch, across, disc, down};

    /// Centre and variance of a plane along an axis.
    fn moments(plane: &Plane, down: bool) -> (f64, f64, f64) {
        let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
        for y in 0..plane.height {
            for (x, light) in plane.row(y).iter().enumerate() {
                let (at, light) = (if down { y } else { x } as f64, f64::from(*light));
                sum += light;
                first += light * at;
                second += light * at * at;
            }
        }
        let mean = first / sum;
        (sum, mean, second / sum - mean * mean)
    }

    fn point(width: usize, height: usize) -> Plane {
        let mut plane = Plane::new(width, height);
        plane.row_mut(height / 2)[width / 2] = 1.0;
        plane
    }

    #[test]
    fn spreads_of_kernels() {
        // A6: a box of 2.45 has 0.50021, a disc of 5.342 has 1.78356 square pixels.
        let run = Run::of_length(2.45);
        assert!(
            (run.squares() / run.weight() - 0.500_21).abs() < 1e-5,
            "{run:?}"
        );
        let small = Disc::of_variance(5.342 * 5.342 / 16.0);
        assert!((small.variance() - 1.783_56).abs() < 1e-3, "{small:?}");
        // By covered area alone the box is 0.295918, 0.408163, 0.295918: 18 % too wide.
        let by_area = 2.0 * 0.295_918;
        assert!(by_area / 0.500_21 > 1.18, "the pixel's own width twice");
        for tenths in 1..600 {
            let length = f64::from(tenths) / 10.0;
            let run = Run::of_length(length);
            let has = run.squares() / run.weight();
            assert!(
                (has / (length * length / 12.0) - 1.0).abs() < 1e-4,
                "{length}: {run:?}"
            );
            let wanted = length * length / 16.0;
            let has = Disc::of_variance(wanted).variance();
            assert!(
                (has / wanted - 1.0).abs() < 2e-3,
                "{length}: {has} {wanted}"
            );
        }
    }

    #[test]
    fn points_spread_as_far_as_they_should() {
        let mut scratch = Scratch::default();
        let mut to = Plane::default();
        for (width, height) in [(201, 181), (200, 183)] {
            let from = point(width, height);
            for tenths in (5..600).step_by(17) {
                let d = f64::from(tenths) / 10.0;
                disc(&from, d * d / 16.0, &mut scratch, &mut to);
                for axis in [false, true] {
                    let (sum, mean, variance) = moments(&to, axis);
                    let middle = if axis { height / 2 } else { width / 2 } as f64;
                    assert!((sum - 1.0).abs() < 1e-3, "light stays: {d} {sum}");
                    assert!(
                        (mean - middle).abs() < 0.51 + d / 20.0,
                        "{d}: {mean} {middle}"
                    );
                    let off = (variance / (d * d / 16.0)).sqrt() - 1.0;
                    assert!(off.abs() < 0.03, "a disc of {d}: {off}");
                }
                across(&from, d, &mut scratch, &mut to);
                let (sum, mean, variance) = moments(&to, false);
                assert!((sum - 1.0).abs() < 1e-3, "light stays: {d} {sum}");
                assert!((mean - (width / 2) as f64).abs() < 1e-3, "{mean}");
                assert!(((variance * 12.0).sqrt() / d - 1.0).abs() < 2e-3, "{d}");
                down(&from, d, &mut scratch, &mut to);
                let (sum, mean, variance) = moments(&to, true);
                assert!((sum - 1.0).abs() < 1e-3, "light stays: {d} {sum}");
                assert!((mean - (height / 2) as f64).abs() < 1e-3, "{mean}");
                assert!(((variance * 12.0).sqrt() / d - 1.0).abs() < 2e-3, "{d}");
            }
        }
    }

    #[test]
    fn even_light_stays_even() {
        let mut plane = Plane::new(37, 29);
        plane.data.fill(0.18);
        let (mut scratch, mut to) = (Scratch::default(), Plane::default());
        for d in [0.7, 3.0, 9.0, 30.0, 200.0] {
            disc(&plane, d * d / 16.0, &mut scratch, &mut to);
            assert!(to.data.iter().all(|x| (x - 0.18).abs() < 1e-4), "{d}");
            down(&plane, d, &mut scratch, &mut to);
            assert!(to.data.iter().all(|x| (x - 0.18).abs() < 1e-4), "{d}");
            across(&plane, d, &mut scratch, &mut to);
            assert!(to.data.iter().all(|x| (x - 0.18).abs() < 1e-4), "{d}");
        }
    }
}
