//! What is removed is asked for once, with what goes with it; a file of all of it is offered before, and undo after.

use std::rc::Rc;

use book::{Edit, would_remove};

use super::{papers, room::Room};
use crate::{
    browser::sheet,
    live::Live,
    parts::{Part, el, follows, parts},
    piece::{button, paragraph, row, unfolds},
};

/// A way to remove something: the edit that does it, asked about before.
pub(super) fn form(
    room: Room,
    summary: &'static str,
    remark: &'static str,
    edit: impl Fn() -> Edit + 'static,
) -> Part {
    form_of(room, summary, remark, Rc::new(edit))
}

fn form_of(
    room: Room,
    summary: &'static str,
    remark: &'static str,
    edit: Rc<dyn Fn() -> Edit>,
) -> Part {
    let asked = Live::new(false);
    let ask = move || {
        asked.set(true);
        sheet::turn_to(".removing:not([hidden])");
    };
    let inside = follows(move || {
        let edit = Rc::clone(&edit);
        let is_asked = asked.get();
        let goes = room.with(|book| would_remove(book, &edit()));
        let nothing = goes.is_empty();
        let remove = move || {
            asked.set(false);
            room.edit_when_read(edit(), |_| {});
        };
        parts![
            row([button("", "Remove …", ask).flag("disabled", nothing)]).hidden(is_asked),
            el("div")
                .class("question removing")
                .attr("role", "group")
                .named("Remove it?")
                .attr("tabindex", "-1")
                .hidden(!is_asked)
                .with(paragraph("", if is_asked { goes } else { String::new() }))
                .with(paragraph(
                    "reason",
                    "Undo brings it back until this page is closed; after that only a saved file does.",
                ))
                .with(row([
                    button("", "Save the whole book first", move || {
                        papers::hand_out_book(room, papers::Way::Save, false);
                    }),
                    button("", "Keep it", move || {
                        asked.set(false);
                    }),
                    button("main", "Remove it", remove).flag("disabled", nothing),
                ])),
        ]
    });
    unfolds(summary, parts![paragraph("reason", remark), inside]).into()
}
