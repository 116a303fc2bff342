use crate::{Control, Error, din_from_iso, iso_from_din};

/// Longest text that is looked at; anything longer is not a figure.
const LONGEST: usize = 40;

/// Reads a time in seconds, an f-number or an ISO speed, as people type it.
///
/// - time: `1/60`, `1/60 s`; a bare whole number above 1 is a fraction as engraved on a shutter (`60` is 1/60 second); `0.5`,
///   `1.5`; `2s`, `2"`, `2 sec`; `1'30`, `1m30s`, `1:30`, `2 min`; `1:02:03` with hours
/// - aperture: `8`, `f8`, `f/8`, `5.6`, `5,6`
/// - sensitivity: `400`, `ISO 400`, `EI 100`, `ASA 64`, `27°`, `27 DIN`, `160/23°`
///
/// ```
/// use exposure::{Control, words::parse_number};
/// let close = |text, control, to: f64| (parse_number(control, text).unwrap() - to).abs() < 1e-9 * to;
/// assert!(close("60", Control::Time, 1.0 / 60.0));
/// assert!(close("1'30", Control::Time, 90.0));
/// assert!(close("f8", Control::Aperture, 8.0));
/// assert!(close("160/23°", Control::Sensitivity, 160.0));
/// ```
///
/// # Errors
///
/// Parse error with examples of what is taken.
pub fn parse_number(control: Control, text: &str) -> Result<f64, Error> {
    let clean = clean(control, text).ok_or_else(|| unknown(control, text))?;
    let number = match control {
        Control::Time => time(&clean),
        Control::Aperture => aperture(&clean),
        Control::Sensitivity => return sensitivity(&clean, text),
    };
    number.ok_or_else(|| unknown(control, text))
}

/// Lower case, without spaces, one kind of slash, quote and decimal point.
fn clean(control: Control, text: &str) -> Option<String> {
    let mut out = String::with_capacity(LONGEST);
    let mut gap = false;
    for c in text.trim().chars() {
        let plain = match c {
            _ if c.is_whitespace() => {
                gap = true;
                continue;
            }
            '⁄' | '∕' => '/',
            '’' | '′' | '‘' => '\'',
            '”' | '″' | '“' => '"',
            'º' | '˚' => '°',
            'ƒ' => 'f',
            _ => c.to_ascii_lowercase(),
        };
        // Two figures with only a space between them are two values, or a number with its thousands apart.
        let figures = gap && plain.is_ascii_digit() && out.ends_with(|c: char| c.is_ascii_digit());
        let figures = figures && !(control == Control::Sensitivity && in_thousands(text));
        if figures || out.len() >= LONGEST {
            return None;
        }
        gap = false;
        out.push(plain);
    }
    // One comma is a decimal comma, unless it could as well stand between thousands (1,600).
    if let Some((before, after)) = out.split_once(',') {
        let digits = after.chars().take_while(char::is_ascii_digit).count();
        let whole = before
            .rsplit(|c: char| !c.is_ascii_digit())
            .next()
            .unwrap_or_default();
        if digits == 3 && !whole.trim_start_matches('0').is_empty() {
            return None;
        }
        out = out.replace(',', ".");
    }
    (!out.is_empty()).then_some(out)
}

/// Whether the figures of a text stand in groups of three: 12 800.
fn in_thousands(text: &str) -> bool {
    // The first of a pair of speeds, without what stands before its first figure.
    let arithmetic = text.split('/').next().unwrap_or(text);
    let figures = arithmetic.trim_matches(|c: char| !c.is_ascii_digit());
    let mut groups = figures.split_whitespace();
    groups.next().is_some_and(|first| first.len() <= 3)
        && groups.all(|group| group.len() == 3 && group.bytes().all(|b| b.is_ascii_digit()))
}

/// Reads a plain positive decimal: digits and at most one point. No sign, exponent, unit or name.
///
/// Exact for up to fifteen digits. Kept free of the standard library's parser, whose tables of powers would be among the
/// largest pieces of data on the page.
///
/// ```
/// use exposure::words::plain_decimal;
/// assert_eq!(plain_decimal("12.5"), Some(12.5));
/// assert_eq!(plain_decimal("1e3"), None);
/// ```
#[must_use]
pub fn plain_decimal(text: &str) -> Option<f64> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    let unfinished = text.ends_with('.');
    if whole.len() + part.len() == 0 || unfinished || !digits(whole) || !digits(part) {
        return None;
    }
    // What stands further right is less than a part in a thousand million million.
    let part = part.get(..part.len().min(15)).unwrap_or_default();
    let figure = |digits: &str| {
        digits
            .bytes()
            .fold(0.0, |sum, digit| sum * 10.0 + f64::from(digit - b'0'))
    };
    let unit = part.bytes().fold(1.0, |unit, _| unit * 10.0);
    let number = (figure(whole) * unit + figure(part)) / unit;
    (number.is_finite() && number > 0.0).then_some(number)
}

fn strip_any<'a>(text: &'a str, suffixes: &[&str]) -> Option<&'a str> {
    suffixes.iter().find_map(|suffix| text.strip_suffix(suffix))
}

const SECONDS: &[&str] = &["seconds", "second", "secs", "sec.", "sec", "s", "''", "\""];
const MINUTES: &[&str] = &["minutes", "minute", "mins", "min.", "min", "m", "'"];

fn time(text: &str) -> Option<f64> {
    if text.contains(':') {
        return watch(text);
    }
    if let Some((minutes, seconds)) = split_minutes(text) {
        let minutes = plain_decimal(minutes)? * 60.0;
        return if seconds.is_empty() {
            Some(minutes)
        } else {
            Some(minutes + plain_decimal(strip_any(seconds, SECONDS).unwrap_or(seconds))?)
        };
    }
    let in_seconds = strip_any(text, SECONDS);
    let figure = in_seconds.unwrap_or(text);
    if let Some((over, under)) = figure.split_once('/') {
        return Some(plain_decimal(over)? / plain_decimal(under)?);
    }
    let number = plain_decimal(figure)?;
    // As on a shutter dial: 60 stands for 1/60. A figure with a unit or a point is meant as it stands.
    let engraved_fraction = in_seconds.is_none() && !figure.contains('.') && number > 1.0;
    Some(if engraved_fraction {
        1.0 / number
    } else {
        number
    })
}

/// Seconds as a watch shows them: `1:30`, `0:45`, `1:02:03`.
fn watch(text: &str) -> Option<f64> {
    let (mut sum, mut places) = (0, 0);
    for part in text.split(':') {
        let digits = (1..=3).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        let sixtieths = part.len() == 2 && part < "60";
        if !digits || places > 2 || (places > 0 && !sixtieths) {
            return None;
        }
        let figure = part
            .bytes()
            .fold(0, |sum, b| sum * 10 + u32::from(b - b'0'));
        sum = sum * 60 + figure;
        places += 1;
    }
    (sum > 0).then(|| f64::from(sum))
}

/// Splits `1'30` or `1m30s` into minutes and the rest.
fn split_minutes(text: &str) -> Option<(&str, &str)> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.'))?;
    let (number, rest) = text.split_at(end);
    if rest.starts_with("''") {
        return None;
    }
    let rest = MINUTES.iter().find_map(|unit| rest.strip_prefix(unit))?;
    Some((number, rest))
}

fn aperture(text: &str) -> Option<f64> {
    // f.8 is f/8, as older lenses have it; .95 without the f is 0.95.
    let figure = text
        .strip_prefix('f')
        .map_or(text, |rest| rest.strip_prefix('.').unwrap_or(rest));
    let figure = figure.strip_prefix(['/', ':']).unwrap_or(figure);
    plain_decimal(figure.strip_prefix("1:").unwrap_or(figure))
}

fn sensitivity(clean: &str, text: &str) -> Result<f64, Error> {
    let figure = ["iso", "asa", "ei", "din"]
        .iter()
        .find_map(|name| clean.strip_prefix(name))
        .unwrap_or(clean);
    let figure = strip_any(figure, &["iso", "asa", "ei"]).unwrap_or(figure);
    // In some countries 1.600 is a thousand and six hundred; as a decimal nobody would write the noughts.
    let thousands = figure.split_once('.').is_some_and(|(whole, part)| {
        part.len() == 3 && part.ends_with('0') && whole.bytes().any(|b| b != b'0')
    });
    if thousands {
        return Err(unknown(Control::Sensitivity, text));
    }
    let number = |text: &str| plain_decimal(text).or_else(|| (text == "0").then_some(0.0));
    let degrees = |text: &str| {
        number(strip_any(text, &["°din", "din", "°"])?).filter(|degrees| *degrees < 72.0)
    };
    if let Some((arithmetic, logarithmic)) = figure.split_once('/') {
        let iso = plain_decimal(arithmetic).ok_or_else(|| unknown(Control::Sensitivity, text))?;
        let din = degrees(logarithmic)
            .or_else(|| number(logarithmic))
            .ok_or_else(|| unknown(Control::Sensitivity, text))?;
        // Printed pairs are rounded on both sides; more than three quarters of a degree apart they contradict each other.
        if (din_from_iso(iso)? - din).abs() > 0.75 {
            return Err(Error::parse(format!(
                "the two speeds in “{}” contradict each other; type one of them",
                text.trim()
            )));
        }
        return Ok(iso);
    }
    let logarithmic = clean
        .starts_with("din")
        .then(|| number(figure))
        .flatten()
        .or_else(|| degrees(figure));
    if let Some(degrees) = logarithmic {
        let exact = iso_from_din(degrees)?;
        // A whole degree is the printed speed of the standard list (23° is ISO 160, exactly 158.5).
        return Ok(
            crate::series::tables(Control::Sensitivity, crate::Steps::Third)[0]
                .iter()
                .find(|row| {
                    (degrees - degrees.round()).abs() < 1e-9
                        && (row.at.level() * 3.0 + 21.0 - degrees).abs() < 1e-9
                })
                .map_or(exact, |row| row.number),
        );
    }
    plain_decimal(figure).ok_or_else(|| unknown(Control::Sensitivity, text))
}

fn unknown(control: Control, text: &str) -> Error {
    let shown: String = text.trim().chars().take(LONGEST).collect();
    let examples = match control {
        Control::Time => "a time is typed like 1/60, 60, 0.5, 2s or 1:30",
        Control::Aperture => "an aperture is typed like f/8, 5.6 or f8",
        Control::Sensitivity => "a sensitivity is typed like 100, ISO 64 or 160/23°",
    };
    if shown.is_empty() {
        Error::parse(format!("nothing was typed; {examples}"))
    } else {
        Error::parse(format!("“{shown}” was not understood; {examples}"))
    }
}
