//! The kit: cameras, lenses, and reading devices with what their readings are to be corrected by.

use book::{Aperture, Book, Device, DeviceSteps, Edit, Key, Kind, Lens, Light, Speed, Time};

use super::room::Room;
use crate::{
    caution,
    form::{self, Typed, choice, entry, fixed},
    live::Live,
    parts::{Element, Part, el, follows, parts},
    piece::{button, columns, paragraph, row, said, unfolds},
};

pub(super) fn page(room: Room) -> Part {
    let devices_here = parts![
        el("h3").says("Reading devices"),
        paragraph(
            "reason",
            "What you read the light with: another camera, a phone, a meter. One that asks for too much or too little light is corrected once, and every series read with it counts the correction. Or it is set so that it reads right by itself: either of both, never both, so that a device that is set so needs no correction here.",
        ),
        follows(move || kept(room, "Reading devices", room.with(devices))),
        device_form(room),
    ];
    let lenses_here = parts![
        el("h3").says("Lenses"),
        follows(move || kept(room, "Lenses", room.with(lenses))),
        lens_form(room),
    ];
    let cameras_here = parts![
        el("h3").says("Cameras"),
        paragraph(
            "reason",
            "Cameras of your own, with the marks that they really have and their measured times, are added on the dial, under “More”. A roll that is loaded into one of them has its marks: they are offered where a frame is noted.",
        ),
        follows(move || {
            let rows = room.with(cameras).into_iter();
            el("ul")
                .class("list")
                .named("Cameras")
                .all(rows.map(|row| el("li").says(row)))
        }),
    ];
    columns([devices_here, lenses_here, cameras_here]).into()
}

/// Rows with a way to take each out again.
fn kept(room: Room, label: &'static str, rows: Vec<(Key, String)>) -> Element {
    if rows.is_empty() {
        return paragraph("reason", "None yet.");
    }
    let rows = rows.into_iter().map(|(key, words)| {
        form::kept(words, move || {
            room.edit(&Edit::Remove(key.clone()));
        })
    });
    el("ul").class("shelves").named(label).all(rows)
}

fn cameras(book: &Book) -> Vec<String> {
    let own = book.own_cameras().map(|own| {
        format!(
            "{}: times {}; apertures {}",
            own.name, own.times, own.apertures
        )
    });
    let mut rows: Vec<String> = own.collect();
    let kinds = book.cameras().into_iter().filter(|known| !known.own);
    rows.extend(kinds.map(|kind| format!("{} (described kind)", kind.name)));
    rows
}

fn devices(book: &Book) -> Vec<(Key, String)> {
    // By the sensitivity that most devices are set to first.
    let stands = Speed::parse("ISO 100").ok();
    book.devices()
        .map(|device| {
            let mut words = format!(
                "{}, {}: {}",
                device.name,
                device.steps.words(),
                device.correction_words()
            );
            if let Some(instead) = stands.and_then(|stands| device.set_instead(stands)) {
                words = format!("{words}; {instead}");
            }
            (Key::new(Kind::Device, &device.id), words)
        })
        .collect()
}

fn lenses(book: &Book) -> Vec<(Key, String)> {
    book.lenses()
        .map(|lens| {
            let mut words = format!("{}, {}", lens.name, lens.shown());
            if !lens.fits.is_empty() {
                words = format!("{words}, fits {}", lens.fits);
            }
            (Key::new(Kind::Lens, &lens.id), words)
        })
        .collect()
}

fn say(error: book::Error) -> String {
    error.to_string()
}

/// The light that three fields give: time, aperture, sensitivity.
fn light([time, aperture, speed]: [Typed; 3]) -> Result<Light, String> {
    Ok(Light::of(
        Time::parse(&time.now()).map_err(say)?,
        Aperture::parse(&aperture.now()).map_err(say)?,
        Speed::parse(&speed.now()).map_err(say)?,
    ))
}

/// Fields for the light of a device and of the one that it is compared with: ids and labels.
const COMPARED: [[(&str, &str); 3]; 2] = [
    [
        ("device-time", "Its time"),
        ("device-aperture", "Its aperture"),
        ("device-speed", "Its sensitivity"),
    ],
    [
        ("reference-time", "Time of the trusted one"),
        ("reference-aperture", "Aperture of the trusted one"),
        ("reference-speed", "Sensitivity of the trusted one"),
    ],
];

/// A device by its name; compared with a reference, or corrected by a figure.
fn device_form(room: Room) -> Element {
    let (name, thirds) = (Typed::new(""), Typed::new("1"));
    let steps = Live::new("thirds".to_owned());
    let how = Live::new("none".to_owned());
    let compared = COMPARED.map(|_| ["1/125", "f/8", "ISO 100"].map(Typed::new));
    let error = Live::new(String::new());
    let correction = move || match how.now().as_str() {
        "compare" => {
            let [here, reference] = compared;
            Device::compare(&light(here)?, &light(reference)?).map_err(say)
        }
        kind @ ("more" | "less") => {
            let count = thirds.now().parse::<u8>().ok();
            let count = count.filter(|count| *count <= 30);
            let count = count.ok_or("The correction is a whole number of thirds, 30 at most.")?;
            let size = i32::from(count) * 4;
            Ok(if kind == "more" { size } else { -size })
        }
        _ => Ok(0),
    };
    let send = move || {
        let called = name.now();
        let id = room.once(|book| {
            let known = book.devices().find(|device| device.name == called);
            known.map_or_else(
                || book.new_id(Kind::Device, &called),
                |known| known.id.clone(),
            )
        });
        let steps = if steps.now() == "halves" {
            DeviceSteps::Halves
        } else {
            DeviceSteps::Thirds
        };
        let made = correction().and_then(|correction_twelfths| {
            room.ask(&Edit::Device(Device {
                correction_twelfths,
                ..Device::new(&id, &called, steps)
            }))
        });
        if made.is_ok() {
            name.set("");
            how.set("none".to_owned());
        }
        error.set(made.err().unwrap_or_default());
    };
    let fields = COMPARED
        .into_iter()
        .flatten()
        .zip(compared.into_iter().flatten());
    let compare = el("div")
        .class("form")
        .hidden_when(move || how.with(|how| how != "compare"))
        .with(paragraph(
            "reason",
            "Both read the same plain, evenly lit wall, in the same light.",
        ))
        .all(fields.map(|((id, label), typed)| entry(id, label, "", typed)));
    let by_thirds = el("div")
        .class("form")
        .hidden_when(move || how.with(|how| how != "more" && how != "less"))
        .with(entry(
            "device-thirds",
            "By how many thirds of a stop",
            "3 is one stop.",
            thirds,
        ));
    let inside = el("div")
        .class("form")
        .with(entry(
            "device-name",
            "Name of the device",
            "The name of one that is here changes it.",
            name,
        ))
        .with(choice(
            "device-steps",
            "It steps in",
            fixed([("thirds", "third stops"), ("halves", "half stops")]),
            steps,
        ))
        .with(choice(
            "device-how",
            "Correction",
            fixed([
                ("none", "None: it is trusted as it is"),
                ("compare", "Compare it with one that is trusted"),
                ("more", "It asks for too little light: more light by thirds"),
                ("less", "It asks for too much light: less light by thirds"),
            ]),
            how,
        ))
        .with(compare)
        .with(by_thirds)
        .with(refused(error))
        .with(row([button("main", "Keep the device", send)]))
        .with(paragraph("reason", caution::MERCURY));
    unfolds("Add or change a reading device", inside)
}

/// Why a form was not taken.
pub(super) fn refused(error: Live<String>) -> Part {
    follows(move || said("field-error", error.get()).attr("role", "alert"))
}

/// Fields of a lens: id, label, hint and what stands in them first.
const LENS: [[&str; 4]; 5] = [
    [
        "lens-name",
        "Name of the lens",
        "The name of one that is here changes it.",
        "",
    ],
    ["lens-focal", "Focal length in mm", "", "50"],
    ["lens-widest", "Widest aperture", "f/2, f/3.5.", "f/2"],
    ["lens-smallest", "Smallest aperture", "f/16, f/22.", "f/16"],
    ["lens-fits", "Fits", "Which cameras, in your own words.", ""],
];

fn lens_form(room: Room) -> Element {
    let typed = LENS.map(|[.., start]| Typed::new(start));
    let [name, ..] = typed;
    let error = Live::new(String::new());
    let make = move || {
        let [name, focal, widest, smallest, fits] = typed.map(Typed::now);
        let focal = focal.trim_end_matches("mm").trim().parse::<u16>();
        let focal = focal.map_err(|_| "The focal length is a whole number of millimetres.")?;
        let id = room.once(|book| {
            let known = book.lenses().find(|lens| lens.name == name);
            known.map_or_else(|| book.new_id(Kind::Lens, &name), |known| known.id.clone())
        });
        let widest = Aperture::parse(&widest).map_err(say)?;
        let smallest = Aperture::parse(&smallest).map_err(say)?;
        let lens = Lens::new(&id, &name, focal, widest, smallest).map_err(say)?;
        room.ask(&Edit::Lens(Lens { fits, ..lens }))
    };
    let send = move || {
        let made = make();
        if made.is_ok() {
            name.set("");
        }
        error.set(made.err().unwrap_or_default());
    };
    let fields = LENS.into_iter().zip(typed);
    let inside = el("div")
        .class("form")
        .all(fields.map(|([id, label, hint, _], typed)| entry(id, label, hint, typed)))
        .with(refused(error))
        .with(row([button("main", "Keep the lens", send)]));
    unfolds("Add or change a lens", inside)
}
