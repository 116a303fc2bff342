//! The cover: what is loaded where, what waits longest, what is in the bag, and the book as a file.

use book::{
    Book, EXAMPLE, Edit, InBag, Kind, Loading, Record, Roll, Shows, WORTH_SEARCHING, bag,
    bytes_words, labels,
};

use super::{
    bring_in,
    papers::{self, Way},
    removing,
    room::{Place, Room},
    ticking,
};
use crate::{
    browser::{later::spawn_local, storage},
    form::{Typed, choice, entry, shelf, tick},
    live::{Live, Worked},
    moment::today,
    parts::{Element, Part, el, follows, parts},
    piece::{button, columns, complaint, notice, paragraph, row, said},
};

pub(super) fn page(room: Room) -> Part {
    parts![
        follows(move || {
            let waits = if room.series.with(Option::is_some) {
                "The series from the dial waits to be logged."
            } else {
                ""
            };
            notice(waits, "Go on with it", move || room.go(Place::Series))
        }),
        columns([
            parts![
                el("h3").says("Loaded"),
                el("div")
                    .class("cards")
                    .with(follows(move || room.with(|book| loaded(room, book)))),
                papers::shown(room),
                waiting(room),
            ],
            parts![
                el("h3").says("Bag"),
                shelves(room),
                follows(move || {
                    let nothing_left = room.with(|book| labels(book, None).is_empty());
                    row([
                        button("main", "Add film", move || room.go(Place::NewFilm)),
                        button("", "Kit", move || room.go(Place::Kit)),
                        button("", "Labels for what is left", move || {
                            papers::labels_of(room, None);
                        })
                        .hidden(nothing_left),
                    ])
                }),
            ],
            keep(room),
        ]),
    ]
}

/// A card for each roll that is in a camera.
fn loaded(room: Room, book: &Book) -> Part {
    let cards: Vec<Element> = book
        .open_rolls()
        .map(|(roll, loading)| card(room, book, roll, loading))
        .collect();
    if cards.is_empty() {
        let none = "No camera is loaded. Open a batch below to load a roll.";
        paragraph("reason", none).into()
    } else {
        cards.into()
    }
}

fn card(room: Room, book: &Book, roll: &Roll, loading: &Loading) -> Element {
    let mut film = roll.name.clone();
    if let Some(stock) = book.stock_of(roll) {
        film = format!("{film}, box speed {}", stock.box_speed.shown());
    }
    let others: Vec<String> = book
        .in_camera(loading)
        .filter(|other| other.id != roll.id)
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
    let (open, tape) = (roll.id.clone(), roll.id.clone());
    el("article")
        .class("card")
        .named(loading.camera.clone())
        .with(paragraph("card-camera", loading.camera.clone()))
        .with(paragraph(
            "card-rating",
            format!("rated {}", loading.rating.rating_words()),
        ))
        .with(paragraph("card-film", film))
        .with(paragraph("", roll.next_words()))
        .with(paragraph(
            "reason",
            format!(
                "In the camera since {}, {}.",
                loading.since.text(),
                days(loading.since.days_until(today()))
            ),
        ))
        .with(said("warning", twice))
        .with(row([
            button("main", "Open the log", move || {
                room.go(Place::Roll(open.clone()));
            }),
            button("", "Label for the camera", move || {
                papers::tape_of(room, &tape);
            }),
        ]))
}

fn days(count: i32) -> String {
    match count {
        0 => "today".to_owned(),
        1 => "1 day".to_owned(),
        _ => format!("{count} days"),
    }
}

/// What waits longest, and after how long the dial says so.
fn waiting(room: Room) -> Element {
    let words = Worked::new(move || {
        room.with(|book| {
            let longest = book.waiting_longest(today()).into_iter().take(5);
            let lines: Vec<String> = longest
                .map(|(since, roll)| {
                    format!("{}: {}, {}", roll.name, roll.state.words(), days(since))
                })
                .collect();
            lines.join("\n")
        })
    });
    el("section")
        .hidden_when(move || words.with(String::is_empty))
        .with(el("h3").says("Waiting longest"))
        .with(follows(move || paragraph("lines", words.get())))
        .with(patience(room))
}

/// After how many days the dial says what waits longest.
fn patience(room: Room) -> Element {
    let shown = Live::new(ticking::patience().to_string());
    let said = Live::new(String::new());
    let keep = move |typed: String| match typed.trim().parse::<u16>() {
        Ok(days) => {
            storage::hold(ticking::PATIENCE_RECORD, Some(days.to_string()));
            room.once(ticking::tell_dial);
            said.set(String::new());
            shown.put(days.to_string());
        }
        Err(_) => said.set("Type a number of days, such as 60.".to_owned()),
    };
    let label = "The dial says so after this many days";
    el("div")
        .class("field patience")
        .with(el("label").attr("for", "patience").says(label))
        .with(follows(move || {
            el("input")
                .id("patience")
                .attr("type", "text")
                .attr("inputmode", "numeric")
                .attr("autocomplete", "off")
                .attr("aria-describedby", "patience-error")
                .value(shown.get())
                .on("change", move |event| keep(event.value()))
        }))
        .with(complaint("patience-error", move || said.get()))
}

/// What is in the bag, and a search where it holds much.
fn shelves(room: Room) -> Part {
    let all = Worked::new(move || room.with(|book| bag(book, today())));
    let typed = Typed::new("");
    let shows = Live::new("0".to_owned());
    let offered = || {
        let all = Shows::ALL.iter().enumerate();
        all.map(|(nth, shows)| (nth.to_string(), shows.words()))
            .collect()
    };
    let few = Worked::new(move || room.with(|book| book.rolls().count() < WORTH_SEARCHING));
    let found = move || {
        // What was typed is left out of account while nobody sees it.
        let (few, typed) = (few.get(), typed.get());
        let shows = shows.with(|nth| Shows::ALL.get(nth.parse::<usize>().ok()?).copied());
        let shows = shows.unwrap_or(Shows::All);
        all.with(|all| {
            let shown = all.iter().filter(|row| few || row.is_shown(shows, &typed));
            let rows: Vec<Element> = shown.map(|row| in_bag(room, row)).collect();
            let words = match rows.len() {
                _ if few => String::new(),
                0 => "Nothing in the bag fits that.".to_owned(),
                shown if shown == all.len() => String::new(),
                shown => format!("{shown} of {} are shown.", all.len()),
            };
            parts![
                said("reason", words).attr("role", "status"),
                el("ul").class("shelves").named("Bag").all(rows),
            ]
        })
    };
    let hint = "Part of a name, a speed, a purpose, a camera, where it came from.";
    let search = el("div")
        .class("form")
        .attr("role", "search")
        .named("The bag")
        .hidden_when(move || few.get())
        .with(entry("bag-search", "Search the bag", hint, typed))
        .with(choice("bag-shows", "Show", offered, shows));
    parts![search, follows(found)]
}

fn in_bag(room: Room, row: &InBag) -> Element {
    let id = row.batch.clone();
    let ratings = row.ratings.join("\n");
    let button = button("shelf", "", move || room.go(Place::Batch(id.clone())))
        .with(el("span").class("shelf-name").says(row.name.clone()))
        .with(el("span").class("shelf-words").says(row.words.clone()))
        .with(
            el("span")
                .class("shelf-rating lines")
                .hidden(ratings.is_empty())
                .says(ratings),
        );
    el("li").with(button)
}

/// Whether the invented example is in the book.
fn has_example(book: &Book) -> bool {
    book.records().any(|record| {
        let key = match record {
            Record::Aside(_) | Record::Camera(_) | Record::Dial(_) => return false,
            other => other.key(),
        };
        key.kind != Kind::Rules && key.id.starts_with(EXAMPLE)
    })
}

/// Whether small copies of scans go along with the book, where it has any.
fn copies(room: Room, wanted: Live<bool>) -> Element {
    let sizes: Vec<f64> = room.copies.with(|copies| {
        room.with(|book| {
            let there = copies.iter().filter(|(roll, _)| book.has_roll(roll));
            there.map(|(_, bytes)| *bytes).collect()
        })
    });
    let words = format!(
        "With the small copies of scans ({}, {})",
        sizes.len(),
        bytes_words(sizes.iter().sum())
    );
    tick(words, wanted.get(), move |on| wanted.set(on)).hidden(sizes.is_empty())
}

/// The whole book as a file, in and out, and the example.
fn keep(room: Room) -> Part {
    let with_copies = Live::new(false);
    spawn_local(papers::count_copies(room));
    let hand_out = move |way| papers::hand_out_book(room, way, with_copies.now());
    let share = papers::can_share_book()
        .then(|| button("", "Share the whole book", move || hand_out(Way::Share)));
    parts![
        el("h3").says("Keep and hand on"),
        paragraph(
            "reason",
            "Everything stays on this device. A tab may lose it after a week without use on some phones: put the page on the home screen, and save a file now and then.",
        ),
        follows(move || copies(room, with_copies)),
        row([
            Some(button("", "Save the whole book", move || hand_out(
                Way::Save
            ))),
            share,
            Some(button("", "Save all frames as a table", move || {
                papers::hand_out_table(room, Way::Save, None);
            })),
        ]),
        bring_in::form(room),
        follows(move || {
            let has_example = room.with(has_example);
            row([
                button("", "Add the invented example", move || {
                    room.edit(&Edit::AddExample);
                })
                .hidden(has_example),
                button("", "Remove the example", move || {
                    room.edit_when_read(Edit::RemoveExample, |_| {});
                })
                .hidden(!has_example),
            ])
        }),
        removing::form(
            room,
            "Remove everything in the film book",
            "Film, rolls, logs, ratings and kit, from this device. The dial, its cameras and its recent readings stay.",
            || Edit::RemoveAll,
        ),
    ]
}

/// The way to a roll, with its state.
pub(super) fn roll_row(room: Room, id: String, words: String) -> Element {
    shelf(words, move || room.go(Place::Roll(id.clone())))
}
