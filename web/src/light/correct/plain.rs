//! Corrections by a number of stops: the reading device's, and anything else.

use leptos::prelude::*;
use panel::{correct, light::LineKind};

use super::{about, outcome, start, there};
use crate::{
    browser::storage,
    caution,
    film_book::PREFIX,
    form::{choice, entry, fixed, shelf},
    light::room::Room,
};

pub(super) fn device(room: Room) -> AnyView {
    let devices = storage::read_all(&format!("{PREFIX}device.")).unwrap_or_default();
    let records: Vec<_> = devices
        .into_iter()
        .filter_map(|(key, text)| Some((key.strip_prefix(PREFIX)?.to_owned(), text)))
        .collect();
    let known = correct::kit_devices(&records)
        .into_iter()
        .map(|(words, change)| {
            shelf(words, move || {
                room.change(&change);
            })
        })
        .collect_view();
    view! {
        {typed_device(room)}
        <ul class="shelves" aria-label="Devices of the kit">
            {known}
        </ul>
        {about(caution::MERCURY)}
    }
    .into_any()
}

fn typed_device(room: Room) -> AnyView {
    page(
        room,
        LineKind::Device,
        "What reads the light may be off. Check it on a plain, evenly lit wall against one that you trust, and put the difference here.",
        [
            ("less", "It asks for too little light"),
            ("more", "It asks for too much light"),
        ],
    )
}

pub(super) fn other(room: Room) -> AnyView {
    page(
        room,
        LineKind::Other,
        "Anything else that the reading does not know of: a window, a net before the lens, a lamp that has aged.",
        [
            ("less", "It takes light from the film"),
            ("more", "It gives light to the film"),
        ],
    )
}

fn page(
    room: Room,
    kind: LineKind,
    words: &'static str,
    ways: [(&'static str, &'static str); 2],
) -> AnyView {
    let (name, gives, stops) = (start(""), start("less"), start(""));
    let answer =
        Signal::derive(move || correct::by_stops(kind, &name.get(), &gives.get(), &stops.get()));
    view! {
        {about(words)}
        {there(room, kind)}
        <div class="form">
            {entry("plain-name", "Name", "In your own words; may stay empty.", name)}
            {choice("plain-gives", "Which way", fixed(ways), gives)}
            {entry("plain-stops", "Stops", "2, 1.5, 1 1/3 or 2/3", stops)}
        </div>
        {outcome(room, "plain-error", "Put it on the ledger", answer, Some(stops))}
    }
    .into_any()
}
