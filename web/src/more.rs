//! What is set once: how the page looks and feels, a link, print, cameras of one's own.

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use panel::Intent;

use crate::{
    browser::{clipboard, page},
    cameras::Cameras,
    field::{Choice, fixed},
    sheet::Sheet,
    store::{Dispatcher, Parts},
};

const THEMES: [(&str, &str); 4] = [
    ("auto", "As the device"),
    ("sun", "Bright sun"),
    ("dusk", "Dusk"),
    ("darkroom", "Darkroom"),
];
const READING_STEPS: &[(&str, &str)] = &[("thirds", "third stops"), ("halves", "half stops")];

/// The button "More" and the sheet behind it.
#[component]
pub(crate) fn More(
    /// What is shown.
    parts: Parts,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    view! {
        <Sheet name="More" id="more-title">
            <Look parts dispatcher />
            <Keep dispatcher />
            <Counting parts dispatcher />
            <Cameras camera=parts.camera dispatcher />
        </Sheet>
    }
}

/// Theme and vibration.
#[component]
fn Look(
    /// What is shown.
    parts: Parts,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let radios = THEMES.map(|(key, name)| {
        let choose = move |_| {
            dispatcher.send(&Intent::Theme(key.to_owned()));
        };
        view! {
            <label class="pick">
                <input
                    type="radio"
                    name="theme"
                    value=key
                    prop:checked=move || parts.theme.get() == key
                    on:change=choose
                />
                {name}
            </label>
        }
    });
    let tick = move |event| {
        dispatcher.send(&Intent::Tick(event_target_checked(&event)));
    };
    view! {
        <div class="block" role="radiogroup" aria-labelledby="theme-title">
            <h3 id="theme-title">"Theme"</h3>
            <div class="picks">{radios}</div>
        </div>
        <label class="pick">
            <input type="checkbox" prop:checked=move || parts.tick.get() on:change=tick />
            "Vibration tick at each mark, where the device has one"
        </label>
    }
}

/// A link and a print of the setting.
#[component]
fn Keep(
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let link = RwSignal::new(None::<String>);
    let said = RwSignal::new("");
    let field = NodeRef::<html::Input>::new();
    let copy = move |_| {
        let address = dispatcher.link();
        link.set(Some(address.clone()));
        spawn_local(async move {
            let copied = clipboard::write(&address).await;
            said.set(if copied {
                "Copied. Whoever opens it sees this setting; it goes to no server."
            } else {
                "The browser does not let the page copy. Select the link and copy it."
            });
        });
    };
    let select = move |_| {
        if let Some(field) = field.get_untracked() {
            field.select();
        }
    };
    view! {
        <div class="block">
            <h3>"Keep or hand on"</h3>
            <div class="row">
                <button type="button" on:click=copy>
                    "Copy a link to this setting"
                </button>
                <button type="button" on:click=|_| page::print()>
                    "Print"
                </button>
            </div>
            {move || {
                link.get()
                    .map(|address| {
                        view! {
                            <input
                                class="link"
                                type="text"
                                readonly
                                node_ref=field
                                aria-label="Link to this setting"
                                prop:value=address
                                on:focus=select
                            />
                        }
                    })
            }}
            <p class="reason" aria-live="polite">
                {said}
            </p>
        </div>
    }
}

/// How readings and marks are counted.
#[component]
fn Counting(
    /// What is shown.
    parts: Parts,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let (reading, film) = (parts.reading, parts.film);
    let steps = move || {
        let halves = reading.with(|reading| reading.halves);
        if halves { "halves" } else { "thirds" }.to_owned()
    };
    view! {
        <div class="block">
            <h3>"Reading and marks"</h3>
            <p class="reason">{move || reading.with(|reading| reading.light_detail.clone())}</p>
            <div class="row">
                <Choice
                    id="reading-steps"
                    label="The reading device steps in"
                    options=Signal::derive(|| fixed(READING_STEPS))
                    chosen=Signal::derive(steps)
                    make=|key| Intent::ReadingHalves(key == "halves")
                    dispatcher
                />
                <Choice
                    id="rounding"
                    label="Where the camera has no such mark"
                    options=Signal::derive(move || film.with(|film| fixed(film.roundings)))
                    chosen=Signal::derive(move || film.with(|film| film.rounding.to_owned()))
                    make=Intent::Rounding
                    dispatcher
                />
            </div>
        </div>
    }
}
