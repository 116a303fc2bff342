//! Quiet lines above the dials: an exposure that is counted, what was not kept, a link that is open, a newer version.

use leptos::prelude::*;
use panel::Intent;

use crate::{
    browser::update,
    piece::{flag, notice, text},
    store::{Dispatcher, Parts},
};

const NEWER: &str = "A new version is ready.";
const FROM_LINK: &str = "This setting came with a link. Your own is kept.";

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
    let back = move || {
        dispatcher.send(&Intent::LeaveLink);
    };
    let sentences = parts.notices;
    let quiet = flag(move || sentences.with(String::is_empty));
    view! {
        <div class="notices">
            {notice(
                text(move || when(newer.get(), NEWER)),
                Signal::stored("Reload".to_owned()),
                update::let_in,
            )}
            {notice(
                parts.counting.into(),
                Signal::stored("To the timer".to_owned()),
                move || dispatcher.light("timer"),
            )}
            {notice(
                text(move || when(parts.from_link.get(), FROM_LINK)),
                Signal::stored("Back to my setting".to_owned()),
                back,
            )}
            <p class="notice" hidden=quiet>
                {sentences}
            </p>
        </div>
    }
}

/// The sentence while the condition holds, else nothing.
fn when(holds: bool, sentence: &str) -> String {
    if holds {
        sentence.to_owned()
    } else {
        String::new()
    }
}
