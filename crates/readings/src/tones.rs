//! Placing tones: one or more spots, each read by itself, and which of them is to come out how.
//!
//! A meter asks for the exposure that makes what it reads middle grey, zone V.
//! Zones are one stop apart (common practice, no source): what is to come out on zone III needs two stops less light than
//! the meter asks for.

use exposure::{Doubt, Ev, Stops, words};

use crate::{Error, Found, LineKind, Method, found::Known, method::TONE};

/// A tone of the finished picture, counted in stops from zone 0; zone V is middle grey.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Zone(f64);

impl Zone {
    /// Middle grey.
    pub const MIDDLE: Self = Self(5.0);

    /// Makes a zone from its number; thirds between them are allowed.
    ///
    /// # Errors
    ///
    /// A sentence, beyond 0 to 10.
    pub fn new(number: f64) -> Result<Self, Error> {
        if (0.0..=10.0).contains(&number) {
            Ok(Self(number))
        } else {
            Err(Error::new("Zones go from 0 (black) to X (white)."))
        }
    }

    /// The number.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }

    /// How much darker than middle grey it is.
    #[must_use]
    pub fn below_middle(self) -> Stops {
        // OK because zones lie within ten stops.
        Stops::new(5.0 - self.0).unwrap_or(Stops::ZERO)
    }
}

/// A named tone and the zone on which it is usually placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tone {
    /// What is read.
    pub name: &'static str,
    /// On which zone it is placed.
    pub zone: Zone,
    /// Where the figure comes from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

/// Tones that are often read, darkest first.
pub const TONES: [Tone; 8] = [
    Tone {
        name: "First trace of shadow",
        zone: Zone(1.0),
        source: PRACTICE,
    },
    Tone {
        name: "Deep shadow with a hint of texture",
        zone: Zone(2.0),
        source: PRACTICE,
    },
    Tone {
        name: "Shadow with texture",
        zone: Zone(3.0),
        source: PRACTICE,
    },
    Tone {
        name: "Dark foliage, open shadow",
        zone: Zone(4.0),
        source: PRACTICE,
    },
    Tone {
        name: "Grey card, middle tone",
        zone: Zone(5.0),
        source: PRACTICE,
    },
    Tone {
        name: "Palm of a light hand",
        zone: Zone(6.0),
        source: PRACTICE,
    },
    Tone {
        name: "White wall",
        zone: Zone(6.75),
        source: "common practice, 1½ to 2 stops above middle grey; the middle of the two",
    },
    Tone {
        name: "Bright with texture",
        zone: Zone(8.0),
        source: PRACTICE,
    },
];

/// What a zone looks like.
///
/// Common practice, no source; the names of I, III, V and VIII are the trade's.
#[must_use]
pub fn look(zone: Zone) -> &'static str {
    const LOOKS: [&str; 11] = [
        "black",
        "first trace above black",
        "dark with a hint of texture",
        "dark with texture",
        "dark grey",
        "middle grey",
        "light grey",
        "light with texture",
        "bright with texture",
        "nearly white, no texture",
        "white",
    ];
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a zone lies between 0 and 10"
    )]
    let at = zone.0.round() as usize;
    LOOKS.get(at).copied().unwrap_or("white")
}

/// A zone in Roman figures, to the nearest third: `III`, `VI⅔`.
///
/// ```
/// use readings::tones::{Zone, roman};
/// assert_eq!(roman(Zone::new(6.7)?), "VI⅔");
/// # Ok::<(), readings::Error>(())
/// ```
#[must_use]
pub fn roman(zone: Zone) -> String {
    const NUMBERS: [&str; 11] = [
        "0", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X",
    ];
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a zone lies between 0 and 10"
    )]
    let thirds = (zone.0 * 3.0).round() as usize;
    format!(
        "{}{}",
        NUMBERS.get(thirds / 3).copied().unwrap_or("X"),
        ["", "⅓", "⅔"][thirds % 3]
    )
}

/// A spot that was read by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// What it is: `bark in the shade`.
    pub name: String,
    /// Its light, as EV at ISO 100.
    pub light: Ev,
    /// By which way it was read.
    pub method: Method,
    /// How far it may be off; none where nobody can say.
    pub doubt: Option<Doubt>,
}

impl Spot {
    /// A reading as a spot.
    #[must_use]
    pub fn of(name: String, found: &Found) -> Self {
        Self {
            name,
            light: found.light(),
            method: found.method,
            doubt: found.doubt,
        }
    }
}

/// What is made of the spots.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Placing {
    /// The mean of all readings is middle grey.
    Average,
    /// Half way between the darkest and the brightest is middle grey.
    Midway,
    /// One of them comes out on a zone.
    On {
        /// Which of the spots.
        spot: usize,
        /// On which zone.
        zone: Zone,
    },
    /// The spot is a grey card in front light from the sun: half a stop more light than it reads.
    ///
    /// Source: card instructions as quoted in the trade; the card is held upright, facing midway between sun and camera.
    CardInSun {
        /// Which of the spots.
        spot: usize,
    },
}

/// Where the spots fall once one decision is taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// The reading.
    pub found: Found,
    /// On which zone each spot falls; beyond black and white it is cut off and said in words.
    pub falls: Vec<String>,
    /// From the darkest to the brightest spot.
    pub range: Stops,
}

/// Most spots of one scene.
pub const MOST_SPOTS: usize = 12;

/// Half a stop: what a grey card in front light from the sun reads too much.
const CARD: Stops = Stops::constant(0.5);

/// Places spots.
///
/// ```
/// use readings::tones::{Placing, Spot, Zone, place};
/// use readings::typed::{Typed, Unit};
/// let read = Typed { text: "9", unit: Unit::Ev, iso: None }.found(&Default::default())?;
/// let spots = [Spot::of("bark".into(), &read)];
/// let placed = place(&spots, Placing::On { spot: 0, zone: Zone::new(3.0)? })?;
/// assert!((placed.found.light().get() - 11.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
///
/// A sentence, if there is no spot, more than [`MOST_SPOTS`], or not the one that is to be placed.
pub fn place(spots: &[Spot], placing: Placing) -> Result<Placed, Error> {
    if spots.len() > MOST_SPOTS {
        return Err(Error::new(format!(
            "A scene can have at most {MOST_SPOTS} spots."
        )));
    }
    let lights = || spots.iter().map(|spot| spot.light.get());
    let darkest = lights().fold(f64::INFINITY, f64::min);
    let brightest = lights().fold(f64::NEG_INFINITY, f64::max);
    let none = || Error::new("Read at least one spot first.");
    if spots.is_empty() {
        return Err(none());
    }
    let known = |from: String, used: &[Spot]| {
        // Spots are read one after the other in the same way: what is wrong with one is wrong with all.
        let doubt = used
            .iter()
            .try_fold(Doubt::NONE, |worst, spot| Some(worst.max(spot.doubt?)));
        let first = used.first().map_or(Method::Taken, |spot| spot.method);
        Known {
            from,
            method: used
                .iter()
                .fold(first, |method, spot| method.with(spot.method)),
            doubt: doubt.map(|doubt| doubt.and(TONE)),
            uncertainty: format!(
                "It is as right as the spots were read{} and as the tone was judged; half a zone is easily missed (an estimate).",
                doubt.map_or_else(
                    || ", which nobody can say,".to_owned(),
                    |doubt| format!(", {},", words::give_or_take(doubt))
                )
            ),
        }
    };
    let found = match placing {
        Placing::Average => {
            #[expect(clippy::cast_precision_loss, reason = "a count of at most twelve")]
            let mean = lights().sum::<f64>() / spots.len() as f64;
            let from = match spots {
                [one] => format!("spot: {}", one.name),
                more => format!("average of {} spots", more.len()),
            };
            Found::of_light(Ev::new(mean)?, known(from, spots))?
        }
        Placing::Midway => Found::of_light(
            Ev::new(f64::midpoint(darkest, brightest))?,
            known(
                "midway between the darkest and the brightest spot".to_owned(),
                spots,
            ),
        )?,
        Placing::On { spot, zone } => {
            let used = spots.get(spot..=spot).ok_or_else(none)?;
            let spot = &used[0];
            let from = format!("spot: {} on zone {}", spot.name, roman(zone));
            Found::of_light(spot.light, known(from, used))?.and(
                LineKind::Tone,
                format!("Zone {} was read as middle grey", roman(zone)),
                zone.below_middle(),
            )
        }
        Placing::CardInSun { spot } => {
            let used = spots.get(spot..=spot).ok_or_else(none)?;
            let spot = &used[0];
            Found::of_light(
                spot.light,
                known(format!("grey card in sun: {}", spot.name), used),
            )?
            .and(
                LineKind::Tone,
                "A grey card in front light reads too bright",
                -CARD,
            )
        }
    };
    let light = found.light();
    let falls = spots
        .iter()
        .map(|spot| falls(spot, light))
        .collect::<Vec<_>>();
    Ok(Placed {
        found,
        falls,
        range: Stops::new(brightest - darkest)?,
    })
}

fn falls(spot: &Spot, light: Ev) -> String {
    let zone = spot.light.get() - light.get() + 5.0;
    match Zone::new(zone) {
        Ok(zone) => format!("{}: zone {}, {}", spot.name, roman(zone), look(zone)),
        Err(_) if zone < 0.0 => format!("{}: below zone 0, black, by {}", spot.name, size(-zone)),
        Err(_) => format!(
            "{}: above zone X, white, by {}",
            spot.name,
            size(zone - 10.0)
        ),
    }
}

fn size(stops: f64) -> String {
    Stops::new(stops).map_or_else(|_| "far".to_owned(), words::of_a_stop)
}

/// How many stops lie between the darkest and the brightest spot, in words.
#[must_use]
pub fn range_in_words(range: Stops) -> String {
    if range.is_even() {
        "All spots are equally bright.".to_owned()
    } else {
        format!(
            "From the darkest to the brightest spot: {}.",
            words::stops(range)
        )
    }
}
