//! Two readings of the same light.

use exposure::Control;
use leptos::prelude::*;
use readings::{
    Found,
    agree::{Agreement, Keep, agree},
};

use super::{
    found::{Outcome, field, nothing, of_the_dial, offer},
    room::Room,
    tones::{mark, settings},
};
use crate::{
    choice::Options,
    form::{choice, fixed},
    piece::{flag, paragraph, text},
};

/// The key of what is typed here.
const TYPED: &str = "typed";
/// The key of what the dial reads.
const DIAL: &str = "dial";

pub(super) fn page(room: Room) -> AnyView {
    let kept = room.compared.with_untracked(Vec::len);
    let (first, second, keep) = (
        field(DIAL),
        // The reading kept last is the one that is meant.
        field(
            &kept
                .checked_sub(1)
                .map_or(TYPED.to_owned(), |at| at.to_string()),
        ),
        field("first"),
    );
    let (time, aperture, iso) = (field("1/125"), field("f/8"), field("ISO 100"));
    let of = move |chosen: RwSignal<String>| -> Outcome {
        match chosen.get().as_str() {
            DIAL => Ok(of_the_dial(room)),
            TYPED => settings(&time.get(), &aperture.get(), &iso.get())
                .map(|reading| Found::shown(reading, false, "the other device"))
                // It is said at the field.
                .or_else(|_| nothing()),
            at => room.compared.with(|kept| {
                at.parse()
                    .ok()
                    .and_then(|at: usize| kept.get(at).cloned())
                    .ok_or_else(|| "That reading is no longer kept.".to_owned())
            }),
        }
    };
    let agreed = Memo::new(move |_| -> Result<Agreement, String> {
        let keep = match keep.get().as_str() {
            "second" => Keep::Second,
            "middle" => Keep::Middle,
            "more" => Keep::MoreLight,
            _ => Keep::First,
        };
        agree(&of(first)?, &of(second)?, keep).map_err(|error| error.to_string())
    });
    let says = text(move || {
        agreed.with(|agreed| match agreed {
            Ok(agreed) => agreed.sentence.clone(),
            Err(_) => String::new(),
        })
    });
    let found = Signal::derive(move || {
        agreed.with(|agreed| {
            agreed
                .as_ref()
                .map(|a| a.found.clone())
                .map_err(Clone::clone)
        })
    });
    let choices = Signal::derive(move || {
        let mut all: Options = vec![
            (DIAL.to_owned(), "What the dial reads now".to_owned()),
            (TYPED.to_owned(), "Another device, typed here".to_owned()),
        ];
        room.compared.with(|kept| {
            all.extend(
                kept.iter()
                    .enumerate()
                    .map(|(at, found)| (at.to_string(), found.sentence())),
            );
        });
        all
    });
    let not_typed = flag(move || first.with(|key| key != TYPED) && second.with(|key| key != TYPED));
    view! {
        <p class="reason">
            "Two readings of the same light hardly ever agree to a third of a stop. See how far they are apart, and choose what is used; readings that other pages kept to compare stand in the lists."
        </p>
        <div class="form">
            {choice("agree-first", "First reading", choices, first)}
            {choice("agree-second", "Second reading", choices, second)}
            <div hidden=not_typed>
                {mark(Control::Time, "agree-time", "Time of the other device", time)}
            </div>
            <div hidden=not_typed>
                {mark(Control::Aperture, "agree-aperture", "Aperture of the other device", aperture)}
            </div>
            <div hidden=not_typed>
                {mark(Control::Sensitivity, "agree-iso", "Sensitivity of the other device", iso)}
            </div>
            {choice(
                "agree-keep",
                "What is used",
                fixed([
                    ("first", "The first"),
                    ("second", "The second"),
                    ("middle", "The middle of both"),
                    ("more", "The one that gives the film more light"),
                ]),
                keep,
            )}
        </div>
        {paragraph("lines", says)}
        {offer(room, found)}
    }
    .into_any()
}
