//! The ledger: what each dial adds to or takes from the reading.

use leptos::{ev::MouseEvent, html, prelude::*};
use panel::{Control, Intent, Lean, LedgerLine, LedgerView};

use crate::{
    browser::{
        page,
        rows::{self, Row},
    },
    css,
    piece::{button, never, of, paragraph, span},
    store::Dispatcher,
};

/// The lines of the dials, which cannot be left out.
const DIALS: usize = Control::ALL.len();

/// Lines that add up to the total, each with a bar from the middle: less light to the start, more to the end.
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
    // Lines come and go with the corrections, and stay while one is switched: the keyboard does not lose its place.
    let list = NodeRef::<html::Ul>::new();
    let lines = move || ledger.with(|ledger| ledger.lines.iter().map(line).collect());
    rows::keep(LINE, move || list.get().map(Into::into), lines);
    let switch = move |event: MouseEvent| {
        let counts = |i: usize| ledger.with_untracked(|ledger| ledger.lines.get(i)?.counts);
        let row = page::row_of(&event).filter(|_| page::is_switch(&event));
        if let Some((i, on)) = row.and_then(|i| Some((i, counts(i)?))) {
            dispatcher.send(&Intent::Correct(i - DIALS, !on));
        }
    };
    view! {
        <section class="ledger" aria-labelledby="ledger-title">
            <div class="line">
                <h2 id="ledger-title">"Ledger of stops"</h2>
                {button("", "Corrections", never(), move || dispatcher.light("corrections"))}
            </div>
            <ul class="ledger-lines" node_ref=list on:click=switch></ul>
            <div class="ledger-total">
                {span("ledger-sum", of(ledger, |ledger| ledger.total.clone()))}
                {button("", "Back to the reading", of(ledger, |ledger| !ledger.can_go_back), back)}
            </div>
            {paragraph("reason ledger-reasons", of(ledger, |ledger| ledger.reasons.join("\n")))}
        </section>
    }
}

/// One line of the ledger; a correction has a switch that leaves it out.
const LINE: &str = concat!(
    r#"<li class="ledger-line"><label class="pick"><input type="checkbox"><span class="ledger-name" data-text></span></label>"#,
    r#"<span class="ledger-change" data-text></span><span class="ledger-stops" data-text></span>"#,
    r#"<span class="scale" aria-hidden="true"><span class="bar"></span></span></li>"#
);

fn line(line: &LedgerLine) -> Row {
    Row {
        attributes: vec![("data-lean", lean_key(line.lean).to_owned())],
        texts: vec![line.name.clone(), line.change.clone(), line.stops.clone()],
        bar: css::number(line.bar.abs()),
        switch: line.counts,
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
