//! Scenes drawn as pixels: sharp layers once for a scene and a size, then for each setting their blur in linear light, the film's
//! curve, and grain in density.
//!
//! ```
//! use exposure::{Control, Mark, Steps, Stops};
//! use scenes::{film::Printing, render::{Renderer, Size}, scene::Scene};
//! let scene = Scene::of_id("cyclist").unwrap();
//! let mut renderer = Renderer::new(&scene, Size::new(90, 60)?)?;
//! let mark = |control, text| Mark::parse(control, text, Steps::Third);
//! let set = [mark(Control::Time, "1/60")?, mark(Control::Aperture, "f/8")?, mark(Control::Sensitivity, "100")?];
//! let pixels = renderer.draw(&set, Stops::ZERO, Printing::Fixed)?;
//! assert_eq!(pixels.len(), 90 * 60 * 4);
//! # Ok::<(), exposure::Refused>(())
//! ```

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "pixels, codes and places in tables are small numbers that are not negative where they are cast"
)]

mod blur;
mod draw;
mod shapes;
#[cfg(test)]
mod tests;

use exposure::{FilmKind, Mark, Refused, Stops, range::Range};

use crate::Dice;
use crate::film::{Printing, Tones, code};
use crate::scene::{Backdrop, Prices, Scene, Seen};
use blur::{Patch, Plane, Scratch};
use shapes::{Shape, View};

/// Pixels along one side of a picture.
pub const PIXELS: Range = Range {
    what: "a side of the picture",
    min: 8.0,
    max: 4096.0,
    limits: "8 and 4096 pixels",
};
/// Pixels of a whole picture: what is larger would take more memory than a phone gives.
pub const AREA: Range = Range {
    what: "the number of pixels of the picture",
    min: 64.0,
    max: 4_200_000.0,
    limits: "64 and 4 200 000",
};
/// How many times a picture is magnified.
pub const MAGNIFICATION: Range = Range {
    what: "the magnification",
    min: 1.0,
    max: crate::scene::MOST_MAGNIFIED,
    limits: "1 and 50",
};

/// Size of a picture in pixels, and which part of the frame it shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    width: usize,
    height: usize,
    magnification: f64,
    towards: [f64; 2],
}

impl Size {
    /// The whole width of the frame in so many pixels; what the height leaves over is cut off above and below.
    ///
    /// # Errors
    ///
    /// A sentence beyond [`PIXELS`] or [`AREA`].
    pub fn new(width: u32, height: u32) -> Result<Self, Refused> {
        PIXELS.check(f64::from(width))?;
        PIXELS.check(f64::from(height))?;
        AREA.check(f64::from(width) * f64::from(height))?;
        Ok(Self {
            width: width as usize,
            height: height as usize,
            magnification: 1.0,
            towards: [0.0; 2],
        })
    }

    /// A part of the same picture, magnified so many times. `towards` is where its middle lies, in shares of the frame's width to
    /// the right of the frame's middle and below it.
    ///
    /// # Errors
    ///
    /// A sentence beyond [`MAGNIFICATION`], or for a middle outside of the frame.
    pub fn magnified(self, magnification: f64, towards: [f64; 2]) -> Result<Self, Refused> {
        MAGNIFICATION.check(magnification)?;
        if !towards.iter().all(|share| share.abs() <= 0.5) {
            return Err(Refused::new(
                "the part that is magnified has to lie in the picture",
            ));
        }
        Ok(Self {
            magnification,
            towards,
            ..self
        })
    }

    /// Pixels across.
    #[must_use]
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Pixels down.
    #[must_use]
    pub const fn height(&self) -> usize {
        self.height
    }

    /// How many times it is magnified.
    #[must_use]
    pub const fn magnification(&self) -> f64 {
        self.magnification
    }

    /// The height that shows the whole frame of a format, for a width in pixels.
    #[must_use]
    pub fn whole_height(width: u32, format: &exposure::Format) -> u32 {
        (f64::from(width) * format.short / format.long).round() as u32
    }
}

/// How a layer is blurred, in pixels: first across, then down twice, then by a disc of a variance.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Blur {
    across: f64,
    down: [f64; 2],
    disc: f64,
}

impl Blur {
    /// How far it draws out to one side, across and down.
    fn reach(&self) -> [usize; 2] {
        // Three more than the half-widths: ends, and the rounding of a disc at a fraction of the size.
        let radius = 2.0 * self.disc.sqrt();
        let coarse = radius / 2.0 + 3.0;
        let down = self.down[0] + self.down[1];
        [self.across, down].map(|length| (length / 2.0 + radius + coarse).ceil() as usize)
    }
}

/// A layer with gaps, as it is drawn and as it is shown.
#[derive(Debug, Clone, Default)]
struct Layer {
    drawn: Patch,
    shown: Patch,
    by: Option<Blur>,
}

/// The layer behind all others, without gaps.
#[derive(Debug, Clone, Default)]
struct Ground {
    drawn: Vec<Plane>,
    shown: Vec<Plane>,
    by: Option<Blur>,
}

/// What tones become, in tables that are as fine as eight bits need. Their lengths are powers of two, so that a masked place in
/// one needs no check.
#[derive(Debug, Clone)]
struct Tables {
    made_for: Option<(FilmKind, u64, Printing)>,
    /// Density for each root of a share of light.
    density: Box<[f32; ROOTS]>,
    /// Code for each density.
    code: Box<[u8; DENSITIES]>,
    /// Code for each root of a share of light, where there is no grain between.
    at_once: Box<[u8; ROOTS]>,
}

/// The brightest light that the tables hold; what is brighter is white on any film here.
const BRIGHTEST: f32 = 16.0;
/// Steps of a thousandth of a middle tone and less than a code anywhere.
const ROOTS: usize = 1 << 14;
const DENSITIES: usize = 1 << 13;
/// The most density that any film here has, with room for grain.
const DENSEST: f32 = 4.5;
/// How far grain may lead below no density at all.
const BELOW: f32 = 0.3;

impl Default for Tables {
    fn default() -> Self {
        Self {
            made_for: None,
            density: Box::new([0.0; ROOTS]),
            code: Box::new([0; DENSITIES]),
            at_once: Box::new([0; ROOTS]),
        }
    }
}

impl Tables {
    fn make(&mut self, film: FilmKind, more: Stops, printing: Printing) {
        let made_for = Some((film, more.get().to_bits(), printing));
        if self.made_for == made_for {
            return;
        }
        let tones = Tones::new(film, more, printing);
        for (i, code_of) in self.code.iter_mut().enumerate() {
            // The middle of a step.
            let density = (i as f32 + 0.5) / DENSITIES as f32 * DENSEST - BELOW;
            *code_of = code(tones.of_density(f64::from(density))).round() as u8;
        }
        let tables = self.density.iter_mut().zip(self.at_once.iter_mut());
        for (i, (density, at_once)) in tables.enumerate() {
            let root = (i as f64 + 0.5) / ROOTS as f64;
            let exact = tones.density(root * root * f64::from(BRIGHTEST));
            *density = exact as f32;
            *at_once = code(tones.of_density(exact)).round() as u8;
        }
        self.made_for = made_for;
    }

    /// Place of a share of light among the roots.
    fn root(light: f32) -> usize {
        let at = (light * (ROOTS as f32 * ROOTS as f32 / BRIGHTEST)).sqrt();
        // OK because what is no number and what is below nothing becomes 0 by the cast.
        (at as u32 as usize).min(ROOTS - 1)
    }

    fn at_once(&self, light: f32) -> u8 {
        self.at_once[Self::root(light) & (ROOTS - 1)]
    }

    fn with_grain(&self, light: f32, grain: f32) -> u8 {
        let density = self.density[Self::root(light) & (ROOTS - 1)] + grain;
        let at = (density + BELOW) * (DENSITIES as f32 / DENSEST);
        self.code[(at as u32 as usize).min(DENSITIES - 1) & (DENSITIES - 1)]
    }
}

/// Draws one scene at one size for any setting.
#[derive(Debug, Clone)]
pub struct Renderer {
    scene: Scene,
    size: Size,
    ground: Ground,
    /// What stands still beside who moves, who moves, and what is in front, where there is any.
    layers: [Option<Layer>; 3],
    noise: Vec<f32>,
    tables: Tables,
    scratch: Scratch,
    spare: Plane,
    lines: Vec<Vec<f32>>,
    pixels: Vec<u8>,
}

impl Renderer {
    /// Draws the layers of a scene once.
    ///
    /// # Errors
    ///
    /// A sentence for a scene whose lens, distances or format are out of range.
    pub fn new(scene: &Scene, size: Size) -> Result<Self, Refused> {
        let format = scene.format()?;
        let lens = scene.lens()?;
        let per_mm = size.width as f64 * size.magnification / format.long;
        // Where the image of the focus lies behind the lens; everything else is caught there too.
        let image = scene.focal * (1.0 + lens.magnification());
        let frame = [size.width as f64, size.height as f64].map(|side| side * size.magnification);
        let view = |distance: f64| View {
            scale: per_mm * image * 1000.0 / distance,
            middle: [0, 1].map(|i| {
                let side = [size.width, size.height][i] as f64;
                side / 2.0 - size.towards[i] * frame[0]
            }),
        };
        let half = |view: &View| frame.map(|side| side / 2.0 / view.scale);
        let mut dice = Dice::new(u64::from(scene.seed));
        // Infinity is drawn as far off as it looks; hills are drawn by the picture's size in any case.
        let behind = scene.behind.unwrap_or(match scene.backdrop {
            Backdrop::Hills => 1_000_000.0,
            Backdrop::Wall | Backdrop::Trees | Backdrop::Lamps => 200_000.0,
        });
        exposure::range::FOCUS.check(behind)?;
        let far = view(behind);
        let ground = draw::backdrop(scene.backdrop, half(&far), &mut dice);
        let near = view(scene.distance);
        let beside = draw::beside(scene.mover, half(&near));
        let mover = draw::mover(scene.mover, half(&near), &mut dice);
        let before = match scene.before {
            Some(before) => {
                exposure::range::FOCUS.check(before)?;
                let view = view(before);
                Some((draw::fence(half(&view)[0], &mut dice), view))
            }
            None => None,
        };
        let mut layers = vec![(beside, near), (mover, near)];
        layers.extend(before);
        Ok(Self::of_shapes(scene, size, (&ground, far), &layers))
    }

    /// Paints layers of shapes.
    fn of_shapes(
        scene: &Scene,
        size: Size,
        ground: (&[Shape], View),
        over: &[(Vec<Shape>, View)],
    ) -> Self {
        let mut planes = vec![Plane::new(size.width, size.height); 3];
        shapes::paint(ground.0, &ground.1, &mut planes);
        let grey = scene.film == FilmKind::BlackAndWhite;
        if grey {
            to_grey(&mut planes);
        }
        let mut layers = [None, None, None];
        for (layer, (shapes, view)) in layers.iter_mut().zip(over) {
            *layer = patch(shapes, view, size).map(|mut drawn| {
                if grey {
                    to_grey(&mut drawn.planes);
                }
                let planes = vec![Plane::default(); drawn.planes.len()];
                Layer {
                    shown: Patch {
                        planes,
                        ..Patch::default()
                    },
                    drawn,
                    by: None,
                }
            });
        }
        Self {
            scene: *scene,
            size,
            lines: vec![vec![0.0; size.width]; planes.len()],
            ground: Ground {
                shown: vec![Plane::default(); planes.len()],
                drawn: planes,
                by: None,
            },
            layers,
            noise: noise(size.width * size.height, scene.seed),
            tables: Tables::default(),
            scratch: Scratch::default(),
            spare: Plane::default(),
            pixels: vec![255; size.width * size.height * 4],
        }
    }

    /// The scene.
    #[must_use]
    pub const fn scene(&self) -> &Scene {
        &self.scene
    }

    /// The size.
    #[must_use]
    pub const fn size(&self) -> &Size {
        &self.size
    }

    /// The picture that a setting makes, as red, green, blue and cover of each pixel, row by row, in sRGB codes.
    ///
    /// `more` is the light that the film gets beyond what it asks for. What was drawn before is kept as far as it is the same.
    /// What is too small to see ([`Seen`]) is not drawn.
    ///
    /// # Errors
    ///
    /// A sentence for a setting out of range.
    pub fn draw(
        &mut self,
        set: &[Mark; 3],
        more: Stops,
        printing: Printing,
    ) -> Result<&[u8], Refused> {
        let prices = self.scene.prices(set)?;
        let (width, times) = (self.size.width as f64, self.size.magnification);
        let grain = prices.grain(width, times)?;
        let grain = if Seen::grain(grain, self.scene.film).visible {
            grain as f32
        } else {
            0.0
        };
        let [ground, still, moving, before] = self.blurs(&prices);
        self.ground
            .blur(&ground, &mut self.scratch, &mut self.spare);
        for (layer, by) in self.layers.iter_mut().zip([still, moving, before]) {
            if let Some(layer) = layer {
                let picture = [self.size.width, self.size.height];
                layer.blur(&by, picture, &mut self.scratch, &mut self.spare);
            }
        }
        self.tables.make(self.scene.film, more, printing);
        self.compose(grain);
        Ok(&self.pixels)
    }

    /// How the layers are blurred: what stands behind, what stands still at the focus, who moves, and what is in front.
    fn blurs(&self, prices: &Prices) -> [Blur; 4] {
        let (width, times) = (self.size.width as f64, self.size.magnification);
        // A line longer than this hardly covers anything; drawn to its end it would only take time.
        let longest = 2.0 * width;
        let pixels = |length: crate::effects::Length| {
            if Seen::blur(length, width, times).visible {
                (length.pixels(width) * times).min(longest)
            } else {
                0.0
            }
        };
        let spread = prices.diffraction_spread / prices.motion.one_pixel(width) * times;
        let diffraction = if Seen::blur(prices.diffraction, width, times).visible && spread > 0.15 {
            spread * spread
        } else {
            0.0
        };
        let disc = |length: Option<crate::effects::Length>| {
            let diameter = length.map_or(0.0, pixels);
            diameter * diameter / 16.0 + diffraction
        };
        let (shake, motion) = (pixels(prices.shake), pixels(prices.motion));
        let falls = self.scene.mover.falls();
        let blur = |disc: f64| Blur {
            across: 0.0,
            down: [shake, 0.0],
            disc,
        };
        [
            blur(disc(Some(prices.behind))),
            blur(diffraction),
            Blur {
                across: if falls { 0.0 } else { motion },
                down: [shake, if falls { motion } else { 0.0 }],
                disc: diffraction,
            },
            blur(disc(prices.before)),
        ]
    }

    /// Lays the layers over one another, row by row, and takes them through the film.
    fn compose(&mut self, grain: f32) {
        let width = self.size.width;
        for y in 0..self.size.height {
            for (line, plane) in self.lines.iter_mut().zip(&self.ground.shown) {
                line.copy_from_slice(plane.row(y));
            }
            for layer in self.layers.iter().flatten() {
                layer.shown.lay_over(y, &mut self.lines);
            }
            let noise = &self.noise[y * width..][..width];
            let pixels = &mut self.pixels[y * width * 4..][..width * 4];
            let tables = &self.tables;
            for (colour, line) in self.lines.iter().enumerate() {
                let pixels = pixels.chunks_exact_mut(4).map(|pixel| {
                    // OK because a pixel has four bytes.
                    &mut pixel[colour]
                });
                if grain > 0.0 {
                    for ((pixel, light), noise) in pixels.zip(line).zip(noise) {
                        *pixel = tables.with_grain(*light, noise * grain);
                    }
                } else {
                    for (pixel, light) in pixels.zip(line) {
                        *pixel = tables.at_once(*light);
                    }
                }
            }
            if self.lines.len() == 1 {
                for pixel in pixels.chunks_exact_mut(4) {
                    (pixel[1], pixel[2]) = (pixel[0], pixel[0]);
                }
            }
        }
    }
}

impl Ground {
    fn blur(&mut self, by: &Blur, scratch: &mut Scratch, spare: &mut Plane) {
        if self.by.as_ref() == Some(by) {
            return;
        }
        for (from, to) in self.drawn.iter().zip(&mut self.shown) {
            blur_plane(from, by, scratch, spare, to);
        }
        self.by = Some(*by);
    }
}

impl Layer {
    fn blur(&mut self, by: &Blur, picture: [usize; 2], scratch: &mut Scratch, spare: &mut Plane) {
        if self.by.as_ref() == Some(by) {
            return;
        }
        self.drawn.widened(by.reach(), picture, &mut self.shown);
        for plane in &mut self.shown.planes {
            let from = std::mem::take(plane);
            blur_plane(&from, by, scratch, spare, plane);
        }
        self.by = Some(*by);
    }
}

/// One blur after the other; what is none is left out.
fn blur_plane(from: &Plane, by: &Blur, scratch: &mut Scratch, spare: &mut Plane, to: &mut Plane) {
    let mut first = true;
    let mut step = |work: &mut dyn FnMut(&Plane, &mut Plane)| {
        if first {
            work(from, to);
        } else {
            std::mem::swap(to, spare);
            work(spare, to);
        }
        first = false;
    };
    if by.across > 0.0 {
        step(&mut |from, to| blur::across(from, by.across, scratch, to));
    }
    for length in by.down {
        if length > 0.0 {
            step(&mut |from, to| blur::down(from, length, scratch, to));
        }
    }
    if by.disc > 0.0 {
        step(&mut |from, to| blur::disc(from, by.disc, scratch, to));
    }
    if first {
        to.clone_from(from);
    }
}

/// How bright each colour looks.
#[expect(
    clippy::cast_possible_truncation,
    reason = "pictures are drawn in single precision"
)]
const LUMINANCE: [f32; 3] = {
    let [red, green, blue] = exposure::tone::LUMINANCE;
    [red as f32, green as f32, blue as f32]
};

/// One plane of light in place of three of colours; a plane of cover behind them stays.
fn to_grey(planes: &mut Vec<Plane>) {
    let rest = planes.split_off(1);
    let (colours, cover) = rest.split_at(2);
    let grey = &mut planes[0].data;
    for (i, light) in grey.iter_mut().enumerate() {
        *light = LUMINANCE[0] * *light
            + LUMINANCE[1] * colours[0].data[i]
            + LUMINANCE[2] * colours[1].data[i];
    }
    planes.extend_from_slice(cover);
}

impl Patch {
    /// Lays a row over the lines of a picture.
    fn lay_over(&self, y: usize, lines: &mut [Vec<f32>]) {
        let Ok(row) = usize::try_from(y.cast_signed() - self.top) else {
            return;
        };
        let width = lines[0].len();
        let from = usize::try_from(self.left).unwrap_or(0).min(width);
        let skip = usize::try_from(-self.left).unwrap_or(0);
        if row >= self.height() || skip >= self.width() {
            return;
        }
        let len = (self.width() - skip).min(width - from);
        let Some((cover, colours)) = self.planes.split_last() else {
            return;
        };
        let cover = &cover.row(row)[skip..][..len];
        for (line, plane) in lines.iter_mut().zip(colours) {
            let line = &mut line[from..][..len];
            let plane = &plane.row(row)[skip..][..len];
            for ((to, over), cover) in line.iter_mut().zip(plane).zip(cover) {
                *to = *over + *to * (1.0 - *cover);
            }
        }
    }
}

/// Paints shapes on a patch that holds them, as far as half a picture beyond each edge.
fn patch(shapes: &[Shape], view: &View, size: Size) -> Option<Patch> {
    let [low, high] = shapes::extent(shapes, view)?;
    let mut sides = [0_isize; 4];
    for (i, side) in [size.width, size.height].into_iter().enumerate() {
        let (side, room) = (side as f64, side as f64 / 2.0);
        let from = low[i].floor().clamp(-room, side + room);
        let to = high[i].ceil().clamp(-room, side + room);
        if to - from < 1.0 {
            return None;
        }
        (sides[i], sides[i + 2]) = (from as isize, (to - from) as isize);
    }
    let [left, top, width, height] = sides;
    let mut planes = vec![Plane::new(width.unsigned_abs(), height.unsigned_abs()); 4];
    let moved = View {
        scale: view.scale,
        middle: [view.middle[0] - left as f64, view.middle[1] - top as f64],
    };
    shapes::paint(shapes, &moved, &mut planes);
    Some(Patch { left, top, planes })
}

/// Grain of deviation one and mean zero, from a seed.
fn noise(count: usize, seed: u32) -> Vec<f32> {
    let mut dice = Dice::new(u64::from(seed) | (1 << 50));
    // The sum of four even draws is near enough to a normal one.
    let draw = |bits: u64| {
        (0..4)
            .map(|i| ((bits >> (16 * i)) & 0xFFFF) as f32)
            .sum::<f32>()
    };
    let mut noise: Vec<f32> = (0..count).map(|_| draw(dice.next())).collect();
    let count = count as f64;
    let mean = noise.iter().map(|x| f64::from(*x)).sum::<f64>() / count;
    let squares: f64 = noise.iter().map(|x| (f64::from(*x) - mean).powi(2)).sum();
    let scale = 1.0 / (squares / count).sqrt().max(1e-9);
    for x in &mut noise {
        *x = ((f64::from(*x) - mean) * scale) as f32;
    }
    noise
}
