//! The bench: what stands between a reading and the film, how long to count, how this counts, and what is set once.
//!
//! A program of its own. It gets the dial's whole setting, and hands back a changed one; what it knows and says comes from the
//! crates `exposure` and `panel`.
//!
//! To add a page: a file with a function `page(room: Room) -> Part`, and a row in one of the lists of `pages` or `correct`.

mod cameras;
mod correct;
mod counts;
mod line;
mod more;
mod pages;
mod timer;
mod watch;

use panel::message::ToDial;

use self::watch::Watch;
use crate::{
    browser::{part, storage},
    parts::Part,
    room,
};

/// The room of this program, which has a watch.
pub(crate) type Room = room::Room<Watch>;

/// A page of it.
pub(crate) type Page = room::Page<Watch>;

/// The whole part, a sheet over the page that is opened by messages from the dial.
pub(crate) fn sheet() -> Part {
    let room = Room::new(["bench-sheet", "light-sheet"], pages::of, Watch::take_up);
    storage::on_kept(move || {
        room.say_whether_kept();
        room.kept.see_whether_kept();
    });
    part::on_bench(move |message| room.hear(message));
    part::on_dial(move |told| {
        if let ToDial::Take { setting, .. } = told {
            room.take_over(&setting);
        }
    });
    // A shutter that stands open goes before whatever is on the screen; but a page with something half typed stays.
    room.kept.at_end(move || room.open());
    room.on_a_sheet(timer::beside(room))
}
