//! The page as a whole.

use leptos::prelude::*;
use panel::Control;

use crate::{
    browser::part, dial::Dial, ledger::Ledger, notices::Notices, pairs::Pairs, piece::press,
    reading::Inputs, store, strip::Strip,
};

/// The way into another part of the page.
fn way(name: &'static str, open: impl Fn() + 'static) -> impl IntoView {
    let open = press(open);
    view! {
        <button class="quiet" type="button" aria-haspopup="dialog" on:click=open>
            {name}
        </button>
    }
}

/// The whole page, with what the browser has kept of it.
#[component]
pub fn App() -> impl IntoView {
    let (dispatcher, parts) = store::open();
    let [time, aperture, sensitivity] = parts.dials;
    let [time_face, aperture_face, sensitivity_face] = parts.faces;
    let tick: Signal<bool> = parts.tick.into();

    view! {
        <main class="plate">
            <header class="head">
                <h1 class="wordmark">"Stopkeeper"</h1>
                <nav class="head-links" aria-label="About this page">
                    {way("Film book", || part::open(part::BOOK, ""))}
                    {way("How this counts", move || dispatcher.light("counts"))}
                    {way("More", move || dispatcher.light("more"))}
                </nav>
            </header>
            <Notices parts dispatcher />
            <Inputs parts dispatcher />
            <div class="dials" role="group" aria-label="Exposure">
                <Dial control=Control::Time dial=time face=time_face tick dispatcher />
                <Dial control=Control::Aperture dial=aperture face=aperture_face tick dispatcher />
                <Dial control=Control::Sensitivity dial=sensitivity face=sensitivity_face tick dispatcher />
            </div>
            <p class="status" role="status">
                {parts.status}
            </p>
            <Ledger ledger=parts.ledger dispatcher />
            <Strip bracket=parts.bracket plan=parts.plan dispatcher />
            <Pairs pairs=parts.pairs camera=parts.camera dispatcher />
        </main>
    }
}
