//! The ledger: what each dial adds to or takes from the reading.

use leptos::prelude::*;
use panel::{Control, CorrectionView, Intent, Lean, LedgerLine, LedgerView};

use crate::{
    css,
    piece::{button, flag, never, of, paragraph, press, span, text},
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
    // Rows come and go with the corrections, and stay while one is switched: the keyboard does not lose its place.
    let count = Memo::new(move |_| ledger.with(|ledger| ledger.corrections.len()));
    let corrections = move || {
        let rows = 0..count.get();
        rows.map(|i| correction(i, ledger, dispatcher))
            .collect_view()
    };
    view! {
        <section class="ledger" aria-labelledby="ledger-title">
            <div class="line">
                <h2 id="ledger-title">"Ledger of stops"</h2>
                {button("", "Corrections", never(), move || dispatcher.light("corrections"))}
            </div>
            <ul class="ledger-lines">
                {Control::ALL.map(|control| line(control, ledger))} {corrections}
            </ul>
            <div class="ledger-total">
                {span("ledger-sum", of(ledger, |ledger| ledger.total.clone()))}
                {button("", "Back to the reading", of(ledger, |ledger| !ledger.can_go_back), back)}
            </div>
            {paragraph("reason ledger-reasons", of(ledger, |ledger| ledger.reasons.join("\n")))}
        </section>
    }
}

/// One line of the ledger.
fn line(control: Control, ledger: RwSignal<LedgerView>) -> AnyView {
    let part = move |derive: fn(&LedgerLine) -> String| {
        text(move || ledger.with(|ledger| derive(&ledger.lines[control.index()])))
    };
    let head = view! {
        <span class="ledger-name">{control.name()}</span>
        {span("ledger-change", part(|line| line.change.clone()))}
    };
    row(
        head.into_any(),
        part(|line| lean_key(line.lean).to_owned()),
        part(|line| line.stops.clone()),
        part(|line| css::number(line.bar.abs())),
    )
}

/// One correction, with the switch that leaves it out.
fn correction(i: usize, ledger: RwSignal<LedgerView>, dispatcher: Dispatcher) -> AnyView {
    let part = move |derive: fn(&CorrectionView) -> String| {
        text(move || {
            ledger.with(|ledger| ledger.corrections.get(i).map(derive).unwrap_or_default())
        })
    };
    let on =
        flag(move || ledger.with(|ledger| ledger.corrections.get(i).is_some_and(|row| row.on)));
    let switch = press(move || {
        dispatcher.send(&Intent::Correct(i, !on.get_untracked()));
    });
    let head = view! {
        <label class="pick correction">
            <input type="checkbox" prop:checked=on on:click=switch />
            {span("ledger-name", part(|row| row.name.clone()))}
        </label>
    };
    let lean = |row: &CorrectionView| {
        let lean = if row.bar < 0.0 {
            Lean::Less
        } else {
            Lean::More
        };
        lean_key(lean).to_owned()
    };
    row(
        head.into_any(),
        part(lean),
        part(|row| row.stops.clone()),
        part(|row| css::number(row.bar.abs())),
    )
}

/// What all lines have in common; one copy of the framework's code for both kinds.
fn row(head: AnyView, lean: Signal<String>, stops: Signal<String>, bar: Signal<String>) -> AnyView {
    view! {
        <li class="ledger-line" data-lean=lean>
            {head}
            {span("ledger-stops", stops)}
            <span class="scale" aria-hidden="true">
                <span class="bar" style:--bar=bar></span>
            </span>
        </li>
    }
    .into_any()
}

/// A direction as the stylesheet knows it.
pub(crate) const fn lean_key(lean: Lean) -> &'static str {
    match lean {
        Lean::More => "more",
        Lean::Even => "even",
        Lean::Less => "less",
    }
}
