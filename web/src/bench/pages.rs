//! The pages of the bench, each a row in one of two lists.

use exposure::words;
use panel::{State, message::Page as Opened};

use super::{Page, Room, correct, counts, line::line, more, timer};
use crate::{
    drawn,
    parts::{Part, el, follows, parts},
    piece::{paragraph, said},
    room::{self, Way},
    shelf::shelves,
};

/// The list of corrections.
static CORRECT: Page = Page {
    opened: Some(Opened::Corrections),
    list: None,
    title: room::CORRECT,
    view: correct,
};

/// What else there is.
static OTHERS: &[Page] = &[
    Page {
        opened: Some(Opened::Timer),
        list: None,
        title: room::TIMER,
        view: timer::page,
    },
    Page {
        opened: Some(Opened::Counts),
        list: None,
        title: room::COUNTS,
        view: counts::page,
    },
    Page {
        opened: Some(Opened::More),
        list: None,
        title: room::MORE,
        view: more::page,
    },
];

/// The page that the dial opens as this one.
pub(super) fn of(opened: Opened) -> &'static Page {
    OTHERS
        .iter()
        .find(|page| page.opened == Some(opened))
        .unwrap_or(&CORRECT)
}

fn correct(room: Room) -> Part {
    let corrections: Vec<_> = correct::PAGES.iter().map(Way::Here).collect();
    let find = Way::Over(Opened::Readings, room::FIND);
    let others = OTHERS.iter().map(Way::Here);
    let also: Vec<_> = core::iter::once(find).chain(others).collect();
    parts![
        follows(move || room.with(|state| lines(room, state))),
        room.rows("Corrections", &corrections),
        el("h3").says("Also here"),
        room.rows("Also here", &also),
    ]
}

/// The corrections that are there, each with a switch and a way out.
fn lines(room: Room, state: &State) -> Part {
    if state.lines().is_empty() {
        let none = "None yet: the reading goes to the dials as it is.";
        return paragraph("reason", none).into();
    }
    let way = state.way_to_film();
    let rows = state.lines().iter().zip(&way.rows).enumerate();
    let rows = rows.map(|(i, (at, pieces))| {
        line(room, i, at)
            .with(said("reason", state.does_now(at).unwrap_or_default()))
            .with(drawn::row_track(&way, pieces))
    });
    let sum = format!(
        "All that count: {}. The dials make up for it.",
        words::difference(state.correction())
    );
    let of_all = way.rows.last().map(|pieces| drawn::row_track(&way, pieces));
    let drawing = parts![
        shelves("Corrections that are there", rows.collect()),
        paragraph("way-sum", sum),
        of_all,
        drawn::ticks_under(way.axis, &way.ticks),
    ];
    let figure = drawn::figure(way.name, way.legend, drawing);
    el("div").class("way").with(figure).into()
}
