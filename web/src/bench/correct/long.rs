//! Long times: what a film needs beyond the metered time, and what to count on B.

use panel::{
    State,
    correct::{self, LongForm},
    light::{Change, Long},
};

use super::{about, chosen, field, form, outcome, rows, start, take_away};
use crate::{
    bench::Room,
    form::{choice, tick, when},
    live::Worked,
    parts::{Part, follows, parts},
    piece::paragraph,
};

const ABOUT: &str = "In faint light film answers less (reciprocity failure), and films differ by stops. It counts last of all, on the time alone, for each frame of a bracket by itself.";

pub(super) fn page(room: Room) -> Part {
    let (which, name) = (chosen("power"), start(""));
    // Each rule has a figure of its own: one rule's would be wrong for another.
    let (exponent, inverse) = (start("1.31"), start(""));
    let (share, grows) = (start(""), start("1.62"));
    let (table, threshold) = (start(""), start("1"));
    let answer = Worked::new(move || {
        let which = which.get();
        let figure = match which.as_str() {
            "added" => share,
            "schwarzschild" => inverse,
            _ => exponent,
        };
        let form = LongForm {
            which,
            figure: figure.get(),
            grows: grows.get(),
            table: table.get(),
            threshold: threshold.get(),
            name: name.get(),
        };
        room.with(|state| correct::long(state, &form))
    });
    let field = |id, label, hint, typed| field(answer, id, label, hint, typed);
    parts![
        about(ABOUT),
        follows(move || room.with(|state| now(room, state))),
        form([
            choice(
                "long-which",
                "Rule of the film",
                rows(correct::long_rules()),
                which,
            ),
            when(
                which,
                &["power"],
                field(
                    "long-exponent",
                    "Exponent",
                    "1.31 on the metered time is Schwarzschild's 0.763.",
                    exponent,
                ),
            ),
            when(
                which,
                &["schwarzschild"],
                field(
                    "long-inverse",
                    "Schwarzschild's exponent",
                    "0.763 is 1.31 on the metered time.",
                    inverse,
                ),
            ),
            when(
                which,
                &["added"],
                field(
                    "long-share",
                    "Share",
                    "Published for five films: 0.046 to 0.169",
                    share,
                ),
            ),
            when(
                which,
                &["added"],
                field("long-grows", "Its exponent", "1.62 as published", grows),
            ),
            when(
                which,
                &["table"],
                field(
                    "long-table",
                    "Table of metered and needed times",
                    "1 2; 10 50; 1 min = 20 min. Seconds, if nothing is said.",
                    table,
                ),
            ),
            when(
                which,
                &["power", "schwarzschild", "added", "table"],
                field(
                    "long-threshold",
                    "Nothing is needed up to",
                    "1 is one second; 1/5",
                    threshold,
                ),
            ),
            field(
                "long-name",
                "Name of the film",
                "In your own words; may stay empty.",
                name,
            ),
        ]),
        outcome(room, "long-error", "Use it for this film", answer, None),
    ]
}

/// The rule that the film has by now, its switch, and the way to take it away.
fn now(room: Room, state: &State) -> Part {
    let long = state.long();
    let counts = long.is_some_and(Long::on);
    let says = match long {
        None => "None is used yet: the dials show what is metered.".to_owned(),
        Some(long) if counts => format!("Used now: {}.", long.name()),
        Some(long) => format!("Left out now: {}.", long.name()),
    };
    // One past the last line is what the film needs at long times.
    let at = state.lines().len();
    let count = move |on| {
        room.change(&Change::Count(at, on));
    };
    let remove = move || {
        room.change(&Change::Long(None));
    };
    parts![
        paragraph("reason", says),
        tick("Count it", counts, count).hidden(long.is_none()),
        take_away("Take the film's rule away", long.is_some(), remove),
    ]
}
