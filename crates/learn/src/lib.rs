//! What teaches the trade of time, aperture and sensitivity: the price of each seen, asked, and put into lessons. Pure: no page, no
//! clock; chance comes from seeds, days arrive as values.
//!
//! # Map
//!
//! - [`effects`]: blur of what moves, of a shaken hand, of what is out of focus, and grain, as lengths on the film; [`film`]: the curve
//!   of a film and what becomes of a tone; [`published`]: tables that stand beside what is computed; [`chance`]: what luck alone brings
//! - [`scene`]: invented scenes, what a setting costs in one, and whether it can be seen at a size; [`render`]: their pixels;
//!   [`words`]: their sentences
//! - [`exercise`]: questions from a seed with exactly one right answer, the mistakes that lead elsewhere, and the verdict
//! - [`mastery`]: how sure one may be that a kind is known, when it comes up again, and the record of it
//! - [`lesson`]: steps that a teacher puts together, as a record and as a link; [`code`]: that link as a code to be photographed
//!
//! The first two lines are the crate `scenes`, which is shown here as if it were this one. Everything that is exposure comes from
//! [`exposure`]: marks, scales, cameras, the lens at its focus, rounding, and the words for
//! stops.
//!
//! # The same on every machine
//!
//! What is asked hangs on whole numbers alone, so that a seed gives the same question everywhere. Pictures are drawn with floating
//! point, whose last digits differ between machines; nothing hangs on those.

/// The examples of the document are compiled and run as tests.
#[cfg(doctest)]
#[doc = include_str!("../DESIGN.md")]
mod design {}

pub mod code;
mod day;
pub mod exercise;
pub mod lesson;
pub mod mastery;
pub mod words;

pub use day::Day;
/// What luck alone brings: [`exposure::chance`].
pub use exposure::chance;
pub use scenes::{Dice, effects, film, published, render, scene};
