//! Depth of field, hyperfocal distance and diffraction.

use exposure::words;
use panel::{
    State, correct,
    light::{Change, Depth},
};

use super::{about, chosen, field, form, outcome, rows, start, take_away, wrong_at};
use crate::{
    bench::Room,
    form::{choice, when},
    live::Worked,
    parts::{Part, follows, parts},
    piece::{complaint, paragraph},
};

const ABOUT: &str = "What still counts as sharp is a convention, and published ones differ by a factor of two: choose yours.";

pub(super) fn page(room: Room) -> Part {
    let focal = room.once(|state| state.camera().focal().map(|mm| words::decimal(mm, 1)));
    let (focal, distance) = (start(&focal.unwrap_or_default()), start(""));
    let (format, circle, own) = (chosen("24x36"), chosen("film-era"), start(""));
    let answer = Worked::new(move || {
        let (focal, distance) = (focal.get(), distance.get());
        let (format, circle, own) = (format.get(), circle.get(), own.get());
        room.with(|state| correct::depth(state, &focal, &distance, &format, &circle, &own))
    });
    let circles = move || format.with(|format| correct::circles(format));
    let field = |id, label, hint, typed| field(answer, id, label, hint, typed);
    parts![
        about(ABOUT),
        follows(move || room.with(|state| now(room, state))),
        form([
            field("depth-focal", "Focal length", "50, 105 mm, 6 in", focal),
            field(
                "depth-distance",
                "Focused at, from the lens",
                "2.5 m, 80 cm, 6 ft or infinity",
                distance,
            ),
            choice(
                "depth-format",
                "Size of the picture",
                rows(correct::formats()),
                format,
            ),
            choice("depth-circle", "Circle of confusion", circles, circle),
            complaint("depth-circle-error", move || {
                wrong_at(answer, "depth-circle")
            }),
            when(
                circle,
                &["own"],
                field("depth-own", "Your own circle of confusion", "0.02 mm", own),
            ),
        ]),
        outcome(room, "depth-error", "Show it on the dial", answer, None),
    ]
}

/// What the dial says by now, and the way to take it away.
fn now(room: Room, state: &State) -> Part {
    let says = match state.depth() {
        None => "The frames on the dial do not say yet what is sharp.".to_owned(),
        Some(depth) => format!(
            "The frames on the dial say what is sharp: {} mm at {}, {}.",
            words::decimal(depth.of().focal(), 1),
            words::distance(depth.of().distance()),
            Depth::circle(depth)
        ),
    };
    let remove = move || {
        room.change(&Change::Depth(None));
    };
    parts![
        paragraph("reason", says),
        take_away("Say no more what is sharp", state.depth().is_some(), remove),
    ]
}
