//! What goes in: the reading of the other device, the film and the camera.

use std::cell::Cell;

use panel::{CameraView, FilmView, ReadingView};

use crate::{
    browser::slots::{Slots, What, places},
    field::{Choice, Field},
};

places! {
    NAMES {
        Light "reading-light", From "reading-from",
        Asks "reading-asks", AsksText "reading-asks-text", StepsIn "reading-steps-in",
        ByDials "by-dials", Dials "dials",
        AgainstBox "film-against-box", FilmLine "film-line", FilmOpens "film-opens", CameraLine "camera-line", HandLimitSource "hand-limit-source",
    }
}

/// The words around the fields.
pub(crate) struct Inputs {
    slots: Slots,
    film_is_open: Cell<bool>,
}

impl Inputs {
    pub(crate) fn find() -> Self {
        Self {
            slots: Slots::find("", NAMES),
            film_is_open: Cell::new(false),
        }
    }

    pub(crate) fn show_reading(
        &self,
        [time, aperture, sensitivity]: [&Field; 3],
        reading: &ReadingView,
    ) {
        time.show(&reading.time);
        aperture.show(&reading.aperture);
        sensitivity.show(&reading.sensitivity);
        self.slots.text(Place::Light, &reading.light);
        self.slots.text(Place::From, &reading.from);
        let asks = reading.two_meanings.as_deref().unwrap_or_default();
        self.slots.text(Place::AsksText, asks);
        self.slots.flag(Place::Asks, "hidden", asks.is_empty());
        let switch = if reading.halves {
            "It steps in thirds"
        } else {
            "It steps in halves"
        };
        self.slots.text(Place::StepsIn, switch);
    }

    /// Whether the dials are the reading device.
    pub(crate) fn show_whose(&self, by_dials: bool) {
        let pressed = if by_dials { "true" } else { "false" };
        self.slots
            .put(Place::ByDials, What::Attribute("aria-pressed"), pressed);
        self.slots.flag(Place::Dials, "data-reads", by_dials);
    }

    /// Opens the line on film and camera, or closes it.
    pub(crate) fn open_film(&self) {
        let is_open = self.film_is_open.replace(!self.film_is_open.get());
        let open = if is_open { "false" } else { "true" };
        self.slots
            .put(Place::FilmOpens, What::Attribute("aria-expanded"), open);
    }

    pub(crate) fn show_film(&self, box_speed: &Field, kind: &Choice, film: &FilmView) {
        box_speed.show(&film.box_speed);
        kind.show(film.kinds.iter().copied(), film.kind);
        self.slots.text(Place::AgainstBox, &film.against_box);
        self.slots.text(Place::FilmLine, &film.line);
    }

    pub(crate) fn show_camera(&self, hand_limit: &Field, choice: &Choice, camera: &CameraView) {
        let all = camera.all.iter();
        choice.show(
            all.map(|(id, name)| (id.as_str(), name.as_str())),
            &camera.chosen,
        );
        let chosen = camera.all.iter().find(|(id, _)| *id == camera.chosen);
        let name = chosen.map_or("", |(_, name)| name);
        self.slots.text(Place::CameraLine, name);
        hand_limit.show(&camera.hand_limit);
        self.slots
            .text(Place::HandLimitSource, &camera.hand_limit_source);
    }
}
