//! Depth of field, hyperfocal distance and diffraction.

use exposure::words;
use leptos::prelude::*;
use panel::{
    correct,
    light::{Change, Depth},
};

use super::{about, field, outcome, rows, start, take_away, wrong_at};
use crate::{
    form::choice,
    light::room::Room,
    piece::{complaint, flag, paragraph, text},
};

pub(super) fn page(room: Room) -> AnyView {
    let focal = room.once(|state| state.camera().focal().map(|mm| words::decimal(mm, 1)));
    let (focal, distance) = (start(&focal.unwrap_or_default()), start(""));
    let (format, circle, own) = (start("24x36"), start("film-era"), start(""));
    let answer = Signal::derive(move || {
        room.with(|state| {
            correct::depth(
                state,
                &focal.get(),
                &distance.get(),
                &format.get(),
                &circle.get(),
                &own.get(),
            )
        })
    });
    let circles = Signal::derive(move || format.with(|format| correct::circles(format)));
    let typed = flag(move || circle.with(|circle| circle != "own"));
    let now = text(move || {
        room.with(|state| match state.depth() {
            None => "The frames on the dial do not say yet what is sharp.".to_owned(),
            Some(depth) => format!(
                "The frames on the dial say what is sharp: {} mm at {}, {}.",
                words::decimal(depth.of().focal(), 1),
                words::distance(depth.of().distance()),
                Depth::circle(depth)
            ),
        })
    });
    let is_there = flag(move || room.with(|state| state.depth().is_some()));
    let remove = move || {
        room.change(&Change::Depth(None));
    };
    view! {
        {about(
            "What still counts as sharp is a convention, and published ones differ by a factor of two: choose yours.",
        )}
        {paragraph("reason", now)}
        {take_away("Say no more what is sharp", is_there, remove)}
        <div class="form">
            {field(answer, "depth-focal", "Focal length", "50, 105 mm, 6 in", focal)}
            {field(
                answer,
                "depth-distance",
                "Focused at, from the lens",
                "2.5 m, 80 cm, 6 ft or infinity",
                distance,
            )}
            {choice("depth-format", "Size of the picture", rows(correct::formats()), format)}
            {choice("depth-circle", "Circle of confusion", circles, circle)}
            {complaint("depth-circle-error", wrong_at(answer, "depth-circle"))}
            <div hidden=typed>
                {field(answer, "depth-own", "Your own circle of confusion", "0.02 mm", own)}
            </div>
        </div>
        {outcome(room, "depth-error", "Show it on the dial", answer, None)}
    }
    .into_any()
}
