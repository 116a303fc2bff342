//! Sheets over the page: dialogs with a title and a way out.

use leptos::{html, prelude::*};

use crate::{
    browser::sheet::{self, Element, Left},
    piece::{button, never},
};

/// A sheet whose pages open at their top, with the keyboard on the heading, and come back as they were left.
#[derive(Clone, Copy)]
pub(crate) struct Sheet {
    /// The dialog that it is.
    pub(crate) dialog: NodeRef<html::Dialog>,
    /// How its page was left when it was closed.
    closed: StoredValue<Option<Left>>,
}

impl Sheet {
    pub(crate) fn new() -> Self {
        Self {
            dialog: NodeRef::new(),
            closed: StoredValue::new(None),
        }
    }

    fn element(self) -> Option<Element> {
        self.dialog.get_untracked().map(Into::into)
    }

    /// How its page stands.
    pub(crate) fn left(self) -> Left {
        self.element()
            .map_or_else(Left::default, |sheet| Left::of(&sheet))
    }

    /// Opens it, with its page as it was left.
    pub(crate) fn open(self) {
        let Some(dialog) = self.dialog.get_untracked() else {
            return;
        };
        // It fails where it is open already: then all stays as it is.
        if dialog.show_modal().is_ok() {
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
        if let Some(dialog) = self.dialog.get_untracked() {
            dialog.close();
        }
    }

    /// Another page is on it: one that opens now (from its top), or that comes back as it was left.
    pub(crate) fn turned(self, left: Left) {
        if let Some(sheet) = self.element() {
            sheet::turned(sheet, left);
        }
    }

    /// Prints its page while it is open.
    pub(crate) fn prints(self) {
        sheet::prints(move || self.element());
    }

    /// Something on it may be gone: where it had the keyboard, the heading takes it.
    pub(crate) fn keep_focus(self) {
        if let Some(sheet) = self.element() {
            sheet::keep_focus(sheet);
        }
    }
}

/// The head of a part's sheet: the title of the page that is open, the way back to the one before, and the way out.
pub(crate) fn part_head(
    id: &'static str,
    title: Signal<String>,
    is_first: Signal<bool>,
    back: impl Fn() + 'static,
    close: impl Fn() + 'static,
) -> impl IntoView {
    view! {
        <div class="sheet-head">
            {button("quiet", "Back", is_first, back)}
            <h2 id=id tabindex="-1">
                {title}
            </h2>
            {button("", "Close", never(), close)}
        </div>
    }
}
