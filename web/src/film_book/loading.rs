//! Rolls into cameras and out of them: one roll to a camera, part-shot rolls loaded again.

use book::{Book, Edit, Loading, Roll, Speed, State};
use panel::{handover::OnDial, store};

use super::room::{Place, Room, Subject};
use crate::{
    browser::storage,
    choice::Options,
    form::{Typed, choice, entry},
    live::{Live, Worked},
    moment::today,
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button, paragraph, row, unfolds},
};

/// So many cameras are offered as buttons; all others are typed.
const MOST_CAMERAS: usize = 8;

/// What a form of loading is filled with.
#[derive(Clone, PartialEq)]
pub(super) struct Filled {
    /// Camera.
    pub(super) camera: String,
    /// Its id, where it is known.
    pub(super) camera_id: Option<String>,
    /// Id of the reading device; empty where it is not said.
    pub(super) device: String,
    /// Rating.
    pub(super) rating: String,
    /// The first frame.
    pub(super) first: String,
    /// What that number is called, and what is to be known of it.
    pub(super) first_label: &'static str,
    pub(super) first_hint: &'static str,
}

/// The name and the id of the camera that was chosen by a press.
type Picked = Live<Option<(String, String)>>;

/// The form that puts one of these rolls into a camera, and asks before what is in there is taken out.
pub(super) fn fields(room: Room, rolls: Worked<Options>, filled: Filled) -> Element {
    let chosen = Live::new(String::new());
    // A camera that was chosen is meant as long as its name stands there; what is typed may be the name of a known one.
    let picked = Live::new(filled.camera_id.map(|id| (filled.camera.clone(), id)));
    let camera = Typed::new(filled.camera);
    let device = Live::new(filled.device);
    let rating = Typed::new(filled.rating);
    let first = Typed::new(filled.first);
    // What waits for the person's word.
    let asked = Live::new(None::<(String, Loading)>);
    let done = move |edit: &Edit, roll: String| {
        if room.edit(edit) {
            asked.put(None);
            let said = room.said.now();
            room.go(Place::Roll(roll));
            room.said.set(said);
        }
    };
    let send = move || {
        let roll = rolls.once(|rolls| {
            let ids = rolls.iter().map(|(id, _)| id);
            let chosen = chosen.once(|chosen| ids.clone().find(|id| *id == chosen));
            chosen.or(ids.clone().next()).cloned()
        });
        let (Some(roll), Ok(first_frame)) = (roll, first.now().parse::<u16>()) else {
            let said = "The first frame is a whole number, 1 for a new roll.";
            return room.said.set(said.to_owned());
        };
        let rating = match Speed::parse(&rating.now()) {
            Ok(rating) => rating,
            Err(error) => return room.said.set(error.to_string()),
        };
        let camera_id = picked.once(|picked| {
            let name = camera.text().now();
            room.once(|book| camera_id(book, picked.as_ref(), &name))
        });
        let loading = Loading {
            device: Some(device.now()).filter(|id| !id.is_empty()),
            ..Loading::new(&camera.now(), rating, today(), first_frame).known_as(camera_id)
        };
        let is_free = room.once(|book| {
            let mut others = book.in_camera(&loading);
            !others.any(|other| other.id != roll)
        });
        if is_free {
            let edit = Edit::Load {
                roll: roll.clone(),
                loading,
            };
            done(&edit, roll);
        } else {
            asked.put(Some((roll, loading)));
        }
    };
    let instead = move |goes_on: bool| {
        if let Some((roll, loading)) = asked.now() {
            let edit = Edit::TakeOver {
                roll: roll.clone(),
                loading,
                goes_on,
            };
            done(&edit, roll);
        }
    };
    // What is in the way of what waits.
    let question = move || {
        let lines = asked.with(|asked| {
            let (roll, loading) = asked.as_ref()?;
            Some(room.with(|book| in_the_way(book, roll, loading)))
        });
        let lines = lines.unwrap_or_default();
        el("div")
            .class("question")
            .hidden(lines.is_empty())
            .with(paragraph("lines", lines).attr("role", "alert"))
            .with(row([
                button("", "It is finished: load this one instead", move || {
                    instead(false);
                }),
                button("", "It goes on later: load this one instead", move || {
                    instead(true);
                }),
                button("", "Leave it in", move || asked.put(None)),
            ]))
    };
    let is_known = move || {
        let name = camera.get();
        let words =
            picked.with(|picked| room.with(|book| known_words(book, picked.as_ref(), &name)));
        paragraph("reason", words)
    };
    el("div")
        .class("form")
        .with(
            el("div")
                .hidden_when(move || rolls.with(|rolls| rolls.len() < 2))
                .with(choice("load-roll", "Roll", move || rolls.get(), chosen)),
        )
        .with(entry(
            "load-camera",
            "Camera",
            "One of these, or any in your own words.",
            camera,
        ))
        .with(cameras(room, camera, picked))
        .with(follows(is_known))
        .with(entry(
            "load-rating",
            "Rating (EI)",
            "What the whole roll is rated at.",
            rating,
        ))
        .with(entry(
            "load-counter",
            filled.first_label,
            filled.first_hint,
            first,
        ))
        .with(
            el("div")
                .hidden_when(move || room.with(|book| book.devices().next().is_none()))
                .with(read_with("load-device", room, device)),
        )
        .with(row([button("main", "Load it", send)]))
        .with(follows(question))
}

/// The field for the device that was read with.
pub(super) fn read_with(id: &'static str, room: Room, device: Live<String>) -> Part {
    let devices = move || {
        room.with(|book| {
            let mut all = vec![(String::new(), "Not said".to_owned())];
            let known = book.devices();
            all.extend(known.map(|device| (device.id.clone(), device.name.clone())));
            all
        })
    };
    choice(id, "Read with", devices, device)
}

/// The id of the camera that is meant by a name: of the one that was picked, as long as its name stands there, else of one
/// that is known by it.
fn camera_id(book: &Book, picked: Option<&(String, String)>, name: &str) -> Option<String> {
    let of_pick = picked.filter(|(of, _)| of == name);
    of_pick.map_or_else(|| book.camera_named(name), |(_, id)| Some(id.clone()))
}

fn known_words(book: &Book, picked: Option<&(String, String)>, name: &str) -> &'static str {
    let id = camera_id(book, picked, name);
    if name.trim().is_empty() {
        ""
    } else if id.is_some_and(|id| book.camera(&id).is_some()) {
        "Its marks are known: they are offered where a frame is noted."
    } else {
        "Nobody has described its marks: the log takes what is planned and typed. On the dial, under “More”, its marks can be added."
    }
}

/// The rolls that are in the camera that another one is to be loaded into.
fn in_the_way(book: &Book, roll: &str, loading: &Loading) -> String {
    let others = book.in_camera(loading).filter(|other| other.id != roll);
    let lines: Vec<String> = others
        .map(|other| {
            let words = other.place_words();
            format!(
                "“{}” is in this camera. {}",
                other.name,
                words[1..].join(" ")
            )
        })
        .collect();
    lines.join("\n")
}

/// Cameras to choose from: the person's own, those that rolls were loaded into, and the one on the dial.
fn known_cameras(book: &Book, on_dial: &str) -> Vec<(String, Option<String>)> {
    let own = book.cameras().into_iter().filter(|known| known.own);
    let mut all: Vec<(String, Option<String>)> =
        own.map(|known| (known.name, Some(known.id))).collect();
    let mut add = |name: &str, id: Option<String>| {
        let is_there = all
            .iter()
            .any(|(known, of)| *known == name && (of.is_none() || id.is_none() || *of == id));
        if !is_there {
            all.push((name.to_owned(), id));
        }
    };
    for loading in book.rolls().filter_map(|roll| roll.loading()) {
        add(&loading.camera, loading.camera_id.clone());
    }
    add(on_dial, book.camera_named(on_dial));
    all.truncate(MOST_CAMERAS);
    all
}

/// Cameras to be chosen by a press.
fn cameras(room: Room, camera: Typed, picked: Picked) -> Part {
    let on_dial = OnDial::of(&store::Found {
        setting: storage::read(store::SETTING).ok().flatten(),
        cameras: storage::read_all(store::CAMERA_PREFIX).unwrap_or_default(),
    });
    let on_dial = on_dial.camera;
    follows(move || {
        let known = room.with(|book| known_cameras(book, &on_dial));
        let typed = camera.get();
        let buttons = known.into_iter().map(|(name, id)| {
            let pressed = if name == typed { "true" } else { "false" };
            let words = name.clone();
            let choose = move || {
                picked.set(id.clone().map(|id| (name.clone(), id)));
                camera.set(name.clone());
            };
            button("", words, choose).attr("aria-pressed", pressed)
        });
        el("div")
            .class("row marks")
            .attr("role", "group")
            .named("Cameras to choose from")
            .all(buttons)
    })
}

/// A loaded roll, taken out before it is full.
pub(super) fn take_out(roll: Subject) -> Element {
    let why = Typed::new("");
    let out = move |goes_on: bool| {
        roll.room.edit(&Edit::TakeOut {
            roll: roll.id(),
            on: today(),
            why: why.now(),
            goes_on,
        });
    };
    let hint = "For you: a jam, other light. It may stay empty.";
    let inside = el("div")
        .class("form")
        .with(entry("out-why", "Why", hint, why))
        .with(paragraph(
            "reason",
            "To go on later, leave the leader out, and note the last frame on the cassette.",
        ))
        .with(row([
            button("main", "It goes on later", move || out(true)),
            button("", "It is finished as it is", move || out(false)),
        ]));
    unfolds("Take it out early", inside)
}

/// What a part-shot roll is loaded with again, and its name.
fn filled_again(roll: &Roll) -> Option<(String, Filled)> {
    let loading = roll.loading().filter(|_| roll.state == State::PartShot)?;
    let filled = Filled {
        camera: loading.camera.clone(),
        camera_id: loading.camera_id.clone(),
        device: loading.device.clone().unwrap_or_default(),
        rating: loading.rating.shown(),
        first: roll.film_number().saturating_add(1).to_string(),
        first_label: "At frame",
        first_hint: "With the lens covered, wind on to one or two beyond the last one. What lies between is logged as blank.",
    };
    Some((roll.name.clone(), filled))
}

/// A part-shot roll, loaded again, or finished as it is.
pub(super) fn again(roll: Subject) -> Part {
    // Made anew only where what it is filled with is another: a refusal leaves what was typed.
    let filled = Worked::new(move || roll.with(|_, roll| filled_again(roll)));
    let form = move |filled: Option<(String, Filled)>| {
        let (name, filled) = filled?;
        let rolls = vec![(roll.id(), name)];
        let rolls = Worked::new(move || rolls.clone());
        Some(fields(roll.room, rolls, filled))
    };
    let finish = move || {
        roll.room.edit(&Edit::Finish {
            roll: roll.id(),
            on: today(),
        });
    };
    parts![
        el("h3").says("Load it again"),
        turns(move || filled.get(), form),
        row([button("", "It is finished as it is", finish)]),
    ]
}
