//! The bag as a list: each batch with the ratings found for its groups, searched and filtered; labels for what is left of it.

use crate::{Batch, Book, ByKey, Date, Key, Kind, Roll, State, Storage, findings_of, tape, text};

/// From so many rolls on a list of the bag is worth searching (judgement, no source).
pub const WORTH_SEARCHING: usize = 12;

/// A batch in the list of the bag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InBag {
    /// Its id.
    pub batch: String,
    /// The stock's name.
    pub name: String,
    /// Its age, and how many rolls there are in which state.
    pub words: String,
    /// The rating found for each of its groups that has one, the latest: `Rate it at EI 40 or lower.`
    pub ratings: Vec<String>,
    /// What is found by typing, in small letters.
    find: String,
    /// In which states it has rolls.
    states: Vec<State>,
}

/// Which batches a list shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shows {
    /// All of them.
    All,
    /// Those with a roll in this state.
    With(State),
    /// Those of which no group has a rating that was found.
    Unrated,
}

impl Shows {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 8] = [
        Self::All,
        Self::With(State::InBag),
        Self::With(State::Loaded),
        Self::With(State::PartShot),
        Self::With(State::Exposed),
        Self::With(State::AtLab),
        Self::With(State::Back),
        Self::Unrated,
    ];

    /// In words.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::All => "Everything".to_owned(),
            Self::With(state) => format!("With a roll that is {}", state.words()),
            Self::Unrated => "Without a rating that was found".to_owned(),
        }
    }
}

impl InBag {
    /// Whether the list shows it, and every word that was typed is in what is known of it and its rolls: names, box speed,
    /// number, origin, purposes, cameras and notes, in large or small letters.
    #[must_use]
    pub fn is_shown(&self, shows: Shows, typed: &str) -> bool {
        let fits = match shows {
            Shows::All => true,
            Shows::With(state) => self.states.contains(&state),
            Shows::Unrated => self.ratings.is_empty(),
        };
        let typed = text::in_small(typed);
        fits && typed
            .split_whitespace()
            .all(|word| self.find.contains(word))
    }
}

/// The batches in the bag, by the names of their stocks.
#[must_use]
pub fn bag(book: &Book, today: Date) -> Vec<InBag> {
    // Every roll is looked at once, however many there are.
    let mut rolls: ByKey<Vec<&Roll>> = ByKey::new();
    for roll in book.rolls() {
        let batch = Key::new(Kind::Batch, &roll.batch);
        match rolls.get_mut(&batch) {
            Some(known) => known.push(roll),
            None => drop(rolls.insert(batch, vec![roll])),
        }
    }
    let mut out: Vec<InBag> = book
        .batches()
        .map(|batch| {
            let rolls = rolls.get(&Key::new(Kind::Batch, &batch.id));
            in_bag(book, batch, rolls.map_or(&[], Vec::as_slice), today)
        })
        .collect();
    out.sort_by(|a, b| a.name.cmp(&b.name).then_with(|| a.batch.cmp(&b.batch)));
    out
}

fn in_bag(book: &Book, batch: &Batch, rolls: &[&Roll], today: Date) -> InBag {
    let stock = book.stock(&batch.stock);
    let name = stock.map_or(&batch.stock, |stock| &stock.name).clone();
    let states: Vec<State> = State::ALL
        .into_iter()
        .filter(|state| rolls.iter().any(|roll| roll.state == *state))
        .collect();
    let counts: Vec<String> = states
        .iter()
        .map(|state| {
            let count = rolls.iter().filter(|roll| roll.state == *state).count();
            format!("{count} {}", state.words())
        })
        .collect();
    let mut words = format!(
        "{}; {}",
        batch.age_words(today),
        text::counted(rolls.len(), "roll")
    );
    if !counts.is_empty() {
        words.push_str(&format!(": {}", text::list(&counts)));
    }
    let mut find = vec![
        name.clone(),
        batch.number.clone(),
        batch.origin.clone(),
        batch.note.clone(),
        batch.storage.words().to_owned(),
    ];
    if let Some(stock) = stock {
        find.extend([
            stock.film.name().to_owned(),
            stock.box_speed.shown(),
            stock.process.clone(),
            stock.format.clone(),
            stock.note.clone(),
        ]);
    }
    for roll in rolls {
        find.extend([roll.name.clone(), roll.purpose.clone(), roll.note.clone()]);
        find.extend(roll.loading().map(|loading| loading.camera.clone()));
    }
    InBag {
        batch: batch.id.clone(),
        name,
        words,
        ratings: ratings(book, batch),
        find: text::in_small(&find.join("\n")),
        states,
    }
}

/// The latest rating of each group of a batch, in sentences; of a group that was kept another way than the batch, with how.
fn ratings(book: &Book, batch: &Batch) -> Vec<String> {
    let mut kept: Vec<Storage> = Vec::new();
    for finding in book.findings().filter(|one| one.group.batch == batch.id) {
        if !kept.contains(&finding.group.storage) {
            kept.push(finding.group.storage);
        }
    }
    kept.into_iter()
        .filter_map(|storage| {
            let group = crate::Group {
                stock: batch.stock.clone(),
                batch: batch.id.clone(),
                storage,
            };
            let rating = findings_of(book, &group).last()?.rating_words();
            Some(if storage == batch.storage {
                format!("Rate it at {rating}.")
            } else {
                format!("Rate it at {rating} ({}).", storage.words())
            })
        })
        .collect()
}

/// The labels of all rolls that are still to be shot or shot on, of one batch or of all, a few short lines each: see
/// [`tape`].
#[must_use]
pub fn labels(book: &Book, batch: Option<&str>) -> Vec<Vec<String>> {
    book.rolls()
        .filter(|roll| matches!(roll.state, State::InBag | State::Loaded | State::PartShot))
        .filter(|roll| batch.is_none_or(|id| roll.batch == id))
        .map(|roll| tape(book, roll))
        .collect()
}
