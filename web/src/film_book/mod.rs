//! The film book: what film there is, what each frame was really shot at, and how to rate the rest.
//!
//! A program of its own, so that the dial does not wait for it. Everything it knows and says comes from the crate `book`.

mod batch;
mod bring_in;
mod cover;
mod keeping;
mod kit;
mod loading;
mod marks;
mod new_film;
mod papers;
mod put_in;
mod removing;
mod review;
mod roll;
mod room;
mod series;
mod ticking;

use std::rc::Rc;

use crate::browser::later::{request_animation_frame, spawn_local};
use panel::handover;

use self::room::{Place, Room};
use crate::{
    browser::part,
    live::follow,
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button, paragraph, row, said},
    sheet,
};

/// The whole book, a sheet over the page that is opened by messages from the dial.
pub(crate) fn sheet() -> Part {
    part::mark("stopkeeper-book-starts");
    let room = Room::open();
    room.sheet.prints();
    part::on_message(part::BOOK, move |message| hear(room, message));
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
        Place::Roll(id) => roll::page(room, id),
        Place::Review(id) => review::page(room, id),
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

/// A message from the dial.
fn hear(room: Room, message: String) {
    if let Some(place) = message.strip_prefix(ticking::TICK) {
        let place = place.to_owned();
        return room.when_open(move || spawn_local(ticking::tick(room, place)));
    }
    if let Some(place) = message.strip_prefix(ticking::SLIP) {
        let place = place.to_owned();
        return room.when_open(move || {
            spawn_local(async move {
                if ticking::slip(room, &place).await {
                    show(room);
                }
            });
        });
    }
    let asked = message.strip_prefix(part::LOG);
    if let Some((roll, setting)) = asked.and_then(|asked| asked.split_once('\n')) {
        let (roll, setting) = (roll.to_owned(), setting.to_owned());
        return room.when_open(move || {
            spawn_local(async move {
                if !ticking::log(room, &roll, &setting).await {
                    show(room);
                }
            });
        });
    }
    show(room);
    room.when_open(move || {
        room.look_at_dial();
        spawn_local(room.look());
        if let Some(others) = message.strip_prefix(part::OPENED) {
            // OK to fall back on none: the start script writes a number.
            return bring_in::opened(room, others.parse().unwrap_or(0));
        }
        if message == part::NEXT {
            return ticking::turn_to_served(room);
        }
        if message.is_empty() {
            // A series that was not logged is no page to come back to: the dial has it, and may be set otherwise by now.
            return room.leave_series();
        }
        match handover::series(&message) {
            Ok(series) => {
                room.for_roll.set(String::new());
                room.series.put(Some(Rc::new(series)));
                room.go(Place::Series);
            }
            Err(refusal) => room.said.set(refusal.sentence),
        }
    });
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
        Place::Roll(id) => book
            .roll(&id)
            .map_or_else(|| "Roll".to_owned(), |roll| roll.name.clone()),
        Place::Review(id) => book.roll(&id).map_or_else(
            || "Review".to_owned(),
            |roll| format!("Review: {}", roll.name),
        ),
    })
}
