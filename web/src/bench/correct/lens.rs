//! Light lost inside a lens.

use panel::{correct, light::LineKind};

use super::{about, chosen, field, form, outcome, start, there};
use crate::{
    bench::Room,
    form::{choice, fixed, when},
    live::Worked,
    parts::{Part, parts},
};

const ABOUT: &str = "An f-number does not know what glass swallows. Old zooms may lose up to two thirds of a stop (common practice, no source).";

pub(super) fn page(room: Room) -> Part {
    let (how, f_number) = (chosen("t_number"), start(""));
    // Each way has a field of its own, so that a figure is never taken for another.
    let (t_number, by_stop, share) = (start(""), start(""), start(""));
    let answer = Worked::new(move || {
        let how = how.get();
        let figure = match how.as_str() {
            "t_number" => t_number,
            "by_stop" => by_stop,
            _ => share,
        };
        room.with(|state| correct::lens(state, &how, &f_number.get(), &figure.get()))
    });
    let field = |id, label, hint, typed| field(answer, id, label, hint, typed);
    parts![
        about(ABOUT),
        there(room, LineKind::Lens),
        form([
            choice("lens-how", "What is known", fixed(correct::LENSES), how),
            when(
                how,
                &["t_number"],
                field("lens-f", "Widest f-number", "f/2.8", f_number),
            ),
            when(
                how,
                &["t_number"],
                field("lens-t", "T-number there", "T/3.2", t_number),
            ),
            when(
                how,
                &["by_stop"],
                field(
                    "lens-stops",
                    "f-numbers with their T-numbers",
                    "2.8 3.2; 4 4.4; 8 8.5",
                    by_stop,
                ),
            ),
            when(
                how,
                &["per_cent"],
                field("lens-share", "Share of the light in per cent", "80", share),
            ),
        ]),
        outcome(room, "lens-error", "Put it on the ledger", answer, None),
    ]
}
