//! The only text for people about marks and stops: reading what they type, and saying what a value is.
//!
//! Rounding to words happens here and is visible in the words: a difference is given to the nearest sixth of a stop, with
//! "about" where that is not exact, and what is under a sixth is called that rather than nothing. How many figures any other
//! number has is one rule as well: the design document has its table.

mod corrections;
mod figures;
mod parse;
mod print;

pub use corrections::{
    bulb, close_up, filter, flash_power, long_caution, long_table, long_times, parse_distance,
    parse_figure, parse_length, parse_long_table, parse_powers, parse_seconds, parse_stops,
    parse_t_numbers, shutter_error, tolerance,
};
pub(crate) use figures::whole;
pub use figures::{count, decimal, exact, figures, rough};
pub use parse::{parse_number, plain_decimal};
pub use print::{
    depth, difference, distance, ei, f_number, factor, figure, figured, give_or_take, hundredths,
    in_brackets, lean, light, light_in_units, noun, number, of_a_stop, part, spoken,
    standard_speed, stops, to_count, value, wanted_and_given,
};

/// A share in hundredths: `nothing`, `less than 1 %`, `12 %`.
///
/// ```
/// use exposure::words::percent;
/// assert_eq!([0.0, 0.004, 0.123].map(percent), ["nothing", "less than 1 %", "12 %"]);
/// ```
#[must_use]
pub fn percent(share: f64) -> String {
    if share <= 0.0 {
        "nothing".to_owned()
    } else if share < 0.01 {
        "less than 1 %".to_owned()
    } else {
        format!("{} %", decimal(share * 100.0, 0))
    }
}
