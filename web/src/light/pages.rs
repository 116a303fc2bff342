//! The pages of the light, each a row in one of three lists.

use exposure::words;
use panel::{State, light::Change, message::Page as Opened, recent::Recent};

use super::{
    agree, camera, correct, counts, more, photo,
    room::{Page, Room},
    scenes,
    shelf::{line, shelves},
    sky, timer, tones, typed,
};
use crate::{
    drawn, form,
    parts::{Element, Part, el, follows, parts},
    piece::{paragraph, said},
};

/// The list of the ways to find the light.
static FIND: Page = Page {
    opened: Some(Opened::Readings),
    list: None,
    title: "Find the light",
    words: "Ways to a reading, and the readings taken last",
    view: find,
};

/// The list of corrections.
static CORRECT: Page = Page {
    opened: Some(Opened::Corrections),
    list: None,
    title: "Corrections",
    words: "What stands between the reading and the film",
    view: correct,
};

/// Ways to find the light.
static READINGS: &[Page] = &[
    Page {
        opened: Some(Opened::Photo),
        list: Some(Opened::Readings),
        title: "From a photo",
        words: "Its metadata, or a place in the picture",
        view: photo::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: "Live camera",
        words: "Reads the light through the camera of this device",
        view: camera::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: "Typed light",
        words: "EV, cd/m², lux, and the constants K and C",
        view: typed::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: "Spots and tones",
        words: "Shadow on zone III, averages, grey card in sun",
        view: tones::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: "Scene tables",
        words: "Without a meter, by the shadows or the scene",
        view: scenes::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: "Sun and moon",
        words: "An estimate from place and time",
        view: sky::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Readings),
        title: "Two readings of the same light",
        words: "How far they are apart, and which one is used",
        view: agree::page,
    },
];

/// Corrections between the reading and the film.
static CORRECTIONS: &[Page] = correct::PAGES;

/// What else there is.
static OTHERS: &[Page] = &[
    Page {
        opened: Some(Opened::Timer),
        list: None,
        title: "Timer",
        words: "What to count for an exposure on B",
        view: timer::page,
    },
    Page {
        opened: Some(Opened::Counts),
        list: None,
        title: "How this counts",
        words: "Conventions, sources and cautions",
        view: counts::page,
    },
    Page {
        opened: Some(Opened::More),
        list: None,
        title: "More",
        words: "Theme, a link, print, cameras of your own",
        view: more::page,
    },
];

/// The page that the dial opens as this one.
pub(super) fn of(opened: Opened) -> &'static Page {
    [READINGS, OTHERS]
        .into_iter()
        .flatten()
        .chain([&CORRECT])
        .find(|page| page.opened == Some(opened))
        .unwrap_or(&FIND)
}

fn find(room: Room) -> Part {
    parts![
        shelf(room, "Ways to find the light", READINGS.iter()),
        follows(move || recent(room)),
        elsewhere(room, &CORRECT),
    ]
}

/// The readings taken last, each a button that takes it again.
fn recent(room: Room) -> Part {
    let row = |reading: &Recent| {
        let found = reading.found().clone();
        form::shelf(reading.words(), move || {
            room.change(&Change::Take(found.clone()));
        })
    };
    let rows: Vec<Element> = room.recent.with(|list| list.iter().map(row).collect());
    if rows.is_empty() {
        return Part::Nothing;
    }
    parts![
        el("h3").says("Take again: the same light as before"),
        shelves("Readings taken last", rows),
    ]
}

fn correct(room: Room) -> Part {
    parts![
        follows(move || room.with(|state| lines(room, state))),
        shelf(room, "Corrections", CORRECTIONS.iter()),
        elsewhere(room, &FIND),
    ]
}

/// The corrections that are there, each with a switch and a way out.
fn lines(room: Room, state: &State) -> Part {
    if state.lines().is_empty() {
        let none = "None yet: the reading goes to the dials as it is.";
        return paragraph("reason", none).into();
    }
    let way = state.way_to_film();
    let rows = state.lines().iter().zip(&way.rows).enumerate();
    let rows = rows.map(|(i, (at, pieces))| {
        line(room, i, at)
            .with(said("reason", state.does_now(at).unwrap_or_default()))
            .with(drawn::row_track(&way, pieces))
    });
    let sum = format!(
        "All that count: {}. The dials make up for it.",
        words::difference(state.correction())
    );
    let of_all = way.rows.last().map(|pieces| drawn::row_track(&way, pieces));
    let drawing = parts![
        shelves("Corrections that are there", rows.collect()),
        paragraph("way-sum", sum),
        of_all,
        drawn::ticks_under(way.axis, &way.ticks),
    ];
    let figure = drawn::figure(way.name, way.legend, drawing);
    el("div").class("way").with(figure).into()
}

/// The other list, and the pages that stand in neither.
fn elsewhere(room: Room, other: &'static Page) -> Part {
    parts![
        el("h3").says("Also here"),
        shelf(room, "Also here", [other].into_iter().chain(OTHERS)),
    ]
}

/// Pages to turn to.
fn shelf(room: Room, label: &'static str, pages: impl Iterator<Item = &'static Page>) -> Element {
    let row = |page: &'static Page| {
        let open = el("button")
            .class("shelf")
            .attr("type", "button")
            .press(move || room.go(page));
        let name = el("span").class("shelf-name").says(page.title);
        let words = el("span").class("shelf-words").says(page.words);
        el("li").with(open.with(name).with(words))
    };
    shelves(label, pages.map(row).collect())
}
