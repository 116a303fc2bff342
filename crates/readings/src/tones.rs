//! Placing tones: one or more spots, each read by itself, and which of them is to come out how.
//!
//! A meter asks for the exposure that makes what it reads middle grey, zone V.
//! Zones are one stop apart (common practice, no source): what is to come out on zone III needs two stops less light than
//! the meter asks for.

use exposure::{Axis, Doubt, Ev, FilmKind, Stops, words};

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

/// Where a spot falls.
#[derive(Debug, Clone, PartialEq)]
pub struct Fall {
    /// What it is called.
    pub name: String,
    /// The zone, in stops from zone 0; it may lie beyond black and white.
    pub zone: f64,
    /// The same in words, with its name: `path: zone III, dark with texture`, `sky: above zone X, white, by two stops`.
    pub words: String,
}

/// Where the spots fall once one decision is taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// The reading.
    pub found: Found,
    /// On which zone each spot falls.
    pub falls: Vec<Fall>,
    /// From the darkest to the brightest spot.
    pub range: Stops,
}

/// Most spots of one scene.
pub const MOST_SPOTS: usize = 12;

/// Half a stop: what a grey card in front light from the sun reads too much.
const CARD: Stops = Stops::constant(0.5);

/// What the strip of zones is drawn on: zone 0 to X, each one stop wide, the ends a little wider; it begins and ends on a
/// third of a zone.
pub const STRIP: Axis = Axis::new(-2.0 / 3.0, 32.0 / 3.0);

/// How bright each zone is drawn on the strip, as a share of white on a screen: even steps of lightness (CIE 1976 L* of ten
/// times the zone, encoded by IEC 61966-2-1), so that V is seen as the middle. What a print makes of a zone is another matter.
pub const SHADES: [f64; 11] = [
    0.0, 0.108, 0.189, 0.277, 0.37, 0.466, 0.567, 0.671, 0.778, 0.888, 1.0,
];

/// From which to which zone a film keeps texture in a usual print or projection.
///
/// Common practice, no source: five stops for slide film, seven for black and white, eight for colour negative film, which
/// puts up with more light rather than less.
#[must_use]
pub const fn held(film: FilmKind) -> [u8; 2] {
    match film {
        FilmKind::Reversal => [3, 7],
        FilmKind::BlackAndWhite => [2, 8],
        FilmKind::ColourNegative => [2, 9],
    }
}

/// Where on the strip that begins and ends: zones are as wide as a stop.
#[must_use]
pub fn held_edges(film: FilmKind) -> [f64; 2] {
    let [from, to] = held(film);
    [f64::from(from) - 0.5, f64::from(to) + 0.5]
}

/// The same in words, with the spots that fall outside: `Slide film keeps texture from zone III to VII (common practice, no
/// source; old film less). Outside falls: sky.`
#[must_use]
pub fn held_in_words(film: FilmKind, falls: &[Fall]) -> String {
    let name = match film {
        FilmKind::ColourNegative => "Colour negative film",
        FilmKind::BlackAndWhite => "Black-and-white film",
        FilmKind::Reversal => "Slide film",
    };
    let [from, to] = held(film).map(|zone| roman(Zone(f64::from(zone))));
    let [low, high] = held_edges(film);
    let outside = names(falls, |zone| zone < low || zone > high);
    let said = format!(
        "{name} keeps texture from zone {from} to {to} (common practice, no source; old film keeps less)."
    );
    if outside.is_empty() {
        said
    } else {
        format!("{said} Outside: {outside}.")
    }
}

/// Names of the spots whose zone is meant.
fn names(falls: &[Fall], is_meant: impl Fn(f64) -> bool) -> String {
    let meant = falls.iter().filter(|fall| is_meant(fall.zone));
    let names: Vec<&str> = meant.map(|fall| fall.name.as_str()).collect();
    names.join(", ")
}

/// What falls beyond the ends of the zones, said at each end; empty where nothing does: `Below zone 0: cellar`.
#[must_use]
pub fn beyond_in_words(falls: &[Fall]) -> [String; 2] {
    let end = |says: &str, names: String| {
        if names.is_empty() {
            names
        } else {
            format!("{says}: {names}")
        }
    };
    [
        end("Below zone 0", names(falls, |zone| zone < -NEAR)),
        end("Above zone X", names(falls, |zone| zone > 10.0 + NEAR)),
    ]
}

/// Arithmetic noise of a zone.
const NEAR: f64 = 1e-9;

/// The light that comes out as middle grey, as EV at ISO 100.
fn middle(spots: &[Spot], placing: Placing) -> Result<f64, Error> {
    if spots.len() > MOST_SPOTS {
        return Err(Error::new(format!(
            "A scene can have at most {MOST_SPOTS} spots."
        )));
    }
    let none = || Error::new("Read at least one spot first.");
    if spots.is_empty() {
        return Err(none());
    }
    let one = |at: usize| spots.get(at).map(|spot| spot.light.get()).ok_or_else(none);
    Ok(match placing {
        Placing::Average => {
            #[expect(clippy::cast_precision_loss, reason = "a count of at most twelve")]
            let count = spots.len() as f64;
            spots.iter().map(|spot| spot.light.get()).sum::<f64>() / count
        }
        Placing::Midway => {
            let [darkest, brightest] = ends(spots);
            f64::midpoint(darkest, brightest)
        }
        Placing::On { spot, zone } => one(spot)? + zone.below_middle().get(),
        Placing::CardInSun { spot } => one(spot)? - CARD.get(),
    })
}

/// The darkest and the brightest spot.
fn ends(spots: &[Spot]) -> [f64; 2] {
    let lights = || spots.iter().map(|spot| spot.light.get());
    [
        lights().fold(f64::INFINITY, f64::min),
        lights().fold(f64::NEG_INFINITY, f64::max),
    ]
}

/// Where spots fall, also where no marks reach the light that comes of it.
///
/// # Errors
///
/// A sentence, if there is no spot, more than [`MOST_SPOTS`], or not the one that is to be placed.
pub fn falls(spots: &[Spot], placing: Placing) -> Result<Vec<Fall>, Error> {
    let light = middle(spots, placing)?;
    Ok(spots.iter().map(|spot| fall(spot, light)).collect())
}

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
    let light = middle(spots, placing)?;
    let [darkest, brightest] = ends(spots);
    let none = || Error::new("Read at least one spot first.");
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
            let from = match spots {
                [one] => format!("spot: {}", one.name),
                more => format!("average of {} spots", more.len()),
            };
            Found::of_light(Ev::new(light)?, known(from, spots))?
        }
        Placing::Midway => Found::of_light(
            Ev::new(light)?,
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
    Ok(Placed {
        found,
        falls: falls(spots, placing)?,
        range: Stops::new(brightest - darkest)?,
    })
}

fn fall(spot: &Spot, middle: f64) -> Fall {
    let zone = spot.light.get() - middle + 5.0;
    // On the end but for arithmetic noise is on it.
    let near = if (zone - zone.round()).abs() < NEAR {
        zone.round()
    } else {
        zone
    };
    let words = match Zone::new(near) {
        Ok(zone) => format!("{}: zone {}, {}", spot.name, roman(zone), look(zone)),
        Err(_) if zone < 0.0 => format!("{}: below zone 0, black, by {}", spot.name, size(-zone)),
        Err(_) => format!(
            "{}: above zone X, white, by {}",
            spot.name,
            size(zone - 10.0)
        ),
    };
    Fall {
        name: spot.name.clone(),
        zone,
        words,
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
