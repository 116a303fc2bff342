//! What goes in: the reading of the other device, the film and the camera.

use leptos::prelude::*;
use panel::{Control, Intent};

use crate::{
    field::{Choice, TextField, fixed},
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
    let light = Memo::new(move |_| reading.with(|reading| reading.light.clone()));
    let question = Memo::new(move |_| reading.with(|reading| reading.two_meanings.clone()));
    let halves = Memo::new(move |_| reading.with(|reading| reading.halves));
    let rated = Memo::new(move |_| film.with(|film| film.against_box.clone()));
    let switch = move |_| {
        dispatcher.send(&Intent::ReadingHalves(!halves.get_untracked()));
    };
    view! {
        <section class="inputs">
            <div class="reading" role="group" aria-labelledby="reading-title">
                <div class="line">
                    <h2 id="reading-title">"Reading"</h2>
                    <span class="aside">{light}</span>
                </div>
                <div class="fields">
                    <TextField
                        id="reading-time"
                        label="Time"
                        name="Reading time"
                        text=Signal::derive(move || reading.with(|reading| reading.time.clone()))
                        make=|text| Intent::Reading(Control::Time, text)
                        dispatcher
                    />
                    <TextField
                        id="reading-aperture"
                        label="Aperture"
                        name="Reading aperture"
                        keyboard="decimal"
                        text=Signal::derive(move || reading.with(|reading| reading.aperture.clone()))
                        make=|text| Intent::Reading(Control::Aperture, text)
                        dispatcher
                    />
                    <TextField
                        id="reading-sensitivity"
                        label="Sensitivity"
                        name="Reading sensitivity"
                        keyboard="decimal"
                        text=Signal::derive(move || {
                            reading.with(|reading| reading.sensitivity.clone())
                        })
                        make=|text| Intent::Reading(Control::Sensitivity, text)
                        dispatcher
                    />
                </div>
                {move || {
                    question
                        .get()
                        .map(|sentence| {
                            view! {
                                <p class="notice">
                                    <span>{sentence}</span>
                                    <button type="button" on:click=switch>
                                        {move || {
                                            if halves.get() {
                                                "It steps in thirds"
                                            } else {
                                                "It steps in halves"
                                            }
                                        }}
                                    </button>
                                </p>
                            }
                        })
                }}
            </div>
            <div class="film" role="group" aria-labelledby="film-title">
                <div class="line">
                    <h2 id="film-title">"Film and camera"</h2>
                    <span class="aside">{rated}</span>
                </div>
                <div class="fields">
                    <TextField
                        id="box-speed"
                        label="Box speed"
                        keyboard="decimal"
                        text=Signal::derive(move || film.with(|film| film.box_speed.clone()))
                        make=Intent::BoxSpeed
                        dispatcher
                    />
                    <Choice
                        id="film-type"
                        label="Film type"
                        options=Signal::derive(move || film.with(|film| fixed(film.kinds)))
                        chosen=Signal::derive(move || film.with(|film| film.kind.to_owned()))
                        make=Intent::Film
                        dispatcher
                    />
                    <Choice
                        id="camera"
                        label="Camera"
                        options=Memo::new(move |_| camera.with(|camera| camera.all.clone()))
                        chosen=Signal::derive(move || camera.with(|camera| camera.chosen.clone()))
                        make=Intent::Camera
                        dispatcher
                    />
                </div>
            </div>
        </section>
    }
}
