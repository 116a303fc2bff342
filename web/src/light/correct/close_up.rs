//! Close-up: a lens moved out for a near subject.

use exposure::words;
use leptos::prelude::*;
use panel::{correct, light::LineKind};

use super::{about, field, outcome, start, there};
use crate::{
    form::{choice, fixed},
    light::room::Room,
    piece::flag,
};

pub(super) fn page(room: Room) -> AnyView {
    let focal = room.once(|state| state.camera().focal().map(|mm| words::decimal(mm, 1)));
    let (how, focal) = (start("focus"), start(&focal.unwrap_or_default()));
    // Each way has fields of its own, so that a figure is never taken for one of another unit.
    let (distance, magnification, image, subject, to_film, drawn_out) = (
        start(""),
        start(""),
        start(""),
        start(""),
        start(""),
        start(""),
    );
    let answer = Signal::derive(move || {
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
    let is_not = move |keys: &'static [&'static str]| {
        flag(move || how.with(|how| !keys.contains(&how.as_str())))
    };
    view! {
        {about(
            "A lens that is moved out spreads its light. A camera that meters through the lens has counted this already.",
        )}
        {there(room, LineKind::CloseUp)}
        <div class="form">
            {choice("close-how", "What is known", fixed(correct::CLOSE_UPS), how)}
            <div hidden=is_not(&["focus", "to_film", "drawn_out"])>
                {field(answer, "close-focal", "Focal length", "50, 105 mm, 6 in", focal)}
            </div>
            <div hidden=is_not(&["focus"])>
                {field(answer, "close-distance", "From the lens to the subject", "0.4 m, 40 cm", distance)}
            </div>
            <div hidden=is_not(&["magnification"])>
                {field(answer, "close-magnification", "Magnification", "1 is life size, 0.5 half of it", magnification)}
            </div>
            <div hidden=is_not(&["sizes"])>
                {field(answer, "close-image", "Size in the picture", "12 mm", image)}
            </div>
            <div hidden=is_not(&["sizes"])>
                {field(answer, "close-subject", "Size of the subject", "24 mm, 5 cm", subject)}
            </div>
            <div hidden=is_not(&["to_film"])>
                {field(answer, "close-to-film", "From the lens to the film", "150 mm, the whole distance", to_film)}
            </div>
            <div hidden=is_not(&["drawn_out"])>
                {field(answer, "close-drawn-out", "Drawn out beyond infinity", "25 mm of rings or bellows", drawn_out)}
            </div>
        </div>
        {outcome(room, "close-error", "Put it on the ledger", answer, None)}
    }
    .into_any()
}
