//! A reading that was found, shown before it is used: what it says, what it rests on, and the button that takes it.

use exposure::{Stops, words};
use leptos::prelude::*;
use panel::light::{self, Change};
use readings::{Found, Method};

use super::room::Room;
use crate::piece::{button, flag, paragraph, press, text};

/// A reading, or why there is none; an empty sentence where nothing was asked yet.
pub(super) type Outcome = Result<Found, String>;

/// A line that was left out: its name and what it came to.
type LeftOut = (String, Stops);

fn is((name, effect): &LeftOut, line: &readings::Line) -> bool {
    *name == line.name && *effect == line.effect
}
const TAKEN_BEFORE: &str = "It was taken so; which way it was found by is no longer known.";

/// Nothing was asked yet.
pub(super) const fn nothing() -> Outcome {
    Err(String::new())
}

/// The reading with its lines, how sure it is, and the buttons.
pub(super) fn offer(room: Room, found: Signal<Outcome>) -> impl IntoView {
    // Lines that were left out, so that they stay out while the reading is worked out anew; one of the same name that comes to
    // something else belongs to another reading, and counts until it is left out itself.
    let left_out = RwSignal::new(Vec::<LeftOut>::new());
    let counted = Memo::new(move |_| {
        let mut found = found.get();
        if let Ok(found) = &mut found {
            for line in &mut found.lines {
                line.on = !left_out.with(|all| all.iter().any(|out| is(out, line)));
            }
        }
        found
    });
    let none = flag(move || counted.with(Result::is_err));
    let part = move |derive: fn(&Found) -> String| {
        text(move || counted.with(|found| found.as_ref().map(derive).unwrap_or_default()))
    };
    let refusal =
        text(move || counted.with(|found| found.as_ref().err().cloned().unwrap_or_default()));
    let names = Memo::new(move |_| {
        counted.with(|found| match found {
            Ok(found) => found.lines.iter().map(|line| line.name.clone()).collect(),
            Err(_) => Vec::new(),
        })
    });
    let rows = move || {
        names
            .get()
            .into_iter()
            .map(|name| line(counted, left_out, name))
            .collect_view()
    };
    let no_lines = flag(move || names.with(Vec::is_empty));
    let take = move || {
        if let Ok(found) = counted.get_untracked() {
            room.change(&Change::Take(for_the_dial(&found)));
        }
    };
    let keep = move || {
        if let Ok(found) = counted.get_untracked() {
            room.said
                .set(format!("Kept to compare: {}.", found.sentence()));
            room.compared.update(|kept| kept.push(found));
        }
    };
    view! {
        <section class="offer" aria-label="The reading">
            <p class="answer">{part(Found::sentence)}</p>
            <p
                class="field-error"
                aria-live="polite"
                hidden=flag(move || refusal.with(String::is_empty))
            >
                {refusal}
            </p>
            <ul class="shelves" aria-label="What the marks leave to count" hidden=no_lines>
                {rows}
            </ul>
            {paragraph("reason", part(Found::how_sure))}
            <div class="row">
                {button("main", "Take this reading", none, take)}
                {button("", "Keep it to compare", none, keep)}
            </div>
        </section>
    }
}

fn line(
    counted: Memo<Outcome>,
    left_out: RwSignal<Vec<LeftOut>>,
    name: String,
) -> impl IntoView + use<> {
    let label = format!("{name}: ");
    let of = move |found: &Outcome| {
        let lines = found.as_ref().map(|found| found.lines.as_slice());
        let mut lines = lines.unwrap_or_default().iter();
        lines.find(|line| line.name == name).cloned()
    };
    let line = Signal::derive(move || counted.with(&of));
    let effect = text(move || {
        line.get()
            .map(|line| words::difference(line.effect))
            .unwrap_or_default()
    });
    let on = flag(move || line.get().is_some_and(|line| line.on));
    let switch = press(move || {
        let Some(line) = line.get_untracked() else {
            return;
        };
        left_out.update(|all| match all.iter().position(|out| is(out, &line)) {
            Some(at) => {
                all.remove(at);
            }
            None => all.push((line.name, line.effect)),
        });
    });
    view! {
        <li>
            <label class="pick">
                <input type="checkbox" prop:checked=on on:click=switch />
                <span>{label} {effect}</span>
            </label>
        </li>
    }
}

/// The same for the dial: lines that were left out do not come along.
fn for_the_dial(found: &Found) -> light::Found {
    light::Found {
        reading: found.reading,
        halves: found.halves,
        from: found.from.clone(),
        doubt: found.doubt,
        lines: found
            .lines
            .iter()
            .filter(|line| line.on)
            .map(|line| (line.name.clone(), line.effect))
            .collect(),
    }
}

/// What the dial reads now, as a reading of the same kind.
pub(super) fn of_the_dial(room: Room) -> Found {
    room.with(|state| {
        let from = match state.reading_from() {
            "" => "the dial's reading",
            from => from,
        };
        let mut found = Found::shown(*state.reading(), state.reads_halves(), from);
        // What was found keeps its doubt; what was typed is as right as its device. Where it was found and nobody could say,
        // nobody can say now.
        if !state.reading_from().is_empty() {
            found.method = Method::Taken;
            found.doubt = state.doubt();
            found.uncertainty = TAKEN_BEFORE.to_owned();
        }
        found.lines = state
            .lines()
            .iter()
            .filter(|line| line.kind() == light::LineKind::Reading && line.on())
            // What belongs to a reading is the same at every setting.
            .filter_map(|line| {
                Some(readings::Line {
                    kind: readings::LineKind::Marks,
                    name: line.name().to_owned(),
                    effect: line.effect().fixed()?,
                    on: true,
                })
            })
            .collect();
        found
    })
}

/// A field's start.
pub(super) fn field(start: &str) -> RwSignal<String> {
    RwSignal::new(start.to_owned())
}

/// Which of a list was chosen by its place; the first for a word that no place has.
pub(super) fn picked<T: Copy>(list: &[T], chosen: &str) -> Option<T> {
    chosen
        .parse()
        .ok()
        .and_then(|at: usize| list.get(at).copied())
        .or_else(|| list.first().copied())
}

/// Choices by their place in a list.
pub(super) fn by_place<'a>(names: impl IntoIterator<Item = &'a str>) -> crate::choice::Options {
    names
        .into_iter()
        .enumerate()
        .map(|(at, name)| (at.to_string(), name.to_owned()))
        .collect()
}
