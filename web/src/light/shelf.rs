//! Rows that several pages show: lists that are opened or kept, and the corrections that are there.

use panel::light::{Change, Line};

use super::room::Room;
use crate::{
    form,
    parts::{Element, el},
    piece::button,
};

/// A correction, by its place among all.
pub(super) fn line(room: Room, i: usize, line: &Line) -> Element {
    let words = format!("{}: {}", line.name(), line.does());
    let count = move |on| {
        room.change(&Change::Count(i, on));
    };
    let remove = move || {
        room.change(&Change::Drop(i));
    };
    el("li")
        .class("kept")
        .with(form::tick(words, line.on(), count))
        .with(button("", "Remove", remove).named(format!("Remove {}", line.name())))
}

/// A list of rows.
pub(super) fn shelves(label: &'static str, rows: Vec<Element>) -> Element {
    el("ul").class("shelves").named(label).all(rows)
}
