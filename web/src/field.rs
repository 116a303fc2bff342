//! Fields of the dial: text that may be refused, and choices from a list.

use std::cell::Cell;

use panel::{Control, Intent};

use crate::{
    browser::{
        events::Happened,
        slots::{Slots, What, places},
    },
    store::Dispatcher,
};

places! { NAMES { Input "", Error "-error" } }

/// The id of a field, and which wish its text becomes.
type Named = (&'static str, fn(String) -> Intent);

/// The text fields by their ids, and which wish a typed text becomes.
pub(crate) const FIELDS: [Named; 5] = [
    ("reading-time", |text| Intent::Reading(Control::Time, text)),
    ("reading-aperture", |text| {
        Intent::Reading(Control::Aperture, text)
    }),
    ("reading-sensitivity", |text| {
        Intent::Reading(Control::Sensitivity, text)
    }),
    ("box-speed", Intent::BoxSpeed),
    ("hand-limit", Intent::HandLimit),
];

/// The lists of choices by their ids, and which wish a chosen key becomes.
pub(crate) const CHOICES: [Named; 7] = [
    ("film-type", Intent::Film),
    ("camera", Intent::Camera),
    ("bracket-by", Intent::BracketBy),
    ("bracket-step", Intent::BracketStep),
    ("bracket-under", |text| Intent::BracketUnder(count(&text))),
    ("bracket-over", |text| Intent::BracketOver(count(&text))),
    ("bracket-order", Intent::BracketOrder),
];

/// A count out of the list of counts.
fn count(text: &str) -> u8 {
    // OK to fall back on none: the list holds nothing but counts.
    text.parse().unwrap_or(0)
}

/// A text field that sets something when it is left or at Enter.
///
/// Text that is refused stays in the field with a sentence under it; nothing else changes.
pub(crate) struct Field {
    id: &'static str,
    make: fn(String) -> Intent,
    slots: Slots,
    refused: Cell<bool>,
    /// What follows from the setting, which is not shown while a refused text stands there.
    text: Cell<String>,
}

impl Field {
    pub(crate) fn find((id, make): Named) -> Self {
        Self {
            id,
            make,
            slots: Slots::find(id, NAMES),
            refused: Cell::new(false),
            text: Cell::default(),
        }
    }

    pub(crate) fn show(&self, text: &str) {
        if !self.refused.get() {
            self.slots.put(Place::Input, What::Value, text);
        }
        self.text.set(text.to_owned());
    }

    /// The field shows the text as the page writes it, even where the value is the same ("8" and "f/8").
    fn accept(&self) {
        self.refuse("");
        let text = self.text.take();
        self.show(&text);
        self.slots.value_again(Place::Input);
    }

    fn refuse(&self, sentence: &str) {
        let refused = !sentence.is_empty();
        self.refused.set(refused);
        self.slots.text(Place::Error, sentence);
        self.slots.flag(Place::Error, "hidden", !refused);
        self.slots.put(
            Place::Input,
            What::Attribute("aria-invalid"),
            if refused { "true" } else { "false" },
        );
    }

    fn commit(&self, dispatcher: Dispatcher) {
        let typed = self.slots.value(Place::Input);
        let text = self.text.take();
        let is_same = typed == text;
        self.text.set(text);
        if is_same {
            self.accept();
            return;
        }
        match dispatcher.ask(&(self.make)(typed)) {
            Ok(_) => self.accept(),
            Err(sentence) => self.refuse(&sentence),
        }
    }

    /// Whether the event, on the element with this id, was for this field.
    pub(crate) fn takes(
        &self,
        id: &str,
        kind: Typed,
        event: &Happened,
        dispatcher: Dispatcher,
    ) -> bool {
        let is_mine = id == self.id;
        if is_mine {
            match kind {
                Typed::Left => self.commit(dispatcher),
                Typed::Key => match event.key().name.as_str() {
                    "Enter" => {
                        // Else what the focus goes to gets the rest of the key, and a button takes it for a press.
                        event.prevent();
                        self.commit(dispatcher);
                    }
                    "Escape" => self.accept(),
                    _ => {}
                },
            }
        }
        is_mine
    }
}

/// What happened to a field.
#[derive(Clone, Copy)]
pub(crate) enum Typed {
    /// A key went down.
    Key,
    /// Its text was changed, and it was left.
    Left,
}

/// A list to choose from.
pub(crate) struct Choice {
    id: &'static str,
    make: fn(String) -> Intent,
    slots: Slots,
}

impl Choice {
    pub(crate) fn find((id, make): Named) -> Self {
        Self {
            id,
            make,
            slots: Slots::find(id, NAMES),
        }
    }

    pub(crate) fn show<'a>(&self, options: impl Iterator<Item = (&'a str, &'a str)>, chosen: &str) {
        let mut entries = String::new();
        for text in options.flat_map(|(key, name)| [key, name]) {
            entries.push_str(text);
            entries.push('\n');
        }
        self.show_entries(&entries, chosen);
    }

    fn show_entries(&self, entries: &str, chosen: &str) {
        self.slots.put(Place::Input, What::Options, entries);
        self.slots.put(Place::Input, What::Value, chosen);
        // New entries begin with none of them chosen.
        self.slots.value_again(Place::Input);
    }

    /// Whether the event, on the element with this id, was for this list.
    pub(crate) fn takes(&self, id: &str, event: &Happened, dispatcher: Dispatcher) -> bool {
        let is_mine = id == self.id;
        if is_mine {
            dispatcher.send(&(self.make)(event.value()));
            // What was refused is not what the list shows.
            self.slots.value_again(Place::Input);
        }
        is_mine
    }
}
