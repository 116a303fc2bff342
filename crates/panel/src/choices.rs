//! What can be chosen, and the key of each choice, by which records, links and the page name it.

use exposure::{BracketStep, Control, FilmKind, Order, Prefer};

/// Film types.
pub(crate) const FILMS: [(&str, FilmKind); 3] = [
    ("colour-negative", FilmKind::ColourNegative),
    ("black-and-white", FilmKind::BlackAndWhite),
    ("slide", FilmKind::Reversal),
];
/// What may be done where the camera has no mark at the exact value.
pub(crate) const ROUNDINGS: [(&str, Option<Prefer>); 3] = [
    ("film", None),
    ("more", Some(Prefer::MoreLight)),
    ("nearest", Some(Prefer::Nearest)),
];
/// Steps of the bracket.
pub(crate) const STEPS: [(&str, BracketStep); 4] = [
    ("third", BracketStep::Third),
    ("half", BracketStep::Half),
    ("one", BracketStep::One),
    ("two", BracketStep::Two),
];
/// Shooting orders.
pub(crate) const ORDERS: [(&str, Order); 3] = [
    ("rising", Order::Rising),
    ("falling", Order::Falling),
    ("base", Order::BaseFirst),
];
/// The dials that a bracket is made by.
pub(crate) const BRACKET_BY: [(&str, Control); 2] =
    [("time", Control::Time), ("aperture", Control::Aperture)];
/// The dials.
pub(crate) const CONTROLS: [(&str, Control); 3] = [
    ("time", Control::Time),
    ("aperture", Control::Aperture),
    ("sensitivity", Control::Sensitivity),
];
/// Keys of the themes; `auto` follows the device.
pub(crate) const THEMES: [&str; 4] = ["auto", "sun", "dusk", "darkroom"];

/// The key of a value; the first one of a value that is in no table.
pub(crate) fn key_of<T: PartialEq>(table: &[(&'static str, T)], value: &T) -> &'static str {
    // OK to fall back on the first: every value that is kept has a row.
    table
        .iter()
        .find(|(_, v)| v == value)
        .map_or(table[0].0, |(key, _)| key)
}
