//! Light lost inside a lens.

use leptos::prelude::*;
use panel::{correct, light::LineKind};

use super::{about, field, outcome, start, there};
use crate::{
    form::{choice, fixed},
    light::room::Room,
    piece::flag,
};

pub(super) fn page(room: Room) -> AnyView {
    let (how, f_number) = (start("t_number"), start(""));
    // Each way has a field of its own, so that a figure is never taken for another.
    let (t_number, by_stop, share) = (start(""), start(""), start(""));
    let answer = Signal::derive(move || {
        let how = how.get();
        let figure = match how.as_str() {
            "t_number" => t_number,
            "by_stop" => by_stop,
            _ => share,
        };
        room.with(|state| correct::lens(state, &how, &f_number.get(), &figure.get()))
    });
    let is_not = move |key: &'static str| flag(move || how.with(|how| how != key));
    view! {
        {about(
            "An f-number does not know what glass swallows. Old zooms may lose up to two thirds of a stop (common practice, no source).",
        )}
        {there(room, LineKind::Lens)}
        <div class="form">
            {choice("lens-how", "What is known", fixed(correct::LENSES), how)}
            <div hidden=is_not("t_number")>
                {field(answer, "lens-f", "Widest f-number", "f/2.8", f_number)}
            </div>
            <div hidden=is_not("t_number")>
                {field(answer, "lens-t", "T-number there", "T/3.2", t_number)}
            </div>
            <div hidden=is_not("by_stop")>
                {field(
                    answer,
                    "lens-stops",
                    "f-numbers with their T-numbers",
                    "2.8 3.2; 4 4.4; 8 8.5",
                    by_stop,
                )}
            </div>
            <div hidden=is_not("per_cent")>
                {field(answer, "lens-share", "Share of the light in per cent", "80", share)}
            </div>
        </div>
        {outcome(room, "lens-error", "Put it on the ledger", answer, None)}
    }
    .into_any()
}
