//! Light that a meter or a table states, typed as EV, cd/m², lx or their older units.

use exposure::{Control, Doubt, Ev, Mark, Steps, Stops, light::Constants, words};

use crate::{
    Error, Found, Method,
    found::Known,
    method::{METER, stops},
};

/// In which unit a light is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Exposure value.
    Ev,
    /// Luminance in cd/m²: reflected light, by the constant K.
    CandelaPerSquareMetre,
    /// Luminance in foot-lamberts: 3.4262591 cd/m² (GNU units 2.22, `footlambert`).
    FootLambert,
    /// Illuminance in lx: incident light, by the constant C.
    Lux,
    /// Illuminance in footcandles: 10.763910 lx, one lumen per square foot of 0.3048 m.
    Footcandle,
}

impl Unit {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 5] = [
        Self::Ev,
        Self::CandelaPerSquareMetre,
        Self::Lux,
        Self::FootLambert,
        Self::Footcandle,
    ];

    /// The unit as it is written.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Ev => "EV",
            Self::CandelaPerSquareMetre => "cd/m²",
            Self::FootLambert => "fL",
            Self::Lux => "lx",
            Self::Footcandle => "fc",
        }
    }

    /// What is typed in it, in words.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ev => "Exposure value (EV)",
            Self::CandelaPerSquareMetre => "Reflected light in cd/m²",
            Self::FootLambert => "Reflected light in foot-lamberts",
            Self::Lux => "Incident light in lux",
            Self::Footcandle => "Incident light in footcandles",
        }
    }
}

/// A light as it was typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typed<'a> {
    /// The number: `12`, `12⅓`, `12 1/3`, `−2.5`, `81 920`, `80k`.
    pub text: &'a str,
    /// Its unit.
    pub unit: Unit,
    /// The sensitivity that an EV is meant at; ISO 100 where nothing is said. Other units have none.
    pub iso: Option<Mark>,
}

impl Typed<'_> {
    /// The light, as EV at ISO 100.
    ///
    /// ```
    /// use exposure::{Control, Mark, Steps, light::Constants};
    /// use readings::typed::{Typed, Unit};
    /// let iso = Some(Mark::parse(Control::Sensitivity, "400", Steps::Third)?);
    /// let typed = Typed { text: "14", unit: Unit::Ev, iso };
    /// assert!((typed.light(&Constants::default())?.get() - 12.0).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// A sentence that says what is taken, or that the light is out of reach.
    pub fn light(&self, constants: &Constants) -> Result<Ev, Error> {
        let number = number(self.text).ok_or_else(|| self.unknown())?;
        if self.unit != Unit::Ev && number <= 0.0 {
            return Err(Error::new(format!(
                "Light in {} is more than nothing, for example 4000.",
                self.unit.sign()
            )));
        }
        Ok(match self.unit {
            Unit::Ev => {
                let speed = match self.iso {
                    Some(mark) if mark.control() == Control::Sensitivity => mark.place().get(),
                    Some(_) => {
                        return Err(Error::new(
                            "An EV is meant at a sensitivity, for example ISO 100.",
                        ));
                    }
                    None => 0.0,
                };
                Ev::new(number - speed)?
            }
            Unit::CandelaPerSquareMetre => constants.ev_of_luminance(number)?,
            Unit::FootLambert => constants.ev_of_luminance(number * FOOT_LAMBERT)?,
            Unit::Lux => constants.ev_of_illuminance(number)?,
            Unit::Footcandle => constants.ev_of_illuminance(number * FOOTCANDLE)?,
        })
    }

    /// The reading for it.
    ///
    /// # Errors
    ///
    /// As for [`Typed::light`], and where no marks reach the light.
    pub fn found(&self, constants: &Constants) -> Result<Found, Error> {
        let light = self.light(constants)?;
        let shown: String = self.text.trim().chars().take(20).collect();
        let by = match self.unit {
            Unit::Ev => match self.iso {
                Some(mark) => format!("EV {shown} at {}", words::value(&mark)),
                None => format!("EV {shown} at ISO 100"),
            },
            Unit::CandelaPerSquareMetre | Unit::FootLambert => format!(
                "{shown} {}, K {}",
                self.unit.sign(),
                words::decimal(constants.k(), 2)
            ),
            Unit::Lux | Unit::Footcandle => format!(
                "{shown} {}, C {}",
                self.unit.sign(),
                words::decimal(constants.c(), 1)
            ),
        };
        let meter = "a meter in good order keeps to about ⅓ stop (common practice, no source)";
        let (shift, uncertainty) = match self.unit {
            Unit::Ev => (
                Stops::ZERO,
                format!("It is as right as the meter that showed it; {meter}."),
            ),
            Unit::CandelaPerSquareMetre | Unit::FootLambert => {
                let shift = spread(constants.k(), 10.6, 14.0);
                let uncertainty = format!(
                    "It is as right as its instrument ({meter}), and meant for a subject of middle tone; makers put K between 10.6 and 13.4 or at 14, which shifts it by up to {} from the K taken.",
                    words::of_a_stop(shift)
                );
                (shift, uncertainty)
            }
            Unit::Lux | Unit::Footcandle => {
                let shift = spread(constants.c(), 224.0, 322.0);
                let uncertainty = format!(
                    "It is as right as its instrument ({meter}), held at the subject and towards the camera; C is in print from 224 to 322, which shifts it by up to {} from the C taken.",
                    words::of_a_stop(shift)
                );
                (shift, uncertainty)
            }
        };
        Found::of_light(
            light,
            Known {
                from: format!("typed: {by}"),
                method: Method::Meter,
                doubt: Some(METER.and(Doubt::NONE.reaching(shift))),
                uncertainty,
            },
        )
    }

    fn unknown(&self) -> Error {
        let shown: String = self.text.trim().chars().take(20).collect();
        let example = match self.unit {
            Unit::Ev => "an EV is typed like 12, 12.3, 12⅓ or −2",
            Unit::CandelaPerSquareMetre | Unit::FootLambert => {
                "a luminance is typed like 4096, 4 096 or 0.25"
            }
            Unit::Lux | Unit::Footcandle => "an illuminance is typed like 81920, 80k or 0.3",
        };
        if shown.is_empty() {
            Error::new(format!("Nothing was typed; {example}."))
        } else {
            Error::new(format!("“{shown}” was not understood; {example}."))
        }
    }
}

/// cd/m² of one foot-lambert: 1/π candela per square foot, (1/π) / 0.3048² (GNU units 2.22).
const FOOT_LAMBERT: f64 = 3.426_259_099_635_39;
/// lx of one footcandle: 1 / 0.3048².
const FOOTCANDLE: f64 = 10.763_910_416_709_722;

/// The larger of the differences between a constant and the ends of what is in print.
fn spread(taken: f64, low: f64, high: f64) -> Stops {
    let size = |other: f64| (other / taken).log2().abs();
    stops(size(low).max(size(high)))
}

/// Meter constants as people type them; empty is the usual value.
///
/// # Errors
///
/// A sentence with the range that is taken.
pub fn constants(k: &str, c: &str) -> Result<Constants, Error> {
    let usual = Constants::default();
    let read = |text: &str, usual: f64, what: &str| {
        if text.trim().is_empty() {
            return Ok(usual);
        }
        number(text).ok_or_else(|| {
            Error::new(format!(
                "The constant {what} is a number, for example {}.",
                words::decimal(usual, 2)
            ))
        })
    };
    Ok(Constants::new(
        read(k, usual.k(), "K")?,
        read(c, usual.c(), "C")?,
    )?)
}

/// A sensitivity that an EV is meant at, as people type it; empty is ISO 100.
///
/// # Errors
///
/// A sentence with what is taken.
pub fn sensitivity(text: &str) -> Result<Option<Mark>, Error> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    Ok(Some(Mark::parse(Control::Sensitivity, text, Steps::Third)?))
}

const FRACTIONS: [(char, f64); 7] = [
    ('⅙', 1.0 / 6.0),
    ('¼', 0.25),
    ('⅓', 1.0 / 3.0),
    ('½', 0.5),
    ('⅔', 2.0 / 3.0),
    ('¾', 0.75),
    ('⅚', 5.0 / 6.0),
];

/// A number as people type it: decimal comma or point, groups of three, a fraction after a whole number, `k` for a thousand.
///
/// ```
/// use readings::typed::number;
/// assert_eq!(number("12 1/3"), Some(12.0 + 1.0 / 3.0));
/// assert_eq!(number("−2,5"), Some(-2.5));
/// assert_eq!(number("81 920"), Some(81920.0));
/// assert_eq!(number("80k"), Some(80000.0));
/// assert_eq!(number("1e999"), None);
/// ```
#[must_use]
pub fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    // Longer than any light is written; keeps what is searched through short.
    if text.chars().count() > 24 {
        return None;
    }
    let (sign, text) = match text.strip_prefix(['-', '−', '–']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let (thousand, text) = match text.strip_suffix(['k', 'K']) {
        Some(rest) => (1000.0, rest.trim_end()),
        None => (1.0, text),
    };
    if let Some((at, _)) = text
        .char_indices()
        .find(|(_, c)| FRACTIONS.iter().any(|f| f.0 == *c))
    {
        let (whole, fraction) = text.split_at(at);
        let mut rest = fraction.chars();
        let part = FRACTIONS
            .iter()
            .find(|f| Some(f.0) == rest.clone().next())?
            .1;
        rest.next();
        let whole = whole.trim();
        let whole = if whole.is_empty() {
            0.0
        } else {
            digits(whole)?
        };
        return rest
            .as_str()
            .is_empty()
            .then_some(sign * thousand * (whole + part));
    }
    if let Some((before, under)) = text.split_once('/') {
        let (whole, over) = match before.trim().rsplit_once(' ') {
            Some((whole, over)) => (digits(whole.trim())?, over),
            None => (0.0, before),
        };
        let (over, under) = (digits(over.trim())?, digits(under.trim())?);
        return (under > 0.0).then(|| sign * thousand * (whole + over / under));
    }
    let grouped: Vec<&str> = text.split([' ', '\u{a0}', '\u{202f}', '’', '\'']).collect();
    let plain = if grouped.len() > 1 {
        let (first, rest) = grouped.split_first()?;
        let last = rest.last()?.split([',', '.']).next()?;
        let whole = rest.len() - 1;
        let three = |group: &str| group.len() == 3 && group.bytes().all(|b| b.is_ascii_digit());
        if first.is_empty()
            || first.len() > 3
            || !rest[..whole].iter().all(|g| three(g))
            || !three(last)
        {
            return None;
        }
        grouped.concat()
    } else {
        text.to_owned()
    };
    Some(sign * thousand * digits(&plain)?)
}

/// Digits with at most one decimal point or comma.
///
/// Through whole numbers: the library's way to read any number of this kind costs more bytes than all units here.
fn digits(text: &str) -> Option<f64> {
    let (whole, part) = text.split_once([',', '.']).unwrap_or((text, ""));
    let sum = |digits: &str| {
        digits.bytes().try_fold(0.0, |sum, byte| {
            let digit = char::from(byte).to_digit(10)?;
            Some(sum * 10.0 + f64::from(digit))
        })
    };
    let unit = part.bytes().fold(1.0, |unit, _| unit * 10.0);
    let is_there = !(whole.is_empty() && part.is_empty());
    is_there.then_some((sum(whole)? * unit + sum(part)?) / unit)
}
