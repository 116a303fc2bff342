//! Frames that nobody had planned, put in where they happened, and frames moved to where they belong.

use book::{Edit, Extra, Marks, Roll, Scene, Spot, Unlogged};

use super::{marks::said, room::Subject};
use crate::{
    choice::Options,
    form::{Typed, choice, entry, fixed},
    live::Live,
    parts::{Element, el},
    piece::{button, paragraph, row, unfolds},
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
fn shown(chosen: Live<String>, options: &Options) -> String {
    let mut keys = options.iter().map(|(key, _)| key);
    let known = chosen.once(|chosen| keys.find(|key| *key == chosen));
    let known = known.or(options.first().map(|(key, _)| key));
    known.cloned().unwrap_or_default()
}

/// A scene in a list of choices.
pub(super) fn scene_name(scene: &Scene) -> String {
    let name = format!("{} {}", scene.number, scene.name);
    name.trim_end().to_owned()
}

/// The scenes to choose from.
fn scenes(roll: &Roll) -> Options {
    let mut all = vec![(String::new(), "None of the scenes".to_owned())];
    all.extend(
        roll.scenes
            .iter()
            .map(|scene| (scene.number.to_string(), scene_name(scene))),
    );
    all
}

/// The form that puts in a forgotten, blank or double frame, a slate or a capped one, anywhere in the log.
pub(super) fn form(roll: Subject) -> Element {
    let what = Live::new("forgotten".to_owned());
    let kinds = fixed([
        ("forgotten", "Forgotten: a picture that is not in the log"),
        ("lost", "Blank: wound on or wasted"),
        ("double", "Double: one more picture on the same film"),
        ("slate", "Slate"),
        ("capped", "Capped frame"),
    ]);
    let place = Live::new(String::new());
    let scene = Live::new(String::new());
    let (time, aperture) = (Typed::new(""), Typed::new(""));
    let known = move || {
        let known = roll.once(|book, roll| Some((Marks::of_roll(book, roll), scenes(roll))));
        let (marks, scenes) = known.ok_or("This roll is not in the book.")?;
        let error = |error: book::Error| error.to_string();
        Ok::<_, String>(Unlogged {
            scene: shown(scene, &scenes).parse().ok(),
            time: said(time, |text| marks.time(text)).map_err(error)?,
            aperture: said(aperture, |text| marks.aperture(text)).map_err(error)?,
        })
    };
    let put = move || {
        let extra = match what.now().as_str() {
            "forgotten" => known().map(Extra::Forgotten),
            "double" => known().map(Extra::Double),
            "slate" => Ok(Extra::Slate),
            "capped" => Ok(Extra::Capped),
            _ => Ok(Extra::Lost),
        };
        let what = match extra {
            Ok(what) => what,
            Err(sentence) => return roll.room.said.set(sentence),
        };
        let places = roll.once(|_, roll| spots(roll, true));
        let put = roll.room.edit(&Edit::Extra {
            roll: roll.id(),
            what,
            spot: spot(&shown(place, &places)),
            at: None,
        });
        if put {
            time.set("");
            aperture.set("");
        }
    };
    let places = move || roll.with(|_, roll| spots(roll, true));
    let scenes = move || roll.with(|_, roll| scenes(roll));
    let unknown = "Empty where it is not known.";
    let picture = el("div")
        .class("form")
        .hidden_when(move || what.with(|what| what != "forgotten" && what != "double"))
        .with(choice("put-scene", "Scene it belongs to", scenes, scene))
        .with(entry("put-time", "Time that was set", unknown, time))
        .with(entry(
            "put-aperture",
            "Aperture that was set",
            unknown,
            aperture,
        ));
    let inside = el("div")
        .class("form")
        .with(choice("put-what", "What it is", kinds, what))
        .with(choice("put-where", "Where it happened", places, place))
        .with(picture)
        .with(row([button("main", "Put it in", put)]))
        .with(paragraph(
            "reason",
            "Later frames keep what is known of them, and their numbers move on by one. So do the scans.",
        ));
    unfolds("Put a frame into the log", inside)
}

/// Where a frame can be moved: behind itself is where it is.
fn elsewhere(roll: &Roll, frame: u16) -> Options {
    let here = format!("behind {frame}");
    let mut places = spots(roll, false);
    places.retain(|(key, _)| *key != here);
    places
}

/// Moves a frame to another place of the log.
pub(super) fn mover(roll: Subject, frame: u16) -> Element {
    let place = Live::new(String::new());
    let places = move || roll.with(|_, roll| elsewhere(roll, frame));
    let go = move || {
        let places = roll.once(|_, roll| elsewhere(roll, frame));
        roll.room.edit(&Edit::Move {
            roll: roll.id(),
            frame,
            spot: spot(&shown(place, &places)),
        });
    };
    row([
        choice("move-where", "It belongs elsewhere", places, place),
        button("", "Move it there", go).into(),
    ])
}
