//! Filters: by a typed strength or one in print, one on the other.

use panel::{correct, light::LineKind};

use super::{about, chosen, field, form, outcome, rows, start, there};
use crate::{
    bench::Room,
    form::{choice, entry, only},
    live::Worked,
    parts::{Part, parts},
};

const ABOUT: &str = "Filters in front of one another add up in stops. Leave out a filter that the light was read through.";

pub(super) fn page(room: Room) -> Part {
    let (which, strength, name) = (chosen("factor"), start(""), start(""));
    let answer = Worked::new(move || {
        room.with(|state| correct::filter(state, &which.get(), &strength.get(), &name.get()))
    });
    let typed = field(
        answer,
        "filter-strength",
        "Factor, stops or density",
        "As engraved or in its leaflet: 2.5, 1 1/3 or 0.9",
        strength,
    );
    let is_typed = move || which.with(|which| correct::filter_is_typed(which));
    let hint = "In your own words; may stay empty.";
    let label = "Put it on the ledger";
    parts![
        about(ABOUT),
        there(room, LineKind::Filter),
        form([
            choice("filter-which", "Strength", rows(correct::filters()), which),
            only(is_typed, typed),
            entry("filter-name", "Name", hint, name),
        ]),
        outcome(room, "filter-error", label, answer, Some(strength)),
    ]
}
