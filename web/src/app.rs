//! The page as a whole.

use leptos::prelude::*;
use panel::Control;

use crate::{
    counts::Counts, dial::Dial, ledger::Ledger, more::More, notices::Notices, pairs::Pairs,
    reading::Inputs, store, strip::Strip,
};

/// The whole page, with what the browser has kept of it.
#[component]
pub fn App() -> impl IntoView {
    let (dispatcher, parts) = store::open();
    let [time, aperture, sensitivity] = parts.dials;
    let tick = parts.tick;

    view! {
        <main class="plate">
            <header class="head">
                <h1 class="wordmark">"Stopkeeper"</h1>
                <nav class="head-links" aria-label="About this page">
                    <Counts />
                    <More parts dispatcher />
                </nav>
            </header>
            <Notices parts dispatcher />
            <Inputs parts dispatcher />
            <div class="dials" role="group" aria-label="Exposure">
                <Dial control=Control::Time dial=time tick dispatcher />
                <Dial control=Control::Aperture dial=aperture tick dispatcher />
                <Dial control=Control::Sensitivity dial=sensitivity tick dispatcher />
            </div>
            <p class="status" role="status">
                {parts.status}
            </p>
            <Ledger ledger=parts.ledger dispatcher />
            <Strip bracket=parts.bracket dispatcher />
            <Pairs pairs=parts.pairs camera=parts.camera dispatcher />
        </main>
    }
}
