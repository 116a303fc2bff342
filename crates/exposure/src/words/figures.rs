//! How many figures are shown: one rule for every number of the page.
//!
//! - What is engraved, typed or printed on a device is shown as it is: [`decimal`].
//! - What was worked out and is to be set, measured or compared has three figures: [`figures`]. That is within a fiftieth of a
//!   stop even for an f-number, so that it needs no "about".
//! - What was worked out and only says how much something is has two figures, and "about": [`rough`].
//! - A difference in stops is said in sixths, and in hundredths where it has to add up or be told from another.
//!
//! The design document has the table of all quantities; a test holds it over the range of each.

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
    printed(scaled, places, "−")
}

/// A number as records keep it: with at most `places` decimals (twelve at most), to the last of them, without trailing zeros and
/// with a plain sign. It is read back as the same number as long as it has fifteen figures or fewer.
///
/// ```
/// assert_eq!(exposure::words::exact(-0.746, 12), "-0.746");
/// assert_eq!(exposure::words::exact(30.0, 12), "30");
/// ```
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    reason = "at most a hundred thousand units of a second, or ten million millimetres"
)]
pub fn exact(number: f64, places: u8) -> String {
    let places = places.min(12);
    #[expect(clippy::cast_precision_loss, reason = "a power of ten up to 10^12")]
    let unit = 10_i64.pow(u32::from(places)) as f64;
    printed((number * unit).round() as i64, places, "-")
}

/// The one place that makes decimals: a whole number of units of the last one.
fn printed(scaled: i64, places: u8, minus: &str) -> String {
    let unit = 10_u64.pow(u32::from(places));
    let sign = if scaled < 0 { minus } else { "" };
    let size = scaled.unsigned_abs();
    let (whole, rest) = (size / unit, size % unit);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let digits = format!("{rest:0width$}", width = usize::from(places));
    format!("{sign}{whole}.{}", digits.trim_end_matches('0'))
}

/// A whole number with thin groups of three: `10 240`.
#[must_use]
pub fn count(number: f64) -> String {
    let whole = decimal(number, 0);
    let digits = whole.trim_start_matches('−');
    if digits.len() < 5 {
        return whole;
    }
    let mut out = whole[..whole.len() - digits.len()].to_owned();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(c);
    }
    out
}

/// The nearest whole number; a tie but for arithmetic noise goes away from zero, so that it reads the same after a reload.
pub(crate) fn whole(number: f64) -> f64 {
    (number + 1e-6_f64.copysign(number)).round()
}

/// A number that was worked out and is to be used: three figures, without trailing zeros; six decimals at most, and thin groups
/// of three from five digits on.
///
/// ```
/// use exposure::words::figures;
/// assert_eq!(figures(28.2843), "28.3");
/// assert_eq!(figures(0.0288), "0.0288");
/// ```
#[must_use]
pub fn figures(number: f64) -> String {
    grouped(number, 3)
}

/// A number that only says how much something is: two figures, as for [`figures`]. What calls it says "about".
///
/// ```
/// use exposure::words::rough;
/// assert_eq!(rough(65_536.0), "66\u{202f}000");
/// ```
#[must_use]
pub fn rough(number: f64) -> String {
    grouped(number, 2)
}

fn grouped(number: f64, figures: u8) -> String {
    let (number, places) = rounded(number, figures);
    if places == 0 {
        count(number)
    } else {
        decimal(number, places)
    }
}

/// A number without more figures than wanted before its point, and the decimals that show as many behind it.
pub(super) fn rounded(number: f64, figures: u8) -> (f64, u8) {
    let full = (1..figures).fold(1.0, |full, _| full * 10.0);
    let (mut unit, mut places, mut shown) = (1.0, 0, number.abs());
    while shown / unit >= 10.0 * full && unit < 1e15 {
        unit *= 10.0;
    }
    if unit > 1.0 {
        return (whole(number / unit) * unit, 0);
    }
    while shown < full && places < 6 {
        shown *= 10.0;
        places += 1;
    }
    (number, places)
}
