//! What goes in: the reading of the other device, the film and the camera.

use panel::{CameraView, FilmView, ReadingView};

use crate::{
    browser::slots::{Slots, places},
    field::{Choice, Field},
};

places! {
    NAMES {
        Light "reading-light", From "reading-from",
        Asks "reading-asks", AsksText "reading-asks-text", StepsIn "reading-steps-in",
        AgainstBox "film-against-box", HandLimitSource "hand-limit-source",
    }
}

/// The words around the fields.
pub(crate) struct Inputs(Slots);

impl Inputs {
    pub(crate) fn find() -> Self {
        Self(Slots::find("", NAMES))
    }

    pub(crate) fn show_reading(
        &self,
        [time, aperture, sensitivity]: [&Field; 3],
        reading: &ReadingView,
    ) {
        time.show(&reading.time);
        aperture.show(&reading.aperture);
        sensitivity.show(&reading.sensitivity);
        self.0.text(Place::Light, &reading.light);
        self.0.text(Place::From, &reading.from);
        let asks = reading.two_meanings.as_deref().unwrap_or_default();
        self.0.text(Place::AsksText, asks);
        self.0.flag(Place::Asks, "hidden", asks.is_empty());
        let switch = if reading.halves {
            "It steps in thirds"
        } else {
            "It steps in halves"
        };
        self.0.text(Place::StepsIn, switch);
    }

    pub(crate) fn show_film(&self, box_speed: &Field, kind: &Choice, film: &FilmView) {
        box_speed.show(&film.box_speed);
        kind.show(film.kinds.iter().copied(), film.kind);
        self.0.text(Place::AgainstBox, &film.against_box);
    }

    pub(crate) fn show_camera(&self, hand_limit: &Field, choice: &Choice, camera: &CameraView) {
        let all = camera.all.iter();
        choice.show(
            all.map(|(id, name)| (id.as_str(), name.as_str())),
            &camera.chosen,
        );
        hand_limit.show(&camera.hand_limit);
        self.0
            .text(Place::HandLimitSource, &camera.hand_limit_source);
    }
}
