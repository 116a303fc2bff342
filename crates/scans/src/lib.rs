//! Scans measured, what a few choices show, and films tested. Pure: no page, no clock; pixels and figures arrive as values.
//!
//! # Map
//!
//! - [`frame`]: one picture: clipped shares, tones, noise, casts, and a small grid that is kept; its record
//! - [`register`]: by how much one picture is moved against another; [`pair`]: how much more light one got
//! - [`roll`]: whether a roll was scanned with one setting, frames that contradict the log, and how files lie along it
//! - [`desk`]: a whole roll asked and answered at once, and the text in which two programs hand that to each other
//! - [`sure`]: what a few comparisons and a few liked offsets show, and how sure that is
//! - [`speed`]: a film's curve, and what can be read off it; [`typed`]: a test of it as people type it
//!
//! Tones come from [`exposure::tone`], luck from [`exposure::chance`], words for numbers from [`exposure::words`].
//!
//! # What a measurement assumes
//!
//! Every exposure that is measured from a scan takes the scan for plain sRGB; the words say so, and the log is preferred.

/// The examples of the document are compiled and run as tests.
#[cfg(doctest)]
#[doc = include_str!("../DESIGN.md")]
mod design {}

pub mod desk;
pub mod frame;
pub mod noise;
pub mod pair;
mod record;
pub mod register;
pub mod roll;
pub mod speed;
pub mod stats;
pub mod sure;
pub mod typed;

pub use exposure::Refused as Error;
pub use frame::{Grid, Measured, Pixels};
