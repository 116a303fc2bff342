//! The ledger: what each dial adds to or takes from the reading.

use leptos::prelude::*;
use panel::{Control, Intent, Lean, LedgerView};

use crate::{css, store::Dispatcher};

/// Three lines that add up to the total, each with a bar from the middle: less light to the start, more to the end.
#[component]
pub(crate) fn Ledger(
    /// What it shows.
    ledger: Memo<LedgerView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let total = Memo::new(move |_| ledger.with(|ledger| ledger.total.clone()));
    let lean = Memo::new(move |_| ledger.with(|ledger| ledger.lean));
    let reasons = Memo::new(move |_| ledger.with(|ledger| ledger.reasons.clone()));
    let stuck = Memo::new(move |_| ledger.with(|ledger| !ledger.can_go_back));
    let back = move |_| {
        dispatcher.send(&Intent::BackToReading);
    };
    let lines = Control::ALL.map(|control| view! { <Line control ledger /> });
    view! {
        <section class="ledger" aria-labelledby="ledger-title">
            <div class="line">
                <h2 id="ledger-title">"Ledger of stops"</h2>
                <span class="aside ledger-ends" aria-hidden="true">
                    <span>"less light"</span>
                    <span>"more light"</span>
                </span>
            </div>
            <ul class="ledger-lines">{lines}</ul>
            <div class="ledger-total" data-lean=move || lean_key(lean.get())>
                <strong>{total}</strong>
                <button type="button" disabled=move || stuck.get() on:click=back>
                    "Back to the reading"
                </button>
            </div>
            <div class="ledger-reasons">
                {move || {
                    reasons
                        .get()
                        .into_iter()
                        .map(|reason| view! { <p class="reason">{reason}</p> })
                        .collect_view()
                }}
            </div>
        </section>
    }
}

/// One line of the ledger.
#[component]
fn Line(
    /// Which dial it is of.
    control: Control,
    /// The ledger it belongs to.
    ledger: Memo<LedgerView>,
) -> impl IntoView {
    let line = Memo::new(move |_| ledger.with(|ledger| ledger.lines[control.index()].clone()));
    view! {
        <li class="ledger-line" data-lean=move || line.with(|line| lean_key(line.lean))>
            <span class="ledger-name">{control.name()}</span>
            <span class="ledger-change">{move || line.with(|line| line.change.clone())}</span>
            <span class="ledger-stops">{move || line.with(|line| line.stops.clone())}</span>
            <span class="scale" aria-hidden="true">
                <span class="bar" style:--bar=move || line.with(|line| css::number(line.bar.abs()))>
                </span>
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
