//! One picture measured: what is clipped, where its tones lie, how much it is grained, which way its greys lean, and a small grid
//! of it that is kept for comparing.
//!
//! ```
//! use scans::{Measured, Pixels};
//! let grey = [118, 118, 118, 255].repeat(64 * 48);
//! let measured = Measured::of(&Pixels::new(64, 48, &grey)?);
//! assert!((measured.tones.median() - 118.0).abs() < 1e-9);
//! assert_eq!(Measured::read(&measured.text())?, measured);
//! # Ok::<(), scans::Error>(())
//! ```

use exposure::{
    Stops,
    tone::{self, Lab},
    words,
};

use crate::{Error, noise, stats};

/// A code from here on may have been brighter.
pub const BRIGHT: u8 = 254;
/// A code up to here may have been darker.
pub const DARK: u8 = 1;

/// Shares of the tones that are kept: below each lies that much of the picture.
pub const SHARES: [f64; 7] = [0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99];

/// The histogram begins so many stops below the middle tone; each bar is half a stop wide.
pub const FIRST_BAR: f64 = -9.5;
/// How many bars it has: up to 2.5 stops above the middle tone, where white is.
pub const BARS: usize = 25;

/// The longer side of the grid that is kept.
pub const GRID: usize = 96;
/// The longer side of the coarser grid of colours.
pub const COLOURS: usize = 24;
/// A cell of that is without a colour where a greater share of it is clipped or transparent (judgement, no source).
const MOST_CLIPPED: f64 = 0.125;

/// Sides of the patches in which noise is looked at, in pixels.
const PATCH: usize = 16;
/// Of a large picture every second, third … patch across and down is looked at, so that about so many are.
const PATCHES: usize = 6000;
/// A third of the lightness scale says something from this share of the picture on (judgement, no source).
const LEAST_SHARE: f64 = 0.01;
/// Patches of one third that a noise needs (judgement, no source).
const LEAST_PATCHES: usize = 4;

/// Pixels of a picture in sRGB, as a canvas gives them: rows of red, green, blue and opacity, eight bits each.
#[derive(Debug, Clone, Copy)]
pub struct Pixels<'a> {
    width: usize,
    height: usize,
    rgba: &'a [u8],
}

impl<'a> Pixels<'a> {
    /// Takes pixels of a canvas.
    ///
    /// # Errors
    ///
    /// A sentence, if there are none or not as many as the size says.
    pub fn new(width: usize, height: usize, rgba: &'a [u8]) -> Result<Self, Error> {
        let wanted = width
            .checked_mul(height)
            .and_then(|area| area.checked_mul(4));
        let small = u32::try_from(width.max(height)).is_ok();
        if !small || wanted.is_none_or(|wanted| wanted == 0 || wanted != rgba.len()) {
            return Err(Error::new("The scan could not be read as pixels."));
        }
        Ok(Self {
            width,
            height,
            rgba,
        })
    }

    fn row(&self, y: usize) -> &'a [u8] {
        &self.rgba[y * self.width * 4..(y + 1) * self.width * 4]
    }
}

/// Shares of pixels at an end of the scale, 0 to 1: of each colour, and of any.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clipped {
    /// Red, green and blue.
    pub colours: [f64; 3],
    /// Of at least one colour.
    pub any: f64,
}

/// Where the tones lie, as codes of luminance from 0 to 255, below which [`SHARES`] of the picture lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tones {
    /// In the order of [`SHARES`].
    pub codes: [f64; SHARES.len()],
}

impl Tones {
    /// The code that half of the picture lies below.
    #[must_use]
    pub const fn median(&self) -> f64 {
        self.codes[SHARES.len() / 2]
    }

    /// A code in stops above the middle tone, as if the scan were plain sRGB; none of black.
    #[must_use]
    pub fn stops(code: f64) -> Option<f64> {
        tone::stops(tone::light(code))
    }
}

/// A share of the picture about equally bright, for the histogram.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// The middle of the bar in stops from the middle tone; brighter is positive.
    pub stops: f64,
    /// Share of the picture.
    pub share: f64,
}

/// Noise as a standard deviation: the median over patches without clipping.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Noise {
    /// In L*, over all patches.
    pub lightness: f64,
    /// In density of the scan (log10), over all patches.
    pub density: f64,
    /// In L* in patches of the darkest, the middle and the lightest third of the scale; none where there are too few.
    pub thirds: [Option<f64>; 3],
    /// Columns and rows of what it was measured on; none in records that do not say so.
    pub size: Option<(u32, u32)>,
}

/// Which way the tones of a third of the lightness scale lean. Says something of the film only where the scene averages grey.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cast {
    /// Mean lightness, L*, 0 to 100.
    pub lightness: f64,
    /// From green (below nought) to magenta, a*.
    pub a: f64,
    /// From blue (below nought) to yellow, b*.
    pub b: f64,
    /// Stops that red is above green.
    pub red: f64,
    /// Stops that blue is above green.
    pub blue: f64,
}

/// A small picture of luminance codes, averaged in linear light.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grid {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) codes: Vec<u8>,
}

/// Whether rows and columns are as many as there are cells, and no side is longer than it may be.
fn check_size([width, height]: [usize; 2], most: usize, cells: usize) -> Result<(), Error> {
    let sound = (1..=most).contains(&width) && (1..=most).contains(&height);
    if sound && width * height == cells {
        return Ok(());
    }
    Err(Error::new(
        "The small picture has another size than it says.",
    ))
}

impl Grid {
    /// Takes codes in rows.
    ///
    /// # Errors
    ///
    /// A sentence, if there are not as many as the size says, or a side is longer than [`GRID`].
    pub fn new(width: usize, height: usize, codes: Vec<u8>) -> Result<Self, Error> {
        check_size([width, height], GRID, codes.len())?;
        Ok(Self {
            width,
            height,
            codes,
        })
    }

    /// Columns and rows.
    #[must_use]
    pub const fn size(&self) -> (usize, usize) {
        (self.width, self.height)
    }

    /// Whether one stands upright and the other lies. Squares are neither, for a row more or less is how they were cropped.
    #[must_use]
    pub fn is_turned(&self, other: &Self) -> bool {
        let lies = |grid: &Self| 10 * grid.width >= 11 * grid.height;
        let stands = |grid: &Self| 10 * grid.height >= 11 * grid.width;
        lies(self) && stands(other) || stands(self) && lies(other)
    }

    /// Codes of luminance in rows.
    #[must_use]
    pub fn codes(&self) -> &[u8] {
        &self.codes
    }
}

/// Mean colours of a coarse grid of cells, as codes of red, green and blue averaged in linear light. A cell that is clipped or
/// transparent in more than an eighth of it is black.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Colours {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) codes: Vec<[u8; 3]>,
}

impl Colours {
    /// Takes colours in rows.
    ///
    /// # Errors
    ///
    /// A sentence, if there are not as many as the size says, or a side is longer than [`COLOURS`].
    pub fn new(width: usize, height: usize, codes: Vec<[u8; 3]>) -> Result<Self, Error> {
        check_size([width, height], COLOURS, codes.len())?;
        Ok(Self {
            width,
            height,
            codes,
        })
    }
}

/// What is measured of one picture. Its numbers have six decimals, so that its record gives back the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// Columns of pixels.
    pub width: u32,
    /// Rows of pixels.
    pub height: u32,
    /// Burnt out: codes of 254 and more.
    pub bright: Clipped,
    /// At the dark end: codes of 1 and less. Black is what is so in all colours: [`Measured::black`].
    pub dark: Clipped,
    /// Where the tones lie.
    pub tones: Tones,
    /// Shares of the picture, half a stop each from [`FIRST_BAR`] on; what is burnt out or black is in none.
    pub bars: [f64; BARS],
    /// Noise; none where no patch is without clipping.
    pub noise: Option<Noise>,
    /// Casts of the darkest, the middle and the lightest third of the lightness scale, so that frames are compared at matched
    /// lightness; none where the picture has too little there.
    pub casts: [Option<Cast>; 3],
    /// The small picture.
    pub grid: Grid,
    /// Its colours; none in records that have none.
    pub colours: Option<Colours>,
}

/// Six decimals, as the record keeps them.
fn kept(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

/// Codes of luminance are told apart by a sixteenth.
const FINE: f64 = 16.0;
/// As many steps of linear light as the table of codes has.
const STEPS: f32 = 65535.0;

/// What each code is worth, worked out once for a picture.
struct Tables {
    linear: [f32; 256],
    /// Fine codes of luminance by linear light.
    fine: Vec<u16>,
}

impl Tables {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "values from nought to one"
    )]
    fn new() -> Self {
        // From where on a fine code is nearer than the one before it.
        let mut fine = Vec::with_capacity(65536);
        for code in 0..=4080_u16 {
            let end = tone::light((f64::from(code) + 0.5) / FINE) * f64::from(STEPS);
            fine.resize((end.ceil() as usize).min(65536).max(fine.len()), code);
        }
        fine.resize(65536, 4080);
        Self {
            linear: core::array::from_fn(|code| tone::light(code_of(code)) as f32),
            fine,
        }
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "linear light from nought to one"
    )]
    fn fine(&self, luminance: f32) -> usize {
        usize::from(self.fine[((luminance * STEPS + 0.5) as usize).min(65535)])
    }
}

/// A code that counts up to 255.
fn code_of(code: usize) -> f64 {
    f64::from(u8::try_from(code).unwrap_or(u8::MAX))
}

/// What one third of the lightness scale adds up to.
#[derive(Default, Clone, Copy)]
struct Third {
    sums: [f64; 3],
    count: f64,
}

/// The third of the lightness scale, 0 to 2.
pub(crate) fn third(lightness: f32) -> usize {
    if lightness < 100.0 / 3.0 {
        0
    } else if lightness < 200.0 / 3.0 {
        1
    } else {
        2
    }
}

impl Measured {
    /// Measures a picture. One pass over its rows; memory does not grow with them.
    #[must_use]
    pub fn of(pixels: &Pixels<'_>) -> Self {
        let tables = Tables::new();
        let mut count = Count::new(pixels);
        let mut patches = Patches::new(pixels);
        // Lightness and density of three rows, and which of their pixels are at an end of the scale.
        let mut rows = [(); 3].map(|()| Line::new(pixels.width));
        let by_fine = |value: fn(f64) -> f64| -> Vec<f32> {
            (0..=4080_u16)
                .map(|fine| {
                    #[expect(
                        clippy::cast_possible_truncation,
                        reason = "as exact as noise needs it"
                    )]
                    let value = value(tone::light(f64::from(fine) / FINE)) as f32;
                    value
                })
                .collect()
        };
        let lightness = by_fine(tone::lightness);
        let density = by_fine(|linear| -linear.max(1e-5).log10());
        for y in 0..pixels.height {
            rows.rotate_left(1);
            let line = patches.needs(y).then_some(&mut rows[2]);
            count.row(y, pixels.row(y), &tables, [&lightness, &density], line);
            if let Some(middle) = y.checked_sub(1).filter(|middle| patches.wants(*middle)) {
                patches.row(middle, &rows);
            }
        }
        patches.end();
        count.finish(pixels, &patches)
    }

    /// The histogram as bars from the darkest to the brightest that is there, without a gap.
    #[must_use]
    pub fn histogram(&self) -> Vec<Bar> {
        let first = self.bars.iter().position(|share| *share > 0.0);
        let last = self.bars.iter().rposition(|share| *share > 0.0);
        let (Some(first), Some(last)) = (first, last) else {
            return Vec::new();
        };
        (first..=last)
            .map(|at| Bar {
                #[expect(clippy::cast_precision_loss, reason = "two dozen")]
                stops: FIRST_BAR + at as f64 / 2.0,
                share: self.bars[at],
            })
            .collect()
    }

    /// Share of the picture that is black, dark to the end in all colours: what is neither in a bar nor burnt out.
    #[must_use]
    pub fn black(&self) -> f64 {
        let left = 1.0 - self.bars.iter().sum::<f64>() - self.bright.any;
        // Each share has six decimals.
        if left < 2e-5 { 0.0 } else { kept(left) }
    }

    /// The middle of the tones in stops above the middle tone, as if the scan were plain sRGB; none of black.
    #[must_use]
    pub fn middle(&self) -> Option<f64> {
        Tones::stops(self.tones.median())
    }

    /// What is measured, in sentences; every exposure in them takes the scan for plain sRGB, and says so.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut out = Vec::new();
        let middle = match self.middle().and_then(|stops| Stops::new(stops).ok()) {
            Some(stops) if stops.size() < Stops::SMALL => "at middle grey".to_owned(),
            Some(stops) => format!(
                "{} {} than middle grey",
                words::of_a_stop(stops),
                if stops.is_more() {
                    "brighter"
                } else {
                    "darker"
                }
            ),
            None => "black".to_owned(),
        };
        let codes = self.tones.codes;
        out.push(format!(
            "Half of the picture is brighter than code {}, {middle} as if the scan were plain sRGB; nine tenths lie between codes \
             {} and {}.",
            words::decimal(codes[3], 0),
            words::decimal(codes[1], 0),
            words::decimal(codes[5], 0),
        ));
        let black = percent(self.black());
        let dark = if percent(self.dark.any) == black {
            String::new()
        } else {
            format!("; black in a colour: {}", clipped_words(&self.dark))
        };
        out.push(format!(
            "Burnt out: {}. Black: {black}{dark}. Counted on a copy of {} × {} pixels.",
            clipped_words(&self.bright),
            self.width,
            self.height
        ));
        out.push(match &self.noise {
            None => "No part without clipping is large enough to tell noise.".to_owned(),
            Some(noise) => {
                let dark = noise.thirds[0].map_or_else(String::new, |dark| {
                    format!(", {} in the dark third", words::figures(dark))
                });
                let of = noise.size.map_or_else(String::new, |(width, height)| {
                    format!(" of the {width} × {height} pixels in the middle, at full size")
                });
                format!(
                    "Noise {} L*, the median of all patches{of}{dark}; sharpening and smoothing are in it, and it compares only at \
                     the same size.",
                    words::figures(noise.lightness)
                )
            }
        });
        let names = ["shadows", "middle tones", "highlights"];
        let casts: Vec<String> = names
            .iter()
            .zip(&self.casts)
            .filter_map(|(name, cast)| Some(format!("{name} {}", cast.as_ref()?.words())))
            .collect();
        if !casts.is_empty() {
            out.push(format!(
                "Casts, if the scene averages grey: {}.",
                casts.join("; ")
            ));
        }
        out
    }
}

/// `nothing`, `less than 1 %`, `3 % (red 3 %, green 1 %, blue 2 %)`.
fn clipped_words(clipped: &Clipped) -> String {
    let any = percent(clipped.any);
    if clipped.any < 0.01 {
        return any;
    }
    let [red, green, blue] = clipped.colours.map(percent);
    format!("{any} (red {red}, green {green}, blue {blue})")
}

/// A share in words: [`exposure::words::percent`].
pub use exposure::words::percent;

impl Cast {
    /// Of mean linear red, green and blue.
    #[must_use]
    pub fn of(linear: [f64; 3]) -> Self {
        let lab = Lab::of(linear);
        // No light at all leans nowhere.
        let floor = |value: f64| value.max(1e-6);
        let above = |value: f64| (floor(value) / floor(linear[1])).log2();
        Self {
            lightness: kept(lab.lightness),
            a: kept(lab.a),
            b: kept(lab.b),
            red: kept(above(linear[0])),
            blue: kept(above(linear[2])),
        }
    }

    /// How strong it is: the distance from grey, C*.
    #[must_use]
    pub fn chroma(&self) -> f64 {
        self.a.hypot(self.b)
    }

    /// In words: `without a cast`, `towards yellow and magenta by 7 (C*)`.
    #[must_use]
    pub fn words(&self) -> String {
        // Less than two is not seen as a colour on its own (common practice).
        if self.chroma() < 2.0 {
            return "without a cast".to_owned();
        }
        let side = |value: f64, less: &'static str, more: &'static str| {
            (value.abs() >= self.chroma() * 0.4).then_some(if value < 0.0 { less } else { more })
        };
        let towards: Vec<&str> = [
            side(self.b, "blue", "yellow"),
            side(self.a, "green", "magenta"),
        ]
        .into_iter()
        .flatten()
        .collect();
        format!(
            "towards {} by {} (C*)",
            towards.join(" and "),
            words::decimal(self.chroma(), 0)
        )
    }
}

/// What a pass over the pixels counts.
struct Count {
    bright: [u64; 4],
    dark: [u64; 4],
    fine: Vec<u64>,
    bars: [u64; BARS],
    bar_of: Vec<u8>,
    thirds: [Third; 3],
    height: usize,
    grid_width: usize,
    grid_height: usize,
    /// Sum of luminance and count of pixels for each cell of the grid.
    cells: Vec<(f64, u32)>,
    /// Columns and rows of the coarser grid.
    coarse: [usize; 2],
    colours: Vec<Coloured>,
    /// Pixels that are no transparent border.
    seen: u64,
}

/// What a cell of the coarser grid adds up to.
#[derive(Default, Clone, Copy)]
struct Coloured {
    /// Of pixels that are not clipped.
    sums: [f64; 3],
    count: u32,
    /// All pixels of it.
    all: u32,
}

/// One row, as noise needs it.
struct Line {
    lightness: Vec<f32>,
    density: Vec<f32>,
    clipped: Vec<bool>,
}

impl Line {
    fn new(width: usize) -> Self {
        Self {
            lightness: vec![0.0; width],
            density: vec![0.0; width],
            clipped: vec![false; width],
        }
    }
}

impl Count {
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "sides of pictures, and bars that are clamped to those there are"
    )]
    fn new(pixels: &Pixels<'_>) -> Self {
        let longest = pixels.width.max(pixels.height);
        let cells = |most: usize| {
            let scale = (most as f64 / longest as f64).min(1.0);
            [pixels.width, pixels.height]
                .map(|side| ((side as f64 * scale).round() as usize).clamp(1, side))
        };
        let [grid_width, grid_height] = cells(GRID);
        let coarse = cells(COLOURS);
        let bar_of = (0..=4080_u16)
            .map(|fine| {
                let stops = Tones::stops(f64::from(fine) / FINE).unwrap_or(FIRST_BAR);
                ((stops - FIRST_BAR) * 2.0)
                    .round()
                    .clamp(0.0, (BARS - 1) as f64) as u8
            })
            .collect();
        Self {
            bright: [0; 4],
            dark: [0; 4],
            fine: vec![0; 4081],
            bars: [0; BARS],
            bar_of,
            thirds: [Third::default(); 3],
            height: pixels.height,
            grid_width,
            grid_height,
            cells: vec![(0.0, 0); grid_width * grid_height],
            coarse,
            colours: vec![Coloured::default(); coarse[0] * coarse[1]],
            seen: 0,
        }
    }

    fn row(
        &mut self,
        y: usize,
        row: &[u8],
        tables: &Tables,
        [lightness, density]: [&[f32]; 2],
        mut line: Option<&mut Line>,
    ) {
        let width = row.len() / 4;
        let weights = tone::LUMINANCE;
        #[expect(
            clippy::cast_possible_truncation,
            reason = "as exact as eight bits need it"
        )]
        let weights = weights.map(|weight| weight as f32);
        let cell_row = y * self.grid_height / self.height * self.grid_width;
        let coarse_row = y * self.coarse[1] / self.height * self.coarse[0];
        for (x, pixel) in row.chunks_exact(4).enumerate() {
            let coloured = &mut self.colours[coarse_row + x * self.coarse[0] / width];
            coloured.all += 1;
            // A transparent border is no part of the picture.
            if pixel[3] == 0 {
                if let Some(line) = &mut line {
                    line.clipped[x] = true;
                }
                continue;
            }
            self.seen += 1;
            let colours = [pixel[0], pixel[1], pixel[2]];
            let (mut bright, mut dark) = (0, 0);
            for (at, colour) in colours.into_iter().enumerate() {
                let is_bright = u64::from(colour >= BRIGHT);
                let is_dark = u64::from(colour <= DARK);
                self.bright[at] += is_bright;
                self.dark[at] += is_dark;
                bright |= is_bright;
                dark |= is_dark;
            }
            self.bright[3] += bright;
            self.dark[3] += dark;
            let linear = colours.map(|colour| tables.linear[usize::from(colour)]);
            let luminance =
                linear[0] * weights[0] + linear[1] * weights[1] + linear[2] * weights[2];
            let fine = tables.fine(luminance);
            self.fine[fine] += 1;
            let is_clipped = bright | dark == 1;
            if let Some(line) = &mut line {
                line.lightness[x] = lightness[fine];
                line.density[x] = density[fine];
                line.clipped[x] = is_clipped;
            }
            // Burnt out in any colour is of unknown brightness; black is what is dark in all of them.
            let is_black = colours.iter().all(|colour| *colour <= DARK);
            if bright == 0 && !is_black {
                self.bars[usize::from(self.bar_of[fine])] += 1;
            }
            if !is_clipped {
                let third = &mut self.thirds[third(lightness[fine])];
                for (at, value) in linear.into_iter().enumerate() {
                    third.sums[at] += f64::from(value);
                    coloured.sums[at] += f64::from(value);
                }
                third.count += 1.0;
                coloured.count += 1;
            }
            let cell = &mut self.cells[cell_row + x * self.grid_width / width];
            cell.0 += f64::from(luminance);
            cell.1 += 1;
        }
    }

    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "counts of pixels, and codes of 0 to 255"
    )]
    fn finish(self, pixels: &Pixels<'_>, patches: &Patches) -> Measured {
        let all = self.seen.max(1) as f64;
        let share = |count: u64| kept(count as f64 / all);
        let clipped = |counts: [u64; 4]| Clipped {
            colours: [share(counts[0]), share(counts[1]), share(counts[2])],
            any: share(counts[3]),
        };
        let casts = self.thirds.map(|third| {
            (third.count >= LEAST_SHARE * all && third.count > 0.0)
                .then(|| Cast::of(third.sums.map(|sum| sum / third.count)))
        });
        // What lies in a transparent border is as bright as the rest, so that its edge is no thing in the picture.
        let light: f64 = self.cells.iter().map(|(sum, _)| sum).sum();
        let codes = self
            .cells
            .iter()
            .map(|(sum, count)| match count {
                0 => light / all,
                count => sum / f64::from(*count),
            })
            .map(|light| tone::code(light).round() as u8)
            .collect();
        let colour = |cell: &Coloured| {
            let whole = f64::from(cell.all) * (1.0 - MOST_CLIPPED);
            if cell.count == 0 || f64::from(cell.count) < whole {
                return [0; 3];
            }
            cell.sums
                .map(|sum| tone::code(sum / f64::from(cell.count)).round() as u8)
        };
        let colours = Colours {
            width: self.coarse[0],
            height: self.coarse[1],
            codes: self.colours.iter().map(colour).collect(),
        };
        Measured {
            width: columns(pixels.width),
            height: columns(pixels.height),
            bright: clipped(self.bright),
            dark: clipped(self.dark),
            tones: Tones {
                codes: SHARES.map(|share| kept(of_counts(&self.fine, share) / FINE)),
            },
            bars: self.bars.map(share),
            noise: patches.noise(pixels),
            casts,
            grid: Grid {
                width: self.grid_width,
                height: self.grid_height,
                codes,
            },
            colours: Some(colours),
        }
    }
}

/// A side in pixels, as it is kept; pixels are no more than such a number counts.
fn columns(side: usize) -> u32 {
    u32::try_from(side).unwrap_or(u32::MAX)
}

/// The percentile of values that were counted, by linear interpolation between neighbours.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "counts of pixels, and a place among them"
)]
fn of_counts(counts: &[u64], share: f64) -> f64 {
    let all: u64 = counts.iter().sum();
    if all == 0 {
        return 0.0;
    }
    let at = share * all.saturating_sub(1) as f64;
    let nth = |nth: u64| {
        let mut before = 0;
        let found = counts.iter().position(|count| {
            before += count;
            before > nth
        });
        found.unwrap_or(counts.len() - 1) as f64
    };
    let low = at.floor() as u64;
    let (below, above) = (nth(low), nth((low + 1).min(all.saturating_sub(1))));
    below + (above - below) * (at - at.floor())
}

/// Noise in patches of the picture: sums of one row of patches at a time, and what came out of those that are done.
struct Patches {
    open: Vec<Patch>,
    /// Every so manieth patch is looked at.
    every: usize,
    height: usize,
    /// Mean lightness, noise in lightness, noise in density.
    done: Vec<[f32; 3]>,
}

#[derive(Default, Clone, Copy)]
struct Patch {
    responses: [f64; 2],
    lightness: f64,
    clipped: bool,
    count: u32,
}

impl Patches {
    fn new(pixels: &Pixels<'_>) -> Self {
        let across = pixels.width.div_ceil(PATCH);
        let all = across * pixels.height.div_ceil(PATCH);
        Self {
            open: vec![Patch::default(); across],
            every: (all / PATCHES).isqrt().max(1),
            height: pixels.height,
            done: Vec::new(),
        }
    }

    /// Whether the patches of a row are looked at, and it has neighbours.
    fn wants(&self, y: usize) -> bool {
        y > 0 && y + 1 < self.height && (y / PATCH).is_multiple_of(self.every)
    }

    /// Whether a row is such a one or next to one.
    fn needs(&self, y: usize) -> bool {
        (y.saturating_sub(1)..=y + 1).any(|y| self.wants(y))
    }

    /// Takes the middle of three rows.
    fn row(&mut self, y: usize, rows: &[Line; 3]) {
        let width = rows[0].clipped.len();
        let last = width.saturating_sub(1);
        let columns = (0..self.open.len())
            .step_by(self.every)
            .flat_map(|patch| (patch * PATCH).max(1)..((patch + 1) * PATCH).min(last));
        for x in columns {
            let patch = &mut self.open[x / PATCH];
            let around = x - 1..x + 2;
            patch.clipped |= rows
                .iter()
                .any(|row| row.clipped[around.clone()].contains(&true));
            if patch.clipped {
                continue;
            }
            let lightness =
                |across: usize, down: usize| f64::from(rows[down].lightness[x + across - 1]);
            let density =
                |across: usize, down: usize| f64::from(rows[down].density[x + across - 1]);
            patch.responses[0] += noise::response(lightness).abs();
            patch.responses[1] += noise::response(density).abs();
            patch.lightness += f64::from(rows[1].lightness[x]);
            patch.count += 1;
        }
        if (y + 1).is_multiple_of(PATCH) {
            self.end();
        }
    }

    /// A row of patches is full.
    fn end(&mut self) {
        for patch in &mut self.open {
            let patch = core::mem::take(patch);
            // Slivers at the edge of the picture say little.
            if patch.clipped || patch.count < 64 {
                continue;
            }
            let count = f64::from(patch.count);
            #[expect(
                clippy::cast_possible_truncation,
                reason = "as exact as noise needs it"
            )]
            self.done.push([
                (patch.lightness / count) as f32,
                noise::of_mean(patch.responses[0] / count) as f32,
                noise::of_mean(patch.responses[1] / count) as f32,
            ]);
        }
    }

    fn noise(&self, pixels: &Pixels<'_>) -> Option<Noise> {
        let of = |at: usize, wanted: Option<usize>, least: usize| {
            let values = self
                .done
                .iter()
                .filter(|patch| wanted.is_none_or(|wanted| third(patch[0]) == wanted))
                .map(|patch| f64::from(patch[at]));
            let values = stats::rising(values);
            (values.len() >= least.max(1))
                .then(|| stats::percentile(&values, 0.5).map(kept))
                .flatten()
        };
        Some(Noise {
            lightness: of(1, None, 1)?,
            density: of(2, None, 1)?,
            thirds: [0, 1, 2].map(|wanted| of(1, Some(wanted), LEAST_PATCHES)),
            size: Some((columns(pixels.width), columns(pixels.height))),
        })
    }
}
