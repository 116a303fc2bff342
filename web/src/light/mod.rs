//! The light: where a reading comes from, what stands between it and the film, and how long to count.
//!
//! A program of its own, so that the dial does not wait for it. It gets the dial's whole setting, and hands back a changed
//! one; what it knows and says comes from the crates `readings`, `exposure` and `panel`.
//!
//! To add a page: a file with a function `page(room: Room) -> AnyView`, and a row in one of the lists of `pages`.

mod agree;
mod borrowed;
mod camera;
mod cameras;
mod correct;
mod counts;
mod found;
mod more;
mod pages;
mod photo;
mod room;
mod scenes;
mod sky;
mod timer;
mod tones;
mod typed;

use leptos::prelude::*;

use self::room::Room;
use crate::{
    browser::{page, part},
    piece::{flag, text},
    sheet,
};

/// The whole part, a sheet over the page that is opened by messages from the dial.
#[component]
pub(crate) fn Light() -> impl IntoView {
    let room = Room::new();
    let open = move || room.sheet.open();
    part::on_message(part::LIGHT, move |message| {
        open();
        room.hear(&message);
    });
    // A shutter that stands open goes before whatever is on the screen; but a page with something half typed stays.
    room.watch.at_end(open);
    page::on_hidden(move || room.is_unseen());
    let open_page = move || (room.place.get().view)(room);
    view! {
        <dialog class="sheet part light-sheet" node_ref=room.sheet.dialog aria-labelledby="light-title" on:cancel=move |_: leptos::ev::Event| room.sheet.closes() on:close=move |_| room.is_unseen()>
            {sheet::part_head(
                "light-title",
                text(move || room.place.get().title.to_owned()),
                flag(move || room.is_at_start()),
                move || room.back(),
                move || room.close(),
            )}
            // A page may be longer than the screen and hold nothing that takes the keyboard.
            <div class="sheet-body" tabindex="0" role="group" aria-labelledby="light-title">
                <p class="notice" hidden=flag(move || room.notice.with(String::is_empty))>
                    {room.notice}
                </p>
                {timer::beside(room)}
                {open_page}
            </div>
            <div class="part-foot">
                <p class="part-said" role="status">
                    {room.said}
                </p>
            </div>
        </dialog>
    }
}
