//! Spots, each read by itself, and where each tone is placed.

use exposure::{Control, Mark, Reading, Steps};
use leptos::prelude::*;
use readings::{
    Found,
    sky::CAUTION,
    tones::{MOST_SPOTS, Placing, Spot, TONES, Tone, Zone, place, range_in_words, roman},
    typed,
};

use super::{
    found::{Outcome, field, nothing, of_the_dial, offer, picked},
    room::{KeptSpot, Room},
};
use crate::{
    form::{self, checked, choice, entry, fixed, typed as text_of},
    piece::{button, complaint, flag, paragraph, text},
};

pub(super) fn page(room: Room) -> AnyView {
    // A tone is chosen for one spot, by its number; as long as none was chosen, for the first.
    let (how, spot) = (field(AVERAGE), field(""));
    let meant = move |spots: &[KeptSpot]| {
        spot.with(|spot| {
            spots
                .iter()
                .position(|kept| kept.number.to_string() == *spot)
        })
        .unwrap_or(0)
    };
    let placing = move |spots: &[KeptSpot]| {
        let at = meant(spots);
        match how.get().as_str() {
            "midway" => Placing::Midway,
            "card" => Placing::CardInSun { spot: at },
            AVERAGE => Placing::Average,
            tone => Placing::On {
                spot: at,
                zone: picked(&TONES, tone).map_or(Zone::MIDDLE, |tone: Tone| tone.zone),
            },
        }
    };
    // A tone goes with the spot that it was chosen for.
    let remove = move |at: usize| {
        let was_meant = room
            .spots
            .with_untracked(|spots| untrack(|| meant(spots)) == at);
        room.spots.update(|spots| {
            if at < spots.len() {
                spots.remove(at);
            }
        });
        if was_meant {
            spot.set(String::new());
            how.set(AVERAGE.to_owned());
        }
    };
    let placed = Memo::new(move |_| {
        room.spots
            .with(|spots| (!spots.is_empty()).then(|| place(&alone(spots), placing(spots))))
    });
    let found = Signal::derive(move || -> Outcome {
        placed.with(|placed| match placed {
            Some(Ok(placed)) => Ok(placed.found.clone()),
            Some(Err(error)) => Err(error.to_string()),
            None => nothing(),
        })
    });
    let range = text(move || {
        placed.with(|placed| match placed {
            Some(Ok(placed)) => range_in_words(placed.range),
            _ => "No spot was read yet.".to_owned(),
        })
    });
    let falls = Memo::new(move |_| {
        placed.with(|placed| match placed {
            Some(Ok(placed)) => placed.falls.clone(),
            _ => room
                .spots
                .with(|spots| alone(spots).into_iter().map(|spot| spot.name).collect()),
        })
    });
    let rows = move || {
        let falls: Vec<String> = falls.get();
        falls
            .into_iter()
            .enumerate()
            .map(|(at, words)| form::kept(words, move || remove(at)))
            .collect_view()
    };
    let spots = Signal::derive(move || {
        room.spots.with(|spots| {
            let entry = |kept: &KeptSpot| (kept.number.to_string(), kept.spot.name.clone());
            spots.iter().map(entry).collect()
        })
    });
    let photos = text(move || room.spots.with(|spots| mixed(spots)));
    let all = flag(move || how.with(|how| how == AVERAGE || how == "midway"));
    let mut ways: Vec<(String, String)> = [
        (AVERAGE, "The average of all is middle grey"),
        (
            "midway",
            "Midway between the darkest and the brightest is middle grey",
        ),
        ("card", "One is a grey card in front light from the sun"),
    ]
    .map(|(key, name)| (key.to_owned(), name.to_owned()))
    .into();
    ways.extend(TONES.iter().enumerate().map(|(at, tone)| {
        let name = format!(
            "One is: {}, zone {} ({})",
            tone.name,
            roman(tone.zone),
            tone.source
        );
        (at.to_string(), name)
    }));
    view! {
        <p class="reason">
            "A meter makes middle grey of whatever it reads. Read one or more places by themselves, and say how they are to come out."
        </p>
        {add(room)}
        // A spot is read through a finder.
        <p class="reason">{CAUTION}</p>
        <h3>"Spots"</h3>
        <ul class="shelves" aria-label="Spots">
            {rows}
        </ul>
        {paragraph("reason", range)}
        <p class="lines" aria-live="polite">
            {photos}
        </p>
        <div class="form">
            {choice("tone-how", "What is made of them", Signal::stored(ways), how)}
            <div hidden=all>{choice("tone-spot", "Which spot", spots, spot)}</div>
        </div>
        {offer(room, found)}
    }
    .into_any()
}

/// What is made of spots as long as no tone was chosen.
const AVERAGE: &str = "average";

fn alone(spots: &[KeptSpot]) -> Vec<Spot> {
    spots.iter().map(|kept| kept.spot.clone()).collect()
}

/// That spots are of more than one photo, if they are.
fn mixed(spots: &[KeptSpot]) -> String {
    let mut photos: Vec<&str> = Vec::new();
    for kept in spots {
        if !kept.photo.is_empty() && !photos.contains(&kept.photo.as_str()) {
            photos.push(&kept.photo);
        }
    }
    if photos.len() < 2 {
        return String::new();
    }
    format!(
        "These spots are of different photos ({}): they belong together only if the light was the same.",
        photos.join("; ")
    )
}

/// A spot as a meter shows it: an EV, or settings; or what the dial reads now.
fn add(room: Room) -> impl IntoView {
    let (name, way, ev) = (field(""), field("ev"), field(""));
    let (time, aperture, iso) = (field("1/125"), field("f/8"), field("ISO 100"));
    let error = field("");
    let of_ev = move || {
        let text = ev.get();
        let typed = typed::Typed {
            text: &text,
            unit: typed::Unit::Ev,
            iso: None,
        };
        typed
            .found(&exposure::light::Constants::default())
            .map_err(|error| error.to_string())
    };
    // An empty field is no mistake yet.
    let wrong_ev = text(move || match of_ev() {
        Err(sentence) if ev.with(|ev| !ev.trim().is_empty()) => sentence,
        _ => String::new(),
    });
    let read = move || -> Outcome {
        match way.get().as_str() {
            "dial" => Ok(of_the_dial(room)),
            "settings" => settings(&time.get(), &aperture.get(), &iso.get())
                .map(|reading| Found::shown(reading, false, "the meter"))
                .map_err(|error| error.to_string()),
            _ => of_ev(),
        }
    };
    let none = flag(move || read().is_err());
    let send = move || {
        let made = untrack(read).and_then(|found| {
            let count = room.spots.with_untracked(Vec::len);
            if count >= MOST_SPOTS {
                return Err(format!("A scene can have at most {MOST_SPOTS} spots."));
            }
            let name = match text_of(name) {
                name if name.is_empty() => format!("Spot {}", count + 1),
                name => name.chars().take(30).collect(),
            };
            Ok((name, found))
        });
        match made {
            Ok((named, found)) => {
                room.keep_spot(named, &found, String::new());
                error.set(String::new());
                // Name and figure were typed for this spot, and the next one has its own.
                name.set(String::new());
                ev.set(String::new());
            }
            Err(sentence) => error.set(sentence),
        }
    };
    let is = move |key: &'static str| flag(move || way.with(|way| way != key));
    view! {
        <div class="form">
            {entry("tone-name", "What was read", "Such as: bark in the shade.", name)}
            {choice(
                "tone-way",
                "As",
                fixed([
                    ("ev", "EV at ISO 100"),
                    ("settings", "time, aperture and sensitivity"),
                    ("dial", "what the dial reads now"),
                ]),
                way,
            )}
            <div hidden=is("ev")>{checked("tone-ev", "EV at ISO 100", "", ev, wrong_ev)}</div>
            <div hidden=is("settings")>{mark(Control::Time, "tone-time", "Time", time)}</div>
            <div hidden=is("settings")>{mark(Control::Aperture, "tone-aperture", "Aperture", aperture)}</div>
            <div hidden=is("settings")>{mark(Control::Sensitivity, "tone-iso", "Sensitivity", iso)}</div>
            {complaint("tone-error", error.into())}
            <div class="row">{button("", "Add the spot", none, send)}</div>
        </div>
    }
}

/// A field for one of three figures, as a device in thirds shows it.
pub(super) fn mark(
    control: Control,
    id: &'static str,
    label: &'static str,
    typed: RwSignal<String>,
) -> impl IntoView {
    let wrong = text(move || {
        // An empty field is no mistake yet.
        let read = typed.with(|typed| match typed.trim() {
            "" => None,
            text => Mark::parse(control, text, Steps::Third).err(),
        });
        read.map(|error| panel::Refusal::from(error).sentence)
            .unwrap_or_default()
    });
    checked(id, label, "", typed, wrong)
}

/// Three figures as a device in thirds shows them.
pub(super) fn settings(time: &str, aperture: &str, iso: &str) -> Result<Reading, exposure::Error> {
    let mark = |control, text| Mark::parse(control, text, Steps::Third);
    Reading::new(
        mark(Control::Time, time)?,
        mark(Control::Aperture, aperture)?,
        mark(Control::Sensitivity, iso)?,
    )
}
