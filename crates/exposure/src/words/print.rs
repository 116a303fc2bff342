use crate::{Control, Doubt, Ev, Mark, Sharp, Stops, light::Constants, power};

/// The common noun of a control.
#[must_use]
pub const fn noun(control: Control) -> &'static str {
    match control {
        Control::Time => "time",
        Control::Aperture => "aperture",
        Control::Sensitivity => "sensitivity",
    }
}

/// A number with at most `places` decimals (six at most), rounded half away from zero, without trailing zeros.
///
/// Kept free of float formatting, which would be the largest single piece of text code on the page.
///
/// ```
/// assert_eq!(exposure::words::decimal(12.5, 2), "12.5");
/// assert_eq!(exposure::words::decimal(-0.004, 2), "0");
/// ```
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    reason = "clamped to what an i64 holds"
)]
pub fn decimal(number: f64, places: u8) -> String {
    let places = places.min(6);
    let unit = 10_i64.pow(u32::from(places));
    #[expect(clippy::cast_precision_loss, reason = "a power of ten up to a million")]
    let scaled = number * unit as f64;
    // A value that is a tie but for arithmetic noise goes away from zero, so that it reads the same after a reload.
    let noise = (scaled.abs() * 1e-9).min(1e-3).copysign(scaled);
    let scaled = (scaled + noise).round().clamp(-9e15, 9e15) as i64;
    let sign = if scaled < 0 { "−" } else { "" };
    let (whole, rest) = (scaled.abs() / unit, scaled.abs() % unit);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let digits = format!("{rest:0width$}", width = usize::from(places));
    format!("{sign}{whole}.{}", digits.trim_end_matches('0'))
}

/// A whole number with thin groups of three: `10 240`.
#[must_use]
pub fn count(number: f64) -> String {
    let digits = decimal(number, 0);
    if digits.len() < 5 {
        return digits;
    }
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(c);
    }
    out
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

/// The figure as it is engraved, without a unit where the trade has none: `1/125`, `2s`, `5.6`, `100`.
#[must_use]
pub fn figure(mark: &Mark) -> String {
    match mark.control() {
        Control::Time => time_figure(mark.engraved()),
        Control::Aperture => decimal(mark.engraved(), if mark.engraved() < 10.0 { 2 } else { 1 }),
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

/// The value as it is spoken: `1/125 second`, `2 seconds`, `1 minute 30 seconds`, `f/8`, `ISO 100`.
#[must_use]
pub fn spoken(mark: &Mark) -> String {
    if mark.control() != Control::Time {
        return value(mark);
    }
    let seconds = mark.engraved();
    let hand = if mark.by_hand() { ", by hand on B" } else { "" };
    if seconds < 1.0 {
        return format!("{} second{hand}", time_figure(seconds));
    }
    let minutes = (seconds / 60.0).floor();
    let rest = seconds - minutes * 60.0;
    let unit = |number: f64, name: &str| {
        let figure = decimal(number, 2);
        let plural = if figure == "1" { "" } else { "s" };
        format!("{figure} {name}{plural}")
    };
    if minutes < 1.0 {
        return format!("{}{hand}", unit(seconds, "second"));
    }
    if rest > 1e-9 {
        return format!("{} {}{hand}", unit(minutes, "minute"), unit(rest, "second"));
    }
    format!("{}{hand}", unit(minutes, "minute"))
}

/// An EI: the standard figure where one is within a fiftieth of a stop, else a whole number (one decimal below 10) with
/// "about": `EI 100`, `about EI 74`.
#[must_use]
pub fn ei(mark: &Mark) -> String {
    let exact = mark.exact();
    let standard = crate::series::tables(Control::Sensitivity, crate::Steps::Third)[0]
        .iter()
        .find(|row| row.engraved && (row.at.level() - mark.place().get()).abs() < 0.02);
    match standard {
        Some(row) => format!("EI {}", decimal(row.number, 1)),
        None => format!(
            "about EI {}",
            decimal(
                exact,
                if exact < 1.0 {
                    4
                } else if exact < 10.0 {
                    1
                } else {
                    0
                }
            )
        ),
    }
}

const SIXTHS: [&str; 6] = ["", "⅙", "⅓", "½", "⅔", "⅚"];

/// The size of a difference to the nearest sixth, and whether that is exact to a fiftieth of a stop.
#[expect(
    clippy::cast_possible_truncation,
    reason = "differences are within 300 stops"
)]
fn sixths(stops: Stops) -> (i32, bool) {
    let size = stops.size().get();
    let nearest = (size * 6.0).round();
    (nearest as i32, (size - nearest / 6.0).abs() < 0.02)
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

/// Whole parts of a stop (sixths or hundredths) with the direction, for sums that have to add up in print.
#[must_use]
pub fn parts(count: i32, parts: u8) -> String {
    if count == 0 {
        return "no difference".to_owned();
    }
    let size = count.abs();
    let (text, one) = if parts == 6 {
        (sixths_text(size), size <= 6)
    } else {
        (
            decimal(f64::from(size) / f64::from(parts), 2),
            size <= i32::from(parts),
        )
    };
    let direction = if count > 0 {
        "more light"
    } else {
        "less light"
    };
    format!("{text} stop{} {direction}", if one { "" } else { "s" })
}

const NUMBERS: [&str; 13] = [
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

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
    if stops > 0.0 {
        let factor = difference.factor();
        format!(
            "about {} times the light",
            decimal(factor, if factor < 10.0 { 1 } else { 0 })
        )
    } else {
        let percent = difference.factor() * 100.0;
        format!(
            "about {} % of the light",
            decimal(percent, if percent < 10.0 { 1 } else { 0 })
        )
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
    let two_figures = |number: f64| {
        if number >= 10.0 {
            let unit = power::of_ten(number.log10().floor() - 1.0);
            count((number / unit).round() * unit)
        } else {
            decimal(number, 3)
        }
    };
    format!(
        "about {} cd/m² (K {}), {} lx (C {})",
        two_figures(constants.luminance(at_iso_100)),
        decimal(constants.k(), 2),
        two_figures(constants.illuminance(at_iso_100)),
        decimal(constants.c(), 1),
    )
}

/// A time to count, for B and a watch: `0.71 s`, `15.2 s`, `1 min 34 s`, `1 h 2 min`.
///
/// Rounded to what a hand can keep, always within a fiftieth of a stop: hundredths under 4 s, tenths under a minute, seconds
/// under an hour, then minutes. What is too short to count, under 0.4 s, is said as a shutter has it: `1/128 s`.
///
/// ```
/// use exposure::words;
/// assert_eq!(words::to_count(15.2422), "15.2 s");
/// assert_eq!(words::to_count(93.7), "1 min 34 s");
/// assert_eq!(words::to_count(3720.0), "1 h 2 min");
/// ```
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
    if seconds > 0.0 && seconds < 0.4 {
        format!("{} s", time_figure(seconds))
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

/// Decimals of a distance in metres: to a centimetre under 10 m, a decimetre under 100 m, a metre beyond; close up, to a
/// millimetre.
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

fn metres(metres: f64, places: u8) -> String {
    if places == 0 {
        format!("{} m", count(metres))
    } else {
        format!("{} m", decimal(metres, places))
    }
}

/// A distance, given in millimetres, in metres; none is infinity: `0.353 m`, `1.87 m`, `12 m`, `infinity`.
///
/// ```
/// use exposure::words;
/// assert_eq!(words::distance(Some(1870.2)), "1.87 m");
/// assert_eq!(words::distance(None), "infinity");
/// ```
#[must_use]
pub fn distance(millimetres: Option<f64>) -> String {
    millimetres.map_or_else(
        || "infinity".to_owned(),
        |mm| metres(mm / 1000.0, places(mm / 1000.0)),
    )
}

/// What is sharp: `sharp from 1.9 m to 3.2 m`, `sharp from 5.23 m to infinity`.
///
/// A depth so shallow that both ends would read alike is given more decimals, to a tenth of a millimetre.
#[must_use]
pub fn depth(sharp: &Sharp) -> String {
    let near = sharp.near / 1000.0;
    let Some(far) = sharp.far.map(|far| far / 1000.0) else {
        return format!("sharp from {} to infinity", distance(Some(sharp.near)));
    };
    let more = (0..4)
        .find(|more| decimal(near, places(near) + more) != decimal(far, places(far) + more))
        .unwrap_or(4);
    format!(
        "sharp from {} to {}",
        metres(near, (places(near) + more).min(4)),
        metres(far, (places(far) + more).min(4)),
    )
}
