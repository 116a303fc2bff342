//! Sheets over the page: dialogs with a title and a way out.

use leptos::reactive::{
    owner::StoredValue,
    traits::{SetValue as _, UpdateValue as _},
};

use crate::{
    browser::{
        draw::Here,
        sheet::{self, Left},
    },
    parts::{Element, Words, el, follows},
    piece::button,
};

/// A sheet whose pages open at their top, with the keyboard on the heading, and come back as they were left.
#[derive(Clone, Copy)]
pub(crate) struct Sheet {
    /// The dialog that it is.
    pub(crate) dialog: Here,
    /// How its page was left when it was closed.
    closed: StoredValue<Option<Left>>,
}

impl Sheet {
    pub(crate) fn new() -> Self {
        Self {
            dialog: Here::new(),
            closed: StoredValue::new(None),
        }
    }

    /// How its page stands.
    pub(crate) fn left(self) -> Left {
        self.dialog
            .get()
            .map_or_else(Left::default, |sheet| Left::of(&sheet))
    }

    /// Opens it, with its page as it was left.
    pub(crate) fn open(self) {
        let Some(dialog) = self.dialog.get() else {
            return;
        };
        // It fails where it is open already: then all stays as it is.
        if sheet::open(&dialog) {
            let left = self.closed.try_update_value(Option::take).flatten();
            left.unwrap_or_default().restore(&dialog);
        }
    }

    /// Notes how its page stands, before it is closed.
    pub(crate) fn closes(self) {
        self.closed.set_value(Some(self.left()));
    }

    /// Closes it; the keyboard goes back to where it came from.
    pub(crate) fn close(self) {
        self.closes();
        if let Some(dialog) = self.dialog.get() {
            sheet::close(&dialog);
        }
    }

    /// Another page is on it: one that opens now (from its top), or that comes back as it was left.
    pub(crate) fn turned(self, left: Left) {
        if let Some(sheet) = self.dialog.get() {
            sheet::turned(sheet, left);
        }
    }

    /// Prints its page while it is open and there is something to print on it.
    pub(crate) fn prints(self, is_to_print: impl Fn() -> bool + 'static) {
        sheet::prints(move || self.dialog.get().filter(|_| is_to_print()));
    }

    /// Something on it may be gone: where it had the keyboard, the heading takes it.
    pub(crate) fn keep_focus(self) {
        if let Some(sheet) = self.dialog.get() {
            sheet::keep_focus(sheet);
        }
    }
}

/// The head of a part's sheet: the title of the page that is open, the way back to the one before, and the way out.
pub(crate) fn part_head(
    id: impl Into<Words>,
    title: impl Fn() -> String + 'static,
    is_first: impl Fn() -> bool + 'static,
    back: impl Fn() + Clone + 'static,
    close: impl Fn() + 'static,
) -> Element {
    el("div")
        .class("sheet-head")
        .with(follows(move || {
            button("quiet", "Back", back.clone()).flag("disabled", is_first())
        }))
        .with(el("h2").id(id).attr("tabindex", "-1").tells(title))
        .with(button("", "Close", close))
}
