//! New film for the bag: four questions to start with; the rest can wait, and "unknown" is an answer.

use book::{Batch, Edit, Expiry, Film, Kind, Speed, Stock, Storage};

use super::{
    kit,
    room::{Place, Room},
};
use crate::{
    form::{Typed, choice, entry, fixed, half_typed, tick},
    live::Live,
    parts::{Part, el, follows},
    piece::{button, paragraph, row, unfolds},
};

/// Keys of the film types, in the order of [`Film::ALL`].
const FILMS: [&str; 3] = ["colour", "bw", "slide"];
const STORAGES: [&str; 6] = ["unknown", "frozen", "fridge", "cellar", "room", "hot"];

/// What the fields begin with, in the order of [`Form::fields`].
const STARTS: [&str; 10] = [
    "",
    FILMS[0],
    "400",
    "",
    STORAGES[0],
    "1",
    "36",
    "",
    "135",
    "",
];

/// What is typed, kept until the film is in the bag.
#[derive(Clone, Copy)]
pub(super) struct Form {
    /// Name, type, box speed, expiry, storage, count; frames, process, format, origin.
    fields: [Typed; 10],
    remjet: Live<bool>,
    error: Live<String>,
}

impl Form {
    pub(super) fn new() -> Self {
        Self {
            fields: half_typed("new-film", STARTS),
            remjet: Live::new(false),
            error: Live::new(String::new()),
        }
    }

    /// Begins anew.
    fn clear(self) {
        for (field, start) in self.fields.into_iter().zip(STARTS) {
            field.set(start);
        }
        self.remjet.set(false);
        self.error.set(String::new());
    }
}

pub(super) fn page(room: Room) -> Part {
    let form = room.new_film;
    let [
        name,
        film,
        speed,
        expiry,
        storage,
        count,
        exposures,
        process,
        format,
        origin,
    ] = form.fields;
    let films = fixed(FILMS.into_iter().zip(Film::ALL.map(Film::name)));
    let storages = fixed(STORAGES.into_iter().zip(Storage::ALL.map(Storage::words)));
    let send = move || match add(room, form) {
        Ok(batch) => {
            form.clear();
            room.back();
            room.go(Place::Batch(batch));
        }
        Err(sentence) => form.error.set(sentence),
    };
    let remjet = move || {
        let label = "Motion-picture film with a black backing (remjet)";
        tick(label, form.remjet.get(), move |on| form.remjet.set(on))
    };
    let can_wait = el("div")
        .class("form")
        .with(entry(
            "film-exposures",
            "Frames on a roll",
            "12, 16, 24, 36 or 72.",
            exposures,
        ))
        .with(entry(
            "film-process",
            "Process",
            "As printed on the cassette.",
            process,
        ))
        .with(entry(
            "film-format",
            "Format",
            "135, 120 and so on.",
            format,
        ))
        .with(entry(
            "film-origin",
            "Where it came from",
            "In your own words.",
            origin,
        ))
        .with(follows(remjet));
    el("div")
        .class("form")
        .with(entry(
            "film-name",
            "Name",
            "What is written on the box, in your own words.",
            name,
        ))
        .with(choice("film-kind", "Type", films, film.text()))
        .with(entry(
            "film-speed",
            "Box speed",
            "As printed: 400, ISO 64 or 160/23°.",
            speed,
        ))
        .with(entry(
            "film-expiry",
            "Expiry",
            "Year or year and month: 2004, 2004-06. Leave it empty if it is not known.",
            expiry,
        ))
        .with(choice(
            "film-storage",
            "How it was kept",
            storages,
            storage.text(),
        ))
        .with(entry(
            "film-count",
            "How many rolls of the same",
            "1 to 100.",
            count,
        ))
        .with(unfolds("What can wait", can_wait))
        .with(kit::refused(form.error))
        .with(row([button("main", "Put it into the bag", send)]))
        .with(paragraph(
            "reason",
            "Rolls of the same film, expiry and storage form a group that may share a result. Nothing crosses from one group to another by itself.",
        ))
        .into()
}

fn number(typed: &str, what: &str, most: u16) -> Result<u16, String> {
    let number = typed.parse::<u16>().ok();
    number
        .filter(|number| (1..=most).contains(number))
        .ok_or_else(|| format!("{what} has to be a whole number from 1 to {most}."))
}

fn add(room: Room, form: Form) -> Result<String, String> {
    let error = |error: book::Error| error.to_string();
    let key_at =
        |keys: &[&str], key: &str| keys.iter().position(|known| *known == key).unwrap_or(0);
    let [
        name,
        film,
        speed,
        expiry,
        storage,
        count,
        exposures,
        process,
        format,
        origin,
    ] = form.fields.map(Typed::now);
    if name.is_empty() {
        return Err("The film needs a name: what is written on its box will do.".to_owned());
    }
    let film = Film::ALL[key_at(&FILMS, &film)];
    let storage = Storage::ALL[key_at(&STORAGES, &storage)];
    let speed = Speed::parse(&speed).map_err(error)?;
    let expiry = if expiry.is_empty() {
        None
    } else {
        Some(Expiry::parse(&expiry).map_err(error)?)
    };
    let count = number(&count, "How many rolls", 100)?;
    let exposures = number(&exposures, "Frames on a roll", 100)?;
    let (stock, batch) = room.once(|book| {
        let mut stock = Stock::new(&book.new_id(Kind::Stock, &name), &name, film, speed);
        stock.process = process;
        stock.format = format;
        stock.exposures = Some(exposures);
        stock.remjet = form.remjet.now();
        // Film that is known already keeps its id, so that its batches stand together.
        let known = book.stocks().find(|known| {
            Stock {
                id: stock.id.clone(),
                note: String::new(),
                ..(*known).clone()
            } == stock
        });
        let stock_id = known.map_or_else(|| stock.id.clone(), |known| known.id.clone());
        let mut batch = Batch::new(&book.new_id(Kind::Batch, &name), &stock_id, expiry, storage);
        batch.origin = origin;
        (known.is_none().then_some(stock), batch)
    });
    if let Some(stock) = stock {
        room.ask(&Edit::Stock(stock))?;
    }
    let id = batch.id.clone();
    room.ask(&Edit::Batch(batch))?;
    let rolls = Edit::Rolls {
        batch: id.clone(),
        count: u8::try_from(count).unwrap_or(100),
        exposures,
    };
    room.ask(&rolls)?;
    Ok(id)
}
