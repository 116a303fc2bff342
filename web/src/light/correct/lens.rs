//! Light lost inside a lens.

use leptos::prelude::*;
use panel::{correct, light::LineKind};

use super::{about, outcome, start, there};
use crate::{
    form::{choice, entry, fixed},
    light::room::Room,
    piece::flag,
};

pub(super) fn page(room: Room) -> AnyView {
    let (how, f_number, t_number, share) = (start("t_number"), start(""), start(""), start(""));
    let answer = Signal::derive(move || {
        let how = how.get();
        let figure = if how == "t_number" { t_number } else { share };
        correct::lens(&how, &f_number.get(), &figure.get())
    });
    let is_not = move |key: &'static str| flag(move || how.with(|how| how != key));
    view! {
        {about(
            "An f-number does not know what glass swallows. Old zooms may lose up to two thirds of a stop (common practice, no source).",
        )}
        {there(room, LineKind::Lens)}
        <div class="form">
            {choice(
                "lens-how",
                "What is known",
                fixed([("t_number", "Its T-number"), ("per_cent", "The share that passes")]),
                how,
            )}
            <div hidden=is_not("t_number")>
                {entry("lens-f", "Widest f-number", "f/2.8", f_number)}
            </div>
            <div hidden=is_not("t_number")>
                {entry("lens-t", "T-number there", "T/3.2", t_number)}
            </div>
            <div hidden=is_not("per_cent")>
                {entry("lens-share", "Share of the light in per cent", "80", share)}
            </div>
        </div>
        {outcome(room, "lens-error", "Put it on the ledger", answer, None)}
    }
    .into_any()
}
