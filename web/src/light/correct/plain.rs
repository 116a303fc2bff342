//! Corrections by a number of stops: the reading device's, and anything else.

use book::Kind;
use leptos::prelude::*;
use leptos::task::spawn_local;
use panel::{
    correct::{self, DeviceLine, IsoScale},
    light::{Change, LineKind},
};

use super::{about, field, outcome, start, there, wrong_at};
use crate::{
    caution, film_book,
    form::{checked, choice, entry_button, fixed},
    light::room::Room,
    piece::{button, flag, paragraph, text},
};

pub(super) fn device(room: Room) -> AnyView {
    let records = RwSignal::new(Vec::new());
    spawn_local(async move {
        records.set(film_book::records_of(Kind::Device).await);
    });
    let scale = (start("thirds"), start(""));
    let known = move || {
        let devices =
            records.with(|records| room.with(|state| correct::kit_devices(state, records)));
        devices
            .into_iter()
            .map(|device| {
                let change = device.change;
                let take = move || {
                    room.change(&change);
                };
                view! {
                    <li>
                        {entry_button("shelf", device.words, take)}
                        <p class="reason">{device.instead}</p>
                    </li>
                }
            })
            .collect_view()
    };
    view! {
        {page(
            room,
            LineKind::Device,
            "What reads the light may be off. Check it on a plain, evenly lit wall against one that you trust, and put the difference here; or set its sensitivity so that it reads right by itself.",
            [("less", "It asks for too little light"), ("more", "It asks for too much light")],
            Some(scale),
        )}
        <ul class="shelves" aria-label="Devices of the kit">
            {known}
        </ul>
        {about(caution::MERCURY)}
    }
    .into_any()
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
        None,
    )
}

/// Kind and list of a scale as they are typed.
type Scale = (RwSignal<String>, RwSignal<String>);

fn read(scale: Scale) -> IsoScale {
    IsoScale {
        which: scale.0.get(),
        list: scale.1.get(),
    }
}

/// The form; `scale` is what a reading device can be set to.
fn page(
    room: Room,
    kind: LineKind,
    words: &'static str,
    ways: [(&'static str, &'static str); 2],
    scale: Option<Scale>,
) -> AnyView {
    let (name, gives, stops) = (start(""), start("less"), start(""));
    let answer = Signal::derive(move || {
        let scale = scale.map(read).unwrap_or_default();
        room.with(|state| {
            correct::by_stops(state, kind, &name.get(), &gives.get(), &stops.get(), &scale)
        })
    });
    view! {
        {about(words)}
        {there(room, kind)}
        {scale.map(|scale| on_the_device(room, scale))}
        <div class="form">
            {field(answer, "plain-name", "Name", "In your own words; may stay empty.", name)}
            {choice("plain-gives", "Which way", fixed(ways), gives)}
            {field(answer, "plain-stops", "Stops", "2, 1.5, 1 1/3 or 2/3", stops)}
            {scale.map(|scale| sensitivities(answer, scale))}
        </div>
        {outcome(room, "plain-error", "Put it on the ledger", answer, Some(stops))}
    }
    .into_any()
}

/// What the device can be set to.
fn sensitivities(answer: Signal<correct::Answer>, (which, list): Scale) -> impl IntoView {
    let listed = flag(move || which.with(|which| which != "own"));
    view! {
        {choice("device-scale", "Its sensitivities", fixed(correct::ISO_SCALES), which)}
        <div hidden=listed>
            {checked(
                "device-iso",
                "Sensitivities that it has",
                "25 50 100 200 400, or 100..6400",
                list,
                wrong_at(answer, "device-iso"),
            )}
        </div>
    }
}

/// What could be set on the device instead of the line that counts, and the ways to do one of both.
fn on_the_device(room: Room, scale: Scale) -> impl IntoView {
    let line = Memo::new(move |_| {
        let scale = read(scale);
        // What is wrong with the scale is said at its field.
        room.with(|state| correct::device_line(state, &scale))
            .unwrap_or_default()
    });
    let says = text(move || {
        line.with(|line| {
            line.as_ref()
                .map(|line| line.says.join(" "))
                .unwrap_or_default()
        })
    });
    let change = move |of: fn(&DeviceLine) -> Option<Change>| {
        move || {
            if let Some(change) = line.with_untracked(|line| line.as_ref().and_then(of)) {
                room.change(&change);
            }
        }
    };
    let leaves: fn(&DeviceLine) -> Option<Change> = |line| Some(line.leave_out.clone());
    let remains: fn(&DeviceLine) -> Option<Change> = |line| line.remains.clone();
    let none = flag(move || line.with(Option::is_none));
    let nothing_remains =
        flag(move || line.with(|line| line.as_ref().is_none_or(|line| line.remains.is_none())));
    view! {
        <div hidden=none>
            {paragraph("reason", says)}
            <div class="row">
                {button("", "It is set on the device: leave the line out", none, change(leaves))}
                {button("", "It is set on the device: count what remains", nothing_remains, change(remains))}
            </div>
        </div>
    }
}
