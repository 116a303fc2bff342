//! What is set once: how the page looks and feels, a link, print, cameras of one's own.

use leptos::prelude::*;
use leptos::task::spawn_local;
use panel::{Intent, State};

use super::{
    borrowed::{Borrowed, Parts},
    cameras::Cameras,
    room::Room,
};

use crate::{
    browser::{
        clipboard,
        files::{self, Shared},
        page,
    },
    choice::{Options, fixed},
    form::select,
    piece::{button, flag, never, of, paragraph, text},
};

const THEMES: [(&str, &str); 4] = [
    ("auto", "As the device"),
    ("sun", "Bright sun"),
    ("dusk", "Dusk"),
    ("darkroom", "Darkroom"),
];
const READING_STEPS: &[(&str, &str)] = &[("thirds", "third stops"), ("halves", "half stops")];
const COPIED: &str = "Copied. Whoever opens it sees this setting; it goes to no server.";
const NOT_SHARED: &str = "The browser did not let the page share it. Select the link and copy it.";
const NOT_COPIED: &str = "The browser does not let the page copy. Select the link and copy it.";

/// The page "More". What is chosen here goes to the dial at once.
pub(super) fn page(room: Room) -> AnyView {
    let hand_back = move |state: &State, sentence: &str| room.hand_back(state.clone(), sentence);
    let dispatcher = Borrowed::new(room.once(State::clone), room.said, hand_back);
    let parts = dispatcher.parts;
    view! {
        <Look parts dispatcher />
        <Keep dispatcher />
        <Counting room parts dispatcher />
        <Cameras camera=parts.camera dispatcher />
    }
    .into_any()
}

/// Theme and vibration.
#[component]
fn Look(
    /// What is shown.
    parts: Parts,
    /// Where wishes go.
    dispatcher: Borrowed,
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
                    prop:checked=flag(move || parts.theme.with(|theme| theme == key))
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
            <input type="checkbox" prop:checked=parts.tick on:change=tick />
            "Vibration tick at each mark, where the device has one"
        </label>
    }
}

/// A link and a print of the setting.
#[component]
fn Keep(
    /// Where wishes go.
    dispatcher: Borrowed,
) -> impl IntoView {
    let link = RwSignal::new(String::new());
    let said = RwSignal::new(String::new());
    let copy = move || {
        let address = dispatcher.link();
        link.set(address.clone());
        spawn_local(async move {
            let copied = clipboard::write(&address).await;
            said.set(if copied { COPIED } else { NOT_COPIED }.to_owned());
        });
    };
    let share = move || {
        let address = dispatcher.link();
        said.set(String::new());
        spawn_local(async move {
            if files::share_address(&address).await == Shared::Refused {
                link.set(address);
                said.set(NOT_SHARED.to_owned());
            }
        });
    };
    view! {
        <div class="block">
            <h3>"Keep or hand on"</h3>
            <div class="row">
                {button("", "Copy a link to this setting", never(), copy)}
                {files::can_share_address().then(|| {
                    button("", "Share a link to this setting", never(), share)
                })}
                {button("", "Print", never(), page::print)}
            </div>
            <input
                class="link"
                type="text"
                readonly
                aria-label="Link to this setting"
                hidden=flag(move || link.with(String::is_empty))
                prop:value=link
            />
            <div aria-live="polite">{paragraph("reason", said.into())}</div>
        </div>
    }
}

/// How readings and marks are counted.
#[component]
fn Counting(
    /// The setting.
    room: Room,
    /// What is shown.
    parts: Parts,
    /// Where wishes go.
    dispatcher: Borrowed,
) -> impl IntoView {
    let (reading, film) = (parts.reading, parts.film);
    let steps = of(reading, |reading| {
        if reading.halves { "halves" } else { "thirds" }.to_owned()
    });
    view! {
        <div class="block">
            <h3>"Reading and marks"</h3>
            {paragraph("reason", text(move || room.with(State::light_in_units)))}
            <div class="row">
                {choice(
                    "reading-steps",
                    "The reading device steps in",
                    Signal::stored(fixed(READING_STEPS)),
                    steps,
                    |key| Intent::ReadingHalves(key == "halves"),
                    dispatcher,
                )}
                {choice(
                    "rounding",
                    "Where the camera has no such mark",
                    of(film, |film| fixed(film.roundings)),
                    of(film, |film| film.rounding.to_owned()),
                    Intent::Rounding,
                    dispatcher,
                )}
            </div>
        </div>
    }
}

/// A choice that goes to the dial at once.
fn choice(
    id: &'static str,
    label: &'static str,
    options: Signal<Options>,
    chosen: Signal<String>,
    make: fn(String) -> Intent,
    dispatcher: Borrowed,
) -> impl IntoView {
    let choose = move |event| dispatcher.send(&make(event_target_value(&event)));
    select(id, label, NodeRef::new(), options, chosen, Box::new(choose))
}
