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

/// Seconds since the beginning of 1970 (UTC) of a moment by the device's own clock: year, month, day, hour and minute.
pub(crate) fn seconds_of(moment: [u16; 5]) -> f64 {
    let [year, month, day, hour, minute] = moment.map(i32::from);
    let date = js_sys::Date::new_with_year_month_day_hr_min(
        u32::try_from(year).unwrap_or_default(),
        month - 1,
        day,
        hour,
        minute,
    );
    date.get_time() / 1000.0
}
