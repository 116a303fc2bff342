//! The shutter: what the camera's times really are, and leaf shutters at small stops.

use leptos::prelude::*;
use panel::{correct, light::LineKind};

use super::{about, field, outcome, start, there};
use crate::{
    form::{choice, fixed},
    light::room::Room,
    piece::{button, complaint, flag, paragraph, text},
};

pub(super) fn page(room: Room) -> AnyView {
    let (mark, how) = (start(""), start("times"));
    let (times, pictures, per_second) = (start(""), start(""), start("240"));
    let answer = Signal::derive(move || {
        let how = how.get();
        let figures = if how == "video" { pictures } else { times };
        room.with(|state| {
            correct::measured(state, &mark.get(), &how, &figures.get(), &per_second.get())
        })
    });
    let refused = RwSignal::new(String::new());
    let into_camera = move || {
        let how = how.get_untracked();
        let figures = if how == "video" { pictures } else { times };
        let intent = room.once(|state| {
            correct::into_camera(
                state,
                &mark.get_untracked(),
                &how,
                &figures.get_untracked(),
                &per_second.get_untracked(),
            )
        });
        let kept = intent
            // OK to say nothing: the button waits until the fields are right.
            .map_err(|_| String::new())
            .and_then(|intent| room.keep_camera(&intent));
        refused.set(kept.err().unwrap_or_default());
    };
    let leaf = Signal::derive(move || room.with(correct::leaf));
    let not_measured = flag(move || answer.with(Result::is_err));
    let measured = move || {
        let rows = room.with(correct::measured_times);
        rows.into_iter()
            .map(|row| view! { <li>{row}</li> })
            .collect_view()
    };
    let camera = text(move || {
        room.with(|state| {
            if correct::measured_times(state).is_empty() {
                format!("No time of {} was measured yet.", state.camera_name())
            } else {
                format!("{}, as the dials count it:", state.camera_name())
            }
        })
    });
    let is_not = move |key: &'static str| flag(move || how.with(|how| how != key));
    view! {
        {there(room, LineKind::Shutter)}
        <h3>"Measured times"</h3>
        {paragraph("reason", camera)}
        <ul class="list" aria-label="Measured times of the camera">
            {measured}
        </ul>
        <div class="form">
            {field(answer, "shutter-mark", "Mark on the shutter", "As engraved: 1/250", mark)}
            {choice(
                "shutter-how",
                "Measured",
                fixed([("times", "As a time"), ("video", "In a slow-motion video")]),
                how,
            )}
            <div hidden=is_not("times")>
                {field(answer, "shutter-times", "Measured times", "One or several: 1/160 1/155 1/170", times)}
            </div>
            <div hidden=is_not("video")>
                {field(
                    answer,
                    "shutter-pictures",
                    "Pictures that show it open",
                    "A half-lit one is a half: 2.5",
                    pictures,
                )}
            </div>
            <div hidden=is_not("video")>
                {field(
                    answer,
                    "shutter-rate",
                    "Pictures per second, as recorded",
                    "Not as played: slow motion is often 120 or 240.",
                    per_second,
                )}
            </div>
        </div>
        {outcome(room, "shutter-error", "Put it on the ledger", answer, None)}
        {complaint("into-camera-error", refused.into())}
        <div class="row">{button("", "Put it into the camera", not_measured, into_camera)}</div>
        <h3>"Leaf shutter at a small stop"</h3>
        {about(
            "The blades of a leaf shutter uncover a small stop at once and cover it last: short times give more light than they say.",
        )}
        {outcome(room, "leaf-error", "Put the leaf shutter on the ledger", leaf, None)}
    }
    .into_any()
}
