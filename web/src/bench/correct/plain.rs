//! Corrections by a number of stops: the reading device's, and anything else.

use book::Device;
use panel::{
    State,
    correct::{self, Answer, DeviceLine, IsoScale},
    light::{Change, LineKind},
};

use super::{about, chosen, field, form, outcome, start, there, wrong_at};
use crate::{
    bench::Room,
    browser::later::spawn_local,
    caution,
    form::{Typed, checked, choice, fixed, shelf, when},
    kept,
    live::{Live, Worked},
    parts::{Element, Part, el, follows, parts},
    piece::{button, paragraph, row},
    shelf::shelves,
};

/// What a form of one kind is about.
struct Words {
    about: &'static str,
    /// What the two ways are called here.
    ways: [(&'static str, &'static str); 2],
}

const DEVICE: Words = Words {
    about: "What reads the light may be off. Check it on a plain, evenly lit wall against one that you trust, and put the difference here; or set its sensitivity so that it reads right by itself.",
    ways: [
        ("less", "It asks for too little light"),
        ("more", "It asks for too much light"),
    ],
};
const OTHER: Words = Words {
    about: "Anything else that the reading does not know of: a window, a net before the lens, a lamp that has aged.",
    ways: [
        ("less", "It takes light from the film"),
        ("more", "It gives light to the film"),
    ],
};

pub(super) fn device(room: Room) -> Part {
    let kit = Live::new(Vec::new());
    spawn_local(async move {
        kit.put(kept::devices().await);
    });
    let scale = Scale {
        which: chosen("thirds"),
        list: start(""),
    };
    parts![
        page(room, LineKind::Device, &DEVICE, Some(scale)),
        follows(move || kit.with(|kit| room.with(|state| of_the_kit(room, state, kit)))),
        about(caution::MERCURY),
    ]
}

pub(super) fn other(room: Room) -> Part {
    page(room, LineKind::Other, &OTHER, None)
}

/// The devices that the film book knows.
fn of_the_kit(room: Room, state: &State, kit: &[Device]) -> Element {
    let devices = correct::kit_devices(state, kit).into_iter();
    let rows = devices.map(|device| {
        let change = device.change;
        let take = move || {
            room.change(&change);
        };
        shelf(device.words, take).with(paragraph("reason", device.instead))
    });
    shelves("Devices of the kit", rows.collect())
}

/// Kind and list of a scale as they are typed.
#[derive(Clone, Copy)]
struct Scale {
    which: Live<String>,
    list: Typed,
}

impl Scale {
    fn read(self) -> IsoScale {
        IsoScale {
            which: self.which.get(),
            list: self.list.get(),
        }
    }
}

/// The form; `scale` is what a reading device can be set to.
fn page(room: Room, kind: LineKind, words: &'static Words, scale: Option<Scale>) -> Part {
    let (name, gives, stops) = (start(""), chosen("less"), start(""));
    let answer = Worked::new(move || {
        let scale = scale.map(Scale::read).unwrap_or_default();
        room.with(|state| {
            correct::by_stops(state, kind, &name.get(), &gives.get(), &stops.get(), &scale)
        })
    });
    let field = |id, label, hint, typed| field(answer, id, label, hint, typed);
    let label = "Put it on the ledger";
    parts![
        about(words.about),
        there(room, kind),
        scale.map(|scale| on_the_device(room, scale)),
        form([
            field(
                "plain-name",
                "Name",
                "In your own words; may stay empty.",
                name,
            ),
            choice("plain-gives", "Which way", fixed(words.ways), gives),
            field("plain-stops", "Stops", "2, 1.5, 1 1/3 or 2/3", stops),
            scale.map(|scale| sensitivities(answer, scale)).into(),
        ]),
        outcome(room, "plain-error", label, answer, Some(stops)),
    ]
}

/// What the device can be set to.
fn sensitivities(answer: Worked<Answer>, Scale { which, list }: Scale) -> Part {
    let wrong = move || wrong_at(answer, "device-iso");
    let hint = "25 50 100 200 400, or 100..6400";
    parts![
        choice(
            "device-scale",
            "Its sensitivities",
            fixed(correct::ISO_SCALES),
            which
        ),
        when(
            which,
            &["own"],
            checked("device-iso", "Sensitivities that it has", hint, list, wrong),
        ),
    ]
}

/// What could be set on the device instead of the line that counts, and the ways to do one of both.
fn on_the_device(room: Room, scale: Scale) -> Part {
    follows(move || {
        let scale = scale.read();
        // What is wrong with the scale is said at its field.
        let line = room.with(|state| correct::device_line(state, &scale));
        on_the_device_now(room, line.unwrap_or_default())
    })
}

fn on_the_device_now(room: Room, line: Option<DeviceLine>) -> Element {
    let says = line.as_ref().map(|line| line.says.join(" "));
    let (leave_out, remains) = match line {
        Some(line) => (Some(line.leave_out), line.remains),
        None => (None, None),
    };
    let change = |label, change: Option<Change>| {
        let nothing = change.is_none();
        let change = move || {
            if let Some(change) = &change {
                room.change(change);
            }
        };
        button("", label, change).flag("disabled", nothing)
    };
    el("div")
        .hidden(says.is_none())
        .with(paragraph("reason", says.unwrap_or_default()))
        .with(row([
            change("It is set on the device: leave the line out", leave_out),
            change("It is set on the device: count what remains", remains),
        ]))
}
