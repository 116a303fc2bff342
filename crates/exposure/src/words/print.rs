use super::figures::{count, decimal, rough, rounded, whole};
use crate::{Control, Doubt, Ev, Mark, Sharp, Stops, light::Constants, series};

/// Up to here words are exact; beyond, "about" stands: a fiftieth of a stop.
const FIFTIETH: Stops = Stops::constant(0.02);

/// The common noun of a control.
#[must_use]
pub const fn noun(control: Control) -> &'static str {
    match control {
        Control::Time => "time",
        Control::Aperture => "aperture",
        Control::Sensitivity => "sensitivity",
    }
}

/// Reciprocal of a time, where a shutter would be engraved with it: one decimal at most.
fn reciprocal(seconds: f64) -> Option<f64> {
    let under = 1.0 / seconds;
    let tenths = (under * 10.0).round();
    (seconds < 1.0 && (under * 10.0 - tenths).abs() < 1e-6 * tenths).then_some(tenths / 10.0)
}

fn time_figure(seconds: f64) -> String {
    if let Some(under) = reciprocal(seconds) {
        return format!("1/{}", decimal(under, 1));
    }
    if seconds < 1.0 {
        let under = 1.0 / seconds;
        // Times that come out of arithmetic: enough digits that the figure is within a hundredth of a stop.
        return if under >= 20.0 {
            format!("1/{}", decimal(under, if under < 100.0 { 1 } else { 0 }))
        } else {
            decimal(seconds, 3)
        };
    }
    if seconds < 120.0 || seconds.fract().abs() > 1e-9 || (seconds / 60.0).fract() > 1e-11 {
        return format!("{}s", decimal(seconds, if seconds < 100.0 { 2 } else { 1 }));
    }
    format!("{}min", decimal(seconds / 60.0, 0))
}

/// An f-number: three figures, and where it stands this near to the standard series the figure engraved for it, 5.6 for 5.657.
fn stop_figure(number: f64, within: Stops) -> String {
    let engraved = series::engraved_near(Control::Aperture, 2.0 * number.log2(), within);
    let places = if number < 1.0 {
        3
    } else if number < 10.0 {
        2
    } else {
        1
    };
    decimal(engraved.unwrap_or(number), places)
}

/// An f-number that was worked out, by the figure that is engraved within a fiftieth of a stop: `f/5.6` for 5.66, `f/7.43`.
#[must_use]
pub fn f_number(number: f64) -> String {
    format!("f/{}", stop_figure(number, FIFTIETH))
}

/// The figure as it is engraved, without a unit where the trade has none: `1/125`, `2s`, `5.6`, `100`.
///
/// A place on a ring without clicks that stands exactly on the standard series has the figure of the series.
#[must_use]
pub fn figure(mark: &Mark) -> String {
    match mark.control() {
        Control::Time => time_figure(mark.engraved()),
        Control::Aperture => stop_figure(mark.engraved(), Stops::NOISE),
        Control::Sensitivity => {
            decimal(mark.engraved(), if mark.engraved() < 10.0 { 3 } else { 1 })
        }
    }
}

/// The value with the trade's sign: `1/125`, `2s`, `f/8`, `ISO 100`. What [`Mark::parse`] reads back.
#[must_use]
pub fn value(mark: &Mark) -> String {
    match mark.control() {
        Control::Time => figure(mark),
        Control::Aperture => format!("f/{}", figure(mark)),
        Control::Sensitivity => format!("ISO {}", figure(mark)),
    }
}

/// The value as it is spoken: `1/125 second`, `2 seconds`, `1 minute 30 seconds`, `2 hours`, `f/8`, `ISO 100`.
#[must_use]
pub fn spoken(mark: &Mark) -> String {
    if mark.control() != Control::Time {
        return value(mark);
    }
    let hand = if mark.by_hand() { ", by hand on B" } else { "" };
    if mark.engraved() < 1.0 {
        return format!("{} second{hand}", time_figure(mark.engraved()));
    }
    // Rounded before it is parted, so that there are never sixty seconds in a minute's rest.
    let mut left = (mark.engraved() * 100.0).round() / 100.0;
    let mut parts: Vec<String> = Vec::new();
    for (size, name) in [(3600.0, "hour"), (60.0, "minute"), (0.01, "second")] {
        let number = if size < 1.0 {
            left
        } else {
            (left / size).floor()
        };
        left -= number * size;
        if number >= 0.005 {
            let figure = decimal(number, 2);
            let plural = if figure == "1" { "" } else { "s" };
            parts.push(format!("{figure} {name}{plural}"));
        }
    }
    parts.join(" ") + hand
}

/// The printed speed of the standard list that an EI or ISO is within a fiftieth of a stop of.
#[must_use]
pub fn standard_speed(mark: &Mark) -> Option<f64> {
    series::engraved_near(Control::Sensitivity, mark.place().get(), FIFTIETH)
}

/// An EI: the standard figure where one is within a fiftieth of a stop, else two figures, from 100 on three, with "about":
/// `EI 100`, `about EI 74`, `about EI 102`.
#[must_use]
pub fn ei(mark: &Mark) -> String {
    if let Some(standard) = standard_speed(mark) {
        return format!("EI {}", decimal(standard, 1));
    }
    let exact = mark.exact();
    let (number, places) = rounded(exact, if exact < 100.0 { 2 } else { 3 });
    format!("about EI {}", decimal(number, places))
}

const SIXTHS: [&str; 6] = ["", "⅙", "⅓", "½", "⅔", "⅚"];

/// The size of a difference to the nearest sixth, and whether that is exact to a fiftieth of a stop.
#[expect(
    clippy::cast_possible_truncation,
    reason = "differences are within 300 stops"
)]
fn sixths(stops: Stops) -> (i32, bool) {
    let size = stops.size().get();
    let nearest = whole(size * 6.0);
    (
        nearest as i32,
        (size - nearest / 6.0).abs() < FIFTIETH.get(),
    )
}

fn sixths_text(sixths: i32) -> String {
    // OK because a remainder of six is an index of the table.
    let part = SIXTHS[usize::try_from(sixths % 6).unwrap_or(0)];
    match sixths / 6 {
        0 if part.is_empty() => "0".to_owned(),
        0 => part.to_owned(),
        whole => format!("{whole}{part}"),
    }
}

/// The size of a difference without its direction: `1⅓ stops`, `about ½ stop`, `under ⅙ stop`.
///
/// ```
/// use exposure::{Stops, words};
/// assert_eq!(words::stops(Stops::constant(-4.0 / 3.0)), "1⅓ stops");
/// assert_eq!(words::stops(Stops::constant(0.37)), "about ⅓ stop");
/// assert_eq!(words::stops(Stops::constant(0.05)), "under ⅙ stop");
/// ```
#[must_use]
pub fn stops(difference: Stops) -> String {
    let (sixths, exact) = sixths(difference);
    if sixths == 0 && !difference.is_even() {
        return "under ⅙ stop".to_owned();
    }
    let about = if exact { "" } else { "about " };
    let plural = if sixths > 6 || sixths == 0 { "s" } else { "" };
    format!("{about}{} stop{plural}", sixths_text(sixths))
}

/// How far something may be off either way: `give or take ½ stop`, `give or take about ⅔ stop`.
///
/// ```
/// use exposure::{Doubt, words};
/// assert_eq!(words::give_or_take(Doubt::constant(0.5)), "give or take ½ stop");
/// assert_eq!(words::give_or_take(Doubt::MOST), "give or take at least 10 stops");
/// ```
#[must_use]
pub fn give_or_take(doubt: Doubt) -> String {
    let least = if doubt == Doubt::MOST {
        "at least "
    } else {
        ""
    };
    format!("give or take {least}{}", stops(doubt.half_width()))
}

/// `more light`, `less light`, or nothing.
#[must_use]
pub const fn lean(difference: Stops) -> &'static str {
    if difference.is_more() {
        "more light"
    } else if difference.is_less() {
        "less light"
    } else {
        ""
    }
}

/// A difference with its direction: `⅓ stop more light`, `2 stops less light`, `no difference`.
///
/// ```
/// use exposure::{Stops, words};
/// assert_eq!(words::difference(Stops::constant(1.0 / 3.0)), "⅓ stop more light");
/// assert_eq!(words::difference(Stops::constant(-2.0)), "2 stops less light");
/// assert_eq!(words::difference(Stops::ZERO), "no difference");
/// ```
#[must_use]
pub fn difference(difference: Stops) -> String {
    if difference.is_even() {
        return "no difference".to_owned();
    }
    format!("{} {}", stops(difference), lean(difference))
}

/// The size of a difference that has to add up or to be told from another: a sixth where it is one, else in hundredths:
/// `⅓ stop`, `0.51 stop`, `1.32 stops`.
///
/// ```
/// use exposure::{Stops, words};
/// assert_eq!(words::hundredths(Stops::constant(-4.6439)), "4.64 stops");
/// assert_eq!(words::hundredths(Stops::constant(0.5)), "½ stop");
/// ```
#[must_use]
pub fn hundredths(difference: Stops) -> String {
    let size = difference.size();
    let shown = if off_sixth(size) < 1e-4 {
        size
    } else {
        Stops::new_unchecked(whole(size.get() * 100.0) / 100.0)
    };
    let figure = if off_sixth(shown) < 1e-4 {
        sixths_text(sixths(shown).0)
    } else {
        decimal(shown.get(), 2)
    };
    // What is shown decides: 1.004 stops are 1 stop.
    match figure.as_str() {
        "0" if !size.is_even() => "under 0.01 stop".to_owned(),
        "0" => "0 stops".to_owned(),
        "1" => "1 stop".to_owned(),
        _ if shown.get() < 1.0 => format!("{figure} stop"),
        _ => format!("{figure} stops"),
    }
}

/// How far a size is from the sixth that words say, in stops.
fn off_sixth(size: Stops) -> f64 {
    let nearest = sixths(size).0;
    (size.get() - f64::from(nearest) / 6.0).abs()
}

/// A size in words, with its hundredths behind it where the words are not exact: `3 stops`, `½ stop (0.51)`,
/// `about 4⅔ stops (4.64)`.
///
/// ```
/// use exposure::{Stops, words};
/// assert_eq!(words::figured(Stops::constant(0.51)), "½ stop (0.51)");
/// ```
#[must_use]
pub fn figured(difference: Stops) -> String {
    stops(difference) + &in_brackets(difference)
}

/// The hundredths of a difference in brackets, behind words in sixths that do not say them: ` (0.51)`, or nothing.
#[must_use]
pub fn in_brackets(difference: Stops) -> String {
    let size = difference.size();
    if off_sixth(size) < 0.005 {
        String::new()
    } else {
        format!(" ({})", decimal(size.get(), 2))
    }
}

/// A part of a sum with its direction: `0.51 stop more light`, `⅓ stop less light`, `no difference`.
#[must_use]
pub fn part(difference: Stops) -> String {
    if difference.is_even() {
        return "no difference".to_owned();
    }
    format!("{} {}", hundredths(difference), lean(difference))
}

/// What was wanted and what is given instead, told apart even where both are nearly the same.
///
/// ```
/// use exposure::{Stops, words};
/// let said = |given| words::wanted_and_given(Stops::constant(-1.0), Stops::constant(given));
/// assert_eq!(said(-0.96), "wanted 1 stop less light, gives 0.96 stop less light");
/// assert_eq!(said(-0.99), "under a fiftieth of a stop more light than wanted");
/// ```
#[must_use]
pub fn wanted_and_given(wanted: Stops, given: Stops) -> String {
    let off = given - wanted;
    if off.size() < FIFTIETH {
        return format!("under a fiftieth of a stop {} than wanted", lean(off));
    }
    let alike = sixths(wanted).0 == sixths(given).0 && wanted.is_less() == given.is_less();
    let gives = if alike {
        part(given)
    } else {
        difference(given)
    };
    format!("wanted {}, gives {gives}", difference(wanted))
}

const NUMBERS: [&str; 13] = [
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

/// A whole number from nought to twelve in words: `three`; none for any other.
///
/// ```
/// assert_eq!(exposure::words::number(3.0), Some("three"));
/// assert_eq!(exposure::words::number(13.0), None);
/// ```
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::float_cmp,
    reason = "only what is whole and not below nought"
)]
pub fn number(number: f64) -> Option<&'static str> {
    let is_whole = number >= 0.0 && number.trunc() == number;
    is_whole
        .then(|| NUMBERS.get(number as usize).copied())
        .flatten()
}

/// The size of a difference in running text: `two stops`, `half a stop`, `1⅓ stops`, `about ⅔ of a stop`.
#[must_use]
pub fn of_a_stop(difference: Stops) -> String {
    let (sixths, exact) = sixths(difference);
    let text = match sixths {
        0 => return "less than ⅙ of a stop".to_owned(),
        1 | 2 | 4 | 5 => format!("{} of a stop", sixths_text(sixths)),
        3 => "half a stop".to_owned(),
        6 => "one stop".to_owned(),
        _ => match usize::try_from(sixths / 6)
            .ok()
            .filter(|_| sixths % 6 == 0)
            .and_then(|n| NUMBERS.get(n))
        {
            Some(number) => format!("{number} stops"),
            None => format!("{} stops", sixths_text(sixths)),
        },
    };
    if exact { text } else { format!("about {text}") }
}

/// The factor of light in words: `twice the light`, `a quarter of the light`, `about 1.3 times the light`.
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    reason = "only for whole stops up to twelve"
)]
pub fn factor(difference: Stops) -> String {
    let stops = difference.get();
    let whole = stops.round();
    if (stops - whole).abs() < 0.01 && whole.abs() <= 12.0 {
        return match whole as i32 {
            0 => "the same light".to_owned(),
            1 => "twice the light".to_owned(),
            -1 => "half the light".to_owned(),
            -2 => "a quarter of the light".to_owned(),
            -3 => "an eighth of the light".to_owned(),
            n if n > 0 => format!("{} times the light", 1_i32 << n),
            n => format!("1/{} of the light", 1_i32 << -n),
        };
    }
    let factor = difference.size().factor();
    if factor < 1.05 {
        "about the same light".to_owned()
    } else if stops > 0.0 {
        format!("about {} times the light", rough(factor))
    } else if factor <= 100.0 {
        format!("about {} % of the light", rough(100.0 / factor))
    } else {
        format!("about 1/{} of the light", rough(factor))
    }
}

/// Light as EV at ISO 100, to a tenth: `EV 12 at ISO 100`, `about EV 12.3 at ISO 100`.
#[must_use]
pub fn light(at_iso_100: Ev) -> String {
    let ev = at_iso_100.get();
    let tenths = (ev * 10.0).round() / 10.0;
    let about = if (ev - tenths).abs() < 0.005 {
        ""
    } else {
        "about "
    };
    format!("{about}EV {} at ISO 100", decimal(ev, 1))
}

/// The same light in cd/m² and lx, to two figures, with the constants named.
#[must_use]
pub fn light_in_units(at_iso_100: Ev, constants: &Constants) -> String {
    format!(
        "about {} cd/m² (K {}), {} lx (C {})",
        rough(constants.luminance(at_iso_100)),
        decimal(constants.k(), 2),
        rough(constants.illuminance(at_iso_100)),
        decimal(constants.c(), 1),
    )
}

/// What is shorter is said as a shutter has it, in seconds; whether a hand can count a time is for [`crate::Counted`] to say.
const AS_ENGRAVED: f64 = 0.4;

/// A time to count, for B and a watch: `0.71 s`, `15.2 s`, `1 min 34 s`, `1 h 2 min`.
///
/// Rounded to what a hand can keep, always within a fiftieth of a stop: hundredths under 4 s, tenths under a minute, seconds
/// under an hour, then minutes. What is under 0.4 s is said as a shutter has it: `1/125 s`.
///
/// ```
/// use exposure::words;
/// assert_eq!(words::to_count(15.2422), "15.2 s");
/// assert_eq!(words::to_count(93.7), "1 min 34 s");
/// assert_eq!(words::to_count(3720.0), "1 h 2 min");
/// ```
///
/// That has the figure engraved for it where it stands exactly on the standard series; a time to count never has, for a watch
/// shows 16 s and not 15.
#[must_use]
pub fn to_count(seconds: f64) -> String {
    let joined = |number: f64, unit: f64, name: &str, rest_name: &str| {
        // Rounded before it is parted, so that there are never sixty seconds in a minute's rest.
        let whole = (number / unit).floor();
        let rest = number - whole * unit;
        if rest < 0.5 {
            format!("{} {name}", count(whole))
        } else {
            format!("{} {name} {} {rest_name}", count(whole), decimal(rest, 0))
        }
    };
    if seconds > 0.0 && seconds < AS_ENGRAVED {
        let engraved = series::engraved_near(Control::Time, -seconds.log2(), Stops::NOISE);
        format!("{} s", time_figure(engraved.unwrap_or(seconds)))
    } else if seconds < 3.995 {
        format!("{} s", decimal(seconds, 2))
    } else if seconds < 59.95 {
        format!("{} s", decimal(seconds, 1))
    } else if seconds < 3599.5 {
        joined(seconds.round(), 60.0, "min", "s")
    } else {
        joined((seconds / 60.0).round(), 60.0, "h", "min")
    }
}

/// From here on a distance only says that it is far: nothing is focused beyond, metres.
const FAR: f64 = 10_000.0;

/// Decimals of a distance in metres that has three figures, or millimetres close up.
const fn places(metres: f64) -> u8 {
    if metres < 0.9995 {
        3
    } else if metres < 9.995 {
        2
    } else if metres < 99.95 {
        1
    } else {
        0
    }
}

/// A distance in metres with more decimals than usual; from a kilometre on two figures, and beyond ten only that.
fn metres(metres: f64, more: u8) -> String {
    if metres > FAR {
        "more than 10 km".to_owned()
    } else if metres >= 999.5 {
        format!("{} km", rough(metres / 1000.0))
    } else {
        format!("{} m", decimal(metres, (places(metres) + more).min(4)))
    }
}

/// A distance, given in millimetres, in metres; none is infinity: `0.353 m`, `1.87 m`, `12 m`, `1.9 km`, `infinity`.
///
/// ```
/// use exposure::words;
/// assert_eq!(words::distance(Some(1870.2)), "1.87 m");
/// assert_eq!(words::distance(None), "infinity");
/// ```
#[must_use]
pub fn distance(millimetres: Option<f64>) -> String {
    millimetres.map_or_else(|| "infinity".to_owned(), |mm| metres(mm / 1000.0, 0))
}

/// What is sharp: `sharp from 1.9 m to 3.2 m`, `sharp from 5.23 m to infinity`, `sharp from 5.2 m to 1.9 km`.
///
/// A depth so shallow that both ends would read alike is given more decimals, to a tenth of a millimetre.
#[must_use]
pub fn depth(sharp: &Sharp) -> String {
    let near = sharp.near / 1000.0;
    let Some(far) = sharp.far.map(|far| far / 1000.0) else {
        return format!("sharp from {} to infinity", distance(Some(sharp.near)));
    };
    let more = (0..4)
        .find(|more| metres(near, *more) != metres(far, *more))
        .unwrap_or(4);
    format!("sharp from {} to {}", metres(near, more), metres(far, more))
}
