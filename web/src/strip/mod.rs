//! The bracket strip: the frames of the series, planned as a whole.

mod shoot;

use leptos::prelude::*;
use panel::{BracketView, FrameView, Intent};

use self::shoot::Shoot;
use crate::{
    css,
    field::{Choice, fixed},
    ledger::lean_key,
    store::Dispatcher,
};

const BY: &[(&str, &str)] = &[("time", "Time"), ("aperture", "Aperture")];

/// The strip with its settings, and the way into shoot mode.
#[component]
pub(crate) fn Strip(
    /// What it shows.
    bracket: Memo<BracketView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let frames = Memo::new(move |_| bracket.with(|bracket| bracket.frames.clone()));
    let summary = Memo::new(move |_| bracket.with(|bracket| bracket.summary.clone()));
    let cells = move || frames.get().into_iter().map(cell).collect_view();
    let counts = Signal::derive(move || {
        let most = bracket.with(|bracket| bracket.most);
        (0..=most)
            .map(|count| (count.to_string(), count.to_string()))
            .collect::<Vec<_>>()
    });
    view! {
        <section class="bracket" aria-labelledby="bracket-title">
            <div class="line">
                <h2 id="bracket-title">"Bracket"</h2>
                <Shoot bracket />
            </div>
            <ol class="strip" aria-label="Bracket" tabindex="0">
                {cells}
            </ol>
            <p class="reason">{summary}</p>
            <div class="bracket-fields">
                <Choice
                    id="bracket-by"
                    label="Bracket by"
                    options=Signal::derive(|| fixed(BY))
                    chosen=Signal::derive(move || bracket.with(|bracket| bracket.by.to_owned()))
                    make=Intent::BracketBy
                    dispatcher
                />
                <Choice
                    id="bracket-step"
                    label="Step"
                    options=Signal::derive(move || bracket.with(|bracket| fixed(bracket.steps)))
                    chosen=Signal::derive(move || bracket.with(|bracket| bracket.step.to_owned()))
                    make=Intent::BracketStep
                    dispatcher
                />
                <Choice
                    id="bracket-under"
                    label="Frames with less light"
                    options=counts
                    chosen=Signal::derive(move || bracket.with(|bracket| bracket.under.to_string()))
                    make=|text| Intent::BracketUnder(count(&text))
                    dispatcher
                />
                <Choice
                    id="bracket-over"
                    label="Frames with more light"
                    options=counts
                    chosen=Signal::derive(move || bracket.with(|bracket| bracket.over.to_string()))
                    make=|text| Intent::BracketOver(count(&text))
                    dispatcher
                />
                <Choice
                    id="bracket-order"
                    label="Order"
                    options=Signal::derive(move || bracket.with(|bracket| fixed(bracket.orders)))
                    chosen=Signal::derive(move || bracket.with(|bracket| bracket.order.to_owned()))
                    make=Intent::BracketOrder
                    dispatcher
                />
            </div>
        </section>
    }
}

/// A count out of the list of counts.
fn count(text: &str) -> u8 {
    // OK to fall back on none: the list holds nothing but counts.
    text.parse().unwrap_or(0)
}

/// One frame of the strip.
fn cell(frame: FrameView) -> impl IntoView {
    let flags = frame
        .flags
        .into_iter()
        .map(|flag| view! { <span class="flag">{flag}</span> })
        .collect_view();
    view! {
        <li
            class="cell"
            data-base=frame.base.then_some("")
            data-lean=lean_key(frame.lean)
            data-tripod=frame.tripod.then_some("")
        >
            <span class="cell-top">
                <span class="cell-number">
                    <span class="sr">"Frame "</span>
                    {frame.number}
                </span>
                <span class="cell-from-base">{frame.from_base}</span>
            </span>
            <b class="cell-set">{frame.set}</b>
            <span class="cell-leave">"leave " {frame.leave}</span>
            <span class="cell-box">
                <span class="scale" aria-hidden="true">
                    <span class="bar" style:--bar=css::number(frame.box_bar.abs())></span>
                </span>
                {frame.from_box}
            </span>
            <span class="cell-foot">
                <span>{frame.amounts_to}</span>
                <span class="cell-support">{frame.support}</span>
            </span>
            {flags}
        </li>
    }
}
