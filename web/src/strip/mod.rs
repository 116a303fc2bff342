//! The bracket strip: the frames of the series, planned as a whole.

mod shoot;

use leptos::prelude::*;
use panel::{BracketView, FrameView, Intent};

use self::shoot::Shoot;
use crate::{
    css,
    field::{Choice, Options, fixed},
    ledger::lean_key,
    piece::{button, never, of, paragraph, still},
    store::Dispatcher,
};

const BY: &[(&str, &str)] = &[("time", "Time"), ("aperture", "Aperture")];

/// The strip with its settings, and the way into shoot mode.
#[component]
pub(crate) fn Strip(
    /// What it shows.
    bracket: RwSignal<BracketView>,
    /// The same without its frames.
    plan: RwSignal<BracketView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let cells = move || {
        let frames = bracket.with(|bracket| bracket.frames.clone());
        frames.into_iter().map(cell).collect_view()
    };
    let counts = of(plan, counts);
    view! {
        <section class="bracket" aria-labelledby="bracket-title">
            <div class="line">
                <h2 id="bracket-title">"Bracket"</h2>
                <div class="row">
                    {button("", "Log this series", never(), move || dispatcher.log_series())}
                    <Shoot bracket dispatcher />
                </div>
            </div>
            <ol class="strip" aria-label="Bracket" tabindex="0">
                {cells}
            </ol>
            {paragraph("reason", of(bracket, |bracket| bracket.summary.clone()))}
            <div class="bracket-fields">
                <Choice
                    id="bracket-by"
                    label="Bracket by"
                    options=Signal::stored(fixed(BY))
                    chosen=of(plan, |bracket| bracket.by.to_owned())
                    make=Intent::BracketBy
                    dispatcher
                />
                <Choice
                    id="bracket-step"
                    label="Step"
                    options=of(plan, |bracket| fixed(bracket.steps))
                    chosen=of(plan, |bracket| bracket.step.to_owned())
                    make=Intent::BracketStep
                    dispatcher
                />
                <Choice
                    id="bracket-under"
                    label="Frames with less light"
                    options=counts
                    chosen=of(plan, |bracket| bracket.under.to_string())
                    make=|text| Intent::BracketUnder(count(&text))
                    dispatcher
                />
                <Choice
                    id="bracket-over"
                    label="Frames with more light"
                    options=counts
                    chosen=of(plan, |bracket| bracket.over.to_string())
                    make=|text| Intent::BracketOver(count(&text))
                    dispatcher
                />
                <Choice
                    id="bracket-order"
                    label="Order"
                    options=of(plan, |bracket| fixed(bracket.orders))
                    chosen=of(plan, |bracket| bracket.order.to_owned())
                    make=Intent::BracketOrder
                    dispatcher
                />
            </div>
        </section>
    }
}

/// The counts of frames that one side may have.
fn counts(bracket: &BracketView) -> Options {
    (0..=bracket.most)
        .map(|count| (count.to_string(), count.to_string()))
        .collect()
}

/// A count out of the list of counts.
fn count(text: &str) -> u8 {
    // OK to fall back on none: the list holds nothing but counts.
    text.parse().unwrap_or(0)
}

/// One frame of the strip.
fn cell(frame: FrameView) -> impl IntoView {
    let support = if frame.tripod {
        "cell-support needs-tripod"
    } else {
        "cell-support"
    };
    view! {
        <li class=if frame.base { "cell base" } else { "cell" } data-lean=lean_key(frame.lean)>
            <span class="sr">"Frame "</span>
            {still("cell-number", frame.number.to_string())}
            {still("cell-from-base", frame.from_base)}
            {still("cell-set", frame.set)}
            {still("cell-leave", format!("leave {}", frame.leave))}
            <span class="scale" aria-hidden="true">
                <span class="bar" style:--bar=css::number(frame.box_bar.abs())></span>
            </span>
            {still("cell-box", frame.from_box)}
            {still("cell-ei", frame.amounts_to)}
            {still(support, frame.support.to_owned())}
            {still("cell-count", frame.count)}
            {still("cell-sharp", frame.sharp)}
            {still("flag", frame.flags.join("\n"))}
        </li>
    }
}
