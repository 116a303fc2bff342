//! A series from the dial becomes a scene of a roll.

use book::{Correction, Edit, Light, NewScene, light_of};
use exposure::words;
use leptos::prelude::*;

use super::{
    form::{choice, entry, tick, typed},
    room::{Place, Room, now},
    ticking,
};
use crate::piece::{button, flag, never, paragraph, text};

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
        let camera = series.with(|series| {
            series
                .as_ref()
                .map(|series| series.camera.clone())
                .unwrap_or_default()
        });
        room.with(|book| {
            let mut rolls: Vec<(String, String)> = book
                .open_rolls()
                .map(|(roll, loading)| {
                    let words = format!(
                        "{} in the {}, {}",
                        roll.name,
                        loading.camera,
                        loading.rating.rating_words()
                    );
                    (roll.id.clone(), words)
                })
                .collect();
            // What is loaded in the dial's camera comes first.
            rolls.sort_by_key(|(_, words)| !words.contains(&camera));
            rolls
        })
    });
    let none = flag(move || rolls.with(Vec::is_empty));
    let some = flag(move || !none.get());
    let chosen = RwSignal::new(String::new());
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
        // The light is that of the scene before; what stands between it and the film is as the dials were set for.
        let light = if same.get_untracked() {
            untrack(last).map(|(_, light)| Light {
                same_at: Some(now()),
                corrections: series.scene.light.corrections.clone(),
                long_times: series.scene.light.long_times.clone(),
                ..light
            })
        } else {
            None
        };
        let device = untrack(chosen_device);
        let light = light.unwrap_or_else(|| {
            let read = Light {
                at: Some(now()),
                ..series.scene.light.clone()
            };
            match device {
                Some(device) => read.taken_with(&device),
                None => read,
            }
        });
        let edit = Edit::Series {
            roll: roll.clone(),
            scene: Box::new(NewScene {
                name: typed(name),
                light,
                ..series.scene.clone()
            }),
            frames: series.frames.clone(),
        };
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
