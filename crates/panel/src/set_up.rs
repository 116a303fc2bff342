//! What is set once, as a page beside the dial shows it: how marks are rounded, and the camera.
//!
//! ```
//! use panel::{State, set_up};
//!
//! let chosen = set_up::camera(&State::default());
//! assert!(!chosen.own);
//! assert!(chosen.described.contains("to 1/1000"), "{}", chosen.described);
//! ```

use exposure::{Mark, Scale, words};

use crate::{
    choices::{self, key_of},
    state::State,
    view::CameraForm,
};

/// What may be done where the camera has no mark at the exact value: keys and names.
pub const ROUNDINGS: [(&str, &str); 3] = [
    ("film", "As the film type asks"),
    ("more", "Always towards more light"),
    ("nearest", "Always to the nearest mark"),
];

/// Which one of [`ROUNDINGS`] is chosen.
#[must_use]
pub fn rounding(state: &State) -> String {
    key_of(&choices::ROUNDINGS, &state.rounding).to_owned()
}

/// The chosen camera.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen {
    /// Its id.
    pub id: String,
    /// As a person types it: what "change" or "copy" starts from.
    pub form: CameraForm,
    /// One line that describes it.
    pub described: String,
    /// Whether it is the user's own (and so may be changed and removed).
    pub own: bool,
}

/// The chosen camera as a form begins with it.
#[must_use]
pub fn camera(state: &State) -> Chosen {
    let equipment = &state.equipment;
    let (times, apertures) = (equipment.camera.times(), equipment.camera.apertures());
    let hand = if times.marks().iter().any(Mark::by_hand) {
        ", longer times by hand on B"
    } else {
        ""
    };
    let ring = if apertures.is_stepless() {
        ", ring without clicks"
    } else {
        ""
    };
    Chosen {
        id: equipment.id.clone(),
        form: equipment.form.clone(),
        described: format!("{}{hand}; {}{ring}", ends(times), ends(apertures)),
        own: state.own.iter().any(|own| own.id == equipment.id),
    }
}

/// The two ends of a scale in words.
fn ends(scale: &Scale) -> String {
    let (bright, dark) = (
        words::value(scale.brightest()),
        words::value(scale.darkest()),
    );
    if bright == dark {
        bright
    } else {
        format!("{bright} to {dark}")
    }
}
