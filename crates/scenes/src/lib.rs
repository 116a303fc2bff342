//! Invented scenes: what a setting costs in one, as lengths on the film, and their pixels. Pure: no page, no clock; chance comes
//! from seeds.
//!
//! A crate of its own, so that pixels are made fast and what is said of them stays small: the page optimises this one for speed.
//!
//! - [`effects`]: blur of what moves, of a shaken hand, of what is out of focus, and grain; [`film`]: the curve of a film and what
//!   becomes of a tone; [`published`]: tables that stand beside what is computed
//! - [`scene`]: the scenes, and whether an effect can be seen at a size; [`render`]: their pixels
//!
//! The reasons are in the design document of `learn`, which has the words for all of it.

mod dice;
pub mod effects;
pub mod film;
pub mod published;
pub mod render;
pub mod scene;

pub use dice::Dice;
