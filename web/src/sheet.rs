//! A sheet of its own over the page: a dialog with a title and a way out.

use leptos::html;
use leptos::prelude::*;

/// A dialog that is opened from a button of the same name.
///
/// Its content is made when it opens and dropped when it closes, so that a page that never opens it does not pay for it.
#[component]
pub(crate) fn Sheet(
    /// Name of the button and title of the sheet.
    name: &'static str,
    /// Id of the title, unique on the page.
    id: &'static str,
    /// What the sheet holds.
    children: ChildrenFn,
) -> impl IntoView {
    let dialog = NodeRef::<html::Dialog>::new();
    let is_open = RwSignal::new(false);
    let open = move |_| {
        is_open.set(true);
        if let Some(dialog) = dialog.get_untracked() {
            // OK to ignore: it fails only where it is open already.
            let _ = dialog.show_modal();
        }
    };
    let close = move |_| {
        if let Some(dialog) = dialog.get_untracked() {
            dialog.close();
        }
    };
    view! {
        <button class="quiet" type="button" aria-haspopup="dialog" on:click=open>
            {name}
        </button>
        <dialog
            class="sheet"
            node_ref=dialog
            aria-labelledby=id
            on:close=move |_| is_open.set(false)
        >
            <div class="sheet-head">
                <h2 id=id>{name}</h2>
                <button type="button" on:click=close>
                    "Close"
                </button>
            </div>
            <div class="sheet-body">{move || is_open.get().then(|| children())}</div>
        </dialog>
    }
}
