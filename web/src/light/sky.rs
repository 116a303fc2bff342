//! Sun and moon from place and time.

use exposure::light::Constants;
use readings::sky::{
    CAUTION, Cover, Daylight, Facing, Place, Sky, TO_THE_MINUTE,
    clock::{self as wall, Shown},
};

use super::{
    found::{Outcome, by_place, nothing, offering, picked},
    room::Room,
};
use crate::{
    browser::{clock, later::spawn_local, position},
    form::{Typed, choice, entry, fixed, only},
    live::{Live, Worked},
    parts::{Part, el, follows, parts},
    piece::{button_unless, complaint, paragraph},
};

const ABOUT: &str = "Where the sun or moon stands says how much light there could be; clouds and haze say how much there is. The place stays on this page.";
const NO_PLACE: &str = "The device did not say where it is: it may not be allowed to, or cannot tell here. Type the place.";

/// Whose clock the time is of.
const CLOCKS: [(&str, &str); 2] = [
    (OF_THE_DEVICE, "The clock of this device"),
    ("other", "Another one, by its hours from UTC"),
];
const OF_THE_DEVICE: &str = "device";

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

/// The fields.
#[derive(Clone, Copy)]
struct Form {
    north: Typed,
    east: Typed,
    date: Typed,
    time: Typed,
    whose: Live<String>,
    hours: Typed,
    cover: Live<String>,
    facing: Live<String>,
    /// Why the device did not say where it is.
    error: Live<String>,
    /// Whether the device is asked where it is.
    asking: Live<bool>,
}

impl Form {
    fn new() -> Self {
        let start = |key: &str| Live::new(key.to_owned());
        let [year, month, day, hour, minute] = clock::now();
        Self {
            north: Typed::new(""),
            east: Typed::new(""),
            date: Typed::new(format!("{year:04}-{month:02}-{day:02}")),
            time: Typed::new(format!("{hour:02}:{minute:02}")),
            whose: start(OF_THE_DEVICE),
            hours: Typed::new(""),
            cover: start("0"),
            facing: start("0"),
            error: start(""),
            asking: Live::new(false),
        }
    }

    fn is_of_the_device(self) -> bool {
        self.whose.with(|whose| whose == OF_THE_DEVICE)
    }

    /// What is seen; an empty sentence as long as no place is typed.
    fn seen(self) -> Result<Seen, String> {
        let (north, east) = (self.north.get(), self.east.get());
        if north.trim().is_empty() && east.trim().is_empty() {
            return Err(String::new());
        }
        let hours = (!self.is_of_the_device()).then(|| self.hours.get());
        let (day, time) = (self.date.get(), self.time.get());
        Seen::new([&north, &east], &day, &time, hours.as_deref()).map_err(|error| error.to_string())
    }

    fn found(self, seen: &Result<Seen, String>) -> Outcome {
        match seen {
            Ok(seen) => seen
                .sky
                .found(
                    picked(&Cover::ALL, &self.cover.get()).unwrap_or(Cover::Clear),
                    picked(&Facing::ALL, &self.facing.get()).unwrap_or(Facing::Disc),
                    &Constants::default(),
                )
                .map_err(|error| error.to_string()),
            Err(sentence) if sentence.is_empty() => nothing(),
            Err(sentence) => Err(sentence.clone()),
        }
    }

    /// Asks the device where it is.
    fn locate(self) {
        self.asking.set(true);
        self.error.set(String::new());
        let place = move || {
            let text = |typed: Typed| typed.text().try_once(String::clone);
            text(self.north).zip(text(self.east))
        };
        let before = place();
        spawn_local(async move {
            let here = position::here().await;
            match here {
                // A place was typed while the device was asked, and that one is meant; or the page is gone by now.
                _ if place() != before => {}
                Some((latitude, longitude)) => {
                    // A hundredth of a degree is a kilometre, more than the light depends on.
                    let shown = |degrees| exposure::words::decimal(degrees, 2);
                    self.north.set(shown(latitude));
                    self.east.set(shown(longitude));
                }
                None => self.error.set(NO_PLACE.to_owned()),
            }
            self.asking.set(false);
        });
    }
}

pub(super) fn page(room: Room) -> Part {
    let form = Form::new();
    let seen = Worked::new(move || form.seen());
    let covers = by_place(&Cover::ALL.map(Cover::name));
    let facings = by_place(&Facing::ALL.map(Facing::name));
    let hint = "2, 5:45 or −3:30: behind UTC with a minus.";
    let hours = entry("sky-hours", "Hours from UTC", hint, form.hours);
    let facing = "The light falls on a subject";
    let here = "Use where this device is";
    let locate = button_unless(move || form.asking.get(), "", here, move || form.locate());
    let shown = parts![
        paragraph("reason", ABOUT),
        el("div").class("row").with(locate),
        complaint("sky-error", move || form.error.get()),
        el("div").class("form").all([
            entry(
                "sky-north",
                "Latitude",
                "Degrees north; south as 33.9 S.",
                form.north
            ),
            entry(
                "sky-east",
                "Longitude",
                "Degrees east; west as 70.5 W.",
                form.east
            ),
            entry("sky-date", "Day", "Such as 2026-11-25.", form.date),
            choice("sky-clock", "Clock", fixed(CLOCKS), form.whose),
            only(move || !form.is_of_the_device(), hours),
            entry(
                "sky-time",
                "Time by this clock",
                "Such as 13:35.",
                form.time
            ),
            choice("sky-cover", "Sky", covers, form.cover),
            choice("sky-facing", facing, facings, form.facing),
        ]),
        follows(move || seen.with(stands)),
        follows(move || seen.with(edges)),
    ];
    offering(room, shown, move || seen.with(|seen| form.found(seen)))
}

/// Where sun and moon stand, and a warning while the sun is up.
fn stands(seen: &Result<Seen, String>) -> Part {
    let (words, is_up) = match seen {
        Ok(Seen { sky, clock, .. }) => (
            format!("{clock}\n{} {}", sky.in_words(), sky.tables_hold()),
            sky.sun_height > 0.0,
        ),
        Err(_) => (String::new(), false),
    };
    parts![
        paragraph("lines", words),
        paragraph("warning", CAUTION).hidden(!is_up),
    ]
}

/// When it becomes light and dark.
fn edges(seen: &Result<Seen, String>) -> Part {
    let lines: &[String] = seen.as_ref().map_or(&[], |seen| &seen.edges);
    let rows = lines.iter().map(|line| el("li").says(line.clone()));
    let title = "Sunrise, sunset and twilight";
    el("div")
        .hidden(lines.is_empty())
        .with(el("h3").says(title))
        .with(el("ul").class("list").named(title).all(rows))
        .with(paragraph("reason", TO_THE_MINUTE))
        .into()
}
