//! The ledger: what each dial adds to or takes from the reading.

use leptos::prelude::*;
use panel::{Control, Intent, Lean, LedgerLine, LedgerView};

use crate::{
    css,
    piece::{button, flag, never, of, paragraph, press, span, text},
    store::Dispatcher,
};

/// The lines of the dials, which cannot be left out.
const DIALS: usize = Control::ALL.len();

/// Lines that add up to the total, each with a bar from the middle: less light to the start, more to the end.
#[component]
pub(crate) fn Ledger(
    /// What it shows.
    ledger: RwSignal<LedgerView>,
    /// How many lines that has.
    count: RwSignal<usize>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let back = move || {
        dispatcher.send(&Intent::BackToReading);
    };
    // Lines come and go with the corrections, and stay while one is switched: the keyboard does not lose its place.
    let lines = move || {
        let lines = 0..count.get();
        lines.map(|i| line(i, ledger, dispatcher)).collect_view()
    };
    view! {
        <section class="ledger" aria-labelledby="ledger-title">
            <div class="line">
                <h2 id="ledger-title">"Ledger of stops"</h2>
                {button("", "Corrections", never(), move || dispatcher.light("corrections"))}
            </div>
            <ul class="ledger-lines">{lines}</ul>
            <div class="ledger-total">
                {span("ledger-sum", of(ledger, |ledger| ledger.total.clone()))}
                {button("", "Back to the reading", of(ledger, |ledger| !ledger.can_go_back), back)}
            </div>
            {paragraph("reason ledger-reasons", of(ledger, |ledger| ledger.reasons.join("\n")))}
        </section>
    }
}

/// One line of the ledger; a correction has a switch that leaves it out.
fn line(i: usize, ledger: RwSignal<LedgerView>, dispatcher: Dispatcher) -> impl IntoView {
    let part = move |derive: fn(&LedgerLine) -> String| {
        text(move || ledger.with(|ledger| ledger.lines.get(i).map(derive).unwrap_or_default()))
    };
    let counts = move || ledger.with(|ledger| ledger.lines.get(i).and_then(|line| line.counts));
    let switch = press(move || {
        let on = untrack(counts).unwrap_or_default();
        dispatcher.send(&Intent::Correct(i - DIALS, !on));
    });
    view! {
        <li class="ledger-line" data-lean=part(|line| lean_key(line.lean).to_owned())>
            <label class="pick">
                <input
                    type="checkbox"
                    hidden=i < DIALS
                    prop:checked=flag(move || counts().unwrap_or_default())
                    on:click=switch
                />
                {span("ledger-name", part(|line| line.name.clone()))}
            </label>
            {span("ledger-change", part(|line| line.change.clone()))}
            {span("ledger-stops", part(|line| line.stops.clone()))}
            <span class="scale" aria-hidden="true">
                <span class="bar" style:--bar=part(|line| css::number(line.bar.abs()))></span>
            </span>
        </li>
    }
}

/// A direction as the stylesheet knows it.
pub(crate) const fn lean_key(lean: Lean) -> &'static str {
    match lean {
        Lean::More => "more",
        Lean::Even => "even",
        Lean::Less => "less",
    }
}
