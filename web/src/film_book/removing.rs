//! What is removed is asked for once, with what goes with it; a file of all of it is offered before, and undo after.

use book::{Edit, would_remove};
use leptos::prelude::*;

use super::{papers, room::Room};
use crate::{
    browser::sheet,
    piece::{button, flag, never, paragraph, text},
};

/// A way to remove something: the edit that does it, asked about before.
pub(super) fn form(
    room: Room,
    summary: &'static str,
    remark: &'static str,
    edit: impl Fn() -> Edit + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let asked = RwSignal::new(false);
    let quiet = flag(move || !asked.get());
    let says = text(move || {
        if asked.get() {
            room.with(|book| would_remove(book, &edit()))
        } else {
            String::new()
        }
    });
    let nothing = flag(move || room.with(|book| would_remove(book, &edit()).is_empty()));
    let ask = move || {
        asked.set(true);
        sheet::turn_to(".removing:not([hidden])");
    };
    let remove = move || {
        asked.set(false);
        room.edit_when_read(edit(), |_| {});
    };
    view! {
        <details>
            <summary>{summary}</summary>
            <p class="reason">{remark}</p>
            <div class="row" hidden=asked>
                {button("", "Remove …", nothing, ask)}
            </div>
            <div class="question removing" role="group" aria-label="Remove it?" tabindex="-1" hidden=quiet>
                {paragraph("", says)}
                <p class="reason">"Undo brings it back until this page is closed; after that only a saved file does."</p>
                <div class="row">
                    {button("", "Save the whole book first", never(), move || papers::hand_out_book(room, papers::Way::Save))}
                    {button("", "Keep it", never(), move || asked.set(false))}
                    {button("main", "Remove it", nothing, remove)}
                </div>
            </div>
        </details>
    }
}
