//! A series from the dial becomes a scene of a roll.

use book::{Book, Correction, Device, Light, Loading, Planned, Roll, light_of};
use exposure::words;
use panel::handover::Series;

use super::{
    loading,
    room::{Place, Room},
    ticking,
};
use crate::{
    choice::Options,
    form::{choice, entry, tick},
    live::{Live, Worked},
    moment::now,
    parts::{Part, el, follows, parts},
    piece::{button, columns, paragraph, row},
};

/// What the dial planned, and how it was read.
fn planned_words(series: &Series) -> String {
    let light = &series.scene.light;
    let lines = format!(
        "{} Rated {}, box speed {}. Base: {}.",
        light.read_words(),
        series.scene.rating.rating_words(),
        series.box_speed.shown(),
        series.scene.base.shown()
    );
    let counted = light.said().join("; ");
    if counted.is_empty() {
        lines
    } else {
        format!("{lines}\nThe dial counted: {counted}.")
    }
}

fn frame_words(frame: &Planned, light: &Light) -> String {
    let offset = frame.wanted();
    let offset = if offset.is_even() {
        "base".to_owned()
    } else {
        words::difference(offset)
    };
    let mut words = format!("{}: {offset}", frame.set.shown());
    let count = light.count_words(frame.set.time);
    if !count.is_empty() {
        words = format!("{words}, {count}");
    }
    words
}

/// The rolls that are in cameras; what is loaded in the dial's camera comes first.
fn open_rolls(book: &Book, series: Option<&Series>) -> Options {
    let on_dial = series.map(|series| {
        let (rating, day) = (series.scene.rating, now().date());
        let loading = Loading::new(&series.camera, rating, day, 1);
        loading.known_as(Some(series.camera_id.clone()))
    });
    let is_another = |loading: &Loading| {
        let on_dial = on_dial.as_ref();
        on_dial.is_none_or(|on_dial| !loading.is_in_the_same(on_dial))
    };
    let mut open: Vec<_> = book.open_rolls().collect();
    open.sort_by_key(|(_, loading)| is_another(loading));
    let entry = |(roll, loading): (&Roll, &Loading)| {
        let words = format!(
            "{} in the {}, {}",
            roll.name,
            loading.camera,
            loading.rating.rating_words()
        );
        (roll.id.clone(), words)
    };
    open.into_iter().map(entry).collect()
}

/// Where the roll is loaded at another rating than the dials are set for.
fn differs(book: &Book, roll: &str, series: &Series) -> Option<String> {
    let (loaded, set) = (book.roll(roll)?.loading()?.rating, series.scene.rating);
    (loaded.shown() != set.shown()).then(|| {
        format!(
            "The roll is loaded at {}, and the dials are set for {}. The series is logged as the dials are.",
            loaded.rating_words(),
            set.rating_words()
        )
    })
}

/// What the device does to the series; none where it does nothing.
fn device_words(device: &Device, series: Option<&Series>) -> Option<String> {
    let mut counted = series
        .map_or(&[][..], |series| &series.scene.light.corrections)
        .iter();
    let on_dial = counted
        .find(|one| one.is_of_device())
        .map(Correction::words);
    let ends = match on_dial {
        Some(on_dial) => format!("It takes the place of what the dial counted ({on_dial})."),
        None if device.correction_twelfths == 0 => return None,
        None => "The dial did not count it, so the frames are that much off what was meant; the log does."
            .to_owned(),
    };
    Some(format!(
        "{} {}. {ends}",
        device.name,
        device.correction_words()
    ))
}

/// The light of the scene before, for "same light", and its number.
fn light_before(book: &Book, roll: &str) -> Option<(u16, Light)> {
    let roll = book.roll(roll)?;
    let scene = roll.scenes.last()?;
    Some((scene.number, light_of(roll, scene)))
}

fn before_words(book: &Book, roll: &str) -> String {
    light_before(book, roll).map_or_else(
        || "There is no scene before.".to_owned(),
        |(number, light)| {
            format!(
                "Scene {number} was read as {}, {} at {}.",
                light.time.shown(),
                light.aperture.shown(),
                light.sensitivity.shown()
            )
        },
    )
}

pub(super) fn page(room: Room) -> Part {
    let series = room.series;
    let rolls = Worked::new(move || {
        series.with(|series| room.with(|book| open_rolls(book, series.as_deref())))
    });
    // The roll that the dial serves, where it serves one.
    let chosen = Live::new(room.for_roll.now());
    let roll = Worked::new(move || {
        let chosen = chosen.get();
        if chosen.is_empty() {
            rolls.with(|rolls| rolls.first().map(|(id, _)| id.clone()).unwrap_or_default())
        } else {
            chosen
        }
    });
    let [name, device] = room.scene_typed;
    let device = device.text();
    // Where nothing was chosen yet, the device that was used last.
    if device.once(String::is_empty) {
        let used_last = roll.once(|roll| {
            room.once(|book| {
                let device = book.device_used_last(book.roll(roll));
                device.map(|device| device.id.clone())
            })
        });
        device.set(used_last.unwrap_or_default());
    }
    let same = Live::new(false);
    let log = move || {
        let Some(series) = series.now() else {
            return;
        };
        let roll = roll.now();
        let edit = room.once(|book| {
            let before = light_before(book, &roll).filter(|_| same.now());
            let reading = before.map(|(_, light)| light);
            let device = book.device(&device.now());
            ticking::edit(&series, &roll, name.now(), reading, device)
        });
        if room.edit(&edit) {
            ticking::logged(room, &series, &roll);
            let said = room.said.now();
            // The next scene is another one; the device is most often the same.
            name.set("");
            room.leave_series();
            room.go(Place::Roll(roll));
            room.said.set(said);
        }
    };
    let planned = move || {
        series.with(|series| {
            let frames = series.iter().flat_map(|series| {
                let light = &series.scene.light;
                let frames = series.frames.iter();
                frames.map(|frame| el("li").says(frame_words(frame, light)))
            });
            let words = series.as_deref().map(planned_words);
            parts![
                paragraph("lines", words.unwrap_or_default()),
                el("ol").class("list").named("Frames to log").all(frames),
            ]
        })
    };
    let warns_of_rating = move || {
        let words = series.with(|series| {
            let series = series.as_ref()?;
            roll.with(|roll| room.with(|book| differs(book, roll, series)))
        });
        paragraph("warning", words.unwrap_or_default())
    };
    let warns_of_device = move || {
        let words = series.with(|series| {
            let id = device.get();
            room.with(|book| device_words(book.device(&id)?, series.as_deref()))
        });
        paragraph("warning", words.unwrap_or_default())
    };
    let takes_same = move || {
        let label = "Same light as the scene before: take its reading";
        let words = roll.with(|roll| room.with(|book| before_words(book, roll)));
        parts![
            tick(label, same.get(), move |on| same.set(on)),
            paragraph("reason", words),
        ]
    };
    let none = move || rolls.with(Vec::is_empty);
    let no_camera = el("div")
        .hidden_when(move || !none())
        .with(paragraph(
            "warning",
            "No camera is loaded. Put film into the bag, load a roll, and the series is still here.",
        ))
        .with(row([button("main", "To the bag", move || {
            room.go(Place::Cover);
        })]));
    let form = el("div")
        .class("form")
        .hidden_when(none)
        .with(choice("series-roll", "Roll", move || rolls.get(), chosen))
        .with(follows(warns_of_rating))
        .with(entry(
            "series-name",
            "Name of the scene",
            "For you: boats in the sun.",
            name,
        ))
        .with(loading::read_with("series-device", room, device))
        .with(follows(warns_of_device))
        .with(follows(takes_same))
        .with(row([button("main", "Log it", log)]));
    columns([follows(planned), parts![no_camera, form]]).into()
}
