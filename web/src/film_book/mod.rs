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

use std::sync::Arc;

use leptos::prelude::*;
use leptos::task::spawn_local;
use panel::handover;

use self::room::{Place, Room};
pub(crate) use self::{keeping::records_of, room::clock_says};
use crate::{
    browser::part,
    form,
    piece::{button, flag, paragraph, text},
    sheet,
};

/// The whole book, a sheet over the page that is opened by messages from the dial.
#[component]
pub(crate) fn FilmBook() -> impl IntoView {
    part::mark("stopkeeper-book-starts");
    let room = Room::open();
    room.sheet.prints();
    let show = move || {
        room.sheet.open();
        room.when_open(|| request_animation_frame(|| part::mark("stopkeeper-book-shows")));
    };
    part::on_message(part::BOOK, move |message| {
        if let Some(place) = message.strip_prefix(ticking::TICK) {
            let place = place.to_owned();
            return room.when_open(move || spawn_local(ticking::tick(room, place)));
        }
        if let Some(place) = message.strip_prefix(ticking::SLIP) {
            let place = place.to_owned();
            return room.when_open(move || {
                spawn_local(async move {
                    if ticking::slip(room, &place).await {
                        show();
                    }
                });
            });
        }
        if let Some((roll, setting)) = message
            .strip_prefix(part::LOG)
            .and_then(|asked| asked.split_once('\n'))
        {
            let (roll, setting) = (roll.to_owned(), setting.to_owned());
            return room.when_open(move || {
                spawn_local(async move {
                    if !ticking::log(room, &roll, &setting).await {
                        show();
                    }
                });
            });
        }
        show();
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
                    room.series.set(Some(Arc::new(series)));
                    room.go(Place::Series);
                }
                Err(refusal) => room.said.set(refusal.sentence),
            }
        });
    });
    // The dial hears of each change of what is in the cameras.
    Effect::new(move |_| {
        if room.kept.is_open() {
            room.with(ticking::tell_dial);
        }
    });
    let close = move || {
        room.sheet.close();
    };
    let title = text(move || title(room));
    let page = move || match room.place.get() {
        _ if !room.kept.is_open() => ().into_any(),
        Place::Cover => cover::page(room).into_any(),
        Place::NewFilm => new_film::page(room).into_any(),
        Place::Kit => kit::page(room).into_any(),
        Place::Batch(id) => batch::page(room, id).into_any(),
        Place::Roll(id) => roll::page(room, id).into_any(),
        Place::Review(id) => review::page(room, id).into_any(),
        Place::Series => series::page(room).into_any(),
    };
    let undo = text(move || room.would_undo().unwrap_or_default());
    let notices = text(move || room.notice_lines());
    let work = room.kept.work;
    view! {
        <dialog
            class="sheet part film-book"
            node_ref=room.sheet.dialog
            aria-labelledby="film-book-title"
            on:cancel=move |_: leptos::ev::Event| room.sheet.closes()
        >
            {sheet::part_head(
                "film-book-title",
                title,
                flag(move || room.place.get() == Place::Cover),
                move || room.back(),
                close,
            )}
            <div class="sheet-body">
                <p class="notice" role="status" hidden=flag(move || work.with(String::is_empty))>
                    {work}
                </p>
                <p class="notice" hidden=flag(move || notices.with(String::is_empty))>
                    {notices}
                </p>
                {page}
            </div>
            <div class="part-foot">
                <p class="part-said" role="status">
                    {room.said}
                </p>
                <div class="row">
                    {button("", "Undo", flag(move || undo.with(String::is_empty)), move || room.undo())}
                    {button("", "Do again", flag(move || !room.would_redo()), move || room.redo())}
                </div>
                {paragraph(
                    "reason",
                    text(move || {
                        let what = undo.get();
                        if what.is_empty() { what } else { format!("Undo takes back: {what}") }
                    }),
                )}
            </div>
        </dialog>
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
        Place::Roll(id) => book
            .roll(&id)
            .map_or_else(|| "Roll".to_owned(), |roll| roll.name.clone()),
        Place::Review(id) => book.roll(&id).map_or_else(
            || "Review".to_owned(),
            |roll| format!("Review: {}", roll.name),
        ),
    })
}
