//! The only text for people about marks and stops: reading what they type, and saying what a value is.
//!
//! Rounding to words happens here and is visible in the words: a difference is given to the nearest sixth of a stop, with
//! "about" where that is not exact, and what is under a sixth is called that rather than nothing.

mod corrections;
mod parse;
mod print;

pub use corrections::{
    beside_print, bulb, close_up, filter, long_caution, long_table, long_times, parse_distance,
    parse_figure, parse_length, parse_long_table, parse_seconds, parse_stops, shutter_error,
    tolerance,
};
pub use parse::{parse_number, plain_decimal};
pub use print::{
    count, decimal, depth, difference, distance, ei, factor, figure, give_or_take, lean, light,
    light_in_units, noun, of_a_stop, parts, spoken, stops, to_count, value,
};
