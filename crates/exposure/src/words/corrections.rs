//! What corrections are called, and how people type them.

use super::{
    decimal, difference, figures, hundredths, of_a_stop, parse_number, plain_decimal, stops,
    to_count, value,
};
use crate::{
    Control, Counted, Effect, Error, FilmKind, LongRule, LongTimes, Mark, Stops,
    extension::Extension,
    filter::{Filter, Given},
    flash::Powers,
    power,
    shutter::{self, Tolerance},
    transmission,
};

/// Longest text of a single figure that is looked at.
const LONGEST: usize = 40;
/// Longest text of a table that is looked at.
const LONGEST_TABLE: usize = 2000;

/// The strength of a filter as it was stated: `factor 8`, `1⅓ stops`, `density 0.9`.
#[must_use]
pub fn filter(filter: &Filter) -> String {
    match filter.given() {
        Given::Factor(factor) => format!("factor {}", decimal(factor, 3)),
        Given::Stops(_) => hundredths(filter.needs()),
        Given::Density(density) => format!("density {}", decimal(density, 3)),
    }
}

/// A close-up: `magnification 0.5, factor 2.25`.
#[must_use]
pub fn close_up(extension: &Extension) -> String {
    format!(
        "magnification {}, factor {}",
        figures(extension.magnification()),
        figures(extension.factor())
    )
}

/// A power of a flash: `full power`, `1/4`, `1/4 and ⅓ stop more`, `1/3`, `30 %`.
///
/// ```
/// use exposure::words;
/// for (share, said) in [(1.0, "full power"), (0.25, "1/4"), (0.25 * 2_f64.cbrt(), "1/4 and ⅓ stop more"), (1.0 / 3.0, "1/3"), (0.3, "30 %")] {
///     assert_eq!(words::flash_power(share), said);
/// }
/// ```
#[must_use]
pub fn flash_power(share: f64) -> String {
    let thirds = share.log2() * 3.0;
    let whole = (thirds / 3.0 + 1e-6).floor();
    let above = thirds - whole * 3.0;
    let under = decimal(power::of_two(-whole), 0);
    if (above - above.round()).abs() < 1e-6 {
        let base = if whole < 0.0 {
            format!("1/{under}")
        } else {
            "full power".to_owned()
        };
        return match decimal(above, 0).as_str() {
            "1" => format!("{base} and ⅓ stop more"),
            "2" => format!("{base} and ⅔ stop more"),
            _ => base,
        };
    }
    let under = 1.0 / share;
    if (under - under.round()).abs() < 1e-6 {
        format!("1/{}", decimal(under, 0))
    } else {
        format!("{} %", figures(share * 100.0))
    }
}

/// What a measured time amounts to: `1/250 gives 1/160, about ⅔ of a stop more light`; none where nothing was measured.
#[must_use]
pub fn shutter_error(mark: &Mark) -> Option<String> {
    let error = shutter::error(mark)?;
    let measured = Mark::new(Control::Time, mark.measured()?, crate::Steps::Engraved).ok()?;
    let engraved = with_unit(mark);
    let gives = if error.is_even() {
        "what it stands for".to_owned()
    } else {
        format!(
            "{}, {} {}",
            with_unit(&measured),
            of_a_stop(error),
            super::lean(error)
        )
    };
    Some(format!("{engraved} gives {gives}"))
}

/// A time with its unit where a shutter engraves none: `1/125`, `0.6 s`, `2 s`.
fn with_unit(mark: &Mark) -> String {
    let figure = value(mark);
    if figure.contains('/') || figure.ends_with("min") {
        figure
    } else {
        format!("{} s", figure.trim_end_matches('s'))
    }
}

/// Whether a measured time passes a tolerance, with its limits: `within a repairer's …`; none where nothing was measured.
#[must_use]
pub fn tolerance(mark: &Mark, tolerance: Tolerance, top_speed: bool) -> Option<String> {
    let passes = tolerance.passes(mark, top_speed)?;
    let [least, most] = tolerance.limits(mark, top_speed);
    Some(format!(
        "{} {} (from {} to {})",
        if passes { "within" } else { "outside of" },
        tolerance.name(),
        difference(least),
        difference(most)
    ))
}

/// A film's rule of long times: `exponent 1.31 beyond 1 s`, `share 0.069, exponent 1.62`, `a table of 3 rows from 1/5 s to 1 min 40 s`.
#[must_use]
pub fn long_times(film: &LongTimes) -> String {
    let from = to_count(film.threshold());
    match film.rule() {
        LongRule::Power { exponent } => {
            format!("exponent {} beyond {from}", decimal(*exponent, 4))
        }
        LongRule::Added { share, exponent } => format!(
            "share {}, exponent {}, beyond {from}",
            decimal(*share, 4),
            decimal(*exponent, 4)
        ),
        LongRule::Table(rows) => {
            let last = rows.last().map_or(film.threshold(), |row| row[0]);
            let plural = if rows.len() == 1 { "" } else { "s" };
            format!(
                "a table of {} row{plural} from {from} to {}",
                rows.len(),
                to_count(last)
            )
        }
    }
}

/// What a timer for B should count, with the metered time beside it. What no hand counts is not said to be counted.
///
/// ```
/// use exposure::{Counted, LongTimes, words};
/// let film = LongTimes::power(1.31, 1.0)?;
/// assert_eq!(words::bulb(&film.count(8.0)), "Count 15.2 s; the meter alone says 8 s.");
/// assert_eq!(words::bulb(&film.count(0.5)), "Count 0.5 s, as metered.");
/// assert_eq!(words::bulb(&Counted::as_metered(1.0 / 128.0)), "1/125 s is for the shutter; nothing is counted.");
/// # Ok::<(), exposure::Error>(())
/// ```
#[must_use]
pub fn bulb(counted: &Counted) -> String {
    let metered = to_count(counted.metered);
    if !counted.by_hand() {
        let needs = if counted.more.is_even() {
            String::new()
        } else {
            format!(" The film needs {} more time.", stops(counted.more))
        };
        return format!("{metered} is for the shutter; nothing is counted.{needs}");
    }
    if counted.more.is_even() {
        return format!("Count {metered}, as metered.");
    }
    let needed = to_count(counted.needed);
    let guess = if counted.guess {
        " The film's table ends before that: this is a guess along its last piece."
    } else {
        ""
    };
    format!("Count {needed}; the meter alone says {metered}.{guess}")
}

/// What has to be said of a metered time in seconds on a kind of film; none if nothing has.
///
/// `corrected` says that the film's rule of long times is known and used.
///
/// Sources: colour casts and the longest times of daylight and tungsten colour film, textbooks and trade tables; from 1 s on
/// every film is suspected (common practice).
#[must_use]
pub fn long_caution(kind: FilmKind, metered: f64, corrected: bool) -> Option<&'static str> {
    if metered.is_nan() || metered < 1.0 - 1e-9 {
        return None;
    }
    match kind {
        FilmKind::ColourNegative | FilmKind::Reversal => Some(
            "From about 1 s on the layers of colour film drift apart, and no filter mends all of it: open the lens instead. \
             Tungsten slide film holds to about 30 s.",
        ),
        FilmKind::BlackAndWhite => (!corrected).then_some(
            "From 1 s on film needs more time than the meter says, and films differ by stops: take the rule of your film.",
        ),
    }
}

/// A positive decimal as people type it: one comma is a decimal comma, unless it could stand between thousands.
fn figure(text: &str) -> Option<f64> {
    let text = text.trim();
    if text.len() > LONGEST {
        return None;
    }
    match text.split_once(',') {
        Some((whole, part)) => {
            let thousands = part.len() == 3 && !whole.trim_start_matches('0').is_empty();
            (!thousands && !part.contains(','))
                .then(|| plain_decimal(&format!("{whole}.{part}")))
                .flatten()
        }
        None => plain_decimal(text),
    }
}

/// What was typed, short enough for a sentence.
fn shown(text: &str) -> String {
    text.trim().chars().take(LONGEST).collect()
}

fn not_understood(text: &str, taken: &str) -> Error {
    let shown = shown(text);
    if shown.is_empty() {
        Error::parse(format!("nothing was typed; {taken}"))
    } else {
        Error::parse(format!("“{shown}” was not understood; {taken}"))
    }
}

/// Reads a plain positive figure without a unit, such as a factor or a density; `what` names it in the error.
///
/// ```
/// use exposure::words::parse_figure;
/// assert!((parse_figure("a filter factor", " 2,5 ")? - 2.5).abs() < 1e-12);
/// assert!(parse_figure("a filter factor", "red").is_err());
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Parse error that names what is asked for.
pub fn parse_figure(what: &str, text: &str) -> Result<f64, Error> {
    figure(text).ok_or_else(|| {
        not_understood(
            text,
            &format!("{what} is typed as a number, such as 2 or 2.5"),
        )
    })
}

const VULGAR: [(char, f64); 7] = [
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('½', 0.5),
    ('¼', 0.25),
    ('¾', 0.75),
    ('⅙', 1.0 / 6.0),
    ('⅚', 5.0 / 6.0),
];

/// Reads a number of stops without a direction: `2`, `1.5`, `1 1/3`, `2/3`, `1⅔`, `0`, with or without the word.
///
/// ```
/// use exposure::words::parse_stops;
/// for (text, stops) in [("1 1/3", 4.0 / 3.0), ("1⅓ stops", 4.0 / 3.0), ("2/3", 2.0 / 3.0), ("0.5", 0.5), ("0", 0.0)] {
///     assert!((parse_stops(text)?.get() - stops).abs() < 1e-12, "{text}");
/// }
/// assert!(parse_stops("+1").is_err());
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Parse error for anything else, signs included, for more or less light is asked apart; range error beyond 100 stops.
pub fn parse_stops(text: &str) -> Result<Stops, Error> {
    let unknown = || {
        not_understood(
            text,
            "stops are typed like 2, 1.5, 1 1/3 or 2/3, without a sign",
        )
    };
    if text.len() > LONGEST {
        return Err(unknown());
    }
    let lower = text.trim().to_ascii_lowercase();
    let bare = lower
        .strip_suffix("stops")
        .or_else(|| lower.strip_suffix("stop"))
        .unwrap_or(&lower)
        .trim();
    let (whole, part) = match bare.char_indices().last() {
        Some((at, last)) => match VULGAR.iter().find(|(sign, _)| *sign == last) {
            Some((_, part)) => (bare[..at].trim(), Some(*part)),
            None => match bare.split_once('/') {
                Some((before, under)) => {
                    let (whole, over) = before
                        .trim()
                        .rsplit_once(char::is_whitespace)
                        .unwrap_or(("", before.trim()));
                    let share = figure(over).zip(figure(under)).map(|(o, u)| o / u);
                    (whole.trim(), Some(share.ok_or_else(unknown)?))
                }
                None => (bare, None),
            },
        },
        None => return Err(unknown()),
    };
    let zero = !whole.is_empty() && whole.chars().all(|c| matches!(c, '0' | '.')) && whole != ".";
    let whole = match (whole, part) {
        ("", Some(_)) => 0.0,
        _ if zero => 0.0,
        _ => figure(whole).ok_or_else(unknown)?,
    };
    Stops::new(whole + part.unwrap_or(0.0))
}

/// Reads a time to count, in seconds: `10`, `0.5`, `1/2`, `90 s`, `2 min`, `1'30`, `1:30`, `2 h`. A bare number is seconds, unlike on
/// a shutter.
///
/// ```
/// use exposure::words::parse_seconds;
/// assert!((parse_seconds("60")? - 60.0).abs() < 1e-12);
/// assert!((parse_seconds("2 min")? - 120.0).abs() < 1e-12);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Parse error with examples of what is taken.
pub fn parse_seconds(text: &str) -> Result<f64, Error> {
    let unknown = || {
        not_understood(
            text,
            "a time to count is typed in seconds, like 10 or 0.5, or as 2 min or 1:30",
        )
    };
    if let Some(seconds) = figure(text) {
        return Ok(seconds);
    }
    let lower = text.trim().to_ascii_lowercase();
    let hours = ["hours", "hour", "h"]
        .iter()
        .find_map(|unit| lower.strip_suffix(unit));
    match hours {
        Some(hours) => figure(hours).map(|hours| hours * 3600.0),
        None => parse_number(Control::Time, text).ok(),
    }
    .ok_or_else(unknown)
}

/// Units of length in millimetres, longer names first.
const LENGTHS: [(&str, f64); 12] = [
    ("mm", 1.0),
    ("cm", 10.0),
    ("metres", 1000.0),
    ("metre", 1000.0),
    ("m", 1000.0),
    ("inches", 25.4),
    ("inch", 25.4),
    ("in", 25.4),
    ("feet", 304.8),
    ("foot", 304.8),
    ("ft", 304.8),
    ("'", 304.8),
];

fn length(text: &str, bare: f64) -> Option<f64> {
    let lower = text.trim().to_ascii_lowercase();
    if let Some(number) = figure(&lower) {
        return Some(number * bare);
    }
    LENGTHS
        .iter()
        .find_map(|(unit, mm)| Some(figure(lower.strip_suffix(unit)?)? * mm))
}

/// Reads a distance to a subject in millimetres: `2.5`, `2.5 m`, `80 cm`, `6 ft`; none for `infinity`. A bare number is metres.
///
/// ```
/// use exposure::words::parse_distance;
/// assert_eq!(parse_distance("2,5")?, Some(2500.0));
/// assert_eq!(parse_distance("infinity")?, None);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Parse error with examples of what is taken.
pub fn parse_distance(text: &str) -> Result<Option<f64>, Error> {
    if matches!(
        text.trim().to_ascii_lowercase().as_str(),
        "infinity" | "infinite" | "inf" | "∞"
    ) {
        return Ok(None);
    }
    length(text, 1000.0).map(Some).ok_or_else(|| {
        not_understood(
            text,
            "a distance is typed in metres, like 2.5, or as 80 cm, 6 ft or infinity",
        )
    })
}

/// Reads a length of a lens in millimetres: `50`, `50 mm`, `5 cm`, `2 in`. A bare number is millimetres; `what` names it in the
/// error.
///
/// # Errors
///
/// Parse error with examples of what is taken.
pub fn parse_length(what: &str, text: &str) -> Result<f64, Error> {
    length(text, 1.0).ok_or_else(|| {
        not_understood(
            text,
            &format!("{what} is typed in millimetres, like 50, or as 5 cm or 2 in"),
        )
    })
}

/// Reads the powers that a flash has, as shares of the full one: `full 1/2 1/4`, `1 1/2 1/4 1/16`, `100 % 50 % 25 %`.
///
/// ```
/// use exposure::words::parse_powers;
/// assert_eq!(parse_powers("full, 1/2; 25 %")?.shares(), [1.0, 0.5, 0.25]);
/// assert!(parse_powers("1 2").is_err());
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Parse error that names the item that was not understood, or a range error.
pub fn parse_powers(text: &str) -> Result<Powers, Error> {
    const TAKEN: &str = "powers are typed like full 1/2 1/4 1/16, or as 100 % 50 %";
    if text.len() > LONGEST_TABLE {
        return Err(Error::parse("this list of powers is too long"));
    }
    let tight = text.to_ascii_lowercase().replace(" %", "%");
    let items = tight
        .split(|c: char| c.is_whitespace() || c == ';')
        .map(|item| item.trim_matches(','))
        .filter(|item| !item.is_empty());
    let mut shares = Vec::new();
    for item in items {
        let share = match (item.strip_suffix('%'), item.split_once('/')) {
            _ if item == "full" => Some(1.0),
            (Some(percent), _) => figure(percent).map(|percent| percent / 100.0),
            (None, Some((over, under))) => figure(over).zip(figure(under)).map(|(o, u)| o / u),
            (None, None) => figure(item),
        };
        shares.push(share.ok_or_else(|| not_understood(item, TAKEN))?);
    }
    if shares.is_empty() {
        return Err(not_understood("", TAKEN));
    }
    Powers::new(shares)
}

/// Reads f-numbers with their T-numbers, a pair each: `2.8 3.2; 8 8.4`, `f/2.8 = T/3.2`.
///
/// ```
/// use exposure::{transmission, words::parse_t_numbers};
/// assert_eq!(parse_t_numbers("f/2 = T/2.4; 8 8,2"), transmission::by_stop(&[[2.0, 2.4], [8.0, 8.2]]));
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Parse error that shows the pair that was not understood, or as for [`transmission::by_stop`].
pub fn parse_t_numbers(text: &str) -> Result<Effect, Error> {
    const TAKEN: &str = "a pair is an f-number and its T-number, like 2.8 3.2 or f/2.8 = T/3.2";
    if text.len() > LONGEST_TABLE {
        return Err(Error::parse("this list of T-numbers is too long"));
    }
    let text = text.replace(", ", ";");
    let number = |text: &str| figure(text.trim().trim_start_matches(['f', 'F', 't', 'T', '/']));
    let pairs = text
        .split(['\n', ';'])
        .map(str::trim)
        .filter(|pair| !pair.is_empty())
        .map(|pair| {
            let (f_number, t_number) = pair
                .split_once('=')
                .or_else(|| pair.split_once(char::is_whitespace))
                .ok_or_else(|| not_understood(pair, TAKEN))?;
            match (number(f_number), number(t_number)) {
                (Some(f_number), Some(t_number)) => Ok([f_number, t_number]),
                _ => Err(not_understood(pair, TAKEN)),
            }
        })
        .collect::<Result<Vec<_>, _>>()?;
    if pairs.is_empty() {
        return Err(not_understood("", TAKEN));
    }
    transmission::by_stop(&pairs)
}

/// Reads a table of long times as a film's sheet has it: a row per line, or rows parted by semicolons; each the metered and
/// the needed time: `1 2; 10 50; 100 1200`, `10 s = 50 s`, `1 min = 20 min`.
///
/// ```
/// use exposure::words::parse_long_table;
/// assert_eq!(parse_long_table("1 2; 10 50\n1 min = 20 min")?, [[1.0, 2.0], [10.0, 50.0], [60.0, 1200.0]]);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Parse error that shows the row that was not understood.
pub fn parse_long_table(text: &str) -> Result<Vec<[f64; 2]>, Error> {
    const TAKEN: &str = "a row is a metered and a needed time, like 10 50 or 1 min = 20 min";
    if text.len() > LONGEST_TABLE {
        return Err(Error::parse(
            "the table is too long; 30 rows are the most that is taken",
        ));
    }
    // A comma before a space parts rows; one between figures is a decimal comma.
    let text = text.replace(", ", ";");
    let rows = text
        .split(['\n', ';'])
        .map(str::trim)
        .filter(|row| !row.is_empty())
        .map(|row| {
            let [metered, needed] = two_times(row).ok_or_else(|| not_understood(row, TAKEN))?;
            match (parse_seconds(&metered), parse_seconds(&needed)) {
                (Ok(metered), Ok(needed)) => Ok([metered, needed]),
                _ => Err(not_understood(row, TAKEN)),
            }
        })
        .collect::<Result<Vec<_>, _>>()?;
    if rows.is_empty() {
        return Err(not_understood("", TAKEN));
    }
    Ok(rows)
}

/// The two times of a row: at a sign between them, or at the space before the second figure.
fn two_times(row: &str) -> Option<[String; 2]> {
    for sign in ["->", "→", "=", ":"] {
        if let Some((metered, needed)) = row.split_once(sign) {
            return Some([metered.to_owned(), needed.to_owned()]);
        }
    }
    let mut times: Vec<String> = Vec::new();
    for word in row.split_whitespace() {
        match times.last_mut() {
            // A unit belongs to the figure before it.
            Some(last) if !word.starts_with(|c: char| c.is_ascii_digit()) => last.push_str(word),
            _ => times.push(word.to_owned()),
        }
    }
    times.try_into().ok()
}

/// A table of long times, as [`parse_long_table`] reads it: `1 2; 10 50; 100 1200`.
#[must_use]
pub fn long_table(rows: &[[f64; 2]]) -> String {
    let rows: Vec<String> = rows
        .iter()
        .map(|[metered, needed]| format!("{} {}", decimal(*metered, 6), decimal(*needed, 6)))
        .collect();
    rows.join("; ")
}
