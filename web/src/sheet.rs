//! Sheets over the page: dialogs with a title and a way out.

use leptos::html;
use leptos::prelude::*;

use crate::piece::{button, never, press};

/// A dialog that is opened from a button of the same name.
#[component]
pub(crate) fn Sheet<C: IntoView + 'static>(
    /// Name of the button and title of the sheet.
    name: &'static str,
    /// Id of the title, unique on the page.
    id: &'static str,
    /// What the sheet holds.
    children: TypedChildren<C>,
) -> impl IntoView {
    let dialog = NodeRef::<html::Dialog>::new();
    let children = children.into_inner();
    let open = press(move || {
        if let Some(dialog) = dialog.get_untracked() {
            // OK to ignore: it fails only where it is open already.
            let _ = dialog.show_modal();
        }
    });
    let close = move || {
        if let Some(dialog) = dialog.get_untracked() {
            dialog.close();
        }
    };
    view! {
        <button class="quiet" type="button" aria-haspopup="dialog" on:click=open>
            {name}
        </button>
        <dialog class="sheet" node_ref=dialog aria-labelledby=id>
            <div class="sheet-head">
                <h2 id=id>{name}</h2>
                {button("", "Close", never(), close)}
            </div>
            <div class="sheet-body">{children()}</div>
        </dialog>
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
            <h2 id=id>{title}</h2>
            {button("", "Close", never(), close)}
        </div>
    }
}
