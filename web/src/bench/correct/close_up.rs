//! Close-up: a lens moved out for a near subject.

use exposure::words;
use panel::{correct, light::LineKind};

use super::{about, chosen, field, form, outcome, start, there};
use crate::{
    bench::Room,
    form::{choice, fixed, when},
    live::Worked,
    parts::{Part, parts},
};

const ABOUT: &str = "A lens that is moved out spreads its light. A camera that meters through the lens has counted this already.";

pub(super) fn page(room: Room) -> Part {
    let focal = room.once(|state| state.camera().focal().map(|mm| words::decimal(mm, 1)));
    let (how, focal) = (chosen("focus"), start(&focal.unwrap_or_default()));
    // Each way has fields of its own, so that a figure is never taken for one of another unit.
    let (distance, magnification, image) = (start(""), start(""), start(""));
    let (subject, to_film, drawn_out) = (start(""), start(""), start(""));
    let answer = Worked::new(move || {
        let how = how.get();
        let figure = match how.as_str() {
            "magnification" => magnification,
            "sizes" => image,
            "to_film" => to_film,
            "drawn_out" => drawn_out,
            _ => distance,
        };
        room.with(|state| {
            correct::close_up(state, &how, &focal.get(), &figure.get(), &subject.get())
        })
    });
    let field = |id, label, hint, typed| field(answer, id, label, hint, typed);
    parts![
        about(ABOUT),
        there(room, LineKind::CloseUp),
        form([
            choice("close-how", "What is known", fixed(correct::CLOSE_UPS), how),
            when(
                how,
                &["focus", "to_film", "drawn_out"],
                field("close-focal", "Focal length", "50, 105 mm, 6 in", focal),
            ),
            when(
                how,
                &["focus"],
                field(
                    "close-distance",
                    "From the lens to the subject",
                    "0.4 m, 40 cm",
                    distance,
                ),
            ),
            when(
                how,
                &["magnification"],
                field(
                    "close-magnification",
                    "Magnification",
                    "1 is life size, 0.5 half of it",
                    magnification,
                ),
            ),
            when(
                how,
                &["sizes"],
                field("close-image", "Size in the picture", "12 mm", image),
            ),
            when(
                how,
                &["sizes"],
                field(
                    "close-subject",
                    "Size of the subject",
                    "24 mm, 5 cm",
                    subject
                ),
            ),
            when(
                how,
                &["to_film"],
                field(
                    "close-to-film",
                    "From the lens to the film",
                    "150 mm, the whole distance",
                    to_film,
                ),
            ),
            when(
                how,
                &["drawn_out"],
                field(
                    "close-drawn-out",
                    "Drawn out beyond infinity",
                    "25 mm of rings or bellows",
                    drawn_out,
                ),
            ),
        ]),
        outcome(room, "close-error", "Put it on the ledger", answer, None),
    ]
}
