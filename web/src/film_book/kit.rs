//! The kit: cameras, lenses, and reading devices with what their readings are to be corrected by.

use book::{Aperture, Device, DeviceSteps, Edit, Key, Kind, Lens, Light, Speed, Time};
use leptos::prelude::*;

use super::{
    form::{self, choice, entry, fixed, typed},
    room::Room,
};
use crate::{
    caution,
    piece::{button, flag, never},
};

pub(super) fn page(room: Room) -> impl IntoView {
    let cameras = move || {
        let mut rows: Vec<String> = Vec::new();
        room.with(|book| {
            rows.extend(book.own_cameras().map(|own| {
                format!(
                    "{}: times {}; apertures {}",
                    own.name, own.times, own.apertures
                )
            }));
            let kinds = book.cameras().into_iter().filter(|known| !known.own);
            rows.extend(kinds.map(|kind| format!("{} (described kind)", kind.name)));
        });
        rows.into_iter()
            .map(|row| view! { <li>{row}</li> })
            .collect_view()
    };
    view! {
        <h3>"Reading devices"</h3>
        <p class="reason">
            "What you read the light with: another camera, a phone, a meter. One that asks for too much or too little light is corrected once, and every series read with it counts the correction. Or it is set so that it reads right by itself: either of both, never both, so that a device that is set so needs no correction here."
        </p>
        {devices(room)}
        {device_form(room)}
        <h3>"Lenses"</h3>
        {lenses(room)}
        {lens_form(room)}
        <h3>"Cameras"</h3>
        <p class="reason">
            "Cameras of your own, with the marks that they really have and their measured times, are added on the dial, under “More”. A roll that is loaded into one of them has its marks: they are offered where a frame is noted."
        </p>
        <ul class="list" aria-label="Cameras">
            {cameras}
        </ul>
    }
}

/// Rows with a way to take each out again.
fn kept(room: Room, label: &'static str, rows: Vec<(Key, String)>) -> AnyView {
    if rows.is_empty() {
        return view! { <p class="reason">"None yet."</p> }.into_any();
    }
    let rows = rows
        .into_iter()
        .map(|(key, words)| {
            form::kept(words, move || {
                room.edit(&Edit::Remove(key.clone()));
            })
        })
        .collect_view();
    view! {
        <ul class="shelves" aria-label=label>
            {rows}
        </ul>
    }
    .into_any()
}

fn devices(room: Room) -> impl IntoView {
    move || {
        let rows = room.with(|book| {
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
        });
        kept(room, "Reading devices", rows)
    }
}

fn lenses(room: Room) -> impl IntoView {
    move || {
        let rows = room.with(|book| {
            book.lenses()
                .map(|lens| {
                    let mut words = format!("{}, {}", lens.name, lens.shown());
                    if !lens.fits.is_empty() {
                        words = format!("{words}, fits {}", lens.fits);
                    }
                    (Key::new(Kind::Lens, &lens.id), words)
                })
                .collect()
        });
        kept(room, "Lenses", rows)
    }
}

/// A device by its name; compared with a reference, or corrected by a figure.
fn device_form(room: Room) -> impl IntoView {
    let text = |start: &str| RwSignal::new(start.to_owned());
    let (name, steps, how) = (text(""), text("thirds"), text("none"));
    let (time, aperture, speed) = (text("1/125"), text("f/8"), text("ISO 100"));
    let (reference_time, reference_aperture, reference_speed) =
        (text("1/125"), text("f/8"), text("ISO 100"));
    let thirds = text("1");
    let error = text("");
    let send = move || {
        let say = |error: book::Error| error.to_string();
        let read = |time, aperture, speed| {
            Ok::<_, String>(Light::of(
                Time::parse(&typed(time)).map_err(say)?,
                Aperture::parse(&typed(aperture)).map_err(say)?,
                Speed::parse(&typed(speed)).map_err(say)?,
            ))
        };
        let correction = || match how.get_untracked().as_str() {
            "compare" => {
                let here = read(time, aperture, speed)?;
                let reference = read(reference_time, reference_aperture, reference_speed)?;
                Device::compare(&here, &reference).map_err(say)
            }
            kind @ ("more" | "less") => {
                let count = typed(thirds)
                    .parse::<u8>()
                    .ok()
                    .filter(|count| *count <= 30);
                let count =
                    count.ok_or("The correction is a whole number of thirds, 30 at most.")?;
                let size = i32::from(count) * 4;
                Ok(if kind == "more" { size } else { -size })
            }
            _ => Ok(0),
        };
        let known = room.once(|book| {
            book.devices()
                .find(|device| device.name == typed(name))
                .map(|device| device.id.clone())
        });
        let id = known.unwrap_or_else(|| room.once(|book| book.new_id(Kind::Device, &typed(name))));
        let steps = if steps.with_untracked(|steps| steps == "halves") {
            DeviceSteps::Halves
        } else {
            DeviceSteps::Thirds
        };
        let made = correction().and_then(|correction_twelfths| {
            room.ask(&Edit::Device(Device {
                correction_twelfths,
                ..Device::new(&id, &typed(name), steps)
            }))
        });
        match made {
            Ok(()) => {
                error.set(String::new());
                name.set(String::new());
                how.set("none".to_owned());
            }
            Err(sentence) => error.set(sentence),
        }
    };
    let is = move |key: &'static str| flag(move || how.with(|how| how != key));
    view! {
        <details>
            <summary>"Add or change a reading device"</summary>
            <div class="form">
                {entry("device-name", "Name of the device", "The name of one that is here changes it.", name)}
                {choice(
                    "device-steps",
                    "It steps in",
                    fixed([("thirds", "third stops"), ("halves", "half stops")]),
                    steps,
                )}
                {choice(
                    "device-how",
                    "Correction",
                    fixed([
                        ("none", "None: it is trusted as it is"),
                        ("compare", "Compare it with one that is trusted"),
                        ("more", "It asks for too little light: more light by thirds"),
                        ("less", "It asks for too much light: less light by thirds"),
                    ]),
                    how,
                )}
                <div class="form" hidden=is("compare")>
                    <p class="reason">
                        "Both read the same plain, evenly lit wall, in the same light."
                    </p>
                    {entry("device-time", "Its time", "", time)}
                    {entry("device-aperture", "Its aperture", "", aperture)}
                    {entry("device-speed", "Its sensitivity", "", speed)}
                    {entry("reference-time", "Time of the trusted one", "", reference_time)}
                    {entry("reference-aperture", "Aperture of the trusted one", "", reference_aperture)}
                    {entry("reference-speed", "Sensitivity of the trusted one", "", reference_speed)}
                </div>
                <div
                    class="form"
                    hidden=flag(move || how.with(|how| how != "more" && how != "less"))
                >
                    {entry("device-thirds", "By how many thirds of a stop", "3 is one stop.", thirds)}
                </div>
                <p class="field-error" role="alert" hidden=flag(move || error.with(String::is_empty))>
                    {error}
                </p>
                <div class="row">{button("main", "Keep the device", never(), send)}</div>
                <p class="reason">{caution::MERCURY}</p>
            </div>
        </details>
    }
}

fn lens_form(room: Room) -> impl IntoView {
    let text = |start: &str| RwSignal::new(start.to_owned());
    let (name, focal, widest, smallest, fits) =
        (text(""), text("50"), text("f/2"), text("f/16"), text(""));
    let error = text("");
    let send = move || {
        let say = |error: book::Error| error.to_string();
        let make = || {
            let focal = typed(focal)
                .trim_end_matches("mm")
                .trim()
                .parse::<u16>()
                .map_err(|_| "The focal length is a whole number of millimetres.".to_owned())?;
            let known = room.once(|book| {
                book.lenses()
                    .find(|lens| lens.name == typed(name))
                    .map(|lens| lens.id.clone())
            });
            let id =
                known.unwrap_or_else(|| room.once(|book| book.new_id(Kind::Lens, &typed(name))));
            let widest = Aperture::parse(&typed(widest)).map_err(say)?;
            let smallest = Aperture::parse(&typed(smallest)).map_err(say)?;
            let lens = Lens::new(&id, &typed(name), focal, widest, smallest).map_err(say)?;
            room.ask(&Edit::Lens(Lens {
                fits: typed(fits),
                ..lens
            }))
        };
        match make() {
            Ok(()) => {
                error.set(String::new());
                name.set(String::new());
            }
            Err(sentence) => error.set(sentence),
        }
    };
    view! {
        <details>
            <summary>"Add or change a lens"</summary>
            <div class="form">
                {entry("lens-name", "Name of the lens", "The name of one that is here changes it.", name)}
                {entry("lens-focal", "Focal length in mm", "", focal)}
                {entry("lens-widest", "Widest aperture", "f/2, f/3.5.", widest)}
                {entry("lens-smallest", "Smallest aperture", "f/16, f/22.", smallest)}
                {entry("lens-fits", "Fits", "Which cameras, in your own words.", fits)}
                <p class="field-error" role="alert" hidden=flag(move || error.with(String::is_empty))>
                    {error}
                </p>
                <div class="row">{button("main", "Keep the lens", never(), send)}</div>
            </div>
        </details>
    }
}
