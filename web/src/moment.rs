//! What time it is, as the device has it.

use book::{Date, Moment};

use crate::browser::clock;

const CLOCK: &str = "The clock of this device is wrong: it shows a year that is not between 1880 and 2199. Set it before you log \
     anything that has a day or a time; nothing is changed";

/// Today, as the device has it.
pub(crate) fn today() -> Date {
    now().date()
}

/// This minute, as the device has it; where its clock is wrong, a day that is only shown, for [`Room::ask`] keeps none then.
pub(crate) fn now() -> Moment {
    clock_says().unwrap_or_else(|_| Moment::parse("2000-01-01T00:00").expect("a valid minute"))
}

/// This minute, or what is wrong with the device's clock.
pub(crate) fn clock_says() -> Result<Moment, String> {
    let [year, month, day, hour, minute] = clock::now();
    let short = |number: u16| u8::try_from(number).unwrap_or_default();
    // A year that no number here can hold is nought, and no film is that old.
    Date::new(year, short(month), short(day))
        .and_then(|date| Moment::new(date, short(hour), short(minute)))
        .map_err(|_| CLOCK.to_owned())
}
