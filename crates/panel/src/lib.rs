//! What the page knows and does, without a page.
//!
//! A [`State`] holds inputs only. A person's wish becomes an [`Intent`]; [`apply`] makes the next state of it or refuses
//! with a sentence; [`derive()`] works out everything that is shown, as a [`View`] of finished words and positions.
//!
//! ```
//! use panel::{Control, Intent, State, apply, derive};
//!
//! let state = State::default();
//! let (state, _) = apply(&state, &Intent::Reading(Control::Sensitivity, "160".to_owned())).unwrap();
//! let (state, _) = apply(&state, &Intent::Reading(Control::Time, "1/60".to_owned())).unwrap();
//! let (state, _) = apply(&state, &Intent::Reading(Control::Aperture, "5.6".to_owned())).unwrap();
//! let (state, _) = apply(&state, &Intent::Type(Control::Time, "1/60".to_owned())).unwrap();
//! let (state, _) = apply(&state, &Intent::Hold(Control::Time, true)).unwrap();
//! let (state, _) = apply(&state, &Intent::Type(Control::Sensitivity, "80".to_owned())).unwrap();
//! assert_eq!(derive(&state).dials[1].value, "f/4");
//! ```
//!
//! This crate knows nothing of a browser, a clock or a framework, and holds no formula of its own: numbers and words
//! come from [`exposure`].

mod apply;
mod choices;
pub mod correct;
mod derive;
pub mod dial;
pub mod drawn;
mod equipment;
pub mod handover;
mod intent;
pub mod kept;
pub mod light;
mod lines;
pub mod link;
pub mod loaded;
pub mod message;
pub mod recent;
mod sentence;
pub mod set_up;
mod state;
pub mod store;
pub mod timer;
mod view;

pub use apply::{apply, apply_on_dial, apply_set_up};
pub use derive::derive;
pub use intent::{Intent, Nudge, Outcome, Refusal, Save};
pub use state::State;
pub use view::{
    AxisView, BracketView, CameraForm, CameraView, Control, DialView, Face, FilmView, FrameView,
    Lean, LedgerLine, LedgerView, Notch, PairView, Part, ReadingView, View,
};
