//! The rolls in cameras, as the film book tells of them: which one the dial serves, and one tap to set it for another.

use std::cell::RefCell;

use panel::{
    Intent, State,
    loaded::{self, Loaded, Told},
};

use crate::{
    browser::{
        clock,
        events::Happened,
        rows::{Row, Rows},
        slots::{Slots, What, places},
        storage,
    },
    notices::Notices,
};

places! { NAMES { Differs "differs", Latitude "latitude", Usable "usable" } }
/// What the ids of this part begin with.
pub(crate) const IDS: &str = "roll-";
const LIST: &str = "rolls";

/// The rolls, and the one that the dial serves.
pub(crate) struct Served {
    slots: Slots,
    rows: Rows,
    told: RefCell<Told>,
    /// Id of the roll that the dial serves; read with what the book tells, for storage is slow to ask at each mark of a turn.
    id: RefCell<String>,
}

impl Served {
    pub(crate) fn find() -> Self {
        Self {
            slots: Slots::find(IDS, NAMES),
            rows: Rows::find(LIST, "roll-row"),
            told: RefCell::default(),
            id: RefCell::default(),
        }
    }

    /// Reads what the book has left.
    pub(crate) fn look(&self, notices: &Notices) {
        let record = storage::read(loaded::RECORD).ok().flatten();
        let told = loaded::decode(&record.unwrap_or_default());
        notices.waits(told.waits_on(clock::day()));
        self.told.replace(told);
        let id = storage::read(loaded::SERVED).ok().flatten();
        self.id.replace(id.unwrap_or_default());
    }

    /// The roll that the dial serves, as long as it is in a camera.
    pub(crate) fn served(&self) -> Option<Loaded> {
        let (told, id) = (self.told.borrow(), self.id.borrow());
        told.rolls.iter().find(|roll| roll.id == *id).cloned()
    }

    pub(crate) fn show(&self, state: &State) {
        let served = self.served();
        let row = |roll: &Loaded| {
            let is_served = served.as_ref().is_some_and(|served| served.id == roll.id);
            Row {
                attributes: vec![("aria-pressed", is_served.to_string())],
                texts: vec![roll.name.clone(), roll.words()],
                ..Row::default()
            }
        };
        self.rows
            .show(self.told.borrow().rolls.iter().map(row).collect());
        let on_dial = state.for_roll();
        let differs = served.as_ref().map(|roll| roll.differs_from(&on_dial));
        self.slots
            .text(Place::Differs, &differs.unwrap_or_default());
        let same_film = served.filter(|roll| roll.is_film_of(&on_dial));
        let [least, most, words] = same_film.map(|roll| roll.usable).unwrap_or_default();
        // Without words there is no band either, as the styles see it.
        self.slots.text(Place::Usable, &words);
        for (name, end) in [("--least", least), ("--most", most)] {
            self.slots.put(Place::Latitude, What::Style(name), &end);
        }
    }

    /// What a press on a roll means.
    pub(crate) fn meant(&self, event: &Happened) -> Option<Intent> {
        let row = event.row_of(LIST)?;
        let roll = self.told.borrow().rolls.get(row)?.clone();
        storage::hold(loaded::SERVED, Some(roll.id.clone()));
        self.id.replace(roll.id.clone());
        Some(Intent::Serve(Box::new(roll)))
    }
}
