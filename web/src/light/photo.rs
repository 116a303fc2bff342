//! A photo's metadata as a reading, and a place in the picture as a spot.
//!
//! What is typed, chosen and marked for a photo lives as long as that photo is shown: each one that is chosen gets fields of
//! its own, and what still comes in for an earlier one finds nobody.

use exposure::{Control, Steps, words};
use leptos::{ev::MouseEvent, html, prelude::*, task::spawn_local};
use readings::{
    Error,
    photo::{self, Filled, Photo},
    picture::{Patch, Picture, Spot},
    tones,
};

use super::{
    found::{Outcome, field, offer},
    room::Room,
};
use crate::{
    browser::{
        files::{self, File},
        part,
        picture::{self, Pixels},
    },
    css,
    form::{choice, entry, fixed},
    piece::{button, flag, paragraph, text},
};

/// Longest side of the picture that is shown, in pixels.
const LONGEST: f64 = 640.0;

/// Letters of a file's name that are shown.
const LONGEST_NAME: usize = 40;

const UNREADABLE: &str =
    "The file could not be read; it may be gone, or too large for this device.";
const NONE_SHARED: &str =
    "No photo came with what was shared. Share it once more, or choose it here.";
const NOT_SHOWN: &str =
    "This browser cannot show this kind of picture, so no place in it can be read.";

/// What was chosen last.
#[derive(Debug, Clone, PartialEq)]
enum Choice {
    Nothing,
    /// A file that is still read: its number and name.
    Coming(u32, String),
    /// A photo that was read.
    Here(Chosen),
}

/// A photo that was read.
#[derive(Debug, Clone, PartialEq)]
struct Chosen {
    /// Which one it is of those that were chosen, from one.
    number: u32,
    /// What its file is called.
    name: String,
    photo: Photo,
}

/// The two ways to a photo, and the photo that was chosen last.
#[derive(Clone, Copy)]
struct Desk {
    choice: RwSignal<Choice>,
    /// The file itself, for its picture.
    file: StoredValue<Option<File>, LocalStorage>,
    fields: [NodeRef<html::Input>; 2],
}

impl Desk {
    /// Takes the file of a field. Nothing of the photo before is left, and of two that are chosen quickly the later one counts,
    /// however long each is read.
    fn take(self, room: Room, which: usize) {
        let field = self.fields[which].get_untracked();
        let chosen = field.and_then(|field| files::chosen(&field).into_iter().next());
        let Some(file) = chosen else { return };
        // Else the other way would still name its own file, and choosing that one again would change nothing.
        if let Some(other) = self.fields[1 - which].get_untracked() {
            files::forget(&other);
        }
        self.read(room, file);
    }

    /// Takes the photo that was shared to this page, as if it had been chosen here.
    fn take_shared(self, room: Room) {
        spawn_local(async move {
            let shared = files::shared().await;
            // Another one may have been chosen by now: what somebody did last counts.
            if self
                .choice
                .try_with_untracked(|now| *now == Choice::Nothing)
                != Some(true)
            {
                return;
            }
            match shared {
                Some((file, others)) => {
                    self.read(room, file);
                    if others > 0 {
                        room.said.set(format!(
                            "One photo at a time: the first is here, and {others} more were shared with it. Share them one by one."
                        ));
                    }
                }
                None => room.said.set(NONE_SHARED.to_owned()),
            }
        });
    }

    /// Reads a file.
    fn read(self, room: Room, file: File) {
        let number = room.number_photo();
        let name = short(&file.name());
        let coming = Choice::Coming(number, name.clone());
        self.file.set_value(None);
        self.choice.set(coming.clone());
        spawn_local(async move {
            let photo = match files::bytes(&file).await {
                Some(bytes) => photo::read(bytes),
                None => Photo::unread(UNREADABLE),
            };
            // The page may be gone, or another photo may have been chosen: then this one is nobody's any more.
            let is_asked_for = self.choice.try_with_untracked(|now| *now == coming);
            if is_asked_for == Some(true) {
                self.file.set_value(Some(file));
                self.choice.set(Choice::Here(Chosen {
                    number,
                    name,
                    photo,
                }));
            }
        });
    }
}

/// A file's name as it is shown.
fn short(name: &str) -> String {
    if name.chars().count() <= LONGEST_NAME {
        return name.to_owned();
    }
    let kept: String = name.chars().take(LONGEST_NAME - 1).collect();
    format!("{kept}…")
}

pub(super) fn page(room: Room) -> AnyView {
    let desk = Desk {
        choice: RwSignal::new(Choice::Nothing),
        file: StoredValue::new_local(None),
        fields: [NodeRef::new(), NodeRef::new()],
    };
    if room.asked.try_update_value(std::mem::take).as_deref() == Some(part::SHARED) {
        desk.take_shared(room);
    }
    let status = text(move || {
        desk.choice.with(|choice| match choice {
            Choice::Nothing => String::new(),
            Choice::Coming(number, name) => format!("Photo {number}, {name}, is read …"),
            Choice::Here(Chosen {
                number,
                name,
                photo,
            }) => {
                let origin = photo.origin();
                let origin = if origin.is_empty() {
                    origin
                } else {
                    format!(" ({origin})")
                };
                format!(
                    "Photo {number}, {name}{origin}. {}",
                    photo.remarks.join(" ")
                )
            }
        })
    });
    // Made anew for each photo, with all that is typed in it.
    let shown = move || {
        desk.choice.with(|choice| match choice {
            Choice::Here(chosen) => Some(of_photo(room, chosen.clone(), desk.file.get_value())),
            _ => None,
        })
    };
    view! {
        <p class="reason">
            "The photo stays on this device and is not kept. Phones often take the metadata off when a photo is picked from the library; choosing it through the files keeps it."
        </p>
        {ways(room, desk)}
        <p class="lines" aria-live="polite">
            {status}
        </p>
        {shown}
    }
    .into_any()
}

/// The two ways to a photo.
fn ways(room: Room, desk: Desk) -> impl IntoView {
    let [choose, take] = desk.fields;
    view! {
        <div class="form">
            <div class="field">
                <label for="photo-file">"Choose a photo"</label>
                <input
                    id="photo-file"
                    node_ref=choose
                    type="file"
                    accept="image/jpeg,image/heic,image/heif,image/tiff,image/*"
                    on:change=move |_| desk.take(room, 0)
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
                    on:change=move |_| desk.take(room, 1)
                />
            </div>
        </div>
    }
}

/// One photo, and all that is typed, chosen and marked for it.
#[derive(Clone, Copy)]
struct Own {
    photo: StoredValue<Photo>,
    pixels: RwSignal<Option<Pixels>>,
    /// Why there is no picture.
    dark: RwSignal<String>,
    spot: RwSignal<Spot>,
    canvas: NodeRef<html::Canvas>,
    /// Time, aperture and sensitivity as they were typed.
    typed: [RwSignal<String>; 3],
    steps: RwSignal<String>,
}

impl Own {
    fn new(photo: Photo) -> Self {
        Self {
            photo: StoredValue::new(photo),
            pixels: RwSignal::new(None),
            dark: field(""),
            spot: RwSignal::new(Spot {
                across: 0.5,
                down: 0.5,
                radius: 0.04,
            }),
            canvas: NodeRef::new(),
            typed: [field(""), field(""), field("")],
            steps: field("found"),
        }
    }

    /// Draws the picture as soon as there is a place for it.
    fn draw(self, file: File) {
        self.canvas.on_load(move |canvas| {
            spawn_local(async move {
                let pixels = picture::of_file(&file, &canvas, LONGEST).await;
                // OK to ignore: another photo was chosen in the meantime, and all this is gone.
                let _ = match pixels {
                    Some(pixels) => self.pixels.try_set(Some(pixels)).is_none(),
                    None => self.dark.try_set(NOT_SHOWN.to_owned()).is_none(),
                };
            });
        });
    }

    fn filled(self) -> Filled {
        let [time, aperture, sensitivity] = self.typed.map(|typed| typed.get());
        Filled {
            time,
            aperture,
            sensitivity,
        }
    }

    fn steps(self) -> Option<Steps> {
        match self.steps.get().as_str() {
            "thirds" => Some(Steps::Third),
            "halves" => Some(Steps::Half),
            _ => None,
        }
    }

    fn patch(self) -> Result<Patch, Error> {
        let spot = self.spot.get();
        self.pixels.with(|pixels| match pixels {
            Some(pixels) => Picture::new(pixels.width, pixels.height, &pixels.data)?.spot(spot),
            // What a picture of no pixels says.
            None => Picture::new(0, 0, &[])?.spot(spot),
        })
    }

    /// The light of the whole picture.
    fn whole(self) -> Outcome {
        self.photo
            .with_value(|photo| photo.found(&self.filled(), self.steps()))
            .map_err(|error| error.to_string())
    }

    /// The light of the marked place.
    fn marked(self) -> Outcome {
        self.photo
            .with_value(|photo| photo.settings(&self.filled(), self.steps()))
            .and_then(|settings| self.patch()?.found(&settings))
            .map_err(|error| error.to_string())
    }
}

fn of_photo(room: Room, chosen: Chosen, file: Option<File>) -> AnyView {
    let Chosen {
        number,
        name,
        photo,
    } = chosen;
    let own = Own::new(photo);
    if let Some(file) = file {
        own.draw(file);
    }
    let way = field("whole");
    let no_picture = flag(move || own.pixels.with(Option::is_none));
    let found = Signal::derive(move || -> Outcome {
        if way.with(|way| way == "spot") && !no_picture.get() {
            own.marked()
        } else {
            own.whole()
        }
    });
    let incomplete = own.photo.with_value(|photo| !photo.missing().is_empty());
    let [time, aperture, sensitivity] = own.typed;
    view! {
        {says(own)}
        <details prop:open=incomplete>
            <summary>"Type what the file does not say, or says wrongly"</summary>
            <div class="form">
                {entry("photo-time", "Time", EMPTY, time)}
                {entry("photo-aperture", "Aperture", EMPTY, aperture)}
                {entry("photo-sensitivity", "Sensitivity", EMPTY, sensitivity)}
                {choice(
                    "photo-steps",
                    "The camera steps in",
                    fixed([
                        ("found", "as its figures tell"),
                        ("thirds", "third stops"),
                        ("halves", "half stops"),
                    ]),
                    own.steps,
                )}
            </div>
        </details>
        {shown(own)}
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
            {keep_spot(room, own, number, format!("photo {number}, {name}"))}
        </div>
        {used(own)}
        {offer(room, found)}
    }
    .into_any()
}

/// What an empty field means.
const EMPTY: &str = "For this photo. Empty: as the file says.";

/// The marked place goes to the spots whose tones are placed.
fn keep_spot(room: Room, own: Own, number: u32, photo: String) -> impl IntoView {
    let none = flag(move || own.marked().is_err());
    let kept = StoredValue::new(0_u32);
    let keep = move || {
        let Ok(found) = untrack(|| own.marked()) else {
            return;
        };
        if room.spots.with_untracked(Vec::len) >= tones::MOST_SPOTS {
            room.said
                .set("There are as many spots as a scene can have.".to_owned());
            return;
        }
        kept.update_value(|kept| *kept = kept.saturating_add(1));
        // Without the name of the file, which would go wherever the reading goes.
        let name = format!("Spot {} in photo {number}", kept.get_value());
        room.keep_spot(name, &found, photo.clone());
    };
    button(
        "",
        "Keep the marked place as a spot for its tone",
        none,
        keep,
    )
}

/// What the file says, tag by tag.
fn says(own: Own) -> impl IntoView {
    let lines = own.photo.with_value(|photo| {
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
    });
    let rows = lines
        .into_iter()
        .map(|line| view! { <li>{line}</li> })
        .collect_view();
    view! {
        <h3>"What the photo says"</h3>
        <ul class="list" aria-label="What the photo says">
            {rows}
        </ul>
    }
}

/// Whose figures are used: the photo's, or those that were typed for it.
fn used(own: Own) -> impl IntoView {
    let rows = Control::ALL
        .map(|control| {
            let line = text(move || {
                own.photo
                    .with_value(|photo| photo.used_in_words(control, &own.filled(), own.steps()))
            });
            view! { <li>{line}</li> }
        })
        .collect_view();
    view! {
        <h3>"What is counted"</h3>
        <ul class="list" aria-label="What is counted">
            {rows}
        </ul>
    }
}

/// The picture with the marked place; touched, or moved by two sliders.
fn shown(here: Own) -> impl IntoView {
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
        // Only here can another one be touched.
        said.unwrap_or_else(|error| format!("{error} Touch another place."))
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
