//! The device's clock and calendar.

/// Year, month, day, hour and minute, as the device's own clock shows them.
pub(crate) fn now() -> [u16; 5] {
    let now = js_sys::Date::new_0();
    // OK to fall back on nought: a date of the browser is in range for all of these.
    let short = |number: u32| u16::try_from(number).unwrap_or_default();
    [
        short(now.get_full_year()),
        short(now.get_month() + 1),
        short(now.get_date()),
        short(now.get_hours()),
        short(now.get_minutes()),
    ]
}

/// Today, in days since 1970-01-01.
pub(crate) fn day() -> i64 {
    i64::try_from(moment() / 86_400_000).unwrap_or_default()
}

/// A word that no other moment and no other tab has.
pub(crate) fn stamp() -> String {
    // Both as whole numbers: no page prints a floating-point number.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "milliseconds since 1970, and a number below a thousand million"
    )]
    let (moment, chance) = (
        js_sys::Date::now() as u64,
        (js_sys::Math::random() * 1e9) as u32,
    );
    format!("{moment}-{chance}")
}

/// Milliseconds since 1970, as the device's own clock has them.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "whole milliseconds since 1970; a clock before that reads nought"
)]
pub(crate) fn moment() -> u64 {
    js_sys::Date::now() as u64
}

/// How far the device's own clock is ahead of UTC at a moment, both in seconds; the moment since the beginning of 1970 (UTC).
pub(crate) fn lead(seconds: f64) -> f64 {
    let date = js_sys::Date::new(&(seconds * 1000.0).into());
    // Not by the browser's own difference, which is in whole minutes: before there were zones, clocks went by the sun.
    let same = js_sys::Date::new(&0.0.into());
    let small = |number: u32| i32::try_from(number).unwrap_or_default();
    same.set_utc_full_year_with_month_date(
        date.get_full_year(),
        small(date.get_month()),
        small(date.get_date()),
    );
    same.set_utc_hours(date.get_hours());
    same.set_utc_minutes(date.get_minutes());
    same.set_utc_seconds(date.get_seconds());
    same.get_time() / 1000.0 - seconds.floor()
}

/// A number that nobody knows beforehand.
#[cfg(feature = "parts")]
pub(crate) fn chance() -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "it lies between nought and one, and the product within the range"
    )]
    let number = (js_sys::Math::random() * f64::from(u32::MAX)) as u32;
    number
}
