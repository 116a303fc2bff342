//! Photographic exposure as pure calculation: no clock, no input or output, no dependency.
//!
//! # The one equation
//!
//! Every control has a [`Place`]: a position in stops that grows with brightness.
//! For time it is −Tv, for aperture −Av, for sensitivity Sv − 5 (so that ISO 100 stands at zero).
//! With three places read by one device and three places set on another,
//!
//! ```text
//! difference = Σ (place set − place read)          + is more light than the reading asks for
//! ```
//!
//! which is `EV_film − (Tv + Av)` with `EV_film = EV_reading + log2(EI / ISO_reading)`, written so that all three
//! controls look alike.
//! The relations behind it are those of APEX: Ev = Av + Tv, Av = log2(N²), Tv = log2(1/t), Sv = log2(0.32 · S).
//!
//! ```
//! use exposure::{Control, Mark, Reading, Steps};
//!
//! let steps = Steps::Third;
//! let reading = Reading::new(
//!     Mark::parse(Control::Time, "1/60", steps)?,
//!     Mark::parse(Control::Aperture, "f/5.6", steps)?,
//!     Mark::parse(Control::Sensitivity, "160", steps)?,
//! )?;
//! // Film rated 80, time kept: the aperture has to open one stop.
//! let set = [
//!     Mark::parse(Control::Time, "1/60", steps)?,
//!     Mark::parse(Control::Aperture, "f/4", steps)?,
//!     Mark::parse(Control::Sensitivity, "80", steps)?,
//! ];
//! assert!(reading.difference(&set).is_even());
//! # Ok::<(), exposure::Error>(())
//! ```
//!
//! # Conventions
//!
//! - [`Stops`] is a difference; positive is **more light on the film**.
//! - A [`Mark`] keeps three numbers apart: what is engraved, the exact value of the standard series that it stands for,
//!   and what was measured.
//! - Marks of the standard series stand for the exact series value (1/125 is 2⁻⁷ s, f/11 is 2^3.5, ISO 64 is
//!   100·2^(−2/3)). Anything else is taken literally.
//! - Choosing a mark is one function, [`Scale::choose`], with a written tie rule, and it returns the residual with the mark.
//! - The end of a scale is data ([`Solution::shortfall`], [`Frame::end`]), not an error.
//!
//! # Map
//!
//! [`Stops`], [`Doubt`] · levels [`Ev`] [`Tv`] [`Av`] [`Sv`] [`Bv`] · [`Mark`], [`Steps`] and the series · [`Scale`] · [`Camera`] ·
//! [`Reading`], [`Asked`], [`light`] · [`solve`] · [`bracket`] · [`pairs`] · [`Ledger`] · [`words`] · [`range`] · [`Error`]
//!
//! Where values lie on a line that is drawn: [`Axis`]. What luck alone brings: [`chance`]. Tones on a screen, as light and as seen: [`tone`].
//!
//! Corrections between lens and film: [`filter`] · [`extension`] · [`transmission`] · [`shutter`] · [`LongTimes`] (last, on the
//! time alone) · [`DepthOfField`], [`Circle`] · [`flash`]
//!
//! # Out of scope
//!
//! Lenses whose pupils differ in size, and the course of a shutter's blades, beyond a published rule for small stops.
//! Dials, people, storage and browsers.

/// The examples of the document are compiled and run as tests.
#[cfg(doctest)]
#[doc = include_str!("../DESIGN.md")]
mod design {}

mod axis;
mod bracket;
mod camera;
pub mod chance;
mod control;
mod depth;
mod doubt;
mod effect;
mod error;
pub mod extension;
pub mod filter;
pub mod flash;
mod ledger;
mod level;
pub mod light;
mod long;
mod mark;
pub mod meter;
mod pairs;
mod power;
pub mod range;
mod reading;
mod scale;
mod series;
pub mod shutter;
mod solve;
mod speed;
mod stops;
pub mod tone;
pub mod transmission;
pub mod words;

pub use axis::Axis;
pub use bracket::{Bracket, BracketStep, Frame, Order, bracket};
pub use camera::{Camera, KINDS, Kind};
pub use control::Control;
pub use depth::{Circle, DepthOfField, FORMATS, Format, Sharp, WAVELENGTH, diffraction};
pub use doubt::{Compared, Doubt};
pub use effect::{Asked, Effect};
pub use error::{Error, Refused};
pub use ledger::Ledger;
pub use level::{Av, Bv, Ev, Place, Sv, Tv};
pub use long::{Counted, Law, LongRule, LongTimes, PUBLISHED_LONG, PublishedLong};
pub use mark::{Mark, Steps};
pub use pairs::{Pair, pairs};
pub use power::of_two;
pub use reading::Reading;
pub use scale::{Choice, End, FilmKind, Judged, Prefer, Scale};
pub use series::{Twelfths, two_meanings};
pub use solve::{Problem, Solution, solve};
pub use speed::{BoxSpeed, ExposureIndex, MeterSpeed, din_from_iso, iso_from_din};
pub use stops::Stops;
