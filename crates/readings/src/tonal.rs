//! The tones of a whole picture: how much of it lies how many stops from a place in it, and which parts fall on which zone.
//!
//! Both look at luminance in linear light. What is burnt out or black is named as that and stands on no zone, for nobody can
//! tell how much brighter or darker it was.

use exposure::{Stops, words};

use crate::{
    Error,
    picture::{Patch, Picture, is_black, is_burnt, luminance, table},
    tones::{Zone, roman},
};

/// Bars of one stop.
const BARS: f64 = 2.0;
/// Bars to either side: 24 stops, more than eight bits hold.
const MOST: usize = 48;

/// How much of a picture lies how many stops from a place in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// From the darkest to the brightest, each half a stop wide, without a gap; none where all is burnt or black.
    pub bars: Vec<Bar>,
    /// Share of the picture that is burnt out, which is in no bar.
    pub burnt: f64,
    /// Share of it that is black, which is in no bar.
    pub black: f64,
}

/// A share of a picture that is about equally bright.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// The middle of the bar, in stops from the place; brighter is positive.
    pub stops: f64,
    /// Share of the picture.
    pub share: f64,
}

impl Spread {
    /// Half of the width of a bar, in stops.
    pub const HALF: f64 = 0.5 / BARS;

    /// How a picture is spread about a place in it.
    ///
    /// # Errors
    ///
    /// As for [`Patch::from_middle`], for the place.
    pub fn about(picture: &Picture<'_>, place: &Patch) -> Result<Self, Error> {
        place.from_middle()?;
        let table = table();
        let mut counts = [0_u32; 2 * MOST + 1];
        let (mut burnt, mut black, mut all) = (0_u32, 0_u32, 0_u32);
        for pixel in picture.pixels() {
            all += 1;
            if is_burnt(pixel) {
                burnt += 1;
            } else if is_black(pixel) {
                black += 1;
            } else {
                let bar = ((luminance(&table, pixel) / place.mean).log2() * BARS).round();
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    clippy::cast_precision_loss,
                    reason = "clamped to the bars there are"
                )]
                let at = (bar + MOST as f64).clamp(0.0, 2.0 * MOST as f64) as usize;
                counts[at] += 1;
            }
        }
        let share = |count: u32| f64::from(count) / f64::from(all.max(1));
        let first = counts.iter().position(|count| *count > 0).unwrap_or(0);
        let end = counts
            .iter()
            .rposition(|count| *count > 0)
            .map_or(0, |last| last + 1);
        #[expect(clippy::cast_precision_loss, reason = "a few dozen")]
        let stops = |at: usize| (at as f64 - MOST as f64) / BARS;
        let bars = (first..end).map(|at| Bar {
            stops: stops(at),
            share: share(counts[at]),
        });
        Ok(Self {
            bars: bars.collect(),
            burnt: share(burnt),
            black: share(black),
        })
    }

    /// The whole of it: `From 3 stops darker to 2 stops brighter; 4 % of the picture is burnt out, nothing is black.`
    #[must_use]
    pub fn sentence(&self) -> String {
        // A few stray pixels are no part of what a person sees.
        let mut seen = self.bars.iter().filter(|bar| bar.share >= 0.002);
        let first = seen.next();
        let last = seen.next_back().or(first);
        let reach = match first.zip(last) {
            Some((first, last)) => {
                format!("From {} to {}; ", beside(first.stops), beside(last.stops))
            }
            None => String::new(),
        };
        format!(
            "{reach}{} of the picture is burnt out, {} is black.",
            percent(self.burnt),
            percent(self.black)
        )
    }
}

/// `3 stops darker`, `as bright`.
fn beside(stops: f64) -> String {
    // OK because a bar lies within a few dozen stops.
    let stops = Stops::new(stops).unwrap_or(Stops::ZERO);
    if stops.size() < Stops::SMALL {
        "as bright".to_owned()
    } else if stops.is_more() {
        format!("{} brighter", words::stops(stops))
    } else {
        format!("{} darker", words::stops(stops))
    }
}

/// A share in words: [`exposure::words::percent`].
pub use exposure::words::percent;

/// What a part of a picture comes out as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Area {
    /// A zone, 0 to 10.
    Zone(u8),
    /// Burnt out: at least white.
    Burnt,
    /// Black: at most the darkest that there is.
    Black,
}

/// A number to be written into a part of a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// The zone, 0 to 10.
    pub zone: u8,
    /// From the left edge, 0 to 1.
    pub across: f64,
    /// From the upper edge, 0 to 1.
    pub down: f64,
}

/// A picture in zones: cells of a few pixels, each on one zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Zoned {
    width: usize,
    height: usize,
    /// Pixels along the side of a cell.
    side: usize,
    /// Cells in a row.
    row: usize,
    cells: Vec<Area>,
}

/// Cells along the longer side of a picture: fine enough to know what is seen, coarse enough to be flat.
const CELLS: usize = 160;
/// How many cells a number has free around it at least.
const ROOM: u16 = 6;
/// Most numbers in a picture.
const MOST_NUMBERS: usize = 24;
/// The hatching: pixels from one line to the next, and of the line itself.
const HATCH: [usize; 2] = [12, 4];

impl Zoned {
    /// Looks at a picture whose luminance `grey` comes out on zone V: [`MIDDLE`](crate::picture::MIDDLE) as it was exposed.
    #[must_use]
    pub fn of(picture: &Picture<'_>, grey: f64) -> Self {
        let (width, height) = picture.size();
        let side = width.max(height).div_ceil(CELLS).max(1);
        let row = width.div_ceil(side);
        let table = table();
        let mut cells = Vec::with_capacity(row * height.div_ceil(side));
        for top in (0..height).step_by(side) {
            for left in (0..width).step_by(side) {
                let (mut sum, mut burnt, mut black, mut all) = (0.0, 0_u32, 0_u32, 0_u32);
                for y in top..(top + side).min(height) {
                    for x in left..(left + side).min(width) {
                        let pixel = picture.pixel(x, y);
                        sum += luminance(&table, pixel);
                        burnt += u32::from(is_burnt(pixel));
                        black += u32::from(is_black(pixel));
                        all += 1;
                    }
                }
                cells.push(if burnt * 2 > all {
                    Area::Burnt
                } else if black * 2 > all || sum <= 0.0 {
                    Area::Black
                } else {
                    Area::Zone(zone((sum / f64::from(all) / grey).log2()))
                });
            }
        }
        Self {
            width,
            height,
            side,
            row,
            cells,
        }
    }

    /// Which luminance comes out on zone V where this one is to come out on `zone`.
    #[must_use]
    pub fn grey_of(place: &Patch, zone: Zone) -> f64 {
        place.mean * zone.below_middle().get().exp2()
    }

    /// What a pixel comes out as; none beyond the picture.
    #[must_use]
    pub fn at(&self, x: usize, y: usize) -> Option<Area> {
        (x < self.width && y < self.height)
            .then(|| self.cells.get(y / self.side * self.row + x / self.side))?
            .copied()
    }

    /// The picture in flat tones, as a canvas takes it; what is burnt out is hatched on white, what is black on black.
    #[must_use]
    pub fn painted(&self) -> Vec<u8> {
        let mut pixels = Vec::with_capacity(self.width * self.height * 4);
        for y in 0..self.height {
            for x in 0..self.width {
                let is_line = (x + y) % HATCH[0] < HATCH[1];
                let tone = match self.at(x, y) {
                    Some(Area::Zone(zone)) => tone(zone),
                    Some(Area::Burnt) if is_line => 100,
                    Some(Area::Burnt) => 255,
                    _ if is_line => 155,
                    _ => 0,
                };
                pixels.extend([tone, tone, tone, 255]);
            }
        }
        pixels
    }

    /// Where there is room for the number of a zone, the largest parts first.
    #[must_use]
    pub fn numbers(&self) -> Vec<Number> {
        let room = self.room();
        let mut is_seen = vec![false; self.cells.len()];
        let mut found: Vec<(u16, usize)> = Vec::new();
        for start in 0..self.cells.len() {
            if is_seen[start] {
                continue;
            }
            // One part: all cells of this zone that hang together.
            is_seen[start] = true;
            let (mut open, mut best) = (vec![start], start);
            while let Some(cell) = open.pop() {
                if room[cell] > room[best] {
                    best = cell;
                }
                for next in self.beside(cell).into_iter().flatten() {
                    if !is_seen[next] && self.cells[next] == self.cells[start] {
                        is_seen[next] = true;
                        open.push(next);
                    }
                }
            }
            if room[best] >= ROOM {
                found.push((room[best], best));
            }
        }
        let shares = |cell: usize| {
            #[expect(clippy::cast_precision_loss, reason = "sides of a picture")]
            let share = |at: usize, length: usize| {
                ((at as f64 + 0.5) * self.side as f64 / length as f64).min(1.0)
            };
            (
                share(cell % self.row, self.width),
                share(cell / self.row, self.height),
            )
        };
        let mut numbers = Vec::new();
        // Not sorted: the largest is taken out again and again, which is less code.
        while numbers.len() < MOST_NUMBERS {
            let Some(largest) = (0..found.len()).max_by_key(|at| found[*at]) else {
                break;
            };
            let (_, cell) = found.swap_remove(largest);
            if let Area::Zone(zone) = self.cells[cell] {
                let (across, down) = shares(cell);
                numbers.push(Number { zone, across, down });
            }
        }
        numbers
    }

    /// The cells to the left and right of a cell, over it and under it.
    fn beside(&self, cell: usize) -> [Option<usize>; 4] {
        let column = cell % self.row;
        let down = cell + self.row;
        [
            (column > 0).then(|| cell - 1),
            (column + 1 < self.row).then_some(cell + 1),
            cell.checked_sub(self.row),
            (down < self.cells.len()).then_some(down),
        ]
    }

    /// For each cell how many cells it is to the nearest of another tone, or to the edge; diagonals count as one.
    fn room(&self) -> Vec<u16> {
        let (row, rows) = (self.row, self.cells.len() / self.row);
        let mut room = vec![u16::MAX - 1; self.cells.len()];
        // Once from the upper left with what lies before a cell, and once back from the lower right with what lies after it.
        for back in [false, true] {
            for i in 0..self.cells.len() {
                let cell = if back { self.cells.len() - 1 - i } else { i };
                let (x, y) = (cell % row, cell / row);
                for (dx, dy) in [(-1, 0), (-1, -1), (0, -1), (1, -1)] {
                    let (dx, dy) = if back { (-dx, -dy) } else { (dx, dy) };
                    let place = x.checked_add_signed(dx).zip(y.checked_add_signed(dy));
                    let beside = match place {
                        Some((x, y)) if x < row && y < rows => {
                            let next = y * row + x;
                            if self.cells[next] == self.cells[cell] {
                                room[next]
                            } else {
                                0
                            }
                        }
                        _ => 0,
                    };
                    room[cell] = room[cell].min(beside + 1);
                }
            }
        }
        room
    }

    /// How much of the picture lies on each zone: `Zone III 40 %, zone V 60 %.`
    #[must_use]
    pub fn sentence(&self) -> String {
        #[expect(clippy::cast_precision_loss, reason = "some thousands of cells")]
        let share = |area: Area| {
            self.cells.iter().filter(|cell| **cell == area).count() as f64
                / self.cells.len().max(1) as f64
        };
        let zones = (0..=10).map(|zone| (Area::Zone(zone), format!("zone {}", numeral(zone))));
        let named = [(Area::Black, "black".to_owned())]
            .into_iter()
            .chain(zones)
            .chain([(Area::Burnt, "burnt out".to_owned())]);
        let parts: Vec<String> = named
            .filter_map(|(area, name)| {
                let share = share(area);
                (share > 0.0).then(|| format!("{name} {}", percent(share)))
            })
            .collect();
        // OK because the first letter of a name is one byte.
        let text = parts.join(", ");
        let (first, rest) = text.split_at(text.len().min(1));
        format!("{}{rest}.", first.to_ascii_uppercase())
    }
}

/// The nearest zone to a difference from middle grey; what is beyond is on the last one.
fn zone(from_middle: f64) -> u8 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to zones"
    )]
    let zone = (5.0 + from_middle).round().clamp(0.0, 10.0) as u8;
    zone
}

/// The number of a zone: `VIII`.
#[must_use]
pub fn numeral(zone: u8) -> String {
    roman(Zone::new(f64::from(zone)).unwrap_or(Zone::MIDDLE))
}

/// The grey that a zone is drawn with: even steps, which are told apart more easily than true ones.
#[must_use]
pub fn tone(zone: u8) -> u8 {
    u8::try_from(u32::from(zone.min(10)) * 255 / 10).unwrap_or(u8::MAX)
}
