//! Spots, each read by itself, and where each tone is placed.

use exposure::{Control, Mark, Reading, Steps, light::Constants};
use readings::{
    Found,
    sky::CAUTION,
    tones::{MOST_SPOTS, Placed, Placing, Spot, TONES, Tone, Zone, place, range_in_words, roman},
    typed,
};

use super::{
    found::{Outcome, nothing, of_the_dial, offering, picked},
    room::{KeptSpot, Room},
    shelf::shelves,
};
use crate::{
    choice::Options,
    form::{self, Typed, checked, choice, entry, fixed, only, when},
    live::{Live, Worked},
    parts::{Part, el, follows, parts},
    piece::{button_unless, complaint, paragraph},
};

const ABOUT: &str = "A meter makes middle grey of whatever it reads. Read one or more places by themselves, and say how they are to come out.";

/// What is made of spots as long as no tone was chosen.
const AVERAGE: &str = "average";
const MIDWAY: &str = "midway";
const CARD: &str = "card";

/// What is to be made of the spots.
#[derive(Clone, Copy)]
struct Wish {
    /// One of the ways above, or the place of a tone in [`TONES`].
    how: Live<String>,
    /// The number of the spot that a tone is chosen for; as long as none was chosen, the first is meant.
    spot: Live<String>,
}

impl Wish {
    fn meant(self, spots: &[KeptSpot]) -> usize {
        self.spot
            .with(|spot| {
                spots
                    .iter()
                    .position(|kept| kept.number.to_string() == *spot)
            })
            .unwrap_or(0)
    }

    fn placing(self, spots: &[KeptSpot]) -> Placing {
        let spot = self.meant(spots);
        match self.how.get().as_str() {
            AVERAGE => Placing::Average,
            MIDWAY => Placing::Midway,
            CARD => Placing::CardInSun { spot },
            tone => Placing::On {
                spot,
                zone: picked(&TONES, tone).map_or(Zone::MIDDLE, |tone: Tone| tone.zone),
            },
        }
    }

    /// Takes a spot away. A tone goes with the spot that it was chosen for.
    fn remove(self, room: Room, at: usize) {
        let was_meant = room.spots.once(|spots| self.meant(spots)) == at;
        room.spots.update(|spots| {
            if at < spots.len() {
                spots.remove(at);
            }
        });
        if was_meant {
            self.spot.set(String::new());
            self.how.set(AVERAGE.to_owned());
        }
    }
}

/// What can be made of them.
fn ways() -> Options {
    let ways = [
        (AVERAGE, "The average of all is middle grey"),
        (
            MIDWAY,
            "Midway between the darkest and the brightest is middle grey",
        ),
        (CARD, "One is a grey card in front light from the sun"),
    ];
    let ways = ways.map(|(key, name)| (key.to_owned(), name.to_owned()));
    let tones = TONES.iter().enumerate().map(|(at, tone)| {
        let (name, source) = (tone.name, tone.source);
        let name = format!("One is: {name}, zone {} ({source})", roman(tone.zone));
        (at.to_string(), name)
    });
    ways.into_iter().chain(tones).collect()
}

/// What the spots come to, once there is one.
type Come = Option<Result<Placed, String>>;

pub(super) fn page(room: Room) -> Part {
    let wish = Wish {
        how: Live::new(AVERAGE.to_owned()),
        spot: Live::new(String::new()),
    };
    let placed = Worked::new(move || -> Come {
        room.spots.with(|spots| {
            let place = || place(&alone(spots), wish.placing(spots));
            (!spots.is_empty()).then(|| place().map_err(|error| error.to_string()))
        })
    });
    let found = move || -> Outcome {
        placed.with(|placed| match placed {
            Some(placed) => placed
                .as_ref()
                .map(|it| it.found.clone())
                .map_err(Clone::clone),
            None => nothing(),
        })
    };
    let spots = move || {
        room.spots.with(|spots| {
            let entry = |kept: &KeptSpot| (kept.number.to_string(), kept.spot.name.clone());
            spots.iter().map(entry).collect()
        })
    };
    let is_of_one = move || wish.how.with(|how| how != AVERAGE && how != MIDWAY);
    let photos = el("p").class("lines").attr("aria-live", "polite");
    let shown = parts![
        paragraph("reason", ABOUT),
        add(room),
        // A spot is read through a finder.
        paragraph("reason", CAUTION),
        el("h3").says("Spots"),
        follows(move || placed.with(|placed| shown(room, wish, placed))),
        photos.tells(move || room.spots.with(|spots| mixed(spots))),
        el("div").class("form").all([
            choice("tone-how", "What is made of them", ways, wish.how),
            only(
                is_of_one,
                choice("tone-spot", "Which spot", spots, wish.spot),
            ),
        ]),
    ];
    offering(room, shown, found)
}

/// The spots, each with where its tone falls, and how far they lie apart.
fn shown(room: Room, wish: Wish, placed: &Come) -> Part {
    let (falls, range) = match placed {
        Some(Ok(placed)) => (placed.falls.clone(), range_in_words(placed.range)),
        _ => (
            room.spots
                .with(|spots| spots.iter().map(|kept| kept.spot.name.clone()).collect()),
            "No spot was read yet.".to_owned(),
        ),
    };
    let rows = falls.into_iter().enumerate();
    let rows = rows.map(|(at, words)| form::kept(words, move || wish.remove(room, at)));
    parts![shelves("Spots", rows.collect()), paragraph("reason", range),]
}

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
fn add(room: Room) -> Part {
    let (name, ev) = (Typed::new(""), Typed::new(""));
    let way = Live::new("ev".to_owned());
    let [time, aperture, iso] = ["1/125", "f/8", "ISO 100"].map(Typed::new);
    let error = Live::new(String::new());
    let of_ev = move || {
        let typed = typed::Typed {
            text: &ev.get(),
            unit: typed::Unit::Ev,
            iso: None,
        };
        typed
            .found(&Constants::default())
            .map_err(|error| error.to_string())
    };
    // An empty field is no mistake yet.
    let wrong_ev = move || match of_ev() {
        Err(sentence) if !ev.get().trim().is_empty() => sentence,
        _ => String::new(),
    };
    let read = move || -> Outcome {
        match way.get().as_str() {
            "dial" => Ok(of_the_dial(room)),
            "settings" => settings([time, aperture, iso])
                .map(|reading| Found::shown(reading, false, "the meter"))
                .map_err(|error| error.to_string()),
            _ => of_ev(),
        }
    };
    let send = move || match read().and_then(|found| keep(room, &name.now(), &found)) {
        Ok(()) => {
            error.set(String::new());
            // Name and figure were typed for this spot, and the next one has its own.
            name.set("");
            ev.set("");
        }
        Err(sentence) => error.set(sentence),
    };
    const WAYS: [(&str, &str); 3] = [
        ("ev", "EV at ISO 100"),
        ("settings", "time, aperture and sensitivity"),
        ("dial", "what the dial reads now"),
    ];
    let hint = "Such as: bark in the shade.";
    let of_ev = checked("tone-ev", "EV at ISO 100", "", ev, wrong_ev);
    let settings =
        |control, id, label, typed| when(way, &["settings"], mark(control, id, label, typed));
    let press = button_unless(move || read().is_err(), "", "Add the spot", send);
    el("div")
        .class("form")
        .all([
            entry("tone-name", "What was read", hint, name),
            choice("tone-way", "As", fixed(WAYS), way),
            when(way, &["ev"], of_ev),
            settings(Control::Time, "tone-time", "Time", time),
            settings(Control::Aperture, "tone-aperture", "Aperture", aperture),
            settings(Control::Sensitivity, "tone-iso", "Sensitivity", iso),
            complaint("tone-error", move || error.get()),
            el("div").class("row").with(press).into(),
        ])
        .into()
}

/// Keeps a spot under a name, or one of its own.
fn keep(room: Room, name: &str, found: &Found) -> Result<(), String> {
    let count = room.spots.once(Vec::len);
    if count >= MOST_SPOTS {
        return Err(format!("A scene can have at most {MOST_SPOTS} spots."));
    }
    let name = match name {
        "" => format!("Spot {}", count + 1),
        name => name.chars().take(30).collect(),
    };
    room.keep_spot(name, found, String::new());
    Ok(())
}

/// A field for one of three figures, as a device in thirds shows it.
pub(super) fn mark(control: Control, id: &'static str, label: &'static str, typed: Typed) -> Part {
    let wrong = move || {
        // An empty field is no mistake yet.
        let read = match typed.get().trim() {
            "" => None,
            text => Mark::parse(control, text, Steps::Third).err(),
        };
        read.map(|error| panel::Refusal::from(error).sentence)
            .unwrap_or_default()
    };
    checked(id, label, "", typed, wrong)
}

/// Three figures as a device in thirds shows them.
pub(super) fn settings([time, aperture, iso]: [Typed; 3]) -> Result<Reading, exposure::Error> {
    let mark = |control, typed: Typed| Mark::parse(control, &typed.get(), Steps::Third);
    Reading::new(
        mark(Control::Time, time)?,
        mark(Control::Aperture, aperture)?,
        mark(Control::Sensitivity, iso)?,
    )
}
