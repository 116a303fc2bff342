//! Finding the light: where a reading comes from.
//!
//! A program of its own, so that the dial does not wait for it. It gets the dial's whole setting, and hands back a changed
//! one; what it knows and says comes from the crates `readings`, `exposure` and `panel`. What corrects a reading, and counts,
//! is another one, the bench.
//!
//! To add a page: a file with a function `page(room: Room) -> Part`, and a row in the list of `pages`.

mod agree;
mod apart;
mod camera;
mod found;
mod marks;
mod pages;
mod photo;
mod room;
mod scenes;
mod shadows;
mod sky;
mod tones;
mod typed;

use panel::message::{Page as Opened, ToDial};

pub use self::apart::{Apart, apart};
use self::room::Room;
use crate::{
    apart::Fetch,
    browser::{part, storage},
    parts::{Part, follows},
    piece::notice,
};

/// The whole part, a sheet over the page that is opened by messages from the dial.
pub(crate) fn sheet(fetch: Fetch<Apart>) -> Part {
    let room = Room::finding(pages::of, fetch);
    storage::on_kept(move || room.say_whether_kept());
    part::on_light(move |message| {
        room.read_recent();
        room.hear(message);
    });
    part::on_dial(move |told| match told {
        ToDial::Take { setting, .. } => room.take_over(&setting),
        ToDial::Count(count) => {
            room.kept.count.set(count);
            // A time that is up comes forward by itself; then nobody looks here any more.
            if room.is_covered() {
                room.is_unseen();
            }
        }
        _ => {}
    });
    let counted = follows(move || {
        notice(room.kept.count.get(), "To the timer", move || {
            room.go_over(Opened::Timer);
        })
    });
    room.on_a_sheet(counted)
}
