//! The film book: what film there is, what each frame was really shot at, and how to rate the rest.
//!
//! A program of its own, so that the dial does not wait for it. Everything it knows and says comes from the crate `book`.

mod apart;
mod batch;
mod bring_in;
mod cover;
mod evidence;
mod folder;
mod keeping;
mod kit;
mod large;
mod loading;
mod marks;
mod measured;
mod new_film;
mod pairs;
mod papers;
mod put_in;
mod removing;
mod review;
mod roll;
mod room;
mod series;
mod speed_test;
mod ticking;

use std::rc::Rc;

use crate::browser::later::{request_animation_frame, spawn_local};
use panel::{handover::Series, message::ToBook};

pub use self::apart::{Apart, apart};
use self::room::{Place, Room};
use crate::{
    apart::Fetch,
    browser::part,
    live::{Live, follow},
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button, paragraph, row, said},
    sheet,
};

/// The whole book, a sheet over the page that is opened by messages from the dial.
pub(crate) fn sheet(fetch: Fetch<Apart>) -> Part {
    part::mark("stopkeeper-book-starts");
    let room = Room::open(fetch);
    room.sheet.prints(|| true);
    part::on_book(move |message| hear(room, message));
    // Before anything is removed in this visit, which could be taken back.
    let tidied = Live::new(false);
    follow(move || {
        if room.kept.is_open()
            && tidied.quietly(|done| std::mem::replace(done, true)) == Some(false)
        {
            spawn_local(measured::forget_removed(room));
        }
    });
    // The dial hears of each change of what is in the cameras.
    follow(move || {
        if room.kept.is_open() {
            room.with(ticking::tell_dial);
        }
    });
    el("dialog")
        .class("sheet part film-book")
        .attr("aria-labelledby", "film-book-title")
        .here(room.sheet.dialog)
        .on("cancel", move |_| room.sheet.closes())
        .with(sheet::part_head(
            "film-book-title",
            move || title(room),
            move || room.place.get() == Place::Cover,
            move || room.back(),
            move || room.sheet.close(),
        ))
        .with(
            el("div")
                .class("sheet-body")
                .with(follows(move || {
                    said("notice", room.kept.work.get()).attr("role", "status")
                }))
                .with(follows(move || said("notice", room.notice_lines())))
                .with(turns(
                    move || room.kept.is_open().then(|| room.place.get()),
                    move |place| place.map(|place| page(room, place)),
                )),
        )
        .with(foot(room))
        .into()
}

/// The page that is open.
fn page(room: Room, place: Place) -> Part {
    match place {
        Place::Cover => cover::page(room),
        Place::NewFilm => new_film::page(room),
        Place::Kit => kit::page(room),
        Place::Batch(id) => batch::page(room, id),
        Place::SpeedTest(group) => room.drawer.page(room.sheet, move |apart| {
            (apart.speed_test)(room, group.clone())
        }),
        Place::Roll(id) => roll::page(room, id),
        Place::Review(id) => room
            .drawer
            .page(room.sheet, move |apart| (apart.review)(room, id.clone())),
        Place::Series => series::page(room),
    }
}

/// What happened last, and the way back from it.
fn foot(room: Room) -> Element {
    el("div")
        .class("part-foot")
        .with(
            el("p")
                .class("part-said")
                .attr("role", "status")
                .tells(move || room.said.get()),
        )
        .with(follows(move || {
            let undo = room.would_undo();
            // What was just said is not said again.
            let words = undo.as_ref().filter(|what| room.said.get() != **what);
            let words = words.map_or_else(String::new, |what| format!("Undo takes back: {what}"));
            parts![
                row([
                    button("", "Undo", move || room.undo()).flag("disabled", undo.is_none()),
                    button("", "Do again", move || room.redo())
                        .flag("disabled", !room.would_redo()),
                ]),
                paragraph("reason", words),
            ]
        }))
}

fn show(room: Room) {
    room.sheet.open();
    room.when_open(|| request_animation_frame(|| part::mark("stopkeeper-book-shows")));
}

/// What is said where a message cannot be read.
const NOT_READ: &str =
    "What the dial asked for did not come through. Close this, and ask for it again.";

/// Does what the dial asks for; a message that cannot be read is none.
fn hear(room: Room, message: Option<ToBook>) {
    match message {
        Some(ToBook::Open) => {
            // A series that was not logged is no page to come back to: the dial has it, and may be set otherwise by now.
            open(room, move || room.leave_series());
        }
        Some(ToBook::Next) => open(room, move || ticking::turn_to_served(room)),
        Some(ToBook::Opened(others)) => open(room, move || bring_in::opened(room, others)),
        Some(ToBook::Ask(series)) => open(room, move || ask(room, &series)),
        // These are done without opening the book, unless it has to be looked at.
        Some(ToBook::Log { roll, series }) => room.when_open(move || {
            spawn_local(async move {
                if !ticking::log(room, &roll, &series).await {
                    show(room);
                }
            });
        }),
        Some(ToBook::Tick(frame)) => {
            room.when_open(move || spawn_local(ticking::tick(room, frame)));
        }
        Some(ToBook::Slip(frame)) => room.when_open(move || {
            spawn_local(async move {
                if ticking::slip(room, frame).await {
                    show(room);
                }
            });
        }),
        None => open(room, move || room.said.set(NOT_READ.to_owned())),
    }
}

/// Shows the book, and does something as soon as it is there.
fn open(room: Room, then: impl FnOnce() + 'static) {
    show(room);
    room.when_open(move || {
        room.look_at_dial();
        spawn_local(room.look());
        then();
    });
}

/// Asks where to log a series.
fn ask(room: Room, series: &str) {
    match Series::read(series) {
        Ok(series) => {
            room.for_roll.set(String::new());
            room.series.put(Some(Rc::new(series)));
            room.go(Place::Series);
        }
        Err(refusal) => room.said.set(refusal.sentence),
    }
}

fn title(room: Room) -> String {
    if !room.kept.is_open() {
        return "The book is being opened".to_owned();
    }
    room.with(|book| match room.place.get() {
        Place::Cover => "Film book".to_owned(),
        Place::NewFilm => "New film".to_owned(),
        Place::Kit => "Kit".to_owned(),
        Place::Series => "Log this series".to_owned(),
        Place::Batch(id) => book
            .batch(&id)
            .and_then(|batch| book.stock(&batch.stock))
            .map_or_else(|| "Batch".to_owned(), |stock| stock.name.clone()),
        Place::SpeedTest(group) => book.stock(&group.stock).map_or_else(
            || "Film-speed test".to_owned(),
            |stock| format!("Film-speed test: {}", stock.name),
        ),
        Place::Roll(id) => book
            .roll(&id)
            .map_or_else(|| "Roll".to_owned(), |roll| roll.name.clone()),
        Place::Review(id) => book.roll(&id).map_or_else(
            || "Review".to_owned(),
            |roll| format!("Review: {}", roll.name),
        ),
    })
}
