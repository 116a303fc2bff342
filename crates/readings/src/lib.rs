//! Every honest way to get a reading of the light: no clock, no browser, no camera; bytes and figures arrive as values.
//!
//! Each way ends in a [`Found`]: standard marks nearest to the light, a [`Line`] for everything by which the light differs
//! from what they say, where it comes from, by which [`Method`], and how far it may be off.
//!
//! ```
//! use readings::typed::{Typed, Unit};
//!
//! let found = Typed { text: "81920", unit: Unit::Lux, iso: None }.found(&Default::default())?;
//! assert!((found.light().get() - 15.0).abs() < 1e-9);
//! assert_eq!(found.sentence(), "1/125 f/16 ISO 100: EV 15 at ISO 100 (typed: 81920 lx, C 250)");
//! # Ok::<(), readings::Error>(())
//! ```
//!
//! # The sign of a line
//!
//! A line says by how much the film would get **more light than wanted** if the marks were set as they are.
//! The light of a reading is therefore the light of its marks, and one stop brighter for each stop of such an effect.
//!
//! # Map
//!
//! [`photo`]: a photo's metadata · [`picture`]: a place in a picture · [`tonal`]: the tones of a whole picture · [`live`]: the live camera · [`typed`]: EV, cd/m², lx ·
//! [`tones`]: placing tones on zones · [`scenes`]: tables for scenes without a meter · [`sky`]: sun and moon ·
//! [`agree`]: two readings of the same light
//!
//! # Out of scope
//!
//! Choosing files, cameras, clocks and places are the page's; filters and whatever else is between lens and film is
//! `exposure`'s.

pub mod agree;
mod found;
pub mod live;
mod method;
pub mod photo;
pub mod picture;
pub mod scenes;
pub mod sky;
pub mod tonal;
pub mod tones;
pub mod typed;

/// The design document of this crate, compiled so that its example stays true.
#[cfg(doctest)]
#[doc = include_str!("../DESIGN.md")]
mod design {}

pub use exposure::Refused as Error;
pub use found::{Found, LIGHT, LONGEST, Line, LineKind};
pub use method::Method;
