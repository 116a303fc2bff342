//! Frames that nobody had planned, put in where they happened, and frames moved to where they belong.

use book::{Edit, Extra, Marks, Roll, Spot, Unlogged};
use leptos::prelude::*;

use super::{
    form::{choice, entry, fixed},
    marks::said,
    room::Room,
};
use crate::{
    choice::Options,
    piece::{button, flag, never},
};

/// Places in a log: where the film stands, the beginning, and behind each piece of film.
fn spots(roll: &Roll, now: bool) -> Options {
    let mut out: Options = Vec::new();
    if now {
        let words = format!("Now, as frame {}", roll.film_number());
        out.push(("now".to_owned(), words));
    }
    let mut last = None;
    for (number, frame) in roll.numbered() {
        let Some(number) = number else { continue };
        if last.is_none() {
            out.push((
                format!("before {}", frame.id),
                "At the beginning of the roll".to_owned(),
            ));
        }
        if last != Some(number) {
            out.push((
                format!("behind {}", frame.id),
                format!("Behind frame {number}"),
            ));
        }
        last = Some(number);
    }
    out
}

/// The place that a key of [`spots`] means.
fn spot(key: &str) -> Spot {
    let id = |rest: &str| rest.parse().ok();
    let before = key.strip_prefix("before ").and_then(id).map(Spot::Before);
    let behind = key.strip_prefix("behind ").and_then(id).map(Spot::Behind);
    before.or(behind).unwrap_or(Spot::Now)
}

/// The key that a field shows: the chosen one, or the first where that is gone.
fn shown(chosen: RwSignal<String>, options: Signal<Options>) -> String {
    let chosen = chosen.get_untracked();
    options.with_untracked(|options| {
        let mut keys = options.iter().map(|(key, _)| key);
        let known = keys
            .find(|key| **key == chosen)
            .or(options.first().map(|(key, _)| key));
        known.cloned().unwrap_or_default()
    })
}

fn of(room: Room, id: StoredValue<String>, of: impl FnOnce(&Roll) -> Options) -> Options {
    room.with(|book| {
        id.with_value(|id| book.roll(id).map(of))
            .unwrap_or_default()
    })
}

/// The form that puts in a forgotten, blank or double frame, a slate or a capped one, anywhere in the log.
pub(super) fn form(room: Room, id: StoredValue<String>) -> impl IntoView {
    let what = RwSignal::new("forgotten".to_owned());
    let kinds = fixed([
        ("forgotten", "Forgotten: a picture that is not in the log"),
        ("lost", "Blank: wound on or wasted"),
        ("double", "Double: one more picture on the same film"),
        ("slate", "Slate"),
        ("capped", "Capped frame"),
    ]);
    let place = RwSignal::new(String::new());
    let places = Signal::derive(move || of(room, id, |roll| spots(roll, true)));
    let scene = RwSignal::new(String::new());
    let scenes = Signal::derive(move || {
        of(room, id, |roll| {
            let none = (String::new(), "None of the scenes".to_owned());
            let scenes = roll.scenes.iter().map(|scene| {
                let name = format!("{} {}", scene.number, scene.name);
                (scene.number.to_string(), name.trim_end().to_owned())
            });
            std::iter::once(none).chain(scenes).collect()
        })
    });
    let time = RwSignal::new(String::new());
    let aperture = RwSignal::new(String::new());
    let no_picture = flag(move || what.with(|what| what != "forgotten" && what != "double"));
    let put = move || {
        let error = |error: book::Error| error.to_string();
        let known = || {
            let marks = room.once(|book| {
                let roll = id.with_value(|id| book.roll(id))?;
                Some(Marks::of_roll(book, roll))
            });
            let marks = marks.ok_or_else(|| "This roll is not in the book.".to_owned())?;
            Ok::<_, String>(Unlogged {
                scene: shown(scene, scenes).parse().ok(),
                time: said(time, |text| marks.time(text)).map_err(error)?,
                aperture: said(aperture, |text| marks.aperture(text)).map_err(error)?,
            })
        };
        let extra = match what.get_untracked().as_str() {
            "forgotten" => known().map(Extra::Forgotten),
            "double" => known().map(Extra::Double),
            "slate" => Ok(Extra::Slate),
            "capped" => Ok(Extra::Capped),
            _ => Ok(Extra::Lost),
        };
        match extra {
            Ok(what) => {
                let put = room.edit(&Edit::Extra {
                    roll: id.get_value(),
                    what,
                    spot: spot(&shown(place, places)),
                    at: None,
                });
                if put {
                    time.set(String::new());
                    aperture.set(String::new());
                }
            }
            Err(sentence) => room.said.set(sentence),
        }
    };
    view! {
        <details>
            <summary>"Put a frame into the log"</summary>
            <div class="form">
                {choice("put-what", "What it is", kinds, what)}
                {choice("put-where", "Where it happened", places, place)}
                <div class="form" hidden=no_picture>
                    {choice("put-scene", "Scene it belongs to", scenes, scene)}
                    {entry("put-time", "Time that was set", "Empty where it is not known.", time)}
                    {entry("put-aperture", "Aperture that was set", "Empty where it is not known.", aperture)}
                </div>
                <div class="row">{button("main", "Put it in", never(), put)}</div>
                <p class="reason">
                    "Later frames keep what is known of them, and their numbers move on by one. So do the scans."
                </p>
            </div>
        </details>
    }
}

/// Moves the open frame to another place of the log.
pub(super) fn mover(room: Room, id: StoredValue<String>) -> impl IntoView {
    let place = RwSignal::new(String::new());
    let places = Signal::derive(move || {
        let open = room.open_frame.get();
        of(room, id, |roll| {
            let mut places = spots(roll, false);
            // Behind itself is where it is.
            places.retain(|(key, _)| open.is_none_or(|open| *key != format!("behind {open}")));
            places
        })
    });
    let go = move || {
        if let Some(frame) = room.open_frame.get_untracked() {
            room.edit(&Edit::Move {
                roll: id.get_value(),
                frame,
                spot: spot(&shown(place, places)),
            });
        }
    };
    view! {
        <div class="row">
            {choice("move-where", "It belongs elsewhere", places, place)}
            {button("", "Move it there", never(), go)}
        </div>
    }
}
