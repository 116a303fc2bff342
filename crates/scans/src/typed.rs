//! A film-speed test as people type it: steps, base plus fog, and where densities were read as codes of a scanner, what those mean.

use exposure::{Stops, words};

use crate::{
    Error,
    speed::{Calibration, Curve, Read, Step, density_in_stops, metered},
};

/// Longest text that is looked at.
const LONGEST: usize = 4000;
/// Most steps of a test.
const MOST: usize = 60;

/// How the exposures of the steps are known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum By {
    /// Through a step tablet, on a frame that got so much more light than metered.
    Tablet(Stops),
    /// Frames, each with its own.
    Frames,
}

/// A test as it was typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typed<'a> {
    /// How the exposures are known.
    pub by: By,
    /// The speed that the even surface was metered at.
    pub metered: f64,
    /// Pairs: for a tablet the density of its step and what was read on the film; for frames how much more or less light, and
    /// what was read: `2 more 0.92`, `1 less 0.45`, `0 0.66`.
    pub steps: &'a str,
    /// What was read on a piece without light; empty for none.
    pub fog: &'a str,
    /// Pairs of a code and its density where codes were read; empty where densities were.
    pub calibration: &'a str,
}

/// A test that was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Tested {
    /// Stops of more light than metered, and density, in the order in which they were typed.
    pub steps: Vec<(Stops, f64)>,
    /// Base plus fog, where it was measured on its own.
    pub fog: Option<f64>,
    /// The curve through them.
    pub curve: Curve,
    /// What can be read off it.
    pub read: Read,
    /// Steps whose code lies beyond the calibration: nothing is guessed for them.
    pub beyond: usize,
    /// log10 of the exposure of a frame that got what was metered.
    middle: f64,
}

/// Words of a text, divided by white space, semicolons, equals signs and commas before white space.
fn items(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| c.is_whitespace() || c == ';' || c == '=')
        .map(|item| item.trim_end_matches(','))
        .filter(|item| !item.is_empty())
}

fn shown(item: &str) -> String {
    item.chars().take(20).collect()
}

/// A number that is not below nought, with a point or a decimal comma.
fn number(item: &str) -> Option<f64> {
    let plain = item.replace(',', ".");
    let nought = plain.bytes().all(|byte| matches!(byte, b'0' | b'.'))
        && plain.bytes().any(|byte| byte == b'0');
    if nought {
        return (plain.matches('.').count() < 2).then_some(0.0);
    }
    words::plain_decimal(&plain)
}

fn pairs(text: &str, what: &str) -> Result<Vec<[f64; 2]>, Error> {
    if text.len() > LONGEST {
        return Err(Error::new("This list is too long."));
    }
    let numbers = items(text)
        .map(|item| {
            number(item)
                .ok_or_else(|| Error::new(format!("“{}” was not understood; {what}", shown(item))))
        })
        .collect::<Result<Vec<f64>, Error>>()?;
    if !numbers.len().is_multiple_of(2) {
        return Err(Error::new(format!("One figure is left over; {what}")));
    }
    Ok(numbers
        .chunks_exact(2)
        .map(|two| [two[0], two[1]])
        .collect())
}

const FRAMES: &str = "a frame is typed like 2 more 0.92, 1 less 0.45 or 0 0.66.";
const TABLET: &str =
    "a step is typed as its own density and what was read on the film, like 0.20 1.13.";
const CALIBRATION: &str = "a step is typed as its code and its density, like 118 0.74.";

/// Frames: how much more light in stops, and what was read.
fn frames(text: &str) -> Result<Vec<(Stops, f64)>, Error> {
    if text.len() > LONGEST {
        return Err(Error::new("This list is too long."));
    }
    let wrong = |item: &str| Error::new(format!("“{}” was not understood; {FRAMES}", shown(item)));
    let mut items = items(text).peekable();
    let mut out = Vec::new();
    while let Some(item) = items.next() {
        let size = words::parse_stops(item).map_err(|_| wrong(item))?;
        let way = items.next_if(|way| matches!(*way, "more" | "less"));
        let stops = match way {
            Some("less") => -size,
            Some(_) => size,
            // A bare figure says no direction.
            None if size.is_even() => size,
            None => return Err(wrong(item)),
        };
        let read = items.next().ok_or_else(|| wrong(item))?;
        out.push((stops, number(read).ok_or_else(|| wrong(read))?));
    }
    Ok(out)
}

impl Typed<'_> {
    /// Understands it.
    ///
    /// # Errors
    ///
    /// A sentence that says what can be typed.
    pub fn tested(&self) -> Result<Tested, Error> {
        let read = match self.by {
            By::Frames => frames(self.steps)?,
            By::Tablet(more) => pairs(self.steps, TABLET)?
                .into_iter()
                .map(|[density, read]| {
                    let less = Stops::new(density_in_stops(density))?;
                    Ok((more - less, read))
                })
                .collect::<Result<Vec<_>, Error>>()?,
        };
        if read.len() > MOST {
            return Err(Error::new("60 steps are the most that are taken."));
        }
        let calibration = match pairs(self.calibration, CALIBRATION)? {
            pairs if pairs.is_empty() => None,
            pairs => Some(Calibration::new(pairs)?),
        };
        // None only for a code that the calibration does not know.
        let density = |read: f64| match &calibration {
            Some(calibration) => calibration.density(read),
            None => Some(read),
        };
        let fog = match self.fog.trim() {
            "" => None,
            fog => Some(number(fog).ok_or_else(|| {
                Error::new("Base plus fog is typed as one figure, like 0.30, or left empty.")
            })?),
        };
        let fog_known = fog.and_then(density);
        let mut beyond = usize::from(fog.is_some() && fog_known.is_none());
        let steps: Vec<(Stops, f64)> = read
            .iter()
            .filter_map(|(stops, read)| Some((*stops, density(*read)?)))
            .collect();
        beyond += read.len() - steps.len();
        let points = steps.iter().map(|(stops, density)| Step {
            log: metered(self.metered, *stops),
            density: *density,
        });
        let curve = Curve::new(points, fog_known)?;
        Ok(Tested {
            read: curve.read(),
            fog: fog_known,
            curve,
            steps,
            beyond,
            middle: metered(self.metered, Stops::ZERO),
        })
    }
}

impl Tested {
    /// An exposure as stops of more light than metered, for the figure.
    #[must_use]
    pub fn stops_at(&self, log: f64) -> f64 {
        density_in_stops(log - self.middle)
    }

    /// The points of the curve: stops of more light than metered, and density.
    #[must_use]
    pub fn points(&self) -> Vec<[f64; 2]> {
        let steps = self.curve.steps().iter();
        steps
            .map(|step| [self.stops_at(step.log), step.density])
            .collect()
    }

    /// The speed point and where the density over 1.30 is taken, as far as they are reached.
    #[must_use]
    pub fn marks(&self) -> Vec<[f64; 2]> {
        let Ok(point) = self.read.point else {
            return Vec::new();
        };
        [point, point + crate::speed::OVER]
            .into_iter()
            .filter_map(|log| Some([self.stops_at(log), self.curve.density(log)?]))
            .collect()
    }

    /// The figure in words: `7 steps from 4 stops less light to 2 stops more light than metered, densities 0.31 to 1.62. The speed
    /// point is reached 3 stops less light.`
    #[must_use]
    pub fn words(&self) -> String {
        let points = self.points();
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return "No steps yet.".to_owned();
        };
        let side = |stops: f64| {
            Stops::new(stops).map_or_else(
                |error| error.to_string(),
                |stops| {
                    if stops.is_even() {
                        "what was metered".to_owned()
                    } else {
                        words::difference(stops)
                    }
                },
            )
        };
        let steps = if points.len() == 1 { "step" } else { "steps" };
        let mut said = format!(
            "{} {steps} from {} to {}, counted from what was metered, densities {} to {}.",
            points.len(),
            side(first[0]),
            side(last[0]),
            words::decimal(first[1], 2),
            words::decimal(last[1], 2)
        );
        if let Some([stops, density]) = self.marks().first() {
            said.push_str(&format!(
                " The speed point, density {}, is reached at {}.",
                words::decimal(*density, 2),
                side(*stops)
            ));
        }
        if self.beyond > 0 {
            said.push_str(&format!(
                " Left out, for their codes lie beyond the calibration: {}.",
                self.beyond
            ));
        }
        said
    }
}
