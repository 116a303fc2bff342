//! The record of what was measured of a picture: plain lines, the version first and a checksum last.

use base64ct::{Base64Unpadded, Encoding};
use exposure::words;

use crate::{
    Error,
    frame::{BARS, COLOURS, Cast, Clipped, Colours, GRID, Grid, Measured, Noise, SHARES, Tones},
};

/// The newest version of the record.
const VERSION: u32 = 2;
/// A record is never longer, so that a damaged one is not looked through for ever.
const LONGEST: usize = 64_000;
const HEAD: &str = "stopkeeper measured ";

fn damaged() -> Error {
    Error::new("What was measured of this scan is damaged; choose the scan again.")
}

/// FNV-1a over the text: a single letter that differs always shows.
fn checksum(text: &str) -> u32 {
    text.bytes().fold(0x811C_9DC5, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    })
}

fn number(value: f64) -> String {
    words::exact(value, 6)
}

fn numbers(name: &str, values: impl IntoIterator<Item = f64>) -> String {
    let mut line = name.to_owned();
    for value in values {
        line.push(' ');
        line.push_str(&number(value));
    }
    line
}

fn known(name: &str, values: Option<&[f64]>) -> String {
    match values {
        Some(values) => numbers(name, values.iter().copied()),
        None => format!("{name} none"),
    }
}

impl Measured {
    /// The record: plain lines that people can read, about 12 KB, most of it the small picture.
    ///
    /// ```text
    /// stopkeeper measured 2
    /// size 6000 4000
    /// bright 0.01 0 0 0.01          shares of red, green, blue, any
    /// dark 0 0 0 0
    /// tones 12 20.5 60 98 140 210 240   codes below which 1, 5, 25, 50, 75, 95, 99 % lie
    /// bars 0 0 … 0.01               shares, half a stop each from 9.5 stops under middle grey
    /// noise 0.8 0.012               L*, density; or none
    /// piece 768 768                 columns and rows that noise was measured on; or none
    /// thirds 1.2 0.8 none           L* of the dark, middle and light third
    /// cast 20 1 -2 0.03 -0.05       L*, a*, b*, stops of red and blue above green; three lines, or none
    /// grid 96 64 …                  columns, rows, codes of luminance in base64
    /// colours 24 16 …               columns, rows, codes of red, green and blue in base64; or none
    /// check 1a2b3c4d
    /// ```
    ///
    /// Version 1 had no lines `piece` and `colours`.
    #[must_use]
    pub fn text(&self) -> String {
        let clipped = |name: &str, clipped: &Clipped| {
            let [red, green, blue] = clipped.colours;
            numbers(name, [red, green, blue, clipped.any])
        };
        let noise = self.noise.map(|noise| [noise.lightness, noise.density]);
        let thirds = self.noise.map_or([None; 3], |noise| noise.thirds);
        let thirds = thirds.map(|third| third.map_or_else(|| "none".to_owned(), number));
        let mut lines = vec![
            format!("{HEAD}{VERSION}"),
            format!("size {} {}", self.width, self.height),
            clipped("bright", &self.bright),
            clipped("dark", &self.dark),
            numbers("tones", self.tones.codes),
            numbers("bars", self.bars),
            known("noise", noise.as_ref().map(<[f64; 2]>::as_slice)),
            match self.noise.and_then(|noise| noise.size) {
                Some((width, height)) => format!("piece {width} {height}"),
                None => "piece none".to_owned(),
            },
            format!("thirds {}", thirds.join(" ")),
        ];
        for cast in self.casts {
            let cast = cast.map(|cast| [cast.lightness, cast.a, cast.b, cast.red, cast.blue]);
            lines.push(known("cast", cast.as_ref().map(<[f64; 5]>::as_slice)));
        }
        lines.push(format!(
            "grid {} {} {}",
            self.grid.width,
            self.grid.height,
            Base64Unpadded::encode_string(&self.grid.codes)
        ));
        lines.push(self.colours.as_ref().map_or_else(
            || "colours none".to_owned(),
            |colours| {
                let codes = Base64Unpadded::encode_string(&colours.codes.concat());
                format!("colours {} {} {codes}", colours.width, colours.height)
            },
        ));
        let mut text = lines.join("\n");
        text.push('\n');
        let check = checksum(&text);
        text.push_str(&format!("check {check:08x}\n"));
        text
    }

    /// Whether a text is a record to the letter as it was written, by its head and its checksum, for a program that does not read it.
    #[must_use]
    pub fn is_whole(text: &str) -> bool {
        lines(text).is_some()
    }

    /// Reads a record.
    ///
    /// # Errors
    ///
    /// A sentence, if it is of a newer version of the page, or damaged.
    pub fn read(text: &str) -> Result<Self, Error> {
        let version = text
            .strip_prefix(HEAD)
            .and_then(|rest| rest.split('\n').next())
            .and_then(whole)
            .ok_or_else(damaged)?;
        if version > VERSION {
            return Err(Error::new(
                "This scan was measured by a newer version of this page; open that, or choose the scan again.",
            ));
        }
        read(text).ok_or_else(damaged)
    }
}

/// The lines of a record before its checksum, where that fits, and its version.
fn lines(text: &str) -> Option<(u32, &str)> {
    if text.len() > LONGEST {
        return None;
    }
    let (body, check) = text.strip_suffix('\n')?.rsplit_once('\n')?;
    let summed = &text[..=body.len()];
    let fits = check == format!("check {:08x}", checksum(summed));
    let head = text.split('\n').next()?;
    let version = whole(head.strip_prefix(HEAD)?)?;
    // To the letter: no number that is written otherwise.
    let is_known = (1..=VERSION).contains(&version) && head == format!("{HEAD}{version}");
    (fits && is_known).then_some((version, body))
}

fn read(text: &str) -> Option<Measured> {
    let (version, body) = lines(text)?;
    let mut lines = body.split('\n').skip(1);
    let mut named = |name: &str| lines.next()?.strip_prefix(name)?.strip_prefix(' ');
    let (width, height) = named("size")?.split_once(' ')?;
    let (width, height) = (whole(width)?, whole(height)?);
    (width > 0 && height > 0).then_some(())?;
    let bright = clipped(named("bright")?)?;
    let dark = clipped(named("dark")?)?;
    let codes: [f64; SHARES.len()] = all(named("tones")?, 0.0, 255.0)?;
    codes.is_sorted().then_some(())?;
    let bars: [f64; BARS] = all(named("bars")?, 0.0, 1.0)?;
    let noise = optional::<2>(named("noise")?, 0.0, 1000.0)?;
    let piece = match version {
        1 => None,
        _ => match named("piece")? {
            "none" => None,
            piece => {
                let (width, height) = piece.split_once(' ')?;
                Some((whole(width)?, whole(height)?))
            }
        },
    };
    (noise.is_some() || piece.is_none()).then_some(())?;
    let thirds = named("thirds")?;
    let mut each = thirds.split(' ').map(|third| match third {
        "none" => Some(None),
        third => decimal(third, 0.0, 1000.0).map(Some),
    });
    let thirds = [each.next()??, each.next()??, each.next()??];
    (each.next().is_none() && (noise.is_some() || thirds == [None; 3])).then_some(())?;
    let mut cast = || {
        let read = optional::<5>(named("cast")?, -1000.0, 1000.0)?;
        Some(read.map(|[lightness, a, b, red, blue]| Cast {
            lightness,
            a,
            b,
            red,
            blue,
        }))
    };
    let casts = [cast()?, cast()?, cast()?];
    let (columns, rows, codes_of_grid) = packed(named("grid")?, GRID * GRID)?;
    let grid = Grid::new(columns, rows, codes_of_grid).ok()?;
    let colours = match version {
        1 => None,
        _ => match named("colours")? {
            "none" => None,
            colours => {
                let (columns, rows, codes) = packed(colours, 3 * COLOURS * COLOURS)?;
                let (codes, left) = codes.as_chunks::<3>();
                left.is_empty().then_some(())?;
                Some(Colours::new(columns, rows, codes.to_vec()).ok()?)
            }
        },
    };
    lines.next().is_none().then_some(())?;
    Some(Measured {
        width,
        height,
        bright,
        dark,
        tones: Tones { codes },
        bars,
        noise: noise.map(|[lightness, density]| Noise {
            lightness,
            density,
            thirds,
            size: piece,
        }),
        casts,
        grid,
        colours,
    })
}

/// Columns, rows, and as many bytes as there may be.
fn packed(line: &str, most: usize) -> Option<(usize, usize, Vec<u8>)> {
    let mut items = line.splitn(3, ' ');
    let mut side = || usize::try_from(whole(items.next()?)?).ok();
    let (columns, rows) = (side()?, side()?);
    let packed = items.next()?;
    (packed.len() <= most * 4 / 3 + 4).then_some(())?;
    Some((columns, rows, Base64Unpadded::decode_vec(packed).ok()?))
}

fn clipped(line: &str) -> Option<Clipped> {
    let [red, green, blue, any] = all(line, 0.0, 1.0)?;
    Some(Clipped {
        colours: [red, green, blue],
        any,
    })
}

fn optional<const N: usize>(line: &str, least: f64, most: f64) -> Option<Option<[f64; N]>> {
    if line == "none" {
        return Some(None);
    }
    all(line, least, most).map(Some)
}

/// As many numbers as wanted, and no more.
fn all<const N: usize>(line: &str, least: f64, most: f64) -> Option<[f64; N]> {
    let mut items = line.split(' ');
    let mut out = [0.0; N];
    for value in &mut out {
        *value = decimal(items.next()?, least, most)?;
    }
    items.next().is_none().then_some(out)
}

/// A whole number as it is written: no sign, no leading nought.
fn whole(text: &str) -> Option<u32> {
    let number: u32 = text.parse().ok()?;
    (number.to_string() == text).then_some(number)
}

/// A number with at most six decimals, as it is written.
fn decimal(text: &str, least: f64, most: f64) -> Option<f64> {
    let (negative, size) = match text.strip_prefix('-') {
        Some(size) => (true, size),
        None => (false, text),
    };
    let (before, behind) = size.split_once('.').unwrap_or((size, ""));
    let is_figures = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if before.is_empty() || before.len() > 9 || behind.len() > 6 {
        return None;
    }
    (is_figures(before) && is_figures(behind)).then_some(())?;
    let scaled: i64 = format!("{before}{behind:0<6}").parse().ok()?;
    let scaled = if negative { -scaled } else { scaled };
    #[expect(clippy::cast_precision_loss, reason = "fifteen figures at most")]
    let value = scaled as f64 / 1e6;
    ((least..=most).contains(&value) && number(value) == text).then_some(value)
}
