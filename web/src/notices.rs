//! Quiet lines above the dials: what was not kept, a link that is open, a newer version.

use leptos::prelude::*;
use panel::Intent;

use crate::{
    browser::update,
    store::{Dispatcher, Parts},
};

/// All quiet lines that there are now; takes no room where there are none.
#[component]
pub(crate) fn Notices(
    /// What is shown.
    parts: Parts,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let newer = RwSignal::new(update::waits());
    update::on_waiting(move || newer.set(true));
    let back = move |_| {
        dispatcher.send(&Intent::LeaveLink);
    };
    let sentences = move || {
        parts
            .notices
            .get()
            .into_iter()
            .map(|sentence| view! { <p class="notice">{sentence}</p> })
            .collect_view()
    };
    view! {
        <div class="notices">
            {move || {
                newer
                    .get()
                    .then(|| {
                        view! {
                            <p class="notice">
                                <span>"A new version is ready."</span>
                                <button type="button" on:click=|_| update::let_in()>
                                    "Reload"
                                </button>
                            </p>
                        }
                    })
            }}
            {move || {
                parts
                    .from_link
                    .get()
                    .then(|| {
                        view! {
                            <p class="notice">
                                <span>"This setting came with a link. Your own is kept."</span>
                                <button type="button" on:click=back>
                                    "Back to my setting"
                                </button>
                            </p>
                        }
                    })
            }}
            {sentences}
        </div>
    }
}
