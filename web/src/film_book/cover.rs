//! The cover: what is loaded where, what waits longest, what is in the bag, and the book as a file.

use book::{
    EXAMPLE, Edit, Import, InBag, Kind, Reader, Record, Shows, WORTH_SEARCHING, bag, labels,
};
use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::{
    form::{choice, entry, entry_button, tick},
    papers, removing,
    room::{Place, Room, today},
    ticking,
};
use crate::{
    browser::{files, page, storage},
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
    let field = NodeRef::<html::Input>::new();
    // An import that waits for the person's word.
    let plan = RwSignal::new(None::<Import>);
    // Whether rolls that two devices changed are merged.
    let merge = RwSignal::new(false);
    let refused = RwSignal::new(String::new());
    // How many files were chosen: what is still read of an earlier one is not asked for any more.
    let turn = StoredValue::new(0_u32);
    let chosen = move |_| {
        let Some(file) = field
            .get_untracked()
            .and_then(|field| files::chosen(&field).into_iter().next())
        else {
            return;
        };
        turn.update_value(|turn| *turn = turn.wrapping_add(1));
        let this = turn.get_value();
        plan.set(None);
        merge.set(false);
        refused.set(String::new());
        spawn_local(async move {
            room.kept.work.set("The file is being read.".to_owned());
            let read = match files::text(&file).await {
                Some(text) => {
                    read_file(room, text, move || turn.try_get_value() == Some(this)).await
                }
                None => Err("The file could not be read.".to_owned()),
            };
            // Another file was chosen since, or nobody looks any more.
            if turn.try_get_value() != Some(this) {
                return;
            }
            room.kept.work.set(String::new());
            match read {
                Ok(import) => plan.set(Some(import)),
                Err(sentence) => refused.set(sentence),
            }
        });
    };
    let says = text(move || {
        plan.with(|plan| {
            let plan = plan.as_ref()?;
            // Worked out once: what else the book does meanwhile is counted when it is brought in.
            let says = if plan.merging == merge.get() {
                plan.says.clone()
            } else {
                room.once(|book| plan.merging(book, merge.get()).says)
            };
            Some(says.join("\n"))
        })
        .unwrap_or_default()
    });
    let none = flag(move || plan.with(Option::is_none));
    let no_choice =
        flag(move || plan.with(|plan| plan.as_ref().is_none_or(|plan| plan.mergeable.is_empty())));
    let take = move || {
        // Taken out first, so that nothing works out anew what it would do while it does it.
        let Some(import) = plan.try_update(Option::take).flatten() else {
            return;
        };
        let asked = merge.get_untracked();
        let import = if import.merging == asked {
            import
        } else {
            room.once(|book| import.merging(book, asked))
        };
        let edit = Edit::Import(import.clone());
        room.edit_when_read(edit, move |is_in| {
            if !is_in {
                plan.set(Some(import));
            }
        });
    };
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
            {button("", "Save the whole book", never(), move || papers::save_book(room))}
            {button("", "Save all frames as a table", never(), move || papers::save_table(room, None))}
        </div>
        <div class="field">
            <label for="book-file">"Bring in a saved book"</label>
            <input
                id="book-file"
                node_ref=field
                type="file"
                accept=".json,application/json"
                on:change=chosen
            />
        </div>
        <p class="field-error" role="alert" hidden=flag(move || refused.with(String::is_empty))>
            {refused}
        </p>
        <div class="question" hidden=none>
            {paragraph("lines", says)}
            <div hidden=no_choice>
                {tick("Merge what two devices changed, frame by frame", merge)}
            </div>
            <div class="row">
                {button("main", "Bring it in", never(), take)}
                {button("", "Leave it", never(), move || plan.set(None))}
            </div>
        </div>
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

/// Reads a saved book piece by piece, and says how far it got.
///
/// A file that is not wanted any more is not read on.
async fn read_file(
    room: Room,
    text: String,
    is_wanted: impl Fn() -> bool,
) -> Result<Import, String> {
    // The browser shows the first word on it before the work begins.
    page::turn().await;
    let mut reader = Reader::open(text).map_err(|error| error.to_string())?;
    while reader.read(50) {
        let (read, all) = reader.progress();
        room.kept
            .work
            .set(format!("Reading the file: {read} of {all} records."));
        page::turn().await;
        if !is_wanted() {
            return Err(String::new());
        }
    }
    let needs = room.once(|book| reader.needs(book));
    room.read_logs(needs).await?;
    room.look_at_dial();
    Ok(room.once(|book| reader.plan(book)))
}

/// The way to a roll, with its state.
pub(super) fn roll_row(room: Room, id: String, words: String) -> impl IntoView {
    view! { <li>{entry_button("shelf", words, move || room.go(Place::Roll(id.clone())))}</li> }
}
