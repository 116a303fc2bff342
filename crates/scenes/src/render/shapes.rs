//! Shapes filled with one colour of linear light, with soft edges.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "pixels are small numbers that are not negative where they are cast"
)]

use super::blur::Plane;

/// Red, green and blue as shares of linear light, where 0.18 is a middle tone and lamps are above 1.
pub(crate) type Colour = [f32; 3];

/// Lines of a pixel row whose covered lengths are added up.
const LINES: usize = 4;

/// A closed outline; a second one inside is a hole.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    /// Corners of each outline.
    outlines: Vec<Vec<[f64; 2]>>,
    colour: Colour,
}

impl Shape {
    pub(crate) fn polygon(colour: Colour, corners: &[[f64; 2]]) -> Self {
        Self {
            outlines: vec![corners.to_vec()],
            colour,
        }
    }

    pub(crate) fn rectangle(colour: Colour, from: [f64; 2], to: [f64; 2]) -> Self {
        Self::polygon(colour, &[from, [to[0], from[1]], to, [from[0], to[1]]])
    }

    pub(crate) fn ellipse(colour: Colour, middle: [f64; 2], radii: [f64; 2]) -> Self {
        Self::polygon(colour, &round(middle, radii))
    }

    pub(crate) fn ring(colour: Colour, middle: [f64; 2], outer: f64, inner: f64) -> Self {
        Self {
            outlines: vec![round(middle, [outer; 2]), round(middle, [inner; 2])],
            colour,
        }
    }

    /// A bar with straight ends.
    pub(crate) fn bar(colour: Colour, from: [f64; 2], to: [f64; 2], width: f64) -> Self {
        let along = [to[0] - from[0], to[1] - from[1]];
        let length = along[0].hypot(along[1]).max(1e-9);
        let side = [
            -along[1] / length * width / 2.0,
            along[0] / length * width / 2.0,
        ];
        Self::polygon(
            colour,
            &[
                [from[0] + side[0], from[1] + side[1]],
                [to[0] + side[0], to[1] + side[1]],
                [to[0] - side[0], to[1] - side[1]],
                [from[0] - side[0], from[1] - side[1]],
            ],
        )
    }
}

fn round(middle: [f64; 2], radii: [f64; 2]) -> Vec<[f64; 2]> {
    (0..28)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 28.0).sin_cos();
            [middle[0] + radii[0] * cos, middle[1] + radii[1] * sin]
        })
        .collect()
}

/// From a scene's own units to pixels.
#[derive(Debug, Clone, Copy)]
pub(crate) struct View {
    /// Pixels of one unit.
    pub(crate) scale: f64,
    /// Where the scene's middle is, in pixels of the plane.
    pub(crate) middle: [f64; 2],
}

impl View {
    fn pixel(&self, point: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|i| self.middle[i] + self.scale * point[i])
    }
}

/// From where to where shapes reach, in pixels; none where there is nothing.
pub(crate) fn extent(shapes: &[Shape], view: &View) -> Option<[[f64; 2]; 2]> {
    let corners = shapes
        .iter()
        .flat_map(|shape| shape.outlines.iter().flatten());
    corners
        .map(|corner| view.pixel(*corner))
        .fold(None, |box_, at| {
            let [mut low, mut high] = box_.unwrap_or([at, at]);
            for i in 0..2 {
                low[i] = f64::min(low[i], at[i]);
                high[i] = f64::max(high[i], at[i]);
            }
            Some([low, high])
        })
}

/// Paints shapes over what planes hold, the first one first. A fourth plane holds how far a pixel is covered.
pub(crate) fn paint(shapes: &[Shape], view: &View, planes: &mut [Plane]) {
    let mut cover = Vec::new();
    let mut crossings = Vec::new();
    for shape in shapes {
        paint_one(shape, view, planes, &mut cover, &mut crossings);
    }
}

fn paint_one(
    shape: &Shape,
    view: &View,
    planes: &mut [Plane],
    cover: &mut Vec<f32>,
    crossings: &mut Vec<f64>,
) {
    let outlines: Vec<Vec<[f64; 2]>> = shape
        .outlines
        .iter()
        .map(|outline| outline.iter().map(|corner| view.pixel(*corner)).collect())
        .collect();
    let (width, height) = (planes[0].width, planes[0].height);
    let corners = || outlines.iter().flatten();
    let low = corners().fold(f64::INFINITY, |low, at| low.min(at[1]));
    let high = corners().fold(f64::NEG_INFINITY, |high, at| high.max(at[1]));
    let rows = (low.floor().clamp(0.0, height as f64) as usize)
        ..(high.ceil().clamp(0.0, height as f64) as usize);
    for y in rows {
        cover.clear();
        cover.resize(width + 1, 0.0);
        let mut reached = [width, 0];
        for line in 0..LINES {
            let at = y as f64 + (line as f64 + 0.5) / LINES as f64;
            crossings.clear();
            for outline in &outlines {
                let next = outline.iter().cycle().skip(1);
                for (a, b) in outline.iter().zip(next) {
                    if (a[1] <= at) != (b[1] <= at) {
                        crossings.push(a[0] + (at - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
                    }
                }
            }
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let [from, to] = [pair[0], pair[1]].map(|x| x.clamp(0.0, width as f64));
                if to > from {
                    fill(from, to, cover);
                    reached[0] = reached[0].min(from as usize);
                    reached[1] = reached[1].max((to.ceil() as usize).min(width));
                }
            }
        }
        if reached[0] >= reached[1] {
            continue;
        }
        let span = reached[0]..reached[1];
        for (i, plane) in planes.iter_mut().enumerate() {
            // The fourth plane is cover itself.
            let light = shape.colour.get(i).copied().unwrap_or(1.0);
            let row = &mut plane.row_mut(y)[span.clone()];
            for (pixel, cover) in row.iter_mut().zip(&cover[span.clone()]) {
                let cover = cover / LINES as f32;
                *pixel += (light - *pixel) * cover;
            }
        }
    }
}

/// Adds the length of each pixel that lies between two places.
fn fill(from: f64, to: f64, cover: &mut [f32]) {
    let (first, last) = (from as usize, to as usize);
    if first == last {
        cover[first] += (to - from) as f32;
        return;
    }
    cover[first] += (first as f64 + 1.0 - from) as f32;
    for cover in &mut cover[first + 1..last] {
        *cover += 1.0;
    }
    cover[last] += (to - last as f64) as f32;
}
