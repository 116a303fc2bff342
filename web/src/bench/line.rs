//! A row of the corrections that are there.

use panel::light::{Change, Line};

use super::Room;
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
