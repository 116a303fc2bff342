//! Long times: what a film needs beyond the metered time, and what to count on B.

use leptos::prelude::*;
use panel::{
    correct::{self, LongForm},
    light::{Change, Long},
};

use super::{about, field, outcome, rows, start, take_away};
use crate::{
    form::choice,
    light::room::Room,
    piece::{flag, paragraph, press, text},
};

pub(super) fn page(room: Room) -> AnyView {
    let (which, name) = (start("power"), start(""));
    // Each rule has a figure of its own: one rule's would be wrong for another.
    let (exponent, inverse) = (start("1.31"), start(""));
    let (share, grows) = (start(""), start("1.62"));
    let (table, threshold) = (start(""), start("1"));
    let answer = Signal::derive(move || {
        let form = LongForm {
            which: which.get(),
            figure: match which.get().as_str() {
                "added" => share.get(),
                "schwarzschild" => inverse.get(),
                _ => exponent.get(),
            },
            grows: grows.get(),
            table: table.get(),
            threshold: threshold.get(),
            name: name.get(),
        };
        room.with(|state| correct::long(state, &form))
    });
    let is_not = move |keys: &'static [&'static str]| {
        flag(move || which.with(|which| !keys.contains(&which.as_str())))
    };
    let now = text(move || {
        room.with(|state| match state.long() {
            None => "None is used yet: the dials show what is metered.".to_owned(),
            Some(long) if long.on() => format!("Used now: {}.", long.name()),
            Some(long) => format!("Left out now: {}.", long.name()),
        })
    });
    let is_there = flag(move || room.with(|state| state.long().is_some()));
    let counts = flag(move || room.with(|state| state.long().is_some_and(Long::on)));
    let switch = press(move || {
        // One past the last line is what the film needs at long times.
        let at = room.once(|state| state.lines().len());
        room.change(&Change::Count(at, !counts.get_untracked()));
    });
    let remove = move || {
        room.change(&Change::Long(None));
    };
    view! {
        {about(
            "In faint light film answers less (reciprocity failure), and films differ by stops. It counts last of all, on the time alone, for each frame of a bracket by itself.",
        )}
        {paragraph("reason", now)}
        <label class="pick" hidden=flag(move || !is_there.get())>
            <input type="checkbox" prop:checked=counts on:click=switch />
            "Count it"
        </label>
        {take_away("Take the film's rule away", is_there, remove)}
        <div class="form">
            {choice("long-which", "Rule of the film", rows(correct::long_rules()), which)}
            <div hidden=is_not(&["power"])>
                {field(
                    answer,
                    "long-exponent",
                    "Exponent",
                    "1.31 on the metered time is Schwarzschild's 0.763.",
                    exponent,
                )}
            </div>
            <div hidden=is_not(&["schwarzschild"])>
                {field(
                    answer,
                    "long-inverse",
                    "Schwarzschild's exponent",
                    "0.763 is 1.31 on the metered time.",
                    inverse,
                )}
            </div>
            <div hidden=is_not(&["added"])>
                {field(answer, "long-share", "Share", "Published for five films: 0.046 to 0.169", share)}
            </div>
            <div hidden=is_not(&["added"])>
                {field(answer, "long-grows", "Its exponent", "1.62 as published", grows)}
            </div>
            <div hidden=is_not(&["table"])>
                {field(
                    answer,
                    "long-table",
                    "Table of metered and needed times",
                    "1 2; 10 50; 1 min = 20 min. Seconds, if nothing is said.",
                    table,
                )}
            </div>
            <div hidden=is_not(&["power", "schwarzschild", "added", "table"])>
                {field(answer, "long-threshold", "Nothing is needed up to", "1 is one second; 1/5", threshold)}
            </div>
            {field(answer, "long-name", "Name of the film", "In your own words; may stay empty.", name)}
        </div>
        {outcome(room, "long-error", "Use it for this film", answer, None)}
    }
    .into_any()
}
