//! Rolls into cameras and out of them: one roll to a camera, part-shot rolls loaded again.

use book::{Edit, Loading, Speed, State};
use leptos::prelude::*;
use panel::{handover::OnDial, store};

use super::{
    form::{choice, entry, typed},
    room::{Place, Room, today},
};
use crate::{
    browser::storage,
    choice::Options,
    piece::{button, flag, never, paragraph, press, text},
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

/// The form that puts one of these rolls into a camera, and asks before what is in there is taken out.
pub(super) fn fields(room: Room, rolls: Signal<Options>, filled: Filled) -> impl IntoView {
    let chosen = RwSignal::new(String::new());
    // A camera that was chosen is meant as long as its name stands there; what is typed may be the name of a known one.
    let picked = RwSignal::new(filled.camera_id.map(|id| (filled.camera.clone(), id)));
    let camera = RwSignal::new(filled.camera);
    let camera_id = move || {
        let name = camera.get();
        let of_pick = picked.with(|picked| {
            let (of, id) = picked.as_ref()?;
            (*of == name).then(|| id.clone())
        });
        of_pick.or_else(|| room.with(|book| book.camera_named(&name)))
    };
    let known_words = text(move || {
        let is_known = camera_id().is_some_and(|id| room.with(|book| book.camera(&id).is_some()));
        if camera.with(|name| name.trim().is_empty()) {
            String::new()
        } else if is_known {
            "Its marks are known: they are offered where a frame is noted.".to_owned()
        } else {
            "Nobody has described its marks: the log takes what is planned and typed. On the dial, under “More”, its marks can be added."
                .to_owned()
        }
    });
    let device = RwSignal::new(filled.device);
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
    let no_device = flag(move || devices.with(|devices| devices.len() < 2));
    let rating = RwSignal::new(filled.rating);
    let first = RwSignal::new(filled.first);
    // What waits for the person's word, and what is in the way of it.
    let asked = RwSignal::new(None::<(String, Loading)>);
    let in_the_way = text(move || {
        let Some((roll, loading)) = asked.get() else {
            return String::new();
        };
        room.with(|book| {
            let others = book.in_camera(&loading);
            let lines: Vec<String> = others
                .filter(|other| other.id != roll)
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
        })
    });
    let nothing_asked = flag(move || in_the_way.with(String::is_empty));
    let done = move |edit: &Edit, roll: String| {
        if room.edit(edit) {
            asked.set(None);
            let said = room.said.get_untracked();
            room.go(Place::Roll(roll));
            room.said.set(said);
        }
    };
    let send = move || {
        let first_roll = rolls.with_untracked(|rolls| rolls.first().map(|(id, _)| id.clone()));
        let roll = Some(chosen.get_untracked())
            .filter(|id| rolls.with_untracked(|rolls| rolls.iter().any(|(known, _)| known == id)))
            .or(first_roll);
        let (Some(roll), Ok(first_frame)) = (roll, typed(first).parse::<u16>()) else {
            return room
                .said
                .set("The first frame is a whole number, 1 for a new roll.".to_owned());
        };
        let rating = match Speed::parse(&typed(rating)) {
            Ok(rating) => rating,
            Err(error) => return room.said.set(error.to_string()),
        };
        let loading = Loading {
            device: Some(device.get_untracked()).filter(|id| !id.is_empty()),
            ..Loading::new(&typed(camera), rating, today(), first_frame)
                .known_as(untrack(camera_id))
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
            asked.set(Some((roll, loading)));
        }
    };
    let instead = move |goes_on: bool| {
        if let Some((roll, loading)) = asked.get_untracked() {
            let edit = Edit::TakeOver {
                roll: roll.clone(),
                loading,
                goes_on,
            };
            done(&edit, roll);
        }
    };
    let one = flag(move || rolls.with(|rolls| rolls.len() < 2));
    view! {
        <div class="form">
            <div hidden=one>{choice("load-roll", "Roll", rolls, chosen)}</div>
            {entry("load-camera", "Camera", "One of these, or any in your own words.", camera)}
            {cameras(room, camera, picked)}
            {paragraph("reason", known_words)}
            {entry("load-rating", "Rating (EI)", "What the whole roll is rated at.", rating)}
            {entry("load-counter", filled.first_label, filled.first_hint, first)}
            <div hidden=no_device>{choice("load-device", "Read with", devices, device)}</div>
            <div class="row">{button("main", "Load it", never(), send)}</div>
            <div class="question" hidden=nothing_asked>
                <p class="lines" role="alert">
                    {in_the_way}
                </p>
                <div class="row">
                    {button("", "It is finished: load this one instead", never(), move || instead(false))}
                    {button("", "It goes on later: load this one instead", never(), move || instead(true))}
                    {button("", "Leave it in", never(), move || asked.set(None))}
                </div>
            </div>
        </div>
    }
}

/// Cameras to be chosen by a press: the person's own, the one on the dial, and those that rolls were loaded into.
fn cameras(
    room: Room,
    camera: RwSignal<String>,
    picked: RwSignal<Option<(String, String)>>,
) -> impl IntoView {
    let on_dial = OnDial::of(&store::Found {
        setting: storage::read(store::SETTING).ok().flatten(),
        cameras: storage::read_all(store::CAMERA_PREFIX).unwrap_or_default(),
    });
    let on_dial = StoredValue::new(on_dial.camera);
    let known = Memo::new(move |_| {
        room.with(|book| {
            let mut all: Vec<(String, Option<String>)> = Vec::new();
            let own = book.cameras().into_iter().filter(|known| known.own);
            all.extend(own.map(|known| (known.name, Some(known.id))));
            let mut add = |name: &str, id: Option<String>| {
                let is_there = all.iter().any(|(known, of)| {
                    *known == name && (of.is_none() || id.is_none() || *of == id)
                });
                if !is_there {
                    all.push((name.to_owned(), id));
                }
            };
            for loading in book.rolls().filter_map(|roll| roll.loading()) {
                add(&loading.camera, loading.camera_id.clone());
            }
            on_dial.with_value(|name| add(name, book.camera_named(name)));
            all.truncate(MOST_CAMERAS);
            all
        })
    });
    let buttons = move || {
        known
            .get()
            .into_iter()
            .map(|(name, id)| {
                let (words, of) = (name.clone(), name.clone());
                let pressed = text(move || camera.with(|camera| *camera == of).to_string());
                let choose = press(move || {
                    picked.set(id.clone().map(|id| (name.clone(), id)));
                    camera.set(name.clone());
                });
                view! {
                    <button type="button" aria-pressed=pressed on:click=choose>
                        {words}
                    </button>
                }
            })
            .collect_view()
    };
    view! {
        <div class="row marks" role="group" aria-label="Cameras to choose from">
            {buttons}
        </div>
    }
}

/// A loaded roll, taken out before it is full.
pub(super) fn take_out(room: Room, id: StoredValue<String>) -> impl IntoView {
    let why = RwSignal::new(String::new());
    let out = move |goes_on: bool| {
        room.edit(&Edit::TakeOut {
            roll: id.get_value(),
            on: today(),
            why: typed(why),
            goes_on,
        });
    };
    view! {
        <details>
            <summary>"Take it out early"</summary>
            <div class="form">
                {entry("out-why", "Why", "For you: a jam, other light. It may stay empty.", why)}
                <p class="reason">
                    "To go on later, leave the leader out, and note the last frame on the cassette."
                </p>
                <div class="row">
                    {button("main", "It goes on later", never(), move || out(true))}
                    {button("", "It is finished as it is", never(), move || out(false))}
                </div>
            </div>
        </details>
    }
}

/// A part-shot roll, loaded again, or finished as it is.
pub(super) fn again(room: Room, id: StoredValue<String>) -> impl IntoView {
    // Made anew only where what it is filled with is another: a refusal leaves what was typed.
    let filled = Memo::new(move |_| {
        room.with(|book| {
            let roll = id.with_value(|id| book.roll(id))?;
            if roll.state != State::PartShot {
                return None;
            }
            let loading = roll.loading()?;
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
        })
    });
    let form = move || {
        let (name, filled) = filled.get()?;
        let rolls = Signal::stored(vec![(id.get_value(), name)]);
        Some(fields(room, rolls, filled))
    };
    let finish = move || {
        room.edit(&Edit::Finish {
            roll: id.get_value(),
            on: today(),
        });
    };
    view! {
        <h3>"Load it again"</h3>
        {form}
        <div class="row">{button("", "It is finished as it is", never(), finish)}</div>
    }
}
