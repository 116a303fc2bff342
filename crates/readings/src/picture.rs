//! A place in a picture as a spot: how far its luminance is from middle grey, and the light that this means.
//!
//! Source: IEC 61966-2-1:1999 (sRGB, decoding from memory, checked against published values); 18 % grey is rendered as
//! 8-bit 118 where a camera follows it.

/// Middle grey: a luminance of 18 % of white.
pub use exposure::tone::MIDDLE;
use exposure::{Doubt, Ev, Stops, tone, words};

use crate::{
    Error, Found, Method,
    found::Known,
    method::{processing, stops},
};

/// Pixels of a picture in sRGB, as a canvas gives them: rows of red, green, blue and opacity, eight bits each.
#[derive(Debug, Clone, Copy)]
pub struct Picture<'a> {
    width: usize,
    height: usize,
    pixels: &'a [u8],
}

/// A round spot in a picture; all figures as shares, so that the size of the picture does not matter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// From the left edge, 0 to 1.
    pub across: f64,
    /// From the upper edge, 0 to 1.
    pub down: f64,
    /// Radius as a share of the shorter side, 0.005 to 0.5.
    pub radius: f64,
}

/// What a photo was exposed by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// The light that the settings are right for, as EV at ISO 100, with the compensation left in.
    pub light: Ev,
    /// How far that may be off; none with flash, of which nobody can say.
    pub doubt: Option<Doubt>,
}

/// What a spot or a whole picture holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// Mean linear luminance; 1 is the picture's white.
    pub mean: f64,
    /// Share of pixels that are burnt out (8-bit 251 and more in a colour): they may have been brighter.
    pub burnt: f64,
    /// Share of pixels that are black (8-bit 1 and less in every colour): they may have been darker.
    pub black: f64,
}

/// Linear value of an 8-bit sRGB one.
///
/// ```
/// // 18 % grey lies between 117 and 118.
/// use readings::picture::linear;
/// assert!(linear(117) < 0.18 && linear(118) > 0.18);
/// ```
#[must_use]
pub fn linear(value: u8) -> f64 {
    tone::light(f64::from(value))
}

impl<'a> Picture<'a> {
    /// Takes pixels of a canvas.
    ///
    /// # Errors
    ///
    /// A sentence, if there are none or not as many as the size says.
    pub fn new(width: usize, height: usize, pixels: &'a [u8]) -> Result<Self, Error> {
        let wanted = width
            .checked_mul(height)
            .and_then(|area| area.checked_mul(4));
        if wanted.is_none_or(|wanted| wanted == 0 || wanted != pixels.len()) {
            return Err(Error::new(
                "The picture could not be read as pixels; its metadata may still be used.",
            ));
        }
        Ok(Self {
            width,
            height,
            pixels,
        })
    }

    /// Pixels in a row, and rows.
    pub(crate) const fn size(&self) -> (usize, usize) {
        (self.width, self.height)
    }

    /// All pixels, row by row.
    pub(crate) fn pixels(&self) -> impl Iterator<Item = Pixel> {
        self.pixels.chunks_exact(4).map(|at| [at[0], at[1], at[2]])
    }

    /// A pixel that lies in the picture.
    pub(crate) fn pixel(&self, x: usize, y: usize) -> Pixel {
        let at = (y * self.width + x) * 4;
        [self.pixels[at], self.pixels[at + 1], self.pixels[at + 2]]
    }

    /// The mean of the whole picture.
    #[must_use]
    pub fn whole(&self) -> Patch {
        // OK because a picture has pixels.
        patch(self.pixels()).unwrap_or(Patch {
            mean: 0.0,
            burnt: 0.0,
            black: 1.0,
        })
    }

    /// The mean of a spot; at the edge what lies within the picture.
    ///
    /// # Errors
    ///
    /// A sentence, if the spot is not in the picture.
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "sides of pictures are far below 2^52, and what is cut off is clamped to the picture"
    )]
    pub fn spot(&self, spot: Spot) -> Result<Patch, Error> {
        let inside = |share: f64| (0.0..=1.0).contains(&share);
        if !(inside(spot.across) && inside(spot.down) && (0.005..=0.5).contains(&spot.radius)) {
            return Err(Error::new("The spot has to lie in the picture."));
        }
        let (width, height) = (self.width as f64, self.height as f64);
        let (x, y) = (spot.across * width, spot.down * height);
        // At least the pixel that was touched.
        let radius = (spot.radius * width.min(height)).max(0.75);
        let rows =
            ((y - radius).floor().max(0.0) as usize)..((y + radius).ceil().min(height) as usize);
        let columns =
            ((x - radius).floor().max(0.0) as usize)..((x + radius).ceil().min(width) as usize);
        let within = rows.flat_map(|row| {
            let columns = columns.clone();
            columns.filter_map(move |column| {
                let (dx, dy) = (column as f64 + 0.5 - x, row as f64 + 0.5 - y);
                (dx.hypot(dy) <= radius).then(|| self.pixel(column, row))
            })
        });
        patch(within).ok_or_else(|| Error::new("The spot has to lie in the picture."))
    }
}

/// Linear values of all 8-bit ones.
pub(crate) type Table = [f64; 256];

pub(crate) fn table() -> Table {
    core::array::from_fn(|value| linear(u8::try_from(value).unwrap_or(u8::MAX)))
}

/// Red, green and blue of a pixel.
pub(crate) type Pixel = [u8; 3];

/// Luminance of a pixel.
pub(crate) fn luminance(table: &Table, [red, green, blue]: Pixel) -> f64 {
    let value = |colour: u8| table[usize::from(colour)];
    tone::luminance([red, green, blue].map(value))
}

fn most([red, green, blue]: Pixel) -> u8 {
    red.max(green).max(blue)
}

pub(crate) fn is_burnt(pixel: Pixel) -> bool {
    most(pixel) > 250
}

pub(crate) fn is_black(pixel: Pixel) -> bool {
    most(pixel) < 2
}

/// The mean of pixels, if there are any.
fn patch(pixels: impl Iterator<Item = Pixel>) -> Option<Patch> {
    let table = table();
    let (mut count, mut sum, mut burnt, mut black) = (0.0, 0.0, 0.0, 0.0);
    for pixel in pixels {
        sum += luminance(&table, pixel);
        burnt += f64::from(u8::from(is_burnt(pixel)));
        black += f64::from(u8::from(is_black(pixel)));
        count += 1.0;
    }
    (count > 0.0).then(|| Patch {
        mean: sum / count,
        burnt: burnt / count,
        black: black / count,
    })
}

impl Patch {
    /// How much brighter than middle grey it is.
    ///
    /// # Errors
    ///
    /// A sentence, if it is black or all burnt out, where pixels say nothing about the light.
    pub fn from_middle(&self) -> Result<Stops, Error> {
        if self.burnt > 0.9 {
            return Err(Error::new(
                "This place is burnt out in the picture: it was at least this bright, and nobody can tell how much brighter.",
            ));
        }
        if self.black > 0.9 || self.mean <= 0.0 {
            return Err(Error::new(
                "This place is black in the picture: nothing can be read from it.",
            ));
        }
        Ok(Stops::new((self.mean / MIDDLE).log2())?)
    }

    /// What to be careful about, if anything.
    #[must_use]
    pub fn caution(&self) -> Option<String> {
        let percent = |share: f64| words::decimal((share * 100.0).max(1.0), 0);
        if self.burnt > 0.01 {
            Some(format!(
                "{} % of it is burnt out: it was at least this bright.",
                percent(self.burnt)
            ))
        } else if self.black > 0.01 {
            Some(format!(
                "{} % of it is black: it was at most this bright.",
                percent(self.black)
            ))
        } else {
            None
        }
    }

    /// How far the luminance may be off: by the camera's processing, and by what is cut off at either end.
    ///
    /// What is burnt out is taken for up to four stops brighter than white (an estimate), what is black for no light at all.
    pub(crate) fn doubt(&self, from_middle: Stops) -> Doubt {
        let brighter = (self.burnt * 15.0 / self.mean).ln_1p() / core::f64::consts::LN_2;
        let darker = -(1.0 - (self.black * linear(1) / self.mean).min(0.999)).log2();
        processing(from_middle).and(Doubt::NONE.reaching(stops(brighter.max(darker))))
    }

    /// The light of this place, read as a spot meter would: the settings of the photo, and how much brighter than middle
    /// grey the place is.
    ///
    /// `settings` is [`Photo::settings`](crate::photo::Photo::settings).
    ///
    /// # Errors
    ///
    /// As for [`Patch::from_middle`].
    pub fn found(&self, settings: &Settings) -> Result<Found, Error> {
        let brighter = self.from_middle()?;
        let light = Ev::new(settings.light.get() + brighter.get())?;
        let caution = self
            .caution()
            .map_or_else(String::new, |caution| format!(" {caution}"));
        Found::of_light(
            light,
            Known {
                from: match settings.doubt {
                    Some(_) => "spot in a photo",
                    None => "spot in a photo, by flash",
                }
                .to_owned(),
                method: Method::Photo,
                doubt: settings.doubt.map(|doubt| doubt.and(self.doubt(brighter))),
                uncertainty: format!(
                    "A picture from a camera is processed: its tones are bent, and dark places are often lifted. Near middle grey that is about ½ stop, far from it a stop and more (an estimate), and the camera's own sensitivity adds about ½ stop (common practice, no source).{caution}"
                ),
            },
        )
    }

    /// How far the place is from middle grey, in words: `1⅓ stops brighter than middle grey`.
    ///
    /// # Errors
    ///
    /// As for [`Patch::from_middle`].
    pub fn sentence(&self) -> Result<String, Error> {
        let brighter = self.from_middle()?;
        Ok(if brighter.size() < Stops::constant(1.0 / 12.0) {
            "as bright as middle grey".to_owned()
        } else if brighter.is_more() {
            format!("{} brighter than middle grey", words::stops(brighter))
        } else {
            format!("{} darker than middle grey", words::stops(brighter))
        })
    }
}

/// How places of one picture compare, each with the first: `The second is 1⅔ stops brighter than the first.`
///
/// ```
/// use readings::picture::{Patch, beside_the_first};
/// let grey = |mean| Patch { mean, burnt: 0.0, black: 0.0 };
/// assert_eq!(
///     beside_the_first(&[grey(0.18), grey(0.36), grey(0.0)]),
///     [
///         "The second is 1 stop brighter than the first.",
///         "The third: This place is black in the picture: nothing can be read from it."
///     ]
/// );
/// ```
#[must_use]
pub fn beside_the_first(places: &[Patch]) -> Vec<String> {
    let Some((first, rest)) = places.split_first() else {
        return Vec::new();
    };
    let first = first.from_middle();
    let said = |(place, name): (&Patch, &&str)| {
        let brighter = match (&first, place.from_middle()) {
            (Ok(first), Ok(place)) => place - *first,
            (_, Err(error)) => return format!("The {name}: {error}"),
            (Err(_), _) => return format!("The {name} has nothing to compare with."),
        };
        if brighter.size() < Stops::SMALL {
            return format!("The {name} is as bright as the first.");
        }
        let way = if brighter.is_more() {
            "brighter"
        } else {
            "darker"
        };
        let stops = words::stops(brighter);
        format!("The {name} is {stops} {way} than the first.")
    };
    rest.iter().zip(&ORDINALS[1..]).map(said).collect()
}

/// What places of one picture are called, as many as there may be.
pub const ORDINALS: [&str; 6] = ["first", "second", "third", "fourth", "fifth", "sixth"];
