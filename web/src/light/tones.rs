//! Spots, each read by itself, and where each tone is placed.

use exposure::{Control, FilmKind, Mark, Reading, Steps, light::Constants};
use readings::{
    Found,
    sky::CAUTION,
    tones::{
        Fall, MOST_SPOTS, Placing, SHADES, STRIP, Spot, TONES, Tone, Zone, beyond_in_words, falls,
        held_edges, held_in_words, place, range_in_words, roman,
    },
    typed,
};

use super::{
    found::{Outcome, nothing, of_the_dial, offering, picked},
    room::{KeptSpot, Room},
};
use crate::{
    choice::Options,
    drawn,
    form::{self, Typed, checked, choice, entry, fixed, only, when},
    live::{Live, Worked},
    parts::{Element, Part, el, follows, parts},
    piece::{button_unless, complaint, paragraph},
    shelf::shelves,
};

const ABOUT: &str = "A meter makes middle grey of whatever it reads. Read one or more places by themselves, and say how they are to come out.";

/// What is made of spots as long as no tone was chosen.
const AVERAGE: &str = "average";
const MIDWAY: &str = "midway";
const CARD: &str = "card";
/// Before so many thirds of a zone, where a spot was moved on the strip.
const ZONE: &str = "zone-";

/// What is to be made of the spots.
#[derive(Clone, Copy)]
struct Wish {
    /// One of the ways above, a zone, or the place of a tone in [`TONES`].
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
            chosen => Placing::On {
                spot,
                zone: moved_to(chosen).unwrap_or_else(|| {
                    picked(&TONES, chosen).map_or(Zone::MIDDLE, |tone: Tone| tone.zone)
                }),
            },
        }
    }

    /// Moves a spot on the strip: what is to be made of all is then that it comes out there.
    fn lead(self, number: u32, thirds: i32) {
        self.spot.set(number.to_string());
        self.how.set(format!("{ZONE}{}", thirds.clamp(0, 30)));
    }

    /// Takes a spot away. A tone goes with the spot that it was chosen for.
    fn remove(self, room: Room, at: usize) {
        let was_meant = room.kept.spots.once(|spots| self.meant(spots)) == at;
        room.kept.spots.update(|spots| {
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

/// The zone of a spot that was moved on the strip.
fn moved_to(how: &str) -> Option<Zone> {
    let thirds: u8 = how.strip_prefix(ZONE)?.parse().ok()?;
    Zone::new(f64::from(thirds) / 3.0).ok()
}

/// What can be made of them; where a spot was moved on the strip, that as well.
fn ways(how: &str) -> Options {
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
    let moved = moved_to(how).map(|zone| {
        let name = format!("One comes out on zone {}", roman(zone));
        (how.to_owned(), name)
    });
    ways.into_iter().chain(tones).chain(moved).collect()
}

/// What the spots come to.
#[derive(Debug, Clone, PartialEq)]
struct Come {
    /// Where each falls, also where no marks reach the light.
    falls: Vec<Fall>,
    /// Which of them the others go along with, if one was chosen.
    leads: Option<usize>,
    found: Outcome,
    /// How far they lie apart.
    range: String,
}

impl Come {
    fn new(spots: &[KeptSpot], wish: Wish) -> Self {
        let placing = wish.placing(spots);
        let spots = alone(spots);
        let placed = place(&spots, placing);
        Self {
            // Without spots there is none that falls.
            falls: falls(&spots, placing).unwrap_or_default(),
            leads: match placing {
                Placing::On { spot, .. } | Placing::CardInSun { spot } => Some(spot),
                Placing::Average | Placing::Midway => None,
            },
            range: match &placed {
                Ok(placed) => range_in_words(placed.range),
                Err(_) if spots.is_empty() => "No spot was read yet.".to_owned(),
                Err(_) => String::new(),
            },
            found: match placed {
                Ok(placed) => Ok(placed.found),
                Err(_) if spots.is_empty() => nothing(),
                Err(error) => Err(error.to_string()),
            },
        }
    }
}

pub(super) fn page(room: Room) -> Part {
    let wish = Wish {
        how: Live::new(AVERAGE.to_owned()),
        spot: Live::new(String::new()),
    };
    let come = Worked::new(move || room.kept.spots.with(|spots| Come::new(spots, wish)));
    let spots = move || {
        room.kept.spots.with(|spots| {
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
        follows(move || come.with(|come| shown(room, wish, come))),
        photos.tells(move || room.kept.spots.with(|spots| mixed(spots))),
        el("div").class("form").all([
            choice(
                "tone-how",
                "What is made of them",
                move || wish.how.with(|how| ways(how)),
                wish.how
            ),
            only(
                is_of_one,
                choice("tone-spot", "Which spot", spots, wish.spot),
            ),
        ]),
    ];
    offering(room, shown, move || come.with(|come| come.found.clone()))
}

/// The spots, each with where its tone falls, and how far they lie apart.
fn shown(room: Room, wish: Wish, come: &Come) -> Part {
    let film = room.with(panel::State::film_kind);
    let numbers: Vec<u32> = room
        .kept
        .spots
        .with(|spots| spots.iter().map(|kept| kept.number).collect());
    let rows = come.falls.iter().zip(numbers).enumerate();
    let rows = rows.map(|(at, (fall, number))| {
        form::kept(fall.words.clone(), move || wish.remove(room, at)).with(lane(
            film,
            fall,
            come.leads == Some(at),
            number,
            wish,
        ))
    });
    let meant = room.kept.spots.with(|spots| {
        let spot = spots.get(wish.meant(spots))?;
        Some((spot.number, spot.spot.name.clone()))
    });
    let strip = meant.map(|meant| strip(film, come, wish, meant));
    parts![
        strip,
        shelves("Spots", rows.collect()),
        paragraph("reason", come.range.clone()),
    ]
}

/// The zones from black to white with all spots on them, and what the film keeps of them behind. A zone that is tapped is
/// where the spot that is meant comes out.
fn strip(film: FilmKind, come: &Come, wish: Wish, (number, name): (u32, String)) -> Element {
    let held = drawn::band(STRIP, "held", held_edges(film)[0], held_edges(film)[1]);
    let zones = (0_u8..).zip(SHADES).map(|(zone, shade)| {
        let middle = f64::from(zone);
        let from = if zone == 0 {
            STRIP.from()
        } else {
            middle - 0.5
        };
        let to = if zone == 10 { STRIP.to() } else { middle + 0.5 };
        drawn::band(STRIP, "zone", from, to)
            .style("--shade", drawn::percent(shade))
            .press(move || wish.lead(number, i32::from(zone) * 3))
    });
    let marks = come.falls.iter().enumerate();
    let marks = marks.map(|(at, fall)| mark_of(fall, come.leads == Some(at)));
    let zones = el("div")
        .class("track zones")
        .attr("aria-hidden", "true")
        .all(core::iter::once(held).chain(zones).chain(marks));
    let numbers: Vec<f64> = (0_u8..=10).map(f64::from).collect();
    let figures = |at: f64| Zone::new(at).map_or_else(|_| String::new(), roman);
    let [below, above] = beyond_in_words(&come.falls);
    let ends = el("p")
        .class("ends")
        .with(el("span").says(below))
        .with(el("span").says(above));
    let drawing = parts![zones, drawn::line_scale_of(STRIP, &numbers, &figures), ends,];
    let says = format!(
        "{} Tap a zone, and {name} comes out there; or move any spot on its own line. All others go along.",
        held_in_words(film, &come.falls)
    );
    drawn::figure("Zones from black to white", says, drawing)
}

fn mark_of(fall: &Fall, leads: bool) -> Element {
    drawn::dot(STRIP, if leads { "dot" } else { "ring" }, fall.zone)
}

/// The line that a spot is moved on, by thirds of a zone.
fn lane(film: FilmKind, fall: &Fall, leads: bool, number: u32, wish: Wish) -> Element {
    let held = drawn::band(STRIP, "held", held_edges(film)[0], held_edges(film)[1]);
    let thirds = |zone: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "a few dozen")]
        let thirds = (zone * 3.0).round() as i32;
        thirds
    };
    let ends = [thirds(STRIP.from()), thirds(STRIP.to())];
    let at = thirds(fall.zone).clamp(ends[0], ends[1]);
    let name = format!("{}: the zone it comes out on", fall.name);
    let slide = move |to| wish.lead(number, to);
    let id = format!("tone-lane-{number}");
    el("div")
        .class("moved lane")
        .with(drawn::track(STRIP, 12, vec![held, mark_of(fall, leads)]))
        .with(drawn::hold(id, name, ends, at, fall.words.clone(), slide))
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
    let count = room.kept.spots.once(Vec::len);
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
