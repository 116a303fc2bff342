//! The pages of the light, each a row in one of three lists.

use exposure::words;
use leptos::prelude::*;
use panel::{
    light::{Change, Line},
    recent::Recent,
};

use super::{
    agree, camera, correct, counts, more, photo, room::Room, scenes, sky, timer, tones, typed,
};
use crate::{
    browser::part,
    form,
    piece::{flag, paragraph, press, text},
};

/// A page.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Page {
    /// The word that the dial opens it by.
    pub(super) key: &'static str,
    /// Its title.
    pub(super) title: &'static str,
    /// What it is for, in the list.
    pub(super) words: &'static str,
    /// Makes it.
    pub(super) view: fn(Room) -> AnyView,
}

impl PartialEq for Page {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

/// The list of the ways to find the light.
static FIND: Page = Page {
    key: "readings",
    title: "Find the light",
    words: "Ways to a reading, and the readings taken last",
    view: find,
};

/// The list of corrections.
static CORRECT: Page = Page {
    key: "corrections",
    title: "Corrections",
    words: "What stands between the reading and the film",
    view: correct,
};

/// Ways to find the light.
static READINGS: &[Page] = &[
    Page {
        key: part::PHOTO,
        title: "From a photo",
        words: "Its metadata, or a place in the picture",
        view: photo::page,
    },
    Page {
        key: "live-camera",
        title: "Live camera",
        words: "Reads the light through the camera of this device",
        view: camera::page,
    },
    Page {
        key: "typed",
        title: "Typed light",
        words: "EV, cd/m², lux, and the constants K and C",
        view: typed::page,
    },
    Page {
        key: "tones",
        title: "Spots and tones",
        words: "Shadow on zone III, averages, grey card in sun",
        view: tones::page,
    },
    Page {
        key: "scenes",
        title: "Scene tables",
        words: "Without a meter, by the shadows or the scene",
        view: scenes::page,
    },
    Page {
        key: "sky",
        title: "Sun and moon",
        words: "An estimate from place and time",
        view: sky::page,
    },
    Page {
        key: "agree",
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
        key: timer::KEY,
        title: "Timer",
        words: "What to count for an exposure on B",
        view: timer::page,
    },
    Page {
        key: "counts",
        title: "How this counts",
        words: "Conventions, sources and cautions",
        view: counts::page,
    },
    Page {
        key: "more",
        title: "More",
        words: "Theme, a link, print, cameras of your own",
        view: more::page,
    },
];

/// The page that is open before the dial has said which.
pub(super) fn first() -> &'static Page {
    &FIND
}

/// The page with this key; the first one for a word that no page has.
pub(super) fn of(key: &str) -> &'static Page {
    [READINGS, CORRECTIONS, OTHERS]
        .into_iter()
        .flatten()
        .chain([&CORRECT])
        .find(|page| page.key == key)
        .unwrap_or(&FIND)
}

/// The list that a page stands in.
pub(super) fn list_of(page: &'static Page) -> &'static Page {
    if *page == CORRECT || CORRECTIONS.contains(page) {
        &CORRECT
    } else if OTHERS.contains(page) {
        page
    } else {
        &FIND
    }
}

fn find(room: Room) -> AnyView {
    view! {
        {shelf(room, "Ways to find the light", READINGS)}
        {move || recent(room)}
        {elsewhere(room, &CORRECT)}
    }
    .into_any()
}

/// The readings taken last, each a button that takes it again.
fn recent(room: Room) -> AnyView {
    let rows = room.recent.with(|list| {
        let row = |reading: &Recent| {
            let (words, found) = (reading.words(), reading.found().clone());
            form::shelf(words, move || {
                room.change(&Change::Take(found.clone()));
            })
        };
        list.iter().map(row).collect::<Vec<_>>()
    });
    if rows.is_empty() {
        return ().into_any();
    }
    view! {
        <h3>"Take again: the same light as before"</h3>
        <ul class="shelves" aria-label="Readings taken last">
            {rows}
        </ul>
    }
    .into_any()
}

fn correct(room: Room) -> AnyView {
    view! {
        {lines(room)}
        {shelf(room, "Corrections", CORRECTIONS)}
        {elsewhere(room, &FIND)}
    }
    .into_any()
}

/// The corrections that are there, each with a switch and a way out.
fn lines(room: Room) -> impl IntoView {
    let count = Memo::new(move |_| room.with(|state| state.lines().len()));
    let rows = move || {
        let rows = 0..count.get();
        rows.map(|i| line(room, i)).collect_view()
    };
    let sum = text(move || {
        room.with(|state| match state.lines() {
            [] => "None yet: the reading goes to the dials as it is.".to_owned(),
            _ => format!(
                "All that count: {}. The dials make up for it.",
                words::difference(state.correction())
            ),
        })
    });
    view! {
        <ul class="shelves" aria-label="Corrections that are there">
            {rows}
        </ul>
        {paragraph("reason", sum)}
    }
}

pub(super) fn line(room: Room, i: usize) -> impl IntoView {
    let part = move |derive: fn(&Line) -> String| {
        text(move || room.with(|state| state.lines().get(i).map(derive).unwrap_or_default()))
    };
    let name = part(|line| line.name().to_owned());
    let on = flag(move || room.with(|state| state.lines().get(i).is_some_and(Line::on)));
    let switch = press(move || {
        room.change(&Change::Count(i, !on.get_untracked()));
    });
    let remove = press(move || {
        room.change(&Change::Drop(i));
    });
    view! {
        <li class="kept">
            <label class="pick">
                <input type="checkbox" prop:checked=on on:click=switch />
                <span>{name} ": " {part(|line| line.does())}</span>
            </label>
            <button
                type="button"
                aria-label=text(move || format!("Remove {}", name.get()))
                on:click=remove
            >
                "Remove"
            </button>
        </li>
    }
}

/// The other list, and the pages that stand in neither.
fn elsewhere(room: Room, other: &'static Page) -> impl IntoView {
    view! {
        <h3>"Also here"</h3>
        {rows(room, "Also here", std::iter::once(other).chain(OTHERS))}
    }
}

fn shelf(room: Room, label: &'static str, pages: &'static [Page]) -> impl IntoView {
    rows(room, label, pages.iter())
}

fn rows(
    room: Room,
    label: &'static str,
    pages: impl Iterator<Item = &'static Page>,
) -> impl IntoView {
    let rows = pages
        .map(|page| {
            let open = press(move || room.go(page));
            view! {
                <li>
                    <button class="shelf" type="button" on:click=open>
                        <span class="shelf-name">{page.title}</span>
                        <span class="shelf-words">{page.words}</span>
                    </button>
                </li>
            }
        })
        .collect_view();
    view! {
        <ul class="shelves" aria-label=label>
            {rows}
        </ul>
    }
}
