//! Light that a meter states, typed.

use exposure::light::Constants;
use leptos::prelude::*;
use readings::typed::{self, Typed, Unit};

use super::{
    found::{Outcome, by_place, field, nothing, offer, picked},
    room::Room,
};
use crate::{
    form::{choice, entry},
    piece::flag,
};

pub(super) fn page(room: Room) -> AnyView {
    let (value, unit, iso) = (field(""), field("0"), field("100"));
    let usual = Constants::default();
    let (k, c) = (
        field(&exposure::words::decimal(usual.k(), 2)),
        field(&exposure::words::decimal(usual.c(), 1)),
    );
    let chosen = move || picked(&Unit::ALL, &unit.get()).unwrap_or(Unit::Ev);
    let found = Signal::derive(move || -> Outcome {
        let text = value.get();
        if text.trim().is_empty() {
            return nothing();
        }
        let read = || {
            let constants = typed::constants(&k.get(), &c.get())?;
            let unit = chosen();
            let iso = match unit {
                Unit::Ev => typed::sensitivity(&iso.get())?,
                _ => None,
            };
            Typed {
                text: &text,
                unit,
                iso,
            }
            .found(&constants)
        };
        read().map_err(|error| error.to_string())
    });
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
            {entry("typed-value", "Light", "Such as 12, 12⅓, 4 096 or 80k.", value)}
            <div hidden=not_ev>{entry("typed-iso", "EV is meant at ISO", "", iso)}</div>
            <div hidden=is_ev>
                {entry(
                    "typed-k",
                    "Constant K, reflected light, cd/m²",
                    "12.5 or 14 in use; 10.6 to 13.4 in ISO 2720.",
                    k,
                )}
            </div>
            <div hidden=is_ev>
                {entry(
                    "typed-c",
                    "Constant C, incident light, lx",
                    "250 in use for flat receptors; 224 to 322 in older standards.",
                    c,
                )}
            </div>
        </div>
        {offer(room, found)}
    }
    .into_any()
}
