//! The light: where a reading comes from, what stands between it and the film, and how long to count.
//!
//! A program of its own, so that the dial does not wait for it. It gets the dial's whole setting, and hands back a changed
//! one; what it knows and says comes from the crates `readings`, `exposure` and `panel`.
//!
//! To add a page: a file with a function `page(room: Room) -> Part`, and a row in one of the lists of `pages`.

mod agree;
mod camera;
mod cameras;
mod correct;
mod counts;
mod found;
mod marks;
mod more;
mod pages;
mod photo;
mod room;
mod scenes;
mod shadows;
mod shelf;
mod sky;
mod timer;
mod tones;
mod typed;
mod watch;

use self::room::Room;
use crate::{
    browser::{page, part},
    parts::{Part, el, follows, turns},
    piece::said,
    sheet,
};

/// The whole part, a sheet over the page that is opened by messages from the dial.
pub(crate) fn sheet() -> Part {
    let room = Room::new(pages::of);
    let open = move || room.sheet.open();
    part::on_light(move |message| {
        open();
        room.hear(message);
    });
    // A shutter that stands open goes before whatever is on the screen; but a page with something half typed stays.
    room.watch.at_end(open);
    page::on_hidden(move || room.is_unseen());
    let head = sheet::part_head(
        "light-title",
        move || room.place.get().title.to_owned(),
        move || room.is_at_start(),
        move || room.back(),
        move || room.close(),
    );
    // Made once for each opening: what changes on a page follows by itself.
    let open_page = turns(move || room.place.get(), move |page| (page.view)(room));
    // A page may be longer than the screen and hold nothing that takes the keyboard.
    let body = el("div")
        .class("sheet-body")
        .attr("tabindex", "0")
        .attr("role", "group")
        .attr("aria-labelledby", "light-title")
        .with(follows(move || said("notice", room.notice.get())))
        .with(timer::beside(room))
        .with(open_page);
    let said_last = el("p").class("part-said").attr("role", "status");
    el("dialog")
        .class("sheet part light-sheet")
        .here(room.sheet.dialog)
        .attr("aria-labelledby", "light-title")
        .on("cancel", move |_| room.sheet.closes())
        .on("close", move |_| room.is_unseen())
        .with(head)
        .with(body)
        .with(
            el("div")
                .class("part-foot")
                .with(said_last.tells(move || room.said.get())),
        )
        .into()
}
