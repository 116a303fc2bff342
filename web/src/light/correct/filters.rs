//! Filters: by a typed strength or one in print, one on the other.

use leptos::prelude::*;
use panel::{correct, light::LineKind};

use super::{about, field, outcome, rows, start, there};
use crate::{
    form::{choice, entry},
    light::room::Room,
    piece::flag,
};

pub(super) fn page(room: Room) -> AnyView {
    let (which, strength, name) = (start("factor"), start(""), start(""));
    let answer = Signal::derive(move || {
        room.with(|state| correct::filter(state, &which.get(), &strength.get(), &name.get()))
    });
    let in_print = flag(move || which.with(|which| !correct::filter_is_typed(which)));
    view! {
        {about(
            "Filters in front of one another add up in stops. Leave out a filter that the light was read through.",
        )}
        {there(room, LineKind::Filter)}
        <div class="form">
            {choice("filter-which", "Strength", rows(correct::filters()), which)}
            <div hidden=in_print>
                {field(
                    answer,
                    "filter-strength",
                    "Factor, stops or density",
                    "As engraved or in its leaflet: 2.5, 1 1/3 or 0.9",
                    strength,
                )}
            </div>
            {entry("filter-name", "Name", "In your own words; may stay empty.", name)}
        </div>
        {outcome(room, "filter-error", "Put it on the ledger", answer, Some(strength))}
    }
    .into_any()
}
