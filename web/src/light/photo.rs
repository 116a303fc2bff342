//! A photo's metadata as a reading, and a place in the picture as a spot.

use exposure::{Control, Steps, words};
use leptos::{ev::MouseEvent, html, prelude::*, task::spawn_local};
use readings::{
    Error,
    photo::{self, Filled, Photo},
    picture::{Patch, Picture, Spot},
    tones,
};

use super::{
    found::{Outcome, field, nothing, offer},
    room::Room,
};
use crate::{
    browser::{
        files,
        picture::{self, Pixels},
    },
    css,
    form::{choice, entry, fixed},
    piece::{button, flag, paragraph, text},
};

/// Longest side of the picture that is shown, in pixels.
const LONGEST: f64 = 640.0;

const UNREADABLE: &str =
    "The file could not be read; it may be gone, or too large for this device.";
const NOT_SHOWN: &str =
    "This browser cannot show this kind of picture, so no place in it can be read.";

/// A photo that was chosen.
#[derive(Clone, Copy)]
struct Chosen {
    photo: RwSignal<Option<Photo>>,
    pixels: RwSignal<Option<Pixels>>,
    /// Why there is no picture.
    dark: RwSignal<String>,
    spot: RwSignal<Spot>,
    canvas: NodeRef<html::Canvas>,
}

impl Chosen {
    /// Takes the file of a field.
    fn take(self, field: NodeRef<html::Input>) {
        let chosen = field
            .get_untracked()
            .and_then(|field| files::chosen(&field).into_iter().next());
        let (Some(file), Some(canvas)) = (chosen, self.canvas.get_untracked()) else {
            return;
        };
        spawn_local(async move {
            self.pixels.set(None);
            self.dark.set(String::new());
            let photo = match files::bytes(&file).await {
                Some(bytes) => photo::read(&bytes),
                None => Photo::unread(UNREADABLE),
            };
            self.photo.set(Some(photo));
            let pixels = picture::of_file(&file, &canvas, LONGEST).await;
            if pixels.is_none() {
                self.dark.set(NOT_SHOWN.to_owned());
            }
            self.pixels.set(pixels);
        });
    }

    fn patch(self) -> Result<Patch, Error> {
        let spot = self.spot.get();
        self.pixels.with(|pixels| match pixels {
            Some(pixels) => Picture::new(pixels.width, pixels.height, &pixels.data)?.spot(spot),
            // What a picture of no pixels says.
            None => Picture::new(0, 0, &[])?.spot(spot),
        })
    }
}

pub(super) fn page(room: Room) -> AnyView {
    let here = Chosen {
        photo: RwSignal::new(None),
        pixels: RwSignal::new(None),
        dark: field(""),
        spot: RwSignal::new(Spot {
            across: 0.5,
            down: 0.5,
            radius: 0.04,
        }),
        canvas: NodeRef::new(),
    };
    let (time, aperture, sensitivity) = (field(""), field(""), field(""));
    let (steps, way) = (field("found"), field("whole"));
    let filled = move || Filled {
        time: time.get(),
        aperture: aperture.get(),
        sensitivity: sensitivity.get(),
    };
    let steps_of = move || match steps.get().as_str() {
        "thirds" => Some(Steps::Third),
        "halves" => Some(Steps::Half),
        _ => None,
    };
    let no_picture = flag(move || here.pixels.with(Option::is_none));
    let spot_found = move || -> Outcome {
        let settings = here
            .photo
            .with(|photo| {
                photo
                    .as_ref()
                    .map(|photo| photo.settings(&filled(), steps_of()))
            })
            .unwrap_or_else(|| Photo::unread("").settings(&filled(), steps_of()));
        settings
            .and_then(|settings| here.patch()?.found(&settings))
            .map_err(|error| error.to_string())
    };
    let found = Signal::derive(move || -> Outcome {
        let whole = here.photo.with(|photo| {
            photo.as_ref().map(|photo| {
                photo
                    .found(&filled(), steps_of())
                    .map_err(|error| error.to_string())
            })
        });
        match whole {
            None => nothing(),
            Some(_) if way.with(|way| way == "spot") && !no_picture.get() => spot_found(),
            Some(whole) => whole,
        }
    });
    let none_yet = flag(move || here.photo.with(Option::is_none));
    let incomplete = flag(move || {
        here.photo.with(|photo| {
            photo
                .as_ref()
                .is_some_and(|photo| !photo.missing().is_empty())
        })
    });
    view! {
        <p class="reason">
            "The photo stays on this device and is not kept. Phones often take the metadata off when a photo is picked from the library; choosing it through the files keeps it."
        </p>
        {fields(here)}
        <div hidden=none_yet>
            {says(here)}
            <details prop:open=incomplete>
                <summary>"Type what the file does not say, or says wrongly"</summary>
                <div class="form">
                    {entry("photo-time", "Time", "Empty: as the file says.", time)}
                    {entry("photo-aperture", "Aperture", "Empty: as the file says.", aperture)}
                    {entry("photo-sensitivity", "Sensitivity", "Empty: as the file says.", sensitivity)}
                    {choice(
                        "photo-steps",
                        "The camera steps in",
                        fixed([
                            ("found", "as its figures tell"),
                            ("thirds", "third stops"),
                            ("halves", "half stops"),
                        ]),
                        steps,
                    )}
                </div>
            </details>
            {shown(here)}
            <div class="form" hidden=no_picture>
                {choice(
                    "photo-way",
                    "What is read",
                    fixed([
                        ("whole", "The whole picture, as the camera chose"),
                        ("spot", "The marked place in the picture"),
                    ]),
                    way,
                )}
            </div>
            <div class="row" hidden=no_picture>
                {keep_spot(room, spot_found)}
            </div>
        </div>
        {offer(room, found)}
    }
    .into_any()
}

/// The marked place goes to the spots whose tones are placed.
fn keep_spot(
    room: Room,
    found: impl Fn() -> Outcome + Copy + Send + Sync + 'static,
) -> impl IntoView {
    let none = flag(move || found().is_err());
    let keep = move || {
        let Ok(found) = untrack(found) else { return };
        let count = room.spots.with_untracked(Vec::len);
        if count >= tones::MOST_SPOTS {
            room.said
                .set("There are as many spots as a scene can have.".to_owned());
            return;
        }
        let spot = tones::Spot::of(format!("Spot {} in the photo", count + 1), &found);
        room.said
            .set(format!("{}: {}.", spot.name, found.light_in_words()));
        room.spots.update(|spots| spots.push(spot));
    };
    button(
        "",
        "Keep the marked place as a spot for its tone",
        none,
        keep,
    )
}

/// The two ways to a photo.
fn fields(here: Chosen) -> impl IntoView {
    let (choose, take) = (NodeRef::<html::Input>::new(), NodeRef::<html::Input>::new());
    view! {
        <div class="form">
            <div class="field">
                <label for="photo-file">"Choose a photo"</label>
                <input
                    id="photo-file"
                    node_ref=choose
                    type="file"
                    accept="image/jpeg,image/heic,image/heif,image/tiff,image/*"
                    on:change=move |_| here.take(choose)
                />
            </div>
            <div class="field">
                <label for="photo-take">"Take a photo"</label>
                <input
                    id="photo-take"
                    node_ref=take
                    type="file"
                    accept="image/*"
                    capture="environment"
                    on:change=move |_| here.take(take)
                />
            </div>
        </div>
    }
}

/// What the file says, tag by tag.
fn says(here: Chosen) -> impl IntoView {
    let lines = Memo::new(move |_| {
        here.photo.with(|photo| {
            let Some(photo) = photo else {
                return Vec::new();
            };
            let entries = photo.entries.iter().map(|entry| {
                if entry.usable {
                    format!("{}: {}", entry.name, entry.says)
                } else {
                    format!("{}: {}; not used", entry.name, entry.says)
                }
            });
            let missing = photo
                .missing()
                .into_iter()
                .map(|control: Control| format!("{}: not in the file", control.name()));
            entries.chain(missing).collect::<Vec<_>>()
        })
    });
    let rows = move || {
        lines
            .get()
            .into_iter()
            .map(|line| view! { <li>{line}</li> })
            .collect_view()
    };
    let remarks = text(move || {
        here.photo.with(|photo| {
            photo
                .as_ref()
                .map(|photo| photo.remarks.join(" "))
                .unwrap_or_default()
        })
    });
    view! {
        <h3>"What the photo says"</h3>
        <ul class="list" aria-label="What the photo says">
            {rows}
        </ul>
        <p class="lines" aria-live="polite">
            {remarks}
        </p>
    }
}

/// The picture with the marked place; touched, or moved by two sliders.
fn shown(here: Chosen) -> impl IntoView {
    let touch = move |event: MouseEvent| {
        let touched = here
            .canvas
            .get_untracked()
            .and_then(|canvas| picture::touched(&event, &canvas));
        if let Some((across, down)) = touched {
            here.spot.update(|spot| {
                spot.across = across;
                spot.down = down;
            });
        }
    };
    let share = move |of: fn(&Spot) -> f64| {
        text(move || format!("{}%", css::number(here.spot.with(of) * 100.0)))
    };
    let reads = text(move || {
        if here.pixels.with(Option::is_none) {
            return here.dark.get();
        }
        let said = here.patch().and_then(|patch| {
            let caution = patch
                .caution()
                .map_or_else(String::new, |caution| format!(" {caution}"));
            Ok(format!(
                "The marked place is {}.{caution}",
                patch.sentence()?
            ))
        });
        said.unwrap_or_else(|error| error.to_string())
    });
    let no_picture = flag(move || here.pixels.with(Option::is_none));
    view! {
        <div class="metered" hidden=no_picture>
            <canvas node_ref=here.canvas aria-hidden="true" on:click=touch></canvas>
            <span
                class="metered-spot"
                style:inset-inline-start=share(|spot| spot.across)
                style:inset-block-start=share(|spot| spot.down)
            ></span>
        </div>
        <details hidden=no_picture>
            <summary>"Move the mark without touching the picture"</summary>
            {slider("photo-across", "Marked place, from left to right", here.spot, |spot| {
                &mut spot.across
            })}
            {slider("photo-down", "Marked place, from top to bottom", here.spot, |spot| {
                &mut spot.down
            })}
        </details>
        {paragraph("lines", reads)}
    }
}

/// The same by keys, in hundredths.
fn slider(
    id: &'static str,
    label: &'static str,
    spot: RwSignal<Spot>,
    part: fn(&mut Spot) -> &mut f64,
) -> impl IntoView {
    let value = text(move || {
        let mut spot = spot.get();
        words::decimal(*part(&mut spot) * 100.0, 0)
    });
    let slide = move |event| {
        if let Ok(hundredths) = event_target_value(&event).parse::<u8>() {
            spot.update(|spot| *part(spot) = f64::from(hundredths.min(100)) / 100.0);
        }
    };
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <input
                id=id
                class="slide"
                type="range"
                min="0"
                max="100"
                step="1"
                prop:value=value
                on:input=slide
            />
        </div>
    }
}
