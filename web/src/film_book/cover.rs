//! The cover: what is loaded where, what waits longest, what is in the bag, and the book as a file.

use book::{EXAMPLE, Edit, InBag, Kind, Record, Shows, WORTH_SEARCHING, bag, labels};
use leptos::prelude::*;

use super::{
    bring_in,
    form::{choice, entry, entry_button},
    papers::{self, Way},
    removing,
    room::{Place, Room, today},
    ticking,
};
use crate::{
    browser::storage,
    piece::{button, complaint, flag, never, notice, paragraph, press, text},
};

pub(super) fn page(room: Room) -> impl IntoView {
    let loaded = move || {
        room.with(|book| {
            let cards: Vec<_> = book
                .open_rolls()
                .map(|(film, loading)| {
                    let stock = book.stock_of(film);
                    let others: Vec<String> = book
                        .in_camera(loading)
                        .filter(|other| other.id != film.id)
                        .map(|other| format!("“{}”", other.name))
                        .collect();
                    let twice = if others.is_empty() {
                        String::new()
                    } else {
                        format!(
                            "The book has {} in this camera as well: take out what is not.",
                            others.join(" and ")
                        )
                    };
                    Card {
                        twice,
                        id: film.id.clone(),
                        camera: loading.camera.clone(),
                        film: format!(
                            "{}{}",
                            film.name,
                            stock.map_or_else(String::new, |stock| format!(
                                ", box speed {}",
                                stock.box_speed.shown()
                            ))
                        ),
                        rating: format!("rated {}", loading.rating.rating_words()),
                        left: film.next_words(),
                        since: format!(
                            "In the camera since {}, {}.",
                            loading.since.text(),
                            days(loading.since.days_until(today()))
                        ),
                    }
                })
                .collect();
            if cards.is_empty() {
                view! { <p class="reason">"No camera is loaded. Open a batch below to load a roll."</p> }
                    .into_any()
            } else {
                cards
                    .into_iter()
                    .map(|card| self::card(room, card))
                    .collect_view()
                    .into_any()
            }
        })
    };
    let waiting = text(move || {
        room.with(|book| {
            book.waiting_longest(today())
                .into_iter()
                .take(5)
                .map(|(since, roll)| {
                    format!("{}: {}, {}", roll.name, roll.state.words(), days(since))
                })
                .collect::<Vec<_>>()
                .join("\n")
        })
    });
    let all = Memo::new(move |_| room.with(|book| bag(book, today())));
    let typed = RwSignal::new(String::new());
    let shows = RwSignal::new("0".to_owned());
    let offered = Signal::stored(
        Shows::ALL
            .iter()
            .enumerate()
            .map(|(nth, shows)| (nth.to_string(), shows.words()))
            .collect(),
    );
    let few = flag(move || room.with(|book| book.rolls().count() < WORTH_SEARCHING));
    // What was typed is left out of account while nobody sees it.
    let rows = move || {
        let (few, typed) = (few.get(), typed.get());
        let shows = shows.with(|nth| Shows::ALL.get(nth.parse::<usize>().ok()?).copied());
        all.with(|all| {
            all.iter()
                .filter(|row| few || row.is_shown(shows.unwrap_or(Shows::All), &typed))
                .cloned()
                .collect::<Vec<InBag>>()
        })
    };
    let nothing_left = flag(move || room.with(|book| labels(book, None).is_empty()));
    let found = text(move || {
        if few.get() {
            return String::new();
        }
        let (shown, all) = (rows().len(), all.with(Vec::len));
        match shown {
            0 => "Nothing in the bag fits that.".to_owned(),
            shown if shown == all => String::new(),
            shown => format!("{shown} of {all} are shown."),
        }
    });
    let bag = move || {
        rows()
            .into_iter()
            .map(|row| {
                let id = row.batch;
                let open = press(move || room.go(Place::Batch(id.clone())));
                let none = row.ratings.is_empty();
                view! {
                    <li>
                        <button class="shelf" type="button" on:click=open>
                            <span class="shelf-name">{row.name}</span>
                            <span class="shelf-words">{row.words}</span>
                            <span class="shelf-rating lines" hidden=none>
                                {row.ratings.join("\n")}
                            </span>
                        </button>
                    </li>
                }
            })
            .collect_view()
    };
    let series = text(move || {
        if room.series.with(Option::is_some) {
            "The series from the dial waits to be logged.".to_owned()
        } else {
            String::new()
        }
    });
    view! {
        {notice(series, Signal::stored("Go on with it".to_owned()), move || room.go(Place::Series))}
        <h3>"Loaded"</h3>
        <div class="cards">{loaded}</div>
        {papers::shown(room)}
        <section hidden=flag(move || waiting.with(String::is_empty))>
            <h3>"Waiting longest"</h3>
            {paragraph("lines", waiting)}
            {patience(room)}
        </section>
        <h3>"Bag"</h3>
        <div class="form" role="search" aria-label="The bag" hidden=few>
            {entry("bag-search", "Search the bag", "Part of a name, a speed, a purpose, a camera, where it came from.", typed)}
            {choice("bag-shows", "Show", offered, shows)}
        </div>
        <p class="reason" role="status" hidden=flag(move || found.with(String::is_empty))>
            {found}
        </p>
        <ul class="shelves" aria-label="Bag">
            {bag}
        </ul>
        <div class="row">
            {button("main", "Add film", never(), move || room.go(Place::NewFilm))}
            {button("", "Kit", never(), move || room.go(Place::Kit))}
            {button("", "Labels for what is left", nothing_left, move || papers::labels_of(room, None))}
        </div>
        {keep(room)}
    }
}

/// After how many days the dial says what waits longest.
fn patience(room: Room) -> impl IntoView {
    let shown = RwSignal::new(ticking::patience().to_string());
    let said = RwSignal::new(String::new());
    let keep = move |event| {
        let typed = event_target_value(&event);
        match typed.trim().parse::<u16>() {
            Ok(days) => {
                storage::hold(ticking::PATIENCE_RECORD, Some(days.to_string()));
                room.once(ticking::tell_dial);
                said.set(String::new());
                shown.set(days.to_string());
            }
            Err(_) => said.set("Type a number of days, such as 60.".to_owned()),
        }
    };
    view! {
        <div class="field patience">
            <label for="patience">"The dial says so after this many days"</label>
            <input
                id="patience"
                type="text"
                inputmode="numeric"
                autocomplete="off"
                aria-describedby="patience-error"
                prop:value=shown
                on:change=keep
            />
            {complaint("patience-error", said.into())}
        </div>
    }
}

struct Card {
    /// What else is said to be in this camera.
    twice: String,
    id: String,
    camera: String,
    film: String,
    rating: String,
    left: String,
    since: String,
}

fn card(room: Room, card: Card) -> impl IntoView {
    let (open, tape) = (card.id.clone(), card.id);
    let name = card.camera.clone();
    let quiet = card.twice.is_empty();
    view! {
        <article class="card" aria-label=name>
            <p class="card-camera">{card.camera}</p>
            <p class="card-rating">{card.rating}</p>
            <p class="card-film">{card.film}</p>
            <p>{card.left}</p>
            <p class="reason">{card.since}</p>
            <p class="warning" hidden=quiet>
                {card.twice}
            </p>
            <div class="row">
                {button("main", "Open the log", never(), move || room.go(Place::Roll(open.clone())))}
                {button("", "Label for the camera", never(), move || papers::tape_of(room, &tape))}
            </div>
        </article>
    }
}

fn days(count: i32) -> String {
    match count {
        0 => "today".to_owned(),
        1 => "1 day".to_owned(),
        _ => format!("{count} days"),
    }
}

/// The whole book as a file, in and out, and the example.
fn keep(room: Room) -> impl IntoView {
    let has_example = flag(move || {
        room.with(|book| {
            book.records().any(|record| {
                let key = match record {
                    Record::Aside(_) | Record::Camera(_) | Record::Dial(_) => return false,
                    other => other.key(),
                };
                key.kind != Kind::Rules && key.id.starts_with(EXAMPLE)
            })
        })
    });
    let no_example = flag(move || !has_example.get());
    view! {
        <h3>"Keep and hand on"</h3>
        <p class="reason">
            "Everything stays on this device. A tab may lose it after a week without use on some phones: put the page on the home screen, and save a file now and then."
        </p>
        <div class="row">
            {button("", "Save the whole book", never(), move || papers::hand_out_book(room, Way::Save))}
            {papers::can_share_book().then(|| {
                button("", "Share the whole book", never(), move || papers::hand_out_book(room, Way::Share))
            })}
            {button("", "Save all frames as a table", never(), move || {
                papers::hand_out_table(room, Way::Save, None);
            })}
        </div>
        {bring_in::form(room)}
        <div class="row">
            {button("", "Add the invented example", has_example, move || {
                room.edit(&Edit::AddExample);
            })}
            {button("", "Remove the example", no_example, move || {
                room.edit_when_read(Edit::RemoveExample, |_| {});
            })}
        </div>
        {removing::form(
            room,
            "Remove everything in the film book",
            "Film, rolls, logs, ratings and kit, from this device. The dial, its cameras and its recent readings stay.",
            || Edit::RemoveAll,
        )}
    }
}

/// The way to a roll, with its state.
pub(super) fn roll_row(room: Room, id: String, words: String) -> impl IntoView {
    view! { <li>{entry_button("shelf", words, move || room.go(Place::Roll(id.clone())))}</li> }
}
