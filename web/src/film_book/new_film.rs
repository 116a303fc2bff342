//! New film for the bag: four questions to start with; the rest can wait, and "unknown" is an answer.

use book::{Batch, Edit, Expiry, Film, Kind, Speed, Stock, Storage};
use leptos::prelude::*;

use super::{
    form::{choice, entry, fixed, half_typed, tick, typed},
    room::{Place, Room},
};
use crate::piece::{button, flag, never, paragraph};

/// Keys of the film types, in the order of [`Film::ALL`].
const FILMS: [&str; 3] = ["colour", "bw", "slide"];
const STORAGES: [&str; 6] = ["unknown", "frozen", "fridge", "cellar", "room", "hot"];

/// What is typed, kept until the film is in the bag.
#[derive(Clone, Copy)]
pub(super) struct Form {
    name: RwSignal<String>,
    film: RwSignal<String>,
    speed: RwSignal<String>,
    expiry: RwSignal<String>,
    storage: RwSignal<String>,
    count: RwSignal<String>,
    exposures: RwSignal<String>,
    process: RwSignal<String>,
    format: RwSignal<String>,
    origin: RwSignal<String>,
    remjet: RwSignal<bool>,
    error: RwSignal<String>,
}

/// What the fields of text begin with, in their order.
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

impl Form {
    pub(super) fn new() -> Self {
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
        ] = half_typed("new-film", STARTS);
        Self {
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
            remjet: RwSignal::new(false),
            error: RwSignal::new(String::new()),
        }
    }

    /// Begins anew.
    fn clear(self) {
        let fields = [
            self.name,
            self.film,
            self.speed,
            self.expiry,
            self.storage,
            self.count,
            self.exposures,
            self.process,
            self.format,
            self.origin,
        ];
        for (field, start) in fields.into_iter().zip(STARTS) {
            field.set(start.to_owned());
        }
        self.remjet.set(false);
        self.error.set(String::new());
    }
}

pub(super) fn page(room: Room) -> impl IntoView {
    let form = room.new_film;
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
    view! {
        <div class="form">
            {entry("film-name", "Name", "What is written on the box, in your own words.", form.name)}
            {choice("film-kind", "Type", films, form.film)}
            {entry("film-speed", "Box speed", "As printed: 400, ISO 64 or 160/23°.", form.speed)}
            {entry(
                "film-expiry",
                "Expiry",
                "Year or year and month: 2004, 2004-06. Leave it empty if it is not known.",
                form.expiry,
            )}
            {choice("film-storage", "How it was kept", storages, form.storage)}
            {entry("film-count", "How many rolls of the same", "1 to 100.", form.count)}
            <details>
                <summary>"What can wait"</summary>
                <div class="form">
                    {entry("film-exposures", "Frames on a roll", "12, 16, 24, 36 or 72.", form.exposures)}
                    {entry("film-process", "Process", "As printed on the cassette.", form.process)}
                    {entry("film-format", "Format", "135, 120 and so on.", form.format)}
                    {entry("film-origin", "Where it came from", "In your own words.", form.origin)}
                    {tick("Motion-picture film with a black backing (remjet)", form.remjet)}
                </div>
            </details>
            <p
                class="field-error"
                role="alert"
                hidden=flag(move || form.error.with(String::is_empty))
            >
                {form.error}
            </p>
            <div class="row">
                {button("main", "Put it into the bag", never(), send)}
            </div>
            {paragraph(
                "reason",
                Signal::stored(
                    "Rolls of the same film, expiry and storage form a group that may share a result. Nothing crosses from one group to another by itself."
                        .to_owned(),
                ),
            )}
        </div>
    }
}

fn add(room: Room, form: Form) -> Result<String, String> {
    let error = |error: book::Error| error.to_string();
    let key_at =
        |keys: &[&str], key: &str| keys.iter().position(|known| *known == key).unwrap_or(0);
    let name = typed(form.name);
    if name.is_empty() {
        return Err("The film needs a name: what is written on its box will do.".to_owned());
    }
    let film = Film::ALL[key_at(&FILMS, &form.film.get_untracked())];
    let storage = Storage::ALL[key_at(&STORAGES, &form.storage.get_untracked())];
    let speed = Speed::parse(&typed(form.speed)).map_err(error)?;
    let expiry = typed(form.expiry);
    let expiry = if expiry.is_empty() {
        None
    } else {
        Some(Expiry::parse(&expiry).map_err(error)?)
    };
    let number = |field: RwSignal<String>, what: &str, most: u16| {
        typed(field)
            .parse::<u16>()
            .ok()
            .filter(|number| (1..=most).contains(number))
            .ok_or_else(|| format!("{what} has to be a whole number from 1 to {most}."))
    };
    let count = number(form.count, "How many rolls", 100)?;
    let exposures = number(form.exposures, "Frames on a roll", 100)?;
    let (stock, batch) = room.once(|book| {
        let mut stock = Stock::new(&book.new_id(Kind::Stock, &name), &name, film, speed);
        stock.process = typed(form.process);
        stock.format = typed(form.format);
        stock.exposures = Some(exposures);
        stock.remjet = form.remjet.get_untracked();
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
        batch.origin = typed(form.origin);
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
