//! Light that a meter states, typed.

use exposure::{light::Constants, words};
use leptos::prelude::*;
use readings::typed::{self, Typed, Unit};

use super::{
    found::{Outcome, by_place, field, nothing, offer, picked},
    room::Room,
};
use crate::{
    form::{checked, choice},
    piece::{flag, text},
};

pub(super) fn page(room: Room) -> AnyView {
    let (value, unit, iso) = (field(""), field("0"), field("100"));
    let usual = Constants::default();
    let (k, c) = (
        field(&words::decimal(usual.k(), 2)),
        field(&words::decimal(usual.c(), 1)),
    );
    let chosen = move || picked(&Unit::ALL, &unit.get()).unwrap_or(Unit::Ev);
    // What is wrong is said at its field: each is read by itself, beside what is usual.
    let wrong = |error: Option<readings::Error>| error.map(|error| error.to_string());
    let usual = move || (words::decimal(usual.k(), 2), words::decimal(usual.c(), 1));
    let wrong_k =
        text(move || wrong(typed::constants(&k.get(), &usual().1).err()).unwrap_or_default());
    let wrong_c =
        text(move || wrong(typed::constants(&usual().0, &c.get()).err()).unwrap_or_default());
    let wrong_iso = text(move || wrong(typed::sensitivity(&iso.get()).err()).unwrap_or_default());
    let read = Memo::new(move |_| -> Outcome {
        let text = value.get();
        let unit = chosen();
        let iso = match unit {
            Unit::Ev => typed::sensitivity(&iso.get()),
            _ => Ok(None),
        };
        let (Ok(constants), Ok(iso), false) = (
            typed::constants(&k.get(), &c.get()),
            iso,
            text.trim().is_empty(),
        ) else {
            return nothing();
        };
        let typed = Typed {
            text: &text,
            unit,
            iso,
        };
        typed.found(&constants).map_err(|error| error.to_string())
    });
    let wrong_value = text(move || read.get().err().unwrap_or_default());
    let found = Signal::derive(move || read.get().or_else(|_| nothing()));
    let not_ev = flag(move || chosen() != Unit::Ev);
    let is_ev = flag(move || chosen() == Unit::Ev);
    view! {
        <p class="reason">
            "What a meter or a table says, in its own unit. Reflected light is meant for a subject of middle tone; incident light is read at the subject, towards the camera."
        </p>
        <div class="form">
            {choice(
                "typed-unit",
                "What is typed",
                Signal::stored(by_place(Unit::ALL.map(Unit::name))),
                unit,
            )}
            {checked("typed-value", "Light", "Such as 12, 12⅓, 4 096 or 80k.", value, wrong_value)}
            <div hidden=not_ev>{checked("typed-iso", "EV is meant at ISO", "", iso, wrong_iso)}</div>
            <div hidden=is_ev>
                {checked(
                    "typed-k",
                    "Constant K, reflected light, cd/m²",
                    "12.5 or 14 in use; 10.6 to 13.4 in ISO 2720.",
                    k,
                    wrong_k,
                )}
            </div>
            <div hidden=is_ev>
                {checked(
                    "typed-c",
                    "Constant C, incident light, lx",
                    "250 in use for flat receptors; 224 to 322 in older standards.",
                    c,
                    wrong_c,
                )}
            </div>
        </div>
        {offer(room, found)}
    }
    .into_any()
}
