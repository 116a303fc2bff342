//! The ledger: what each dial adds to or takes from the reading.

use leptos::prelude::*;
use panel::{Control, Intent, Lean, LedgerLine, LedgerView};

use crate::{
    css,
    piece::{button, of, paragraph, span, text, title},
    store::Dispatcher,
};

/// Three lines that add up to the total, each with a bar from the middle: less light to the start, more to the end.
#[component]
pub(crate) fn Ledger(
    /// What it shows.
    ledger: RwSignal<LedgerView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let back = move || {
        dispatcher.send(&Intent::BackToReading);
    };
    view! {
        <section class="ledger" aria-labelledby="ledger-title">
            {title("ledger-title", "Ledger of stops", Signal::stored(String::new()))}
            <ul class="ledger-lines">{Control::ALL.map(|control| line(control, ledger))}</ul>
            <div class="ledger-total">
                {span("ledger-sum", of(ledger, |ledger| ledger.total.clone()))}
                {button("", "Back to the reading", of(ledger, |ledger| !ledger.can_go_back), back)}
            </div>
            {paragraph("reason ledger-reasons", of(ledger, |ledger| ledger.reasons.join("\n")))}
        </section>
    }
}

/// One line of the ledger.
fn line(control: Control, ledger: RwSignal<LedgerView>) -> impl IntoView {
    let part = move |derive: fn(&LedgerLine) -> String| {
        text(move || ledger.with(|ledger| derive(&ledger.lines[control.index()])))
    };
    view! {
        <li class="ledger-line" data-lean=part(|line| lean_key(line.lean).to_owned())>
            <span class="ledger-name">{control.name()}</span>
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
