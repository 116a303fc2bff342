//! What goes in: the reading of the other device, the film and the camera.

use leptos::prelude::*;
use panel::{Control, Intent};

use crate::{
    field::{Choice, TextField, fixed},
    piece::{button, never, notice, of, paragraph, span, title},
    store::{Dispatcher, Parts},
};

/// The block of fields above the dials.
#[component]
pub(crate) fn Inputs(
    /// What is shown.
    parts: Parts,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let (reading, film, camera) = (parts.reading, parts.film, parts.camera);
    let switch = move || {
        let halves = reading.with_untracked(|reading| reading.halves);
        dispatcher.send(&Intent::ReadingHalves(!halves));
    };
    let switch_to = |reading: &panel::ReadingView| {
        let to = if reading.halves { "thirds" } else { "halves" };
        format!("It steps in {to}")
    };
    view! {
        <section class="inputs">
            <div class="reading" role="group" aria-labelledby="reading-title">
                <div class="line">
                    <h2 id="reading-title">"Reading"</h2>
                    {span("aside", of(reading, |reading| reading.light.clone()))}
                    {button("quiet", "Find the light", never(), move || dispatcher.light("readings"))}
                </div>
                <div class="fields">
                    <TextField
                        id="reading-time"
                        error_id="reading-time-error"
                        label="Time"
                        name="Reading time"
                        keyboard="text"
                        text=of(reading, |reading| reading.time.clone())
                        make=|text| Intent::Reading(Control::Time, text)
                        dispatcher
                    />
                    <TextField
                        id="reading-aperture"
                        error_id="reading-aperture-error"
                        label="Aperture"
                        name="Reading aperture"
                        keyboard="decimal"
                        text=of(reading, |reading| reading.aperture.clone())
                        make=|text| Intent::Reading(Control::Aperture, text)
                        dispatcher
                    />
                    <TextField
                        id="reading-sensitivity"
                        error_id="reading-sensitivity-error"
                        label="Sensitivity"
                        name="Reading sensitivity"
                        keyboard="decimal"
                        text=of(reading, |reading| reading.sensitivity.clone())
                        make=|text| Intent::Reading(Control::Sensitivity, text)
                        dispatcher
                    />
                </div>
                {paragraph("reason from", of(reading, |reading| reading.from.clone()))}
                {notice(
                    of(reading, |reading| reading.two_meanings.clone().unwrap_or_default()),
                    of(reading, switch_to),
                    switch,
                )}
            </div>
            <div class="film" role="group" aria-labelledby="film-title">
                {title("film-title", "Film and camera", of(film, |film| film.against_box.clone()))}
                <div class="fields">
                    <TextField
                        id="box-speed"
                        error_id="box-speed-error"
                        label="Box speed"
                        name="Box speed"
                        keyboard="decimal"
                        text=of(film, |film| film.box_speed.clone())
                        make=Intent::BoxSpeed
                        dispatcher
                    />
                    <Choice
                        id="film-type"
                        label="Film type"
                        options=of(film, |film| fixed(film.kinds))
                        chosen=of(film, |film| film.kind.to_owned())
                        make=Intent::Film
                        dispatcher
                    />
                    <Choice
                        id="camera"
                        label="Camera"
                        options=of(camera, |camera| camera.all.clone())
                        chosen=of(camera, |camera| camera.chosen.clone())
                        make=Intent::Camera
                        dispatcher
                    />
                </div>
            </div>
        </section>
    }
}
