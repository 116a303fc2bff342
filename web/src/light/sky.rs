//! Sun and moon from place and time.

use exposure::light::Constants;
use leptos::{prelude::*, task::spawn_local};
use readings::sky::{CAUTION, Cover, Facing, Moment, Place, Sky};

use super::{
    found::{Outcome, by_place, field, nothing, offer, picked},
    room::Room,
};
use crate::{
    browser::{clock, position},
    form::{choice, entry},
    piece::{button, complaint, flag, paragraph, text},
};

const NO_PLACE: &str = "The device did not say where it is: it may not be allowed to, or cannot tell here. Type the place.";

pub(super) fn page(room: Room) -> AnyView {
    let (north, east) = (field(""), field(""));
    let [year, month, day, hour, minute] = clock::now();
    let date = field(&format!("{year:04}-{month:02}-{day:02}"));
    let time = field(&format!("{hour:02}:{minute:02}"));
    let (cover, facing) = (field("0"), field("0"));
    let (error, asking) = (field(""), RwSignal::new(false));
    let sky = Memo::new(move |_| -> Result<Sky, String> {
        let place = (north.get(), east.get());
        if place.0.trim().is_empty() && place.1.trim().is_empty() {
            return Err(String::new());
        }
        let moment = moment(&date.get(), &time.get())?;
        Place::parse(&place.0, &place.1)
            .and_then(|place| Sky::new(place, Moment::new(clock::seconds_of(moment))?))
            .map_err(|error| error.to_string())
    });
    let found = Signal::derive(move || -> Outcome {
        sky.with(|sky| match sky {
            Ok(sky) => sky
                .found(
                    picked(&Cover::ALL, &cover.get()).unwrap_or(Cover::Clear),
                    picked(&Facing::ALL, &facing.get()).unwrap_or(Facing::Disc),
                    &Constants::default(),
                )
                .map_err(|error| error.to_string()),
            Err(sentence) if sentence.is_empty() => nothing(),
            Err(sentence) => Err(sentence.clone()),
        })
    });
    let stands = text(move || {
        sky.with(|sky| match sky {
            Ok(sky) => format!("{} {}", sky.in_words(), sky.tables_hold()),
            Err(_) => String::new(),
        })
    });
    let sun_is_down =
        flag(move || sky.with(|sky| !sky.as_ref().is_ok_and(|sky| sky.sun_height > 0.0)));
    let locate = move || {
        asking.set(true);
        error.set(String::new());
        spawn_local(async move {
            match position::here().await {
                Some((latitude, longitude)) => {
                    // A hundredth of a degree is a kilometre, more than the light depends on.
                    let shown = |degrees| exposure::words::decimal(degrees, 2);
                    north.set(shown(latitude));
                    east.set(shown(longitude));
                }
                None => error.set(NO_PLACE.to_owned()),
            }
            asking.set(false);
        });
    };
    view! {
        <p class="reason">
            "Where the sun or moon stands says how much light there could be; clouds and haze say how much there is. The place stays on this page."
        </p>
        <div class="row">{button("", "Use where this device is", asking.into(), locate)}</div>
        {complaint("sky-error", error.into())}
        <div class="form">
            {entry("sky-north", "Latitude", "Degrees north; south as 33.9 S.", north)}
            {entry("sky-east", "Longitude", "Degrees east; west as 70.5 W.", east)}
            {entry("sky-date", "Day", "Such as 2026-11-25.", date)}
            {entry("sky-time", "Time by the clock of this device", "Such as 13:35.", time)}
            {choice("sky-cover", "Sky", Signal::stored(by_place(Cover::ALL.map(Cover::name))), cover)}
            {choice(
                "sky-facing",
                "The light falls on a subject",
                Signal::stored(by_place(Facing::ALL.map(Facing::name))),
                facing,
            )}
        </div>
        {paragraph("lines", stands)}
        <p class="warning" hidden=sun_is_down>
            {CAUTION}
        </p>
        {offer(room, found)}
    }
    .into_any()
}

/// Year, month, day, hour and minute.
fn moment(date: &str, time: &str) -> Result<[u16; 5], String> {
    let numbers = |text: &str, between: char| -> Option<Vec<u16>> {
        text.trim()
            .split(between)
            .map(|part| part.trim().parse().ok())
            .collect()
    };
    let day = numbers(date, '-').filter(|parts| match parts[..] {
        [_, month, day] => (1..=12).contains(&month) && (1..=31).contains(&day),
        _ => false,
    });
    let hour = numbers(time, ':').filter(|parts| match parts[..] {
        [hour, minute] => hour < 24 && minute < 60,
        _ => false,
    });
    match (day.as_deref(), hour.as_deref()) {
        (Some(&[year, month, day]), Some(&[hour, minute])) => Ok([year, month, day, hour, minute]),
        (None, _) => Err("A day is typed as year, month and day, such as 2026-11-25.".to_owned()),
        _ => Err("A time is typed as hours and minutes, such as 13:35.".to_owned()),
    }
}
