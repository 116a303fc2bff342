//! A batch: its rolls, what the rules say to start with, and how to rate the rest.

use book::{
    Batch, Conclusion, Edit, Group, Kind, Question, Reach, Roll, Speed, Start, State, Stock, Unit,
    age_words, conclude, findings_elsewhere, findings_of, labels, reach_of, serves, start,
    warnings,
};
use exposure::{Stops, words};
use leptos::prelude::*;
use panel::{handover::OnDial, store};

use super::{
    cover,
    form::{choice, entry, typed},
    loading, papers, removing,
    room::{Room, today},
};
use crate::{
    browser::storage,
    piece::{button, flag, never, paragraph, text},
};

/// What the page is about, with the groups it holds: a roll may have been kept another way than its batch.
struct Shelf {
    batch: Batch,
    stock: Stock,
    groups: Vec<Group>,
}

fn shelf(room: Room, id: &str) -> Option<Shelf> {
    room.with(|book| {
        let batch = book.batch(id)?.clone();
        let stock = book.stock(&batch.stock)?.clone();
        let mut groups: Vec<Group> = book
            .groups()
            .into_iter()
            .filter(|group| group.batch == batch.id)
            .collect();
        if groups.is_empty() {
            groups.push(Group {
                stock: stock.id.clone(),
                batch: batch.id.clone(),
                storage: batch.storage,
            });
        }
        Some(Shelf {
            batch,
            stock,
            groups,
        })
    })
}

pub(super) fn page(room: Room, id: String) -> impl IntoView {
    let id = StoredValue::new(id);
    let facts = text(move || {
        shelf(room, &id.get_value()).map_or_else(String::new, |shelf| {
            let mut lines = vec![format!(
                "{}, box speed {}, {}; {}.",
                shelf.stock.film.name(),
                shelf.stock.box_speed.shown(),
                shelf.batch.storage.words(),
                shelf.batch.age_words(today())
            )];
            if !shelf.batch.origin.is_empty() {
                lines.push(format!("From: {}.", shelf.batch.origin));
            }
            lines.join("\n")
        })
    });
    let cautions = text(move || {
        shelf(room, &id.get_value()).map_or_else(String::new, |shelf| {
            warnings(&shelf.stock, Some(&shelf.batch)).join("\n")
        })
    });
    let rolls = move || {
        room.with(|book| {
            book.rolls()
                .filter(|roll| id.with_value(|id| roll.batch == *id))
                .map(|roll| {
                    let mut words = format!("{}: {}", roll.name, roll.state.words());
                    if !roll.purpose.is_empty() {
                        words = format!("{words}, for {}", roll.purpose);
                    }
                    (roll.id.clone(), words)
                })
                .collect::<Vec<_>>()
        })
        .into_iter()
        .map(|(roll, words)| cover::roll_row(room, roll, words))
        .collect_view()
    };
    let groups = move || {
        let Some(shelf) = shelf(room, &id.get_value()) else {
            return Vec::new();
        };
        let several = shelf.groups.len() > 1;
        shelf
            .groups
            .iter()
            .map(|group| self::group(room, &shelf, group, several).into_any())
            .collect::<Vec<_>>()
    };
    let no_labels =
        flag(move || room.with(|book| id.with_value(|id| labels(book, Some(id)).is_empty())));
    view! {
        {paragraph("lines", facts)}
        <p class="warning lines" hidden=flag(move || cautions.with(String::is_empty))>
            {cautions}
        </p>
        <h3>"Rolls"</h3>
        <ul class="shelves" aria-label="Rolls">
            {rolls}
        </ul>
        <div class="row">
            {button("", "Labels for what is left", no_labels, move || papers::labels_of(room, Some(&id.get_value())))}
        </div>
        {papers::shown(room)}
        {load(room, id)}
        {fit(room, id)}
        {more(room, id)}
        {groups}
        {removing::form(room, "Remove this batch", "With its rolls, their logs and the ratings that were written to it.", move || {
            Edit::RemoveBatch(id.get_value())
        })}
    }
}

/// Puts one of the rolls into a camera.
fn load(room: Room, id: StoredValue<String>) -> impl IntoView {
    let in_bag = Signal::derive(move || {
        room.with(|book| {
            book.rolls()
                .filter(|roll| id.with_value(|id| roll.batch == *id) && roll.state == State::InBag)
                .map(|roll| (roll.id.clone(), roll.name.clone()))
                .collect::<Vec<_>>()
        })
    });
    let none = flag(move || in_bag.with(Vec::is_empty));
    let rating = room.once(|book| {
        let from_finding = book.groups().into_iter().find_map(|group| {
            let here = id.with_value(|id| group.batch == *id);
            here.then(|| {
                findings_of(book, &group)
                    .last()
                    .map(|finding| finding.rating)
            })
            .flatten()
        });
        let rating = from_finding.or_else(|| {
            let batch = book.batch(&id.get_value())?;
            let stock = book.stock(&batch.stock)?;
            let rules = book.rules();
            Some(start(&question(stock, batch, batch.storage, &rules, &[])).base)
        });
        rating.map(Speed::shown).unwrap_or_default()
    });
    // As a roll was loaded last.
    let (camera, camera_id, device) = room.once(|book| {
        let last = book.loaded_last();
        let camera = last.map(|last| last.camera.clone()).unwrap_or_default();
        let id = last.and_then(|last| last.camera_id.clone());
        let device = book.device_used_last(None).map(|device| device.id.clone());
        (camera, id, device.unwrap_or_default())
    });
    let filled = loading::Filled {
        camera,
        camera_id,
        device,
        rating,
        first: "1".to_owned(),
        first_label: "First frame on the counter",
        first_hint: "1 for a new roll.",
    };
    view! {
        <details hidden=none>
            <summary>"Load a roll"</summary>
            {loading::fields(room, in_bag, filled)}
        </details>
    }
}

/// Which light the film serves in a camera, at a rating and after a bracket's reach: that of the dial, of a scene that was
/// shot, or what the rules propose.
fn fit(room: Room, id: StoredValue<String>) -> impl IntoView {
    let found = store::Found {
        setting: storage::read(store::SETTING).ok().flatten(),
        cameras: storage::read_all(store::CAMERA_PREFIX).unwrap_or_default(),
    };
    let on_dial = StoredValue::new(OnDial::of(&found));
    let cameras = StoredValue::new(store::cameras(&found.cameras));
    let names = cameras.with_value(|cameras| {
        cameras
            .iter()
            .enumerate()
            .map(|(i, (name, _))| (i.to_string(), name.clone()))
            .collect::<Vec<_>>()
    });
    // The camera on the dial first; else the first of the list.
    let chosen = on_dial.with_value(|on_dial| {
        names
            .iter()
            .find(|(_, name)| *name == on_dial.camera)
            .map_or_else(|| "0".to_owned(), |(i, _)| i.clone())
    });
    let camera = RwSignal::new(chosen);
    let begin = move || {
        room.with(|book| {
            let batch = book.batch(&id.get_value())?;
            let stock = book.stock(&batch.stock)?;
            let rules = book.rules();
            Some(start(&question(stock, batch, batch.storage, &rules, &[])))
        })
    };
    let rating = RwSignal::new(untrack(begin).map_or_else(String::new, |begin| begin.base.shown()));
    let reaches = move || {
        let of_scenes: Vec<Reach> = room.with(|book| {
            book.rolls()
                .filter(|roll| id.with_value(|id| roll.batch == *id))
                .filter_map(reach_of)
                .collect()
        });
        let mut all = vec![on_dial.with_value(|on_dial| on_dial.reach.clone())];
        all.extend(of_scenes);
        all.extend(begin().map(|begin| begin.reach()));
        all
    };
    let brackets = Signal::derive(move || {
        reaches()
            .into_iter()
            .enumerate()
            .map(|(i, reach)| (i.to_string(), reach.words()))
            .collect::<Vec<_>>()
    });
    let bracket = RwSignal::new("0".to_owned());
    let words = text(move || {
        let rating = match Speed::parse(rating.get().trim()) {
            Ok(rating) => rating,
            Err(error) => return error.to_string(),
        };
        let at = |signal: RwSignal<String>| signal.with(|at| at.parse::<usize>().unwrap_or(0));
        let (chosen, reach) = (at(camera), reaches().into_iter().nth(at(bracket)));
        let said = cameras.with_value(|cameras| {
            let (_, camera) = cameras.get(chosen)?;
            let limit = on_dial
                .with_value(|on_dial| on_dial.hand_limit(camera))
                .ok()?;
            let serves = serves(rating, camera, &limit, &reach?);
            Some(serves.map_or_else(|error| error.to_string(), |serves| serves.words))
        });
        said.unwrap_or_default()
    });
    view! {
        <details>
            <summary>"Which light it serves"</summary>
            <div class="form">
                {choice("fit-camera", "In this camera", Signal::stored(names), camera)}
                {entry("fit-rating", "Rated at (EI)", "The base of the bracket.", rating)}
                {choice("fit-bracket", "With this bracket", brackets, bracket)}
                {paragraph("lines", words)}
            </div>
        </details>
    }
}

/// More rolls of the same.
fn more(room: Room, id: StoredValue<String>) -> impl IntoView {
    let count = RwSignal::new("1".to_owned());
    let add = move || {
        let exposures = room.once(|book| {
            let batch = book.batch(&id.get_value())?;
            book.stock(&batch.stock)?.exposures
        });
        match typed(count).parse::<u8>() {
            Ok(count) => {
                room.edit(&Edit::Rolls {
                    batch: id.get_value(),
                    count,
                    exposures: exposures.unwrap_or(36),
                });
            }
            Err(_) => room
                .said
                .set("How many rolls has to be a whole number from 1 to 100.".to_owned()),
        }
    };
    view! {
        <details>
            <summary>"More rolls of the same"</summary>
            <div class="form">
                {entry("more-count", "How many", "1 to 100.", count)}
                <div class="row">{button("", "Add rolls", never(), add)}</div>
            </div>
        </details>
    }
}

fn question<'a>(
    stock: &Stock,
    batch: &Batch,
    storage: book::Storage,
    rules: &'a book::Rules,
    findings: &'a [&'a book::Finding],
) -> Question<'a> {
    Question {
        film: stock.film,
        box_speed: stock.box_speed,
        expiry: batch.expiry,
        storage,
        on: today(),
        exposures: stock.exposures.unwrap_or(36),
        slate: false,
        rules,
        findings,
    }
}

/// Start rating and rating the rest of one group.
fn group(room: Room, shelf: &Shelf, group: &Group, several: bool) -> impl IntoView + use<> {
    let heading = if several {
        format!("Where to start, {}", group.storage.words())
    } else {
        "Where to start".to_owned()
    };
    let (begin, conclusion, found, elsewhere, words) = room.with(|book| {
        let rules = book.rules();
        let found = findings_of(book, group);
        let begin = start(&question(
            &shelf.stock,
            &shelf.batch,
            group.storage,
            &rules,
            &found,
        ));
        let lines: Vec<String> = found
            .iter()
            .map(|finding| {
                format!(
                    "{}: rate it at {}. {}",
                    finding.on.text(),
                    finding.rating_words(),
                    age_words(finding, &shelf.batch, today())
                )
            })
            .collect();
        let elsewhere: Vec<String> = findings_elsewhere(book, group)
            .into_iter()
            .map(|(finding, why)| format!("{}: {why}", finding.rating_words()))
            .collect();
        (
            begin,
            conclude(book, group),
            lines,
            elsewhere,
            book.group_words(group),
        )
    });
    view! {
        <section class="group">
            <h3>{heading}</h3>
            <p>{words}</p>
            {starting(room, begin)}
            <h3>"Rate the rest"</h3>
            {rest(room, conclusion)}
            {list("Written to this group", found)}
            {list("Of other groups, and why it does not hold here", elsewhere)}
        </section>
    }
}

/// A list with a heading, or nothing.
fn list(heading: &'static str, lines: Vec<String>) -> AnyView {
    if lines.is_empty() {
        return ().into_any();
    }
    let items = lines
        .into_iter()
        .map(|line| view! { <li>{line}</li> })
        .collect_view();
    view! {
        <h4>{heading}</h4>
        <ul class="list">{items}</ul>
    }
    .into_any()
}

/// The rules side by side, and the base and bracket that cover their disagreement.
fn starting(room: Room, begin: Start) -> impl IntoView {
    let rules = begin
        .says
        .into_iter()
        .map(|rule| {
            let range = if rule.rating_least == rule.rating_most {
                rule.rating_least.rating_words()
            } else {
                format!(
                    "{} to {}",
                    rule.rating_least.rating_words(),
                    rule.rating_most.rating_words()
                )
            };
            let from_box = |offset: Stops| {
                if offset.is_even() {
                    "at box speed".to_owned()
                } else {
                    format!("{} than box speed asks for", words::difference(offset))
                }
            };
            let offset = if (rule.most - rule.least).is_even() {
                from_box(rule.least)
            } else {
                format!("from {} to {}", from_box(rule.least), from_box(rule.most))
            };
            let value = rule
                .value
                .map(|value| self::value(room, rule.name.clone(), value).into_any());
            let counts = if rule.counts {
                "rule"
            } else {
                "rule set-aside"
            };
            view! {
                <li class=counts>
                    <p class="rule-name">{rule.name}</p>
                    <p class="rule-rating">{range}</p>
                    <p>{format!("{offset}.")}</p>
                    <p>{rule.statement}</p>
                    <p class="reason">{rule.source.words()}</p>
                    {value}
                </li>
            }
        })
        .collect_view();
    let silent = begin
        .silent
        .into_iter()
        .map(|(name, why)| format!("{name}: {why}"))
        .collect();
    view! {
        <p class="answer">{begin.words}</p>
        <ul class="rules" aria-label="What the rules say">
            {rules}
        </ul>
        {list("Why these frames", begin.reasons)}
        {list("Rules that say nothing here", silent)}
        {list("What the bracket does not tell", begin.cautions)}
    }
}

/// The value of a rule, to be replaced by one's own.
fn value(room: Room, name: String, value: book::RuleValue) -> impl IntoView {
    let unit = match value.unit {
        Unit::MonthsPerStop => "years for one stop",
        Unit::TwelfthsOfAStop => "stops more light, at most",
        Unit::Percent => "per cent",
    };
    let printed = if value.value == value.printed {
        unit.to_owned()
    } else {
        format!("{unit}; the rule itself says {}", value.printed_shown())
    };
    let shown = value.shown();
    let change = move |event| match value.read(&event_target_value(&event)) {
        Ok(own) => {
            room.edit(&Edit::Rule {
                id: value.id.clone(),
                value: own.filter(|own| *own != value.printed),
            });
        }
        Err(error) => room.said.set(error.to_string()),
    };
    view! {
        <label class="own-value">
            <span>"Value"</span>
            <input
                type="text"
                inputmode="decimal"
                aria-label=format!("Value of the rule: {name}")
                prop:value=shown
                on:change=change
            />
            <span class="hint">{printed}</span>
        </label>
    }
}

/// What follows from judged frames, with its evidence one tap away.
fn rest(room: Room, conclusion: Conclusion) -> AnyView {
    let suggestion = match conclusion {
        Conclusion::Nothing(why) => return view! { <p class="reason">{why}</p> }.into_any(),
        Conclusion::Void(why) => return view! { <p class="warning">{why}</p> }.into_any(),
        Conclusion::Found(suggestion) => suggestion,
    };
    let evidence: Vec<String> = room.with(|book| {
        let words = |scene: &book::Evidence| {
            let name = book.roll(&scene.roll).map(|roll| roll.name.as_str());
            scene.words(name.unwrap_or(&scene.roll))
        };
        suggestion.evidence.iter().map(words).collect()
    });
    let lines = suggestion.words.join("\n");
    let surer = suggestion.surer.clone();
    let rating = suggestion.limits.rating_words(suggestion.rating);
    let write = move || {
        let id = room.once(|book| book.new_id(Kind::Finding, &suggestion.group.batch));
        room.edit(&Edit::Found(suggestion.finding(&id, today())));
    };
    view! {
        <p class="answer">{format!("Rate the rest at {rating}.")}</p>
        <p class="lines">{lines}</p>
        <details>
            <summary>"The evidence"</summary>
            {list("Scene by scene", evidence)}
        </details>
        {list("What would make it surer", surer)}
        <div class="row">{button("main", "Write this to the group", never(), write)}</div>
    }
    .into_any()
}

/// The roll's group in words, for pages of a roll.
pub(super) fn group_of(room: Room, roll: &Roll) -> String {
    room.with(|book| {
        book.group_of(roll)
            .map(|group| book.group_words(&group))
            .unwrap_or_default()
    })
}
