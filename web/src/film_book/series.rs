//! A series from the dial becomes a scene of a roll.

use book::{Correction, Device, Edit, Light, Loading, NewScene, light_of};
use exposure::words;
use leptos::prelude::*;
use panel::handover::Series;

use super::{
    form::{choice, entry, tick, typed},
    room::{Place, Room, now},
    ticking,
};
use crate::piece::{button, flag, never, paragraph, text};

/// The change that logs a series on a roll. The reading is the one given, else the dial's; a device is counted as the kit has
/// it. What stands between the reading and the film is as the dials were set for, in any case.
pub(super) fn edit(
    series: &Series,
    roll: &str,
    name: String,
    reading: Option<Light>,
    device: Option<&Device>,
) -> Edit {
    let on_dial = &series.scene.light;
    let light = match reading {
        Some(reading) => Light {
            same_at: Some(now()),
            corrections: on_dial.corrections.clone(),
            long_times: on_dial.long_times.clone(),
            ..reading
        },
        None => {
            let read = Light {
                at: Some(now()),
                ..on_dial.clone()
            };
            match device {
                Some(device) => read.taken_with(device),
                None => read,
            }
        }
    };
    Edit::Series {
        roll: roll.to_owned(),
        scene: Box::new(NewScene {
            name,
            light,
            ..series.scene.clone()
        }),
        frames: series.frames.clone(),
    }
}

pub(super) fn page(room: Room) -> impl IntoView {
    let series = room.series;
    let shown = text(move || {
        series.with(|series| {
            series.as_ref().map_or_else(String::new, |series| {
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
            })
        })
    });
    let frames = move || {
        series.with(|series| {
            series
                .iter()
                .flat_map(|series| {
                    series
                        .frames
                        .iter()
                        .map(|frame| (frame, &series.scene.light))
                })
                .map(|(frame, light)| {
                    let offset = frame.wanted();
                    let offset = if offset.is_even() {
                        "base".to_owned()
                    } else {
                        words::difference(offset)
                    };
                    let count = light.count_words(frame.set.time);
                    let count = if count.is_empty() {
                        count
                    } else {
                        format!(", {count}")
                    };
                    view! { <li>{format!("{}: {offset}{count}", frame.set.shown())}</li> }
                })
                .collect_view()
        })
    };
    let rolls = Signal::derive(move || {
        // What is loaded in the dial's camera comes first.
        let on_dial = series.with(|series| {
            let series = series.as_ref()?;
            let (rating, day) = (series.scene.rating, now().date());
            let loading = Loading::new(&series.camera, rating, day, 1);
            Some(loading.known_as(Some(series.camera_id.clone())))
        });
        room.with(|book| {
            let mut open: Vec<_> = book.open_rolls().collect();
            open.sort_by_key(|(_, loading)| {
                on_dial
                    .as_ref()
                    .is_none_or(|on_dial| !loading.is_in_the_same(on_dial))
            });
            open.into_iter()
                .map(|(roll, loading)| {
                    let words = format!(
                        "{} in the {}, {}",
                        roll.name,
                        loading.camera,
                        loading.rating.rating_words()
                    );
                    (roll.id.clone(), words)
                })
                .collect::<Vec<(String, String)>>()
        })
    });
    let none = flag(move || rolls.with(Vec::is_empty));
    let some = flag(move || !none.get());
    // The roll that the dial serves, where it serves one.
    let chosen = RwSignal::new(room.for_roll.get_untracked());
    let roll = move || {
        let first = rolls.with(|rolls| rolls.first().map(|(id, _)| id.clone()));
        Some(chosen.get())
            .filter(|id| !id.is_empty())
            .or(first)
            .unwrap_or_default()
    };
    // The light of the scene before, for "same light".
    let last = move || {
        room.with(|book| {
            let roll = book.roll(&roll())?;
            let scene = roll.scenes.last()?;
            Some((scene.number, light_of(roll, scene)))
        })
    };
    let last_words = text(move || {
        last().map_or_else(
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
    });
    let differs = text(move || {
        series.with(|series| {
            let series = series.as_ref()?;
            room.with(|book| {
                let rating = book.roll(&roll())?.loading()?.rating;
                (rating.shown() != series.scene.rating.shown()).then(|| {
                    format!(
                        "The roll is loaded at {}, and the dials are set for {}. The series is logged as the dials are.",
                        rating.rating_words(),
                        series.scene.rating.rating_words()
                    )
                })
            })
        })
        .unwrap_or_default()
    });
    let [name, device] = room.scene_typed;
    // Where nothing was chosen yet, the device that was used last.
    let used_last = untrack(|| {
        let roll = roll();
        room.once(|book| {
            book.device_used_last(book.roll(&roll))
                .map(|device| device.id.clone())
        })
    });
    if device.with_untracked(String::is_empty) {
        device.set(used_last.unwrap_or_default());
    }
    let devices = Signal::derive(move || {
        let mut all = vec![(String::new(), "Not said".to_owned())];
        room.with(|book| {
            all.extend(
                book.devices()
                    .map(|device| (device.id.clone(), device.name.clone())),
            );
        });
        all
    });
    let chosen_device = move || {
        let id = device.get();
        room.with(|book| book.device(&id).cloned())
    };
    let device_words = text(move || {
        let on_dial = series.with(|series| {
            let corrections = series
                .iter()
                .flat_map(|series| &series.scene.light.corrections);
            corrections
                .into_iter()
                .find(|one| one.is_of_device())
                .map(Correction::words)
        });
        let device = chosen_device();
        let off = device.filter(|device| on_dial.is_some() || device.correction_twelfths != 0);
        off.map_or_else(String::new, |device| {
            let ends = match on_dial {
                Some(on_dial) => format!("It takes the place of what the dial counted ({on_dial})."),
                None => "The dial did not count it, so the frames are that much off what was meant; the log does."
                    .to_owned(),
            };
            format!("{} {}. {ends}", device.name, device.correction_words())
        })
    });
    let same = RwSignal::new(false);
    let log = move || {
        let Some(series) = series.get_untracked() else {
            return;
        };
        let roll = untrack(roll);
        let reading = same
            .get_untracked()
            .then(|| untrack(last).map(|(_, light)| light))
            .flatten();
        let device = untrack(chosen_device);
        let edit = edit(&series, &roll, typed(name), reading, device.as_ref());
        if room.edit(&edit) {
            ticking::logged(room, &roll);
            let said = room.said.get_untracked();
            // The next scene is another one; the device is most often the same.
            name.set(String::new());
            room.leave_series();
            room.go(Place::Roll(roll));
            room.said.set(said);
        }
    };
    view! {
        {paragraph("lines", shown)}
        <ol class="list" aria-label="Frames to log">
            {frames}
        </ol>
        <div hidden=some>
            <p class="warning">
                "No camera is loaded. Put film into the bag, load a roll, and the series is still here."
            </p>
            <div class="row">
                {button("main", "To the bag", never(), move || room.go(Place::Cover))}
            </div>
        </div>
        <div class="form" hidden=none>
            {choice("series-roll", "Roll", rolls, chosen)}
            {paragraph("warning", differs)}
            {entry("series-name", "Name of the scene", "For you: boats in the sun.", name)}
            {choice("series-device", "Read with", devices, device)}
            {paragraph("warning", device_words)}
            {tick("Same light as the scene before: take its reading", same)}
            {paragraph("reason", last_words)}
            <div class="row">{button("main", "Log it", never(), log)}</div>
        </div>
    }
}
