//! Sun and moon from place and time.

use exposure::light::Constants;
use leptos::{prelude::*, task::spawn_local};
use readings::sky::{
    CAUTION, Cover, Daylight, Facing, Place, Sky, TO_THE_MINUTE,
    clock::{self as wall, Shown},
};

use super::{
    found::{Outcome, by_place, field, nothing, offer, picked},
    room::Room,
};
use crate::{
    browser::{clock, position},
    form::{choice, entry, fixed},
    piece::{button, complaint, flag, paragraph, text},
};

const NO_PLACE: &str = "The device did not say where it is: it may not be allowed to, or cannot tell here. Type the place.";

/// What is worked out from the fields.
#[derive(Debug, Clone, PartialEq)]
struct Seen {
    sky: Sky,
    /// How the clock stands, and what is to be said of the time.
    clock: String,
    /// When it becomes light and dark.
    edges: [String; 4],
}

impl Seen {
    /// `hours` from UTC are those of another clock than the device's.
    fn new(
        place: [&str; 2],
        day: &str,
        time: &str,
        hours: Option<&str>,
    ) -> Result<Self, readings::Error> {
        let shown = Shown::parse(day, time)?;
        let other = hours.map(wall::parse_lead).transpose()?;
        let lead = |moment| other.unwrap_or_else(|| clock::lead(moment));
        let known = shown.moment(&lead)?;
        let place = Place::parse(place[0], place[1])?;
        let noon = shown.noon().moment(&lead)?.moment;
        let ahead = lead(known.moment.seconds());
        let far = wall::far_from_the_sun(ahead, place);
        let clock = [
            format!("The clock is {} then.", wall::lead_in_words(ahead)),
            known.remark,
            far,
        ];
        Ok(Self {
            sky: Sky::new(place, known.moment)?,
            clock: clock.join(" ").trim_end().to_owned(),
            edges: Daylight::around(place, noon)?.lines(shown, &lead),
        })
    }
}

pub(super) fn page(room: Room) -> AnyView {
    let (north, east) = (field(""), field(""));
    let [year, month, day, hour, minute] = clock::now();
    let date = field(&format!("{year:04}-{month:02}-{day:02}"));
    let time = field(&format!("{hour:02}:{minute:02}"));
    let (whose, hours) = (field("device"), field(""));
    let (cover, facing) = (field("0"), field("0"));
    let (error, asking) = (field(""), RwSignal::new(false));
    let of_the_device = flag(move || whose.with(|whose| whose == "device"));
    let seen = Memo::new(move |_| -> Result<Seen, String> {
        let place = (north.get(), east.get());
        if place.0.trim().is_empty() && place.1.trim().is_empty() {
            return Err(String::new());
        }
        let hours = (!of_the_device.get()).then(|| hours.get());
        let (day, time) = (date.get(), time.get());
        Seen::new([&place.0, &place.1], &day, &time, hours.as_deref())
            .map_err(|error| error.to_string())
    });
    let found = Signal::derive(move || -> Outcome {
        seen.with(|seen| match seen {
            Ok(seen) => seen
                .sky
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
        seen.with(|seen| match seen {
            Ok(Seen { sky, clock, .. }) => {
                format!("{clock}\n{} {}", sky.in_words(), sky.tables_hold())
            }
            Err(_) => String::new(),
        })
    });
    let unknown = flag(move || seen.with(Result::is_err));
    let edges = move || {
        let edges = seen.with(|seen| seen.as_ref().map(|seen| seen.edges.clone()).ok());
        let lines = edges.into_iter().flatten();
        lines.map(|line| view! { <li>{line}</li> }).collect_view()
    };
    let sun_is_down =
        flag(move || seen.with(|seen| !seen.as_ref().is_ok_and(|seen| seen.sky.sun_height > 0.0)));
    let locate = move || {
        asking.set(true);
        error.set(String::new());
        let before = (north.get_untracked(), east.get_untracked());
        spawn_local(async move {
            let here = position::here().await;
            let now = north.try_get_untracked().zip(east.try_get_untracked());
            // The page may be gone by now.
            let Some(now) = now else { return };
            match here {
                // A place was typed while the device was asked: that one is meant.
                _ if now != before => {}
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
            {choice(
                "sky-clock",
                "Clock",
                fixed([
                    ("device", "The clock of this device"),
                    ("other", "Another one, by its hours from UTC"),
                ]),
                whose,
            )}
            <div hidden=of_the_device>
                {entry("sky-hours", "Hours from UTC", "2, 5:45 or −3:30: behind UTC with a minus.", hours)}
            </div>
            {entry("sky-time", "Time by this clock", "Such as 13:35.", time)}
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
        <div hidden=unknown>
            <h3>"Sunrise, sunset and twilight"</h3>
            <ul class="list" aria-label="Sunrise, sunset and twilight">
                {edges}
            </ul>
            <p class="reason">{TO_THE_MINUTE}</p>
        </div>
    }
    .into_any()
}
