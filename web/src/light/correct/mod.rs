//! Pages of corrections: a form each, what it comes to while it is typed, and a button that puts it on the dial's ledger.

mod close_up;
mod depth;
mod filters;
mod flash;
mod lens;
mod long;
mod plain;
mod shutter;

use leptos::prelude::*;
use panel::{
    correct::{Answer, Row},
    light::LineKind,
};

use super::{
    pages::{self, Page},
    room::Room,
};
use crate::{
    choice::Options,
    form::checked,
    piece::{button, complaint, flag, never, paragraph, text},
};

/// The pages, in the order in which corrections count.
pub(super) const PAGES: &[Page] = &[
    Page {
        key: "device",
        title: "Reading device",
        words: "It asks for too much or too little light",
        view: plain::device,
    },
    Page {
        key: "filters",
        title: "Filters",
        words: "By factor, stops or density, and in print",
        view: filters::page,
    },
    Page {
        key: "close-up",
        title: "Close-up",
        words: "A lens moved out for a near subject",
        view: close_up::page,
    },
    Page {
        key: "lens",
        title: "Lens",
        words: "Light lost inside it, by T-number or per cent",
        view: lens::page,
    },
    Page {
        key: "shutter",
        title: "Shutter",
        words: "Measured times, and leaf shutters at small stops",
        view: shutter::page,
    },
    Page {
        key: "other",
        title: "Something else",
        words: "Any other number of stops",
        view: plain::other,
    },
    Page {
        key: "long",
        title: "Long times",
        words: "Reciprocity failure, and what to count on B",
        view: long::page,
    },
    Page {
        key: "depth",
        title: "Depth of field",
        words: "What is sharp at each aperture, and diffraction",
        view: depth::page,
    },
    Page {
        key: "flash",
        title: "Flash",
        words: "By guide number, alone, as fill or in series",
        view: flash::page,
    },
];

/// A field's text.
type Typed = RwSignal<String>;

fn start(text: &str) -> Typed {
    RwSignal::new(text.to_owned())
}

/// Rows of the panel as choices of a field.
fn rows(rows: Vec<Row>) -> Signal<Options> {
    Signal::stored(rows)
}

/// The corrections of one kind that are there already, each with its switch; nothing where there are none.
fn there(room: Room, kind: LineKind) -> impl IntoView {
    let which = Memo::new(move |_| {
        room.with(|state| {
            let lines = state.lines().iter().enumerate();
            lines
                .filter(|(_, line)| line.kind() == kind)
                .map(|(i, _)| i)
                .collect::<Vec<_>>()
        })
    });
    let list = move || {
        let rows = which.get().into_iter().map(|i| pages::line(room, i));
        rows.collect_view()
    };
    view! {
        <ul class="shelves" aria-label="On the ledger">
            {list}
        </ul>
    }
}

/// A field of a form: what is wrong with it is said under it.
fn field(
    answer: Signal<Answer>,
    id: &'static str,
    label: &'static str,
    hint: &'static str,
    typed: Typed,
) -> impl IntoView {
    checked(id, label, hint, typed, wrong_at(answer, id))
}

/// What is wrong at a field; empty where nothing is.
fn wrong_at(answer: Signal<Answer>, id: &'static str) -> Signal<String> {
    text(move || {
        answer.with(|answer| match answer {
            Ok(_) => String::new(),
            Err(not_yet) => not_yet.wrong_at(id).to_owned(),
        })
    })
}

/// What a form comes to while it is typed, and the button that hands it to the dial: it can be pressed once there is something
/// to hand over.
///
/// A field that is `used_up` is emptied when the dial has taken what it said, where the same again would be a second one.
fn outcome(
    room: Room,
    id: &'static str,
    label: &'static str,
    answer: Signal<Answer>,
    used_up: Option<Typed>,
) -> AnyView {
    // Why the dial refused what the form came to.
    let refused = RwSignal::new(String::new());
    let of_no_field = wrong_at(answer, "");
    let sentence = text(move || {
        let sentence = of_no_field.get();
        if sentence.is_empty() {
            refused.get()
        } else {
            sentence
        }
    });
    let nothing_to_take = flag(move || {
        answer.with(|answer| !answer.as_ref().is_ok_and(|worked| worked.change.is_some()))
    });
    let send = move || {
        let change = answer.with_untracked(|answer| {
            let worked = answer.as_ref().ok();
            worked.and_then(|worked| worked.change.clone())
        });
        let Some(change) = change else {
            return;
        };
        let sent = room.ask(&change);
        match &sent {
            Ok(()) => {
                if let Some(field) = used_up {
                    field.set(String::new());
                }
            }
            Err(sentence) => room.said.set(sentence.clone()),
        }
        refused.set(sent.err().unwrap_or_default());
    };
    view! {
        {worked_out(answer)}
        {complaint(id, sentence)}
        <div class="row">{button("main", label, nothing_to_take, send)}</div>
    }
    .into_any()
}

/// The same where the dial takes nothing over. What is still to be typed is said, and is nothing to complain of.
fn worked_out(answer: Signal<Answer>) -> AnyView {
    let says = move || {
        let says = answer.with(|answer| match answer {
            Ok(worked) => worked.says.clone(),
            Err(_) => Vec::new(),
        });
        says.into_iter()
            .map(|said| view! { <li>{said}</li> })
            .collect_view()
    };
    let waits = text(move || {
        answer.with(|answer| match answer {
            Ok(_) => String::new(),
            Err(not_yet) => not_yet.waits(),
        })
    });
    view! {
        <ul class="list worked" aria-label="Worked out">
            {says}
        </ul>
        {paragraph("reason", waits)}
    }
    .into_any()
}

/// A quiet line on what a page is about.
fn about(sentence: &'static str) -> impl IntoView {
    paragraph("reason", Signal::stored(sentence.to_owned()))
}

/// A button that takes something away again, shown while it is there.
fn take_away(
    label: &'static str,
    is_there: Signal<bool>,
    action: impl Fn() + 'static,
) -> impl IntoView {
    let gone = flag(move || !is_there.get());
    view! { <div class="row" hidden=gone>{button("", label, never(), action)}</div> }
}
