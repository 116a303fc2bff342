//! Sheets over the page: dialogs with a title and a way out.

use leptos::prelude::*;

use crate::piece::{button, never};

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
            <h2 id=id>{title}</h2>
            {button("", "Close", never(), close)}
        </div>
    }
}
