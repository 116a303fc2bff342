//! A photo's metadata as a reading, and a place in the picture as a spot.
//!
//! What is typed, chosen and marked for a photo lives as long as that photo is shown: each one that is chosen gets fields of
//! its own, and what still comes in for an earlier one finds nobody.

use exposure::{Control, Steps, words};
use panel::message::Ask;
use readings::{
    Error,
    photo::{self, Filled, Photo},
    picture::{Patch, Picture, Spot},
    tones,
};

use super::{
    found::{Outcome, offering},
    room::Room,
};
use crate::{
    browser::{
        draw::Here,
        files::{self, File},
        later::spawn_local,
        picture::{self, Pixels},
    },
    css,
    form::{Typed, choice, entry, fixed},
    live::Live,
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button_unless, paragraph, row, unfolds},
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
    choice: Live<Choice>,
    /// The file itself, for its picture.
    file: Live<Option<File>>,
    fields: [Here; 2],
}

impl Desk {
    /// Takes the file of a field. Nothing of the photo before is left, and of two that are chosen quickly the later one counts,
    /// however long each is read.
    fn take(self, room: Room, which: usize) {
        let field = self.fields[which].get();
        let chosen = field.and_then(|field| files::chosen(&field).into_iter().next());
        let Some(file) = chosen else { return };
        // Else the other way would still name its own file, and choosing that one again would change nothing.
        if let Some(other) = self.fields[1 - which].get() {
            files::forget(&other);
        }
        self.read(room, file);
    }

    /// Takes the photo that was shared to this page, as if it had been chosen here.
    fn take_shared(self, room: Room) {
        spawn_local(async move {
            let shared = files::shared().await;
            // Another one may have been chosen by now: what somebody did last counts.
            if self.choice.try_once(|now| *now == Choice::Nothing) != Some(true) {
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
        self.file.put(None);
        self.choice.put(coming.clone());
        spawn_local(async move {
            let photo = match files::bytes(&file).await {
                Some(bytes) => photo::read(bytes),
                None => Photo::unread(UNREADABLE),
            };
            // The page may be gone, or another photo may have been chosen: then this one is nobody's any more.
            let is_asked_for = self.choice.try_once(|now| *now == coming);
            if is_asked_for == Some(true) {
                self.file.put(Some(file));
                self.choice.put(Choice::Here(Chosen {
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

const ABOUT: &str = "The photo stays on this device and is not kept. Phones often take the metadata off when a photo is picked from the library; choosing it through the files keeps it.";

pub(super) fn page(room: Room) -> Part {
    let desk = Desk {
        choice: Live::new(Choice::Nothing),
        file: Live::new(None),
        fields: [Here::new(), Here::new()],
    };
    if room.asked.quietly(Option::take).flatten() == Some(Ask::Shared) {
        desk.take_shared(room);
    }
    let status = el("p").class("lines").attr("aria-live", "polite");
    parts![
        paragraph("reason", ABOUT),
        ways(room, desk),
        status.tells(move || desk.choice.with(stands)),
        // Made anew for each photo, with all that is typed in it.
        turns(
            move || desk.choice.with(chosen),
            move |chosen| chosen.map(|chosen| of_photo(room, chosen, desk.file.now())),
        ),
    ]
}

/// The photo that was read.
fn chosen(choice: &Choice) -> Option<Chosen> {
    match choice {
        Choice::Here(chosen) => Some(chosen.clone()),
        _ => None,
    }
}

/// How it stands with the photo.
fn stands(choice: &Choice) -> String {
    match choice {
        Choice::Nothing => String::new(),
        Choice::Coming(number, name) => format!("Photo {number}, {name}, is read …"),
        Choice::Here(Chosen {
            number,
            name,
            photo,
        }) => {
            let origin = match photo.origin() {
                origin if origin.is_empty() => origin,
                origin => format!(" ({origin})"),
            };
            let remarks = photo.remarks.join(" ");
            format!("Photo {number}, {name}{origin}. {remarks}")
        }
    }
}

/// The two ways to a photo.
fn ways(room: Room, desk: Desk) -> Element {
    const KINDS: &str = "image/jpeg,image/heic,image/heif,image/tiff,image/*";
    let way = |which: usize, id: &'static str, label, kinds| {
        let input = el("input")
            .id(id)
            .here(desk.fields[which])
            .attr("type", "file")
            .attr("accept", kinds)
            .on("change", move |_| desk.take(room, which));
        let label = el("label").attr("for", id).says(label);
        (el("div").class("field").with(label), input)
    };
    let (choose, chosen) = way(0, "photo-file", "Choose a photo", KINDS);
    let (take, taken) = way(1, "photo-take", "Take a photo", "image/*");
    el("div").class("form").all([
        choose.with(chosen),
        take.with(taken.attr("capture", "environment")),
    ])
}

/// One photo, and all that is typed, chosen and marked for it.
#[derive(Clone, Copy)]
struct Own {
    photo: Live<Photo>,
    pixels: Live<Option<Pixels>>,
    /// Why there is no picture.
    dark: Live<String>,
    spot: Live<Spot>,
    canvas: Here,
    /// Time, aperture and sensitivity as they were typed.
    typed: [Typed; 3],
    /// What the camera steps in.
    steps: Live<String>,
    /// What is read: one of [`WAYS`].
    way: Live<String>,
    /// How many places of it were kept as spots.
    kept: Live<u32>,
}

impl Own {
    fn new(photo: Photo) -> Self {
        Self {
            photo: Live::new(photo),
            pixels: Live::new(None),
            dark: Live::new(String::new()),
            spot: Live::new(Spot {
                across: 0.5,
                down: 0.5,
                radius: 0.04,
            }),
            canvas: Here::new(),
            typed: ["", "", ""].map(Typed::new),
            steps: Live::new(STEPS[0].0.to_owned()),
            way: Live::new(WAYS[0].0.to_owned()),
            kept: Live::new(0),
        }
    }

    /// Draws the picture once there is a place for it.
    fn draw(self, file: File) {
        spawn_local(async move {
            let Some(canvas) = self.canvas.get() else {
                return;
            };
            // Where another photo was chosen in the meantime, all this is gone.
            match picture::of_file(&file, &canvas, LONGEST).await {
                Some(pixels) => self.pixels.put(Some(pixels)),
                None => self.dark.set(NOT_SHOWN.to_owned()),
            }
        });
    }

    fn has_picture(self) -> bool {
        self.pixels.with(Option::is_some)
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
            .once(|photo| photo.found(&self.filled(), self.steps()))
            .map_err(|error| error.to_string())
    }

    /// The light of the marked place.
    fn marked(self) -> Outcome {
        self.photo
            .once(|photo| photo.settings(&self.filled(), self.steps()))
            .and_then(|settings| self.patch()?.found(&settings))
            .map_err(|error| error.to_string())
    }
}

const STEPS: [(&str, &str); 3] = [
    ("found", "as its figures tell"),
    ("thirds", "third stops"),
    ("halves", "half stops"),
];
const WAYS: [(&str, &str); 2] = [
    ("whole", "The whole picture, as the camera chose"),
    ("spot", "The marked place in the picture"),
];
/// What an empty field means.
const EMPTY: &str = "For this photo. Empty: as the file says.";

fn of_photo(room: Room, chosen: Chosen, file: Option<File>) -> Part {
    let Chosen {
        number,
        name,
        photo,
    } = chosen;
    let missing = photo.missing();
    let says = what_it_says(&photo, &missing);
    let own = Own::new(photo);
    if let Some(file) = file {
        own.draw(file);
    }
    let found = move || {
        if own.way.with(|way| way == WAYS[1].0) && own.has_picture() {
            own.marked()
        } else {
            own.whole()
        }
    };
    let [time, aperture, sensitivity] = own.typed;
    let fields = el("div").class("form").all([
        entry("photo-time", "Time", EMPTY, time),
        entry("photo-aperture", "Aperture", EMPTY, aperture),
        entry("photo-sensitivity", "Sensitivity", EMPTY, sensitivity),
        choice(
            "photo-steps",
            "The camera steps in",
            fixed(STEPS),
            own.steps,
        ),
    ]);
    let title = "Type what the file does not say, or says wrongly";
    let typed = unfolds(title, fields).flag("open", !missing.is_empty());
    let shown = parts![
        el("h3").says("What the photo says"),
        list("What the photo says", says),
        typed,
        follows(move || shown(own)),
        el("p").class("lines").tells(move || read_in_words(own)),
        of_the_mark(room, own, number, format!("photo {number}, {name}")),
        el("h3").says("What is counted"),
        follows(move || list("What is counted", used(own))),
    ];
    offering(room, shown, found)
}

fn list(label: &'static str, lines: Vec<String>) -> Element {
    let rows = lines.into_iter().map(|line| el("li").says(line));
    el("ul").class("list").named(label).all(rows)
}

/// What is read of a photo that has a picture, and the button that keeps the marked place for its tone.
fn of_the_mark(room: Room, own: Own, number: u32, photo: String) -> Part {
    let way = choice("photo-way", "What is read", fixed(WAYS), own.way);
    let label = "Keep the marked place as a spot for its tone";
    let keep = move || keep_spot(room, own, number, &photo);
    let keep = button_unless(move || own.marked().is_err(), "", label, keep);
    let dark = move || !own.has_picture();
    parts![
        el("div").class("form").with(way).hidden_when(dark),
        row([keep]).hidden_when(dark),
    ]
}

/// The marked place goes to the spots whose tones are placed.
fn keep_spot(room: Room, own: Own, number: u32, photo: &str) {
    let Ok(found) = own.marked() else {
        return;
    };
    if room.spots.once(Vec::len) >= tones::MOST_SPOTS {
        room.said
            .set("There are as many spots as a scene can have.".to_owned());
        return;
    }
    own.kept.update(|kept| *kept = kept.saturating_add(1));
    // Without the name of the file, which would go wherever the reading goes.
    let name = format!("Spot {} in photo {number}", own.kept.now());
    room.keep_spot(name, &found, photo.to_owned());
}

/// What the file says, tag by tag.
fn what_it_says(photo: &Photo, missing: &[Control]) -> Vec<String> {
    let entries = photo.entries.iter().map(|entry| {
        let not_used = if entry.usable { "" } else { "; not used" };
        format!("{}: {}{not_used}", entry.name, entry.says)
    });
    let missing = missing
        .iter()
        .map(|control| format!("{}: not in the file", control.name()));
    entries.chain(missing).collect()
}

/// Whose figures are used: the photo's, or those that were typed for it.
fn used(own: Own) -> Vec<String> {
    let (filled, steps) = (own.filled(), own.steps());
    own.photo.once(|photo| {
        Control::ALL
            .map(|control| photo.used_in_words(control, &filled, steps))
            .into()
    })
}

/// The picture with the marked place; touched, or moved by two sliders.
fn shown(own: Own) -> Part {
    let (dark, spot) = (!own.has_picture(), own.spot.get());
    let touch = move |(across, down)| {
        own.spot.update(|spot| {
            spot.across = across;
            spot.down = down;
        });
    };
    let picture = el("canvas")
        .here(own.canvas)
        .attr("aria-hidden", "true")
        .on("click", move |event| {
            if let Some(touched) = event.touched() {
                touch(touched);
            }
        });
    let share = |share: f64| format!("{}%", css::number(share * 100.0));
    let mark = el("span")
        .class("metered-spot")
        .style("inset-inline-start", share(spot.across))
        .style("inset-block-start", share(spot.down));
    let picture = el("div").class("metered").with(picture).with(mark);
    let across = slider(
        "photo-across",
        "Marked place, from left to right",
        spot.across,
        move |to| {
            own.spot.update(|spot| spot.across = to);
        },
    );
    let down = slider(
        "photo-down",
        "Marked place, from top to bottom",
        spot.down,
        move |to| {
            own.spot.update(|spot| spot.down = to);
        },
    );
    let title = "Move the mark without touching the picture";
    parts![
        picture.hidden(dark),
        unfolds(title, parts![across, down]).hidden(dark),
    ]
}

/// What the marked place says.
fn read_in_words(own: Own) -> String {
    if !own.has_picture() {
        return own.dark.get();
    }
    let said = own.patch().and_then(|patch| {
        let caution = match patch.caution() {
            Some(caution) => format!(" {caution}"),
            None => String::new(),
        };
        Ok(format!(
            "The marked place is {}.{caution}",
            patch.sentence()?
        ))
    });
    // Only here can another one be touched.
    said.unwrap_or_else(|error| format!("{error} Touch another place."))
}

/// The same by keys, in hundredths.
fn slider(
    id: &'static str,
    label: &'static str,
    share: f64,
    slide: impl Fn(f64) + 'static,
) -> Element {
    let input = el("input")
        .id(id)
        .class("slide")
        .attr("type", "range")
        .attr("min", "0")
        .attr("max", "100")
        .attr("step", "1")
        .value(words::decimal(share * 100.0, 0))
        .on("input", move |event| {
            if let Ok(hundredths) = event.value().parse::<u8>() {
                slide(f64::from(hundredths.min(100)) / 100.0);
            }
        });
    el("div")
        .class("field")
        .with(el("label").attr("for", id).says(label))
        .with(input)
}
