//! Shoot mode: one frame per screen, to be read at arm's length and turned with a thumb.

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use panel::{BracketView, FrameView};

use crate::{
    browser::{
        part,
        wake::{self, Awake},
    },
    piece::{NOT_AS_PLANNED, SHOT, button, flag, never, paragraph, press, text},
    store::Dispatcher,
};

/// The button "Shoot" and what it opens.
#[component]
pub(super) fn Shoot(
    /// The series to shoot.
    bracket: RwSignal<BracketView>,
    /// Knows whether the series is in the log.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let dialog = NodeRef::<html::Dialog>::new();
    let at = RwSignal::new(None::<usize>);
    // Dropped when the dialog closes; until then the screen stays awake.
    let awake = StoredValue::new_local(None::<Awake>);

    let stay_awake = move || {
        spawn_local(async move {
            let lock = wake::keep_awake().await;
            // The dialog may have been left while the browser made up its mind.
            if at.get_untracked().is_some() {
                awake.set_value(lock);
            }
        });
    };
    // Browsers let go of the screen when the page is hidden, and do not take hold again by themselves.
    wake::on_shown_again(move || {
        if at.get_untracked().is_some() {
            stay_awake();
        }
    });

    // What the series is called in the log, and what came of the last frame that was noted.
    let logged = RwSignal::new(String::new());
    let noted = RwSignal::new(String::new());
    let place = StoredValue::new(String::new());
    let log = move |what: &str| {
        let at = at.get_untracked().unwrap_or(0);
        let place = place.get_value();
        part::open(part::BOOK, &format!("{what}:{at} {place}"));
    };

    let open = press(move || {
        at.set(Some(0));
        let found = dispatcher.logged_as();
        let (words, there) = found.split_once('\n').unwrap_or_default();
        logged.set(words.to_owned());
        place.set_value(there.to_owned());
        noted.set(String::new());
        if let Some(dialog) = dialog.get_untracked() {
            // OK to ignore: it fails only where it is open already.
            let _ = dialog.show_modal();
        }
        stay_awake();
    });
    let leave = move || {
        if let Some(dialog) = dialog.get_untracked() {
            dialog.close();
        }
    };
    let closed = move |_| {
        at.set(None);
        awake.set_value(None);
    };

    let count = move || bracket.with(|bracket| bracket.frames.len());
    let is_last = move || at.get().is_some_and(|at| at >= count());
    let ticks = move || !is_last() && logged.with(|logged| !logged.is_empty());
    let step = move |on: bool| {
        at.update(|at| {
            if let Some(at) = at {
                *at = if on { *at + 1 } else { at.saturating_sub(1) };
            }
        });
    };
    part::on_told("noted", move |sentence| noted.set(sentence));
    // A frame that was noted in the film book, not as planned, was shot: on to the next one.
    part::on_told("kept", move |sentence| {
        noted.set(sentence);
        step(true);
    });
    let next = press(move || {
        if is_last() {
            leave();
        } else {
            if ticks() {
                log("tick");
            }
            step(true);
        }
    });
    // Words on the frame that is shown; none after the last one.
    let on_frame = move |words: fn(&FrameView) -> String| {
        text(move || {
            let at = at.get().unwrap_or(0);
            bracket.with(|bracket| bracket.frames.get(at).map(words).unwrap_or_default())
        })
    };
    let set = text(move || {
        let at = at.get().unwrap_or(0);
        bracket.with(|bracket| match bracket.frames.get(at) {
            Some(frame) => frame.set.clone(),
            None => bracket.set_back.clone(),
        })
    });
    let position = text(move || {
        let at = at.get().unwrap_or(0);
        if at < count() {
            format!("Frame {} of {}", at + 1, count())
        } else {
            "After the last frame".to_owned()
        }
    });
    let metered = on_frame(|frame| frame.metered.clone());
    // A time that is counted by hand or by a watch; none after the last frame.
    let uncounted = flag(move || {
        let at = at.get().unwrap_or(0);
        bracket.with(|bracket| {
            let frame = bracket.frames.get(at);
            !frame.is_some_and(|frame| !frame.count.is_empty() || frame.support.ends_with("on B"))
        })
    });
    // Long labels take smaller type, so that they never run out of the screen.
    let length = text(move || {
        let length = set.with(|set| set.chars().count());
        let key = match length {
            0..=5 => "short",
            6..=9 => "long",
            _ => "sentence",
        };
        key.to_owned()
    });

    view! {
        <button class="shoot-open" type="button" aria-haspopup="dialog" on:click=open>
            "Shoot"
        </button>
        <dialog class="shoot" node_ref=dialog aria-label="Shoot" on:close=closed>
            <div class="shoot-head">
                {paragraph("shoot-position", position)}
                {paragraph("shoot-position", dispatcher.counting())}
                {button("", "Leave", never(), leave)}
            </div>
            <div class="shoot-screen" aria-live="polite">
                <p class="shoot-set" data-length=length>
                    {set}
                </p>
                {paragraph("shoot-leave", on_frame(|frame| format!("leave {}", frame.leave)))}
                {paragraph("shoot-leave", on_frame(|frame| frame.count.clone()))}
                <div class="row" hidden=uncounted>
                    {button("", "Timer", never(), move || {
                        dispatcher.light(&format!("timer {}", metered.get_untracked()));
                    })}
                </div>
                {paragraph("shoot-offset", on_frame(|frame| frame.from_base.clone()))}
                {paragraph("shoot-box", on_frame(|frame| frame.from_box.clone()))}
                {paragraph(
                    "shoot-small",
                    on_frame(|frame| format!("{}, {}", frame.amounts_to, frame.support)),
                )}
                {paragraph("flag", on_frame(|frame| frame.flags.join("\n")))}
                {paragraph(
                    "shoot-small lines",
                    text(move || format!("{}\n{}", logged.get(), noted.get())),
                )}
            </div>
            <div class="shoot-foot">
                <div class="row" hidden=flag(move || !ticks())>
                    {button("", NOT_AS_PLANNED, never(), move || log("slip"))}
                </div>
                {button(
                    "",
                    "Back",
                    flag(move || at.get().is_none_or(|at| at == 0)),
                    move || step(false),
                )}
                <button class="main" type="button" autofocus on:click=next>
                    {text(move || {
                        let label = if is_last() {
                            "Done"
                        } else if ticks() {
                            SHOT
                        } else {
                            "Next"
                        };
                        label.to_owned()
                    })}
                </button>
            </div>
        </dialog>
    }
}
