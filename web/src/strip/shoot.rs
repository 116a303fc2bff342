//! Shoot mode: one frame per screen, to be read at arm's length and turned with a thumb.

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use panel::{BracketView, FrameView};

use crate::browser::wake::{self, Awake};

/// The button "Shoot" and what it opens.
#[component]
pub(super) fn Shoot(
    /// The series to shoot.
    bracket: Memo<BracketView>,
) -> impl IntoView {
    let dialog = NodeRef::<html::Dialog>::new();
    let at = RwSignal::new(None::<usize>);
    // Dropped when the dialog closes; until then the screen stays awake.
    let awake = StoredValue::new_local(None::<Awake>);

    let stay_awake = move || {
        spawn_local(async move {
            let lock = wake::keep_awake().await;
            // The dialog may have been left, or another lock been given, while the browser made up its mind.
            if at.get_untracked().is_some() {
                awake.set_value(lock);
            }
        });
    };
    // Browsers let go of the screen when the page is hidden, and do not take hold again by themselves.
    let shown_again = window_event_listener_untyped("visibilitychange", move |_| {
        if at.get_untracked().is_some() && !document().hidden() {
            stay_awake();
        }
    });
    on_cleanup(move || shown_again.remove());

    let open = move |_| {
        at.set(Some(0));
        if let Some(dialog) = dialog.get_untracked() {
            // OK to ignore: it fails only where it is open already.
            let _ = dialog.show_modal();
        }
        stay_awake();
    };
    let leave = move || {
        if let Some(dialog) = dialog.get_untracked() {
            dialog.close();
        }
    };
    let closed = move |_| {
        at.set(None);
        awake.set_value(None);
    };

    let count = Memo::new(move |_| bracket.with(|bracket| bracket.frames.len()));
    let is_first = move || at.get().is_none_or(|at| at == 0);
    let is_last = move || at.get().is_some_and(|at| at >= count.get());
    let position = move || {
        at.get().map(|at| {
            if at < count.get() {
                format!("Frame {} of {}", at + 1, count.get())
            } else {
                "After the last frame".to_owned()
            }
        })
    };
    let step = move |on: bool| {
        at.update(|at| {
            if let Some(at) = at {
                *at = if on { *at + 1 } else { at.saturating_sub(1) };
            }
        });
    };
    let next = move |_| {
        if is_last() {
            leave();
        } else {
            step(true);
        }
    };
    let screen = move || {
        at.get().map(|at| {
            bracket.with(|bracket| match bracket.frames.get(at) {
                Some(frame) => self::frame(frame.clone()).into_any(),
                None => {
                    view! { <p class="shoot-set-back">{bracket.set_back.clone()}</p> }.into_any()
                }
            })
        })
    };

    view! {
        <button class="shoot-open" type="button" aria-haspopup="dialog" on:click=open>
            "Shoot"
        </button>
        <dialog class="shoot" node_ref=dialog aria-label="Shoot" on:close=closed>
            <div class="shoot-head">
                <span class="shoot-position">{position}</span>
                <button type="button" on:click=move |_| leave()>
                    "Leave"
                </button>
            </div>
            <div class="shoot-screen" aria-live="polite">
                {screen}
            </div>
            <div class="shoot-foot">
                <button type="button" disabled=is_first on:click=move |_| step(false)>
                    "Back"
                </button>
                <button class="main" type="button" on:click=next>
                    {move || if is_last() { "Done" } else { "Next" }}
                </button>
            </div>
        </dialog>
    }
}

/// One screen.
fn frame(frame: FrameView) -> impl IntoView {
    let flags = frame
        .flags
        .into_iter()
        .map(|flag| view! { <p class="flag">{flag}</p> })
        .collect_view();
    // Long labels take smaller type, so that they never run out of the screen.
    let long = (frame.set.chars().count() > 5).then_some("");
    view! {
        <p class="shoot-do">"Set"</p>
        <p class="shoot-set" data-long=long>
            {frame.set}
        </p>
        <p class="shoot-leave">"leave " {frame.leave}</p>
        <p class="shoot-offset">{frame.from_base}</p>
        <p class="shoot-box">{frame.from_box}</p>
        <p class="shoot-small">{frame.amounts_to} ", " {frame.support}</p>
        {flags}
    }
}
