//! The pages that find the light, each a row in a list.

use panel::{message::Page as Opened, recent::Recent};

use super::{
    agree, camera,
    room::{Finds, Page, Room},
    scenes, sky, tones, typed,
};
use crate::{
    form,
    parts::{Element, Part, el, follows, parts},
    room::{self, Title, Way},
    shelf::shelves,
};

/// The list of the ways to find the light.
static FIND: Page = Page {
    opened: Some(Opened::Readings),
    list: None,
    title: room::FIND,
    view: find,
};

/// Ways to find the light.
static READINGS: &[Page] = &[
    Page {
        opened: Some(Opened::Photo),
        list: Some(Opened::Readings),
        title: Title {
            name: "From a photo",
            words: "Its metadata, or a place in the picture",
        },
        view: photo,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: Title {
            name: "Live camera",
            words: "Reads the light through the camera of this device",
        },
        view: camera::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: Title {
            name: "Typed light",
            words: "EV, cd/m², lux, and the constants K and C",
        },
        view: typed::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: Title {
            name: "Spots and tones",
            words: "Shadow on zone III, averages, grey card in sun",
        },
        view: tones::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: Title {
            name: "Scene tables",
            words: "Without a meter, by the shadows or the scene",
        },
        view: scenes::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: Title {
            name: "Sun and moon",
            words: "An estimate from place and time",
        },
        view: sky::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: Title {
            name: "Two readings of the same light",
            words: "How far they are apart, and which one is used",
        },
        view: agree::page,
    },
];

/// The page that the dial opens as this one.
pub(super) fn of(opened: Opened) -> &'static Page {
    READINGS
        .iter()
        .find(|page| page.opened == Some(opened))
        .unwrap_or(&FIND)
}

/// What reads photos is fetched with the first of them.
fn photo(room: Room) -> Part {
    room.kept
        .drawer
        .page(room.sheet, move |apart| (apart.photo)(room))
}

fn find(room: Room) -> Part {
    let ways: Vec<_> = READINGS.iter().map(Way::Here).collect();
    parts![
        room.rows("Ways to find the light", &ways),
        follows(move || recent(room)),
        el("h3").says("Also here"),
        room.rows("Also here", &ELSEWHERE),
    ]
}

/// What is on the bench.
const ELSEWHERE: [Way<Finds>; 4] = [
    Way::Over(Opened::Corrections, room::CORRECT),
    Way::Over(Opened::Timer, room::TIMER),
    Way::Over(Opened::Counts, room::COUNTS),
    Way::Over(Opened::More, room::MORE),
];

/// The readings taken last, each a button that takes it again.
fn recent(room: Room) -> Part {
    let row = |reading: &Recent| {
        let found = reading.found().clone();
        form::shelf(reading.words(), move || room.take(found.clone()))
    };
    let rows: Vec<Element> = room.kept.recent.with(|list| list.iter().map(row).collect());
    if rows.is_empty() {
        return Part::Nothing;
    }
    parts![
        el("h3").says("Take again: the same light as before"),
        shelves("Readings taken last", rows),
    ]
}
