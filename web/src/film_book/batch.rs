//! A batch: its rolls, what the rules say to start with, and how to rate the rest.

use book::{
    Batch, Book, Conclusion, Edit, Evidence, FilmTest, Finding, Group, Kind, Question, Reach, Roll,
    RuleSays, RuleValue, Rules, Speed, Start, State, Stock, Storage, Suggestion, Unit, age_words,
    conclude, findings_elsewhere, findings_of, labels, reach_of, serves, start, tests_of, warnings,
};
use exposure::{Camera, Stops, words};
use panel::{handover::OnDial, store};

use super::{cover, loading, papers, removing, room::Room, speed_test};
use crate::{
    browser::storage,
    choice::Options,
    form::{Typed, choice, entry},
    live::{Live, Worked},
    moment::today,
    parts::{Element, Part, el, follows, parts},
    piece::{button, columns, paragraph, row, said, unfolds},
};

/// The batch that the page is about.
#[derive(Clone, Copy)]
struct Shelf {
    room: Room,
    id: Live<String>,
}

impl Shelf {
    /// What follows from the batch, anew whenever the book changes; nothing where it is gone.
    fn with<T: Default>(self, of: impl FnOnce(&Book, &Batch, &Stock) -> T) -> T {
        self.room.with(|book| self.of(book, of))
    }

    /// The same once, where nothing is to follow.
    fn once<T: Default>(self, of: impl FnOnce(&Book, &Batch, &Stock) -> T) -> T {
        self.room.once(|book| self.of(book, of))
    }

    fn of<T: Default>(self, book: &Book, of: impl FnOnce(&Book, &Batch, &Stock) -> T) -> T {
        let batch = self.id.once(|id| book.batch(id));
        let known = batch.and_then(|batch| Some((batch, book.stock(&batch.stock)?)));
        known
            .map(|(batch, stock)| of(book, batch, stock))
            .unwrap_or_default()
    }
}

/// The rolls of a batch.
fn rolls_of<'a>(book: &'a Book, batch: &'a Batch) -> impl Iterator<Item = &'a Roll> {
    book.rolls().filter(|roll| roll.batch == batch.id)
}

pub(super) fn page(room: Room, id: String) -> Part {
    let shelf = Shelf {
        room,
        id: Live::new(id),
    };
    columns([
        parts![
            follows(move || shelf.with(|_, batch, stock| Some(facts(batch, stock)))),
            el("h3").says("Rolls"),
            follows(move || shelf.with(|book, batch, _| Some(rolls(room, book, batch)))),
            papers::shown(room),
            load(shelf),
            fit(shelf),
            more(shelf),
        ],
        follows(move || shelf.with(|book, batch, stock| groups(room, book, batch, stock))),
        removing::form(
            room,
            "Remove this batch",
            "With its rolls, their logs and the ratings that were written to it.",
            move || Edit::RemoveBatch(shelf.id.now()),
        ),
    ])
    .into()
}

fn facts(batch: &Batch, stock: &Stock) -> Part {
    let mut facts = format!(
        "{}, box speed {}, {}; {}.",
        stock.film.name(),
        stock.box_speed.shown(),
        batch.storage.words(),
        batch.age_words(today())
    );
    if !batch.origin.is_empty() {
        facts = format!("{facts}\nFrom: {}.", batch.origin);
    }
    parts![
        paragraph("lines", facts),
        said("warning lines", warnings(stock, Some(batch)).join("\n")),
    ]
}

fn rolls(room: Room, book: &Book, batch: &Batch) -> Part {
    let rows = rolls_of(book, batch).map(|roll| {
        let mut words = format!("{}: {}", roll.name, roll.state.words());
        if !roll.purpose.is_empty() {
            words = format!("{words}, for {}", roll.purpose);
        }
        cover::roll_row(room, roll.id.clone(), words)
    });
    let id = batch.id.clone();
    let no_labels = labels(book, Some(&id)).is_empty();
    parts![
        el("ul").class("shelves").named("Rolls").all(rows),
        row([button("", "Labels for what is left", move || {
            papers::labels_of(room, Some(&id));
        })
        .hidden(no_labels)]),
    ]
}

/// What the rules propose to start with, before anything was learned.
fn begin(book: &Book, batch: &Batch, stock: &Stock) -> Start {
    let rules = book.rules();
    start(&question(stock, batch, batch.storage, &rules, (&[], &[])))
}

/// Puts one of the rolls into a camera.
fn load(shelf: Shelf) -> Element {
    let in_bag = Worked::new(move || -> Options {
        shelf.with(|book, batch, _| {
            rolls_of(book, batch)
                .filter(|roll| roll.state == State::InBag)
                .map(|roll| (roll.id.clone(), roll.name.clone()))
                .collect()
        })
    });
    let rating = shelf.once(|book, batch, stock| {
        let groups = book.groups().into_iter();
        let mut of_batch = groups.filter(|group| group.batch == batch.id);
        let found = of_batch.find_map(|group| {
            let found = findings_of(book, &group);
            found.last().map(|finding| finding.rating)
        });
        found
            .unwrap_or_else(|| begin(book, batch, stock).base)
            .shown()
    });
    // As a roll was loaded last.
    let filled = shelf.room.once(|book| {
        let last = book.loaded_last();
        let device = book.device_used_last(None).map(|device| device.id.clone());
        loading::Filled {
            camera: last.map(|last| last.camera.clone()).unwrap_or_default(),
            camera_id: last.and_then(|last| last.camera_id.clone()),
            device: device.unwrap_or_default(),
            rating,
            first: "1".to_owned(),
            first_label: "First frame on the counter",
            first_hint: "1 for a new roll.",
        }
    });
    unfolds("Load a roll", loading::fields(shelf.room, in_bag, filled))
        .hidden_when(move || in_bag.with(Vec::is_empty))
}

/// Which light the film serves in a camera, at a rating and after a bracket's reach: that of the dial, of a scene that was
/// shot, or what the rules propose.
fn fit(shelf: Shelf) -> Element {
    let found = store::Found {
        setting: storage::read(store::SETTING).ok().flatten(),
        cameras: storage::read_all(store::CAMERA_PREFIX).unwrap_or_default(),
    };
    let on_dial = OnDial::of(&found);
    let cameras = store::cameras(&found.cameras);
    let names: Options = (0..)
        .zip(&cameras)
        .map(|(nth, (name, _)): (usize, _)| (nth.to_string(), name.clone()))
        .collect();
    // The camera on the dial first; else the first of the list.
    let mut of_dial = names.iter().filter(|(_, name)| *name == on_dial.camera);
    let camera = Live::new(of_dial.next().map_or("0", |(nth, _)| nth).to_owned());
    let rating = shelf.once(|book, batch, stock| begin(book, batch, stock).base.shown());
    let rating = Typed::new(rating);
    let reach = on_dial.reach.clone();
    let reaches = Worked::new(move || {
        let mut all = vec![reach.clone()];
        all.extend(shelf.with(|book, batch, stock| {
            let mut of_batch: Vec<Reach> = rolls_of(book, batch).filter_map(reach_of).collect();
            of_batch.push(begin(book, batch, stock).reach());
            of_batch
        }));
        all
    });
    let brackets = move || -> Options {
        reaches.with(|all| {
            (0..)
                .zip(all)
                .map(|(nth, reach): (usize, _)| (nth.to_string(), reach.words()))
                .collect()
        })
    };
    let bracket = Live::new("0".to_owned());
    let at = |chosen: Live<String>| chosen.with(|at| at.parse::<usize>().unwrap_or(0));
    let words = move || {
        let (rating, camera) = (rating.get(), cameras.get(at(camera)));
        reaches.with(|reaches| {
            let (_, camera) = camera?;
            Some(served(&on_dial, &rating, camera, reaches.get(at(bracket))?))
        })
    };
    let inside = el("div")
        .class("form")
        .with(choice(
            "fit-camera",
            "In this camera",
            move || names.clone(),
            camera,
        ))
        .with(entry(
            "fit-rating",
            "Rated at (EI)",
            "The base of the bracket.",
            rating,
        ))
        .with(choice(
            "fit-bracket",
            "With this bracket",
            brackets,
            bracket,
        ))
        .with(follows(move || {
            paragraph("lines", words().unwrap_or_default())
        }));
    unfolds("Which light it serves", inside)
}

/// Which light film at a rating serves, in words.
fn served(on_dial: &OnDial, rating: &str, camera: &Camera, reach: &Reach) -> String {
    let rating = match Speed::parse(rating.trim()) {
        Ok(rating) => rating,
        Err(error) => return error.to_string(),
    };
    let Ok(limit) = on_dial.hand_limit(camera) else {
        return String::new();
    };
    match serves(rating, camera, &limit, reach) {
        Ok(serves) => serves.words,
        Err(error) => error.to_string(),
    }
}

/// More rolls of the same.
fn more(shelf: Shelf) -> Element {
    let count = Typed::new("1");
    let add = move || {
        let Ok(count) = count.now().parse::<u8>() else {
            let said = "How many rolls has to be a whole number from 1 to 100.";
            return shelf.room.said.set(said.to_owned());
        };
        let exposures = shelf.once(|_, _, stock| stock.exposures);
        shelf.room.edit(&Edit::Rolls {
            batch: shelf.id.now(),
            count,
            exposures: exposures.unwrap_or(36),
        });
    };
    let inside = el("div")
        .class("form")
        .with(entry("more-count", "How many", "1 to 100.", count))
        .with(row([button("", "Add rolls", add)]));
    unfolds("More rolls of the same", inside)
}

fn question<'a>(
    stock: &Stock,
    batch: &Batch,
    storage: Storage,
    rules: &'a Rules,
    (findings, tests): (&'a [&'a Finding], &'a [&'a FilmTest]),
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
        tests,
    }
}

/// The groups that a batch holds: a roll may have been kept another way than its batch.
fn groups(room: Room, book: &Book, batch: &Batch, stock: &Stock) -> Vec<Element> {
    let mut groups = book.groups();
    groups.retain(|group| group.batch == batch.id);
    if groups.is_empty() {
        groups.push(Group {
            stock: stock.id.clone(),
            batch: batch.id.clone(),
            storage: batch.storage,
        });
    }
    let several = groups.len() > 1;
    groups
        .iter()
        .map(|group| {
            let heading = if several {
                format!("Where to start, {}", group.storage.words())
            } else {
                "Where to start".to_owned()
            };
            self::group(room, book, (batch, stock, group), heading)
        })
        .collect()
}

/// Start rating and rating the rest of one group.
fn group(
    room: Room,
    book: &Book,
    (batch, stock, group): (&Batch, &Stock, &Group),
    heading: String,
) -> Element {
    let rules = book.rules();
    let found = findings_of(book, group);
    let tests = tests_of(book, group);
    let own = (found.as_slice(), tests.as_slice());
    let begin = start(&question(stock, batch, group.storage, &rules, own));
    let written = found.iter().map(|finding| {
        format!(
            "{}: rate it at {}. {}",
            finding.on.text(),
            finding.rating_words(),
            age_words(finding, batch, today())
        )
    });
    let pairs = book.rolls_of(group).any(|roll| !roll.pairs.is_empty());
    let elsewhere = findings_elsewhere(book, group).into_iter();
    let elsewhere = elsewhere.map(|(finding, why)| format!("{}: {why}", finding.rating_words()));
    el("section")
        .class("group")
        .with(el("h3").says(heading))
        .with(paragraph("", book.group_words(group)))
        .with(starting(room, begin))
        .with(speed_test::way(room, group))
        .with(el("h3").says("Rate the rest"))
        .with(rest(room, book, conclude(book, group)))
        .with(pairs.then(|| {
            room.drawer
                .piece(room.sheet, |apart| (apart.paired)(book, group))
        }))
        .with(list("Written to this group", written.collect()))
        .with(list(
            "Of other groups, and why it does not hold here",
            elsewhere.collect(),
        ))
}

/// A list with a heading, or nothing.
fn list(heading: &'static str, lines: Vec<String>) -> Option<Part> {
    let items = lines.into_iter().map(|line| el("li").says(line));
    (items.len() > 0).then(|| parts![el("h4").says(heading), el("ul").class("list").all(items),])
}

/// The rules side by side, and the base and bracket that cover their disagreement.
fn starting(room: Room, begin: Start) -> Part {
    let rules = begin.says.into_iter().map(|rule| self::rule(room, rule));
    let silent = begin.silent.into_iter();
    let silent = silent.map(|(name, why)| format!("{name}: {why}"));
    parts![
        paragraph("answer", begin.words),
        el("ul")
            .class("rules")
            .named("What the rules say")
            .all(rules),
        list("Why these frames", begin.reasons),
        list("Rules that say nothing here", silent.collect()),
        list("What the bracket does not tell", begin.cautions),
    ]
}

fn from_box(offset: Stops) -> String {
    if offset.is_even() {
        "at box speed".to_owned()
    } else {
        format!("{} than box speed asks for", words::difference(offset))
    }
}

/// What one rule says.
fn rule(room: Room, rule: RuleSays) -> Element {
    let (least, most) = (rule.rating_least, rule.rating_most);
    let range = if least == most {
        least.rating_words()
    } else {
        format!("{} to {}", least.rating_words(), most.rating_words())
    };
    let offset = if (rule.most - rule.least).is_even() {
        from_box(rule.least)
    } else {
        format!("from {} to {}", from_box(rule.least), from_box(rule.most))
    };
    let value = rule.value.map(|value| self::value(room, &rule.name, value));
    let class = if rule.counts {
        "rule"
    } else {
        "rule set-aside"
    };
    el("li")
        .class(class)
        .with(paragraph("rule-name", rule.name))
        .with(paragraph("rule-rating", range))
        .with(paragraph("", format!("{offset}.")))
        .with(paragraph("", rule.statement))
        .with(paragraph("reason", rule.source.words()))
        .with(value)
}

/// The value of a rule, to be replaced by one's own.
fn value(room: Room, rule: &str, value: RuleValue) -> Element {
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
    let change = move |typed: String| match value.read(&typed) {
        Ok(own) => {
            room.edit(&Edit::Rule {
                id: value.id.clone(),
                value: own.filter(|own| *own != value.printed),
            });
        }
        Err(error) => room.said.set(error.to_string()),
    };
    el("label")
        .class("own-value")
        .with(el("span").says("Value"))
        .with(
            el("input")
                .attr("type", "text")
                .attr("inputmode", "decimal")
                .named(format!("Value of the rule: {rule}"))
                .value(shown)
                .on("change", move |event| change(event.value())),
        )
        .with(el("span").class("hint").says(printed))
}

/// What follows from judged frames, with its evidence one tap away.
fn rest(room: Room, book: &Book, conclusion: Conclusion) -> Part {
    match conclusion {
        Conclusion::Nothing(why) => paragraph("reason", why).into(),
        Conclusion::Void(why) => paragraph("warning", why).into(),
        Conclusion::Found(suggestion) => found(room, book, *suggestion),
    }
}

fn found(room: Room, book: &Book, suggestion: Suggestion) -> Part {
    let words = |scene: &Evidence| {
        let name = book.roll(&scene.roll).map(|roll| roll.name.as_str());
        scene.words(name.unwrap_or(&scene.roll))
    };
    let evidence = suggestion.evidence.iter().map(words).collect();
    let rating = suggestion.limits.rating_words(suggestion.rating);
    parts![
        paragraph("answer", format!("Rate the rest at {rating}.")),
        paragraph("lines", suggestion.words.join("\n")),
        room.drawer.piece(room.sheet, |apart| (apart.evidence)(
            room,
            book,
            &suggestion
        )),
        unfolds("The evidence", list("Scene by scene", evidence)),
        list("What would make it surer", suggestion.surer.clone()),
        row([button("main", "Write this to the group", move || {
            let id = room.once(|book| book.new_id(Kind::Finding, &suggestion.group.batch));
            room.edit(&Edit::Found(suggestion.finding(&id, today())));
        })]),
    ]
}

/// The roll's group in words, for pages of a roll.
pub(super) fn group_of(book: &Book, roll: &Roll) -> String {
    let group = book.group_of(roll);
    group.map_or_else(String::new, |group| book.group_words(&group))
}
