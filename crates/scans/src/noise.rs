//! Noise of one picture by itself, of a plane of values in rows.
//!
//! What was sharpened or smoothed by a scanner measures that program, and frames compare only at equal magnification.

use crate::stats;

/// The strength of what is left where a plane's slopes and bends are taken away.
///
/// Source: J. Immerkær, "Fast noise variance estimation", *Computer Vision and Image Understanding* 64(2), 300–302 (1996), read in
/// public programs: kernel rows (1 −2 1), (−2 4 −2), (1 −2 1), and σ = √(π/2) / (6·(W − 2)·(H − 2)) · Σ|response| over the
/// valid area only. (Copies that go over the border of the picture let its edge leak in.)
///
/// None where a side is shorter than three, or the plane has another size than said.
///
/// ```
/// let mut plane = [0.0; 25];
/// plane[12] = 1.0;
/// assert!((scans::noise::immerkaer(&plane, 5).unwrap() - 0.3713523370).abs() < 1e-9);
/// ```
#[must_use]
pub fn immerkaer(plane: &[f64], width: usize) -> Option<f64> {
    let height = rows(plane, width)?;
    if width < 3 || height < 3 {
        return None;
    }
    let mut sum = 0.0;
    for y in 1..height - 1 {
        for x in 1..width - 1 {
            sum += response(|across, down| plane[(y + down - 1) * width + x + across - 1]).abs();
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "pixels of a picture")]
    let count = ((width - 2) * (height - 2)) as f64;
    Some(of_mean(sum / count))
}

/// The response of the kernel at a place, whose neighbours are given by how far they lie across and down of the upper left one.
pub(crate) fn response(at: impl Fn(usize, usize) -> f64) -> f64 {
    let row = |down| at(0, down) - 2.0 * at(1, down) + at(2, down);
    row(0) - 2.0 * row(1) + row(2)
}

/// The strength that a mean size of the response stands for.
pub(crate) fn of_mean(mean: f64) -> f64 {
    std::f64::consts::FRAC_PI_2.sqrt() / 6.0 * mean
}

/// The strength by the median size of the diagonal detail of 2×2 blocks, (a − b − c + d)/2, over 0.6744897502.
///
/// Source: D. L. Donoho's wavelet estimate, the constant read in public programs to four digits. A ramp or a step between blocks
/// changes nothing. None where a side is shorter than two, or the plane has another size than said.
#[must_use]
pub fn donoho(plane: &[f64], width: usize) -> Option<f64> {
    let height = rows(plane, width)?;
    let blocks = (0..height / 2).flat_map(|y| {
        (0..width / 2).map(move |x| {
            let at = 2 * y * width + 2 * x;
            ((plane[at] - plane[at + 1] - plane[at + width] + plane[at + width + 1]) / 2.0).abs()
        })
    });
    stats::median(blocks).map(|middle| middle / 0.674_489_750_2)
}

fn rows(plane: &[f64], width: usize) -> Option<usize> {
    (width > 0 && plane.len().is_multiple_of(width)).then(|| plane.len() / width)
}
