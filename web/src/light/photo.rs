//! A photo's metadata as a reading, and a place in the picture as a spot.
//!
//! What is typed, chosen and marked for a photo lives as long as that photo is shown: each one that is chosen gets fields of
//! its own, and what still comes in for an earlier one finds nobody.

use exposure::{Axis, Control, Steps, words};
use leptos::reactive::graph::untrack;
use panel::message::Ask;
use readings::{
    Error, Found,
    photo::{self, Filled, Photo},
    picture::{MIDDLE, ORDINALS, Patch, Picture, Spot, beside_the_first},
    tonal::{Spread, Zoned, numeral, percent},
    tones::{self, Placing, Zone, look},
};

use super::{
    found::{Outcome, offering},
    marks::{mark, sliders, touchable},
    room::Room,
};
use crate::{
    browser::{
        draw::Here,
        files::{self, File},
        later::spawn_local,
        picture::{self, Pixels},
    },
    drawn::{self, Plot},
    form::{Typed, choice, entry, fixed, only, select, tick},
    live::{Live, Worked, follow},
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button_unless, paragraph, row, said, unfolds},
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

/// A place in the picture, and the zone that it is to come out on.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    spot: Spot,
    zone: u8,
}

/// Middle grey.
const MIDDLE_ZONE: u8 = 5;

impl Place {
    const FIRST: Self = Self::at((0.5, 0.5));

    const fn at((across, down): (f64, f64)) -> Self {
        Self {
            spot: Spot {
                across,
                down,
                radius: 0.04,
            },
            zone: MIDDLE_ZONE,
        }
    }
}

/// One photo, and all that is typed, chosen and marked for it.
#[derive(Clone, Copy)]
struct Own {
    photo: Live<Photo>,
    pixels: Live<Option<Pixels>>,
    /// Why there is no picture.
    dark: Live<String>,
    /// The places that are marked, one at least.
    places: Live<Vec<Place>>,
    /// Which of them is meant, by its place in the list.
    meant: Live<String>,
    /// Whether it is being dragged.
    dragged: Live<bool>,
    /// Whether the picture is shown in zones.
    in_zones: Live<bool>,
    canvas: Here,
    loupe: Here,
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
            places: Live::new(vec![Place::FIRST]),
            meant: Live::new("0".to_owned()),
            dragged: Live::new(false),
            in_zones: Live::new(false),
            canvas: Here::new(),
            loupe: Here::new(),
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

    /// The place in the list of what is meant.
    fn at(self) -> usize {
        self.meant.with(|meant| meant.parse().unwrap_or(0))
    }

    fn place(self) -> Place {
        let at = self.at();
        self.places
            .with(|places| places.get(at).copied().unwrap_or(Place::FIRST))
    }

    fn move_to(self, at: usize, to: (f64, f64)) {
        self.meant.set(at.to_string());
        let Place { spot, .. } = Place::at(to);
        self.places.perhaps(|places| {
            let place = places.get_mut(at).filter(|place| place.spot != spot);
            place.map(|place| place.spot = spot).is_some()
        });
    }

    fn move_meant(self, to: (f64, f64)) {
        self.move_to(untrack(|| self.at()), to);
    }

    /// Marks one more place, beside the one that is meant.
    fn add(self) {
        let Spot { across, down, .. } = untrack(|| self.place()).spot;
        let beside = if across < 0.75 { 0.15 } else { -0.15 };
        self.places
            .update(|places| places.push(Place::at((across + beside, down))));
        let last = self.places.once(Vec::len) - 1;
        self.meant.set(last.to_string());
    }

    fn remove(self) {
        let at = untrack(|| self.at());
        self.places.perhaps(|places| {
            let is_one_of_many = places.len() > 1 && at < places.len();
            if is_one_of_many {
                places.remove(at);
            }
            is_one_of_many
        });
        self.meant.set(at.saturating_sub(1).to_string());
    }

    /// What is made of the picture as it was taken; a sentence where there is none.
    fn picture<T>(self, of: impl FnOnce(&Picture<'_>) -> Result<T, Error>) -> Result<T, Error> {
        self.pixels.with(|pixels| match pixels {
            Some(pixels) => of(&Picture::new(pixels.width, pixels.height, &pixels.data)?),
            // What a picture of no pixels says.
            None => of(&Picture::new(0, 0, &[])?),
        })
    }

    fn patches(self) -> Result<Vec<Patch>, Error> {
        let places = self.places.get();
        self.picture(|picture| {
            places
                .iter()
                .map(|place| picture.spot(place.spot))
                .collect()
        })
    }

    fn patch(self) -> Result<Patch, Error> {
        let spot = self.place().spot;
        self.picture(|picture| picture.spot(spot))
    }

    /// The light of the whole picture.
    fn whole(self) -> Outcome {
        self.photo
            .once(|photo| photo.found(&self.filled(), self.steps()))
            .map_err(|error| error.to_string())
    }

    /// The light of a place as a spot meter reads it.
    fn read(self, patch: &Patch) -> Result<Found, Error> {
        self.photo
            .once(|photo| photo.settings(&self.filled(), self.steps()))
            .and_then(|settings| patch.found(&settings))
    }

    /// The zone that the marked place is to come out on.
    fn zone(self) -> Zone {
        Zone::new(f64::from(self.place().zone)).unwrap_or(Zone::MIDDLE)
    }

    /// The light of the marked place, and of any other zone than the middle one the tone as for spots of all kinds.
    fn marked(self) -> Outcome {
        let zone = self.zone();
        self.patch()
            .and_then(|patch| self.read(&patch))
            .and_then(|read| {
                if zone == Zone::MIDDLE {
                    return Ok(read);
                }
                let spots = [tones::Spot::of("place in a photo".to_owned(), &read)];
                Ok(tones::place(&spots, Placing::On { spot: 0, zone })?.found)
            })
            .map_err(|error| error.to_string())
    }

    /// How each place comes out, and how they compare; where one alone is marked, nothing.
    fn compared(self) -> Vec<String> {
        let Ok(patches) = self.patches() else {
            return Vec::new();
        };
        if patches.len() < 2 {
            return Vec::new();
        }
        let mut said = beside_the_first(&patches);
        let spots: Result<Vec<tones::Spot>, Error> = patches
            .iter()
            .zip(ORDINALS)
            .map(|(patch, name)| Ok(tones::Spot::of(name.to_owned(), &self.read(patch)?)))
            .collect();
        let placing = Placing::On {
            spot: self.at(),
            zone: self.zone(),
        };
        if let Ok(placed) = spots.and_then(|spots| tones::place(&spots, placing))
            && self.reads_a_place()
        {
            said.extend(
                placed
                    .falls
                    .into_iter()
                    .map(|fall| format!("The {}.", fall.words)),
            );
        }
        said
    }

    fn reads_a_place(self) -> bool {
        self.way.with(|way| way == WAYS[1].0)
    }

    /// The picture in zones, as it comes out if what is offered is taken.
    fn zoned(self) -> Option<Zoned> {
        if !self.in_zones.get() {
            return None;
        }
        let placed = self.reads_a_place().then(|| self.patch().ok()).flatten();
        let grey = match placed.filter(|patch| patch.from_middle().is_ok()) {
            Some(patch) => Zoned::grey_of(&patch, self.zone()),
            None => MIDDLE,
        };
        self.picture(|picture| Ok(Zoned::of(picture, grey))).ok()
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
        if own.reads_a_place() && own.has_picture() {
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
    let zoned = Worked::new(move || own.zoned());
    follow(move || paint(own, zoned));
    follow(move || magnify(own, zoned));
    let shown = parts![
        follows(move || shown(own, zoned)),
        el("p").class("lines").tells(move || read_in_words(own)),
        of_the_mark(room, own, number, format!("photo {number}, {name}")),
        follows(move || spread(own)),
        el("h3").says("What the photo says"),
        list("What the photo says", says),
        typed,
        el("h3").says("What is counted"),
        follows(move || list("What is counted", used(own))),
    ];
    offering(room, shown, found)
}

fn list(label: &'static str, lines: Vec<String>) -> Element {
    let rows = lines.into_iter().map(|line| el("li").says(line));
    el("ul").class("list").named(label).all(rows)
}

/// What is done with the marked places, and what is read of a photo that has a picture.
fn of_the_mark(room: Room, own: Own, number: u32, photo: String) -> Part {
    let dark = move || !own.has_picture();
    let many = move || own.places.with(Vec::len);
    let which = choice(
        "photo-place",
        "Which place is meant",
        move || {
            let named = ORDINALS.into_iter().take(many()).enumerate();
            named
                .map(|(at, name)| (at.to_string(), format!("the {name}")))
                .collect()
        },
        own.meant,
    );
    let zone = select(
        "photo-zone",
        "The marked place comes out on",
        || {
            let zones = (0..=10_u8).map(|zone| {
                let looks = Zone::new(f64::from(zone)).map_or("", look);
                (zone.to_string(), format!("zone {}, {looks}", numeral(zone)))
            });
            zones.collect()
        },
        move || own.place().zone.to_string(),
        move |zone: String| {
            let at = untrack(|| own.at());
            let zone = zone.parse().unwrap_or(MIDDLE_ZONE);
            own.places.update(|places| {
                if let Some(place) = places.get_mut(at) {
                    place.zone = zone;
                }
            });
            // Else it would move nothing.
            own.way.set(WAYS[1].0.to_owned());
        },
    );
    let way = choice("photo-way", "What is read", fixed(WAYS), own.way);
    let add = move || own.add();
    let remove = move || own.remove();
    let label = "Keep the marked place as a spot for its tone";
    let keep = move || keep_spot(room, own, number, &photo);
    let is_unread = move || own.patch().and_then(|patch| own.read(&patch)).is_err();
    let keep = button_unless(is_unread, "", label, keep);
    el("div")
        .hidden_when(dark)
        .with(follows(move || {
            let said = own.compared();
            let none = said.is_empty();
            list("How the places compare", said).hidden(none)
        }))
        .with(row([
            button_unless(
                move || many() >= ORDINALS.len(),
                "",
                "Mark another place",
                add,
            ),
            button_unless(move || many() < 2, "", "Remove the marked place", remove),
        ]))
        .with(
            el("div")
                .class("form")
                .with(only(move || many() > 1, which))
                .with(zone)
                .with(way),
        )
        .with(row([keep]))
        .into()
}

/// The marked place goes to the spots whose tones are placed.
fn keep_spot(room: Room, own: Own, number: u32, photo: &str) {
    let read = untrack(|| own.patch().and_then(|patch| own.read(&patch)));
    let Ok(found) = read else {
        return;
    };
    if room.kept.spots.once(Vec::len) >= tones::MOST_SPOTS {
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

/// The canvas shows the picture as it is or in zones.
fn paint(own: Own, zoned: Worked<Option<Zoned>>) {
    own.pixels.with(|pixels| {
        if let (Some(pixels), Some(canvas)) = (pixels, own.canvas.get()) {
            // OK to ignore: what cannot be painted stays as it is, and its words say the same.
            let _ = zoned.with(|zoned| match zoned {
                Some(zoned) => picture::paint(&canvas, pixels.width, &zoned.painted()),
                None => picture::paint(&canvas, pixels.width, &pixels.data),
            });
        }
    });
}

/// The loupe shows what is under the finger.
fn magnify(own: Own, zoned: Worked<Option<Zoned>>) {
    let spot = own.place().spot;
    if !own.dragged.get() {
        return;
    }
    // As it is painted.
    zoned.with(|_| ());
    own.pixels.with(|pixels| {
        if let (Some(pixels), Some(canvas), Some(loupe)) =
            (pixels, own.canvas.get(), own.loupe.get())
        {
            // What is read is as wide as half of the loupe.
            let around = 2.0 * spot.radius * side(pixels.width.min(pixels.height));
            // OK to ignore: the mark itself is seen without it.
            let _ = picture::magnify(&canvas, &loupe, (spot.across, spot.down), around);
        }
    });
}

#[expect(
    clippy::cast_precision_loss,
    reason = "sides of pictures are far below 2^52"
)]
fn side(pixels: usize) -> f64 {
    pixels as f64
}

/// The picture with the marked places; touched, dragged, or moved by two sliders.
fn shown(own: Own, zoned: Worked<Option<Zoned>>) -> Part {
    let dark = !own.has_picture();
    let (at, places) = (own.at(), own.places.get());
    let spot = own.place().spot;
    let size = own.pixels.with(|pixels| match pixels {
        Some(pixels) => [side(pixels.width), side(pixels.height)],
        None => [1.0, 1.0],
    });
    let canvas = el("canvas").here(own.canvas).attr("aria-hidden", "true");
    let many = places.len() > 1;
    let marks = places.iter().zip(1_u8..).map(|(place, number)| {
        let i = usize::from(number) - 1;
        let moved = move |to: Option<(f64, f64)>| {
            own.dragged.set(to.is_some());
            if let Some(to) = to {
                own.move_to(i, to);
            }
        };
        let number = many.then(|| el("span").class("mark-number").says(number.to_string()));
        let mark = mark(place.spot, size, moved).with(number);
        mark.flag("data-meant", i == at)
    });
    // Opposite the finger, so that neither covers what the other shows.
    let beside = if spot.across > 0.5 {
        "loupe"
    } else {
        "loupe on-right"
    };
    let loupe = el("canvas")
        .here(own.loupe)
        .attr("width", "264")
        .attr("height", "264");
    let loupe = el("span")
        .class(beside)
        .attr("aria-hidden", "true")
        .with(loupe)
        .hidden(!own.dragged.get());
    let (numbers, says) = zoned.with(|zoned| match zoned {
        Some(zoned) => (zoned.numbers(), zoned.sentence()),
        None => (Vec::new(), String::new()),
    });
    let numbers = numbers.into_iter().map(|at| {
        el("span")
            .class(if at.zone < 5 { "zone" } else { "zone on-light" })
            .attr("aria-hidden", "true")
            .style("left", drawn::percent(at.across))
            .style("top", drawn::percent(at.down))
            .says(numeral(at.zone))
    });
    let picture = el("div")
        .class("metered")
        .with(touchable(canvas, move |to| own.move_meant(to)))
        .all(numbers)
        .all(marks)
        .with(loupe);
    let of = match (says.is_empty(), own.reads_a_place()) {
        (true, _) => "",
        (_, true) => "With the marked place on its zone: ",
        (_, false) => "As the camera exposed it: ",
    };
    parts![
        picture.hidden(dark),
        tick("Show the picture in zones", own.in_zones.get(), move |on| {
            own.in_zones.set(on);
        })
        .hidden(dark),
        said("reason", format!("{of}{says}")),
        sliders(
            "Move the mark without touching the picture",
            ["photo-across", "photo-down"],
            "Marked place",
            spot,
            move |to| own.move_meant(to),
        )
        .hidden(dark),
    ]
}

/// How much of the picture is how bright beside the marked place.
fn spread(own: Own) -> Part {
    let spread = own
        .patch()
        .and_then(|patch| own.picture(|picture| Spread::about(picture, &patch)));
    let Ok(spread) = spread else {
        return Part::Nothing;
    };
    let ends = spread.bars.first().into_iter().chain(spread.bars.last());
    // Room at both ends for what is cut off.
    let line = Axis::around(ends.map(|bar| bar.stops), 6.0);
    let x = Axis::new(line.from() - 2.0, line.to() + 2.0);
    let cut = [spread.black, spread.burnt];
    let shares = spread.bars.iter().map(|bar| bar.share).chain(cut);
    let plot = Plot {
        x,
        y: Axis::new(0.0, shares.fold(0.05, f64::max)),
    };
    let mut bars: Vec<Element> = spread
        .bars
        .iter()
        .filter(|bar| bar.share > 0.0)
        .map(|bar| {
            let reach = [bar.stops - Spread::HALF, bar.stops + Spread::HALF];
            plot.column(reach, bar.share)
        })
        .collect();
    let ends = [x.from() + 0.5, x.to() - 1.5].into_iter().zip(cut);
    bars.extend(ends.map(|(from, share)| {
        plot.column([from, from + 1.0], share)
            .flag("data-cut", true)
    }));
    bars.push(drawn::dot(x, "here", 0.0));
    let names = [x.from() + 1.0, x.to() - 1.0];
    // Room for the words at both ends.
    let is_clear = |at: &f64| {
        names
            .iter()
            .all(|name| (x.share(*at) - x.share(*name)).abs() > 0.13)
    };
    let ticks = line.ticks(7).into_iter().filter(is_clear);
    // In the order in which they stand, for where room is short some are left out.
    let [black, burnt] = names;
    let places: Vec<f64> = [black].into_iter().chain(ticks).chain([burnt]).collect();
    let words = move |at: f64| {
        if at < line.from() {
            "black".to_owned()
        } else if at > line.to() {
            "burnt".to_owned()
        } else {
            words::decimal(at, 0)
        }
    };
    let heights = plot.y.ticks(3).into_iter().skip(1);
    bars.extend(heights.map(|share| plot.height(share, percent(share))));
    let field = plot.field([2, 3], bars);
    let drawing = el("div")
        .class("spread")
        .with(field)
        .with(drawn::line_scale_of(x, &places, &words));
    let title = "Tones of the picture, in stops from the marked place";
    parts![
        el("h3").says(title),
        drawn::figure(title, spread.sentence(), drawing),
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
