//! Light that a meter states, typed.

use exposure::{light::Constants, words};
use readings::typed::{self, Typed as Stated, Unit};

use super::{
    found::{Outcome, by_place, nothing, offering, picked},
    room::Room,
};
use crate::{
    form::{Typed, checked, choice, only},
    live::{Live, Worked},
    parts::{Part, el, parts},
    piece::paragraph,
};

const ABOUT: &str = "What a meter or a table says, in its own unit. Reflected light is meant for a subject of middle tone; incident light is read at the subject, towards the camera.";

/// The fields.
#[derive(Clone, Copy)]
struct Form {
    unit: Live<String>,
    value: Typed,
    iso: Typed,
    k: Typed,
    c: Typed,
}

impl Form {
    fn unit(self) -> Unit {
        picked(&Unit::ALL, &self.unit.get()).unwrap_or(Unit::Ev)
    }

    fn is_ev(self) -> bool {
        self.unit() == Unit::Ev
    }

    fn found(self) -> Outcome {
        let text = self.value.get();
        let unit = self.unit();
        let iso = match unit {
            Unit::Ev => typed::sensitivity(&self.iso.get()),
            _ => Ok(None),
        };
        let (Ok(constants), Ok(iso), false) = (
            typed::constants(&self.k.get(), &self.c.get()),
            iso,
            text.trim().is_empty(),
        ) else {
            return nothing();
        };
        let stated = Stated {
            text: &text,
            unit,
            iso,
        };
        stated.found(&constants).map_err(|error| error.to_string())
    }
}

pub(super) fn page(room: Room) -> Part {
    let usual = Constants::default();
    let [usual_k, usual_c] = [words::decimal(usual.k(), 2), words::decimal(usual.c(), 1)];
    let form = Form {
        unit: Live::new("0".to_owned()),
        value: Typed::new(""),
        iso: Typed::new("100"),
        k: Typed::new(usual_k.clone()),
        c: Typed::new(usual_c.clone()),
    };
    let read = Worked::new(move || form.found());
    // What is wrong is said at its field: each is read by itself, beside what is usual.
    let wrong = |error: Option<readings::Error>| error.map_or_else(String::new, |e| e.to_string());
    let wrong_value = move || read.with(|read| read.as_ref().err().cloned().unwrap_or_default());
    let wrong_iso = move || wrong(typed::sensitivity(&form.iso.get()).err());
    let wrong_k = move || wrong(typed::constants(&form.k.get(), &usual_c).err());
    let wrong_c = move || wrong(typed::constants(&usual_k, &form.c.get()).err());
    let units = by_place(&Unit::ALL.map(Unit::name));
    let hint = "Such as 12, 12⅓, 4 096 or 80k.";
    let iso = checked("typed-iso", "EV is meant at ISO", "", form.iso, wrong_iso);
    let k = checked(
        "typed-k",
        "Constant K, reflected light, cd/m²",
        "12.5 or 14 in use; 10.6 to 13.4 in ISO 2720.",
        form.k,
        wrong_k,
    );
    let c = checked(
        "typed-c",
        "Constant C, incident light, lx",
        "250 in use for flat receptors; 224 to 322 in older standards.",
        form.c,
        wrong_c,
    );
    let shown = parts![
        paragraph("reason", ABOUT),
        el("div").class("form").all([
            choice("typed-unit", "What is typed", units, form.unit),
            checked("typed-value", "Light", hint, form.value, wrong_value),
            only(move || form.is_ev(), iso),
            only(move || !form.is_ev(), k),
            only(move || !form.is_ev(), c),
        ]),
    ];
    offering(room, shown, move || read.get().or_else(|_| nothing()))
}
