//! Sun and moon from place and time.

use std::cell::Cell;

use exposure::{light::Constants, words};
use readings::{
    LIGHT,
    sky::{
        CAUTION, Course, Cover, Daylight, Facing, HEIGHTS, HOURS, LONG_SHADOWS, Moment, Place, Sky,
        Standing, TO_THE_MINUTE, change_in_words,
        clock::{self as wall, Shown},
        coming,
    },
};

use super::{
    found::{Outcome, by_place, ev, nothing, offering, picked},
    room::Room,
};
use crate::{
    browser::{clock, later::spawn_local, position},
    drawn::{self, Plot},
    form::{Typed, choice, entry, fixed, only},
    live::{Live, Worked},
    parts::{Element, Part, el, follows, parts},
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

/// Any time of a day, where the day alone is meant.
const NOON: &str = "12:00";
/// Any day, where the time alone is meant.
const ANY_DAY: &str = "2000-01-01";

/// What is not found in words.
fn in_words(error: readings::Error) -> String {
    error.to_string()
}

/// What is worked out of a place and a day, whatever the time is.
#[derive(Debug, Clone, PartialEq)]
struct Day {
    course: Course,
    /// When it becomes light and dark, when shadows are long, and when the moon is up.
    edges: Vec<String>,
}

/// What is worked out of a moment of it.
#[derive(Debug, Clone, PartialEq)]
struct Seen {
    place: Place,
    shown: Shown,
    sky: Sky,
    /// How the clock stands, and what is to be said of the time.
    clock: String,
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
    /// The time before it was slid over the drawing, and to which it was slid.
    slid: Live<[String; 2]>,
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
            slid: Live::new([const { String::new() }; 2]),
            error: start(""),
            asking: Live::new(false),
        }
    }

    fn is_of_the_device(self) -> bool {
        self.whose.with(|whose| whose == OF_THE_DEVICE)
    }

    /// Place and clock; an empty sentence as long as no place is typed.
    fn place_and_clock(self) -> Result<(Place, impl Fn(f64) -> f64), String> {
        let (north, east) = (self.north.get(), self.east.get());
        if north.trim().is_empty() && east.trim().is_empty() {
            return Err(String::new());
        }
        // Hours from UTC are those of another clock than the device's.
        let other = (!self.is_of_the_device()).then(|| wall::parse_lead(&self.hours.get()));
        let other = other.transpose().map_err(in_words)?;
        let place = Place::parse(&north, &east).map_err(in_words)?;
        let lead = move |moment| other.unwrap_or_else(|| clock::lead(moment));
        Ok((place, lead))
    }

    fn day(self) -> Result<Day, String> {
        // The place is asked for first: without one nothing is wrong with the day yet.
        let (place, lead) = self.place_and_clock()?;
        let shown = Shown::parse(&self.date.get(), NOON).map_err(in_words)?;
        let work = || -> Result<Day, readings::Error> {
            let noon = shown.moment(&lead)?.moment;
            let course = Course::new(place, shown, &lead)?;
            let daylight = Daylight::around(place, noon)?;
            let mut edges = daylight.lines(shown, &lead).to_vec();
            edges.push(daylight.long_shadows_line(shown, &lead));
            edges.push(course.moon.clone());
            Ok(Day { course, edges })
        };
        work().map_err(in_words)
    }

    fn seen(self) -> Result<Seen, String> {
        let (place, lead) = self.place_and_clock()?;
        let (day, time) = (self.date.get(), self.time.get());
        let work = || -> Result<Seen, readings::Error> {
            let shown = Shown::parse(&day, &time)?;
            let known = shown.moment(&lead)?;
            let ahead = lead(known.moment.seconds());
            let clock = [
                format!("The clock is {} then.", wall::lead_in_words(ahead)),
                known.remark,
                wall::far_from_the_sun(ahead, place),
            ];
            Ok(Seen {
                place,
                shown,
                sky: Sky::new(place, known.moment)?,
                clock: clock.join(" ").trim_end().to_owned(),
            })
        };
        work().map_err(in_words)
    }

    fn light_on(self) -> (Cover, Facing) {
        (
            picked(&Cover::ALL, &self.cover.get()).unwrap_or(Cover::Clear),
            picked(&Facing::ALL, &self.facing.get()).unwrap_or(Facing::Disc),
        )
    }

    fn found(self, seen: &Result<Seen, String>) -> Outcome {
        match seen {
            Ok(seen) => {
                let (cover, facing) = self.light_on();
                let found = seen.sky.found(cover, facing, &Constants::default());
                found.map_err(in_words)
            }
            Err(sentence) if sentence.is_empty() => nothing(),
            Err(sentence) => Err(sentence.clone()),
        }
    }

    /// Writes a time of the day into its field, and keeps in mind from which one it was slid.
    fn slide(self, minutes: i32) {
        let to = wall::time_of_day(u16::try_from(minutes).unwrap_or_default());
        let now = self.time.now();
        self.slid.update(|[from, before]| {
            if *before != now {
                *from = now;
            }
            before.clone_from(&to);
        });
        self.time.set(to);
    }

    /// How the light changes: from the time before it was slid, or else in the next hours.
    fn change(self, seen: &Seen) -> String {
        let (cover, facing) = self.light_on();
        let usual = Constants::default();
        let moment = seen.sky.moment();
        let [from, to] = self.slid.get();
        let is_slid = to == self.time.get() && from != to;
        let since = || -> Option<String> {
            let (place, lead) = self.place_and_clock().ok()?;
            let before = Shown::parse(&self.date.get(), &from).ok()?;
            let then = before.moment(&lead).ok()?.moment;
            let light = |at: Moment| Standing::new(place, at)?.light(cover, facing, &usual);
            Some(change_in_words(
                (before, then, light(then).ok()?),
                (seen.shown, moment, light(moment).ok()?),
            ))
        };
        // With what was half typed nothing is compared, and at the very end of the years there is no next hour.
        is_slid.then(since).flatten().unwrap_or_else(|| {
            coming(seen.place, moment, cover, facing, &usual).unwrap_or_default()
        })
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
                    let shown = |degrees| words::decimal(degrees, 2);
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
    let day = Worked::new(move || form.day());
    let seen = Worked::new(move || form.seen());
    let covers = by_place(&Cover::ALL.map(Cover::name));
    let facings = by_place(&Facing::ALL.map(Facing::name));
    let hint = "2, 5:45 or −3:30: behind UTC with a minus.";
    let hours = entry("sky-hours", "Hours from UTC", hint, form.hours);
    let facing = "The light falls on a subject";
    let here = "Use where this device is";
    let locate = button_unless(move || form.asking.get(), "", here, move || form.locate());
    let pairs = [
        (
            "sky-north",
            "Latitude",
            "Degrees north; south as 33.9 S.",
            form.north,
        ),
        (
            "sky-east",
            "Longitude",
            "Degrees east; west as 70.5 W.",
            form.east,
        ),
        ("sky-date", "Day", "Such as 2026-11-25.", form.date),
        (
            "sky-time",
            "Time by this clock",
            "Such as 13:35.",
            form.time,
        ),
    ];
    let pairs = pairs.map(|(id, label, hint, typed)| entry(id, label, hint, typed));
    let shown = parts![
        paragraph("reason", ABOUT),
        el("div").class("row").with(locate),
        complaint("sky-error", move || form.error.get()),
        el("div").class("form two").all(pairs),
        el("div").class("form").all([
            choice("sky-clock", "Clock", fixed(CLOCKS), form.whose),
            only(move || !form.is_of_the_device(), hours),
            choice("sky-cover", "Sky", covers, form.cover),
            choice("sky-facing", facing, facings, form.facing),
        ]),
        follows(move || drawn_day(form, day, seen)),
        follows(move || seen.with(stands)),
        follows(move || day.with(edges)),
    ];
    offering(room, shown, move || seen.with(|seen| form.found(seen)))
}

/// Every second hour of the day, every twenty degrees, every fifth EV.
const MOST_HOURS: usize = 13;
const MOST_DEGREES: usize = 7;
const MOST_LIGHTS: usize = 6;
const OF_HEIGHTS: Plot = Plot {
    x: HOURS,
    y: HEIGHTS,
};
const OF_LIGHT: Plot = Plot { x: HOURS, y: LIGHT };
/// Below the horizon, in degrees: the twilights, and night, each hatched more densely.
const TWILIGHTS: [(&str, [f64; 2], i32); 4] = [
    ("sky-civil", [-6.0, 0.0], 10),
    ("sky-nautical", [-12.0, -6.0], 6),
    ("sky-astronomical", [-18.0, -12.0], 4),
    ("sky-night", [-24.0, -18.0], 2),
];
const KEY: &str = "Below the horizon, ever denser: civil, nautical and astronomical twilight, then night. Drag the drawing to another time: the time above and the reading go along.";

/// The arcs of sun and moon over the day, and the light on the same hours; drawn anew for another place, day or sky, while only
/// what stands at the time moves with it.
fn drawn_day(
    form: Form,
    day: Worked<Result<Day, String>>,
    seen: Worked<Result<Seen, String>>,
) -> Part {
    let (suns, moons, lights, says) = day.with(|day| match day {
        Ok(Day { course, .. }) => {
            let (cover, facing) = form.light_on();
            let lights = course.lights(cover, facing, &Constants::default());
            (course.suns(), course.moons(), lights, course.in_words())
        }
        Err(_) => Default::default(),
    });
    // Without a place there is nothing to draw; while one is being mended its room is kept.
    if day.with(|day| *day == Err(String::new())) {
        return Part::Nothing;
    }
    let mut of_heights: Vec<Element> = TWILIGHTS
        .into_iter()
        .map(|(id, heights, apart)| OF_HEIGHTS.hatched(id, heights, apart))
        .collect();
    of_heights.extend([
        OF_HEIGHTS.curve("horizon", &[[HOURS.from(), 0.0], [HOURS.to(), 0.0]]),
        OF_HEIGHTS.curve_within("second", &moons),
        OF_HEIGHTS.curve_within("first", &suns),
    ]);
    let levels = HEIGHTS.ticks(MOST_DEGREES);
    let degrees = |at: f64| OF_HEIGHTS.height(at, format!("{}°", words::decimal(at, 0)));
    of_heights.extend(levels.into_iter().map(degrees));
    let mut of_light = vec![
        OF_LIGHT.area("area", &lights, LIGHT.from()),
        OF_LIGHT.curve_within("first", &lights),
    ];
    let evs = LIGHT.ticks(MOST_LIGHTS).into_iter();
    of_light.extend(evs.map(|at| OF_LIGHT.height(at, ev(at))));
    let at = |seen: &Seen| f64::from(seen.shown.minutes()) / 60.0;
    let heights_now = follows(move || {
        seen.with(|seen| match seen {
            Ok(seen) => at_the_time(
                OF_HEIGHTS,
                at(seen),
                &[("ring", seen.sky.moon.height), ("dot", seen.sky.sun_height)],
            ),
            Err(_) => Part::Nothing,
        })
    });
    let light_now = follows(move || {
        let (cover, facing) = form.light_on();
        seen.with(|seen| {
            let seen = seen.as_ref().ok()?;
            let light = seen.sky.standing();
            let light = light.light(cover, facing, &Constants::default()).ok()?;
            Some(at_the_time(OF_LIGHT, at(seen), &[("dot", light.get())]))
        })
    });
    // While a time is half typed the knob stays where it was; over an hour that the clock jumps it goes on.
    let last = Cell::new(0);
    let slider = follows(move || {
        let time = form.time.get();
        if let Ok(shown) = Shown::parse(ANY_DAY, &time) {
            last.set(i32::from(shown.minutes()));
        }
        let light = seen.with(|seen| form.found(seen));
        let says = match light {
            Ok(found) => format!("{time}, {}", words::light(found.light())),
            Err(_) => time,
        };
        let slide = move |to| form.slide(to);
        drawn::hold(
            "sky-slide",
            "Another time of the day",
            [0, 1440],
            last.get(),
            says,
            slide,
        )
        .attr("step", "5")
    });
    let hours = |at: f64| words::decimal(at, 0);
    let drawing = parts![
        el("p")
            .class("key")
            .attr("aria-hidden", "true")
            .says("height of")
            .with(el("span").class("first").says("sun"))
            .with(el("span").class("second").says("moon")),
        el("div")
            .class("moved day")
            .with(
                OF_HEIGHTS
                    .field([MOST_HOURS, MOST_DEGREES], of_heights)
                    .with(heights_now)
            )
            .with(slider)
            .with(drawn::line_scale(HOURS, MOST_HOURS, hours)),
        el("p")
            .class("key")
            .attr("aria-hidden", "true")
            .says("light, EV at ISO 100"),
        el("div").class("low").with(
            OF_LIGHT
                .field([MOST_HOURS, MOST_LIGHTS], of_light)
                .with(light_now)
        ),
        el("p").class("lines two-lines").tells(move || {
            seen.with(|seen| match seen {
                Ok(seen) => form.change(seen),
                Err(_) => String::new(),
            })
        }),
        paragraph("reason", KEY),
    ];
    let name = "The day: heights of sun and moon, and the light";
    drawn::figure(name, says, drawing).into()
}

/// The line of the time over a plot, and what stands on it; what is not on the plot is not drawn.
fn at_the_time(plot: Plot, hour: f64, heights: &[(&'static str, f64)]) -> Part {
    let on_it = heights.iter().filter(|(_, height)| plot.y.holds(*height));
    let marks = on_it.map(|(class, height)| plot.dot(class, [hour, *height]));
    let line = drawn::dot(HOURS, "now", hour);
    Part::Many(
        core::iter::once(line)
            .chain(marks)
            .map(Part::from)
            .collect(),
    )
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
fn edges(day: &Result<Day, String>) -> Part {
    let lines: &[String] = day.as_ref().map_or(&[], |day| &day.edges);
    let rows = lines.iter().map(|line| el("li").says(line.clone()));
    let title = "Sunrise, sunset and twilight";
    el("div")
        .hidden(lines.is_empty())
        .with(el("h3").says(title))
        .with(el("ul").class("list").named(title).all(rows))
        .with(paragraph("reason", TO_THE_MINUTE))
        .with(paragraph("reason", LONG_SHADOWS))
        .into()
}
